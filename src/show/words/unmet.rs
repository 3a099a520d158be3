//! Why a detail is not there tonight, in words.

use crate::targets::conditions::{Unmet, Unstated};
use crate::targets::details::Bounds;

/// In one line, with the number that matters.
pub fn words(unmet: &Unmet) -> String {
    match *unmet {
        Unmet::RingTooClosed {
            opening_deg,
            needs_deg,
            opens_in,
        } => {
            let year = opens_in.map_or(String::new(), |year| format!(", in {year}"));
            format!(
                "the ring is only {opening_deg:.0} degrees open: wait until it opens to {needs_deg:.0}{year}"
            )
        }
        Unmet::RingTooOpen { opening_deg } => {
            format!("the ring is {opening_deg:.0} degrees open: no needle this year")
        }
        Unmet::RingUnlit => "the Sun lights the other face of the ring".to_string(),
        Unmet::TooSmall {
            diameter_arcsec,
            needs_arcsec,
        } => {
            format!(
                "the disc is only {diameter_arcsec:.1}\" across: wait until it reaches {needs_arcsec:.1}\""
            )
        }
        Unmet::WrongPhase { lit, needs } => phase_words(lit, needs),
        Unmet::NotOnTerminator {
            sun_altitude_deg,
            needs,
        } => sun_words(sun_altitude_deg, needs),
        Unmet::OtherFace => "it is on the side turned away from us".to_string(),
        Unmet::Season { .. } => "it belongs to another season there".to_string(),
        Unmet::TooNearOpposition { .. } => {
            "the Sun is right behind us: shadows hide behind what throws them".to_string()
        }
        Unmet::MoonHidden => "it is behind the planet, before it or in its shadow".to_string(),
        Unmet::NoPassage => "it does not happen tonight".to_string(),
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

fn phase_words(lit: f64, needs: Bounds) -> String {
    let percent = 100.0 * lit;
    match needs.most {
        Some(most) if most < lit => {
            format!(
                "the disc is {percent:.0} % lit: wait until it is below {:.0} %",
                100.0 * most
            )
        }
        _ => format!("only {percent:.0} % of the disc is lit"),
    }
}

fn sun_words(sun_altitude_deg: f64, needs: Bounds) -> String {
    if sun_altitude_deg <= 0.0 {
        return "it lies in the lunar night".to_string();
    }
    match needs.most {
        Some(most_deg) if most_deg < sun_altitude_deg => {
            format!("the Sun stands {sun_altitude_deg:.0} degrees over it: no shadows left")
        }
        _ => format!("the Sun stands only {sun_altitude_deg:.0} degrees over it"),
    }
}
