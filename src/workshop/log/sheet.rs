//! A table of everything promised at a public evening, with an empty column for who saw it; and the same table filled in.
//!
//! Whoever fills it in uses a spreadsheet: columns may move, semicolons part them, times look otherwise. Names in its first line
//! may be followed by what may be written below, `by (most, some ...)`.

use chrono::{DateTime, SecondsFormat, TimeDelta, Utc};

use super::line::{guarded, instant, unguarded};
use super::{JudgedAir, LoggedLook, SeenBy, Unread};

/// One promise of the evening, and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLook {
    /// As in the workshop file.
    pub telescope: String,
    /// As printed beside it on that telescope's sheet: a letter for the turn, a number for the promise.
    pub row: String,
    /// What the telescope was pointed at, for people.
    pub target: String,
    /// What was promised, for people.
    pub name: String,
    /// From when, on the clock of the place: for people.
    pub from: String,
    /// Until when.
    pub until: String,
    /// Who saw it; `None`: nobody wrote it down.
    pub by: Option<SeenBy>,
    /// How steady the air was; `None` where nobody judged it.
    pub air: Option<JudgedAir>,
    /// Whatever else there is to say; may be empty.
    pub note: String,
    /// As in the workshop file.
    pub eyepiece: Option<String>,
    /// Its id: `saturn_cassini`.
    pub detail: String,
    /// When it showed best in its turn.
    pub at: DateTime<Utc>,
}

/// A file that is not such a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotASheet {
    /// It is not text.
    NoText,
    /// Its first line lacks this column, or has it twice.
    Column(&'static str),
    /// These of its lines cannot be read.
    Lines(Vec<Unread>),
}

/// Names of the columns; by, air and note are to be filled in.
const COLUMNS: [&str; 12] = [
    "telescope",
    "row",
    "target",
    "name",
    "from",
    "until",
    "by (most, some, helper, alone, none)",
    "air (good, typical, poor)",
    "note",
    "eyepiece",
    "detail",
    "at_utc",
];

impl SheetLook {
    /// Somebody wrote something about it.
    pub fn is_filled(&self) -> bool {
        self.by.is_some() || self.air.is_some() || !self.note.is_empty()
    }

    /// As a look for the log, its promise not yet reckoned; `None` where nobody wrote down who saw it.
    pub fn look(&self) -> Option<LoggedLook> {
        Some(LoggedLook {
            at: self.at,
            telescope: self.telescope.clone(),
            detail: self.detail.clone(),
            eyepiece: self.eyepiece.clone(),
            by: self.by?,
            air: self.air,
            note: self.note.clone(),
            promise: None,
        })
    }

    /// The same promise of the same turn, which may have moved a little.
    fn is_same(&self, other: &SheetLook) -> bool {
        let is_near = (self.at - other.at).abs() <= MOVED;
        is_near && (&self.telescope, &self.detail) == (&other.telescope, &other.detail)
    }
}

/// A turn that moved by less than this is the same. A judgement: the least stay is usually as long.
const MOVED: TimeDelta = TimeDelta::minutes(30);

/// The word for who saw it, or its beginning; `yes` and `no` are most and none.
///
/// ```
/// use skyworthy::workshop::log::{SeenBy, seen_by_said};
///
/// assert_eq!(seen_by_said(" Most"), Some(SeenBy::Most));
/// assert_eq!(seen_by_said("h"), Some(SeenBy::Helper));
/// assert_eq!(seen_by_said("y"), Some(SeenBy::Most));
/// assert_eq!(seen_by_said("perhaps"), None);
/// ```
pub fn seen_by_said(said: &str) -> Option<SeenBy> {
    let said = said.trim().to_lowercase();
    let begins = |word: &str| !said.is_empty() && word.starts_with(&said);
    let mut all = SeenBy::ALL.into_iter();
    all.find(|by| begins(by.word())).or_else(|| match said {
        _ if begins("yes") => Some(SeenBy::Most),
        _ if begins("no") => Some(SeenBy::Nobody),
        _ => None,
    })
}

/// The word for the air, or its beginning.
pub fn air_said(said: &str) -> Option<JudgedAir> {
    let said = said.trim().to_lowercase();
    let begins = |air: &JudgedAir| !said.is_empty() && air.word().starts_with(&said);
    JudgedAir::ALL.into_iter().find(begins)
}

/// The table as text, its first line and a line each.
pub fn sheet_text(looks: &[SheetLook]) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let rows = looks.iter().map(|it| {
        [
            guarded(&it.telescope),
            it.row.clone(),
            guarded(&it.target),
            guarded(&it.name),
            it.from.clone(),
            it.until.clone(),
            it.by.map_or("", SeenBy::word).to_string(),
            it.air.map_or("", JudgedAir::word).to_string(),
            guarded(&it.note),
            guarded(it.eyepiece.as_deref().unwrap_or_default()),
            guarded(&it.detail),
            it.at.to_rfc3339_opts(SecondsFormat::Secs, true),
        ]
    });
    for row in std::iter::once(COLUMNS.map(String::from)).chain(rows) {
        writer.write_record(&row).expect("memory takes every row");
    }
    let bytes = writer.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("made of text")
}

