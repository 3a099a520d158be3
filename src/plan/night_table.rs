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
    /// What shows most surely of it is a star among stars: a chart says which.
    pub needs_a_chart: bool,
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
    /// Of every detail its grade in typical air, and whether it is a star among stars.
    fn graded(&self, outlook: &Outlook, onlooker: &Onlooker) -> Option<Vec<(Grade, bool)>> {
        let instrument = self.instrument?;
        let subject = outlook.subject();
        let mut given = self.planets.iter().chain(self.beyond);
        if let Some(target) = given.find(|target| target.outlook.subject() == subject) {
            let graded = (target.verdicts.iter())
                .map(|verdict| (verdict.grade.typical, verdict.caption.among_stars));
            return Some(graded.collect());
        }
        let look = outlook.look(onlooker);
        let seen = visibilities_on(instrument, &look, &outlook.asked, Airs::Typical);
        let grades = seen.concat().into_iter().map(Grade::of_visibility);
        let among_stars = outlook.asked.iter().map(|asked| asked.caption.among_stars);
        Some(grades.zip(among_stars).collect())
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
        .map(|outlook| {
            let graded: Vec<_> = (given.iter())
                .map(|it| it.graded(outlook, onlooker))
                .collect();
            row(outlook, &graded)
        })
        .collect()
}

fn row(outlook: &Outlook, graded: &[Option<Vec<(Grade, bool)>>]) -> TableRow {
    let all = || graded.iter().flatten().flatten();
    let surest = all().map(|(grade, _)| *grade).max();
    let mut stand_for_all = all().filter(|(grade, _)| Some(*grade) == surest);
    let by_grade = graded.iter().map(|of_telescope| {
        let grades = of_telescope.as_ref()?.iter().map(|(grade, _)| *grade);
        Some(ByGrade::of(grades))
    });
    TableRow {
        outlook: outlook.clone(),
        by_grade: by_grade.collect(),
        needs_a_chart: surest.is_some_and(|surest| Grade::Beyond < surest)
            && stand_for_all.all(|(_, among_stars)| *among_stars),
    }
}
