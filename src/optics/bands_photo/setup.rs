//! What stands on the bench.

/// Mirror and ruling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhotoSetup {
    /// Half the diameter of the rim that the picture shows, mm.
    pub rim_mm: f64,
    /// Of curvature, mm.
    pub radius_mm: f64,
    /// Of the ruling, from line to line, mm.
    pub period_mm: f64,
    /// Middle of the light that the picture was taken in, nm.
    pub wavelength_nm: f64,
}

impl PhotoSetup {
    /// How far an order moves the mirror aside, of its radius, with the grating at that offset.
    pub fn shear(&self, offset_mm: f64) -> f64 {
        let away_mm = self.radius_mm + offset_mm;
        self.wavelength_nm * 1e-6 * away_mm / self.period_mm / self.rim_mm
    }

    /// Of the wavefront's first two terms, nm: a conic, and the grating's offset from the centre of curvature.
    pub fn conic_terms_nm(&self, conic: f64, offset_mm: f64) -> [f64; 2] {
        let quartic_mm = -conic * self.rim_mm.powi(4) / (4.0 * self.radius_mm.powi(3));
        let focus_mm = offset_mm * (self.rim_mm / self.radius_mm).powi(2) / 4.0;
        [(quartic_mm / 2.0 - focus_mm) * 1e6, quartic_mm / 6.0 * 1e6]
    }

    /// The offset that the first two terms stand for, mm.
    pub fn offset_mm(&self, focus_nm: f64, quartic_nm: f64) -> f64 {
        let focus_mm = (3.0 * quartic_nm - focus_nm) * 1e-6;
        4.0 * focus_mm * (self.radius_mm / self.rim_mm).powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    #[test]
    fn a_paraboloid_of_200_mm() {
        let setup = PhotoSetup {
            rim_mm: 100.0,
            radius_mm: 2000.0,
            period_mm: 0.1,
            wavelength_nm: 550.0,
        };
        let [focus, quartic] = setup.conic_terms_nm(-1.0, -6.0);
        close("quartic", quartic, 520.8, 0.05);
        close("offset", setup.offset_mm(focus, quartic), -6.0, 1e-9);
        close("shear", setup.shear(-6.0) * 100.0, 10.967, 5e-4);
    }
}
