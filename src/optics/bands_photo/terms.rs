//! The wavefront that the bands are fitted with: smooth terms over the whole mirror, and two that the rim has for itself.

use crate::linear::dot;

/// Legendre polynomials in `2 rho² - 1`, from the first (focus) on: Zernike's round terms.
pub const N_SMOOTH: usize = 11;

/// Where the terms of the rim begin, of the radius.
pub const RIM_FROM: [f64; 2] = [0.96, 0.90];

/// All of them.
pub const N_TERMS: usize = N_SMOOTH + RIM_FROM.len();

/// Each term's height at a distance from the middle, of the radius.
pub fn terms(rho: f64) -> [f64; N_TERMS] {
    let x = 2.0 * rho * rho - 1.0;
    let mut all = [0.0; N_TERMS];
    let (mut before, mut now) = (1.0, x);
    for (idx, term) in all[..N_SMOOTH].iter_mut().enumerate() {
        *term = now;
        let j = (idx + 1) as f64;
        // Bonnet's recursion.
        (before, now) = (now, ((2.0 * j + 1.0) * x * now - j * before) / (j + 1.0));
    }
    for (term, from) in all[N_SMOOTH..].iter_mut().zip(RIM_FROM) {
        *term = ((rho - from) / (1.0 - from)).max(0.0).powi(2);
    }
    all
}

/// Height of a wavefront of such terms, in their unit.
pub fn height(coefficients: &[f64; N_TERMS], rho: f64) -> f64 {
    dot(&terms(rho), coefficients)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::quadrature::legendre;

    /// Abramowitz & Stegun 22.3: P2 and P3 by their powers; all are 1 at the rim, and those of the quadrature everywhere.
    #[test]
    fn legendre_polynomials() {
        for rho in [0.0f64, 0.3, 0.8, 1.0] {
            let (all, x) = (terms(rho), 2.0 * rho * rho - 1.0);
            assert!((all[1] - (1.5 * x * x - 0.5)).abs() < 1e-14);
            assert!((all[2] - (2.5 * x.powi(3) - 1.5 * x)).abs() < 1e-14);
            for (idx, term) in all[..N_SMOOTH].iter().enumerate() {
                assert!((term - legendre(idx + 1, x).0).abs() < 1e-13);
            }
        }
        assert!(terms(1.0).iter().all(|term| (term - 1.0).abs() < 1e-12));
        assert_eq!(terms(0.9)[N_SMOOTH..], [0.0, 0.0]);
    }
}
