//! The Bessel function of a round spot.
//!
//! Source: Abramowitz & Stegun 1964, polynomial approximations 9.4.4 and 9.4.6.

/// 2 J₁(x) / x, 1 at the origin: the spectrum of a uniform disc. Within 1e-7.
pub(super) fn jinc(x: f64) -> f64 {
    let x = x.abs();
    if x < 3.0 { jinc_near(x) } else { jinc_far(x) }
}

fn jinc_near(x: f64) -> f64 {
    const C: [f64; 7] = [
        0.5,
        -0.562_499_85,
        0.210_935_73,
        -0.039_542_89,
        0.004_433_19,
        -0.000_317_61,
        0.000_011_09,
    ];
    2.0 * polynomial(&C, (x / 3.0).powi(2))
}

fn jinc_far(x: f64) -> f64 {
    const AMPLITUDE: [f64; 7] = [
        0.797_884_56,
        0.000_001_56,
        0.016_596_67,
        0.000_171_05,
        -0.002_495_11,
        0.001_136_53,
        -0.000_200_33,
    ];
    const PHASE: [f64; 7] = [
        -2.356_194_49,
        0.124_996_12,
        0.000_056_50,
        -0.006_378_79,
        0.000_743_48,
        0.000_798_24,
        -0.000_291_66,
    ];
    let t = 3.0 / x;
    2.0 * polynomial(&AMPLITUDE, t) * (x + polynomial(&PHASE, t)).cos() / (x * x.sqrt())
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    use super::jinc;

    #[test]
    fn jinc_as_tabulated() {
        // Abramowitz & Stegun, table 9.1: J1(x).
        let rows = [
            (0.5, 0.242_268_457_7),
            (1.0, 0.440_050_585_7),
            (2.0, 0.576_724_807_8),
            (5.0, -0.327_579_137_6),
            (10.0, 0.043_472_746_2),
        ];
        for (x, j1) in rows {
            let got = jinc(x);
            assert!((got - 2.0 * j1 / x).abs() < 1e-7, "x = {x}: {got}");
        }
        assert!((jinc(0.0) - 1.0).abs() < 1e-12);
        assert!(jinc(3.831_705_970_2).abs() < 1e-7); // first zero of J1, table 9.5
    }
}
