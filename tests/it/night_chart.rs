//! The picture of a night: what its curves are, and that it draws them.

use chrono::{DateTime, NaiveDate, Utc};
use proptest::prelude::*;
use roxmltree::{Document, Node};

use crate::support::larch_at;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::night::{Wish, night};
use skyworthy::plan::night_curves::{CurvePoint, Light, NightCurves, Standing, night_curves};
use skyworthy::plan::time_span::TimeSpan;
use skyworthy::show::picture::night::svg;
use skyworthy::sky::almanac::SUNRISE_ALTITUDE_DEG;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::{Appearance, Body};
use skyworthy::workshop;
use skyworthy::workshop::{Mark, Site};

use super::cli::{folder, refuses, run_in};

fn hours(text: &str, on: NaiveDate, site: &Site) -> TimeSpan {
    let window = ClockWindow::said(text).expect("hours");
    window.on(on, site.time_zone).expect("hours of that night")
}

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

fn site(latitude_deg: f64, longitude_deg: f64, zone: &str, horizon: &str) -> Site {
    let more = format!("name = \"<script>&\"\nhorizon = {horizon}");
    larch_at(latitude_deg, longitude_deg, zone, &more).site
}

const WALLS: &str =
    "[[0, 12], [60, 18], [61, 40], [100, 40], [101, 3], [200, 3], [270, 9], [330, 15]]";

fn appearance(site: &Site, body: Body, at: DateTime<Utc>) -> Appearance {
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let scene = Scene::new(place, at).expect("inside the ephemeris");
    scene.appearance(body).expect("inside the ephemeris")
}

/// Between two points, as a line on paper goes.
fn half_way(pair: &[CurvePoint]) -> (DateTime<Utc>, f64) {
    let at = pair[0].at + (pair[1].at - pair[0].at) / 2;
    (at, 0.5 * (pair[0].altitude_deg + pair[1].altitude_deg))
}

/// Every `every`-th point, and half-way to the next, against the exact chain; what is to be looked at against the
/// rules of safety.
fn hold_curves(site: &Site, curves: &NightCurves, every: usize) {
    let pieces = |curve: &skyworthy::plan::night_curves::BodyCurve| curve.pieces.clone();
    for (body, piece) in (curves.bodies.iter())
        .flat_map(|curve| pieces(curve).into_iter().map(|piece| (curve.body, piece)))
    {
        assert!(2 <= piece.points.len());
        for pair in piece.points.windows(2) {
            assert!(pair[0].at < pair[1].at, "times ascend");
        }
        for pair in piece.points.windows(2).step_by(every) {
            let exact = appearance(site, body, pair[0].at);
            let off_deg = exact.place.refracted_altitude_deg - pair[0].altitude_deg;
            assert!(off_deg.abs() < 0.001, "{body:?} {off_deg}");
            let (at, drawn_deg) = half_way(pair);
            // A chord of ten minutes: the second derivative of the altitude, at most the square of the Earth's turning
            // times tan 80, makes 0.08 degrees; that of Saemundsson's refraction at the horizon about as much.
            let off_deg = appearance(site, body, at).place.refracted_altitude_deg - drawn_deg;
            assert!(
                off_deg.abs() < 0.1 || 80.0 < drawn_deg,
                "{body:?} {at} {off_deg}"
            );
            if piece.standing == Standing::ToLookAt {
                let seen = appearance(site, body, at);
                let skyline_deg = site.horizon.altitude_deg(seen.place.azimuth_deg).max(5.0);
                assert!(
                    skyline_deg - 0.01 < seen.place.refracted_altitude_deg,
                    "{body:?} {at}"
                );
                for at in [pair[0].at, at, pair[1].at] {
                    let sun_deg = appearance(site, Body::Sun, at).place.altitude_deg;
                    assert!(sun_deg < SUNRISE_ALTITUDE_DEG + 0.001, "{body:?} {at}");
                }
            }
        }
    }
}

