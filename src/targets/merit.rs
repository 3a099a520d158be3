//! What a look is worth, by how surely its details show in typical air: one scale for choosing an evening, for running it and
//! for what a night adds beyond the planets.
//!
//! The unit is one plain detail of a planet. All of it is the project's own choice, no source: it orders what there is and
//! measures nothing. What any visitor sees counts twice what takes a quiet minute, which nobody in a line has; further
//! details add less and less; what people love counts more than what only those who know enjoy.

use crate::optics::instrument::Instrument;
use crate::sky::Body;
use crate::targets::appeal::{Appeal, appeal};
use crate::targets::beyond::Beyond;
use crate::targets::grade::{PATIENT_FROM, PLAIN_FROM};
use crate::targets::subject::Subject;
use crate::units::ARCMIN_PER_DEG;

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

/// Of a detail by the natural logarithm of how far it stands above the threshold of seeing.
///
/// The grades lie at equal factors of that visibility, so that the scale is its logarithm: nothing at the threshold, half
/// where it takes a quiet minute, 1 where any visitor just sees it. What is surer still is finer to look at, with falling
/// weight.
pub fn of_ln_visibility(ln_visibility: f64) -> f64 {
    with_falling_weight(ln_visibility.max(0.0) / PLAIN_FROM.ln())
}

/// More than enough, which is 1, counts with falling weight: the next hundredth of what there is always as much.
pub fn with_falling_weight(amount: f64) -> f64 {
    if amount <= 1.0 {
        return amount;
    }
    1.0 + amount.ln()
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

/// Of all details of a subject together, by what each is worth alone: no look at what pleases whom.
pub fn of_details(subject: &Subject, mut each: Vec<f64>) -> f64 {
    each.sort_by(|a, b| b.total_cmp(a));
    falling_sum(&each, falling(subject))
}

/// Of what each is worth, best first.
fn falling_sum(each: &[f64], falling: f64) -> f64 {
    // From the least: each sum falls by the share that the better one before leaves it.
    (each.iter().rev()).fold(0.0, |sum, one| one + falling * sum)
}

/// Of one look through one telescope, to visitors: by how far each detail stands above a practised observer's threshold in
/// typical air.
pub fn to_visitors(instrument: &Instrument, subject: &Subject, mut seen: Vec<f64>) -> Merit {
    seen.sort_by(|a, b| b.total_cmp(a));
    if seen.first().is_none_or(|best| *best < PATIENT_FROM) {
        return Merit::NONE;
    }
    let n_plain = seen.partition_point(|visibility| PLAIN_FROM <= *visibility);
    let welcome = welcome(subject) * finer(instrument, subject);
    let falling = falling(subject);
    let each: Vec<f64> = (seen.into_iter())
        .map(|visibility| of_ln_visibility(visibility.ln()))
        .collect();
    Merit {
        all: welcome * falling_sum(&each, falling),
        plain: welcome * falling_sum(&each[..n_plain], falling),
    }
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
/// grade counts for more; but a wide cluster belongs where its field holds it.
fn finer(instrument: &Instrument, subject: &Subject) -> f64 {
    match subject {
        Subject::Beyond(Beyond::DeepSky(object)) => {
            let light = 1.0 + 0.1 * (instrument.aperture_mm / USUAL_APERTURE_MM).log2();
            light * share_in_view(instrument, object.seen_width().arcmin())
        }
        Subject::Beyond(Beyond::Double(_)) => {
            1.0 + 0.02 * (instrument.focal_ratio - USUAL_FOCAL_RATIO)
        }
        _ => 1.0,
    }
}

/// What is wider than the widest view is seen a part at a time: that part of its area.
fn share_in_view(instrument: &Instrument, wide_arcmin: f64) -> f64 {
    let views = instrument.views.iter();
    let widest_deg = views.map(|view| view.true_field_deg).fold(0.0, f64::max);
    (widest_deg * ARCMIN_PER_DEG / wide_arcmin).min(1.0).powi(2)
}

const USUAL_APERTURE_MM: f64 = 150.0;
const USUAL_FOCAL_RATIO: f64 = 6.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::grade::{FLEETING_FROM, PATIENT_FROM};

    #[test]
    fn a_further_detail_adds_less() {
        let jupiter = Subject::Body(Body::Jupiter);
        let of = |each: &[f64]| of_details(&jupiter, each.to_vec());
        assert_eq!(of(&[]), 0.0);
        assert_eq!(of(&[1.0]), 1.0);
        // 1 + 0.7 (1 + 0.7 * 0.5), in whatever order they come.
        let three = of(&[0.5, 1.0, 1.0]);
        assert!((three - 1.945).abs() < 1e-12, "{three}");
        assert!(of(&[1.0; 40]) < 1.0 / (1.0 - FALLING));
    }

    #[test]
    fn steps_and_scale_agree_where_a_grade_begins() {
        let of = |visibility: f64| of_ln_visibility(visibility.ln());
        assert_eq!(of(0.3), 0.0);
        assert_eq!(of(FLEETING_FROM), 0.0);
        assert!((of(PATIENT_FROM) - 0.5).abs() < 0.01);
        assert!((of(PLAIN_FROM) - 1.0).abs() < 1e-12);
        // Ten times as sure: half as much again, and a hundred times no twice that.
        assert!((1.4..1.6).contains(&of(5.0 * PATIENT_FROM)));
        assert!(of(100.0 * PLAIN_FROM) < 2.5);
        assert!((with_falling_weight(std::f64::consts::E) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn moments_alone_are_nothing_to_visitors() {
        let workshop = crate::workshop::example();
        let on = "2027-02-12".parse().unwrap();
        let instrument = Instrument::of(&workshop, &workshop.telescopes[1], on).unwrap();
        let saturn = Subject::Body(Body::Saturn);
        let of = |seen: &[f64]| to_visitors(&instrument, &saturn, seen.to_vec());
        assert_eq!(of(&[1.1 * FLEETING_FROM; 5]), Merit::NONE);
        let ring_and_gap = of(&[FLEETING_FROM, PLAIN_FROM, PATIENT_FROM]);
        assert!((ring_and_gap.plain - 1.25).abs() < 1e-12);
        assert!((ring_and_gap.all - 1.25 * 1.35).abs() < 0.01);
    }
}
