//! How high everything stands by the hour, through the twilights.

use chrono::{DateTime, TimeDelta, Utc};
use maud::{Markup, html};

use crate::plan::night_curves::{BodyCurve, CurvePoint, Light, NightCurves, Spell, Standing};
use crate::plan::time_span::TimeSpan;
use crate::show::picture::axis::{Area, Axis};
use crate::show::picture::chart::{Chart, LETTER_HEIGHT, Stroke, px, width_of};
use crate::show::picture::marks::mark;
use crate::show::picture::night::panel::{
    Name, UPPER, anchors, clock_marks, fists, label, point_at, stroke, under_name,
};
use crate::show::picture::placing::Placing;
use crate::show::words;

/// Room above 90 degrees for the names of the twilights, upright and lying.
const RIBBON_PX: [f64; 2] = [88.0, 28.0];

/// Owns the lines that are no body's.
const NOBODY: usize = usize::MAX;

/// Letters in the ribbon.
const RIBBON_LETTERS: f64 = 12.0;

/// A night shorter than this has its half-hours written out.
const SHORT_H: f64 = 7.0;

/// The panel, with everything in it.
pub(super) fn panel(curves: &NightCurves) -> Markup {
    let mut panel = Panel::new(curves);
    panel.light();
    panel.session();
    panel.clock_change();
    panel.curves();
    panel.names();
    panel.chart.markup()
}

struct Panel<'a> {
    curves: &'a NightCurves,
    ribbon_px: f64,
    chart: Chart,
    placing: Placing,
}

