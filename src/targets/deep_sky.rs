//! Beyond the solar system: bright clusters, nebulae and galaxies, and what of them a telescope shows.
//!
//! One row an object in `data/deep_sky.csv`, whose head tells what is OpenNGC's (the file is under its
//! share-alike licence) and what is ours. An object has one or two aspects: the patch of light, judged
//! as a large faint area, and for clusters their stars, judged as points. Knows nothing of telescopes.
//!
//! A patch that fades outward is not the even disc of its catalogue outline. What is judged is the
//! part that the eye finds most easily, by Piper's law: the threshold of a patch in the dark falls
//! with the square root of its area, half way between full summation (tiny patches: only the light
//! counts) and none (huge ones: only the surface brightness counts). So the part with most light for
//! its width stands for the whole. In a globular (Plummer's profile) that is exactly the half that
//! lies within the half-light radius; in the exponential disc of a galaxy it holds 54 % of the light.
//! Nebulae and the mist of open clusters are even discs. Five objects have a brighter core than any
//! such profile (Orion's Huygens region, the bulge of M 31): there the table states it and it alone
//! is judged. All follows from catalogue values; nothing was fitted to reports.
//!
//! Not modelled: a cluster's glow as the ground of its own stars (the middle of a globular opens later
//! than its edge), and that the light of nebulae lies in a few lines, which night vision sees better
//! than V says.

use std::f64::consts::FRAC_PI_4;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::tables;
use crate::targets::caption::Part;
use crate::targets::sight::Sight;

/// A cluster, nebula or galaxy.
#[derive(Debug, Clone, PartialEq)]
pub struct DeepSky {
    /// Unique, stable, lower case: `m42`, `ngc869`.
    pub id: String,
    /// As one would say it: "Orion Nebula (M 42)".
    pub name: String,
    /// What it is.
    pub kind: DeepSkyKind,
    /// In the New General Catalogue or where it stands else: `NGC1976`, `Mel022`.
    pub catalogue: String,
    /// J2000.0, degrees.
    pub right_ascension_deg: f64,
    /// J2000.0, degrees.
    pub declination_deg: f64,
    /// V, of the whole.
    pub magnitude: f64,
    /// B, of the whole; known of galaxies.
    pub b_magnitude: Option<f64>,
    /// The catalogue's outline, for the field of view.
    pub outline: Outline,
    /// Diameter that holds half of a globular's light, arcminutes.
    pub half_light_arcmin: Option<f64>,
    /// The bright part that is really seen, where the outline misleads.
    pub core: Option<Patch>,
    /// Of the brighter stars: in open clusters the tenth, in globulars the brighter giants.
    pub stars_magnitude: Option<f64>,
    /// What a visitor will really see of the patch of light; `None` where none is promised.
    pub glow_say: Option<String>,
    /// What a visitor will really see of the stars.
    pub stars_say: Option<String>,
    /// Where the figures come from.
    pub basis: DeepSkySources,
}

/// What an object of the deep sky is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DeepSkyKind {
    /// A loose cluster of stars.
    OpenCluster,
    /// A globular cluster.
    Globular,
    /// A cloud of gas that stars light up, or the remains of one that burst.
    Nebula,
    /// The shell of a dying star.
    Planetary,
    /// A galaxy.
    Galaxy,
}

impl DeepSkyKind {
    /// All of them, what is easiest to enjoy first.
    pub const ALL: [DeepSkyKind; 5] = [
        DeepSkyKind::OpenCluster,
        DeepSkyKind::Globular,
        DeepSkyKind::Nebula,
        DeepSkyKind::Planetary,
        DeepSkyKind::Galaxy,
    ];
}

/// An oval on the sky, arcminutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// The long way.
    pub major_arcmin: f64,
    /// The narrow way.
    pub minor_arcmin: f64,
}

/// A round part of an object and the light in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Across.
    pub diameter_arcmin: f64,
    /// V, of the light inside.
    pub magnitude: f64,
}

/// Width of what really shows, arcminutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SeenWidth {
    /// To the catalogue's outline.
    Whole(f64),
    /// Of the bright part; the rest fades into the sky.
    BrightPart(f64),
}

impl SeenWidth {
    /// Of the one or the other.
    pub fn arcmin(self) -> f64 {
        let (SeenWidth::Whole(arcmin) | SeenWidth::BrightPart(arcmin)) = self;
        arcmin
    }
}

/// Where the figures of a row come from; places are OpenNGC's. Empty where there is no figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeepSkySources {
    /// Of the magnitude.
    pub magnitude: String,
    /// Of the outline.
    pub outline: String,
    /// Of the bright core.
    pub core: String,
    /// Of the brighter stars.
    pub stars: String,
}

/// One thing to look for in an object.
#[derive(Debug, Clone, PartialEq)]
pub struct Aspect<'a> {
    /// The object's with what is looked for: `m13_glow`, `m13_stars`.
    pub id: String,
    /// What of the object it is.
    pub part: Part,
    /// What a visitor will really see, in one sentence.
    pub say: &'a str,
    /// What has to be told from the sky.
    pub sight: Sight,
}

