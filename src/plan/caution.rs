//! What can hurt in a night: typed, to be worded by `show`.

use chrono::{DateTime, Utc};

use crate::plan::outlook::{Edge, Stretch};
use crate::plan::sun::SunTimes;
use crate::plan::watch::comes_with_the_sun;
use crate::sky::Body;
use crate::targets::subject::Subject;

/// A caution, to be worded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Caution {
    /// Always.
    Sun,
    /// A list that reaches into daylight.
    Daylight,
    /// A body in the morning sky: when to stop.
    MorningStop {
        /// Mercury or Venus.
        body: Body,
        /// When to stop.
        stop: DateTime<Utc>,
        /// When the Sun comes.
        sunrise: DateTime<Utc>,
    },
    /// A morning with people: when all stop.
    Sunrise(MorningStop),
    /// A body low in the evening twilight near the Sun: begin after sunset.
    EveningStart {
        /// Mercury or Venus.
        body: Body,
        /// When the Sun is gone.
        sunset: DateTime<Utc>,
    },
    /// Dark terrace.
    Terrace,
}

/// When the Sun comes, and when telescopes are capped before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MorningStop {
    /// The last look is over.
    pub stop: DateTime<Utc>,
    /// Upper limb on the horizon.
    pub sunrise: DateTime<Utc>,
}

/// Something that is shown, or offered for want of better, and what bounds the stretch of the night in which that is.
pub(super) struct Offered {
    pub(super) subject: Subject,
    pub(super) begins: Edge,
    pub(super) ends: Edge,
    /// When the stretch ends.
    pub(super) until: DateTime<Utc>,
}

impl Offered {
    pub(super) fn of(subject: Subject, stretch: &Stretch) -> Offered {
        Offered {
            subject,
            begins: stretch.begins,
            ends: stretch.ends,
            until: stretch.until,
        }
    }

    fn morning_stop(&self, body: Body, sun: &SunTimes) -> Option<Caution> {
        let sunrise = sun.rise.filter(|_| self.ends == Edge::BeforeSunrise)?;
        Some(Caution::MorningStop {
            body,
            stop: self.until,
            sunrise,
        })
    }

    fn evening_start(&self, body: Body, sun: &SunTimes) -> Option<Caution> {
        let sunset = sun.set.filter(|_| self.begins == Edge::Twilight)?;
        Some(Caution::EveningStart { body, sunset })
    }
}

/// Those of the morning's and the evening's Sun, each once, body by body in the order in which they are offered.
pub(super) fn sun_cautions(offered: &[Offered], sun: &SunTimes) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let near = offered.iter().filter(|it| comes_with_the_sun(&it.subject));
    for body in near.filter_map(|it| it.subject.body()) {
        let own = || (offered.iter()).filter(|it| it.subject.body() == Some(body));
        let mornings = own().filter_map(|it| it.morning_stop(body, sun));
        let evenings = own().filter_map(|it| it.evening_start(body, sun));
        for caution in mornings.chain(evenings) {
            if !cautions.contains(&caution) {
                cautions.push(caution);
            }
        }
    }
    cautions
}
