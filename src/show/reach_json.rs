//! A telescope's reach for programs. Names carry units and stay; fields are only ever added.

use crate::optics::coma::Tolerance;
use crate::plan::reach::{Fit, Reach, Useful};
use crate::plan::tube::{ComaReach, CoolDown, DiagonalFit};
use crate::show::assumed::taken_words;
use crate::show::reach::figure;
use crate::show::{coat, json, range_end, words};
use serde::Serialize;

/// All telescopes.
pub fn json(reaches: &[Reach]) -> String {
    json::document(&ReachJson {
        telescopes: reaches.iter().map(TelescopeJson::of).collect(),
    })
}

/// `skyworthy reach --json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct ReachJson<'a> {
    telescopes: Vec<TelescopeJson<'a>>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct TelescopeJson<'a> {
    name: &'a str,
    aperture_mm: f64,
    focal_length_mm: f64,
    focal_ratio: f64,
    secondary_mm: f64,
    obstruction: f64,
    transmission: f64,
    figure: String,
    /// The figure's numbers are null where it is not judged.
    strehl: Option<f64>,
    wavefront_rms_nm: Option<f64>,
    wavefront_pv_nm: Option<f64>,
    airy_radius_arcsec: f64,
    rayleigh_arcsec: f64,
    dawes_arcsec: f64,
    light_grasp: f64,
    eye_pupil_mm: f64,
    sky_brightness_mag_arcsec2: Option<f64>,
    extinction_mag: f64,
    seeing_arcsec: Option<f64>,
    faintest_star_mag: Option<f64>,
    rule_of_thumb_mag: f64,
    lowest_useful: UsefulJson,
    highest_useful: UsefulJson,
    eyepieces: Vec<EyepieceJson<'a>>,
    /// Null without one.
    diagonal: Option<DiagonalJson<'a>>,
    coma: ComaJson<'a>,
    collimation: CollimationJson,
    coating: CoatingJson,
    /// Null where the mirror's thickness is not known.
    cooling: Option<CoolingJson>,
    /// Null where the mount is not known.
    eyepiece_height_at_30_deg_m: Option<f64>,
    eyepiece_height_at_80_deg_m: Option<f64>,
    sphere: SphereJson,
    assumed: Vec<AssumedJson<'a>>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct UsefulJson {
    magnification: f64,
    why: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct EyepieceJson<'a> {
    eyepiece: &'a str,
    magnification: f64,
    exit_pupil_mm: f64,
    true_field_deg: f64,
    apparent_field_deg: f64,
    /// Across the field at declination 0.
    drift_time_s: Option<f64>,
    faintest_star_mag: Option<f64>,
    fit: &'static str,
}