/// All objects, in the table's order.
pub fn deep_sky() -> &'static [DeepSky] {
    &DEEP_SKY
}

/// The object of that `id`.
pub fn deep_sky_object(id: &str) -> Option<&'static DeepSky> {
    deep_sky().iter().find(|object| object.id == id)
}

/// Farther from any bright body than glare reaches. Arcseconds.
const ALONE_ARCSEC: f64 = f64::INFINITY;

impl DeepSky {
    /// What to look for: the patch of light, the stars, or both.
    pub fn aspects(&self) -> Vec<Aspect<'_>> {
        let aspect = |part: Part, say, sight| Aspect {
            id: format!("{}_{}", self.id, part.id()),
            part,
            say,
            sight,
        };
        let glow =
            (self.glow_say.as_deref()).map(|say| aspect(Part::Glow, say, self.brightest().sight()));
        let stars =
            (self.stars_say.as_deref().zip(self.stars_magnitude)).map(|(say, magnitude)| {
                let sight = Sight::Point {
                    magnitude,
                    from_body_arcsec: ALONE_ARCSEC,
                };
                aspect(Part::Stars, say, sight)
            });
        glow.into_iter().chain(stars).collect()
    }

    /// The part that is judged: the bright core where the table states one, else that part of the
    /// profile which has most light for its width.
    pub fn brightest(&self) -> Patch {
        self.core.unwrap_or_else(|| self.best_part())
    }

    /// How wide a visitor may be told it is: the part that is judged where its light fades outward, else the long way of its outline.
    pub fn seen_width(&self) -> SeenWidth {
        let part_arcmin = self.brightest().diameter_arcmin;
        if part_arcmin < self.outline.mean_diameter_arcmin() {
            SeenWidth::BrightPart(part_arcmin)
        } else {
            SeenWidth::Whole(self.outline.major_arcmin)
        }
    }

    fn best_part(&self) -> Patch {
        let outline_arcmin = self.outline.mean_diameter_arcmin();
        let part = |diameter_arcmin: f64, share_of_light: f64| Patch {
            diameter_arcmin,
            magnitude: self.magnitude - 2.5 * share_of_light.log10(),
        };
        match (self.kind, self.half_light_arcmin, self.b_magnitude) {
            (_, Some(half_light_arcmin), _) => part(half_light_arcmin, 0.5),
            (DeepSkyKind::Galaxy, None, Some(b_magnitude)) => {
                let whole = Patch {
                    diameter_arcmin: outline_arcmin,
                    magnitude: b_magnitude,
                };
                let scale_lengths = scale_lengths_to_outline(whole.mean_mag_arcsec2());
                part(
                    outline_arcmin * BEST_SCALE_LENGTHS / scale_lengths,
                    BEST_SHARE_OF_DISC,
                )
            }
            _ => part(outline_arcmin, 1.0),
        }
    }
}

impl Outline {
    /// Of the round disc of the same area.
    pub fn mean_diameter_arcmin(&self) -> f64 {
        (self.major_arcmin * self.minor_arcmin).sqrt()
    }
}

impl Patch {
    /// Surface brightness, V mag/arcsec², of its light spread evenly.
    pub fn mean_mag_arcsec2(&self) -> f64 {
        let area_arcsec2 = FRAC_PI_4 * (60.0 * self.diameter_arcmin).powi(2);
        self.magnitude + 2.5 * area_arcsec2.log10()
    }

    fn sight(&self) -> Sight {
        Sight::Glow {
            diameter_arcsec: 60.0 * self.diameter_arcmin,
            surface_brightness_mag_arcsec2: self.mean_mag_arcsec2(),
        }
    }
}

/// Radius, in scale lengths of an exponential disc, inside which light over width is largest: where
/// e^x = 1 + x + x².
const BEST_SCALE_LENGTHS: f64 = 1.793_282;

/// Share of the disc's light inside it: x² e^-x.
const BEST_SHARE_OF_DISC: f64 = 0.535_161;

/// Surface brightness at which catalogues draw a galaxy's outline, B mag/arcsec². de Vaucouleurs et
/// al. 1991 (RC3), whose convention OpenNGC's diameters follow.
const OUTLINE_B_MAG_ARCSEC2: f64 = 25.0;

/// How many scale lengths the outline lies out, from the mean B surface brightness within it, for an
/// exponential disc with the whole light: e^x / x² = 10^(0.4 (25 - mean)) / 2.
///
/// The larger of two answers (the other is a disc with most of its light outside its outline). The
/// faintest mean that has one is 23.58, at two scale lengths; that is the answer for fainter ones.
fn scale_lengths_to_outline(mean_b_mag_arcsec2: f64) -> f64 {
    let fall = 0.5 * 10f64.powf(0.4 * (OUTLINE_B_MAG_ARCSEC2 - mean_b_mag_arcsec2));
    let (mut near, mut far) = (2.0f64, 30.0f64);
    while 1e-9 < far - near {
        let middle = 0.5 * (near + far);
        if middle.exp() / middle.powi(2) < fall {
            near = middle
        } else {
            far = middle
        }
    }
    0.5 * (near + far)
}

