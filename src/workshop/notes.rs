//! What the organiser writes beside a plan: notes, turns to leave out, another order. Kept whatever the plan becomes.

/// One file of notes. Its names are as written: a plan may have no place for them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SessionNotes {
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
    /// Where its name stands in the file, from 1.
    pub line: usize,
    /// Where its order does.
    pub order_line: usize,
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
    /// Where it stands in the file, from 1.
    pub line: usize,
}

impl SessionNotes {
    /// What is written about a telescope.
    pub fn of(&self, telescope: &str) -> Option<&TelescopeNotes> {
        self.telescopes.iter().find(|notes| notes.name == telescope)
    }
}
