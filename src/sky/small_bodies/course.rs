//! A small body's way over a span of time: from its epoch by summing up what pulls at it.
//!
//! The Sun's own attraction is exact at every step (two bodies, any conic); only the disturbing pull is
//! sampled, half of it before and half after each step (the splitting of Wisdom & Holman 1991, AJ 102,
//! 1528). Against an integrator with steps as short as it likes, steps of four days leave
//! 0.03" over ten years in the main belt and some arcseconds on ways through the inner solar system (tested);
//! near a planet or the Sun they shrink.

use chrono::NaiveDate;

use crate::constants::ARCSEC_PER_RAD;
use crate::sky::apparent::{Sighting, geocentric_unbent_of_au, sighting_of};
use crate::sky::ephemeris::{EphemerisBody, State, barycentric_position_au};
use crate::sky::kepler::{Motion, two_body};
use crate::sky::time::utc_from_utc_days;
use crate::sky::vector::{Vec3, difference, length, scaled, sum};

use super::forces::{Pull, SUN_AU3_DAY2, pull};
use super::{Elements, SmallBody, SmallBodyKind};

/// Where a place may be off by more than this, none is given: two arcminutes, a sixteenth of the Moon
/// and well within the field of a low power. Seen from the Earth, or from 1 au where the Earth is farther: so
/// what is lost stays lost.
pub const MOST_ERROR_ARCSEC: f64 = 120.0;

/// Longest step.
const STEP_DAYS: f64 = 4.0;
/// Shorter steps near a planet: so many days for each au.
const STEP_DAYS_PER_AU: f64 = 8.0;
/// Shorter steps near the Sun: at 1 au, growing with the time that an orbit takes.
const STEP_AT_1_AU_DAYS: f64 = 5.0;
/// Not even a grazing passage needs shorter ones.
const SHORTEST_STEP_DAYS: f64 = 0.05;

/// Light left that long ago at most: 170 au.
const LIGHT_MARGIN_DAYS: f64 = 1.0;

/// What pulls at a body and is not summed up, as if it were all along the orbit.
struct Untold {
    /// A wrong speed from the epoch on.
    speed_au_day: f64,
    /// At 1 au from the Sun, fading with the square of the distance.
    push_au_day2: f64,
}

/// Asteroids: the pull of the others among them, 0.1" a year seen from the Sun, and slowly more. Chosen so
/// that eight of them stay within it of JPL's SB441-N16, which has that pull, 1955-2099 (Hygiea needs it,
/// the others a tenth).
/// Comets: the recoil of their vapour. Radial parts of some 1e-9 au per day² are usual, transverse ones a
/// tenth (Marsden, Sekanina & Yeomans 1973, AJ 78, 211; from memory); an active comet's radial part is taken
/// as if it were transverse.
fn untold(kind: SmallBodyKind) -> Untold {
    match kind {
        SmallBodyKind::Asteroid => Untold {
            speed_au_day: 1.7e-9,
            push_au_day2: 5e-13,
        },
        SmallBodyKind::Comet => Untold {
            speed_au_day: 0.0,
            push_au_day2: 3e-9,
        },
    }
}

/// A steady push along the orbit changes the period: the body ends three times as far off as the push
/// alone would carry it.
const SHEAR: f64 = 3.0;

/// Why a body has no place on a night.
#[derive(Debug, Clone, PartialEq)]
pub struct TooFar {
    /// As written in a list for people.
    pub name: String,
    /// Of its elements, days of TT since J2000.0.
    pub epoch_tt_days: f64,
    /// From the epoch to the instant asked for, days; negative before it.
    pub age_days: f64,
    /// How far off the place would be, as [`MOST_ERROR_ARCSEC`] counts; `None` where nothing can be computed at all
    /// (outside 1950-2100, or an orbit that ends in the Sun).
    pub error_arcsec: Option<f64>,
}

impl TooFar {
    /// The date of its elements; `None` beyond the calendar's own limits.
    pub fn epoch_date(&self) -> Option<NaiveDate> {
        Some(utc_from_utc_days(self.epoch_tt_days)?.date_naive())
    }
}

