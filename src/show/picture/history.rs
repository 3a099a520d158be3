//! How a mirror went from test to test: figures over the dates, and its profiles over each other.

use chrono::NaiveDate;
use maud::{Markup, html};

use crate::optics::evidence::Interval;
use crate::plan::pictures::{PastTest, PictureHeading};
use crate::show::picture::axis::{Area, Axis, tick_words};
use crate::show::picture::chart::{Chart, Stroke, WIDTH, heading, px, sheet, width_of};
use crate::show::words;

/// Strehl ratio, peak to valley and correction by date with their intervals, and the glass of the last tests.
pub fn history(subject: &PictureHeading, tests: &[PastTest]) -> String {
    let rows = rows(tests);
    let mut body = Vec::new();
    let mut top = TOP;
    for (idx, row) in rows.iter().enumerate() {
        let is_last = idx + 1 == rows.len();
        body.push(row.chart(tests, top, is_last).markup());
        top += ROW_HEIGHT + ROW_GAP;
    }
    top += 30.0;
    let drawn = drawn(tests);
    if !drawn.is_empty() {
        body.push(glass(&drawn, top).markup());
        top += GLASS_HEIGHT + 64.0;
        body.push(key(&drawn, top));
        top += LINE * drawn.len() as f64;
    }
    let what = "its tests by date; upright bars hold the truth nine times in ten";
    let markup = html! {
        @for part in &body { (part) }
        (heading(&subject.name, what, (LEFT, RIGHT - LEFT)))
    };
    sheet((WIDTH, top), markup)
}

/// One figure over the dates.
struct Row {
    title: &'static str,
    values: Vec<(NaiveDate, Interval)>,
    low: f64,
    high: f64,
    step: f64,
    /// Where the figure of a perfect mirror lies.
    aim: f64,
}

fn rows(tests: &[PastTest]) -> Vec<Row> {
    let of = |figure: fn(&PastTest) -> Option<Interval>| -> Vec<(NaiveDate, Interval)> {
        let found = tests.iter();
        found
            .filter_map(|test| Some((test.on_date, figure(test)?)))
            .collect()
    };
    let percent = |(on, share): (NaiveDate, Interval)| {
        let percent = |share: f64| 100.0 * share;
        let interval = Interval {
            value: percent(share.value),
            low: percent(share.low),
            high: percent(share.high),
        };
        (on, interval)
    };
    let strehl = Row {
        title: "Strehl ratio",
        values: of(|test| Some(test.strehl)),
        low: 0.0,
        high: 1.0,
        step: 0.5,
        aim: 1.0,
    };
    let waves = Row::around("waves p-v", of(|test| Some(test.wavefront_pv_waves)), 0.0);
    let correction = of(|test| test.correction).into_iter().map(percent);
    let correction = Row::around("% corrected", correction.collect(), 100.0);
    let rows = [strehl, waves, correction];
    rows.into_iter()
        .filter(|row| !row.values.is_empty())
        .collect()
}

impl Row {
    fn around(title: &'static str, values: Vec<(NaiveDate, Interval)>, aim: f64) -> Row {
        let low = values
            .iter()
            .map(|(_, value)| value.low)
            .fold(aim, f64::min);
        let high = values
            .iter()
            .map(|(_, value)| value.high)
            .fold(aim, f64::max);
        let step = step(high - low);
        Row {
            title,
            values,
            low: (low / step).floor() * step,
            high: (high / step).ceil() * step,
            step,
            aim,
        }
    }

    fn chart(&self, tests: &[PastTest], top: f64, is_last: bool) -> Chart {
        let area = Area {
            left: LEFT,
            right: RIGHT,
            top,
            bottom: top + ROW_HEIGHT,
        };
        let margin = 0.12 * (self.high - self.low).max(1e-9);
        let steps = ((self.high - self.low) / self.step).round() as usize;
        let ticks = (0..=steps).map(|idx| self.low + idx as f64 * self.step);
        let y = Axis::named(
            self.title,
            (self.low - margin, self.high + margin),
            ticks.map(|tick| (tick, tick_words(tick))).collect(),
        );
        let mut chart = Chart::within(area, dates(tests, is_last), y);
        chart.level(self.aim, Stroke::Dashed);
        let at = |(on, value): &(NaiveDate, Interval)| (day(*on), value.value);
        chart.curve(self.values.iter().map(at), Stroke::Thin);
        for (on, value) in &self.values {
            chart.range((day(*on), value.value), (value.low, value.high));
        }
        chart
    }
}

