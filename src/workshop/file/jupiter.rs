//! What changes on Jupiter: `[jupiter]`.

use crate::workshop::error::Complaint;
use crate::workshop::red_spot::USUAL_DRIFT_DEG_PER_MONTH;
use crate::workshop::{Assumed, RedSpot, Taken};

use super::keys::JUPITER;
use super::section::Section;

/// The Great Red Spot as the file states it, or as it was last in print.
pub(super) fn red_spot(file: &Section, notes: &mut Vec<Assumed>) -> Result<RedSpot, Complaint> {
    let Some(value) = file.value("jupiter") else {
        return Ok(as_last_published(notes));
    };
    let section = Section::open(file.page, &JUPITER, file.key("jupiter"), value)?;
    if section.keys().next().is_none() {
        return Ok(as_last_published(notes));
    }
    Ok(RedSpot {
        longitude_deg: section
            .needed_number("red_spot_longitude_deg")?
            .rem_euclid(360.0),
        measured_on: section.needed_date("red_spot_on")?,
        drift_deg_per_month: section.number_or(
            "red_spot_drift_deg_per_month",
            USUAL_DRIFT_DEG_PER_MONTH,
            notes,
        )?,
    })
}

fn as_last_published(notes: &mut Vec<Assumed>) -> RedSpot {
    let spot = RedSpot::last_published();
    notes.push(Assumed {
        key: "jupiter.red_spot_longitude_deg".to_string(),
        value: Taken::Words(format!(
            "{} degrees in System II on {}, growing by {} a month",
            spot.longitude_deg, spot.measured_on, spot.drift_deg_per_month
        )),
    });
    spot
}
