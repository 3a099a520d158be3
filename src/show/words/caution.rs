//! The words of caution, all in one place.

use chrono_tz::Tz;

use crate::plan::caution::{Caution, MorningStop};
use crate::show::page::Block;
use crate::show::words::clock;

/// All of them under their heading.
pub(in crate::show) fn section(cautions: &[Caution], zone: Tz) -> Block {
    let sentences = cautions.iter().map(|caution| words(*caution, zone));
    Block::section("Take care:", [Block::List(sentences.collect())])
}

/// One caution as a sentence or two, local times.
pub fn words(caution: Caution, zone: Tz) -> String {
    match caution {
        Caution::Sun => String::from(
            "Never point a telescope or its finder at or near the Sun; keep mirrors capped by day: \
             an uncovered mirror starts fires.",
        ),
        Caution::Daylight => String::from(
            "Daylight list: the Sun is up. Only for an experienced leader: stand in the shade of a \
             building so that the Sun cannot enter the tube, start capped, move only away from the \
             Sun, never sweep.",
        ),
        Caution::MorningStop {
            body,
            stop,
            sunrise,
        } => format!(
            "{} in the morning: stop at {}, a quarter of an hour before sunrise ({}). The Sun comes to you.",
            body.name(),
            clock(stop, zone),
            clock(sunrise, zone)
        ),
        Caution::Sunrise(MorningStop { stop, sunrise }) => format!(
            "Stop at {}, a quarter of an hour before sunrise ({}): caps on, and no telescope on the sky after it. The Sun \
             comes to you.",
            clock(stop, zone),
            clock(sunrise, zone)
        ),
        Caution::EveningStart { body, sunset } => format!(
            "{} in the evening twilight: take the cap off only after sunset ({}).",
            body.name(),
            clock(sunset, zone)
        ),
        Caution::Terrace => String::from(
            "Dark terrace: mark steps and edges, no cables across the way; the owner's and local \
             rules come first.",
        ),
    }
}

/// Of whoever grinds, figures, tests and silvers.
pub const AT_THE_BENCH: &str = "Take care: test with a lamp at the centre of curvature. The Sun's image burns, blinds and sets fire; \
     leave it to a leader outdoors. Silvering baths are for adults by local rules, mixed fresh and never \
     kept; hot pitch burns; glass dust stays wet and out of lungs.";

/// Beside a focal length from the Sun's image.
pub const SUN_IMAGE: &str = "The Sun's image is a leader's measurement, outdoors: nobody ever looks into the mirror or at the \
     image, which burns and blinds, from bare wet glass too; the mirror is never left uncovered. A lamp at the centre of \
     curvature tells more, and harms nobody.";

/// What stands on every printed sheet, a lead word and a line each; on no condition is it left out.
pub fn station() -> [(&'static str, &'static str); 6] {
    [
        (
            "Sun",
            "no telescope and no finder without a certified full filter.",
        ),
        (
            "Lasers",
            "off, unless law and owner allow; never at people or aircraft.",
        ),
        (
            "Edge",
            "stay behind the barrier, never with your back to it.",
        ),
        (
            "Cables",
            "taped flat or none. Hold the rail, not the telescope.",
        ),
        (
            "Caps",
            "on tube and finder when you leave it, and before sunrise.",
        ),
        (
            "Rules",
            "of the site's owner and of the place come first: ask.",
        ),
    ]
}

/// What stands on the poster, for who comes to look.
pub fn visitors() -> [(&'static str, &'static str); 3] {
    [
        (
            "Edge",
            "stay behind the barrier, never with your back to it.",
        ),
        (
            "Children",
            "come with a grown-up; one at a time on the step.",
        ),
        (
            "Sun",
            "never look at it through any telescope, finder or binoculars.",
        ),
    ]
}

/// What goes with every eclipse of the Sun and every planet before its disc, seen from here or not.
pub fn solar_eclipse() -> &'static str {
    "Not a target: no mirror telescope, and no finder, looks at the Sun without a certified filter \
     over its full aperture, in trained hands. Eclipse glasses are for the eye alone, never at an eyepiece."
}
