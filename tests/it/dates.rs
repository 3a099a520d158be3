//! Which evenings suit: what every organiser knows, the clocks of the world, places without night.

mod wishes;

use chrono::{DateTime, Datelike, NaiveDate, NaiveTime, TimeDelta, Utc, Weekday};
use proptest::prelude::*;

use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::{
    Audience, Dates, Evening, TermKind, Wanted, WhyMissing, Wished, dates,
};
use skyworthy::plan::night::{Wish, night};
use skyworthy::plan::outlook::Edge;
use skyworthy::plan::refusal::NoDates;
use skyworthy::plan::session::{Ask, session};
use skyworthy::sky::Body;
use skyworthy::targets::grade::Grade;
use skyworthy::workshop::{Horizon, Workshop};
use skyworthy::{show, workshop};

use crate::golden;
use crate::support::larch_at;

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

fn hours(from: &str, until: &str) -> ClockWindow {
    let time = |text| NaiveTime::parse_from_str(text, "%H:%M").expect("a time");
    ClockWindow::new(time(from), time(until)).expect("hours of a night")
}

fn wishes(ids: &[&str]) -> Audience {
    let wished = ids.iter().map(|id| Wished::of(id).expect("an id"));
    Audience::OwnList(wished.collect())
}

/// All telescopes, all days, 19:00 to 22:00.
fn wanted<'a>(workshop: &'a Workshop, from: &str, to: &str, audience: Audience) -> Wanted<'a> {
    Wanted {
        from: date(from),
        to: date(to),
        window: hours("19:00", "22:00"),
        audience,
        telescopes: workshop.telescopes.iter().collect(),
        weekdays: Vec::new(),
    }
}

fn found(workshop: &Workshop, wanted: &Wanted) -> Dates {
    dates(workshop, wanted, &|_, _| ()).expect("inside the ephemeris")
}

/// A 150 mm f/8 with a perfect mirror over a flat horizon in a town.
fn town(latitude_deg: f64, longitude_deg: f64, zone: &str) -> Workshop {
    let sky = "sky_brightness_mag_arcsec2 = 18.5";
    larch_at(latitude_deg, longitude_deg, zone, sky)
}

/// The page with its lines joined.
fn in_one_line(dates: &Dates) -> String {
    let page = show::dates::page(dates).text();
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn on<'a>(dates: &'a Dates, day: &str) -> &'a Evening {
    let day = date(day);
    let found = dates.evenings.iter().find(|evening| evening.on == day);
    found.unwrap_or_else(|| panic!("{day} is not among the evenings"))
}

fn shown_bodies(evening: &Evening) -> Vec<Body> {
    let subjects = evening.shown.iter();
    subjects
        .filter_map(|shown| shown.outlook.subject().body())
        .collect()
}

#[test]
fn the_public_comes_at_first_quarter() {
    // Common practice, no source. Spring of 2026: full Moon on 2 April, new on the 17th, first quarter on the
    // 24th; the Saturdays after these days are 4, 18 and 25 April.
    let madrid = town(40.4, -3.7, "Europe/Madrid");
    let mut wanted = wanted(&madrid, "2026-04-01", "2026-05-02", Audience::Public);
    wanted.weekdays = vec![Weekday::Sat];
    let found = found(&madrid, &wanted);
    let score = |day| on(&found, day).score;
    assert!(score("2026-04-04") + 2.0 < score("2026-04-25"));
    assert!(score("2026-04-18") + 2.0 < score("2026-04-25"));
    assert_eq!(found.best[0].evening.on, date("2026-04-25"));
}

#[test]
fn jupiter_is_an_evening_planet_from_opposition_on() {
    // Opposition on 10 February 2027. Common practice, no source: in the evening hours it is best placed in the
    // months after it; a shadow on its disc may single out an evening of the month before. Not to be seen about its
    // conjunction at the end of August.
    let town = town(46.0, 8.0, "Europe/Zurich");
    let wanted = wanted(&town, "2027-01-01", "2027-12-31", wishes(&["jupiter"]));
    let found = found(&town, &wanted);
    for best in &found.best {
        let days = (best.evening.on - date("2027-02-10")).num_days();
        assert!((-30..=100).contains(&days), "{}", best.evening.on);
    }
    assert_eq!(on(&found, "2027-08-25").score, 0.0);
}

