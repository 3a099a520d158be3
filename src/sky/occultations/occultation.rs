//! One passage behind the Moon: what is covered, when it goes and comes back, and where on the edge.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::sky::Body;
use crate::sky::time::utc_from_tt;
use crate::sky::zodiac::ZodiacStar;
use crate::units::wrap_180_deg;

/// What the Moon covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Occulted {
    /// A star to V = 5.
    Star(&'static ZodiacStar),
    /// Mercury to Neptune.
    Planet(Body),
}

impl Occulted {
    /// The name to call it by.
    pub fn name(&self) -> &'static str {
        match self {
            Occulted::Star(star) => star.name(),
            Occulted::Planet(body) => body.name(),
        }
    }
}

/// One passage behind the Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Occultation {
    /// What is covered.
    pub occulted: Occulted,
    /// It goes.
    pub disappearance: Contact,
    /// It comes back.
    pub reappearance: Contact,
    /// It only brushes the northern or southern edge: the instants are rough and mountains may let it
    /// blink.
    pub grazing: bool,
}

/// One meeting with the mean limb; of a planet, its centre's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Days of TT since J2000.0.
    pub tt_days: f64,
    /// What the Moon's mountains may do to it, seconds either way (typical).
    pub uncertain_s: f64,
    /// How long a planet's disc takes from first to last touch; 0 for a star.
    pub disc_takes_s: f64,
    /// Where on the Moon's edge.
    pub edge: EdgePoint,
    /// Of the star, without refraction.
    pub altitude_deg: f64,
    /// Of the star, from north through east.
    pub azimuth_deg: f64,
    /// Of the Sun, without refraction.
    pub sun_altitude_deg: f64,
}

/// A point of the Moon's edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgePoint {
    /// Seen from the Moon's middle, from celestial north (of date) through east.
    pub position_angle_deg: f64,
    /// From the nearer cusp: positive on the dark limb, negative on the bright one, -90 to 90.
    pub cusp_angle_deg: f64,
    /// That cusp.
    pub cusp: Cusp,
    /// Which half of the edge.
    pub limb: Limb,
    /// Lit fraction of the Moon: near 1 there is no dark limb to speak of, near 0 the Sun is near.
    pub moon_lit: f64,
}

impl Contact {
    /// When it happens.
    pub fn at(&self) -> DateTime<Utc> {
        utc_from_tt(self.tt_days).expect("the ephemeris' years stand in the calendar")
    }
}

impl EdgePoint {
    /// At a position angle, with the middle of the bright limb at another.
    pub(super) fn new(position_angle_deg: f64, bright_limb_deg: f64, moon_lit: f64) -> Self {
        let from_bright_deg = wrap_180_deg(position_angle_deg - bright_limb_deg);
        let cusp_deg = bright_limb_deg + 90f64.copysign(from_bright_deg);
        let cusp_angle_deg = from_bright_deg.abs() - 90.0;
        EdgePoint {
            position_angle_deg,
            cusp_angle_deg,
            cusp: if cusp_deg.to_radians().cos() > 0.0 {
                Cusp::North
            } else {
                Cusp::South
            },
            limb: if cusp_angle_deg > 0.0 {
                Limb::Dark
            } else {
                Limb::Bright
            },
            moon_lit,
        }
    }
}

/// Tip of the lit part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Cusp {
    /// The northern one.
    North,
    /// The southern one.
    South,
}

/// Half of the Moon's edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Limb {
    /// Toward the Sun.
    Bright,
    /// The night side: where a star's light is not drowned.
    Dark,
}
