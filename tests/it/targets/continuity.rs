//! No promise jumps: a step of one part in a hundred in what the sky does moves no visibility by more than a tenth.
//!
//! Random walks along the opening of Saturn's ring, the diameter of a disc, the Sun's height over a place on the Moon and a
//! marking's way to the limb. Where a thing vanishes its logarithm has no bound, so that the way to the limb is stepped in
//! hundredths of what is left of it, and what is below [`FELT`] is not compared.

use rand_free::Draw;

use super::*;

/// Visibilities below this are beyond anybody's eye.
pub(super) const FELT: f64 = 0.3;

/// Nor what is many times plain: nobody could tell.
pub(super) const MORE_THAN_PLAIN: f64 = 10.0 * PLAIN_FROM;

/// A tenth, either way.
pub(super) const JUMP: f64 = 0.1;

pub(super) const STEP: f64 = 0.01;

/// Ten thousand steps in all.
const STEPS_A_WALK: usize = 50;
const WALKS: usize = 50;

/// Draws that are the same everywhere: no seed but this.
pub(super) mod rand_free {
    pub(in super::super) struct Draw(pub(in super::super) u64);

    impl Draw {
        /// Marsaglia's xorshift, 0 to 1.
        pub(in super::super) fn unit(&mut self) -> f64 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            (self.0 >> 11) as f64 / (1u64 << 53) as f64
        }

        pub(in super::super) fn between(&mut self, low: f64, high: f64) -> f64 {
            low + (high - low) * self.unit()
        }

        pub(in super::super) fn one_of(&mut self, n: usize) -> usize {
            ((self.unit() * n as f64) as usize).min(n - 1)
        }
    }
}

/// What one walk goes along.
trait Course {
    /// Where a step of a hundredth leads, up or down.
    fn step(&self, at: f64, up: bool) -> f64 {
        if up {
            at * (1.0 + STEP)
        } else {
            at / (1.0 + STEP)
        }
    }

    fn seen(&self, at: f64) -> Appearance;
}

struct RingOpening;

impl Course for RingOpening {
    fn seen(&self, at: f64) -> Appearance {
        let mut seen = saturn(at);
        seen.phase_angle_deg = 5.0;
        seen
    }
}

/// Of a body and its magnitude at 10".
struct Diameter(Body, f64);

impl Course for Diameter {
    fn seen(&self, at: f64) -> Appearance {
        let magnitude = self.1 - 5.0 * (at / 10.0).log10();
        match self.0 {
            Body::Mars => lit(mars(at, magnitude), 0.93),
            body => lit(seen(body, at, magnitude, Face::Plain), 0.6),
        }
    }
}

/// Of the Sun over that place of the Moon, degrees.
struct SunOver(MoonPlace);

impl Course for SunOver {
    fn step(&self, at: f64, up: bool) -> f64 {
        let top_deg = 89.0 - self.0.latitude_deg.abs();
        if up && at * (1.0 + STEP) < top_deg {
            at * (1.0 + STEP)
        } else {
            at / (1.0 + STEP)
        }
    }

    fn seen(&self, at: f64) -> Appearance {
        // sin(height) = cos(latitude) sin(colongitude + longitude), the Sun over the equator.
        let from_sunrise = at.to_radians().sin() / self.0.latitude_deg.to_radians().cos();
        let colongitude_deg = from_sunrise.asin().to_degrees() - self.0.longitude_deg;
        let mut seen = moon(20.0);
        if let Face::Moon {
            colongitude_deg: sun_deg,
            ..
        } = &mut seen.face
        {
            *sun_deg = colongitude_deg;
        }
        seen
    }
}

/// Left to the limb along the parallel of a marking, degrees of longitude: of Mars at 24", or of Jupiter.
struct LeftToLimb(f64, f64, bool);

impl Course for LeftToLimb {
    fn step(&self, at: f64, up: bool) -> f64 {
        if up && at * (1.0 + STEP) < 80.0 {
            at * (1.0 + STEP)
        } else {
            at / (1.0 + STEP)
        }
    }

    fn seen(&self, at: f64) -> Appearance {
        let LeftToLimb(longitude_deg, latitude_deg, on_mars) = *self;
        let middle_deg: f64 = if on_mars { 14.0 } else { 0.0 };
        let limb = -latitude_deg.to_radians().tan() * middle_deg.to_radians().tan();
        let meridian_deg = longitude_deg - limb.clamp(-1.0, 1.0).acos().to_degrees() + at;
        let mut seen = if on_mars { mars(24.0, -2.8) } else { jupiter() };
        match &mut seen.face {
            Face::Mars {
                central_meridian_deg: deg,
                ..
            }
            | Face::Jupiter {
                central_meridian_2_deg: deg,
                ..
            } => *deg = meridian_deg.rem_euclid(360.0),
            _ => {}
        }
        seen
    }
}

