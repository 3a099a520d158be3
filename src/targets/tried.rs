//! What would have to be otherwise for one detail's grade to change: each condition of the look moved by itself, through
//! the same chain, until the grade does.

use std::ops::RangeInclusive;

use crate::optics::instrument::Instrument;
use crate::sky::air::{airmass, refracted_altitude_deg};
use crate::sky::{Appearance, Body, Face};
use crate::targets::aimed::{Aimed, in_use};
use crate::targets::details::Detail;
use crate::targets::grade::{FLEETING_FROM, Grade, PATIENT_FROM, PLAIN_FROM, ThreeAirs};
use crate::targets::look::Look;
use crate::targets::sight::{Sight, Today};
use crate::targets::today::today;

/// A condition of the look that can be otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// FWHM at the zenith, arcseconds.
    Seeing,
    /// As it appears, degrees.
    Altitude,
    /// Of Saturn's ring toward us, degrees.
    RingOpening,
    /// Of the disc, arcseconds.
    Diameter,
    /// Toward it, V mag/arcsec²: town, Moon and twilight.
    Sky,
}

/// One condition moved by itself, all else as it is, in typical air.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Which.
    pub condition: Condition,
    /// As it is.
    pub now: f64,
    /// As far as it was moved: what occurs.
    pub within: RangeInclusive<f64>,
    /// Where the next better grade begins; `None` where it does not.
    pub better: Option<GradeTurn>,
    /// Where the next worse one begins; `None` where it does not.
    pub worse: Option<GradeTurn>,
}

/// Where a grade begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GradeTurn {
    /// Of the condition.
    pub at: f64,
    /// From there on.
    pub grade: Grade,
}

/// Each halves the doubt: to a thousandth of the way.
const HALVINGS: usize = 10;

/// All conditions that mean something for it. `detail`: its row, if it is of a body.
pub(super) fn tried(
    instrument: &Instrument,
    look: &Look,
    detail: Option<&Detail>,
    today: &Today,
) -> Vec<Tried> {
    let question = Question {
        instrument,
        look,
        detail,
        today,
    };
    let conditions = [
        Condition::Seeing,
        Condition::Altitude,
        Condition::RingOpening,
        Condition::Diameter,
        Condition::Sky,
    ];
    (conditions.into_iter())
        .filter_map(|condition| question.tried(condition))
        .collect()
}

struct Question<'a> {
    instrument: &'a Instrument,
    look: &'a Look<'a>,
    detail: Option<&'a Detail>,
    today: &'a Today,
}

