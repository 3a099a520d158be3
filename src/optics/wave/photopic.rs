//! A few colours that stand for daylight as the eye weighs it.

/// Light of one wavelength and its share of what the eye sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Colour {
    /// nm.
    pub wavelength_nm: f64,
    /// All of a row sum to 1.
    pub weight: f64,
}

/// The colours, from blue to red.
///
/// Even steps of 40 nm through the eye's sensitivity in daylight, under light of equal energy at
/// every wavelength: for a curve as round as that, the sum over them is as good as the integral
/// (`tests/it/wave.rs` sets it against 39 wavelengths).
pub fn colours() -> [Colour; 5] {
    let every_other = std::array::from_fn(|idx| SENSITIVITY[2 * idx]);
    weighed(every_other)
}

/// The same in steps of 20 nm. Out of focus by many waves the rings of one colour differ from those of the next: in coarser
/// steps they would stand beside each other instead of washing out.
pub fn close_colours() -> [Colour; 9] {
    weighed(SENSITIVITY)
}

fn weighed<const N: usize>(sensitivity: [(f64, f64); N]) -> [Colour; N] {
    let sum: f64 = sensitivity.iter().map(|(_, sensitivity)| sensitivity).sum();
    sensitivity.map(|(wavelength_nm, sensitivity)| Colour {
        wavelength_nm,
        weight: sensitivity / sum,
    })
}

/// Shortest of the colours, nm: its cutoff is the finest that passes.
pub fn shortest_nm() -> f64 {
    SENSITIVITY[0].0
}

/// Wavelength in nm and CIE 1924 V(lambda), as tabled to three decimals (CIE 018, Photometry).
const SENSITIVITY: [(f64, f64); 9] = [
    (470.0, 0.091),
    (490.0, 0.208),
    (510.0, 0.503),
    (530.0, 0.862),
    (550.0, 0.995),
    (570.0, 0.952),
    (590.0, 0.757),
    (610.0, 0.503),
    (630.0, 0.265),
];
