//! What to know before a test, for machines.

use serde_json::{Value, json};

use crate::optics::instrument::View;
use crate::optics::mask::{MaskWindow, WantedReading};
use crate::plan::bench::{BenchSheet, FinishedTelescope, Grinding, GroundTo, MaskOrigin};
use crate::show::json;
use crate::workshop::ReadingAt;

/// All sheets.
pub fn json(sheets: &[BenchSheet]) -> String {
    json::document(json!({ "telescopes": sheets.iter().map(sheet).collect::<Value>() }))
}

fn sheet(sheet: &BenchSheet) -> Value {
    let known = sheet.focal_length;
    let mask = &sheet.mask;
    json!({
        "name": sheet.name,
        "aperture_mm": sheet.aperture_mm,
        "focal_length_mm": known.mm,
        "focal_length_low_mm": known.low_mm,
        "focal_length_high_mm": known.high_mm,
        "grinding": sheet.grinding.as_ref().map(grinding),
        "mask": {
            "windows_from": match mask.origin {
                MaskOrigin::EqualTolerance => "equal-tolerance",
                MaskOrigin::Readings => "readings",
            },
            "reading_at": match mask.reading_at {
                ReadingAt::Window => "window",
                ReadingAt::Middle => "middle",
            },
            "unread_area_share": mask.unread_area_share,
            "windows": mask.windows.iter().map(window).collect::<Value>(),
        },
    })
}

fn window(window: &MaskWindow) -> Value {
    json!({
        "inner_mm": window.inner_mm,
        "outer_mm": window.outer_mm,
        "reads_at_mm": window.reads_at_mm,
        "fixed": wanted(window.fixed),
        "moving": wanted(window.moving),
    })
}

fn wanted(wanted: WantedReading) -> Value {
    json!({ "wanted_mm": wanted.reading_mm, "tolerance_mm": wanted.tolerance_mm })
}

fn grinding(grinding: &Grinding) -> Value {
    let depth = grinding.depth;
    json!({
        "planned_focal_length_mm": grinding.planned_focal_length_mm,
        "stage": match grinding.stage {
            GroundTo::BeforePlan => "before-plan",
            GroundTo::PlanAsFarAsMeasured => "on-plan",
            GroundTo::BeyondPlan => "beyond-plan",
        },
        "sagitta_across_mm": depth.across_mm,
        "sagitta_mm": depth.sagitta_mm,
        "sagitta_low_mm": depth.low_mm,
        "sagitta_high_mm": depth.high_mm,
        "wanted_sagitta_mm": grinding.wanted_sagitta_mm,
        "wanted_gauges_mm": grinding.blades_mm,
        "as_it_is": finished(&grinding.as_it_is),
        "as_planned": finished(&grinding.as_planned),
    })
}

fn finished(telescope: &FinishedTelescope) -> Value {
    let sphere = telescope.sphere;
    json!({
        "focal_length_mm": telescope.focal_length_mm,
        "focal_ratio": telescope.focal_ratio,
        "tube_length_mm": telescope.tube_length_mm,
        "focuser_from_mirror_mm": telescope.focuser_from_mirror_mm,
        "lowest_power": view(&telescope.lowest),
        "widest_field": view(&telescope.widest),
        "sharp_field_mm": telescope.sharp_field_mm,
        "sharp_field_arcmin": telescope.sharp_field_arcmin,
        "sphere_is_enough": sphere.is_enough(),
        "sphere_pv_waves": sphere.wavefront_pv_waves,
        "to_figure_nm": telescope.to_figure_nm,
    })
}

fn view(view: &View) -> Value {
    json!({
        "eyepiece": view.eyepiece,
        "magnification": view.magnification,
        "true_field_deg": view.true_field_deg,
    })
}
