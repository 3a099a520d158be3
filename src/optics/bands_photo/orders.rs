//! What a grating near the centre of curvature shows of a wavefront, with diffraction: copies of the mirror, each moved aside by
//! an order's shear, that interfere.
//!
//! Light of order n reaches the eye from `U_n(X) = c_n P(X + n S) exp(i k W(X + n S) - i n phi)`, `c_n` the transform of a ruling
//! half open, S the shear `wavelength L / p` across the bars, phi the ruling's place in the beam. What is seen is the square of
//! their sum. Its harmonics `F_h = sum U_n conj(U_(n-h))` are kept apart: slit, blur and the picture's tones change each of them as a
//! whole.
//!
//! Exact for a point of light of one colour and a flat ruling (Fresnel); orders beyond the fifth are left out (0.002 of the light).

use std::f64::consts::TAU;

use rustfft::num_complex::Complex64;

use crate::linear::dot;

use super::terms::{N_TERMS, height, terms};

/// Harmonics that are told apart, the even light among them.
pub const N_HARMONICS: usize = 7;

/// Orders of a ruling half open: even ones but the zeroth are dark.
const ORDERS: [i32; 7] = [-5, -3, -1, 0, 1, 3, 5];

/// Share of the amplitude: half a sinc of half the order.
fn amplitude(order: i32) -> f64 {
    match order {
        0 => 0.5,
        n => {
            (0.5 * f64::from(n) * std::f64::consts::PI).sin()
                / (f64::from(n) * std::f64::consts::PI)
        }
    }
}

/// A wavefront behind a ruling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ruled {
    /// Of the wavefront's terms, nm, from the centre of the grating's plane.
    pub coefficients_nm: [f64; N_TERMS],
    /// Astigmatism: of `rho² cos 2t` and `rho² sin 2t`, t from across the bars, nm.
    pub astigmatism_nm: [f64; 2],
    /// Of one order, of the mirror's radius.
    pub shear: f64,
    /// Of the ruling in the beam, radians.
    pub ruling_phase: f64,
    /// Of the light, nm.
    pub wavelength_nm: f64,
    /// Over which the rim fades, of the radius.
    pub rim_softness: f64,
}

/// At one place of the mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandLight {
    /// `F_0` to `F_6`.
    pub harmonics: [Complex64; N_HARMONICS],
}

/// How the real parts of the harmonics change with each unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Slopes {
    /// By term, then by harmonic from the first on, per nm.
    pub by_term: [[f64; N_HARMONICS]; N_TERMS],
    /// By each part of the astigmatism.
    pub by_astigmatism: [[f64; N_HARMONICS]; 2],
    /// By the ruling's phase, per radian.
    pub by_phase: [f64; N_HARMONICS],
}

struct Order {
    number: i32,
    light: Complex64,
    terms: [f64; N_TERMS],
    astigmatism: [f64; 2],
}

impl Ruled {
    fn order(&self, number: i32, across: f64, along: f64) -> Order {
        let across = across + f64::from(number) * self.shear;
        let rho = across.hypot(along);
        let terms = terms(rho.min(1.0 + 0.1));
        let astigmatism = [across * across - along * along, 2.0 * across * along];
        let path_nm = dot(&terms, &self.coefficients_nm) + dot(&astigmatism, &self.astigmatism_nm);
        let phase = TAU * path_nm / self.wavelength_nm - f64::from(number) * self.ruling_phase;
        let open = 1.0 / (1.0 + ((rho - 1.0) / self.rim_softness).min(60.0).exp());
        Order {
            number,
            light: Complex64::from_polar(amplitude(number) * open, phase),
            terms,
            astigmatism,
        }
    }

    /// Of a place across and along the bars, of the radius from the middle.
    pub fn seen(&self, across: f64, along: f64) -> BandLight {
        let orders = ORDERS.map(|number| self.order(number, across, along));
        let mut harmonics = [Complex64::default(); N_HARMONICS];
        for (a, b, harmonic) in pairs(&orders) {
            harmonics[harmonic] += a.light * b.light.conj();
        }
        BandLight { harmonics }
    }

    /// The same with its slopes.
    pub fn seen_with_slopes(&self, across: f64, along: f64) -> (BandLight, Slopes) {
        let orders = ORDERS.map(|number| self.order(number, across, along));
        let wave_number = TAU / self.wavelength_nm;
        let mut harmonics = [Complex64::default(); N_HARMONICS];
        let mut slopes = Slopes {
            by_term: [[0.0; N_HARMONICS]; N_TERMS],
            by_astigmatism: [[0.0; N_HARMONICS]; 2],
            by_phase: [0.0; N_HARMONICS],
        };
        for (a, b, harmonic) in pairs(&orders) {
            let light = a.light * b.light.conj();
            harmonics[harmonic] += light;
            if harmonic == 0 {
                continue;
            }
            // The real part of i k light.
            let turned = -wave_number * light.im;
            for (idx, slope) in slopes.by_term.iter_mut().enumerate() {
                slope[harmonic] += turned * (a.terms[idx] - b.terms[idx]);
            }
            for (idx, slope) in slopes.by_astigmatism.iter_mut().enumerate() {
                slope[harmonic] += turned * (a.astigmatism[idx] - b.astigmatism[idx]);
            }
        }
        for (harmonic, slope) in slopes.by_phase.iter_mut().enumerate() {
            *slope = harmonic as f64 * harmonics[harmonic].im;
        }
        (BandLight { harmonics }, slopes)
    }

