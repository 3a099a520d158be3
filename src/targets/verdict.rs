//! The verdict on each detail of a body: how surely it shows in good, typical and poor air, with
//! which eyepiece, and what limits it.

use chrono::{DateTime, Utc};

use crate::optics::instrument::Instrument;
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::time::utc_from_tt;
use crate::targets::aimed::Aimed;
use crate::targets::asked::{Asked, asked_of};
use crate::targets::caption::Caption;
use crate::targets::choice::{Choice, best_of, usual_view};
use crate::targets::conditions::shows_tonight;
use crate::targets::details::{Detail, detail, details_of};
use crate::targets::grade::SAME_TO_ANYONE;
use crate::targets::limit::{Limit, Why};
use crate::targets::look::{Hour, Look};
use crate::targets::sight::Today;
use crate::targets::why;
use crate::targets::why::Case;

pub use crate::targets::grade::{Grade, ThreeAirs};

/// How surely one detail shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Which.
    pub caption: Caption,
    /// When it is there, if it comes and goes; empty: as long as its subject can be looked at.
    pub during: Vec<Span>,
    /// When it shows best, days of TT since J2000.0, where that is another hour than its subject's: it is graded for then.
    pub best_tt_days: Option<f64>,
    /// The eyepiece to use: index into [`Instrument::views`].
    pub view: usize,
    /// Of that view.
    pub magnification: f64,
    /// The eyepiece that brings the grade of good air, where typical air hardly shows it and the other one is clearly worse.
    pub view_in_good_air: Option<usize>,
    /// Decimal logarithm of the visibility, with the best of one's eyepieces for each air: 0 is a
    /// practised observer's 50 % threshold.
    pub margin: ThreeAirs<f64>,
    /// How far the margins may be off because nobody knows the detail's contrast better: powers of
    /// ten to be added at its weak and at its strong end, `0` and `0` where the figures are sure.
    pub spread_dex: (f64, f64),
    /// In words.
    pub grade: ThreeAirs<Grade>,
    /// The link that holds it back most in typical air.
    pub limited_by: Limit,
    /// The limit with its number, then the one change that would help.
    pub why: Why,
    /// Where that bids wait for better air: what else gains a grade in typical air.
    pub instead: Option<Why>,
}

impl Verdict {
    /// The hour to wait for, where that is another than its subject's: none on the Moon, whose light changes over days.
    pub fn waits_for(&self) -> Option<DateTime<Utc>> {
        let row = detail(&self.caption.id);
        let on_the_moon =
            row.is_some_and(|row| row.body == Body::Moon && row.latitude_deg.is_some());
        self.best_utc().filter(|_| !on_the_moon)
    }

    /// When it shows best, where that is another hour than its subject's.
    pub fn best_utc(&self) -> Option<DateTime<Utc>> {
        self.best_tt_days.and_then(utc_from_tt)
    }
}

/// Which of the site's three airs somebody asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Airs {
    /// The usual night.
    Typical,
    /// Good, typical, poor, in that order.
    AllThree,
}

/// Margins below this are not told apart.
const LEAST_MARGIN_DEX: f64 = -3.0;

/// Verdicts on all details of the body, in the table's order.
///
/// Left out is what is not there tonight: on the other face, in another season, in the lunar night, the Red Spot without a
/// stated longitude, the ring's needle while the ring is open, shadows and phases of which nothing is left. Listed as beyond,
/// with the reason, is what a visitor will ask for: what the ring is too closed for and the disc too small.
pub fn verdicts(instrument: &Instrument, look: &Look) -> Vec<Verdict> {
    let asked = look
        .appearance
        .map_or_else(Vec::new, |seen| asked_of(seen, &look.told()));
    verdicts_on(instrument, look, &asked)
}

/// Verdicts on whatever is asked of one subject, in the order of the questions.
pub fn verdicts_on(instrument: &Instrument, look: &Look, asked: &[Asked]) -> Vec<Verdict> {
    let hours = AimedByHour::of(instrument, look, asked);
    let choices: Vec<Choice> = (asked.iter())
        .map(|asked| Choice::of(hours.at(asked), asked))
        .collect();
    let n_borne = hours.subject.n_in_use(look.seeing_zenith_arcsec.typical);
    let usual = usual_view(n_borne, &choices);
    asked
        .iter()
        .zip(choices)
        .map(|(asked, choice)| {
            hours
                .at(asked)
                .verdict(asked, &choice, choice.beside(usual))
        })
        .collect()
}

