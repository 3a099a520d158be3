//! One look, as it was ticked, with what would have been promised for it: a line for the log.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};

use crate::optics::instrument::Instrument;
use crate::plan::local::{night_date, night_window};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::refusal::{NoLook, NoNight, NoSuchDetail};
use crate::plan::watch::Watch;
use crate::targets::asked::{Asked, Spread};
use crate::targets::caption::CaptionName;
use crate::targets::conditions::Unmet;
use crate::targets::details::detail;
use crate::targets::glance::margins_dex;
use crate::targets::grade::{Grade, ThreeAirs};
use crate::targets::small_bodies::small_bodies;
use crate::targets::subject::{Subject, subject_of};
use crate::workshop::log::{
    JudgedAir, LoggedLook, Margins, Promise, PromisedGrade, SEEING_STEP, SeenBy,
};
use crate::workshop::{Observer, Telescope, Workshop};

/// What somebody ticked.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick<'a> {
    /// When.
    pub at: DateTime<Utc>,
    /// Of the workshop.
    pub telescope: &'a Telescope,
    /// What was looked for: `saturn_cassini`.
    pub detail: &'a str,
    /// `10 mm` or `10 mm + 2x`; without it the best one is reckoned with.
    pub eyepiece: Option<&'a str>,
    /// Who saw it.
    pub by: SeenBy,
    /// Without it the typical air is reckoned with.
    pub air: Option<JudgedAir>,
    /// Whatever else there is to say.
    pub note: &'a str,
}

/// A look with its promise, and how to speak of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticked {
    /// The line for the log.
    pub look: LoggedLook,
    /// To be worded.
    pub name: CaptionName,
    /// Why it was not thought to be there at all, where it was not.
    pub absent: Option<Absent>,
}

/// It was not thought to be there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Absent {
    /// Which condition was not met; `None` where no row tells.
    pub why: Option<Unmet>,
}

/// Reckons what would have been promised for a tick.
///
/// ```
/// use skyworthy::plan::seen::{Tick, ticked};
/// use skyworthy::workshop::{self, log::SeenBy};
///
/// let workshop = workshop::example();
/// let tick = Tick {
///     at: "2026-12-17T21:00:00Z".parse()?,
///     telescope: &workshop.telescopes[0],
///     detail: "saturn_titan",
///     eyepiece: None,
///     by: SeenBy::Most,
///     air: None,
///     note: "",
/// };
/// assert!(ticked(&workshop, &tick)?.look.promise.is_some());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn ticked(workshop: &Workshop, tick: &Tick) -> Result<Ticked, NoLook> {
    Reckoner::of(workshop).ticked(tick)
}

/// Reckons for many ticks; nights and telescopes are put together once.
pub struct Reckoner<'a> {
    workshop: &'a Workshop,
    watches: BTreeMap<NaiveDate, Watch<'a>>,
    /// By telescope and night.
    instruments: BTreeMap<(String, NaiveDate), Instrument>,
}

impl<'a> Reckoner<'a> {
    /// For looks with the telescopes of this workshop.
    pub fn of(workshop: &'a Workshop) -> Self {
        Reckoner {
            workshop,
            watches: BTreeMap::new(),
            instruments: BTreeMap::new(),
        }
    }

    /// As the function of that name.
    pub fn ticked(&mut self, tick: &Tick) -> Result<Ticked, NoLook> {
        let on = night_date(tick.at, self.workshop.site.time_zone);
        self.prepare(tick.telescope, on)?;
        let (watch, workshop) = (&self.watches[&on], self.workshop);
        let instrument = &self.instruments[&(tick.telescope.name.clone(), on)];
        let view = (tick.eyepiece)
            .map(|name| view_named(instrument, name))
            .transpose()?;
        let subject = subject_said(watch, workshop, tick.detail)?;
        let outlook = watch.outlook_at(subject.clone(), tick.at)?;
        let altitude_deg = outlook.at_best.place().refracted_altitude_deg;
        if altitude_deg < 0.0 {
            let subject = subject.name().to_string();
            return Err(NoLook::Below {
                subject,
                altitude_deg,
            });
        }
        let seeing_arcsec = in_air(&watch.seeing_zenith_arcsec, tick.air);
        let asked = (outlook
            .asked
            .iter()
            .find(|asked| asked.caption.id == tick.detail))
        .cloned();
        let margins = (asked.as_ref()).and_then(|asked| {
            let observer = workshop.observer;
            margins(instrument, &outlook, asked, view, seeing_arcsec, observer)
        });
        Ok(Ticked {
            name: named(tick.detail, asked.as_ref()),
            absent: (margins.is_none()).then(|| Absent {
                why: outlook.unmet(tick.detail, &watch.onlooker(workshop.observer)),
            }),
            look: LoggedLook {
                at: tick.at,
                telescope: tick.telescope.name.clone(),
                detail: tick.detail.to_string(),
                eyepiece: tick.eyepiece.map(str::to_string),
                by: tick.by,
                air: tick.air,
                note: tick.note.trim().to_string(),
                promise: Some(promise(margins, seeing_arcsec, workshop.observer)),
            },
        })
    }

