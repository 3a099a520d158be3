//! Why there is no answer: one tree of errors for all that `plan` is asked.
//!
//! Each is an error of its own, with typed causes, and [`Refusal`] is any of them. Their words, what is wrong and on
//! the next line what would be right, stand in `words`.

mod near;
mod words;

use std::error::Error;
use std::fmt;

use chrono::NaiveDate;

use crate::optics::figure::NotJudged;
use crate::sky::small_bodies::TooFar;
use crate::workshop::Workshop;

/// Why there is no answer, whatever was asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// No plan for that night, no sky for that instant.
    Night(NoNight),
    /// No evenings to choose among.
    Dates(NoDates),
    /// Nothing to tell between those dates.
    Happenings(NoHappenings),
    /// No public evening.
    Session(NoSession),
    /// What was ticked is no look.
    Look(NoLook),
    /// No such time on the clocks of the place.
    Instant(NoInstant),
    /// No such hours in that night.
    Hours(NoHours),
    /// No telescope of that name.
    Telescope(NoSuchTelescope),
    /// No detail of that name.
    Detail(NoSuchDetail),
    /// Nothing in the sky is called so.
    Wish(NoSuchWish),
    /// A telescope whose readings cannot be used.
    NotJudged(NotJudged),
    /// No mask of so many windows.
    Mask(NoMask),
}

/// Why there is no night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoNight {
    /// That date does not exist in the zone of the place.
    NoSuchDate,
    /// Outside the ephemeris, 1950-2100.
    OutsideEphemeris,
    /// The stated faintest star fits no sky this side of the model's range.
    DarknessOutOfRange,
    /// The stated seeing does not stand on its scale.
    SeeingOutOfRange,
}

/// Why there are no evenings to choose among.
#[derive(Debug, Clone, PartialEq)]
pub enum NoDates {
    /// The last date lies before the first.
    Backwards {
        /// As asked.
        from: NaiveDate,
        /// As asked.
        to: NaiveDate,
    },
    /// More than are compared.
    TooMany {
        /// As asked.
        from: NaiveDate,
        /// How many there would be.
        evenings: u64,
        /// How many are compared at most.
        most: u64,
    },
    /// No evening on these days of the week, or none whose hours the clocks of the place show.
    NoEvenings,
    /// No telescope can be judged.
    NotJudged(Vec<NotJudged>),
    /// No plan for these nights.
    NoNight(NoNight),
}

/// Why nothing is told of what happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoHappenings {
    /// The last date lies before the first.
    Backwards {
        /// As asked.
        from: NaiveDate,
        /// As asked.
        to: NaiveDate,
    },
    /// Outside the ephemeris, 1950-2100.
    OutsideEphemeris,
}

/// Why there is no plan of a public evening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoSession {
    /// The night itself cannot be computed.
    Night(NoNight),
    /// No such hours in that night.
    Hours(NoHours),
    /// A window shorter than one slot.
    WindowTooShort {
        /// Length of a slot.
        slot_minutes: u32,
    },
    /// A window that gives more slots than are planned.
    TooManySlots {
        /// As many as it would give.
        slots: usize,
        /// As many as are planned.
        most: usize,
    },
    /// No telescope is called so.
    Telescope(NoSuchTelescope),
    /// Nothing to look at is called so.
    UnknownSubject {
        /// As it was asked.
        id: String,
    },
    /// What is said to have changed cannot be.
    Upset(NoUpset),
}

/// Why an evening that runs cannot be planned anew from what is said to have changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoUpset {
    /// No slot begins then or later.
    Over,
    /// The new end is past.
    EndsBeforeNow,
    /// The new end comes after the old one.
    EndsLater,
    /// A telescope of the workshop that is not out that evening.
    NotThere {
        /// Its name.
        name: String,
    },
}

/// Why a tick cannot be a look.
#[derive(Debug, Clone, PartialEq)]
pub enum NoLook {
    /// No sky for that instant, or none that fits the workshop file.
    NoNight(NoNight),
    /// The telescope's readings cannot be used.
    NotJudged(NotJudged),
    /// Nothing is called so.
    Detail(NoSuchDetail),
    /// That telescope has no such eyepiece.
    NoSuchEyepiece {
        /// Its name.
        telescope: String,
        /// Those it has, with and without Barlow lens.
        known: Vec<String>,
    },
    /// Nobody knows any more where that asteroid or comet is.
    TooFar(TooFar),
    /// It stood below the level horizon at that instant.
    Below {
        /// On what it is.
        subject: String,
        /// Degrees, negative.
        altitude_deg: f64,
    },
}

