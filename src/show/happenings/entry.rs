//! What the page of happenings says of one thing, whoever words it.

use chrono::{DateTime, Utc};

/// One entry of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// When: of a pairing its best moment here, of all else the happening itself.
    pub at: DateTime<Utc>,
    /// What, and a remark.
    pub words: String,
    /// More paragraphs, for eclipses.
    pub more: Vec<String>,
}

impl Entry {
    /// Without more paragraphs.
    pub fn new(at: DateTime<Utc>, words: String) -> Entry {
        Entry {
            at,
            words,
            more: Vec::new(),
        }
    }
}
