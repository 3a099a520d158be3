//! Height of the glass from the middle to the rim: what was read of it, and what would come off.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence;
use crate::optics::evidence::Interval;
use crate::optics::knife::{Doubt, ZoneOutcome};
use crate::plan::mirror::Judged;

/// Height of the glass from the middle to the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// From the middle outward.
    pub points: Vec<GlassPoint>,
    /// The points' low and high are an interval and not the height again.
    pub has_interval: bool,
    /// What a quarter of a wave on the wavefront leaves to the glass.
    pub corridor: Corridor,
    /// Radius of the diagonal's shadow, 0 without one.
    pub shadow_mm: f64,
    /// Radius of the mirror.
    pub rim_mm: f64,
    /// Of the mask, from the middle outward; empty where none was used.
    pub windows: Vec<DrawnWindow>,
    /// Stretches of the radius that no window shows, from the middle outward.
    pub unread: Vec<RadiusStretch>,
    /// Of the open area, what nobody read, 0 to 1.
    pub unread_area_share: f64,
    /// What is known of the rim beside its place on the curve.
    pub edge: Option<KnownEdge>,
}

/// Two heights between which the glass may lie: as wide as the wavefront's quarter of a wave, halved by the mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corridor {
    /// From the lower height to the higher, nm.
    pub width_nm: f64,
    /// Midway between the highest and the lowest glass of the open mirror, nm.
    pub middle_nm: f64,
}

/// One radius of the glass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlassPoint {
    /// From the middle of the mirror.
    pub from_axis_mm: f64,
    /// Above the best paraboloid.
    pub surface_nm: f64,
    /// The truth is below this one time in twenty.
    pub surface_low_nm: f64,
    /// The truth is above this one time in twenty.
    pub surface_high_nm: f64,
}

/// One window of the mask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnWindow {
    /// Where it is.
    pub stretch: RadiusStretch,
    /// Glass above the best of the paraboloids that need none added, nm; 0 where every window is within what is allowed.
    pub remove_nm: f64,
}

/// From one radius to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadiusStretch {
    /// From the middle of the mirror.
    pub from_mm: f64,
    /// From the middle of the mirror.
    pub to_mm: f64,
}

/// What is known of the rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KnownEdge {
    /// From here on a turned edge would not show in the readings, and nobody looked.
    NotLookedAt {
        /// From the middle of the mirror.
        from_mm: f64,
    },
    /// The maker saw it turned.
    Declared {
        /// How far in, where that was measured.
        width_mm: Option<f64>,
    },
    /// The readings show it turned.
    Read {
        /// Height of the glass at the rim over where the mirror inside would have gone on, nm; negative.
        rim_nm: Interval,
    },
}

pub(super) fn profile(judged: &Judged) -> Option<Profile> {
    let instrument = &judged.instrument;
    let rim_mm = instrument.aperture_mm / 2.0;
    let shadow_mm = instrument.obstruction * rim_mm;
    let points = points(judged)?;
    let zones = zones(judged);
    Some(Profile {
        corridor: corridor(&points, shadow_mm),
        points,
        has_interval: instrument.found.evidence().is_some(),
        shadow_mm,
        rim_mm,
        windows: zones.iter().map(|zone| window(judged, zone)).collect(),
        unread: unread(judged),
        unread_area_share: (instrument.found.evidence())
            .map_or(0.0, |evidence| evidence.unread_area_share),
        edge: edge(judged),
    })
}

fn points(judged: &Judged) -> Option<Vec<GlassPoint>> {
    let instrument = &judged.instrument;
    let rim_mm = instrument.aperture_mm / 2.0;
    match instrument.found.evidence() {
        Some(evidence) => {
            // A path too long is glass too low, by half.
            let surface_nm = |wavefront_nm: f64| -wavefront_nm / 2.0;
            let point = |point: &evidence::ProfilePoint| GlassPoint {
                from_axis_mm: point.radius_fraction * rim_mm,
                surface_nm: surface_nm(point.wavefront_nm),
                surface_low_nm: surface_nm(point.wavefront_high_nm),
                surface_high_nm: surface_nm(point.wavefront_low_nm),
            };
            Some(evidence.profile.iter().map(point).collect())
        }
        None if instrument.wavefront.is_symmetric() => {
            let point = |(share, surface_nm): (f64, f64)| GlassPoint {
                from_axis_mm: share * rim_mm,
                surface_nm,
                surface_low_nm: surface_nm,
                surface_high_nm: surface_nm,
            };
            Some(judged.departures_nm().into_iter().map(point).collect())
        }
        None => None,
    }
}

fn corridor(points: &[GlassPoint], shadow_mm: f64) -> Corridor {
    let open = points
        .iter()
        .filter(|point| shadow_mm <= point.from_axis_mm);
    let (low, high) = open.fold((f64::MAX, f64::MIN), |(low, high), point| {
        (low.min(point.surface_nm), high.max(point.surface_nm))
    });
    Corridor {
        // A quarter of a wave from peak to valley on the wavefront is an eighth on the glass.
        width_nm: REFERENCE_WAVELENGTH_NM / 8.0,
        middle_nm: (low + high) / 2.0,
    }
}

fn zones(judged: &Judged) -> &[ZoneOutcome] {
    let reduction = judged.instrument.found.reduction();
    reduction.map_or(&[], |reduction| &reduction.zones[..])
}

fn window(judged: &Judged, zone: &ZoneOutcome) -> DrawnWindow {
    DrawnWindow {
        stretch: RadiusStretch {
            from_mm: zone.inner_mm,
            to_mm: zone.outer_mm,
        },
        remove_nm: match judged.is_within_tolerance() {
            true => 0.0,
            false => zone.remove_nm,
        },
    }
}

/// What no window shows, where it is wide enough for a mark.
fn unread(judged: &Judged) -> Vec<RadiusStretch> {
    let Some(reduction) = judged.instrument.found.reduction() else {
        return Vec::new();
    };
    let rim_mm = judged.instrument.aperture_mm / 2.0;
    (reduction.unread_mm.iter())
        .filter(|(from_mm, to_mm)| NARROWEST_GAP * rim_mm < to_mm - from_mm)
        .map(|&(from_mm, to_mm)| RadiusStretch { from_mm, to_mm })
        .collect()
}

fn edge(judged: &Judged) -> Option<KnownEdge> {
    let last = zones(judged).last();
    judged.doubts().iter().find_map(|doubt| match doubt {
        Doubt::EdgeRead { rim_nm, .. } => Some(KnownEdge::Read { rim_nm: *rim_nm }),
        Doubt::EdgeTurned(turned) => Some(KnownEdge::Declared {
            width_mm: turned.width_mm,
        }),
        Doubt::EdgeNotLookedAt { .. } => Some(KnownEdge::NotLookedAt {
            from_mm: last?.inner_mm,
        }),
        _ => None,
    })
}

/// Of the radius: the bars of a mask are no gap worth a mark.
const NARROWEST_GAP: f64 = 0.01;
