//! Verdicts on mirrors, for machines. Names carry units and stay; fields are only ever added.

use serde_json::{Value, json};

use crate::optics::knife::ZoneOutcome;
use crate::plan::mirror::{ContrastKept, DatedOutcome, Judged, Masked, MirrorOutcome};
use crate::plan::week::{DetailGain, WeekGain};
use crate::show::json;
use crate::show::mirror::{certificate, class_word, reasons, rim_words, scale_words};

/// All mirrors.
pub fn json(outcomes: &[MirrorOutcome]) -> String {
    json::document(json!({
        "telescopes": outcomes.iter().map(mirror).collect::<Value>(),
    }))
}

fn mirror(outcome: &MirrorOutcome) -> Value {
    match &outcome.judged {
        Ok(judged) => verdict(judged),
        Err(why) => json!({
            "name": outcome.name,
            "class": null,
            "reasons": [why.to_string()],
        }),
    }
}

fn verdict(judged: &Judged) -> Value {
    let instrument = &judged.instrument;
    let reduction = instrument.found.reduction();
    let evidence = instrument.found.evidence();
    let correction = judged.correction();
    let zones = reduction.iter().flat_map(|reduction| &reduction.zones);
    json!({
        "name": instrument.name,
        "class": class_word(judged.class),
        "focal_length_mm": instrument.focal_length_mm,
        "focal_length_uncertainty_mm": judged.focal_length_uncertainty_mm,
        "focal_ratio": instrument.focal_ratio,
        "wavefront_pv_nm": judged.figures.wavefront_pv_nm.value,
        "wavefront_pv_low_nm": judged.figures.wavefront_pv_nm.low,
        "wavefront_pv_high_nm": judged.figures.wavefront_pv_nm.high,
        "wavefront_rms_nm": judged.figures.wavefront_rms_nm.value,
        "wavefront_rms_low_nm": judged.figures.wavefront_rms_nm.low,
        "wavefront_rms_high_nm": judged.figures.wavefront_rms_nm.high,
        "strehl": judged.figures.strehl.value,
        "strehl_low": judged.figures.strehl.low,
        "strehl_high": judged.figures.strehl.high,
        "full_disc": {
            "wavefront_pv_nm": judged.full_disc.wavefront_pv_nm.value,
            "wavefront_rms_nm": judged.full_disc.wavefront_rms_nm.value,
            "strehl": judged.full_disc.strehl.value,
            "strehl_low": judged.full_disc.strehl.low,
            "strehl_high": judged.full_disc.strehl.high,
        },
        "unread_area_share": evidence.map(|evidence| evidence.unread_area_share),
        "correction": correction.map(|correction| correction.value),
        "correction_low": correction.map(|correction| correction.low),
        "correction_high": correction.map(|correction| correction.high),
        "rim": rim_words(judged),
        "rim_nm": evidence.map(|evidence| evidence.rim_nm.value),
        "mask": judged.mask.as_ref().map(mask),
        "history": judged.history.iter().map(dated).collect::<Value>(),
        "airy_radius_arcsec": judged.airy_radius_arcsec,
        "fwhm_arcsec": judged.fwhm_arcsec,
        "encircled_energy_airy": instrument.image.encircled_energy_airy,
        "mtf": judged.mtf,
        "zones": zones.map(zone).collect::<Value>(),
        "by_straight_lines": reduction.map(|found| &found.by_straight_lines),
        "by_polynomial": reduction.map(|found| &found.by_polynomial),
        "sphere_is_enough": judged.sphere.is_enough(),
        "sphere_pv_waves": judged.sphere.wavefront_pv_waves,
        "sees_like_mm": judged.sees_like_mm,
        "contrast": judged.contrast.iter().map(kept).collect::<Value>(),
        "worst_zone_corrected": judged.week.worst_zone_corrected.as_ref().map(gain),
        "perfect": gain(&judged.week.perfect),
        "reasons": reasons(judged),
        "certificate": certificate(judged),
    })
}

fn zone(zone: &ZoneOutcome) -> Value {
    json!({
        "inner_mm": zone.inner_mm,
        "outer_mm": zone.outer_mm,
        "surface_nm": zone.surface_nm.value,
        "surface_low_nm": zone.surface_nm.low,
        "surface_high_nm": zone.surface_nm.high,
        "remove_nm": zone.remove_nm,
        "reading_mm": zone.reading_mm,
        "wanted_mm": zone.wanted_mm(),
        "transverse_ratio": zone.transverse_ratio,
        "residual_mm": zone.residual_mm,
        "tolerance_mm": zone.tolerance_mm,
    })
}

fn mask(mask: &Masked) -> Value {
    json!({
        "aperture_mm": mask.aperture_mm,
        "strehl": mask.strehl,
        "light_share": mask.light_share,
        "airy_radius_arcsec": mask.airy_radius_arcsec,
    })
}

fn dated(dated: &DatedOutcome) -> Value {
    let step = dated.outcome.as_ref().ok();
    json!({
        "on_date": dated.on_date.to_string(),
        "wavefront_pv_nm": step.map(|step| step.figures.wavefront_pv_nm.value),
        "wavefront_rms_nm": step.map(|step| step.figures.wavefront_rms_nm.value),
        "strehl": step.map(|step| step.figures.strehl.value),
        "strehl_low": step.map(|step| step.figures.strehl.low),
        "strehl_high": step.map(|step| step.figures.strehl.high),
        "correction": step.and_then(|step| step.correction).map(|correction| correction.value),
        "not_judged": dated.outcome.as_ref().err().map(ToString::to_string),
    })
}

fn kept(kept: &ContrastKept) -> Value {
    json!({ "scale": scale_words(kept.scale), "width_arcsec": kept.width_arcsec, "share": kept.share })
}

fn gain(gain: &WeekGain) -> Value {
    let detail = |gained: &DetailGain| {
        json!({
            "id": gained.detail.id,
            "name": gained.detail.name,
            "evenings_now": gained.evenings_now,
            "evenings_then": gained.evenings_then,
        })
    };
    json!({
        "strehl": gain.strehl,
        "details": gain.details.iter().map(detail).collect::<Value>(),
    })
}
