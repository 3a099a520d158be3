//! Slips of the pen: which one would explain the readings better than taking them as they are written.
//!
//! Each slip is a hypothesis: the readings as they would have been written without it, weighed by how likely mirrors on
//! their way to the paraboloid are to read so, and by how often such slips happen (from memory, no source). What stands
//! in the file is one of the hypotheses, and has to be clearly less likely before anybody is asked.

use crate::optics::knife::bench::{Bench, nm_per_knife_mm};
use crate::optics::knife::doubt::{Slip, Unreadable};
use crate::optics::knife::mirror::Mirror;
use crate::optics::knife::repeats::reading_errors;
use crate::optics::knife::spline::{ConicPrior, Model, ReadingError, Rough, Seen};
use crate::units::MM_PER_INCH;
use crate::workshop::{KnifeEdge, KnifeSource};

/// The readings and the mirror without a slip.
struct Hypothesis {
    slip: Option<Slip>,
    readings: KnifeEdge,
    mirror: Mirror,
    /// mm for each unit that was written.
    mm_per_written: f64,
    /// A zone whose readings may be anything.
    apart: Option<usize>,
    /// How often, beforehand.
    share: f64,
}

/// The slip that explains the readings best, if it does so clearly better than taking them as they are, and what they
/// are without it.
pub(super) fn likeliest(readings: &KnifeEdge, mirror: Mirror) -> Option<(Slip, KnifeEdge, Mirror)> {
    let as_written = Hypothesis::of(None, readings.clone(), mirror, WITHOUT_SLIP);
    let bench = Bench::laid_out(&as_written.readings, as_written.mirror).ok()?;
    let seen = Seen::of(&bench.disc, &bench.measured.rows, &[]);
    let off_written = (1.0 - bench.correction_ratio()).abs();
    let written = as_written.log_evidence(&seen).ok()?;
    let weighed = (hypotheses(readings, mirror).into_iter())
        .filter(|hypothesis| {
            !hypothesis.is_of_the_whole_scale() || hypothesis.off() + NEARER < off_written
        })
        .filter_map(|hypothesis| Some((hypothesis.log_evidence(&seen).ok()?, hypothesis)));
    let (best, hypothesis) = weighed.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let is_likelier = best - written > ASKED_FROM_ODDS.ln();
    (is_likelier).then_some(())?;
    let mut without = hypothesis.readings;
    if let Some(zone) = hypothesis.apart {
        without.zones.remove(zone);
    }
    Some((hypothesis.slip?, without, hypothesis.mirror))
}

impl Hypothesis {
    fn of(slip: Option<Slip>, readings: KnifeEdge, mirror: Mirror, share: f64) -> Hypothesis {
        Hypothesis {
            slip,
            readings,
            mirror,
            mm_per_written: 1.0,
            apart: None,
            share,
        }
    }

    /// Unlike a reading or a zone, lamp, sign, unit and radius change all readings together.
    fn is_of_the_whole_scale(&self) -> bool {
        matches!(
            self.slip,
            Some(
                Slip::OtherLamp
                    | Slip::Reversed
                    | Slip::Inches
                    | Slip::RadiusForFocalLength
                    | Slip::FocalLengthForRadius
            )
        )
    }

    /// How far the correction is off the paraboloid's, as a share of it.
    fn off(&self) -> f64 {
        Bench::laid_out(&self.readings, self.mirror).map_or(f64::INFINITY, |bench| {
            (1.0 - bench.correction_ratio()).abs()
        })
    }

    /// Logarithm of how well the readings as written are explained.
    fn log_evidence(&self, seen: &Seen) -> Result<f64, Unreadable> {
        let mut bench = Bench::laid_out(&self.readings, self.mirror)?;
        if let Some(zone) = self.apart {
            let per_mm = nm_per_knife_mm(self.readings.source, &self.mirror);
            bench.measured.apart = Some((zone, APART_ZONE_MM * per_mm));
        }
        let (errors, _) = reading_errors(&self.readings);
        let finest_mm =
            ROUNDED * self.mm_per_written * written_step(&self.readings, self.mm_per_written);
        let model = Model {
            measured: &bench.measured,
            seen,
        };
        let sphere_nm = bench.sphere_rms_nm();
        let of_error = |error: &ReadingError| {
            let each = ROUGH.map(|rough| model.whitened(rough, error.mm.max(finest_mm)));
            let log_weight = error.log_weight;
            each.into_iter().flat_map(move |whitened| {
                let evenly =
                    CORRECTIONS_OFF.map(|off| (ConicPrior::about_none(off * sphere_nm), 0.0));
                let half_way = ConicPrior {
                    mean_nm: HALF_WAY.0 * sphere_nm,
                    spread_nm: HALF_WAY.1 * sphere_nm,
                };
                (evenly.into_iter().chain([(half_way, HALF_WAY_WEIGHT.ln())]))
                    .map(|(conic, weight)| {
                        log_weight + weight + whitened.log_likelihood(conic, None)
                    })
                    .collect::<Vec<f64>>()
            })
        };
        let logs: Vec<f64> = errors.iter().flat_map(of_error).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|log| (log - best).exp()).sum();
        // Densities are of numbers as written: each independent one brings its unit.
        let n_zones = self.readings.zones.len() as f64;
        // The correction is weighed as such: how far it moves readings is not held against a lamp.
        let per_zone = (n_zones - 2.0) * nm_per_knife_mm(self.readings.source, &self.mirror).ln();
        let per_reading = (n_readings(&self.readings) - 1.0) * self.mm_per_written.ln();
        Ok(best + sum.ln() + per_zone + per_reading + self.share.ln())
    }
}

