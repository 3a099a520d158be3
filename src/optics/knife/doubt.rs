//! Readings that cannot be used, in words, and what readings that can be used leave in doubt.

use std::fmt;

/// No figure can be had from these readings.
#[derive(Debug, Clone, PartialEq)]
pub enum Unreadable {
    /// Fewer than two zones: a figure is a difference between zones.
    TooFewZones(usize),
    /// A zone without a reading.
    NoReading {
        /// Counted from the middle, the first is 1.
        zone: usize,
    },
    /// A number that is not one, or a window that is none.
    NoSuchZone {
        /// Counted from the middle, the first is 1.
        zone: usize,
    },
    /// A window that begins inside the one before, or belongs to the same radius.
    Overlap {
        /// Counted from the middle, the first is 1.
        zone: usize,
    },
    /// All readings within less than a scale can show, and a thousand times as much would fit.
    InMetres {
        /// Between the largest and the smallest reading, mm.
        span_mm: f64,
    },
    /// Far more between the zones than any mirror has.
    OutOfScale {
        /// Found, from the first zone to the last, mm.
        span_mm: f64,
        /// For a paraboloid, mm.
        ideal_mm: f64,
    },
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unreadable::TooFewZones(count) => write!(
                f,
                "a figure is a difference between zones: at least 2 are needed, not {count}"
            ),
            Unreadable::NoReading { zone } => write!(f, "zone {zone} has no reading"),
            Unreadable::NoSuchZone { zone } => write!(
                f,
                "zone {zone} is not a window of this mirror with plain numbers for readings"
            ),
            Unreadable::Overlap { zone } => write!(
                f,
                "zone {zone} overlaps the one before: zones go from the middle outward, each with a \
                 radius of its own"
            ),
            Unreadable::InMetres { span_mm } => write!(
                f,
                "all readings lie within {span_mm:.4} mm, less than a scale shows: are they in metres?"
            ),
            Unreadable::OutOfScale { span_mm, ideal_mm } => write!(
                f,
                "the readings span {span_mm:.2} mm where a paraboloid needs {ideal_mm:.2} mm: check \
                 their unit, the aperture and the focal length"
            ),
        }
    }
}

impl std::error::Error for Unreadable {}

/// Something about usable readings that their reader has to know.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// The outermost window is wide enough to hide a turned edge, and nobody looked.
    EdgeNotLookedAt {
        /// From the inner edge of that window to the rim, as a share of the radius.
        hidden_share: f64,
    },
    /// The maker saw a turned edge: the true figures are worse.
    EdgeTurned,
    /// The correction is about what the other kind of lamp would show.
    OtherLamp {
        /// Found over needed.
        correction_ratio: f64,
    },
    /// Readings grow toward the middle.
    ScaleReversed {
        /// Found over needed.
        correction_ratio: f64,
    },
    /// One reading is off by more than the whole tolerance at the rim.
    TooScattered {
        /// Standard error of a single reading, mm.
        reading_error_mm: f64,
        /// What a reading at the rim may be off by, mm.
        tolerance_mm: f64,
    },
    /// Two zones show a conic and nothing else.
    TwoZones,
    /// The zones differ from every conic by more than the reading error explains.
    Rings,
    /// Another way to reduce the same readings falls outside the interval, which was widened to
    /// hold it.
    WaysDisagree {
        /// Wavefront RMS of each: as given, straight lines in r^2, low-order polynomial; nm.
        wavefront_rms_nm: [f64; 3],
    },
}

impl Doubt {
    /// No verdict should be built on these readings before this is settled.
    pub fn bars_a_verdict(&self) -> bool {
        matches!(
            self,
            Doubt::OtherLamp { .. } | Doubt::ScaleReversed { .. } | Doubt::TooScattered { .. }
        )
    }
}
