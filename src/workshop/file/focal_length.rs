//! How long the mirror is: `focal_length_mm` and the other ways to know it, and what was planned.

use crate::workshop::error::Complaint;
use crate::workshop::wording::FOCAL_RATIOS;
use crate::workshop::{FocalLength, Sagitta, wording};

use super::keys::GAUGE;
use super::section::Section;

/// Each is enough, so two of them are one too many.
const WAYS: [&str; 5] = [
    "focal_length_mm",
    "radius_of_curvature_mm",
    "sagitta_mm",
    "sagitta_gauges_mm",
    "sun_image_mm",
];

/// Keys that say more of a sagitta.
const OF_SAGITTA: [&str; 2] = ["sagitta_across_mm", "sagitta_uncertainty_mm"];

/// A straightedge may lie on the bevel, outside the clear aperture, but hardly farther.
const WIDEST_ACROSS: f64 = 1.1;
/// Over less than that share of the aperture nobody measures a depth to a hundredth of itself.
const NARROWEST_ACROSS: f64 = 0.25;

pub(super) fn focal_length(section: &Section, aperture_mm: f64) -> Result<FocalLength, Complaint> {
    let Some(key) = section.one_of(&WAYS)? else {
        let planned = section.value("planned_focal_length_mm").is_some();
        return Err(section.about_all(wording::no_focal_length(&section.title, &WAYS, planned)));
    };
    if key == "sagitta_mm" || key == "sagitta_gauges_mm" {
        return sagitta(section, key, aperture_mm).map(FocalLength::SagittaMm);
    }
    if let Some(stray) = OF_SAGITTA
        .into_iter()
        .find(|name| section.value(name).is_some())
    {
        return Err(section.complaint(stray, wording::no_sagitta(stray, key)));
    }
    match key {
        "radius_of_curvature_mm" => {
            length_mm(section, key, 2.0 * aperture_mm).map(FocalLength::RadiusOfCurvatureMm)
        }
        "sun_image_mm" => length_mm(section, key, aperture_mm).map(FocalLength::SunImageMm),
        _ => length_mm(section, key, aperture_mm).map(FocalLength::FocalLengthMm),
    }
}

pub(super) fn planned_focal_length_mm(
    section: &Section,
    aperture_mm: f64,
) -> Result<Option<f64>, Complaint> {
    let key = "planned_focal_length_mm";
    match section.value(key) {
        Some(_) => length_mm(section, key, aperture_mm).map(Some),
        None => Ok(None),
    }
}

/// A length that makes a Newtonian; `per_focal_ratio` is what it would be at f/1.
fn length_mm(section: &Section, key: &str, per_focal_ratio: f64) -> Result<f64, Complaint> {
    let length_mm = section.needed_number(key)?;
    let ratio = length_mm / per_focal_ratio;
    if FOCAL_RATIOS.0 <= ratio && ratio <= FOCAL_RATIOS.1 {
        return Ok(length_mm);
    }
    let aperture_mm = section.needed_number("aperture_mm")?;
    let trouble = wording::strange_focal_ratio(key, length_mm, aperture_mm, per_focal_ratio);
    Err(section.complaint(key, trouble))
}

fn sagitta(section: &Section, key: &str, aperture_mm: f64) -> Result<Sagitta, Complaint> {
    let gauges_mm = gauges_mm(section)?;
    let sagitta_mm = match key {
        "sagitta_mm" => section.needed_number(key)?,
        _ => gauges_mm.iter().sum(),
    };
    let across_mm = section.number("sagitta_across_mm")?;
    let shares = (NARROWEST_ACROSS * aperture_mm, WIDEST_ACROSS * aperture_mm);
    if let Some(across_mm) = across_mm.filter(|across| *across < shares.0 || shares.1 < *across) {
        let trouble = wording::strange_across(across_mm, aperture_mm, shares);
        return Err(section.complaint("sagitta_across_mm", trouble));
    }
    // Depth is about across^2 / (16 x focal length): enough to tell a mirror from a slip of the pen.
    let depth_mm = |focal_ratio: f64| {
        across_mm.unwrap_or(aperture_mm).powi(2) / (16.0 * focal_ratio * aperture_mm)
    };
    let range_mm = (depth_mm(FOCAL_RATIOS.1), depth_mm(FOCAL_RATIOS.0));
    if sagitta_mm < range_mm.0 || range_mm.1 < sagitta_mm {
        let trouble = wording::strange_sagitta(key, sagitta_mm, aperture_mm, range_mm);
        return Err(section.complaint(key, trouble));
    }
    let uncertainty_mm = section.number("sagitta_uncertainty_mm")?;
    if let Some(uncertainty_mm) = uncertainty_mm.filter(|off_mm| sagitta_mm / 2.0 <= *off_mm) {
        let trouble = wording::sagitta_unknown(uncertainty_mm, sagitta_mm);
        return Err(section.complaint("sagitta_uncertainty_mm", trouble));
    }
    Ok(Sagitta {
        sagitta_mm,
        across_mm,
        uncertainty_mm,
        gauges_mm,
    })
}

fn gauges_mm(section: &Section) -> Result<Vec<f64>, Complaint> {
    let Some(list) = section.numbers("sagitta_gauges_mm", &GAUGE)? else {
        return Ok(Vec::new());
    };
    match list.is_empty() {
        true => Err(section.complaint("sagitta_gauges_mm", wording::no_gauges())),
        false => Ok(list),
    }
}
