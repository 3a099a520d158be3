//! Two stars beside each other: whether they look like two, and how much of one's light lies where
//! the other stands.

use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

use crate::eye::aided::AidedEye;
use crate::eye::spectra::{Light, on_dark};

/// A pair as the spectra need it.
pub(super) struct Stars {
    pub(super) separation_arcsec: f64,
    /// By how much the fainter is fainter.
    pub(super) difference_mag: f64,
}

/// Two points less a bell-shaped blob just as long, averaged over directions; what they are judged
/// against is that blob's peak.
///
/// Of an unequal pair the fainter star and as much light of the brighter make an equal pair; the
/// excess of the brighter only lies over it, as dense as at the fainter star's place.
pub(super) fn pair(eye: &AidedEye, stars: &Stars, light: &Light) -> f64 {
    let s = eye.at_eye_deg(stars.separation_arcsec);
    let flux = eye.at_eye_deg(1.0).powi(2) * light.ground_td;
    let twins = flux * 2.0 * faint_share(stars.difference_mag);
    let blob = |u: f64| TABLES.blob.at(PI * s * u);
    let blob_peak_td = twins * eye.peak_per_flux(blob);
    let excess_td = (flux - twins) * density_beside(eye, s);
    let judged_td = blob_peak_td + excess_td + light.veil_td;
    on_dark(eye, twins, judged_td, |u| TABLES.not_blob.at(PI * s * u))
}

/// The fainter star's part of both stars' light: a half for an equal pair.
fn faint_share(difference_mag: f64) -> f64 {
    1.0 / (1.0 + 10f64.powf(0.4 * difference_mag.abs()))
}

impl AidedEye {
    /// Share of a star's light that falls on one square arcsecond of sky at a distance from it, on
    /// the retina: the star's own image, its rings with the mirror's errors in them, what the air
    /// throws out and the eye's blur. Its glare over wider angles ([`super::glare`]) is not in it.
    ///
    /// Falls with distance and with every improvement of the transfer functions. Right within a few
    /// per cent where rings carry it, within a fifth where the air's halo does.
    pub fn light_beside_per_arcsec2(&self, distance_arcsec: f64) -> f64 {
        density_beside(self, self.at_eye_deg(distance_arcsec)) * self.at_eye_deg(1.0).powi(2)
    }

    /// The same at the middle of the star's image.
    pub fn light_at_centre_per_arcsec2(&self) -> f64 {
        self.point_peak_per_flux() * self.at_eye_deg(1.0).powi(2)
    }
}

/// The same, all in degrees at the eye.
fn density_beside(eye: &AidedEye, distance_deg: f64) -> f64 {
    let outside = eye.outside(distance_deg) / distance_deg.powi(2);
    eye.point_peak_per_flux().min(DENSITY_OF_OUTSIDE * outside)
}

/// Density at a radius over (light outside / radius²), for the light outside a bell-shaped hole
/// and rings that fall as radius^-3, as those of any sharp-edged opening do:
///
/// with a transfer function 1 - k f near f = 0 the rings have density k / (4π² r³), and the light
/// outside is ∫ k (x / r) 4π² x exp(-2π² x²) dx = k / (2 √(2π) r). The ratio is √(2π) / (2π²).
const DENSITY_OF_OUTSIDE: f64 = 0.126_987_271_868_481_97;

/// A function of the phase π · separation · frequency, from 0 up.
struct Table {
    values: Vec<f64>,
    beyond: fn(f64, f64) -> f64,
}

impl Table {
    fn of(function: impl Fn(f64) -> f64, beyond: fn(f64, f64) -> f64) -> Table {
        let values = (0..=PHASES).map(|idx| function(idx as f64 * PHASE_STEP));
        Table {
            values: values.collect(),
            beyond,
        }
    }

    /// Straight lines between the rows.
    fn at(&self, phase: f64) -> f64 {
        let row = phase / PHASE_STEP;
        let whole = row as usize;
        match (self.values.get(whole), self.values.get(whole + 1)) {
            (Some(low), Some(high)) => low + (high - low) * row.fract(),
            _ => (self.beyond)(phase, self.values[PHASES]),
        }
    }
}

