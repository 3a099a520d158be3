//! Knife-edge readings, written into the file or kept in a table beside it.

use crate::workshop::error::Complaint;
use crate::workshop::wording::Wording;
use crate::workshop::{Assumed, KnifeEdge, KnifeSource, ReadingAt, Zone, wording};

use super::bands_seen;
use super::keys::{READING, ZONE};
use super::section::{Section, Value};
use super::sheet::{ReadBeside, Sheet, SheetRow};
use super::window::{EdgeColumns, Edges, Unit};

/// Repeats through one window that differ more are a slip of the pen (practice says 0.02 to
/// 0.1 mm; a decimal comma makes whole millimetres of hundredths).
const WIDEST_SPREAD_MM: f64 = 5.0;

const COLUMNS: &str = "the columns are inner_mm, outer_mm (or inner_inch, outer_inch) and one for each run: \
     reading_1_mm, reading_2_mm, ...";

pub(super) fn knife_edge(
    section: &Section,
    aperture_mm: f64,
    read_beside: ReadBeside,
    notes: &mut Vec<Assumed>,
) -> Result<KnifeEdge, Complaint> {
    let source = match section.needed_word("source")? {
        "fixed" => KnifeSource::Fixed,
        _ => KnifeSource::Moving,
    };
    let unit = match section.word("unit")? {
        Some("inch") => Unit::Inch,
        _ => Unit::Mm,
    };
    let reading_at = match section.word("reading_at")? {
        Some("middle") => ReadingAt::Middle,
        Some(_) => ReadingAt::Window,
        None => {
            notes.push(section.note("reading_at", "window: the whole opening balanced"));
            ReadingAt::Window
        }
    };
    let edge = bands_seen::edge(section, aperture_mm)?;
    let reading_error_mm = section.number("reading_error_mm")?;
    let key = section.needed_one_of(&["zones", "file"])?;
    let zones = match key {
        "zones" => zones_in_file(section, aperture_mm, unit)?,
        _ => zones_in_table(section, aperture_mm, unit, read_beside)?,
    };
    if zones.len() < 2 {
        return Err(section.complaint(key, wording::too_few_zones(zones.len())));
    }
    Ok(KnifeEdge {
        source,
        reading_at,
        edge,
        reading_error_mm,
        zones,
    })
}

fn zones_in_file(section: &Section, aperture_mm: f64, unit: Unit) -> Result<Vec<Zone>, Complaint> {
    let mut zones: Vec<Zone> = Vec::new();
    for value in section.needed_list("zones")? {
        let table = Section::open(section.page, &ZONE, section.key("zones"), value)?
            .titled("this zone".to_string());
        let edges = Edges::of_table(&table)?;
        let readings_mm = readings(&table, unit)?;
        let zone = zone(edges, readings_mm, zones.last(), aperture_mm)
            .map_err(|(key, trouble)| table.complaint(key, trouble))?;
        zones.push(zone);
    }
    Ok(zones)
}

fn readings(table: &Section, unit: Unit) -> Result<Vec<f64>, Complaint> {
    let (name, other) = match unit {
        Unit::Mm => ("readings_mm", "readings_inch"),
        Unit::Inch => ("readings_inch", "readings_mm"),
    };
    if table.value(other).is_some() {
        let trouble = wording::readings_in_another_unit(other, unit.name());
        return Err(table.complaint(other, trouble));
    }
    let list = table.needed_list(name)?;
    if let Some(trouble) = table.comma_trouble(name) {
        return Err(table.complaint(name, trouble));
    }
    let in_unit = |value: &Value| -> Result<f64, Complaint> {
        let number = table.page.number(&READING, value)?;
        let trouble =
            wording::number_trouble(&READING, number * unit.mm(), table.page.written(value));
        match trouble {
            None => Ok(number * unit.mm()),
            Some(trouble) => Err(table.page.complaint(value.span().start, trouble)),
        }
    };
    list.iter().map(in_unit).collect()
}

fn zones_in_table(
    section: &Section,
    aperture_mm: f64,
    unit: Unit,
    read_beside: ReadBeside,
) -> Result<Vec<Zone>, Complaint> {
    let sheet = Sheet::beside(section, read_beside, COLUMNS)?;
    sheet.check_length(section.key("zones"))?;
    let known = [
        "inner_mm",
        "outer_mm",
        "reading_mm",
        "inner_inch",
        "outer_inch",
    ];
    sheet.check_columns(&known, is_reading)?;
    let edges = EdgeColumns::of(&sheet)?;
    let columns = reading_columns(&sheet, unit)?;
    let mut zones: Vec<Zone> = Vec::new();
    for row in sheet.rows() {
        let (edges, readings_mm) = (edges.of_row(&row)?, row_readings(&row, &columns, unit)?);
        let zone = zone(edges, readings_mm, zones.last(), aperture_mm)
            .map_err(|(_, trouble)| row.complaint(trouble))?;
        zones.push(zone);
    }
    Ok(zones)
}

fn is_reading(column: &str) -> bool {
    column.starts_with("reading")
}

/// Which columns hold readings; a unit in a column's name has to be the figure's.
fn reading_columns(sheet: &Sheet, unit: Unit) -> Result<Vec<usize>, Complaint> {
    let mut columns = Vec::new();
    for (idx, name) in sheet
        .columns()
        .enumerate()
        .filter(|(_, name)| is_reading(name))
    {
        let other = match unit {
            Unit::Mm => name.ends_with("_inch") || name.ends_with("_in"),
            Unit::Inch => name.ends_with("_mm"),
        };
        if other {
            let trouble = wording::readings_in_another_unit(name, unit.name());
            return Err(sheet.complaint(trouble));
        }
        columns.push(idx);
    }
    match columns.is_empty() {
        true => Err(sheet.complaint(wording::missing_column("reading_1_mm", COLUMNS))),
        false => Ok(columns),
    }
}

/// An empty cell is a reading that was not taken.
fn row_readings(row: &SheetRow, columns: &[usize], unit: Unit) -> Result<Vec<f64>, Complaint> {
    let mut readings_mm = Vec::new();
    for &column in columns {
        readings_mm.extend(row.scaled_number(column, &READING, unit.mm())?);
    }
    Ok(readings_mm)
}

/// A window and what was read through it. A complaint comes with the key it is about.
fn zone(
    edges: Edges,
    readings_mm: Vec<f64>,
    before: Option<&Zone>,
    aperture_mm: f64,
) -> Result<Zone, (&'static str, Wording)> {
    let (inner_mm, outer_mm) =
        edges.fitted_mm(before.map(|before| before.outer_mm), aperture_mm)?;
    match readings_trouble(&readings_mm) {
        Some(trouble) => Err(("readings_mm", trouble)),
        None => Ok(Zone {
            inner_mm,
            outer_mm,
            readings_mm,
        }),
    }
}

fn readings_trouble(readings_mm: &[f64]) -> Option<Wording> {
    if let Some(trouble) = wording::length_trouble(ZONE.key("readings_mm"), readings_mm.len()) {
        return Some(trouble);
    }
    let Some(spread_mm) = spread(readings_mm) else {
        return Some(wording::no_reading());
    };
    (spread_mm > WIDEST_SPREAD_MM).then(|| wording::readings_apart(spread_mm, WIDEST_SPREAD_MM))
}

fn spread(readings_mm: &[f64]) -> Option<f64> {
    let lowest = readings_mm.iter().copied().reduce(f64::min)?;
    let highest = readings_mm.iter().copied().reduce(f64::max)?;
    Some(highest - lowest)
}
