//! What happens at a minute of the evening, in words.

use chrono_tz::Tz;

use crate::plan::session::{Moment, MomentKind};
use crate::show::words::{clock, satellite};
use crate::sky::happenings::lunar_eclipse::EclipseContact;

/// `22:14 Io's shadow leaves`
pub fn timed(moment: &Moment, zone: Tz) -> String {
    format!("{} {}", clock(moment.at, zone), words(moment))
}

/// `Io's shadow leaves`
pub fn words(moment: &Moment) -> String {
    match &moment.what {
        MomentKind::Eclipse(contact) => eclipse(*contact).to_string(),
        MomentKind::Covered { occulted, is_back } => {
            let name = occulted.name();
            match is_back {
                false => format!("{name} goes behind the Moon"),
                true => format!("{name} comes out from behind the Moon"),
            }
        }
        MomentKind::Satellite(event) => satellite::words(event),
        MomentKind::RedSpot => String::from("the Red Spot is about in the middle of the disc"),
        MomentKind::Moonrise => String::from("the Moon rises"),
        MomentKind::Moonset => String::from("the Moon sets"),
        MomentKind::FirstStars => String::from("the first stars"),
        MomentKind::SunCovered { share } => format!(
            "CAUTION, eclipse of the Sun, {:.0} % of its width covered: not a target, no telescope and no finder looks at it",
            100.0 * share
        ),
    }
}

fn eclipse(contact: EclipseContact) -> &'static str {
    match contact {
        EclipseContact::P1 => "the Earth's outer shadow touches the Moon",
        EclipseContact::U1 => "the eclipse begins: the Earth's shadow touches the Moon",
        EclipseContact::U2 => "total eclipse: the Moon goes dark, all of it in the shadow",
        EclipseContact::Greatest => "the eclipse is deepest",
        EclipseContact::U3 => "the Moon's first edge comes back into the light",
        EclipseContact::U4 => "the eclipse ends: the Earth's shadow leaves the Moon",
        EclipseContact::P4 => "the Earth's outer shadow leaves the Moon",
    }
}
