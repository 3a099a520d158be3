//! What happens to a moon of Jupiter, in words.

use crate::sky::satellite_events::{Phase, SatelliteEvent, SatelliteEventKind};

/// `Io's shadow comes on`
pub fn words(event: &SatelliteEvent) -> String {
    let name = event.satellite.name();
    let words = match (event.kind, event.phase) {
        (SatelliteEventKind::Transit, Phase::Start) => format!("{name} moves before the disc"),
        (SatelliteEventKind::Transit, Phase::End) => format!("{name} leaves the disc"),
        (SatelliteEventKind::Shadow, Phase::Start) => format!("{name}'s shadow comes on"),
        (SatelliteEventKind::Shadow, Phase::End) => format!("{name}'s shadow leaves"),
        (SatelliteEventKind::Occultation, Phase::Start) => format!("{name} goes behind the planet"),
        (SatelliteEventKind::Occultation, Phase::End) => format!("{name} comes out from behind it"),
        (SatelliteEventKind::Eclipse, Phase::Start) => format!("{name} fades into the shadow"),
        (SatelliteEventKind::Eclipse, Phase::End) => format!("{name} lights up out of the shadow"),
    };
    if event.grazing {
        words + " (a graze: give or take minutes)"
    } else {
        words
    }
}
