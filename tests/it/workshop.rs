//! The workshop file: what good ones say; what wrong ones are told stands in `refused`, what
//! nobody writes on purpose in `noise`.

mod evening;
mod evidence;
mod noise;
mod refused;

use chrono::NaiveDate;
use skyworthy::show::words::assumed::taken_words;
use skyworthy::workshop::{
    Coating, Darkness, Error, EyepieceField, Figure, FocalLength, Glass, KnifeEdge, KnifeSource,
    MirrorEdge, On, ReadingAt, RedSpot, Seeing, SeeingScale, StatedAmount, TurnedEdge, Workshop,
    example, template,
};

const LONE_MAKER_TOML: &str = include_str!("../../examples/lone-maker.toml");
const KNIFE_EDGE_TOML: &str = include_str!("../../examples/knife-edge.toml");
const CEDAR_CSV: &str = include_str!("../../examples/cedar.csv");

/// Longer than any message should ever be.
const LONGEST_MESSAGE_CHARS: usize = 4000;

fn read(text: &str) -> Result<Workshop, Error> {
    Workshop::from_toml(text, "elm.toml", &|name| match name {
        "cedar.csv" => Ok(CEDAR_CSV.to_string()),
        _ => Err("no such file".to_string()),
    })
}

fn read_with_table(text: &str, table: &str) -> Result<Workshop, Error> {
    Workshop::from_toml(text, "elm.toml", &|_| Ok(table.to_string()))
}

#[track_caller]
fn good(text: &str) -> Workshop {
    read(text).unwrap_or_else(|error| panic!("{error}"))
}

/// Line 1 is `[site]`; the extra lines begin at line 4.
fn site(lines: &str) -> String {
    format!(
        "[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\n{lines}\n\
         [[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200\n"
    )
}

/// The lines begin at line 4, below `[[eyepiece]]` or the like.
fn table(heading: &str, lines: &str) -> String {
    format!(
        "[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\n{heading}\n{lines}\n\
         [[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200\n"
    )
}

/// Line 4 is `[[telescope]]`, the lines begin at line 5.
fn telescope(lines: &str) -> String {
    format!("[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\n[[telescope]]\n{lines}\n")
}

/// Line 7 is `[telescope.figure]` of a 150 mm f/8, the lines begin at line 8.
fn figure(lines: &str) -> String {
    telescope(&format!(
        "aperture_mm = 150\nfocal_length_mm = 1200\n[telescope.figure]\n{lines}"
    ))
}

fn only_figure(workshop: &Workshop) -> &Figure {
    &workshop.telescopes[0].figure
}

#[track_caller]
fn knife_edge(workshop: &Workshop, idx: usize) -> &KnifeEdge {
    match &workshop.telescopes[idx].figure {
        Figure::KnifeEdge(knife_edge) => knife_edge,
        other => panic!("{other:?}"),
    }
}

fn assumed(workshop: &Workshop, key: &str) -> Option<String> {
    let note = workshop.assumed.iter().find(|note| note.key == key);
    note.map(|note| taken_words(&note.value))
}

#[test]
fn the_least_that_is_needed() {
    let workshop = good(&site(""));
    assert_eq!(workshop.site.name, "46.30 N, 13.10 E");
    assert_eq!(workshop.site.time_zone.name(), "Etc/GMT-1");
    assert_eq!(workshop.site.darkness, Darkness::MagArcsec2(20.0));
    assert_eq!(
        workshop.site.seeing,
        Seeing::Arcsec {
            good: 1.2,
            typical: 2.2,
            poor: 3.5
        }
    );
    assert_eq!(workshop.site.horizon.altitude_deg(123.0), 0.0);
    assert_eq!(workshop.observer.age_years, 40.0);
    assert_eq!(workshop.eyepieces.len(), 2);
    let telescope = &workshop.telescopes[0];
    assert_eq!(telescope.name, "150 mm");
    assert_eq!(telescope.eyepieces, [0, 1]);
    assert_eq!(telescope.secondary_mm, None);
    assert_eq!(telescope.figure, Figure::NotGiven);
    let keys: Vec<&str> = workshop
        .assumed
        .iter()
        .map(|note| note.key.as_str())
        .collect();
    assert_eq!(
        keys,
        [
            "site.elevation_m",
            "site.time_zone",
            "site.sky_brightness_mag_arcsec2",
            "site.seeing_arcsec",
            "site.horizon",
            "observer.age_years",
            "jupiter.red_spot_longitude_deg",
            "eyepiece",
            "telescope \"150 mm\": secondary_mm",
            "telescope \"150 mm\": spider_vane_mm",
            "telescope \"150 mm\": coating",
            "telescope \"150 mm\": glass",
            "telescope \"150 mm\": figure",
        ]
    );
    assert_eq!(
        assumed(&workshop, "site.sky_brightness_mag_arcsec2").as_deref(),
        Some("20 mag/arcsec2")
    );
    assert!(
        assumed(&workshop, "telescope \"150 mm\": figure")
            .unwrap()
            .contains("perfect paraboloid")
    );
}

