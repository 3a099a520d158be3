//! What is known of a mirror's figure: `[telescope.figure]`, in whichever form it is known.

use toml::de::DeValue;

use crate::workshop::error::Complaint;
use crate::workshop::{
    Assumed, DatedFigure, Figure, On, StarTest, Stated, StatedAmount, ZernikeTerm, wording,
};

use super::keys::{EVERY_FIGURE, FIGURE, FIGURE_KINDS, FIGURES, PROFILE_POINT, TERM};
use super::section::{Section, Value};
use super::sheet::{ReadBeside, Sheet};
use super::{bands_seen, knife_edge};

/// Green light, where the eye sees best by day.
const USUAL_WAVELENGTH_NM: f64 = 550.0;

/// Every test of the mirror, oldest first: one table, or several with a date each.
///
/// What was assumed is noted of the last one alone, the one that counts.
pub(super) fn figures(
    telescope: &Section,
    value: &Value,
    aperture_mm: f64,
    read_beside: ReadBeside,
    notes: &mut Vec<Assumed>,
) -> Result<Vec<DatedFigure>, Complaint> {
    let DeValue::Array(list) = value.get_ref() else {
        return Ok(vec![figure(
            telescope,
            value,
            aperture_mm,
            read_beside,
            notes,
        )?]);
    };
    if list.is_empty() {
        return Err(telescope.complaint("figure", wording::no_figures()));
    }
    if let Some(trouble) = wording::length_trouble(&FIGURES, list.len()) {
        return Err(telescope.complaint("figure", trouble));
    }
    let mut tests = Vec::new();
    for value in list.iter() {
        let mut own_notes = Vec::new();
        let test = figure(telescope, value, aperture_mm, read_beside, &mut own_notes)?;
        if test.on_date.is_none() && 1 < list.len() {
            let trouble = wording::undated_figure(&telescope.title);
            return Err(telescope.page.complaint(value.span().start, trouble));
        }
        tests.push((test, own_notes, value.span().start));
    }
    tests.sort_by_key(|(test, ..)| test.on_date);
    for pair in tests.windows(2) {
        let ((first, _, first_offset), (again, _, offset)) = (&pair[0], &pair[1]);
        if first.on_date == again.on_date {
            let line = telescope.page.line(*first_offset);
            let trouble = wording::two_figures_of_a_day(&telescope.title, first.on_date, line);
            return Err(telescope.page.complaint(*offset, trouble));
        }
    }
    if let Some((_, latest, _)) = tests.last_mut() {
        notes.append(latest);
    }
    Ok(tests.into_iter().map(|(test, ..)| test).collect())
}

fn figure(
    telescope: &Section,
    value: &Value,
    aperture_mm: f64,
    read_beside: ReadBeside,
    notes: &mut Vec<Assumed>,
) -> Result<DatedFigure, Complaint> {
    let section = Section::open(telescope.page, &FIGURE, telescope.key("figure"), value)?
        .titled(format!("the figure of {}", telescope.title));
    let kind = section.needed_word("kind")?;
    check_keys(&section, kind)?;
    let figure = match kind {
        "stated" => stated(&section, notes).map(Figure::Stated),
        "knife-edge" => {
            knife_edge::knife_edge(&section, aperture_mm, read_beside, notes).map(Figure::KnifeEdge)
        }
        "zernike" => Ok(Figure::Zernike {
            terms: terms(&section)?,
            on: on(&section)?,
        }),
        "profile" => Ok(Figure::Profile {
            on: on(&section)?,
            points: profile(&section, read_beside)?,
        }),
        "bands-seen" => bands_seen::bands_seen(&section, aperture_mm, notes).map(Figure::BandsSeen),
        _ => Ok(Figure::Sphere),
    };
    Ok(DatedFigure {
        on_date: section.date("on_date")?,
        figure: figure?,
        star_test: star_test(&section)?,
    })
}

