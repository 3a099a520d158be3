//! The steps from readings to figures, in order.

use crate::optics::knife::CrossCheck;
use crate::optics::knife::Doubt;
use crate::optics::knife::Interval;
use crate::optics::knife::Mirror;
use crate::optics::knife::ProfilePoint;
use crate::optics::knife::ReadingErrorFrom;
use crate::optics::knife::Reduction;
use crate::optics::knife::Unreadable;
use crate::optics::knife::ZoneOutcome;
use crate::optics::knife::cross_check::by_polynomial;
use crate::optics::knife::cross_check::by_straight_lines;
use crate::optics::knife::disc::Disc;
use crate::optics::knife::disc::Figures;
use crate::optics::knife::geometry::Lamp;
use crate::optics::knife::geometry::Spot;
use crate::optics::knife::geometry::ideal_reading_mm;
use crate::optics::knife::geometry::normal_per_knife;
use crate::optics::knife::geometry::reading_radius_mm;
use crate::optics::knife::linear::dot;
use crate::optics::knife::repeats::mean;
use crate::optics::knife::repeats::reading_errors;
use crate::optics::knife::spline::Measured;
use crate::optics::knife::spline::Posterior;

use crate::optics::knife::spline::posterior;
use crate::optics::knife::tolerance::best_offset;
use crate::optics::knife::tolerance::reading_tolerance_mm;
use crate::workshop::Edge;
use crate::workshop::KnifeEdge;
use crate::workshop::KnifeSource;
use crate::workshop::ReadingAt;
use crate::workshop::Zone;

pub(super) fn reduce(readings: &KnifeEdge, mirror: Mirror) -> Result<Reduction, Unreadable> {
    let bench = Bench::of(readings, mirror)?;
    let (errors, reading_error_from) = reading_errors(readings);
    let posterior = posterior(&bench.disc, &bench.measured, &errors);
    let wavefronts = Wavefronts::of(&bench.disc, &posterior);
    let zones = bench.zone_outcomes(&wavefronts);
    let of_rings = |steepness_nm: &[f64]| -> Figures {
        let path_nm = bench.disc.wavefront_nm(steepness_nm);
        bench.disc.figures(&bench.disc.refocused(&path_nm))
    };
    let cross_check = |way: fn(&Disc, &[f64], &[f64]) -> Vec<f64>| {
        let steepness_nm = way(&bench.disc, &bench.zone_x(), &bench.measured.steepness_nm);
        CrossCheck::from(of_rings(&steepness_nm))
    };
    let mut reduction = Reduction {
        profile: wavefronts.profile(&bench.disc),
        wavefront_pv_nm: wavefronts.interval(|figures| figures.wavefront_pv_nm),
        wavefront_rms_nm: wavefronts.interval(|figures| figures.wavefront_rms_nm),
        strehl: wavefronts.interval(|figures| figures.strehl),
        worst_zone_idx: worst_zone_idx(&zones),
        zones,
        correction_ratio: bench.correction_ratio(),
        reading_error_mm: posterior.reading_error_mm,
        reading_error_from,
        by_straight_lines: cross_check(by_straight_lines),
        by_polynomial: cross_check(by_polynomial),
        doubts: Vec::new(),
    };
    if bench.could_be_perfect(reduction.reading_error_mm) {
        reduction.reach_perfection();
    }
    bench.raise_doubts(readings, posterior.rings_likely, &mut reduction);
    Ok(reduction)
}

/// The readings laid out on the mirror.
struct Bench {
    mirror: Mirror,
    source: KnifeSource,
    zones: Vec<Zone>,
    radii_mm: Vec<f64>,
    readings_mm: Vec<f64>,
    disc: Disc,
    measured: Measured,
}

