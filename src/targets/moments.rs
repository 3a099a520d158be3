//! What telescope and moving air together keep of a pattern's contrast in the moments that count.
//!
//! Fried's mean moment ([`Blur::short_exposure_mtf`]) has it that in bad air a large mirror shows
//! less than itself stopped down, as more of the image's motion is inside the aperture. An
//! observer does not lose by the larger mirror: he waits, or puts a mask on. So for each fineness
//! the best stop up to the full aperture counts. That makes more aperture never worse, and a large
//! mirror in bad air hardly better than a middling one.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::sky::seeing::Blur;

/// One telescope's curve and one air.
#[derive(Debug, Clone)]
pub(super) struct Moments {
    air: Blur,
    stops: Vec<Stop>,
    /// Stops that are the best of all for some roughness, and from which on.
    best_from: Vec<(f64, usize)>,
}

/// An aperture, given by the share of its cutoff at which a pattern falls.
#[derive(Debug, Clone)]
struct Stop {
    share: f64,
    /// Natural logarithm of what the telescope keeps there.
    ln_mtf: f64,
    /// The same of what the air keeps, for a pattern whose two rays are Fried's length apart.
    ln_air: f64,
}

/// Stops tried, with a parabola through the best and its neighbours. More of them change nothing within 1e-4.
const STOPS: usize = 64;

impl Moments {
    pub(super) fn new(mtf: &Mtf, air: Blur) -> Moments {
        let fried_cutoff = cutoff_cycles_per_arcsec(air.fried_mm, REFERENCE_WAVELENGTH_NM);
        let stop = |idx: usize| {
            let share = (idx as f64 + 0.5) / STOPS as f64;
            let air_kept = air.short_exposure_mtf(fried_cutoff, air.fried_mm / share);
            Stop {
                share,
                ln_mtf: mtf.at(share).ln(),
                ln_air: air_kept.ln(),
            }
        };
        let stops: Vec<Stop> = (0..STOPS).map(stop).collect();
        Moments {
            air,
            best_from: best_from(&stops),
            stops,
        }
    }

    /// Contrast kept at a frequency in cycles per arcsecond with at most that aperture; of the same curve.
    pub(super) fn kept(&self, mtf: &Mtf, cycles_per_arcsec: f64, aperture_mm: f64) -> f64 {
        let cutoff = |mm: f64| cutoff_cycles_per_arcsec(mm, REFERENCE_WAVELENGTH_NM);
        let share = cycles_per_arcsec / cutoff(aperture_mm);
        let whole = mtf.at(share) * self.air.short_exposure_mtf(cycles_per_arcsec, aperture_mm);
        // The exponent of Fried's formula goes as this power of the fineness at a given share.
        let rough = (cycles_per_arcsec / cutoff(self.air.fried_mm)).powf(5.0 / 3.0);
        let ln_kept = |stop: &Stop| stop.ln_kept(rough);
        // Stops are in the order of the share: the first allowed one is the widest.
        let first = self.stops.partition_point(|stop| stop.share <= share);
        let Some(best) = self.best_stop(first, rough) else {
            return whole;
        };
        let here = ln_kept(&self.stops[best]);
        let stopped_ln = if best == first || best + 1 == STOPS {
            here
        } else {
            let beside = [best - 1, best + 1].map(|idx| ln_kept(&self.stops[idx]));
            here + rise_to_summit(beside[0] - here, beside[1] - here)
        };
        whole.max(stopped_ln.exp())
    }
}

impl Moments {
    /// Of the stops from the first allowed one.
    fn best_stop(&self, first: usize, rough: f64) -> Option<usize> {
        let ranked = self.best_from.partition_point(|(from, _)| *from <= rough);
        let of_all = ranked.checked_sub(1).map(|idx| self.best_from[idx].1);
        of_all.filter(|best| first <= *best).or_else(|| {
            let ln_kept = |idx: &usize| self.stops[*idx].ln_kept(rough);
            (first..STOPS).max_by(|a, b| ln_kept(a).total_cmp(&ln_kept(b)))
        })
    }
}

impl Stop {
    /// Logarithm of what telescope and air keep together.
    fn ln_kept(&self, rough: f64) -> f64 {
        self.ln_mtf + rough * self.ln_air
    }
}

/// What a stop keeps is a straight line in the roughness: the best ones are the upper hull of all lines, wide stops first.
fn best_from(stops: &[Stop]) -> Vec<(f64, usize)> {
    let mut best: Vec<(f64, usize)> = Vec::new();
    for (idx, stop) in stops.iter().enumerate() {
        if !stop.ln_mtf.is_finite() || !stop.ln_air.is_finite() {
            continue;
        }
        let mut from = 0.0;
        while let Some((begins, before)) = best.last().copied() {
            let gain = stop.ln_air - stops[before].ln_air;
            from = match gain > 0.0 {
                true => (stops[before].ln_mtf - stop.ln_mtf) / gain,
                false => f64::INFINITY,
            };
            if from > begins {
                break;
            }
            best.pop();
        }
        if best.is_empty() {
            from = 0.0;
        }
        if from.is_finite() {
            best.push((from, idx));
        }
    }
    best
}

/// How much higher than its middle one the summit of the parabola through three equidistant points is,
/// given how much lower the outer two are (both at most 0).
fn rise_to_summit(left: f64, right: f64) -> f64 {
    let bend = left + right;
    if bend < 0.0 {
        -(right - left).powi(2) / (8.0 * bend)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirror_never_shows_less_than_itself_stopped_down() {
        let mtf = Mtf::annular(0.2);
        let moments = Moments::new(&mtf, Blur::toward(4.0, 1.5));
        for step in 1..60 {
            let f = 0.03 * f64::from(step);
            for (stopped_mm, full_mm) in [(60.0, 80.0), (100.0, 150.0), (150.0, 400.0)] {
                let (stopped, full) = (
                    moments.kept(&mtf, f, stopped_mm),
                    moments.kept(&mtf, f, full_mm),
                );
                assert!(
                    stopped <= full * 1.001,
                    "{f}: {stopped_mm} mm {stopped}, {full_mm} mm {full}"
                );
            }
        }
    }

    /// By trying every stop.
    #[test]
    fn the_hull_has_the_best_stop() {
        let mtf = Mtf::annular(0.25);
        for seeing_arcsec in [0.8, 2.2, 5.0] {
            let moments = Moments::new(&mtf, Blur::toward(seeing_arcsec, 1.3));
            for step in 0..400 {
                let rough = 0.05 * f64::from(step);
                for first in [0, 7, 30] {
                    let kept = |idx: usize| moments.stops[idx].ln_kept(rough);
                    let slow = (first..STOPS).map(kept).fold(f64::NEG_INFINITY, f64::max);
                    let best = moments.best_stop(first, rough).expect("a stop");
                    assert!(
                        first <= best && kept(best) == slow,
                        "{rough} {first}: {best}"
                    );
                }
            }
        }
    }

    #[test]
    fn in_good_air_it_is_the_whole_mirror() {
        let mtf = Mtf::annular(0.2);
        let air = Blur::toward(1.0, 1.0);
        let moments = Moments::new(&mtf, air);
        let cutoff = cutoff_cycles_per_arcsec(150.0, REFERENCE_WAVELENGTH_NM);
        for share in [0.1, 0.3, 0.6] {
            let f = share * cutoff;
            let whole = mtf.at(share) * air.short_exposure_mtf(f, 150.0);
            assert!(
                (moments.kept(&mtf, f, 150.0) - whole).abs() < 1e-12,
                "{share}"
            );
        }
    }
}
