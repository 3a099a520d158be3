//! Random evenings: whatever is asked, every hard rule holds, judged by the exact places of Sun, Moon, planets and stars and
//! not by what planned them.

use crate::support::{printed_at, workshop_of};
use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, Utc};
use proptest::prelude::*;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::mirror::Class;
use skyworthy::plan::session::{
    Ask, First, Impossible, MomentKind, Session, ShownTarget, Station, Turn, Want, session,
};
use skyworthy::show;
use skyworthy::sky::Body;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::targets::subject::Subject;
use skyworthy::workshop::Workshop;

/// Upper limb of the Sun on the true horizon, refraction included.
const SUNRISE_DEG: f64 = -50.0 / 60.0;

/// As low as anything is listed.
const LOWEST_DEG: f64 = 5.0;

const NEAR_SUN_DEG: f64 = 10.0;

/// One random evening.
#[derive(Debug, Clone)]
struct Draw {
    latitude_deg: f64,
    longitude_deg: f64,
    horizon: Vec<f64>,
    day: i64,
    from_min: u32,
    slots: u32,
    slot_minutes: u32,
    /// Aperture, focal ratio, waves of error, flags.
    telescopes: Vec<(f64, f64, f64, u8)>,
    stay: u32,
    changes: u32,
    first: Option<bool>,
    gather_before_min: Option<u32>,
}

fn draw() -> impl Strategy<Value = Draw> {
    let place = (-62.0..66.0f64, -180.0..180.0f64);
    let horizon = proptest::collection::vec(-2.0..60.0f64, 0..9);
    let when = (0..1826i64, 960..1800u32, 1..41u32, 5..31u32);
    let telescope = (90.0..320.0f64, 4.0..9.0f64, 0.0..1.2f64, any::<u8>());
    let telescopes = proptest::collection::vec(telescope, 1..13);
    let rules = (5..61u32, 0..6u32);
    let people = (any::<Option<bool>>(), proptest::option::of(0..90u32));
    (place, horizon, when, telescopes, rules, people).prop_map(
        |(place, horizon, when, telescopes, rules, people)| Draw {
            latitude_deg: place.0,
            longitude_deg: place.1,
            horizon,
            day: when.0,
            from_min: when.1,
            slots: when.2,
            slot_minutes: when.3,
            telescopes,
            stay: rules.0,
            changes: rules.1,
            first: people.0,
            gather_before_min: people.1,
        },
    )
}

fn time(minutes: u32) -> NaiveTime {
    let of_day = minutes % 1440;
    NaiveTime::from_hms_opt(of_day / 60, of_day % 60, 0).expect("a time of day")
}

impl Draw {
    /// Minutes of UTC after midnight, some days later perhaps, when it is `from_min` by the Sun.
    fn utc_min(&self) -> u32 {
        self.from_min + (1440.0 - 4.0 * self.longitude_deg) as u32
    }

    fn toml(&self) -> String {
        let mut toml = format!(
            "[session]\nminimum_stay_minutes = {}\nmost_changes = {}\n",
            self.stay, self.changes
        );
        if let Some(before) = self.gather_before_min {
            let gather = time(self.utc_min() - before).format("%H:%M");
            toml += &format!("gather = \"{gather}\"\n");
        }
        let step = 360.0 / self.horizon.len().max(1) as f64;
        let corners = self.horizon.iter().enumerate();
        let corners = corners.map(|(idx, deg)| format!("[{:.2}, {deg:.2}]", idx as f64 * step));
        toml += &format!(
            "[site]\nlatitude_deg = {:.4}\nlongitude_deg = {:.4}\ntime_zone = \"Etc/UTC\"\nhorizon = [{}]\n\
             marks = [ {{ azimuth_deg = 100, name = \"poplar\" }}, {{ azimuth_deg = 250, name = \"chimney\" }} ]\n",
            self.latitude_deg,
            self.longitude_deg,
            corners.collect::<Vec<_>>().join(", ")
        );
        for (idx, telescope) in self.telescopes.iter().enumerate() {
            toml += &telescope_toml(idx, *telescope);
        }
        toml
    }

    fn workshop(&self) -> Workshop {
        workshop_of(&self.toml())
    }

