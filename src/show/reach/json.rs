//! A telescope's reach for programs. Names carry units and stay; fields are only ever added.

use serde_json::{Value, json};

use crate::plan::reach::{ClosestPair, Reach, Useful};
use crate::plan::tube::DiagonalFit;
use crate::show::json;
use crate::show::reach::figure;
use crate::show::words::assumed::taken_words;
use crate::show::words::range_end;
use crate::workshop::Assumed;

/// All telescopes.
pub fn json(reaches: &[Reach]) -> String {
    json::document(json!({
        "telescopes": reaches.iter().map(telescope).collect::<Value>(),
    }))
}

/// Of a mirror that is not judged, what only its figure could tell is null.
fn telescope(reach: &Reach) -> Value {
    let (instrument, tube) = (&reach.instrument, &reach.tube);
    let judged = |value: f64| reach.not_judged.is_none().then_some(value);
    json!({
        "name": instrument.name,
        "aperture_mm": instrument.aperture_mm,
        "focal_length_mm": instrument.focal_length_mm,
        "focal_ratio": instrument.focal_ratio,
        "secondary_mm": instrument.secondary_mm,
        "obstruction": instrument.obstruction,
        "transmission": instrument.transmission,
        "figure": figure(reach),
        "strehl": judged(instrument.strehl),
        "wavefront_rms_nm": judged(instrument.wavefront_rms_nm),
        "wavefront_pv_nm": judged(instrument.wavefront_pv_nm),
        "airy_radius_arcsec": reach.airy_radius_arcsec,
        "rayleigh_arcsec": reach.rayleigh_arcsec,
        "dawes_arcsec": reach.dawes_arcsec,
        "closest_pair": closest_pair(reach),
        "light_grasp": reach.light_grasp,
        "eye_pupil_mm": reach.conditions.eye_pupil_mm,
        "sky_brightness_mag_arcsec2": reach.conditions.sky_mag_arcsec2,
        "extinction_mag": reach.conditions.extinction_mag,
        "seeing_arcsec": reach.conditions.seeing_arcsec,
        "faintest_star_mag": reach.faintest_star_mag(),
        "rule_of_thumb_mag": reach.rule_of_thumb_mag,
        "lowest_useful": useful(&reach.lowest_useful),
        "highest_useful": useful(&reach.highest_useful),
        "soft_from_magnification": reach.soft_from.map(|soft| soft.magnification),
        "blurs_like_air_arcsec": reach.soft_from.map(|soft| soft.like_air_arcsec),
        "eyepieces": eyepieces(reach),
        "diagonal": tube.diagonal.map(|fit| diagonal(reach, fit)),
        "coma": coma(reach),
        "collimation": tube.collimation,
        "coating": coating(reach),
        "cooling": tube.cooling,
        "eyepiece_height_at_30_deg_m": tube.eyepiece_height.map(|height| height.at_30_deg_m),
        "eyepiece_height_at_80_deg_m": tube.eyepiece_height.map(|height| height.at_80_deg_m),
        "sphere": sphere(reach),
        "assumed": instrument.assumed.iter().map(taken).collect::<Value>(),
    })
}

fn useful(useful: &Useful) -> Value {
    json!({ "magnification": useful.magnification, "why": range_end::words(useful.end) })
}

/// An even pair of stars of that magnitude each, parted by most people; null in air of unknown width.
fn closest_pair(reach: &Reach) -> Value {
    let (still, typical) = (reach.pair_in_still_air, reach.pair_in_typical_air);
    let own = |pair: Option<ClosestPair>| {
        pair.filter(|_| reach.not_judged.is_none())
            .map(|pair| pair.gap_arcsec)
    };
    let perfect = |pair: Option<ClosestPair>| pair.map(|pair| pair.perfect_gap_arcsec);
    let eyepiece =
        |pair: Option<ClosestPair>| pair.map(|pair| &reach.instrument.views[pair.view].eyepiece);
    json!({
        "star_mag": still.map(|pair| pair.star_mag),
        "still_air_arcsec": own(still),
        "perfect_still_air_arcsec": perfect(still),
        "still_air_eyepiece": eyepiece(still),
        "typical_air_arcsec": own(typical),
        "perfect_typical_air_arcsec": perfect(typical),
        "typical_air_eyepiece": eyepiece(typical),
    })
}

