//! A telescope put together, and what is said about it.

use crate::support::close;
use skyworthy::optics::conic::Conic;
use skyworthy::optics::instrument::{EyepieceCase, Instrument};
use skyworthy::show::words::assumed::taken_words;
use skyworthy::show::words::figure;
use skyworthy::workshop::{
    Barlow, Coating, Eyepiece, EyepieceField, Figure, FocalLength, KnifeEdge, KnifeSource,
    MirrorEdge, On, ReadingAt, Sagitta, Stand, Stated, StatedAmount, Telescope, ZernikeTerm, Zone,
};

fn larch() -> Telescope {
    Telescope {
        name: "Larch".to_string(),
        aperture_mm: 150.0,
        focal_length: FocalLength::FocalLengthMm(1200.0),
        planned_focal_length_mm: None,
        secondary_mm: Some(30.0),
        spider_vane_mm: 1.0,
        coating: Coating::Reflectivity(0.9),
        coated_on: None,
        thickness_mm: None,
        glass: skyworthy::workshop::Glass::Plate,
        pivot_height_m: None,
        pivot_to_eyepiece_m: None,
        eyepieces: vec![1, 0],
        figure: Figure::Sphere,
        figure_on: None,
        star_test: None,
        history: Vec::new(),
        stand: Stand::default(),
    }
}

fn instrument(telescope: &Telescope) -> Instrument {
    let eyepiece = |name: &str, focal_length_mm, field| Eyepiece {
        name: name.to_string(),
        focal_length_mm,
        field,
    };
    let eyepieces = [
        eyepiece("25 mm", 25.0, EyepieceField::StopMm(21.0)),
        eyepiece("10 mm", 10.0, EyepieceField::ApparentDeg(50.0)),
    ];
    let barlows = [Barlow {
        name: "2x".to_string(),
        factor: 2.0,
    }];
    let case = EyepieceCase {
        eyepieces: &eyepieces,
        barlows: &barlows,
    };
    Instrument::with_eyepieces(telescope, case).expect("a figure that is judged")
}

#[test]
fn an_instrument_put_together() {
    let larch = instrument(&larch());
    close("focal ratio", larch.focal_ratio, 8.0, 1e-12);
    close("obstruction", larch.obstruction, 0.2, 1e-12);
    // 0.9^2 x (1 - 0.04 - 4 x 60 / (pi 75^2)).
    close(
        "transmission",
        larch.transmission,
        0.81 * (0.96 - 0.01358),
        5e-6,
    );
    assert_eq!(
        figure::words(&larch.figure),
        "left spherical: 0.24 wave peak to valley at best focus"
    );
    assert_eq!(larch.assumed, []);
    let views: Vec<(&str, f64)> = larch
        .views
        .iter()
        .map(|view| (view.eyepiece.as_str(), view.magnification))
        .collect();
    let want = [
        ("25 mm", 48.0),
        ("25 mm + 2x", 96.0),
        ("10 mm", 120.0),
        ("10 mm + 2x", 240.0),
    ];
    assert_eq!(views, want);
    let ten = &larch.views[2];
    close("exit pupil", ten.exit_pupil_mm, 1.25, 1e-12);
    close("true field", ten.true_field_deg, 50.0 / 120.0, 1e-12);
    assert_eq!(
        (ten.eyepiece_idx, ten.barlow_idx, ten.field_from_stop),
        (1, None, false)
    );
    // 21 mm at 1200 mm: 60.16 arcminutes.
    close(
        "by field stop",
        larch.views[0].true_field_deg * 60.0,
        60.16,
        5e-3,
    );
    assert!(
        larch.image.photopic_mtf.at(0.5) < larch.mtf_of_perfect_figure.at(0.5),
        "the sphere costs contrast"
    );
}

/// The same mirror, its focal length found in three ways.
#[test]
fn one_mirror_measured_in_three_ways() {
    let sagitta_mm = Conic::sphere(2400.0)
        .sagitta_mm(75.0)
        .expect("on the mirror");
    for focal_length in [
        FocalLength::FocalLengthMm(1200.0),
        FocalLength::RadiusOfCurvatureMm(2400.0),
        FocalLength::SagittaMm(Sagitta {
            sagitta_mm,
            across_mm: None,
            uncertainty_mm: None,
            gauges_mm: Vec::new(),
        }),
    ] {
        let telescope = Telescope {
            focal_length,
            ..larch()
        };
        close(
            "focal length",
            instrument(&telescope).focal_length_mm,
            1200.0,
            1e-9,
        );
    }
}

