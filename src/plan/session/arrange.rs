//! One plan from the question to the answer: every step in its order.

use crate::plan::local::night_window;
use crate::plan::lookout::{morning_stop, sunrises};
use crate::plan::onlooker::Onlooker;
use crate::plan::refusal::{NoNight, NoSession};
use crate::plan::session::answer::Session;
use crate::plan::session::ask::{Ask, Settled, Want};
use crate::plan::session::assign::Assigning;
use crate::plan::session::assigned::{Assigned, assigned};
use crate::plan::session::candidates::{CandidateSearch, Candidates};
use crate::plan::session::clock::Clock;
use crate::plan::session::finish::Finish;
use crate::plan::session::happened::Changed;
use crate::plan::session::moments::{Moment, moments};
use crate::plan::session::shown_target::Finder;
use crate::plan::session::station::Builder;
use crate::plan::session::telescopes::{EveningTelescope, evening_telescopes};
use crate::plan::session::upset::{Known, Situation};
use crate::plan::time_span::{TimeSpan, utc};
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::subject::Subject;
use crate::workshop::Workshop;

/// The evening with who shows what when, in indices.
pub(super) struct Arranged<'a> {
    watch: Watch<'a>,
    onlooker: Onlooker,
    clock: Clock,
    telescopes: Vec<EveningTelescope<'a>>,
    candidates: Candidates,
    moments: Vec<Moment>,
    assigned: Assigned,
    changed: Option<Changed>,
}

impl<'a> Arranged<'a> {
    fn of(workshop: &'a Workshop, ask: &Ask, settled: Settled) -> Result<Self, NoSession> {
        let site = &workshop.site;
        let wants = wanted(ask)?;
        let mut telescopes = evening_telescopes(workshop, ask)?;
        let clock = Clock::of(ask, &workshop.evening, site.time_zone)?;
        let window = night_window(ask.on, site.time_zone).ok_or(NoNight::NoSuchDate)?;
        let watch = Watch::of(workshop, window)?;
        let stops = sunrises(watch.almanac()).into_iter().map(morning_stop);
        let clock = stops.map(utc).fold(clock, Clock::ending_at);
        let onlooker = watch.onlooker(workshop.observer);
        let subjects: Vec<Subject> = wants.iter().map(|(_, subject)| subject.clone()).collect();
        let candidates = CandidateSearch {
            watch: &watch,
            slots: &clock.slots,
            telescopes: &telescopes,
            onlooker,
            wanted: &subjects,
        }
        .candidates()?;
        if let Some(first) = candidates.first_slot() {
            for scope in &mut telescopes {
                scope.bring_out(clock.slots[first].from, clock.stated_gather);
            }
        }
        let evening = TimeSpan {
            from: clock.from,
            until: clock.until,
        };
        let moments = moments(&watch, site, &watch.sun_times(), evening)?;
        let assigning = Assigning {
            telescopes: &telescopes,
            candidates: &candidates,
            slots: &clock.slots,
            moments: &moments,
            onlooker,
            evening: &workshop.evening,
            slot_minutes: ask.slot_minutes,
            visitors: ask.visitors,
            first: ask.first,
            aimed_from: clock.aimed_from(),
            wants: &wants,
            settled,
        };
        let mut assigned = assigned(&assigning);
        let changed = changed(workshop, ask, &clock, &assigning, &mut assigned)?;
        Ok(Arranged {
            watch,
            onlooker,
            clock,
            telescopes,
            candidates,
            moments,
            assigned,
            changed,
        })
    }

    /// The whole answer.
    fn session(self, workshop: &Workshop, ask: &Ask) -> Result<Session, NoSession> {
        let sun = self.watch.sun_times();
        let builder = Builder {
            finder: Finder {
                watch: &self.watch,
                onlooker: self.onlooker,
                marks: &workshop.site.marks,
            },
            targets: &self.candidates.targets,
            telescopes: &self.telescopes,
            slots: &self.clock.slots,
            moments: &self.moments,
            assigned: &self.assigned,
            wants: &ask.wants,
            sun: &sun,
        };
        let stations = (self.telescopes.iter().enumerate())
            .map(|(idx, scope)| builder.station(idx, scope))
            .collect::<Result<Vec<_>, _>>()?;
        Finish {
            workshop,
            ask,
            telescopes: &self.telescopes,
            clock: self.clock,
            watch: &self.watch,
            sun,
            assigned: self.assigned,
            stations,
            moments: self.moments,
            changed: self.changed,
        }
        .session()
    }
}

/// The plan after all that has happened, and how it was changed last.
fn changed(
    workshop: &Workshop,
    ask: &Ask,
    clock: &Clock,
    assigning: &Assigning,
    assigned: &mut Assigned,
) -> Result<Option<Changed>, NoSession> {
    let planned = assigned.problem.clone();
    let mut situation = Situation::new(assigning);
    let mut changed = None;
    for upset in assigning.settled.upsets {
        let known = Known::of(upset, ask, clock, workshop.site.time_zone)?;
        situation.hear(workshop, upset, &known)?;
        changed = Some(situation.change(&planned, assigned, upset, &known));
    }
    Ok(changed)
}