/// One body's way over one span.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    body: SmallBody,
    /// In order of time, at least one.
    nodes: Vec<Node>,
}

/// A point of the way.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Node {
    tt_days: f64,
    /// Heliocentric, ICRF axes.
    motion: Motion,
    pull: Pull,
    /// What the untold pull has done since the epoch: speed and way, au per day and au.
    drift_au_day: f64,
    drift_au: f64,
}

impl Node {
    fn at_epoch(body: &SmallBody) -> Option<Node> {
        let tt_days = body.elements.epoch_tt_days;
        let motion = body.elements.unperturbed(tt_days)?;
        Some(Node {
            tt_days,
            motion,
            pull: pull(motion, tt_days)?,
            drift_au_day: untold(body.kind()).speed_au_day,
            drift_au: 0.0,
        })
    }

    /// Half the pull of so many days at once, then free flight.
    fn flown(&self, days: f64) -> Option<Motion> {
        let nudged = Motion {
            velocity_au_day: self.nudged(self.motion, &self.pull, days),
            ..self.motion
        };
        two_body(nudged, SUN_AU3_DAY2, days)
    }

    fn nudged(&self, motion: Motion, pull: &Pull, days: f64) -> Vec3 {
        sum(motion.velocity_au_day, scaled(pull.au_day2, 0.5 * days))
    }

    /// The next point, and the other half of the pull.
    fn next(&self, days: f64, push_au_day2: f64) -> Option<Node> {
        let tt_days = self.tt_days + days;
        let flown = self.flown(days)?;
        let pull = pull(flown, tt_days)?;
        let velocity_au_day = self.nudged(flown, &pull, days);
        let sun_distance_au = length(flown.position_au);
        let push = SHEAR * push_au_day2 / sun_distance_au.powi(2);
        Some(Node {
            tt_days,
            motion: Motion {
                velocity_au_day,
                ..flown
            },
            pull,
            drift_au_day: self.drift_au_day + push * days.abs(),
            drift_au: self.drift_au + self.drift_au_day * days.abs() + 0.5 * push * days * days,
        })
    }

    fn step_days(&self) -> f64 {
        let sun_distance_au = length(self.motion.position_au);
        STEP_DAYS
            .min(STEP_DAYS_PER_AU * self.pull.nearest_planet_au)
            .min(STEP_AT_1_AU_DAYS * sun_distance_au.powf(1.5))
            .max(SHORTEST_STEP_DAYS)
    }
}

/// From a point to an instant, step by step; the points on the way that `keep` wants, in their order, and
/// the last one.
fn marched(
    from: Node,
    until_tt_days: f64,
    push_au_day2: f64,
    keep: impl Fn(&Node) -> bool,
) -> Option<Vec<Node>> {
    let (mut node, mut kept) = (from, Vec::new());
    loop {
        let left_days = until_tt_days - node.tt_days;
        if left_days == 0.0 || keep(&node) {
            kept.push(node);
        }
        if left_days == 0.0 {
            return Some(kept);
        }
        let step_days = node.step_days();
        // The last step ends where it should, to the bit.
        if left_days.abs() <= step_days {
            node = node.next(left_days, push_au_day2)?;
            node.tt_days = until_tt_days;
        } else {
            node = node.next(step_days.copysign(left_days), push_au_day2)?;
        }
    }
}

impl SmallBody {
    /// Its way between two instants, days of TT since J2000.0, or why there is none: too far from the
    /// epoch of its elements.
    ///
    /// Some 1.3 microseconds for each four days from the epoch: keep it for the night.
    pub fn course(&self, from_tt_days: f64, until_tt_days: f64) -> Result<Course, TooFar> {
        let from = from_tt_days - LIGHT_MARGIN_DAYS;
        let nodes = self.nodes(from, until_tt_days);
        let course = nodes.map(|nodes| Course {
            body: self.clone(),
            nodes,
        });
        for tt_days in [from_tt_days, until_tt_days] {
            let error_arcsec = course.as_ref().and_then(|c| c.worst_arcsec(tt_days));
            if !error_arcsec.is_some_and(|error| error <= MOST_ERROR_ARCSEC) {
                return Err(TooFar {
                    name: self.name.clone(),
                    epoch_tt_days: self.elements.epoch_tt_days,
                    age_days: tt_days - self.elements.epoch_tt_days,
                    error_arcsec,
                });
            }
        }
        Ok(course.expect("its error was told"))
    }

