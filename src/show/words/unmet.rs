//! Why a detail is not there tonight, in words.

use crate::targets::conditions::{Unmet, Unstated};

/// In one line, with the number that matters.
pub fn words(unmet: &Unmet) -> String {
    match *unmet {
        Unmet::RingTooOpen { opening_deg } => {
            format!("the ring is {opening_deg:.0} degrees open: no needle this year")
        }
        Unmet::RingUnlit => "the Sun lights the other face of the ring".to_string(),
        Unmet::WrongPhase { lit, most } => format!(
            "the disc is {:.0} % lit: wait until it is below {:.0} %",
            100.0 * lit,
            100.0 * most
        ),
        Unmet::NotOnTerminator {
            sun_altitude_deg,
            by_shadows,
        } => sun_words(sun_altitude_deg, by_shadows),
        Unmet::Vanished => "there is nothing of it to see tonight".to_string(),
        Unmet::OtherFace => "it is on the side turned away from us".to_string(),
        Unmet::Season { .. } => "it belongs to another season there".to_string(),
        Unmet::MoonHidden => "it is behind the planet, before it or in its shadow".to_string(),
        Unmet::NoPassage | Unmet::NoEclipse => "it does not happen tonight".to_string(),
        Unmet::NotStated(what) => format!("{} is not stated", unstated_words(what)),
    }
}

fn unstated_words(what: Unstated) -> &'static str {
    match what {
        Unstated::RedSpotLongitude => "the longitude of the Red Spot",
        Unstated::Face => "how the disc is turned",
        Unstated::Ring => "how the ring is turned",
    }
}

fn sun_words(sun_altitude_deg: f64, by_shadows: bool) -> String {
    if sun_altitude_deg <= 0.0 {
        return "it lies in the lunar night".to_string();
    }
    if by_shadows {
        format!("the Sun stands {sun_altitude_deg:.0} degrees over it: no shadows left")
    } else {
        format!("the Sun stands only {sun_altitude_deg:.0} degrees over it")
    }
}
