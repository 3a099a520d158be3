//! What a look is worth, by the grades of its details in typical air: one scale for choosing an evening, for running it and
//! for what a night adds beyond the planets.
//!
//! The unit is one plain detail of a planet. All of it is the project's own choice, no source: it orders what there is and
//! measures nothing. What any visitor sees counts twice what takes a quiet minute, which nobody in a line has; further
//! details add less and less; what people love counts more than what only those who know enjoy.

use crate::optics::instrument::Instrument;
use crate::sky::Body;
use crate::targets::appeal::{Appeal, appeal};
use crate::targets::beyond::Beyond;
use crate::targets::grade::Grade;
use crate::targets::subject::Subject;

/// What one look is worth to visitors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Merit {
    /// By all details; 0 where nothing is at least patient.
    pub all: f64,
    /// By the plain ones alone; 0 where none is plain.
    pub plain: f64,
}

impl Merit {
    /// With so much more of what any visitor sees.
    pub fn raised(self, by: f64) -> Merit {
        Merit {
            all: self.all + by,
            plain: self.plain + by,
        }
    }

    /// Nothing to see.
    pub const NONE: Merit = Merit {
        all: 0.0,
        plain: 0.0,
    };
}

/// Of a detail of that grade.
pub fn of_detail(grade: Grade) -> f64 {
    match grade {
        Grade::Plain => 1.0,
        Grade::Patient => 0.5,
        Grade::Fleeting => 0.1,
        Grade::Beyond => 0.0,
    }
}

/// Each further detail of a body counts so much of the one before: a fifth crater adds little.
pub const FALLING: f64 = 0.7;

/// Stars and glow of one cluster are one sight.
const FALLING_BEYOND: f64 = 0.2;

fn falling(subject: &Subject) -> f64 {
    match subject {
        Subject::Beyond(_) => FALLING_BEYOND,
        _ => FALLING,
    }
}

/// Of all details of a subject together, for whoever came for them: no look at what pleases whom.
pub fn of_details(subject: &Subject, mut grades: Vec<Grade>) -> f64 {
    grades.sort_by(|a, b| b.cmp(a));
    falling_sum(&grades, falling(subject))
}

/// Of grades, best first.
fn falling_sum(grades: &[Grade], falling: f64) -> f64 {
    // From the least: each sum falls by the share that the better one before leaves it.
    (grades.iter().rev()).fold(0.0, |sum, grade| of_detail(*grade) + falling * sum)
}

/// Of one look through one telescope, to visitors.
pub fn to_visitors(instrument: &Instrument, subject: &Subject, mut grades: Vec<Grade>) -> Merit {
    grades.sort_by(|a, b| b.cmp(a));
    if grades.first().is_none_or(|best| *best < Grade::Patient) {
        return Merit::NONE;
    }
    let n_plain = grades.partition_point(|grade| *grade == Grade::Plain);
    let welcome = welcome(subject) * finer(instrument, subject);
    let falling = falling(subject);
    Merit {
        all: welcome * falling_sum(&grades, falling),
        plain: welcome * falling_sum(&grades[..n_plain], falling),
    }
}

/// The most that so many details of something beyond the planets can be worth to visitors, the best of these telescopes
/// taken.
pub fn most_to_visitors(instruments: &[Instrument], there: Beyond, n_details: usize) -> f64 {
    let subject = Subject::Beyond(there);
    let finest = (instruments.iter()).map(|instrument| finer(instrument, &subject));
    let all_plain = vec![Grade::Plain; n_details];
    welcome(&subject) * finest.fold(0.0, f64::max) * falling_sum(&all_plain, FALLING_BEYOND)
}

/// Everybody has heard of them, and asks for them.
const WELCOME_OF_FAMOUS: f64 = 1.25;

/// A small disc, for those who know how far it is.
const WELCOME_OF_OTHERS: f64 = 0.7;

/// A star that moves is for whoever comes back an hour later.
const WELCOME_OF_ASTEROIDS: f64 = 0.4;

/// How welcome a target is. The Orion Nebula, all there is to it one glow, comes to one and a half plain details of a planet.
pub fn welcome(subject: &Subject) -> f64 {
    match subject {
        Subject::Body(Body::Moon | Body::Venus | Body::Mars | Body::Jupiter | Body::Saturn) => {
            WELCOME_OF_FAMOUS
        }
        Subject::Body(_) => WELCOME_OF_OTHERS,
        Subject::Small(_) => WELCOME_OF_ASTEROIDS,
        Subject::Beyond(there) => match appeal(there.id()) {
            Appeal::Everybody => 1.5,
            Appeal::Most => 1.0,
            Appeal::Connoisseurs => 0.6,
        },
    }
}

/// Who of several that show it as surely shows it finer: a glow the larger mirror, a pair the longer focal ratio. Small, as a
/// grade counts for more.
fn finer(instrument: &Instrument, subject: &Subject) -> f64 {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_further_detail_adds_less() {
        let jupiter = Subject::Body(Body::Jupiter);
        let of = |grades: &[Grade]| of_details(&jupiter, grades.to_vec());
        assert_eq!(of(&[]), 0.0);
        assert_eq!(of(&[Grade::Plain]), 1.0);
        // 1 + 0.7 (1 + 0.7 * 0.5), in whatever order they come.
        let three = of(&[Grade::Patient, Grade::Plain, Grade::Plain]);
        assert!((three - 1.945).abs() < 1e-12, "{three}");
        assert!(of(&[Grade::Plain; 40]) < 1.0 / (1.0 - FALLING));
    }

    #[test]
    fn moments_alone_are_nothing_to_visitors() {
        let workshop = crate::workshop::example();
        let on = "2027-02-12".parse().unwrap();
        let instrument = Instrument::of(&workshop, &workshop.telescopes[1], on).unwrap();
        let saturn = Subject::Body(Body::Saturn);
        let of = |grades: &[Grade]| to_visitors(&instrument, &saturn, grades.to_vec());
        assert_eq!(of(&[Grade::Fleeting; 5]), Merit::NONE);
        let ring_and_gap = of(&[Grade::Plain, Grade::Fleeting]);
        assert_eq!(ring_and_gap.plain, 1.25);
        assert!((ring_and_gap.all - 1.25 * 1.07).abs() < 1e-12);
        assert_eq!(of_details(&saturn, vec![Grade::Fleeting]), 0.1);
    }
}
