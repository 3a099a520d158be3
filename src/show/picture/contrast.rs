//! Contrast by fineness.

use crate::plan::pictures::{ContrastCurve, ContrastPoint, DrawnFrom, PictureHeading};
use crate::show::picture::axis::Axis;
use crate::show::picture::caveat;
use crate::show::picture::chart::{Chart, Side, Stroke, width_of};

const OURS: &str = "this mirror";

const PERFECT: &str = "a perfect mirror";

const BOTH: &str = "dashed: a perfect mirror; full: this one";

const ALIKE: &str = "this mirror and a perfect one: no difference to be seen";

const NOT_GIVEN: &str = "a perfect mirror; this one's figure is not given";

/// Less contrast lost than this is no direction of its own on paper.
const DIRECTION_SHOWS: f64 = 0.02;

/// Contrast kept by fineness: this mirror, its worst direction where that differs, a perfect one.
pub fn contrast(subject: &PictureHeading, contrast: &ContrastCurve) -> String {
    let points = &contrast.points;
    let finest = points.last().map_or(1.0, |point| point.pairs_per_arcsec);
    let mut chart = Chart::new(
        (
            &subject.name,
            &format!("contrast kept, in still air{}", caveat(subject.basis)),
        ),
        Axis::new(
            "pairs of dark and light stripes in an arcsecond",
            0.0,
            finest,
        ),
        Axis::new("share of the contrast that is there", 0.0, 1.0),
    );
    let curve = |value: fn(&ContrastPoint) -> Option<f64>| {
        points
            .iter()
            .filter_map(move |point| Some((point.pairs_per_arcsec, value(point)?)))
    };
    chart.curve(curve(|point| Some(point.perfect)), Stroke::Dashed);
    if subject.basis == DrawnFrom::Nothing {
        let third = points.get(points.len() / 3);
        if let Some(ContrastPoint {
            pairs_per_arcsec: x,
            perfect,
            ..
        }) = third
        {
            chart.words((*x, *perfect), Side::AboveRight, NOT_GIVEN);
        }
        return chart.svg();
    }
    chart.curve(curve(|point| Some(point.this_mirror)), Stroke::Full);
    let worst_shows = points.iter().any(|point| {
        point
            .worst_direction
            .is_some_and(|worst| worst + DIRECTION_SHOWS < point.this_mirror)
    });
    if worst_shows {
        chart.curve(curve(|point| point.worst_direction), Stroke::Dotted);
    }
    name_the_curves(&mut chart, points, worst_shows);
    chart.svg()
}

fn name_the_curves(chart: &mut Chart, points: &[ContrastPoint], worst_shows: bool) {
    let Some(third) = points.get(points.len() / 3) else {
        return;
    };
    let x = third.pairs_per_arcsec;
    if let (true, Some(worst)) = (worst_shows, third.worst_direction) {
        chart.words((x, worst), Side::BelowLeft, "its worst direction, in green");
    }
    match gap_for(chart, points, OURS) {
        Some(point) => {
            chart.words((x, third.perfect), Side::AboveRight, PERFECT);
            let at = (point.pairs_per_arcsec, point.this_mirror);
            chart.words(at, Side::AboveRight, OURS);
        }
        None if worst_shows => {
            chart.words((x, third.perfect), Side::AboveRight, BOTH);
        }
        None if nearly_one(points) => {
            chart.words((x, third.perfect), Side::AboveRight, ALIKE);
        }
        None => {
            chart.words((x, third.perfect), Side::AboveRight, PERFECT);
            chart.words((x, third.this_mirror), Side::BelowLeft, OURS);
        }
    }
}

/// The curves cannot be told apart.
fn nearly_one(points: &[ContrastPoint]) -> bool {
    points
        .iter()
        .all(|point| (point.perfect - point.this_mirror).abs() < 0.01)
}

/// Where words fit between this mirror's curve and the perfect one.
fn gap_for<'a>(
    chart: &Chart,
    points: &'a [ContrastPoint],
    words: &str,
) -> Option<&'a ContrastPoint> {
    let length = chart.x_of_length(width_of(words) + 10.0);
    let height = chart.y_of_length(32.0);
    let room = |point: &ContrastPoint| {
        let end = point.pairs_per_arcsec + length;
        let at_end = points.iter().find(|other| end <= other.pairs_per_arcsec)?;
        Some(at_end.perfect - point.this_mirror)
    };
    points
        .iter()
        .filter_map(|point| Some((room(point)?, point)))
        .filter(|(room, _)| height <= *room)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, point)| point)
}
