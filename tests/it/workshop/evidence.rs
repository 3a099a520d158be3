//! What a maker knows of a mirror: turned edges, bands looked at, stars, tests by their dates, lengths while the
//! glass is still being ground; and what wrong ones are told.

use chrono::NaiveDate;
use skyworthy::workshop::{
    BandsLooked, BandsSeen, Figure, FocalLength, KnifeSource, MirrorEdge, Sagitta, StarTest,
    Telescope, TurnedEdge,
};

use super::refused::{refused, table_refused};
use super::{assumed, figure, good, knife_edge, read_with_table, telescope};

/// A file with all of it, for noise to be put into.
pub const EVIDENCE_TOML: &str = r#"
[site]
latitude_deg = -33.0
longitude_deg = -70.6
time_zone = "America/Santiago"
[[telescope]]
name = "Maiten"
aperture_mm = 150
sagitta_gauges_mm = [1.0, 0.15]
sagitta_across_mm = 148
sagitta_uncertainty_mm = 0.02
planned_focal_length_mm = 1200
[[telescope.figure]]
kind = "bands-seen"
on_date = 2026-09-01
lines_per_mm = 4
offset_mm = -6
looked = "straight"
source = "moving"
least_bow_bands = 0.1
edge = "turned"
edge_width_mm = 5
edge_depth_nm = 250
star_test = "bright-rim-inside"
[[telescope.figure]]
kind = "knife-edge"
on_date = 2026-10-01
source = "fixed"
edge = "sound"
star_test = "alike"
zones = [
    { inner_inch = 0, outer_inch = 1.5, readings_mm = [0.00, 0.02] },
    { inner_inch = 1.5, outer_inch = 2.9, readings_mm = [1.05, 1.03] },
]
[[telescope]]
name = "Notro"
aperture_mm = 200
sun_image_mm = 1210
[telescope.figure]
kind = "sphere"
star_test = "hairy"
"#;

fn date(month: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, 1).expect("a date")
}

#[track_caller]
fn only(lines: &str) -> Telescope {
    good(&telescope(lines)).telescopes.remove(0)
}

#[track_caller]
fn seen(lines: &str) -> BandsSeen {
    let workshop = good(&figure(&format!("kind = \"bands-seen\"\n{lines}")));
    match workshop.telescopes[0].figure {
        Figure::BandsSeen(seen) => seen,
        ref other => panic!("{other:?}"),
    }
}

const STRAIGHT: &str = "lines_per_mm = 4\noffset_mm = -6\nlooked = \"straight\"\n";

#[test]
fn all_of_it_in_one_file() {
    let workshop = good(EVIDENCE_TOML);
    let [maiten, notro] = &workshop.telescopes[..] else {
        panic!("two telescopes")
    };
    assert_eq!(maiten.planned_focal_length_mm, Some(1200.0));
    assert_eq!(
        maiten.focal_length,
        FocalLength::SagittaMm(Sagitta {
            sagitta_mm: 1.15,
            across_mm: Some(148.0),
            uncertainty_mm: Some(0.02),
            gauges_mm: vec![1.0, 0.15],
        })
    );
    assert_eq!(notro.focal_length, FocalLength::SunImageMm(1210.0));
    assert_eq!(
        (notro.star_test, notro.figure_on),
        (Some(StarTest::Hairy), None)
    );
    assert!(notro.history.is_empty() && notro.planned_focal_length_mm.is_none());
}

