//! What a look is worth to visitors: the grades of its details in typical air, with falling returns.

use crate::optics::instrument::Instrument;
use crate::plan::night::Outlook;
use crate::plan::session::crew::Member;
use crate::plan::session::crew::SEATED_EYE_M;
use crate::plan::watch::Onlooker;
use crate::sky::Body;
use crate::targets::subject::Subject;
use crate::targets::verdict::Grade;
use crate::targets::verdict::grades_on;
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

/// Fainter than this, somebody new does not find it: it hides from the naked eye under a town's sky. Common practice, no
/// source.
const FOUND_BY_ANYBODY_MAG: f64 = 4.5;

/// How much more a bright target among the stars pleases than a faint one that shows as surely: a factor that falls by this
/// with each magnitude from [`WELCOME_AT_0_MAG`]. The project's own choice: Pleiades 1.1, Albireo 1.0, faint clusters 0.7.
const WELCOME_PER_MAG: f64 = 0.06;
const WELCOME_AT_0_MAG: f64 = 1.15;

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
    let sum = |grades: &[Grade]| {
        let details = grades.iter().rev();
        // From the least: each sum falls by the share that the better one before leaves it.
        details.fold(0.0, |sum, grade| points_of(*grade) + FALLING * sum)
    };
    let n_plain = typical.partition_point(|grade| *grade == Grade::Plain);
    if typical.first().is_none_or(|best| *best < Grade::Patient) {
        return Points::NONE;
    }
    let welcome = welcome(outlook);
    Points {
        all: welcome * sum(&typical),
        plain: welcome * sum(&typical[..n_plain]),
    }
}

/// Of what nobody would cross the terrace for.
const LEAST_WELCOME: f64 = 0.4;

fn welcome(outlook: &Outlook) -> f64 {
    match outlook.subject() {
        Subject::Body(_) => 1.0,
        // A star that moves is for whoever comes back an hour later.
        Subject::Small(_) => LEAST_WELCOME,
        Subject::Beyond(there) => (WELCOME_AT_0_MAG - WELCOME_PER_MAG * there.magnitude())
            .clamp(LEAST_WELCOME, WELCOME_AT_0_MAG),
    }
}

/// Whether whoever stands at the telescope finds it.
pub(super) fn is_found(member: &Member, outlook: &Outlook) -> bool {
    let is_bright = outlook.at_best.magnitude() <= FOUND_BY_ANYBODY_MAG;
    is_bright || member.telescope.stand.helper == Helper::Practised
}

/// What the points are worth on that telescope: less where the right eyes do not reach the eyepiece.
pub(super) fn worth(member: &Member, outlook: &Outlook, points: Points, for_children: bool) -> f64 {
    let height_m = member.height_m(outlook.at_best.refracted_altitude_deg());
    let seated = match height_m {
        Some(height_m) if member.is_low && !is_seated(height_m) => OUT_OF_REACH,
        _ => 1.0,
    };
    if !for_children && !member.telescope.stand.for_children {
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
