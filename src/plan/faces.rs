//! What the face of a body has tonight that a list of details does not say: where the Sun is low on the Moon
//! and for how long, what its tilt brings to view, what Mars is about to turn to us, where Saturn's shadow falls.

use crate::sky::ring_light::{GlobeShadow, ring_light};
use crate::sky::terminator::{Selenographic, sun_altitude_deg};
use crate::sky::{Appearance, Body};
use crate::targets::faces::{
    AtTerminator, MarsMarking, NearLimb, at_terminator, mars_markings, near_limb,
};

/// By body.
#[derive(Debug, Clone, PartialEq)]
pub enum FaceTonight {
    /// Nothing more to say.
    Plain,
    /// The Moon.
    Moon {
        /// Details in the low light they need, the lowest Sun first.
        terminator: Vec<AtTerminator>,
        /// Details near the edge that the Sun shines on, best tilted toward us first.
        near_limb: Vec<NearLimb>,
    },
    /// Mars: dark markings that face us, the most central first.
    Mars(Vec<MarsMarking>),
    /// Saturn: the globe's shadow on the bright ring, where it shows.
    Saturn(Option<GlobeShadow>),
}

/// Where ring B is brightest, in equatorial radii of the globe: its outer half.
const BRIGHT_RING_RADII: f64 = 1.9;

/// Of a body as it looks at an instant, days of TT since J2000.0.
pub(super) fn face_tonight(seen: &Appearance, tt_days: f64) -> FaceTonight {
    match seen.body {
        Body::Moon => FaceTonight::Moon {
            terminator: at_terminator(tt_days).unwrap_or_default(),
            near_limb: (near_limb(seen).into_iter())
                .filter(|place| is_lit(place, tt_days))
                .collect(),
        },
        Body::Mars => FaceTonight::Mars(mars_markings(seen)),
        Body::Saturn => {
            let light = ring_light(tt_days);
            FaceTonight::Saturn(light.and_then(|light| light.globe_shadow(BRIGHT_RING_RADII)))
        }
        _ => FaceTonight::Plain,
    }
}

fn is_lit(place: &NearLimb, tt_days: f64) -> bool {
    let there = place.detail.longitude_deg.zip(place.detail.latitude_deg);
    there.is_some_and(|(longitude_deg, latitude_deg)| {
        let place = Selenographic {
            longitude_deg,
            latitude_deg,
        };
        sun_altitude_deg(&place, tt_days).is_some_and(|altitude_deg| 0.0 < altitude_deg)
    })
}
