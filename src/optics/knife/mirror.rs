//! Which mirror was read.

/// The mirror that was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mirror {
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Vertex radius, mm; an error of one part in a hundred makes one of 2 % in the figures.
    pub radius_of_curvature_mm: f64,
    /// Diagonal over aperture, 0 to below 1.
    pub obstruction: f64,
    /// Of the light that Strehl ratio and tolerances are for, nm.
    pub wavelength_nm: f64,
}