impl<'a> Panel<'a> {
    fn new(curves: &'a NightCurves) -> Panel<'a> {
        let hours = hours_since(curves, curves.drawn.until);
        let (step_min, format) = match hours < SHORT_H {
            true => (30, "%H:%M"),
            false => (60, "%H"),
        };
        let ticks = clock_marks(curves.drawn, curves, step_min).into_iter();
        let ticks = ticks.map(|at| {
            let local = at.with_timezone(&curves.zone);
            (hours_since(curves, at), local.format(format).to_string())
        });
        let ribbon_px = ribbon_px(curves);
        let high_deg = 90.0 * UPPER.height() / (UPPER.height() - ribbon_px);
        let tens = (1..10).map(|ten| f64::from(10 * ten));
        let chart = Chart::within(
            UPPER,
            Axis::named(&clock_title(curves), (0.0, hours), ticks.collect()),
            Axis::named(
                "degrees above the horizon",
                (0.0, high_deg),
                tens.map(|deg| (deg, format!("{deg}"))).collect(),
            ),
        );
        let below_ribbon = Area {
            top: UPPER.top + ribbon_px,
            ..UPPER
        };
        Panel {
            curves,
            ribbon_px,
            chart,
            placing: Placing::within(below_ribbon.wider_by(-2.0)),
        }
    }

    fn x(&self, at: DateTime<Utc>) -> f64 {
        hours_since(self.curves, at)
    }

    fn on_paper(&self, point: &CurvePoint) -> (f64, f64) {
        self.chart.at(self.x(point.at), point.altitude_deg)
    }

    fn upright(&mut self, at: DateTime<Utc>, stroke: Stroke) {
        let x = self.x(at);
        self.chart.curve([(x, 0.0), (x, 90.0)], stroke);
    }

    /// One that words keep off.
    fn border(&mut self, at: DateTime<Utc>, stroke: Stroke) {
        self.upright(at, stroke);
        let x = self.x(at);
        let ends = [0.0, 90.0].map(|deg| self.chart.at(x, deg));
        self.placing.line(NOBODY, &ends);
    }

    /// Grey deepens with the night; each step has its name in the ribbon, and paper is ruled over it.
    fn light(&mut self) {
        let top_deg = 90.0 * UPPER.height() / (UPPER.height() - self.ribbon_px);
        for spell in &self.curves.spells {
            let ends = (self.x(spell.span.from), self.x(spell.span.until));
            self.chart.strip("light", ends, top_deg, shade(spell.light));
        }
        for spell in &self.curves.spells {
            self.name_light(spell);
        }
        for at in clock_marks(self.curves.drawn, self.curves, 60) {
            self.upright(at, Stroke::Grid);
        }
        let right = self.x(self.curves.drawn.until);
        fists(&mut self.chart, right, 9);
        self.chart.level(90.0, Stroke::Hair);
    }

    /// Along the ribbon where there is room, else upright.
    fn name_light(&mut self, spell: &Spell) {
        let left = self.chart.at(self.x(spell.span.from), 0.0).0;
        let width = width_px(self.curves, spell);
        let (x, y) = (left + width / 2.0, UPPER.top + self.ribbon_px / 2.0);
        let clock = |at| words::clock(at, self.curves.zone);
        let name = light_words(spell.light);
        let long = format!(
            "{name} {} to {}",
            clock(spell.span.from),
            clock(spell.span.until)
        );
        let words = match spell.light {
            Light::Day => name,
            _ if room(&long) <= width => &long,
            _ => name,
        };
        let turn = (width < room(words)).then(|| format!("rotate(-90 {} {})", px(x), px(y)));
        if turn.is_some() && width < RIBBON_LETTERS {
            return;
        }
        self.chart.add(html! {
            text x=(px(x)) y=(px(y + 4.0)) text-anchor="middle" font-size=(RIBBON_LETTERS)
                transform=[turn] { (words) }
        });
    }

    fn session(&mut self) {
        let Some(session) = self.curves.session else {
            return;
        };
        self.chart.add(html! {
            defs {
                pattern id="session" width="12" height="12" patternUnits="userSpaceOnUse"
                    patternTransform="rotate(45)" {
                    line x1="0" y1="0" x2="0" y2="12" stroke="black" stroke-width="0.8" {}
                }
            }
        });
        let ends = (self.x(session.from), self.x(session.until));
        self.chart.strip("session", ends, 90.0, "url(#session)");
        for at in [session.from, session.until] {
            self.border(at, Stroke::Dashed);
        }
        let words = format!(
            "session {}-{}",
            words::clock(session.from, self.curves.zone),
            words::clock(session.until, self.curves.zone)
        );
        self.words_beside(session, &words);
    }

    /// The clocks jump: a line, and what they show before and after.
    fn clock_change(&mut self) {
        let Some(at) = self.curves.clock_change else {
            return;
        };
        self.border(at, Stroke::Dotted);
        self.words_beside(
            TimeSpan {
                from: at,
                until: at,
            },
            "clocks change",
        );
    }

    /// Near the top or the bottom of the panel, about a stretch.
    fn words_beside(&mut self, span: TimeSpan, words: &str) {
        let middle = 0.5 * (self.x(span.from) + self.x(span.until));
        let heights = [86.0, 80.0, 8.0];
        let anchors = heights.map(|deg| self.chart.at(middle, deg));
        let label = label(NOBODY, words, 12.0);
        if let Some(spot) = self.placing.place(label, &anchors) {
            self.chart.words_in(&spot.place, "normal", words);
        }
    }

    fn curves(&mut self) {
        let hours = clock_marks(self.curves.drawn, self.curves, 60);
        for (owner, curve) in self.curves.bodies.iter().enumerate() {
            for piece in &curve.pieces {
                let points: Vec<_> = piece.points.iter().map(|at| self.on_paper(at)).collect();
                self.placing.line(owner, &points);
            }
            self.curve(curve, &hours);
        }
    }

    fn curve(&mut self, curve: &BodyCurve, hours: &[DateTime<Utc>]) {
        let curves = self.curves;
        let x = |point: &CurvePoint| hours_since(curves, point.at);
        self.chart.titled(("body", curve.body.name()), |chart| {
            for piece in &curve.pieces {
                let points = piece.points.iter();
                let points = points.map(|point| (x(point), point.altitude_deg));
                chart.curve(points, stroke(curve.body, piece.standing));
            }
            for piece in &curve.pieces {
                let is_marked = piece.standing != Standing::Hidden;
                let marks = hours.iter().filter(|_| is_marked);
                for point in marks.filter_map(|at| point_at(piece, *at)) {
                    let place = chart.at(x(&point), point.altitude_deg);
                    chart.add(mark(curve.body, place));
                }
            }
        });
    }

    fn names(&mut self) {
        let moon = words::moon_phase(self.curves.moon.lit, self.curves.moon.is_waxing);
        for (owner, curve) in self.curves.bodies.iter().enumerate() {
            let under = under_name(curve, &moon);
            let name = Name {
                name: curve.body.name(),
                letters: 14.0,
                under: &under,
            };
            let anchors = anchors(curve);
            let anchors: Vec<_> = anchors.iter().map(|at| self.on_paper(at)).collect();
            if let Some(spot) = self.placing.place(name.label(owner), &anchors) {
                name.write(&mut self.chart, &spot);
            }
        }
    }
}

/// How wide a spell is on the paper.
fn width_px(curves: &NightCurves, spell: &Spell) -> f64 {
    let hours = |at| hours_since(curves, at);
    (hours(spell.span.until) - hours(spell.span.from)) / hours(curves.drawn.until) * UPPER.width()
}

/// What words in the ribbon need.
fn room(words: &str) -> f64 {
    width_of(words) * RIBBON_LETTERS / LETTER_HEIGHT + 8.0
}

/// High only where some name has to stand upright.
fn ribbon_px(curves: &NightCurves) -> f64 {
    let lies = |spell: &Spell| room(light_words(spell.light)) <= width_px(curves, spell);
    let [upright, lying] = RIBBON_PX;
    match curves.spells.iter().all(lies) {
        true => lying,
        false => upright,
    }
}

fn hours_since(curves: &NightCurves, at: DateTime<Utc>) -> f64 {
    (at - curves.drawn.from).num_milliseconds() as f64 / 3.6e6
}

/// `local time, UTC+2 until 02:59, then UTC+1`
fn clock_title(curves: &NightCurves) -> String {
    let offset = |at| words::utc_offset(at, curves.zone);
    let first = offset(curves.drawn.from);
    match curves.clock_change {
        None => format!("local time, {first}"),
        Some(at) => {
            let last = (at - TimeDelta::seconds(1)).with_timezone(&curves.zone);
            let last = last.format("%H:%M");
            format!("local time, {first} until {last}, then {}", offset(at))
        }
    }
}

fn shade(light: Light) -> &'static str {
    match light {
        Light::Day => "#ffffff",
        Light::Civil => "#f3f3f3",
        Light::Nautical => "#e7e7e7",
        Light::Astronomical => "#dadada",
        Light::Dark => "#cdcdcd",
    }
}

fn light_words(light: Light) -> &'static str {
    match light {
        Light::Day => "day",
        Light::Civil => "civil",
        Light::Nautical => "nautical",
        Light::Astronomical => "astronomical",
        Light::Dark => "dark",
    }
}
