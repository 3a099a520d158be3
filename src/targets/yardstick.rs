//! How well something would show at one instant in a middling telescope: what the hours of a night are compared by.

use crate::eye::crumey::cautious_naked_eye_limit_mag;
use crate::eye::glare;
use crate::sky::seeing::Blur;
use crate::sky::{Appearance, Body};
use crate::targets::beyond::Beyond;
use crate::targets::chain::Chain;
use crate::targets::details::Shape;
use crate::targets::grade::PLAIN_FROM;
use crate::targets::look::Hour;
use crate::targets::luminance::{lit_disc_cd_m2, saturn_cd_m2};
use crate::targets::middling::middling_telescope;
use crate::targets::sight::{Sight, Today};
use crate::targets::subject::Seen;

/// What one subject is measured by from hour to hour.
///
/// One yardstick stands for all details and all telescopes: only three things change while a night goes by, the airmass,
/// the light that it lets through and the brightness of the sky; each makes every detail surer or less sure in every
/// telescope together, so that the order of the hours hardly depends on which is asked. How much one weighs against the
/// other follows a 150 mm at 75x. It is always the poor air's: a detail shows least in it, so that the hour in which the
/// worst of three airs is best is the hour in which the poor one is.
#[derive(Debug, Clone, PartialEq)]
pub struct Yardstick {
    measure: Measure,
    seeing_zenith_arcsec: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Measure {
    /// Markings on a bright disc.
    Markings {
        luminance_cd_m2: f64,
        magnitude: f64,
    },
    /// Stars and glows against the sky.
    Lights(Vec<Today>),
    /// Two stars: to be parted, the fainter to be seen.
    Pair { fainter: Today },
}

/// Stripes as fine as a planet's belts: 2" dark, 2" bright.
const STRIPES_CYCLES_PER_ARCSEC: f64 = 0.25;

impl Yardstick {
    /// For a subject as it stands about the middle of the night, at days of TT since J2000.0, in air of that FWHM at the
    /// zenith, 550 nm, arcseconds: the poorest reckoned with.
    pub fn of(seen: &Seen, tt_days: f64, seeing_zenith_arcsec: f64) -> Yardstick {
        let measure = match seen {
            Seen::Body(seen) => Measure::Markings {
                luminance_cd_m2: luminance(seen),
                magnitude: seen.magnitude,
            },
            Seen::Beyond(Beyond::Double(pair), _) => Measure::Pair {
                fainter: point(pair.magnitude_a.max(pair.magnitude_b)),
            },
            Seen::Beyond(..) | Seen::Small(..) => {
                let asked = seen.asked(tt_days, &Default::default());
                Measure::Lights(asked.into_iter().map(|it| it.today).collect())
            }
        };
        Yardstick {
            measure,
            seeing_zenith_arcsec,
        }
    }

