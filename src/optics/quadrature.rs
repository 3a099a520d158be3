//! Gauss-Legendre nodes: exact integrals of polynomials from few points.

use std::f64::consts::PI;

/// Nodes and weights on `[-1, 1]`; exact up to degree `2 n - 1`.
///
/// Newton's iteration on the Legendre polynomial from Tricomi's first guess. Good to about 1e-15
/// for the orders used here (at most a few hundred).
pub fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            for _ in 0..NEWTON_STEPS {
                let (p, slope) = legendre(n, x);
                x -= p / slope;
            }
            let (_, slope) = legendre(n, x);
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Legendre's polynomial of degree `n` and its derivative; between -1 and 1.
pub(super) fn legendre(n: usize, x: f64) -> (f64, f64) {
    let (mut before, mut here) = (0.0, 1.0);
    for k in 1..=n {
        let k = k as f64;
        (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
    }
    (here, n as f64 * (before - x * here) / (1.0 - x * x))
}

/// Quadratic convergence from a guess good to three digits.
const NEWTON_STEPS: usize = 5;

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz & Stegun, table 25.4, n = 5.
    #[test]
    fn five_nodes_as_tabled() {
        let nodes = gauss_legendre(5);
        for ((x, w), (want_x, want_w)) in nodes.into_iter().zip([
            (0.906179845938664, 0.236926885056189),
            (0.538469310105683, 0.478628670499366),
            (0.0, 0.568888888888889),
            (-0.538469310105683, 0.478628670499366),
            (-0.906179845938664, 0.236926885056189),
        ]) {
            assert!(
                (x - want_x).abs() < 1e-15 && (w - want_w).abs() < 1e-15,
                "{x} {w}"
            );
        }
    }

    #[test]
    fn many_nodes_integrate_a_high_power() {
        let integral: f64 = gauss_legendre(200)
            .iter()
            .map(|(x, w)| w * x.powi(300))
            .sum();
        assert!((integral - 2.0 / 301.0).abs() < 1e-15, "{integral}");
    }
}
