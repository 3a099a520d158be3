//! The evening does not go as planned: it begins late, a telescope drops out, cloud covers a part of the sky, people leave early.
//!
//! What is past stays as it was planned, and so does the slot that runs; from the next one on the plan is made again around
//! what has changed, and keeps to the one before as far as it can ([`assignment_kept`]).
//!
//! [`assignment_kept`]: crate::plan::assignment::assignment_kept

use chrono::{DateTime, TimeDelta, Utc};

use crate::plan::assignment::{Effort, Problem, Steady, assignment_kept};
use crate::plan::clock_window::showings_in_night;
use crate::plan::refusal::{NoHours, NoSession, NoSuchTelescope, NoUpset};
use crate::plan::session::ask::Ask;
use crate::plan::session::assign::Assigning;
use crate::plan::session::assigned::Assigned;
use crate::plan::session::candidates::CandidateTarget;
use crate::plan::session::clock::Clock;
use crate::plan::session::happened::{Changed, ChangedStretch, TelescopeChange};
use crate::plan::session::idle::{WhyIdle, rests_of_all};
use crate::plan::session::part_of_sky::is_overhead;
use crate::plan::session::steady::steady;
use crate::plan::session::telescopes::EveningTelescope;
use crate::plan::time_span::TimeSpan;
use crate::workshop::{Sector, Upset, Workshop};

/// What a slot that stays as planned is worth beside what it shows, half of what it is while nothing has happened: people
/// expect changes. The project's own choice.
const SLOT_BONUS: f64 = 50.0;

fn replace(shut: &mut [Option<WhyIdle>], before: Option<WhyIdle>, after: Option<WhyIdle>) {
    shut.iter_mut()
        .filter(|why| **why == before)
        .for_each(|why| *why = after);
}

/// Everything said so far, slot by slot.
pub(super) struct Situation<'a> {
    assigning: &'a Assigning<'a>,
    /// By telescope and slot: why it shows nothing then whatever there is.
    shut: Vec<Vec<Option<WhyIdle>>>,
    /// By slot and target.
    clouded: Vec<Vec<bool>>,
}

/// An upset on the clock of the evening.
pub(super) struct Known {
    pub(super) now: DateTime<Utc>,
    /// The first slot that can change.
    pub(super) from: usize,
    late_until: DateTime<Utc>,
    end: Option<DateTime<Utc>>,
}

impl Known {
    pub(super) fn of(
        upset: &Upset,
        ask: &Ask,
        clock: &Clock,
        zone: chrono_tz::Tz,
    ) -> Result<Known, NoSession> {
        let tonight = |time| Ok::<_, NoHours>(showings_in_night(time, ask.on, zone)?.0);
        let now = tonight(upset.now)?;
        let from = clock.slots.iter().position(|slot| now <= slot.from);
        let from = from.ok_or(NoUpset::Over)?;
        let end = upset.end.map(tonight).transpose()?;
        if end.is_some_and(|end| end <= now) {
            return Err(NoUpset::EndsBeforeNow.into());
        }
        if end.is_some_and(|end| clock.until < end) {
            return Err(NoUpset::EndsLater.into());
        }
        Ok(Known {
            now,
            from,
            late_until: clock.from + TimeDelta::minutes(i64::from(upset.late_minutes)),
            end,
        })
    }
}

impl<'a> Situation<'a> {
    /// As planned.
    pub(super) fn new(assigning: &'a Assigning<'a>) -> Self {
        let n_slots = assigning.slots.len();
        Situation {
            shut: vec![vec![None; n_slots]; assigning.telescopes.len()],
            clouded: vec![vec![false; assigning.candidates.targets.len()]; n_slots],
            assigning,
        }
    }

