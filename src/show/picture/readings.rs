//! Knife-edge readings against their limits.

use crate::plan::pictures::{PictureHeading, Reading};
use crate::show::picture::axis::Axis;
use crate::show::picture::chart::{Chart, Side, Stroke, width_of};

/// Readings less the ideal ones, each zone's limit either way, and how well each is known.
pub fn readings(subject: &PictureHeading, readings: &[Reading]) -> String {
    let rim_mm = readings.last().map_or(1.0, |reading| reading.outer_mm);
    let highest = readings
        .iter()
        .map(|reading| (reading.tolerance_mm).max(reading.residual_mm.abs() + reading.error_mm))
        .fold(0.01, f64::max);
    let mut chart = Chart::new(
        (
            &subject.name,
            "readings less a paraboloid's; upright bars: standard error of the mean",
        ),
        Axis::new("mm from the middle of the mirror", 0.0, rim_mm),
        Axis::new(
            "mm farther from the mirror than ideal",
            -1.2 * highest,
            1.2 * highest,
        ),
    );
    chart.level(0.0, Stroke::Hair);
    for sign in [1.0, -1.0] {
        chart.curve(limit(readings, sign), Stroke::Dashed);
    }
    for reading in readings {
        chart.point(
            (reading.from_axis_mm, reading.residual_mm),
            reading.error_mm,
            (reading.inner_mm, reading.outer_mm),
        );
    }
    name_the_limit(&mut chart, readings);
    chart.svg_with_note(REFERENCE)
}

/// Of the readings, which have a zero of their own.
const REFERENCE: &str =
    "level lines: the windows; zero and limits are those of the verdict's table";

fn limit(readings: &[Reading], sign: f64) -> Vec<(f64, f64)> {
    readings
        .iter()
        .map(|reading| (reading.from_axis_mm, sign * reading.tolerance_mm))
        .collect()
}

/// The limits fall toward the rim: beside their first point, away from the axis, the paper is free unless a
/// reading stands there.
fn name_the_limit(chart: &mut Chart, readings: &[Reading]) {
    let words = "limit of Danjon and Couder";
    let Some(first) = readings.first() else {
        return;
    };
    let length = chart.x_of_length(width_of(words) + 20.0);
    let is_taken = |sign: f64| {
        readings.iter().any(|reading| {
            let top_mm = sign * reading.residual_mm + reading.error_mm;
            reading.from_axis_mm <= first.from_axis_mm + length && first.tolerance_mm <= top_mm
        })
    };
    let (side, sign) = if is_taken(1.0) && !is_taken(-1.0) {
        (Side::BelowRight, -1.0)
    } else {
        (Side::AboveRight, 1.0)
    };
    chart.words((first.from_axis_mm, sign * first.tolerance_mm), side, words);
}
