//! A plain chart: two axes, curves told apart by their stroke, words beside them.

use maud::{Markup, html};

use crate::show::picture::axis::{Area, Axis};

pub(super) const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 440.0;

/// Where the frame of a chart stands that has a sheet to itself.
const ALONE: Area = Area {
    left: 76.0,
    right: WIDTH - 20.0,
    top: 66.0,
    bottom: HEIGHT - 56.0,
};

/// Widest letters of a usual typeface, mean over a sentence, of their height.
const LETTER_WIDTH: f64 = 0.56;

pub(super) const LETTER_HEIGHT: f64 = 14.0;

/// A line of words, of the height of its letters.
pub(super) const LINE_HEIGHT: f64 = 1.15;

/// Tenths of a unit: the same letters on every machine, and no minus before a nought.
pub(super) fn px(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{:.1}", tenths + 0.0)
}

/// How wide words stand on the paper, about.
pub(super) fn width_of(words: &str) -> f64 {
    words.chars().count() as f64 * LETTER_WIDTH * LETTER_HEIGHT
}

/// Of the first line above a picture, from the top.
pub(super) const NAME_Y: f64 = 26.0;

/// Of the second.
pub(super) const WHAT_Y: f64 = 50.0;

pub(super) const NAME_HEIGHT: f64 = 19.0;

/// A size in which words fit a width.
pub(super) fn fitting(words: &str, usual: f64, width: f64) -> f64 {
    let n_letters = words.chars().count().max(1) as f64;
    usual.min(width / (LETTER_WIDTH * n_letters))
}

/// Two lines above a picture: whose, in a size that fits, and what.
pub(super) fn heading(name: &str, what: &str, (left, width): (f64, f64)) -> Markup {
    html! {
        text x=(px(left)) y=(NAME_Y) font-size=(px(fitting(name, NAME_HEIGHT, width))) font-weight="bold" { (name) }
        text x=(px(left)) y=(WHAT_Y) font-size=(px(fitting(what, LETTER_HEIGHT, width))) { (what) }
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
    /// Thrice as wide as a thin one.
    Bold,
    /// Two thin lines with white between.
    Hollow,
    /// Ruled paper.
    Grid,
}

impl Stroke {
    /// Ink, width and dashes.
    fn pen(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Stroke::Full => ("black", "2", "none"),
            Stroke::Dashed => ("black", "1.5", "9 5"),
            Stroke::Dotted => ("black", "2", "2 4"),
            Stroke::Thin => ("black", "1.2", "none"),
            Stroke::Hair => ("black", "0.6", "none"),
            Stroke::Bold => ("black", "3.6", "none"),
            Stroke::Hollow => ("black", "6", "none"),
            Stroke::Grid => ("#777", "0.4", "none"),
        }
    }

    /// A piece of it, to the right of a place of the paper.
    pub(super) fn sample(self, (left, y): (f64, f64), length: f64) -> Markup {
        let (ink, width, dashes) = self.pen();
        html! {
            line x1=(px(left)) y1=(px(y)) x2=(px(left + length)) y2=(px(y))
                stroke=(ink) stroke-width=(width) stroke-dasharray=(dashes) {}
        }
    }
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
    area: Area,
    heading: Markup,
    x: Axis,
    y: Axis,
    body: Vec<Markup>,
    /// Drawn last, so that no curve runs through them.
    words: Vec<Markup>,
}

impl Chart {
    /// On a sheet of its own: whose, and what.
    pub(super) fn new((name, what): (&str, &str), x: Axis, y: Axis) -> Chart {
        Chart {
            heading: heading(name, what, (ALONE.left, ALONE.width())),
            ..Chart::within(ALONE, x, y)
        }
    }

    /// One of several on a sheet.
    pub(super) fn within(area: Area, x: Axis, y: Axis) -> Chart {
        Chart {
            area,
            heading: html! {},
            x,
            y,
            body: Vec::new(),
            words: Vec::new(),
        }
    }

