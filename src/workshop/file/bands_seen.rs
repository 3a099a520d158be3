//! How the Ronchi bands looked by eye, and what they or a star showed at the rim.

use crate::workshop::error::Complaint;
use crate::workshop::{
    Assumed, BandsLooked, BandsSeen, KnifeSource, MirrorEdge, TurnedEdge, wording,
};

use super::section::Section;

/// What an eye notices without a ruler, in widths of a band and its gap (common practice, no source).
const USUAL_LEAST_BOW_BANDS: f64 = 0.1;

/// At the centre of curvature itself there are no bands.
const NEAREST_OFFSET_MM: f64 = 0.1;

pub(super) fn bands_seen(
    section: &Section,
    aperture_mm: f64,
    notes: &mut Vec<Assumed>,
) -> Result<BandsSeen, Complaint> {
    let looked = match section.needed_word("looked")? {
        "straight" => BandsLooked::Straight,
        "like-paraboloid" => BandsLooked::LikeParaboloid,
        "bowed-more" => BandsLooked::BowedMore,
        _ => BandsLooked::BowedLess,
    };
    let offset_mm = section.needed_number("offset_mm")?;
    if offset_mm.abs() < NEAREST_OFFSET_MM {
        return Err(section.complaint("offset_mm", wording::no_offset(offset_mm)));
    }
    Ok(BandsSeen {
        source: match section.word("source")? {
            Some("fixed") => KnifeSource::Fixed,
            Some(_) => KnifeSource::Moving,
            None => {
                notes.push(section.note("source", "moving: the lamp behind the same grating"));
                KnifeSource::Moving
            }
        },
        lines_per_mm: section.needed_number("lines_per_mm")?,
        offset_mm,
        looked,
        edge: edge(section, aperture_mm)?,
        least_bow_bands: section.number_or("least_bow_bands", USUAL_LEAST_BOW_BANDS, notes)?,
    })
}

/// What was seen at the rim; how wide and how deep belongs to a turned edge only.
pub(super) fn edge(section: &Section, aperture_mm: f64) -> Result<MirrorEdge, Complaint> {
    let word = section.word("edge")?;
    let turned = TurnedEdge {
        width_mm: section.number("edge_width_mm")?,
        depth_nm: section.number("edge_depth_nm")?,
    };
    if word == Some("turned") {
        let rim_mm = aperture_mm / 2.0;
        return match turned.width_mm.filter(|width_mm| rim_mm < *width_mm) {
            None => Ok(MirrorEdge::Turned(turned)),
            Some(width_mm) => {
                let trouble = wording::edge_too_wide(width_mm, rim_mm);
                Err(section.complaint("edge_width_mm", trouble))
            }
        };
    }
    let measured = ["edge_width_mm", "edge_depth_nm"];
    if let Some(stray) = measured
        .into_iter()
        .find(|name| section.value(name).is_some())
    {
        return Err(section.complaint(stray, wording::no_turned_edge(stray, word)));
    }
    Ok(match word {
        Some(_) => MirrorEdge::Sound,
        None => MirrorEdge::NotLooked,
    })
}
