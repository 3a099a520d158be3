//! Glass and wavefront from the middle to the rim.

mod notes;
mod windows;

use maud::html;

use crate::plan::pictures::{KnownEdge, PictureHeading, Profile};
use crate::show::picture::axis::{Area, Axis};
use crate::show::picture::chart::{Chart, Side, Stroke, WIDTH, heading, sheet, width_of};

/// Height of the glass against the best paraboloid, with the band that holds the truth nine times in ten, the corridor that
/// a quarter of a wave leaves, and what would come off window by window.
pub fn surface(subject: &PictureHeading, profile: &Profile) -> String {
    drawn(subject, profile, &GLASS)
}

/// The wavefront at the focus of least RMS: twice the glass, the other way round.
pub fn wavefront(subject: &PictureHeading, profile: &Profile) -> String {
    drawn(subject, profile, &WAVEFRONT)
}

/// The glass alone, for a page that has words of its own around it; and what it needs to be told with it, a sentence each.
pub fn glass_and_notes(profile: &Profile) -> (String, Vec<String>) {
    let area = Area {
        left: LEFT,
        right: RIGHT,
        top: 10.0,
        bottom: 10.0 + CURVE_HEIGHT,
    };
    let body = html! {
        (notes::hatching())
        (curve(area, profile, &GLASS).markup())
    };
    let svg = sheet((WIDTH, area.bottom + TITLE_BELOW - GAP), body);
    (svg, notes::of_what_is_drawn(profile, true))
}

const GLASS: Kind = Kind {
    what: "the glass against the best paraboloid",
    axis: "glass too high, nm",
    factor: 1.0,
};

const WAVEFRONT: Kind = Kind {
    what: "the wavefront at best focus",
    axis: "wavefront late, nm",
    factor: -2.0,
};

struct Kind {
    what: &'static str,
    axis: &'static str,
    /// From the height of the glass.
    factor: f64,
}

impl Kind {
    fn is_glass(&self) -> bool {
        self.factor == 1.0
    }
}

/// One radius: from the middle, value, and the two ends of its interval.
type Point = (f64, f64, f64, f64);

fn drawn(subject: &PictureHeading, profile: &Profile, kind: &Kind) -> String {
    let what = match profile.has_interval {
        true => format!("{}; grey holds the truth nine times in ten", kind.what),
        false => String::from(kind.what),
    };
    let take_off = (kind.is_glass())
        .then(|| windows::take_off(profile, (LEFT, RIGHT, TOP)))
        .flatten();
    let top = match take_off {
        Some(_) => TOP + windows::TAKE_OFF_HEIGHT + GAP,
        None => TOP,
    };
    let area = Area {
        left: LEFT,
        right: RIGHT,
        top,
        bottom: top + CURVE_HEIGHT,
    };
    let below = area.bottom + TITLE_BELOW;
    let notes = notes::lines(profile, kind.is_glass());
    let body = html! {
        (notes::hatching())
        @if let Some(chart) = take_off { (chart.markup()) }
        (curve(area, profile, kind).markup())
        (heading(&subject.name, &what, (LEFT, RIGHT - LEFT)))
        (notes::markup(&notes, (LEFT, below)))
    };
    sheet((WIDTH, below + notes::height(&notes)), body)
}

fn curve(area: Area, profile: &Profile, kind: &Kind) -> Chart {
    let points = points(profile, kind.factor);
    let limits = limits(profile, kind.factor);
    let mut chart = Chart::within(
        area,
        Axis::new("mm from the middle of the mirror", 0.0, profile.rim_mm),
        axis(&points, limits, (area.height(), profile, kind)),
    );
    notes::hatch(&mut chart, profile);
    if profile.has_interval {
        chart.band(points.iter().map(|point| (point.0, point.2, point.3)));
    }
    chart.level(0.0, Stroke::Hair);
    for limit in limits {
        chart.level(limit, Stroke::Dashed);
    }
    for at_mm in notes::dotted(profile) {
        chart.upright(at_mm, Stroke::Dotted);
    }
    chart.curve(points.iter().map(|point| (point.0, point.1)), Stroke::Full);
    let open = open(&chart, profile);
    name_the_corridor(&mut chart, (&points, open), limits);
    name_the_edge(&mut chart, (&points, kind), profile);
    windows::marked(&mut chart, profile);
    chart
}

