//! One look as one line of the log, and back.
//!
//! A line is whole in itself: what somebody writes is kept free of line breaks, so that a line that was
//! cut off while it was written can hurt nothing but itself. The grade stands last, as one of a few
//! words: a line that ends in one of them was not cut off.
//!
//! A spreadsheet takes text that begins with `=`, `+`, `-` or `@` for a formula and would run it. Such text
//! gets an apostrophe in front, which spreadsheets take for "this is text"; reading takes it away again.

use chrono::{DateTime, NaiveDateTime, SecondsFormat, Utc};

use super::{JudgedAir, LoggedLook, Margins, Promise, PromisedGrade, SeenBy};

/// A column of the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    At,
    Telescope,
    Detail,
    Eyepiece,
    By,
    Air,
    Note,
    Seeing,
    Margin,
    Steadier,
    Rougher,
    Doubt,
    Observer,
    Grade,
}

impl Column {
    /// In the order of a new log.
    const ALL: [Column; 14] = [
        Column::At,
        Column::Telescope,
        Column::Detail,
        Column::Eyepiece,
        Column::By,
        Column::Air,
        Column::Note,
        Column::Seeing,
        Column::Margin,
        Column::Steadier,
        Column::Rougher,
        Column::Doubt,
        Column::Observer,
        Column::Grade,
    ];

    /// Without these a line says nothing.
    const NEEDED: [Column; 4] = [Column::At, Column::Telescope, Column::Detail, Column::By];

    fn name(self) -> &'static str {
        match self {
            Column::At => "at_utc",
            Column::Telescope => "telescope",
            Column::Detail => "detail",
            Column::Eyepiece => "eyepiece",
            Column::By => "by",
            Column::Air => "air",
            Column::Note => "note",
            Column::Seeing => "seeing_arcsec",
            Column::Margin => "margin_dex",
            Column::Steadier => "margin_steadier_dex",
            Column::Rougher => "margin_rougher_dex",
            Column::Doubt => "doubt_dex",
            Column::Observer => "observer_margin_dex",
            Column::Grade => "grade",
        }
    }
}

/// Which column stands where, and what parts them: a spreadsheet may have moved them, and newer programs
/// may know more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    delimiter: u8,
    columns: Vec<Option<Column>>,
}

impl Layout {
    /// Of a new log.
    pub(super) fn usual() -> Layout {
        Layout {
            delimiter: b',',
            columns: Column::ALL.map(Some).to_vec(),
        }
    }

    /// From a log's first line; `None` where it is none.
    pub(super) fn of_head(line: &[u8]) -> Option<Layout> {
        let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
        [b',', b';', b'\t'].into_iter().find_map(|delimiter| {
            let names = fields(line, delimiter)?;
            let known = |name: &String| {
                (Column::ALL.into_iter()).find(|column| column.name() == name.trim())
            };
            let columns: Vec<Option<Column>> = names.iter().map(known).collect();
            let once = |column: &Column| {
                let there = columns.iter().flatten().filter(|other| *other == column);
                there.count() == 1
            };
            let all_needed = Column::NEEDED.iter().all(once);
            let none_twice = columns.iter().flatten().all(once);
            (all_needed && none_twice).then_some(Layout { delimiter, columns })
        })
    }

    /// The first line of a log of this layout, its line break included.
    pub(super) fn head(&self) -> Vec<u8> {
        let names = (self.columns.iter()).map(|column| column.map_or("", Column::name));
        self.joined(names.map(str::to_string))
    }

    /// A look as a line, its line break included.
    pub(super) fn line(&self, look: &LoggedLook) -> Vec<u8> {
        let written = |column: &Option<Column>| {
            column.map_or_else(String::new, |column| written(column, look))
        };
        self.joined(self.columns.iter().map(written))
    }

    fn joined(&self, fields: impl Iterator<Item = String>) -> Vec<u8> {
        let mut writer = csv::WriterBuilder::new()
            .delimiter(self.delimiter)
            .from_writer(Vec::new());
        (writer.write_record(fields)).expect("one record, into memory");
        writer.into_inner().expect("memory takes everything")
    }

