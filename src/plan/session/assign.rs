//! The evening as a problem of [`assignment`](crate::plan::assignment): worths, rules, wishes; and its answer with what could
//! not be had, each with the reason.

use rayon::prelude::*;

use crate::plan::assignment::{
    Assignment, Crowd, Effort, OrganiserWish, Problem, TargetRules, TelescopeOptions, UnmetWish,
    WhyUnmet, assignment_for, assignment_kept, setting_first,
};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::session::ask::{First, Settled, Want};
use crate::plan::session::best_run::best_run;
use crate::plan::session::candidates::{CandidateTarget, Candidates};
use crate::plan::session::eclipse::Eclipse;
use crate::plan::session::freshness::{round, set_freshness};
use crate::plan::session::idle::Sight;
use crate::plan::session::impossible::{Impossible, WhyNot};
use crate::plan::session::looks::pointing_s;
use crate::plan::session::moments::{Moment, MomentKind, is_behind_the_moon};
use crate::plan::session::part_of_sky::{sky_part, toward};
use crate::plan::session::room::{make_room_for_wishes, most_on_the_moon};
use crate::plan::session::steady::steady;
use crate::plan::session::telescopes::EveningTelescope;
use crate::plan::session::worth::{is_found, is_planet, of_moments, points, worth};
use crate::plan::time_span::TimeSpan;
use crate::sky::Body;
use crate::targets::merit::Merit;
use crate::targets::subject::Subject;
use crate::workshop::EveningRules;

/// A target that is gone for half of the evening is worth a quarter more while it is there. The project's own choice.
const SETTING_BONUS: f64 = 0.5;

/// Each re-pointing takes what one plain detail is worth in one slot: finding the next target takes minutes and breaks up the
/// line. The project's own choice.
const REPOINTING_POINTS: f64 = 100.0;

/// From so many telescopes on one keeps to the Moon. Common practice, no source.
const ANCHORED_FROM: usize = 3;

/// What bringing a target back takes of a look, about, s.
const USUAL_RECENTRE_S: f64 = 8.0;

/// Children are there in the first third.
const EARLY_SHARE: f64 = 1.0 / 3.0;

/// What the problem is made of.
pub(super) struct Assigning<'a> {
    pub(super) telescopes: &'a [EveningTelescope<'a>],
    pub(super) candidates: &'a Candidates,
    pub(super) slots: &'a [TimeSpan],
    pub(super) moments: &'a [Moment],
    pub(super) onlooker: Onlooker,
    pub(super) evening: &'a EveningRules,
    pub(super) slot_minutes: u32,
    pub(super) visitors: u32,
    pub(super) first: Option<First>,
    /// First slot in which telescopes are aimed.
    pub(super) aimed_from: usize,
    pub(super) wants: &'a [(Want, Subject)],
    pub(super) settled: Settled<'a>,
}

/// Points of all looks: by telescope, slot, target.
pub(super) type PointsTable = Vec<Vec<Vec<Merit>>>;

/// A problem with its answer.
pub(super) struct Solved {
    pub(super) problem: Problem,
    pub(super) assignment: Assignment,
    pub(super) impossible: Vec<Impossible>,
    pub(super) crowd: Crowd,
}

