//! What an evening is worth: points that add up, each with its reason.
//!
//! All weights are common practice of public evenings and star tests, no source: they order evenings,
//! they measure nothing. What a detail of each grade is worth stands in [`crate::targets::merit`].

use chrono::NaiveTime;

use crate::plan::dates::answer::Points;
use crate::plan::dates::ask::Audience;
use crate::plan::dates::evening::{Dark, MoonThen, Term, TermKind};
use crate::targets::grade::{PATIENT_FROM, PLAIN_FROM};
use crate::targets::merit;

/// Points of one detail of a planet that any visitor just sees, the unit of [`merit`](crate::targets::merit). Who comes for one thing has all of
/// its worth; the public has many beside each other, and Moon and twilight keep their weight among them.
pub fn points_of_a_detail(audience: &Audience) -> f64 {
    match audience {
        Audience::Public => 1.0,
        Audience::FigureTest | Audience::OwnList(_) => 2.0,
    }
}

/// The same where the grades begin.
pub fn points(audience: &Audience) -> Points {
    let of =
        |visibility: f64| points_of_a_detail(audience) * merit::of_ln_visibility(visibility.ln());
    Points {
        plain: of(PLAIN_FROM),
        patient: of(PATIENT_FROM),
        ten_times_plain: of(10.0 * PLAIN_FROM),
        further_share: merit::FALLING,
    }
}

/// When children go: what is dark before is dark for them.
pub const CHILDRENS_BEDTIME: NaiveTime = NaiveTime::from_hms_opt(21, 0, 0).expect("a time");

/// What darkness is worth, all of it missing.
const DARKNESS_POINTS: f64 = 4.0;

/// What an hour of darkness before bedtime is worth.
const BEDTIME_POINTS: f64 = 3.0;

/// What long shadows all along the Moon's terminator are worth, beside the details that the full Moon has too.
const TERMINATOR_POINTS: f64 = 6.0;

/// What a nearly full Moon takes: flat and dazzling, and no shadow on it.
const FULL_MOON_POINTS: f64 = 3.0;

/// Shares of a Moon's disc from which it begins to dazzle, and does.
const DAZZLES_LIT: [f64; 2] = [0.80, 0.95];

/// What the Moon wholly in the Earth's shadow brings: the whole town comes.
const ECLIPSE_POINTS: f64 = 12.0;

/// Any bite out of the Moon draws people; a slight shading does not.
const BITE_POINTS: f64 = 3.0;

/// What a bright star or a planet brings that goes behind the Moon: a moment, but one that everybody sees.
const OCCULTATION_POINTS: f64 = 2.0;

/// Of stars behind the Moon those to the first magnitude are a sight for all, from the second on for few.
const OCCULTED_MAG: [f64; 2] = [2.5, 5.0];

/// What two bodies close beside each other bring.
const PAIRING_POINTS: f64 = 2.0;

/// Nearer than the first they share a field, farther than the second they are just neighbours, degrees.
const PAIRING_DEG: [f64; 2] = [1.0, 5.0];

/// The public needs so long for a look each at what shows: a longer time counts with falling weight.
const LOOK_EACH_MINUTES: f64 = 30.0;

/// A usual public evening, through which what shows counts in full.
const USUAL_EVENING_MINUTES: f64 = 180.0;

/// What would be printed as nought is none.
const LEAST_POINTS: f64 = 0.05;

/// As long as everybody needs for a look before bedtime.
const BEFORE_BEDTIME_MINUTES: f64 = 60.0;

/// Shares of a Moon's disc between which shadows begin to be a sight, are at their best, and are gone.
const TERMINATOR_LIT: [f64; 4] = [0.10, 0.30, 0.65, 0.90];

/// A Moon lower than the first is behind trees and heads, higher than the second stands free, degrees.
const MOON_FREE_DEG: [f64; 2] = [10.0, 25.0];

/// Lower than the first the air, not the mirror, is tried; from the second on it is the mirror, degrees.
const MIRROR_TRIED_DEG: [f64; 2] = [20.0, 45.0];

/// What an eclipse of the Moon brings with that part of its width in the umbra, 0 to 1.
pub(super) fn eclipse_points(covered: f64) -> f64 {
    if covered <= 0.0 {
        return 0.0;
    }
    BITE_POINTS + (ECLIPSE_POINTS - BITE_POINTS) * covered
}

/// What a star of that magnitude brings that goes or comes at the Moon's edge; planets count as bright.
pub(super) fn occultation_points(magnitude: f64) -> f64 {
    OCCULTATION_POINTS * (1.0 - ramp(magnitude, OCCULTED_MAG[0], OCCULTED_MAG[1]))
}

/// What two bodies so far apart bring.
pub(super) fn pairing_points(apart_deg: f64) -> f64 {
    PAIRING_POINTS * (1.0 - ramp(apart_deg, PAIRING_DEG[0], PAIRING_DEG[1]))
}

/// What is left of the points of something that shows so many minutes of the hours: a line of people needs its time; who
/// comes for one thing looks as long as it shows; a mirror is tried in a moment.
pub(super) fn time_for_all(audience: &Audience, minutes: f64, of_minutes: f64) -> f64 {
    let of_looks = |minutes: f64| merit::with_falling_weight(minutes / LOOK_EACH_MINUTES);
    match audience {
        Audience::Public => of_looks(minutes) / of_looks(USUAL_EVENING_MINUTES),
        Audience::OwnList(_) => minutes / of_minutes,
        Audience::FigureTest => 1.0,
    }
}