#[test]
fn the_embedded_example_says_what_it_says() {
    let workshop = example();
    assert_eq!(workshop.site.name, "Ropewalk School roof");
    assert_eq!(workshop.site.time_zone.name(), "Europe/Rome");
    assert_eq!(workshop.site.darkness, Darkness::MagArcsec2(19.5));
    assert_eq!(workshop.site.horizon.altitude_deg(0.0), 28.0);
    assert_eq!(workshop.site.horizon.altitude_deg(358.0), 28.0);
    assert_eq!(workshop.site.horizon.altitude_deg(220.0), 14.5);
    assert_eq!(workshop.barlows[0].factor, 2.0);
    let [hazel, rowan, alder] = &workshop.telescopes[..] else {
        panic!("three telescopes")
    };
    assert_eq!(hazel.focal_length, FocalLength::FocalLengthMm(1200.0));
    assert_eq!(
        (hazel.glass, hazel.thickness_mm),
        (Glass::Borosilicate, Some(30.0))
    );
    assert!(
        matches!(&hazel.figure, Figure::Zernike { terms, on: On::Wavefront } if terms.len() == 4)
    );
    assert_eq!(rowan.focal_length, FocalLength::RadiusOfCurvatureMm(2405.0));
    assert_eq!(
        (rowan.coating, rowan.coated_on),
        (Coating::Silver, NaiveDate::from_ymd_opt(2026, 10, 9))
    );
    assert_eq!(rowan.figure, Figure::Sphere);
    assert_eq!(rowan.eyepieces, [0, 1, 2, 3]);
    assert_eq!(
        (alder.coating, &alder.eyepieces[..]),
        (Coating::Reflectivity(0.9), &[0, 1, 2][..])
    );
    assert!(
        matches!(&alder.figure, Figure::Profile { points, on: On::Surface } if points.len() == 7)
    );
    // The example shows a workshop where only the air was left to the program.
    let keys: Vec<&str> = workshop
        .assumed
        .iter()
        .map(|note| note.key.as_str())
        .collect();
    assert_eq!(
        keys,
        ["site.seeing_arcsec", "jupiter.red_spot_longitude_deg"]
    );
}

#[test]
fn the_template_can_be_used_as_it_is() {
    let workshop = good(template());
    assert_eq!(workshop.telescopes.len(), 1);
    assert_eq!(workshop.eyepieces.len(), 2);
    assert!(template().lines().all(|line| line.chars().count() <= 120));
}

#[test]
fn every_line_of_the_template_can_be_uncommented() {
    let mut n_tried = 0;
    for (idx, line) in template().lines().enumerate() {
        let Some(bare) = line.strip_prefix("# ") else {
            continue;
        };
        let in_figure = template()
            .lines()
            .take(idx)
            .any(|before| before.contains("[telescope.figure]"));
        let is_setting = bare
            .split_once(" = ")
            .is_some_and(|(key, _)| !key.contains(' '));
        if in_figure
            || !is_setting
            || bare.starts_with("age_years")
            || bare.starts_with("red_spot")
            || bare.starts_with("margin_dex")
            || evening::SETTLED.iter().any(|key| bare.starts_with(key))
            || ["name", "factor", "file"]
                .iter()
                .any(|key| bare.starts_with(key))
        {
            continue;
        }
        let lines = template()
            .lines()
            .enumerate()
            .map(|(at, other)| match at == idx {
                true => bare,
                // Of keys that exclude each other the one that stands there makes way.
                false if other.starts_with("focal_length_mm = 1200") && is_length(bare) => "",
                false if other.starts_with("focal_length_mm = 1200") && is_of_sagitta(bare) => {
                    "sagitta_mm = 1.17"
                }
                false => other,
            });
        good(&lines.collect::<Vec<_>>().join("\n"));
        n_tried += 1;
    }
    assert!(n_tried >= 22, "{n_tried}");
}

