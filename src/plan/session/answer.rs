//! The finished answer: everything a sheet, a table or a calendar needs.

use std::ops::Range;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use crate::optics::figure::{FigureTaken, NotJudged};
use crate::optics::instrument::View;
use crate::plan::assignment::Refuge;
use crate::plan::caution::{Caution, MorningStop};
use crate::plan::mirror::Class;
use crate::plan::outlook::{Edge, Outlook};
use crate::plan::put_out::PutOut;
use crate::plan::session::ask::{First, Skip};
use crate::plan::session::direction::Direction;
use crate::plan::session::happened::Changed;
use crate::plan::session::impossible::Impossible;
use crate::plan::session::moments::Moment;
use crate::plan::session::queue::{Queue, SlotQueue};
use crate::plan::session::stale_note::StaleNote;
use crate::plan::session::warmth::{WarmStart, Warmth};
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;
use crate::sky::almanac::Span;
use crate::targets::details::detail;
use crate::targets::subject::Subject;
use crate::targets::verdict::{Grade, ThreeAirs, Verdict};
use crate::workshop::{Assumed, EveningRules, Helper};

/// The finished plan of a public evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// The night: the local date on which it begins.
    pub on: NaiveDate,
    /// The day on which people come, on the clock of the place: after midnight the one after [`Session::on`].
    pub evening_date: NaiveDate,
    /// People expected.
    pub visitors: u32,
    /// For whom the plan is bent first.
    pub first: Option<First>,
    /// When people come, look and go.
    pub window: Window,
    /// When and by whom it is called off, and what then.
    pub decision: Decision,
    /// What is settled in the workshop file or taken for it: seconds a look, least stay, most changes.
    pub evening: EveningRules,
    /// Dusk and dawn of the night.
    pub sun: SunTimes,
    /// What of it matters to the window.
    pub sun_beside: SunBeside,
    /// When all stop before sunrise, where people stay until it is near.
    pub morning_stop: Option<MorningStop>,
    /// Of the night.
    pub moon: Moonlit,
    /// Air at the zenith, FWHM in arcseconds.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// Moonless zenith.
    pub dark_zenith_mag_arcsec2: f64,
    /// As the file has it: every promise is shifted by so many powers of ten.
    pub observer_margin_dex: f64,
    /// Equal, in order, from the start of the window; what is left over at its end is too short for one. Before a sunrise the
    /// last ends at the stop, and the first is the longer.
    pub slots: Vec<TimeSpan>,
    /// In the file's order.
    pub telescopes: Vec<Station>,
    /// What happens in the window, in order of time; of Jupiter only what falls into a turn on it.
    pub moments: Vec<Moment>,
    /// How good the plan is, and how good a plan could be.
    pub total: Total,
    /// Looks of all telescopes together, and what they mean for the visitors.
    pub queue: Queue,
    /// The same by slot.
    pub queue_by_slot: Vec<SlotQueue>,
    /// What the organiser left out of it, in the order in which it was taken out.
    pub skipped: Vec<Skip>,
    /// What the organiser wrote for which this plan has no place.
    pub stale_notes: Vec<StaleNote>,
    /// What could not be had, in the order in which it was found.
    pub infeasible: Vec<Impossible>,
    /// What can hurt that evening.
    pub cautions: Vec<Caution>,
    /// Defaults that were used.
    pub assumed: Vec<Assumed>,
    /// How the plan differs from the one before, where things have happened since.
    pub changed: Option<Changed>,
}

/// When people come, look and go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Helpers and visitors meet.
    pub gather: DateTime<Utc>,
    /// As asked.
    pub from: DateTime<Utc>,
    /// As asked.
    pub until: DateTime<Utc>,
    /// Start of the first turn of any telescope; `None` where nothing can be shown.
    pub first_look: Option<DateTime<Utc>>,
    /// End of the last turn of any telescope.
    pub last_look: Option<DateTime<Utc>>,
}

/// When the evening is called off for weather, and what then. All as the workshop file says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// At the latest.
    pub by: Option<DateTime<Utc>>,
    /// Another date for it.
    pub backup: Option<NaiveDate>,
    /// Who decides: plain text of the organiser's.
    pub leader: Option<String>,
}

