//! What happens at a minute of the evening, and promises that hold for their own minutes: against published eclipses, stars
//! behind the Moon as another library has them, and the contacts of Jupiter's moons.

use chrono::{DateTime, TimeDelta, Utc};

use crate::support::{columns, larch_at, number, printed_at, rows};
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::session::{
    Ask, Moment, MomentKind, Session, Station, Upset, session, session_as_noted,
};
use skyworthy::show;
use skyworthy::show::sheet::{Printing, files};
use skyworthy::sky::happenings::lunar_eclipse::EclipseContact;
use skyworthy::sky::satellite_events::{SatelliteEventKind, events, passages};
use skyworthy::sky::time::tt_days;
use skyworthy::targets::details::{Shape, detail};
use skyworthy::workshop::{SessionNotes, Telescope, Workshop};

const CANONS: &str = include_str!("../../reference/eclipse_canons.tsv");

const OCCULTATIONS: &str = include_str!("../../reference/occultations.tsv");

/// What is promised of instants.
const PROMISED_S: i64 = 60;

/// TT - UTC since 2017.
const TT_MINUS_UTC_MS: i64 = 69_184;

/// An evening of six hours about an instant, at a place where that is late in the evening.
fn about(at: DateTime<Utc>, latitude_deg: f64, longitude_deg: f64) -> Session {
    let (workshop, ask) = evening_about(at, latitude_deg, longitude_deg);
    session(&workshop, &ask).unwrap_or_else(|why| panic!("{at}: {why:?}"))
}

fn evening_about(at: DateTime<Utc>, latitude_deg: f64, longitude_deg: f64) -> (Workshop, Ask) {
    // Zones of whole hours; their names have the sign turned round.
    let hours = (longitude_deg / 15.0).round() as i64;
    let zone = format!("Etc/GMT{:+}", -hours);
    let mut workshop = larch_at(latitude_deg, longitude_deg, &zone, "");
    workshop.evening.minimum_stay_minutes = 15;
    let local = |at: DateTime<Utc>| (at + TimeDelta::hours(hours)).naive_utc();
    let (from, until) = (
        local(at - TimeDelta::hours(3)),
        local(at + TimeDelta::hours(3)),
    );
    let ask = Ask {
        on: (from - TimeDelta::hours(12)).date(),
        window: ClockWindow::said(&format!(
            "{}-{}",
            from.format("%H:%M"),
            until.format("%H:%M")
        ))
        .expect("hours"),
        visitors: 20,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    };
    (workshop, ask)
}

/// An eclipse of the canon with a part of the Moon in the umbra.
struct UmbralEclipse {
    greatest: DateTime<Utc>,
    kind: &'static str,
    magnitude: &'static str,
    /// Minutes from its first to its last contact with the umbra, and of totality.
    partial: &'static str,
    total: &'static str,
}

/// Those of 2026 to 2030.
fn umbral_eclipses() -> impl Iterator<Item = UmbralEclipse> {
    rows(CANONS).filter_map(|row| {
        let [body, greatest_tt, kind, _, _, magnitude, _, partial, total] = row[..] else {
            panic!("{row:?}")
        };
        let greatest: DateTime<Utc> = greatest_tt.parse().expect("an instant");
        let year = greatest.format("%Y").to_string();
        let is_meant = body == "moon" && kind != "N" && ("2026"..="2030").contains(&year.as_str());
        is_meant.then(|| UmbralEclipse {
            greatest: greatest - TimeDelta::milliseconds(TT_MINUS_UTC_MS),
            kind,
            magnitude,
            partial,
            total,
        })
    })
}

fn half_of(minutes: &str) -> TimeDelta {
    TimeDelta::milliseconds((30_000.0 * number(minutes)) as i64)
}

/// Whether a telescope is on the Moon all along between those instants, and which.
fn on_the_moon(session: &Session, from: DateTime<Utc>, until: DateTime<Utc>) -> Vec<String> {
    let is_on_it = |station: &&Station| {
        let turns = station
            .turns
            .iter()
            .filter(|turn| turn.shown.subject.id() == "moon");
        turns
            .clone()
            .any(|turn| turn.from <= from && until <= turn.until)
    };
    let stations = session.telescopes.iter().filter(is_on_it);
    stations.map(|station| station.name.clone()).collect()
}

