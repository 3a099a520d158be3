//! One evening: what shows within its hours and what it brings, what happens, what was asked for and does not show.

use chrono::{DateTime, NaiveDate, Utc};
use serde::Serialize;

use crate::plan::happenings::Listed;
use crate::plan::outlook::Outlook;
use crate::sky::Body;
use crate::sky::happenings::What;
use crate::sky::happenings::lunar_eclipse::LunarEclipseKind;
use crate::targets::caption::CaptionName;
use crate::targets::conditions::Unmet;
use crate::targets::grade::Grade;

/// One evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    /// The local date on which its night begins: hours before noon are those of the morning after.
    pub on: NaiveDate,
    /// The date on the clock of the place when the hours begin.
    pub date: NaiveDate,
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
    /// The telescopes that show most of it, alike to anybody: indices into [`Dates::telescopes`](crate::plan::dates::Dates::telescopes). Never empty.
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
#[derive(Debug, Clone, PartialEq)]
pub struct GradedDetail {
    /// As in `night`.
    pub id: String,
    /// To be worded.
    pub name: CaptionName,
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
    /// The detail is there, but never well: foreshortened at the limb, or in a bad light.
    NotWell,
    /// None of these telescopes shows it in typical air.
    Beyond,
}

/// The Moon in the hours of an evening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonThen {
    /// Share of its disc in the middle of the hours; of a `night`, in the middle of the night.
    pub lit: f64,
    /// Where it stands at its best time within the hours; `None` where it is not clear of the skyline.
    pub altitude_deg: Option<f64>,
    /// Its lit side is on the right, as one sees it here with the naked eye where it stands highest.
    pub lit_on_right: bool,
    /// In the Earth's shadow within the hours, seen from here.
    pub is_eclipsed: bool,
}

/// How much of the hours is dark: civil twilight over, the Sun below -6 degrees. A `night` calls dark what is
/// beyond astronomical twilight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dark {
    /// The first dark moment within them.
    pub from: Option<DateTime<Utc>>,
    /// Together.
    pub minutes: f64,
    /// Up to children's bedtime; `None` where the hours do not begin before it.
    pub minutes_before_bedtime: Option<f64>,
}

/// Something that happens in the sky within the hours and is seen from the place.
#[derive(Debug, Clone, PartialEq)]
pub struct Happens {
    /// What, and when.
    pub listed: Listed,
    /// What is seen of it.
    pub event: Event,
    /// What it brings; nothing for who comes for something else.
    pub points: f64,
}

/// What is seen of a happening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// The Moon in the Earth's shadow.
    LunarEclipse,
    /// The Moon before the Sun.
    SolarEclipse,
    /// A star or planet behind the Moon.
    Occultation {
        /// Which.
        name: &'static str,
    },
    /// Two bodies close together.
    Pairing {
        /// One.
        first: Body,
        /// The other.
        second: Body,
    },
}

impl Happens {
    /// The Moon in the Earth's full shadow, wholly or in part.
    pub fn is_umbral_eclipse(&self) -> bool {
        match &self.listed.happening.what {
            What::LunarEclipse(eclipse) => eclipse.kind != LunarEclipseKind::Penumbral,
            _ => false,
        }
    }
}

/// Something else than a subject that adds or takes points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Term {
    /// What.
    pub kind: TermKind,
    /// Taken where negative.
    pub points: f64,
}

/// What adds or takes points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TermKind {
    /// Shadows along the Moon's terminator.
    #[serde(rename = "moon_terminator")]
    Terminator,
    /// The Moon so full that it has no shadows and dazzles.
    FullMoon,
    /// Hours that are not dark.
    Twilight,
    /// Not dark for an hour before children's bedtime.
    Bedtime,
}
