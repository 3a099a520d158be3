//! The verdict on a mirror: classes, what is named as the reason, what more work would buy.

use chrono::NaiveDate;

use crate::support::workshop_of;
use skyworthy::plan::mirror::{Class, Judged, mirrors};
use skyworthy::workshop::Workshop;
use skyworthy::{show, workshop};

fn on() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date")
}

fn parsed(telescope: &str) -> Workshop {
    let site = "[site]\nlatitude_deg = 43\nlongitude_deg = 0\ntime_zone = \"UTC\"\n[[telescope]]\nname = \"Larch\"\n";
    workshop_of(&format!("{site}{telescope}"))
}

fn judged(telescope: &str) -> Judged {
    let answer = mirrors(&parsed(telescope), on()).expect("a year of planets");
    *answer
        .mirrors
        .into_iter()
        .next()
        .expect("one mirror")
        .judged
        .expect("judged")
}

/// Knife-edge readings of a 200 mm f/5 conic, lamp moving with the knife: `-k z(r)` exactly (normal to a
/// conic; models of every handbook), balanced windows, `extra_mm` added zone by zone.
fn readings_of_conic(k: f64, extra_mm: [f64; 5], repeats: usize) -> String {
    let edges = [0.0, 44.72, 63.25, 77.46, 89.44, 100.0f64];
    let zones: Vec<String> = (0..5)
        .map(|idx| {
            let (inner, outer) = (edges[idx], edges[idx + 1]);
            let r2 = (inner * inner + outer * outer) / 2.0;
            let sagitta = r2 / (2000.0 * (1.0 + (1.0 - (1.0 + k) * r2 / 4e6).sqrt()));
            let reading = -k * sagitta + extra_mm[idx];
            let readings: Vec<String> = (0..repeats)
                .map(|repeat| format!("{:.2}", reading + 0.01 * (repeat as f64 - 1.0)))
                .collect();
            format!(
                "{{ inner_mm = {inner}, outer_mm = {outer}, readings_mm = [{}] }}",
                readings.join(", ")
            )
        })
        .collect();
    format!(
        "aperture_mm = 200\nradius_of_curvature_mm = 2000\nsecondary_mm = 50\n[telescope.figure]\n\
         kind = \"knife-edge\"\nsource = \"moving\"\nzones = [ {} ]\n",
        zones.join(", ")
    )
}

#[test]
fn classes_of_mirrors_whose_figure_is_known() {
    // A paraboloid; a 114 mm f/8 sphere, Strehl 0.87 (models of every handbook: D/2048N^3 = 0.20 wave); a
    // 200 mm f/5 sphere, 1.4 waves; a smooth quarter of a wave on the glass, half on the wavefront.
    for (telescope, want) in [
        (
            "aperture_mm = 150\nfocal_length_mm = 1200\n[telescope.figure]\nkind = \"profile\"\non = \"surface\"\npoints = [[0, 0], [1, 0]]\n",
            Class::PlanetWorthy,
        ),
        (
            "aperture_mm = 114\nfocal_length_mm = 912\n[telescope.figure]\nkind = \"sphere\"\n",
            Class::PlanetWorthy,
        ),
        (
            "aperture_mm = 200\nfocal_length_mm = 1000\n[telescope.figure]\nkind = \"sphere\"\n",
            Class::FigureAgain,
        ),
        (
            "aperture_mm = 150\nfocal_length_mm = 1200\n[telescope.figure]\nkind = \"stated\"\npeak_to_valley_waves = 0.4\non = \"wavefront\"\n",
            Class::ReadAgain,
        ),
        (
            "aperture_mm = 150\nfocal_length_mm = 1200\n[telescope.figure]\nkind = \"stated\"\nrms_waves = 0.11\non = \"wavefront\"\n",
            Class::LowPower,
        ),
        (
            "aperture_mm = 150\nfocal_length_mm = 1200\n",
            Class::ReadAgain,
        ),
    ] {
        assert_eq!(judged(telescope).class, want, "{telescope}");
    }
}

#[test]
fn a_good_read_mirror_is_planet_worthy_and_a_high_zone_is_named() {
    let good = judged(&readings_of_conic(-0.98, [0.0; 5], 3));
    assert_eq!(good.class, Class::PlanetWorthy);
    assert!(
        good.figures.strehl.low <= good.figures.strehl.value
            && good.figures.strehl.value <= good.figures.strehl.high
    );
    // The fourth window's normal meets the axis 0.25 mm too near: the glass there slopes too little outward,
    // so what lies inside it stands high against the rim.
    let ringed = judged(&readings_of_conic(-1.0, [0.0, 0.0, 0.0, -0.25, 0.0], 3));
    assert_ne!(ringed.class, Class::PlanetWorthy);
    let (number, zone) = ringed.worst_zone().expect("zones were read");
    let page = show::mirror::reasons(&ringed).join("\n");
    let side = if zone.is_high() { "high" } else { "low" };
    assert!(
        page.contains(&format!("zone {number} (")) && page.contains(side),
        "{page}"
    );
    assert!(ringed.week.perfect.details.len() >= good.week.perfect.details.len());
    assert!(!ringed.week.perfect.details.is_empty());
}

#[test]
fn a_turned_edge_nobody_looked_for_stands_in_the_reasons() {
    let reasons = show::mirror::reasons(&judged(&readings_of_conic(-1.0, [0.0; 5], 3)));
    assert!(
        reasons.iter().any(|reason| reason.contains("turned edge")),
        "{reasons:?}"
    );
}

#[test]
fn a_wrongly_stated_lamp_is_no_verdict() {
    // Readings with a fixed lamp are twice as far apart: said to be moving, the mirror looks hyperbolic.
    let fixed: [f64; 5] = [0.25, 0.75, 1.25, 1.75, 2.25].map(|ideal: f64| ideal);
    let judged = judged(&readings_of_conic(-1.0, fixed, 3));
    assert_eq!(judged.class, Class::ReadAgain);
}

#[test]
fn what_a_mirror_keeps_is_between_nothing_and_a_perfect_one() {
    let answer = mirrors(&workshop::example(), on()).expect("a year of planets");
    for outcome in &answer.mirrors {
        let judged = outcome.judged.as_ref().expect("all three are judged");
        for kept in &judged.contrast {
            assert!(
                (0.0..=1.0).contains(&kept.share),
                "{}: {:?}",
                outcome.name,
                kept.scale
            );
        }
        assert!(judged.sees_like_mm <= judged.instrument.aperture_mm);
        assert!(judged.week.perfect.strehl > 0.999);
        for gain in &judged.week.perfect.details {
            assert!(gain.evenings_now < gain.evenings_then && gain.evenings_then <= 366.0);
        }
    }
}

#[test]
fn the_perfect_mirror_gains_nothing() {
    let perfect = judged("aperture_mm = 200\nfocal_length_mm = 1200\nsecondary_mm = 40\n");
    assert_eq!(perfect.week.perfect.details, []);
    assert!(perfect.contrast.iter().all(|kept| kept.share > 0.9999));
    assert!((perfect.sees_like_mm - 200.0).abs() < 0.2);
}
