//! The closest pair of stars that one telescope parts: where the chain of all pairs first grades two even stars, the
//! kind that Dawes's rule is made of, as seen with patience.

use crate::optics::instrument::Instrument;
use crate::targets::aimed::{Aimed, in_use};
use crate::targets::chain::{Chain, Links};
use crate::targets::grade::PATIENT_FROM;
use crate::targets::limit::Limit;
use crate::targets::look::Look;
use crate::targets::sight::{Sight, Today};
use crate::units::MM_PER_INCH;

/// The closest even pair that a telescope parts, with its own figure and with a perfect one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosestPair {
    /// Of each of its stars.
    pub star_mag: f64,
    /// As the telescope is, arcseconds.
    pub gap_arcsec: f64,
    /// The eyepiece that shows it best: index into [`Instrument::views`].
    pub view: usize,
    /// The same telescope and eyepieces with a mirror without error, arcseconds; never more.
    pub perfect_gap_arcsec: f64,
}

/// In air that does nothing, with any of the telescope's eyepieces. `None` where most people part no pair of such stars.
///
/// For a perfect mirror with a full set of eyepieces it is Rayleigh's limit within 3 % (`tests/it/closest_pair.rs`).
pub fn closest_pair_in_still_air(instrument: &Instrument, look: &Look) -> Option<ClosestPair> {
    let aimed = Aimed::new(instrument, look);
    closest_pair(&aimed, aimed.links(STILL_ARCSEC), Chain::new)
}

/// In the look's typical air, with the eyepieces that it bears.
pub fn closest_pair_in_typical_air(instrument: &Instrument, look: &Look) -> Option<ClosestPair> {
    let aimed = Aimed::new(instrument, look);
    closest_pair(&aimed, aimed.typical(), in_use)
}

/// FWHM of air that does nothing: below a hundredth of what half a metre of mirror makes of a star.
const STILL_ARCSEC: f64 = 0.002;

fn closest_pair(
    aimed: &Aimed,
    links: Links,
    chain: impl Fn(Links) -> Chain,
) -> Option<ClosestPair> {
    let perfect = chain(aimed.idealised(links.clone(), Limit::Figure));
    let own = chain(links);
    let star_mag = as_bright_as_dawes_mag(aimed.instrument.aperture_mm);
    let gap_arcsec = parted_from_arcsec(aimed, &own, star_mag)?;
    let seen = aimed.visibilities(&own, &even_pair(gap_arcsec, star_mag));
    let view = (0..seen.len()).max_by(|&a, &b| seen[a].total_cmp(&seen[b]))?;
    let perfect_gap_arcsec = parted_from_arcsec(aimed, &perfect, star_mag)?;
    Some(ClosestPair {
        star_mag,
        gap_arcsec,
        view,
        perfect_gap_arcsec,
    })
}

/// Where such pairs begin to be parted; by halving: a pair farther apart never looks less like two.
fn parted_from_arcsec(aimed: &Aimed, chain: &Chain, star_mag: f64) -> Option<f64> {
    let is_parted =
        |gap_arcsec| PATIENT_FROM <= aimed.best(chain, &even_pair(gap_arcsec, star_mag));
    let (mut close_arcsec, mut wide_arcsec) = GAPS_ARCSEC;
    if !is_parted(wide_arcsec) {
        return None;
    }
    while FINE_ENOUGH < wide_arcsec / close_arcsec {
        let middle_arcsec = (close_arcsec * wide_arcsec).sqrt();
        if is_parted(middle_arcsec) {
            wide_arcsec = middle_arcsec;
        } else {
            close_arcsec = middle_arcsec;
        }
    }
    Some(wide_arcsec)
}

/// From closer than several metres of mirror part to wider than the bare eye needs.
const GAPS_ARCSEC: (f64, f64) = (0.01, 1000.0);

/// Ratio of two gaps that nobody tells apart.
const FINE_ENOUGH: f64 = 1.001;

/// Dawes (1867) divided stars of the sixth magnitude with six inches. His rule goes as the aperture alone, and so holds
/// for stars that look as bright in any other: of magnitude 6 in all of them a perfect mirror of 60 mm would fall behind it
/// by half for want of light, and one of 400 mm beat it by a quarter.
fn as_bright_as_dawes_mag(aperture_mm: f64) -> f64 {
    6.0 + 5.0 * (aperture_mm / (6.0 * MM_PER_INCH)).log10()
}

fn even_pair(separation_arcsec: f64, star_mag: f64) -> Today {
    Today::alone(Sight::Pair {
        separation_arcsec,
        magnitude_a: star_mag,
        magnitude_b: star_mag,
    })
}
