//! A Newtonian's diagonal in its place: how far to set it off the axis, and how much of the mirror
//! each point of the field sees.

use crate::optics::layout::Beam;
use std::f64::consts::PI;

/// A flat of elliptical outline at 45 degrees in the converging beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diagonal {
    /// Clear aperture of the primary, mm.
    pub aperture_mm: f64,
    /// Of the primary, mm.
    pub focal_length_mm: f64,
    /// From the middle of the diagonal to the focal plane, mm, below the focal length.
    pub to_focus_mm: f64,
    /// Shorter axis of its face, mm, above 0.
    pub minor_axis_mm: f64,
}

impl Diagonal {
    /// Diameter at the focal plane that sees the whole mirror, mm; `None` where no point does: the
    /// diagonal is smaller than the beam.
    ///
    /// The diagonal stands for a circle across the beam: good to 0.5 % of its axis at f/5.
    pub fn fully_lit_mm(self) -> Option<f64> {
        let spare_mm = self.minor_axis_mm - self.axial_beam_mm();
        (spare_mm >= 0.0).then(|| spare_mm / (1.0 - self.to_focus_mm / self.focal_length_mm))
    }

    /// Diameter of the mirror that the middle of the field sees, mm: the clear aperture unless the
    /// diagonal is too small.
    pub fn aperture_used_mm(self) -> f64 {
        let passed_mm = self.minor_axis_mm * self.focal_length_mm / self.to_focus_mm;
        passed_mm.min(self.aperture_mm)
    }

    /// Share of the mirror seen from a point of the focal plane, 0 to 1: the overlap of two
    /// circles, as `fully_lit_mm`. Source: plane geometry.
    pub fn illumination(self, field_height_mm: f64) -> f64 {
        let beam_mm = self.axial_beam_mm() / 2.0;
        let apart_mm = field_height_mm.abs() * (1.0 - self.to_focus_mm / self.focal_length_mm);
        let shared_mm2 = overlap(beam_mm, self.minor_axis_mm / 2.0, apart_mm);
        shared_mm2 / (PI * beam_mm * beam_mm)
    }

    /// How far the middle of its face belongs from the tube's axis, away from the focuser, and as far
    /// from the focuser's axis, toward the mirror, mm, for the field to be lit evenly all round.
    ///
    /// Exact for the cone that fills the diagonal: the side nearer the mirror meets the beam where
    /// it is wider. Along the 45 degree face the shift is 1.414 times as large.
    pub fn offset_mm(self) -> f64 {
        let half = match self.fully_lit_mm() {
            Some(lit_mm) => (self.aperture_mm - lit_mm) / (2.0 * self.focal_length_mm),
            None => self.minor_axis_mm / (2.0 * self.to_focus_mm),
        };
        self.minor_axis_mm / 2.0 * half / (1.0 - half * half).sqrt()
    }

    /// Width of the beam of a star on the axis, where the diagonal is, mm.
    fn axial_beam_mm(self) -> f64 {
        self.to_focus_mm * self.aperture_mm / self.focal_length_mm
    }
}

/// Smallest minor axis that lights the beam's field fully, mm: the exact cut of the cone at 45
/// degrees, half a percent above [`Beam::minor_axis_mm`] at f/5.
pub fn exact_minor_axis_mm(beam: Beam) -> f64 {
    let half = (beam.aperture_mm - beam.fully_lit_mm) / (2.0 * beam.focal_length_mm);
    beam.minor_axis_mm() / (1.0 - half * half).sqrt()
}

/// Area common to two circles.
fn overlap(a: f64, b: f64, apart: f64) -> f64 {
    if apart >= a + b {
        return 0.0;
    }
    if apart <= (a - b).abs() {
        return PI * a.min(b).powi(2);
    }
    let from_a = (apart * apart + a * a - b * b) / (2.0 * apart);
    let from_b = apart - from_a;
    segment(a, from_a) + segment(b, from_b)
}

/// Area that a line at a distance from the middle cuts off a circle.
fn segment(radius: f64, from_middle: f64) -> f64 {
    let share = (from_middle / radius).clamp(-1.0, 1.0);
    radius * radius * (share.acos() - share * (1.0 - share * share).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    fn of_200_f5(minor_axis_mm: f64) -> Diagonal {
        Diagonal {
            aperture_mm: 200.0,
            focal_length_mm: 1000.0,
            to_focus_mm: 150.0,
            minor_axis_mm,
        }
    }

    /// Counted by rays through a 40 mm circle and by the areas of lenses, apart from this project.
    #[test]
    fn edge_of_the_field_as_rays_count_it() {
        for (height_mm, want) in [
            (0.0, 1.0),
            (5.0, 1.0),
            (7.5, 0.9703),
            (10.0, 0.8950),
            (12.5, 0.8090),
            (15.0, 0.7195),
        ] {
            let got = of_200_f5(40.0).illumination(height_mm);
            close("illumination", got, want, 5e-5);
        }
        let lit_mm = of_200_f5(40.0).fully_lit_mm().unwrap();
        close("fully lit radius", lit_mm / 2.0, 5.882, 5e-4);
    }

    /// The cone cut at 45 degrees, by analytic geometry, apart from this project: f/5, 150 mm.
    #[test]
    fn cone_cut_at_45_degrees() {
        let beam = Beam {
            aperture_mm: 200.0,
            focal_length_mm: 1000.0,
            diagonal_to_focus_mm: 150.0,
            fully_lit_mm: 0.0,
        };
        let minor_axis_mm = exact_minor_axis_mm(beam);
        close("minor axis", minor_axis_mm, 30.151, 5e-4);
        let cut = of_200_f5(minor_axis_mm);
        // The circle across the beam takes 0.15 mm for field to spare, which turns the cone by as
        // little.
        close("offset", cut.offset_mm(), 1.5152, 2e-3);
        // The rule of handbooks: minor axis over four focal ratios, 1 % low at f/5.
        close("rule", of_200_f5(30.0).offset_mm(), 1.5, 0.015);
    }

    #[test]
    fn too_small_a_diagonal_stops_the_mirror_down() {
        let small = of_200_f5(27.0);
        assert_eq!(small.fully_lit_mm(), None);
        close("used", small.aperture_used_mm(), 180.0, 1e-12);
        close("on the axis", small.illumination(0.0), 0.81, 1e-12);
        close("offset", small.offset_mm(), 1.22, 5e-3);
        close(
            "far out",
            of_200_f5(40.0).illumination(500.0),
            0.0,
            f64::EPSILON,
        );
    }
}
