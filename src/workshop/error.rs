//! What is wrong with a workshop file: where, what, and what would be right.
//!
//! The sentences themselves stand in `wording`.

use std::fmt;

use super::wording::{Wording, shown};

/// More complaints than this are counted, not printed: the first ones are what helps.
const PRINTED_COMPLAINTS: usize = 5;
/// Hints are broken before this column.
const COLUMNS: usize = 80;

/// Why a workshop file could not be used; at least one complaint, in the file's order.
///
/// Printed as `linden.toml, line 14: secondary_mm = 151 is larger than the mirror
/// (aperture_mm = 150)` with hints below it, indented by two spaces.
#[derive(Debug, Clone, PartialEq)]
pub struct Error {
    complaints: Vec<Complaint>,
}

/// One thing to put right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// The file it is about: the workshop file, or a table that it names.
    pub file_name: String,
    /// Counted from 1; `None` when it is about the whole file.
    pub line: Option<usize>,
    /// What is wrong, in one sentence without a full stop.
    pub says: String,
    /// Something to do about it.
    pub hint: Option<String>,
}

impl Error {
    /// Everything that was found; nothing after the first complaint of one table.
    pub fn complaints(&self) -> &[Complaint] {
        &self.complaints
    }

    /// Top to bottom, then what is missing, then the tables beside the file.
    pub(super) fn new(mut complaints: Vec<Complaint>, file_name: &str) -> Error {
        let file_name = shown(file_name);
        complaints.sort_by_key(|complaint| {
            let beside = complaint.file_name != file_name;
            (beside, complaint.line.is_none(), complaint.line)
        });
        Error { complaints }
    }
}

impl Complaint {
    pub(super) fn new(file_name: &str, line: Option<usize>, wording: Wording) -> Complaint {
        Complaint {
            file_name: shown(file_name),
            line,
            says: wording.says,
            hint: wording.hint,
        }
    }
}

impl From<Complaint> for Error {
    fn from(complaint: Complaint) -> Error {
        Error {
            complaints: vec![complaint],
        }
    }
}

impl std::error::Error for Error {}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, complaint) in self.complaints.iter().take(PRINTED_COMPLAINTS).enumerate() {
            if idx > 0 {
                writeln!(f)?;
            }
            write!(f, "{complaint}")?;
        }
        match self.complaints.len().saturating_sub(PRINTED_COMPLAINTS) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file_name)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        write!(f, ": {}", self.says)?;
        match &self.hint {
            Some(hint) => write_indented(f, hint),
            None => Ok(()),
        }
    }
}

/// Broken between words, two spaces before each line.
fn write_indented(f: &mut fmt::Formatter<'_>, text: &str) -> fmt::Result {
    for line in text.lines() {
        let mut column = COLUMNS;
        for word in line.split(' ') {
            let width = word.chars().count();
            if column + 1 + width >= COLUMNS {
                write!(f, "\n  {word}")?;
                column = 2 + width;
            } else {
                write!(f, " {word}")?;
                column += 1 + width;
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn complaint(line: usize, hint: Option<&str>) -> Complaint {
        let wording = Wording {
            says: "something is wrong".to_string(),
            hint: hint.map(str::to_string),
        };
        Complaint::new("alder.toml", Some(line), wording)
    }

    #[test]
    fn prints_where_what_and_hint() {
        let error = Error::from(complaint(3, Some("first hint\nsecond hint")));
        assert_eq!(
            error.to_string(),
            "alder.toml, line 3: something is wrong\n  first hint\n  second hint"
        );
    }

    #[test]
    fn long_hints_stay_within_the_page() {
        let error = Error::from(complaint(3, Some(&"word ".repeat(60))));
        let text = error.to_string();
        assert!(text.lines().all(|line| line.chars().count() <= COLUMNS));
        assert_eq!(text.matches("word").count(), 60);
    }

    #[test]
    fn many_complaints_are_counted() {
        let error = Error::new(
            (1..=12).rev().map(|line| complaint(line, None)).collect(),
            "alder.toml",
        );
        let text = error.to_string();
        assert!(text.starts_with("alder.toml, line 1: "), "{text}");
        assert!(text.ends_with("\nand 7 more"), "{text}");
        assert_eq!(error.complaints().len(), 12);
    }
}