fn hold_spells(site: &Site, curves: &NightCurves) {
    let spells = &curves.spells;
    assert_eq!(spells[0].span.from, curves.drawn.from);
    assert_eq!(spells[spells.len() - 1].span.until, curves.drawn.until);
    for pair in spells.windows(2) {
        assert_eq!(pair[0].span.until, pair[1].span.from);
        assert_ne!(pair[0].light, pair[1].light);
    }
    for spell in spells {
        let middle = spell.span.from + (spell.span.until - spell.span.from) / 2;
        let (low_deg, high_deg) = match spell.light {
            Light::Day => (SUNRISE_ALTITUDE_DEG, 90.0),
            Light::Civil => (-6.0, SUNRISE_ALTITUDE_DEG),
            Light::Nautical => (-12.0, -6.0),
            Light::Astronomical => (-18.0, -12.0),
            Light::Dark => (-90.0, -18.0),
        };
        for at in [spell.span.from, middle, spell.span.until] {
            let sun_deg = appearance(site, Body::Sun, at).place.altitude_deg;
            assert!(
                low_deg - 0.002 < sun_deg && sun_deg < high_deg + 0.002,
                "{spell:?}"
            );
        }
    }
}

#[test]
fn curves_are_where_the_exact_chain_puts_the_bodies() {
    let far_north = site(69.6, 18.9, "Europe/Oslo", WALLS);
    let south = site(-45.0, 170.5, "Pacific/Auckland", WALLS);
    let tropics = site(1.3, 103.8, "Asia/Singapore", "[[0, 0]]");
    for (site, on) in [
        (&workshop::example().site, "2026-12-17"),
        (&workshop::example().site, "2027-06-20"),
        (&far_north, "2026-12-17"),
        (&far_north, "2027-06-20"),
        (&far_north, "2026-11-20"),
        (&south, "2027-06-20"),
        (&tropics, "2027-03-20"),
    ] {
        let curves = night_curves(site, date(on), None).expect("a night");
        hold_curves(site, &curves, 3);
        hold_spells(site, &curves);
        hold_drawing(&svg(&curves), &curves);
    }
}

#[test]
fn what_is_drawn_strongly_is_what_the_night_lists() {
    let workshop = workshop::example();
    for on in ["2026-12-17", "2027-02-20", "2027-06-20"] {
        let wish = Wish {
            on: date(on),
            daylight: false,
        };
        let night = night(&workshop, wish).expect("a night");
        let curves = night_curves(&workshop.site, date(on), None).expect("a night");
        let mut listed = 0;
        for target in &night.telescopes[0].targets {
            let Some(body) = target.outlook.subject().body() else {
                continue;
            };
            let curve = curves.bodies.iter().find(|curve| curve.body == body);
            let pieces = &curve.expect("a curve").pieces;
            let strong: Vec<_> = (pieces.iter())
                .filter(|piece| piece.standing == Standing::ToLookAt)
                .map(|piece| (piece.points[0].at, piece.points[piece.points.len() - 1].at))
                .collect();
            let stretches = target.outlook.stretches.iter();
            let want: Vec<_> = stretches.map(|each| (each.from, each.until)).collect();
            assert_eq!(strong.len(), want.len(), "{body:?}");
            for (got, want) in strong.iter().zip(&want) {
                let off_ms = |a: DateTime<Utc>, b: DateTime<Utc>| (a - b).num_milliseconds().abs();
                assert!(
                    off_ms(got.0, want.0) < 200 && off_ms(got.1, want.1) < 200,
                    "{body:?}"
                );
            }
            listed += 1;
        }
        assert!(2 <= listed);
    }
}

// ---- the drawing ------------------------------------------------------------------------------

fn number(node: Node, name: &str) -> f64 {
    let text = node.attribute(name).expect("an attribute");
    text.parse().expect("a number")
}

