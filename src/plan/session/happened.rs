//! What happens while an evening runs, and what becomes of the plan.

use chrono::{DateTime, Utc};

use crate::plan::time_span::TimeSpan;
use crate::targets::subject::Subject;
use crate::workshop::Upset;

/// How a plan was changed by the last upset.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// When that was known.
    pub now: DateTime<Utc>,
    /// The first slot that could change begins then.
    pub from: DateTime<Utc>,
    /// By what.
    pub upset: Upset,
    /// Telescopes that could not go on as planned.
    pub had_to: usize,
    /// Those whose evening is another from then on, in the file's order.
    pub telescopes: Vec<TelescopeChange>,
}

/// What becomes of one telescope's evening.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeChange {
    /// Which.
    pub telescope: String,
    /// In order of time.
    pub stretches: Vec<ChangedStretch>,
}

/// Some slots with another target than planned.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangedStretch {
    /// From when to when.
    pub span: TimeSpan,
    /// What was planned; `None`: rest.
    pub before: Option<Subject>,
    /// What is shown instead.
    pub instead: Option<Subject>,
}
