//! Which evenings suit: every one of a range scored for the telescopes, the hours and the people who come,
//! as if all were clear; the best few, each with one to fall back on.
//!
//! A score is a sum whose parts are all in the answer: points for what shows (`score`), for the Moon's
//! shadows, less what twilight takes. `menu` says what an audience asks for, `evening` looks at one
//! evening, `best` chooses among them.

mod best;

mod evening;

mod happens;

mod menu;

mod score;

mod window;

use std::sync::atomic::{AtomicU64, Ordering};

use chrono::{DateTime, Datelike, Days, NaiveDate, Utc, Weekday};
use chrono_tz::Tz;
use rayon::prelude::*;

use crate::optics::coating::Coat;
use crate::optics::instrument::Instrument;
use crate::plan::conditions::seeing_zenith_arcsec;
use crate::plan::dates::evening::Team;
use crate::plan::outlook::Outlook;
use crate::plan::refusal::NoNight;
use crate::targets::conditions::Unmet;
use crate::targets::grade::Grade;
use crate::workshop::{Assumed, Telescope, Workshop};

pub use crate::plan::dates::best::{Backup, Best, Change, OfMonth, Offer, WishMet};
pub use crate::plan::dates::happens::{Event, Happens};
pub use crate::plan::dates::menu::Wished;
pub use crate::plan::dates::score::{CHILDRENS_BEDTIME, Term, TermKind};
pub use crate::plan::dates::window::ClockWindow;

/// More evenings than these nobody chooses among, nor plans for: two years and a bit.
pub const MOST_EVENINGS: u64 = 800;

/// An evening to fall back on lies this near, days: people keep a fortnight free, not a season.
pub const BACKUP_WITHIN_DAYS: u64 = 10;

/// Who comes.
#[derive(Debug, Clone, PartialEq)]
pub enum Audience {
    /// Anybody: the Moon near first quarter, bright planets, showpieces; dark before children's bedtime.
    Public,
    /// Makers who try their mirrors: planets that stand high, with fine detail; pairs on the edge of
    /// what a telescope parts.
    FigureTest,
    /// Whoever wants to see just these.
    OwnList(Vec<Wished>),
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted<'a> {
    /// First local date.
    pub from: NaiveDate,
    /// Last local date, included.
    pub to: NaiveDate,
    /// On the clocks of the place.
    pub window: ClockWindow,
    /// Who comes.
    pub audience: Audience,
    /// Which telescopes come.
    pub telescopes: Vec<&'a Telescope>,
    /// On which days of the week; empty: on all.
    pub weekdays: Vec<Weekday>,
}

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// First local date.
    pub from: NaiveDate,
    /// Last local date.
    pub to: NaiveDate,
    /// As asked.
    pub window: ClockWindow,
    /// As asked.
    pub audience: Audience,
    /// As asked; empty: all.
    pub weekdays: Vec<Weekday>,
    /// Those that come and can be judged.
    pub telescopes: Vec<String>,
    /// Why others cannot.
    pub not_judged: Vec<String>,
    /// The air all grades stand for: FWHM at the zenith.
    pub typical_seeing_arcsec: f64,
    /// As the file has it: every grade is shifted by so many powers of ten.
    pub observer_margin_dex: f64,
    /// Those asked for, in order of date.
    pub evenings: Vec<Evening>,
    /// The highest scores, a week apart at least; the best first. Empty when nothing shows at all.
    pub best: Vec<Best>,
    /// The best evening of each month, in order.
    pub of_months: Vec<OfMonth>,
    /// What becomes of each wish; empty for other audiences.
    pub wishes: Vec<WishMet>,
    /// Defaults that were used.
    pub assumed: Vec<Assumed>,
}

/// One evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    /// Its local date: hours before noon are those of the morning after.
    pub on: NaiveDate,
    /// The hours asked for.
    pub from: DateTime<Utc>,
    /// Their end.
    pub until: DateTime<Utc>,
    /// The sum of all points below; not less than 0.
    pub score: f64,
    /// What shows and brings points, most points first.
    pub shown: Vec<Shown>,
    /// What happens in the sky and is seen from here, in order of time.
    pub happens: Vec<Happens>,
    /// What else adds or takes points.
    pub terms: Vec<Term>,
    /// What was asked for and does not show.
    pub missing: Vec<Missing>,
    /// The Moon in these hours.
    pub moon: MoonThen,
    /// How much of these hours is dark.
    pub dark: Dark,
}

