//! How warm a telescope's mirror is in the evening, and what that takes from its images: degrees, which fall with time.

use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;

use crate::optics::cooling::{BORNE_LAG_K, mirror_seeing_arcsec, through_both_arcsec};
use crate::plan::put_out::{PutOut, lead, to_ten_minutes};
use crate::plan::sun::SunTimes;
use crate::plan::tube::CoolDown;

/// How warm a mirror is, and the air that it stirs in front of itself.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Warmth {
    /// Its face above the air, K.
    pub warm_k: f64,
    /// What that alone would make of a star, FWHM: see
    /// [`mirror_seeing_arcsec`](crate::optics::cooling::mirror_seeing_arcsec).
    pub blur_arcsec: f64,
}

/// How warm a mirror is at its first look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarmStart {
    /// The first look.
    pub at: DateTime<Utc>,
    /// Its warmth then.
    pub warmth: Warmth,
    /// By how much stars are wider for it, at the zenith in typical air.
    pub softer_arcsec: f64,
    /// When it is as cool as is borne.
    pub cool_at: DateTime<Utc>,
}

impl WarmStart {
    /// It is worth a word: in whole degrees, more than the one that is borne.
    pub fn is_warm(&self) -> bool {
        1.5 * BORNE_LAG_K <= self.warmth.warm_k
    }
}

/// A telescope that has been brought outside.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outside {
    cooling: CoolDown,
    /// Since when.
    since: DateTime<Utc>,
    /// People met later than would have been in time.
    pub(super) is_late: bool,
}

impl Outside {
    /// In time to be cool and aimed when the evening's first target is there, but not before people meet, where the file says when.
    pub(super) fn of(
        cooling: CoolDown,
        first_target: DateTime<Utc>,
        stated_gather: Option<DateTime<Utc>>,
    ) -> Outside {
        let in_time = first_target - lead(cooling);
        let gather = stated_gather.filter(|gather| in_time < *gather);
        Outside {
            cooling,
            since: gather.unwrap_or(in_time),
            is_late: gather.is_some(),
        }
    }

    /// Before then it came out.
    pub(super) fn is_out_at(&self, at: DateTime<Utc>) -> bool {
        self.since < at
    }

    /// As if it came out then.
    pub(super) fn if_since(self, since: DateTime<Utc>) -> Outside {
        Outside { since, ..self }
    }

    pub(super) fn put_out(&self, sun: &SunTimes) -> PutOut {
        let by = match self.is_late {
            true => self.since,
            false => to_ten_minutes(self.since),
        };
        PutOut::at(by, self.cooling, sun)
    }

    pub(super) fn warmth(&self, at: DateTime<Utc>) -> Warmth {
        let minutes = (at - self.since).num_seconds() as f64 / 60.0;
        let warm_k = self.cooling.warmer_k(minutes);
        Warmth {
            warm_k,
            blur_arcsec: mirror_seeing_arcsec(warm_k),
        }
    }

    /// At its first look, under air of that width at the zenith.
    pub(super) fn start(&self, at: DateTime<Utc>, typical_seeing_arcsec: f64) -> WarmStart {
        let warmth = self.warmth(at);
        let whole_arcsec = through_both_arcsec(typical_seeing_arcsec, warmth.blur_arcsec);
        let cools = TimeDelta::seconds((60.0 * self.cooling.still_air_min) as i64);
        WarmStart {
            at,
            warmth,
            softer_arcsec: whole_arcsec - typical_seeing_arcsec,
            cool_at: self.since + cools,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop;

    fn at(minutes: i64) -> DateTime<Utc> {
        DateTime::UNIX_EPOCH + TimeDelta::minutes(minutes)
    }

    /// Out at the hour at which people meet, or in time for the first target.
    fn outside(thickness_mm: f64, gather: Option<i64>) -> Outside {
        let mut telescope = workshop::example().telescopes[0].clone();
        telescope.thickness_mm = Some(thickness_mm);
        let cooling = CoolDown::of(&telescope).expect("a thickness");
        Outside::of(cooling, at(600), gather.map(at))
    }

    #[test]
    fn thicker_glass_and_a_later_meeting_are_never_better() {
        let thick_mm = (10..=60).map(f64::from);
        let gathers = (300..600).step_by(20).map(Some);
        for minutes in (600..900).step_by(15) {
            let warm_k = |outside: Outside| outside.warmth(at(minutes)).warm_k;
            for gather in [None, Some(450), Some(590)] {
                let by_glass: Vec<f64> = (thick_mm.clone())
                    .map(|mm| warm_k(outside(mm, gather)))
                    .collect();
                let is_rising = by_glass.windows(2).all(|two| two[0] <= two[1] + 1e-3);
                assert!(is_rising, "{minutes}: {by_glass:?}");
            }
            let by_hour: Vec<f64> = std::iter::once(None)
                .chain(gathers.clone())
                .map(|gather| warm_k(outside(30.0, gather)))
                .collect();
            let is_rising = by_hour.windows(2).all(|two| two[0] <= two[1]);
            assert!(is_rising, "{minutes}: {by_hour:?}");
        }
    }

    /// In time it has the degree that is borne ten minutes before, when it is aimed.
    #[test]
    fn in_time_it_is_cool() {
        let outside = outside(25.0, None);
        assert!((outside.warmth(at(590)).warm_k - 1.0).abs() < 0.01);
        assert!(!outside.is_late && !outside.start(at(600), 2.2).is_warm());
    }
}
