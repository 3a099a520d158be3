//! Reading one table of the file: a value by its key, checked against its row in `keys`, or a
//! complaint that knows its line.

use chrono::{Datelike, NaiveDate, NaiveTime};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::workshop::error::Complaint;
use crate::workshop::wording::Wording;
use crate::workshop::{Assumed, Taken, wording};

use super::comma;
use super::keys::{Grammar, Is, Key};

/// No workshop needs more; noise is refused before anything looks at it.
pub(super) const LARGEST_FILE_BYTES: usize = 1_000_000;

/// A value and where it stands.
pub(super) type Value<'a> = Spanned<DeValue<'a>>;

/// The file as text: knows the line of everything.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page<'a> {
    pub(super) file_name: &'a str,
    pub(super) text: &'a str,
}

impl Page<'_> {
    /// A complaint about what stands at that byte.
    pub(super) fn complaint(&self, offset: usize, wording: Wording) -> Complaint {
        Complaint::new(self.file_name, Some(self.line(offset)), wording)
    }

    pub(super) fn line(&self, offset: usize) -> usize {
        let before = &self.text.as_bytes()[..offset.min(self.text.len())];
        1 + before.iter().filter(|byte| **byte == b'\n').count()
    }

    /// The value as the user wrote it.
    pub(super) fn written(&self, value: &Value) -> &str {
        self.text.get(value.span()).unwrap_or_default()
    }

    pub(super) fn wrong_type(&self, key: &Key, value: &Value) -> Complaint {
        self.complaint(
            value.span().start,
            wording::wrong_type(key, self.written(value)),
        )
    }

    /// A number within the range of its row.
    pub(super) fn number(&self, key: &Key, value: &Value) -> Result<f64, Complaint> {
        let number = match value.get_ref() {
            DeValue::Integer(digits) => {
                match i64::from_str_radix(digits.as_str(), digits.radix()) {
                    Ok(whole) => whole as f64,
                    Err(_) => f64::INFINITY,
                }
            }
            DeValue::Float(digits) => digits.as_str().parse().unwrap_or(f64::NAN),
            _ => return Err(self.wrong_type(key, value)),
        };
        match wording::number_trouble(key, number, self.written(value)) {
            None => Ok(number + 0.0), // -0.0 becomes 0.0
            Some(trouble) => Err(self.complaint(value.span().start, trouble)),
        }
    }

    fn whole(&self, key: &Key, value: &Value) -> Result<i64, Complaint> {
        let (DeValue::Integer(digits), Is::Whole { low, high }) = (value.get_ref(), &key.is) else {
            return Err(self.wrong_type(key, value));
        };
        match i64::from_str_radix(digits.as_str(), digits.radix()) {
            Ok(whole) if (*low..=*high).contains(&whole) => Ok(whole),
            _ => {
                let trouble = wording::out_of_range(key, self.written(value));
                Err(self.complaint(value.span().start, trouble))
            }
        }
    }

    /// Two numbers in brackets, each within the range of its row in the grammar.
    pub(super) fn pair(&self, grammar: &Grammar, value: &Value) -> Result<(f64, f64), Complaint> {
        match value
            .get_ref()
            .as_array()
            .map(|list| list.iter().collect::<Vec<_>>())
            .as_deref()
        {
            Some([first, second]) => Ok((
                self.number(&grammar.keys[0], first)?,
                self.number(&grammar.keys[1], second)?,
            )),
            _ => {
                let trouble = wording::no_pair(grammar, self.written(value));
                Err(self.complaint(value.span().start, trouble))
            }
        }
    }

    pub(super) fn list<'v>(
        &self,
        key: &Key,
        value: &'v Value<'v>,
    ) -> Result<&'v [Value<'v>], Complaint> {
        match value.get_ref() {
            DeValue::Array(list) => match wording::length_trouble(key, list.len()) {
                None => Ok(list),
                Some(trouble) => Err(self.complaint(value.span().start, trouble)),
            },
            _ => Err(self.wrong_type(key, value)),
        }
    }
}

/// One table of the file, its keys all known.
#[derive(Debug, Clone)]
pub(super) struct Section<'a> {
    pub(super) page: Page<'a>,
    grammar: &'static Grammar,
    /// How messages call it: `[site]`, `telescope "Linden"`.
    pub(super) title: String,
    offset: usize,
    entries: &'a DeTable<'a>,
}

