//! The model's free constants in one place: what nature and published measurements leave open, with the
//! value taken and how it was chosen. One, the good moments of the air, was taken with observers' reports in view, none was
//! fitted to them; `tests/it/targets/calibration.rs` prints them above its table of hits and misses.

use crate::eye::{MOST_PEOPLE, detect};
use crate::sky::seeing;
use crate::targets::chain::pair;
use crate::targets::{chain, fading, grade, moon, pattern};

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeConstant {
    /// What it stands for, with its unit.
    pub name: &'static str,
    /// As the model uses it.
    pub value: f64,
    /// Where it comes from.
    pub chosen: &'static str,
}

/// All of them, the most telling first.
pub fn free_constants() -> Vec<FreeConstant> {
    let constant = |name, value, chosen| FreeConstant {
        name,
        value,
        chosen,
    };
    vec![
        constant(
            "field factor of most people (patient from)",
            MOST_PEOPLE,
            "published: Crumey 2014; 1 is a practised observer (fleeting from)",
        ),
        constant(
            "spread among observers, dex",
            detect::SLOPE_DEX,
            "published: Blackwell 1946 as quoted by Crumey 2014",
        ),
        constant(
            "plain from",
            grade::PLAIN_FROM,
            "computed: all but one in thirty of most people",
        ),
        constant(
            "recognition of a flattened disc over noticing it",
            pattern::SHAPE_RECOGNITION,
            "common practice, no source",
        ),
        constant(
            "thresholds after a look of a second over 0.3 s",
            1.0 / detect::LONGER_LOOK,
            "from memory: Legge 1978, as the 1/3.5th power of the time",
        ),
        constant(
            "way of the air while the eye adds up, mm",
            seeing::DRIFT_MM,
            "from memory: 0.05 s in bright light (Roufs 1972), 5 m/s near the ground",
        ),
        constant(
            "Fried's length in good moments over its usual one",
            seeing::GOOD_MOMENTS,
            "from memory: 1 to 1.3; taken with the reports in view",
        ),
        constant(
            "width of even ground over a marking's own",
            pattern::LIKE_ON_BOTH_SIDES,
            "an estimate: as wide again on both sides; wider where something wider is known",
        ),
        constant(
            "distance of hills on the Moon's plains, km",
            pattern::BETWEEN_HILLS_KM,
            "from memory",
        ),
        constant(
            "dark share of a crater's width",
            moon::CRATER_SHADOW_SHARE,
            "an estimate, from the published visibility of Plato's craterlets",
        ),
        constant(
            "length of a wall's shadow over its width",
            moon::CRATER_LUNE_SHARE,
            "from memory",
        ),
        constant(
            "slope of walls on the Moon, degrees",
            moon::WALL_SLOPE_DEG,
            "from memory",
        ),
        constant(
            "scatter of their slopes' cotangents",
            moon::WALL_SPREAD,
            "from memory: two walls in three between 23 and 35 degrees",
        ),
        constant(
            "power of the fade of markings under a low Sun",
            f64::from(fading::LIGHT_POWER),
            "from memory",
        ),
        constant(
            "of a phase as the disc fills",
            f64::from(fading::PHASE_POWER),
            "from memory",
        ),
        constant(
            "of the Moon's night side as the lit one grows",
            f64::from(fading::EARTHSHINE_POWER),
            "as the lit part's light: a tenth of the full Moon's at half",
        ),
        constant(
            "horns of a phase, diameters",
            pattern::LUNE_LENGTH_DIAMETERS,
            "from memory",
        ),
        constant(
            "scatter of an honest mirror over a clean one",
            chain::DUSTY_MIRROR,
            "from memory: 2 to 5 is usual",
        ),
        constant(
            "share of the visual band's dispersion that blurs",
            chain::smear::DISPERSED_SHARE,
            "computed: daylight as the day eye weighs it",
        ),
        constant(
            "speckles' contrast for a point in a star's glare",
            chain::CLUTTER_CONTRAST,
            "computed: ten lifetimes of speckles in the eye's 0.1 s; the 10 ms are common practice",
        ),
        constant(
            "images begin to part, widths",
            pair::IMAGES_CLEAR.0,
            "an estimate",
        ),
        constant(
            "images stand clear, widths",
            pair::IMAGES_CLEAR.1,
            "an estimate",
        ),
        constant(
            "exit pupil that halves visibility, mm",
            detect::NERVOUS_PUPIL_MM,
            "common practice, no source: threshold detail is best at 0.7 to 1.2 mm",
        ),
    ]
}
