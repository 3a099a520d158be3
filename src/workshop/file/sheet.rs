//! A table beside the workshop file: a head line, then one row a line.
//!
//! Cells are separated by commas, semicolons or tabs, whichever the head line uses; lines that
//! begin with `#` are comments. A comma inside a cell is a decimal comma.

use crate::workshop::error::Complaint;
use crate::workshop::wording;
use crate::workshop::wording::Wording;

use super::keys::Key;
use super::section::{LARGEST_FILE_BYTES, Section};

/// Fetches a table that stands beside the workshop file: its text by its name, or why not.
pub(super) type ReadBeside<'a> = &'a dyn Fn(&str) -> Result<String, String>;

/// A table with as many cells in each row as it has columns, or fewer.
#[derive(Debug)]
pub(super) struct Sheet {
    file_name: String,
    /// How its columns are called, for hints.
    hint: &'static str,
    head_line: usize,
    columns: Vec<String>,
    rows: Vec<(usize, Vec<String>)>,
}

/// One row of a sheet.
#[derive(Debug)]
pub(super) struct SheetRow<'a> {
    sheet: &'a Sheet,
    line: usize,
    cells: &'a [String],
}

impl Sheet {
    /// The table that the section's key `file` names.
    pub(super) fn beside(
        section: &Section,
        read_beside: ReadBeside,
        hint: &'static str,
    ) -> Result<Sheet, Complaint> {
        let name = section.needed_text("file")?;
        let text = read_beside(&name)
            .map_err(|why| section.complaint("file", wording::unreadable_table(&name, &why)))?;
        Sheet::parse(&name, &text, hint)
    }

    fn parse(file_name: &str, text: &str, hint: &'static str) -> Result<Sheet, Complaint> {
        let whole = |trouble| Complaint::new(file_name, None, trouble);
        if text.len() > LARGEST_FILE_BYTES {
            return Err(whole(wording::too_large(text.len())));
        }
        if text.contains(['\0', char::REPLACEMENT_CHARACTER]) {
            return Err(whole(wording::not_text()));
        }
        let text = text.trim_start_matches('\u{feff}');
        let mut records = records(file_name, text)?.into_iter();
        let Some((head_line, columns)) = records.next() else {
            return Err(whole(wording::empty_table(hint)));
        };
        let columns = columns.iter().map(|name| name.to_lowercase()).collect();
        let rows: Vec<_> = records.collect();
        let sheet = Sheet {
            file_name: file_name.to_string(),
            hint,
            head_line,
            columns,
            rows,
        };
        match sheet.rows.is_empty() {
            true => Err(whole(wording::empty_table(hint))),
            false => sheet.check_widths().map(|()| sheet),
        }
    }

    /// Rows may end early, not late.
    fn check_widths(&self) -> Result<(), Complaint> {
        let n_columns = self.columns.len();
        let filled = |cells: &[String]| {
            cells
                .iter()
                .rposition(|cell| !cell.is_empty())
                .map_or(0, |idx| idx + 1)
        };
        match self.rows().find(|row| filled(row.cells) > n_columns) {
            Some(row) => Err(row.complaint(wording::too_many_cells(row.cells.len(), n_columns))),
            None => Ok(()),
        }
    }

    pub(super) fn columns(&self) -> impl Iterator<Item = &str> {
        self.columns.iter().map(String::as_str)
    }

    /// A table may have as many rows as the list it stands for may have entries.
    pub(super) fn check_length(&self, list: &Key) -> Result<(), Complaint> {
        match wording::length_trouble(list, self.rows.len()) {
            None => Ok(()),
            Some(trouble) => Err(Complaint::new(&self.file_name, None, trouble)),
        }
    }

    pub(super) fn rows(&self) -> impl Iterator<Item = SheetRow<'_>> {
        self.rows.iter().map(|(line, cells)| SheetRow {
            sheet: self,
            line: *line,
            cells,
        })
    }

    /// About the head line.
    pub(super) fn complaint(&self, trouble: Wording) -> Complaint {
        Complaint::new(&self.file_name, Some(self.head_line), trouble)
    }

    /// Where a column is, if it is there.
    pub(super) fn column(&self, name: &str) -> Option<usize> {
        self.columns().position(|column| column == name)
    }

    pub(super) fn needed_column(&self, name: &str) -> Result<usize, Complaint> {
        let found = self.column(name);
        found.ok_or_else(|| self.complaint(wording::missing_column(name, self.hint)))
    }

    /// Complains about the first column that is neither one of these nor of that other sort, and
    /// about a column that is there twice.
    pub(super) fn check_columns(
        &self,
        known: &[&str],
        other: impl Fn(&str) -> bool,
    ) -> Result<(), Complaint> {
        for (idx, column) in self.columns().enumerate() {
            // Spreadsheets leave empty columns behind.
            if column.is_empty() || other(column) {
                continue;
            }
            if !known.contains(&column) {
                return Err(self.complaint(wording::unknown_column(column, known, self.hint)));
            }
            if self.columns().skip(idx + 1).any(|later| later == column) {
                return Err(self.complaint(wording::column_twice(column)));
            }
        }
        Ok(())
    }
}

impl SheetRow<'_> {
    pub(super) fn complaint(&self, trouble: Wording) -> Complaint {
        Complaint::new(&self.sheet.file_name, Some(self.line), trouble)
    }

    /// Where it stands in its file, from 1.
    pub(super) fn line(&self) -> usize {
        self.line
    }

    /// A cell as it was written; empty where the row ends early.
    pub(super) fn cell(&self, column: usize) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }

    /// The number in a cell within the range of its row in `keys`; `None` if the cell is empty.
    pub(super) fn scaled_number(
        &self,
        column: usize,
        key: &Key,
        scale: f64,
    ) -> Result<Option<f64>, Complaint> {
        let cell = self.cell(column);
        if cell.is_empty() {
            return Ok(None);
        }
        let name = &self.sheet.columns[column];
        let Ok(number) = cell.replace(',', ".").parse::<f64>() else {
            return Err(self.complaint(wording::no_number_in_cell(name, cell)));
        };
        match wording::number_trouble(key, number * scale, cell) {
            None => Ok(Some(number * scale + 0.0)),
            Some(trouble) => Err(self.complaint(trouble)),
        }
    }

    pub(super) fn needed_number(&self, column: usize, key: &Key) -> Result<f64, Complaint> {
        let number = self.scaled_number(column, key, 1.0)?;
        number.ok_or_else(|| self.complaint(wording::empty_cell(&self.sheet.columns[column])))
    }
}

/// Lines and cells; rows of nothing but empty cells are left out.
fn records(file_name: &str, text: &str) -> Result<Vec<(usize, Vec<String>)>, Complaint> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .delimiter(delimiter(text))
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|why| {
            Complaint::new(file_name, None, wording::broken_table(&why.to_string()))
        })?;
        let line = record
            .position()
            .map_or(1, |position| position.line() as usize);
        if record.iter().any(|cell| !cell.is_empty()) {
            rows.push((line, record.iter().map(str::to_string).collect()));
        }
    }
    Ok(rows)
}

/// Whatever the head line uses.
fn delimiter(text: &str) -> u8 {
    let head = text
        .lines()
        .find(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let head = head.unwrap_or_default();
    [b';', b'\t']
        .into_iter()
        .find(|sign| head.as_bytes().contains(sign))
        .unwrap_or(b',')
}
