//! One telescope's evening: its turns, what comes before them, heights.

use std::ops::Range;

use chrono::{DateTime, Utc};

use crate::plan::assignment::{Fallback, Refuge};
use crate::plan::put_out::{AIMING, PutOut};
use crate::plan::refusal::NoNight;
use crate::plan::session::answer::{
    Heights, ShownTarget, SlotFallback, Station, Step, Turn, TurnFallback, WhyHere,
};
use crate::plan::session::ask::Want;
use crate::plan::session::assigned::Assigned;
use crate::plan::session::candidates::CandidateTarget;
use crate::plan::session::eclipse::Eclipse;
use crate::plan::session::moments::{Moment, MomentKind, of_stay};
use crate::plan::session::queue::Queue;
use crate::plan::session::shown_target::Finder;
use crate::plan::session::telescopes::{ADULT_EYE_M, CHILD_EYE_M, EveningTelescope};
use crate::plan::session::why_here::{Chosen, chosen};
use crate::plan::session::worth::is_seated;
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;

/// Below this focal ratio the aim is checked again on a star: coma grows with its cube. Common practice, no source.
const FAST: f64 = 6.0;

/// Its passage is told where it shows.
const RED_SPOT: &str = "jupiter_red_spot";

/// A step lower than this is none.
const LEAST_STEP_M: f64 = 0.05;

/// What a station is built from.
pub(super) struct Builder<'a> {
    pub(super) finder: Finder<'a>,
    pub(super) targets: &'a [CandidateTarget],
    pub(super) telescopes: &'a [EveningTelescope<'a>],
    pub(super) slots: &'a [TimeSpan],
    pub(super) moments: &'a [Moment],
    pub(super) assigned: &'a Assigned,
    pub(super) wants: &'a [Want],
    pub(super) sun: &'a SunTimes,
}