fn taken(assumed: &Assumed) -> Value {
    json!({ "key": assumed.key, "value": taken_words(&assumed.value) })
}

fn eyepieces(reach: &Reach) -> Value {
    let views = reach.instrument.views.iter().zip(&reach.views);
    views
        .map(|(view, reach)| {
            json!({
                "eyepiece": view.eyepiece,
                "magnification": view.magnification,
                "exit_pupil_mm": view.exit_pupil_mm,
                "true_field_deg": view.true_field_deg,
                "apparent_field_deg": view.apparent_field_deg,
                "drift_time_s": reach.drift_time_s,
                "faintest_star_mag": reach.faintest_star_mag,
                "figure_cost_mag": reach.figure_cost_mag,
                "fit": reach.fit,
            })
        })
        .collect()
}

fn diagonal(reach: &Reach, fit: DiagonalFit) -> Value {
    json!({
        "minor_axis_mm": fit.minor_axis_mm,
        "to_focus_mm": fit.to_focus_mm,
        "needed_minor_axis_mm": fit.needed_mm,
        "fully_lit_mm": fit.fully_lit_mm,
        "aperture_used_mm": fit.aperture_used_mm,
        "widest_eyepiece": reach.instrument.views[fit.widest_view_idx].eyepiece,
        "widest_view_mm": fit.widest_view_mm,
        "edge_illumination": fit.edge_illumination,
        "offset_mm": fit.offset_mm,
    })
}

fn coma(reach: &Reach) -> Value {
    let coma = &reach.tube.coma;
    json!({
        "sharp_field_mm": coma.sharp_field_mm,
        "sharp_field_arcmin": coma.sharp_field_arcmin,
        "widest_eyepiece": reach.instrument.views[coma.widest_view_idx].eyepiece,
        "edge_rms_waves": coma.edge_rms_waves,
        "edge_tail_arcsec": coma.edge_tail_arcsec,
    })
}

/// The kind is null where a reflectivity is stated.
fn coating(reach: &Reach) -> Value {
    let coat = &reach.tube.coat;
    json!({
        "kind": coat.kind.word(),
        "age_months": coat.age_months,
        "reflectivity": coat.reflectivity,
        "fresh_reflectivity": coat.fresh_reflectivity,
        "cost_mag": coat.cost_mag(),
        "may_be_due": coat.may_be_due,
        "is_older_than_table": coat.is_older_than_table,
    })
}

fn sphere(reach: &Reach) -> Value {
    let sphere = &reach.tube.sphere;
    json!({
        "is_enough": sphere.is_enough(),
        "wavefront_pv_waves": sphere.wavefront_pv_waves,
        "wavefront_rms_waves": sphere.wavefront_rms_waves,
        "strehl": sphere.strehl,
        "quarter_wave_focal_ratio": sphere.quarter_wave_focal_ratio,
        "eighth_wave_focal_ratio": sphere.eighth_wave_focal_ratio,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::reach::ReachConditions;
    use crate::plan::reach::tests::larch_under;

    #[test]
    fn json_names_carry_their_units() {
        let reaches = [larch_under(ReachConditions {
            sky_mag_arcsec2: Some(20.0),
            extinction_mag: 0.25,
            seeing_arcsec: Some(2.2),
            age_years: 40.0,
            eye_pupil_mm: 6.5,
        })];
        let value: serde_json::Value =
            serde_json::from_str(&json(&reaches)).expect("plain numbers and text");
        let larch = &value["telescopes"][0];
        assert_eq!(larch["name"], "Larch");
        assert_eq!(larch["focal_length_mm"], 1200.0);
        assert_eq!(larch["eyepieces"][0]["eyepiece"], "25 mm");
        assert_eq!(larch["eyepieces"][2]["fit"], "too-high");
        assert_eq!(larch["coating"]["kind"], "silver");
        assert!(larch["cooling"]["still_air_min"].is_number());
        assert!(larch["eyepiece_height_at_30_deg_m"].is_number());
        assert!(larch["strehl"].is_number() && larch["faintest_star_mag"].is_number());
    }
}
