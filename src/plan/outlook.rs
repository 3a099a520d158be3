//! When and where something is to be looked at in a night, whatever the telescope; or why not.

use chrono::{DateTime, Utc};

use crate::plan::faces::{FaceTonight, face_tonight};
use crate::plan::onlooker::Onlooker;
use crate::plan::time_span::{TimeSpan, utc};
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::moons::view::SatelliteView;
use crate::sky::time::tt_days;
use crate::targets::asked::Asked;
use crate::targets::conditions::{Told, Unmet, shows_tonight};
use crate::targets::details::detail;
use crate::targets::look::{Hour, Look};
use crate::targets::subject::{Seen, Subject};
use crate::targets::verdict::Verdict;

/// When and where something is to be looked at, whatever the telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// All stretches, in order; never empty.
    pub stretches: Vec<Stretch>,
    /// The best time, inside one of them.
    pub best: DateTime<Utc>,
    /// How it shows through its stretches, instant by instant; empty where one instant was asked for.
    pub tried: Vec<TriedHour>,
    /// That is the end of the hours asked for, and it stands clearly higher after them.
    pub still_climbing: bool,
    /// How it stands then.
    pub at_best: Seen,
    /// The moons of Jupiter or Saturn then.
    pub moons: Vec<SatelliteView>,
    /// What its face has besides.
    pub face: FaceTonight,
    /// Everything that can be asked of it in its stretches.
    pub asked: Vec<Asked>,
    /// How the sky is there then.
    pub sky: Hour,
    /// As high as it gets on this date, degrees; Mercury and Venus in their stretches, and `None` without.
    pub highest_deg: Option<f64>,
}

impl Outlook {
    /// Fills in what a night's page says of the face; whoever compares many nights does without.
    pub(super) fn look_at_face(&mut self) {
        if let Some(seen) = self.at_best.appearance() {
            self.face = face_tonight(seen, tt_days(self.best));
        }
    }

    /// What is to be looked at.
    pub fn subject(&self) -> Subject {
        self.at_best.subject()
    }

    /// Looked at in another hour.
    pub(super) fn look_at(&mut self, at_best: Seen, hour: Hour) {
        self.best = utc(hour.at_tt_days);
        self.at_best = at_best;
        self.sky = hour;
    }

    /// Only the hours of one detail; all where it has none of its own.
    pub(super) fn keep(&mut self, during: &[Span]) {
        if during.is_empty() {
            return;
        }
        let whole = std::mem::take(&mut self.stretches);
        self.stretches = (during.iter())
            .flat_map(|span| {
                let (from, until) = (utc(span.from_tt_days), utc(span.until_tt_days));
                whole.iter().filter_map(move |it| it.cut_to(from, until))
            })
            .collect();
    }

    /// Why a detail of the table is not asked of it, where a condition tells.
    pub(super) fn unmet(&self, id: &str, onlooker: &Onlooker) -> Option<Unmet> {
        let told = Told {
            at_tt_days: Some(tt_days(self.best)),
            red_spot_longitude_deg: onlooker.red_spot_longitude_deg,
            moons: self.moons.clone(),
            passages: Vec::new(),
        };
        shows_tonight(detail(id)?, self.at_best.appearance()?, &told).err()
    }

    /// The look at the best time.
    pub(super) fn look(&self, onlooker: &Onlooker) -> Look<'_> {
        Look {
            appearance: self.at_best.appearance(),
            at_tt_days: Some(tt_days(self.best)),
            altitude_deg: self.sky.altitude_deg,
            highest_deg: self.highest_deg,
            sun_altitude_deg: self.sky.sun_altitude_deg,
            airmass: self.sky.airmass,
            extinction_mag_airmass: self.sky.extinction_mag_airmass,
            sky_brightness_mag_arcsec2: self.sky.sky_brightness_mag_arcsec2,
            seeing_zenith_arcsec: onlooker.seeing_zenith_arcsec,
            observer: onlooker.observer,
            red_spot_longitude_deg: onlooker.red_spot_longitude_deg,
        }
    }
}

/// One instant of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TriedHour {
    /// Where it stands then, behind which air, before which sky.
    pub hour: Hour,
    /// How well it shows in a middling telescope, natural logarithm: to be compared with other instants of the same night.
    pub ln_visibility: f64,
    /// Minutes of its stretch that lie nearest to this instant.
    pub minutes: f64,
}

/// One subject for one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// What it shares with the other telescopes.
    pub outlook: Outlook,
    /// On every detail that can be asked for tonight, at the best time.
    pub verdicts: Vec<Verdict>,
}

/// One stretch of time in which a body can be looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// From when.
    pub from: DateTime<Utc>,
    /// Until when.
    pub until: DateTime<Utc>,
    /// What begins it.
    pub begins: Edge,
    /// What ends it.
    pub ends: Edge,
    /// Of the body at the end, from north through east.
    pub azimuth_until_deg: f64,
}

impl Stretch {
    /// The part between two instants; `None` where nothing is left.
    fn cut_to(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<Stretch> {
        let cut = Stretch {
            from: self.from.max(from),
            until: self.until.min(until),
            begins: if self.from < from {
                Edge::Noon
            } else {
                self.begins
            },
            ends: if until < self.until {
                Edge::Noon
            } else {
                self.ends
            },
            ..*self
        };
        (cut.from < cut.until).then_some(cut)
    }

    /// Without what bounds it.
    pub fn span(&self) -> TimeSpan {
        TimeSpan {
            from: self.from,
            until: self.until,
        }
    }
}

/// What bounds a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// Dusk or dawn: the Sun's depression.
    Twilight,
    /// A quarter of an hour before sunrise.
    BeforeSunrise,
    /// The skyline of the place.
    Skyline,
    /// Too low in the air.
    TooLow,
    /// Noon: the end of the window; or of the hours of one detail.
    Noon,
}

/// A body that is not on the list.
#[derive(Debug, Clone, PartialEq)]
pub struct NotTonight {
    /// Which.
    pub body: Body,
    /// Why.
    pub reason: Absence,
}

/// Why a body is not on the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Absence {
    /// Never above the skyline and out of the thick air.
    NeverClear {
        /// Its greatest altitude in the window, degrees.
        highest_deg: f64,
    },
    /// Above the skyline only by day or in twilight too bright for it.
    OnlyInDaylight {
        /// When it sets, if it does between sunset and sunrise.
        sets: Option<DateTime<Utc>>,
        /// When it rises, if it does between sunset and sunrise.
        rises: Option<DateTime<Utc>>,
    },
    /// Too near the Sun to be pointed at.
    NearSun {
        /// Angle from the Sun, degrees.
        elongation_deg: f64,
    },
}