#[test]
fn mirrors_are_tried_where_planets_stand_high() {
    let town = town(46.0, 8.0, "Europe/Zurich");
    let wanted = wanted(&town, "2027-01-01", "2027-12-31", Audience::FigureTest);
    let found = found(&town, &wanted);
    let best = &found.best[0].evening;
    assert!(shown_bodies(best).contains(&Body::Jupiter), "{}", best.on);
    for shown in &best.shown {
        assert!(20.0 < shown.outlook.at_best.place().refracted_altitude_deg);
        // The Moon's glare and phase tell nothing of a figure.
        assert_ne!(shown.outlook.subject().body(), Some(Body::Moon));
    }
    // Somebody tries a mirror on a pair between blurred and easy, if not on the very best evening.
    let mut shown = found.best.iter().flat_map(|best| &best.evening.shown);
    assert!(shown.any(|it| it.outlook.subject().body().is_none()));
}

#[test]
fn showpieces_count_and_a_full_moon_costs() {
    // Full Moon on 20 February 2027, first quarter on 6 November,
    // when Saturn stands high.
    let workshop = workshop::example();
    let found = found(
        &workshop,
        &wanted(&workshop, "2027-01-01", "2027-12-31", Audience::Public),
    );
    assert!(on(&found, "2027-02-19").score < on(&found, "2027-11-06").score);
    let n_evenings = |id: &str| {
        let counts = |it: &&Evening| it.shown.iter().any(|it| it.outlook.subject().id() == id);
        found.evenings.iter().filter(counts).count()
    };
    for id in ["m42", "m13", "m57"] {
        assert!(30 < n_evenings(id), "{id}: {}", n_evenings(id));
    }
    let of = |day: &str, id: &str| {
        let shown = on(&found, day).shown.clone();
        let it = shown.into_iter().find(|it| it.outlook.subject().id() == id);
        it.map_or(0.0, |it| it.points)
    };
    // New Moon on 8 March, full on the 22nd: what the Moon drowns brings less.
    assert!(of("2027-03-22", "m42") < 0.9 * of("2027-03-08", "m42"));
}

#[test]
fn summer_twilight_counts_against_an_evening() {
    let town = town(52.0, 5.0, "Europe/Amsterdam");
    let midsummer = found(
        &town,
        &wanted(&town, "2027-06-15", "2027-06-15", Audience::Public),
    );
    let evening = &midsummer.evenings[0];
    assert_eq!(evening.dark.minutes, 0.0);
    let taken: f64 = (evening.terms.iter())
        .filter(|term| matches!(term.kind, TermKind::Twilight | TermKind::Bedtime))
        .map(|term| term.points)
        .sum();
    let others: f64 = (evening.shown.iter()).map(|shown| shown.points).sum();
    assert!(taken < 0.0 || others == 0.0, "{evening:?}");
    let winter = found(
        &town,
        &wanted(&town, "2027-12-15", "2027-12-15", Audience::Public),
    );
    assert_eq!(winter.evenings[0].dark.minutes, 180.0);
    let takes = |kind| winter.evenings[0].terms.iter().any(|it| it.kind == kind);
    assert!(!takes(TermKind::Twilight) && !takes(TermKind::Bedtime));
}

