//! The organiser's notes beside a plan: `session.notes.toml`.

use std::collections::BTreeSet;

use toml::de::{DeTable, DeValue};

use crate::workshop::error::Complaint;
use crate::workshop::{Error, SessionNotes, TelescopeNotes, TurnNotes, wording};

use super::keys::{Grammar, Is, Key};
use super::section::{LARGEST_FILE_BYTES, Page, Section, Value};
use super::{read_each, syntax};

const NOTE: Key = Key {
    name: "note",
    is: Is::Text,
    hint: "a sentence for the sheet: note = \"ask for the red torch\"",
};

static NOTES: Grammar = Grammar {
    heading: "the notes",
    keys: &[Key {
        name: "telescope",
        is: Is::List { most: 100 },
        hint: "each telescope has its own heading [[telescope]], with two brackets",
    }],
};

static OF_TELESCOPE: Grammar = Grammar {
    heading: "[[telescope]]",
    keys: &[
        Key {
            name: "name",
            is: Is::Text,
            hint: "as in the workshop file: name = \"Linden\"",
        },
        NOTE,
        Key {
            name: "order",
            is: Is::List { most: 50 },
            hint: "targets that change places: order = [\"saturn\", \"moon\"]",
        },
        Key {
            name: "turn",
            is: Is::List { most: 50 },
            hint: "each target has its own heading [[telescope.turn]] below its telescope",
        },
    ],
};

static OF_TURN: Grammar = Grammar {
    heading: "[[telescope.turn]]",
    keys: &[
        Key {
            name: "target",
            is: Is::Text,
            hint: "what is shown: target = \"saturn\"",
        },
        NOTE,
        Key {
            name: "skip",
            is: Is::Flag,
            hint: "skip = true leaves it out",
        },
    ],
};

impl SessionNotes {
    /// Reads a file of notes; `file_name` is how messages call it. An empty file is one without notes.
    ///
    /// ```
    /// use skyworthy::workshop::SessionNotes;
    ///
    /// let text = "[[telescope]]\nname = \"Heron\"\norder = [\"saturn\", \"moon\"]\n[[telescope.turn]]\ntarget = \"moon\"\nskip = true\n";
    /// let notes = SessionNotes::from_toml_bytes(text.as_bytes(), "session.notes.toml").unwrap();
    /// assert!(notes.of("Heron").unwrap().turns[0].skip);
    /// ```
    pub fn from_toml_bytes(bytes: &[u8], file_name: &str) -> Result<SessionNotes, Error> {
        let whole = |wording| Error::from(Complaint::new(file_name, None, wording));
        if bytes.len() > LARGEST_FILE_BYTES {
            return Err(whole(wording::too_large(bytes.len())));
        }
        let text = std::str::from_utf8(bytes).map_err(|_| whole(wording::not_text()))?;
        if text.contains(['\0', char::REPLACEMENT_CHARACTER]) {
            return Err(whole(wording::not_text()));
        }
        let page = Page { file_name, text };
        let tree = DeTable::parse(text).map_err(|refused| syntax::complaint(page, &refused))?;
        let file = Section::of_table(page, &NOTES, 0, tree.get_ref())?;
        let mut complaints = Vec::new();
        let telescopes = read_each(&file, "telescope", &mut complaints, |value| {
            let (offset, notes) = of_telescope(page, &file, value)?;
            Ok((notes.name.clone(), offset, notes))
        });
        match complaints.is_empty() {
            true => Ok(SessionNotes { telescopes }),
            false => Err(Error::new(complaints, file_name)),
        }
    }
}

fn of_telescope<'a>(
    page: Page<'a>,
    file: &Section<'a>,
    value: &'a Value<'a>,
) -> Result<(usize, TelescopeNotes), Complaint> {
    let section = Section::open(page, &OF_TELESCOPE, file.key("telescope"), value)?;
    let offset = section.offset_of("name");
    let name = section.needed_text("name")?;
    let turns = section.list("turn")?.unwrap_or_default();
    let turns = turns.iter().map(|turn| of_turn(page, &section, turn));
    let turns = turns.collect::<Result<Vec<_>, _>>()?;
    let mut known = BTreeSet::new();
    if let Some(twice) = turns.iter().find(|turn| !known.insert(turn.target.clone())) {
        let trouble = wording::twice_in_notes(&name, &twice.target);
        return Err(section.complaint("turn", trouble));
    }
    let notes = TelescopeNotes {
        note: note(&section)?,
        order: order(&section, &name)?,
        turns,
        line: page.line(offset),
        order_line: page.line(section.offset_of("order")),
        name,
    };
    Ok((offset, notes))
}

fn of_turn(page: Page, telescope: &Section, value: &Value) -> Result<TurnNotes, Complaint> {
    let section = Section::open(page, &OF_TURN, telescope.key("turn"), value)?;
    Ok(TurnNotes {
        target: section.needed_text("target")?.to_lowercase(),
        note: note(&section)?,
        skip: section.flag("skip")?,
        line: page.line(section.offset_of("target")),
    })
}

fn order(section: &Section, telescope: &str) -> Result<Vec<String>, Complaint> {
    let mut order: Vec<String> = Vec::new();
    for value in section.list("order")?.unwrap_or_default() {
        let DeValue::String(target) = value.get_ref() else {
            return Err(section.complaint("order", wording::no_order(section.page.written(value))));
        };
        let target = target.trim().to_lowercase();
        if order.contains(&target) {
            return Err(section.complaint("order", wording::twice_in_notes(telescope, &target)));
        }
        order.push(target);
    }
    Ok(order)
}

/// A sentence or two on one line.
fn note(section: &Section) -> Result<Option<String>, Complaint> {
    let Some(value) = section.value("note") else {
        return Ok(None);
    };
    let DeValue::String(text) = value.get_ref() else {
        return Err(section.complaint("note", wording::no_note(section.page.written(value))));
    };
    let note = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match wording::note_trouble(&note) {
        None => Ok(Some(note)),
        Some(trouble) => Err(section.complaint("note", trouble)),
    }
}