    fn nodes(&self, from: f64, until: f64) -> Option<Vec<Node>> {
        let push = untold(self.kind()).push_au_day2;
        let epoch = Node::at_epoch(self)?;
        if until < epoch.tt_days {
            let end = marched(epoch, until, push, |_| false)?[0];
            let mut nodes = marched(end, from, push, |_| true)?;
            nodes.reverse();
            Some(nodes)
        } else if epoch.tt_days < from {
            let start = marched(epoch, from, push, |_| false)?[0];
            marched(start, until, push, |_| true)
        } else {
            let mut nodes = marched(epoch, from, push, |_| true)?;
            nodes.reverse();
            nodes.pop();
            nodes.extend(marched(epoch, until, push, |_| true)?);
            Some(nodes)
        }
    }
}

impl Course {
    /// Whose it is.
    pub fn body(&self) -> &SmallBody {
        &self.body
    }

    /// From the point before, or the first one.
    fn node(&self, tt_days: f64) -> &Node {
        let after = self.nodes.partition_point(|node| node.tt_days <= tt_days);
        &self.nodes[after.max(1) - 1]
    }

    fn heliocentric(&self, tt_days: f64) -> Option<Motion> {
        let node = self.node(tt_days);
        node.flown(tt_days - node.tt_days)
    }

    /// From the Sun, ICRF axes, au, at an instant of the span.
    pub fn heliocentric_au(&self, tt_days: f64) -> Option<Vec3> {
        Some(self.heliocentric(tt_days)?.position_au)
    }

    /// From the solar-system barycentre, ICRF axes, au.
    pub fn barycentric_au(&self, tt_days: f64) -> Option<Vec3> {
        let sun_au = barycentric_position_au(EphemerisBody::Sun, tt_days)?;
        Some(sum(sun_au, self.heliocentric_au(tt_days)?))
    }

    /// As an observer moving with `observer` (barycentric) sees it.
    pub fn sighting(&self, observer: State, tt_days: f64) -> Option<Sighting> {
        sighting_of(|days| self.barycentric_au(days), observer, tt_days)
    }

    /// Where it appears from the Earth's centre but for the bending of light at the Sun: what
    /// [`Track::over`](crate::sky::track::Track::over) wants.
    pub fn geocentric_unbent_au(&self, tt_days: f64) -> Option<Vec3> {
        geocentric_unbent_of_au(|days| self.barycentric_au(days), tt_days)
    }

    /// How far from the place given it may stand, seen from the Earth: its elements' rounding, its
    /// orbit's own error, and what pulls at it and was not summed up, as if all lay across the line of sight.
    pub fn error_arcsec(&self, tt_days: f64) -> Option<f64> {
        let earth_au = barycentric_position_au(EphemerisBody::Earth, tt_days)?;
        let distance_au = length(difference(self.barycentric_au(tt_days)?, earth_au));
        Some(self.error_au(tt_days)? / distance_au * ARCSEC_PER_RAD)
    }

    /// The same, or as seen from 1 au where that is worse.
    fn worst_arcsec(&self, tt_days: f64) -> Option<f64> {
        let from_1_au_arcsec = self.error_au(tt_days)? * ARCSEC_PER_RAD;
        Some(self.error_arcsec(tt_days)?.max(from_1_au_arcsec))
    }

    fn error_au(&self, tt_days: f64) -> Option<f64> {
        let SmallBody {
            elements,
            rounding,
            error_arcsec,
            ..
        } = &self.body;
        let rounding_au2 = Elements::spread_au2(elements, rounding, tt_days)?;
        let sun_distance_au = length(self.heliocentric_au(tt_days)?);
        let orbit_au = error_arcsec / ARCSEC_PER_RAD * sun_distance_au;
        let drift_au = self.node(tt_days).drift_au;
        Some((rounding_au2 + orbit_au * orbit_au + drift_au * drift_au).sqrt())
    }
}
