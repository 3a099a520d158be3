//! What was taken for granted because the file does not say.

use crate::optics::instrument::Instrument;
use crate::workshop::{Assumed, Workshop};

/// The file's own notes, and what optics filled in; where it knows more of something than the file's more general note,
/// that gives way.
pub(super) fn assumed<'a>(
    workshop: &Workshop,
    instruments: impl IntoIterator<Item = &'a Instrument>,
) -> Vec<Assumed> {
    let mut assumed = workshop.assumed.clone();
    for instrument in instruments {
        let better = &instrument.assumed;
        assumed.retain(|old| better.iter().all(|new| new.key != old.key));
        assumed.extend_from_slice(better);
    }
    assumed
}