    /// A line as a look, or what is wrong with it.
    pub(super) fn look(&self, line: &[u8]) -> Result<LoggedLook, String> {
        let fields = fields(line, self.delimiter)
            .ok_or_else(|| String::from("it is not text, or cut off"))?;
        if fields.len() != self.columns.len() {
            let (got, want) = (fields.len(), self.columns.len());
            return Err(format!(
                "it has {got} of {want} columns, as if cut off while it was written"
            ));
        }
        let field = |wanted: Column| {
            let idx = (self.columns.iter()).position(|column| *column == Some(wanted));
            idx.map_or("", |idx| fields[idx].trim())
        };
        Ok(LoggedLook {
            at: instant(field(Column::At))?,
            telescope: name(Column::Telescope, field(Column::Telescope))?,
            detail: name(Column::Detail, field(Column::Detail))?,
            eyepiece: match field(Column::Eyepiece) {
                "" => None,
                text => Some(name(Column::Eyepiece, text)?),
            },
            by: word(Column::By, field(Column::By), &SeenBy::ALL, SeenBy::word)?
                .ok_or_else(|| String::from("by is empty"))?,
            air: word(
                Column::Air,
                field(Column::Air),
                &JudgedAir::ALL,
                JudgedAir::word,
            )?,
            note: unguarded(field(Column::Note)),
            promise: promise(&field)?,
        })
    }
}

/// What a line says in each column, quotes undone. `None` where it is no text.
fn fields(line: &[u8], delimiter: u8) -> Option<Vec<String>> {
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    std::str::from_utf8(line).ok()?;
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .delimiter(delimiter)
        .from_reader(line);
    let record = reader.records().next()?.ok()?;
    Some(record.iter().map(str::to_string).collect())
}

fn written(column: Column, look: &LoggedLook) -> String {
    let promise = look.promise;
    let margins = promise.and_then(|promise| promise.margins);
    let number = |value: Option<f64>| value.map_or_else(String::new, dex);
    match column {
        Column::At => look.at.to_rfc3339_opts(SecondsFormat::Secs, true),
        Column::Telescope => guarded(&look.telescope),
        Column::Detail => guarded(&look.detail),
        Column::Eyepiece => guarded(look.eyepiece.as_deref().unwrap_or_default()),
        Column::By => look.by.word().to_string(),
        Column::Air => look.air.map_or("", JudgedAir::word).to_string(),
        Column::Note => guarded(look.note.trim()),
        Column::Seeing => number(promise.map(|promise| promise.seeing_arcsec)),
        Column::Margin => number(margins.map(|margins| margins.margin_dex)),
        Column::Steadier => number(margins.map(|margins| margins.steadier_dex)),
        Column::Rougher => number(margins.map(|margins| margins.rougher_dex)),
        Column::Doubt => number(margins.map(|margins| margins.doubt_dex)),
        Column::Observer => number(promise.map(|promise| promise.observer_dex)),
        Column::Grade => promise.map_or_else(String::new, |promise| promise.grade.word().into()),
    }
}

/// A thousandth is finer than any margin is known.
fn dex(value: f64) -> String {
    // No minus before a zero.
    format!("{:.3}", (value * 1000.0).round() / 1000.0 + 0.0)
}

/// Whether a spreadsheet may take it for a formula, or us for a guarded text.
fn needs_guard(text: &str) -> bool {
    text.starts_with([
        '=', '+', '-', '@', '\'', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ])
}

/// Somebody's text on one line, and no formula.
pub(super) fn guarded(text: &str) -> String {
    let mut line = String::from(if needs_guard(text.trim_start()) {
        "'"
    } else {
        ""
    });
    for c in text.chars() {
        match c {
            '\\' => line.push_str("\\\\"),
            '\n' => line.push_str("\\n"),
            '\r' => line.push_str("\\r"),
            '\t' => line.push_str("\\t"),
            c if c.is_control() => line.push(char::REPLACEMENT_CHARACTER),
            c => line.push(c),
        }
    }
    line
}

