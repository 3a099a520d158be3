//! What led to a verdict, and what keeps it from being settled.

use crate::optics::knife::{Doubt, ReadingErrorFrom};
use crate::plan::mirror::{Class, Judged, Undecided};
use crate::show::mirror::glass::{correction_lead, zone_words};
use crate::show::words::{self, doubt};
use crate::workshop::Figure;

/// Less than this of glass is a thirtieth of a wave on the wavefront: nobody would work on it.
pub(super) const SLIGHT_NM: f64 = 10.0;

/// The verdict in one sentence.
pub(super) fn class_sentence(judged: &Judged) -> String {
    let half_power = words::rounded(judged.instrument.aperture_mm / 20.0, 0) * 10.0;
    match judged.class {
        Class::PlanetWorthy => String::from(
            "planet-worthy: good for Moon, planets and close pairs at any power the air allows",
        ),
        Class::LowPower => format!(
            "low-power: good for the Moon and wide fields up to about {half_power:.0}x; not yet for planets"
        ),
        Class::FigureAgain => match correction_lead(judged).or_else(|| zone_words(judged)) {
            Some(what) => format!("figure-again: {what}"),
            None => String::from("figure-again: contrast is lost even at low power"),
        },
        Class::ReadAgain => match &judged.undecided {
            Some(why) => format!("read-again: {}", undecided_words(judged, why)),
            None => String::from("read-again: measure more before polishing or coating"),
        },
    }
}

/// What is not settled, and the one thing that would settle it.
fn undecided_words(judged: &Judged, why: &Undecided) -> String {
    match why {
        Undecided::NotMeasured => String::from("nothing has been measured yet"),
        Undecided::Doubted(doubted) => match &judged.mask {
            Some(mask) if matches!(doubted, Doubt::EdgeTurned(_) | Doubt::EdgeRead { .. }) => {
                format!(
                    "{}; with a mask that leaves {:.0} mm open it would be Strehl ratio {:.2} (cut windows \
                 that end there, test it so, write aperture_mm = {:.0}), or go on with the glass",
                    doubt::words(doubted),
                    mask.aperture_mm,
                    mask.strehl,
                    mask.aperture_mm
                )
            }
            _ => doubt::words(doubted),
        },
        Undecided::FocalLengthHardlyKnown { half_width_mm } => format!(
            "the focal length is known to {half_width_mm:.0} mm either way, and readings are judged by it: measure \
             the radius of curvature with a lamp first"
        ),
        Undecided::Straddles { readings_needed } => {
            let line = "it may be on either side of the line for planets";
            match readings_needed {
                Some(n) => format!("{line}: about {n} readings in each zone would tell"),
                None => format!("{line}: {}", next_words(judged)),
            }
        }
        Undecided::NotSure { chance } => {
            let more = next_words(judged);
            format!(
                "good as far as this tells, but about one in {} mirrors that tell the same is below the line for \
                 planets: {more}",
                one_in(*chance)
            )
        }
        Undecided::RimNotLookedAt { chance } => format!(
            "good as read, but nobody looked at the rim, and with the edges that mirrors have about one \
             in {} would be below the line for planets: look there with the bands or a star",
            one_in(*chance)
        ),
        Undecided::HiddenRing { zone, strehl } => {
            let window = judged.instrument.found.reduction().map(|reduction| {
                let zone = &reduction.zones[zone - 1];
                format!(" ({:.0}-{:.0} mm)", zone.inner_mm, zone.outer_mm)
            });
            format!(
                "good as read, but a ring could hide inside window {zone}{} and bring the Strehl ratio to \
                 {strehl:.2}: divide that window in two and read again",
                window.unwrap_or_default()
            )
        }
        Undecided::NotRound => String::from(
            "a star was not round, and this test sees one diameter: turn the mirror a quarter and look again",
        ),
    }
}

/// What would settle it: a finer grating, work on the correction, more windows.
fn next_words(judged: &Judged) -> String {
    let is_few =
        |doubt: &Doubt| matches!(doubt, Doubt::TwoZones | Doubt::Rings | Doubt::Unread { .. });
    if judged.doubts().iter().any(is_few) {
        return String::from("use more windows, the last one ending at the rim, and read again");
    }
    (deciding_words(judged).or_else(|| correction_lead(judged))).unwrap_or_else(|| {
        String::from(match judged.instrument.found.reduction() {
            Some(_) => "more readings, or more windows",
            None => "knife-edge readings would tell",
        })
    })
}

