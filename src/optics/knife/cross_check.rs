//! Two plainer ways from readings to a wavefront, to hold beside the spline.

use crate::linear::NormalEquations;
use crate::optics::evidence::disc::Disc;
use crate::optics::quadrature::legendre;

/// Steepness by straight lines in r^2 from zone to zone, the outer ones going on to the middle and
/// the rim. Exact for every conic, follows every slip of a reading.
pub(super) fn by_straight_lines(disc: &Disc, x: &[f64], steepness_nm: &[f64]) -> Vec<f64> {
    let along = |at: &f64| {
        let right = x.partition_point(|zone| zone < at).clamp(1, x.len() - 1);
        let (from, to) = (right - 1, right);
        let share = (at - x[from]) / (x[to] - x[from]);
        steepness_nm[from] + share * (steepness_nm[to] - steepness_nm[from])
    };
    disc.x.iter().map(along).collect()
}

/// Steepness by least squares: a polynomial in r^2 of second degree up to five zones, third from six
/// on. Right for smooth mirrors, blind to a narrow ring.
pub(super) fn by_polynomial(disc: &Disc, x: &[f64], steepness_nm: &[f64]) -> Vec<f64> {
    let terms = match x.len() {
        few @ 0..=3 => few,
        4 | 5 => 3,
        _ => 4,
    };
    // Well separated, so that the normal equations keep their digits.
    let basis = |at: f64| (0..terms).map(move |power| legendre(power, 2.0 * at - 1.0).0);
    let mut equations = NormalEquations::new(terms);
    for (at, steepness) in x.iter().zip(steepness_nm) {
        let row: Vec<f64> = basis(*at).collect();
        equations.add(&row, *steepness, 1.0);
    }
    let (coefficients, _) = equations.solved();
    let value = |at: &f64| basis(*at).zip(&coefficients).map(|(b, c)| b * c).sum();
    disc.x.iter().map(value).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_conic_comes_back_both_ways() {
        let disc = Disc::new(0.2, 0.04, 550.0);
        let line = |x: f64| 120.0 - 730.0 * x;
        for x in [
            vec![0.1, 0.9],
            vec![0.1, 0.5, 0.9],
            vec![0.05, 0.3, 0.5, 0.7, 0.9],
            vec![0.05, 0.2, 0.3, 0.5, 0.7, 0.8, 0.97],
        ] {
            let steepness: Vec<f64> = x.iter().map(|x| line(*x)).collect();
            for way in [by_straight_lines, by_polynomial] {
                for (got, at) in way(&disc, &x, &steepness).iter().zip(&disc.x) {
                    assert!((got - line(*at)).abs() < 1e-9, "{got} at {at}");
                }
            }
        }
    }
}
