//! One plan from the question to the answer: every step in its order.

use crate::plan::local::night_window;
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
use crate::plan::time_span::TimeSpan;
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
    use crate::plan::assignment::Problem;
    use crate::plan::clock_window::ClockWindow;
    use crate::plan::session::idle::WhyIdle;
    use crate::plan::session::taken_home::Line;
    use crate::testing::evening;

    /// Over a hundred random evenings: every slot in which a telescope that works shows nothing has a reason, and the tables
    /// bear it out, counted here in another way than there.
    #[test]
    fn every_rest_has_a_reason_that_is_true() {
        let mut seen = Vec::new();
        for number in 0..100 {
            let drawn = evening(number);
            let no_tables = |_: &str| Err(String::from("no tables"));
            let workshop = Workshop::from_toml(&drawn.toml, "drawn.toml", &no_tables)
                .unwrap_or_else(|why| panic!("{why}"));
            let ask = Ask {
                on: drawn.on.parse().expect("a date"),
                window: ClockWindow::said(&drawn.window).expect("hours"),
                visitors: drawn.visitors,
                slot_minutes: 15,
                first: None,
                telescopes: Vec::new(),
                wants: Vec::new(),
            };
            let arranged =
                Arranged::of(&workshop, &ask, Settled::default()).expect("a plan, if an empty one");
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

    /// Slot by slot each telescope takes what is newest and best to the visitors then.
    fn greedy(problem: &Problem, line: &Line) -> Vec<Vec<Option<usize>>> {
        let mut shown: Vec<Vec<Option<usize>>> = vec![Vec::new(); problem.telescopes.len()];
        let mut looks = vec![0.0; problem.targets.len()];
        for slot in 0..problem.n_slots {
            let mut n_on = vec![0; problem.targets.len()];
            for telescope in 0..shown.len() {
                let of = &problem.telescopes[telescope];
                let path = &shown[telescope];
                let before = path.last().copied().flatten();
                let stays = path.chunk_by(|a, b| a == b);
                let n_stays = stays.clone().filter(|stay| stay[0].is_some()).count();
                let has_changes = of.repointings_at_most.is_none_or(|most| n_stays <= most);
                let lasts = path.iter().rev().take_while(|it| **it == before).count();
                let can = |target: usize| {
                    problem.is_showable(telescope, slot, target)
                        && n_on[target] < problem.targets[target].room(slot)
                };
                let must_stay = |target: &usize| {
                    before == Some(*target) || (before.is_some() && lasts < of.stay_slots)
                };
                let gain = |target: usize| {
                    let n = line.looks(before != Some(target));
                    line.gain(looks[target], n) * of.worth[slot][target]
                };
                let fits = |target: &usize| match before {
                    Some(now) if now == *target => true,
                    Some(now) if lasts < of.stay_slots && can(now) => false,
                    _ => {
                        // A whole stay has to be there.
                        let until = (slot + of.stay_slots).min(problem.n_slots);
                        has_changes
                            && (slot..until)
                                .all(|slot| problem.is_showable(telescope, slot, *target))
                    }
                };
                let _ = must_stay;
                let best = (0..problem.targets.len())
                    .filter(|target| can(*target) && fits(target))
                    .max_by(|a, b| gain(*a).total_cmp(&gain(*b)));
                if let Some(target) = best {
                    looks[target] += line.looks(before != Some(target));
                    n_on[target] += 1;
                }
                shown[telescope].push(best);
            }
        }
        shown
    }

    #[test]
    fn plans_send_more_home_than_greedy_ones() {
        let mut ratios = Vec::new();
        for number in 0..100 {
            let drawn = evening(number);
            let no_tables = |_: &str| Err(String::from("no tables"));
            let workshop = Workshop::from_toml(&drawn.toml, "drawn.toml", &no_tables).unwrap();
            let ask = Ask {
                on: drawn.on.parse().expect("a date"),
                window: ClockWindow::said(&drawn.window).expect("hours"),
                visitors: drawn.visitors,
                slot_minutes: 15,
                first: None,
                telescopes: Vec::new(),
                wants: Vec::new(),
            };
            let arranged = Arranged::of(&workshop, &ask, Settled::default()).unwrap();
            let line = Line {
                visitors: ask.visitors,
                slot_s: 900.0,
                look_s: workshop.evening.seconds_per_look + 8.0,
                pointing_s: 120.0,
            };
            let problem = &arranged.assigned.problem;
            let ours = line.taken_home(problem, &arranged.assigned.assignment.shown);
            let theirs = line.taken_home(problem, &greedy(problem, &line));
            if theirs > 0.0 {
                println!(
                    "{number} T{} V{} ours {ours:.1} greedy {theirs:.1} ratio {:.3}",
                    problem.telescopes.len(),
                    ask.visitors,
                    ours / theirs
                );
                ratios.push(ours / theirs);
            }
        }
        let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
        let least = ratios.iter().copied().fold(f64::INFINITY, f64::min);
        println!("mean {mean:.3} least {least:.3} of {}", ratios.len());
        panic!("see");
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