impl Builder<'_> {
    pub(super) fn station(&self, idx: usize, scope: &EveningTelescope) -> Result<Station, NoNight> {
        let shown = &self.assigned.assignment.shown[idx];
        let mut turns = Vec::new();
        for slots in stays(shown) {
            let target = shown[slots.start].expect("a stay shows something");
            turns.extend(self.turn(idx, scope, target, slots)?);
        }
        let stand = &scope.telescope.stand;
        let first = turns.first().map(|turn| turn.from);
        let outside = scope.outside.zip(first);
        let put_out = outside.map(|(outside, _)| outside.put_out(self.sun));
        Ok(Station {
            name: scope.telescope.name.clone(),
            summary: scope.summary(),
            place: stand.station.clone(),
            helper: stand.helper,
            is_low: scope.is_low,
            is_for_children: stand.for_children,
            before: first.map_or(Vec::new(), |first| before(scope, put_out, first)),
            put_out,
            start: outside.map(|(outside, first)| {
                outside.start(first, self.finder.onlooker.seeing_zenith_arcsec.typical)
            }),
            heights: self.heights(scope, &turns),
            // Once the lines before all telescopes are known.
            queue: Queue::default(),
            turns,
        })
    }

    fn turn(
        &self,
        idx: usize,
        scope: &EveningTelescope,
        target: usize,
        slots: Range<usize>,
    ) -> Result<Option<Turn>, NoNight> {
        let (from, until) = (
            self.slots[slots.start].from,
            self.slots[slots.end - 1].until,
        );
        let shown_target =
            |target: usize| (self.finder).shown_target(scope, &self.targets[target], from, until);
        let Some(shown) = shown_target(target)? else {
            return Ok(None);
        };
        let mut fallback = None;
        for choice in self.fallbacks(idx, target, &slots) {
            if let Some(shown) = shown_target(choice.target)? {
                let refuge = choice.refuge;
                fallback = Some(TurnFallback { shown, refuge });
                break;
            }
        }
        let by_slot = &self.assigned.assignment.fallbacks[idx][slots.clone()];
        let passing = |(choice, slot): (&Option<Fallback>, &TimeSpan)| {
            let candidate = &self.targets[choice.as_ref()?.target];
            Some(SlotFallback {
                subject: candidate.subject.clone(),
                limits: candidate.limits(slot.from, slot.until)?,
            })
        };
        Ok(Some(Turn {
            from,
            until,
            fallback_by_slot: (by_slot.iter().zip(&self.slots[slots.clone()]))
                .map(passing)
                .collect(),
            why_here: self.why_here(idx, target, slots.clone()),
            slots,
            moments: (of_stay(self.moments, shown.subject.body(), TimeSpan { from, until })
                .into_iter())
            .filter(|moment| moment.what != MomentKind::RedSpot || is_promised(&shown, RED_SPOT))
            .collect(),
            shown,
            fallback,
        }))
    }

    fn why_here(&self, idx: usize, target: usize, slots: Range<usize>) -> WhyHere {
        let Assigned {
            problem,
            assignment,
            ..
        } = self.assigned;
        let wishes = &problem.telescopes[idx].wishes[slots.clone()];
        if wishes.contains(&Some(target)) {
            let eclipse = Eclipse::of(self.targets, self.slots, self.moments);
            let is_eclipsed = |slot| eclipse.as_ref().is_some_and(|it| it.is_of(target, slot));
            let (id, name) = (
                self.targets[target].subject.id(),
                &self.telescopes[idx].telescope.name,
            );
            let is_it = |want: &Want| {
                want.subject == id && want.telescope.as_ref().is_none_or(|wanted| wanted == name)
            };
            return match slots.clone().any(is_eclipsed) {
                true => WhyHere::Eclipse,
                false if self.wants.iter().any(is_it) => WhyHere::Wanted,
                false => WhyHere::Ordered,
            };
        }
        match chosen(problem, assignment, idx, target, slots) {
            Chosen::Only => WhyHere::Only,
            Chosen::Best => WhyHere::Best,
            Chosen::AsGood => WhyHere::AsGood,
            Chosen::BetterBusy { telescope, with } => WhyHere::BetterBusy {
                telescope: self.telescopes[telescope].telescope.name.clone(),
                with: with.map(|with| self.targets[with].subject.clone()),
            },
            Chosen::Shared => WhyHere::Shared,
        }
    }

    /// Those that hold for the whole turn, best first: by how well they serve, then by how many of its slots they serve.
    fn fallbacks(&self, idx: usize, target: usize, slots: &Range<usize>) -> Vec<Fallback> {
        let problem = &self.assigned.problem;
        let holds = |fallback: &Fallback| {
            fallback.target != target
                && (slots.clone()).all(|slot| problem.is_showable(idx, slot, fallback.target))
        };
        // What is elsewhere at first may come near before the turn ends.
        let as_it_stays = |fallback: Fallback| {
            let mut slots = slots.clone();
            match slots.any(|slot| problem.is_under_one_cloud(slot, target, fallback.target)) {
                true => Fallback {
                    refuge: Refuge::SamePart,
                    ..fallback
                },
                false => fallback,
            }
        };
        let of_slots = &self.assigned.assignment.fallbacks[idx][slots.clone()];
        let offered: Vec<Fallback> = of_slots.iter().flatten().copied().collect();
        let mut choices: Vec<Fallback> = Vec::new();
        for fallback in offered.iter().copied().filter(holds).map(as_it_stays) {
            if !choices.contains(&fallback) {
                choices.push(fallback);
            }
        }
        let n_slots = |choice: &Fallback| {
            offered
                .iter()
                .filter(|other| other.target == choice.target)
                .count()
        };
        choices.sort_by_key(|choice| (choice.refuge, std::cmp::Reverse(n_slots(choice))));
        choices
    }

    fn heights(&self, scope: &EveningTelescope, turns: &[Turn]) -> Option<Heights> {
        let mut heights = Vec::new();
        for turn in turns {
            let candidate = self
                .targets
                .iter()
                .find(|candidate| candidate.subject == turn.shown.subject)?;
            let in_slots = candidate.at[turn.slots.clone()].iter().flatten();
            let altitudes_deg =
                in_slots.map(|outlook| outlook.at_best.place().refracted_altitude_deg);
            heights.extend(altitudes_deg.map(|deg| scope.height_m(deg)));
        }
        let heights: Vec<f64> = heights.into_iter().collect::<Option<_>>()?;
        let highest_m = heights.iter().copied().reduce(f64::max)?;
        let step = |eye_m: f64| Some(highest_m - eye_m).filter(|step_m| LEAST_STEP_M <= *step_m);
        Some(Heights {
            lowest_m: heights.iter().copied().reduce(f64::min)?,
            highest_m,
            child_step_m: step(CHILD_EYE_M),
            adult_step_m: step(ADULT_EYE_M),
            seated_throughout: heights.iter().all(|height_m| is_seated(*height_m)),
        })
    }
}

fn before(scope: &EveningTelescope, put_out: Option<PutOut>, first: DateTime<Utc>) -> Vec<Step> {
    let is_fast = scope
        .instrument()
        .is_some_and(|instrument| instrument.focal_ratio < FAST);
    let out = put_out.map(|PutOut { by, by_day, .. }| Step::PutOut { by, by_day });
    let aim = Step::Collimate {
        by: first - AIMING,
        again_on_a_star: is_fast,
    };
    out.into_iter()
        .chain([aim, Step::Ready { at: first }])
        .collect()
}

/// Slots without a break on one target.
fn stays(shown: &[Option<usize>]) -> Vec<Range<usize>> {
    let mut stays = Vec::new();
    let mut from = 0;
    while from < shown.len() {
        let same = shown[from..]
            .iter()
            .take_while(|target| **target == shown[from]);
        let until = from + same.count();
        if shown[from].is_some() {
            stays.push(from..until);
        }
        from = until;
    }
    stays
}

/// Whether somebody who looks is told of it.
fn is_promised(shown: &ShownTarget, id: &str) -> bool {
    let mut promises = std::iter::once(&shown.look_for).chain(&shown.others);
    promises.any(|verdict| verdict.caption.id == id)
}