/// The Moon of the night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moonlit {
    /// Lit share of its disc in the middle of the window, 0 to 1.
    pub lit: f64,
    /// Between new and full.
    pub is_waxing: bool,
    /// Altitude in the middle of the window, with refraction.
    pub altitude_deg: f64,
    /// First rise of the night, noon to noon.
    pub rises: Option<DateTime<Utc>>,
    /// First set of the night, noon to noon.
    pub sets: Option<DateTime<Utc>>,
    /// That rise, where it falls into the window: a Moon that is up when people come has risen for them.
    pub rises_in_window: Option<DateTime<Utc>>,
    /// That set, where it comes after the window has begun.
    pub sets_after_begin: Option<DateTime<Utc>>,
    /// Below the horizon the whole window through.
    pub is_down: bool,
}

/// What the Sun does on that side of the night on which the window lies; `None` where it does not happen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SunBeside {
    /// The window begins in the first half of the night.
    Evening {
        /// Upper limb on the horizon.
        sunset: Option<DateTime<Utc>>,
        /// End of civil twilight.
        civil_dusk: Option<DateTime<Utc>>,
        /// End of nautical twilight.
        nautical_dusk: Option<DateTime<Utc>>,
    },
    /// It begins in the second half.
    Morning {
        /// Begin of nautical twilight.
        nautical_dawn: Option<DateTime<Utc>>,
        /// Begin of civil twilight.
        civil_dawn: Option<DateTime<Utc>>,
        /// Upper limb on the horizon.
        sunrise: Option<DateTime<Utc>>,
    },
}

impl SunBeside {
    /// Of a window that begins then.
    pub(super) fn of(sun: &SunTimes, from: DateTime<Utc>) -> SunBeside {
        let middle = (sun.set.zip(sun.rise)).map(|(set, rise)| set + (rise - set) / 2);
        let [civil, nautical, _] = &sun.twilights;
        match middle.is_some_and(|middle| middle < from) {
            true => SunBeside::Morning {
                nautical_dawn: nautical.dawn,
                civil_dawn: civil.dawn,
                sunrise: sun.rise,
            },
            false => SunBeside::Evening {
                sunset: sun.set,
                civil_dusk: civil.dusk,
                nautical_dusk: nautical.dusk,
            },
        }
    }
}

/// One telescope and its evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// As in the workshop file.
    pub name: String,
    /// What it is, or why it cannot be judged.
    pub summary: Result<Summary, NotJudged>,
    /// Where it is put up, as the workshop file says it.
    pub place: Option<String>,
    /// Who stands at it; where the file does not say, somebody practised.
    pub helper: Helper,
    /// Meant for a seated eye.
    pub is_low: bool,
    /// Meant for children.
    pub is_for_children: bool,
    /// What has to be done before its first turn, in order of time.
    pub before: Vec<Step>,
    /// When the mirror has to be outside; `None` without turns or without the mirror's thickness.
    pub put_out: Option<PutOut>,
    /// How warm its mirror is at its first look; `None` without turns or without the mirror's thickness.
    pub start: Option<WarmStart>,
    /// What it shows, in order; empty where it shows nothing.
    pub turns: Vec<Turn>,
    /// Eyepiece heights over its turns; `None` where the mount is not known or it shows nothing.
    pub heights: Option<Heights>,
    /// Looks over its turns.
    pub queue: Queue,
}

/// What a telescope is.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Clear aperture.
    pub aperture_mm: f64,
    /// Of the finished mirror.
    pub focal_length_mm: f64,
    /// Focal length over aperture.
    pub focal_ratio: f64,
    /// Of the mirror as it is, 0 to 1.
    pub strehl: f64,
    /// What was taken for the figure.
    pub figure: FigureTaken,
    /// What the mirror is good for.
    pub class: Class,
}

/// Something to do before the first look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Bring it outside, cap on.
    PutOut {
        /// At the latest.
        by: DateTime<Utc>,
        /// The Sun is still up: in the shade of a building, capped.
        by_day: bool,
    },
    /// Aim the mirrors.
    Collimate {
        /// Begin at the latest.
        by: DateTime<Utc>,
        /// A fast mirror has to be aimed again on a star.
        again_on_a_star: bool,
    },
    /// It is aimed, and as cool as it can be by then.
    Ready {
        /// From then.
        at: DateTime<Utc>,
    },
}

