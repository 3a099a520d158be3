//! Glass and wavefront from the middle to the rim.

use crate::plan::pictures::{PictureHeading, Profile};
use crate::show::picture::axis::Axis;
use crate::show::picture::chart::{Chart, Side, Stroke, width_of};

/// Height of the glass against the best paraboloid, with the band that holds the truth nine times in ten
/// and the heights that a quarter of a wave leaves.
pub fn surface(subject: &PictureHeading, profile: &Profile) -> String {
    let kind = Kind {
        what: "the glass against the best paraboloid",
        axis: "glass too high, nm",
        factor: 1.0,
        limit: "an eighth of a wave of glass",
    };
    drawn(subject, profile, &kind)
}

/// The wavefront at the focus of least RMS: twice the glass, the other way round.
pub fn wavefront(subject: &PictureHeading, profile: &Profile) -> String {
    let kind = Kind {
        what: "the wavefront at best focus",
        axis: "wavefront late, nm",
        factor: -2.0,
        limit: "a quarter of a wave",
    };
    drawn(subject, profile, &kind)
}

struct Kind {
    what: &'static str,
    axis: &'static str,
    /// From the height of the glass.
    factor: f64,
    limit: &'static str,
}

/// One radius: from the middle, value, and the two ends of its interval.
type Point = (f64, f64, f64, f64);

fn drawn(subject: &PictureHeading, profile: &Profile, kind: &Kind) -> String {
    let points: Vec<Point> = (profile.points.iter())
        .map(|point| {
            let scaled = |nm: f64| nm * kind.factor;
            let ends = [scaled(point.surface_low_nm), scaled(point.surface_high_nm)];
            (
                point.from_axis_mm,
                scaled(point.surface_nm),
                ends[0].min(ends[1]),
                ends[0].max(ends[1]),
            )
        })
        .collect();
    let rim_mm = points.last().map_or(1.0, |point| point.0);
    let tolerance = profile.surface_tolerance_nm * kind.factor.abs();
    let highest = points
        .iter()
        .flat_map(|point| [point.2.abs(), point.3.abs()])
        .fold(1.5 * tolerance, f64::max);
    let between = (
        profile.shadow_mm,
        profile.unseen_rim.map_or(rim_mm, |rim| rim.from_axis_mm),
    );
    let what = if profile.has_interval {
        format!("{}; grey holds the truth nine times in ten", kind.what)
    } else {
        String::from(kind.what)
    };
    let mut chart = Chart::new(
        (&subject.name, &what),
        Axis::new("mm from the middle of the mirror", 0.0, rim_mm),
        // Room for footnotes under the lowest point.
        Axis::new(kind.axis, -1.3 * highest, 1.1 * highest),
    );
    if profile.has_interval {
        chart.band(points.iter().map(|point| (point.0, point.2, point.3)));
    }
    chart.level(0.0, Stroke::Hair);
    for limit in [tolerance, -tolerance] {
        chart.level(limit, Stroke::Dashed);
    }
    chart.curve(points.iter().map(|point| (point.0, point.1)), Stroke::Full);
    name_the_limit(&mut chart, (&points, between), (tolerance, kind.limit));
    footnotes(&mut chart, profile);
    chart.svg()
}

/// Puts the words where the curve is farthest: above the upper line or below the lower one, at the left or
/// the right end of what is neither in shadow nor unseen.
fn name_the_limit(
    chart: &mut Chart,
    (points, (from_mm, to_mm)): (&[Point], (f64, f64)),
    (tolerance, words): (f64, &str),
) {
    let length = chart.x_of_length(width_of(words));
    // How far into the words' place the curve or its interval comes.
    let crowding = |side: Side| {
        let place = match side {
            Side::AboveRight | Side::BelowRight => from_mm..=from_mm + length,
            Side::AboveLeft | Side::BelowLeft => to_mm - length..=to_mm,
        };
        let near = points.iter().filter(|point| place.contains(&point.0));
        near.map(|point| match side {
            Side::AboveRight | Side::AboveLeft => point.3,
            Side::BelowRight | Side::BelowLeft => -point.2,
        })
        .fold(f64::MIN, f64::max)
    };
    let sides = [
        Side::AboveRight,
        Side::AboveLeft,
        Side::BelowRight,
        Side::BelowLeft,
    ];
    let freest = sides
        .into_iter()
        .min_by(|a, b| crowding(*a).total_cmp(&crowding(*b)));
    let side = freest.unwrap_or(Side::AboveRight);
    let at = match side {
        Side::AboveRight => (from_mm, tolerance),
        Side::AboveLeft => (to_mm, tolerance),
        Side::BelowRight => (from_mm, -tolerance),
        Side::BelowLeft => (to_mm, -tolerance),
    };
    chart.words(at, side, words);
}

/// What of the mirror does not count, and what was not seen.
fn footnotes(chart: &mut Chart, profile: &Profile) {
    if profile.shadow_mm > 0.0 {
        chart.upright(profile.shadow_mm, Stroke::Dotted);
        chart.footnote(Side::AboveRight, "left of the dots: behind the diagonal");
    }
    if let Some(rim) = profile.unseen_rim {
        chart.upright(rim.from_axis_mm, Stroke::Dotted);
        let words = if rim.is_turned {
            "right of the dots: edge seen turned, lower than drawn"
        } else {
            "right of the dots: a turned edge would not show"
        };
        chart.footnote(Side::AboveLeft, words);
    }
}