    fn ask(&self) -> Option<Ask> {
        let from = self.utc_min();
        let on = NaiveDate::from_ymd_opt(2026, 1, 1).expect("a date") + TimeDelta::days(self.day);
        let want = |subject: &str, telescope: Option<String>| Want {
            subject: subject.to_string(),
            telescope,
        };
        // Over noon: the hours of two nights.
        let window = ClockWindow::new(time(from), time(from + self.slots * self.slot_minutes))?;
        Some(Ask {
            on,
            window,
            visitors: 100,
            slot_minutes: self.slot_minutes,
            first: self.first.map(|children| match children {
                true => First::Children,
                false => First::Wheelchair,
            }),
            telescopes: Vec::new(),
            wants: vec![want("saturn", None), want("moon", Some("T1".to_string()))],
        })
    }
}

fn telescope_toml(idx: usize, (aperture_mm, ratio, waves, flags): (f64, f64, f64, u8)) -> String {
    let mut toml = format!(
        "[[telescope]]\nname = \"T{}\"\naperture_mm = {aperture_mm:.0}\nfocal_length_mm = {:.0}\n",
        idx + 1,
        aperture_mm * ratio
    );
    if flags & 1 == 1 {
        toml += "pivot_height_m = 0.6\npivot_to_eyepiece_m = 0.7\n";
    }
    if flags & 2 == 2 {
        toml += "thickness_mm = 25\n";
    }
    for (bit, line) in [
        (4, "helper = \"new\"\n"),
        (8, "low_eyepiece = true\n"),
        (16, "for_children = true\n"),
    ] {
        // Every other one at most.
        if flags & bit == bit && flags & 32 == 32 {
            toml += line;
        }
    }
    if flags & 64 == 64 {
        toml += &format!(
            "[telescope.figure]\nkind = \"stated\"\npeak_to_valley_waves = {waves:.2}\non = \"wavefront\"\n"
        );
    }
    toml
}

/// The exact sky over the place.
struct Sky<'a> {
    workshop: &'a Workshop,
    place: Place,
}

impl Sky<'_> {
    fn scene(&self, at: DateTime<Utc>) -> Scene {
        Scene::new(self.place, at).expect("inside the ephemeris")
    }

    fn sun_deg(&self, at: DateTime<Utc>) -> f64 {
        self.scene(at)
            .appearance(Body::Sun)
            .expect("inside the ephemeris")
            .place
            .altitude_deg
    }

    /// Refracted altitude, azimuth, angle from the Sun.
    fn stands(&self, subject: &Subject, at: DateTime<Utc>) -> (f64, f64, f64) {
        match subject {
            Subject::Body(body) => {
                let seen = self
                    .scene(at)
                    .appearance(*body)
                    .expect("inside the ephemeris");
                (
                    seen.place.refracted_altitude_deg,
                    seen.place.azimuth_deg,
                    seen.place.elongation_deg,
                )
            }
            Subject::Beyond(there) => {
                let seen = self.scene(at).star(&there.star());
                (
                    seen.refracted_altitude_deg,
                    seen.azimuth_deg,
                    seen.elongation_deg,
                )
            }
            Subject::Small(_) => panic!("no session shows asteroids"),
        }
    }

    fn is_clear(&self, subject: &Subject, at: DateTime<Utc>) -> bool {
        let (altitude_deg, azimuth_deg, _) = self.stands(subject, at);
        self.workshop
            .site
            .horizon
            .altitude_deg(azimuth_deg)
            .max(LOWEST_DEG)
            <= altitude_deg
    }
}

/// Both ends and every few minutes between.
fn instants(from: DateTime<Utc>, until: DateTime<Utc>) -> impl Iterator<Item = DateTime<Utc>> {
    let n_steps = ((until - from).num_minutes() / 4).max(1) as i32;
    (0..=n_steps).map(move |k| from + (until - from) * k / n_steps)
}

fn check_shown_target(sky: &Sky, turn: &Turn, shown: &ShownTarget) -> Result<(), TestCaseError> {
    let subject = &shown.subject;
    for at in instants(turn.from, turn.until) {
        let sun_deg = sky.sun_deg(at);
        prop_assert!(sun_deg < SUNRISE_DEG, "the Sun is {sun_deg} up at {at}");
        prop_assert!(
            sky.is_clear(subject, at),
            "{} is not clear at {at}",
            subject.name()
        );
        let (_, _, elongation_deg) = sky.stands(subject, at);
        // Judged slot by slot, at its middle: the Moon moves half a degree an hour.
        prop_assert!(
            NEAR_SUN_DEG - 0.5 <= elongation_deg,
            "{elongation_deg} from the Sun"
        );
    }
    if matches!(subject.body(), Some(Body::Venus | Body::Mercury)) {
        let later = turn.until + TimeDelta::minutes(15);
        prop_assert!(
            sky.sun_deg(later) <= SUNRISE_DEG,
            "the Sun comes to {}",
            subject.name()
        );
    }
    prop_assert!(shown.limits.from <= turn.from && turn.until <= shown.limits.until);
    prop_assert!(
        shown
            .drift_s
            .is_none_or(|drift_s| drift_s.is_finite() && drift_s > 0.0)
    );
    Ok(())
}