#[test]
fn the_latest_test_counts() {
    let workshop = good(EVIDENCE_TOML);
    let maiten = &workshop.telescopes[0];
    assert!(matches!(maiten.figure, Figure::KnifeEdge(_)));
    assert_eq!(maiten.figure_on, Some(date(10)));
    assert_eq!(maiten.star_test, Some(StarTest::Alike));
    let dates: Vec<_> = maiten.history.iter().map(|test| test.on_date).collect();
    assert_eq!(dates, [Some(date(9)), Some(date(10))]);
    assert_eq!(maiten.history[0].star_test, Some(StarTest::BrightRimInside));
    assert!(matches!(maiten.history[0].figure, Figure::BandsSeen(_)));
    assert_eq!(maiten.history[1].figure, maiten.figure);
    // What was assumed is told of the one that counts.
    let key = "the figure of telescope \"Maiten\": reading_at";
    assert!(assumed(&workshop, key).is_some());

    // The order in the file does not matter.
    let early = "[[telescope.figure]]\nkind = \"sphere\"\non_date = 2026-01-01\n";
    let later = "[[telescope.figure]]\nkind = \"stated\"\non_date = 2026-05-01\nrms_waves = 0.1\non = \"surface\"\n";
    for lines in [format!("{early}{later}"), format!("{later}{early}")] {
        let telescope = only(&format!(
            "aperture_mm = 150\nfocal_length_mm = 1200\n{lines}"
        ));
        assert_eq!(telescope.figure_on, Some(date(5)));
        assert_eq!(telescope.history[0].figure, Figure::Sphere);
    }
    let of_early = "the figure of telescope \"150 mm\": source";
    let bands =
        format!("[[telescope.figure]]\nkind = \"bands-seen\"\non_date = 2026-02-01\n{STRAIGHT}");
    let text = telescope(&format!(
        "aperture_mm = 150\nfocal_length_mm = 1200\n{bands}{later}"
    ));
    assert_eq!(assumed(&good(&text), of_early), None);
}

#[test]
fn one_test_needs_no_date_and_may_have_one() {
    let dated = good(&figure("kind = \"sphere\"\non_date = 2026-10-01"));
    assert_eq!(dated.telescopes[0].figure_on, Some(date(10)));
    assert!(dated.telescopes[0].history.is_empty());
    let brackets =
        only("aperture_mm = 150\nfocal_length_mm = 1200\n[[telescope.figure]]\nkind = \"sphere\"");
    assert_eq!(
        (brackets.figure, brackets.figure_on),
        (Figure::Sphere, None)
    );
    assert!(brackets.history.is_empty());
}

#[test]
fn bands_as_they_looked() {
    assert_eq!(
        seen(STRAIGHT),
        BandsSeen {
            source: KnifeSource::Moving,
            lines_per_mm: 4.0,
            offset_mm: -6.0,
            looked: BandsLooked::Straight,
            edge: MirrorEdge::NotLooked,
            least_bow_bands: 0.1,
        }
    );
    let workshop = good(&figure(&format!("kind = \"bands-seen\"\n{STRAIGHT}")));
    let told = |key| {
        assumed(
            &workshop,
            &format!("the figure of telescope \"150 mm\": {key}"),
        )
    };
    assert_eq!(
        told("source").as_deref(),
        Some("moving: the lamp behind the same grating")
    );
    assert_eq!(told("least_bow_bands").as_deref(), Some("0.1"));
    for (word, looked) in [
        ("like-paraboloid", BandsLooked::LikeParaboloid),
        ("bowed-more", BandsLooked::BowedMore),
        ("bowed-less", BandsLooked::BowedLess),
    ] {
        let lines = STRAIGHT.replace("straight", word);
        let seen = seen(&format!("{lines}source = \"fixed\"\nleast_bow_bands = 0.2"));
        assert_eq!((seen.looked, seen.source), (looked, KnifeSource::Fixed));
        assert_eq!(seen.least_bow_bands, 0.2);
    }
}

#[test]
fn turned_edges_as_far_as_they_were_measured() {
    let edge = |lines: &str| seen(&format!("{STRAIGHT}{lines}")).edge;
    let turned = |width_mm, depth_nm| MirrorEdge::Turned(TurnedEdge { width_mm, depth_nm });
    assert_eq!(edge("edge = \"sound\""), MirrorEdge::Sound);
    assert_eq!(edge("edge = \"turned\""), turned(None, None));
    assert_eq!(
        edge("edge = \"turned\"\nedge_width_mm = 5"),
        turned(Some(5.0), None)
    );
    let both = "edge = \"turned\"\nedge_width_mm = 75\nedge_depth_nm = 250";
    assert_eq!(edge(both), turned(Some(75.0), Some(250.0)));
}