/// Of two telescopes one is on the Moon in every slot while a part of it is in the umbra and an hour from the deepest moment at
/// most, and when that one drops out the other takes over.
#[test]
fn an_eclipsed_moon_is_never_left_alone() {
    let mut n = 0;
    for eclipse in umbral_eclipses() {
        let UmbralEclipse {
            greatest, partial, ..
        } = eclipse;
        let (mut workshop, ask) = evening_about(greatest, 30.0, longitude_deg(greatest));
        let other = Telescope {
            name: String::from("Other"),
            ..workshop.telescopes[0].clone()
        };
        workshop.telescopes.push(other);
        let half = half_of(partial);
        let half = half.min(TimeDelta::hours(1)) - TimeDelta::minutes(2);
        let plan = session(&workshop, &ask).expect("a plan");
        let slots = (plan.slots.iter())
            .filter(|slot| greatest - half <= slot.from && slot.until <= greatest + half);
        for slot in slots.clone() {
            let on_it = on_the_moon(&plan, slot.from, slot.until);
            assert!(!on_it.is_empty(), "{greatest}: nobody from {}", slot.from);
        }
        let first = slots.clone().next().expect("a slot");
        let upset = Upset {
            now: first.from.with_timezone(&plan.zone).time(),
            late_minutes: 0,
            out: vec![on_the_moon(&plan, first.from, first.until)[0].clone()],
            back: Vec::new(),
            clouds: Vec::new(),
            end: None,
        };
        let (changed, _) =
            session_as_noted(&workshop, &ask, &SessionNotes::default(), &[upset]).expect("a plan");
        for slot in slots.skip(1) {
            let on_it = on_the_moon(&changed, slot.from, slot.until);
            assert_eq!(
                on_it.len(),
                1,
                "{greatest}: nobody takes over at {}",
                slot.from
            );
        }
        n += 1;
    }
    assert_eq!(n, 8);
}

/// Where it is half past nine then.
fn longitude_deg(at: DateTime<Utc>) -> f64 {
    let hour = (at - at.date_naive().and_time(chrono::NaiveTime::MIN).and_utc()).num_minutes()
        as f64
        / 60.0;
    let ahead = (21.5 - hour + 12.0).rem_euclid(24.0) - 12.0;
    15.0 * ahead.clamp(-11.9, 11.9).round()
}

fn at_most_a_minute(got: DateTime<Utc>, want: DateTime<Utc>, what: &str) {
    let off_s = (got - want).num_seconds();
    assert!(off_s.abs() <= PROMISED_S, "{what}: {got} for {want}");
}

/// Text, poster, overview and calendar have it, on the clock of the place.
fn is_printed(session: &Session, moment: &Moment, words: &str) {
    // Clocks in print go to the nearest minute.
    let nearest = moment.at + TimeDelta::seconds(30);
    let clock = nearest
        .with_timezone(&session.zone)
        .format("%H:%M")
        .to_string();
    let spaced = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let timed = format!("{clock} {words}");
    let text = spaced(&show::session::page(session).text());
    assert!(text.contains(&timed), "no {timed} in {text}");
    let printing = Printing {
        session,
        notes: &SessionNotes::default(),
        unkept: &[],
        last: None,
        looks: &[],
        now: printed_at(),
    };
    let pages = files(&printing);
    for name in ["poster.html", "overview.html"] {
        let page = pages.iter().find(|page| page.file == name).expect("a page");
        let page = spaced(&page.text);
        assert!(page.contains(&timed), "no {timed} on {name}");
    }
    let stamp = format!("DTSTART:{}", moment.at.format("%Y%m%dT%H%M%SZ"));
    assert!(
        show::session::ics(session, printed_at()).contains(&stamp),
        "no {stamp}"
    );
}

/// Espenak and Meeus' catalogue: deepest moments and durations of the eclipses of 2026 to 2030 with a part in the umbra.
#[test]
fn eclipses_stand_on_every_page_to_the_minute() {
    let mut n = 0;
    for eclipse in umbral_eclipses() {
        let UmbralEclipse {
            greatest,
            kind,
            magnitude,
            partial,
            total,
        } = eclipse;
        let mut want = vec![
            (EclipseContact::U1, greatest - half_of(partial)),
            (EclipseContact::Greatest, greatest),
            (EclipseContact::U4, greatest + half_of(partial)),
        ];
        if kind == "T" {
            want.push((EclipseContact::U2, greatest - half_of(total)));
            want.push((EclipseContact::U3, greatest + half_of(total)));
        }
        let session = about(greatest, 5.0, longitude_deg(greatest));
        for (contact, at) in want {
            let found = session
                .moments
                .iter()
                .find(|it| it.what == MomentKind::Eclipse(contact));
            let found = found.unwrap_or_else(|| panic!("{greatest}: no {contact:?}"));
            at_most_a_minute(
                found.at,
                at,
                &format!("{greatest} {contact:?} of {magnitude}"),
            );
            is_printed(&session, found, &show::session::moments::words(found));
        }
        let is_on_the_moon = |moment: &&Moment| {
            let mut turns = session.telescopes[0].turns.iter();
            turns.any(|turn| turn.moments.contains(moment))
        };
        let contacts = session
            .moments
            .iter()
            .filter(|it| matches!(it.what, MomentKind::Eclipse(_)));
        let n_seen = contacts.filter(is_on_the_moon).count();
        assert!(
            2 <= n_seen,
            "{greatest}: {n_seen} contacts with the telescope on the Moon"
        );
        n += 1;
    }
    assert!(8 <= n, "{n} eclipses");
}