/// How far a mirror is tried at that height, 0 to 1.
pub(super) fn mirror_tried(altitude_deg: f64) -> f64 {
    ramp(altitude_deg, MIRROR_TRIED_DEG[0], MIRROR_TRIED_DEG[1])
}

/// What adds or takes points beside what shows, which bring `shown_points`. Twilight takes no more than there is; from who
/// comes for one thing it takes only what it takes of that.
pub(super) fn terms(
    audience: &Audience,
    shown_points: f64,
    (moon, dark, minutes): (&MoonThen, &Dark, f64),
) -> Vec<Term> {
    if matches!(audience, Audience::OwnList(_)) {
        return Vec::new();
    }
    let is_public = *audience == Audience::Public;
    let terminator = if is_public { terminator(moon) } else { 0.0 };
    let mut left = shown_points + terminator;
    let mut take = |points: f64| {
        let taken = points.min(left);
        left -= taken;
        -taken
    };
    let full_moon = take(if is_public { dazzle(moon) } else { 0.0 });
    let twilight = take(DARKNESS_POINTS * (1.0 - dark.minutes / minutes).clamp(0.0, 1.0));
    let bedtime = match dark.minutes_before_bedtime {
        Some(minutes) if is_public => {
            take(BEDTIME_POINTS * (1.0 - minutes / BEFORE_BEDTIME_MINUTES).clamp(0.0, 1.0))
        }
        _ => 0.0,
    };
    [
        (TermKind::Terminator, terminator),
        (TermKind::FullMoon, full_moon),
        (TermKind::Twilight, twilight),
        (TermKind::Bedtime, bedtime),
    ]
    .into_iter()
    .map(|(kind, points)| Term { kind, points })
    .filter(|term| LEAST_POINTS <= term.points.abs())
    .collect()
}

fn terminator(moon: &MoonThen) -> f64 {
    let Some(altitude_deg) = moon.altitude_deg else {
        return 0.0;
    };
    let [none, good, still_good, gone] = TERMINATOR_LIT;
    let shadows = ramp(moon.lit, none, good) * (1.0 - ramp(moon.lit, still_good, gone));
    TERMINATOR_POINTS * shadows * ramp(altitude_deg, MOON_FREE_DEG[0], MOON_FREE_DEG[1])
}

/// What a full Moon takes, where it is to be seen at all and not in the Earth's shadow.
fn dazzle(moon: &MoonThen) -> f64 {
    if moon.altitude_deg.is_none() || moon.is_eclipsed {
        return 0.0;
    }
    FULL_MOON_POINTS * ramp(moon.lit, DAZZLES_LIT[0], DAZZLES_LIT[1])
}

fn ramp(value: f64, none: f64, all: f64) -> f64 {
    ((value - none) / (all - none)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_draws_people_is_worth_more_the_rarer_it_is() {
        assert_eq!(eclipse_points(0.0), 0.0);
        assert_eq!(eclipse_points(1.0), 12.0);
        assert!(BITE_POINTS < eclipse_points(0.1));
        assert_eq!(occultation_points(0.9), 2.0);
        assert_eq!(occultation_points(5.0), 0.0);
        assert_eq!(pairing_points(0.5), 2.0);
        assert_eq!(pairing_points(3.0), 1.0);
        let time = |minutes| time_for_all(&Audience::Public, minutes, 240.0);
        assert_eq!(time(180.0), 1.0);
        // In full to half an hour, then ever less: 1 + ln 2 looks each in an hour, 1 + ln 6 in three.
        assert_eq!(time(15.0), 0.5 * time(30.0));
        assert!((time(60.0) / time(30.0) - 1.693).abs() < 0.001);
        assert_eq!(time_for_all(&Audience::FigureTest, 15.0, 240.0), 1.0);
        assert_eq!(
            time_for_all(&Audience::OwnList(Vec::new()), 60.0, 240.0),
            0.25
        );
    }

    #[test]
    fn twilight_takes_no_more_than_there_is() {
        let moon = MoonThen {
            lit: 0.7,
            altitude_deg: None,
            lit_on_right: true,
            is_eclipsed: false,
        };
        let day = Dark {
            from: None,
            minutes: 0.0,
            minutes_before_bedtime: Some(0.0),
        };
        let taken = |shown| -> f64 {
            let terms = terms(&Audience::Public, shown, (&moon, &day, 180.0));
            terms.iter().map(|term| term.points).sum()
        };
        assert_eq!(taken(20.0), -7.0);
        assert_eq!(taken(5.0), -5.0);
        assert_eq!(taken(0.0), 0.0);
    }

    #[test]
    fn shadows_are_best_about_first_quarter() {
        let moon = |lit, altitude_deg, is_eclipsed| MoonThen {
            lit,
            altitude_deg,
            lit_on_right: true,
            is_eclipsed,
        };
        let at = |lit, altitude_deg| terminator(&moon(lit, altitude_deg, false));
        assert_eq!(at(0.5, Some(40.0)), 6.0);
        assert_eq!(at(1.0, Some(40.0)), 0.0);
        assert_eq!(at(0.02, Some(40.0)), 0.0);
        assert_eq!(at(0.5, None), 0.0);
        assert!(at(0.5, Some(12.0)) < at(0.5, Some(20.0)));
        assert_eq!(dazzle(&moon(1.0, Some(40.0), false)), 3.0);
        assert_eq!(dazzle(&moon(1.0, Some(40.0), true)), 0.0);
        assert_eq!(dazzle(&moon(1.0, None, false)), 0.0);
        assert_eq!(dazzle(&moon(0.6, Some(40.0), false)), 0.0);
    }
}
