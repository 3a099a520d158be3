//! All telescopes of the evening along one time line, as SVG inside a page.

use chrono::{DateTime, DurationRound, TimeDelta, Utc};
use maud::{Markup, html};

use chrono_tz::Tz;

use crate::plan::session::{Session, Station, Turn};
use crate::show::page::document::tidy;
use crate::show::session::wording;
use crate::show::words;

use super::fit;

// One unit is a point of the printed page: the letters are as large as those around.
const WIDTH: f64 = fit::PAGE_WIDTH_PT;
const NAMES: f64 = 112.0;
const ROW: f64 = 20.0;
const HEAD: f64 = 20.0;

/// Time on paper.
struct Scale {
    from: DateTime<Utc>,
    until: DateTime<Utc>,
}

impl Scale {
    fn x(&self, at: DateTime<Utc>) -> f64 {
        let share = (at - self.from).as_seconds_f64() / (self.until - self.from).as_seconds_f64();
        NAMES + share.clamp(0.0, 1.0) * (WIDTH - NAMES - 1.0)
    }

    /// Whole steps of an hour or its parts, eight at most.
    fn ticks(&self) -> Vec<DateTime<Utc>> {
        let length = self.until - self.from;
        let steps = [15, 30, 60, 120, 240].map(TimeDelta::minutes);
        let step = steps
            .into_iter()
            .find(|step| length <= *step * 8)
            .unwrap_or(steps[4]);
        let first = self.from.duration_trunc(step).unwrap_or(self.from);
        let all = (0..=9).map(|n| first + step * n);
        all.filter(|at| self.from <= *at && *at < self.until)
            .collect()
    }
}

/// The picture, what its letters stand for, and the same in words for a screen too narrow for it.
pub(super) fn timeline(session: &Session) -> Markup {
    let scale = Scale {
        from: session.window.from,
        until: session
            .window
            .until
            .max(session.window.from + TimeDelta::minutes(1)),
    };
    let height = HEAD + ROW * session.telescopes.len() as f64 + 1.0;
    let mut key = Key::default();
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img"
            aria-label="Who shows what when" font-size="14" fill="currentColor" stroke="none" {
            @let labels = labels(&scale, session.zone);
            @for (at, label) in scale.ticks().into_iter().zip(labels) {
                @let x = px(scale.x(at));
                line x1=(x) x2=(x) y1=(HEAD - 4.0) y2=(px(height)) stroke="currentColor" stroke-width="0.5" stroke-dasharray="2 3" {}
                @if let Some(label) = label { text x=(px(scale.x(at).min(WIDTH - 45.0))) y="12" { (label) } }
            }
            @for (idx, station) in session.telescopes.iter().enumerate() {
                @let top = HEAD + ROW * idx as f64;
                text x="0" y=(px(top + 15.0)) font-weight="bold" { (fitting(&station.name, NAMES - 6.0, fit::BOLD_BODY)) }
                @for turn in &station.turns {
                    (stay(turn, &scale, top, &mut key))
                }
            }
        }
        @if !key.names.is_empty() { p.key { (key.words()) } }
        div.stays { @for station in &session.telescopes { p { (stays(session, station)) } } }
    }
}

/// The hour at each line; none where that before it reaches so far, as one does that says which of two it is.
fn labels(scale: &Scale, zone: Tz) -> Vec<Option<String>> {
    let mut free_from = f64::NEG_INFINITY;
    let label = |at: DateTime<Utc>| {
        let (left, words) = (scale.x(at), words::clock(at, zone));
        let is_free = free_from <= left;
        if is_free {
            free_from = left + fit::width_pt(&words, fit::BODY);
        }
        is_free.then_some(words)
    };
    scale.ticks().into_iter().map(label).collect()
}

/// Letters for names that are too long for their boxes.
#[derive(Default)]
struct Key {
    names: Vec<String>,
}

impl Key {
    /// `a`, `b`, ... `z`, `a2`: the same for the same name.
    fn letter(&mut self, name: &str) -> String {
        let known = self.names.iter().position(|known| known == name);
        let idx = known.unwrap_or_else(|| {
            self.names.push(name.to_string());
            self.names.len() - 1
        });
        words::nth_letter('a', idx)
    }

    /// `a Orion Nebula, b Beehive`
    fn words(&self) -> String {
        let names = self.names.iter().enumerate();
        let words: Vec<String> = names
            .map(|(idx, name)| format!("{} {name}", words::nth_letter('a', idx)))
            .collect();
        words.join(", ")
    }
}

fn stay(turn: &Turn, scale: &Scale, top: f64, key: &mut Key) -> Markup {
    let (left, right) = (scale.x(turn.from), scale.x(turn.until));
    let whole = tidy(wording::short_name(&turn.shown.subject));
    let room_pt = right - left - 6.0;
    let name = match fit::width_pt(&whole, fit::BODY) <= room_pt {
        true => whole,
        false => key.letter(&whole),
    };
    html! {
        rect x=(px(left)) y=(px(top + 1.0)) width=(px(right - left)) height=(px(ROW - 3.0))
            fill="none" stroke="currentColor" stroke-width="1.2" stroke-dasharray="none" {}
        text.name x=(px(left + 4.0)) y=(px(top + 15.0)) { (name) }
    }
}

/// `Hazel: 18:00 Moon, 19:30 Saturn`
fn stays(session: &Session, station: &Station) -> Markup {
    let turns: Vec<String> = (station.turns.iter())
        .map(|turn| {
            let from = words::clock(turn.from, session.zone);
            format!("{from} {}", tidy(wording::short_name(&turn.shown.subject)))
        })
        .collect();
    let told = match turns.is_empty() {
        true => String::from("shows nothing"),
        false => turns.join(", "),
    };
    html! { b { bdi { (tidy(&station.name)) } ":" } " " (told) }
}

/// As much of a telescope's name as its column holds.
fn fitting(name: &str, width_pt: f64, letters: fit::Type) -> String {
    fit::cut_to(&tidy(name), letters, width_pt, 1)
}

fn px(value: f64) -> String {
    format!("{:.1}", value + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_whole_and_few() {
        let at = |text: &str| -> DateTime<Utc> { text.parse().expect("an instant") };
        let from = at("2026-12-12T17:40:00Z");
        for minutes in [20, 90, 180, 600, 1400] {
            let scale = Scale {
                from,
                until: from + TimeDelta::minutes(minutes),
            };
            let ticks = scale.ticks();
            assert!((1..=9).contains(&ticks.len()), "{minutes}: {ticks:?}");
            assert!(ticks.iter().all(|at| at.timestamp() % 900 == 0));
        }
    }

    #[test]
    fn a_long_name_has_one_letter() {
        let mut key = Key::default();
        let letters = ["Orion Nebula", "Beehive", "Orion Nebula"].map(|name| key.letter(name));
        assert_eq!(letters, ["a", "b", "a"]);
        assert_eq!(key.words(), "a Orion Nebula, b Beehive");
    }

    #[test]
    fn names_are_cut_to_their_column() {
        assert_eq!(fitting("Rowan", 100.0, fit::BODY), "Rowan");
        let cut = fitting("The telescope of the third form", 100.0, fit::BODY);
        assert!(
            cut.ends_with('…') && fit::width_pt(&cut, fit::BODY) <= 100.0,
            "{cut}"
        );
    }
}
