//! What there is to show: everything that is clear of the skyline for at least one whole slot while the Sun is far enough
//! down, and how it stands in the middle of each such slot.

use chrono::{DateTime, TimeDelta, Utc};
use rayon::prelude::*;

use crate::plan::lookout::NEAR_SUN_DEG;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Absence, Edge, Outlook, Stretch};
use crate::plan::refusal::NoNight;
use crate::plan::session::answer::Limits;
use crate::plan::session::impossible::WhyNot;
use crate::plan::session::telescopes::EveningTelescope;
use crate::plan::session::worth::points;
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::vector::{angle_rad, direction};
use crate::targets::beyond::{Beyond, beyond};
use crate::targets::subject::Subject;

/// Lower than this nothing beyond the planets is worth the trouble of finding it, degrees. Common practice, no source.
const LOWEST_BEYOND_DEG: f64 = 25.0;

/// A stretch is known to seconds: a slot keeps so far from its ends.
pub(super) const CLOSE: TimeDelta = TimeDelta::seconds(5);

/// As many showpieces beyond the planets are considered.
const MOST_BEYOND: usize = 17;

/// One target of the evening.
pub(super) struct CandidateTarget {
    pub(super) subject: Subject,
    /// Of the whole night.
    stretches: Vec<Stretch>,
    /// In the middle of each slot; `None` where it is not clear throughout the slot.
    pub(super) at: Vec<Option<Outlook>>,
    /// Organisers want it.
    is_wanted: bool,
}

/// Something that cannot be shown in any slot.
pub(super) struct RuledOut {
    pub(super) subject: Subject,
    pub(super) why: WhyNot,
}

/// What can be shown, and what can not.
pub(super) struct Candidates {
    pub(super) targets: Vec<CandidateTarget>,
    pub(super) ruled_out: Vec<RuledOut>,
}

impl Candidates {
    /// In which anything is clear.
    pub(super) fn first_slot(&self) -> Option<usize> {
        let of_each = |candidate: &CandidateTarget| candidate.at.iter().position(Option::is_some);
        self.targets.iter().filter_map(of_each).min()
    }
}

/// What candidates are looked for with.
pub(super) struct CandidateSearch<'a> {
    pub(super) watch: &'a Watch<'a>,
    pub(super) slots: &'a [TimeSpan],
    pub(super) telescopes: &'a [EveningTelescope<'a>],
    pub(super) onlooker: Onlooker,
    /// Wanted whatever it is worth.
    pub(super) wanted: &'a [Subject],
}

