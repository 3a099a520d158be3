//! What holds a detail back, link by link, and the one change that would help.

use crate::targets::conditions::Unmet;
use crate::targets::grade::Grade;

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

/// The limit with its number, then the one change that would help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// It is plain even in poor air.
    Nothing,
    /// It is plain in typical air and less in poor air.
    PoorAir {
        /// FWHM of poor air at the zenith, arcseconds.
        seeing_arcsec: f64,
        /// In it.
        grade: Grade,
    },
    /// Nothing that can be changed would make it better than it is.
    Contrast {
        /// As it is.
        grade: Grade,
    },
    /// It is better in good air.
    Air {
        /// FWHM of good air at the zenith, arcseconds.
        seeing_arcsec: f64,
        /// In it.
        grade: Grade,
    },
    /// Even good air is not good enough.
    RareAir {
        /// FWHM of good air at the zenith, arcseconds: it must be below.
        below_arcsec: f64,
        /// What it would then become.
        grade: Grade,
    },
    /// It stands low.
    Altitude {
        /// As it stands, degrees.
        altitude_deg: f64,
        /// High in the sky.
        then: Gain,
    },
    /// The mirror is too small for how fine it is.
    Aperture {
        /// The next usual size at which it is better, if any portable one is large enough.
        larger: Option<Larger>,
    },
    /// The mirror is too small for how faint it is.
    Brightness {
        /// The next usual size at which it is better, if any portable one is large enough.
        larger: Option<Larger>,
    },
    /// Errors of the mirror's shape.
    Figure {
        /// With a perfect mirror.
        then: Gain,
    },
    /// The diagonal in the light's way.
    Obstruction {
        /// Without it.
        then: Gain,
    },
    /// No eyepiece of the right power.
    Magnification {
        /// At the right power.
        then: Gain,
    },
    /// Saturn's ring is too closed to show it better.
    RingClosed {
        /// Toward us tonight, degrees.
        opening_deg: f64,
        /// Wide open.
        then: Gain,
    },
    /// The sky is bright with twilight.
    Twilight {
        /// Later or earlier in the night.
        then: Gain,
    },
    /// The sky is bright with town light or moonlight.
    BrightSky {
        /// Under a dark one.
        then: Gain,
    },
    /// It is not there tonight.
    NotThere(Unmet),
}

/// What a change would bring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gain {
    /// The same grade, less narrowly.
    Surer,
    /// A better one.
    Grade(Grade),
}

/// A mirror large enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Larger {
    /// Usual size of blanks.
    pub aperture_mm: f64,
    /// In it.
    pub grade: Grade,
}
