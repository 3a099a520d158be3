//! Which evenings suit: every one of a range scored for the telescopes, the hours and the people who come,
//! as if all were clear; the best few, each with one to fall back on.
//!
//! A score is a sum whose parts are all in the answer: points for what shows (`score`), for the Moon's
//! shadows, less what twilight takes.

mod ask; // who comes, with what, when

mod menu; // what they want to see

mod evening; // what an evening has for them

mod score; // what that is worth

mod course; // through its hours

mod stars; // which beyond the planets count

mod happens; // what happens in the sky meanwhile

mod team; // those who compare a month's evenings

mod look; // looks at one evening

mod answer; // all evenings, and the best few

mod best; // chooses them

use std::sync::atomic::{AtomicU64, Ordering};

use chrono::{Datelike, NaiveDate};
use rayon::prelude::*;

use crate::optics::coating::Coat;
use crate::optics::figure::NotJudged;
use crate::optics::instrument::Instrument;
use crate::plan::assumed::assumed;
use crate::plan::conditions::seeing_zenith_arcsec;
use crate::plan::dates::ask::nights;
use crate::plan::dates::team::Team;
use crate::plan::refusal::{NoDates, NoNight};
use crate::workshop::{Assumed, Telescope, Workshop};

pub use crate::plan::dates::answer::{
    Backup, Best, Change, Dates, OfMonth, Offer, Points, WishMet,
};
pub use crate::plan::dates::ask::{
    Audience, BACKUP_WITHIN_DAYS, MOST_EVENINGS, SHORTEST_MINUTES, Wanted, Wished,
};
pub use crate::plan::dates::evening::{
    Dark, Evening, Event, GradedDetail, Happens, Missing, MoonThen, Shown, Term, TermKind,
    WhyMissing,
};
pub use crate::plan::dates::score::CHILDRENS_BEDTIME;

/// Scores the evenings. `progress` is told, from several threads, how many of how many are done.
///
/// ```
/// use skyworthy::plan::clock_window::ClockWindow;
/// use skyworthy::plan::dates::{Audience, Wanted, dates};
/// use skyworthy::workshop;
///
/// let workshop = workshop::example();
/// let wanted = Wanted {
///     from: "2027-02-10".parse()?,
///     to: "2027-02-12".parse()?,
///     window: ClockWindow::said("19:30-22:00")?,
///     audience: Audience::Public,
///     telescopes: workshop.telescopes.iter().collect(),
///     weekdays: Vec::new(),
/// };
/// let dates = dates(&workshop, &wanted, &|done, of| println!("{done} of {of}"))?;
/// assert_eq!(dates.evenings.len(), 3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
        points: score::points(&wanted.audience),
        typical_seeing_arcsec: seeing.typical,
        observer_margin_dex: workshop.observer.margin_dex,
        best: best::best(&evenings, &found, |day| wanted.is_day(day)),
        of_months: best::of_months(&evenings),
        wishes: wishes_met(&wanted.audience, &evenings),
        evenings,
        assumed: assumed_here(workshop, &judged),
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
            let team = Team::of_month(workshop, wanted, in_month(judged, month[0]), month[0])?;
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

/// Without what only counts once the evening is chosen.
fn assumed_here(workshop: &Workshop, judged: &[(&Telescope, Instrument)]) -> Vec<Assumed> {
    let instruments = judged.iter().map(|(_, instrument)| instrument);
    let mut assumed = assumed(workshop, instruments);
    assumed.retain(|it| !it.key.starts_with("session."));
    assumed
}

/// The telescopes with their mirrors' images, and why others have none.
fn judged<'a>(
    workshop: &Workshop,
    wanted: &Wanted<'a>,
) -> (Vec<(&'a Telescope, Instrument)>, Vec<NotJudged>) {
    // A mirror's images take tens of milliseconds: worth a thread each.
    let outcomes: Vec<_> = (wanted.telescopes.par_iter())
        .map(|telescope| (*telescope, Instrument::of(workshop, telescope, wanted.from)))
        .collect();
    let (mut judged, mut not_judged) = (Vec::new(), Vec::new());
    for (telescope, outcome) in outcomes {
        match outcome {
            Ok(instrument) => judged.push((telescope, instrument)),
            Err(why) => not_judged.push(why),
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
