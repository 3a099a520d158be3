//! The light of one picture as far as it is linear: even light, first harmonic and their changes over the disc, higher harmonics,
//! a veil.

use crate::linear::{cholesky, solved};

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
        let mut normal = vec![vec![0.0; N_LINEAR]; N_LINEAR];
        let mut right = vec![0.0; N_LINEAR];
        for ((at, harmonics), (weight, light)) in places.iter().zip(weights.iter().zip(seen)) {
            let columns = columns(*at, harmonics);
            for i in 0..N_LINEAR {
                let weighed = weight * columns[i];
                right[i] += weighed * light;
                for j in 0..=i {
                    normal[i][j] += weighed * columns[j];
                }
            }
        }
        for (i, row) in normal.iter_mut().enumerate() {
            row[i] = row[i] * (1.0 + 1e-9) + 1e-9;
        }
        let factor = cholesky(normal);
        Light {
            linear: solved(&factor, &right),
            places,
            factor,
        }
    }

    pub(super) fn computed(&self, place: usize) -> f64 {
        let (at, harmonics) = &self.places[place];
        let columns = columns(*at, harmonics);
        columns.iter().zip(&self.linear).map(|(a, b)| a * b).sum()
    }
}

fn shape([x, y]: [f64; 2]) -> [f64; 6] {
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
    let sum = |from: usize| shape.iter().zip(&linear[from..]).map(|(a, b)| a * b).sum();
    std::array::from_fn(|harmonic| match harmonic {
        0 => sum(0),
        1 => sum(6),
        more => linear[10 + more],
    })
}
