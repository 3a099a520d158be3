//! What readings, bands and stars leave in doubt, in words.

use crate::optics::evidence::Interval;
use crate::optics::knife::{Doubt, Slip, Suspected};
use crate::workshop::{StarTest, TurnedEdge};

/// In one sentence, with the numbers that raise it.
pub fn words(doubt: &Doubt) -> String {
    match doubt {
        Doubt::Slip(suspected) => suspected_words(suspected),
        Doubt::TooScattered {
            reading_error_mm,
            tolerance_mm,
            farthest,
        } => format!(
            "one reading is off by {reading_error_mm:.2} mm, and {tolerance_mm:.2} mm at the rim \
             is all that a good mirror may have; farthest from the others is reading {} of zone {}, \
             {:.2}, by {:+.2} mm: read that zone again, and all more often",
            farthest.reading, farthest.zone, farthest.reading_mm, farthest.off_mm
        ),
        Doubt::Unread { share, from_mm } => {
            let percent = 100.0 * share;
            match from_mm {
                Some(from_mm) => format!(
                    "{percent:.0} % of the open mirror was not read, all of it from {from_mm:.0} mm to the rim: \
                     cut a window that ends at the rim and read it"
                ),
                None => format!(
                    "{percent:.0} % of the open mirror lies between the windows and was not read: a ring may be there"
                ),
            }
        }
        Doubt::EdgeRead {
            rim_nm,
            was_called_sound,
        } => {
            let called = match was_called_sound {
                true => "the file calls the edge sound, but ",
                false => "",
            };
            format!(
                "{called}these readings show a turned edge: the rim lies about {} nm of glass below where the \
                 mirror inside would have gone on",
                below(rim_nm)
            )
        }
        Doubt::EdgeTurned(turned) => turned_words(turned),
        Doubt::EdgeNotLookedAt { hidden_share } => format!(
            "a turned edge in the last {:.0} % of the radius may hide from this test: look at the rim with \
             the bands or a star, then write edge = \"sound\" or edge = \"turned\"",
            100.0 * hidden_share
        ),
        Doubt::NotRound => String::from(
            "a star was not round: the knife reads one diameter and knows nothing of that; turn the \
             mirror a quarter in its cell, and if the star's shape turns with it, test two diameters",
        ),
        Doubt::StarDisagrees(star) => {
            let looked = match star {
                StarTest::Alike => "rings alike inside and outside focus",
                StarTest::BrightRimInside => "an outer ring that is brighter inside focus",
                StarTest::Hairy | StarTest::NotRound => "what was seen",
            };
            format!(
                "a mirror that tests so would hardly show {looked}: one of the two tests is wrong, do both again"
            )
        }
        Doubt::Hairy => String::from(
            "a star had hairs: the glass is rough, and the light it scatters is not in these figures",
        ),
        Doubt::TwoZones => String::from(
            "two zones show how far the mirror is corrected and nothing of rings: use more windows",
        ),
        Doubt::Rings => String::from(
            "the zones differ by more than a smooth mirror's: it has rings, and one narrower than \
             a window would hide inside it: use more windows",
        ),
        Doubt::WaysDisagree {
            wavefront_rms_nm: [spline, lines, polynomial],
        } => format!(
            "ways to reduce these readings differ ({spline:.0}, {lines:.0} and {polynomial:.0} nm \
             RMS on the wavefront); the interval holds them all"
        ),
    }
}

/// A slip as a question, and what would be without it.
pub fn suspected_words(suspected: &Suspected) -> String {
    let Suspected {
        slip,
        correction,
        strehl,
    } = suspected;
    let then = format!(
        "then {:.0} % corrected, Strehl ratio {strehl:.2}",
        100.0 * correction
    );
    match slip {
        Slip::Digits {
            zone,
            reading,
            typed_mm,
            meant_mm,
        } => format!(
            "reading {reading} of zone {zone}, {typed_mm:.2}, fits as {meant_mm:.2}: did two digits change \
             places? {then}"
        ),
        Slip::Sign { zone } => {
            format!("zone {zone} fits with the other sign: was a minus forgotten or added? {then}")
        }
        Slip::LoneSign {
            zone,
            reading,
            typed_mm,
        } => format!(
            "reading {reading} of zone {zone}, {typed_mm:.2}, fits with the other sign: was a minus forgotten or \
             added? {then}"
        ),
        Slip::Exchanged { zones: (a, b) } => format!(
            "zones {a} and {b} fit in each other's place: were their readings exchanged? {then}"
        ),
        Slip::Apart { zone } => format!(
            "zone {zone} does not go with the others: read it again before anything else; without it {then}"
        ),
        Slip::Reversed => format!(
            "all readings fit with the other sign: does the scale run toward the mirror, or were the windows \
             counted from the rim? Readings have to grow away from the mirror, windows go outward; {then}"
        ),
        Slip::OtherLamp => format!(
            "the readings fit better as if the lamp had been the other kind (standing still, or moving with the \
             knife): look at source; {then}"
        ),
        Slip::Inches => {
            format!("the readings fit as inches: write unit = \"inch\" with readings_inch; {then}")
        }
        Slip::RadiusForFocalLength => format!(
            "the readings fit half the focal length: was the radius of curvature written as \
             focal_length_mm? {then}"
        ),
        Slip::FocalLengthForRadius => format!(
            "the readings fit twice the focal length: was the focal length written as \
             radius_of_curvature_mm? {then}"
        ),
    }
}

fn turned_words(turned: &TurnedEdge) -> String {
    match (turned.width_mm, turned.depth_nm) {
        (Some(width_mm), Some(depth_nm)) => format!(
            "the edge is turned over the last {width_mm:.1} mm by {depth_nm:.0} nm of glass as you measured it: \
             that is in these figures, and a turned edge gets no certificate"
        ),
        (Some(width_mm), None) => format!(
            "the edge is turned over the last {width_mm:.1} mm; how deep is not known, so a range is in these \
             figures: edge_depth_nm would narrow it"
        ),
        (None, _) => String::from(
            "the edge is turned, how wide and how deep is not known, so a range of what edges are is in these \
             figures: look where the bands hook and write edge_width_mm",
        ),
    }
}

/// `120 (70 to 170)`.
fn below(rim_nm: &Interval) -> String {
    let tens = |nm: f64| (-nm / 10.0).round() * 10.0;
    format!(
        "{:.0} ({:.0} to {:.0})",
        tens(rim_nm.value),
        tens(rim_nm.high),
        tens(rim_nm.low)
    )
}
