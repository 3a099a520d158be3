//! The night on one sheet: how high everything stands by the hour, and its way along the skyline of the place.

mod panel;

mod altitudes;

mod skyline;

use chrono::{DateTime, Utc};
use maud::{Markup, html};

use crate::plan::night_curves::{Light, NightCurves};
use crate::show::picture::chart::{LETTER_HEIGHT, heading, px, sheet, width_of};
use crate::show::picture::night::panel::{HEIGHT, UPPER, WIDTH};
use crate::show::words;

/// What the strokes mean, below both.
const KEY_TOP: f64 = 816.0;

/// The whole sheet, as SVG.
pub fn svg(curves: &NightCurves) -> String {
    let name = format!("{}, {}", curves.site_name, words::the_night_of(curves.on));
    let body = html! {
        (heading(&name, &what(curves), (UPPER.left, UPPER.width())))
        g class="altitudes" { (altitudes::panel(curves)) }
        g class="skyline" { (skyline::panel(curves)) }
        (key(curves))
    };
    sheet((WIDTH, HEIGHT), body)
}

/// Sun, Moon and clock in a line.
fn what(curves: &NightCurves) -> String {
    let clock = |at: DateTime<Utc>| words::clock(at, curves.zone);
    let sun = words::sunset_and_sunrise(&curves.sun, curves.zone);
    let dark = match curves.sun.dark() {
        Some(dark) => format!(", dark from {} to {}", clock(dark.from), clock(dark.until)),
        _ if !has_night(curves) => String::new(),
        _ if curves.spells.iter().all(|spell| spell.light == Light::Dark) => {
            String::from(", dark throughout")
        }
        _ => String::from(", not fully dark from dusk to dawn"),
    };
    let moon = words::moon_phase(curves.moon.lit, curves.moon.is_waxing);
    format!("{sun}{dark}. Moon {moon}.")
}

/// What the strokes mean, what is not drawn, and a caution.
fn key(curves: &NightCurves) -> Markup {
    let samples = [
        (3.6, "none", "to be looked at (Moon: double line)"),
        (1.2, "none", "clear, but the sky too bright"),
        (2.0, "2 4", "behind the skyline or under 5 degrees"),
    ];
    let mut left = UPPER.left;
    let placed = samples.map(|(width, dashes, words)| {
        let from = left;
        left += 46.0 + width_of(words) * 13.0 / LETTER_HEIGHT + 20.0;
        (from, width, dashes, words)
    });
    html! {
        g font-size="13" {
            @for (from, width, dashes, words) in placed {
                path d=(format!("M{} {}h36", px(from), px(KEY_TOP))) stroke="black" fill="none"
                    stroke-width=(width) stroke-dasharray=(dashes) {}
                text x=(px(from + 44.0)) y=(px(KEY_TOP + 4.5)) { (words) }
            }
            text x=(px(UPPER.left)) y=(px(KEY_TOP + 25.0)) { (notes(curves)) }
            text x=(px(UPPER.left)) y=(px(KEY_TOP + 45.0)) { (TWILIGHTS) }
            text x=(px(UPPER.left)) y=(px(KEY_TOP + 65.0)) { (CAUTION) }
        }
    }
}

/// What the names along the upper edge mean.
const TWILIGHTS: &str = "Civil, nautical, astronomical: twilight, the Sun down to 6, 12 and 18 degrees below the \
                         horizon. Grey below: your skyline.";

/// The one that a sheet on a wall must carry.
const CAUTION: &str = "Never point anywhere near the Sun. In the morning Mercury and Venus are given up a quarter \
                       of an hour before it rises.";

/// The Sun is down for a while.
fn has_night(curves: &NightCurves) -> bool {
    let spells = &curves.spells;
    spells.iter().any(|spell| spell.light != Light::Day)
}

fn notes(curves: &NightCurves) -> String {
    if !has_night(curves) {
        return String::from("There is no night, and nothing is drawn by day.");
    }
    let mut notes = vec![String::from("Marks stand at whole hours.")];
    if !curves.left_out.is_empty() {
        let names = curves.left_out.iter();
        let names: Vec<String> = names.map(|body| body.name().to_string()).collect();
        notes.push(format!("Not up in the night: {}.", words::list(&names)));
    }
    notes.join(" ")
}
