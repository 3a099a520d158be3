//! Focal lengths in words, no finer than they are known, and how they were found.

use crate::optics::focal_length::KnownFocalLength;
use crate::plan::bench::BenchSheet;
use crate::show::words;
use crate::workshop::{FocalLength, Sagitta};

/// `focal length 1203 mm, give or take 3 mm: lamp and image 2405 mm from the glass`.
pub(super) fn measured_words(sheet: &BenchSheet) -> String {
    let known = sheet.focal_length;
    let how = match &sheet.measured_by {
        FocalLength::FocalLengthMm(_) => String::from("as the file has it, taken as known to 1 %"),
        FocalLength::RadiusOfCurvatureMm(mm) => {
            format!("lamp and image {} mm from the glass", words::short(*mm))
        }
        FocalLength::SunImageMm(mm) => {
            format!("the Sun's image {} mm from the wet disc", words::short(*mm))
        }
        FocalLength::SagittaMm(sagitta) => sagitta_words(sagitta, sheet),
    };
    format!(
        "focal length {} mm, give or take {} mm: {how}",
        mm_as_known(known.mm, known),
        words::short(words::to_two_digits(known.half_width_mm().max(1.0)))
    )
}

fn sagitta_words(sagitta: &Sagitta, sheet: &BenchSheet) -> String {
    let across_mm = sagitta.across_mm.unwrap_or(sheet.aperture_mm);
    let by = match &sagitta.gauges_mm[..] {
        [] => String::new(),
        blades_mm => format!(", feeler gauges {}", blades(blades_mm)),
    };
    format!(
        "{:.2} mm deep over {} mm{by}",
        sagitta.sagitta_mm,
        words::short(across_mm)
    )
}

/// `1.00 + 0.15 + 0.02 mm`.
pub(super) fn blades(blades_mm: &[f64]) -> String {
    let each: Vec<String> = blades_mm
        .iter()
        .map(|blade_mm| format!("{blade_mm:.2}"))
        .collect();
    each.join(" + ") + " mm"
}

/// To tens, fives or ones, as surely as the mirror's length is known.
pub(super) fn mm_as_known(mm: f64, known: KnownFocalLength) -> String {
    let step_mm = match known.half_width_mm() {
        half_mm if half_mm < 5.0 => 1.0,
        half_mm if half_mm < 15.0 => 5.0,
        _ => 10.0,
    };
    format!("{:.0}", (mm / step_mm).round() * step_mm)
}
