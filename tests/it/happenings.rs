//! What happens between two dates, as a person at a place has it: dark, clear of the skyline, never at the Sun.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use skyworthy::plan::best_moment::{BestMoment, Chance};
use skyworthy::plan::happenings::{Happenings, Listed, happenings, happenings_between};
use skyworthy::plan::refusal::NoHappenings;
use skyworthy::sky::Body;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::happenings::What;
use skyworthy::sky::happenings::planets::MeetingKind;
use skyworthy::workshop::{Horizon, Workshop};
use skyworthy::{show, workshop};

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

fn example_between(from: &str, to: &str) -> Happenings {
    happenings(&workshop::example(), date(from), date(to)).expect("inside the ephemeris")
}

fn bodies(listed: &Listed) -> Vec<Body> {
    match &listed.happening.what {
        What::Meeting(meeting) => vec![meeting.body],
        What::Elongation(greatest) => vec![greatest.body],
        What::Nearest(nearest) => vec![nearest.body],
        What::Pairing(pair) => vec![pair.first, pair.second],
        What::RingPlane(_) => vec![Body::Saturn],
        _ => Vec::new(),
    }
}

fn moment(listed: &Listed) -> Option<BestMoment> {
    match listed.chance {
        Some(Chance::Seen(moment)) => Some(moment),
        _ => None,
    }
}

#[test]
fn nobody_is_sent_out_by_day_or_to_a_wall_or_to_the_sun() {
    let mut workshop = workshop::example();
    let wall = Horizon::from_corners(vec![(0.0, 8.0), (90.0, 30.0), (180.0, 20.0), (270.0, 12.0)]);
    workshop.site.horizon = wall.expect("a skyline");
    let site = &workshop.site;
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let all = happenings(&workshop, date("2026-01-01"), date("2028-12-31")).expect("in range");
    let mut n_moments = 0;
    for listed in &all.listed {
        let Some(moment) = moment(listed) else {
            continue;
        };
        n_moments += 1;
        let sun_deg = |at: DateTime<Utc>| {
            let scene = Scene::new(place, at).expect("in range");
            scene
                .appearance(Body::Sun)
                .expect("in range")
                .place
                .altitude_deg
        };
        assert!(sun_deg(moment.at) < -0.8, "by day: {listed:?}");
        // A quarter of an hour before sunrise: the Sun comes to the observer.
        assert!(
            sun_deg(moment.at + TimeDelta::minutes(15)) < -0.8,
            "too late: {listed:?}"
        );
        let scene = Scene::new(place, moment.at).expect("in range");
        for body in bodies(listed) {
            let seen = scene.appearance(body).expect("in range");
            let lowest_deg = site.horizon.altitude_deg(seen.place.azimuth_deg).max(5.0);
            assert!(
                lowest_deg - 0.01 < seen.place.refracted_altitude_deg,
                "behind a wall: {listed:?}"
            );
            assert!(9.0 < seen.place.elongation_deg, "at the Sun: {listed:?}");
        }
    }
    assert!(n_moments > 100, "only {n_moments} moments");
}

#[test]
fn days_one_by_one_make_the_same_list_as_the_whole() {
    let site = workshop::example().site;
    let start: DateTime<Utc> = "2026-10-01T11:00:00Z".parse().unwrap();
    let whole = happenings_between(&site, start, start + TimeDelta::days(60)).expect("in range");
    let days: Vec<Listed> = (0..60)
        .flat_map(|day| {
            let from = start + TimeDelta::days(day);
            happenings_between(&site, from, from + TimeDelta::days(1)).expect("in range")
        })
        .collect();
    assert_eq!(whole.len(), days.len());
    for (a, b) in whole.iter().zip(&days) {
        // The searches' tolerance, a twentieth of a second, and what a flat minimum hides.
        let apart_ms = (a.happening.at - b.happening.at).num_milliseconds().abs();
        assert!(apart_ms < 2_000, "{:?} {:?}", a.happening, b.happening);
    }
}