/// The last digit that anybody wrote, at most a hundredth, in the unit written.
fn written_step(readings: &KnifeEdge, mm_per_written: f64) -> f64 {
    let all = || readings.zones.iter().flat_map(|zone| &zone.readings_mm);
    let is_whole = |step: f64| {
        all().all(|mm| {
            let steps = mm / mm_per_written / step;
            (steps - steps.round()).abs() < 1e-6
        })
    };
    [0.01, 0.001]
        .into_iter()
        .find(|step| is_whole(*step))
        .unwrap_or(0.0001)
}

fn hypotheses(readings: &KnifeEdge, mirror: Mirror) -> Vec<Hypothesis> {
    let of = |slip, readings, mirror, share| Hypothesis::of(Some(slip), readings, mirror, share);
    let other_lamp = KnifeEdge {
        source: match readings.source {
            KnifeSource::Fixed => KnifeSource::Moving,
            KnifeSource::Moving => KnifeSource::Fixed,
        },
        ..readings.clone()
    };
    let focal_ratio = |mirror: &Mirror| mirror.radius_of_curvature_mm / 2.0 / mirror.aperture_mm;
    let with_radius_times = |factor: f64| Mirror {
        radius_of_curvature_mm: factor * mirror.radius_of_curvature_mm,
        ..mirror
    };
    let of_radius = |slip, factor| {
        let other = with_radius_times(factor);
        let usual = usual_ratio(focal_ratio(&other)) / usual_ratio(focal_ratio(&mirror));
        of(slip, readings.clone(), other, OF_RADIUS * usual)
    };
    let mut all = vec![
        of(Slip::OtherLamp, other_lamp, mirror, OF_LAMP),
        of(Slip::Reversed, times(readings, |_| -1.0), mirror, OF_SCALE),
        Hypothesis {
            mm_per_written: MM_PER_INCH,
            ..of(
                Slip::Inches,
                times(readings, |_| MM_PER_INCH),
                mirror,
                OF_UNIT,
            )
        },
        of_radius(Slip::RadiusForFocalLength, 0.5),
        of_radius(Slip::FocalLengthForRadius, 2.0),
    ];
    let n_zones = readings.zones.len();
    all.extend((0..n_zones).map(|zone| {
        let flipped = times(readings, |idx| if idx == zone { -1.0 } else { 1.0 });
        of(
            Slip::Sign { zone: zone + 1 },
            flipped,
            mirror,
            OF_SIGN / n_zones as f64,
        )
    }));
    if FEWEST_ZONES_TO_DOUBT <= n_zones {
        // The last one is the edge's: what stands apart there is named as that.
        all.extend((0..n_zones - 1).map(|zone| Hypothesis {
            apart: Some(zone),
            ..of(
                Slip::Apart { zone: zone + 1 },
                readings.clone(),
                mirror,
                OF_APART / n_zones as f64,
            )
        }));
    }
    let pairs = || (0..n_zones).flat_map(|b| (0..b).map(move |a| (a, b)));
    all.extend(pairs().map(|(a, b)| {
        let mut exchanged = readings.clone();
        exchanged.zones[a].readings_mm = readings.zones[b].readings_mm.clone();
        exchanged.zones[b].readings_mm = readings.zones[a].readings_mm.clone();
        let slip = Slip::Exchanged {
            zones: (a + 1, b + 1),
        };
        of(
            slip,
            exchanged,
            mirror,
            OF_EXCHANGE / pairs().count() as f64,
        )
    }));
    let share = OF_DIGITS / n_readings(readings);
    all.extend(
        of_one_reading(readings)
            .into_iter()
            .map(|(slip, changed)| of(slip, changed, mirror, share)),
    );
    all
}

fn n_readings(readings: &KnifeEdge) -> f64 {
    let counts = readings.zones.iter().map(|zone| zone.readings_mm.len());
    counts.sum::<usize>() as f64
}

/// The same with one reading changed.
fn with_reading(readings: &KnifeEdge, (zone_idx, idx): (usize, usize), mm: f64) -> KnifeEdge {
    let mut changed = readings.clone();
    changed.zones[zone_idx].readings_mm[idx] = mm;
    changed
}

/// Every zone's readings times a factor of its own.
fn times(readings: &KnifeEdge, factor: impl Fn(usize) -> f64) -> KnifeEdge {
    let mut changed = readings.clone();
    for (idx, zone) in changed.zones.iter_mut().enumerate() {
        let all = zone.readings_mm.iter_mut();
        all.for_each(|reading| *reading *= factor(idx));
    }
    changed
}

