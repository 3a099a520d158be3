//! What to do on the glass: how far corrected, which zones are high and by how much, what a mask would give.
//!
//! Says what, never how: strokes are a leader's to choose.

use crate::optics::evidence::Interval;
use crate::optics::knife::{Doubt, ZoneOutcome};
use crate::plan::mirror::{Class, DatedOutcome, Judged, Masked};
use crate::show::mirror::numbers::{in_waves, two_places};
use crate::show::page::{Block, Table};
use crate::show::words;

/// `zone 4 (78-90 mm) is high by about 70 nm`.
pub(super) fn zone_words(judged: &Judged) -> Option<String> {
    let (number, zone) = judged.worst_zone()?;
    let side = if zone.is_high() { "high" } else { "low" };
    Some(format!(
        "zone {number} ({:.0}-{:.0} mm) is {side} by about {} nm of glass",
        zone.inner_mm,
        zone.outer_mm,
        words::glass_nm(zone.surface_nm.value.abs())
    ))
}

/// The correction, where it is what is wrong with the mirror.
pub(super) fn correction_lead(judged: &Judged) -> Option<String> {
    judged.is_off_by_correction.then_some(())?;
    judged
        .correction()
        .map(|correction| correction_words(&correction, judged))
}

/// `40 % corrected (36 to 44 %): still a sphere's side; go on parabolising`.
pub(super) fn correction_words(correction: &Interval, judged: &Judged) -> String {
    let percent = |share: f64| (100.0 * share).round();
    let (low, high) = (percent(correction.low), percent(correction.high));
    let holds_paraboloid = low <= 100.0 && 100.0 <= high;
    let is_planet_worthy = judged.class == Class::PlanetWorthy;
    let how = match correction.value {
        _ if judged.doubts().iter().any(Doubt::bars_a_verdict) => {
            "as it stands, before the doubt is settled"
        }
        _ if holds_paraboloid && WIDE < correction.high - correction.low => {
            "this test does not tell how far"
        }
        _ if has_read_edge(judged) => {
            "with the turned edge in it, which looks like over-correction"
        }
        _ if judged.is_within_tolerance() => "near enough, every zone is within what is allowed",
        _ if holds_paraboloid => "as much as a paraboloid needs, as far as this test tells",
        value if value < 1.0 && is_planet_worthy => "on the sphere's side, and good enough",
        _ if is_planet_worthy => "past the paraboloid, and good enough",
        value if value < 0.0 => {
            "oblate, on the far side of the sphere: the middle is too shallow for the rim"
        }
        value if value < 1.0 => "still on the sphere's side; go on parabolising",
        _ => {
            "past the paraboloid; the glass between middle and rim has to come down, none can be added"
        }
    };
    format!(
        "{:.0} % corrected ({low:.0} to {high:.0} %): {how}",
        percent(correction.value)
    )
}

fn has_read_edge(judged: &Judged) -> bool {
    let is_read = |doubt: &Doubt| matches!(doubt, Doubt::EdgeRead { .. });
    judged.doubts().iter().any(is_read)
}

/// An interval so wide holds mirrors on both sides.
const WIDE: f64 = 0.6;

/// Zone by zone: as read, as wanted, and what would come off.
pub(super) fn zone_table(judged: &Judged) -> Option<Block> {
    let reduction = judged.instrument.found.reduction()?;
    let heading = [
        "zone", "read", "wanted", "off by", "allowed", "height", "take off",
    ];
    let row = |(idx, zone): (usize, &ZoneOutcome)| {
        [
            format!("{} {:.0}-{:.0} mm", idx + 1, zone.inner_mm, zone.outer_mm),
            format!("{:.2}", zone.reading_mm),
            format!("{:.2}", zone.wanted_mm()),
            format!("{:+.2}", zone.residual_mm),
            format!("{:.2}", zone.tolerance_mm),
            format!("{:+.0} nm", zone.surface_nm.value),
            take_off(judged, zone),
        ]
    };
    let rows = reduction.zones.iter().enumerate().map(row).collect();
    Some(Table::new(heading, rows).into())
}

fn take_off(judged: &Judged, zone: &ZoneOutcome) -> String {
    match judged.is_within_tolerance() {
        true => String::from("nothing"),
        false => format!("{} nm", words::glass_nm(zone.remove_nm)),
    }
}

/// What to do, in one sentence under the table.
pub(super) fn on_the_glass(judged: &Judged) -> Option<String> {
    judged.instrument.found.reduction()?;
    if judged.is_within_tolerance() {
        let where_read = match judged.doubts().iter().any(Doubt::bars_a_certificate) {
            true => " where it was read; what is open stands above",
            false => "",
        };
        return Some(format!(
            "nothing: every zone is within what is allowed{where_read}"
        ));
    }
    Some(String::from(
        "\"take off\" is the glass above the highest paraboloid that needs none added; what to take off is said \
         here, how is for your leader to say",
    ))
}

/// A mask over the rim beside going on.
pub(super) fn mask_words(mask: &Masked, judged: &Judged) -> String {
    format!(
        "left open to {:.0} mm: Strehl ratio {:.2} instead of {:.2}, {:.0} % of the light, first dark ring {:.2}\" \
         instead of {:.2}\"; without a mask all the glass inside has to come down to the rim",
        mask.aperture_mm,
        mask.strehl,
        judged.figures.strehl.value,
        100.0 * mask.light_share,
        mask.airy_radius_arcsec,
        judged.airy_radius_arcsec
    )
}

/// One test of several.
pub(super) fn history_words(dated: &DatedOutcome) -> String {
    let date = words::plain_date(dated.on_date);
    let step = match &dated.outcome {
        Ok(step) => step,
        Err(why) => return format!("{date}: not judged, {why}"),
    };
    let correction = (step.correction)
        .map(|correction| format!(", {:.0} % corrected", 100.0 * correction.value));
    let changed = step.changed.map(|(from_middle_mm, nm)| {
        let side = if nm > 0.0 { "higher" } else { "lower" };
        let place = match from_middle_mm < 1.0 {
            true => String::from("at the middle"),
            false => format!("{from_middle_mm:.0} mm from the middle"),
        };
        format!(
            "; {place} the glass is {} nm {side} than before, more than elsewhere",
            words::glass_nm(nm.abs())
        )
    });
    format!(
        "{date}: {} wave peak to valley, Strehl ratio {}{}{}",
        two_places(&in_waves(&step.figures.wavefront_pv_nm)),
        two_places(&step.figures.strehl),
        correction.unwrap_or_default(),
        changed.unwrap_or_default()
    )
}
