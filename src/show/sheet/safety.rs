//! The safety box: on every page that hangs or lies about, whatever else has to give way. Helpers have theirs, visitors have
//! another.

use chrono_tz::Tz;
use maud::{Markup, html};

use crate::plan::caution::Caution;
use crate::show::words::caution;

use super::fit;

/// The cautions of an evening that hold on one sheet: those of the morning and the evening Sun.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stops {
    /// Whole sentences, local times.
    pub words: Vec<String>,
}

impl Stops {
    /// In words.
    pub(super) fn of(cautions: &[Caution], zone: Tz) -> Stops {
        let words = cautions.iter().map(|told| caution::words(*told, zone));
        Stops {
            words: words.collect(),
        }
    }
}

/// What holds everywhere: a lead word and a line each.
type Rules = [(&'static str, &'static str)];

/// The helpers' box: first what stops this sheet's telescope, then what holds everywhere.
pub(super) fn safety_box(stops: &Stops) -> Markup {
    boxed(stops.words.iter().map(String::as_str), &caution::station())
}

/// What it takes of the page.
pub(super) fn height_pt(stops: &Stops) -> f64 {
    box_pt(stops.words.iter().map(String::as_str), &caution::station())
}

/// The visitors' box: when all stop, and what holds everywhere.
pub(super) fn visitors_box(closing: Option<&str>) -> Markup {
    boxed(closing, &caution::visitors())
}

/// What it takes of the page.
pub(super) fn visitors_height_pt(closing: Option<&str>) -> f64 {
    box_pt(closing, &caution::visitors())
}

fn boxed<'a>(first: impl IntoIterator<Item = &'a str>, rules: &Rules) -> Markup {
    html! {
        section.safety {
            @for words in first { p { b { (words) } } }
            ul {
                @for (lead, words) in rules { li { b { (lead) ": " } (words) } }
            }
        }
    }
}

fn box_pt<'a>(first: impl IntoIterator<Item = &'a str>, rules: &Rules) -> f64 {
    const FRAME_PT: f64 = 11.0;
    const COLUMN_PT: f64 = fit::PAGE_WIDTH_PT - 17.0;
    let first = first
        .into_iter()
        .map(|words| fit::lines(words, fit::BOLD_BODY, COLUMN_PT));
    let rule_lines = |(lead, words): &(&str, &str)| {
        fit::lines(&format!("{lead}: {words}"), fit::BODY, COLUMN_PT - 10.0)
    };
    let always = rules.iter().map(rule_lines);
    FRAME_PT + fit::LINE_PT * first.chain(always).sum::<usize>() as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::Body;

    #[test]
    fn the_box_names_every_hazard_and_the_stop_of_what_is_shown() {
        let at = |text: &str| text.parse().expect("an instant");
        let morning = Caution::MorningStop {
            body: Body::Venus,
            stop: at("2026-12-10T06:00:00Z"),
            sunrise: at("2026-12-10T06:15:00Z"),
        };
        let zone = chrono_tz::Europe::Rome;
        let with = safety_box(&Stops::of(&[morning], zone));
        for part in ["filter", "Lasers", "barrier", "Cables", "Caps", "owner"] {
            assert!(with.0.contains(part), "{part}");
        }
        assert!(
            with.0.contains("stop at 07:00") && with.0.contains("(07:15)"),
            "{}",
            with.0
        );
        let without = safety_box(&Stops::default());
        assert!(!without.0.contains("07:00") && without.0.contains("filter"));
    }
}