#[test]
fn stars_beside_every_kind_of_figure() {
    let kinds = [
        "kind = \"sphere\"",
        "kind = \"stated\"\nrms_waves = 0.1\non = \"surface\"",
        "kind = \"zernike\"\non = \"surface\"\nterms = [{ n = 4, m = 0, nm_rms = 3 }]",
        "kind = \"profile\"\non = \"surface\"\npoints = [[0, 0], [1, 5]]",
    ];
    for kind in kinds {
        for (word, star_test) in [
            ("alike", StarTest::Alike),
            ("bright-rim-inside", StarTest::BrightRimInside),
            ("hairy", StarTest::Hairy),
            ("not-round", StarTest::NotRound),
        ] {
            let workshop = good(&figure(&format!("{kind}\nstar_test = \"{word}\"")));
            assert_eq!(workshop.telescopes[0].star_test, Some(star_test), "{kind}");
        }
    }
    refused(
        &figure("kind = \"sphere\"\nstar_test = \"hairly\""),
        "elm.toml, line 9: star_test = \"hairly\" is not known: did you mean \"hairy\"?",
        &["\"alike\" if the rings are"],
    );
}

#[test]
fn windows_in_inches() {
    let inches = good(EVIDENCE_TOML);
    let zones = &knife_edge(&inches, 0).zones;
    assert!((zones[0].outer_mm - 38.1).abs() < 1e-9 && zones[0].outer_mm == zones[1].inner_mm);
    let text = figure("kind = \"knife-edge\"\nsource = \"fixed\"\nfile = \"a.csv\"");
    let table = "inner_inch;outer_inch;reading_mm\n0;1,5;0\n1,5;2,95;1,1\n";
    let workshop = read_with_table(&text, table).unwrap_or_else(|error| panic!("{error}"));
    let zones = &knife_edge(&workshop, 0).zones;
    assert!((zones[0].outer_mm - 38.1).abs() < 1e-9 && (zones[1].outer_mm - 74.93).abs() < 1e-9);
}

#[test]
fn windows_that_cannot_be_in_inches() {
    let with = |second: &str| {
        figure(&format!(
            "kind = \"knife-edge\"\nsource = \"fixed\"\nzones = [\n\
             {{ inner_inch = 0, outer_inch = 1.5, readings_mm = [0.0] }},\n{second}\n]"
        ))
    };
    refused(
        &with("{ inner_mm = 38.1, outer_inch = 2.9, readings_mm = [1.0] }"),
        "elm.toml, line 12: inner_mm and outer_inch do not go together",
        &["both edges of a window in one unit"],
    );
    refused(
        &with("{ inner_inch = 1.5, outer_inch = 75, readings_mm = [1.0] }"),
        "elm.toml, line 12: outer_inch = 75 is outside 0 to 40 inch",
        &[],
    );
    refused(
        &with("{ inner_inch = 1.5, outer_inch = 6, readings_mm = [1.0] }"),
        "elm.toml, line 12: outer_inch = 6 lies beyond the rim at 2.953 inch (aperture_mm = 150)",
        &["not diameters"],
    );
    refused(
        &with("{ inner_inch = 1.4, outer_inch = 2.9, readings_mm = [1.0] }"),
        "elm.toml, line 12: inner_inch = 1.4 lies inside the zone before, which ends at 1.5 inch",
        &[],
    );
    refused(
        &with("{ inner_inch = 2.9, outer_inch = 1.6, readings_mm = [1.0] }"),
        "elm.toml, line 12: inner_inch = 2.9 is not smaller than outer_inch = 1.6",
        &[],
    );
    table_refused(
        "inner_mm,outer_inch,reading_mm\n0,1.5,0\n",
        "a.csv, line 1: inner_mm and outer_inch do not go together",
        &[],
    );
}

