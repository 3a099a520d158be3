//! What is settled for public evenings: `[session]`, the marks of the horizon, who stands at a telescope.

use crate::workshop::error::Complaint;
use crate::workshop::{Arrival, Assumed, EveningRules, Helper, Mark, Stand, wording};

use super::keys::{MARK, MARK_EDGES, SESSION};
use super::section::Section;

/// What the file says, and the usual for the rest: noted only where there is a heading, as most files have none.
pub(super) fn evening(file: &Section, notes: &mut Vec<Assumed>) -> Result<EveningRules, Complaint> {
    let usual = EveningRules::default();
    let Some(value) = file.value("session") else {
        return Ok(usual);
    };
    let section = Section::open(file.page, &SESSION, file.key("session"), value)?;
    let mut small = |name: &str, default: u32| {
        let whole = section.whole_or(name, default.into(), notes)?;
        Ok(u32::try_from(whole).expect("its row keeps it small"))
    };
    let minimum_stay_minutes = small("minimum_stay_minutes", usual.minimum_stay_minutes)?;
    let most_changes = small("most_changes", usual.most_changes)?;
    Ok(EveningRules {
        seconds_per_look: section.number_or("seconds_per_look", usual.seconds_per_look, notes)?,
        minimum_stay_minutes,
        most_changes,
        arrival: match section.word("arrive")? {
            Some("over-time") => Arrival::OverTime,
            _ => Arrival::Together,
        },
        gather: section.time("gather")?,
        decide_at: section.time("decide_at")?,
        backup_on: section.date("backup_on")?,
        leader: section.text("leader")?,
    })
}

/// By azimuth.
pub(super) fn marks(site: &Section) -> Result<Vec<Mark>, Complaint> {
    let Some(list) = site.list("marks")? else {
        return Ok(Vec::new());
    };
    let mut marks = Vec::new();
    for value in list {
        let table = Section::open(site.page, &MARK, site.key("marks"), value)?;
        let (azimuth_deg, width_deg) = edges(&table)?;
        marks.push(Mark {
            azimuth_deg,
            width_deg,
            name: table.needed_text("name")?,
        });
    }
    marks.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
    Ok(marks)
}

/// Left edge and width: of one azimuth, or of both edges.
fn edges(mark: &Section) -> Result<(f64, f64), Complaint> {
    let wide = mark
        .value("azimuth_deg")
        .filter(|value| value.get_ref().is_array());
    let Some(value) = wide else {
        return Ok((mark.needed_number("azimuth_deg")?.rem_euclid(360.0), 0.0));
    };
    let (left_deg, right_deg) = mark.page.pair(&MARK_EDGES, value)?;
    let width_deg = (right_deg - left_deg).rem_euclid(360.0);
    if WIDEST_MARK_DEG < width_deg {
        let trouble = wording::mark_edges(left_deg, right_deg);
        return Err(mark.complaint("azimuth_deg", trouble));
    }
    Ok((left_deg.rem_euclid(360.0), width_deg))
}

/// Nobody stands between the ends of one wall; wider is a slip.
const WIDEST_MARK_DEG: f64 = 180.0;

pub(super) fn stand(telescope: &Section) -> Result<Stand, Complaint> {
    Ok(Stand {
        helper: match telescope.word("helper")? {
            Some("new") => Helper::New,
            _ => Helper::Practised,
        },
        station: telescope.text("station")?,
        low_eyepiece: telescope.flag("low_eyepiece")?,
        for_children: telescope.flag("for_children")?,
    })
}
