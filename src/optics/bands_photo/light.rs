//! The light of one picture as far as it is linear: even light, first harmonic and their changes over the disc, higher harmonics,
//! a veil.

use crate::linear::{NormalEquations, dot};

use super::orders::N_HARMONICS;

/// Numbers of the light that are linear: even light and first harmonic with their changes over the disc, higher harmonics, a veil.
pub(super) const N_LINEAR: usize = 18;

/// One picture for some unknowns: its harmonics and linear numbers.
pub(super) struct Light {
    /// By place: across, along, the real parts of the harmonics.
    pub(super) places: Vec<([f64; 2], [f64; N_HARMONICS])>,
    pub(super) linear: Vec<f64>,
    pub(super) factor: Vec<Vec<f64>>,
}

impl Light {
    /// Fitted to what was seen at those places.
    pub(super) fn of(
        places: Vec<([f64; 2], [f64; N_HARMONICS])>,
        seen: &[f64],
        weights: &[f64],
    ) -> Light {
        let mut equations = NormalEquations::new(N_LINEAR);
        for ((at, harmonics), (weight, light)) in places.iter().zip(weights.iter().zip(seen)) {
            equations.add(&columns(*at, harmonics), *light, *weight);
        }
        let (linear, factor) = equations.ridged().solved();
        Light {
            linear,
            places,
            factor,
        }
    }

    pub(super) fn computed(&self, place: usize) -> f64 {
        let (at, harmonics) = &self.places[place];
        let columns = columns(*at, harmonics);
        dot(&columns, &self.linear)
    }
}

/// Flat, tilted and bent over the disc.
pub(super) fn shape([x, y]: [f64; 2]) -> [f64; 6] {
    [1.0, x, y, x * x, x * y, y * y]
}

pub(super) fn columns(at: [f64; 2], harmonics: &[f64; N_HARMONICS]) -> [f64; N_LINEAR] {
    let shape = shape(at);
    std::array::from_fn(|idx| match idx {
        idx if idx < 6 => shape[idx] * harmonics[0],
        idx if idx < 12 => shape[idx - 6] * harmonics[1],
        idx if idx < 17 => harmonics[idx - 10],
        _ => 1.0,
    })
}

/// How the light at a place changes with each harmonic's real part.
pub(super) fn by_harmonic(at: [f64; 2], linear: &[f64]) -> [f64; N_HARMONICS] {
    let shape = shape(at);
    let sum = |from: usize| dot(&shape, &linear[from..]);
    std::array::from_fn(|harmonic| match harmonic {
        0 => sum(0),
        1 => sum(6),
        more => linear[10 + more],
    })
}
