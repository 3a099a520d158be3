//! How long a mirror is, and how surely, by the way it was measured.

use crate::optics::conic::{Conic, Hollow};
use crate::optics::feeler::stack_uncertainty_mm;
use crate::workshop::{FocalLength, Sagitta, Telescope};

/// A depth found with a gauge of no stated sureness, mm either way. Common practice, no source.
const SAGITTA_OFF_MM: f64 = 0.02;

/// A tape from the glass to lamp and image at the centre of curvature, mm either way. Common practice, no source.
const RADIUS_OFF_MM: f64 = 5.0;

/// The image of a lamp far away, of the Moon or the Sun, or a number that was only said, of the focal length either
/// way. Common practice, no source.
const IMAGE_OFF_SHARE: f64 = 0.01;

/// Less than that share of a depth is not believed to be left, however unsure its gauge.
const LEAST_DEPTH_SHARE: f64 = 0.1;

/// A focal length and where it may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownFocalLength {
    /// As measured, mm.
    pub mm: f64,
    /// The shortest that it may be, mm.
    pub low_mm: f64,
    /// The longest, mm.
    pub high_mm: f64,
}

impl KnownFocalLength {
    /// However it was measured.
    ///
    /// ```
    /// use skyworthy::optics::focal_length::KnownFocalLength;
    /// use skyworthy::workshop;
    ///
    /// // Rowan of the example: lamp and image 2405 mm from the glass, within 5 mm.
    /// let rowan = &workshop::example().telescopes[1];
    /// assert_eq!(KnownFocalLength::of(rowan).half_width_mm(), 2.5);
    /// ```
    pub fn of(telescope: &Telescope) -> KnownFocalLength {
        let within = |mm: f64, off_mm: f64| KnownFocalLength {
            mm,
            low_mm: mm - off_mm,
            high_mm: mm + off_mm,
        };
        match &telescope.focal_length {
            FocalLength::FocalLengthMm(mm) | FocalLength::SunImageMm(mm) => {
                within(*mm, IMAGE_OFF_SHARE * mm)
            }
            FocalLength::RadiusOfCurvatureMm(mm) => within(mm / 2.0, RADIUS_OFF_MM / 2.0),
            FocalLength::SagittaMm(_) => {
                let depth = KnownDepth::of(telescope);
                let of_depth = |sagitta_mm: f64| {
                    let from_axis_mm = depth.across_mm / 2.0;
                    let hollow = Hollow {
                        from_axis_mm,
                        sagitta_mm,
                    };
                    hollow.radius_of_curvature_mm() / 2.0
                };
                KnownFocalLength {
                    mm: of_depth(depth.sagitta_mm),
                    low_mm: of_depth(depth.high_mm),
                    high_mm: of_depth(depth.low_mm),
                }
            }
        }
    }

    /// Half of where it may lie, mm.
    pub fn half_width_mm(self) -> f64 {
        (self.high_mm - self.low_mm) / 2.0
    }

    /// Whether it may be that.
    pub fn holds(self, focal_length_mm: f64) -> bool {
        self.low_mm <= focal_length_mm && focal_length_mm <= self.high_mm
    }
}

/// Focal length of the finished mirror, mm, however it was measured.
pub fn focal_length_mm(telescope: &Telescope) -> f64 {
    KnownFocalLength::of(telescope).mm
}

/// How deep a ground sphere is, and where that may lie: measured, or what follows from how long it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownDepth {
    /// Diameter over which it is so deep, mm.
    pub across_mm: f64,
    /// Depth of the middle, mm.
    pub sagitta_mm: f64,
    /// The least that it may be, mm.
    pub low_mm: f64,
    /// The most, mm.
    pub high_mm: f64,
}

impl KnownDepth {
    /// Over the diameter it was measured across, or over the clear aperture.
    pub fn of(telescope: &Telescope) -> KnownDepth {
        match &telescope.focal_length {
            FocalLength::SagittaMm(sagitta) => {
                let off_mm = sagitta_off_mm(sagitta);
                let sagitta_mm = sagitta.sagitta_mm;
                KnownDepth {
                    across_mm: sagitta.across_mm.unwrap_or(telescope.aperture_mm),
                    sagitta_mm,
                    low_mm: (sagitta_mm - off_mm).max(LEAST_DEPTH_SHARE * sagitta_mm),
                    high_mm: sagitta_mm + off_mm,
                }
            }
            _ => {
                let known = KnownFocalLength::of(telescope);
                let across_mm = telescope.aperture_mm;
                KnownDepth {
                    across_mm,
                    sagitta_mm: sphere_depth_mm(across_mm, known.mm),
                    low_mm: sphere_depth_mm(across_mm, known.high_mm),
                    high_mm: sphere_depth_mm(across_mm, known.low_mm),
                }
            }
        }
    }