/// Plans an evening of which something is settled beforehand, and goes on as things happen.
pub(super) fn arranged(
    workshop: &Workshop,
    ask: &Ask,
    settled: Settled,
) -> Result<Session, NoSession> {
    Arranged::of(workshop, ask, settled)?.session(workshop, ask)
}

/// The wants with what they mean.
fn wanted(ask: &Ask) -> Result<Vec<(Want, Subject)>, NoSession> {
    let subject = |want: &Want| {
        let id = want.subject.as_str();
        let of_body = Body::from_id(id).map(Subject::Body);
        let known = of_body.or_else(|| {
            let there = beyond().find(|there| there.id() == id);
            there.map(Subject::Beyond)
        });
        let unknown = || NoSession::UnknownSubject { id: id.to_string() };
        Ok((want.clone(), known.ok_or_else(unknown)?))
    };
    ask.wants.iter().map(subject).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::Crowd;
    use crate::plan::assignment::Problem;
    use crate::plan::session::idle::WhyIdle;
    use crate::testing::evening;

    /// Over a hundred random evenings: every slot in which a telescope that works shows nothing has a reason, and the tables
    /// bear it out, counted here in another way than there; and visitors take no less home than from a greedy plan, a
    /// twentieth more on the mean.
    #[test]
    fn rests_have_true_reasons_and_plans_send_more_home_than_greedy_ones() {
        let mut seen = Vec::new();
        let mut over_greedy = Vec::new();
        for number in 0..100 {
            let drawn = evening(number);
            let no_tables = |_: &str| Err(String::from("no tables"));
            let workshop = Workshop::from_toml(&drawn.toml, "drawn.toml", &no_tables)
                .unwrap_or_else(|why| panic!("{why}"));
            let ask = Ask::drawn(&drawn);
            let arranged =
                Arranged::of(&workshop, &ask, Settled::default()).expect("a plan, if an empty one");
            let Assigned {
                problem,
                assignment,
                crowd,
                ..
            } = &arranged.assigned;
            let ours = crowd.taken_home(problem, &assignment.shown);
            let theirs = crowd.taken_home(problem, &greedy(problem, crowd));
            assert!(theirs <= ours + 1e-6, "{number}: {theirs} after {ours}");
            if 0.0 < theirs {
                over_greedy.push(ours / theirs);
            }
            for telescope in 0..arranged.telescopes.len() {
                let rests = &arranged.assigned.rests[telescope];
                let shown = &arranged.assigned.assignment.shown[telescope];
                for slot in (0..shown.len()).filter(|slot| shown[*slot].is_none()) {
                    let mut of_slot = rests.iter().filter(|rest| rest.slots.contains(&slot));
                    let why = of_slot.next().expect("a reason").why;
                    assert!(of_slot.next().is_none(), "one reason a slot");
                    assert!(
                        is_true(&arranged, telescope, slot, why),
                        "{number}: T{telescope} in slot {slot} is not {why:?}"
                    );
                    seen.push(why);
                }
                let n_resting: usize = rests.iter().map(|rest| rest.slots.len()).sum();
                assert_eq!(n_resting, shown.iter().filter(|at| at.is_none()).count());
            }
        }
        let mean = over_greedy.iter().sum::<f64>() / over_greedy.len() as f64;
        assert!(1.05 <= mean, "{mean}");
        for why in [WhyIdle::NothingClear, WhyIdle::Taken, WhyIdle::Aiming] {
            assert!(seen.contains(&why), "{why:?}");
        }
    }

    fn is_true(arranged: &Arranged, telescope: usize, slot: usize, why: WhyIdle) -> bool {
        let Assigned {
            problem,
            assignment,
            ..
        } = &arranged.assigned;
        let of = &problem.telescopes[telescope];
        let n_on_it = |slot: usize, target: usize| {
            let all = assignment.shown.iter();
            all.filter(|shown| shown[slot] == Some(target)).count()
        };
        let is_free = |slot: usize, target: usize| {
            let rests = assignment.shown[telescope][slot].is_none();
            let has_room = n_on_it(slot, target) < problem.targets[target].room(slot);
            rests && has_room && of.ready_from <= slot && 0.0 < of.worth[slot][target]
        };
        let n_targets = problem.targets.len();
        let shows_nothing = of.worth[slot].iter().all(|worth| *worth == 0.0);
        let is_any_free = (0..n_targets).any(|target| is_free(slot, target));
        let stays = |target: usize| {
            let froms = (slot + 1).saturating_sub(problem.n_slots)..=slot;
            froms
                .flat_map(move |from| (slot + 1..=problem.n_slots).map(move |until| from..until))
                .filter(move |stay| of.stay_slots <= stay.len())
                .filter(move |stay| stay.clone().all(|slot| is_free(slot, target)))
        };
        let is_any_stay = (0..n_targets).any(|target| stays(target).next().is_some());
        let changes = assignment.shown[telescope].windows(2);
        let n_begun = changes.filter(|two| two[0] != two[1] && two[1].is_some());
        let n_stays = n_begun.count() + usize::from(assignment.shown[telescope][0].is_some());
        let has_changes = of.repointings_at_most.is_none_or(|most| n_stays <= most);
        match why {
            WhyIdle::Aiming => slot < of.ready_from,
            WhyIdle::NothingClear => {
                let mut all = arranged.candidates.targets.iter();
                all.all(|candidate| candidate.at[slot].is_none())
            }
            WhyIdle::LeftToBetter => {
                shows_nothing && arranged.telescopes[telescope].is_for_low_power()
            }
            WhyIdle::NothingShows => shows_nothing,
            WhyIdle::Taken => !shows_nothing && !is_any_free,
            WhyIdle::TooShort => is_any_free && !is_any_stay,
            WhyIdle::NoMoreChanges => is_any_stay && !has_changes,
            WhyIdle::NotBegun | WhyIdle::Out | WhyIdle::Clouded | WhyIdle::Over => false,
            WhyIdle::NotWorthFinding => {
                let gains = |target: usize| {
                    stays(target)
                        .map(|stay| gain(arranged, telescope, target, stay, n_stays))
                        .fold(0.0, f64::max)
                };
                let most = (0..n_targets).map(gains).fold(0.0, f64::max);
                is_any_stay && has_changes && most <= assignment.gap() + 1e-6
            }
        }
    }

    /// Slot by slot each telescope whose stay may end takes what is newest and best to the visitors then, by the same rules.
    fn greedy(problem: &Problem, crowd: &Crowd) -> Vec<Vec<Option<usize>>> {
        let n_telescopes = problem.telescopes.len();
        let mut shown: Vec<Vec<Option<usize>>> = vec![Vec::new(); n_telescopes];
        let mut looks = vec![0.0; problem.targets.len()];
        // By telescope: the slot before which it does not turn.
        let mut busy_until = vec![0; n_telescopes];
        for slot in 0..problem.n_slots {
            let before: Vec<_> = (shown.iter())
                .map(|path| path.last().copied().flatten())
                .collect();
            let mut now: Vec<Option<usize>> = (0..n_telescopes)
                .map(|telescope| before[telescope].filter(|_| slot < busy_until[telescope]))
                .collect();
            for telescope in 0..n_telescopes {
                if slot < busy_until[telescope] {
                    continue;
                }
                let of = &problem.telescopes[telescope];
                let stays = shown[telescope].chunk_by(|a, b| a == b);
                let n_stays = stays.filter(|stay| stay[0].is_some()).count();
                let has_changes = of.repointings_at_most.is_none_or(|most| n_stays <= most);
                let has_room = |at: usize, target: usize| {
                    let is_on_it = |of: &(&Option<usize>, &usize)| {
                        *of.0 == Some(target) && (at == slot || at < *of.1)
                    };
                    let n_on = now.iter().zip(&busy_until).filter(is_on_it).count();
                    n_on < problem.targets[target].room(at)
                };
                let shows = |slot: usize, target| problem.is_showable(telescope, slot, target);
                let fits = |target: &usize| {
                    let until = slot + of.stay_slots;
                    let goes_on = before[telescope] == Some(*target) && shows(slot, *target);
                    let begins = has_changes
                        && until <= problem.n_slots
                        && (slot..until)
                            .all(|slot| shows(slot, *target) && has_room(slot, *target));
                    has_room(slot, *target) && (goes_on || begins)
                };
                let gain = |target: usize| {
                    let n = crowd.looks(telescope, before[telescope] != Some(target));
                    crowd.gain(target, looks[target], n) * of.worth[slot][target]
                };
                let best = (0..problem.targets.len())
                    .filter(fits)
                    .max_by(|a, b| gain(*a).total_cmp(&gain(*b)));
                if best.is_some() && best != before[telescope] {
                    busy_until[telescope] = slot + of.stay_slots;
                }
                now[telescope] = best;
            }
            for (telescope, target) in now.into_iter().enumerate() {
                if let Some(target) = target {
                    looks[target] += crowd.looks(telescope, before[telescope] != Some(target));
                }
                shown[telescope].push(target);
            }
        }
        shown
    }

    /// What one more stay would add to the plan's points.
    fn gain(
        arranged: &Arranged,
        telescope: usize,
        target: usize,
        stay: std::ops::Range<usize>,
        n_stays: usize,
    ) -> f64 {
        let Assigned {
            problem,
            assignment,
            ..
        } = &arranged.assigned;
        let (of, rules) = (&problem.telescopes[telescope], &problem.targets[target]);
        let at = |table: &[f64], idx: usize, none: f64| match table {
            [] => none,
            table => table[idx.min(table.len() - 1)],
        };
        let looks = (stay.clone().enumerate())
            .map(|(nth, slot)| of.worth[slot][target] * at(&rules.fresh, nth, 1.0));
        let n_others: usize = (assignment.shown.iter())
            .map(|shown| {
                let chunks = shown.chunk_by(|a, b| a == b);
                chunks.filter(|chunk| chunk[0] == Some(target)).count()
            })
            .sum();
        let finding = if n_stays > 0 { of.repointing_cost } else { 0.0 };
        looks.sum::<f64>() - finding - at(&rules.repeat_cost, n_others, 0.0)
    }
}
