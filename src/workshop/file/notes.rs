//! The organiser's notes beside a plan: `session.notes.toml`.

use std::collections::BTreeSet;

use toml::de::{DeTable, DeValue};

use crate::workshop::error::Complaint;
use crate::workshop::{Error, Sector, SessionNotes, TelescopeNotes, TurnNotes, Upset, wording};

use super::keys::{Grammar, Is, Key, key, number};
use super::section::{LARGEST_FILE_BYTES, Page, Section, Value};
use super::{keep, read_each, syntax};

const NOTE: Key = key(
    "note",
    Is::Text,
    "a sentence for the sheet: note = \"ask for the red torch\"",
);

static NOTES: Grammar = Grammar {
    heading: "the notes",
    keys: &[
        key(
            "telescope",
            Is::List { most: 100 },
            "each telescope has its own heading [[telescope]], with two brackets",
        ),
        key(
            "happened",
            Is::List { most: 50 },
            "what has changed has its own heading [[happened]], with two brackets",
        ),
    ],
};

static HAPPENED: Grammar = Grammar {
    heading: "[[happened]]",
    keys: &[
        key(
            "now",
            Is::Text,
            "when that was known, hours and minutes in quotes: now = \"20:40\"",
        ),
        key(
            "late_minutes",
            Is::Whole { low: 0, high: 600 },
            "how much later the evening begins: late_minutes = 20",
        ),
        key(
            "out",
            Is::List { most: 100 },
            "telescopes that can no longer be used: out = [\"Linden\"]",
        ),
        key(
            "back",
            Is::List { most: 100 },
            "telescopes that can be used again: back = [\"Linden\"]",
        ),
        key(
            "cloud_deg",
            Is::List { most: 20 },
            "what cloud covers, pairs of azimuths, clockwise: cloud_deg = [[200, 290]]",
        ),
        key(
            "end",
            Is::Text,
            "the last look, sooner than planned: end = \"21:45\"",
        ),
    ],
};

static CLOUD: Grammar = Grammar {
    heading: "cloud_deg",
    keys: &[
        number("from", 0.0, 360.0, "degrees", CLOUD_HINT),
        number("until", 0.0, 360.0, "degrees", CLOUD_HINT),
    ],
};

const CLOUD_HINT: &str = "from one azimuth clockwise to another: cloud_deg = [[200, 290]]";

static OF_TELESCOPE: Grammar = Grammar {
    heading: "[[telescope]]",
    keys: &[
        key(
            "name",
            Is::Text,
            "as in the workshop file: name = \"Linden\"",
        ),
        NOTE,
        key(
            "order",
            Is::List { most: 50 },
            "targets that change places: order = [\"saturn\", \"moon\"]",
        ),
        key(
            "turn",
            Is::List { most: 50 },
            "each target has its own heading [[telescope.turn]] below its telescope",
        ),
    ],
};

static OF_TURN: Grammar = Grammar {
    heading: "[[telescope.turn]]",
    keys: &[
        key("target", Is::Text, "what is shown: target = \"saturn\""),
        NOTE,
        key("skip", Is::Flag, "skip = true leaves it out"),
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
        let mut happened = Vec::new();
        let listed = keep(file.list("happened"), &mut complaints).flatten();
        for value in listed.unwrap_or_default() {
            happened.extend(keep(of_upset(page, &file, value), &mut complaints));
        }
        match complaints.is_empty() {
            true => Ok(SessionNotes {
                telescopes,
                happened,
            }),
            false => Err(Error::new(complaints, file_name)),
        }
    }
}

fn of_upset(page: Page, file: &Section, value: &Value) -> Result<Upset, Complaint> {
    let section = Section::open(page, &HAPPENED, file.key("happened"), value)?;
    let late = (section.value("late_minutes")).map(|_| section.needed_whole("late_minutes"));
    let clouds = section.list("cloud_deg")?.unwrap_or_default().iter();
    let sector = |value| {
        let (from_deg, until_deg) = page.pair(&CLOUD, value)?;
        Ok(Sector {
            from_deg,
            until_deg,
        })
    };
    Ok(Upset {
        now: section.needed_time("now")?,
        late_minutes: late.transpose()?.unwrap_or(0) as u32,
        out: names(&section, "out")?,
        back: names(&section, "back")?,
        clouds: clouds.map(sector).collect::<Result<_, Complaint>>()?,
        end: section.time("end")?,
    })
}

/// Of telescopes.
fn names(section: &Section, key: &str) -> Result<Vec<String>, Complaint> {
    let name = |value: &Value| match value.get_ref() {
        DeValue::String(name) => Ok(name.trim().to_string()),
        _ => Err(section.page.wrong_type(section.key(key), value)),
    };
    let list = section.list(key)?.unwrap_or_default();
    list.iter().map(name).collect()
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
