//! What a mirror's curve cannot say of itself, under it: what is hidden, what nobody read, what is known of the rim.

use maud::{Markup, html};

use crate::plan::pictures::{KnownEdge, Profile, RadiusStretch};
use crate::show::picture::chart::{Chart, px};
use crate::show::words;

/// Slanted lines for what nobody read.
pub(super) fn hatching() -> Markup {
    html! {
        defs {
            pattern id="unread" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                line x1="0" y1="0" x2="0" y2="8" stroke="black" stroke-width="1.2" {}
            }
        }
    }
}

pub(super) fn hatch(chart: &mut Chart, profile: &Profile) {
    for gap in &profile.unread {
        chart.whole_strip("unread", (gap.from_mm, gap.to_mm), "url(#unread)");
    }
}

/// Radii with a dotted line.
pub(super) fn dotted(profile: &Profile) -> Vec<f64> {
    let shadow = (0.0 < profile.shadow_mm).then_some(profile.shadow_mm);
    let rim = match profile.edge {
        Some(KnownEdge::NotLookedAt { from_mm }) => Some(from_mm),
        _ => None,
    };
    shadow.into_iter().chain(rim).collect()
}

/// Broken to the sheet.
pub(super) fn lines(profile: &Profile, is_glass: bool) -> Vec<String> {
    let take_off = is_glass.then(|| take_off(profile)).flatten();
    let notes = of_what_is_drawn(profile, is_glass).into_iter();
    notes
        .chain(take_off.map(String::from))
        .flat_map(|note| {
            let broken = words::wrapped(&note, COLUMNS, "  ");
            broken.lines().map(String::from).collect::<Vec<String>>()
        })
        .collect()
}

/// Of the curve and what is marked about it.
pub(super) fn of_what_is_drawn(profile: &Profile, is_glass: bool) -> Vec<String> {
    std::iter::once(corridor(is_glass).to_string())
        .chain(shadow(profile))
        .chain(unread(profile))
        .chain(profile.edge.map(edge))
        .collect()
}

pub(super) fn height(lines: &[String]) -> f64 {
    LINE * lines.len() as f64
}

pub(super) fn markup(lines: &[String], (left, top): (f64, f64)) -> Markup {
    html! {
        @for (idx, line) in lines.iter().enumerate() {
            text x=(px(left)) y=(px(top + LINE * idx as f64)) font-size="13" { (line) }
        }
    }
}

fn corridor(is_glass: bool) -> &'static str {
    match is_glass {
        true => {
            "between the dashed lines: what a quarter of a wave on the wavefront leaves to the glass, an eighth of a wave"
        }
        false => "between the dashed lines: a quarter of a wave from peak to valley",
    }
}

fn shadow(profile: &Profile) -> Option<String> {
    (0.0 < profile.shadow_mm).then(|| {
        format!(
            "left of the dots, to {:.0} mm: behind the diagonal",
            profile.shadow_mm
        )
    })
}

fn unread(profile: &Profile) -> Option<String> {
    let gaps: Vec<String> = (profile.unread.iter())
        .map(|RadiusStretch { from_mm, to_mm }| format!("{from_mm:.0} to {to_mm:.0} mm"))
        .collect();
    (!gaps.is_empty()).then(|| {
        format!(
            "hatched, {}: nobody read this, {:.0} % of the open mirror; the curve there is a guess",
            words::list(&gaps),
            100.0 * profile.unread_area_share
        )
    })
}

fn edge(edge: KnownEdge) -> String {
    match edge {
        KnownEdge::NotLookedAt { from_mm } => format!(
            "right of the dots, from {from_mm:.0} mm: a turned edge would not show in these readings, and nobody looked"
        ),
        KnownEdge::Declared {
            width_mm: Some(width_mm),
        } => format!("the edge was seen turned over the last {width_mm:.1} mm"),
        KnownEdge::Declared { width_mm: None } => String::from(
            "the edge was seen turned; how wide and how deep was not measured, and grey holds what edges are",
        ),
        KnownEdge::Read { rim_nm } => format!(
            "the readings show a turned edge: the rim lies {} to {} nm lower than the mirror inside would have gone on",
            words::glass_nm(-rim_nm.high),
            words::glass_nm(-rim_nm.low)
        ),
    }
}

fn take_off(profile: &Profile) -> Option<&'static str> {
    (!profile.windows.is_empty()).then_some(match profile.windows.iter().any(|window| 0.0 < window.remove_nm) {
        true => "take off: glass above the highest paraboloid that needs none added; how is for your leader to say",
        false => "take off: nothing, every window is within what is allowed",
    })
}

const LINE: f64 = 18.0;

/// Letters of 13 units that fit the sheet.
const COLUMNS: usize = 84;
