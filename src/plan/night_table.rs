//! A night at a glance: how surely every telescope shows every target, in one table. What lies beyond the planets stands in
//! it where at least one telescope is given it; the others are asked for it too.

use crate::optics::instrument::Instrument;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Outlook, Target};
use crate::targets::by_grade::ByGrade;
use crate::targets::verdict::{Airs, Grade, visibilities_on};

/// One target, in every telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct TableRow {
    /// When and where: the same for all telescopes.
    pub outlook: Outlook,
    /// In the order of the telescopes; `None` for one that cannot be judged.
    pub by_grade: Vec<Option<ByGrade>>,
}

/// What one telescope is given.
#[derive(Clone, Copy)]
pub(super) struct Given<'a> {
    /// `None` where it cannot be judged.
    pub(super) instrument: Option<&'a Instrument>,
    pub(super) planets: &'a [Target],
    pub(super) beyond: &'a [Target],
}

impl Given<'_> {
    fn by_grade(&self, outlook: &Outlook, onlooker: &Onlooker) -> Option<ByGrade> {
        let instrument = self.instrument?;
        let subject = outlook.subject();
        let mut given = self.planets.iter().chain(self.beyond);
        let typical: Vec<Grade> = match given.find(|target| target.outlook.subject() == subject) {
            Some(target) => (target.verdicts.iter())
                .map(|verdict| verdict.grade.typical)
                .collect(),
            None => {
                let look = outlook.look(onlooker);
                let seen = visibilities_on(instrument, &look, &outlook.asked, Airs::Typical);
                (seen.concat().into_iter())
                    .map(Grade::of_visibility)
                    .collect()
            }
        };
        Some(ByGrade::of(typical))
    }
}

/// The planets in their order, then what lies beyond them by its best time.
pub(super) fn table(planets: &[Outlook], given: &[Given], onlooker: &Onlooker) -> Vec<TableRow> {
    let mut beyond: Vec<&Outlook> = Vec::new();
    for target in given.iter().flat_map(|it| it.beyond) {
        let subject = target.outlook.subject();
        if beyond.iter().all(|known| known.subject() != subject) {
            beyond.push(&target.outlook);
        }
    }
    beyond.sort_by_key(|outlook| outlook.best);
    (planets.iter().chain(beyond))
        .map(|outlook| TableRow {
            outlook: outlook.clone(),
            by_grade: (given.iter())
                .map(|it| it.by_grade(outlook, onlooker))
                .collect(),
        })
        .collect()
}
