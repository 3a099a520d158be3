//! Pictures of a mirror: black on white, legible in grey, every curve named beside it.

mod chart;

pub mod raster;

pub mod bands;

use crate::plan::pictures::Contrast;
use crate::plan::pictures::Profile;
use crate::plan::pictures::Reading;
use chart::Axis;
use chart::Chart;

/// Height of the glass against the best paraboloid, with the band that holds the truth nine times in ten
/// and the height that a quarter of a wave leaves.
pub fn surface(name: &str, profile: &Profile) -> String {
    let title = format!("{name}: the glass against the best paraboloid");
    drawn(&title, "nm high", profile, 1.0)
}

/// The wavefront at the focus of least RMS: twice the glass, the other way round.
pub fn wavefront(name: &str, profile: &Profile) -> String {
    let title = format!("{name}: the wavefront at best focus");
    drawn(&title, "nm late", profile, -2.0)
}

fn drawn(title: &str, unit: &'static str, profile: &Profile, factor: f64) -> String {
    let rim_mm = profile.points.last().map_or(1.0, |point| point.0);
    let tolerance = profile.tolerance_nm * factor.abs();
    let highest = profile
        .points
        .iter()
        .flat_map(|point| [point.2.abs(), point.3.abs()])
        .map(|nm| nm * factor.abs())
        .fold(1.5 * tolerance, f64::max);
    let mut chart = Chart::new(
        title,
        Axis::new("mm from the middle", 0.0, rim_mm),
        Axis::new(unit, -1.1 * highest, 1.1 * highest),
    );
    chart.level(tolerance, "a quarter of a wave, peak to valley");
    chart.level(-tolerance, "");
    let points = &profile.points;
    chart.band(
        points
            .iter()
            .map(|point| (point.0, factor * point.2, factor * point.3)),
    );
    chart.curve(points.iter().map(|point| (point.0, factor * point.1)), "");
    chart.svg()
}

/// Readings less the ideal ones, each zone's limit either way, and how well each is known.
pub fn readings(name: &str, readings: &[Reading]) -> String {
    let rim_mm = readings
        .last()
        .map_or(1.0, |reading| 1.1 * reading.from_axis_mm);
    let highest = readings
        .iter()
        .map(|reading| {
            reading
                .tolerance_mm
                .max(reading.residual_mm.abs() + reading.error_mm)
        })
        .fold(0.01, f64::max);
    let mut chart = Chart::new(
        &format!("{name}: readings less a paraboloid's; dashed: limit of Danjon and Couder"),
        Axis::new("mm from the middle", 0.0, rim_mm),
        Axis::new("mm along the axis", -1.15 * highest, 1.15 * highest),
    );
    let limit = |sign: f64| {
        readings
            .iter()
            .map(move |reading| (reading.from_axis_mm, sign * reading.tolerance_mm))
    };
    chart.dashes(limit(1.0), "");
    chart.dashes(limit(-1.0), "");
    for reading in readings {
        chart.point(reading.from_axis_mm, reading.residual_mm, reading.error_mm);
    }
    chart.svg()
}

/// Contrast kept by fineness: this mirror, its worst direction where that differs, a perfect one.
pub fn contrast(name: &str, contrast: &Contrast) -> String {
    let finest = contrast.points.last().map_or(1.0, |point| point.0);
    let mut chart = Chart::new(
        &format!("{name}: contrast kept"),
        Axis::new("cycles in an arcsecond", 0.0, finest),
        Axis::new("share of contrast", 0.0, 1.0),
    );
    let points = &contrast.points;
    chart.dashes(
        points.iter().map(|point| (point.0, point.3)),
        "a perfect mirror",
    );
    chart.curve(points.iter().map(|point| (point.0, point.1)), "this mirror");
    let differs = points.iter().any(|point| (point.2 - point.1).abs() > 0.05);
    if differs {
        chart.dots(
            points.iter().map(|point| (point.0, point.2)),
            "its worst direction",
        );
    }
    chart.svg()
}