/// Every key has to go with the kind.
fn check_keys(section: &Section, kind: &str) -> Result<(), Complaint> {
    let allowed = FIGURE_KINDS
        .iter()
        .find(|row| row.0 == kind)
        .map_or(&[][..], |row| row.1);
    let stranger = section
        .keys()
        .filter(|(name, _)| !EVERY_FIGURE.contains(name) && !allowed.contains(name))
        .min_by_key(|(_, offset)| *offset);
    match stranger {
        Some((name, offset)) => {
            let trouble = wording::key_of_another_kind(name, kind, allowed);
            Err(section.page.complaint(offset, trouble))
        }
        None => Ok(()),
    }
}

fn star_test(section: &Section) -> Result<Option<StarTest>, Complaint> {
    Ok(section.word("star_test")?.map(|word| match word {
        "alike" => StarTest::Alike,
        "bright-rim-inside" => StarTest::BrightRimInside,
        "hairy" => StarTest::Hairy,
        _ => StarTest::NotRound,
    }))
}

fn on(section: &Section) -> Result<On, Complaint> {
    Ok(match section.needed_word("on")? {
        "surface" => On::Surface,
        _ => On::Wavefront,
    })
}

fn stated(section: &Section, notes: &mut Vec<Assumed>) -> Result<Stated, Complaint> {
    let key = section.needed_one_of(&["peak_to_valley_waves", "rms_waves"])?;
    let waves = section.needed_number(key)?;
    Ok(Stated {
        amount: match key {
            "rms_waves" => StatedAmount::RmsWaves(waves),
            _ => StatedAmount::PeakToValleyWaves(waves),
        },
        on: on(section)?,
        wavelength_nm: section.number_or("wavelength_nm", USUAL_WAVELENGTH_NM, notes)?,
    })
}

fn terms(section: &Section) -> Result<Vec<ZernikeTerm>, Complaint> {
    let list = section.needed_list("terms")?;
    if list.is_empty() {
        return Err(section.complaint("terms", wording::no_terms()));
    }
    let mut terms: Vec<ZernikeTerm> = Vec::new();
    for value in list {
        let table = Section::open(section.page, &TERM, section.key("terms"), value)?
            .titled("this term".to_string());
        let [n, m] = [table.needed_whole("n")?, table.needed_whole("m")?];
        if m.abs() > n || (n - m) % 2 != 0 {
            return Err(table.complaint("m", wording::term_order(n, m)));
        }
        let nm_rms = table.needed_number("nm_rms")?;
        let term = ZernikeTerm {
            n: n as u32,
            m: m as i32,
            nm_rms,
        };
        if terms
            .iter()
            .any(|other| (other.n, other.m) == (term.n, term.m))
        {
            return Err(table.complaint("n", wording::term_twice(n, m)));
        }
        terms.push(term);
    }
    Ok(terms)
}

const PROFILE_COLUMNS: &str = "the columns are radius_fraction and error_nm";

fn profile(section: &Section, read_beside: ReadBeside) -> Result<Vec<(f64, f64)>, Complaint> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut add = |point: (f64, f64)| match points.last() {
        Some(before) if before.0 >= point.0 => Err(wording::profile_order(before.0, point.0)),
        _ => {
            points.push(point);
            Ok(())
        }
    };
    let key = section.needed_one_of(&["points", "file"])?;
    if key == "points" {
        for value in section.needed_list("points")? {
            let point = section.page.pair(&PROFILE_POINT, value)?;
            add(point).map_err(|trouble| section.page.complaint(value.span().start, trouble))?;
        }
    } else {
        let sheet = Sheet::beside(section, read_beside, PROFILE_COLUMNS)?;
        sheet.check_length(section.key("points"))?;
        sheet.check_columns(&["radius_fraction", "error_nm"], |_| false)?;
        let [radius, error] = [
            sheet.needed_column("radius_fraction")?,
            sheet.needed_column("error_nm")?,
        ];
        for row in sheet.rows() {
            let point = (
                row.needed_number(radius, &PROFILE_POINT.keys[0])?,
                row.needed_number(error, &PROFILE_POINT.keys[1])?,
            );
            add(point).map_err(|trouble| row.complaint(trouble))?;
        }
    }
    let ends = (
        points.first().map(|point| point.0),
        points.last().map(|point| point.0),
    );
    match ends {
        (Some(0.0), Some(1.0)) => Ok(points),
        _ => Err(section.complaint(key, wording::profile_ends())),
    }
}
