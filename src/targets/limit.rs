//! What holds a detail back, link by link, and the one change that would help.

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
    /// It stands near the limb, or its pole is tipped away.
    Foreshortened,
    /// The Sun stands too high or too low over the place on the Moon.
    SunOverPlace,
    /// Too much of the disc is lit.
    TooFull,
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
            Limit::Foreshortened => "foreshortened",
            Limit::SunOverPlace => "sun_over_place",
            Limit::TooFull => "too_full",
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
        /// FWHM at the zenith that would do, arcseconds.
        below_arcsec: f64,
        /// What it would then become.
        grade: Grade,
    },
    /// No air is good enough, unless the mirror were larger too.
    AirAndAperture {
        /// The next usual size at which it is better in good air.
        larger: Larger,
    },
    /// It stands low.
    Altitude {
        /// As it stands, degrees.
        altitude_deg: f64,
        /// As high as it gets at this place on this date (Mercury and Venus: with the Sun down), degrees, where known.
        highest_deg: Option<f64>,
        /// There.
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
    /// Even the weakest eyepiece is too strong for the typical air.
    TooStrong {
        /// Of the weakest eyepiece.
        magnification: f64,
        /// The highest of use.
        highest: f64,
        /// With a full set of eyepieces.
        then: Gain,
    },
    /// The body does not show it at its best tonight.
    Appearance {
        /// What could be better.
        shortcoming: Shortcoming,
        /// With that at its best.
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
}

impl Why {
    /// What a low Sun would bring, where a high one over a place on the Moon is the reason.
    pub fn gain_under_low_sun(&self) -> Option<Gain> {
        match *self {
            Why::Appearance {
                shortcoming: Shortcoming::HighSun { .. },
                then,
            } => Some(then),
            _ => None,
        }
    }
}

/// What about a body's appearance could be better for a detail, with its number tonight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shortcoming {
    /// Saturn's ring is not wide open.
    RingClosed {
        /// Toward us, either face, degrees.
        opening_deg: f64,
        /// The year in which it next is wide open, where somebody said when the look is.
        opens_in: Option<i32>,
    },
    /// The disc has been larger.
    SmallDisc {
        /// Tonight, arcseconds.
        diameter_arcsec: f64,
        /// At its greatest.
        best_arcsec: f64,
    },
    /// A polar cap is seen from the side.
    PoleTipped {
        /// Its pole toward us, degrees, negative away from us.
        tipped_deg: f64,
        /// As far as it gets.
        best_deg: f64,
    },
    /// A marking is foreshortened.
    NearLimb {
        /// Longitude from the middle of the disc, degrees.
        from_middle_deg: f64,
    },
    /// Shadows on the Moon are short.
    HighSun {
        /// Over the place, degrees.
        sun_altitude_deg: f64,
    },
    /// A place on the Moon lies in dim light full of shadows.
    LowSun {
        /// Over the place, degrees.
        sun_altitude_deg: f64,
    },
    /// Too much of the disc is lit.
    TooFull {
        /// Tonight, share.
        lit: f64,
        /// At which it shows best.
        best_lit: f64,
    },
}

impl Shortcoming {
    /// As the link that holds a detail back.
    pub(super) fn limit(self) -> Limit {
        match self {
            Shortcoming::RingClosed { .. } => Limit::RingClosed,
            Shortcoming::SmallDisc { .. } => Limit::TooSmall,
            Shortcoming::PoleTipped { .. } | Shortcoming::NearLimb { .. } => Limit::Foreshortened,
            Shortcoming::HighSun { .. } | Shortcoming::LowSun { .. } => Limit::SunOverPlace,
            Shortcoming::TooFull { .. } => Limit::TooFull,
        }
    }
}

/// What a change would bring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gain {
    /// No better grade by itself.
    NotEnough,
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
