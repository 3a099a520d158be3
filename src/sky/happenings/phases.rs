//! New Moon, quarters, full Moon.

use std::f64::consts::FRAC_PI_2;

use serde::Serialize;

use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::happenings::frame::{apparent_au, ecliptic_pole, lead_rad, search_over};
use crate::sky::search::crossings;

/// A phase of the Moon, by its lead over the Sun in apparent geocentric ecliptic longitude.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MoonPhase {
    /// 0 degrees.
    New,
    /// 90 degrees.
    FirstQuarter,
    /// 180 degrees.
    Full,
    /// 270 degrees.
    LastQuarter,
}

impl MoonPhase {
    /// In their order, a quarter of a turn apart.
    pub const ALL: [MoonPhase; 4] = [
        MoonPhase::New,
        MoonPhase::FirstQuarter,
        MoonPhase::Full,
        MoonPhase::LastQuarter,
    ];
}

/// Phases follow each other after 6.6 days at least.
const STEP_DAYS: f64 = 2.0;

/// All phases of a span: days of TT since J2000.0, and which.
pub fn phases(span: Span) -> Vec<(f64, MoonPhase)> {
    let found = crossings(search_over(span, STEP_DAYS), |tt_days| {
        (2.0 * lead_of_moon_rad(tt_days)).sin()
    });
    (found.into_iter())
        .map(|crossing| {
            let quarters = (lead_of_moon_rad(crossing.at) / FRAC_PI_2).round();
            let phase = MoonPhase::ALL[quarters.rem_euclid(4.0) as usize % 4];
            (crossing.at, phase)
        })
        .collect()
}

/// Whether it is on its way from new to full.
pub fn is_waxing(tt_days: f64) -> bool {
    0.0 < lead_of_moon_rad(tt_days)
}

fn lead_of_moon_rad(tt_days: f64) -> f64 {
    lead_rad(
        ecliptic_pole(tt_days),
        apparent_au(Body::Moon, tt_days),
        apparent_au(Body::Sun, tt_days),
    )
}