/// The table read back, each look with its line, counted from 1.
pub fn sheet_read(bytes: &[u8]) -> Result<Vec<(usize, SheetLook)>, NotASheet> {
    let text = std::str::from_utf8(bytes).map_err(|_| NotASheet::NoText)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let head = text.lines().next().unwrap_or_default();
    // A name of ours has commas in it, whatever parts the columns.
    let parts = [b';', b'\t']
        .into_iter()
        .find(|part| head.as_bytes().contains(part));
    let delimiter = parts.unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut records = reader.records();
    let names = records.next().and_then(Result::ok).unwrap_or_default();
    let places = places(&names)?;
    let (mut looks, mut unread) = (Vec::new(), Vec::new());
    for record in records {
        let record = record.map_err(|_| NotASheet::NoText)?;
        let line = record
            .position()
            .map_or(0, |at| line_of(text, at.byte() as usize));
        if record.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        match look(&record, &places) {
            Ok(look) => looks.push((line, look)),
            Err(why) => unread.push(Unread { line, why }),
        }
    }
    match unread.is_empty() {
        true => Ok(looks),
        false => Err(NotASheet::Lines(unread)),
    }
}

/// In which a record stands that begins there, or behind line breaks there.
fn line_of(text: &str, byte: usize) -> usize {
    let rest = &text.as_bytes()[byte..];
    let breaks = rest
        .iter()
        .take_while(|byte| matches!(byte, b'\r' | b'\n'))
        .count();
    let before = &text.as_bytes()[..byte + breaks];
    1 + before.iter().filter(|byte| **byte == b'\n').count()
}

/// A new table with what was filled in an old one: in the same promises of the same turns, and below them what the new plan
/// does not have any more.
pub fn carried_over(mut new: Vec<SheetLook>, old: Vec<SheetLook>) -> Vec<SheetLook> {
    for filled in old.into_iter().filter(SheetLook::is_filled) {
        match new.iter_mut().find(|look| look.is_same(&filled)) {
            // Seen when it was seen.
            Some(look) => {
                (look.by, look.air, look.note) = (filled.by, filled.air, filled.note);
                look.at = filled.at;
            }
            None => new.push(filled),
        }
    }
    new
}

fn first_word(name: &str) -> &str {
    name.trim().split([' ', '(']).next().unwrap_or_default()
}

/// Where each column stands.
fn places(names: &csv::StringRecord) -> Result<[usize; COLUMNS.len()], NotASheet> {
    let mut places = [0; COLUMNS.len()];
    for (place, column) in places.iter_mut().zip(COLUMNS) {
        let wanted = first_word(column);
        let named = names.iter().enumerate();
        let mut found = named.filter(|(_, name)| first_word(name).eq_ignore_ascii_case(wanted));
        match (found.next(), found.next()) {
            (Some((at, _)), None) => *place = at,
            _ => return Err(NotASheet::Column(wanted)),
        }
    }
    Ok(places)
}