#[test]
fn an_eclipse_within_the_hours_is_named_and_counts() {
    // Total eclipse of the Moon on 31 December 2028, from Rome all but its beginning; partial one of the Sun at sunset
    // on 12 August 2026, total in northern Spain (Espenak & Meeus).
    let rome = town(41.9, 12.5, "Europe/Rome");
    let mut evening = wanted(&rome, "2028-12-27", "2029-01-02", Audience::Public);
    evening.window = hours("17:00", "20:00");
    let lunar = found(&rome, &evening);
    assert_eq!(lunar.best[0].evening.on, date("2028-12-31"));
    let happens = &lunar.best[0].evening.happens;
    let points: Vec<f64> = (happens.iter())
        .filter(|it| it.is_umbral_eclipse())
        .map(|it| it.points)
        .collect();
    assert_eq!(points, [12.0]);
    assert!(
        show::dates::page(&lunar)
            .text()
            .contains("Total eclipse of the Moon")
    );
    let calendar = show::dates::months::page(&lunar).text();
    assert!(
        calendar.lines().any(|line| line.contains("E5")),
        "{calendar}"
    );
    assert!(show::dates::json(&lunar).contains("\"kind\": \"lunar_eclipse\""));
    // Named for whoever comes, without points for mirrors.
    evening.audience = Audience::FigureTest;
    let tried = found(&rome, &evening);
    let happens = &on(&tried, "2028-12-31").happens;
    assert!(happens.iter().any(|it| it.is_umbral_eclipse()));
    assert!(happens.iter().all(|it| it.points == 0.0));
    let burgos = town(42.3, -3.7, "Europe/Madrid");
    let mut sunset = wanted(&burgos, "2026-08-12", "2026-08-12", Audience::Public);
    sunset.window = hours("20:00", "23:00");
    let solar = show::dates::page(&found(&burgos, &sunset)).text();
    assert!(
        solar.contains("CAUTION, eclipse of the Sun here"),
        "{solar}"
    );
}

#[test]
fn a_full_moon_dazzles_and_what_shows_for_minutes_is_no_programme() {
    // Full Moon on 22 March 2027. On 12 June the Moon is at first quarter, and it is dark from 21:47.
    let town = town(45.6, 9.8, "Europe/Rome");
    let full = found(
        &town,
        &wanted(&town, "2027-03-22", "2027-03-22", Audience::Public),
    );
    let takes = |it: &Evening| it.terms.iter().any(|term| term.kind == TermKind::FullMoon);
    assert!(takes(&full.evenings[0]));
    let june = found(
        &town,
        &wanted(&town, "2027-06-12", "2027-06-12", Audience::Public),
    );
    assert!(!takes(&june.evenings[0]));
    let beyond: Vec<_> = (june.evenings[0].shown.iter())
        .filter(|it| it.outlook.subject().body().is_none())
        .collect();
    // What people call their friends for brings 3 and more where it shows all evening, here a quarter of an hour.
    assert!(!beyond.is_empty() && beyond.iter().all(|it| it.points < 1.0));
    let text = show::dates::page(&june).text();
    assert!(
        text.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("minutes past civil twilight")
    );
}

#[test]
fn an_observers_margin_is_said_where_it_shifts_grades() {
    let mut workshop = workshop::example();
    let text = |workshop: &Workshop| {
        let day = "2027-03-14";
        let dates = found(workshop, &wanted(workshop, day, day, Audience::Public));
        let wish = Wish {
            on: date(day),
            daylight: false,
        };
        let night = night(workshop, wish).expect("inside the ephemeris");
        [
            show::dates::page(&dates).text(),
            show::night::page(&night).text(),
        ]
    };
    assert!(
        text(&workshop)
            .iter()
            .all(|text| !text.contains("margin_dex"))
    );
    workshop.observer.margin_dex = -0.3;
    for text in text(&workshop) {
        assert!(
            text.contains("margin_dex of -0.30") && text.contains("0.50"),
            "{text}"
        );
    }
}