    fn targets(&self) -> &'a [CandidateTarget] {
        &self.assigning.candidates.targets
    }

    /// What is said now, from then on.
    pub(super) fn hear(
        &mut self,
        workshop: &Workshop,
        upset: &Upset,
        known: &Known,
    ) -> Result<(), NoSession> {
        for (names, before, after) in [
            (&upset.out, None, Some(WhyIdle::Out)),
            (&upset.back, Some(WhyIdle::Out), None),
        ] {
            for name in names {
                let idx = self.number_of(workshop, name)?;
                replace(&mut self.shut[idx][known.from..], before, after);
            }
        }
        for shut in &mut self.shut {
            // The end said last is the one that counts.
            if known.end.is_some() {
                replace(&mut shut[known.from..], Some(WhyIdle::Over), None);
            }
            for (idx, slot) in self.assigning.slots.iter().enumerate() {
                let is_over = known.end.is_some_and(|end| end < slot.until);
                if slot.from < known.late_until {
                    shut[idx] = Some(WhyIdle::NotBegun);
                } else if known.from <= idx && is_over {
                    shut[idx] = Some(WhyIdle::Over);
                }
            }
        }
        for slot in known.from..self.assigning.slots.len() {
            for target in 0..self.targets().len() {
                self.clouded[slot][target] = self.is_under(&upset.clouds, slot, target);
            }
        }
        Ok(())
    }

    fn number_of(&self, workshop: &Workshop, name: &str) -> Result<usize, NoSession> {
        let is_it = |scope: &EveningTelescope| scope.telescope.name == name;
        let known = workshop.telescopes.iter();
        self.assigning
            .telescopes
            .iter()
            .position(is_it)
            .ok_or_else(|| match known.into_iter().any(|known| known.name == name) {
                true => NoUpset::NotThere {
                    name: name.to_string(),
                }
                .into(),
                false => NoSuchTelescope::new(workshop, name).into(),
            })
    }

    fn is_under(&self, clouds: &[Sector], slot: usize, target: usize) -> bool {
        let outlook = self.targets()[target].at[slot].as_ref();
        outlook.is_some_and(|outlook| {
            let place = outlook.at_best.place();
            clouds.iter().any(|sector| {
                sector.is_all_round() || sector.covers(place.azimuth_deg) && !is_overhead(outlook)
            })
        })
    }

    /// The rules of the evening with it: what is past and planned is settled, what is shut is blocked, what is under cloud is
    /// worth nothing.
    fn applied(&self, problem: &Problem, planned: &[Vec<Option<usize>>], from: usize) -> Problem {
        let mut problem = problem.clone();
        for (idx, telescope) in problem.telescopes.iter_mut().enumerate() {
            for (slot, row) in telescope.worth.iter_mut().enumerate() {
                let settled = (slot < from).then_some(planned[idx][slot]);
                let is_gone = |target: usize| {
                    self.clouded[slot][target]
                        || settled.is_some_and(|settled| settled != Some(target))
                };
                for (target, worth) in row.iter_mut().enumerate() {
                    if is_gone(target) {
                        *worth = 0.0;
                    }
                }
                if self.shut[idx][slot].is_some() || settled == Some(None) {
                    telescope.blocked[slot] = true;
                }
                let wish = &mut telescope.wishes[slot];
                if let Some(settled) = settled {
                    *wish = settled;
                }
                // What the organiser wanted then gives way to what has happened.
                if telescope.blocked[slot] || wish.is_some_and(is_gone) {
                    *wish = None;
                }
            }
        }
        problem
    }

    /// The plan made again; `planned` are the rules as they were before anything happened.
    pub(super) fn change(
        &self,
        planned: &Problem,
        assigned: &mut Assigned,
        upset: &Upset,
        known: &Known,
    ) -> Changed {
        let before = assigned.assignment.shown.clone();
        let mut problem = self.applied(planned, &before, known.from);
        self.hand_over(&mut problem, &before, known.from);
        if let Some(eclipse) = self.assigning.eclipse() {
            eclipse.hold(&mut problem, Some(&before), known.from);
        }
        let steady = Steady {
            slot_bonus: SLOT_BONUS,
            ..steady(&before)
        };
        let assignment = assignment_kept(&problem, &steady, Effort::default())
            .expect("tables made here fit together");
        for (telescope, sight) in assigned.sights.iter_mut().enumerate() {
            for (slot, why) in sight.shut.iter_mut().enumerate() {
                *why = self.why_shut(telescope, slot);
            }
        }
        let changed = Changed {
            now: known.now,
            from: self.assigning.slots[known.from].from,
            upset: upset.clone(),
            had_to: self.had_to(&problem, &before),
            telescopes: self.changes(&before, &assignment.shown),
        };
        assigned.impossible = self.assigning.unmet(&assignment);
        // What each could have shown before then, and what was wanted there, is as it was.
        assigned.problem = self.applied(planned, &before, 0);
        assigned.rests = rests_of_all(&assigned.problem, &assignment, &assigned.sights);
        assigned.assignment = assignment;
        changed
    }

    /// Another telescope that takes over what one can no longer show goes on with it: that is no second stay.
    fn hand_over(&self, problem: &mut Problem, before: &[Vec<Option<usize>>], from: usize) {
        for (shut, path) in self.shut.iter().zip(before) {
            if let (Some(WhyIdle::Out), Some(target)) = (shut[from], path[from]) {
                problem.targets[target].repeat_cost.insert(0, 0.0);
            }
        }
    }

    /// Why that telescope shows nothing then, whatever there is.
    fn why_shut(&self, telescope: usize, slot: usize) -> Option<WhyIdle> {
        let clouded = || self.is_all_clouded(slot).then_some(WhyIdle::Clouded);
        self.shut[telescope][slot].or_else(clouded)
    }

    /// Whether cloud covers whatever would be clear.
    fn is_all_clouded(&self, slot: usize) -> bool {
        let clear =
            (0..self.targets().len()).filter(|target| self.targets()[*target].at[slot].is_some());
        let mut clear = clear.peekable();
        clear.peek().is_some() && clear.all(|target| self.clouded[slot][target])
    }

    /// Where the evening of each telescope is another than it was.
    fn changes(
        &self,
        before: &[Vec<Option<usize>>],
        after: &[Vec<Option<usize>>],
    ) -> Vec<TelescopeChange> {
        let of_each = self
            .assigning
            .telescopes
            .iter()
            .zip(before.iter().zip(after));
        let change =
            |(idx, (scope, (before, after))): (usize, (&EveningTelescope, (&Vec<_>, &Vec<_>)))| {
                let stretches = self.stretches(idx, before, after);
                (!stretches.is_empty()).then(|| TelescopeChange {
                    telescope: scope.telescope.name.clone(),
                    stretches,
                })
            };
        of_each.enumerate().filter_map(change).collect()
    }

    /// Of one telescope; not those that are cut off the evening for all.
    fn stretches(
        &self,
        telescope: usize,
        before: &[Option<usize>],
        after: &[Option<usize>],
    ) -> Vec<ChangedStretch> {
        let subject = |target: Option<usize>| target.map(|it| self.targets()[it].subject.clone());
        let pairs: Vec<_> = (before
            .iter()
            .copied()
            .zip(after.iter().copied())
            .enumerate())
        .map(
            |(slot, (before, after))| match self.is_cut_off(telescope, slot) {
                true => (None, None),
                false => (before, after),
            },
        )
        .collect();
        let mut from = 0;
        let runs = pairs.chunk_by(|a, b| a == b).map(|run| {
            let slots = from..from + run.len();
            from = slots.end;
            (slots, run[0])
        });
        runs.filter(|(_, (before, after))| before != after)
            .map(|(slots, (before, after))| ChangedStretch {
                span: TimeSpan {
                    from: self.assigning.slots[slots.start].from,
                    until: self.assigning.slots[slots.end - 1].until,
                },
                before: subject(before),
                instead: subject(after),
            })
            .collect()
    }

    fn is_cut_off(&self, telescope: usize, slot: usize) -> bool {
        self.shut[telescope][slot].is_some_and(WhyIdle::is_of_all)
    }

    /// Telescopes that have something planned which they cannot show any more, but for what is cut off the evening.
    fn had_to(&self, problem: &Problem, planned: &[Vec<Option<usize>>]) -> usize {
        let can_go_on = |(telescope, path): (usize, &Vec<Option<usize>>)| {
            let mut shown = path
                .iter()
                .enumerate()
                .filter_map(|(slot, it)| it.map(|it| (slot, it)));
            shown.all(|(slot, target)| {
                self.is_cut_off(telescope, slot) || problem.is_showable(telescope, slot, target)
            })
        };
        let of_each = planned.iter().enumerate();
        of_each.filter(|of_one| !can_go_on(*of_one)).count()
    }
}
