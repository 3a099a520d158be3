//! What glass may look like before anybody has read it.
//!
//! A conic of unknown correction, plus departures that wander as one goes outward: bends, whose
//! most likely curve through readings is a cubic spline (an integrated Wiener process; Wahba 1978,
//! J. R. Statist. Soc. B 40, 364), steps (a Wiener process), as a narrow ring makes them, or smooth
//! rings of one width here and there, as a tool of one size leaves them.
//! Polishing does not know `x = (r / rim)^2`: a ring of given width and height is the steeper in x
//! the nearer to the middle it lies, so bends and steps are the stronger there.

use crate::linear::dot;
use crate::optics::evidence::chance::Chance;
use crate::optics::evidence::disc::{Disc, ring_steepness};
use crate::optics::evidence::fault::RING_WIDTHS;

/// How departures wander.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Wander {
    Bends,
    Steps,
    /// Standard deviation of one ring's profile, as a share of the radius.
    Rings(f64),
}

/// All, in the order of their numbers.
pub(super) const WANDERS: [Wander; 5] = [
    Wander::Bends,
    Wander::Steps,
    Wander::Rings(RING_WIDTHS[0]),
    Wander::Rings(RING_WIDTHS[1]),
    Wander::Rings(RING_WIDTHS[2]),
];

/// Steepness that makes 1 nm of wavefront RMS, on the rings of a disc.
pub(super) struct Glass {
    /// Of a conic.
    pub(super) conic: Vec<f64>,
    departures: [Departures; WANDERS.len()],
}

/// Departures of one kind: sums of these curves, each as strong as chance has it.
struct Departures {
    curves: Vec<Vec<f64>>,
}

impl Glass {
    pub(super) fn on(disc: &Disc) -> Glass {
        Glass {
            conic: disc.x.iter().map(|x| CONIC_NM * (x - 0.5)).collect(),
            departures: WANDERS.map(|wander| Departures::of_one_nanometre(wander, disc)),
        }
    }

    /// One departure drawn at random.
    pub(super) fn drawn(&self, wander: usize, chance: &mut Chance) -> Vec<f64> {
        let mut drawn = vec![0.0; self.conic.len()];
        for curve in &self.departures[wander].curves {
            let strength = chance.normal();
            let rings = drawn.iter_mut().zip(curve);
            rings.for_each(|(ring, unit)| *ring += strength * unit);
        }
        drawn
    }

    /// Covariance of each ring of such departures with each of these weighted means.
    pub(super) fn covariances(&self, wander: usize, means: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let with = |mean: &Vec<f64>| {
            let mut along = vec![0.0; mean.len()];
            for curve in &self.departures[wander].curves {
                let pull = dot(curve, mean);
                let rings = along.iter_mut().zip(curve);
                rings.for_each(|(ring, unit)| *ring += pull * unit);
            }
            along
        };
        means.iter().map(with).collect()
    }
}

impl Departures {
    fn of_one_nanometre(wander: Wander, disc: &Disc) -> Departures {
        let line = Line::on(&disc.x);
        let mut curves: Vec<Vec<f64>> = (wander.curves(&disc.x).iter())
            .map(|curve| line.taken_from(curve))
            .collect();
        let square_nm2: f64 = curves
            .iter()
            .map(|curve| mean_square_nm2(disc, curve))
            .sum();
        let to_one = 1.0 / square_nm2.sqrt();
        let all = curves.iter_mut().flatten();
        all.for_each(|steepness| *steepness *= to_one);
        Departures { curves }
    }
}

/// Of the wavefront at best focus.
fn mean_square_nm2(disc: &Disc, steepness_nm: &[f64]) -> f64 {
    let path_nm = disc.refocused(&disc.wavefront_nm(steepness_nm));
    let weighed = disc.share.iter().zip(&path_nm);
    weighed.map(|(share, path)| share * path * path).sum()
}

