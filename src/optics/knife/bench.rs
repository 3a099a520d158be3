//! The readings laid out on the mirror: which radius each belongs to, and what slope it stands for.

use crate::linear::dot;
use crate::optics::evidence::disc::Disc;
use crate::optics::evidence::ensemble::sphere_nm;
use crate::optics::knife::geometry::{
    Lamp, Spot, ideal_reading_mm, normal_per_knife, reading_radius_mm,
};
use crate::optics::knife::repeats::mean;
use crate::optics::knife::spline::Measured;
use crate::optics::knife::{Mirror, Unreadable};
use crate::units::{MM_PER_M, NM_PER_MM};
use crate::workshop::{KnifeEdge, KnifeSource, ReadingAt, Zone};

/// The readings laid out on the mirror.
pub(super) struct Bench {
    pub(super) mirror: Mirror,
    pub(super) source: KnifeSource,
    pub(super) zones: Vec<Zone>,
    pub(super) radii_mm: Vec<f64>,
    pub(super) readings_mm: Vec<f64>,
    pub(super) disc: Disc,
    pub(super) measured: Measured,
}

impl Bench {
    pub(super) fn of(readings: &KnifeEdge, mirror: Mirror) -> Result<Bench, Unreadable> {
        let bench = Bench::laid_out(readings, mirror)?;
        bench.check_scale()?;
        Ok(bench)
    }

    /// Whatever the scale of the readings.
    pub(super) fn laid_out(readings: &KnifeEdge, mirror: Mirror) -> Result<Bench, Unreadable> {
        check_zones(readings, mirror)?;
        let zones = readings.zones.clone();
        let rim_mm = mirror.aperture_mm / 2.0;
        let radii_mm: Vec<f64> = zones
            .iter()
            .map(|zone| reading_radius_mm(readings.reading_at, zone.inner_mm, zone.outer_mm))
            .collect();
        let readings_mm: Vec<f64> = zones
            .iter()
            .map(|zone| mean(zone.readings_mm.iter().copied()))
            .collect();
        let disc = Disc::of(&mirror);
        let seen = |(zone, radius_mm): (&Zone, &f64)| match readings.reading_at {
            ReadingAt::Window => disc.mean_between(zone.inner_mm / rim_mm, zone.outer_mm / rim_mm),
            ReadingAt::Middle => disc.mean_between(radius_mm / rim_mm, radius_mm / rim_mm),
        };
        let per_knife_mm = nm_per_knife_mm(readings.source, &mirror);
        let measured = Measured {
            rows: zones.iter().zip(&radii_mm).map(seen).collect(),
            steepness_nm: steepness_nm(readings.source, mirror, &radii_mm, &readings_mm),
            nm_per_mm: zones
                .iter()
                .map(|zone| per_knife_mm / (zone.readings_mm.len() as f64).sqrt())
                .collect(),
            apart: None,
        };
        Ok(Bench {
            mirror,
            source: readings.source,
            zones,
            radii_mm,
            readings_mm,
            disc,
            measured,
        })
    }

    /// Stretches of the open mirror that no window shows, from the middle outward, mm.
    pub(super) fn unread_mm(&self) -> Vec<(f64, f64)> {
        let shadow_mm = self.mirror.obstruction * self.disc.rim_mm;
        let ends = self.zones.iter().map(|zone| zone.outer_mm);
        let begins = self.zones.iter().map(|zone| zone.inner_mm);
        let between = std::iter::once(0.0)
            .chain(ends)
            .zip(begins.chain([self.disc.rim_mm]));
        between
            .map(|(from_mm, to_mm)| (from_mm.max(shadow_mm), to_mm))
            .filter(|(from_mm, to_mm)| from_mm < to_mm)
            .collect()
    }

    /// Of the open area, what lies outside every window.
    pub(super) fn unread_area_share(&self) -> f64 {
        let ring = |inner: f64, outer: f64| outer * outer - inner * inner;
        let unread: f64 = (self.unread_mm().into_iter())
            .map(|(from_mm, to_mm)| ring(from_mm, to_mm))
            .sum();
        let rim_mm = self.disc.rim_mm;
        unread / ring(self.mirror.obstruction * rim_mm, rim_mm)
    }

    /// Those between windows, and inside the first: shares of the radius.
    pub(super) fn gaps(&self) -> Vec<(f64, f64)> {
        let rim_mm = self.disc.rim_mm;
        (self.unread_mm().into_iter())
            .filter(|(_, to_mm)| *to_mm < rim_mm)
            .map(|(from_mm, to_mm)| (from_mm / rim_mm, to_mm / rim_mm))
            .filter(|(from, to)| NARROW_GAP < to - from)
            .collect()
    }

    /// Wavefront of a sphere of this size at best focus, nm RMS.
    pub(super) fn sphere_rms_nm(&self) -> f64 {
        sphere_nm(&self.mirror).abs() / (6.0 * 5f64.sqrt())
    }

    fn ideals_mm(&self) -> Vec<f64> {
        let radius_mm = self.mirror.radius_of_curvature_mm;
        let ideal = |r: &f64| ideal_reading_mm(self.source, *r, radius_mm);
        self.radii_mm.iter().map(ideal).collect()
    }