/// Every reading that stands apart, with the other sign and with two neighbouring digits changed.
fn of_one_reading(readings: &KnifeEdge) -> Vec<(Slip, KnifeEdge)> {
    let mut all = Vec::new();
    for (zone_idx, zone) in readings.zones.iter().enumerate() {
        for (idx, typed_mm) in zone.readings_mm.iter().enumerate() {
            if !stands_apart(&zone.readings_mm, idx) {
                continue;
            }
            let (zone, reading, typed_mm) = (zone_idx + 1, idx + 1, *typed_mm);
            let mut add = |slip: Slip, mm: f64| {
                all.push((slip, with_reading(readings, (zone_idx, idx), mm)));
            };
            if typed_mm != 0.0 {
                let slip = Slip::LoneSign {
                    zone,
                    reading,
                    typed_mm,
                };
                add(slip, -typed_mm);
            }
            for meant_mm in swapped(typed_mm) {
                let slip = Slip::Digits {
                    zone,
                    reading,
                    typed_mm,
                    meant_mm,
                };
                add(slip, meant_mm);
            }
        }
    }
    all
}

/// A reading that agrees with the others of its zone has its digits in order.
fn stands_apart(readings_mm: &[f64], idx: usize) -> bool {
    let others = || {
        readings_mm
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != idx)
    };
    let nearest_mm = others()
        .map(|(_, mm)| (mm - readings_mm[idx]).abs())
        .fold(f64::INFINITY, f64::min);
    nearest_mm > APART_MM
}

/// What a number to the hundredth would have been before two neighbouring digits changed places.
fn swapped(typed: f64) -> Vec<f64> {
    let hundredths = (typed.abs() * 100.0).round();
    if (typed.abs() * 100.0 - hundredths).abs() > 1e-6 || hundredths >= 1e6 {
        return Vec::new();
    }
    let mut digits = format!("{hundredths:03}").into_bytes();
    let mut all = Vec::new();
    for place in 1..digits.len() {
        if digits[place - 1] == digits[place] {
            continue;
        }
        digits.swap(place - 1, place);
        let meant: f64 = digits
            .iter()
            .fold(0.0, |sum, digit| 10.0 * sum + f64::from(digit - b'0'));
        all.push((meant / 100.0).copysign(typed));
        digits.swap(place - 1, place);
    }
    all
}

/// Mirrors of workshops are f/4 to f/9 for the most part: how usual a focal ratio is, 1 at f/6.
fn usual_ratio(focal_ratio: f64) -> f64 {
    let off = (focal_ratio / 6.0).ln() / 0.35;
    (-off * off / 2.0).exp().max(1e-6)
}

/// How far corrections are off the paraboloid's, as shares of the sphere's error, each as likely as the next: good
/// mirrors are the rule, and any may be far from done.
const CORRECTIONS_OFF: [f64; 6] = [0.05, 0.1, 0.2, 0.4, 0.8, 1.6];

/// Beside these, mirrors on their way from the sphere: in the middle of it and how far about, and how many to each of those.
const HALF_WAY: (f64, f64) = (0.5, 0.29);
const HALF_WAY_WEIGHT: f64 = 0.8;

/// Rings and bends beside, wavefront RMS.
const ROUGH: [Rough; 6] = [
    Rough { wander: 0, nm: 0.0 },
    Rough { wander: 0, nm: 4.0 },
    Rough {
        wander: 0,
        nm: 16.0,
    },
    Rough {
        wander: 0,
        nm: 64.0,
    },
    Rough { wander: 3, nm: 8.0 },
    Rough {
        wander: 3,
        nm: 32.0,
    },
];

const WITHOUT_SLIP: f64 = 0.8;
/// Rarely without a name, and rings look like it: only what is far off.
const OF_APART: f64 = 0.0002;
const OF_EXCHANGE: f64 = 0.01;
const OF_LAMP: f64 = 0.08;
const OF_DIGITS: f64 = 0.03;
const OF_SIGN: f64 = 0.03;
const OF_SCALE: f64 = 0.03;
const OF_UNIT: f64 = 0.03;
const OF_RADIUS: f64 = 0.04;

/// A slip of the whole scale has to bring the mirror so much nearer to the paraboloid: nobody is asked whether a good mirror
/// is a bad one.
const NEARER: f64 = 0.1;

/// Standard deviation of what rounding cuts off, of one step: the root of a twelfth.
const ROUNDED: f64 = 0.288_675;

/// How far a zone may stand apart for a reason without a name, mm: a turn of the screw.
const APART_ZONE_MM: f64 = 1.0;

/// With fewer nobody can tell which.
const FEWEST_ZONES_TO_DOUBT: usize = 4;

/// Twice what a careful reading is off by.
const APART_MM: f64 = 0.1;

/// Nobody is asked about less than that.
const ASKED_FROM_ODDS: f64 = 0.3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_change_places() {
        assert_eq!(swapped(6.2), [2.6, 6.02]);
        assert_eq!(swapped(-1.17), [-1.71]);
        assert_eq!(swapped(0.45), [4.05, 0.54]);
        assert!(swapped(0.0).is_empty() && swapped(0.1234).is_empty());
    }
}