fn with_class<'a>(node: Node<'a, 'a>, class: &'static str) -> impl Iterator<Item = Node<'a, 'a>> {
    let nodes = node.descendants();
    nodes.filter(move |node| node.attribute("class") == Some(class))
}

/// `M1.0 2.0L3.0 4.0`
fn points(path: &str) -> Vec<(f64, f64)> {
    let steps = path.split(['M', 'L']).filter(|step| !step.is_empty());
    steps
        .map(|step| {
            let (x, y) = step.split_once(' ').expect("two numbers");
            (x.parse().expect("a number"), y.parse().expect("a number"))
        })
        .collect()
}

/// Left, top, width and height of the letters of a node, a sans-serif letter being about 0.56 of its height wide.
fn extent(node: Node) -> (f64, f64) {
    let letters = node.text().unwrap_or_default().chars().count() as f64;
    let size = (node
        .ancestors()
        .find_map(|node| node.attribute("font-size")))
    .map_or(14.0, |size| size.parse().expect("a size"));
    let length = 0.56 * size * letters;
    let x = number(node, "x");
    let left = match node.attribute("text-anchor") {
        Some("end") => x - length,
        Some("middle") => x - length / 2.0,
        _ => x,
    };
    (left, left + length)
}

/// Well-formed, every body named once in each panel, curves inside the frame, twilights side by side.
fn hold_drawing(svg: &str, curves: &NightCurves) {
    assert!(!svg.contains("<script") && !svg.contains("NaN") && !svg.contains("inf"));
    let document = Document::parse(svg).expect("well-formed XML");
    let width = number(document.root_element(), "width");
    for node in document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
    {
        if node.attribute("transform").is_none() {
            let (left, right) = extent(node);
            assert!(0.0 <= left && right <= width, "{:?}", node.text());
        }
    }
    for class in ["altitudes", "skyline"] {
        let panel = with_class(document.root_element(), class)
            .next()
            .expect("a panel");
        let frame = panel.descendants().rfind(|node| node.has_tag_name("rect"));
        let frame = frame.expect("a frame");
        let (left, top) = (number(frame, "x"), number(frame, "y"));
        let (right, bottom) = (left + number(frame, "width"), top + number(frame, "height"));
        for curve in &curves.bodies {
            let named = panel
                .descendants()
                .filter(|node| node.has_tag_name("text") && node.text() == Some(curve.body.name()));
            assert_eq!(named.count(), 1, "{class}: {:?}", curve.body);
        }
        let bodies: Vec<_> = with_class(panel, "body").collect();
        assert_eq!(bodies.len(), curves.bodies.len());
        for path in bodies.iter().flat_map(|body| body.descendants()) {
            let Some(path) = path.attribute("d") else {
                continue;
            };
            let points = points(path);
            for (x, y) in &points {
                let inside = (left - 0.06..=right + 0.06).contains(x)
                    && (top - 0.06..=bottom + 0.06).contains(y);
                assert!(inside, "{class}: {x} {y}");
            }
            let ascend = points.windows(2).all(|pair| pair[0].0 <= pair[1].0);
            assert!(ascend || class == "skyline", "times ascend");
        }
        if class == "altitudes" {
            let bands: Vec<_> = with_class(panel, "light").collect();
            assert_eq!(bands.len(), curves.spells.len());
            let mut end = left;
            for band in bands {
                assert!((number(band, "x") - end).abs() < 0.11, "no gap, no overlap");
                end = number(band, "x") + number(band, "width");
            }
            assert!((end - right).abs() < 0.11);
        }
    }
}

#[test]
fn a_name_is_only_a_name() {
    let site = site(43.0, 0.0, "Europe/Madrid", WALLS);
    let session = hours("20:00-22:30", date("2026-12-17"), &site);
    let curves = night_curves(&site, date("2026-12-17"), Some(session)).expect("a night");
    let svg = svg(&curves);
    hold_drawing(&svg, &curves);
    assert!(svg.contains("&lt;script&gt;&amp;, the night of Thursday 17 December 2026"));
    assert!(svg.contains(">session 20:00-22:30<"));
}