    pub(super) fn zone_x(&self) -> Vec<f64> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        self.radii_mm.iter().map(|r| (r / rim_mm).powi(2)).collect()
    }

    /// Slope of a straight line through readings over ideal readings.
    pub(super) fn correction_ratio(&self) -> f64 {
        let ideals_mm = self.ideals_mm();
        let middle_mm = mean(ideals_mm.iter().copied());
        let lever: Vec<f64> = ideals_mm.iter().map(|ideal| ideal - middle_mm).collect();
        dot(&lever, &self.readings_mm) / dot(&lever, &lever)
    }

    pub(super) fn ideal_span_mm(&self) -> f64 {
        let ideals_mm = self.ideals_mm();
        ideals_mm[ideals_mm.len() - 1] - ideals_mm[0]
    }

    fn check_scale(&self) -> Result<(), Unreadable> {
        let all = || self.zones.iter().flat_map(|zone| &zone.readings_mm);
        let highest = all().copied().fold(f64::MIN, f64::max);
        let lowest = all().copied().fold(f64::MAX, f64::min);
        let span_mm = highest - lowest;
        let ideal_mm = self.ideal_span_mm();
        let in_metres = MM_PER_M * self.correction_ratio();
        if 0.0 < span_mm
            && span_mm < FINEST_SCALE_MM
            && ideal_mm > PLAIN_MM
            && PLAUSIBLE.0 < in_metres
            && in_metres < PLAUSIBLE.1
        {
            return Err(Unreadable::InMetres { span_mm });
        }
        if span_mm > PLAUSIBLE.1 * ideal_mm + PLAIN_MM {
            return Err(Unreadable::OutOfScale {
                span_mm,
                ideal_mm,
                suspected: None,
            });
        }
        Ok(())
    }

    /// The readings of a mirror without error would scatter that much one time in twenty, or more
    /// often: chi square about their mean, with the limit by Wilson & Hilferty 1931.
    pub(super) fn could_be_perfect(&self, reading_error_mm: f64) -> bool {
        let Measured {
            steepness_nm,
            nm_per_mm,
            ..
        } = &self.measured;
        let weights: Vec<f64> = nm_per_mm
            .iter()
            .map(|per_mm| (per_mm * reading_error_mm).powi(-2))
            .collect();
        let level = dot(&weights, steepness_nm) / weights.iter().sum::<f64>();
        let squares: Vec<f64> = steepness_nm.iter().map(|s| (s - level).powi(2)).collect();
        let freedoms = steepness_nm.len() as f64 - 1.0;
        let spread = 2.0 / (9.0 * freedoms);
        let limit = freedoms * (1.0 - spread + ONE_IN_TWENTY * spread.sqrt()).powi(3);
        dot(&weights, &squares) <= limit
    }
}

/// Steepness for each mm of the knife.
pub(super) fn nm_per_knife_mm(source: KnifeSource, mirror: &Mirror) -> f64 {
    let rim_slope = mirror.aperture_mm / 2.0 / mirror.radius_of_curvature_mm;
    NM_PER_MM * normal_per_knife(source) * rim_slope.powi(2)
}

/// Readings turned into steepness by exact geometry. The zero of the readings is set so that on the
/// average they are a paraboloid's: what is left open by that is focus.
fn steepness_nm(
    source: KnifeSource,
    mirror: Mirror,
    radii_mm: &[f64],
    readings_mm: &[f64],
) -> Vec<f64> {
    let radius_mm = mirror.radius_of_curvature_mm;
    let ideals = radii_mm
        .iter()
        .map(|r| ideal_reading_mm(source, *r, radius_mm));
    let zero_mm = radius_mm + mean(ideals) - mean(readings_mm.iter().copied());
    let lamp = Lamp::of(source, radius_mm);
    let rim_squared_nm = (mirror.aperture_mm / 2.0).powi(2) * NM_PER_MM;
    let steepness = |(r, reading_mm): (&f64, &f64)| {
        let slope = lamp.slope(Spot::on_paraboloid(*r, radius_mm), zero_mm + reading_mm);
        (slope / r - 1.0 / radius_mm) * rim_squared_nm
    };
    radii_mm.iter().zip(readings_mm).map(steepness).collect()
}

fn check_zones(readings: &KnifeEdge, mirror: Mirror) -> Result<(), Unreadable> {
    let zones = &readings.zones;
    if zones.len() < 2 {
        return Err(Unreadable::TooFewZones(zones.len()));
    }
    let rim_mm = mirror.aperture_mm / 2.0 * (1.0 + ROUNDING);
    for (idx, zone) in zones.iter().enumerate() {
        let is_window =
            0.0 <= zone.inner_mm && zone.inner_mm < zone.outer_mm && zone.outer_mm <= rim_mm;
        let are_numbers = zone.readings_mm.iter().all(|reading| reading.is_finite());
        if !is_window || !are_numbers {
            return Err(Unreadable::NoSuchZone { zone: idx + 1 });
        }
        if zone.readings_mm.is_empty() {
            return Err(Unreadable::NoReading { zone: idx + 1 });
        }
        if idx > 0 && zone.inner_mm < zones[idx - 1].outer_mm {
            return Err(Unreadable::Overlap { zone: idx + 1 });
        }
    }
    Ok(())
}

/// Standard deviations that a normal deviate stays below 19 times in 20.
const ONE_IN_TWENTY: f64 = 1.645;

/// Corrections that mirrors have on their way to the paraboloid.
const PLAUSIBLE: (f64, f64) = (0.2, 3.0);

/// Less than any scale on a tester shows, mm.
const FINEST_SCALE_MM: f64 = 0.0099;

/// A correction that nobody takes for a slip, mm.
const PLAIN_MM: f64 = 0.3;

const ROUNDING: f64 = 1e-9;

/// Of the radius: the frame of a window.
const NARROW_GAP: f64 = 0.02;