/// The text that was [`guarded`].
pub(super) fn unguarded(line: &str) -> String {
    let mut text = String::new();
    let mut chars = line.strip_prefix('\'').unwrap_or(line).chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some('n') => text.push('\n'),
                Some('r') => text.push('\r'),
                Some('t') => text.push('\t'),
                Some(other) => text.push(other),
                None => text.push('\\'),
            },
            c => text.push(c),
        }
    }
    text
}

fn name(column: Column, text: &str) -> Result<String, String> {
    let name = unguarded(text);
    match name.trim() {
        "" => Err(format!("{} is empty", column.name())),
        name if name.chars().any(char::is_control) => {
            Err(format!("{} is not a name", column.name()))
        }
        name => Ok(name.to_string()),
    }
}

fn word<T: Copy>(
    column: Column,
    text: &str,
    known: &[T],
    word_of: fn(T) -> &'static str,
) -> Result<Option<T>, String> {
    let text = text.to_lowercase();
    let found = known.iter().copied().find(|value| word_of(*value) == text);
    if found.is_none() && !text.is_empty() {
        let words: Vec<&str> = known.iter().map(|value| word_of(*value)).collect();
        return Err(format!("{} is none of {}", column.name(), words.join(", ")));
    }
    Ok(found)
}

/// As we write it, or as a spreadsheet makes it: `2027-02-20 19:30` in UTC.
pub(super) fn instant(text: &str) -> Result<DateTime<Utc>, String> {
    if let Ok(instant) = DateTime::parse_from_rfc3339(text) {
        return Ok(instant.to_utc());
    }
    let plain = text.replacen('T', " ", 1);
    let plain = plain.trim_end_matches(['Z', ' ']);
    ["%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M"]
        .into_iter()
        .find_map(|format| NaiveDateTime::parse_from_str(plain, format).ok())
        .map(|instant| instant.and_utc())
        .ok_or_else(|| String::from("at_utc is no instant like 2027-02-20T19:30:00Z"))
}

fn promise<'f>(field: &impl Fn(Column) -> &'f str) -> Result<Option<Promise>, String> {
    let grade = word(
        Column::Grade,
        field(Column::Grade),
        &PromisedGrade::ALL,
        PromisedGrade::word,
    )?;
    let number = |column: Column| number(column, field(column));
    let seeing_arcsec = number(Column::Seeing)?;
    let observer_dex = number(Column::Observer)?.unwrap_or(0.0);
    let margins = margins(&number)?;
    match (grade, seeing_arcsec) {
        (Some(grade), Some(seeing_arcsec)) if 0.0 < seeing_arcsec => Ok(Some(Promise {
            grade,
            seeing_arcsec,
            observer_dex,
            margins,
        })),
        (None, None) if margins.is_none() => Ok(None),
        _ => Err(String::from(
            "its promise is not whole: seeing_arcsec and grade go together",
        )),
    }
}

fn margins(
    number: &impl Fn(Column) -> Result<Option<f64>, String>,
) -> Result<Option<Margins>, String> {
    let margin_dex = number(Column::Margin)?;
    let steadier_dex = number(Column::Steadier)?;
    let rougher_dex = number(Column::Rougher)?;
    let doubt_dex = number(Column::Doubt)?.unwrap_or(0.0);
    match (margin_dex, steadier_dex, rougher_dex) {
        (Some(margin_dex), Some(steadier_dex), Some(rougher_dex)) => Ok(Some(Margins {
            margin_dex,
            steadier_dex,
            rougher_dex,
            doubt_dex: doubt_dex.abs(),
        })),
        (None, None, None) => Ok(None),
        _ => Err(String::from("its three margins go together")),
    }
}

/// No figure of the log is larger.
const LARGEST_NUMBER: f64 = 100.0;

fn number(column: Column, text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    // Spreadsheets of half the world write a comma, and some a real minus sign.
    let plain = text.replacen(',', ".", 1).replace('\u{2212}', "-");
    match plain.parse::<f64>() {
        Ok(value) if value.abs() <= LARGEST_NUMBER => Ok(Some(value)),
        _ => Err(format!("{} is no number", column.name())),
    }
}
