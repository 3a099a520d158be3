//! What is settled for public evenings: `[session]`, the marks of the horizon, who stands at a telescope.

use crate::workshop::error::Complaint;
use crate::workshop::{Arrival, Assumed, EveningRules, Helper, Mark, Stand};

use super::keys::{MARK, SESSION};
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
        marks.push(Mark {
            azimuth_deg: table.needed_number("azimuth_deg")?.rem_euclid(360.0),
            name: table.needed_text("name")?,
        });
    }
    marks.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
    Ok(marks)
}

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
