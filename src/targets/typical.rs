//! Grades in typical air alone, one thing at a time: for those who ask for a year of evenings and stop
//! where they know enough.

use crate::optics::instrument::Instrument;
use crate::targets::aimed::{Aimed, in_use};
use crate::targets::chain::Chain;
use crate::targets::grade::Grade;
use crate::targets::look::Look;
use crate::targets::sight::Today;

/// One telescope and one look through the site's typical air.
pub struct TypicalAir<'a> {
    aimed: Aimed<'a>,
    chain: Chain,
}

impl<'a> TypicalAir<'a> {
    /// Carries the look through air and telescope, once for everything on that subject.
    pub fn new(instrument: &'a Instrument, look: &'a Look<'a>) -> TypicalAir<'a> {
        let aimed = Aimed::new(instrument, look);
        TypicalAir {
            chain: in_use(aimed.typical()),
            aimed,
        }
    }

    /// The same grade as the typical one of [`crate::targets::verdict::verdicts_on`].
    pub fn grade(&self, today: &Today) -> Grade {
        Grade::of_visibility(self.aimed.best(&self.chain, today))
    }
}