impl<'a> Section<'a> {
    /// Opens a table; complains about the first key that its grammar does not know.
    pub(super) fn open(
        page: Page<'a>,
        grammar: &'static Grammar,
        key: &Key,
        value: &'a Value<'a>,
    ) -> Result<Section<'a>, Complaint> {
        match value.get_ref() {
            DeValue::Table(entries) => {
                Section::of_table(page, grammar, value.span().start, entries)
            }
            _ => Err(page.wrong_type(key, value)),
        }
    }

    pub(super) fn of_table(
        page: Page<'a>,
        grammar: &'static Grammar,
        offset: usize,
        entries: &'a DeTable<'a>,
    ) -> Result<Section<'a>, Complaint> {
        let unknown = entries
            .keys()
            .filter(|name| {
                grammar
                    .keys
                    .iter()
                    .all(|key| key.name != name.get_ref().as_ref())
            })
            .min_by_key(|name| name.span().start);
        match unknown {
            Some(name) => {
                let trouble = wording::unknown_key(name.get_ref(), grammar);
                Err(page.complaint(name.span().start, trouble))
            }
            None => Ok(Section {
                page,
                grammar,
                title: grammar.heading.to_string(),
                offset,
                entries,
            }),
        }
    }

    /// The same table under another name in messages.
    pub(super) fn titled(self, title: String) -> Section<'a> {
        Section { title, ..self }
    }

    /// Where a key's value stands, or the table itself if the key is absent.
    pub(super) fn offset_of(&self, name: &str) -> usize {
        self.value(name)
            .map_or(self.offset, |value| value.span().start)
    }

    pub(super) fn key(&self, name: &str) -> &'static Key {
        self.grammar.key(name)
    }

    pub(super) fn keys(&self) -> impl Iterator<Item = (&str, usize)> {
        self.entries
            .keys()
            .map(|name| (name.get_ref().as_ref(), name.span().start))
    }

    /// The value of a key, if it is there.
    pub(super) fn value(&self, name: &str) -> Option<&'a Value<'a>> {
        let _ = self.key(name); // a key without a row would be refused by `open`
        self.entries
            .iter()
            .find(|(key, _)| key.get_ref().as_ref() == name)
            .map(|(_, value)| value)
    }

    /// A complaint about a key's value, or about the whole table if the key is absent.
    pub(super) fn complaint(&self, name: &str, wording: Wording) -> Complaint {
        self.page.complaint(self.offset_of(name), wording)
    }

    /// A complaint about the whole table.
    pub(super) fn about_all(&self, wording: Wording) -> Complaint {
        self.page.complaint(self.offset, wording)
    }

    fn missing(&self, name: &str) -> Complaint {
        self.about_all(wording::missing(&self.title, self.key(name)))
    }

    pub(super) fn number(&self, name: &str) -> Result<Option<f64>, Complaint> {
        let key = self.key(name);
        self.value(name)
            .map(|value| self.page.number(key, value))
            .transpose()
    }

    pub(super) fn needed_number(&self, name: &str) -> Result<f64, Complaint> {
        self.number(name)?.ok_or_else(|| self.missing(name))
    }

    /// A whole number, or the default and a note that it was taken.
    pub(super) fn whole_or(
        &self,
        name: &str,
        default: i64,
        notes: &mut Vec<Assumed>,
    ) -> Result<i64, Complaint> {
        match self.value(name) {
            Some(value) => self.page.whole(self.key(name), value),
            None => {
                notes.push(self.note(name, &default.to_string()));
                Ok(default)
            }
        }
    }

    pub(super) fn flag(&self, name: &str) -> Result<bool, Complaint> {
        match self.value(name).map(|value| (value, value.get_ref())) {
            None => Ok(false),
            Some((_, DeValue::Boolean(flag))) => Ok(*flag),
            Some((value, _)) => Err(self.page.wrong_type(self.key(name), value)),
        }
    }

    /// Hours and minutes in quotes.
    pub(super) fn time(&self, name: &str) -> Result<Option<NaiveTime>, Complaint> {
        let Some(text) = self.text(name)? else {
            return Ok(None);
        };
        match NaiveTime::parse_from_str(&text, "%H:%M") {
            Ok(time) => Ok(Some(time)),
            Err(_) => Err(self.complaint(name, wording::no_time(self.key(name), &text))),
        }
    }

    pub(super) fn needed_time(&self, name: &str) -> Result<NaiveTime, Complaint> {
        self.time(name)?.ok_or_else(|| self.missing(name))
    }

    pub(super) fn needed_whole(&self, name: &str) -> Result<i64, Complaint> {
        match self.value(name) {
            Some(value) => self.page.whole(self.key(name), value),
            None => Err(self.missing(name)),
        }
    }

    /// Text of the user's own, trimmed; never empty, short, printable.
    pub(super) fn text(&self, name: &str) -> Result<Option<String>, Complaint> {
        let Some(value) = self.value(name) else {
            return Ok(None);
        };
        let DeValue::String(text) = value.get_ref() else {
            return Err(self.page.wrong_type(self.key(name), value));
        };
        match wording::text_trouble(name, text) {
            None => Ok(Some(text.trim().to_string())),
            Some(trouble) => Err(self.page.complaint(value.span().start, trouble)),
        }
    }

    pub(super) fn needed_text(&self, name: &str) -> Result<String, Complaint> {
        self.text(name)?.ok_or_else(|| self.missing(name))
    }

    /// One of the words of its row.
    pub(super) fn word(&self, name: &str) -> Result<Option<&'static str>, Complaint> {
        let Some(value) = self.value(name) else {
            return Ok(None);
        };
        let key = self.key(name);
        let (DeValue::String(text), Is::Word(known)) = (value.get_ref(), &key.is) else {
            return Err(self.page.wrong_type(key, value));
        };
        match known.iter().find(|word| **word == text.as_ref()) {
            Some(word) => Ok(Some(word)),
            None => {
                let trouble = wording::unknown_word(key, text, known);
                Err(self.page.complaint(value.span().start, trouble))
            }
        }
    }

    pub(super) fn needed_word(&self, name: &str) -> Result<&'static str, Complaint> {
        self.word(name)?.ok_or_else(|| self.missing(name))
    }

    pub(super) fn date(&self, name: &str) -> Result<Option<NaiveDate>, Complaint> {
        let Some(value) = self.value(name) else {
            return Ok(None);
        };
        let written = match value.get_ref() {
            DeValue::Datetime(written) if written.time.is_none() => written.date,
            _ => None,
        };
        let date = written.and_then(|date| {
            NaiveDate::from_ymd_opt(date.year.into(), date.month.into(), date.day.into())
        });
        match date {
            Some(date) if (1900..=2200).contains(&date.year()) => Ok(Some(date)),
            Some(_) => {
                let trouble = wording::strange_year(self.key(name), self.page.written(value));
                Err(self.page.complaint(value.span().start, trouble))
            }
            None => Err(self.page.wrong_type(self.key(name), value)),
        }
    }

    pub(super) fn needed_date(&self, name: &str) -> Result<NaiveDate, Complaint> {
        self.date(name)?.ok_or_else(|| self.missing(name))
    }

    pub(super) fn list(&self, name: &str) -> Result<Option<&'a [Value<'a>]>, Complaint> {
        let key = self.key(name);
        self.value(name)
            .map(|value| self.page.list(key, value))
            .transpose()
    }

    /// Whether the numbers of a list were meant as fewer, each with a decimal comma.
    pub(super) fn comma_trouble(&self, name: &str) -> Option<Wording> {
        let written = self.page.written(self.value(name)?);
        let right = comma::mended_list(written)?;
        Some(wording::commas_in_list(name, written, &right))
    }

    /// The numbers of a list, each within the range of that row.
    pub(super) fn numbers(&self, name: &str, each: &Key) -> Result<Option<Vec<f64>>, Complaint> {
        let Some(list) = self.list(name)? else {
            return Ok(None);
        };
        if let Some(trouble) = self.comma_trouble(name) {
            return Err(self.complaint(name, trouble));
        }
        let numbers = list.iter().map(|value| self.page.number(each, value));
        numbers.collect::<Result<Vec<f64>, Complaint>>().map(Some)
    }

    pub(super) fn needed_list(&self, name: &str) -> Result<&'a [Value<'a>], Complaint> {
        self.list(name)?.ok_or_else(|| self.missing(name))
    }

    /// Which one of these keys is there; a complaint if there are two.
    pub(super) fn one_of(&self, names: &[&'static str]) -> Result<Option<&'static str>, Complaint> {
        let mut given = names
            .iter()
            .copied()
            .filter(|name| self.value(name).is_some());
        match (given.next(), given.next()) {
            (Some(first), Some(second)) => {
                let trouble = wording::two_of(&self.title, first, second);
                Err(self.complaint(second, trouble))
            }
            (first, _) => Ok(first),
        }
    }

    /// Which one of these keys is there; a complaint if none or two are.
    pub(super) fn needed_one_of(&self, names: &[&'static str]) -> Result<&'static str, Complaint> {
        self.one_of(names)?.ok_or_else(|| {
            let hint = self.key(names[0]).hint;
            self.about_all(wording::none_of(&self.title, names, hint))
        })
    }

    /// A number, or the default and a note that it was taken.
    pub(super) fn number_or(
        &self,
        name: &str,
        default: f64,
        notes: &mut Vec<Assumed>,
    ) -> Result<f64, Complaint> {
        if let Some(number) = self.number(name)? {
            return Ok(number);
        }
        let unit = match self.key(name).is {
            Is::Number { unit, .. } => unit,
            _ => "",
        };
        notes.push(self.note(name, format!("{default} {unit}").trim_end()));
        Ok(default)
    }

    /// A note that a default was taken.
    pub(super) fn note(&self, name: &str, value: &str) -> Assumed {
        let place = self.title.trim_matches(['[', ']']);
        let separator = if place == self.title { ": " } else { "." };
        Assumed {
            key: format!("{place}{separator}{name}"),
            value: Taken::Words(value.to_string()),
        }
    }
}