/// Eyepiece heights above the ground over a telescope's turns, and what to stand or sit on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heights {
    /// Lowest over its turns.
    pub lowest_m: f64,
    /// Highest over its turns.
    pub highest_m: f64,
    /// Step for a child whose eye is at 1.05 m (common practice, no source), at the highest; `None` where none is needed.
    pub child_step_m: Option<f64>,
    /// Step for a grown-up whose eye is at 1.55 m (common practice, no source), at the highest; `None` where none is needed.
    pub adult_step_m: Option<f64>,
    /// A seated eye (0.9 to 1.2 m) reaches it in all its turns.
    pub seated_throughout: bool,
}

/// One stay of a telescope on one target.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Start.
    pub from: DateTime<Utc>,
    /// End.
    pub until: DateTime<Utc>,
    /// Which slots.
    pub slots: Range<usize>,
    /// What is shown, at the middle of the turn; its details at the hour within the turn at which each shows best.
    pub shown: ShownTarget,
    /// What happens on it meanwhile, in order of time.
    pub moments: Vec<Moment>,
    /// What to turn to when cloud covers that part of the sky, the whole turn through.
    pub fallback: Option<TurnFallback>,
    /// The same slot by slot, where another may serve better or be the only one; one entry for each of `slots`.
    pub fallback_by_slot: Vec<Option<SlotFallback>>,
    /// Why this telescope shows it.
    pub why_here: WhyHere,
}

/// Why a telescope and no other shows a target.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyHere {
    /// The organiser wants it there.
    Wanted,
    /// The organiser's order has it there.
    Ordered,
    /// Of the Moon in the Earth's shadow.
    Eclipse,
    /// No other could show it then.
    Only,
    /// It shows it better than any other.
    Best,
    /// It shows it as well as any.
    AsGood,
    /// One that would show it better does not.
    BetterBusy {
        /// Its name.
        telescope: String,
        /// What it shows meanwhile; `None`: it rests.
        with: Option<Subject>,
    },
    /// One shows it better, and shows it too.
    Shared,
}

impl Turn {
    /// When a detail promised in it is there: all of the turn but for what comes or goes.
    pub fn hours_of(&self, verdict: &Verdict) -> Vec<TimeSpan> {
        let span = |it: &Span| {
            Some(TimeSpan {
                from: it.from_utc()?,
                until: it.until_utc()?,
            })
        };
        match verdict.during.is_empty() {
            true => vec![self.span()],
            false => verdict.during.iter().filter_map(span).collect(),
        }
    }

    /// Without what is shown.
    pub fn span(&self) -> TimeSpan {
        TimeSpan {
            from: self.from,
            until: self.until,
        }
    }
}

/// What to turn to under cloud in one slot.
#[derive(Debug, Clone, PartialEq)]
pub struct SlotFallback {
    /// What.
    pub subject: Subject,
    /// The stretch that holds the slot.
    pub limits: Limits,
}

/// What to turn to under cloud.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnFallback {
    /// The same figures, for the middle of the same turn.
    pub shown: ShownTarget,
    /// How well it serves: in another part of the sky, without crowding.
    pub refuge: Refuge,
}

/// One target in one telescope at one instant.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownTarget {
    /// What.
    pub subject: Subject,
    /// The instant of all figures here but those of [`ShownTarget::path`]: the middle of the turn.
    pub at: DateTime<Utc>,
    /// How it stands then; its stretches are left empty, [`ShownTarget::limits`] has the one that counts.
    pub outlook: Outlook,
    /// Where to point at that instant.
    pub direction: Direction,
    /// Where it stands when the turn begins and when it ends.
    pub path: Path,
    /// Of the mirror at that instant; `None` where its thickness is not known. Every grade here has it in it.
    pub warmth: Option<Warmth>,
    /// Eyepiece, power, field.
    pub view: View,
    /// How long it takes across the middle of that field; `None` where it never leaves.
    pub drift_s: Option<f64>,
    /// Above the ground; `None` where the mount is not known.
    pub eyepiece_height_m: Option<f64>,
    /// The one thing to look for: of the details with the best grade in typical air the ring, else what is on the disc, else what
    /// is beside it, and of these the one whose margin is largest. Its [`Verdict::caption`] says what a visitor will really see.
    pub look_for: Verdict,
    /// All else that shows at least to a patient eye in typical air, best first.
    pub others: Vec<Verdict>,
    /// From when to when it can be looked at that night, and what begins and ends that.
    pub limits: Limits,
    /// So near the zenith that a plain mount hardly follows.
    pub is_hard_to_hold: bool,
    /// Name of the site's mark behind which it goes, where the skyline ends it and a mark is there.
    pub ends_behind: Option<String>,
    /// One number each.
    pub facts: Facts,
}

