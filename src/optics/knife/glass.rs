//! What glass may look like before anybody has read it.
//!
//! A conic of unknown correction, plus departures that wander as one goes outward: bends, whose
//! most likely curve through readings is a cubic spline (an integrated Wiener process; Wahba 1978,
//! J. R. Statist. Soc. B 40, 364), or steps (a Wiener process), as a narrow ring makes them.
//! Polishing does not know `x = (r / rim)^2`: a ring of given width and height is the steeper in x
//! the nearer to the middle it lies, so the wandering is the stronger there.

use crate::linear::dot;
use crate::optics::knife::chance::Chance;
use crate::optics::knife::disc::Disc;

/// How departures wander.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wander {
    Bends,
    Steps,
}

/// Both, in the order of their numbers.
pub(super) const WANDERS: [Wander; 2] = [Wander::Bends, Wander::Steps];

/// Steepness that makes 1 nm of wavefront RMS, on the rings of a disc.
pub(super) struct Glass {
    /// Of a conic.
    pub(super) conic: Vec<f64>,
    /// Standard deviations of the wandering's kinks, between ring and ring.
    kinks: [Vec<f64>; 2],
    /// `x` less its mean: ones and this are what the conic accounts for.
    centred: Vec<f64>,
    x: Vec<f64>,
}

impl Glass {
    pub(super) fn on(disc: &Disc) -> Glass {
        let x = disc.x.clone();
        let mean = x.iter().sum::<f64>() / x.len() as f64;
        Glass {
            conic: x.iter().map(|x| CONIC_NM * (x - 0.5)).collect(),
            kinks: WANDERS.map(|wander| kinks(&x, wander)),
            centred: x.iter().map(|x| x - mean).collect(),
            x,
        }
    }

    /// One departure drawn at random.
    pub(super) fn drawn(&self, wander: Wander, chance: &mut Chance) -> Vec<f64> {
        let (mut value, mut slope) = (0.0, 0.0);
        let mut along = vec![0.0];
        for (step, strength) in self.x.windows(2).zip(&self.kinks[wander as usize]) {
            let kink = strength * chance.normal();
            match wander {
                Wander::Steps => value += kink,
                Wander::Bends => {
                    value += (step[1] - step[0]) * (slope + kink / 2.0);
                    slope += kink;
                }
            }
            along.push(value);
        }
        self.without_line(&along)
    }

    /// Covariance of each ring of such departures with each of these weighted means.
    pub(super) fn covariances(&self, wander: Wander, means: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let responses = self.responses(wander);
        means
            .iter()
            .map(|mean| {
                // The line is taken out of both sides; taking it out is its own transpose.
                let flat = self.without_line(mean);
                let n = flat.len();
                let mut along = vec![0.0; n];
                for (cell, response) in responses.iter().enumerate() {
                    let pull = dot(response, &flat[cell + 1..]);
                    let rings = along[cell + 1..].iter_mut().zip(response);
                    rings.for_each(|(ring, r)| *ring += pull * r);
                }
                self.without_line(&along)
            })
            .collect()
    }

    /// For each kink, what one standard deviation of it does to the rings beyond.
    fn responses(&self, wander: Wander) -> Vec<Vec<f64>> {
        let response = |(cell, strength): (usize, &f64)| -> Vec<f64> {
            let middle = (self.x[cell] + self.x[cell + 1]) / 2.0;
            let beyond = self.x[cell + 1..].iter();
            match wander {
                Wander::Steps => beyond.map(|_| *strength).collect(),
                Wander::Bends => beyond.map(|x| strength * (x - middle)).collect(),
            }
        };
        let kinks = &self.kinks[wander as usize];
        kinks.iter().enumerate().map(response).collect()
    }

    /// What is left of a curve when the straight line that fits it best is taken out.
    fn without_line(&self, curve: &[f64]) -> Vec<f64> {
        let mean = curve.iter().sum::<f64>() / curve.len() as f64;
        let slope = dot(&self.centred, curve) / dot(&self.centred, &self.centred);
        let left = |(y, x): (&f64, &f64)| y - mean - slope * x;
        curve.iter().zip(&self.centred).map(left).collect()
    }
}

fn kinks(x: &[f64], wander: Wander) -> Vec<f64> {
    let unit = match wander {
        Wander::Bends => BENDS_NM,
        Wander::Steps => STEPS_NM,
    };
    let strength = |cell: &[f64]| {
        let middle = (cell[0] + cell[1]) / 2.0;
        unit * (cell[1] - cell[0]).sqrt() / (middle + MIDDLE)
    };
    x.windows(2).map(strength).collect()
}

/// Steepness per unit of x of a conic whose wavefront has 1 nm RMS over the full disc: 12 sqrt 5.
const CONIC_NM: f64 = 26.832_815_729_997_478;

/// Strength of a wandering whose wavefront has 1 nm RMS over the full disc, on the average: found by
/// drawing, as the test below does.
const BENDS_NM: f64 = 100.0;
const STEPS_NM: f64 = 14.0;

/// In x: inside a sixth of the radius it does not grow further.
const MIDDLE: f64 = 0.03;

#[cfg(test)]
mod tests {
    use super::*;

    fn rms_nm(disc: &Disc, steepness_nm: &[f64]) -> f64 {
        let path_nm = disc.refocused(&disc.wavefront_nm(steepness_nm));
        let squares: Vec<f64> = path_nm.iter().map(|path| path * path).collect();
        dot(&disc.share, &squares).sqrt()
    }

    #[test]
    fn all_shapes_are_of_one_nanometre() {
        let disc = Disc::new(0.0, 0.0, 550.0);
        let glass = Glass::on(&disc);
        assert!((rms_nm(&disc, &glass.conic) - 1.0).abs() < 1e-5);
        let mut chance = Chance::new();
        for wander in WANDERS {
            let square = |_| rms_nm(&disc, &glass.drawn(wander, &mut chance)).powi(2);
            let mean_square = (0..4000).map(square).sum::<f64>() / 4000.0;
            let rms = mean_square.sqrt();
            assert!((rms - 1.0).abs() < 0.05, "{wander:?}: {rms}");
        }
    }

    #[test]
    fn draws_vary_as_their_covariance_says() {
        let disc = Disc::new(0.25, 0.05, 550.0);
        let glass = Glass::on(&disc);
        let means = [disc.mean_between(0.4, 0.6), disc.mean_between(0.9, 0.9)];
        let mut chance = Chance::new();
        for wander in WANDERS {
            let want = dot(&means[0], &glass.covariances(wander, &means)[1]);
            let unit = dot(&means[1], &glass.covariances(wander, &means)[1]);
            let product = |_| {
                let drawn = glass.drawn(wander, &mut chance);
                dot(&means[0], &drawn) * dot(&means[1], &drawn)
            };
            let got = (0..4000).map(product).sum::<f64>() / 4000.0;
            assert!((got - want).abs() < 0.1 * unit, "{wander:?}: {got}, {want}");
        }
    }
}