impl Wander {
    /// Steepness on the rings of each independent part, of any size.
    fn curves(self, x: &[f64]) -> Vec<Vec<f64>> {
        match self {
            Wander::Rings(width) => {
                let many = (1.0 / (RINGS_APART * width)).ceil() as usize;
                (0..=many)
                    .map(|k| ring_steepness(x, k as f64 / many as f64, width))
                    .collect()
            }
            _ => (0..x.len() - 1).map(|cell| self.kink(x, cell)).collect(),
        }
    }

    /// A kink between a ring and the next, and what it does to the rings beyond.
    fn kink(self, x: &[f64], cell: usize) -> Vec<f64> {
        let middle = (x[cell] + x[cell + 1]) / 2.0;
        let strength = (x[cell + 1] - x[cell]).sqrt() / (middle + MIDDLE);
        let beyond = |(ring, x): (usize, &f64)| match self {
            _ if ring <= cell => 0.0,
            Wander::Bends => strength * (x - middle),
            _ => strength,
        };
        x.iter().enumerate().map(beyond).collect()
    }
}

/// The straight line that fits a curve best; ones and x are what focus and the conic account for.
struct Line {
    centred: Vec<f64>,
}

impl Line {
    fn on(x: &[f64]) -> Line {
        let mean = x.iter().sum::<f64>() / x.len() as f64;
        Line {
            centred: x.iter().map(|x| x - mean).collect(),
        }
    }

    fn taken_from(&self, curve: &[f64]) -> Vec<f64> {
        let mean = curve.iter().sum::<f64>() / curve.len() as f64;
        let slope = dot(&self.centred, curve) / dot(&self.centred, &self.centred);
        let left = |(y, x): (&f64, &f64)| y - mean - slope * x;
        curve.iter().zip(&self.centred).map(left).collect()
    }
}

/// Steepness per unit of x of a conic whose wavefront has 1 nm RMS over the full disc: 12 sqrt 5.
const CONIC_NM: f64 = 26.832_815_729_997_478;

/// In x: inside a sixth of the radius kinks do not grow further.
const MIDDLE: f64 = 0.03;

/// Neighbouring rings, in their own widths: nearer ones would add nothing.
const RINGS_APART: f64 = 1.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn rms_nm(disc: &Disc, steepness_nm: &[f64]) -> f64 {
        mean_square_nm2(disc, steepness_nm).sqrt()
    }

    #[test]
    fn all_shapes_are_of_one_nanometre() {
        let disc = Disc::new(0.0, 0.0, 550.0);
        let glass = Glass::on(&disc);
        assert!((rms_nm(&disc, &glass.conic) - 1.0).abs() < 1e-5);
        let mut chance = Chance::new();
        for (wander, kind) in WANDERS.iter().enumerate() {
            let square = |_| rms_nm(&disc, &glass.drawn(wander, &mut chance)).powi(2);
            let mean_square = (0..4000).map(square).sum::<f64>() / 4000.0;
            let rms = mean_square.sqrt();
            assert!((rms - 1.0).abs() < 0.05, "{kind:?}: {rms}");
        }
    }

    #[test]
    fn draws_vary_as_their_covariance_says() {
        let disc = Disc::new(0.25, 0.05, 550.0);
        let glass = Glass::on(&disc);
        let means = [disc.mean_between(0.4, 0.6), disc.mean_between(0.9, 0.9)];
        let mut chance = Chance::new();
        for (wander, kind) in WANDERS.iter().enumerate() {
            let want = dot(&means[0], &glass.covariances(wander, &means)[1]);
            let units: Vec<f64> = (0..2)
                .map(|k| dot(&means[k], &glass.covariances(wander, &means)[k]))
                .collect();
            let product = |_| {
                let drawn = glass.drawn(wander, &mut chance);
                dot(&means[0], &drawn) * dot(&means[1], &drawn)
            };
            let got = (0..4000).map(product).sum::<f64>() / 4000.0;
            let unit = (units[0] * units[1]).sqrt();
            assert!((got - want).abs() < 0.1 * unit, "{kind:?}: {got}, {want}");
        }
    }
}
