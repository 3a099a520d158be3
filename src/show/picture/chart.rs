//! A plain chart: two axes, curves told apart by their stroke, words beside them.

use maud::Markup;
use maud::html;

pub(super) const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 440.0;
const LEFT: f64 = 76.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 66.0;
const BOTTOM: f64 = 56.0;

/// Widest letters of a usual typeface, mean over a sentence, of their height.
const LETTER_WIDTH: f64 = 0.56;

const LETTER_HEIGHT: f64 = 14.0;

/// Height of the footnotes inside the lower edge.
const FOOTNOTE: f64 = 24.0;

/// Tenths of a unit: the same letters on every machine, and no minus before a nought.
pub(super) fn px(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{:.1}", tenths + 0.0)
}

/// How wide words stand on the paper, about.
pub(super) fn width_of(words: &str) -> f64 {
    words.chars().count() as f64 * LETTER_WIDTH * LETTER_HEIGHT
}

/// Two lines above a picture: whose, in a size that fits, and what.
pub(super) fn heading(name: &str, what: &str, (left, width): (f64, f64)) -> Markup {
    let fitting = |words: &str, usual: f64| {
        let n_letters = words.chars().count().max(1) as f64;
        px(usual.min(width / (LETTER_WIDTH * n_letters)))
    };
    html! {
        text x=(px(left)) y="26" font-size=(fitting(name, 19.0)) font-weight="bold" { (name) }
        text x=(px(left)) y="50" font-size=(fitting(what, 14.0)) { (what) }
    }
}

/// Numbers along an edge.
pub(super) struct Axis {
    title: &'static str,
    low: f64,
    high: f64,
}

impl Axis {
    pub(super) fn new(title: &'static str, low: f64, high: f64) -> Axis {
        Axis { title, low, high }
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// Round numbers, five to ten of them.
    fn ticks(&self) -> Vec<f64> {
        let rough = (self.high - self.low) / 8.0;
        let power = 10f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|factor| factor * power)
            .find(|step| rough <= *step)
            .unwrap_or(power);
        let first = (self.low / step - 1e-9).ceil() as i64;
        let last = (self.high / step + 1e-9).floor() as i64;
        (first..=last).map(|tick| tick as f64 * step).collect()
    }
}

/// How a curve is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stroke {
    Full,
    Dashed,
    Dotted,
    Thin,
    Hair,
}

/// On which side of their point words stand.
#[derive(Debug, Clone, Copy)]
pub(super) enum Side {
    AboveRight,
    AboveLeft,
    BelowRight,
    BelowLeft,
}

pub(super) struct Chart {
    name: String,
    what: String,
    x: Axis,
    y: Axis,
    body: Vec<Markup>,
    /// Drawn last, so that no curve runs through them.
    words: Vec<Markup>,
}

