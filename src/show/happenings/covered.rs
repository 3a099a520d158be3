//! Stars and planets behind the Moon on the page of happenings.

use chrono_tz::Tz;

use crate::plan::happenings::Listed;
use crate::show::happenings::entry::Entry;
use crate::show::words;
use crate::sky::occultations::{Contact, Limb, Occultation, Occulted};

/// `None` where neither end of it is seen from the place.
pub(super) fn covered(listed: &Listed, it: &Occultation, zone: Tz) -> Option<Entry> {
    let [goes_seen, comes_seen] = listed.moon_clear[..] else {
        return None;
    };
    let name = match it.occulted {
        Occulted::Star(star) => format!("{} (magnitude {:.1})", star.name(), star.magnitude),
        Occulted::Planet(body) => body.name().to_string(),
    };
    let comes = words::clock_beside(it.reappearance.at(), it.disappearance.at(), zone);
    let (at, words) = match (goes_seen, comes_seen) {
        (true, true) => (
            it.disappearance.at(),
            format!(
                "The Moon covers {name} {}; back at {comes} {}",
                edge_words(&it.disappearance),
                edge_words(&it.reappearance)
            ),
        ),
        (true, false) => (
            it.disappearance.at(),
            format!("The Moon covers {name} {}", edge_words(&it.disappearance)),
        ),
        (false, true) => (
            it.reappearance.at(),
            format!(
                "{name} comes out from behind the Moon {}",
                edge_words(&it.reappearance)
            ),
        ),
        (false, false) => return None,
    };
    let unsure = if it.grazing {
        "; it only brushes the edge: times are uncertain"
    } else {
        ""
    };
    Some(Entry {
        at,
        words: words + unsure,
        more: Vec::new(),
    })
}

/// From there on hardly a dark edge is left. Common practice, no source.
const NEARLY_FULL: f64 = 0.97;

/// `at the dark edge, SE, three fists up`.
fn edge_words(contact: &Contact) -> String {
    let edge = match contact.edge.limb {
        Limb::Dark if NEARLY_FULL < contact.edge.moon_lit => "nearly lit",
        Limb::Dark => "dark",
        Limb::Bright => "bright",
    };
    format!(
        "at the {edge} edge, {}, {}",
        words::wind(contact.azimuth_deg),
        words::fists(contact.altitude_deg)
    )
}
