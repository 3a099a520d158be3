//! What holds a detail back, link by link.

/// What holds a detail back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Limit {
    /// It is plain as it is.
    Nothing,
    /// How fine a pattern the mirror's size can part.
    Aperture,
    /// How much light the mirror collects.
    Brightness,
    /// Errors of the mirror's shape.
    Figure,
    /// The diagonal in the light's way.
    Obstruction,
    /// Unsteady air.
    Air,
    /// The body stands low.
    Altitude,
    /// No eyepiece of the right power.
    Magnification,
    /// Town light, moonlight or twilight.
    SkyBrightness,
    /// It is too faint by nature for anything of this kind.
    Contrast,
    /// The disc is too small tonight.
    TooSmall,
    /// Saturn's ring is too closed.
    RingClosed,
}

impl Limit {
    /// As it stands in machine-readable output.
    pub fn word(self) -> &'static str {
        match self {
            Limit::Nothing => "nothing",
            Limit::Aperture => "aperture",
            Limit::Brightness => "brightness",
            Limit::Figure => "figure",
            Limit::Obstruction => "obstruction",
            Limit::Air => "air",
            Limit::Altitude => "altitude",
            Limit::Magnification => "magnification",
            Limit::SkyBrightness => "sky_brightness",
            Limit::Contrast => "contrast",
            Limit::TooSmall => "too_small",
            Limit::RingClosed => "ring_closed",
        }
    }
}