/// One subject of an evening at its best time within the hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// When and where.
    pub outlook: Outlook,
    /// As it is called: the subject, or the one detail that was wished for.
    pub name: String,
    /// The one detail's id.
    pub detail_id: Option<String>,
    /// The telescopes that show most of it, all alike: indices into [`Dates::telescopes`]. Never empty.
    pub telescopes: Vec<usize>,
    /// In the first of them and typical air: of each kind of detail the surest, best first. Never empty.
    pub details: Vec<GradedDetail>,
    /// What it brings.
    pub points: f64,
}

impl Shown {
    /// The surest grade of its details.
    pub fn grade(&self) -> Grade {
        self.details[0].grade
    }
}

/// A detail and how surely it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GradedDetail {
    /// As in `night`.
    pub id: String,
    /// As one would say it.
    pub name: String,
    /// In typical air.
    pub grade: Grade,
}

/// Something that was asked for and does not show.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// As it is called.
    pub name: String,
    /// Why.
    pub why: WhyMissing,
}

/// Why something does not show in the hours asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyMissing {
    /// Below the horizon or in the thick air above it.
    Low,
    /// Behind the skyline of the place.
    Skyline {
        /// Its greatest altitude in these hours, degrees.
        highest_deg: f64,
    },
    /// Up only while the sky is too bright for it.
    Twilight,
    /// Within ten degrees of the Sun.
    NearSun,
    /// The detail is not there at the best time of these hours; why, where it has a row that tells.
    NotThere(Option<Unmet>),
    /// None of these telescopes shows it in typical air.
    Beyond,
}

/// The Moon in the hours of an evening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonThen {
    /// Share of its disc, about the middle.
    pub lit: f64,
    /// Where it stands at its best time within the hours; `None` where it is not clear of the skyline.
    pub altitude_deg: Option<f64>,
    /// In the Earth's shadow within the hours, seen from here.
    pub is_eclipsed: bool,
}

/// How much of the hours is dark: the Sun below -6 degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dark {
    /// The first dark moment within them.
    pub from: Option<DateTime<Utc>>,
    /// Together.
    pub minutes: f64,
    /// Up to children's bedtime; `None` where the hours do not begin before it.
    pub minutes_before_bedtime: Option<f64>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum NoDates {
    /// The last date lies before the first.
    Backwards {
        /// As asked.
        from: NaiveDate,
        /// As asked.
        to: NaiveDate,
    },
    /// More than [`MOST_EVENINGS`].
    TooMany {
        /// As asked.
        from: NaiveDate,
        /// How many there would be.
        evenings: u64,
    },
    /// No evening on these days of the week, or none whose hours the clocks of the place show.
    NoEvenings,
    /// No telescope can be judged.
    NotJudged(Vec<String>),
    /// No plan for these nights.
    NoNight(NoNight),
}

impl From<NoNight> for NoDates {
    fn from(why: NoNight) -> Self {
        NoDates::NoNight(why)
    }
}

