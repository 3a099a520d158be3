//! What both panels of a night's sheet are made with: where they stand, names and their places, strokes, hours, fists.

use chrono::{DateTime, TimeDelta, Timelike, Utc};
use maud::html;

use crate::plan::night_curves::{BodyCurve, CurvePoint, NightCurves, Piece, Standing};
use crate::plan::outlook::Absence;
use crate::plan::time_span::TimeSpan;
use crate::show::picture::axis::Area;
use crate::show::picture::chart::{Chart, LETTER_HEIGHT, LINE_HEIGHT, Stroke, px, width_of};
use crate::show::picture::placing::{Label, Spot};
use crate::sky::Body;

/// The shape of paper laid on its side.
pub(super) const WIDTH: f64 = 1120.0;

pub(super) const HEIGHT: f64 = 892.0;

/// Altitudes by the hour, with the names of the twilights inside its upper edge.
pub(super) const UPPER: Area = Area {
    left: 70.0,
    right: WIDTH - 62.0,
    top: 64.0,
    bottom: 494.0,
};

/// The skyline: a degree is as long either way as far as the paper allows.
pub(super) const LOWER: Area = Area {
    left: UPPER.left,
    right: UPPER.right,
    top: 556.0,
    bottom: 748.0,
};

/// Bold letters are wider.
const BOLD: f64 = 1.12;

/// How a piece of a curve is drawn: what can be looked at strongly, the Moon as two lines.
pub(super) fn stroke(body: Body, standing: Standing) -> Stroke {
    match (standing, body) {
        (Standing::ToLookAt, Body::Moon) => Stroke::Hollow,
        (Standing::ToLookAt, _) => Stroke::Bold,
        (Standing::NotOffered, _) => Stroke::Thin,
        (Standing::Hidden, _) => Stroke::Dotted,
    }
}

/// What stands under a name: how the Moon is lit, or why a body cannot be looked at.
pub(super) fn under_name(curve: &BodyCurve, moon: &str) -> String {
    String::from(match (curve.absence, curve.body) {
        (None, Body::Moon) => moon,
        (None, _) => "",
        (Some(Absence::NeverClear { .. }), _) => "never clear",
        (Some(Absence::OnlyInDaylight { .. }), _) => "sky too bright",
        (Some(Absence::NearSun { .. }), _) => "too near the Sun",
    })
}

/// A name and, if there is more to say, a smaller line under it.
pub(super) struct Name<'a> {
    pub(super) name: &'a str,
    pub(super) letters: f64,
    pub(super) under: &'a str,
}

impl Name<'_> {
    const UNDER_LETTERS: f64 = 11.5;

    pub(super) fn label(&self, owner: usize) -> Label {
        let name = label(owner, self.name, self.letters * BOLD);
        let under = label(owner, self.under, Self::UNDER_LETTERS);
        Label {
            owner,
            width: name.width.max(under.width),
            height: self.letters * LINE_HEIGHT + self.under_height(),
            first_line: (name.width, self.letters * LINE_HEIGHT),
        }
    }

    fn under_height(&self) -> f64 {
        match self.under.is_empty() {
            true => 0.0,
            false => Self::UNDER_LETTERS * LINE_HEIGHT,
        }
    }

    pub(super) fn write(&self, chart: &mut Chart, spot: &Spot) {
        if let Some(leader) = spot.leader {
            chart.leader(leader);
        }
        let place = &spot.place;
        let between = place.bottom - self.under_height();
        let upper = Area {
            bottom: between,
            ..*place
        };
        chart.words_in(&upper, "bold", self.name);
        if !self.under.is_empty() {
            let lower = Area {
                top: between,
                ..*place
            };
            chart.words_in(&lower, "normal", self.under);
        }
    }
}

/// Room for a line of words.
pub(super) fn label(owner: usize, words: &str, letters: f64) -> Label {
    let width = width_of(words) * letters / LETTER_HEIGHT;
    let height = letters * LINE_HEIGHT;
    Label {
        owner,
        width,
        height,
        first_line: (width, height),
    }
}

/// Where a name may stand: along what can be looked at, else what is clear at least; from the middle of the
/// longest piece outward.
pub(super) fn anchors(curve: &BodyCurve) -> Vec<CurvePoint> {
    let of = |wanted: &dyn Fn(Standing) -> bool| -> Vec<&Piece> {
        let pieces = curve.pieces.iter();
        pieces.filter(|piece| wanted(piece.standing)).collect()
    };
    let mut pieces = of(&|standing| standing == Standing::ToLookAt);
    if pieces.is_empty() {
        pieces = of(&|standing| standing == Standing::NotOffered);
    }
    if pieces.is_empty() {
        pieces = of(&|_| true);
    }
    pieces.sort_by_key(|piece| std::cmp::Reverse(piece.points.len()));
    let outward = |piece: &Piece| {
        let middle = piece.points.len() / 2;
        let mut points: Vec<_> = piece.points.iter().copied().enumerate().collect();
        points.sort_by_key(|(idx, _)| idx.abs_diff(middle));
        points.into_iter().map(|(_, point)| point)
    };
    pieces.into_iter().flat_map(outward).collect()
}

/// Instants of a stretch at which the local clock shows whole steps: hours, or halves of them.
pub(super) fn clock_marks(
    span: TimeSpan,
    curves: &NightCurves,
    step_min: i64,
) -> Vec<DateTime<Utc>> {
    let step_s = 60 * step_min;
    let mut marks = Vec::new();
    let mut at = span.from.with_nanosecond(0).unwrap_or(span.from);
    while at <= span.until {
        let local = at.with_timezone(&curves.zone);
        let past_s = i64::from(60 * local.minute() + local.second()) % step_s;
        if past_s == 0 && span.from <= at {
            marks.push(at);
        }
        // A zone may shift by half an hour meanwhile: asked anew at every step.
        at += TimeDelta::seconds(step_s - past_s);
    }
    marks
}

/// Where a piece stands at an instant of it, straight between its points.
pub(super) fn point_at(piece: &Piece, at: DateTime<Utc>) -> Option<CurvePoint> {
    let mut pairs = piece.points.windows(2);
    let pair = pairs.find(|pair| pair[0].at <= at && at < pair[1].at)?;
    let ms = |from: DateTime<Utc>, until: DateTime<Utc>| (until - from).num_milliseconds() as f64;
    let share = ms(pair[0].at, at) / ms(pair[0].at, pair[1].at).max(1.0);
    let turn_deg = crate::units::wrap_180_deg(pair[1].azimuth_deg - pair[0].azimuth_deg);
    Some(CurvePoint {
        at,
        altitude_deg: pair[0].altitude_deg + share * (pair[1].altitude_deg - pair[0].altitude_deg),
        azimuth_deg: pair[0].azimuth_deg + share * turn_deg,
    })
}

/// Fists at arm's length along the right edge, and a line across at each.
pub(super) fn fists(chart: &mut Chart, right: f64, tens: usize) {
    for fist in 1..=tens {
        let altitude_deg = 10.0 * fist as f64;
        chart.level(altitude_deg, Stroke::Grid);
        let (x, y) = chart.at(right, altitude_deg);
        let words = match fist {
            1 => String::from("1 fist"),
            _ => format!("{fist} fists"),
        };
        chart.add(html! { text x=(px(x + 6.0)) y=(px(y + 4.0)) font-size="12" { (words) } });
    }
}
