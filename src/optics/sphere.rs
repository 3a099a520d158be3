//! Sphere or paraboloid: whether a mirror whose bands are straight at the centre of curvature can
//! be left as it is.
//!
//! A star's image in a sphere at its best focus, by exact paths. The rule is Rayleigh's: a quarter of
//! a wave peak to valley on the wavefront is borne; an eighth is for whoever wants more.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::conic::Conic;
use crate::optics::wavefront::Wavefront;
use crate::units::NM_PER_MM;

/// Peak to valley that is borne, waves: Rayleigh's rule, 1879.
pub const QUARTER_WAVE: f64 = 0.25;

/// Peak to valley for a demanding maker, waves: common practice, no source.
pub const EIGHTH_WAVE: f64 = 0.125;

/// What a sphere in a mirror's place comes to, at 550 nm, over the whole disc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sphere {
    /// Peak to valley at the focus of least RMS, waves on the wavefront.
    pub wavefront_pv_waves: f64,
    /// Root mean square at the same focus, waves on the wavefront.
    pub wavefront_rms_waves: f64,
    /// Peak of a star's image over that of the paraboloid, at the focus where it is highest.
    pub strehl: f64,
    /// How far it can be trusted.
    pub worth: SphereWorth,
    /// Shortest focal ratio at which a sphere of this aperture stays within a quarter of a wave.
    pub quarter_wave_focal_ratio: f64,
    /// The same for an eighth.
    pub eighth_wave_focal_ratio: f64,
}

/// Verdict on straight bands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SphereWorth {
    /// Within an eighth of a wave: nothing to gain by figuring.
    WithinEighth,
    /// Within a quarter of a wave: may be left.
    WithinQuarter,
    /// Beyond a quarter of a wave: needs the paraboloid.
    NeedsParaboloid,
}

impl Sphere {
    /// Of a mirror; exact paths, peak to valley good to 0.5 %, Strehl ratio to 1e-4.
    pub fn of(aperture_mm: f64, focal_length_mm: f64) -> Sphere {
        let quality = left_spherical(aperture_mm, focal_length_mm);
        let wavefront_pv_waves = quality.pv_waves;
        Sphere {
            wavefront_pv_waves,
            wavefront_rms_waves: quality.rms_waves,
            strehl: quality.strehl,
            worth: if wavefront_pv_waves <= EIGHTH_WAVE {
                SphereWorth::WithinEighth
            } else if wavefront_pv_waves <= QUARTER_WAVE {
                SphereWorth::WithinQuarter
            } else {
                SphereWorth::NeedsParaboloid
            },
            quarter_wave_focal_ratio: focal_ratio_needed(aperture_mm, QUARTER_WAVE),
            eighth_wave_focal_ratio: focal_ratio_needed(aperture_mm, EIGHTH_WAVE),
        }
    }

    /// Straight bands suffice: within a quarter of a wave.
    pub fn is_enough(self) -> bool {
        self.worth != SphereWorth::NeedsParaboloid
    }

    /// Beyond the quarter, by less than a tenth of it: no tester and no eye tells the difference.
    pub fn is_borderline(self) -> bool {
        QUARTER_WAVE < self.wavefront_pv_waves && self.wavefront_pv_waves <= 1.1 * QUARTER_WAVE
    }
}

/// Shortest focal ratio at which a sphere stays within so many waves peak to valley at 550 nm, by
/// exact paths.
pub fn focal_ratio_needed(aperture_mm: f64, pv_waves: f64) -> f64 {
    // The error goes as the inverse cube but for 1e-3: two steps are enough, three are sure.
    (0..STEPS).fold(rule_focal_ratio(aperture_mm, pv_waves), |ratio, _| {
        let got = left_spherical(aperture_mm, ratio * aperture_mm).pv_waves;
        ratio * (got / pv_waves).cbrt()
    })
}

/// The same in third order: peak to valley is `D / 2048 N^3`, so that a quarter of a wave at
/// 550 nm needs `N = 1.526 D^(1/3)`, D in mm. Within 0.1 % of exact paths from f/5.
pub fn rule_focal_ratio(aperture_mm: f64, pv_waves: f64) -> f64 {
    let pv_mm = pv_waves * REFERENCE_WAVELENGTH_NM / NM_PER_MM;
    (aperture_mm / (2048.0 * pv_mm)).cbrt()
}

struct Left {
    pv_waves: f64,
    rms_waves: f64,
    strehl: f64,
}