impl Bench {
    fn of(readings: &KnifeEdge, mirror: Mirror) -> Result<Bench, Unreadable> {
        check_zones(readings, mirror)?;
        let zones = readings.zones.clone();
        let rim_mm = mirror.aperture_mm / 2.0;
        let radius_mm = mirror.radius_of_curvature_mm;
        let radii_mm: Vec<f64> = zones
            .iter()
            .map(|zone| reading_radius_mm(readings.reading_at, zone.inner_mm, zone.outer_mm))
            .collect();
        let readings_mm: Vec<f64> = zones
            .iter()
            .map(|zone| mean(zone.readings_mm.iter().copied()))
            .collect();
        let disc = Disc::new(mirror.obstruction, rim_mm / radius_mm, mirror.wavelength_nm);
        let seen = |(zone, radius_mm): (&Zone, &f64)| match readings.reading_at {
            ReadingAt::Window => disc.mean_between(zone.inner_mm / rim_mm, zone.outer_mm / rim_mm),
            ReadingAt::Middle => disc.mean_between(radius_mm / rim_mm, radius_mm / rim_mm),
        };
        let per_knife = normal_per_knife(readings.source) * (rim_mm / radius_mm).powi(2);
        let measured = Measured {
            rows: zones.iter().zip(&radii_mm).map(seen).collect(),
            steepness_nm: steepness_nm(readings.source, mirror, &radii_mm, &readings_mm),
            nm_per_mm: zones
                .iter()
                .map(|zone| NM_PER_MM * per_knife / (zone.readings_mm.len() as f64).sqrt())
                .collect(),
        };
        let bench = Bench {
            mirror,
            source: readings.source,
            zones,
            radii_mm,
            readings_mm,
            disc,
            measured,
        };
        bench.check_scale()?;
        Ok(bench)
    }

    fn ideals_mm(&self) -> Vec<f64> {
        let radius_mm = self.mirror.radius_of_curvature_mm;
        let ideal = |r: &f64| ideal_reading_mm(self.source, *r, radius_mm);
        self.radii_mm.iter().map(ideal).collect()
    }