    /// Natural logarithm of how far it stands above the threshold then; to be compared with other hours of the same
    /// subject, and with nothing else.
    pub fn ln_visibility(&self, hour: &Hour) -> f64 {
        let air_arcsec = self.seeing_zenith_arcsec;
        match &self.measure {
            Measure::Markings {
                luminance_cd_m2,
                magnitude,
            } => {
                let undimmed = ln_over_sky(hour, *luminance_cd_m2);
                ln_contrast_kept(hour, air_arcsec) + undimmed + ln_found(hour, *magnitude)
            }
            Measure::Lights(lights) => {
                let chain = middling_telescope(hour, air_arcsec);
                let sum: f64 = (lights.iter()).map(|today| ln_seen(&chain, today)).sum();
                sum / lights.len().max(1) as f64
            }
            Measure::Pair { fainter } => {
                let chain = middling_telescope(hour, air_arcsec);
                ln_contrast_kept(hour, air_arcsec) + ln_seen(&chain, fainter)
            }
        }
    }
}

/// What the air keeps of the contrast of a fine marking.
fn ln_contrast_kept(hour: &Hour, seeing_zenith_arcsec: f64) -> f64 {
    Blur::toward(seeing_zenith_arcsec, hour.airmass)
        .glimpse_mtf(STRIPES_CYCLES_PER_ARCSEC)
        .max(f64::MIN_POSITIVE)
        .ln()
}

/// What a sky before the disc leaves of a marking's contrast.
fn ln_over_sky(hour: &Hour, luminance_cd_m2: f64) -> f64 {
    let through_air = 10f64.powf(-0.4 * hour.extinction_mag_airmass * hour.airmass);
    let disc_cd_m2 = luminance_cd_m2 * through_air;
    let sky_cd_m2 = glare::luminance_cd_m2(hour.sky_brightness_mag_arcsec2);
    -(1.0 + sky_cd_m2 / disc_cd_m2.max(f64::MIN_POSITIVE)).ln()
}

/// Whoever has no motors must find it first: below what any bare eye sees, in proportion.
fn ln_found(hour: &Hour, magnitude: f64) -> f64 {
    let below_air_mag = magnitude + hour.extinction_mag_airmass * hour.airmass;
    let limit_mag = cautious_naked_eye_limit_mag(hour.sky_brightness_mag_arcsec2, PLAIN_FROM);
    (0.4 * (limit_mag - below_air_mag)).min(0.0) * std::f64::consts::LN_10
}

fn luminance(seen: &Appearance) -> f64 {
    match seen.body {
        // Its magnitude is that of globe and ring.
        Body::Saturn => saturn_cd_m2(Shape::Ring),
        _ => lit_disc_cd_m2(seen),
    }
}

fn point(magnitude: f64) -> Today {
    Today::alone(Sight::Point {
        magnitude,
        from_body_arcsec: f64::INFINITY,
    })
}

fn ln_seen(chain: &Chain, today: &Today) -> f64 {
    chain
        .best_visibility(today, None)
        .max(f64::MIN_POSITIVE)
        .ln()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::beyond::beyond;

    fn hour(airmass: f64, sky_brightness_mag_arcsec2: f64) -> Hour {
        Hour {
            at_tt_days: 0.0,
            altitude_deg: 40.0,
            sun_altitude_deg: -20.0,
            airmass,
            extinction_mag_airmass: 0.25,
            sky_brightness_mag_arcsec2,
        }
    }

    fn in_poor_air(measure: Measure) -> Yardstick {
        Yardstick {
            measure,
            seeing_zenith_arcsec: 3.5,
        }
    }

    fn all() -> Vec<Yardstick> {
        let markings = [(700.0, -2.3), (50.0, 5.7), (3000.0, -11.0)].map(|(cd_m2, magnitude)| {
            Measure::Markings {
                luminance_cd_m2: cd_m2,
                magnitude,
            }
        });
        let lights = beyond().map(|there| match there {
            Beyond::Double(pair) => Measure::Pair {
                fainter: point(pair.magnitude_a.max(pair.magnitude_b)),
            },
            Beyond::DeepSky(_) => {
                Measure::Lights(there.asked(0.0).into_iter().map(|it| it.today).collect())
            }
        });
        let measures = markings.into_iter().chain(lights);
        measures.map(in_poor_air).collect()
    }

    #[test]
    fn lower_and_brighter_is_never_better() {
        for yardstick in all() {
            let mut last = f64::INFINITY;
            for step in 0..60 {
                let airmass = 1.0 + 0.15 * f64::from(step);
                let now = yardstick.ln_visibility(&hour(airmass, 20.0));
                assert!(
                    now < last,
                    "{yardstick:?} at airmass {airmass}: {last} to {now}"
                );
                last = now;
            }
            let mut last = f64::INFINITY;
            for step in 0..150 {
                let sky = 22.0 - 0.1 * f64::from(step);
                let now = yardstick.ln_visibility(&hour(1.5, sky));
                assert!(
                    now <= last + 1e-3,
                    "{yardstick:?} at sky {sky}: {last} to {now}"
                );
                last = now;
            }
        }
    }

    /// Jupiter half as high again is worth a good twilight, a little higher is not worth a bright one.
    #[test]
    fn bright_twilight_is_for_what_stands_much_higher() {
        let jupiter = in_poor_air(Measure::Markings {
            luminance_cd_m2: 700.0,
            magnitude: -2.3,
        });
        let at = |airmass, sky| jupiter.ln_visibility(&hour(airmass, sky));
        assert!(at(1.7, 8.2) < at(2.0, 19.0)); // Sun 2 degrees down
        assert!(at(2.0, 15.9) > at(2.4, 19.0)); // 8 degrees
        assert!(at(1.5, 8.2) > at(6.0, 19.0));
    }
}