#[test]
fn what_the_file_left_out_is_said() {
    let telescope = Telescope {
        secondary_mm: None,
        coating: Coating::Silver,
        ..larch()
    };
    let said: Vec<String> = instrument(&telescope)
        .assumed
        .iter()
        .map(|assumed| format!("{}: {}", assumed.key, taken_words(&assumed.value)))
        .collect();
    assert_eq!(
        said,
        [
            "telescope \"Larch\": secondary_mm: 30 mm, as the usual tube needs to light 10 mm of \
             field fully",
            "telescope \"Larch\": reflectivity: 95 % each mirror, as fresh silver; age not counted",
        ]
    );
}

fn knife_edge(zones: Vec<Zone>) -> Telescope {
    let readings = KnifeEdge {
        source: KnifeSource::Fixed,
        reading_at: ReadingAt::Window,
        edge: MirrorEdge::NotLooked,
        reading_error_mm: None,
        zones,
    };
    Telescope {
        figure: Figure::KnifeEdge(readings),
        ..larch()
    }
}

#[test]
fn a_mirror_known_by_knife_edge_readings() {
    let zone = |inner_mm, outer_mm, reading_mm| Zone {
        inner_mm,
        outer_mm,
        readings_mm: vec![reading_mm],
    };
    // A sphere: all zones alike.
    let telescope = knife_edge(vec![
        zone(0.0, 43.0, 0.0),
        zone(43.0, 61.0, 0.0),
        zone(61.0, 75.0, 0.0),
    ]);
    let read = instrument(&telescope);
    let sphere = instrument(&larch());
    close("Strehl", read.strehl, sphere.strehl, 0.01);
    assert_eq!(
        figure::words(&read.figure),
        "from knife-edge readings of 3 zones: 0.24 wave peak to valley, 0.07 wave RMS on the \
         wavefront; the test leaves a Strehl ratio of 0.76 to 0.87 open"
    );
    let reduction = read
        .found
        .reduction()
        .cloned()
        .expect("what the readings came to");
    close(
        "the same",
        reduction.evidence.strehl.value,
        read.strehl,
        1e-3,
    );
    close(
        "P-V",
        reduction.evidence.wavefront_pv_nm.value,
        read.wavefront_pv_nm,
        0.5,
    );
    close(
        "RMS",
        reduction.evidence.wavefront_rms_nm.value,
        read.wavefront_rms_nm,
        0.1,
    );
}

#[test]
fn readings_with_a_grave_doubt_say_so() {
    let zone = |inner_mm, outer_mm, reading_mm| Zone {
        inner_mm,
        outer_mm,
        readings_mm: vec![reading_mm],
    };
    // A paraboloid read with the lamp on the knife's carriage: half of what a fixed lamp shows.
    let telescope = knife_edge(vec![
        zone(0.0, 43.0, 0.19),
        zone(43.0, 61.0, 0.58),
        zone(61.0, 75.0, 0.97),
    ]);
    let words = figure::words(&instrument(&telescope).figure);
    assert!(
        words.contains("not to be relied on: the readings fit better as if the lamp"),
        "{words}"
    );
}

#[test]
fn readings_that_cannot_be_used_are_refused_not_guessed() {
    let case = EyepieceCase {
        eyepieces: &[],
        barlows: &[],
    };
    let refused = Instrument::with_eyepieces(&knife_edge(Vec::new()), case).expect_err("no zones");
    assert_eq!(
        refused.to_string(),
        "the figure of `Larch` cannot be judged: a figure is a difference between zones: at least \
         2 are needed, not 0"
    );
}

#[test]
fn the_figure_in_words() {
    let words = |figure| figure::words(&instrument(&Telescope { figure, ..larch() }).figure);
    let stated = |amount, on| {
        words(Figure::Stated(Stated {
            amount,
            on,
            wavelength_nm: 550.0,
        }))
    };
    assert_eq!(
        words(Figure::NotGiven),
        "not given: a perfect paraboloid is assumed"
    );
    assert_eq!(
        stated(StatedAmount::PeakToValleyWaves(0.125), On::Surface),
        "as stated, 0.25 wave peak to valley on the wavefront; smooth (spherical aberration) \
         assumed, so 0.07 wave RMS"
    );
    assert_eq!(
        stated(StatedAmount::RmsWaves(0.002), On::Wavefront),
        "as stated, under 0.01 wave RMS on the wavefront; smooth (spherical aberration) assumed, \
         so 0.01 wave peak to valley"
    );
    let terms = vec![ZernikeTerm {
        n: 4,
        m: 0,
        nm_rms: 35.0,
    }];
    let on = On::Wavefront;
    assert_eq!(
        words(Figure::Zernike { terms, on }),
        "from 1 Zernike term: 0.06 wave RMS on the wavefront at best focus"
    );
}
