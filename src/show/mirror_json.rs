//! Verdicts on mirrors, for machines. Names carry units and stay; fields are only ever added.

use serde::Serialize;

use crate::optics::knife::{CrossCheck, ZoneOutcome};
use crate::plan::mirror::{Judged, MirrorOutcome};
use crate::plan::week::Gain;
use crate::show::json;
use crate::show::mirror::{certificate, class_word, reasons, scale_words};

#[derive(Serialize)]
struct MirrorsJson<'a> {
    telescopes: Vec<MirrorJson<'a>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum MirrorJson<'a> {
    Judged(Box<JudgedJson<'a>>),
    NotJudged {
        name: &'a str,
        class: Option<&'static str>,
        reasons: Vec<String>,
    },
}

#[derive(Serialize)]
struct JudgedJson<'a> {
    name: &'a str,
    class: &'static str,
    focal_length_mm: f64,
    focal_length_uncertainty_mm: f64,
    focal_ratio: f64,
    wavefront_pv_nm: f64,
    wavefront_pv_low_nm: f64,
    wavefront_pv_high_nm: f64,
    wavefront_rms_nm: f64,
    wavefront_rms_low_nm: f64,
    wavefront_rms_high_nm: f64,
    strehl: f64,
    strehl_low: f64,
    strehl_high: f64,
    airy_radius_arcsec: f64,
    fwhm_arcsec: Option<f64>,
    encircled_energy_airy: f64,
    mtf: Vec<[f64; 2]>,
    zones: Vec<ZoneJson>,
    by_straight_lines: Option<WayJson>,
    by_polynomial: Option<WayJson>,
    sphere_is_enough: bool,
    sphere_pv_waves: f64,
    sees_like_mm: f64,
    contrast: Vec<ContrastJson>,
    worst_zone_corrected: Option<GainJson<'a>>,
    perfect: GainJson<'a>,
    reasons: Vec<String>,
    certificate: String,
}

#[derive(Serialize)]
struct ZoneJson {
    inner_mm: f64,
    outer_mm: f64,
    surface_nm: f64,
    surface_low_nm: f64,
    surface_high_nm: f64,
    transverse_ratio: f64,
    residual_mm: f64,
    tolerance_mm: f64,
}

/// The same readings by a simpler reduction.
#[derive(Serialize)]
struct WayJson {
    wavefront_pv_nm: f64,
    wavefront_rms_nm: f64,
    strehl: f64,
}

#[derive(Serialize)]
struct ContrastJson {
    scale: &'static str,
    width_arcsec: f64,
    share: f64,
}

#[derive(Serialize)]
struct GainJson<'a> {
    strehl: f64,
    details: Vec<DetailGainJson<'a>>,
}

#[derive(Serialize)]
struct DetailGainJson<'a> {
    id: &'a str,
    name: &'a str,
    evenings_now: f64,
    evenings_then: f64,
}

/// All mirrors.
pub fn json(outcomes: &[MirrorOutcome]) -> String {
    json::document(&MirrorsJson {
        telescopes: outcomes.iter().map(mirror).collect(),
    })
}

fn mirror(outcome: &MirrorOutcome) -> MirrorJson<'_> {
    match &outcome.judged {
        Ok(judged) => MirrorJson::Judged(Box::new(of(judged))),
        Err(why) => MirrorJson::NotJudged {
            name: &outcome.name,
            class: None,
            reasons: vec![why.to_string()],
        },
    }
}

fn of(judged: &Judged) -> JudgedJson<'_> {
    let instrument = &judged.instrument;
    let contrast = |kept: &crate::plan::mirror::ContrastKept| ContrastJson {
        scale: scale_words(kept.scale),
        width_arcsec: kept.width_arcsec,
        share: kept.share,
    };
    let zones = instrument
        .reduction
        .iter()
        .flat_map(|reduction| &reduction.zones);
    JudgedJson {
        name: &instrument.name,
        class: class_word(judged.class),
        focal_length_mm: instrument.focal_length_mm,
        focal_length_uncertainty_mm: judged.focal_length_uncertainty_mm,
        focal_ratio: instrument.focal_ratio,
        wavefront_pv_nm: judged.wavefront_pv_nm.value,
        wavefront_pv_low_nm: judged.wavefront_pv_nm.low,
        wavefront_pv_high_nm: judged.wavefront_pv_nm.high,
        wavefront_rms_nm: judged.wavefront_rms_nm.value,
        wavefront_rms_low_nm: judged.wavefront_rms_nm.low,
        wavefront_rms_high_nm: judged.wavefront_rms_nm.high,
        strehl: judged.strehl.value,
        strehl_low: judged.strehl.low,
        strehl_high: judged.strehl.high,
        airy_radius_arcsec: judged.airy_radius_arcsec,
        fwhm_arcsec: judged.fwhm_arcsec,
        encircled_energy_airy: instrument.image.encircled_energy_airy,
        mtf: (judged.mtf.iter())
            .map(|(share, kept)| [*share, *kept])
            .collect(),
        zones: zones.map(zone).collect(),
        by_straight_lines: (instrument.reduction.as_ref())
            .map(|found| way(&found.by_straight_lines)),
        by_polynomial: (instrument.reduction.as_ref()).map(|found| way(&found.by_polynomial)),
        sphere_is_enough: judged.sphere.is_enough(),
        sphere_pv_waves: judged.sphere.wavefront_pv_waves,
        sees_like_mm: judged.sees_like_mm,
        contrast: judged.contrast.iter().map(contrast).collect(),
        worst_zone_corrected: judged.week.worst_zone_corrected.as_ref().map(gain),
        perfect: gain(&judged.week.perfect),
        reasons: reasons(judged),
        certificate: certificate(judged),
    }
}

fn zone(zone: &ZoneOutcome) -> ZoneJson {
    ZoneJson {
        inner_mm: zone.inner_mm,
        outer_mm: zone.outer_mm,
        surface_nm: zone.surface_nm.value,
        surface_low_nm: zone.surface_nm.low,
        surface_high_nm: zone.surface_nm.high,
        transverse_ratio: zone.transverse_ratio,
        residual_mm: zone.residual_mm,
        tolerance_mm: zone.tolerance_mm,
    }
}

fn way(check: &CrossCheck) -> WayJson {
    WayJson {
        wavefront_pv_nm: check.wavefront_pv_nm,
        wavefront_rms_nm: check.wavefront_rms_nm,
        strehl: check.strehl,
    }
}

fn gain(gain: &Gain) -> GainJson<'_> {
    GainJson {
        strehl: gain.strehl,
        details: (gain.details.iter())
            .map(|detail| DetailGainJson {
                id: &detail.detail.id,
                name: &detail.detail.name,
                evenings_now: detail.evenings_now,
                evenings_then: detail.evenings_then,
            })
            .collect(),
    }
}
