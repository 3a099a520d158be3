//! One thing that happens: when, and what.

use chrono::{DateTime, Utc};

use crate::sky::happenings::lunar_eclipse::LunarEclipse;
use crate::sky::happenings::pairings::Pairing;
use crate::sky::happenings::phases::MoonPhase;
use crate::sky::happenings::planets::{
    GreatestElongation, NearestToEarth, StationaryPoint, SunMeeting,
};
use crate::sky::happenings::ring_plane::RingPlaneCrossing;
use crate::sky::happenings::solar_eclipse::SolarEclipse;
use crate::sky::occultations::Occultation;

/// One thing that happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Happening {
    /// When, for the Earth's centre; of an eclipse its deepest moment; of an occultation its beginning at the place.
    pub at: DateTime<Utc>,
    /// What.
    pub what: What,
}

/// What happens.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A phase of the Moon.
    Phase(MoonPhase),
    /// An opposition or conjunction.
    Meeting(SunMeeting),
    /// Mercury or Venus farthest from the Sun in the sky.
    Elongation(GreatestElongation),
    /// A planet nearest to the Earth.
    Nearest(NearestToEarth),
    /// A planet standing still.
    Station(StationaryPoint),
    /// Two bodies close together.
    Pairing(Pairing),
    /// The Moon in the Earth's shadow.
    LunarEclipse(LunarEclipse),
    /// The Sun behind the Moon: a caution.
    SolarEclipse(SolarEclipse),
    /// Saturn's ring edge on.
    RingPlane(RingPlaneCrossing),
    /// A star or planet behind the Moon, as the place sees it; by day too.
    Occultation(Occultation),
}
