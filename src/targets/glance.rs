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
/// `view` is an index into [`Instrument::views`]; without it the best one counts, for each air its own.
pub fn margins_dex(
    instrument: &Instrument,
    look: &Look,
    today: &Today,
    view: Option<usize>,
) -> ThreeAirs<f64> {
    let aimed = Aimed::new(instrument, look);
    aimed.airs().map(|chain| {
        margin_dex(match view {
            Some(idx) => aimed.visibilities(chain, today)[idx],
            None => aimed.best(chain, today),
        })
    })
}
