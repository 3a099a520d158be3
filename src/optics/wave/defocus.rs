//! Beside best focus: what moving the eyepiece does to the wavefront.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::pupil::BestFocus;
use crate::units::NM_PER_MM;

/// How far the eyepiece is moved along the axis for so many waves at the rim, mm: `8 N^2 W lambda` (third order; exact
/// within 1 % from f/4 on).
pub fn travel_mm(waves: f64, focal_ratio: f64, wavelength_nm: f64) -> f64 {
    8.0 * focal_ratio * focal_ratio * waves * wavelength_nm / NM_PER_MM
}

/// A focus moved by so many waves of green light at the rim: inside, nearer to the mirror, where positive.
///
/// Seen from nearer, the light of the rim comes the longer way.
pub fn away_from_focus(focus: BestFocus, waves: f64) -> BestFocus {
    BestFocus {
        focus_nm: focus.focus_nm - waves * REFERENCE_WAVELENGTH_NM,
        ..focus
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::opening::Opening;
    use crate::optics::wave::spot::{Frame, spot};
    use crate::optics::wave::{Field, PathMap};
    use std::f64::consts::PI;

    /// By Pythagoras: path over the rim to a point inside the focus, less the path along the axis.
    #[test]
    fn travel_as_by_plain_geometry() {
        for focal_ratio in [4.0, 5.0, 8.0] {
            let (focal_mm, rim_mm) = (focal_ratio * 200.0, 100.0);
            let waves = 6.0;
            let z_mm = travel_mm(waves, focal_ratio, 550.0);
            // The rim of a paraboloid stands so much before its middle.
            let sagitta_mm = rim_mm * rim_mm / (4.0 * focal_mm);
            let to = |from_vertex_mm: f64| rim_mm.hypot(from_vertex_mm - sagitta_mm);
            let longer_mm = (to(focal_mm - z_mm) - to(focal_mm)) + z_mm;
            let got = longer_mm * NM_PER_MM / 550.0;
            assert!((got - waves).abs() < 0.02 * waves, "f/{focal_ratio}: {got}");
            assert!(got > 0.0);
        }
    }

    /// Closed form (Born & Wolf 8.8): on the axis a full disc's light goes as `sinc^2` of the waves of defocus, that of a ring
    /// as of the waves times its share of the area.
    #[test]
    fn on_the_axis_as_the_closed_form() {
        let sinc2 = |x: f64| if x == 0.0 { 1.0 } else { (x.sin() / x).powi(2) };
        let frame = Frame {
            half_width_lambda_n: 1.0,
            points: 3,
        };
        for (obstruction, samples) in [(0.0, 160), (0.25, 160), (0.0, 256)] {
            let flat = PathMap::symmetric(samples, |_| 0.0);
            for half_waves in 0..=20 {
                let waves = f64::from(half_waves) / 2.0;
                for side in [waves, -waves] {
                    let focus = away_from_focus(BestFocus::default(), side);
                    let field = Field::new(&flat, Opening::from(obstruction), focus);
                    let got = spot(&field, 550.0, frame)[4];
                    let want = sinc2(PI * waves * (1.0 - obstruction * obstruction));
                    assert!(
                        (got - want).abs() < 3e-4,
                        "{side} {obstruction}: {got} {want}"
                    );
                }
            }
        }
    }
}
