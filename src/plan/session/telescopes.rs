//! The telescopes that take part, put together and judged.

use chrono::{DateTime, NaiveDate, Utc};
use rayon::prelude::*;

use crate::optics::figure::NotJudged;
use crate::optics::instrument::Instrument;
use crate::optics::mount::Pivot;
use crate::plan::mirror::{Class, class_of};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::refusal::{NoSession, NoSuchTelescope};
use crate::plan::session::answer::Summary;
use crate::plan::session::ask::{Ask, First};
use crate::plan::session::warmth::{Outside, Warmth};
use crate::plan::tube::CoolDown;
use crate::workshop::{Telescope, Workshop};

/// A child's eye above the ground, m. Common practice, no source: about six years old, standing.
pub(super) const CHILD_EYE_M: f64 = 1.05;

/// A grown-up's. Common practice, no source.
pub(super) const ADULT_EYE_M: f64 = 1.55;

/// Eyepieces up to here are within a child's reach from a low step, m. Common practice, no source.
pub(super) const CHILD_REACH_M: f64 = 1.25;

/// Where a seated eye comes to rest, m. Common practice, no source.
pub(super) const SEATED_EYE_M: (f64, f64) = (0.9, 1.2);

/// One telescope of the evening.
pub(super) struct EveningTelescope<'a> {
    pub(super) telescope: &'a Telescope,
    /// Or why it cannot be judged.
    pub(super) judged: Result<(Instrument, Class), NotJudged>,
    /// `None` where the mount is not known.
    pub(super) pivot: Option<Pivot>,
    /// `None` where the thickness of its mirror is not known, or there is nothing to show.
    pub(super) outside: Option<Outside>,
    /// Kept to what a seated eye reaches.
    pub(super) is_low: bool,
}

impl EveningTelescope<'_> {
    pub(super) fn instrument(&self) -> Option<&Instrument> {
        self.judged.as_ref().ok().map(|(instrument, _)| instrument)
    }

    /// Brings it outside, in time for what there is to show.
    pub(super) fn bring_out(&mut self, first_target: DateTime<Utc>, gather: Option<DateTime<Utc>>) {
        let cooling = CoolDown::of(self.telescope).filter(|_| self.judged.is_ok());
        self.outside = cooling.map(|cooling| Outside::of(cooling, first_target, gather));
    }

    pub(super) fn warmth(&self, at: DateTime<Utc>) -> Option<Warmth> {
        self.outside.map(|outside| outside.warmth(at))
    }

    /// Whoever looks through it then at something that stands so: its mirror may be warm.
    pub(super) fn onlooker(&self, onlooker: Onlooker, outlook: &Outlook) -> Onlooker {
        match self.warmth(outlook.best) {
            Some(warmth) => onlooker.before_mirror(warmth.blur_arcsec, outlook.sky.airmass),
            None => onlooker,
        }
    }

    /// Of the eyepiece above the ground.
    pub(super) fn height_m(&self, altitude_deg: f64) -> Option<f64> {
        Some(self.pivot?.eyepiece_height_m(altitude_deg))
    }

    /// Planets only where no better mirror shows them.
    pub(super) fn is_for_low_power(&self) -> bool {
        matches!(
            self.judged,
            Ok((_, Class::LowPower)) | Ok((_, Class::FigureAgain))
        )
    }

    pub(super) fn summary(&self) -> Result<Summary, NotJudged> {
        let (instrument, class) = self.judged.as_ref().map_err(NotJudged::clone)?;
        Ok(Summary {
            aperture_mm: instrument.aperture_mm,
            focal_length_mm: instrument.focal_length_mm,
            focal_ratio: instrument.focal_ratio,
            strehl: instrument.strehl,
            figure: instrument.figure.clone(),
            class: *class,
        })
    }
}

/// Those that are asked for, in the file's order; all where none is named.
pub(super) fn evening_telescopes<'a>(
    workshop: &'a Workshop,
    ask: &Ask,
) -> Result<Vec<EveningTelescope<'a>>, NoSession> {
    let named = ask
        .telescopes
        .iter()
        .chain(ask.wants.iter().filter_map(|want| want.telescope.as_ref()));
    for name in named {
        if workshop.telescopes.iter().all(|known| known.name != *name) {
            return Err(NoSuchTelescope::new(workshop, name).into());
        }
    }
    let takes_part = |telescope: &&Telescope| {
        ask.telescopes.is_empty() || ask.telescopes.contains(&telescope.name)
    };
    let telescopes: Vec<_> = workshop.telescopes.iter().filter(takes_part).collect();
    // A mirror's images take tens of milliseconds: worth a thread each.
    let mut telescopes: Vec<_> = telescopes
        .into_par_iter()
        .map(|telescope| evening_telescope(workshop, telescope, ask.on))
        .collect();
    seat(&mut telescopes, ask);
    Ok(telescopes)
}

fn evening_telescope<'a>(
    workshop: &Workshop,
    telescope: &'a Telescope,
    on: NaiveDate,
) -> EveningTelescope<'a> {
    let judged = Instrument::of(workshop, telescope, on).map(|instrument| {
        let class = class_of(telescope, &instrument);
        (instrument, class)
    });
    let pivot = telescope.pivot_height_m.zip(telescope.pivot_to_eyepiece_m);
    EveningTelescope {
        telescope,
        judged,
        pivot: pivot.map(|(height_m, to_eyepiece_m)| Pivot {
            height_m,
            to_eyepiece_m,
        }),
        outside: None,
        is_low: telescope.stand.low_eyepiece,
    }
}

/// Where somebody comes in a wheelchair and the file marks no telescope, the lowest is for them.
fn seat(telescopes: &mut [EveningTelescope], ask: &Ask) {
    if ask.first != Some(First::Wheelchair) || telescopes.iter().any(|scope| scope.is_low) {
        return;
    }
    // As it stands for a target half way up.
    let height_m = |scope: &EveningTelescope| scope.instrument().and(scope.height_m(45.0));
    let known = (0..telescopes.len()).filter(|idx| height_m(&telescopes[*idx]).is_some());
    let lowest = known.min_by(|a, b| {
        let [a, b] = [a, b].map(|idx| height_m(&telescopes[*idx]).unwrap_or(f64::INFINITY));
        a.total_cmp(&b)
    });
    if let Some(idx) = lowest {
        telescopes[idx].is_low = true;
    }
}
