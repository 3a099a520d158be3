//! The log of looks: one line a look, as somebody ticked it, and what had been promised for it.
//!
//! A plain CSV file that grows by one whole line at a time and is never rewritten. Here are its
//! values; `line` turns one into a line and back, `page` reads a whole log, also one whose last line
//! was cut off, and says what to append to it. Nobody here touches a file.

mod line;
mod page;
mod sheet;

use chrono::{DateTime, Utc};

pub use self::page::{Log, NotALog, Unread, addition};
pub use self::sheet::{
    NotASheet, SheetLook, air_said, carried_over, seen_by_said, sheet_read, sheet_text,
};

/// One look.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedLook {
    /// When, to the second.
    pub at: DateTime<Utc>,
    /// As in the workshop file then.
    pub telescope: String,
    /// What was looked for: `saturn_cassini`.
    pub detail: String,
    /// As in the workshop file then, `10 mm` or `10 mm + 2x`; `None` where nobody wrote it down.
    pub eyepiece: Option<String>,
    /// Who saw it.
    pub by: SeenBy,
    /// How steady the air was; `None` where nobody judged it.
    pub air: Option<JudgedAir>,
    /// Whatever else there is to say; may be empty.
    pub note: String,
    /// What the program promised for it; `None` in lines written by hand.
    pub promise: Option<Promise>,
}

/// Who saw it. Falling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SeenBy {
    /// At least half of the visitors who looked.
    Most,
    /// Fewer, but more than one or two of ten.
    Some,
    /// The helper at the telescope, and hardly a visitor.
    Helper,
    /// The observer, who was alone with the telescope: nobody knows what visitors would have seen.
    Alone,
    /// Nobody.
    Nobody,
}

impl SeenBy {
    /// All of them.
    pub const ALL: [SeenBy; 5] = [
        SeenBy::Most,
        SeenBy::Some,
        SeenBy::Helper,
        SeenBy::Alone,
        SeenBy::Nobody,
    ];

    /// As it stands in the log.
    pub fn word(self) -> &'static str {
        match self {
            SeenBy::Most => "most",
            SeenBy::Some => "some",
            SeenBy::Helper => "helper",
            SeenBy::Alone => "alone",
            SeenBy::Nobody => "none",
        }
    }
}

/// The air as it was judged at the eyepiece, by the words of the workshop file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JudgedAir {
    /// Like the steadiest nights of the place.
    Good,
    /// Like the usual night.
    Typical,
    /// Like its unsteady nights.
    Poor,
}

impl JudgedAir {
    /// All of them.
    pub const ALL: [JudgedAir; 3] = [JudgedAir::Good, JudgedAir::Typical, JudgedAir::Poor];

    /// As it stands in the log.
    pub fn word(self) -> &'static str {
        match self {
            JudgedAir::Good => "good",
            JudgedAir::Typical => "typical",
            JudgedAir::Poor => "poor",
        }
    }
}

/// What the program promised for one look, at that instant and in that air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Promise {
    /// In a word, the observer's own margin included.
    pub grade: PromisedGrade,
    /// Zenith FWHM that the workshop file gave for that air, arcseconds.
    pub seeing_arcsec: f64,
    /// The observer's own margin in the workshop file, powers of ten.
    pub observer_dex: f64,
    /// The figures behind the grade; `None` for what was not thought to be there at all.
    pub margins: Option<Margins>,
}

/// How far above a practised observer's 50 % threshold a look was reckoned, in powers of ten, without the
/// observer's own margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// In the air of that look.
    pub margin_dex: f64,
    /// Had the air been steadier by [`SEEING_STEP`].
    pub steadier_dex: f64,
    /// Had it been rougher by [`SEEING_STEP`].
    pub rougher_dex: f64,
    /// How far all three may be off because nobody knows the detail's contrast better: a standard deviation.
    pub doubt_dex: f64,
}

/// Ratio of the seeings for which [`Margins`] are kept: wide enough for any correction of a place's figures.
pub const SEEING_STEP: f64 = 1.5;

/// What was promised. Rising.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PromisedGrade {
    /// Not there that night, by phase, season, face or size.
    Absent,
    /// Do not promise it.
    Beyond,
    /// Moments of steady air, a practised eye.
    Fleeting,
    /// An attentive look.
    Patient,
    /// Any visitor sees it.
    Plain,
}

impl PromisedGrade {
    /// From the surest down.
    pub const ALL: [PromisedGrade; 5] = [
        PromisedGrade::Plain,
        PromisedGrade::Patient,
        PromisedGrade::Fleeting,
        PromisedGrade::Beyond,
        PromisedGrade::Absent,
    ];

    /// As it stands in the log. No word begins with another: a word that is whole is not cut off.
    pub fn word(self) -> &'static str {
        match self {
            PromisedGrade::Absent => "absent",
            PromisedGrade::Beyond => "beyond",
            PromisedGrade::Fleeting => "fleeting",
            PromisedGrade::Patient => "patient",
            PromisedGrade::Plain => "plain",
        }
    }
}