fn left_spherical(aperture_mm: f64, focal_length_mm: f64) -> Left {
    let wavefront = Wavefront::OfConic {
        conic: Conic::sphere(2.0 * focal_length_mm),
        aperture_mm,
    };
    let quality = wavefront.quality(UNOBSTRUCTED, REFERENCE_WAVELENGTH_NM);
    Left {
        pv_waves: quality.wavefront_pv_nm / REFERENCE_WAVELENGTH_NM,
        rms_waves: quality.wavefront_rms_nm / REFERENCE_WAVELENGTH_NM,
        strehl: quality.strehl,
    }
}

/// The rule is about the glass: a diagonal would hide part of its error.
const UNOBSTRUCTED: f64 = 0.0;

const STEPS: usize = 3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;
    use crate::units::MM_PER_INCH;

    /// Optical paths computed apart from this project, focus of least RMS, nm. The sampling's half
    /// percent for the peak to valley; half the last digit for the RMS, 0.009 where the focal ratio's
    /// own last digit makes that much.
    #[test]
    fn left_spherical_as_paths_have_it() {
        for (aperture_mm, focal_ratio, pv_nm, rms_nm) in [
            (114.0, 8.0, 108.749, Some((32.422, 5e-4))),
            (150.0, 8.0, 143.091, None),
            (200.0, 8.0, 190.788, None),
            (114.0, 7.399, 137.451, Some((40.978, 9e-3))),
        ] {
            let got = Sphere::of(aperture_mm, aperture_mm * focal_ratio);
            close("P-V", got.wavefront_pv_waves * 550.0 / pv_nm, 1.0, 5e-3);
            if let Some((rms_nm, tolerance_nm)) = rms_nm {
                close("RMS", got.wavefront_rms_waves * 550.0, rms_nm, tolerance_nm);
            }
        }
    }

    /// Focal ratios for a quarter and an eighth, computed twice apart from this project. Half the
    /// last digit, and a third of the peak to valley's half percent.
    #[test]
    fn focal_ratios_that_suffice() {
        for (aperture_mm, quarter, eighth) in [
            (76.0, 6.46, 8.14),
            (114.0, 7.40, 9.32),
            (150.0, 8.11, 10.21),
            (200.0, 8.92, 11.24),
            (250.0, 9.61, 12.11),
            (300.0, 10.21, 12.87),
        ] {
            for (pv_waves, want) in [(QUARTER_WAVE, quarter), (EIGHTH_WAVE, eighth)] {
                let got = focal_ratio_needed(aperture_mm, pv_waves);
                close("exact", got, want, 5e-3 + want * 5e-3 / 3.0);
                close(
                    "rule",
                    rule_focal_ratio(aperture_mm, pv_waves),
                    want,
                    5e-3 + want * 1e-3,
                );
            }
        }
    }

    /// Handbooks: F >= 1.526 D^(1/3) with D in mm (550 nm); Couder's and Texereau's f^3 = 88.6 D^4
    /// in inches is the same rule at 560 nm, 0.6 % shorter: half their last digits and that.
    #[test]
    fn rules_of_handbooks() {
        for aperture_mm in [100.0f64, 150.0, 200.0, 300.0] {
            let got = focal_ratio_needed(aperture_mm, QUARTER_WAVE);
            close(
                "1.526",
                got / aperture_mm.cbrt(),
                1.526,
                5e-4 + 1.526 * 2e-3,
            );
            let inches = aperture_mm / MM_PER_INCH;
            let handbook = (88.6 * inches.powi(4)).cbrt() / inches;
            let at_560_nm = (550.0f64 / 560.0).cbrt();
            close("88.6", got * at_560_nm / handbook, 1.0, 2e-3);
        }
    }

    /// The same list as makers pass it on, to its two digits: 114 f/8 0.20 wave, 150 f/8 0.26 and
    /// Strehl ratio 0.79, 150 f/6 0.62, 200 f/5 1.42.
    #[test]
    fn verdicts() {
        use SphereWorth::{NeedsParaboloid, WithinEighth, WithinQuarter};
        for (aperture_mm, focal_ratio, pv_waves, worth) in [
            (114.0, 8.0, 0.20, WithinQuarter),
            (114.0, 10.0, 0.10, WithinEighth),
            (150.0, 8.0, 0.26, NeedsParaboloid),
            (150.0, 6.0, 0.62, NeedsParaboloid),
            (200.0, 5.0, 1.42, NeedsParaboloid),
        ] {
            let got = Sphere::of(aperture_mm, aperture_mm * focal_ratio);
            close("waves", got.wavefront_pv_waves, pv_waves, 5e-3);
            assert_eq!(got.worth, worth, "{aperture_mm} f/{focal_ratio}");
            assert_eq!(got.is_enough(), worth != NeedsParaboloid);
            assert_eq!(got.is_borderline(), pv_waves == 0.26);
        }
        close("Strehl", Sphere::of(150.0, 1200.0).strehl, 0.79, 5e-3);
    }
}
