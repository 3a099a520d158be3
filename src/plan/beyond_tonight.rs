//! Double stars, clusters, nebulae and galaxies of an evening: for the hours between planets and for
//! nights without any, and the pairs that try a mirror.

use std::sync::Arc;

use chrono::{DateTime, Utc};

use crate::optics::instrument::Instrument;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Outlook, Target};
use crate::plan::refusal::NoNight;
use crate::plan::time_span::utc;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::small_bodies::{Course, TooFar};
use crate::targets::beyond::{Beyond, beyond};
use crate::targets::deep_sky::DeepSkyKind;
use crate::targets::merit;
use crate::targets::small_bodies::small_bodies;
use crate::targets::subject::{Seen, Subject};
use crate::targets::verdict::{Airs, Grade, verdicts_on, visibilities_on};
use crate::workshop::Workshop;

/// An evening lasts so long after its first look, hours: nobody who came at dusk stays longer.
const EVENING_H: f64 = 5.0;

/// Lower than this nothing beyond the planets is worth the trouble while so much stands higher, degrees.
const LOWEST_DEG: f64 = 25.0;

/// How many of each kind are listed beside a planet, and without any.
const BESIDE_PLANETS: Helping = Helping {
    pairs: 3,
    trials: 2,
    of_a_kind: 1,
};
const WITHOUT_PLANETS: Helping = Helping {
    pairs: 5,
    trials: 3,
    of_a_kind: 2,
};

/// How many asteroids and comets are listed.
const SMALL_BODIES: usize = 2;

struct Helping {
    /// Doubles that anybody sees parted.
    pairs: usize,
    /// Doubles on the edge of what the telescope parts: they try mirror, air and eye.
    trials: usize,
    /// Open clusters, globulars, nebulae, ...: of each.
    of_a_kind: usize,
}

/// What an evening has beyond the planets, shared by all telescopes.
pub(super) struct BeyondTonight {
    until: DateTime<Utc>,
    /// In the order of the tables, which puts the showpieces first; then small bodies, the brightest first.
    outlooks: Vec<Outlook>,
    /// Small bodies whose elements no longer say where they are.
    pub(super) too_far: Vec<TooFar>,
}

impl BeyondTonight {
    /// Empty where the Sun does not go down far enough.
    pub(super) fn of(watch: &Watch, workshop: &Workshop) -> Result<BeyondTonight, NoNight> {
        let (courses, too_far) = courses(watch, workshop);
        let Some(evening) = watch.evening(EVENING_H) else {
            return Ok(BeyondTonight {
                until: utc(watch.middle()),
                outlooks: Vec::new(),
                too_far,
            });
        };
        let among_stars = beyond().map(Subject::Beyond);
        let small = courses.into_iter().map(|it| Subject::Small(Arc::new(it)));
        let mut outlooks = Vec::new();
        for subject in among_stars.chain(small) {
            let outlook = watch.outlook_within(evening, subject, false)?;
            let is_high =
                |outlook: &Outlook| LOWEST_DEG <= outlook.at_best.place().refracted_altitude_deg;
            outlooks.extend(outlook.ok().filter(is_high));
        }
        // Stars keep their order: the sort is stable.
        outlooks.sort_by(|a: &Outlook, b| small_magnitude(a).total_cmp(&small_magnitude(b)));
        Ok(BeyondTonight {
            until: utc(evening.until_tt_days),
            outlooks,
            too_far,
        })
    }

    /// What one telescope is given beside its planets.
    pub(super) fn targets(
        &self,
        instrument: &Instrument,
        planets: &[Target],
        onlooker: &Onlooker,
    ) -> Vec<Target> {
        let mut graded: Vec<Graded> = (self.outlooks.iter())
            .filter_map(|outlook| Graded::of(instrument, outlook, onlooker))
            .collect();
        // Of equal merit the brighter first.
        let magnitude = |it: &Graded| it.outlook.at_best.magnitude();
        graded.sort_by(|a, b| {
            let by_merit = b.merit.total_cmp(&a.merit);
            by_merit.then(magnitude(a).total_cmp(&magnitude(b)))
        });
        let helping = if planets.iter().any(|planet| self.shows(planet)) {
            BESIDE_PLANETS
        } else {
            WITHOUT_PLANETS
        };
        (chosen(&graded, &helping).into_iter())
            .map(|outlook| Target {
                verdicts: verdicts_on(instrument, &outlook.look(onlooker), &outlook.asked),
                outlook: outlook.clone(),
            })
            .collect()
    }

