//! What could not be had, and why: nothing fails silently.

use chrono::{DateTime, NaiveDate, Utc};

use crate::optics::figure::NotJudged;
use crate::plan::session::ask::Want;

/// Something that could not be had, and why.
#[derive(Debug, Clone, PartialEq)]
pub enum Impossible {
    /// Nothing can be shown in the first slots: the Sun is still up, or nothing is clear.
    NothingUntil {
        /// When the first telescope begins.
        until: DateTime<Utc>,
        /// The Sun is the reason.
        sun_is_up: bool,
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
    /// A telescope without a target.
    Idle {
        /// Which.
        telescope: String,
    },
    /// A telescope that cannot be cool by the first look without standing in the Sun before sunset; it begins warm.
    Warm {
        /// Which.
        telescope: String,
        /// When it will be cool.
        cool_at: DateTime<Utc>,
    },
    /// A telescope that people who meet at the stated hour cannot have cool by the first look: it begins later.
    Late {
        /// Which.
        telescope: String,
        /// When it will be cool and aimed.
        ready: DateTime<Utc>,
        /// When it would have to be outside to be cool at the first look.
        out_by: DateTime<Utc>,
    },
    /// The other date in the workshop file is not after the evening: left out.
    StaleBackup {
        /// As the file has it.
        on: NaiveDate,
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
    /// No telescope with a known mount has its eyepiece within a child's reach in the early slots.
    NothingForChildren,
    /// Fewer looks than people.
    TooManyVisitors {
        /// That many go without a look.
        without: u32,
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
    /// The mirror is for Moon and fields only, and better ones are there for planets.
    Class,
    /// The telescope is not ready before it goes.
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
    /// The telescope cannot be judged.
    NotJudged,
    /// No plan with it was found within the work allowed.
    NotFound,
}
