//! Readings that cannot be used, in words, and what readings that can be used leave in doubt.

use std::fmt;

use crate::optics::evidence::Interval;
use crate::workshop::{StarTest, TurnedEdge};

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
        /// What would explain it.
        suspected: Option<Suspected>,
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
            Unreadable::OutOfScale {
                span_mm, ideal_mm, ..
            } => write!(
                f,
                "the readings span {span_mm:.2} mm where a paraboloid needs {ideal_mm:.2} mm: check \
                 their unit, the aperture and the focal length"
            ),
        }
    }
}

impl std::error::Error for Unreadable {}

/// What may have been written wrongly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slip {
    /// Two digits of one reading changed places.
    Digits {
        /// Counted from the middle, the first is 1.
        zone: usize,
        /// Within the zone, the first is 1.
        reading: usize,
        /// As it stands, mm.
        typed_mm: f64,
        /// As it would fit, mm.
        meant_mm: f64,
    },
    /// A zone's readings have the wrong sign.
    Sign {
        /// Counted from the middle, the first is 1.
        zone: usize,
    },
    /// One reading has the wrong sign.
    LoneSign {
        /// Counted from the middle, the first is 1.
        zone: usize,
        /// Within the zone, the first is 1.
        reading: usize,
        /// As it stands, mm.
        typed_mm: f64,
    },
    /// Two zones' readings stand in each other's place.
    Exchanged {
        /// Counted from the middle, the first is 1.
        zones: (usize, usize),
    },
    /// A zone does not go with the others, by nothing that has a name.
    Apart {
        /// Counted from the middle, the first is 1.
        zone: usize,
    },
    /// The scale runs toward the mirror, or the windows were counted from the rim.
    Reversed,
    /// The lamp stood still and the file says that it moved, or the other way round.
    OtherLamp,
    /// Inches were written as mm.
    Inches,
    /// The focal length that was given is the radius of curvature.
    RadiusForFocalLength,
    /// The radius of curvature that was given is the focal length.
    FocalLengthForRadius,
}

/// A slip that would explain the readings, and what the mirror would be then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspected {
    /// Which.
    pub slip: Slip,
    /// Share of the paraboloid's departure from the sphere, without the slip.
    pub correction: f64,
    /// Strehl ratio, without the slip.
    pub strehl: f64,
}

/// Something about usable readings that their reader has to know.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// A slip of the pen explains the readings clearly better than they do themselves.
    Slip(Suspected),
    /// One reading is off by more than the whole tolerance at the rim.
    TooScattered {
        /// Standard error of a single reading, mm.
        reading_error_mm: f64,
        /// What a reading at the rim may be off by, mm.
        tolerance_mm: f64,
        /// The reading that is farthest from the others of its zone.
        farthest: LoneReading,
    },
    /// Part of the open mirror was not read.
    Unread {
        /// Of its area, 0 to 1.
        share: f64,
        /// The last window ends here, mm from the middle, short of the rim; `None`: it is between windows.
        from_mm: Option<f64>,
    },
    /// The readings show a turned edge.
    EdgeRead {
        /// Height of the glass at the rim over where the mirror inside would have gone on, nm; negative.
        rim_nm: Interval,
        /// The maker called it sound.
        was_called_sound: bool,
    },
    /// The maker saw a turned edge; what was not measured of it is a range in these figures.
    EdgeTurned(TurnedEdge),
    /// The outermost window is wide enough to hide a turned edge, and nobody looked.
    EdgeNotLookedAt {
        /// From the inner edge of that window to the rim, as a share of the radius.
        hidden_share: f64,
    },
    /// A star was not round: the knife sees one diameter.
    NotRound,
    /// A star looked as hardly any mirror does that would have been read so.
    StarDisagrees(StarTest),
    /// A star had hairs: what is rough scatters light, and is not in these figures.
    Hairy,
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
    /// What a star's look leaves in doubt.
    pub(in crate::optics) fn of_star(star: StarTest) -> Option<Doubt> {
        match star {
            StarTest::NotRound => Some(Doubt::NotRound),
            StarTest::Hairy => Some(Doubt::Hairy),
            StarTest::Alike | StarTest::BrightRimInside => None,
        }
    }

    /// No verdict should be built on these readings before this is settled.
    pub fn bars_a_verdict(&self) -> bool {
        matches!(self, Doubt::Slip(_) | Doubt::TooScattered { .. })
    }

    /// No certificate can be given before this is settled.
    pub fn bars_a_certificate(&self) -> bool {
        match self {
            Doubt::Unread { share, .. } => MOST_UNREAD < *share,
            Doubt::EdgeRead {
                rim_nm,
                was_called_sound,
            } => *was_called_sound || rim_nm.value < -DEEP_RIM_NM,
            Doubt::EdgeTurned(_) | Doubt::NotRound | Doubt::StarDisagrees(_) | Doubt::Hairy => true,
            other => other.bars_a_verdict(),
        }
    }
}

/// One reading among others of its zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoneReading {
    /// Counted from the middle, the first is 1.
    pub zone: usize,
    /// Within the zone, the first is 1.
    pub reading: usize,
    /// As it stands, mm.
    pub reading_mm: f64,
    /// From the mean of the others, mm.
    pub off_mm: f64,
}

/// Of glass: a quarter of a wave on the wavefront.
const DEEP_RIM_NM: f64 = 69.0;

/// Of the open area: a ring could hide in more, whatever the rest reads like.
const MOST_UNREAD: f64 = 0.10;
