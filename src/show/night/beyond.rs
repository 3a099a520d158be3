//! What the evening has beyond the planets, for reading: one table a telescope.

use chrono_tz::Tz;

use crate::optics::instrument::Instrument;
use crate::plan::outlook::Target;
use crate::show::night::{grades, whereabouts};
use crate::show::page::Block;
use crate::show::words::caption;
use crate::show::words::{self, why};
use crate::targets::verdict::{Grade, Verdict};

/// `None` without targets.
pub(super) fn section(targets: &[Target], instrument: &Instrument, zone: Tz) -> Option<Block> {
    let mut by_time: Vec<&Target> = targets.iter().collect();
    by_time.sort_by_key(|target| target.outlook.best);
    let rows: Vec<[String; 5]> = (by_time.into_iter())
        .flat_map(|target| {
            let shown = (target.verdicts.iter().enumerate()).filter(|(idx, verdict)| {
                let finer = &target.verdicts[idx + 1..];
                verdict.grade.good != Grade::Beyond && !is_outdone(verdict, finer)
            });
            shown.map(|(_, verdict)| row(target, verdict, instrument, zone))
        })
        .collect();
    let heading = "Beyond the planets, each at its best of the evening";
    (!rows.is_empty()).then(|| Block::section(heading, [grades::table(rows).into()]))
}

/// Whoever sees its stars plainly need not be told of their glow.
fn is_outdone(verdict: &Verdict, finer: &[Verdict]) -> bool {
    (finer.iter()).any(|finer| verdict.grade.typical <= finer.grade.typical)
}

/// `21:40 Albireo, 34.7" apart; W, five fists up`; `22:00 Castor, 5.8" apart; ENE, three fists up, higher later`
fn row(target: &Target, verdict: &Verdict, instrument: &Instrument, zone: Tz) -> [String; 5] {
    let later = match target.outlook.still_climbing {
        true => ", higher later",
        false => "",
    };
    let named = format!(
        "{} {}; {}{later}",
        words::clock(target.outlook.best, zone),
        caption::with_what_it_takes(&verdict.caption),
        whereabouts::place(&target.outlook),
    );
    grades::row(named, verdict, why::beside_grades(verdict), instrument)
}