fn check_station(
    draw: &Draw,
    sky: &Sky,
    session: &Session,
    station: &Station,
) -> Result<(), TestCaseError> {
    let turns = &station.turns;
    prop_assert!(turns.len() <= 1 + draw.changes as usize);
    prop_assert!(turns.windows(2).all(|pair| pair[0].until <= pair[1].from));
    let stay = draw.stay.div_ceil(draw.slot_minutes) as usize;
    for turn in turns {
        prop_assert_eq!(turn.from, session.slots[turn.slots.start].from);
        prop_assert_eq!(turn.until, session.slots[turn.slots.end - 1].until);
        check_shown_target(sky, turn, &turn.shown)?;
        prop_assert_eq!(turn.fallback_by_slot.len(), turn.slots.len());
        for (slot, passing) in turn.slots.clone().zip(&turn.fallback_by_slot) {
            let Some(passing) = passing else { continue };
            let slot = session.slots[slot];
            prop_assert_ne!(passing.subject.id(), turn.shown.subject.id());
            let subject = &passing.subject;
            prop_assert!(sky.is_clear(subject, slot.from) && sky.is_clear(subject, slot.until));
        }
        if let Some(fallback) = &turn.fallback {
            prop_assert_ne!(fallback.shown.subject.id(), turn.shown.subject.id());
            check_shown_target(sky, turn, &fallback.shown)?;
        }
        // T1 may be called to the Moon, and what is wanted is shown however short it is there.
        let is_wanted = ["saturn", "moon"].contains(&turn.shown.subject.id());
        let is_whole = stay.min(session.slots.len()) <= turn.slots.len();
        prop_assert!(
            is_whole || is_wanted || station.name == "T1",
            "too short: {:?} of {stay}",
            turn.slots
        );
    }
    check_outside(draw, session, station)?;
    prop_assert!(station.queue.served <= session.visitors);
    prop_assert!(station.summary.is_ok());
    Ok(())
}

/// Those who meet at a stated hour put it out then at the earliest, and it is aimed before its first look.
fn check_outside(draw: &Draw, session: &Session, station: &Station) -> Result<(), TestCaseError> {
    let window = &session.window;
    let before = TimeDelta::minutes(draw.gather_before_min.unwrap_or(0).into());
    let is_stated = draw.gather_before_min.is_some() && window.gather == window.from - before;
    let Some(first) = station.turns.first().filter(|_| is_stated) else {
        return Ok(());
    };
    prop_assert!(window.gather + TimeDelta::minutes(10) <= first.from);
    if let (Some(put_out), Some(start)) = (station.put_out, station.start) {
        let is_in_time = put_out.by < window.gather;
        prop_assert!(
            !is_in_time,
            "outside at {} before anybody is there",
            put_out.by
        );
        prop_assert!((0.0..=10.0).contains(&start.warmth.warm_k), "{:?}", start);
    }
    Ok(())
}

fn on_at_once(session: &Session, slot: usize) -> impl Iterator<Item = (&Station, &Turn)> {
    session.telescopes.iter().flat_map(move |station| {
        let now = station
            .turns
            .iter()
            .filter(move |turn| turn.slots.contains(&slot));
        now.map(move |turn| (station, turn))
    })
}

fn is_for_low_power(station: &Station) -> bool {
    let class = station.summary.as_ref().map(|summary| summary.class);
    matches!(class, Ok(Class::LowPower | Class::FigureAgain))
}