    fn prepare(&mut self, telescope: &Telescope, on: NaiveDate) -> Result<(), NoLook> {
        let key = (telescope.name.clone(), on);
        if let Entry::Vacant(free) = self.instruments.entry(key) {
            free.insert(Instrument::of(self.workshop, telescope, on)?);
        }
        if let Entry::Vacant(free) = self.watches.entry(on) {
            let window = night_window(on, self.workshop.site.time_zone);
            let window = window.ok_or(NoNight::NoSuchDate)?;
            free.insert(Watch::of(self.workshop, window)?);
        }
        Ok(())
    }
}

/// On what a detail is; an asteroid is one itself.
fn subject_said(watch: &Watch, workshop: &Workshop, id: &str) -> Result<Subject, NoLook> {
    if let Some(subject) = subject_of(id) {
        return Ok(subject);
    }
    let mut small = small_bodies(workshop).into_iter();
    let body = small.find(|body| body.id == id);
    let body = body.ok_or_else(|| NoSuchDetail(id.to_string()))?;
    let course = watch.course(&body).map_err(NoLook::TooFar)?;
    Ok(Subject::Small(Arc::new(course)))
}

/// The figure of the air that was judged; the typical one where none was.
pub(super) fn in_air<T: Copy>(airs: &ThreeAirs<T>, air: Option<JudgedAir>) -> T {
    match air {
        Some(JudgedAir::Good) => airs.good,
        Some(JudgedAir::Poor) => airs.poor,
        Some(JudgedAir::Typical) | None => airs.typical,
    }
}

fn promise(margins: Option<Margins>, seeing_arcsec: f64, observer: Observer) -> Promise {
    let observer_dex = observer.margin_dex;
    let graded = |margins: Margins| graded(margins.margin_dex + observer_dex);
    Promise {
        grade: margins.map_or(PromisedGrade::Absent, graded),
        seeing_arcsec,
        observer_dex,
        margins,
    }
}

fn graded(margin_dex: f64) -> PromisedGrade {
    match Grade::of_visibility(10f64.powf(margin_dex)) {
        Grade::Plain => PromisedGrade::Plain,
        Grade::Patient => PromisedGrade::Patient,
        Grade::Fleeting => PromisedGrade::Fleeting,
        Grade::Beyond => PromisedGrade::Beyond,
    }
}

fn view_named(instrument: &Instrument, name: &str) -> Result<usize, NoLook> {
    let plain = |name: &str| name.to_lowercase().replace(' ', "");
    let views = &instrument.views;
    let found = views
        .iter()
        .position(|view| plain(&view.eyepiece) == plain(name));
    found.ok_or_else(|| NoLook::NoSuchEyepiece {
        telescope: instrument.name.clone(),
        known: views.iter().map(|view| view.eyepiece.clone()).collect(),
    })
}

/// In steadier, the same, and rougher air than that of the look. `None` for what is not there.
fn margins(
    instrument: &Instrument,
    outlook: &Outlook,
    asked: &Asked,
    view: Option<usize>,
    seeing_arcsec: f64,
    observer: Observer,
) -> Option<Margins> {
    let today = &asked.today;
    let steps = ThreeAirs {
        good: seeing_arcsec / SEEING_STEP,
        typical: seeing_arcsec,
        poor: seeing_arcsec * SEEING_STEP,
    };
    let by_the_book = Onlooker {
        seeing_zenith_arcsec: steps,
        observer: Observer {
            margin_dex: 0.0,
            ..observer
        },
        // What is asked is given: nobody looks for the Spot again.
        red_spot_longitude_deg: None,
    };
    let dex = margins_dex(instrument, &outlook.look(&by_the_book), today, view);
    Some(Margins {
        margin_dex: dex.typical,
        steadier_dex: dex.good,
        rougher_dex: dex.poor,
        doubt_dex: doubt_dex(&asked.spread),
    })
}

/// The weak and the strong end of a detail's contrast are taken for the ends of a 90 % interval: 1.645
/// standard deviations to either side.
fn doubt_dex(spread: &Spread) -> f64 {
    (spread.strong.log10() - spread.weak.log10()) / (2.0 * 1.645)
}

fn named(id: &str, asked: Option<&Asked>) -> CaptionName {
    let in_table = || detail(id).map(|detail| detail.caption().name);
    (asked.map(|asked| asked.caption.name.clone()))
        .or_else(in_table)
        .unwrap_or_else(|| CaptionName::Said(id.to_string()))
}