    /// Where on the paper.
    pub(super) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (
            self.area.left + self.x.share(x) * self.area.width(),
            self.area.bottom - self.y.share(y) * self.area.height(),
        )
    }

    /// Of the frame, on the paper.
    pub(super) fn bottom(&self) -> f64 {
        self.area.bottom
    }

    /// What a length on the paper is along x.
    pub(super) fn x_of_length(&self, length: f64) -> f64 {
        length / self.area.width() * (self.x.high - self.x.low)
    }

    /// What a height on the paper is along y.
    pub(super) fn y_of_length(&self, length: f64) -> f64 {
        length / self.area.height() * (self.y.high - self.y.low)
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
        let path = self.path(points);
        let (ink, width, dashes) = stroke.pen();
        self.body.push(html! {
            path d=(path) fill="none" stroke=(ink) stroke-width=(width) stroke-dasharray=(dashes) {}
            @if let Stroke::Hollow = stroke {
                path d=(path) fill="none" stroke="white" stroke-width="3" {}
            }
        });
    }

    /// Anything else, drawn by the measure of [`Chart::at`].
    pub(super) fn add(&mut self, part: Markup) {
        self.body.push(part);
    }

    /// What a closure draws, under one name that readers of the drawing can show.
    pub(super) fn titled(&mut self, (class, title): (&str, &str), draw: impl FnOnce(&mut Chart)) {
        let before = std::mem::take(&mut self.body);
        draw(self);
        let drawn = std::mem::replace(&mut self.body, before);
        self.body.push(html! {
            g class=(class) { title { (title) } @for part in drawn { (part) } }
        });
    }

    /// The space between two places along x, from the bottom to the top.
    pub(super) fn whole_strip(&mut self, class: &str, ends: (f64, f64), fill: &str) {
        self.strip(class, ends, self.y.high, fill);
    }

    /// The space between two places along x, from the bottom up to some height.
    pub(super) fn strip(&mut self, class: &str, (from, to): (f64, f64), up_to: f64, fill: &str) {
        let (left, top) = self.at(from, up_to);
        let (right, bottom) = self.at(to, self.y.low);
        self.body.push(html! {
            rect class=(class) x=(px(left)) y=(px(top)) width=(px(right - left))
                height=(px(bottom - top)) fill=(fill) stroke="none" {}
        });
    }

    /// A level right across.
    pub(super) fn level(&mut self, y: f64, stroke: Stroke) {
        self.curve([(self.x.low, y), (self.x.high, y)], stroke);
    }

    /// A line from the bottom to the top.
    pub(super) fn upright(&mut self, x: f64, stroke: Stroke) {
        self.curve([(x, self.y.low), (x, self.y.high)], stroke);
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

    /// A point, how far it may be off either way, and the window that it stands for.
    pub(super) fn point(&mut self, (x, y): (f64, f64), error: f64, (from, to): (f64, f64)) {
        self.curve([(from, y), (to, y)], Stroke::Thin);
        for end in [from, to] {
            let (end_x, end_y) = self.at(end, y);
            self.add(html! {
                path d=(format!("M{} {}v8", px(end_x), px(end_y - 4.0))) stroke="black" stroke-width="1.2" {}
            });
        }
        self.range((x, y), (y - error, y + error));
    }

    /// A point and the ends of its interval.
    pub(super) fn range(&mut self, (x, y): (f64, f64), (low, high): (f64, f64)) {
        let (at_x, at_y) = self.at(x, y);
        self.curve([(x, low), (x, high)], Stroke::Thin);
        let cap = self.x_of_length(5.0);
        for end in [low, high] {
            self.curve([(x - cap, end), (x + cap, end)], Stroke::Thin);
        }
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

    /// From words far off to what they name, a dot at its end.
    pub(super) fn leader(&mut self, [from, to]: [(f64, f64); 2]) {
        self.words.push(html! {
            line x1=(px(from.0)) y1=(px(from.1)) x2=(px(to.0)) y2=(px(to.1)) stroke="black"
                stroke-width="0.8" {}
            circle cx=(px(to.0)) cy=(px(to.1)) r="2" fill="black" stroke="white" stroke-width="0.6" {}
        });
    }

    /// Words in a place that was chosen for them, as high as they fill it.
    pub(super) fn words_in(&mut self, place: &Area, weight: &str, words: &str) {
        self.words.push(html! {
            text x=(px(place.left)) y=(px(place.bottom - 0.24 * place.height())) font-weight=(weight)
                font-size=(px(place.height() / LINE_HEIGHT))
                stroke="white" stroke-width="3" stroke-linejoin="round" paint-order="stroke" { (words) }
        });
    }

    fn axes(&self) -> Markup {
        let Area {
            left,
            right,
            top,
            bottom,
        } = self.area;
        html! {
            rect x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(bottom - top))
                fill="none" stroke="black" {}
            @for (tick, words) in self.x.ticks() {
                @let x = self.at(tick, self.y.low).0;
                line x1=(px(x)) x2=(px(x)) y1=(px(bottom)) y2=(px(bottom + 5.0)) stroke="black" {}
                text x=(px(x)) y=(px(bottom + 20.0)) text-anchor="middle" { (words) }
            }
            @for (tick, words) in self.y.ticks() {
                @let y = self.at(self.x.low, tick).1;
                line x1=(px(left - 5.0)) x2=(px(left)) y1=(px(y)) y2=(px(y)) stroke="black" {}
                text x=(px(left - 9.0)) y=(px(y + 5.0)) text-anchor="end" { (words) }
            }
            text x=(px((left + right) / 2.0)) y=(px(bottom + 42.0)) text-anchor="middle" { (self.x.title) }
            text x="20" y=(px((top + bottom) / 2.0)) text-anchor="middle"
                transform=(format!("rotate(-90 20 {})", px((top + bottom) / 2.0))) { (self.y.title) }
        }
    }

    /// All of it: words over curves, the frame over both, the heading if there is one.
    pub(super) fn markup(&self) -> Markup {
        html! {
            @for part in self.body.iter().chain(&self.words) { (part) }
            (self.axes())
            (self.heading)
        }
    }

    /// As a sheet of its own, with a line under it.
    pub(super) fn svg_with_note(self, note: &str) -> String {
        let body = html! {
            (self.markup())
            text x=(px(ALONE.left)) y=(px(HEIGHT + 8.0)) font-size="13" { (note) }
        };
        sheet((WIDTH, HEIGHT + 20.0), body)
    }

    /// As a sheet of its own.
    pub(super) fn svg(self) -> String {
        sheet((WIDTH, HEIGHT), self.markup())
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_minus_before_a_nought() {
        for (value, want) in [(-0.04, "0.0"), (0.05, "0.1"), (-0.06, "-0.1"), (3.0, "3.0")] {
            assert_eq!(px(value), want);
        }
    }
}
