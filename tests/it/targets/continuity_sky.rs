//! The same of what the sky does over a whole night and of the observer: height, the Sun's depth, the Moon's phase, age.

use skyworthy::constants::JULIAN_YEAR_DAYS;
use skyworthy::sky::glow::{Glow, Moonlight, sky_brightness_mag_arcsec2};
use skyworthy::targets::asked::Asked;
use skyworthy::targets::asked::asked_of;
use skyworthy::targets::beyond::beyond;

use super::continuity::{FELT, JUMP, MORE_THAN_PLAIN, STEP, rand_free::Draw};
use super::*;

/// What a walk goes along, each with its range.
#[derive(Debug, Clone, Copy)]
enum Along {
    Altitude,
    SunDepth,
    MoonPhase,
    Age,
}

const ALL: [(Along, f64, f64); 4] = [
    (Along::Altitude, 5.0, 89.0),
    (Along::SunDepth, 4.0, 20.0),
    (Along::MoonPhase, 5.0, 170.0),
    (Along::Age, 8.0, 90.0),
];

/// How well it is seen with that telescope where the walk stands.
fn seen_at(
    telescope: &Instrument,
    thing: &Asked,
    on: Option<&Appearance>,
    walk: Along,
    at: f64,
) -> f64 {
    let altitude_deg = if matches!(walk, Along::Altitude) {
        at
    } else {
        40.0
    };
    let glow = Glow {
        dark_zenith_mag_arcsec2: 21.0,
        extinction_mag: 0.25,
        sun_altitude_deg: if matches!(walk, Along::SunDepth) {
            -at
        } else {
            -30.0
        },
        moon: matches!(walk, Along::MoonPhase).then_some(Moonlight {
            phase_angle_deg: at,
            altitude_deg: 35.0,
            separation_deg: 60.0,
            left: 1.0,
        }),
    };
    let anywhere = jupiter();
    let look = Look {
        appearance: on,
        altitude_deg,
        airmass: air::airmass(altitude_deg).expect("it is up"),
        sky_brightness_mag_arcsec2: sky_brightness_mag_arcsec2(&glow, altitude_deg),
        observer: Observer {
            age_years: if matches!(walk, Along::Age) { at } else { 40.0 },
            margin_dex: 0.0,
        },
        ..look(on.unwrap_or(&anywhere))
    };
    10f64.powf(margins_dex(telescope, &look, &thing.today, None).typical)
}

fn things() -> Vec<(Asked, Option<Appearance>)> {
    let bodies = [
        jupiter(),
        saturn(20.0),
        lit(mars(14.0, -1.2), 0.93),
        moon(10.0),
    ];
    let told = Told {
        red_spot_longitude_deg: Some(30.0),
        ..Told::default()
    };
    let of_body = bodies.into_iter().flat_map(|body| {
        let asked = asked_of(&body, &told);
        asked.into_iter().map(move |it| (it, Some(body.clone())))
    });
    let alone = beyond().flat_map(|there| there.asked(27.0 * JULIAN_YEAR_DAYS));
    of_body.chain(alone.map(|it| (it, None))).collect()
}

#[test]
fn the_night_goes_on_without_a_jump() {
    let things = things();
    let telescopes = [80.0, 150.0, 300.0].map(instrument);
    let mut draw = Draw(0x5eed_0b12_a11d_ecaf);
    let mut n_compared = 0;
    for _ in 0..10_000 {
        let (walk, low, high) = ALL[draw.one_of(4)];
        let (thing, body) = &things[draw.one_of(things.len())];
        let telescope = &telescopes[draw.one_of(3)];
        let at = draw.between(low, high / (1.0 + STEP));
        let [here, there] =
            [at, at * (1.0 + STEP)].map(|at| seen_at(telescope, thing, body.as_ref(), walk, at));
        if here.max(there) < FELT || MORE_THAN_PLAIN < here.min(there) {
            continue;
        }
        n_compared += 1;
        let jump = here.max(there) / here.min(there) - 1.0;
        assert!(
            jump <= JUMP,
            "{} along {walk:?} at {at}: from {here} to {there}",
            thing.caption.id
        );
    }
    assert!(3_000 < n_compared, "{n_compared}");
}

#[test]
fn older_eyes_never_gain() {
    let things = things();
    let telescope = instrument(150.0);
    for (thing, body) in &things {
        let seen = [20.0, 30.0, 45.0, 60.0, 80.0]
            .map(|age| seen_at(&telescope, thing, body.as_ref(), Along::Age, age));
        // Glints of 1e-3: another view may take over.
        assert!(
            seen.windows(2).all(|pair| pair[1] <= pair[0] * 1.001),
            "{}: {seen:?}",
            thing.caption.id
        );
    }
}

/// In 5" air nothing finer than 1.5" takes patience, in any mirror; no disc below half the blur is plain in any air.
#[test]
fn poor_air_hides_what_is_fine() {
    let things = things();
    let fine = [
        "saturn_cassini",
        "saturn_encke_minimum",
        "moon_rima_hadley",
        "moon_plato_craterlets",
        "jupiter_festoons",
    ];
    for aperture_mm in [80.0, 150.0, 250.0, 320.0] {
        let telescope = instrument(aperture_mm);
        for (thing, body) in &things {
            let Some(body) = body else { continue };
            let poor = Look {
                seeing_zenith_arcsec: AIRS_ARCSEC.map(|_| 5.0),
                airmass: 1.0,
                ..look(body)
            };
            let margin = margins_dex(&telescope, &poor, &thing.today, None).typical;
            let width_arcsec = thing.today.sight.width_arcsec();
            // That a disc is flattened or half lit is a matter of its outline, and a crater is wider than its shadow.
            let shape = thing.detail.expect("of a body").shape;
            let is_marking = !matches!(
                shape,
                Shape::Flattening | Shape::Phase | Shape::Crater | Shape::Mountain
            );
            let is_fine = is_marking && 0.0 < width_arcsec && width_arcsec < 1.5;
            assert!(
                !is_fine || Grade::of_visibility(10f64.powf(margin)) < Grade::Patient,
                "{} of {width_arcsec}\" in {aperture_mm} mm: {margin:+.2} dex",
                thing.caption.id
            );
        }
        for (body, diameter_arcsec, magnitude) in [
            (Body::Uranus, 3.7, 5.7),
            (Body::Neptune, 2.35, 7.8),
            (Body::Mars, 4.5, 1.5),
        ] {
            let face = if body == Body::Mars {
                mars(4.5, 1.5).face
            } else {
                Face::Plain
            };
            let disc = seen(body, diameter_arcsec, magnitude, face);
            let air = Look {
                seeing_zenith_arcsec: AIRS_ARCSEC.map(|_| 2.0 * diameter_arcsec),
                airmass: 1.0,
                ..look(&disc)
            };
            let list = verdicts(&telescope, &air);
            let disc_of = list
                .iter()
                .find(|verdict| verdict.caption.id.ends_with("_disc"));
            assert!(disc_of.expect("it is asked").grade.typical < Grade::Plain);
        }
    }
    assert!(
        fine.iter()
            .all(|id| things.iter().any(|(thing, _)| thing.caption.id == *id))
    );
}