#[test]
fn each_wish_has_its_own_best_evening() {
    let workshop = workshop::example();
    let ids = ["saturn_ring", "jupiter_north_belt"];
    let found = found(
        &workshop,
        &wanted(&workshop, "2027-03-01", "2027-12-31", wishes(&ids)),
    );
    assert_eq!(found.wishes.len(), 2);
    for wish in &found.wishes {
        let shows = |evening: &&Evening| evening.shown.iter().any(|it| it.name == wish.name);
        let n_evenings = found.evenings.iter().filter(shows).count();
        assert_eq!(wish.n_evenings, n_evenings, "{}", wish.name);
        let (on_day, grade) = wish.best.expect("both show within the year");
        let evening = (found.evenings.iter())
            .find(|it| it.on == on_day)
            .expect("asked for");
        let shown = (evening.shown.iter())
            .find(|it| it.name == wish.name)
            .expect("shows");
        assert_eq!(shown.grade(), grade);
    }
    let months: Vec<u32> = found.of_months.iter().map(|it| it.on.month()).collect();
    assert!(months.is_sorted() && 6 < months.len(), "{months:?}");
}

#[test]
fn behind_the_skyline_nothing_counts() {
    let open = town(46.0, 8.0, "Europe/Zurich");
    let mut walled = open.clone();
    let wall = Horizon::from_corners(vec![(0.0, 80.0), (180.0, 80.0)]);
    walled.site.horizon = wall.expect("a skyline");
    let day = "2027-03-14";
    let seen = |workshop| {
        let found = found(workshop, &wanted(workshop, day, day, wishes(&["jupiter"])));
        found.evenings[0].clone()
    };
    assert!(0.0 < seen(&open).score);
    let evening = seen(&walled);
    assert_eq!(evening.score, 0.0);
    assert!(matches!(
        evening.missing[0].why,
        WhyMissing::Skyline { highest_deg } if (40.0..80.0).contains(&highest_deg)
    ));
}

#[test]
fn wishes_are_one_detail_or_whatever_shows() {
    let workshop = workshop::example();
    let day = "2027-03-14";
    let seen = |ids: &[&str]| {
        let found = found(&workshop, &wanted(&workshop, day, day, wishes(ids)));
        found.evenings[0].clone()
    };
    let belts = seen(&["jupiter_north_belt"]);
    // Two points where it is just plain; Jupiter stands high through these hours, and the belt is surer than that.
    assert!((2.0..4.0).contains(&belts.score), "{}", belts.score);
    assert_eq!(belts.shown[0].details.len(), 1);
    assert_eq!(belts.shown[0].grade(), Grade::Plain);
    // A detail of what is wished for as a whole, and the same wish twice, count once.
    let jupiter = seen(&["jupiter"]);
    assert!(1.5 * belts.score < jupiter.score);
    let twice = seen(&["jupiter", "jupiter_north_belt", "jupiter"]);
    assert_eq!(twice.score, jupiter.score);
    assert_eq!(Wished::of("sun"), None);
    assert_eq!(Wished::of("m13").map(|it| it.detail_id), Some(None));
    assert!(Wished::of("m13_stars").is_some_and(|it| it.detail_id.is_some()));
}

#[test]
fn a_morning_list_stops_before_the_sun_comes() {
    // Venus stands in the morning sky of January and February 2027 (greatest elongation west on 3 January).
    let town = town(40.0, 0.0, "Europe/Madrid");
    let mut wanted = wanted(&town, "2027-02-10", "2027-02-10", wishes(&["venus"]));
    wanted.window = hours("06:30", "08:00");
    let found = found(&town, &wanted);
    let evening = &found.evenings[0];
    let shown = &evening.shown[0];
    let last = shown.outlook.stretches.last().expect("a stretch");
    assert_eq!(last.ends, Edge::BeforeSunrise);
    assert!(
        show::dates::page(&found)
            .text()
            .contains("the Sun comes to you")
    );
    assert!(last.until < evening.until);
}

#[test]
fn hours_end_a_quarter_of_an_hour_before_a_sunrise_that_follows_them() {
    let town = town(40.0, 0.0, "Europe/Madrid");
    let mut wanted = wanted(&town, "2027-02-10", "2027-02-10", wishes(&["venus"]));
    wanted.window = hours("06:30", "08:00");
    let stop = |dates: &Dates| -> DateTime<Utc> {
        let stretches = &dates.evenings[0].shown[0].outlook.stretches;
        stretches.last().expect("a stretch").until
    };
    let at = stop(&found(&town, &wanted));
    let local = at.with_timezone(&town.site.time_zone).time();
    // Ten minutes before sunrise, which is a quarter of an hour after the stop.
    let ten_before = local + TimeDelta::minutes(5);
    wanted.window = ClockWindow::new(wanted.window.from(), ten_before).expect("hours");
    assert!((stop(&found(&town, &wanted)) - at).abs() < TimeDelta::seconds(5));
}