fn points(profile: &Profile, factor: f64) -> Vec<Point> {
    let scaled = |nm: f64| nm * factor;
    let point = profile.points.iter().map(|point| {
        let ends = [scaled(point.surface_low_nm), scaled(point.surface_high_nm)];
        (
            point.from_axis_mm,
            scaled(point.surface_nm),
            ends[0].min(ends[1]),
            ends[0].max(ends[1]),
        )
    });
    point.collect()
}

/// The corridor's lower and upper end.
fn limits(profile: &Profile, factor: f64) -> [f64; 2] {
    let middle = profile.corridor.middle_nm * factor;
    let half = profile.corridor.width_nm * factor.abs() / 2.0;
    [middle - half, middle + half]
}

/// With room for words over the corridor and under it, and for the windows.
fn axis(
    points: &[Point],
    limits: [f64; 2],
    (height, profile, kind): (f64, &Profile, &Kind),
) -> Axis {
    let low = points.iter().map(|point| point.2).fold(limits[0], f64::min);
    let high = points.iter().map(|point| point.3).fold(limits[1], f64::max);
    let under = ROOM_FOR_WORDS + windows::height(profile);
    let per_unit = (high - low) / (height - ROOM_FOR_WORDS - under);
    Axis::new(
        kind.axis,
        low - under * per_unit,
        high + ROOM_FOR_WORDS * per_unit,
    )
}

/// From the diagonal's shadow to where words beside the rim begin.
fn open(chart: &Chart, profile: &Profile) -> (f64, f64) {
    let rim = match profile.edge {
        Some(KnownEdge::Declared { .. } | KnownEdge::Read { .. }) => {
            chart.x_of_length(width_of(TURNED))
        }
        _ => 0.0,
    };
    (profile.shadow_mm, profile.rim_mm - rim)
}

/// Puts the words where the curve is farthest: above the upper line or below the lower one, wherever along them.
fn name_the_corridor(
    chart: &mut Chart,
    (points, (from_mm, to_mm)): (&[Point], (f64, f64)),
    [low, high]: [f64; 2],
) {
    let words = format!("a quarter of a wave, {:.0} nm wide", high - low);
    let length = chart.x_of_length(width_of(&words) + 12.0);
    // How far into the words' place the curve or its interval comes.
    let crowding = |begins: f64, side: Side| {
        let place = begins..=begins + length;
        let near = points.iter().filter(|point| place.contains(&point.0));
        near.map(|point| match side {
            Side::AboveRight | Side::AboveLeft => point.3 - high,
            Side::BelowRight | Side::BelowLeft => low - point.2,
        })
        .fold(f64::MIN, f64::max)
    };
    let room = (to_mm - length - from_mm).max(0.0);
    let begins = (0..=PLACES).map(|step| from_mm + room * f64::from(step) / f64::from(PLACES));
    let places = begins.flat_map(|begins| {
        [(high, Side::AboveRight), (low, Side::BelowRight)].map(|(at, side)| (begins, at, side))
    });
    let freest = places.min_by(|a, b| crowding(a.0, a.2).total_cmp(&crowding(b.0, b.2)));
    if let Some((begins, at, side)) = freest {
        chart.words((begins, at), side, &words);
    }
}

/// Beside the rim, on the side that the curve leaves free as it falls away there.
fn name_the_edge(chart: &mut Chart, (points, kind): (&[Point], &Kind), profile: &Profile) {
    let is_turned = matches!(
        profile.edge,
        Some(KnownEdge::Declared { .. } | KnownEdge::Read { .. })
    );
    let (true, Some(rim)) = (is_turned, points.last()) else {
        return;
    };
    let side = match kind.is_glass() {
        true => Side::BelowLeft,
        false => Side::AboveLeft,
    };
    chart.words((rim.0, rim.1), side, TURNED);
}

const TURNED: &str = "turned edge";

const LEFT: f64 = 76.0;
const RIGHT: f64 = WIDTH - 20.0;

/// Under the heading.
const TOP: f64 = 66.0;

/// Between the two panels.
const GAP: f64 = 14.0;

const CURVE_HEIGHT: f64 = 320.0;

/// Under the frame: numbers, and what they are.
const TITLE_BELOW: f64 = 64.0;

/// Along the corridor, tried for its words.
const PLACES: u32 = 24;

/// A line of words beside a line.
const ROOM_FOR_WORDS: f64 = 28.0;