impl Chart {
    pub(super) fn new((name, what): (&str, &str), x: Axis, y: Axis) -> Chart {
        Chart {
            name: name.to_string(),
            what: what.to_string(),
            x,
            y,
            body: Vec::new(),
            words: Vec::new(),
        }
    }

    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (
            LEFT + self.x.share(x) * (WIDTH - LEFT - RIGHT),
            HEIGHT - BOTTOM - self.y.share(y) * (HEIGHT - TOP - BOTTOM),
        )
    }

    /// What a length on the paper is along x.
    pub(super) fn x_of_length(&self, length: f64) -> f64 {
        length / (WIDTH - LEFT - RIGHT) * (self.x.high - self.x.low)
    }

    /// What a height on the paper is along y.
    pub(super) fn y_of_length(&self, length: f64) -> f64 {
        length / (HEIGHT - TOP - BOTTOM) * (self.y.high - self.y.low)
    }

    fn path(&self, points: impl IntoIterator<Item = (f64, f64)>) -> String {
        let mut path = String::new();
        for (x, y) in points {
            let (x, y) = self.at(x, y);
            let letter = if path.is_empty() { 'M' } else { 'L' };
            path.push_str(&format!("{letter}{} {}", px(x), px(y)));
        }
        path
    }

    pub(super) fn curve(&mut self, points: impl IntoIterator<Item = (f64, f64)>, stroke: Stroke) {
        let (width, dashes) = match stroke {
            Stroke::Full => ("2", "none"),
            Stroke::Dashed => ("1.5", "9 5"),
            Stroke::Dotted => ("2", "2 4"),
            Stroke::Thin => ("1.2", "none"),
            Stroke::Hair => ("0.6", "none"),
        };
        self.body.push(html! {
            path d=(self.path(points)) fill="none" stroke="black" stroke-width=(width) stroke-dasharray=(dashes) {}
        });
    }

    /// A level right across.
    pub(super) fn level(&mut self, y: f64, stroke: Stroke) {
        self.curve([(self.x.low, y), (self.x.high, y)], stroke);
    }

    /// A line from above the footnotes to the top.
    pub(super) fn upright(&mut self, x: f64, stroke: Stroke) {
        let low = self.y.low + self.y_of_length(FOOTNOTE);
        self.curve([(x, low), (x, self.y.high)], stroke);
    }

    /// The space between two heights, grey.
    pub(super) fn band(&mut self, points: impl Iterator<Item = (f64, f64, f64)>) {
        let points: Vec<(f64, f64, f64)> = points.collect();
        let there = points.iter().map(|point| (point.0, point.1));
        let back = points.iter().rev().map(|point| (point.0, point.2));
        let path = self.path(there.chain(back));
        self.body
            .push(html! { path d=(path + "Z") fill="#ccc" stroke="none" {} });
    }

    /// A point, how far it may be off either way, and from where to where along x it holds.
    pub(super) fn point(&mut self, (x, y): (f64, f64), error: f64, (from, to): (f64, f64)) {
        let (at_x, at_y) = self.at(x, y);
        self.curve([(x, y - error), (x, y + error)], Stroke::Thin);
        let cap = self.x_of_length(5.0);
        for end in [y - error, y + error] {
            self.curve([(x - cap, end), (x + cap, end)], Stroke::Thin);
        }
        self.curve([(from, y), (to, y)], Stroke::Hair);
        self.body
            .push(html! { circle cx=(px(at_x)) cy=(px(at_y)) r="3.5" fill="black" {} });
    }

    /// Words beside a point of the chart.
    pub(super) fn words(&mut self, (x, y): (f64, f64), side: Side, words: &str) {
        let (x, y) = self.at(x, y);
        let (dx, dy, anchor) = match side {
            Side::AboveRight => (6.0, -7.0, "start"),
            Side::AboveLeft => (-6.0, -7.0, "end"),
            Side::BelowRight => (6.0, 18.0, "start"),
            Side::BelowLeft => (-6.0, 18.0, "end"),
        };
        self.words.push(html! {
            text x=(px(x + dx)) y=(px(y + dy)) text-anchor=(anchor)
                stroke="white" stroke-width="4" stroke-linejoin="round" paint-order="stroke" { (words) }
        });
    }

    /// Words just inside the lower edge, in its left or right corner.
    pub(super) fn footnote(&mut self, side: Side, words: &str) {
        let x = match side {
            Side::AboveRight | Side::BelowRight => self.x.low,
            Side::AboveLeft | Side::BelowLeft => self.x.high,
        };
        self.words((x, self.y.low), side, words);
    }

    fn axes(&self) -> Markup {
        let (left, bottom) = (LEFT, HEIGHT - BOTTOM);
        let (right, top) = (WIDTH - RIGHT, TOP);
        html! {
            rect x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(bottom - top))
                fill="none" stroke="black" {}
            @for tick in self.x.ticks() {
                @let x = self.at(tick, self.y.low).0;
                line x1=(px(x)) x2=(px(x)) y1=(px(bottom)) y2=(px(bottom + 5.0)) stroke="black" {}
                text x=(px(x)) y=(px(bottom + 20.0)) text-anchor="middle" { (tick_words(tick)) }
            }
            @for tick in self.y.ticks() {
                @let y = self.at(self.x.low, tick).1;
                line x1=(px(left - 5.0)) x2=(px(left)) y1=(px(y)) y2=(px(y)) stroke="black" {}
                text x=(px(left - 9.0)) y=(px(y + 5.0)) text-anchor="end" { (tick_words(tick)) }
            }
            text x=(px((left + right) / 2.0)) y=(px(HEIGHT - 14.0)) text-anchor="middle" { (self.x.title) }
            text x="20" y=(px((top + bottom) / 2.0)) text-anchor="middle"
                transform=(format!("rotate(-90 20 {})", px((top + bottom) / 2.0))) { (self.y.title) }
        }
    }

    pub(super) fn svg(self) -> String {
        let axes = self.axes();
        let heading = heading(&self.name, &self.what, (LEFT, WIDTH - LEFT - RIGHT));
        let body = html! {
            @for part in self.body.iter().chain(&self.words) { (part) }
            (axes)
            (heading)
        };
        sheet((WIDTH, HEIGHT), body)
    }
}

/// White paper with something on it.
pub(super) fn sheet((width, height): (f64, f64), body: Markup) -> String {
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(width) height=(height)
            viewBox=(format!("0 0 {width} {height}")) font-family="sans-serif" font-size=(LETTER_HEIGHT) {
            rect width="100%" height="100%" fill="white" {}
            (body)
        }
    };
    picture.into_string() + "\n"
}

/// Two digits after the point at most, none that are nought.
pub(super) fn tick_words(value: f64) -> String {
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        String::from("0")
    } else {
        short.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_minus_before_a_nought() {
        for (value, want) in [(-0.04, "0.0"), (0.05, "0.1"), (-0.06, "-0.1"), (3.0, "3.0")] {
            assert_eq!(px(value), want);
        }
        assert_eq!(tick_words(-0.001), "0");
        assert_eq!(tick_words(0.25), "0.25");
        assert_eq!(tick_words(-20.0), "-20");
    }

    #[test]
    fn ticks_are_round_and_few() {
        for (low, high) in [
            (0.0, 75.0),
            (-56.7, 56.7),
            (0.0, 1.0),
            (-0.012, 0.009),
            (0.0, 2.24),
        ] {
            let ticks = Axis::new("", low, high).ticks();
            assert!((4..=9).contains(&ticks.len()), "{low} {high}: {ticks:?}");
            assert!(ticks.iter().all(|tick| low <= *tick && *tick <= high));
        }
        assert_eq!(Axis::new("", 0.0, 1.0).ticks().last(), Some(&1.0));
    }
}