#[test]
fn bands_and_edges_that_cannot_be() {
    let bands = |lines: &str| figure(&format!("kind = \"bands-seen\"\n{STRAIGHT}{lines}"));
    refused(
        &figure("kind = \"bands-seen\"\nlines_per_mm = 4\noffset_mm = -6"),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs looked",
        &["\"bowed-more\" or \"bowed-less\" than a paraboloid's"],
    );
    refused(
        &bands("").replace("straight", "straigt"),
        "elm.toml, line 11: looked = \"straigt\" is not known: did you mean \"straight\"?",
        &[],
    );
    refused(
        &bands("").replace("-6", "0"),
        "elm.toml, line 10: offset_mm = 0: at the centre of curvature itself there are no bands",
        &["offset_mm = -6"],
    );
    refused(
        &bands("least_bow_bands = 5"),
        "elm.toml, line 12: least_bow_bands = 5 is outside 0.02 to 1",
        &["a band and its gap being 1"],
    );
    refused(
        &bands("reading_at = \"window\""),
        "elm.toml, line 12: reading_at does not go with kind = \"bands-seen\"",
        &["takes lines_per_mm, offset_mm, looked"],
    );
    refused(
        &bands("edge_width_mm = 5"),
        "elm.toml, line 12: edge_width_mm stands without edge",
        &["it goes with edge = \"turned\""],
    );
    refused(
        &bands("edge = \"sound\"\nedge_depth_nm = 250"),
        "elm.toml, line 13: edge_depth_nm does not go with edge = \"sound\"",
        &[],
    );
    refused(
        &bands("edge = \"turned\"\nedge_width_mm = 76"),
        "elm.toml, line 13: edge_width_mm = 76 is more than half the mirror: the rim is at 75 mm",
        &["along a radius"],
    );
    for (line, range) in [
        ("edge_width_mm = 0.1", "0.2 to 1000 mm"),
        ("edge_depth_nm = 5", "10 to 5000 nm"),
        ("edge_depth_nm = 0.25e6", "10 to 5000 nm"),
    ] {
        let place = format!("elm.toml, line 13: {line} is outside {range}");
        refused(&bands(&format!("edge = \"turned\"\n{line}")), &place, &[]);
    }
    refused(
        &figure("kind = \"sphere\"\nedge = \"turned\""),
        "elm.toml, line 9: edge does not go with kind = \"sphere\"",
        &[],
    );
}

#[test]
fn tests_that_do_not_follow_each_other() {
    let scope = |lines: &str| {
        telescope(&format!(
            "aperture_mm = 150\nfocal_length_mm = 1200\n{lines}"
        ))
    };
    let sphere = |more: &str| format!("[[telescope.figure]]\nkind = \"sphere\"\n{more}");
    refused(
        &scope(&format!(
            "{}{}",
            sphere("on_date = 2026-10-03\n"),
            sphere("")
        )),
        "elm.toml, line 10: telescope \"150 mm\" has several figures, and this one does not say when",
        &["on_date = 2026-10-03", "the latest counts"],
    );
    let again = sphere("on_date = 2026-10-03\n");
    refused(
        &scope(&format!("{again}{again}")),
        "elm.toml, line 10: telescope \"150 mm\" has another figure of 2026-10-03, in line 7",
        &["keep the one that counts"],
    );
    refused(
        &scope("figure = []"),
        "elm.toml, line 7: figure = [] says nothing",
        &[],
    );
    refused(
        &figure("kind = \"sphere\"\non_date = \"2026-10-03\""),
        "elm.toml, line 9: on_date = \"2026-10-03\" should be a date",
        &["without quotes"],
    );
    refused(
        &scope(&sphere("kin = 1\n")),
        "elm.toml, line 9: kin is not known in [telescope.figure]: did you mean kind?",
        &[],
    );
    for [first, second] in [
        ["[telescope.figure]", "[telescope.figure]"],
        ["[telescope.figure]", "[[telescope.figure]]"],
        ["[[telescope.figure]]", "[telescope.figure]"],
    ] {
        let lines = format!("{first}\nkind = \"sphere\"\n{second}\nkind = \"sphere\"");
        refused(
            &scope(&lines),
            "elm.toml, line 9: ",
            &[
                "this heading is there already",
                "keep one of the two blocks",
                "[[telescope.figure]] with its date, on_date = 2026-10-03",
            ],
        );
    }
}