    fn zone_x(&self) -> Vec<f64> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        self.radii_mm.iter().map(|r| (r / rim_mm).powi(2)).collect()
    }

    /// Slope of a straight line through readings over ideal readings.
    fn correction_ratio(&self) -> f64 {
        let ideals_mm = self.ideals_mm();
        let middle_mm = mean(ideals_mm.iter().copied());
        let lever: Vec<f64> = ideals_mm.iter().map(|ideal| ideal - middle_mm).collect();
        dot(&lever, &self.readings_mm) / dot(&lever, &lever)
    }

    fn ideal_span_mm(&self) -> f64 {
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
            return Err(Unreadable::OutOfScale { span_mm, ideal_mm });
        }
        Ok(())
    }

    fn zone_outcomes(&self, wavefronts: &Wavefronts) -> Vec<ZoneOutcome> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        let offset_nm = best_offset(&self.radii_mm, &self.measured.steepness_nm);
        let per_knife = normal_per_knife(self.source)
            * (rim_mm / self.mirror.radius_of_curvature_mm).powi(2)
            * NM_PER_MM;
        let outcome = |(idx, zone): (usize, &Zone)| {
            let residual_mm = (offset_nm - self.measured.steepness_nm[idx]) / per_knife;
            let tolerance_mm = reading_tolerance_mm(&self.mirror, self.source, self.radii_mm[idx]);
            let window = self
                .disc
                .mean_between(zone.inner_mm / rim_mm, zone.outer_mm / rim_mm);
            ZoneOutcome {
                inner_mm: zone.inner_mm,
                outer_mm: zone.outer_mm,
                reading_radius_mm: self.radii_mm[idx],
                reading_mm: self.readings_mm[idx],
                ideal_mm: self.readings_mm[idx] - residual_mm,
                residual_mm,
                tolerance_mm,
                transverse_ratio: residual_mm.abs() / tolerance_mm,
                surface_nm: wavefronts.seen(|path_nm| -dot(&window, path_nm) / 2.0),
            }
        };
        self.zones.iter().enumerate().map(outcome).collect()
    }

    /// The readings of a mirror without error would scatter that much one time in twenty, or more
    /// often: chi square about their mean, with the limit by Wilson & Hilferty 1931.
    fn could_be_perfect(&self, reading_error_mm: f64) -> bool {
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

    fn raise_doubts(&self, readings: &KnifeEdge, rings_likely: f64, reduction: &mut Reduction) {
        let mut doubts = Vec::new();
        doubts.extend(self.doubt_of_edge(readings.edge));
        doubts.extend(self.doubt_of_lamp(reduction.reading_error_mm));
        doubts.extend(self.doubt_of_scatter(reduction));
        if self.zones.len() == 2 {
            doubts.push(Doubt::TwoZones);
        } else if rings_likely > ALL_BUT_CERTAIN {
            doubts.push(Doubt::Rings);
        }
        doubts.extend(held_by_wider_intervals(reduction));
        reduction.doubts = doubts;
    }

    fn doubt_of_edge(&self, edge: Edge) -> Option<Doubt> {
        let last_mm = self.zones[self.zones.len() - 1].inner_mm;
        let hidden_share = 1.0 - last_mm / (self.mirror.aperture_mm / 2.0);
        match edge {
            Edge::Turned => Some(Doubt::EdgeTurned),
            Edge::NotLooked if hidden_share > WIDEST_OPEN_EDGE => {
                Some(Doubt::EdgeNotLookedAt { hidden_share })
            }
            _ => None,
        }
    }

    /// Only where the correction stands well above the reading error.
    fn doubt_of_lamp(&self, reading_error_mm: f64) -> Option<Doubt> {
        let correction_ratio = self.correction_ratio();
        if self.ideal_span_mm() < CLEAR_OF_ERROR * reading_error_mm {
            return None;
        }
        let other = match self.source {
            KnifeSource::Fixed => 0.5,
            KnifeSource::Moving => 2.0,
        };
        if (correction_ratio / other - 1.0).abs() < LAMP_RANGE {
            return Some(Doubt::OtherLamp { correction_ratio });
        }
        (correction_ratio < REVERSED).then_some(Doubt::ScaleReversed { correction_ratio })
    }

    fn doubt_of_scatter(&self, reduction: &Reduction) -> Option<Doubt> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        let tolerance_mm = reading_tolerance_mm(&self.mirror, self.source, rim_mm);
        let reading_error_mm = reduction.reading_error_mm;
        let is_measured = reduction.reading_error_from == ReadingErrorFrom::Repeats;
        (is_measured && reading_error_mm > tolerance_mm).then_some(Doubt::TooScattered {
            reading_error_mm,
            tolerance_mm,
        })
    }
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

/// All wavefronts that fit, refocused.
struct Wavefronts {
    mean_nm: Vec<f64>,
    draws_nm: Vec<Vec<f64>>,
    mean_figures: Figures,
    draw_figures: Vec<Figures>,
}

impl Wavefronts {
    fn of(disc: &Disc, posterior: &Posterior) -> Wavefronts {
        let refocused = |steepness: &Vec<f64>| disc.refocused(&disc.wavefront_nm(steepness));
        let mean_nm = refocused(&posterior.mean_nm);
        let draws_nm: Vec<Vec<f64>> = posterior.draws_nm.iter().map(refocused).collect();
        Wavefronts {
            mean_figures: disc.figures(&mean_nm),
            draw_figures: draws_nm.iter().map(|path| disc.figures(path)).collect(),
            mean_nm,
            draws_nm,
        }
    }

    fn interval(&self, figure: impl Fn(&Figures) -> f64) -> Interval {
        let draws = self.draw_figures.iter().map(&figure).collect();
        interval(figure(&self.mean_figures), draws)
    }

    fn seen(&self, figure: impl Fn(&[f64]) -> f64) -> Interval {
        let draws = self
            .draws_nm
            .iter()
            .map(|path_nm| figure(path_nm))
            .collect();
        interval(figure(&self.mean_nm), draws)
    }