/// Lengths across the beam; `to_focus_mm` is that of the usual tube.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct DiagonalJson<'a> {
    minor_axis_mm: f64,
    to_focus_mm: f64,
    needed_minor_axis_mm: f64,
    /// Diameter; null where no point sees the whole mirror.
    fully_lit_mm: Option<f64>,
    aperture_used_mm: f64,
    widest_eyepiece: &'a str,
    widest_view_mm: f64,
    edge_illumination: f64,
    offset_mm: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ComaJson<'a> {
    sharp_field_mm: f64,
    sharp_field_arcmin: f64,
    widest_eyepiece: &'a str,
    edge_rms_waves: f64,
    edge_tail_arcsec: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CollimationJson {
    at_focus_mm: f64,
    tilt_arcmin: f64,
    at_edge_mm: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CoatingJson {
    /// Null where a reflectivity is stated.
    kind: Option<&'static str>,
    age_months: Option<f64>,
    reflectivity: f64,
    fresh_reflectivity: f64,
    cost_mag: f64,
    may_be_due: bool,
    /// The reflectivity is that of the oldest coat known of: an upper bound.
    is_older_than_table: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CoolingJson {
    thickness_mm: f64,
    glass: &'static str,
    to_lose_k: f64,
    borne_lag_k: f64,
    still_air_min: f64,
    fan_min: f64,
    back_closed_min: f64,
    /// Behind air that cools by a degree an hour.
    lag_in_falling_air_k: f64,
}

/// Over the whole disc, whatever the figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct SphereJson {
    is_enough: bool,
    wavefront_pv_waves: f64,
    wavefront_rms_waves: f64,
    strehl: f64,
    quarter_wave_focal_ratio: f64,
    eighth_wave_focal_ratio: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct AssumedJson<'a> {
    key: &'a str,
    value: String,
}

impl<'a> TelescopeJson<'a> {
    fn of(reach: &'a Reach) -> TelescopeJson<'a> {
        let (instrument, tube) = (&reach.instrument, &reach.tube);
        let judged = |value: f64| reach.not_judged.is_none().then_some(value);
        TelescopeJson {
            name: &instrument.name,
            aperture_mm: instrument.aperture_mm,
            focal_length_mm: instrument.focal_length_mm,
            focal_ratio: instrument.focal_ratio,
            secondary_mm: instrument.secondary_mm,
            obstruction: instrument.obstruction,
            transmission: instrument.transmission,
            figure: figure(reach),
            strehl: judged(instrument.strehl),
            wavefront_rms_nm: judged(instrument.wavefront_rms_nm),
            wavefront_pv_nm: judged(instrument.wavefront_pv_nm),
            airy_radius_arcsec: reach.airy_radius_arcsec,
            rayleigh_arcsec: reach.rayleigh_arcsec,
            dawes_arcsec: reach.dawes_arcsec,
            light_grasp: reach.light_grasp,
            eye_pupil_mm: reach.conditions.eye_pupil_mm,
            sky_brightness_mag_arcsec2: reach.conditions.sky_mag_arcsec2,
            extinction_mag: reach.conditions.extinction_mag,
            seeing_arcsec: reach.conditions.seeing_arcsec,
            faintest_star_mag: reach.faintest_star_mag(),
            rule_of_thumb_mag: reach.rule_of_thumb_mag,
            lowest_useful: UsefulJson::of(&reach.lowest_useful),
            highest_useful: UsefulJson::of(&reach.highest_useful),
            eyepieces: eyepieces(reach),
            diagonal: tube.diagonal.map(|fit| diagonal(reach, fit)),
            coma: coma(reach, tube.coma),
            collimation: collimation(tube.collimation),
            coating: coating(reach),
            cooling: tube.cooling.map(cooling),
            eyepiece_height_at_30_deg_m: tube.eyepiece_height.map(|height| height.at_30_deg_m),
            eyepiece_height_at_80_deg_m: tube.eyepiece_height.map(|height| height.at_80_deg_m),
            sphere: sphere(reach),
            assumed: instrument
                .assumed
                .iter()
                .map(|assumed| AssumedJson {
                    key: &assumed.key,
                    value: taken_words(&assumed.value),
                })
                .collect(),
        }
    }
}

impl UsefulJson {
    fn of(useful: &Useful) -> UsefulJson {
        UsefulJson {
            magnification: useful.magnification,
            why: range_end::words(useful.end),
        }
    }
}

fn eyepieces(reach: &Reach) -> Vec<EyepieceJson<'_>> {
    let views = reach.instrument.views.iter().zip(&reach.views);
    views
        .map(|(view, reach)| EyepieceJson {
            eyepiece: &view.eyepiece,
            magnification: view.magnification,
            exit_pupil_mm: view.exit_pupil_mm,
            true_field_deg: view.true_field_deg,
            apparent_field_deg: view.apparent_field_deg,
            drift_time_s: reach.drift_time_s,
            faintest_star_mag: reach.faintest_star_mag,
            fit: match reach.fit {
                Fit::TooLow => "too-low",
                Fit::Useful => "useful",
                Fit::TooHigh => "too-high",
            },
        })
        .collect()
}

fn diagonal(reach: &Reach, fit: DiagonalFit) -> DiagonalJson<'_> {
    DiagonalJson {
        minor_axis_mm: fit.minor_axis_mm,
        to_focus_mm: fit.to_focus_mm,
        needed_minor_axis_mm: fit.needed_mm,
        fully_lit_mm: fit.fully_lit_mm,
        aperture_used_mm: fit.aperture_used_mm,
        widest_eyepiece: &reach.instrument.views[fit.widest_view_idx].eyepiece,
        widest_view_mm: fit.widest_view_mm,
        edge_illumination: fit.edge_illumination,
        offset_mm: fit.offset_mm,
    }
}

fn coma(reach: &Reach, coma: ComaReach) -> ComaJson<'_> {
    ComaJson {
        sharp_field_mm: coma.sharp_field_mm,
        sharp_field_arcmin: coma.sharp_field_arcmin,
        widest_eyepiece: &reach.instrument.views[coma.widest_view_idx].eyepiece,
        edge_rms_waves: coma.edge_rms_waves,
        edge_tail_arcsec: coma.edge_tail_arcsec,
    }
}

fn collimation(tolerance: Tolerance) -> CollimationJson {
    CollimationJson {
        at_focus_mm: tolerance.at_focus_mm,
        tilt_arcmin: tolerance.tilt_arcmin,
        at_edge_mm: tolerance.at_edge_mm,
    }
}

fn coating(reach: &Reach) -> CoatingJson {
    let tube = &reach.tube;
    CoatingJson {
        kind: coat::kind_word(tube.coat.kind),
        age_months: tube.coat.age_months,
        reflectivity: tube.coat.reflectivity,
        fresh_reflectivity: tube.coat.fresh_reflectivity,
        cost_mag: tube.coat.cost_mag(),
        may_be_due: tube.coat.may_be_due,
        is_older_than_table: tube.coat.is_older_than_table,
    }
}

fn cooling(cooling: CoolDown) -> CoolingJson {
    CoolingJson {
        thickness_mm: cooling.thickness_mm,
        glass: words::glass(cooling.glass),
        to_lose_k: cooling.to_lose_k,
        borne_lag_k: cooling.borne_lag_k,
        still_air_min: cooling.still_air_min,
        fan_min: cooling.fan_min,
        back_closed_min: cooling.back_closed_min,
        lag_in_falling_air_k: cooling.lag_in_falling_air_k,
    }
}

fn sphere(reach: &Reach) -> SphereJson {
    let sphere = reach.tube.sphere;
    SphereJson {
        is_enough: sphere.is_enough(),
        wavefront_pv_waves: sphere.wavefront_pv_waves,
        wavefront_rms_waves: sphere.wavefront_rms_waves,
        strehl: sphere.strehl,
        quarter_wave_focal_ratio: sphere.quarter_wave_focal_ratio,
        eighth_wave_focal_ratio: sphere.eighth_wave_focal_ratio,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::reach::Conditions;
    use crate::plan::reach::tests::larch_under;

    #[test]
    fn json_names_carry_their_units() {
        let reaches = [larch_under(Conditions {
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