impl Assigning<'_> {
    /// The best plan, or the one nearest to another that is to be kept.
    pub(super) fn solved(
        &self,
        points: &PointsTable,
        planned: Option<&[Vec<Option<usize>>]>,
    ) -> Solved {
        let mut problem = Problem {
            n_slots: self.slots.len(),
            telescopes: (0..self.telescopes.len())
                .map(|idx| self.telescope(idx, points))
                .collect(),
            targets: self.targets(),
        };
        setting_first(&mut problem, SETTING_BONUS);
        round(&mut problem);
        let mut impossible = self.share_few_targets(&mut problem);
        let are_few = !impossible.is_empty();
        impossible.extend(self.wish(&mut problem));
        if let Some(eclipse) = self.eclipse() {
            eclipse.make_room(&mut problem);
            eclipse.hold(&mut problem, planned, 0);
        }
        make_room_for_wishes(&mut problem);
        let crowd = self.crowd();
        set_freshness(&mut problem, &crowd, are_few);
        let assignment = match planned {
            None => assignment_for(&problem, &crowd),
            Some(planned) => assignment_kept(&problem, &steady(planned), Effort::default()),
        };
        Solved {
            assignment: assignment.expect("tables made here fit together"),
            problem,
            impossible,
            crowd,
        }
    }

    pub(super) fn eclipse(&self) -> Option<Eclipse> {
        Eclipse::of(&self.candidates.targets, self.slots, self.moments)
    }

    /// Of a telescope and a target of this evening.
    pub(super) fn indices(&self, telescope: &str, target: &str) -> Option<(usize, usize)> {
        let mut telescopes = self.telescopes.iter();
        let telescope = telescopes.position(|scope| scope.telescope.name == telescope)?;
        let mut targets = self.candidates.targets.iter();
        let target = targets.position(|candidate| candidate.subject.id() == target)?;
        Some((telescope, target))
    }

    /// By telescope, slot, target.
    pub(super) fn points(&self) -> PointsTable {
        let n_targets = self.candidates.targets.len();
        let cells: Vec<(usize, usize)> = (0..self.telescopes.len())
            .flat_map(|telescope| (0..self.slots.len()).map(move |slot| (telescope, slot)))
            .collect();
        let row = |(telescope, slot): (usize, usize)| -> Vec<Merit> {
            (0..n_targets)
                .map(|target| self.points_at(telescope, slot, target))
                .collect()
        };
        let rows: Vec<Vec<Merit>> = cells.into_par_iter().map(row).collect();
        rows.chunks(self.slots.len().max(1))
            .map(<[_]>::to_vec)
            .collect()
    }

    fn points_at(&self, telescope: usize, slot: usize, target: usize) -> Merit {
        let scope = &self.telescopes[telescope];
        let (Some(instrument), Some(outlook)) = (scope.instrument(), self.outlook(slot, target))
        else {
            return Merit::NONE;
        };
        let body = outlook.subject().body();
        let is_covered =
            body.is_some_and(|body| is_behind_the_moon(self.moments, body, self.slots[slot]));
        if slot < self.aimed_from || is_covered || !is_found(scope, outlook) {
            return Merit::NONE;
        }
        let points = points(instrument, outlook, &scope.onlooker(self.onlooker, outlook));
        match 0.0 < points.all {
            true => points.raised(of_moments(self.moments, outlook, self.slots[slot])),
            false => points,
        }
    }

    fn outlook(&self, slot: usize, target: usize) -> Option<&Outlook> {
        self.candidates.targets[target].at[slot].as_ref()
    }

    fn telescope(&self, idx: usize, points: &PointsTable) -> TelescopeOptions {
        let scope = &self.telescopes[idx];
        let n_early = (EARLY_SHARE * self.slots.len() as f64).ceil() as usize;
        let cell = |slot: usize, target: usize| {
            let for_children = self.first == Some(First::Children) && slot < n_early;
            match self.outlook(slot, target) {
                Some(_) if self.is_for_another(idx, slot, target, points) => 0.0,
                Some(outlook) => worth(scope, outlook, points[idx][slot][target], for_children),
                None => 0.0,
            }
        };
        let n_targets = self.candidates.targets.len();
        let table = (0..self.slots.len())
            .map(|slot| (0..n_targets).map(|target| cell(slot, target)).collect());
        let stay_slots = self
            .evening
            .minimum_stay_minutes
            .div_ceil(self.slot_minutes.max(1));
        let stay_slots = (stay_slots as usize).min(self.slots.len());
        let mut table: Vec<Vec<f64>> = table.collect();
        for target in 0..n_targets {
            if !self.is_asked_for(target) {
                drop_short_runs(&mut table, target, stay_slots);
            }
        }
        TelescopeOptions {
            ready_from: self.aimed_from,
            stay_slots,
            repointings_at_most: Some(self.evening.most_changes as usize),
            repointing_cost: REPOINTING_POINTS,
            blocked: vec![scope.judged.is_err(); self.slots.len()],
            ..TelescopeOptions::unrestricted(table)
        }
    }

    fn crowd(&self) -> Crowd {
        let telescopes = self.telescopes.iter();
        Crowd {
            visitors: self.visitors,
            slot_s: 60.0 * f64::from(self.slot_minutes),
            look_s: self.evening.seconds_per_look + USUAL_RECENTRE_S,
            pointing_s: telescopes
                .map(|scope| pointing_s(scope.telescope.stand.helper))
                .collect(),
            anchor: self.anchor(),
        }
    }

    /// The Moon, where telescopes are three or more: nobody goes home with nothing; or in an eclipse, when it is another
    /// sight every quarter of an hour.
    fn anchor(&self) -> Option<usize> {
        let is_moon = |candidate: &CandidateTarget| candidate.subject == Subject::Body(Body::Moon);
        let moon = self.candidates.targets.iter().position(is_moon);
        let mut moments = self.moments.iter();
        let is_eclipsed = moments.any(|it| matches!(it.what, MomentKind::Eclipse(_)));
        moon.filter(|_| is_eclipsed || ANCHORED_FROM <= self.telescopes.len())
    }

    /// By the organiser, who may want less than the usual stay.
    fn is_asked_for(&self, target: usize) -> bool {
        let subject = &self.candidates.targets[target].subject;
        self.wants.iter().any(|(_, wanted)| wanted == subject)
            || self
                .settled
                .pins
                .iter()
                .any(|pin| pin.target == subject.id())
    }

    /// By the organiser, on that telescope by its name.
    fn is_wanted_there(&self, telescope: usize, target: usize) -> bool {
        let subject = &self.candidates.targets[target].subject;
        let name = &self.telescopes[telescope].telescope.name;
        let mut wants = self.wants.iter();
        wants.any(|(want, wanted)| wanted == subject && want.telescope.as_ref() == Some(name))
    }

    /// By the organiser.
    fn is_left_out(&self, telescope: usize, target: usize) -> bool {
        let it = Some((telescope, target));
        let mut skips = self.settled.skips.iter();
        skips.any(|skip| self.indices(&skip.telescope, &skip.target) == it)
    }

    /// A planet, which a mirror for low power leaves to a better one that shows it.
    fn is_for_another(&self, idx: usize, slot: usize, target: usize, points: &PointsTable) -> bool {
        let is_better = |(other, scope): (usize, &EveningTelescope)| {
            !scope.is_for_low_power() && 0.0 < points[other][slot][target].all
        };
        self.telescopes[idx].is_for_low_power()
            && !self.is_wanted_there(idx, target)
            && is_planet(self.candidates.targets[target].subject.clone())
            && self.telescopes.iter().enumerate().any(is_better)
    }

    /// What a telescope at rest has before it.
    pub(super) fn sight(&self, idx: usize, points: &PointsTable) -> Sight {
        let targets = 0..self.candidates.targets.len();
        let is_up = |slot: usize, target: usize| self.outlook(slot, target).is_some();
        let is_left = |slot, target| self.is_for_another(idx, slot, target, points);
        Sight::of(0..self.slots.len(), targets, is_up, is_left)
    }

    fn targets(&self) -> Vec<TargetRules> {
        let n_slots = self.slots.len();
        let targets = self.candidates.targets.iter();
        targets
            .map(|candidate| TargetRules {
                at_once: match candidate.subject {
                    Subject::Body(Body::Moon) => most_on_the_moon(self.telescopes.len()),
                    _ => 1,
                },
                sky_part: (candidate.at.iter())
                    .map(|outlook| outlook.as_ref().map_or(0, sky_part))
                    .collect(),
                toward: (candidate.at.iter())
                    .map(|outlook| outlook.as_ref().map_or([0.0; 3], toward))
                    .collect(),
                ..TargetRules::ordinary(n_slots)
            })
            .collect()
    }

    /// Where there are fewer targets than telescopes for a while, two may show the same.
    fn share_few_targets(&self, problem: &mut Problem) -> Vec<Impossible> {
        let is_short = |slot: &usize| {
            let can =
                |telescope: usize, target: usize| problem.is_showable(telescope, *slot, target);
            let telescopes = 0..problem.telescopes.len();
            let targets = 0..problem.targets.len();
            let n_willing = telescopes
                .clone()
                .filter(|telescope| targets.clone().any(|target| can(*telescope, target)));
            let shown = targets
                .clone()
                .filter(|target| telescopes.clone().any(|telescope| can(telescope, *target)));
            let room: usize = shown.map(|target| problem.targets[target].at_once).sum();
            room < n_willing.count()
        };
        let short: Vec<usize> = (0..problem.n_slots).filter(is_short).collect();
        let (Some(first), Some(last)) = (short.first(), short.last()) else {
            return Vec::new();
        };
        for target in &mut problem.targets {
            target.more_in = (0..problem.n_slots)
                .map(|slot| usize::from(short.contains(&slot)))
                .collect();
        }
        vec![Impossible::FewTargets {
            from: self.slots[*first].from,
            until: self.slots[*last].until,
        }]
    }

    /// Puts the wants into the problem; those that nobody can meet are named.
    fn wish(&self, problem: &mut Problem) -> Vec<Impossible> {
        let mut impossible = Vec::new();
        self.pin(problem);
        for (want, subject) in self.wants {
            let met = match self
                .candidates
                .targets
                .iter()
                .position(|candidate| candidate.subject == *subject)
            {
                None => Err(self.ruled_out(subject.clone())),
                Some(target) => self.wish_one(problem, want, target),
            };
            if let Err(why) = met {
                impossible.push(not_met(want, subject.clone(), why));
            }
        }
        impossible
    }

    /// What is settled beforehand; whether it could be had shows in the answer.
    fn pin(&self, problem: &mut Problem) {
        for pin in self.settled.pins {
            if let Some((telescope, target)) = self.indices(&pin.telescope, &pin.target) {
                problem.telescopes[telescope].wishes[pin.slots.clone()].fill(Some(target));
            }
        }
    }

    fn ruled_out(&self, subject: Subject) -> WhyNot {
        let ruled_out = self
            .candidates
            .ruled_out
            .iter()
            .find(|found| found.subject == subject);
        // The Sun is no candidate at all.
        ruled_out.map_or(WhyNot::Sun, |found| found.why.clone())
    }

    fn wish_one(&self, problem: &mut Problem, want: &Want, target: usize) -> Result<(), WhyNot> {
        let named = (want.telescope.as_ref()).map(|name| {
            self.telescopes
                .iter()
                .position(|scope| scope.telescope.name == *name)
        });
        let telescopes: Vec<usize> = match named {
            Some(idx) => idx.into_iter().collect(),
            None => (0..self.telescopes.len()).collect(),
        };
        let runs = telescopes
            .iter()
            .filter_map(|idx| best_run(problem, *idx, target));
        match (runs.max_by(|a, b| a.worth.total_cmp(&b.worth)), named) {
            (None, _) => Err(self.why_not(problem, &telescopes, target)),
            (Some(_), None) => {
                problem.targets[target].must = true;
                Ok(())
            }
            (Some(run), Some(_)) => {
                problem.telescopes[run.telescope].wishes[run.from..run.until].fill(Some(target));
                Ok(())
            }
        }
    }

    /// What keeps a target that is up from these telescopes: the reason nearest to being overcome.
    fn why_not(&self, problem: &Problem, telescopes: &[usize], target: usize) -> WhyNot {
        let is_up = |slot: usize| self.outlook(slot, target).is_some();
        let slots = || (0..self.slots.len()).filter(|slot| is_up(*slot));
        let Some(idx) = telescopes
            .iter()
            .copied()
            .find(|idx| self.telescopes[*idx].judged.is_ok())
        else {
            return WhyNot::NotJudged;
        };
        let shows = |slot: usize| problem.is_showable(idx, slot, target);
        if telescopes.iter().any(|idx| self.is_left_out(*idx, target)) {
            WhyNot::LeftOut
        } else if slots().any(shows) {
            WhyNot::OtherWants
        } else if slots().all(|slot| slot < self.aimed_from) {
            WhyNot::NotReady {
                ready: self.slots[self.aimed_from.min(self.slots.len() - 1)].from,
            }
        } else if !slots().any(|slot| {
            let outlook = self.outlook(slot, target);
            outlook.is_some_and(|outlook| is_found(&self.telescopes[idx], outlook))
        }) {
            WhyNot::NewHelper
        } else {
            WhyNot::TooHard
        }
    }

    pub(super) fn unmet(&self, assignment: &Assignment) -> Vec<Impossible> {
        let mut named: Vec<(Option<usize>, usize)> = Vec::new();
        let mut impossible = Vec::new();
        for UnmetWish { wish, why } in &assignment.unmet {
            let (telescope, target) = match *wish {
                OrganiserWish::Fixed {
                    telescope, target, ..
                } => (Some(telescope), target),
                OrganiserWish::Must { target } => (None, target),
            };
            // One want may be many wishes, a slot each; nobody wanted that the Moon is held in an eclipse.
            if !self.is_asked_for(target) || named.contains(&(telescope, target)) {
                continue;
            }
            named.push((telescope, target));
            let subject = self.candidates.targets[target].subject.clone();
            let name = telescope.map(|idx| self.telescopes[idx].telescope.name.clone());
            let want = Want {
                subject: subject.id().to_string(),
                telescope: name,
            };
            impossible.push(not_met(&want, subject, self.why_unmet(why)));
        }
        impossible
    }

    fn why_unmet(&self, why: &WhyUnmet) -> WhyNot {
        match why {
            WhyUnmet::CannotBeShown | WhyUnmet::NobodyCan => WhyNot::TooHard,
            WhyUnmet::Blocked => WhyNot::NotJudged,
            WhyUnmet::NotReady { ready_from } => WhyNot::NotReady {
                ready: self.slots[(*ready_from).min(self.slots.len() - 1)].from,
            },
            WhyUnmet::Crowded { .. } => WhyNot::Crowded,
            WhyUnmet::TooManyRepointings { .. } | WhyUnmet::Clashes { .. } => WhyNot::OtherWants,
            WhyUnmet::NotFound => WhyNot::NotFound,
        }
    }
}

/// Takes out what is not there for a whole stay: a line would hardly have formed.
fn drop_short_runs(table: &mut [Vec<f64>], target: usize, stay_slots: usize) {
    for run in table.chunk_by_mut(|a, b| (0.0 < a[target]) == (0.0 < b[target])) {
        if run.len() < stay_slots {
            run.iter_mut().for_each(|row| row[target] = 0.0);
        }
    }
}

fn not_met(want: &Want, subject: Subject, why: WhyNot) -> Impossible {
    Impossible::Want {
        want: want.clone(),
        name: subject.name().to_string(),
        why,
    }
}