    /// Half of where it may lie, mm.
    pub fn half_width_mm(self) -> f64 {
        (self.high_mm - self.low_mm) / 2.0
    }
}

/// Depth over a diameter of the ground sphere that is so long, mm.
pub fn sphere_depth_mm(across_mm: f64, focal_length_mm: f64) -> f64 {
    let sphere = Conic::sphere(2.0 * focal_length_mm);
    let depth_mm = sphere.sagitta_mm(across_mm / 2.0);
    depth_mm.expect("a telescope's mirror is far less than half a ball")
}

/// As stated, or as sure as the blades that filled the gap.
fn sagitta_off_mm(sagitta: &Sagitta) -> f64 {
    let by_blades = || match &sagitta.gauges_mm[..] {
        [] => SAGITTA_OFF_MM,
        blades_mm => stack_uncertainty_mm(blades_mm),
    };
    sagitta.uncertainty_mm.unwrap_or_else(by_blades)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;
    use crate::workshop::example;

    fn measured(aperture_mm: f64, focal_length: FocalLength) -> Telescope {
        Telescope {
            aperture_mm,
            focal_length,
            ..example().telescopes[1].clone()
        }
    }

    /// Depths as handbooks have them, to their digits.
    #[test]
    fn depths_of_spheres() {
        for (aperture_mm, radius_mm, want_mm) in [
            (150.0, 2400.0, 1.172161242),
            (200.0, 2000.0, 2.501564456),
            (114.0, 1800.0, 0.902726365),
            (300.0, 3000.0, 3.752346684),
        ] {
            let focal_length_mm = radius_mm / 2.0;
            let depth_mm = sphere_depth_mm(aperture_mm, focal_length_mm);
            close("depth", depth_mm, want_mm, 5e-10);
            let sagitta = Sagitta {
                sagitta_mm: want_mm,
                across_mm: None,
                uncertainty_mm: None,
                gauges_mm: Vec::new(),
            };
            let known =
                KnownFocalLength::of(&measured(aperture_mm, FocalLength::SagittaMm(sagitta)));
            close("back", known.mm, focal_length_mm, 1e-6);
        }
    }

    /// `dR = -(r^2 / 2 s^2) ds`: a hundredth of a millimetre is 10 mm of focal length at f/8 and 4 mm at f/5, whatever
    /// the aperture, as makers pass it on; to their digit.
    #[test]
    fn a_hundredth_under_the_straightedge() {
        for (aperture_mm, focal_ratio, want_mm) in
            [(150.0, 8.0, 10.0), (250.0, 8.0, 10.0), (200.0, 5.0, 4.0)]
        {
            let sagitta_mm = sphere_depth_mm(aperture_mm, focal_ratio * aperture_mm);
            let sagitta = Sagitta {
                sagitta_mm,
                across_mm: None,
                uncertainty_mm: Some(0.01),
                gauges_mm: Vec::new(),
            };
            let known =
                KnownFocalLength::of(&measured(aperture_mm, FocalLength::SagittaMm(sagitta)));
            close("f", known.half_width_mm() / want_mm, 1.0, 0.05);
            assert!(known.low_mm < known.mm && known.mm < known.high_mm);
            assert!(known.holds(known.mm) && !known.holds(known.high_mm + 0.1));
        }
    }

    /// However unsure: no depth below nought, no length without end.
    #[test]
    fn a_depth_as_unsure_as_itself() {
        let sagitta = Sagitta {
            sagitta_mm: 0.015,
            across_mm: Some(40.0),
            uncertainty_mm: None,
            gauges_mm: Vec::new(),
        };
        let known = KnownFocalLength::of(&measured(150.0, FocalLength::SagittaMm(sagitta)));
        assert!(known.low_mm > 0.0 && known.high_mm.is_finite() && known.low_mm < known.high_mm);
    }

    #[test]
    fn a_length_and_the_depth_that_follows() {
        let lamp = measured(150.0, FocalLength::RadiusOfCurvatureMm(2400.0));
        let depth = KnownDepth::of(&lamp);
        close("depth", depth.sagitta_mm, 1.172161242, 5e-10);
        // 5 mm of 2400 is 0.21 % of the depth, 0.0024 mm.
        close("off", depth.half_width_mm(), 0.00244, 5e-6);
        let sun = measured(150.0, FocalLength::SunImageMm(1200.0));
        close(
            "1 %",
            KnownFocalLength::of(&sun).half_width_mm(),
            12.0,
            1e-9,
        );
    }
}