    fn profile(&self, disc: &Disc) -> Vec<ProfilePoint> {
        (0..=PROFILE_STEPS)
            .map(|step| {
                let radius_fraction = step as f64 / PROFILE_STEPS as f64;
                let here = self.seen(|path_nm| disc.at(path_nm, radius_fraction));
                ProfilePoint {
                    radius_fraction,
                    wavefront_nm: here.value,
                    wavefront_low_nm: here.low,
                    wavefront_high_nm: here.high,
                }
            })
            .collect()
    }
}

/// From 5 to 95 % of the draws, and never without the value itself.
fn interval(value: f64, mut draws: Vec<f64>) -> Interval {
    draws.sort_by(f64::total_cmp);
    let at = |share: f64| draws[(share * (draws.len() - 1) as f64).round() as usize];
    Interval {
        value,
        low: at(0.05).min(value),
        high: at(0.95).max(value),
    }
}

/// Widens the intervals to hold the cross-checks, and says so.
fn held_by_wider_intervals(reduction: &mut Reduction) -> Option<Doubt> {
    let checks = [reduction.by_straight_lines, reduction.by_polynomial];
    let is_inside = |check: &CrossCheck| {
        let rms = reduction.wavefront_rms_nm;
        rms.low <= check.wavefront_rms_nm && check.wavefront_rms_nm <= rms.high
    };
    if checks.iter().all(is_inside) {
        return None;
    }
    for check in checks {
        reduction.wavefront_pv_nm.hold(check.wavefront_pv_nm);
        reduction.wavefront_rms_nm.hold(check.wavefront_rms_nm);
        reduction.strehl.hold(check.strehl);
    }
    Some(Doubt::WaysDisagree {
        wavefront_rms_nm: [
            reduction.wavefront_rms_nm.value,
            checks[0].wavefront_rms_nm,
            checks[1].wavefront_rms_nm,
        ],
    })
}

impl Reduction {
    /// A mirror without error is among those that the intervals hold.
    fn reach_perfection(&mut self) {
        self.wavefront_pv_nm.hold(0.0);
        self.wavefront_rms_nm.hold(0.0);
        self.strehl.hold(1.0);
    }
}

impl Interval {
    fn hold(&mut self, other: f64) {
        self.low = self.low.min(other);
        self.high = self.high.max(other);
    }
}

impl From<Figures> for CrossCheck {
    fn from(figures: Figures) -> CrossCheck {
        CrossCheck {
            wavefront_pv_nm: figures.wavefront_pv_nm,
            wavefront_rms_nm: figures.wavefront_rms_nm,
            strehl: figures.strehl,
        }
    }
}

fn worst_zone_idx(zones: &[ZoneOutcome]) -> usize {
    let height = |zone: &ZoneOutcome| zone.surface_nm.value.abs();
    (0..zones.len())
        .max_by(|a, b| height(&zones[*a]).total_cmp(&height(&zones[*b])))
        .unwrap_or(0)
}

/// Standard deviations that a normal deviate stays below 19 times in 20.
const ONE_IN_TWENTY: f64 = 1.645;

const ALL_BUT_CERTAIN: f64 = 0.95;

const PROFILE_STEPS: usize = 100;

/// A window narrower than that share of the radius leaves no room for a turned edge to hide.
const WIDEST_OPEN_EDGE: f64 = 0.03;

/// How near to the other lamp's correction is suspicious. A mirror half way from sphere to
/// paraboloid falls into it; it is a question, not an error.
const LAMP_RANGE: f64 = 0.15;

/// Oblate mirrors read backward too, but never that far.
const REVERSED: f64 = -0.35;

/// Of the correction, in reading errors.
const CLEAR_OF_ERROR: f64 = 6.0;

/// Corrections that mirrors have on their way to the paraboloid.
const PLAUSIBLE: (f64, f64) = (0.2, 3.0);

/// Less than any scale on a tester shows, mm.
const FINEST_SCALE_MM: f64 = 0.0099;

/// A correction that nobody takes for a slip, mm.
const PLAIN_MM: f64 = 0.3;

const MM_PER_M: f64 = 1000.0;
const NM_PER_MM: f64 = 1e6;
const ROUNDING: f64 = 1e-9;
