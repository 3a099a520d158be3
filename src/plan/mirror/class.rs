//! What a mirror is good for, and what keeps it from a better class.
//!
//! What was not measured is not certified: planet-worthy is a mirror of which hardly any that may as well have been read so
//! is worse than the line, in which no ring could hide that would bring it below, and on which nobody saw an edge.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;
use crate::optics::focal_length::KnownFocalLength;
use crate::optics::instrument::Instrument;
use crate::optics::knife::Doubt;
use crate::optics::sphere::Sphere;
use crate::workshop::{Figure, StarTest, Telescope};

/// Least Strehl ratio of a mirror for the planets: the quarter-wave rule, 0.80, less what no test on
/// a bench can tell (0.025; common practice knows it only as "about a quarter of a wave").
pub const PLANET_WORTHY_STREHL: f64 = 0.775;

/// Of mirrors that may as well have been read so, at most this share may lie below the line.
pub const MOST_BELOW_THE_LINE: f64 = 0.003;

/// At a power of half the aperture in mm the eye's best frequencies, some 6 cycles a degree, lie at
/// a tenth of the mirror's cutoff. There a mirror for low power must keep this share of a perfect one's
/// contrast: smooth errors of about half a wave. Common practice, no source.
pub const LOW_POWER_SHARE: f64 = 0.6;

/// What a mirror is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// For everything the air allows.
    PlanetWorthy,
    /// Moon, fields, up to about half the aperture in mm as power.
    LowPower,
    /// More work first.
    FigureAgain,
    /// The readings do not decide it: measure more.
    ReadAgain,
}

/// Why the class is not settled.
#[derive(Debug, Clone, PartialEq)]
pub enum Undecided {
    /// Nothing was measured.
    NotMeasured,
    /// First this has to be settled.
    Doubted(Doubt),
    /// The focal length, by which readings are judged, is hardly known.
    FocalLengthHardlyKnown {
        /// Either way, mm.
        half_width_mm: f64,
    },
    /// The interval straddles the line.
    Straddles {
        /// Readings in each zone that would bring the interval to one side; `None` where no sensible number does, or nothing
        /// was read.
        readings_needed: Option<usize>,
    },
    /// Too many mirrors that may as well have been read so are worse than the line.
    NotSure {
        /// Their share, 0 to 1.
        chance: f64,
    },
    /// The same, because nobody looked at the rim.
    RimNotLookedAt {
        /// Their share, 0 to 1.
        chance: f64,
    },
    /// A ring as mirrors have them could hide inside a window and bring it below the line.
    HiddenRing {
        /// Inside which window: counted from the middle, the first is 1.
        zone: usize,
        /// With it.
        strehl: f64,
    },
    /// A star was not round: the figure is not alike all around.
    NotRound,
}

/// The class, and why it is not settled where it is [`Class::ReadAgain`]. `low_power_kept`: contrast kept at low power
/// against the same telescope with a perfect mirror.
pub(super) fn class(
    telescope: &Telescope,
    instrument: &Instrument,
    strehl: &Interval,
    low_power_kept: f64,
) -> (Class, Option<Undecided>) {
    let unfinished = match LOW_POWER_SHARE <= low_power_kept {
        true => Class::LowPower,
        false => Class::FigureAgain,
    };
    if telescope.figure == Figure::NotGiven {
        return (Class::ReadAgain, Some(Undecided::NotMeasured));
    }
    let doubts = instrument.found.doubts();
    if let Some(doubt) = doubts.iter().find(|doubt| doubt.bars_a_verdict()) {
        return (Class::ReadAgain, Some(Undecided::Doubted(doubt.clone())));
    }
    if strehl.high < PLANET_WORTHY_STREHL {
        return (unfinished, None);
    }
    match undecided(telescope, instrument, strehl) {
        Some(why) => (Class::ReadAgain, Some(why)),
        None if strehl.value < PLANET_WORTHY_STREHL => (unfinished, None),
        None => (Class::PlanetWorthy, None),
    }
}

fn undecided(
    telescope: &Telescope,
    instrument: &Instrument,
    strehl: &Interval,
) -> Option<Undecided> {
    let doubts = instrument.found.doubts();
    if let Some(doubt) = doubts.iter().find(|doubt| doubt.bars_a_certificate()) {
        return Some(Undecided::Doubted(doubt.clone()));
    }
    if let Some(half_width_mm) = hardly_known_mm(telescope, instrument) {
        return Some(Undecided::FocalLengthHardlyKnown { half_width_mm });
    }
    if telescope.star_test == Some(StarTest::NotRound) {
        return Some(Undecided::NotRound);
    }
    if strehl.low < PLANET_WORTHY_STREHL {
        return Some(Undecided::Straddles {
            readings_needed: readings_needed(telescope, strehl),
        });
    }
    let chance = (instrument.found.evidence())
        .map_or(0.0, |evidence| evidence.chance_below(PLANET_WORTHY_STREHL));
    if MOST_BELOW_THE_LINE < chance {
        let rim = |doubt: &Doubt| matches!(doubt, Doubt::EdgeNotLookedAt { .. });
        return Some(match doubts.iter().any(rim) {
            true => Undecided::RimNotLookedAt { chance },
            false => Undecided::NotSure { chance },
        });
    }
    let hidden = instrument.found.reduction()?.with_hidden_ring;
    (hidden.strehl < PLANET_WORTHY_STREHL).then_some(Undecided::HiddenRing {
        zone: hidden.zone_idx + 1,
        strehl: hidden.strehl,
    })
}

/// A focal length that is wrong by a share makes the correction wrong by as much: in nm of wavefront RMS, that of a sphere
/// times it.
fn hardly_known_mm(telescope: &Telescope, instrument: &Instrument) -> Option<f64> {
    instrument.found.evidence()?;
    let half_width_mm = KnownFocalLength::of(telescope).half_width_mm();
    let sphere = Sphere::of(instrument.aperture_mm, instrument.focal_length_mm);
    let sphere_rms_nm = sphere.wavefront_rms_waves * REFERENCE_WAVELENGTH_NM;
    let off_nm = sphere_rms_nm * half_width_mm / instrument.focal_length_mm;
    (MOST_OFF_BY_RADIUS_NM < off_nm).then_some(half_width_mm)
}

/// Half of what a mirror at the line has.
const MOST_OFF_BY_RADIUS_NM: f64 = 20.0;

/// The interval shrinks with the root of their number.
fn readings_needed(telescope: &Telescope, strehl: &Interval) -> Option<usize> {
    let Figure::KnifeEdge(knife) = &telescope.figure else {
        return None;
    };
    let from_line = strehl.value - PLANET_WORTHY_STREHL;
    let to_line = match from_line < 0.0 {
        true => strehl.high - strehl.value,
        false => strehl.value - strehl.low,
    };
    let now: usize = knife.zones.iter().map(|zone| zone.readings_mm.len()).sum();
    let now = now as f64 / knife.zones.len() as f64;
    let needed = (now * (to_line / from_line).powi(2)).ceil();
    (needed <= MOST_READINGS).then_some(needed as usize)
}

/// In one zone: nobody reads more.
const MOST_READINGS: f64 = 12.0;
