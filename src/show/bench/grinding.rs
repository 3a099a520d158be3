//! Glass that is still being ground: beside its plan, what is left to go, and what keeping it would mean.

use crate::optics::sphere::{Sphere, SphereWorth};
use crate::plan::bench::{BenchSheet, FinishedTelescope, Grinding, GroundTo};
use crate::show::bench::length::{blades, mm_as_known};
use crate::show::page::{Block, Labelled, Table};
use crate::show::words::{self, caution};
use crate::units::MM_PER_M;
use crate::workshop::FocalLength;

/// Where the text of a line begins.
const LABEL_COLUMNS: usize = 12;

pub(super) fn section(sheet: &BenchSheet, grinding: &Grinding) -> Block {
    let mut lines = Labelled::new(LABEL_COLUMNS);
    lines.say("sagitta", sagitta_words(grinding));
    lines.say("gauges", gauges_words(grinding));
    lines.say("which way", way_words(grinding));
    if let Some(words) = surer_words(sheet, grinding) {
        lines.say("surer", words);
    }
    if let FocalLength::SunImageMm(_) = sheet.measured_by {
        lines.say("the Sun", caution::SUN_IMAGE);
    }
    let blocks = [
        Block::Lead(lead(sheet, grinding)),
        lines.into(),
        Block::Space,
        beside(sheet, grinding).into(),
        Block::Space,
        Block::say(
            "Tube: the usual one, half a bore beyond the focuser and 80 mm behind the mirror's face (common \
             practice, no source). Sharp within: there coma stays below a fourteenth of a wave RMS. A sphere: \
             at best focus, a quarter of a wave is borne. To be figured: so much shallower at the rim than the \
             sphere that touches it in the middle.",
        ),
    ];
    Block::section("While the glass is still being ground", blocks)
}

fn lead(sheet: &BenchSheet, grinding: &Grinding) -> String {
    let known = sheet.focal_length;
    let planned_mm = grinding.planned_focal_length_mm;
    let plan = words::short(planned_mm);
    let as_known = |mm: f64| mm_as_known(mm, known);
    let now = format!(
        "{} mm ({} to {})",
        as_known(known.mm),
        as_known(known.low_mm),
        as_known(known.high_mm)
    );
    let by = |near_mm: f64, far_mm: f64| {
        format!(
            "by about {} mm ({} to {})",
            as_known((known.mm - planned_mm).abs()),
            as_known((near_mm - planned_mm).abs()),
            as_known((far_mm - planned_mm).abs())
        )
    };
    match grinding.stage {
        GroundTo::BeyondPlan => format!(
            "Overshot: {now}, too short for the plan of {plan} mm {}",
            by(known.high_mm, known.low_mm)
        ),
        GroundTo::BeforePlan => format!(
            "Not there yet: {now}, longer than the plan of {plan} mm {}",
            by(known.low_mm, known.high_mm)
        ),
        GroundTo::PlanAsFarAsMeasured => {
            format!("On the plan of {plan} mm, as far as this measurement tells: {now}")
        }
    }
}

fn sagitta_words(grinding: &Grinding) -> String {
    let depth = grinding.depth;
    let wanted_mm = grinding.wanted_sagitta_mm;
    let of_depths = format!(
        "{:.2} mm now, {wanted_mm:.2} mm wanted, over {} mm",
        depth.sagitta_mm,
        words::short(depth.across_mm)
    );
    let apart_mm = |depth_mm: f64| (depth_mm - wanted_mm).abs();
    let left = |near_mm: f64, far_mm: f64| {
        format!(
            "{} hundredths of a mm ({} to {})",
            hundredths(apart_mm(depth.sagitta_mm)),
            hundredths(apart_mm(near_mm)),
            hundredths(apart_mm(far_mm))
        )
    };
    match grinding.stage {
        GroundTo::BeyondPlan => {
            format!(
                "{of_depths}: too deep by {}",
                left(depth.low_mm, depth.high_mm)
            )
        }
        GroundTo::BeforePlan => {
            format!(
                "{of_depths}: left to go {}",
                left(depth.high_mm, depth.low_mm)
            )
        }
        GroundTo::PlanAsFarAsMeasured => format!(
            "{of_depths}: {} hundredths of a mm apart, and it is known to {} either way",
            hundredths(apart_mm(depth.sagitta_mm)),
            hundredths(depth.half_width_mm())
        ),
    }
}

