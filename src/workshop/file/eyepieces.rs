//! What one looks through: `[[eyepiece]]` and `[[barlow]]`.

use crate::workshop::error::Complaint;
use crate::workshop::{Assumed, Barlow, Eyepiece, EyepieceField, Taken, wording};

use super::keys::{BARLOW, EYEPIECE, FILE};
use super::section::{Page, Section, Value};

/// The field of a simple eyepiece (common practice, no source).
const USUAL_FIELD_DEG: f64 = 50.0;
/// What a first telescope usually comes with (common practice, no source).
const USUAL_FOCAL_LENGTHS_MM: [f64; 2] = [25.0, 10.0];
/// No eyepiece shows a wider apparent field: a stop of that many focal lengths.
const WIDEST_STOP_FOCAL_LENGTHS: f64 = 120.0 * std::f64::consts::PI / 180.0;

/// For a file without eyepieces.
pub(super) fn usual_eyepieces(notes: &mut Vec<Assumed>) -> Vec<Eyepiece> {
    notes.push(Assumed {
        key: "eyepiece".to_string(),
        value: Taken::Words("a 25 mm and a 10 mm with 50 degrees of apparent field".to_string()),
    });
    let eyepiece = |focal_length_mm| Eyepiece {
        name: format!("{focal_length_mm} mm"),
        focal_length_mm,
        field: EyepieceField::ApparentDeg(USUAL_FIELD_DEG),
    };
    USUAL_FOCAL_LENGTHS_MM.map(eyepiece).to_vec()
}

/// An eyepiece and where its name stands.
pub(super) fn eyepiece(
    page: Page,
    value: &Value,
    notes: &mut Vec<Assumed>,
) -> Result<(Eyepiece, usize), Complaint> {
    let section = Section::open(page, &EYEPIECE, FILE.key("eyepiece"), value)?;
    let given_name = section.text("name")?;
    let focal_length_mm = section.needed_number("focal_length_mm")?;
    let name = given_name.unwrap_or_else(|| format!("{focal_length_mm} mm"));
    let section = section.titled(format!("eyepiece \"{name}\""));
    let field = match section.one_of(&["apparent_field_deg", "field_stop_mm"])? {
        Some("field_stop_mm") => EyepieceField::StopMm(field_stop_mm(&section, focal_length_mm)?),
        _ => EyepieceField::ApparentDeg(section.number_or(
            "apparent_field_deg",
            USUAL_FIELD_DEG,
            notes,
        )?),
    };
    let offset = section.offset_of("name");
    Ok((
        Eyepiece {
            name,
            focal_length_mm,
            field,
        },
        offset,
    ))
}

fn field_stop_mm(section: &Section, focal_length_mm: f64) -> Result<f64, Complaint> {
    let stop_mm = section.needed_number("field_stop_mm")?;
    if stop_mm > WIDEST_STOP_FOCAL_LENGTHS * focal_length_mm {
        let trouble = wording::stop_too_wide(stop_mm, focal_length_mm);
        return Err(section.complaint("field_stop_mm", trouble));
    }
    Ok(stop_mm)
}

/// A Barlow lens and where its name stands.
pub(super) fn barlow(page: Page, value: &Value) -> Result<(Barlow, usize), Complaint> {
    let section = Section::open(page, &BARLOW, FILE.key("barlow"), value)?;
    let given_name = section.text("name")?;
    let factor = section.needed_number("factor")?;
    let name = given_name.unwrap_or_else(|| format!("{factor}x"));
    Ok((Barlow { name, factor }, section.offset_of("name")))
}