fn check_slots(session: &Session) -> Result<(), TestCaseError> {
    let n_telescopes = session.telescopes.len();
    let few = session
        .infeasible
        .iter()
        .any(|what| matches!(what, Impossible::FewTargets { .. }));
    let mut moments = session.moments.iter();
    let is_eclipsed = moments.any(|it| matches!(it.what, MomentKind::Eclipse(_)));
    for slot in 0..session.slots.len() {
        for (station, turn) in on_at_once(session, slot) {
            let subject = &turn.shown.subject;
            let same = |(_, other): &(&Station, &Turn)| other.shown.subject == *subject;
            let n_same = on_at_once(session, slot).filter(same).count();
            let at_most = match subject.body() {
                Some(Body::Moon) if is_eclipsed => n_telescopes.div_ceil(2),
                Some(Body::Moon) => (n_telescopes / 5).max(1) + usize::from(few),
                _ => 1 + usize::from(few),
            };
            prop_assert!(
                n_same <= at_most,
                "{} on {n_same} of {n_telescopes}",
                subject.name()
            );
            let is_planet = subject.body().is_some_and(|body| body != Body::Moon);
            if is_planet && is_for_low_power(station) {
                let better =
                    on_at_once(session, slot).filter(|(other, _)| !is_for_low_power(other));
                let can = |other: &Turn| {
                    let fallback = other.fallback.as_ref();
                    other.shown.subject == *subject
                        || fallback.is_some_and(|fallback| fallback.shown.subject == *subject)
                };
                prop_assert!(better.into_iter().all(|(_, other)| !can(other)));
            }
        }
    }
    Ok(())
}

fn check_words(session: &Session) -> Result<(), TestCaseError> {
    let text = show::session::page(session).text();
    for line in text.lines() {
        prop_assert!(line.chars().count() <= 80, "{line}");
    }
    let all = [
        text,
        show::session::json(session),
        show::session::csv(session),
        show::session::ics(session, printed_at()),
    ];
    prop_assert!(all.iter().all(|words| !words.contains("NaN")));
    super::calendar::events(&all[3]);
    Ok(())
}

/// Equal slots from the beginning; where a sunrise falls among them they end at the stop, and the first is the longer.
fn check_grid(draw: &Draw, session: &Session) -> Result<(), TestCaseError> {
    let (slots, length) = (&session.slots, draw.slot_minutes as f64);
    let (first, last) = (&slots[0], &slots[slots.len() - 1]);
    prop_assert_eq!(first.from, session.window.from);
    prop_assert!(slots[1..].iter().all(|slot| slot.minutes() == length));
    prop_assert!(slots.windows(2).all(|pair| pair[0].until == pair[1].from));
    if slots.len() == draw.slots as usize {
        prop_assert_eq!(first.minutes(), length);
        return Ok(());
    }
    let stop = session
        .morning_stop
        .expect("nothing else takes slots away")
        .stop;
    prop_assert!(slots.len() < draw.slots as usize);
    prop_assert!(
        (length..2.0 * length).contains(&first.minutes()),
        "{:?}",
        first
    );
    let before_stop_s = (stop - last.until).num_seconds();
    prop_assert!((0..=66).contains(&before_stop_s), "{} s", before_stop_s);
    Ok(())
}

fn check(draw: &Draw) -> Result<(), TestCaseError> {
    let workshop = draw.workshop();
    let Some(ask) = draw.ask() else {
        return Ok(());
    };
    let session = session(&workshop, &ask).expect("a plan, if an empty one");
    let site = &workshop.site;
    let sky = Sky {
        workshop: &workshop,
        place: Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m),
    };
    check_grid(draw, &session)?;
    for station in &session.telescopes {
        check_station(draw, &sky, &session, station)?;
    }
    check_slots(&session)?;
    prop_assert!(session.total.plan <= session.total.bound + 1e-6);
    // Wants are met or named.
    for (id, on) in [("saturn", None), ("moon", Some("T1"))] {
        let mut stations = session
            .telescopes
            .iter()
            .filter(|station| on.is_none_or(|on| station.name == on));
        let is_met = stations.any(|station| {
            station
                .turns
                .iter()
                .any(|turn| turn.shown.subject.id() == id)
        });
        let is_it =
            |what: &Impossible| matches!(what, Impossible::Want { want, .. } if want.subject == id);
        let is_named = session.infeasible.iter().any(is_it);
        prop_assert!(
            is_met != is_named,
            "{}: met {}, named {}",
            id,
            is_met,
            is_named
        );
    }
    check_words(&session)
}

proptest! {
    // One takes up to some seconds; they begin elsewhere in each run.
    #![proptest_config(ProptestConfig {
        cases: 24,
        max_shrink_iters: 20,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn every_hard_rule_holds(draw in draw()) {
        check(&draw)?;
    }
}