#[test]
fn what_stands_on_the_skyline_is_named_there() {
    for (latitude_deg, zone) in [(43.0, "Europe/Madrid"), (-34.0, "Australia/Sydney")] {
        let mut site = site(latitude_deg, 0.0, zone, WALLS);
        let marks = [(0.0, "gate"), (80.0, "water tower"), (200.0, "<mast>")];
        site.marks = marks
            .map(|(azimuth_deg, name)| Mark {
                azimuth_deg,
                width_deg: 0.0,
                name: String::from(name),
            })
            .to_vec();
        let curves = night_curves(&site, date("2026-12-17"), None).expect("a night");
        let (first, last) = (
            &curves.skyline[0],
            &curves.skyline[curves.skyline.len() - 1],
        );
        for (mark, (azimuth_deg, name)) in curves.marks.iter().zip(marks) {
            assert_eq!(mark.name, name);
            let drawn_deg = mark.point.azimuth_deg;
            assert!(first.azimuth_deg <= drawn_deg && drawn_deg <= last.azimuth_deg);
            assert_eq!((drawn_deg - azimuth_deg).rem_euclid(360.0), 0.0);
            let skyline_deg = site.horizon.altitude_deg(azimuth_deg);
            assert_eq!(mark.point.altitude_deg, skyline_deg);
        }
        let svg = svg(&curves);
        hold_drawing(&svg, &curves);
        for name in ["gate", "water tower", "&lt;mast&gt;"] {
            assert_eq!(svg.matches(&format!(">{name}<")).count(), 1, "{name}");
        }
    }
}

/// Words below the upper panel's frame and where they stand.
fn hours_of(svg: &str) -> Vec<(f64, String)> {
    let document = Document::parse(svg).expect("well-formed XML");
    let panel = with_class(document.root_element(), "altitudes")
        .next()
        .expect("a panel");
    let frame = panel.descendants().rfind(|node| node.has_tag_name("rect"));
    let frame = frame.expect("a frame");
    let below = number(frame, "y") + number(frame, "height") + 20.0;
    (panel.descendants())
        .filter(|node| node.has_tag_name("text") && node.attribute("text-anchor") == Some("middle"))
        .filter(|node| {
            node.attribute("transform").is_none() && (number(*node, "y") - below).abs() < 0.2
        })
        .map(|node| {
            (
                number(node, "x"),
                node.text().unwrap_or_default().to_string(),
            )
        })
        .collect()
}

#[test]
fn hours_are_right_where_the_clocks_change() {
    // IANA: Europe/Madrid goes back at 01:00 UTC on 25 October, forward on 29 March 2026.
    let site = site(43.0, 0.0, "Europe/Madrid", WALLS);
    for (on, want) in [
        ("2026-10-24", "19 20 21 22 23 00 01 02 02 03 04 05 06 07 08"),
        ("2026-03-28", "19 20 21 22 23 00 01 03 04 05 06 07 08"),
        (
            "2026-12-01",
            "17 18 19 20 21 22 23 00 01 02 03 04 05 06 07 08 09",
        ),
    ] {
        let curves = night_curves(&site, date(on), None).expect("a night");
        let svg = svg(&curves);
        let hours = hours_of(&svg);
        let words: Vec<&str> = hours.iter().map(|(_, words)| words.as_str()).collect();
        assert_eq!(words.join(" "), want);
        let steps = hours.windows(2).map(|pair| pair[1].0 - pair[0].0);
        let steps: Vec<f64> = steps.collect();
        assert!(
            steps.iter().all(|step| (step - steps[0]).abs() < 0.21),
            "an hour is an hour"
        );
        assert_eq!(svg.contains("clocks change"), on != "2026-12-01");
    }
}

