//! Conics and Zernike polynomials.

use super::{BITS, Exact, keeps, relative_error};
use skyworthy::optics::conic::{Conic, Hollow, Ray};
use skyworthy::optics::zernike::{HIGHEST_TESTED_ORDER, radial};

/// Mirrors of the trade and worse: `(radius of curvature mm, conic constant)`.
const CONICS: [(f64, f64); 7] = [
    (2400.0, -1.0),
    (1800.0, -1.0),
    (2700.0, -0.9),
    (2000.0, -1.1),
    (3600.0, -0.01),
    (2600.0, 0.2),
    (700.0, -1.0),
];

/// From the vertex to the rim, mm.
const FROM_AXIS_MM: [f64; 7] = [0.001, 0.1, 1.0, 10.0, 57.0, 75.0, 150.0];

/// Plain form: `R (1 - sqrt(1 - (1+k) r^2/R^2)) / (1+k)`, and `r^2 / 2R` for the paraboloid.
pub fn sagitta(r: f64, radius: f64, k: f64) -> Exact {
    let (r, radius) = (Exact::of(r), Exact::of(radius));
    let stretch = Exact::of(1.0).plus(&Exact::of(k));
    if k == -1.0 {
        return r.squared().over(&radius.plus(&radius));
    }
    let under = Exact::of(1.0).minus(&stretch.times(&r.over(&radius).squared()));
    let depth = Exact::of(1.0).minus(&under.root());
    radius.times(&depth).over(&stretch)
}

#[test]
fn sagittas_keep_fifteen_digits() {
    for (radius, k) in CONICS {
        for r in FROM_AXIS_MM {
            let conic = Conic {
                radius_of_curvature_mm: radius,
                conic_constant: k,
            };
            let got = conic.sagitta_mm(r).expect("on the mirror");
            keeps(15.0, "sagitta", got, &sagitta(r, radius, k));
            let exact = sagitta(r, radius, 0.0);
            let got = Conic::sphere(radius).sagitta_mm(r).expect("on the mirror");
            keeps(15.0, "sphere", got, &exact);
        }
    }
}

/// The difference of two depths that agree to up to thirteen digits.
#[test]
fn conic_less_sphere_keeps_fifteen_digits() {
    let mut worst_naive = 0.0f64;
    for (radius, k) in CONICS {
        for r in FROM_AXIS_MM {
            let conic = Conic {
                radius_of_curvature_mm: radius,
                conic_constant: k,
            };
            let exact = sagitta(r, radius, k).minus(&sagitta(r, radius, 0.0));
            let got = conic.minus_sphere_mm(r).expect("on the mirror");
            keeps(14.9, "conic less sphere", got, &exact);
            let depth = |conic: Conic| conic.sagitta_mm(r).expect("on the mirror");
            let naive = depth(conic) - depth(Conic::sphere(radius));
            worst_naive = worst_naive.max(relative_error(naive, &exact));
        }
    }
    // Why the form matters: subtracting the sagittas loses everything near the vertex.
    assert!(
        worst_naive > 1e-6,
        "subtraction alone would do: {worst_naive}"
    );
}

/// Path to the focus less that of the middle ray, from lengths of a metre.
fn path_nm(radius: f64, k: f64, ray: Ray) -> Exact {
    let z = sagitta(ray.from_axis_mm, radius, k);
    let focus = Exact::of(radius / 2.0).plus(&Exact::of(ray.focus_shift_mm));
    let across = Exact::of(ray.from_axis_mm).squared();
    let to_focus = across.plus(&focus.minus(&z).squared()).root();
    to_focus.minus(&focus).minus(&z).times(&Exact::of(1e6))
}

