//! The smallest thing that shows on Moon or planet: the answer to "can we see the flag?".
//!
//! The same chain as for every detail, run on an invented one: a black spot on the lit globe, or a crater of the Moon
//! that the low Sun has half filled with shadow.

use crate::optics::instrument::Instrument;
use crate::sky::{Appearance, Body};
use crate::targets::details::Shape;
use crate::targets::grade::Grade;
use crate::targets::look::Look;
use crate::targets::luminance;
use crate::targets::moon::CRATER_SHADOW_SHARE;
use crate::targets::pattern::{arcsec_of_km, spot};
use crate::targets::sight::Today;
use crate::targets::typical::TypicalAir;

/// How high the Sun stands over the crater, degrees: shadows fill about half of the floor of a usual one, a fifth as
/// deep as wide. From memory.
const SUN_OVER_CRATER_DEG: f64 = 10.0;

/// Nothing smaller is tried, km: the flags of the Moon are a thousand times smaller still.
const SMALLEST_TRIED_KM: f64 = 0.1;

/// Each halves the doubt: twelve leave less than one in a hundred.
const HALVINGS: usize = 12;

/// Diameter of the smallest black spot on the body's middle that shows to most people with a quiet minute in the site's
/// typical air ([`Grade::Patient`]), km; of the Moon rim to rim of the smallest crater near the line of shadow.
///
/// A bound for whoever asks for people, flags or cars. Lines and rows of hills show when they are narrower than that.
/// `None` for what has no disc, and where nothing smaller than half of it shows.
pub fn smallest_km(instrument: &Instrument, look: &Look) -> Option<f64> {
    let seen = look.appearance?;
    let air = TypicalAir::new(instrument, look);
    let shows = |across_km: f64| Grade::Patient <= air.grade(&thing(seen, across_km));
    let half_of_it_km = seen.body.equatorial_radius_km();
    if !shows(half_of_it_km) {
        return None;
    }
    let (mut small_km, mut large_km) = (SMALLEST_TRIED_KM, half_of_it_km);
    for _ in 0..HALVINGS {
        let middle_km = (small_km * large_km).sqrt();
        match shows(middle_km) {
            true => large_km = middle_km,
            false => small_km = middle_km,
        }
    }
    Some(large_km)
}

fn thing(seen: &Appearance, across_km: f64) -> Today {
    const BLACK: f64 = -1.0;
    let (share, luminance_cd_m2) = match seen.body {
        Body::Moon => {
            let sun_cosine = SUN_OVER_CRATER_DEG.to_radians().sin();
            let ground_cd_m2 = luminance::moon_ground_cd_m2(seen, sun_cosine, 1.0);
            (CRATER_SHADOW_SHARE, ground_cd_m2)
        }
        Body::Saturn => (1.0, luminance::saturn_cd_m2(Shape::Patch)),
        _ => (1.0, luminance::lit_disc_cd_m2(seen)),
    };
    Today {
        sight: spot(arcsec_of_km(share * across_km, seen), BLACK),
        luminance_cd_m2,
        sun_altitude_deg: None,
        recognition: 1.0,
    }
}