    /// Whether it is one of those that make an evening, and up in this one.
    fn shows(&self, planet: &Target) -> bool {
        let makes_an_evening = matches!(
            planet.outlook.subject().body(),
            Some(Body::Moon | Body::Mars | Body::Jupiter | Body::Saturn)
        );
        makes_an_evening && planet.outlook.stretches[0].from < self.until
    }
}

/// The ways of all small bodies that anybody could look for; and those that cannot be placed any more.
fn courses(watch: &Watch, workshop: &Workshop) -> (Vec<Course>, Vec<TooFar>) {
    let mut courses = Vec::new();
    let mut too_far = Vec::new();
    for body in small_bodies(workshop) {
        match watch.course(&body) {
            Ok(course) => courses.push(course),
            Err(why) => too_far.push(why),
        }
    }
    (courses, too_far)
}

/// Puts small bodies behind everything else, the brightest first.
fn small_magnitude(outlook: &Outlook) -> f64 {
    match &outlook.at_best {
        Seen::Small(_, seen) => seen.magnitude,
        _ => f64::NEG_INFINITY,
    }
}

/// What an outlook counts as when helpings are dealt out.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Sort {
    Pair,
    DeepSky(DeepSkyKind),
    Small,
    Planet,
}

impl Sort {
    fn of(outlook: &Outlook) -> Sort {
        match &outlook.at_best {
            Seen::Beyond(Beyond::Double(_), _) => Sort::Pair,
            Seen::Beyond(Beyond::DeepSky(object), _) => Sort::DeepSky(object.kind),
            Seen::Small(..) => Sort::Small,
            Seen::Body(_) => Sort::Planet,
        }
    }
}

/// An outlook with the best grade of what can be asked of it, and what it is worth.
struct Graded<'a> {
    outlook: &'a Outlook,
    typical: Grade,
    merit: f64,
    sort: Sort,
}

impl<'a> Graded<'a> {
    fn of(
        instrument: &Instrument,
        outlook: &'a Outlook,
        onlooker: &Onlooker,
    ) -> Option<Graded<'a>> {
        let look = outlook.look(onlooker);
        let seen = visibilities_on(instrument, &look, &outlook.asked, Airs::Typical).concat();
        let best = seen.iter().copied().reduce(f64::max)?;
        Some(Graded {
            outlook,
            typical: Grade::of_visibility(best),
            merit: merit::to_visitors(instrument, &outlook.subject(), seen).all,
            sort: Sort::of(outlook),
        })
    }
}

fn chosen<'a>(graded: &[Graded<'a>], helping: &Helping) -> Vec<&'a Outlook> {
    let mut chosen = Vec::new();
    let mut take = |n: usize, wanted: &dyn Fn(&&Graded) -> bool| {
        let fitting = graded.iter().filter(wanted).take(n);
        chosen.extend(fitting.map(|graded| graded.outlook));
    };
    take(helping.pairs, &|pair| {
        pair.sort == Sort::Pair && pair.typical == Grade::Plain
    });
    take(helping.trials, &|pair| {
        pair.sort == Sort::Pair && matches!(pair.typical, Grade::Patient | Grade::Fleeting)
    });
    for kind in DeepSkyKind::ALL {
        take(helping.of_a_kind, &|object| {
            object.sort == Sort::DeepSky(kind) && Grade::Patient <= object.typical
        });
    }
    take(SMALL_BODIES, &|small| {
        small.sort == Sort::Small && Grade::Patient <= small.typical
    });
    chosen
}
