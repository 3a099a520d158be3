//! Stars out of focus, a mirror's history drawn, and its certificate.

use std::fmt::Write;

use chrono::NaiveDate;

use crate::support::workshop_of;
use skyworthy::plan::mirror::{Class, Judged, mirrors};
use skyworthy::plan::pictures::{KnownEdge, Pictures, glass, pictures};
use skyworthy::show::mirror::certificate_page;
use skyworthy::show::picture;

/// 203 mm f/6, lamp standing still: what a paraboloid reads, times the correction.
pub fn test_of(correction: f64, keys: &str, edges_mm: &[f64]) -> String {
    let mut zones = String::new();
    for pair in edges_mm.windows(2) {
        let r = ((pair[0].powi(2) + pair[1].powi(2)) / 2.0).sqrt();
        let mm = correction * (r * r / 2436.0 + r.powi(4) / (2.0 * 2436f64.powi(3)));
        write!(
            zones,
            "{{ inner_mm = {}, outer_mm = {}, readings_mm = [{:.3}, {:.3}, {:.3}] }}, ",
            pair[0],
            pair[1],
            mm - 0.02,
            mm,
            mm + 0.02
        )
        .expect("text");
    }
    format!(
        "[[telescope.figure]]\nkind = \"knife-edge\"\nsource = \"fixed\"\n{keys}zones = [{zones}]\n"
    )
}

pub const WHOLE: [f64; 6] = [0.0, 45.0, 62.0, 78.0, 92.0, 101.5];

const SOUND: &str = "edge = \"sound\"\n";

pub fn judged(name: &str, figure: &str) -> Box<Judged> {
    let workshop = workshop_of(&format!(
        "[site]\nlatitude_deg = 43\nlongitude_deg = 0\n[[telescope]]\nname = \"{name}\"\naperture_mm = 203\n\
         radius_of_curvature_mm = 2436\nsecondary_mm = 45\n{figure}"
    ));
    let on = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date");
    let answer = mirrors(&workshop, on).expect("a year of planets");
    let [outcome] = &answer.mirrors[..] else {
        panic!("one telescope");
    };
    outcome.judged.clone().expect("judged")
}

fn drawn(figure: &str) -> Pictures {
    pictures(&judged("Larch", figure))
}

fn certificate(judged: &Judged) -> Result<String, String> {
    certificate_page(judged, glass(judged).as_ref())
}

/// A perfect mirror is alike on both sides of the focus and all around; rays of a high rim cross before those of the
/// middle, so its outer ring is bright inside.
#[test]
fn a_star_out_of_focus_shows_on_which_side_of_the_paraboloid_a_mirror_is() {
    let good = drawn(&test_of(1.0, SOUND, &WHOLE)).star_test;
    assert!((0.9..1.1).contains(&good.rim_inside_over_outside));
    // 8 N^2 W lambda.
    assert_eq!(good.waves, 7.0);
    assert!((good.travel_mm - 8.0 * 36.0 * 7.0 * 550e-6).abs() < 1e-9);
    for row in 0..good.pixels {
        for column in 0..good.pixels {
            let at = |row: usize, column: usize| good.perfect[row * good.pixels + column];
            let last = good.pixels - 1;
            for other in [
                at(column, row),
                at(last - row, column),
                at(row, last - column),
            ] {
                assert!((at(row, column) - other).abs() < 1e-6);
            }
        }
    }
    let under = drawn(&test_of(0.6, SOUND, &WHOLE));
    assert!(under.star_test.rim_inside_over_outside > 1.5);
    let svg = picture::star_test(&under.subject, &under.star_test);
    assert!(svg.contains("brighter inside focus"), "{svg}");
    let over = drawn(&test_of(1.4, SOUND, &WHOLE)).star_test;
    assert!(over.rim_inside_over_outside < 1.0 / 1.5);
}

/// All of a star's light is in the patch, in focus or out of it.
#[test]
fn defocus_spreads_light_and_loses_none() {
    let star_test = drawn("").star_test;
    let total = |image: &[f64]| image.iter().sum::<f64>();
    let (inside, outside) = (total(&star_test.inside), total(&star_test.outside));
    let perfect = total(&star_test.perfect);
    assert!((inside / perfect - 1.0).abs() < 1e-6 && (outside / perfect - 1.0).abs() < 1e-6);
    // A star of unit peak holds 4 / (pi open) of light in units of wavelength times focal ratio squared.
    let cutoff = 203.0 / (550e-6 * 206_264.806);
    let pixel = 2.0 * star_test.half_width_arcsec * cutoff / (star_test.pixels - 1) as f64;
    let open = 1.0 - (45.0f64 / 203.0).powi(2);
    let want = 4.0 / (std::f64::consts::PI * open);
    let got = perfect * pixel * pixel;
    // The diffraction beyond the frame; blue is brighter than green and red fainter.
    assert!((0.9..1.02).contains(&(got / want)), "{got} {want}");
}

