//! How what is graded is called, in words.

use crate::sky::small_bodies::SmallBodyKind;
use crate::targets::caption::{Caption, CaptionName, Part};

/// The name, and what more it takes to know it: `Iapetus (among stars: with a chart)`.
pub fn with_what_it_takes(caption: &Caption) -> String {
    let name = name(&caption.name);
    match caption.among_stars {
        true => format!("{name} (among stars: with a chart)"),
        false => name,
    }
}

/// `Cassini Division`; `M 3, its stars`; `Albireo, 34.6" apart`; `Vesta, asteroid of magnitude 6.1`.
pub fn name(name: &CaptionName) -> String {
    match name {
        CaptionName::Said(name) => name.clone(),
        CaptionName::Part { of, part } => format!("{of}, {}", part_words(*part)),
        CaptionName::Pair {
            pair,
            separation_arcsec,
        } => format!("{pair}, {separation_arcsec:.1}\" apart"),
        CaptionName::SmallBody {
            body,
            kind,
            magnitude,
        } => format!("{body}, {} of magnitude {magnitude:.1}", kind_word(*kind)),
    }
}

fn part_words(part: Part) -> &'static str {
    match part {
        Part::Glow => "its glow",
        Part::Stars => "its stars",
    }
}

fn kind_word(kind: SmallBodyKind) -> &'static str {
    match kind {
        SmallBodyKind::Asteroid => "asteroid",
        SmallBodyKind::Comet => "comet",
    }
}
