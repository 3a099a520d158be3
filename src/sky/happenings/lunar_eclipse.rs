//! Eclipses of the Moon: contacts with the Earth's shadow.
//!
//! The shadow is a circle about the point opposite the Sun, as large as [`EarthShadow`] has it; another rule would move
//! contacts with the penumbra by one and a half minutes and with the umbra by twenty seconds. The edge of the real shadow is
//! soft: contacts are seen to a minute or so at best.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::sky::Body;
use crate::sky::almanac::{Almanac, Span};
use crate::sky::earth::Place;
use crate::sky::earth_shadow::EarthShadow;
use crate::sky::happenings::frame::{search_over, utc};
use crate::sky::search::{crossings, minima};

/// How deep.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LunarEclipseKind {
    /// Only the outer shadow touches the Moon: a faint shading, if anything.
    Penumbral,
    /// A part of the Moon in the umbra.
    Partial,
    /// All of the Moon in the umbra.
    Total,
}

/// A meeting of the Moon's limb with the shadow's edge, or the deepest moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum EclipseContact {
    /// The penumbra touches the Moon.
    P1,
    /// The umbra touches the Moon: partial phase.
    U1,
    /// The Moon is wholly in the umbra: totality.
    U2,
    /// Nearest to the shadow's axis.
    #[serde(rename = "greatest")]
    Greatest,
    /// The end of totality.
    U3,
    /// The end of the partial phase.
    U4,
    /// The end of all.
    P4,
}

/// One contact as the place sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactHere {
    /// Which.
    pub contact: EclipseContact,
    /// When.
    pub at: DateTime<Utc>,
    /// Of the Moon's centre, topocentric, without refraction.
    pub moon_altitude_deg: f64,
    /// From north through east.
    pub moon_azimuth_deg: f64,
    /// Whether the Moon's upper limb is above the almanac's horizon.
    pub is_up: bool,
}

/// One eclipse of the Moon.
#[derive(Debug, Clone, PartialEq)]
pub struct LunarEclipse {
    /// How deep.
    pub kind: LunarEclipseKind,
    /// How much of the Moon's diameter is in the umbra at the deepest; negative: it stays outside by so much.
    pub umbral_magnitude: f64,
    /// How much of it is in the penumbra.
    pub penumbral_magnitude: f64,
    /// Geocentric angular diameter of the Moon at the deepest.
    pub moon_diameter_deg: f64,
    /// In order; those that happen.
    pub contacts: Vec<ContactHere>,
}

impl LunarEclipse {
    /// That contact, if it happens.
    pub fn contact(&self, contact: EclipseContact) -> Option<&ContactHere> {
        self.contacts.iter().find(|here| here.contact == contact)
    }
}

fn shadow_at(tt_days: f64) -> EarthShadow {
    EarthShadow::at(tt_days).expect("happenings are looked for inside the ephemeris only")
}

/// The deepest moment lies so near to full Moon by longitude: the Moon needs no longer from abreast of the
/// shadow's axis to nearest to it.
const GREATEST_WITHIN_DAYS: f64 = 0.2;

/// No eclipse lasts longer from its deepest moment to either end: six hours and a quarter in all.
const HALF_DAYS: f64 = 0.2;

/// A hundred minutes: the Moon stays longer than this inside any shadow or grazes it near the middle.
const CONTACT_STEP_DAYS: f64 = HALF_DAYS / 3.0;

/// The eclipse about a full Moon, if there is one: days of TT since J2000.0 of its deepest moment, and what it is.
pub fn eclipse_at_full_moon(full_tt_days: f64, place: &Place) -> Option<(f64, LunarEclipse)> {
    let about = |middle: f64, half: f64| Span {
        from_tt_days: middle - half,
        until_tt_days: middle + half,
    };
    let search = search_over(
        about(full_tt_days, GREATEST_WITHIN_DAYS),
        GREATEST_WITHIN_DAYS,
    );
    let from_axis = |tt_days: f64| shadow_at(tt_days).from_axis_rad;
    let greatest = minima(search, from_axis).first()?.at;
    let deepest = shadow_at(greatest);
    let penumbral_magnitude = deepest.magnitude(deepest.penumbra_radius_rad);
    if penumbral_magnitude <= 0.0 {
        return None;
    }
    let umbral_magnitude = deepest.umbral_magnitude();
    let span = about(greatest, HALF_DAYS);
    let almanac = Almanac::of(&[Body::Moon], *place, span)?;
    let here = |(contact, tt_days)| contact_here(&almanac, contact, tt_days);
    let eclipse = LunarEclipse {
        kind: match umbral_magnitude {
            m if m >= 1.0 => LunarEclipseKind::Total,
            m if m > 0.0 => LunarEclipseKind::Partial,
            _ => LunarEclipseKind::Penumbral,
        },
        umbral_magnitude,
        penumbral_magnitude,
        moon_diameter_deg: 2.0 * deepest.moon_radius_rad.to_degrees(),
        contacts: contacts(span, greatest).into_iter().map(here).collect(),
    };
    Some((greatest, eclipse))
}

/// In order of time.
fn contacts(span: Span, greatest: f64) -> Vec<(EclipseContact, f64)> {
    let mut all = vec![(EclipseContact::Greatest, greatest)];
    let mut touches =
        |into: EclipseContact, out: EclipseContact, depth: &dyn Fn(&EarthShadow) -> f64| {
            let search = search_over(span, CONTACT_STEP_DAYS);
            for crossing in crossings(search, |tt_days| depth(&shadow_at(tt_days))) {
                let contact = if crossing.rising { into } else { out };
                all.push((contact, crossing.at));
            }
        };
    touches(EclipseContact::P1, EclipseContact::P4, &|s| {
        s.penumbra_radius_rad + s.moon_radius_rad - s.from_axis_rad
    });
    touches(EclipseContact::U1, EclipseContact::U4, &|s| {
        s.umbra_radius_rad + s.moon_radius_rad - s.from_axis_rad
    });
    touches(EclipseContact::U2, EclipseContact::U3, &|s| {
        s.umbra_radius_rad - s.moon_radius_rad - s.from_axis_rad
    });
    all.sort_by_key(|(contact, _)| *contact);
    all
}

fn contact_here(almanac: &Almanac, contact: EclipseContact, tt_days: f64) -> ContactHere {
    let at = almanac.horizontal(Body::Moon, tt_days);
    ContactHere {
        contact,
        at: utc(tt_days),
        moon_altitude_deg: at.altitude_deg,
        moon_azimuth_deg: at.azimuth_deg,
        is_up: almanac.is_up(Body::Moon, tt_days),
    }
}