    /// Height at a distance from the middle, nm, without astigmatism.
    pub fn height_nm(&self, rho: f64) -> f64 {
        height(&self.coefficients_nm, rho)
    }
}

/// Pairs of orders and the harmonic they make.
fn pairs(orders: &[Order; 7]) -> impl Iterator<Item = (&Order, &Order, usize)> {
    orders.iter().flat_map(move |a| {
        orders.iter().filter_map(move |b| {
            let harmonic = usize::try_from(a.number - b.number).ok()?;
            (harmonic < N_HARMONICS).then_some((a, b, harmonic))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// 200 mm f/5 as a paraboloid, grating 6 mm inside: its path to P4, as the exact one differs by 0.2 %.
    fn ruled(period_mm: f64) -> (Ruled, f64) {
        let (rim_mm, radius_mm, offset_mm) = (100.0f64, 2000.0f64, -6.0f64);
        let quartic_nm = rim_mm.powi(4) / (4.0 * radius_mm.powi(3)) * 1e6;
        let mut coefficients_nm = [0.0; N_TERMS];
        coefficients_nm[0] =
            quartic_nm / 2.0 - offset_mm * rim_mm * rim_mm / (4.0 * radius_mm * radius_mm) * 1e6;
        coefficients_nm[1] = quartic_nm / 6.0;
        let ruled = Ruled {
            coefficients_nm,
            astigmatism_nm: [0.0; 2],
            shear: 550e-6 * (radius_mm + offset_mm) / period_mm / rim_mm,
            ruling_phase: 0.0,
            wavelength_nm: 550.0,
            rim_softness: 1e-6,
        };
        (ruled, rim_mm)
    }

    /// Computed apart by an explicit transform to the grating and back: F_0, |F_1| and the light, to what the path's higher
    /// orders leave (a fifth of a percent of some twenty waves).
    #[test]
    fn light_behind_a_ruling() {
        for (period_mm, x, y, f0, f1, light) in [
            (0.25, 0.0, 0.0, 0.48326, (0.31396, 0.0), 1.15505),
            (0.25, 30.0, 40.0, 0.48326, (-0.28515, 0.12241), 0.01429),
            (0.25, -72.0, 10.0, 0.48326, (0.00880, -0.29537), 0.40994),
            (0.1, 0.0, 0.0, 0.48326, (0.16147, 0.0), 1.14788),
            (0.1, 30.0, 40.0, 0.48326, (0.04229, 0.02922), 0.75693),
            (0.1, -72.0, 10.0, 0.46795, (-0.15705, 0.17002), 0.15179),
        ] {
            let (ruled, rim_mm) = ruled(period_mm);
            let seen = ruled.seen(x / rim_mm, y / rim_mm);
            close("F_0", seen.harmonics[0].re, f0, 2e-5);
            close("Re F_1", seen.harmonics[1].re, f1.0, 0.01);
            close("Im F_1", seen.harmonics[1].im, f1.1, 0.01);
            let whole: Complex64 = ORDERS
                .map(|number| ruled.order(number, x / rim_mm, y / rim_mm).light)
                .into_iter()
                .sum();
            close("light", whole.norm_sqr(), light, 0.02);
        }
    }

    /// Against differences of a thousandth.
    #[test]
    fn slopes_are_those_of_the_light() {
        let (mut ruled, _) = ruled(0.1);
        ruled.astigmatism_nm = [40.0, -25.0];
        ruled.ruling_phase = 0.7;
        let (across, along) = (0.37, -0.52);
        let (_, slopes) = ruled.seen_with_slopes(across, along);
        let moved = |change: &dyn Fn(&mut Ruled, f64)| {
            let at = |by: f64| {
                let mut moved = ruled;
                change(&mut moved, by);
                moved.seen(across, along)
            };
            let (low, high) = (at(-1e-3), at(1e-3));
            (0..N_HARMONICS).map(move |h| (high.harmonics[h].re - low.harmonics[h].re) / 2e-3)
        };
        for idx in 0..N_TERMS {
            let want = moved(&move |it, by| it.coefficients_nm[idx] += by);
            for (got, want) in slopes.by_term[idx].iter().zip(want) {
                close("term", *got, want, 1e-7);
            }
        }
        for idx in 0..2 {
            let want = moved(&move |it, by| it.astigmatism_nm[idx] += by);
            for (got, want) in slopes.by_astigmatism[idx].iter().zip(want) {
                close("astigmatism", *got, want, 1e-7);
            }
        }
        for (got, want) in slopes
            .by_phase
            .iter()
            .zip(moved(&|it, by| it.ruling_phase += by))
        {
            close("phase", *got, want, 1e-6);
        }
    }
}
