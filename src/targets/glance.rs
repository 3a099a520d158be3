//! How far above the threshold one thing stands, with one eyepiece or the best of them: the bare figures, for
//! those who compare them with what was seen.

use crate::optics::instrument::Instrument;
use crate::targets::aimed::Aimed;
use crate::targets::grade::ThreeAirs;
use crate::targets::look::Look;
use crate::targets::sight::Today;
use crate::targets::verdict::margin_dex;

/// Decimal logarithms of the visibility in each air of the look: 0 is a practised observer's 50 % threshold.
///
/// `view` is an index into [`Instrument::views`]; without it the best one counts, for each air its own, of those
/// that are not too strong for the typical one: nobody changes the eyepiece with every breath of the air.
pub fn margins_dex(
    instrument: &Instrument,
    look: &Look,
    today: &Today,
    view: Option<usize>,
) -> ThreeAirs<f64> {
    let aimed = Aimed::new(instrument, look);
    let views = match view {
        Some(idx) => idx..idx + 1,
        None => 0..aimed.n_in_use(look.seeing_zenith_arcsec.typical),
    };
    look.seeing_zenith_arcsec.map(|&seeing_arcsec| {
        let chain = aimed.with_every_view(seeing_arcsec);
        let visibilities = &aimed.visibilities(&chain, today)[views.clone()];
        margin_dex(visibilities.iter().copied().fold(0.0, f64::max))
    })
}
