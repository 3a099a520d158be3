//! Which small bodies are known: the bright asteroids of the program and the user's own rows.

use crate::constants::J2000_JD;
use crate::sky::small_bodies::Brightness;
use crate::sky::small_bodies::Elements;
use crate::sky::small_bodies::Size;
use crate::sky::small_bodies::SmallBody;
use crate::sky::small_bodies::Timing;
use crate::sky::small_bodies::asteroids;
use crate::workshop::OwnLight;
use crate::workshop::OwnSize;
use crate::workshop::OwnSmallBody;
use crate::workshop::OwnTiming;
use crate::workshop::Typed;
use crate::workshop::Workshop;

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