/// Fourteen digits at the paraxial focus; a billionth of a nanometre at the best one, where the
/// path crosses zero on its way to the rim.
#[test]
fn ray_paths_keep_fourteen_digits() {
    for (radius, k) in CONICS.into_iter().filter(|(_, k)| *k != -1.0) {
        let conic = Conic {
            radius_of_curvature_mm: radius,
            conic_constant: k,
        };
        for r in FROM_AXIS_MM {
            let paraxial = Ray {
                from_axis_mm: r,
                focus_shift_mm: 0.0,
            };
            let got = conic.path_nm(paraxial).expect("on the mirror");
            keeps(14.0, "paraxial", got, &path_nm(radius, k, paraxial));
            let best = Ray {
                focus_shift_mm: conic.best_focus_shift_mm(300.0),
                ..paraxial
            };
            let got = Exact::of(conic.path_nm(best).expect("on the mirror"));
            let miss = got.minus(&path_nm(radius, k, best)).to_f64().abs();
            assert!(miss < 1e-9, "R {radius}, k {k}, r {r}: off by {miss:e} nm");
        }
    }
}

/// Radius from a sagitta, and back to the sagitta.
#[test]
fn sagitta_inverts_to_fifteen_digits() {
    for (radius, _) in CONICS {
        for r in [20.0, 57.0, 75.0, 150.0] {
            let sagitta_mm = Conic::sphere(radius).sagitta_mm(r).expect("on the mirror");
            let hollow = Hollow {
                from_axis_mm: r,
                sagitta_mm,
            };
            let s = Exact::of(sagitta_mm);
            let squares = Exact::of(r).squared().plus(&s.squared());
            let exact = squares.over(&s.plus(&s));
            let back = hollow.radius_of_curvature_mm();
            keeps(15.0, "radius", back, &exact);
            keeps(15.0, "round trip", back, &Exact::of(radius));
        }
    }
}

/// The explicit alternating sum, in which coefficients of 38 digits cancel to within 1.
fn radial_sum(n: u32, m: u32, rho: f64) -> Exact {
    const WIDE: usize = 3 * BITS;
    let number = |value: u32| Exact::with_bits(f64::from(value), WIDE);
    let rho_squared = Exact::with_bits(rho, WIDE).squared();
    let mut power = Exact::with_bits(1.0, WIDE);
    for _ in 0..m {
        power = power.times(&Exact::with_bits(rho, WIDE));
    }
    // From the lowest power up: rho^m, its coefficient, and the ratio of one to the next.
    let (half_sum, half_difference) = ((n + m) / 2, (n - m) / 2);
    let mut coefficient = number(1);
    for i in 1..=half_difference {
        coefficient = coefficient
            .times(&number(half_sum - half_difference + i))
            .over(&number(i));
    }
    let mut sum = number(0);
    for j in 0..=half_difference {
        let term = coefficient.times(&power);
        let minus = (half_difference - j) % 2 == 1;
        sum = if minus {
            sum.minus(&term)
        } else {
            sum.plus(&term)
        };
        power = power.times(&rho_squared);
        if j < half_difference {
            let up = number(half_sum + 1 + j).times(&number(half_difference - j));
            let down = number(j + 1).times(&number(m + 1 + j));
            coefficient = coefficient.times(&up).over(&down);
        }
    }
    sum
}

/// Absolute, since the polynomials cross zero and stay within one of it. (The alternating sum in
/// f64 is off by 5e4 at n = 60, rho = 0.97.)
#[test]
fn zernike_radials_keep_thirteen_decimals_to_the_highest_order() {
    for n in [4, 10, 30, 60, HIGHEST_TESTED_ORDER] {
        for m in [0, 2, n / 4 * 2, n - 2, n] {
            for rho in [0.0, 0.05, 0.3, 0.61, 0.9, 0.97, 0.999, 1.0] {
                let got = Exact::with_bits(radial(n, m, rho), 3 * BITS);
                let miss = got.minus(&radial_sum(n, m, rho)).to_f64().abs();
                assert!(miss < 1e-13, "n {n}, m {m}, rho {rho}: off by {miss:e}");
            }
        }
    }
}