impl Question<'_> {
    /// `None` where the condition means nothing for it.
    fn tried(&self, condition: Condition) -> Option<Tried> {
        let now = self.now(condition)?;
        let (least, most) = self.occurring(condition)?;
        let within = least.min(now)..=most.max(now);
        let visibility = self.visibility_at(condition, now)?;
        let grade = Grade::of_visibility(visibility);
        let turn = |line: Option<f64>, grade: Option<Grade>| {
            let at = self.crossing(condition, now, &within, line?)?;
            Some(GradeTurn { at, grade: grade? })
        };
        let better = turn(from(grade.next_better()), grade.next_better());
        let worse = turn(from(Some(grade)), grade.next_worse());
        Some(Tried {
            condition,
            now,
            within,
            better,
            worse,
        })
    }

    fn now(&self, condition: Condition) -> Option<f64> {
        match condition {
            Condition::Seeing => Some(self.look.seeing_zenith_arcsec.typical),
            Condition::Altitude => Some(refracted_altitude_deg(self.look.altitude_deg, 0.0)),
            Condition::Sky => Some(self.look.sky_brightness_mag_arcsec2),
            Condition::RingOpening => {
                self.detail.filter(|it| it.shape.is_of_the_ring())?;
                match self.look.appearance?.face {
                    Face::Saturn {
                        ring_opening_earth_deg,
                        ..
                    } => Some(ring_opening_earth_deg.abs()),
                    _ => None,
                }
            }
            Condition::Diameter => {
                let is_marking = matches!(self.today.sight, Sight::Marking { .. });
                let seen = self.look.appearance.filter(|_| is_marking)?;
                self.detail.map(|_| seen.diameter_arcsec)
            }
        }
    }

    /// The least and the most of it that occur.
    fn occurring(&self, condition: Condition) -> Option<(f64, f64)> {
        match condition {
            Condition::Seeing => Some((0.4, 8.0)),
            Condition::Altitude => Some((5.0, 90.0)),
            Condition::RingOpening => Some((0.5, 27.0)),
            Condition::Sky => Some((8.0, 22.0)),
            Condition::Diameter => diameters_arcsec(self.look.appearance?.body),
        }
    }

    /// The nearer of the places on either side at which the visibility crosses a line.
    fn crossing(
        &self,
        condition: Condition,
        now: f64,
        within: &RangeInclusive<f64>,
        line: f64,
    ) -> Option<f64> {
        let is_above =
            |value: f64| Some(line <= self.visibility_at(condition, value).unwrap_or(0.0));
        let is_above_now = is_above(now)?;
        let toward = |end: f64| {
            if is_above(end)? == is_above_now {
                return None;
            }
            let (mut here, mut there) = (now, end);
            for _ in 0..HALVINGS {
                let middle = 0.5 * (here + there);
                if is_above(middle)? == is_above_now {
                    here = middle;
                } else {
                    there = middle;
                }
            }
            Some(there)
        };
        let ends = [*within.start(), *within.end()];
        (ends.into_iter().filter_map(toward))
            .min_by(|a, b| (a - now).abs().total_cmp(&(b - now).abs()))
    }

    /// In typical air with the best of the eyepieces; `None` where there is no such thing then.
    fn visibility_at(&self, condition: Condition, value: f64) -> Option<f64> {
        let mut look = *self.look;
        let mut seen = look.appearance.cloned();
        match condition {
            Condition::Seeing => {
                look.seeing_zenith_arcsec = ThreeAirs {
                    typical: value,
                    ..look.seeing_zenith_arcsec
                };
            }
            Condition::Altitude => look.airmass = airmass(value)?,
            Condition::Sky => look.sky_brightness_mag_arcsec2 = value,
            Condition::RingOpening => open_ring(seen.as_mut()?, value),
            Condition::Diameter => bring_nearer(seen.as_mut()?, value),
        }
        look.appearance = seen.as_ref();
        let today = match condition {
            Condition::RingOpening | Condition::Diameter => {
                today(self.detail?, seen.as_ref()?, &self.look.stated())?
            }
            _ => *self.today,
        };
        let aimed = Aimed::new(self.instrument, &look);
        Some(aimed.best(&in_use(aimed.typical()), &today))
    }
}

fn open_ring(seen: &mut Appearance, opening_deg: f64) {
    if let Face::Saturn {
        ring_opening_earth_deg,
        ..
    } = &mut seen.face
    {
        *ring_opening_earth_deg = opening_deg.copysign(*ring_opening_earth_deg);
    }
}

fn bring_nearer(seen: &mut Appearance, diameter_arcsec: f64) {
    let times = diameter_arcsec / seen.diameter_arcsec;
    seen.diameter_arcsec *= times;
    seen.distance_au /= times;
    seen.magnitude -= 5.0 * times.log10();
}

/// Of the disc, smallest and largest from the Earth, from the sizes and distances of the orbits.
fn diameters_arcsec(body: Body) -> Option<(f64, f64)> {
    match body {
        Body::Mercury => Some((4.5, 13.0)),
        Body::Venus => Some((9.7, 66.0)),
        Body::Mars => Some((3.5, 25.1)),
        Body::Jupiter => Some((29.8, 50.1)),
        Body::Saturn => Some((14.5, 20.9)),
        Body::Uranus => Some((3.3, 4.1)),
        Body::Neptune => Some((2.2, 2.4)),
        Body::Sun | Body::Moon => None,
    }
}

fn from(grade: Option<Grade>) -> Option<f64> {
    match grade? {
        Grade::Beyond => None,
        Grade::Fleeting => Some(FLEETING_FROM),
        Grade::Patient => Some(PATIENT_FROM),
        Grade::Plain => Some(PLAIN_FROM),
    }
}

impl Condition {
    /// As it stands in machine-readable output, its unit at the end.
    pub fn word(self) -> &'static str {
        match self {
            Condition::Seeing => "seeing_zenith_arcsec",
            Condition::Altitude => "refracted_altitude_deg",
            Condition::RingOpening => "ring_opening_deg",
            Condition::Diameter => "diameter_arcsec",
            Condition::Sky => "sky_brightness_mag_arcsec2",
        }
    }
}