/// Whole ones, as far as those tell anything.
fn hundredths(mm: f64) -> String {
    match 100.0 * mm {
        few if few < 3.0 => words::short(few),
        many => format!("{many:.0}"),
    }
}

fn gauges_words(grinding: &Grinding) -> String {
    match &grinding.blades_mm {
        Some(blades_mm) => format!(
            "at the wanted depth {} just fill the gap under the straightedge (a usual set: 0.02, 0.03, 0.04, and 0.05 \
             to 1.00 by 0.05)",
            blades(blades_mm)
        ),
        None => String::from(
            "deeper than all blades of a usual set together: lay something flat of known thickness under them",
        ),
    }
}

/// Which way, never how.
fn way_words(grinding: &Grinding) -> String {
    let here = match grinding.stage {
        GroundTo::BeyondPlan => "it has to flatten, or is kept as it is",
        GroundTo::BeforePlan => "it has to deepen",
        GroundTo::PlanAsFarAsMeasured => "neither, before it is measured more surely",
    };
    format!(
        "with the mirror on top it deepens, with the tool on top it flattens (common practice, no source). Here: {here}; \
         what to do about it a leader decides"
    )
}

/// A lamp tells more than a gauge and the Sun.
fn surer_words(sheet: &BenchSheet, grinding: &Grinding) -> Option<String> {
    let is_by_lamp = matches!(sheet.measured_by, FocalLength::RadiusOfCurvatureMm(_));
    let is_needed = grinding.stage == GroundTo::PlanAsFarAsMeasured
        || matches!(sheet.measured_by, FocalLength::SunImageMm(_));
    (is_needed && !is_by_lamp).then(|| {
        format!(
            "wet the fine-ground glass, or begin to polish, and find where a lamp and its image meet, near {} mm: within \
             5 mm there the focal length is known to 3",
            mm_as_known(2.0 * sheet.focal_length.mm, sheet.focal_length)
        )
    })
}

/// What keeping it as it is would mean, beside the plan.
fn beside(sheet: &BenchSheet, grinding: &Grinding) -> Table {
    let now = &grinding.as_it_is;
    let plan = &grinding.as_planned;
    let mm = |mm: f64| format!("{} mm", mm_as_known(mm, sheet.focal_length));
    let focuser = |of: &FinishedTelescope| of.focuser_from_mirror_mm.map_or(none(), mm);
    let both = |what: &str, words: &dyn Fn(&FinishedTelescope) -> String| {
        [String::from(what), words(now), words(plan)]
    };
    let rows = vec![
        both("focal ratio", &|of| {
            format!("f/{}", words::short(of.focal_ratio))
        }),
        both("focal length", &|of| mm(of.focal_length_mm)),
        both("tube, about", &tube_words),
        both("focuser from the mirror", &focuser),
        both("lowest power", &|of| {
            format!("{:.0}x, {}", of.lowest.magnification, of.lowest.eyepiece)
        }),
        both("widest field", &|of| {
            let field = words::field(of.widest.true_field_deg, "degrees");
            format!("{field}, {}", of.widest.eyepiece)
        }),
        both("sharp within", &|of| {
            format!("{:.1} mm, {:.0}'", of.sharp_field_mm, of.sharp_field_arcmin)
        }),
        both("a sphere", &|of| sphere_words(of.sphere)),
        both("to be figured", &|of| {
            format!("{} nm", words::two_digits(of.to_figure_nm))
        }),
    ];
    Table::new(["", "kept as it is", "as planned"], rows)
}

fn tube_words(of: &FinishedTelescope) -> String {
    of.tube_length_mm
        .map_or(none(), |mm| format!("{:.2} m", mm / MM_PER_M))
}

/// So short that the focus would lie inside the tube.
fn none() -> String {
    String::from("none so short")
}

fn sphere_words(sphere: Sphere) -> String {
    let enough = match sphere.worth {
        SphereWorth::WithinEighth | SphereWorth::WithinQuarter => "enough",
        SphereWorth::NeedsParaboloid if sphere.is_borderline() => "just about enough",
        SphereWorth::NeedsParaboloid => "not enough",
    };
    format!("{enough}, {:.2} wave", sphere.wavefront_pv_waves)
}
