//! What the organiser writes beside a plan: notes, turns to leave out, another order. Kept whatever the plan becomes.

use super::error::{Complaint, Error};
use super::near::near_miss;
use super::wording;

/// One file of notes, its names not yet compared with a plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SessionNotes {
    /// As messages call the file.
    pub(super) file_name: String,
    /// In the file's order; each name once.
    pub telescopes: Vec<TelescopeNotes>,
}

/// What is written about one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeNotes {
    /// As in the workshop file.
    pub name: String,
    /// For its whole evening: at most 280 characters.
    pub note: Option<String>,
    /// Ids of targets that change places among themselves; empty: as planned.
    pub order: Vec<String>,
    /// In the file's order; each target once.
    pub turns: Vec<TurnNotes>,
    pub(super) line: usize,
    pub(super) order_line: usize,
}

/// What is written about one target of a telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnNotes {
    /// Its id: `saturn`.
    pub target: String,
    /// At most 280 characters.
    pub note: Option<String>,
    /// Not to be shown after all.
    pub skip: bool,
    pub(super) line: usize,
}

/// What a telescope of the plan shows.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedTargets {
    /// Its name.
    pub telescope: String,
    /// Ids of its targets, in order of time.
    pub targets: Vec<String>,
}

impl SessionNotes {
    /// What is written about a telescope.
    pub fn of(&self, telescope: &str) -> Option<&TelescopeNotes> {
        self.telescopes.iter().find(|notes| notes.name == telescope)
    }

    /// Complains about orders of what a plan does not have.
    pub fn check_orders(&self, plan: &[PlannedTargets]) -> Result<(), Error> {
        self.check(plan, |notes| {
            let targets = notes
                .order
                .iter()
                .map(|target| (target.as_str(), notes.order_line));
            targets.collect()
        })
    }

    /// Complains about notes on what a plan does not have.
    pub fn check_turns(&self, plan: &[PlannedTargets]) -> Result<(), Error> {
        self.check(plan, |notes| {
            let targets = notes
                .turns
                .iter()
                .map(|turn| (turn.target.as_str(), turn.line));
            targets.collect()
        })
    }

    fn check<'a>(
        &'a self,
        plan: &[PlannedTargets],
        named: impl Fn(&'a TelescopeNotes) -> Vec<(&'a str, usize)>,
    ) -> Result<(), Error> {
        let mut complaints = Vec::new();
        let complaint = |line, wording| Complaint::new(&self.file_name, Some(line), wording);
        for notes in &self.telescopes {
            let of_plan = plan.iter().find(|shown| shown.telescope == notes.name);
            let Some(shown) = of_plan else {
                let known = plan.iter().map(|shown| shown.telescope.as_str());
                let near = near_miss(&notes.name, known.clone());
                let trouble = wording::not_in_plan(&notes.name, near, known);
                complaints.push(complaint(notes.line, trouble));
                continue;
            };
            let known = shown.targets.iter().map(String::as_str);
            for (target, line) in named(notes) {
                if !shown.targets.iter().any(|id| id == target) {
                    let near = near_miss(target, known.clone());
                    let trouble = wording::not_shown(&notes.name, target, near, known.clone());
                    complaints.push(complaint(line, trouble));
                }
            }
        }
        match complaints.is_empty() {
            true => Ok(()),
            false => Err(Error::new(complaints, &self.file_name)),
        }
    }
}
