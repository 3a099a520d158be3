//! Comets and asteroids of the user's own: `[small_bodies]` names a table beside the workshop file.
//!
//! The columns are the elements as the orbit services publish them. How many digits somebody typed says
//! how well the place can be known, so each number keeps its last digit's worth.

use chrono::NaiveDate;

use crate::constants::J2000_JD;
use crate::workshop::error::Complaint;
use crate::workshop::{OwnLight, OwnSize, OwnSmallBody, OwnTiming, Typed, wording};

use super::keys::{FILE, SMALL_BODIES, SMALL_BODY, SMALL_BODY_ROWS};
use super::section::Section;
use super::sheet::{ReadBeside, Sheet, SheetRow};

const COLUMNS: &str = "the columns are name, epoch, perihelion_distance_au (or semi_major_axis_au), eccentricity, \
     inclination_deg, node_deg, argument_of_perihelion_deg, perihelion_time (or mean_anomaly_deg), \
     m1_mag and k1 for a comet, h_mag and g for an asteroid, error_arcsec";

const NAMES: [&str; 15] = [
    "name",
    "epoch",
    "perihelion_distance_au",
    "semi_major_axis_au",
    "eccentricity",
    "inclination_deg",
    "node_deg",
    "argument_of_perihelion_deg",
    "perihelion_time",
    "mean_anomaly_deg",
    "m1_mag",
    "k1",
    "h_mag",
    "g",
    "error_arcsec",
];

/// Julian dates of 1950 January 1 and 2101 January 1: what the ephemeris covers.
const DAYS_JD: (f64, f64) = (2_433_282.5, 2_488_434.5);
/// Where nobody measured it (the services' own default).
const USUAL_G: f64 = 0.15;
/// Where nobody measured it (the services' own default: the fourth power of the distance).
const USUAL_K1: f64 = 10.0;
/// Orbits of long-observed bodies are better than that; a new one's may be far worse.
const USUAL_ERROR_ARCSEC: f64 = 1.0;

pub(super) fn small_bodies(
    file: &Section,
    read_beside: ReadBeside,
) -> Result<Vec<OwnSmallBody>, Complaint> {
    let Some(value) = file.value("small_bodies") else {
        return Ok(Vec::new());
    };
    let section = Section::open(file.page, &SMALL_BODIES, FILE.key("small_bodies"), value)?;
    let sheet = Sheet::beside(&section, read_beside, COLUMNS)?;
    sheet.check_length(&SMALL_BODY_ROWS)?;
    sheet.check_columns(&NAMES, |_| false)?;
    for needed in [
        "name",
        "epoch",
        "eccentricity",
        "inclination_deg",
        "node_deg",
        "argument_of_perihelion_deg",
    ] {
        sheet.needed_column(needed)?;
    }
    let mut bodies: Vec<OwnSmallBody> = Vec::new();
    for row in sheet.rows() {
        let cells = Cells {
            sheet: &sheet,
            row: &row,
        };
        let body = small_body(&cells)?;
        if let Some(at) = bodies.iter().position(|other| other.name == body.name) {
            let first_line = sheet.rows().nth(at).map_or(1, |row| row.line());
            let trouble = wording::same_name("name", &body.name, first_line);
            return Err(row.complaint(trouble));
        }
        bodies.push(body);
    }
    Ok(bodies)
}

fn small_body(cells: &Cells) -> Result<OwnSmallBody, Complaint> {
    let name = cells.cell("name");
    if name.is_empty() {
        return Err(cells.row.complaint(wording::no_name()));
    }
    if let Some(trouble) = wording::text_trouble("name", name) {
        return Err(cells.row.complaint(trouble));
    }
    let mut eccentricity = cells.needed("eccentricity")?;
    if eccentricity.value == 1.0 {
        // A parabola is a decision, not a rounded number.
        eccentricity.half_unit = 0.0;
    }
    Ok(OwnSmallBody {
        name: name.to_string(),
        epoch_jd: cells.day("epoch")?.value,
        size: size(cells, eccentricity.value)?,
        eccentricity,
        inclination_deg: cells.needed("inclination_deg")?,
        node_deg: cells.needed("node_deg")?,
        argument_of_perihelion_deg: cells.needed("argument_of_perihelion_deg")?,
        timing: timing(cells, eccentricity.value)?,
        light: light(cells)?,
        error_arcsec: cells.number_or("error_arcsec", USUAL_ERROR_ARCSEC)?,
    })
}

fn size(cells: &Cells, eccentricity: f64) -> Result<OwnSize, Complaint> {
    let names = ["perihelion_distance_au", "semi_major_axis_au"];
    if cells.one_of(names)? == 0 {
        return Ok(OwnSize::PerihelionDistance(cells.needed(names[0])?));
    }
    cells.check_ellipse(names[1], eccentricity)?;
    Ok(OwnSize::SemiMajorAxis(cells.needed(names[1])?))
}

fn timing(cells: &Cells, eccentricity: f64) -> Result<OwnTiming, Complaint> {
    let names = ["perihelion_time", "mean_anomaly_deg"];
    if cells.one_of(names)? == 0 {
        return Ok(OwnTiming::PerihelionJd(cells.day(names[0])?));
    }
    cells.check_ellipse(names[1], eccentricity)?;
    Ok(OwnTiming::MeanAnomalyDeg(cells.needed(names[1])?))
}

