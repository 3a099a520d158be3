//! The Newtonian around the mirror: how large the diagonal has to be, and what light is left.

use crate::optics::opening::Opening;

/// The beam where the diagonal meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam {
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Of the primary, mm.
    pub focal_length_mm: f64,
    /// From the middle of the diagonal to the focal plane, mm.
    pub diagonal_to_focus_mm: f64,
    /// Diameter at the focus that shall see the whole mirror, mm.
    pub fully_lit_mm: f64,
}

impl Beam {
    /// The beam of the usual tube: bore 10 mm beyond the mirror all round, and 80 mm from the bore
    /// to the focal plane (wall, focuser, and some travel to spare), 10 mm of field fully lit.
    /// Common practice, no source.
    pub fn of_usual_tube(aperture_mm: f64, focal_length_mm: f64) -> Beam {
        Beam {
            aperture_mm,
            focal_length_mm,
            diagonal_to_focus_mm: aperture_mm / 2.0 + CLEARANCE_MM + FOCUSER_MM,
            fully_lit_mm: FULLY_LIT_MM,
        }
    }

    /// From the mirror's face to the middle of the focuser, mm; `None` where the light would come to its focus before
    /// it is out of the tube.
    pub fn focuser_from_mirror_mm(self) -> Option<f64> {
        let from_mirror_mm = self.focal_length_mm - self.diagonal_to_focus_mm;
        (from_mirror_mm > 0.0).then_some(from_mirror_mm)
    }

    /// Length of the usual tube, mm: half a bore beyond the middle of the focuser, and behind the mirror's face what its
    /// thickness and its cell need. Common practice, no source; it comes to about the focal length.
    pub fn tube_length_mm(self) -> Option<f64> {
        let half_a_bore_mm = self.aperture_mm / 2.0 + CLEARANCE_MM;
        Some(CELL_MM + self.focuser_from_mirror_mm()? + half_a_bore_mm)
    }

    /// Smallest minor axis of the diagonal that lights that field, mm.
    ///
    /// The cone's width at the diagonal's middle; the exact cut at 45 degrees is 0.5 % larger at
    /// f/5 (less for longer mirrors).
    pub fn minor_axis_mm(self) -> f64 {
        let spread = self.aperture_mm - self.fully_lit_mm;
        self.diagonal_to_focus_mm * spread / self.focal_length_mm + self.fully_lit_mm
    }
}

/// Minor axis to expect where none was stated, whole mm as diagonals are sold, and never more
/// than half the aperture.
pub fn usual_minor_axis_mm(aperture_mm: f64, focal_length_mm: f64) -> f64 {
    let needed_mm = Beam::of_usual_tube(aperture_mm, focal_length_mm).minor_axis_mm();
    needed_mm.ceil().min(aperture_mm / 2.0)
}

/// What stands in the way of the light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blockage {
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Minor axis of the diagonal, mm.
    pub secondary_mm: f64,
    /// Width of each of four vanes from the diagonal to the rim, mm.
    pub vane_mm: f64,
}

impl Blockage {
    /// Diagonal over aperture.
    pub fn obstruction(self) -> f64 {
        self.secondary_mm / self.aperture_mm
    }

    /// The same in shares of the aperture.
    pub fn opening(self) -> Opening {
        Opening {
            obstruction: self.obstruction(),
            vane: self.vane_mm / self.aperture_mm,
        }
    }

    /// Share of the aperture that stays open, 0 to 1.
    pub fn open_share(self) -> f64 {
        self.opening().open_share().max(0.0)
    }
}

/// Share of the light falling on the aperture that reaches the eyepiece, 0 to 1: two reflections
/// of the same coating.
pub fn transmission(reflectivity: f64, open_share: f64) -> f64 {
    reflectivity * reflectivity * open_share
}

/// How many times more light of a star than the bare eye.
pub fn light_grasp(aperture_mm: f64, eye_pupil_mm: f64, transmission: f64) -> f64 {
    (aperture_mm / eye_pupil_mm).powi(2) * transmission
}

/// Of the tube's bore beyond the mirror's edge.
const CLEARANCE_MM: f64 = 10.0;
/// From the bore to the focal plane.
const FOCUSER_MM: f64 = 80.0;
/// From the mirror's face to the end of the tube behind it.
const CELL_MM: f64 = 80.0;
/// A third of a degree at 1.7 m, half a degree at 1.15 m.
const FULLY_LIT_MM: f64 = 10.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// D = 200, f = 1000, 150 mm to the focus: similar triangles done by hand.
    #[test]
    fn diagonal_by_similar_triangles() {
        for (fully_lit_mm, want_mm) in [(0.0, 30.0), (10.0, 38.5), (15.0, 42.75)] {
            let beam = Beam {
                aperture_mm: 200.0,
                focal_length_mm: 1000.0,
                diagonal_to_focus_mm: 150.0,
                fully_lit_mm,
            };
            close("minor axis", beam.minor_axis_mm(), want_mm, 1e-12);
        }
    }

    /// "A Newtonian's diagonal is 20 to 25 % of the aperture": common practice, no source.
    #[test]
    fn usual_diagonals_are_usual() {
        for (aperture_mm, focal_length_mm) in [
            (114.0, 912.0),
            (150.0, 1200.0),
            (200.0, 1200.0),
            (250.0, 1250.0),
            (300.0, 1500.0),
        ] {
            let share = usual_minor_axis_mm(aperture_mm, focal_length_mm) / aperture_mm;
            assert!((0.18..=0.25).contains(&share), "{aperture_mm} mm: {share}");
        }
        assert_eq!(usual_minor_axis_mm(50.0, 100.0), 25.0);
    }

    /// "The tube is about as long as the focal length": common practice, no source.
    #[test]
    fn usual_tubes_are_usual() {
        for (aperture_mm, focal_length_mm) in [(114.0, 912.0), (150.0, 1200.0), (300.0, 1500.0)] {
            let beam = Beam::of_usual_tube(aperture_mm, focal_length_mm);
            let share = beam.tube_length_mm().unwrap_or_default() / focal_length_mm;
            assert!((0.9..=1.1).contains(&share), "{aperture_mm} mm: {share}");
        }
        let focuser_mm = Beam::of_usual_tube(150.0, 1200.0).focuser_from_mirror_mm();
        assert_eq!(focuser_mm, Some(1200.0 - 75.0 - 10.0 - 80.0));
        assert_eq!(Beam::of_usual_tube(30.0, 60.0).tube_length_mm(), None);
    }

    #[test]
    fn light_that_is_left() {
        let blockage = Blockage {
            aperture_mm: 200.0,
            secondary_mm: 50.0,
            vane_mm: 0.0,
        };
        // 1 - 0.25^2, and 0.88^2 of it.
        close("open", blockage.open_share(), 0.9375, 1e-12);
        close(
            "through",
            transmission(0.88, blockage.open_share()),
            0.726,
            5e-4,
        );
        let vanes = Blockage {
            vane_mm: 1.0,
            ..blockage
        };
        // 4 x 1 x 75 mm2 of 31416.
        close(
            "vanes",
            blockage.open_share() - vanes.open_share(),
            0.00955,
            5e-6,
        );
        close("grasp", light_grasp(200.0, 7.0, 1.0), 816.3, 0.05);
    }
}