#[test]
fn the_red_spot_of_the_template_can_be_uncommented() {
    let text = template().replace("# [jupiter]", "[jupiter]");
    let workshop = good(&text.replace("# red_spot", "red_spot"));
    assert_eq!(
        workshop.red_spot,
        RedSpot {
            longitude_deg: 95.0,
            measured_on: NaiveDate::from_ymd_opt(2026, 10, 1).expect("a date"),
            drift_deg_per_month: 1.7,
        }
    );
    let tells = |workshop: &Workshop| {
        let mut keys = workshop.assumed.iter().map(|assumed| &assumed.key);
        keys.any(|key| key.starts_with("jupiter"))
    };
    assert!(!tells(&workshop));
    // The heading alone says nothing; without the lines the last published value is taken and told.
    for text in [template(), &text] {
        let workshop = good(text);
        assert_eq!(workshop.red_spot, RedSpot::last_published());
        assert!(tells(&workshop));
    }
}

fn is_length(line: &str) -> bool {
    let lengths = [
        "radius_of_curvature_mm",
        "sagitta_mm",
        "sagitta_gauges_mm",
        "sun_image_mm",
    ];
    lengths.iter().any(|key| line.starts_with(key))
}

fn is_of_sagitta(line: &str) -> bool {
    line.starts_with("sagitta_across_mm") || line.starts_with("sagitta_uncertainty_mm")
}

#[test]
fn every_figure_of_the_template_can_be_uncommented() {
    let (before, figures) = template().split_once("# 1. ").expect("six figures");
    let mut kinds = Vec::new();
    for block in figures.split("\n\n") {
        let lines = block.lines().filter_map(|line| {
            line.strip_prefix("# ")
                .filter(|bare| !bare.starts_with("file = "))
        });
        let settings: Vec<&str> = lines
            .skip_while(|line| !line.starts_with("[telescope.figure]"))
            .collect();
        let workshop = good(&format!("{before}{}", settings.join("\n")));
        kinds.push(workshop.telescopes[0].figure.clone());
    }
    assert_eq!(kinds.len(), 6);
    assert!(kinds.iter().all(|figure| *figure != Figure::NotGiven));
}

#[test]
fn a_lone_maker_needs_little() {
    let workshop = good(LONE_MAKER_TOML);
    assert_eq!(workshop.site.darkness, Darkness::FaintestStarMag(4.2));
    assert_eq!(workshop.eyepieces[1].name, "9 mm");
    assert_eq!(workshop.telescopes[0].coating, Coating::Silver);
}

/// Readings of a paraboloid with the lamp fixed differ by r^2/R (to first order, exact to 0.1 %
/// at f/6), r^2 being the mean of the squares of a window's edges.
#[test]
fn knife_edge_examples_are_mirrors_on_their_way() {
    let workshop = good(KNIFE_EDGE_TOML);
    // The first is nearly there; the second is two thirds of the way and has a step.
    for (idx, radius_of_curvature_mm, corrected, step_mm) in
        [(0, 2520.0, 0.95, 0.15), (1, 1920.0, 0.68, 0.9)]
    {
        let test = knife_edge(&workshop, idx);
        assert_eq!(test.source, KnifeSource::Fixed);
        let means = test.zones.iter().map(|zone| {
            let n_readings = zone.readings_mm.len() as f64;
            let reading_mm = zone.readings_mm.iter().sum::<f64>() / n_readings;
            let square_mm2 = (zone.inner_mm.powi(2) + zone.outer_mm.powi(2)) / 2.0;
            (reading_mm, square_mm2 / radius_of_curvature_mm)
        });
        let means: Vec<(f64, f64)> = means.collect();
        let [first, last] = [means[0], means[means.len() - 1]];
        let correction = (last.0 - first.0) / (last.1 - first.1);
        assert!((correction - corrected).abs() < 0.01, "{correction}");
        for (reading_mm, ideal_mm) in &means {
            let off_mm = (reading_mm - first.0) - (ideal_mm - first.1);
            assert!(off_mm.abs() < step_mm, "{off_mm}");
        }
    }
}