#[test]
fn evenings_keep_their_hours_over_a_change_of_clocks() {
    // IANA: 25 October 2026 in Madrid, 1 November in Chicago, 4 October in Sydney.
    for (zone, longitude_deg, latitude_deg, from, to) in [
        ("Europe/Madrid", -3.7, 40.4, "2026-10-20", "2026-10-30"),
        ("America/Chicago", -87.6, 41.9, "2026-10-27", "2026-11-06"),
        ("Australia/Sydney", 151.2, -33.9, "2026-09-29", "2026-10-09"),
    ] {
        let town = town(latitude_deg, longitude_deg, zone);
        let found = found(&town, &wanted(&town, from, to, Audience::Public));
        assert_eq!(found.evenings.len(), 11, "{zone}");
        for evening in &found.evenings {
            let local = evening.from.with_timezone(&found.zone);
            assert_eq!(local.format("%H:%M").to_string(), "19:00", "{zone}");
            assert_eq!(local.date_naive(), evening.on);
            assert_eq!((evening.until - evening.from).num_minutes(), 180);
        }
        let offset = |evening: &Evening| evening.from.time();
        assert_ne!(
            offset(&found.evenings[0]),
            offset(&found.evenings[10]),
            "{zone}"
        );
    }
}

#[test]
fn without_night_there_are_words() {
    let polar = town(78.2, 15.6, "Arctic/Longyearbyen");
    let summer = found(
        &polar,
        &wanted(&polar, "2027-06-01", "2027-06-30", Audience::FigureTest),
    );
    assert!(summer.best.is_empty());
    let text = in_one_line(&summer);
    assert!(text.contains("never past civil twilight"), "{text}");
    let calendar = show::dates::months::page(&summer).text();
    assert!(calendar.contains("f~ f~"), "{calendar}");
    // Where the Sun never comes up there is no twilight to take anything.
    let winter = found(
        &polar,
        &wanted(&polar, "2026-12-15", "2026-12-20", Audience::Public),
    );
    assert!(winter.evenings.iter().all(|it| it.dark.minutes == 180.0));
}

#[test]
fn another_day_is_never_the_same_day_and_lies_near() {
    let workshop = workshop::example();
    let mut wanted = wanted(&workshop, "2027-01-01", "2027-06-30", Audience::Public);
    wanted.weekdays = vec![Weekday::Fri, Weekday::Sat];
    let found = found(&workshop, &wanted);
    assert_eq!(found.best.len(), 5);
    for (idx, best) in found.best.iter().enumerate() {
        assert!(wanted.weekdays.contains(&best.evening.on.weekday()));
        let backup = best.backup.as_ref().expect("something shows");
        let days = (backup.evening.on - best.evening.on).num_days();
        assert!((1..=10).contains(&days), "{days}");
        if let Some(other) = &best.other_backup {
            assert!(wanted.weekdays.contains(&other.evening.on.weekday()));
            let days = (other.evening.on - backup.evening.on).num_days().abs();
            assert!((4..=10).contains(&days), "{days}");
        }
        for other in &found.best[..idx] {
            assert!(best.evening.score <= other.evening.score);
            assert!(7 <= (other.evening.on - best.evening.on).num_days().abs());
        }
    }
}

#[test]
fn the_same_evening_is_worth_the_same_in_any_range() {
    let workshop = workshop::example();
    let all = found(
        &workshop,
        &wanted(&workshop, "2027-03-01", "2027-03-31", Audience::Public),
    );
    let one = found(
        &workshop,
        &wanted(&workshop, "2027-03-14", "2027-03-14", Audience::Public),
    );
    assert_eq!(*on(&all, "2027-03-14"), one.evenings[0]);
}

