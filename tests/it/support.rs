//! What many tests share: a number compared, a workshop of a few lines, the rows of a reference table.

use chrono::{DateTime, Utc};

use skyworthy::workshop::Workshop;

#[path = "../../src/testing.rs"]
mod testing;

pub use self::testing::{Dice, RandomEvening, close, evening};

/// The workshop of a legal file that names no tables beside it.
#[track_caller]
pub fn workshop_of(toml: &str) -> Workshop {
    let no_tables = |name: &str| Err(format!("{name} is not there"));
    Workshop::from_toml(toml, "test.toml", &no_tables).unwrap_or_else(|why| panic!("{why}"))
}

/// The same with one telescope, Larch: a 150 mm f/8 with a perfect mirror and the usual eyepieces; its clocks go by
/// that zone however far that is, which a file may not say.
#[track_caller]
pub fn larch_at(latitude_deg: f64, longitude_deg: f64, zone: &str, site: &str) -> Workshop {
    let mut workshop = workshop_of(&format!(
        "[site]\nlatitude_deg = {latitude_deg}\nlongitude_deg = {longitude_deg}\ntime_zone = \"UTC\"\n{site}\n\
         [[telescope]]\nname = \"Larch\"\naperture_mm = 150\nfocal_length_mm = 1200\n"
    ));
    workshop.site.time_zone = zone.parse().expect("a zone");
    workshop
}

/// Cells of a table of tests/reference, row by row: first the names of its columns.
fn lines(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = table.lines().filter(|line| !line.starts_with('#'));
    lines.map(|line| line.split('\t').collect())
}

/// The names of a table's columns.
pub fn columns(table: &'static str) -> Vec<&'static str> {
    lines(table).next().expect("a line of column names")
}

/// Cells of a table, row by row, below the names of its columns.
pub fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    lines(table).skip(1)
}

/// The number in a cell.
#[track_caller]
pub fn number(cell: &str) -> f64 {
    cell.parse()
        .unwrap_or_else(|_| panic!("{cell} is not a number"))
}

/// When files were made, for those that say so.
pub fn printed_at() -> DateTime<Utc> {
    "2026-10-20T09:30:00Z".parse().expect("an instant")
}