#[test]
fn an_empty_cell_is_a_missing_reading() {
    let workshop = good(KNIFE_EDGE_TOML);
    let counts: Vec<usize> = knife_edge(&workshop, 1)
        .zones
        .iter()
        .map(|zone| zone.readings_mm.len())
        .collect();
    assert_eq!(counts, [3, 3, 3, 2, 3]);
    assert_eq!(
        knife_edge(&workshop, 1).zones[0].readings_mm,
        [0.02, -0.01, 0.01]
    );
    assert_eq!(knife_edge(&workshop, 1).reading_at, ReadingAt::Window);
}

#[test]
fn scales_of_seeing() {
    for (written, scale, value) in [
        (
            "{ scale = \"pickering\", value = 6.5, aperture_mm = 127 }",
            SeeingScale::Pickering,
            6.5,
        ),
        (
            "{ scale = \"antoniadi\", value = 2, aperture_mm = 127 }",
            SeeingScale::Antoniadi,
            2.0,
        ),
        (
            "{ scale = \"antoniadi\", value = \"iv\", aperture_mm = 127 }",
            SeeingScale::Antoniadi,
            4.0,
        ),
    ] {
        let workshop = good(&site(&format!("seeing_scale = {written}")));
        let want = Seeing::Scale {
            scale,
            value,
            aperture_mm: 127.0,
        };
        assert_eq!(workshop.site.seeing, want);
    }
}

#[test]
fn zones_of_the_sea() {
    for (longitude, want) in [
        ("0", "Etc/GMT"),
        ("-2.9", "Etc/GMT"),
        ("8", "Etc/GMT-1"),
        ("-75", "Etc/GMT+5"),
        ("180", "Etc/GMT-12"),
        ("-180", "Etc/GMT+12"),
    ] {
        let workshop = good(&site("").replace("13.1", longitude));
        assert_eq!(workshop.site.time_zone.name(), want, "{longitude}");
    }
}

#[test]
fn a_mark_has_one_azimuth_or_two_edges() {
    let marked = |azimuth: &str| {
        site(&format!(
            "marks = [{{ azimuth_deg = {azimuth}, name = \"gym wall\" }}]"
        ))
    };
    for (said, azimuth_deg, width_deg) in [
        ("135", 135.0, 0.0),
        ("360", 0.0, 0.0),
        ("[120, 155]", 120.0, 35.0),
        ("[350, 20.5]", 350.0, 30.5),
        ("[340, 360]", 340.0, 20.0),
        ("[360, 10]", 0.0, 10.0),
        ("[135, 135]", 135.0, 0.0),
        ("[90, 270]", 90.0, 180.0),
    ] {
        let mark = &good(&marked(said)).site.marks[0];
        assert_eq!(
            (mark.azimuth_deg, mark.width_deg),
            (azimuth_deg, width_deg),
            "{said}"
        );
    }
    for (said, parts) in [
        (
            "[155, 120]",
            &["line 4", "from 155 to 120", "left edge first"][..],
        ),
        ("[120]", &["line 4", "azimuth_deg", "left edge"]),
        ("[120, 155, 160]", &["line 4", "left edge"]),
        ("[120, 365]", &["line 4", "365", "0 to 360"]),
        ("[120, \"a\"]", &["line 4", "right edge"]),
        ("\"south\"", &["line 4", "azimuth_deg = [120, 155]"]),
        ("365", &["line 4", "0 to 360"]),
    ] {
        let message = read(&marked(said)).expect_err(said).to_string();
        assert!(
            parts.iter().all(|part| message.contains(part)),
            "{said}: {message}"
        );
    }
}

#[test]
fn a_horizon_may_be_closed_at_360() {
    let closed = good(&site("horizon = [[90, 35], [135, 8], [360, 10]]"));
    assert_eq!(
        closed.site.horizon.corners(),
        [(0.0, 10.0), (90.0, 35.0), (135.0, 8.0)]
    );
    let twice = good(&site("horizon = [[0, 10], [90, 35], [360, 10]]"));
    assert_eq!(twice.site.horizon.corners(), [(0.0, 10.0), (90.0, 35.0)]);
    assert_eq!(twice.site.horizon.altitude_deg(225.0), 22.5);
}

