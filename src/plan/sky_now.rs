//! Where everything stands at one instant, for the command `sky`.

use chrono::{DateTime, Utc};

use crate::plan::refusal::NoNight;
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::moons::view::{SatelliteView, satellite_views};
use crate::sky::time::tt_days;
use crate::sky::{Appearance, Body};

/// All bodies from one place at one instant.
#[derive(Debug, Clone, PartialEq)]
pub struct SkyNow {
    /// The instant.
    pub at: DateTime<Utc>,
    /// In the order of [`Body::ALL`].
    pub bodies: Vec<Appearance>,
    /// Moons of Jupiter and Saturn about their planets.
    pub satellites: Vec<SatelliteView>,
}

/// Where all bodies stand; refused outside the ephemeris, 1950-2100.
///
/// ```
/// use skyworthy::plan::sky_now::sky_now;
/// use skyworthy::sky::earth::Place;
///
/// let sky = sky_now(Place::new(43.2, -2.9, 40.0), "2026-12-01T20:00:00Z".parse()?)?;
/// let up = sky.bodies.iter().filter(|seen| 0.0 < seen.place.altitude_deg);
/// assert!(0 < up.count());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn sky_now(place: Place, at: DateTime<Utc>) -> Result<SkyNow, NoNight> {
    stand(place, at).ok_or(NoNight::OutsideEphemeris)
}

fn stand(place: Place, at: DateTime<Utc>) -> Option<SkyNow> {
    let scene = Scene::new(place, at)?;
    let bodies = Body::ALL
        .into_iter()
        .map(|body| scene.appearance(body))
        .collect::<Option<_>>()?;
    Some(SkyNow {
        at,
        bodies,
        satellites: satellite_views(tt_days(at))?,
    })
}