/// Why a time that somebody said is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoInstant {
    /// Written in no way that is known here.
    NotUnderstood,
    /// The clocks went back over it.
    Twice,
    /// The clocks went forward over it.
    Never,
}

/// Why hours that somebody said are none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoHours {
    /// Written in no way that is known here.
    NotUnderstood,
    /// The first is not before the second in a night that goes from noon to noon.
    Backwards,
    /// The clocks went forward over all of them.
    NothingLeft,
    /// The zone of the place skipped that date.
    NoSuchDate,
}

/// No telescope of the workshop has that name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchTelescope {
    /// As it was asked.
    pub name: String,
    /// The one that was probably meant.
    pub near: Option<String>,
    /// Those there are.
    pub known: Vec<String>,
}

impl NoSuchTelescope {
    /// That name, and those that the workshop has.
    pub fn new(workshop: &Workshop, name: &str) -> NoSuchTelescope {
        let telescopes = workshop.telescopes.iter();
        NoSuchTelescope {
            name: name.to_string(),
            near: workshop.telescope_near(name).map(str::to_string),
            known: telescopes.map(|known| known.name.clone()).collect(),
        }
    }
}

/// No detail of the table has that id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchDetail(pub String);

/// Nothing in the sky that one could wish for has that id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchWish(pub String);

/// Why there is no mask of so many windows.
#[derive(Debug, Clone, PartialEq)]
pub enum NoMask {
    /// Only differences of readings count.
    TooFewWindows {
        /// As asked.
        windows: usize,
        /// As few as tell something.
        fewest: usize,
    },
    /// Some would be too narrow.
    TooManyWindows {
        /// As asked.
        windows: usize,
        /// Whose mirror.
        telescope: String,
        /// Of the mirror.
        aperture_mm: f64,
        /// As many as it has room for.
        most: usize,
    },
}

impl Error for Refusal {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        self.reason().source()
    }
}

impl Refusal {
    /// What it wraps: says the same, in as many words.
    fn reason(&self) -> &(dyn Error + 'static) {
        match self {
            Refusal::Night(why) => why,
            Refusal::Dates(why) => why,
            Refusal::Happenings(why) => why,
            Refusal::Session(why) => why,
            Refusal::Look(why) => why,
            Refusal::Instant(why) => why,
            Refusal::Hours(why) => why,
            Refusal::Telescope(why) => why,
            Refusal::Detail(why) => why,
            Refusal::Wish(why) => why,
            Refusal::NotJudged(why) => why,
            Refusal::Mask(why) => why,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self.reason(), f)
    }
}

impl Error for NoNight {}

impl Error for NoDates {}

impl Error for NoHappenings {}

impl Error for NoSession {}

impl Error for NoUpset {}

impl Error for NoLook {}

impl Error for NoInstant {}

impl Error for NoHours {}

impl Error for NoSuchTelescope {}

impl Error for NoSuchDetail {}

impl Error for NoSuchWish {}

impl Error for NoMask {}

/// `from!(A::B(C))`: a `C` is an `A`, so that `?` takes it there.
macro_rules! from {
    ($($whole:ident::$variant:ident($part:ident)),* $(,)?) => {$(
        impl From<$part> for $whole {
            fn from(why: $part) -> $whole {
                $whole::$variant(why)
            }
        }
    )*};
}

from!(
    Refusal::Night(NoNight),
    Refusal::Dates(NoDates),
    Refusal::Happenings(NoHappenings),
    Refusal::Session(NoSession),
    Refusal::Look(NoLook),
    Refusal::Instant(NoInstant),
    Refusal::Hours(NoHours),
    Refusal::Telescope(NoSuchTelescope),
    Refusal::Detail(NoSuchDetail),
    Refusal::Wish(NoSuchWish),
    Refusal::NotJudged(NotJudged),
    Refusal::Mask(NoMask),
    NoDates::NoNight(NoNight),
    NoSession::Night(NoNight),
    NoSession::Hours(NoHours),
    NoSession::Telescope(NoSuchTelescope),
    NoSession::Upset(NoUpset),
    NoLook::NoNight(NoNight),
    NoLook::NotJudged(NotJudged),
    NoLook::Detail(NoSuchDetail),
);