fn light(cells: &Cells) -> Result<OwnLight, Complaint> {
    let names = ["m1_mag", "h_mag"];
    Ok(match cells.one_of(names)? {
        0 => OwnLight::Comet {
            m1_mag: cells.needed(names[0])?.value,
            k1: cells.number_or("k1", USUAL_K1)?,
        },
        _ => OwnLight::Asteroid {
            h_mag: cells.needed(names[1])?.value,
            g: cells.number_or("g", USUAL_G)?,
        },
    })
}

/// A row by the names of its columns.
struct Cells<'a> {
    sheet: &'a Sheet,
    row: &'a SheetRow<'a>,
}

impl Cells<'_> {
    /// Empty where there is no such column.
    fn cell(&self, name: &str) -> &str {
        (self.sheet.column(name)).map_or("", |column| self.row.cell(column))
    }

    /// Which one of two is there.
    fn one_of(&self, names: [&str; 2]) -> Result<usize, Complaint> {
        match names.map(|name| !self.cell(name).is_empty()) {
            [true, false] => Ok(0),
            [false, true] => Ok(1),
            [both, _] => {
                let trouble = wording::one_of_two_cells(names[0], names[1], both);
                Err(self.row.complaint(trouble))
            }
        }
    }

    fn check_ellipse(&self, name: &str, eccentricity: f64) -> Result<(), Complaint> {
        match eccentricity < 1.0 {
            true => Ok(()),
            false => Err(self
                .row
                .complaint(wording::not_on_an_ellipse(name, eccentricity))),
        }
    }

    fn needed(&self, name: &'static str) -> Result<Typed, Complaint> {
        let column = self.sheet.needed_column(name)?;
        Ok(Typed {
            value: self.row.needed_number(column, SMALL_BODY.key(name))?,
            half_unit: half_unit(self.row.cell(column)),
        })
    }

    fn number_or(&self, name: &'static str, usual: f64) -> Result<f64, Complaint> {
        match self.sheet.column(name) {
            Some(column) => {
                let number = self.row.scaled_number(column, SMALL_BODY.key(name), 1.0)?;
                Ok(number.unwrap_or(usual))
            }
            None => Ok(usual),
        }
    }

    /// A Julian date, typed as such or as a calendar date with a part of the day.
    fn day(&self, name: &'static str) -> Result<Typed, Complaint> {
        let cell = self.cell(name);
        let jd = julian_date(cell).filter(|jd| (DAYS_JD.0..DAYS_JD.1).contains(jd));
        match jd {
            Some(value) => Ok(Typed {
                value,
                half_unit: half_unit(cell),
            }),
            None => Err(self.row.complaint(wording::no_day(name, cell))),
        }
    }
}

/// From `2461334.034`, `2026-10-21.534` or `2026-10-21`; commas are decimal points.
fn julian_date(cell: &str) -> Option<f64> {
    let cell = cell.replace(',', ".");
    let Some((month, day)) = cell.rsplit_once('-') else {
        return cell.parse().ok();
    };
    let (year, month) = month.split_once('-')?;
    let plain = |digits: &str| digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    let day = Some(day).filter(|day| plain(day))?.parse::<f64>().ok()?;
    let midnight =
        NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.floor() as u32)?;
    let noon_of_2000 = NaiveDate::from_ymd_opt(2000, 1, 1)?;
    let whole_days = midnight.signed_duration_since(noon_of_2000).num_days();
    Some(J2000_JD - 0.5 + whole_days as f64 + day.fract())
}

/// Half a unit of the last digit of a number as it was typed.
fn half_unit(cell: &str) -> f64 {
    let lower = cell.replace(',', ".").to_lowercase();
    let (digits, power) = lower.split_once('e').unwrap_or((&lower, "0"));
    let n_decimals = digits.rsplit_once('.').map_or(0, |(_, after)| after.len());
    let power = power.parse::<i32>().unwrap_or(0) - n_decimals.min(300) as i32;
    0.5 * 10f64.powi(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_in_both_forms() {
        // Meeus, Astronomical Algorithms, 2nd ed., p. 62 (from memory): JD 2451179.5 is 1999 January 1.0,
        // 2446822.5 is 1987 January 27.0.
        for (cell, want) in [
            ("1999-01-01", Some(2_451_179.5)),
            ("1987-01-27.25", Some(2_446_822.75)),
            ("1987-01-27,25", Some(2_446_822.75)),
            ("2461334.034", Some(2_461_334.034)),
            ("1987-02-30.1", None),
            ("27 January 1987", None),
            ("1987-01", None),
            ("-", None),
            ("--", None),
        ] {
            assert_eq!(julian_date(cell), want, "{cell}");
        }
    }

    #[test]
    fn last_digits_count() {
        for (cell, want) in [
            ("2.77", 0.005),
            ("2,7655526", 5e-8),
            ("180", 0.5),
            ("1.5e-3", 5e-5),
            ("2026-10-21.53", 0.005),
        ] {
            assert!((half_unit(cell) / want - 1.0).abs() < 1e-12, "{cell}");
        }
    }
}
