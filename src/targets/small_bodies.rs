//! Which small bodies are known: the bright asteroids of the program and the user's own rows.

use std::f64::consts::FRAC_PI_4;

use crate::constants::J2000_JD;
use crate::sky::small_bodies::{
    Brightness, Elements, Size, SmallBody, SmallBodyKind, SmallBodySighting, Timing, asteroids,
};
use crate::targets::asked::{Asked, Spread};
use crate::targets::caption::{Caption, CaptionName};
use crate::targets::sight::{Sight, Today};
use crate::workshop::{OwnLight, OwnSize, OwnSmallBody, OwnTiming, Typed, Workshop};

/// The bright asteroids, then the user's own; a row with an asteroid's name takes its place.
pub fn small_bodies(workshop: &Workshop) -> Vec<SmallBody> {
    let mut bodies = asteroids().to_vec();
    for row in &workshop.small_bodies {
        let own = small_body(row);
        match bodies.iter_mut().find(|body| body.id == own.id) {
            Some(body) => *body = own,
            None => bodies.push(own),
        }
    }
    bodies
}

/// What is asked of one: an asteroid is a star that moves, a comet a round mist.
pub fn asked_of_small(body: &SmallBody, seen: &SmallBodySighting) -> Asked {
    let (sight, say) = match body.kind() {
        SmallBodyKind::Asteroid => (
            Sight::Point {
                magnitude: seen.magnitude,
                from_body_arcsec: f64::INFINITY,
            },
            "A star like any other: draw it among its neighbours and look again an hour later, it has moved.",
        ),
        SmallBodyKind::Comet => (
            Sight::Glow {
                diameter_arcsec: COMA_ARCSEC,
                surface_brightness_mag_arcsec2: seen.magnitude
                    + 2.5 * (FRAC_PI_4 * COMA_ARCSEC * COMA_ARCSEC).log10(),
            },
            "A small round mist, brighter in the middle; a tail seldom shows.",
        ),
    };
    Asked {
        caption: Caption {
            id: body.id.clone(),
            name: CaptionName::SmallBody {
                body: body.name.clone(),
                kind: body.kind(),
                magnitude: seen.magnitude,
            },
            say: say.to_string(),
            among_stars: body.kind() == SmallBodyKind::Asteroid,
        },
        today: Today::alone(sight),
        field_deg: 0.0,
        spread: Spread::NONE,
        during: Vec::new(),
        hour: None,
        detail: None,
        seen: None,
    }
}

/// Across the bright part of a usual comet's head. Common practice, no source: 2 to 10 minutes of arc.
const COMA_ARCSEC: f64 = 240.0;

/// A user's row as a body of the sky.
pub fn small_body(row: &OwnSmallBody) -> SmallBody {
    SmallBody {
        id: row.name.to_lowercase().replace(' ', "-"),
        name: row.name.clone(),
        elements: elements(row, row.epoch_jd - J2000_JD, J2000_JD, |typed| typed.value),
        rounding: elements(row, 0.0, 0.0, |typed| typed.half_unit),
        error_arcsec: row.error_arcsec,
        brightness: match row.light {
            OwnLight::Asteroid { h_mag, g } => Brightness::Asteroid { h_mag, g },
            OwnLight::Comet { m1_mag, k1 } => Brightness::Comet { m1_mag, k1 },
        },
    }
}

fn elements(
    row: &OwnSmallBody,
    epoch_tt_days: f64,
    zero_jd: f64,
    part: impl Fn(Typed) -> f64,
) -> Elements {
    Elements {
        epoch_tt_days,
        size: match row.size {
            OwnSize::SemiMajorAxis(axis) => Size::SemiMajorAxisAu(part(axis)),
            OwnSize::PerihelionDistance(distance) => Size::PerihelionDistanceAu(part(distance)),
        },
        eccentricity: part(row.eccentricity),
        inclination_deg: part(row.inclination_deg),
        node_deg: part(row.node_deg),
        argument_of_perihelion_deg: part(row.argument_of_perihelion_deg),
        timing: match row.timing {
            OwnTiming::MeanAnomalyDeg(anomaly) => Timing::MeanAnomalyDeg(part(anomaly)),
            OwnTiming::PerihelionJd(jd) => Timing::PerihelionTtDays(part(jd) - zero_jd),
        },
    }
}