const PHASES: usize = 800;
const PHASE_STEP: f64 = 0.02;

/// What an equal pair needs, averaged over all directions of the frequency against the pair's.
struct Tables {
    /// Spectrum of the blob.
    blob: Table,
    /// Squared spectrum of the pair less the blob. Raised to its highest value so far: two stars
    /// farther apart never look less like two.
    not_blob: Table,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let blob = |phase: f64| (-0.5 * phase * phase).exp();
    let mut highest: f64 = 0.0;
    let mut not_blob = Table::of(
        |phase| over_directions(phase, |p| (p.cos() - blob(p)).powi(2)),
        |_, last| last,
    );
    for value in &mut not_blob.values {
        highest = highest.max(*value);
        *value = highest;
    }
    Tables {
        // A bell's mean over directions falls as 1 / phase in the end.
        blob: Table::of(
            |phase| over_directions(phase, blob),
            |phase, last| last * PHASES as f64 * PHASE_STEP / phase,
        ),
        not_blob,
    }
});

/// Mean over all directions of a function of `phase` times the direction's cosine.
fn over_directions(phase: f64, function: impl Fn(f64) -> f64) -> f64 {
    const DIRECTIONS: usize = 256;
    let angle = |idx: usize| TAU / 4.0 * (idx as f64 + 0.5) / DIRECTIONS as f64;
    let sum: f64 = (0..DIRECTIONS)
        .map(|idx| function(phase * angle(idx).cos()))
        .sum();
    sum / DIRECTIONS as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    const APERTURE_MM: f64 = 100.0;
    const LAMBDA_OVER_APERTURE_ARCSEC: f64 = 550e-6 / APERTURE_MM * 206_264.806;

    /// A perfect round opening at so high a power that the eye's own blur is small.
    fn eye() -> AidedEye {
        AidedEye::new(400.0, 0.25, &|f| {
            let x = (f * LAMBDA_OVER_APERTURE_ARCSEC).min(1.0);
            2.0 / PI * (x.acos() - x * (1.0 - x * x).sqrt())
        })
    }

    #[test]
    fn rings_as_their_asymptote() {
        // Mean of Airy's rings far out: λ/D / (π³ θ³), from the asymptote of J1 (Born & Wolf, 8.5).
        for rings_out in [6.0, 10.0, 20.0] {
            let distance_arcsec = rings_out * LAMBDA_OVER_APERTURE_ARCSEC;
            let want = LAMBDA_OVER_APERTURE_ARCSEC / (PI.powi(3) * distance_arcsec.powi(3));
            let got = eye().light_beside_per_arcsec2(distance_arcsec);
            assert!(
                (got / want - 1.0).abs() < 0.05,
                "{rings_out}: want {want}, got {got}"
            );
        }
    }

    #[test]
    fn the_middle_as_airy() {
        // Peak of Airy's pattern: π/4 (D/λ)². The eye's blur of 0.08" takes a few per cent.
        let want = PI / 4.0 / LAMBDA_OVER_APERTURE_ARCSEC.powi(2);
        let got = eye().light_at_centre_per_arcsec2();
        assert!(0.93 * want < got && got < want, "want {want}, got {got}");
        assert_eq!(eye().light_beside_per_arcsec2(0.0), got);
    }

    #[test]
    fn light_falls_with_distance() {
        let at = |step: i32| eye().light_beside_per_arcsec2(0.05 * 1.05f64.powi(step));
        assert!((0..150).all(|step| at(step + 1) <= at(step)));
    }

    #[test]
    fn an_unequal_pair_is_an_equal_one_with_more_light_over_it() {
        let light = Light {
            ground_td: 200.0,
            veil_td: 1.0,
        };
        let seen = |difference_mag| {
            let stars = Stars {
                separation_arcsec: 1.5,
                difference_mag,
            };
            pair(&eye(), &stars, &light)
        };
        assert!((seen(1e-9) / seen(0.0) - 1.0).abs() < 1e-6);
        assert!(seen(1.0) < seen(0.5) && seen(6.0) < 0.1 * seen(1.0));
    }
}