fn look(record: &csv::StringRecord, places: &[usize; COLUMNS.len()]) -> Result<SheetLook, String> {
    let [
        telescope,
        row,
        target,
        name,
        from,
        until,
        by,
        air,
        note,
        eyepiece,
        detail,
        at,
    ] = places.map(|place| record.get(place).unwrap_or_default().trim());
    let needed = |what: &str, text: &str| match unguarded(text) {
        text if text.is_empty() => Err(format!("{what} is empty")),
        text => Ok(text),
    };
    let word = |what: &str, text: &str, known: &[&str]| {
        format!("{what} is `{text}`, none of {}", known.join(", "))
    };
    Ok(SheetLook {
        telescope: needed("telescope", telescope)?,
        row: row.to_string(),
        target: unguarded(target),
        name: unguarded(name),
        from: from.to_string(),
        until: until.to_string(),
        by: match by {
            "" => None,
            said => {
                let known = SeenBy::ALL.map(SeenBy::word);
                Some(seen_by_said(said).ok_or_else(|| word("by", said, &known))?)
            }
        },
        air: match air {
            "" => None,
            said => {
                let known = JudgedAir::ALL.map(JudgedAir::word);
                Some(air_said(said).ok_or_else(|| word("air", said, &known))?)
            }
        },
        note: unguarded(note),
        eyepiece: Some(unguarded(eyepiece)).filter(|name| !name.is_empty()),
        detail: needed("detail", detail)?,
        at: instant(at)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn promised(row: &str, at: &str) -> SheetLook {
        SheetLook {
            telescope: String::from("Heron, \"the old\" one"),
            row: row.to_string(),
            target: String::from("Jupiter"),
            name: String::from("=Great Red Spot"),
            from: String::from("21:00"),
            until: String::from("22:00"),
            by: None,
            air: None,
            note: String::new(),
            eyepiece: Some(String::from("10 mm")),
            detail: format!("jupiter_{row}"),
            at: at.parse().expect("an instant"),
        }
    }

    fn evening() -> Vec<SheetLook> {
        [
            ("a1", "2027-02-12T20:15:00Z"),
            ("a2", "2027-02-12T20:15:00Z"),
            ("b1", "2027-02-12T21:15:00Z"),
        ]
        .map(|(row, at)| promised(row, at))
        .to_vec()
    }

    fn read(text: &str) -> Vec<SheetLook> {
        let looks = sheet_read(text.as_bytes()).expect("a sheet");
        looks.into_iter().map(|(_, look)| look).collect()
    }

    #[test]
    fn what_is_written_comes_back() {
        let mut looks = evening();
        looks[1].by = Some(SeenBy::Helper);
        looks[1].air = Some(JudgedAir::Poor);
        looks[1].note = String::from("-1, \"really\"\nsecond line");
        let text = sheet_text(&looks);
        assert_eq!(read(&text), looks);
        let lines = sheet_read(text.as_bytes()).expect("a sheet");
        assert_eq!(
            lines.iter().map(|(line, _)| *line).collect::<Vec<_>>(),
            [2, 3, 4]
        );
        assert!(
            text.contains("'=Great Red Spot") && text.contains("'-1"),
            "no formula: {text}"
        );
        assert_eq!(
            (looks[0].look(), looks[1].look().map(|it| it.by)),
            (None, Some(SeenBy::Helper))
        );
    }

    #[test]
    fn through_a_spreadsheet() {
        let text = "\u{feff}AT_UTC;By;detail;telescope;row;name;target;from;until;air;note;eyepiece;mine\r\n\
                    2027-02-12 20:15:00;y;jupiter_a1;Heron;a1;x;Jupiter;21:00:00;22:00:00;P;;;7\r\n\
                    ;;;;;;;;;;;;\r\n\
                    2027-02-12 20:15;;jupiter_a2;Heron;a2;x;Jupiter;;;;;;\r\n";
        let looks = read(text);
        assert_eq!(
            (looks[0].by, looks[0].air),
            (Some(SeenBy::Most), Some(JudgedAir::Poor))
        );
        assert_eq!((looks[1].by, looks[0].at), (None, evening()[0].at));
    }

    #[test]
    fn every_mistake_is_named_with_its_line() {
        let text = sheet_text(&evening());
        let mut lines: Vec<String> = text.lines().map(String::from).collect();
        lines[1] = lines[1].replacen("22:00,,", "22:00,perhaps,", 1);
        lines[3] = lines[3].replace("2027-02-12T21:15:00Z", "yesterday");
        let Err(NotASheet::Lines(unread)) = sheet_read(lines.join("\n").as_bytes()) else {
            panic!("two mistakes");
        };
        let named: Vec<_> = unread.iter().map(|it| (it.line, it.why.as_str())).collect();
        assert_eq!(
            named[0],
            (
                2,
                "by is `perhaps`, none of most, some, helper, alone, none"
            )
        );
        assert_eq!(
            (named[1].0, named[1].1.contains("no instant like")),
            (4, true)
        );
        let head = "telescope,row,target,name,from,until,by,air,note,eyepiece,at_utc\n";
        assert_eq!(
            sheet_read(head.as_bytes()),
            Err(NotASheet::Column("detail"))
        );
        let twice = text.replacen("detail", "by", 1);
        assert_eq!(sheet_read(twice.as_bytes()), Err(NotASheet::Column("by")));
        assert_eq!(sheet_read(b"\xff\xfe"), Err(NotASheet::NoText));
        assert_eq!(sheet_read(b""), Err(NotASheet::Column("telescope")));
    }

    #[test]
    fn what_was_filled_in_stays_when_the_evening_changes() {
        let mut old = evening();
        old[0].by = Some(SeenBy::Most);
        old[2].note = String::from("clouds");
        // The first turn begins ten minutes later, the last is gone.
        let mut new = vec![
            promised("c1", "2027-02-12T20:25:00Z"),
            promised("a2", "2027-02-12T20:25:00Z"),
        ];
        new[0].detail = String::from("jupiter_a1");
        let after = carried_over(new.clone(), old.clone());
        assert_eq!(after.len(), 3);
        assert_eq!(
            (after[0].by, after[0].at, after[0].row.as_str()),
            (Some(SeenBy::Most), old[0].at, "c1")
        );
        assert_eq!((&after[1], &after[2]), (&new[1], &old[2]));
    }
}