#[test]
fn the_sun_is_never_told_without_its_caution() {
    let all = example_between("2026-01-01", "2040-12-31");
    let eclipses = (all.listed.iter())
        .filter(|listed| matches!(listed.happening.what, What::SolarEclipse(_)))
        .count();
    let transits = (all.listed.iter())
        .filter(|listed| match &listed.happening.what {
            // One by longitude, one by right ascension: the page has the first.
            What::Meeting(meeting) => {
                meeting.kind == MeetingKind::InferiorConjunction && meeting.over_sun
            }
            _ => false,
        })
        .count();
    // Canon of solar eclipses: 34 in these years. Transits of Mercury: 2032 Nov 13, 2039 Nov 7 (from memory).
    assert_eq!((eclipses, transits), (34, 4));
    let page = show::happenings::page(&all).text();
    assert_eq!(
        page.matches("Not a target").count(),
        eclipses + transits / 2
    );
    assert!(page.contains("never at an eyepiece") || page.contains("eyepiece."));
    let json = show::happenings::json(&all);
    assert_eq!(json.matches("\"caution\":").count(), eclipses);
}

#[test]
fn a_lunar_eclipse_tells_contacts_and_eyepieces() {
    let all = example_between("2028-12-31", "2029-01-01");
    let page = show::happenings::page(&all).text();
    for part in [
        "Total eclipse of the Moon",
        "total ends",
        "The whole Moon in one view",
        "Hazel",
    ] {
        assert!(page.contains(part), "`{part}` is not in:\n{page}");
    }
    for fields in &all.telescopes {
        let whole = fields
            .whole_moon(0.52)
            .expect("the example's eyepieces are weak enough");
        let stronger = (fields.fields.iter())
            .filter(|field| whole.magnification < field.magnification)
            .all(|field| field.true_field_deg < 0.52);
        assert!(0.52 <= whole.true_field_deg && stronger, "{fields:?}");
        assert_eq!(fields.whole_moon(10.0), None);
    }
}

#[test]
fn every_place_on_earth_has_its_page() {
    for (latitude_deg, longitude_deg, zone) in [
        (90.0, 0.0, chrono_tz::UTC),
        (-90.0, 0.0, chrono_tz::Antarctica::McMurdo),
        (0.0, 180.0, chrono_tz::Pacific::Kiritimati),
        (65.0, -18.0, chrono_tz::Atlantic::Reykjavik),
        (-33.9, 151.2, chrono_tz::Australia::Sydney),
    ] {
        let mut workshop: Workshop = workshop::example();
        workshop.site.latitude_deg = latitude_deg;
        workshop.site.longitude_deg = longitude_deg;
        workshop.site.time_zone = zone;
        let all = happenings(&workshop, date("2026-07-01"), date("2027-06-30")).expect("in range");
        let page = show::happenings::page(&all).text();
        for line in page.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!page.contains("NaN") && page.contains("New Moon"), "{page}");
    }
}

#[test]
fn the_ends_of_the_ephemeris_are_reached_and_no_farther() {
    let workshop = workshop::example();
    for (from, to) in [("1950-01-02", "1950-01-31"), ("2100-12-01", "2100-12-30")] {
        let all = happenings(&workshop, date(from), date(to)).expect("inside");
        assert!(all.listed.len() > 4, "{from}");
    }
    for (from, to) in [
        ("1949-12-31", "1950-01-31"),
        ("2100-12-01", "2101-01-01"),
        ("-9999-01-01", "9999-12-31"),
    ] {
        let got = happenings(&workshop, date(from), date(to));
        assert_eq!(got, Err(NoHappenings::OutsideEphemeris), "{from}");
    }
    let (from, to) = (date("2027-01-02"), date("2027-01-01"));
    let got = happenings(&workshop, from, to);
    assert_eq!(got, Err(NoHappenings::Backwards { from, to }));
}

