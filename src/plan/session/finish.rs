//! The answer put together: times, queues, and what could not be had.

use chrono::{DateTime, TimeDelta, Utc};

use crate::plan::assumed::assumed;
use crate::plan::caution::MorningStop;
use crate::plan::local::date_there;
use crate::plan::lookout::{STOP_BEFORE_SUNRISE_MINUTES, safe_until};
use crate::plan::put_out::to_ten_minutes;
use crate::plan::refusal::{NoNight, NoSession};
use crate::plan::session::answer::{
    Decision, Moonlit, Session, Station, SunBeside, Total, Turn, Window,
};
use crate::plan::session::ask::{Ask, First};
use crate::plan::session::assigned::Assigned;
use crate::plan::session::cautions::cautions;
use crate::plan::session::clock::Clock;
use crate::plan::session::happened::Changed;
use crate::plan::session::idle::{Rest, WhyIdle};
use crate::plan::session::impossible::Impossible;
use crate::plan::session::looks::{Looks, People};
use crate::plan::session::moments::Moment;
use crate::plan::session::queue::{Queue, SlotQueue};
use crate::plan::session::telescopes::{CHILD_REACH_M, EveningTelescope};
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::SUNRISE_ALTITUDE_DEG;
use crate::sky::happenings::phases::is_waxing;
use crate::sky::time::tt_days;
use crate::workshop::{Arrival, Assumed, Taken, Workshop};

/// Everything that is known in the end.
pub(super) struct Finish<'a> {
    pub(super) workshop: &'a Workshop,
    pub(super) ask: &'a Ask,
    pub(super) telescopes: &'a [EveningTelescope<'a>],
    pub(super) clock: Clock,
    pub(super) watch: &'a Watch<'a>,
    pub(super) sun: SunTimes,
    pub(super) assigned: Assigned,
    pub(super) stations: Vec<Station>,
    pub(super) moments: Vec<Moment>,
    pub(super) changed: Option<Changed>,
}

/// Who comes in the evening and stays so near to sunrise is told when to stop, too. The project's own choice.
const NEAR_SUNRISE: TimeDelta = TimeDelta::minutes(90);

/// Who would come is told so long before people meet. The project's own choice.
const NOTICE: TimeDelta = TimeDelta::hours(2);

/// What nobody looks at is left out.
fn moments_told(all: &[Moment], stations: &[Station]) -> Vec<Moment> {
    let turns = || stations.iter().flat_map(|station| &station.turns);
    let is_told =
        |moment: &&Moment| moment.is_for_all() || turns().any(|turn| turn.moments.contains(moment));
    all.iter().filter(is_told).copied().collect()
}

