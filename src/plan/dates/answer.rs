//! The finished answer: all evenings of the range, the best few, each with others to fall back on.

use chrono::{NaiveDate, Weekday};
use chrono_tz::Tz;

use crate::optics::figure::NotJudged;
use crate::plan::clock_window::ClockWindow;
use crate::plan::dates::ask::Audience;
use crate::plan::dates::evening::{Evening, Event};
use crate::targets::grade::Grade;
use crate::workshop::Assumed;

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// First local date.
    pub from: NaiveDate,
    /// Last local date.
    pub to: NaiveDate,
    /// As asked.
    pub window: ClockWindow,
    /// As asked.
    pub audience: Audience,
    /// As asked; empty: all.
    pub weekdays: Vec<Weekday>,
    /// Those that come and can be judged.
    pub telescopes: Vec<String>,
    /// Why others cannot.
    pub not_judged: Vec<NotJudged>,
    /// What counts how much.
    pub points: Points,
    /// The air all grades stand for: FWHM at the zenith.
    pub typical_seeing_arcsec: f64,
    /// As the file has it: every grade is shifted by so many powers of ten.
    pub observer_margin_dex: f64,
    /// Those asked for, in order of date.
    pub evenings: Vec<Evening>,
    /// The highest scores, a week apart at least; the best first. Empty when nothing shows at all.
    pub best: Vec<Best>,
    /// The best evening of each month, in order.
    pub of_months: Vec<OfMonth>,
    /// What becomes of each wish; empty for other audiences.
    pub wishes: Vec<WishMet>,
    /// Defaults that were used.
    pub assumed: Vec<Assumed>,
}

/// What details count, to whom the evenings are for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Points {
    /// What any visitor just sees.
    pub plain: f64,
    /// What just shows in an attentive minute.
    pub patient: f64,
    /// What stands ten times as far above the threshold as what any visitor just sees.
    pub ten_times_plain: f64,
    /// A further detail of the same body, as a share of the one before.
    pub further_share: f64,
}

/// One of the best evenings.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// Which.
    pub evening: Evening,
    /// Where to go when it is cloudy: the best evening within [`BACKUP_WITHIN_DAYS`](crate::plan::dates::BACKUP_WITHIN_DAYS), whatever its day of the week;
    /// `None` where nothing shows on any.
    pub backup: Option<Backup>,
    /// Where to go when that will not do, because the clouds stay or the people cannot come again so soon: a few
    /// days away from the first, on a day of the week that was asked for.
    pub other_backup: Option<Backup>,
}

/// The best evening of a month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfMonth {
    /// Which.
    pub on: NaiveDate,
    /// Its points.
    pub score: f64,
}

/// How often a wish is met, and when best.
#[derive(Debug, Clone, PartialEq)]
pub struct WishMet {
    /// As it is called.
    pub name: String,
    /// On how many of the evenings it shows.
    pub n_evenings: usize,
    /// The one of those evenings on which it brings most, and its grade then; `None` where it never shows.
    pub best: Option<(NaiveDate, Grade)>,
}

/// Another evening, and what changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Backup {
    /// Which.
    pub evening: Evening,
    /// What is different then, in the order of importance.
    pub changes: Vec<Change>,
}

/// What is different on the evening to fall back on.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The share of the Moon's disc that is lit, clear of the skyline on one evening at least.
    MoonLit {
        /// First.
        from: f64,
        /// Then.
        to: f64,
    },
    /// Shows no more.
    Gone(Offer),
    /// Shows only then.
    New(Offer),
    /// Shows more or less surely.
    Graded {
        /// What.
        name: String,
        /// First.
        from: Grade,
        /// Then.
        to: Grade,
    },
    /// How many minutes of the hours are dark.
    DarkMinutes {
        /// First.
        from: f64,
        /// Then.
        to: f64,
    },
}

/// What an evening offers.
#[derive(Debug, Clone, PartialEq)]
pub enum Offer {
    /// Something to look at, as it is called.
    Target(String),
    /// Something that happens in the sky.
    Happening(Event),
}
