//! What could not be had, and why: nothing fails silently.

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};

use crate::optics::figure::NotJudged;
use crate::plan::session::ask::Want;
use crate::plan::session::idle::WhyIdle;
use crate::plan::session::warmth::WarmStart;

/// Something that could not be had, and why.
#[derive(Debug, Clone, PartialEq)]
pub enum Impossible {
    /// Nothing can be shown in the first slots: the Sun is still up, or nothing is clear.
    NothingUntil {
        /// When the first telescope begins.
        until: DateTime<Utc>,
        /// The Sun is the reason.
        sun_is_up: bool,
        /// The mirrors are aimed first, since people meet too late for that to be done; then `sun_is_up` is not.
        is_aiming: bool,
    },
    /// Nothing can be shown at all in the window.
    NothingAtAll,
    /// Nothing is shown in the last slots.
    NothingAfter {
        /// When the last telescope ends.
        from: DateTime<Utc>,
        /// The Sun is the reason.
        sun_comes_up: bool,
    },
    /// A telescope whose figure cannot be judged, and why.
    NotJudged(NotJudged),
    /// A telescope without a target for a while.
    Idle {
        /// Which.
        telescope: String,
        /// From when.
        from: DateTime<Utc>,
        /// Until when.
        until: DateTime<Utc>,
        /// Why.
        why: WhyIdle,
        /// It shows nothing at any time.
        all_along: bool,
    },
    /// A telescope that has to stand outside before sunset to be cool by its first look.
    Warm {
        /// Which.
        telescope: String,
        /// How warm it is at its first look if it comes out at sunset.
        from_sunset: WarmStart,
    },
    /// A telescope that people who meet at the stated hour cannot have cool by the first look: it begins warm.
    Late {
        /// Which.
        telescope: String,
        /// How warm it is at its first look.
        start: WarmStart,
    },
    /// The other date in the workshop file is not after the evening: left out.
    StaleBackup {
        /// As the file has it.
        on: NaiveDate,
    },
    /// The hour in the workshop file at which people meet is of another part of the night: left out.
    OtherGather {
        /// As the file has it.
        stated: NaiveTime,
    },
    /// For a while there are fewer targets than telescopes: only then may one more show the same.
    FewTargets {
        /// From when.
        from: DateTime<Utc>,
        /// Until when.
        until: DateTime<Utc>,
    },
    /// A want that is not met.
    Want {
        /// Which.
        want: Want,
        /// Name of what is wanted, for people.
        name: String,
        /// Why not.
        why: WhyNot,
    },
    /// No telescope with a known mount has its eyepiece where a seated eye reaches it.
    NobodySeated,
    /// One is marked for them, and nobody knows how high its eyepiece stands.
    SeatNotKnown {
        /// Its name.
        telescope: String,
    },
    /// No telescope with a known mount has its eyepiece within a child's reach in the early slots.
    NothingForChildren,
    /// Fewer looks than people.
    TooManyVisitors {
        /// That many go without a look.
        without: u32,
        /// Telescopes that work and rest for a while, for the reasons named with [`Impossible::Idle`].
        resting: Vec<String>,
    },
}

/// Why a wanted target is not shown.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyNot {
    /// The Sun: it is never listed near the Sun or by day.
    Sun,
    /// Never clear of skyline and thick air through a whole slot.
    Skyline,
    /// In no slot does anybody see more of it than a moment's glimpse in typical air.
    TooHard,
    /// The telescope is not aimed before it goes.
    NotReady {
        /// When it is.
        ready: DateTime<Utc>,
    },
    /// As many telescopes are wanted on it as may show it at once.
    Crowded,
    /// Too faint for whoever is new at a telescope to find.
    NewHelper,
    /// Other wants for the same telescope leave no turn for it.
    OtherWants,
    /// The organiser has left it out there.
    LeftOut,
    /// The telescope cannot be judged.
    NotJudged,
    /// No plan with it was found within the work allowed.
    NotFound,
}
