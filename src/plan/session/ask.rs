//! What is asked, and why there may be no answer.

use std::ops::Range;

use chrono::NaiveDate;
use serde::Serialize;

use crate::plan::clock_window::ClockWindow;
use crate::workshop::Upset;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The local date on which the evening begins.
    pub on: NaiveDate,
    /// From the first look to the end, on the clock of the place; before noon: the morning after `on`.
    pub window: ClockWindow,
    /// People expected, at least 1.
    pub visitors: u32,
    /// Length of a slot, minutes, 5 to 60.
    pub slot_minutes: u32,
    /// For whom the plan is bent first.
    pub first: Option<First>,
    /// Names of the telescopes that take part, as in the workshop file; empty: all.
    pub telescopes: Vec<String>,
    /// What the organiser wants shown.
    pub wants: Vec<Want>,
}

/// For whom the plan is bent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum First {
    /// Early slots get what is plainest, from the lowest eyepieces.
    Children,
    /// One telescope with a low eyepiece keeps to what a seated eye reaches.
    Wheelchair,
}

/// A target wanted, on one telescope or on any.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Want {
    /// Id of the subject: `jupiter`, `albireo`, `m42`.
    pub subject: String,
    /// Name of the telescope; `None`: any.
    pub telescope: Option<String>,
}

/// Targets of one telescope in the order in which they are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// Its name.
    pub telescope: String,
    /// Ids; they change places among themselves, what is not named stays.
    pub targets: Vec<String>,
}

/// A target and the slots in which a telescope is to show it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pin {
    pub(super) telescope: String,
    pub(super) target: String,
    pub(super) slots: Range<usize>,
}

/// A target that a telescope is not to show after all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skip {
    /// Its name.
    pub telescope: String,
    /// Id of the target.
    pub target: String,
}

/// What is settled before an evening is planned.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Settled<'a> {
    /// Shown then, if it can be.
    pub(super) pins: &'a [Pin],
    /// Not shown.
    pub(super) skips: &'a [Skip],
    /// A plan to be kept as far as it can be.
    pub(super) planned: Option<&'a [Pin]>,
    /// What has happened, in order of time.
    pub(super) upsets: &'a [Upset],
}

#[cfg(test)]
impl Ask {
    /// For a random evening.
    pub(super) fn drawn(evening: &crate::testing::RandomEvening) -> Ask {
        Ask {
            on: evening.on.parse().expect("a date"),
            window: ClockWindow::said(&evening.window).expect("hours"),
            visitors: evening.visitors,
            slot_minutes: 15,
            first: None,
            telescopes: Vec::new(),
            wants: Vec::new(),
        }
    }
}