#[test]
fn a_corridor_is_as_wide_as_an_eighth_and_lies_about_the_curve() {
    for correction in [0.6, 1.0, 1.5] {
        let profile = drawn(&test_of(correction, SOUND, &WHOLE))
            .profile
            .expect("read");
        let open = profile.points.iter();
        let open = open.filter(|point| profile.shadow_mm <= point.from_axis_mm);
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for point in open {
            low = low.min(point.surface_nm);
            high = high.max(point.surface_nm);
        }
        assert!((profile.corridor.middle_nm - (low + high) / 2.0).abs() < 1e-9);
        assert!((profile.corridor.width_nm - 68.75).abs() < 1e-9);
        assert_eq!(profile.windows.len(), 5);
        assert!(profile.unread.is_empty());
        assert!(profile.windows.iter().any(|window| window.remove_nm == 0.0));
    }
}

#[test]
fn what_nobody_read_is_hatched_and_said() {
    let short = drawn(&test_of(1.0, SOUND, &[0.0, 40.0, 60.0, 75.0]));
    let profile = short.profile.expect("read");
    let [gap] = profile.unread[..] else {
        panic!("{:?}", profile.unread);
    };
    assert_eq!((gap.from_mm, gap.to_mm), (75.0, 101.5));
    let svg = picture::surface(&short.subject, &profile);
    assert!(svg.contains("url(#unread)") && svg.contains("nobody read"));
    let turned = drawn(&test_of(1.0, "edge = \"turned\"\n", &WHOLE));
    let profile = turned.profile.expect("read");
    assert!(matches!(
        profile.edge,
        Some(KnownEdge::Declared { width_mm: None })
    ));
    let svg = picture::surface(&turned.subject, &profile);
    assert!(svg.contains(">turned edge<") && svg.contains("seen turned"));
}

fn three_tests() -> String {
    [
        (0.3, "2026-03-02"),
        (0.8, "2026-04-18"),
        (1.0, "2026-05-30"),
    ]
    .map(|(correction, on)| {
        test_of(
            correction,
            &format!("on_date = {on}\nedge = \"sound\"\n"),
            &WHOLE,
        )
    })
    .concat()
}

#[test]
fn a_history_of_two_tests_and_more_is_drawn() {
    let one = drawn(&test_of(1.0, SOUND, &WHOLE));
    assert!(one.history.is_empty());
    let many = drawn(&three_tests());
    let strehls: Vec<f64> = many.history.iter().map(|test| test.strehl.value).collect();
    assert!(strehls.is_sorted() && strehls.len() == 3, "{strehls:?}");
    for (test, want) in many.history.iter().zip([0.3, 0.8, 1.0]) {
        let correction = test.correction.expect("read");
        assert!((correction.value - want).abs() < 0.03, "{correction:?}");
    }
    let svg = picture::history(&many.subject, &many.history);
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    let words: Vec<&str> = (document.descendants())
        .filter_map(|node| node.text())
        .collect();
    for wanted in ["Strehl ratio", "% corrected", "30 May 2026", "2 March 2026"] {
        assert!(words.contains(&wanted), "{wanted}: {words:?}");
    }
    let file = |drawn: &Pictures| {
        picture::all(drawn)
            .iter()
            .any(|it| it.file == "history.svg")
    };
    assert!(file(&many) && !file(&one));
}

#[test]
fn a_certificate_says_what_was_measured_and_what_was_not() {
    let good = judged("Larch & <Co>", &three_tests());
    assert_eq!(good.class, Class::PlanetWorthy);
    let page = certificate(&good).expect("a certificate");
    for words in [
        "A mirror for the planets",
        "<h1>Larch &amp; &lt;Co&gt;</h1>",
        "30 May 2026",
        "behind a diagonal of 45 mm",
        "over the full disc",
        "astigmatism",
        "the coating",
        "called sound, which is no reading",
        "fixed source, 5 zones, 3 readings each, to 102 mm",
        "<svg",
        "signed",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let not_yet = judged("Larch", &test_of(0.2, SOUND, &WHOLE));
    let page = certificate(&not_yet).expect("a page");
    assert!(!page.contains("for the planets") && page.contains("to be figured further"));
}

#[test]
fn no_certificate_where_something_is_open() {
    let short = [0.0, 40.0, 60.0, 75.0];
    for (figure, why) in [
        (test_of(1.0, SOUND, &short), "was not read"),
        (
            test_of(1.0, "edge = \"turned\"\n", &WHOLE),
            "edge is turned",
        ),
        (
            test_of(0.2, "edge = \"turned\"\n", &WHOLE),
            "edge is turned",
        ),
        (String::new(), "nothing has been measured"),
        (
            String::from("[telescope.figure]\nkind = \"sphere\"\n"),
            "taken at its word",
        ),
        (
            String::from(
                "[telescope.figure]\nkind = \"stated\"\nrms_waves = 0.02\non = \"wavefront\"\n",
            ),
            "one number was stated",
        ),
    ] {
        let refused = certificate(&judged("Larch", &figure)).expect_err("open");
        assert!(refused.contains(why), "{refused}");
    }
}