#[test]
fn ranges_that_are_none_are_explained() {
    let workshop = workshop::example();
    let ask = |from, to| {
        dates(
            &workshop,
            &wanted(&workshop, from, to, Audience::Public),
            &|_, _| (),
        )
    };
    assert!(matches!(
        ask("2027-02-01", "2027-01-01"),
        Err(NoDates::Backwards { .. })
    ));
    assert!(matches!(
        ask("2027-01-01", "2029-12-31"),
        Err(NoDates::TooMany { evenings: 1096, .. })
    ));
    assert!(matches!(
        ask("1949-12-01", "1949-12-31"),
        Err(NoDates::NoNight(_))
    ));
    // A Saturday was asked for, and there is none.
    let mut sunday = wanted(&workshop, "2027-03-14", "2027-03-14", Audience::Public);
    sunday.weekdays = vec![Weekday::Sat];
    let none = dates(&workshop, &sunday, &|_, _| ());
    assert_eq!(none, Err(NoDates::NoEvenings));
    // To the last night of the ephemeris, with nothing after it to fall back on.
    let last = ask("2100-12-28", "2100-12-30").expect("inside the ephemeris");
    assert_eq!(last.evenings.len(), 3);
}

#[test]
fn a_month_as_a_calendar() {
    let workshop = workshop::example();
    let mut wanted = wanted(&workshop, "2027-02-20", "2027-03-31", Audience::Public);
    wanted.window = hours("19:30", "21:30");
    let found = found(&workshop, &wanted);
    golden::check("dates.txt", &show::dates::page(&found).text());
    golden::check(
        "dates-calendar.txt",
        &show::dates::months::page(&found).text(),
    );
}

#[test]
fn a_calendar_drawn_has_every_evening_once() {
    let mut workshop = workshop::example();
    workshop.site.name = String::from("<Roof> & \"terrace\"");
    let found = found(
        &workshop,
        &wanted(&workshop, "2027-02-20", "2027-04-03", Audience::Public),
    );
    let svg = show::picture::dates::svg(&found);
    let document = roxmltree::Document::parse(&svg).expect("well-formed");
    let texts: Vec<&str> = (document.descendants())
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| node.text())
        .collect();
    assert!(texts.contains(&"<Roof> & \"terrace\""));
    for month in ["February 2027", "March 2027", "April 2027"] {
        assert!(texts.contains(&month), "{month}");
    }
    // As high as a sheet of A4 at most.
    let size = |name| document.root_element().attribute(name).expect("a size");
    let of_sheet = |name| size(name).parse::<f64>().expect("a number");
    assert!(of_sheet("height") <= 1.42 * of_sheet("width"));
    let n_days = |day: &str| texts.iter().filter(|text| **text == day).count();
    assert_eq!((n_days("20"), n_days("31"), n_days("1")), (3, 1, 3));
    let n_boxes = (document.descendants())
        .filter(|node| node.attribute("height") == Some("6.0"))
        .count();
    assert_eq!(n_boxes, 5 * found.evenings.len());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn any_place_and_range_has_an_answer(
        latitude_deg in -90.0..=90.0f64,
        longitude_deg in -180.0..=180.0f64,
        zone in prop::sample::select(vec!["UTC", "Pacific/Apia", "Asia/Kathmandu", "America/St_Johns"]),
        first in 0i64..54_000,
        days in 0i64..12,
        from_minutes in 0u32..1380,
        long_minutes in 30u32..700,
        wall_deg in 0.0..80.0f64,
        audience in 0usize..3,
    ) {
        let mut town = town(latitude_deg, longitude_deg, zone);
        town.site.horizon = Horizon::from_corners(vec![(0.0, wall_deg), (180.0, 10.0)]).expect("a skyline");
        let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("a time");
        let from_time = noon + TimeDelta::minutes(from_minutes.into());
        let until_time = from_time + TimeDelta::minutes(long_minutes.into());
        prop_assume!(ClockWindow::new(from_time, until_time).is_some());
        let from = date("1950-02-01") + TimeDelta::days(first);
        let wanted = Wanted {
            from,
            to: from + TimeDelta::days(days),
            window: ClockWindow::new(from_time, until_time).expect("assumed"),
            audience: [Audience::Public, Audience::FigureTest, wishes(&["saturn", "neptune", "m31"])][audience].clone(),
            telescopes: town.telescopes.iter().collect(),
            weekdays: Vec::new(),
        };
        let found = match dates(&town, &wanted, &|_, _| ()) {
            Err(NoDates::NoEvenings) => return Ok(()),
            found => found.expect("inside the ephemeris"),
        };
        for evening in &found.evenings {
            let sum: f64 = evening.shown.iter().map(|it| it.points).sum::<f64>()
                + evening.happens.iter().map(|it| it.points).sum::<f64>()
                + evening.terms.iter().map(|it| it.points).sum::<f64>();
            prop_assert!(evening.score.is_finite() && (evening.score - sum).abs() < 1e-9);
            for shown in &evening.shown {
                prop_assert!(evening.from <= shown.outlook.best && shown.outlook.best <= evening.until);
                prop_assert!(shown.outlook.sky.sun_altitude_deg < 0.0);
            }
        }
        prop_assert!(found.evenings.is_sorted_by_key(|evening| evening.on));
        prop_assert!(found.best.is_sorted_by(|a, b| b.evening.score <= a.evening.score));
        let pages = [
            show::dates::page(&found).text(),
            show::dates::months::page(&found).text(),
            show::dates::json(&found),
            show::picture::dates::svg(&found),
        ];
        for page in &pages {
            prop_assert!(!page.contains("NaN"));
        }
        for line in pages[0].lines().chain(pages[1].lines()) {
            prop_assert!(line.chars().count() <= 80, "{}", line);
        }
    }
}