impl ShownTarget {
    /// Details of it that any visitor sees.
    pub fn plain(&self) -> impl Iterator<Item = &Verdict> {
        let all = std::iter::once(&self.look_for).chain(&self.others);
        all.filter(|verdict| verdict.grade.typical == Grade::Plain)
    }

    /// Who has seen one dark plain is shown a mountain next: of the others, what is of another sort than anything before it
    /// comes first.
    pub fn others_varied(&self) -> Vec<&Verdict> {
        let shape = |verdict: &Verdict| detail(&verdict.caption.id).map(|detail| detail.shape);
        let mut shapes = vec![shape(&self.look_for)];
        let is_new = |verdict: &&Verdict| {
            let shape = shape(verdict);
            let is_new = shape.is_some() && !shapes.contains(&shape);
            shapes.push(shape);
            is_new
        };
        let (mut first, rest): (Vec<&Verdict>, Vec<&Verdict>) =
            self.others.iter().partition(is_new);
        first.extend(rest);
        first
    }
}

/// Its way over the sky during a turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// When the turn begins.
    pub start: Direction,
    /// When it ends.
    pub end: Direction,
    /// From the one to the other.
    pub moved_deg: f64,
    /// The part of it along the horizon; below 0 to the left.
    pub right_deg: f64,
}

/// The stretch of the night in which a target can be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// From when.
    pub from: DateTime<Utc>,
    /// Until when: the stop.
    pub until: DateTime<Utc>,
    /// What begins it.
    pub begins: Edge,
    /// What ends it.
    pub ends: Edge,
}

/// One number each, computed for the instant; `None` where none is known or none makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Facts {
    /// From the observer, km; known for Moon and planets.
    pub distance_km: Option<f64>,
    /// How long its light takes, s.
    pub light_time_s: Option<f64>,
    /// Diameter at the equator, km.
    pub diameter_km: Option<f64>,
    /// Light years, to the digits that are known; known for most of what lies beyond the planets.
    pub distance_ly: Option<f64>,
    /// Of a cluster, nebula or galaxy to its catalogue outline, light years.
    pub extent_ly: Option<f64>,
    /// Of a pair at one distance: how far apart its stars are as we see it, in distances from Earth to Sun.
    pub gap_au: Option<f64>,
    /// How large it looks in the eyepiece, arcminutes: the width of what shows, times the power. The Moon to the naked eye is 30.
    pub apparent_size_arcmin: Option<f64>,
    /// What of it has that width.
    pub apparent_size_of: SizeOf,
    /// That width does not fit into the view.
    pub is_wider_than_view: bool,
    /// From how far away the bare eye would see it as large, km.
    pub seems_from_km: Option<f64>,
    /// Across: the smallest thing on it that shows to a patient eye in typical air; see [`smallest_km`].
    ///
    /// [`smallest_km`]: crate::targets::smallest::smallest_km
    pub smallest_km: Option<f64>,
    /// Light that reaches the eyepiece over what the bare eye of that observer gathers in the dark.
    pub light_gain: f64,
}

/// What of a target an apparent size is the width of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SizeOf {
    /// All of it: a disc, or an outline.
    #[default]
    Whole,
    /// The bright part; the rest fades into the sky.
    BrightPart,
    /// The gap between two stars.
    Gap,
}

/// How good the plan is, in points: see [`crate::plan::session`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Total {
    /// Of this plan.
    pub plan: f64,
    /// No plan that keeps the rules has more.
    pub bound: f64,
    /// The difference: 0 where the plan is proven best. A plan that sends more home may have less.
    pub gap: f64,
    /// What one visitor takes home: points of the sights, each new to him.
    pub taken_home: f64,
}