#[test]
fn lengths_of_glass_that_is_still_ground() {
    let scope = |lines: &str| telescope(&format!("aperture_mm = 150\n{lines}"));
    let stated = only("aperture_mm = 150\nsagitta_mm = 1.17");
    assert_eq!(
        stated.focal_length,
        FocalLength::SagittaMm(Sagitta {
            sagitta_mm: 1.17,
            across_mm: None,
            uncertainty_mm: None,
            gauges_mm: Vec::new(),
        })
    );
    refused(
        &scope("planned_focal_length_mm = 1200"),
        "elm.toml, line 4: telescope \"150 mm\" needs one of focal_length_mm, radius_of_curvature_mm, sagitta_mm, \
         sagitta_gauges_mm, sun_image_mm",
        &["the plan is focal_length_mm itself"],
    );
    refused(
        &scope("focal_length_mm = 1200\nplanned_focal_length_mm = 120"),
        "elm.toml, line 7: planned_focal_length_mm = 120 makes f/0.8",
        &["300 to 4500 mm"],
    );
    refused(
        &scope("sun_image_mm = 121"),
        "elm.toml, line 6: sun_image_mm = 121 makes f/0.8",
        &[],
    );
    refused(
        &scope("sagitta_mm = 1.17\nsagitta_gauges_mm = [1.0, 0.15]"),
        "elm.toml, line 7: telescope \"150 mm\" has both sagitta_mm and sagitta_gauges_mm",
        &[],
    );
    refused(
        &scope("sagitta_gauges_mm = []"),
        "elm.toml, line 6: sagitta_gauges_mm = [] measures nothing",
        &["[1.0, 0.15]"],
    );
    refused(
        &scope("sagitta_gauges_mm = [10.0, 15.0]"),
        "elm.toml, line 6: sagitta_gauges_mm is together 25.00 mm: too deep for a telescope mirror",
        &["0.31 to 4.69 mm"],
    );
    refused(
        &scope("sagitta_gauges_mm = [1,0, 0,15]"),
        "elm.toml, line 6: sagitta_gauges_mm = [1,0, 0,15] has decimal commas",
        &["sagitta_gauges_mm = [1.0, 0.15]"],
    );
    refused(
        &scope("sagitta_gauges_mm = [1.0, 0]"),
        "elm.toml, line 6: gauge = 0 is outside 0.01 to 100 mm",
        &[],
    );
    refused(
        &scope("sagitta_mm = 1.17\nsagitta_across_mm = 75000"),
        "elm.toml, line 7: sagitta_across_mm = 75000 is outside 20 to 2000 mm",
        &[],
    );
    refused(
        &scope("sagitta_mm = 1.17\nsagitta_across_mm = 200"),
        "elm.toml, line 7: sagitta_across_mm = 200 does not go with aperture_mm = 150: 38 to 165 mm would",
        &["straightedge"],
    );
    // Over half the width a quarter of the depth.
    refused(
        &scope("sagitta_mm = 1.3\nsagitta_across_mm = 75"),
        "elm.toml, line 6: sagitta_mm = 1.3 is too deep",
        &["0.08 to 1.17 mm here"],
    );
    refused(
        &scope("sagitta_mm = 0.8\nsagitta_uncertainty_mm = 0.5"),
        "elm.toml, line 7: sagitta_uncertainty_mm = 0.5 is half the depth of 0.80 mm or more",
        &["0.02 mm"],
    );
    refused(
        &scope("focal_length_mm = 1200\nsagitta_across_mm = 148"),
        "elm.toml, line 7: sagitta_across_mm does not go with focal_length_mm",
        &["it goes with sagitta_mm or sagitta_gauges_mm"],
    );
}
