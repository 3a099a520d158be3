//! What a look is worth to visitors: the grades of its details in typical air, with falling returns.

use crate::optics::instrument::Instrument;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::session::telescopes::{EveningTelescope, SEATED_EYE_M};
use crate::sky::Body;
use crate::targets::appeal::{Appeal, appeal};
use crate::targets::beyond::Beyond;
use crate::targets::subject::Subject;
use crate::targets::verdict::{Grade, grades_on};
use crate::workshop::Helper;

/// Points of a detail by its grade in typical air. The project's own choice: what any visitor sees counts twice what takes a
/// quiet minute, which nobody in a line has.
fn points_of(grade: Grade) -> f64 {
    match grade {
        Grade::Plain => 100.0,
        Grade::Patient => 50.0,
        Grade::Fleeting => 10.0,
        Grade::Beyond => 0.0,
    }
}

/// Each further detail counts so much of the one before: a fifth crater adds little. The project's own choice.
const FALLING: f64 = 0.7;

/// Stars and glow of one cluster are one sight. The project's own choice.
const FALLING_BEYOND: f64 = 0.2;

/// Fainter than this, somebody new does not find it: it hides from the naked eye under a town's sky. Common practice, no
/// source.
const FOUND_BY_ANYBODY_MAG: f64 = 4.5;

/// How welcome a target beyond the planets is. The project's own choice: the Orion Nebula, all there is to it one glow, comes
/// to one and a half plain details of a planet.
fn welcome_of(appeal: Appeal) -> f64 {
    match appeal {
        Appeal::Everybody => 1.5,
        Appeal::Most => 1.0,
        Appeal::Connoisseurs => 0.6,
    }
}

/// A target out of a seated eye's reach is kept for when there is nothing else.
const OUT_OF_REACH: f64 = 0.15;

/// Eyepieces up to here are within a child's reach from a low step, m; farther up they count less.
const LOW_FOR_A_CHILD_M: f64 = 1.25;
const HIGH_FOR_A_CHILD_M: f64 = 1.55;

/// What one look shows, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Points {
    /// Of all details; 0 where nothing is at least patient.
    pub(super) all: f64,
    /// Of the plain ones alone; 0 where none is plain.
    pub(super) plain: f64,
}

impl Points {
    /// Nothing to see.
    pub(super) const NONE: Points = Points {
        all: 0.0,
        plain: 0.0,
    };
}

/// Of one look through one telescope.
pub(super) fn points(instrument: &Instrument, outlook: &Outlook, onlooker: &Onlooker) -> Points {
    let grades = grades_on(instrument, &outlook.look(onlooker), &outlook.asked);
    let mut typical: Vec<Grade> = grades
        .into_iter()
        .flatten()
        .map(|grade| grade.typical)
        .collect();
    typical.sort_by(|a, b| b.cmp(a));
    let falling = match outlook.subject() {
        Subject::Beyond(_) => FALLING_BEYOND,
        _ => FALLING,
    };
    let sum = |grades: &[Grade]| {
        let details = grades.iter().rev();
        // From the least: each sum falls by the share that the better one before leaves it.
        details.fold(0.0, |sum, grade| points_of(*grade) + falling * sum)
    };
    let n_plain = typical.partition_point(|grade| *grade == Grade::Plain);
    if typical.first().is_none_or(|best| *best < Grade::Patient) {
        return Points::NONE;
    }
    let welcome = welcome(outlook) * finer(instrument, outlook.subject());
    Points {
        all: welcome * sum(&typical),
        plain: welcome * sum(&typical[..n_plain]),
    }
}

/// Everybody has heard of them, and asks for them.
const WELCOME_OF_FAMOUS: f64 = 1.25;

/// A small disc, for those who know how far it is.
const WELCOME_OF_OTHERS: f64 = 0.7;

/// Of a star that moves, which is for whoever comes back an hour later.
const WELCOME_OF_ASTEROIDS: f64 = 0.4;

fn welcome(outlook: &Outlook) -> f64 {
    match outlook.subject() {
        Subject::Body(Body::Moon | Body::Venus | Body::Mars | Body::Jupiter | Body::Saturn) => {
            WELCOME_OF_FAMOUS
        }
        Subject::Body(_) => WELCOME_OF_OTHERS,
        Subject::Small(_) => WELCOME_OF_ASTEROIDS,
        Subject::Beyond(there) => welcome_of(appeal(there.id())),
    }
}

/// Whether whoever stands at the telescope finds it.
pub(super) fn is_found(scope: &EveningTelescope, outlook: &Outlook) -> bool {
    let is_bright = outlook.at_best.magnitude() <= FOUND_BY_ANYBODY_MAG;
    is_bright || scope.telescope.stand.helper == Helper::Practised
}

/// Who of several that show it as surely shows it finer: a glow the larger mirror, a pair the longer focal ratio. Small, as a
/// grade counts for more. Common practice, no source; the figures are the project's own choice.
fn finer(instrument: &Instrument, subject: Subject) -> f64 {
    match subject {
        Subject::Beyond(Beyond::DeepSky(_)) => {
            1.0 + 0.1 * (instrument.aperture_mm / USUAL_APERTURE_MM).log2()
        }
        Subject::Beyond(Beyond::Double(_)) => {
            1.0 + 0.02 * (instrument.focal_ratio - USUAL_FOCAL_RATIO)
        }
        _ => 1.0,
    }
}

const USUAL_APERTURE_MM: f64 = 150.0;
const USUAL_FOCAL_RATIO: f64 = 6.0;

/// What the points are worth on that telescope: less where the right eyes do not reach the eyepiece.
pub(super) fn worth(
    scope: &EveningTelescope,
    outlook: &Outlook,
    points: Points,
    for_children: bool,
) -> f64 {
    let height_m = scope.height_m(outlook.at_best.refracted_altitude_deg());
    let seated = match height_m {
        Some(height_m) if scope.is_low && !is_seated(height_m) => OUT_OF_REACH,
        _ => 1.0,
    };
    if !for_children && !scope.telescope.stand.for_children {
        return seated * points.all;
    }
    let reach = match height_m {
        Some(height_m) if HIGH_FOR_A_CHILD_M < height_m => 0.4,
        Some(height_m) if LOW_FOR_A_CHILD_M < height_m => 0.7,
        _ => 1.0,
    };
    // What is not plain is still better than an idle telescope.
    seated * reach * (0.8 * points.plain + 0.2 * points.all)
}

/// Whether a seated eye reaches an eyepiece at that height.
pub(super) fn is_seated(height_m: f64) -> bool {
    SEATED_EYE_M.0 <= height_m && height_m <= SEATED_EYE_M.1
}

/// Whether it is at its best with power: the planets, which a mirror for low power does not do justice.
pub(super) fn is_planet(subject: Subject) -> bool {
    subject.body().is_some_and(|body| body != Body::Moon)
}
