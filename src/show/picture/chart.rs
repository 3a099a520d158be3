//! A plain chart: two axes, curves told apart by their stroke, words beside them.

use maud::Markup;
use maud::html;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 50.0;

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
        let first = (self.low / step).ceil() as i64;
        let last = (self.high / step + 1e-9).floor() as i64;
        (first..=last).map(|tick| tick as f64 * step).collect()
    }
}

pub(super) struct Chart {
    title: String,
    x: Axis,
    y: Axis,
    body: Vec<Markup>,
    /// Drawn last, so that no curve runs through them.
    words: Vec<Markup>,
}

impl Chart {
    pub(super) fn new(title: &str, x: Axis, y: Axis) -> Chart {
        Chart {
            title: title.to_string(),
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

    fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> (String, Option<(f64, f64)>) {
        let mut path = String::new();
        let mut ends = Vec::new();
        for (x, y) in points {
            let (x, y) = self.at(x, y);
            let letter = if path.is_empty() { 'M' } else { 'L' };
            path.push_str(&format!("{letter}{x:.1} {y:.1}"));
            ends.push((x, y));
        }
        // Words stand a third of the way along, where curves have parted and not yet met again.
        (path, ends.get(ends.len() / 3).copied())
    }

    fn stroke(
        &mut self,
        points: impl Iterator<Item = (f64, f64)>,
        name: &str,
        dashes: &str,
        below: bool,
    ) {
        let (path, middle) = self.path(points);
        self.body.push(html! {
            path d=(path) fill="none" stroke="black" stroke-width="1.5" stroke-dasharray=(dashes) {}
        });
        if let (Some((x, y)), false) = (middle, name.is_empty()) {
            let y = if below { y + 18.0 } else { y - 8.0 };
            let anchor = if below { "end" } else { "start" };
            self.text((x, y), anchor, name);
        }
    }

    /// A full line; its name below it.
    pub(super) fn curve(&mut self, points: impl Iterator<Item = (f64, f64)>, name: &str) {
        self.stroke(points, name, "none", true);
    }

    /// A dashed line; its name above it.
    pub(super) fn dashes(&mut self, points: impl Iterator<Item = (f64, f64)>, name: &str) {
        self.stroke(points, name, "8 5", false);
    }

    /// A dotted line; its name below it.
    pub(super) fn dots(&mut self, points: impl Iterator<Item = (f64, f64)>, name: &str) {
        self.stroke(points, name, "1.5 4", true);
    }

    /// A level right across, dashed.
    pub(super) fn level(&mut self, y: f64, name: &str) {
        let ends = [(self.x.low, y), (self.x.high, y)];
        self.stroke(ends.into_iter(), "", "8 5", false);
        let (_, at) = self.at(self.x.low, y);
        self.text((LEFT + 8.0, at - 6.0), "start", name);
    }

    /// The space between two heights, grey.
    pub(super) fn band(&mut self, points: impl Iterator<Item = (f64, f64, f64)>) {
        let points: Vec<(f64, f64, f64)> = points.collect();
        let there = points.iter().map(|point| (point.0, point.1));
        let back = points.iter().rev().map(|point| (point.0, point.2));
        let (path, _) = self.path(there.chain(back));
        self.body
            .push(html! { path d=(path + "Z") fill="#ccc" stroke="none" {} });
    }

    /// A point and how far it may be off either way.
    pub(super) fn point(&mut self, x: f64, y: f64, error: f64) {
        let (at_x, at_y) = self.at(x, y);
        let (_, high) = self.at(x, y + error);
        let (_, low) = self.at(x, y - error);
        let number = |value: f64| format!("{value:.1}");
        self.body.push(html! {
            line x1=(number(at_x)) x2=(number(at_x)) y1=(number(high)) y2=(number(low)) stroke="black" {}
            circle cx=(number(at_x)) cy=(number(at_y)) r="4" fill="black" {}
        });
    }

    fn text(&mut self, (x, y): (f64, f64), anchor: &str, words: &str) {
        if !words.is_empty() {
            self.words.push(html! {
                text x=(format!("{x:.1}")) y=(format!("{y:.1}")) text-anchor=(anchor)
                    stroke="white" stroke-width="4" paint-order="stroke" { (words) }
            });
        }
    }

    fn axes(&self) -> Markup {
        let (left, bottom) = (LEFT, HEIGHT - BOTTOM);
        let (right, top) = (WIDTH - RIGHT, TOP);
        let number = |value: f64| format!("{value:.1}");
        html! {
            rect x=(number(left)) y=(number(top)) width=(number(right - left)) height=(number(bottom - top))
                fill="none" stroke="black" {}
            @for tick in self.x.ticks() {
                @let x = self.at(tick, self.y.low).0;
                line x1=(number(x)) x2=(number(x)) y1=(number(bottom)) y2=(number(bottom + 5.0)) stroke="black" {}
                text x=(number(x)) y=(number(bottom + 20.0)) text-anchor="middle" { (tick_words(tick)) }
            }
            @for tick in self.y.ticks() {
                @let y = self.at(self.x.low, tick).1;
                line x1=(number(left - 5.0)) x2=(number(left)) y1=(number(y)) y2=(number(y)) stroke="black" {}
                text x=(number(left - 9.0)) y=(number(y + 5.0)) text-anchor="end" { (tick_words(tick)) }
            }
            text x=(number((left + right) / 2.0)) y=(number(HEIGHT - 10.0)) text-anchor="middle" { (self.x.title) }
            text x="18" y=(number((top + bottom) / 2.0)) text-anchor="middle"
                transform=(format!("rotate(-90 18 {:.1})", (top + bottom) / 2.0)) { (self.y.title) }
            text x=(number(left)) y="26" font-size="17" { (self.title) }
        }
    }

    pub(super) fn svg(self) -> String {
        let axes = self.axes();
        let picture = html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {HEIGHT}"))
                font-family="sans-serif" font-size="14" {
                rect width="100%" height="100%" fill="white" {}
                @for part in self.body.iter().chain(&self.words) { (part) }
                (axes)
            }
        };
        picture.into_string() + "\n"
    }
}

/// Two digits after the point at most, none that are nought.
fn tick_words(value: f64) -> String {
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        String::from("0")
    } else {
        short.to_string()
    }
}
