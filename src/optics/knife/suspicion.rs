//! Looks for what may be wrong with readings that can be used.

use crate::optics::knife::bench::Bench;
use crate::optics::knife::judge::{is_turned_down, reduced_as_is};
use crate::optics::knife::repeats::mean;
use crate::optics::knife::tolerance::reading_tolerance_mm;
use crate::optics::knife::{
    CrossCheck, Doubt, LoneReading, Mirror, ReadingErrorFrom, Reduction, Suspected, Unreadable,
    slip,
};
use crate::workshop::{KnifeEdge, MirrorEdge, StarTest};

impl Bench {
    /// The weightiest first.
    pub(super) fn raise_doubts(
        &self,
        readings: &KnifeEdge,
        (star, rings_likely): (Option<StarTest>, f64),
        reduction: &mut Reduction,
    ) {
        // What was found on the way comes after a slip.
        let found = std::mem::take(&mut reduction.doubts);
        let mut doubts = Vec::new();
        doubts.extend(suspected(readings, self.mirror).map(Doubt::Slip));
        doubts.extend(self.doubt_of_scatter(reduction));
        doubts.extend(found);
        doubts.extend(self.doubt_of_extent(reduction));
        doubts.extend(self.doubts_of_edge(readings.edge, reduction));
        doubts.extend(star.and_then(Doubt::of_star));
        if self.zones.len() == 2 {
            doubts.push(Doubt::TwoZones);
        } else if rings_likely > ALL_BUT_CERTAIN {
            doubts.push(Doubt::Rings);
        }
        // Plainer ways know nothing of an edge that was seen.
        if !matches!(readings.edge, MirrorEdge::Turned(_)) {
            doubts.extend(held_by_wider_intervals(reduction));
        }
        reduction.doubts = doubts;
    }

    fn doubt_of_extent(&self, reduction: &Reduction) -> Option<Doubt> {
        let share = reduction.evidence.unread_area_share;
        let last_mm = self.zones[self.zones.len() - 1].outer_mm;
        let rim_mm = self.disc.rim_mm;
        (share > SLIGHTLY_UNREAD).then_some(Doubt::Unread {
            share,
            from_mm: (last_mm < rim_mm * (1.0 - NARROW_RIM)).then_some(last_mm),
        })
    }

    fn doubts_of_edge(&self, edge: MirrorEdge, reduction: &Reduction) -> Vec<Doubt> {
        let rim_nm = reduction.evidence.rim_nm;
        let last_mm = self.zones[self.zones.len() - 1].inner_mm;
        let hidden_share = 1.0 - last_mm / self.disc.rim_mm;
        let is_read = is_turned_down(&rim_nm) && !matches!(edge, MirrorEdge::Turned(_));
        if is_read {
            return vec![Doubt::EdgeRead {
                rim_nm,
                was_called_sound: edge == MirrorEdge::Sound,
            }];
        }
        match edge {
            MirrorEdge::Turned(turned) => vec![Doubt::EdgeTurned(turned)],
            MirrorEdge::NotLooked if hidden_share > WIDEST_OPEN_EDGE => {
                vec![Doubt::EdgeNotLookedAt { hidden_share }]
            }
            _ => Vec::new(),
        }
    }

    fn doubt_of_scatter(&self, reduction: &Reduction) -> Option<Doubt> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        let tolerance_mm = reading_tolerance_mm(&self.mirror, self.source, rim_mm);
        let reading_error_mm = reduction.reading_error_mm;
        let is_measured = reduction.reading_error_from == ReadingErrorFrom::Repeats;
        (is_measured && reading_error_mm > tolerance_mm).then_some(Doubt::TooScattered {
            reading_error_mm,
            tolerance_mm,
            farthest: self.farthest_from_its_zone(),
        })
    }

    /// The one reading that is farthest from the others of its zone.
    fn farthest_from_its_zone(&self) -> LoneReading {
        let each = self.zones.iter().enumerate().flat_map(|(zone_idx, zone)| {
            let readings_mm = &zone.readings_mm;
            readings_mm
                .iter()
                .enumerate()
                .map(move |(idx, reading_mm)| {
                    let others = readings_mm
                        .iter()
                        .enumerate()
                        .filter(move |(other, _)| *other != idx);
                    let off_mm = match readings_mm.len() {
                        1 => 0.0,
                        _ => reading_mm - mean(others.map(|(_, mm)| *mm)),
                    };
                    LoneReading {
                        zone: zone_idx + 1,
                        reading: idx + 1,
                        reading_mm: *reading_mm,
                        off_mm,
                    }
                })
        });
        each.max_by(|a, b| a.off_mm.abs().total_cmp(&b.off_mm.abs()))
            .expect("every zone has a reading")
    }
}

/// The likeliest slip, and what the mirror is without it.
pub(super) fn suspected(readings: &KnifeEdge, mirror: Mirror) -> Option<Suspected> {
    let (slip, readings, mirror) = slip::likeliest(readings, mirror)?;
    let without = reduced_as_is(&readings, mirror).ok()?;
    Some(Suspected {
        slip,
        correction: without.correction.value,
        strehl: without.strehl.value,
    })
}

impl Unreadable {
    /// What no mirror reads may be a slip.
    pub(super) fn with_slip(self, readings: &KnifeEdge, mirror: Mirror) -> Unreadable {
        match self {
            Unreadable::OutOfScale {
                span_mm, ideal_mm, ..
            } => Unreadable::OutOfScale {
                span_mm,
                ideal_mm,
                suspected: suspected(readings, mirror),
            },
            other => other,
        }
    }
}

/// Widens the intervals to hold the cross-checks, and says so.
fn held_by_wider_intervals(reduction: &mut Reduction) -> Option<Doubt> {
    let checks = [reduction.by_straight_lines, reduction.by_polynomial];
    let is_inside = |check: &CrossCheck| {
        let rms = reduction.evidence.wavefront_rms_nm;
        rms.low <= check.wavefront_rms_nm && check.wavefront_rms_nm <= rms.high
    };
    if checks.iter().all(is_inside) {
        return None;
    }
    for check in checks {
        reduction
            .evidence
            .wavefront_pv_nm
            .hold(check.wavefront_pv_nm);
        reduction
            .evidence
            .wavefront_rms_nm
            .hold(check.wavefront_rms_nm);
        reduction.evidence.strehl.hold(check.strehl);
    }
    Some(Doubt::WaysDisagree {
        wavefront_rms_nm: [
            reduction.evidence.wavefront_rms_nm.value,
            checks[0].wavefront_rms_nm,
            checks[1].wavefront_rms_nm,
        ],
    })
}

/// Beyond this, departures from every conic are taken as seen.
const ALL_BUT_CERTAIN: f64 = 0.95;

/// A window narrower than that share of the radius leaves no room for a turned edge to hide.
const WIDEST_OPEN_EDGE: f64 = 0.03;

/// Of the open area: less is between windows for their frames' sake.
const SLIGHTLY_UNREAD: f64 = 0.02;

/// Of the radius.
const NARROW_RIM: f64 = 0.01;