/// One, two or five times a power of ten, for two to five of them.
fn step(span: f64) -> f64 {
    let rough = (span / 3.0).max(1e-6);
    let power = 10f64.powf(rough.log10().floor());
    let factor = [1.0, 2.0, 5.0].into_iter().find(|f| rough <= f * power);
    factor.unwrap_or(10.0) * power
}

fn day(on: NaiveDate) -> f64 {
    f64::from(chrono::Datelike::num_days_from_ce(&on))
}

/// The dates along the lower edge of the last row: as many as fit, the last always.
fn dates(tests: &[PastTest], are_written: bool) -> Axis {
    let days: Vec<f64> = tests.iter().map(|test| day(test.on_date)).collect();
    let (first, last) = (days[0], days[days.len() - 1]);
    let margin = 0.12 * (last - first).max(1.0);
    let ends = (first - margin, last + margin);
    if !are_written {
        return Axis::named("", ends, Vec::new());
    }
    let days_a_unit = (ends.1 - ends.0) / (RIGHT - LEFT);
    let mut ticks: Vec<(f64, String)> = Vec::new();
    for test in tests.iter().rev() {
        let words = words::plain_date(test.on_date);
        let at = day(test.on_date);
        let room = (width_of(&words) + 8.0) * days_a_unit;
        if ticks.last().is_none_or(|(next, _)| at + room <= *next) {
            ticks.push((at, words));
        }
    }
    Axis::named("", ends, ticks)
}

/// The last tests whose shape is known, latest first, each with its stroke.
fn drawn(tests: &[PastTest]) -> Vec<(&PastTest, Stroke)> {
    let known = tests.iter().rev().filter(|test| !test.glass.is_empty());
    known.zip(STROKES).collect()
}

fn glass(drawn: &[(&PastTest, Stroke)], top: f64) -> Chart {
    let area = Area {
        left: LEFT,
        right: RIGHT,
        top,
        bottom: top + GLASS_HEIGHT,
    };
    let heights = || drawn.iter().flat_map(|(test, _)| &test.glass);
    let rim_mm = heights().map(|(mm, _)| *mm).fold(1.0, f64::max);
    let low = heights().map(|(_, nm)| *nm).fold(-20.0, f64::min);
    let high = heights().map(|(_, nm)| *nm).fold(20.0, f64::max);
    let margin = 0.08 * (high - low);
    let mut chart = Chart::within(
        area,
        Axis::new("mm from the middle of the mirror", 0.0, rim_mm),
        Axis::new("glass too high, nm", low - margin, high + margin),
    );
    chart.level(0.0, Stroke::Hair);
    for (test, stroke) in drawn.iter().rev() {
        chart.curve(test.glass.iter().copied(), *stroke);
    }
    chart
}

/// Which stroke is which date.
fn key(drawn: &[(&PastTest, Stroke)], top: f64) -> Markup {
    html! {
        @for (idx, (test, stroke)) in drawn.iter().enumerate() {
            @let y = top + LINE * idx as f64;
            (stroke.sample((LEFT, y - 5.0), 46.0))
            text x=(px(LEFT + 56.0)) y=(px(y)) {
                (words::plain_date(test.on_date))
                @if idx == 0 { ", the latest" }
            }
        }
    }
}

/// Latest first; more would not be told apart.
const STROKES: [Stroke; 4] = [Stroke::Bold, Stroke::Full, Stroke::Dashed, Stroke::Dotted];

const LEFT: f64 = 76.0;
const RIGHT: f64 = WIDTH - 20.0;
const TOP: f64 = 66.0;
const ROW_HEIGHT: f64 = 96.0;
const ROW_GAP: f64 = 14.0;
const GLASS_HEIGHT: f64 = 230.0;
const LINE: f64 = 20.0;