impl CandidateSearch<'_> {
    pub(super) fn candidates(&self) -> Result<Candidates, NoNight> {
        let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
        let subjects: Vec<Subject> = bodies
            .map(Subject::Body)
            .chain(beyond().map(Subject::Beyond))
            .collect();
        let sorted: Vec<_> = subjects
            .into_par_iter()
            .map(|subject| self.candidate(subject))
            .collect::<Result<_, _>>()?;
        let (clear, ruled_out): (Vec<_>, Vec<_>) = sorted.into_iter().partition(Result::is_ok);
        let clear = self.showpieces(clear.into_iter().flatten().collect())?;
        let filled = (clear.into_par_iter())
            .map(|candidate| self.filled(candidate))
            .collect::<Result<Vec<_>, _>>()?;
        let (targets, low_ones): (Vec<_>, Vec<_>) =
            (filled.into_iter()).partition(|candidate| candidate.at.iter().any(Option::is_some));
        let low = |candidate: CandidateTarget| RuledOut {
            subject: candidate.subject,
            why: WhyNot::Skyline,
        };
        Ok(Candidates {
            targets,
            ruled_out: (ruled_out.into_iter().filter_map(Result::err))
                .chain(low_ones.into_iter().map(low))
                .collect(),
        })
    }

    /// With empty slots still.
    fn candidate(&self, subject: Subject) -> Result<Result<CandidateTarget, RuledOut>, NoNight> {
        let ruled_out = |why| {
            Err(RuledOut {
                subject: subject.clone(),
                why,
            })
        };
        let outlook = match self.watch.outlook(subject.clone(), false)? {
            Ok(outlook) => outlook,
            Err(Absence::NeverClear { .. }) => return Ok(ruled_out(WhyNot::Skyline)),
            Err(Absence::OnlyInDaylight { .. } | Absence::NearSun { .. }) => {
                return Ok(ruled_out(WhyNot::Sun));
            }
        };
        let candidate = CandidateTarget {
            is_wanted: self.wanted.contains(&subject),
            subject: subject.clone(),
            stretches: outlook.stretches,
            at: Vec::new(),
        };
        if self.slots.iter().any(|slot| candidate.is_clear(*slot)) {
            return Ok(Ok(candidate));
        }
        Ok(ruled_out(candidate.shut_by(self.slots)))
    }

    /// Moon and planets, what is wanted, and the best of the rest, by what the best telescope shows.
    fn showpieces(&self, targets: Vec<CandidateTarget>) -> Result<Vec<CandidateTarget>, NoNight> {
        let (mut kept, rest): (Vec<CandidateTarget>, Vec<CandidateTarget>) = targets
            .into_iter()
            .partition(|candidate| candidate.subject.body().is_some() || candidate.is_wanted);
        let mut scored = (rest.into_par_iter())
            .map(|candidate| Ok((self.score(&candidate)?, candidate)))
            .collect::<Result<Vec<_>, NoNight>>()?;
        scored.retain(|(score, _)| 0.0 < *score);
        // Stable: the tables' order among equals.
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        let n_wanted = kept.len();
        for (_, candidate) in scored {
            let is_beside =
                |known: &CandidateTarget| is_one_view(&known.subject, &candidate.subject);
            if n_wanted + MOST_BEYOND <= kept.len() {
                break;
            }
            if !kept.iter().any(is_beside) {
                kept.push(candidate);
            }
        }
        Ok(kept)
    }

    fn score(&self, candidate: &CandidateTarget) -> Result<f64, NoNight> {
        let clear = self.slots.iter().filter(|slot| candidate.is_clear(**slot));
        let clear: Vec<_> = clear.collect();
        // What sets is at its best at the beginning.
        let probes = [0, clear.len() / 2, clear.len() - 1];
        let scores = probes.map(|idx| self.score_at(candidate, *clear[idx]));
        (scores.into_iter()).try_fold(0.0, |best: f64, score| Ok(best.max(score?)))
    }

    fn score_at(&self, candidate: &CandidateTarget, slot: TimeSpan) -> Result<f64, NoNight> {
        let outlook = (self.watch).outlook_during(candidate.subject.clone(), slot)?;
        if outlook.at_best.place().refracted_altitude_deg < LOWEST_BEYOND_DEG {
            return Ok(0.0);
        }
        let instruments = self
            .telescopes
            .iter()
            .filter_map(|scope| scope.instrument());
        let points = instruments.map(|instrument| points(instrument, &outlook, &self.onlooker));
        Ok(points.map(|points| points.all).fold(0.0, f64::max))
    }

    fn filled(&self, mut candidate: CandidateTarget) -> Result<CandidateTarget, NoNight> {
        candidate.at = (self.slots.iter())
            .map(|slot| self.stands(&candidate, *slot))
            .collect::<Result<_, _>>()?;
        Ok(candidate)
    }

    fn stands(
        &self,
        candidate: &CandidateTarget,
        slot: TimeSpan,
    ) -> Result<Option<Outlook>, NoNight> {
        if !candidate.is_clear(slot) {
            return Ok(None);
        }
        let outlook = self.watch.outlook_during(candidate.subject.clone(), slot)?;
        let altitude_deg = outlook.at_best.place().refracted_altitude_deg;
        let is_worth_it = candidate.subject.body().is_some()
            || candidate.is_wanted
            || LOWEST_BEYOND_DEG <= altitude_deg;
        // Its distance from the Sun was asked for the middle of the night.
        let is_safe = NEAR_SUN_DEG <= outlook.at_best.place().elongation_deg;
        Ok((is_worth_it && is_safe).then_some(outlook))
    }
}

/// Nearer together than this two clusters or galaxies are shown in one view: two lines for them would show the same, degrees.
/// Common practice, no source.
const ONE_VIEW_DEG: f64 = 0.8;

fn is_one_view(one: &Subject, other: &Subject) -> bool {
    let (Subject::Beyond(one @ Beyond::DeepSky(_)), Subject::Beyond(other @ Beyond::DeepSky(_))) =
        (one, other)
    else {
        return false;
    };
    let [one, other] = [one, other].map(|it| {
        let star = it.star();
        direction(star.right_ascension_deg, star.declination_deg)
    });
    angle_rad(one, other) < ONE_VIEW_DEG.to_radians()
}

impl CandidateTarget {
    /// Throughout the slot.
    fn is_clear(&self, slot: TimeSpan) -> bool {
        self.stretch(slot.from, slot.until).is_some()
    }

    /// The stretch that holds a turn from end to end.
    pub(super) fn stretch(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<&Stretch> {
        let holds =
            |stretch: &&Stretch| stretch.from + CLOSE <= from && until <= stretch.until - CLOSE;
        self.stretches.iter().find(holds)
    }

    /// The same for an answer.
    pub(super) fn limits(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<Limits> {
        self.stretch(from, until).map(|stretch| Limits {
            from: stretch.from,
            until: stretch.until,
            begins: stretch.begins,
            ends: stretch.ends,
        })
    }

    /// What keeps it out of all slots: whatever bounds the stretch nearest to them.
    fn shut_by(&self, slots: &[TimeSpan]) -> WhyNot {
        let (Some(first), Some(last)) = (slots.first(), slots.last()) else {
            return WhyNot::Skyline;
        };
        let before = self
            .stretches
            .iter()
            .rev()
            .find(|stretch| stretch.until <= last.until);
        let after = self
            .stretches
            .iter()
            .find(|stretch| first.from <= stretch.from);
        let edge = match (before, after) {
            (Some(before), _) => before.ends,
            (None, Some(after)) => after.begins,
            (None, None) => Edge::Skyline,
        };
        match edge {
            Edge::Twilight | Edge::BeforeSunrise => WhyNot::Sun,
            Edge::Skyline | Edge::TooLow | Edge::Noon => WhyNot::Skyline,
        }
    }
}