#[test]
fn great_days_as_everybody_remembers_them() {
    // From memory, to the day: Jupiter and Saturn 0.1 degrees apart 2020-12-21; Mars 24.3" at its nearest
    // 2018-07-31, 25.1" 2003-08-27; Venus before the Sun 2004-06-08 and 2012-06-06 (UTC).
    let has = |day: &str, wanted: &dyn Fn(&What) -> bool| {
        let all = example_between(day, day);
        all.listed
            .iter()
            .any(|listed| wanted(&listed.happening.what))
    };
    assert!(has(
        "2020-12-21",
        &|what| matches!(what, What::Pairing(pair)
        if (pair.first, pair.second) == (Body::Jupiter, Body::Saturn)
            && (pair.separation_deg - 0.102).abs() < 0.002)
    ));
    for (day, arcsec) in [("2018-07-31", 24.3), ("2003-08-27", 25.1)] {
        assert!(has(day, &|what| matches!(what, What::Nearest(nearest)
            if nearest.body == Body::Mars && (nearest.diameter_arcsec - arcsec).abs() < 0.06)));
    }
    for day in ["2004-06-08", "2012-06-06"] {
        assert!(has(day, &|what| matches!(what, What::Meeting(meeting)
            if meeting.body == Body::Venus && meeting.over_sun
                && meeting.kind == MeetingKind::InferiorConjunction)));
    }
}

#[test]
fn contacts_after_midnight_have_their_own_date() {
    // Greatest at 22:42 UTC on 20 December 2029, an hour before midnight in Spain (Espenak & Meeus, Five Millennium Canon).
    let page = show::happenings::page(&example_between("2029-12-20", "2029-12-20")).text();
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains("deepest 23:42 ("), "{page}");
    assert!(
        page.contains("shadow leaves 01:29 on 21 December"),
        "{page}"
    );
}

/// A year as a table and as a calendar: every entry of the page, each with its instant.
#[test]
fn a_year_for_a_spreadsheet_and_a_calendar() {
    let year = example_between("2027-01-01", "2027-12-31");
    let entries = show::happenings::entries(&year.listed, &year.telescopes, year.zone);
    assert!(50 < entries.len());

    let csv = show::happenings::csv(&year);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .expect("a head")
        .iter()
        .map(String::from)
        .collect();
    assert_eq!(head, show::happenings::table::COLUMNS);
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), entries.len());
    for (row, entry) in rows.iter().zip(&entries) {
        let local = format!(
            "{}T{}:00{}",
            &row[0],
            &row[1],
            row[2].replace("UTC", "").replace('\u{2212}', "-")
        );
        let at: DateTime<Utc> = row[3].parse().expect("an instant");
        assert!((at - entry.at).num_seconds().abs() <= 1, "{row:?}");
        assert!(
            local.starts_with("2027-") || local.starts_with("2028-01-01"),
            "{local}"
        );
        assert_eq!(
            (&row[5], &row[6]),
            (entry.words.as_str(), entry.more.join(" ").as_str())
        );
    }
    let kinds: std::collections::BTreeSet<&str> =
        rows.iter().map(|row| row.get(4).unwrap_or("")).collect();
    for kind in ["moon_phase", "opposition", "pairing", "solar_eclipse"] {
        assert!(kinds.contains(kind), "{kind} of {kinds:?}");
    }

    let now = crate::support::printed_at();
    let ics = show::happenings::ics(&year, now);
    let events = crate::session::calendar::events(&ics);
    assert_eq!(events.len(), entries.len());
    for (event, entry) in events.iter().zip(&entries) {
        assert_eq!(event.utc("DTSTART").timestamp(), entry.at.timestamp());
        assert_eq!(
            (event.text("SUMMARY"), event.utc("DTSTAMP")),
            (entry.words.clone(), now)
        );
    }
    // Known again whichever dates were asked for.
    let uids = |events: &[crate::session::calendar::Event]| -> Vec<String> {
        events.iter().map(|event| event.text("UID")).collect()
    };
    let all = uids(&events);
    assert_eq!(
        all.iter().collect::<std::collections::BTreeSet<_>>().len(),
        all.len()
    );
    let june = show::happenings::ics(&example_between("2027-06-01", "2027-06-30"), now);
    let june = uids(&crate::session::calendar::events(&june));
    assert!(
        !june.is_empty() && june.iter().all(|uid| all.contains(uid)),
        "{june:?}"
    );
}