#[test]
fn an_evening_has_the_date_of_its_first_hour() {
    let town = town(40.0, 0.0, "Europe/Madrid");
    let page = |from: &str, until: &str| {
        let mut wanted = wanted(&town, "2027-02-12", "2027-02-12", Audience::Public);
        wanted.window = hours(from, until);
        show::dates::page(&found(&town, &wanted)).text()
    };
    // Friday's evening; hours that are Saturday's.
    let evening = page("20:00", "23:00");
    assert!(
        evening.contains("\n1. Friday 12 February 2027:"),
        "{evening}"
    );
    let night = page("00:30", "03:00");
    let named = "\n1. Saturday 13 February 2027 (the night of Friday 12 February):";
    assert!(night.contains(named), "{night}");
    // Through midnight: still Friday's.
    let late = page("21:00", "01:00");
    assert!(late.contains("\n1. Friday 12 February 2027:"), "{late}");
}

/// Nobody chooses an evening by one scale to run it by another.
#[test]
fn what_an_evening_is_chosen_for_is_shown() {
    let workshop = workshop::example();
    let day = "2027-02-12";
    let chosen = found(&workshop, &wanted(&workshop, day, day, Audience::Public));
    let counts = |id: &str| {
        let mut shown = chosen.evenings[0].shown.iter();
        shown.any(|it| it.outlook.subject().id() == id)
    };
    let ask = Ask {
        on: date(day),
        window: chosen.window,
        visitors: 120,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    };
    let evening = session(&workshop, &ask).expect("a plan");
    let turns: Vec<String> = (evening.telescopes.iter())
        .flat_map(|station| &station.turns)
        .map(|turn| turn.shown.subject.id().to_string())
        .collect();
    let (near, beyond): (Vec<_>, Vec<_>) =
        (turns.iter()).partition(|id| skyworthy::sky::Body::from_id(id).is_some());
    assert!(near.iter().all(|id| counts(id)), "{turns:?}");
    // Of what lies beyond the planets the evening shows more than it is chosen for, but that too, once Castor and Mizar in one
    // answer and clusters in the other.
    let n_common = beyond.iter().filter(|id| counts(id)).count();
    assert!(1 <= n_common, "{turns:?}");
}