#[test]
fn a_polar_day_has_no_night_and_a_polar_night_no_day() {
    let site = site(78.2, 15.6, "Arctic/Longyearbyen", "[[0, 0]]");
    let midsummer = night_curves(&site, date("2027-06-20"), None).expect("a day");
    let lights: Vec<Light> = midsummer.spells.iter().map(|spell| spell.light).collect();
    assert_eq!(lights, [Light::Day]);
    let strong = midsummer.bodies.iter().flat_map(|curve| &curve.pieces);
    assert!(
        strong
            .into_iter()
            .all(|piece| piece.standing != Standing::ToLookAt)
    );
    assert!(svg(&midsummer).contains("The Sun does not set"));
    let midwinter = night_curves(&site, date("2026-12-17"), None).expect("a night");
    assert!(
        midwinter
            .spells
            .iter()
            .all(|spell| spell.light != Light::Day)
    );
    for curves in [&midsummer, &midwinter] {
        assert_eq!((curves.drawn.until - curves.drawn.from).num_hours(), 24);
        hold_drawing(&svg(curves), curves);
    }
}

#[test]
fn the_session_is_always_on_the_paper() {
    let site = workshop::example().site;
    let on = date("2027-06-20");
    let session = hours("18:00-19:00", on, &site);
    let curves = night_curves(&site, on, Some(session)).expect("a night");
    let TimeSpan { from, .. } = curves.drawn;
    assert_eq!(from, session.from, "before sunset less an hour");
    hold_drawing(&svg(&curves), &curves);
}

#[test]
fn the_program_draws_what_it_is_asked_for() {
    let folder = folder();
    let on = ["night", "--on", "2026-12-17"];
    let with = |more: &[&str]| run_in(folder.path(), &[&on[..], more].concat());
    let drawn = with(&["--window", "18:00-21:30", "--output", "night.svg"]);
    assert!(drawn.status.success());
    let svg = std::fs::read_to_string(folder.path().join("night.svg")).expect("a picture");
    assert!(Document::parse(&svg).is_ok() && svg.contains("session 18:00-21:30"));
    for (more, parts) in [
        (
            &["--output", "night.svg"][..],
            &["exists", "--overwrite"][..],
        ),
        (
            &["--output", "night.png"],
            &[".html for a page, .svg for a picture"],
        ),
        (&["--json", "--output", "night.svg"], &[".json"]),
        (&["--window", "18:00-21:30"], &["--output night.svg"]),
        (&["--daylight", "--output", "day.svg"], &["--daylight"]),
        (&["--window", "6pm", "--output", "a.svg"], &["20:00-22:30"]),
        (
            &["--window", "22:00-20:00", "--output", "a.svg"],
            &["22:00-01:00"],
        ),
    ] {
        refuses(&with(more), parts);
    }
    let texts = with(&["--output", "night.txt"]);
    assert!(texts.status.success());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn any_site_and_night_can_be_drawn(
        latitude_deg in -90.0f64..=90.0,
        longitude_deg in -180.0f64..180.0,
        zone in prop::sample::select(vec![
            "UTC", "Europe/Rome", "Pacific/Chatham", "America/St_Johns", "Asia/Kathmandu",
            "Australia/Lord_Howe", "Pacific/Apia", "Africa/Monrovia", "America/Anchorage",
        ]),
        corners in prop::collection::btree_map(0u32..360, -2.0f64..80.0, 1..9),
        day in 0u64..54_000,
    ) {
        let on = date("1950-02-01") + chrono::Days::new(day);
        let corners: Vec<String> = (corners.iter())
            .map(|(azimuth, altitude)| format!("[{azimuth}, {altitude}]"))
            .collect();
        let site = site(latitude_deg, longitude_deg, zone, &format!("[{}]", corners.join(", ")));
        if let Ok(curves) = night_curves(&site, on, None) {
            hold_curves(&site, &curves, 20);
            hold_spells(&site, &curves);
            hold_drawing(&svg(&curves), &curves);
        }
    }
}
