//! Ground floor: how the tables of data/ are read, which are a part of the program.
//!
//! Lines that begin with `#` are comments, the first of them says what the table is; the first other line names the columns,
//! with their units. A row is a struct whose fields are called as its columns, or a tuple of all cells in their order. What
//! cannot be read is found by the test that reads every row, never by who uses the program.

use std::fmt::Display;
use std::str::FromStr;

use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error};

/// All rows of a table: cells stand between tabs as they are, or between commas and in quotes where they need them,
/// whichever the line of column names does.
///
/// Panics at the first row that cannot be read, with table and line.
#[track_caller]
pub fn rows<R: DeserializeOwned>(table: &str) -> Vec<R> {
    let what = table.lines().next().unwrap_or_default();
    read(table).unwrap_or_else(|why| panic!("{what}: {why}"))
}

/// The same, with the first row that cannot be read as an error.
pub fn read<R: DeserializeOwned>(table: &str) -> Result<Vec<R>, csv::Error> {
    let column_names = table.lines().find(|line| !line.starts_with('#'));
    let has_tabs = column_names.is_some_and(|names| names.contains('\t'));
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .delimiter(if has_tabs { b'\t' } else { b',' })
        .quoting(!has_tabs)
        .from_reader(table.as_bytes())
        .deserialize()
        .collect()
}

/// A cell as its type reads itself: `#[serde(deserialize_with = "tables::parsed")]`.
pub fn parsed<'de, T, D>(cell: D) -> Result<T, D::Error>
where
    T: FromStr<Err: Display>,
    D: Deserializer<'de>,
{
    String::deserialize(cell)?.parse().map_err(D::Error::custom)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, PartialEq, serde::Deserialize)]
    struct GlassRow {
        glass: String,
        density_kg_m3: Option<f64>,
    }

    const TABS: &str =
        "# What: two glasses\nglass\tdensity_kg_m3\n\"plate\"\t2500\nother, unknown\t\n";

    fn glass(glass: &str, density_kg_m3: Option<f64>) -> GlassRow {
        GlassRow {
            glass: glass.to_string(),
            density_kg_m3,
        }
    }

    #[test]
    fn tabs_keep_cells_as_they_are_and_commas_take_quotes_off() {
        let want = [
            glass("\"plate\"", Some(2500.0)),
            glass("other, unknown", None),
        ];
        assert_eq!(rows::<GlassRow>(TABS), want);
        let commas = "density_kg_m3,glass\n2500,\"plate, thick\"\n";
        assert_eq!(
            rows::<GlassRow>(commas),
            [glass("plate, thick", Some(2500.0))]
        );
    }

    #[test]
    fn a_tuple_takes_cells_in_their_order() {
        let rows: Vec<(String, [f64; 2])> = rows("of\ta\tb\nsum\t1\t2.5\n");
        assert_eq!(rows, [("sum".to_string(), [1.0, 2.5])]);
    }

    #[test]
    fn a_bad_row_is_refused_with_its_line() {
        for bad in [
            TABS.replace("2500", "heavy"),
            TABS.replace("\t2500", ""),
            TABS.replace("plate\"\t", "plate\"\t\t"),
        ] {
            let why = read::<GlassRow>(&bad).expect_err("no such row");
            assert!(why.to_string().contains("line: 3"), "{why}");
        }
        assert!(read::<GlassRow>(&TABS.replace("glass\t", "kind\t")).is_err());
    }

    #[test]
    fn a_cell_may_read_itself() {
        #[derive(serde::Deserialize)]
        struct DayRow {
            #[serde(deserialize_with = "parsed")]
            date: chrono::NaiveDate,
        }
        let days: Vec<DayRow> = rows("date\n1972-01-01\n");
        assert_eq!(days[0].date.to_string(), "1972-01-01");
        assert!(read::<DayRow>("date\n1972-13-01\n").is_err());
    }
}