/// In good, typical and poor air, of what is there.
fn visibilities(telescope: &Instrument, seen: &Appearance, ids: &[&str]) -> Vec<Option<[f64; 3]>> {
    let told = Told {
        red_spot_longitude_deg: Some(30.0),
        ..Told::default()
    };
    let look = look(seen);
    (ids.iter())
        .map(|id| {
            let row = detail(id).expect("a row of the table");
            let today = shows_tonight(row, seen, &told).ok()?;
            let dex = margins_dex(telescope, &look, &today, None);
            Some([dex.good, dex.typical, dex.poor].map(|dex| 10f64.powf(dex)))
        })
        .collect()
}

#[track_caller]
fn assert_no_jump(what: &str, at: f64, from: Option<[f64; 3]>, to: Option<[f64; 3]>) {
    let (from, to) = (from.unwrap_or_default(), to.unwrap_or_default());
    for (from, to) in from.into_iter().zip(to) {
        let (low, high) = (from.min(to), from.max(to).min(MORE_THAN_PLAIN));
        assert!(
            high < FELT || high <= (1.0 + JUMP) * low,
            "{what} at {at}: from {from} to {to}"
        );
    }
}

/// `n` walks along courses that are drawn anew, each between two values.
fn walk(draw: &mut Draw, ids: &[&str], course: &dyn Course, (low, high): (f64, f64)) {
    let apertures_mm = [60.0, 114.0, 150.0, 200.0, 300.0, 400.0];
    let telescope = instrument(apertures_mm[draw.one_of(apertures_mm.len())]);
    let mut at = low * (high / low).powf(draw.unit());
    let mut here = visibilities(&telescope, &course.seen(at), ids);
    for _ in 0..STEPS_A_WALK {
        let next = course.step(at, draw.unit() < 0.5).clamp(low, high);
        let there = visibilities(&telescope, &course.seen(next), ids);
        for (id, (from, to)) in ids.iter().zip(here.iter().zip(&there)) {
            assert_no_jump(id, at, *from, *to);
        }
        (at, here) = (next, there);
    }
}

fn ids_of(wanted: impl Fn(&Detail) -> bool) -> Vec<&'static str> {
    (details().iter())
        .filter(|row| wanted(row))
        .map(|row| row.id.as_str())
        .collect()
}

#[test]
fn the_ring_closes_without_a_jump() {
    let mut draw = Draw(0x5EED_0001);
    // The line is one only up to its opening.
    let ids = ids_of(|row| row.shape.is_of_the_ring() && row.shape != Shape::RingLine);
    for _ in 0..WALKS {
        walk(&mut draw, &ids, &RingOpening, (0.05, 27.0));
    }
    for _ in 0..WALKS / 5 {
        walk(&mut draw, &["saturn_ring_line"], &RingOpening, (0.02, 2.9));
    }
}

#[test]
fn discs_shrink_without_a_jump() {
    let mut draw = Draw(0x5EED_0002);
    for (body, magnitude, range) in [
        (Body::Mars, -0.5, (3.0, 26.0)),
        (Body::Mercury, -0.5, (4.0, 13.0)),
        (Body::Venus, -3.5, (9.0, 60.0)),
    ] {
        // A crescent is called so only when thin.
        let ids = ids_of(|row| row.body == body && row.conditions.most_lit.is_none());
        for _ in 0..WALKS {
            walk(&mut draw, &ids, &Diameter(body, magnitude), range);
        }
    }
}

#[test]
fn the_sun_climbs_over_the_moon_without_a_jump() {
    let mut draw = Draw(0x5EED_0003);
    let ids = ids_of(|row| row.body == Body::Moon && row.latitude_deg.is_some());
    for _ in 0..3 * WALKS {
        let id = ids[draw.one_of(ids.len())];
        let row = detail(id).expect("a row of the table");
        let place = MoonPlace {
            latitude_deg: row.latitude_deg.expect("it has a place"),
            longitude_deg: row.longitude_deg.expect("it has a place"),
        };
        let top_deg = 89.0 - place.latitude_deg.abs();
        walk(&mut draw, &[id], &SunOver(place), (0.05, top_deg));
    }
}

#[test]
fn markings_go_round_the_limb_without_a_jump() {
    let mut draw = Draw(0x5EED_0004);
    let ids = ids_of(|row| row.conditions.good_window_deg.is_some());
    for _ in 0..WALKS {
        let id = ids[draw.one_of(ids.len())];
        let row = detail(id).expect("a row of the table");
        let latitude_deg = row.latitude_deg.expect("it has a place");
        let course = LeftToLimb(
            row.longitude_deg.unwrap_or(30.0),
            latitude_deg,
            row.body == Body::Mars,
        );
        let low = draw.between(0.05, 1.0);
        walk(&mut draw, &[id], &course, (low, 79.0));
    }
}
