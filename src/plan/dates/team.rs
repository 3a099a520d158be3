//! Who compares the evenings of a month: its telescopes, what their audience wants to see, and how much that can bring.

use chrono::{Datelike, NaiveDate};

use crate::constants::JULIAN_YEAR_DAYS;
use crate::optics::instrument::Instrument;
use crate::plan::conditions::{dark_zenith_mag_arcsec2, seeing_zenith_arcsec};
use crate::plan::dates::ask::{Audience, Wanted};
use crate::plan::dates::menu::{Item, menu};
use crate::plan::dates::{happens, score};
use crate::plan::happenings::Listed;
use crate::plan::refusal::NoNight;
use crate::sky::air::{CLEAR_NIGHT_HAZE_MAG, extinction_mag_per_airmass};
use crate::targets::beyond::Beyond;
use crate::targets::grade::Grade;
use crate::targets::look::Look;
use crate::targets::merit;
use crate::targets::subject::Subject;
use crate::targets::verdict::{Airs, visibilities_on};
use crate::workshop::Workshop;

/// Everything that is the same for all evenings of a month.
pub(super) struct Team<'a> {
    pub(super) workshop: &'a Workshop,
    pub(super) wanted: &'a Wanted<'a>,
    pub(super) instruments: Vec<Instrument>,
    /// What they want to see.
    pub(super) menu: Vec<Item>,
    /// What happens about that month.
    pub(super) listed: Vec<Listed>,
}

impl<'a> Team<'a> {
    /// In the month of some day.
    pub(super) fn of_month(
        workshop: &'a Workshop,
        wanted: &'a Wanted,
        instruments: Vec<Instrument>,
        some_day: NaiveDate,
    ) -> Result<Self, NoNight> {
        let mut team = Team {
            workshop,
            wanted,
            instruments,
            menu: Vec::new(),
            listed: happens::of_month(&workshop.site, some_day),
        };
        let zenith = team.zenith()?;
        let year = f64::from(some_day.year()) + f64::from(some_day.ordinal0()) / JULIAN_YEAR_DAYS;
        let at_most = |there| team.at_most(there, &zenith);
        team.menu = menu(&wanted.audience, &team.instruments, year, at_most);
        Ok(team)
    }

    /// A look overhead on a night without Moon: nothing beyond the planets shows better at this place.
    fn zenith(&self) -> Result<Look<'static>, NoNight> {
        let (site, observer) = (&self.workshop.site, self.workshop.observer);
        let dark_mag_arcsec2 = dark_zenith_mag_arcsec2(site.darkness);
        let seeing_zenith_arcsec = seeing_zenith_arcsec(site.seeing);
        Ok(Look::overhead(
            extinction_mag_per_airmass(site.elevation_m, CLEAR_NIGHT_HAZE_MAG),
            dark_mag_arcsec2.ok_or(NoNight::DarknessOutOfRange)?,
            seeing_zenith_arcsec.ok_or(NoNight::SeeingOutOfRange)?,
            observer,
        ))
    }

    /// Points of what lies beyond the planets, all through a usual evening as it shows overhead in the best of the telescopes.
    fn at_most(&self, there: Beyond, zenith: &Look) -> f64 {
        let audience = &self.wanted.audience;
        let subject = Subject::Beyond(there);
        let asked = there.asked(0.0);
        let worth = |instrument: &Instrument| {
            let seen = visibilities_on(instrument, zenith, &asked, Airs::Typical);
            let each = seen
                .iter()
                .map(|seen| merit::of_ln_visibility(in_typical_air(seen).ln()));
            merit::of_details(&subject, each.collect())
        };
        let most = self.instruments.iter().map(worth).fold(0.0, f64::max);
        score::points_of_a_detail(audience) * welcome(audience, &subject) * most
    }
}

/// Who comes for one thing comes on an evening of which nobody knows the air.
pub(super) fn airs(audience: &Audience) -> Airs {
    match audience {
        Audience::OwnList(_) => Airs::AllThree,
        _ => Airs::Typical,
    }
}

/// The middle one of three, or the only one.
pub(super) fn in_typical_air(seen: &[f64]) -> f64 {
    seen[seen.len() / 2]
}

/// Who comes for one thing, or to try a mirror, asks not what pleases others.
pub(super) fn welcome(audience: &Audience, subject: &Subject) -> f64 {
    match audience {
        Audience::Public => merit::welcome(subject),
        _ => 1.0,
    }
}

/// What counts for somebody in typical air.
pub(super) fn least_promised(audience: &Audience) -> Grade {
    match audience {
        Audience::Public => Grade::Patient,
        _ => Grade::Fleeting,
    }
}