fn deciding_words(judged: &Judged) -> Option<String> {
    let deciding = judged.bands()?.deciding?;
    Some(format!(
        "a grating of {:.0} lines/mm at {:.0} mm (inside) would tell sphere from paraboloid",
        deciding.lines_per_mm, deciding.offset_mm
    ))
}

fn one_in(chance: f64) -> String {
    let n = 1.0 / chance;
    let step = if n < 20.0 { 1.0 } else { 10.0 };
    format!("{:.0}", (n / step).round() * step)
}

/// Everything that led to the verdict, in the order of its weight: a slip of the pen first.
pub fn reasons(judged: &Judged) -> Vec<String> {
    let doubts = judged.doubts();
    let (first, rest): (Vec<_>, Vec<_>) = doubts.iter().partition(|doubt| doubt.bars_a_verdict());
    let mut reasons: Vec<String> = first.into_iter().map(doubt::words).collect();
    let doubted = |why: &Undecided| matches!(why, Undecided::Doubted(_) | Undecided::NotMeasured);
    if let Some(why) = judged.undecided.as_ref().filter(|why| !doubted(why)) {
        reasons.push(undecided_words(judged, why));
    }
    reasons.extend(of_readings(judged));
    reasons.extend(of_shape(judged));
    reasons.extend(of_basis(judged));
    reasons.extend(rest.into_iter().map(doubt::words));
    reasons
}

fn of_readings(judged: &Judged) -> Vec<String> {
    let Some(reduction) = judged.instrument.found.reduction() else {
        return Vec::new();
    };
    let worst_ratio = (reduction.zones.iter())
        .map(|zone| zone.transverse_ratio)
        .fold(0.0, f64::max);
    let zone = match zone_words(judged) {
        Some(zone) if SLIGHT_NM < reduction.worst_zone().surface_nm.value.abs() => zone,
        _ => format!("no zone is off by more than {SLIGHT_NM:.0} nm of glass"),
    };
    let mut reasons: Vec<String> = correction_lead(judged).into_iter().collect();
    reasons.push(format!(
        "{zone}; light passes the focus at most {worst_ratio:.1} radii of the first dark ring off (1 is \
         the limit of Danjon and Couder)"
    ));
    if let ReadingErrorFrom::Assumed = reduction.reading_error_from {
        reasons.push(format!(
            "single readings: an error of {:.2} mm each is assumed",
            reduction.reading_error_mm
        ));
    }
    reasons
}

fn of_shape(judged: &Judged) -> Option<String> {
    let (from_middle_mm, nm) = judged.farthest_off()?;
    (SLIGHT_NM < nm.abs()).then_some(())?;
    let side = if nm > 0.0 { "high" } else { "low" };
    Some(format!(
        "against the best paraboloid the glass {from_middle_mm:.0} mm from the middle is {side} by about \
         {:.0} nm, more than anywhere else",
        (nm.abs() / 10.0).round() * 10.0
    ))
}

fn of_basis(judged: &Judged) -> Option<String> {
    let words = match &judged.telescope.figure {
        Figure::Stated(_) => {
            "one number has no shape: smooth (spherical aberration) is taken, rough would be the other \
             end of the bracket"
        }
        Figure::NotGiven => "nothing was measured: these are a perfect paraboloid's figures",
        Figure::Sphere => {
            "`sphere` is taken at its word, an exact sphere; bands that merely looked straight are \
             kind = \"bands-seen\""
        }
        Figure::BandsSeen(seen) => return Some(bands_words(judged, seen.least_bow_bands)),
        Figure::KnifeEdge(_) | Figure::Zernike { .. } | Figure::Profile { .. } => return None,
    };
    Some(words.to_string())
}

fn bands_words(judged: &Judged, least_bow_bands: f64) -> String {
    let bow = judged
        .bands()
        .map_or(0.0, |bands| bands.paraboloid_bow_bands);
    format!(
        "a paraboloid's bands bow by {bow:.2} of a band there, and this eye notices {least_bow_bands:.2}: every \
         mirror that would have looked so is in the interval"
    )
}