/// Scores the evenings. `progress` is told, from several threads, how many of how many are done.
pub fn dates(
    workshop: &Workshop,
    wanted: &Wanted,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Dates, NoDates> {
    let nights = nights(wanted)?;
    let site = &workshop.site;
    let seeing = seeing_zenith_arcsec(site.seeing).ok_or(NoNight::SeeingOutOfRange)?;
    let (judged, not_judged) = judged(workshop, wanted);
    if judged.is_empty() {
        return Err(NoDates::NotJudged(not_judged));
    }
    let found = found(workshop, wanted, (&nights, &judged), progress)?;
    let is_asked = |evening: &&Evening| wanted.takes(evening.on);
    let evenings: Vec<Evening> = found.iter().filter(is_asked).cloned().collect();
    if evenings.is_empty() {
        return Err(NoDates::NoEvenings);
    }
    Ok(Dates {
        site_name: site.name.clone(),
        zone: site.time_zone,
        from: wanted.from,
        to: wanted.to,
        window: wanted.window,
        audience: wanted.audience.clone(),
        weekdays: wanted.weekdays.clone(),
        telescopes: (judged.iter())
            .map(|(telescope, _)| telescope.name.clone())
            .collect(),
        not_judged,
        typical_seeing_arcsec: seeing.typical,
        observer_margin_dex: workshop.observer.margin_dex,
        best: best::best(&evenings, &found, |day| wanted.is_day(day)),
        of_months: best::of_months(&evenings),
        wishes: wishes_met(&wanted.audience, &evenings),
        evenings,
        assumed: assumed(workshop, &judged),
    })
}

/// All evenings whose hours the clocks show, in order. Months share their telescopes.
fn found(
    workshop: &Workshop,
    wanted: &Wanted,
    (nights, judged): (&[NaiveDate], &[(&Telescope, Instrument)]),
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Vec<Evening>, NoNight> {
    let n_done = AtomicU64::new(0);
    let evening = |team: &Team, on: NaiveDate| {
        let evening = team.evening(on);
        let n_before = n_done.fetch_add(1, Ordering::Relaxed);
        progress(n_before + 1, nights.len() as u64);
        match evening {
            // The ephemeris ends: there is nothing to fall back on.
            Err(NoNight::OutsideEphemeris) if !wanted.takes(on) => Ok(None),
            evening => evening,
        }
    };
    let months: Result<Vec<Vec<Option<Evening>>>, NoNight> = by_month(nights)
        .par_iter()
        .map(|month| {
            let team = Team {
                workshop,
                wanted,
                instruments: in_month(judged, month[0]),
                listed: happens::of_month(&workshop.site, month[0]),
            };
            month.par_iter().map(|on| evening(&team, *on)).collect()
        })
        .collect();
    Ok(months?.into_iter().flatten().flatten().collect())
}

fn wishes_met(audience: &Audience, evenings: &[Evening]) -> Vec<WishMet> {
    let Audience::OwnList(wishes) = audience else {
        return Vec::new();
    };
    (menu::wished(wishes).iter())
        .map(|item| best::wish_met(item.called(), evenings))
        .collect()
}

/// What the file did not say of what counts here; where optics knows more of it, that.
fn assumed(workshop: &Workshop, judged: &[(&Telescope, Instrument)]) -> Vec<Assumed> {
    let mut assumed = workshop.assumed.clone();
    assumed.retain(|it| !it.key.starts_with("session."));
    for (_, instrument) in judged {
        assumed.retain(|old| instrument.assumed.iter().all(|new| new.key != old.key));
        assumed.extend_from_slice(&instrument.assumed);
    }
    assumed
}

impl Wanted<'_> {
    /// An evening that was asked for, not one to fall back on.
    fn takes(&self, on: NaiveDate) -> bool {
        self.is_day(on.weekday()) && self.from <= on && on <= self.to
    }

    fn is_day(&self, day: Weekday) -> bool {
        self.weekdays.is_empty() || self.weekdays.contains(&day)
    }
}

/// Those asked for and those to fall back on, in order.
fn nights(wanted: &Wanted) -> Result<Vec<NaiveDate>, NoDates> {
    let (from, to) = (wanted.from, wanted.to);
    if to < from {
        return Err(NoDates::Backwards { from, to });
    }
    let evenings = (to - from).num_days() as u64 + 1;
    if MOST_EVENINGS < evenings {
        return Err(NoDates::TooMany { from, evenings });
    }
    let day = |days| from.checked_add_days(Days::new(days));
    let asked: Vec<NaiveDate> = (0..evenings)
        .filter_map(day)
        .filter(|on| wanted.takes(*on))
        .collect();
    let is_near = |on: &NaiveDate| {
        let first = asked.partition_point(|asked| *asked + Days::new(BACKUP_WITHIN_DAYS) < *on);
        asked.get(first).is_some_and(|asked| asked <= on)
    };
    Ok((0..evenings + BACKUP_WITHIN_DAYS)
        .filter_map(day)
        .filter(is_near)
        .collect())
}

/// The telescopes with their mirrors' images, and why others have none.
fn judged<'a>(
    workshop: &Workshop,
    wanted: &Wanted<'a>,
) -> (Vec<(&'a Telescope, Instrument)>, Vec<String>) {
    // A mirror's images take tens of milliseconds: worth a thread each.
    let outcomes: Vec<_> = (wanted.telescopes.par_iter())
        .map(|telescope| (*telescope, Instrument::of(workshop, telescope, wanted.from)))
        .collect();
    let (mut judged, mut not_judged) = (Vec::new(), Vec::new());
    for (telescope, outcome) in outcomes {
        match outcome {
            Ok(instrument) => judged.push((telescope, instrument)),
            Err(why) => not_judged.push(why.to_string()),
        }
    }
    (judged, not_judged)
}

/// The same telescopes with their coats as old as they are in the middle of a month: within it nothing shows.
fn in_month(judged: &[(&Telescope, Instrument)], some_day: NaiveDate) -> Vec<Instrument> {
    let middle = some_day.with_day(15).unwrap_or(some_day);
    let aged = |(telescope, instrument): &(&Telescope, Instrument)| {
        let coat = Coat::on(telescope.coating, telescope.coated_on, middle);
        instrument.clone().with_coat(coat)
    };
    judged.iter().map(aged).collect()
}

fn by_month(nights: &[NaiveDate]) -> Vec<&[NaiveDate]> {
    let same = |a: &NaiveDate, b: &NaiveDate| (a.year(), a.month()) == (b.year(), b.month());
    nights.chunk_by(same).collect()
}
