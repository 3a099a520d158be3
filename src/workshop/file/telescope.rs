//! A telescope: `[[telescope]]`. Its length is read in `focal_length`, its figure in `figure`.

use toml::de::DeValue;

use crate::workshop::error::Complaint;
use crate::workshop::{Assumed, Coating, DatedFigure, Eyepiece, Figure, Glass, Telescope, wording};

use super::keys::{FILE, TELESCOPE};
use super::section::{Page, Section, Value};
use super::sheet::ReadBeside;
use super::{evening, figure, focal_length};

/// A telescope and where its name stands.
///
/// `eyepieces` is `None` when something was wrong with them: then their names are not looked up.
pub(super) fn telescope(
    page: Page,
    value: &Value,
    eyepieces: Option<&[Eyepiece]>,
    read_beside: ReadBeside,
    notes: &mut Vec<Assumed>,
) -> Result<(Telescope, usize), Complaint> {
    let section = Section::open(page, &TELESCOPE, FILE.key("telescope"), value)?;
    let given_name = section.text("name")?;
    let section = match &given_name {
        Some(name) => section.titled(format!("telescope \"{name}\"")),
        None => section,
    };
    let aperture_mm = section.needed_number("aperture_mm")?;
    let name = given_name.unwrap_or_else(|| format!("{aperture_mm} mm"));
    let section = section.titled(format!("telescope \"{name}\""));
    let mut telescope = Telescope {
        name,
        aperture_mm,
        focal_length: focal_length::focal_length(&section, aperture_mm)?,
        planned_focal_length_mm: focal_length::planned_focal_length_mm(&section, aperture_mm)?,
        secondary_mm: secondary_mm(&section, aperture_mm, notes)?,
        spider_vane_mm: spider_vane_mm(&section, aperture_mm, notes)?,
        coating: coating(&section, notes)?,
        coated_on: section.date("coated_on")?,
        thickness_mm: section.number("thickness_mm")?,
        glass: glass(&section, notes)?,
        pivot_height_m: section.number("pivot_height_m")?,
        pivot_to_eyepiece_m: section.number("pivot_to_eyepiece_m")?,
        eyepieces: own_eyepieces(&section, eyepieces)?,
        figure: Figure::NotGiven,
        figure_on: None,
        star_test: None,
        history: Vec::new(),
        stand: evening::stand(&section)?,
    };
    match section.value("figure") {
        Some(value) => {
            let tests = figure::figures(&section, value, aperture_mm, read_beside, notes)?;
            take(&mut telescope, tests);
        }
        None => notes.push(section.note(
            "figure",
            "a perfect paraboloid: the file says nothing about it",
        )),
    }
    Ok((telescope, section.offset_of("name")))
}

/// The latest test counts; the run of them is kept where there is more than one.
fn take(telescope: &mut Telescope, tests: Vec<DatedFigure>) {
    let Some(latest) = tests.last().cloned() else {
        return;
    };
    telescope.figure = latest.figure;
    telescope.figure_on = latest.on_date;
    telescope.star_test = latest.star_test;
    if 1 < tests.len() {
        telescope.history = tests;
    }
}

fn secondary_mm(
    section: &Section,
    aperture_mm: f64,
    notes: &mut Vec<Assumed>,
) -> Result<Option<f64>, Complaint> {
    let Some(secondary_mm) = section.number("secondary_mm")? else {
        notes.push(section.note("secondary_mm", "as the usual layout needs it"));
        return Ok(None);
    };
    if secondary_mm >= aperture_mm {
        let trouble = wording::secondary_too_large(secondary_mm, aperture_mm);
        return Err(section.complaint("secondary_mm", trouble));
    }
    Ok(Some(secondary_mm))
}

fn spider_vane_mm(
    section: &Section,
    aperture_mm: f64,
    notes: &mut Vec<Assumed>,
) -> Result<f64, Complaint> {
    let vane_mm = section.number_or("spider_vane_mm", 0.0, notes)?;
    if vane_mm > aperture_mm / 10.0 {
        let trouble = wording::vanes_too_wide(vane_mm, aperture_mm);
        return Err(section.complaint("spider_vane_mm", trouble));
    }
    Ok(vane_mm)
}

fn coating(section: &Section, notes: &mut Vec<Assumed>) -> Result<Coating, Complaint> {
    if section.one_of(&["coating", "reflectivity"])? == Some("reflectivity") {
        return Ok(Coating::Reflectivity(
            section.needed_number("reflectivity")?,
        ));
    }
    match section.word("coating")? {
        Some("silver") => Ok(Coating::Silver),
        Some(_) => Ok(Coating::Aluminium),
        None => {
            notes.push(section.note("coating", "aluminium"));
            Ok(Coating::Aluminium)
        }
    }
}

fn glass(section: &Section, notes: &mut Vec<Assumed>) -> Result<Glass, Complaint> {
    match section.word("glass")? {
        Some("borosilicate") => Ok(Glass::Borosilicate),
        Some(_) => Ok(Glass::Plate),
        None => {
            notes.push(section.note("glass", "plate glass"));
            Ok(Glass::Plate)
        }
    }
}

/// Indices of the eyepieces that the telescope names, or all.
fn own_eyepieces(
    section: &Section,
    eyepieces: Option<&[Eyepiece]>,
) -> Result<Vec<usize>, Complaint> {
    let Some(list) = section.list("eyepieces")? else {
        return Ok((0..eyepieces.map_or(0, <[Eyepiece]>::len)).collect());
    };
    if list.is_empty() {
        return Err(section.complaint("eyepieces", wording::no_eyepieces_left()));
    }
    let mut own = Vec::new();
    for value in list {
        let complain = |trouble| section.page.complaint(value.span().start, trouble);
        let DeValue::String(name) = value.get_ref() else {
            let written = section.page.written(value);
            return Err(complain(wording::no_eyepiece_name(written)));
        };
        let Some(eyepieces) = eyepieces else { continue };
        let Some(idx) = eyepieces
            .iter()
            .position(|eyepiece| eyepiece.name == name.trim())
        else {
            let known: Vec<String> = eyepieces
                .iter()
                .map(|eyepiece| eyepiece.name.clone())
                .collect();
            return Err(complain(wording::unknown_eyepiece(name, &known)));
        };
        if own.contains(&idx) {
            return Err(complain(wording::eyepiece_twice(name)));
        }
        own.push(idx);
    }
    Ok(own)
}