#[test]
fn inches_become_millimetres() {
    let lines = "kind = \"knife-edge\"\nsource = \"moving\"\nunit = \"inch\"\nzones = [
        { inner_mm = 0, outer_mm = 40, readings_inch = [0.0, 0.01] },
        { inner_mm = 40, outer_mm = 75.5, readings_inch = [0.06] } ]";
    let workshop = good(&figure(lines));
    let test = knife_edge(&workshop, 0);
    assert_eq!(test.zones[0].readings_mm, [0.0, 0.254]);
    assert_eq!(
        test.zones[1].outer_mm, 75.0,
        "a window over the rim ends at the rim"
    );
    assert_eq!(test.source, KnifeSource::Moving);
}

#[test]
fn what_was_seen_at_the_rim() {
    let read = |extra: &str| {
        let lines = format!(
            "kind = \"knife-edge\"\nsource = \"moving\"\n{extra}zones = [\n\
             {{ inner_mm = 0, outer_mm = 40, readings_mm = [0] }},\n\
             {{ inner_mm = 40, outer_mm = 75, readings_mm = [0.7] }} ]"
        );
        let workshop = good(&figure(&lines));
        let test = knife_edge(&workshop, 0);
        (test.edge, test.reading_error_mm)
    };
    assert_eq!(read(""), (MirrorEdge::NotLooked, None));
    assert_eq!(read("edge = \"sound\"\n"), (MirrorEdge::Sound, None));
    let both = "edge = \"turned\"\nreading_error_mm = 0.03\n";
    let turned = MirrorEdge::Turned(TurnedEdge {
        width_mm: None,
        depth_nm: None,
    });
    assert_eq!(read(both), (turned, Some(0.03)));
}

#[test]
fn tables_as_spreadsheets_write_them() {
    let workshop = |table: &str| {
        let text = figure(
            "kind = \"knife-edge\"\nsource = \"fixed\"\nreading_at = \"middle\"\nfile = \"a.csv\"",
        );
        read_with_table(&text, table).unwrap_or_else(|error| panic!("{error}"))
    };
    for table in [
        "inner_mm,outer_mm,reading_mm\n0,40,0.5\n40,75,1.25\n",
        "\u{feff}Inner_mm;Outer_mm;Reading_mm;;\r\n0;40;0,5;;\r\n40;75;1,25\r\n;;;\r\n",
        "inner_mm\touter_mm\treading_mm\n0\t40\t0,5\n40\t75\t1,25\n",
        "# a note\ninner_mm, outer_mm, reading\n0, 40,\"0,5\"\n\n40, 75, 1.25",
    ] {
        let workshop = workshop(table);
        let test = knife_edge(&workshop, 0);
        let readings: Vec<&[f64]> = test
            .zones
            .iter()
            .map(|zone| &zone.readings_mm[..])
            .collect();
        assert_eq!(readings, [&[0.5][..], &[1.25][..]], "{table}");
    }
}

#[test]
fn a_profile_may_come_from_a_table() {
    let text = figure("kind = \"profile\"\non = \"surface\"\nfile = \"a.csv\"");
    let workshop =
        read_with_table(&text, "radius_fraction;error_nm\n0;0\n0,5;12,5\n1;-40\n").unwrap();
    let want = vec![(0.0, 0.0), (0.5, 12.5), (1.0, -40.0)];
    assert_eq!(
        *only_figure(&workshop),
        Figure::Profile {
            points: want,
            on: On::Surface
        }
    );
}

#[test]
fn a_stated_figure_has_a_wavelength() {
    let workshop = good(&figure(
        "kind = \"stated\"\nrms_waves = 0.05\non = \"surface\"\nwavelength_nm = 632.8",
    ));
    let Figure::Stated(stated) = only_figure(&workshop) else {
        panic!()
    };
    assert_eq!(
        (stated.amount, stated.on, stated.wavelength_nm),
        (StatedAmount::RmsWaves(0.05), On::Surface, 632.8)
    );
}

#[test]
fn fields_by_their_stops() {
    let workshop = good(&table(
        "[[eyepiece]]",
        "focal_length_mm = 25\nfield_stop_mm = 21.3",
    ));
    assert_eq!(workshop.eyepieces[0].field, EyepieceField::StopMm(21.3));
}
