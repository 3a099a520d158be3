//! A note for which a plan has no place: it is named and kept, since the next plan may have one.

use serde::Serialize;

/// Something the organiser wrote for which the plan has no place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StaleNote {
    /// In the file of notes, from 1.
    pub line: usize,
    /// As written there.
    pub telescope: String,
    /// As written there; `None`: all that is written about the telescope.
    pub target: Option<String>,
    /// What is written.
    pub sort: NoteSort,
    /// Why there is no place for it.
    pub why: WhyStale,
}

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoteSort {
    /// All about a telescope.
    Telescope,
    /// A sentence for a target.
    Note,
    /// A target to be left out.
    Skip,
    /// A target's place in an order.
    Order,
}

/// Why a plan has no place for a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyStale {
    /// The workshop has no such telescope; perhaps this one is meant.
    NoTelescope(Option<String>),
    /// The telescope takes no part this time.
    TakesNoPart,
    /// Nothing to look at is called so; perhaps this is meant.
    NoTarget(Option<String>),
    /// The telescope does not show it in this plan.
    NotShown,
}