impl Finish<'_> {
    pub(super) fn session(mut self) -> Result<Session, NoSession> {
        let looks = (self.first_look(), self.last_look());
        let (queue, queue_by_slot) = self.queues();
        let infeasible = self.infeasible(looks, &queue)?;
        let sun_beside = SunBeside::of(&self.sun, self.clock.from);
        let decision = self.decision(sun_beside);
        let morning_stop = self.morning_stop(sun_beside);
        let mut assumed = assumed(
            self.workshop,
            (self.telescopes.iter()).filter_map(EveningTelescope::instrument),
        );
        assumed.extend(self.assumed_decision(&decision));
        let (site, evening) = (&self.workshop.site, &self.workshop.evening);
        let assignment = &self.assigned.assignment;
        Ok(Session {
            site_name: site.name.clone(),
            zone: site.time_zone,
            on: self.ask.on,
            evening_date: date_there(self.clock.from, site.time_zone),
            visitors: self.ask.visitors,
            first: self.ask.first,
            window: Window {
                gather: self.clock.gather,
                from: self.clock.from,
                until: self.clock.until,
                first_look: looks.0,
                last_look: looks.1,
            },
            decision,
            evening: evening.clone(),
            sun_beside,
            morning_stop,
            moon: self.moon()?,
            seeing_zenith_arcsec: self.watch.seeing_zenith_arcsec,
            dark_zenith_mag_arcsec2: self.watch.dark_zenith_mag_arcsec2,
            observer_margin_dex: self.workshop.observer.margin_dex,
            total: Total {
                plan: assignment.total,
                bound: assignment.bound,
                gap: assignment.gap().max(0.0),
                taken_home: self.taken_home(),
            },
            queue,
            queue_by_slot,
            skipped: self.assigned.skipped.clone(),
            stale_notes: Vec::new(),
            infeasible,
            cautions: cautions(self.turns(), &self.sun, morning_stop),
            assumed,
            moments: moments_told(&self.moments, &self.stations),
            slots: self.clock.slots,
            sun: self.sun,
            telescopes: self.stations,
            changed: self.changed,
        })
    }

    fn taken_home(&self) -> f64 {
        let Assigned {
            problem,
            assignment,
            crowd,
            ..
        } = &self.assigned;
        crowd.taken_home(problem, &assignment.shown)
    }

    /// Where the file names who decides, or another date, but no hour: before the first telescope is carried out; for a
    /// morning while people are still up.
    fn decision(&self, sun_beside: SunBeside) -> Decision {
        let evening = &self.workshop.evening;
        let backup = evening.backup_on.filter(|on| self.ask.on < *on);
        let leader = evening.leader.clone();
        let usual = || {
            let out = self.stations.iter().filter_map(|station| station.put_out);
            let latest = match (sun_beside, self.sun.set) {
                (SunBeside::Morning { .. }, Some(set)) => set,
                _ => self.clock.gather - NOTICE,
            };
            to_ten_minutes(out.map(|out| out.by).fold(latest, DateTime::min))
        };
        let is_decided = leader.is_some() || backup.is_some();
        Decision {
            by: (self.clock.decide).or_else(|| is_decided.then(usual)),
            backup,
            leader,
        }
    }

    /// Its hour, where the file does not say it.
    fn assumed_decision(&self, decision: &Decision) -> Option<Assumed> {
        let by = decision.by.filter(|_| self.clock.decide.is_none())?;
        let local = by.with_timezone(&self.workshop.site.time_zone);
        Some(Assumed {
            key: String::from("session.decide_at"),
            value: Taken::Words(local.format("%H:%M").to_string()),
        })
    }

    fn morning_stop(&self, sun_beside: SunBeside) -> Option<MorningStop> {
        let sunrise = self.sun.rise?;
        let minutes = TimeDelta::minutes(STOP_BEFORE_SUNRISE_MINUTES as i64);
        let is_told = matches!(sun_beside, SunBeside::Morning { .. })
            || sunrise - NEAR_SUNRISE < self.clock.until;
        is_told.then_some(MorningStop {
            stop: sunrise - minutes,
            sunrise,
        })
    }

    fn turns(&self) -> impl Iterator<Item = &Turn> {
        self.stations.iter().flat_map(|station| &station.turns)
    }

    fn first_look(&self) -> Option<DateTime<Utc>> {
        self.turns().map(|turn| turn.from).min()
    }

    fn last_look(&self) -> Option<DateTime<Utc>> {
        self.turns().map(|turn| turn.until).max()
    }

    /// Of the session and by slot; sets those of the stations too.
    fn queues(&mut self) -> (Queue, Vec<SlotQueue>) {
        let evening = &self.workshop.evening;
        let people = People {
            visitors: self.ask.visitors,
            arrival: evening.arrival,
            seconds_per_look: evening.seconds_per_look,
        };
        let looks = Looks::of(&self.stations, people);
        for (idx, station) in self.stations.iter_mut().enumerate() {
            station.queue = looks.of_station(idx);
        }
        let of_slot = |(idx, slot): (usize, &TimeSpan)| {
            let at_work = self.turns().filter(|turn| turn.slots.contains(&idx));
            looks.of_slot(*slot, at_work.count())
        };
        let by_slot = self.clock.slots.iter().enumerate().map(of_slot).collect();
        (looks.of_session(), by_slot)
    }

    fn moon(&self) -> Result<Moonlit, NoNight> {
        let (from, until) = (self.clock.from, self.clock.until);
        let middle = tt_days(from + (until - from) / 2);
        let [moon, first] = [middle, tt_days(from)].map(|at| self.watch.appearance(Body::Moon, at));
        let (moon, first) = (moon?, first?);
        let times = self.watch.body_times(Body::Moon);
        let (rises, sets) = (times.rises.first().copied(), times.sets.first().copied());
        let rises_in_window = rises.filter(|rises| from < *rises && *rises < until);
        Ok(Moonlit {
            lit: moon.illuminated_fraction,
            is_waxing: is_waxing(middle),
            altitude_deg: refracted_altitude_deg(
                moon.place.altitude_deg,
                self.workshop.site.elevation_m,
            ),
            rises,
            sets,
            rises_in_window,
            sets_after_begin: sets.filter(|sets| from < *sets),
            is_down: rises_in_window.is_none() && first.place.altitude_deg < SUNRISE_ALTITUDE_DEG,
        })
    }

    fn infeasible(
        &self,
        (first, last): (Option<DateTime<Utc>>, Option<DateTime<Utc>>),
        queue: &Queue,
    ) -> Result<Vec<Impossible>, NoNight> {
        let mut all = Vec::new();
        let slots = &self.clock.slots;
        // What is cut off the evening is no want of things to show.
        let is_held = |slot: &usize| {
            let mut sights = self.assigned.sights.iter();
            !sights.all(|sight| sight.shut[*slot].is_some_and(WhyIdle::is_of_all))
        };
        let held: Vec<usize> = (0..slots.len()).filter(is_held).collect();
        let (opens, closes) = match held[..] {
            [] => (slots[0].from, self.clock.closes),
            [first, ..] => (
                slots[first].from,
                self.clock.closes_at(held[held.len() - 1]),
            ),
        };
        match (first, last) {
            (Some(first), Some(last)) => {
                if opens < first {
                    let sun_is_up = self.is_sun_up(tt_days(opens))?;
                    let aimed_from = slots.get(self.clock.aimed_from()).map(|slot| slot.from);
                    all.push(Impossible::NothingUntil {
                        until: first,
                        sun_is_up,
                        is_aiming: !sun_is_up && aimed_from == Some(first),
                    });
                }
                if last < closes {
                    all.push(Impossible::NothingAfter {
                        from: last,
                        sun_comes_up: self.is_sun_up(safe_until(tt_days(closes)))?,
                    });
                }
            }
            _ => all.push(Impossible::NothingAtAll),
        }
        all.extend(self.of_telescopes());
        all.extend(self.assigned.impossible.iter().cloned());
        all.extend(self.of_visitors());
        let without = self.ask.visitors.saturating_sub(queue.served);
        if first.is_some() && self.too_late_to_look(queue) < without {
            let mut resting: Vec<String> = (all.iter())
                .filter_map(|what| match what {
                    Impossible::Idle { telescope, .. } => Some(telescope.clone()),
                    _ => None,
                })
                .collect();
            resting.dedup();
            all.push(Impossible::TooManyVisitors { without, resting });
        }
        let backup = self.workshop.evening.backup_on;
        let stale = backup.filter(|on| *on <= self.ask.on);
        all.extend(stale.map(|on| Impossible::StaleBackup { on }));
        let other = self.clock.other_gather;
        all.extend(other.map(|stated| Impossible::OtherGather { stated }));
        Ok(all)
    }

    /// Who come over the time and so near the end that a look needs longer: nobody can help that.
    fn too_late_to_look(&self, queue: &Queue) -> u32 {
        match self.workshop.evening.arrival {
            Arrival::Together => 0,
            Arrival::OverTime => {
                let look_min = (queue.seconds_per_look + queue.recentre_s) / 60.0;
                let open = TimeSpan {
                    from: self.clock.from,
                    until: self.clock.until,
                };
                let share = (queue.expected_wait_min + look_min) / open.minutes();
                (share * f64::from(self.ask.visitors)).ceil() as u32
            }
        }
    }

    fn is_sun_up(&self, at: f64) -> Result<bool, NoNight> {
        let sun = self.watch.appearance(Body::Sun, at)?;
        Ok(SUNRISE_ALTITUDE_DEG < sun.place.altitude_deg)
    }

    fn of_telescopes(&self) -> Vec<Impossible> {
        let mut all = Vec::new();
        for (idx, (scope, station)) in self.telescopes.iter().zip(&self.stations).enumerate() {
            if let Err(why) = &scope.judged {
                all.push(Impossible::NotJudged(why.clone()));
                continue;
            }
            all.extend(self.warm(scope, station));
            all.extend(self.idle(idx));
        }
        all
    }

    /// What there is to say of its mirror's warmth.
    fn warm(&self, scope: &EveningTelescope, station: &Station) -> Option<Impossible> {
        let (outside, start) = (scope.outside?, station.start?);
        let telescope = station.name.clone();
        if outside.is_late {
            return (start.is_warm()).then_some(Impossible::Late { telescope, start });
        }
        let set = self.sun.set.filter(|set| outside.is_out_at(*set))?;
        let typical_arcsec = self.watch.seeing_zenith_arcsec.typical;
        let from_sunset = outside.if_since(set).start(start.at, typical_arcsec);
        Some(Impossible::Warm {
            telescope,
            from_sunset,
        })
    }

    /// Where it rests while there is a first and a last look at all.
    fn idle(&self, idx: usize) -> Vec<Impossible> {
        let Some((first, last)) = self.first_look().zip(self.last_look()) else {
            return Vec::new();
        };
        let (slots, station) = (&self.clock.slots, &self.stations[idx]);
        let idle = |rest: &Rest| Impossible::Idle {
            telescope: station.name.clone(),
            from: slots[rest.slots.start].from.max(first),
            until: slots[rest.slots.end - 1].until.min(last),
            why: rest.why,
            all_along: station.turns.is_empty(),
        };
        let is_told = |rest: &&Rest| {
            first < slots[rest.slots.end - 1].until && slots[rest.slots.start].from < last
        };
        let rests = self.assigned.rests[idx].iter();
        let rests = rests.filter(|rest| !rest.why.is_of_all());
        rests.filter(is_told).map(idle).collect()
    }

    /// What those who come first cannot have.
    fn of_visitors(&self) -> Option<Impossible> {
        let is_seated = |station: &Station| {
            let heights = station.heights.filter(|_| station.is_low);
            heights.is_some_and(|heights| heights.seated_throughout)
        };
        let early = (self.clock.slots.len()).div_ceil(3);
        let is_early_and_low = |turn: &Turn| {
            let height_m = turn.shown.eyepiece_height_m;
            turn.slots.start < early && height_m.is_some_and(|height_m| height_m <= CHILD_REACH_M)
        };
        match self.ask.first? {
            First::Wheelchair => {
                let is_unknown = |it: &&Station| it.is_low && it.heights.is_none();
                let unknown = self.stations.iter().find(is_unknown);
                let not_known = |it: &Station| Impossible::SeatNotKnown {
                    telescope: it.name.clone(),
                };
                let nobody = !self.stations.iter().any(is_seated);
                nobody.then(|| unknown.map_or(Impossible::NobodySeated, not_known))
            }
            First::Children => {
                let nothing = !self.turns().any(is_early_and_low);
                nothing.then_some(Impossible::NothingForChildren)
            }
        }
    }
}