/// Grades alone, of all details of the body that are there tonight: for those who ask for a whole year.
pub fn grades(instrument: &Instrument, look: &Look) -> Vec<(&'static Detail, ThreeAirs<Grade>)> {
    let aimed = Aimed::new(instrument, look);
    let Some(seen) = look.appearance else {
        return Vec::new();
    };
    let graded = |detail: &'static Detail| {
        let today = shows_tonight(detail, seen, &look.told()).ok()?;
        Some((detail, aimed.grade(&today)))
    };
    details_of(seen.body).filter_map(graded).collect()
}

/// How far each thing asked stands above a practised observer's threshold, in the airs for which somebody asks. Hours that
/// nobody would tell apart count as one: for those who ask for a whole year.
pub fn visibilities_on(
    instrument: &Instrument,
    look: &Look,
    asked: &[Asked],
    airs: Airs,
) -> Vec<Vec<f64>> {
    let mut hours = vec![Aimed::new(instrument, look)];
    let seen = |asked: &Asked| {
        let look = asked.hour.map_or(*look, |hour| look.at(&hour));
        let known = hours.iter().position(|aimed| aimed.look.is_like(&look));
        let idx = known.unwrap_or_else(|| {
            hours.push(Aimed::new(instrument, &look));
            hours.len() - 1
        });
        let aimed = &hours[idx];
        match airs {
            Airs::Typical => vec![aimed.best(aimed.usual(), &asked.today)],
            Airs::AllThree => {
                let seen = (aimed.airs()).map(|chain| aimed.best(chain, &asked.today));
                vec![seen.good, seen.typical, seen.poor]
            }
        }
    };
    asked.iter().map(seen).collect()
}

/// One telescope at all the hours that are asked for.
struct AimedByHour<'a> {
    subject: Aimed<'a>,
    others: Vec<(f64, Aimed<'a>)>,
}

impl<'a> AimedByHour<'a> {
    fn of(instrument: &'a Instrument, look: &Look<'a>, asked: &[Asked]) -> Self {
        let mut hours: Vec<Hour> = asked.iter().filter_map(|asked| asked.hour).collect();
        hours.sort_by(|a, b| a.at_tt_days.total_cmp(&b.at_tt_days));
        hours.dedup_by_key(|hour| hour.at_tt_days);
        let aimed = |hour: &Hour| (hour.at_tt_days, Aimed::new(instrument, &look.at(hour)));
        AimedByHour {
            subject: Aimed::new(instrument, look),
            others: hours.iter().map(aimed).collect(),
        }
    }

    fn at(&self, asked: &Asked) -> &Aimed<'a> {
        let is_its = |hour: Hour| self.others.iter().find(|it| it.0 == hour.at_tt_days);
        let own = asked.hour.and_then(is_its);
        own.map_or(&self.subject, |(_, aimed)| aimed)
    }
}

impl Aimed<'_> {
    fn grade(&self, today: &Today) -> ThreeAirs<Grade> {
        self.airs()
            .map(|chain| Grade::of_visibility(self.best(chain, today)))
    }

    fn verdict(&self, asked: &Asked, choice: &Choice, view: usize) -> Verdict {
        let today = &asked.today;
        let visibility = choice.visibilities.map(|all| best_of(all));
        let grade = visibility.map(|&v| Grade::of_visibility(v));
        let case = Case {
            detail: asked.detail,
            today,
            seen: asked.seen.as_ref(),
            grade,
            visibility: visibility.typical,
        };
        let (limited_by, why) = why::limit(self, &case);
        Verdict {
            caption: asked.caption.clone(),
            during: asked.during.clone(),
            best_tt_days: asked.hour.map(|hour| hour.at_tt_days),
            view,
            magnification: self.instrument.views[view].magnification,
            view_in_good_air: view_in_good_air(&choice.visibilities.good, grade, view),
            margin: visibility.map(|&v| margin_dex(v)),
            spread_dex: (asked.spread.weak.log10(), asked.spread.strong.log10()),
            grade,
            limited_by,
            why,
            instead: why::instead(self, &case, &why),
        }
    }
}

/// The weakest eyepiece that brings the grade of good air, where that is better than what typical air hardly shows and the
/// usual eyepiece is clearly worse.
fn view_in_good_air(in_good_air: &[f64], grade: ThreeAirs<Grade>, usual: usize) -> Option<usize> {
    if grade.good <= grade.typical || Grade::Patient <= grade.typical {
        return None;
    }
    let brings_it = |it: &f64| grade.good <= Grade::of_visibility(*it);
    let usual_does = |it: &f64| brings_it(it) || SAME_TO_ANYONE * best_of(in_good_air) <= *it;
    if in_good_air.get(usual).is_some_and(usual_does) {
        return None;
    }
    in_good_air.iter().position(brings_it)
}

pub(super) fn margin_dex(visibility: f64) -> f64 {
    visibility.max(1e-9).log10().max(LEAST_MARGIN_DEX)
}