const TABLE: &str = include_str!("../../data/deep_sky.csv");

static DEEP_SKY: LazyLock<Vec<DeepSky>> = LazyLock::new(|| {
    let rows = tables::rows(TABLE);
    rows.into_iter().map(object_of).collect()
});

/// The table as it stands in the file, one field a column.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DeepSkyRow {
    id: String,
    name: String,
    kind: DeepSkyKind,
    catalogue: String,
    ra_deg: f64,
    dec_deg: f64,
    v: f64,
    b: Option<f64>,
    major_arcmin: f64,
    minor_arcmin: Option<f64>,
    half_light_arcmin: Option<f64>,
    core_arcmin: Option<f64>,
    core_v: Option<f64>,
    stars_mag: Option<f64>,
    glow_say: Option<String>,
    stars_say: Option<String>,
    magnitude_basis: String,
    outline_basis: String,
    core_basis: String,
    stars_basis: String,
}

fn object_of(row: DeepSkyRow) -> DeepSky {
    let core = row.core_arcmin.zip(row.core_v);
    DeepSky {
        id: row.id,
        name: row.name,
        kind: row.kind,
        catalogue: row.catalogue,
        right_ascension_deg: row.ra_deg,
        declination_deg: row.dec_deg,
        magnitude: row.v,
        b_magnitude: row.b,
        outline: Outline {
            major_arcmin: row.major_arcmin,
            minor_arcmin: row.minor_arcmin.unwrap_or(row.major_arcmin),
        },
        half_light_arcmin: row.half_light_arcmin,
        core: core.map(|(diameter_arcmin, magnitude)| Patch {
            diameter_arcmin,
            magnitude,
        }),
        stars_magnitude: row.stars_mag,
        glow_say: row.glow_say,
        stars_say: row.stars_say,
        basis: DeepSkySources {
            magnitude: row.magnitude_basis,
            outline: row.outline_basis,
            core: row.core_basis,
            stars: row.stars_basis,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    #[test]
    fn every_row_reads() {
        assert!(DEEP_SKY.len() >= 40, "{} rows", DEEP_SKY.len());
    }

    #[test]
    fn a_bad_row_is_refused() {
        let read = tables::read::<DeepSkyRow>;
        assert!(read(&TABLE.replace(",globular,", ",ball,")).is_err());
        assert!(read(&TABLE.replace("250.4235", "16h41m")).is_err());
    }

    /// Share of the light inside a circle: Plummer's profile with its half-light radius as unit.
    fn plummer(x: f64) -> f64 {
        x * x / (1.0 + x * x)
    }

    /// Share of the light inside a circle: exponential disc with its scale length as unit.
    fn disc(x: f64) -> f64 {
        1.0 - (1.0 + x) * (-x).exp()
    }

    #[test]
    fn the_best_part_has_most_light_for_its_width() {
        let best = |light: fn(f64) -> f64| {
            let radii = (1..6000).map(|idx| 1e-3 * f64::from(idx));
            radii
                .max_by(|a, b| (light(*a) / a).total_cmp(&(light(*b) / b)))
                .expect("some radius")
        };
        close("globular, half-light radii", best(plummer), 1.0, 1e-3);
        close("galaxy", best(disc), BEST_SCALE_LENGTHS, 1e-3);
        close(
            "its light",
            disc(BEST_SCALE_LENGTHS),
            BEST_SHARE_OF_DISC,
            1e-6,
        );
    }

    #[test]
    fn scale_length_of_freemans_disc() {
        // Freeman 1970 (ApJ 160, 811): discs have 21.65 B mag/arcsec² in the middle, so 25 lies
        // (25 - 21.65) / 1.0857 = 3.0855 scale lengths out, and the whole light spread over that circle is
        // 21.65 + 2.5 log10(3.0855² / 2) = 23.344.
        close("Freeman", scale_lengths_to_outline(23.344), 3.0855, 2e-3);
        close("the faintest", scale_lengths_to_outline(24.0), 2.0, 1e-6);
    }

    #[test]
    fn only_what_shows_is_promised() {
        let width = |id| {
            deep_sky_object(id)
                .expect("it is in the table")
                .seen_width()
        };
        // The bulge of M 31 and the half-light width of M 13 as the table has them; clusters of stars and shells end where they end.
        assert_eq!(width("m31"), SeenWidth::BrightPart(10.0));
        assert_eq!(width("m13"), SeenWidth::BrightPart(3.38));
        assert_eq!(width("m45"), SeenWidth::Whole(110.0));
        assert_eq!(width("ngc7009"), SeenWidth::Whole(0.7));
    }

    #[test]
    fn half_of_a_globular_by_hand() {
        // Harris 1996 (2010): M 13 has V 5.78 and a half-light radius of 1.69': 6.533 in 32,300 arcsec².
        let m13 = deep_sky_object("m13").expect("it is in the table");
        close("M 13", m13.brightest().mean_mag_arcsec2(), 17.81, 0.01);
    }
}