/// Stars and planets behind the Moon in the dark as skyfield has them.
#[test]
fn stars_behind_the_moon_stand_on_every_page_to_the_minute() {
    let names = columns(OCCULTATIONS);
    let column = |name: &str| names.iter().position(|it| *it == name).expect("a column");
    let mut n = 0;
    for row in rows(OCCULTATIONS) {
        let cell = |name: &str| row[column(name)];
        let ends = ["disappearance", "reappearance"];
        let is_seen = ends.iter().all(|end| {
            20.0 < number(cell(&format!("{end}_altitude_deg")))
                && number(cell(&format!("{end}_sun_altitude_deg"))) < -12.0
        });
        if !is_seen || 10 <= n {
            continue;
        }
        let at = |end: &str| -> DateTime<Utc> {
            cell(&format!("{end}_utc")).parse().expect("an instant")
        };
        let (goes, comes) = (at("disappearance"), at("reappearance"));
        let session = about(
            goes + (comes - goes) / 2,
            number(cell("latitude_deg")),
            number(cell("longitude_deg")),
        );
        for (want, is_wanted_back) in [(goes, false), (comes, true)] {
            let mut moments = session.moments.iter();
            let found = moments.find(|it| {
                matches!(it.what, MomentKind::Covered { is_back, .. } if is_back == is_wanted_back)
                    && (it.at - want).abs() < TimeDelta::minutes(5)
            });
            let found = found.unwrap_or_else(|| panic!("{row:?}: not told"));
            at_most_a_minute(found.at, want, cell("occulted"));
            is_printed(&session, found, &show::session::moments::words(found));
        }
        n += 1;
    }
    assert_eq!(n, 10);
}

/// Whatever is promised of shadows and moons before the disc lies within the turn and within their passage.
#[test]
fn nothing_is_promised_outside_its_minutes() {
    let (mut n_promises, mut n_turns) = (0, 0);
    for day in 0..36 {
        let evening = "2027-02-01T20:00:00Z"
            .parse::<DateTime<Utc>>()
            .expect("an instant");
        let session = about(evening + TimeDelta::days(day), 50.0, 10.0);
        for turn in session.telescopes.iter().flat_map(|station| &station.turns) {
            n_turns += 1;
            let fallback = turn.fallback.iter().map(|it| &it.shown);
            for shown in std::iter::once(&turn.shown).chain(fallback) {
                for verdict in std::iter::once(&shown.look_for).chain(&shown.others) {
                    let Some(row) = detail(&verdict.caption.id) else {
                        continue;
                    };
                    let kind = match row.shape {
                        Shape::MoonShadow => SatelliteEventKind::Shadow,
                        Shape::MoonBeforeDisc => SatelliteEventKind::Transit,
                        _ => continue,
                    };
                    let span = [turn.from, turn.until].map(tt_days);
                    let contacts = events(span[0] - 1.0, span[1] + 1.0).expect("in range");
                    let whole = skyworthy::sky::almanac::Span {
                        from_tt_days: span[0] - 1.0,
                        until_tt_days: span[1] + 1.0,
                    };
                    let all = passages(&contacts, whole);
                    let is_its = |hours: &skyworthy::plan::time_span::TimeSpan| {
                        all.iter().any(|passage| {
                            Some(passage.satellite) == row.satellite
                                && passage.kind == kind
                                && passage.span.contains(tt_days(hours.from) + 1e-5)
                                && passage.span.contains(tt_days(hours.until) - 1e-5)
                        })
                    };
                    for hours in turn.hours_of(verdict) {
                        n_promises += 1;
                        assert!(
                            turn.from <= hours.from && hours.until <= turn.until,
                            "{}",
                            row.id
                        );
                        assert!(
                            is_its(&hours),
                            "{} {} to {}",
                            row.id,
                            hours.from,
                            hours.until
                        );
                    }
                }
            }
            for moment in &turn.moments {
                assert!(turn.from <= moment.at && moment.at <= turn.until);
            }
        }
    }
    assert!(
        60 < n_turns && 8 < n_promises,
        "{n_turns} turns, {n_promises} promises"
    );
}
