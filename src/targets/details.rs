//! The table of details: what there is to see on the Moon and the planets, and when.
//!
//! One row a detail, with plain typed columns; `data/details.csv` explains them in its head and
//! states the basis of every position, size and contrast. Knows nothing of telescopes.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::sky::Body;
use crate::sky::moons::Satellite;
use crate::tables;
use crate::targets::caption::{Caption, CaptionName};

/// Something to look for on one body.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Unique, stable, lower case: `saturn_cassini`.
    pub id: String,
    /// Where it is seen.
    pub body: Body,
    /// As one would say it: "Cassini Division".
    pub name: String,
    /// What kind of pattern it makes.
    pub shape: Shape,
    /// How large it is.
    pub extent: Extent,
    /// Height of a mountain or depth of a crater, km: decides how far shadows reach.
    pub relief_km: Option<f64>,
    /// How much it differs from its surroundings; `None` for points and glows.
    pub contrast: Option<Contrast>,
    /// Of a moon before the disc: its own share of the light, in green.
    pub albedo: Option<f64>,
    /// Points: V magnitude at mean opposition. Glows: V magnitudes per square arcsecond.
    pub magnitude: Option<f64>,
    /// Radius of a moon's orbit, km.
    pub orbit_km: Option<f64>,
    /// Latitude, degrees north: selenographic, areographic or planetographic.
    pub latitude_deg: Option<f64>,
    /// Moon: selenographic, east positive. Mars: areographic, west positive.
    pub longitude_deg: Option<f64>,
    /// The moon it is, or that makes it.
    pub satellite: Option<Satellite>,
    /// What must hold for it to be there tonight.
    pub conditions: Conditions,
    /// What a visitor will really see, in one sentence.
    pub say: String,
    /// Where the figures come from.
    pub basis: DetailSources,
}

/// The kind of pattern a detail makes in the image.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// A stripe across a globe.
    Belt,
    /// A darker or brighter area, round or oval.
    Patch,
    /// A darker area without an edge.
    Shade,
    /// A long thin line: a valley, a ray.
    Line,
    /// A slope on the Moon that falls to the west: in its own shadow in the morning, bright in the evening.
    WestScarp,
    /// One that falls to the east: bright in the morning, dark in the evening.
    EastScarp,
    /// A ring on the Moon, known by the shadow inside it.
    Crater,
    /// A mountain on the Moon, known by the shadow it throws.
    Mountain,
    /// That part of the disc is dark.
    Phase,
    /// That it is a disc and not a star.
    Disc,
    /// That the disc is wider than tall.
    Flattening,
    /// A polar cap.
    Cap,
    /// A large faint area against the sky.
    Glow,
    /// A point of light.
    Point,
    /// Saturn's ring as a whole, told from a line by the dark gap between it and the globe.
    Ring,
    /// Saturn's ring seen from the side.
    RingLine,
    /// The dark gap between globe and ring.
    RingHole,
    /// A narrow dark or bright ring within the ring, seen at its two ends.
    RingGap,
    /// A soft shade within the ring, seen at its two ends.
    RingDip,
    /// A step of brightness within the ring.
    RingStep,
    /// The shadow of the globe on the ring.
    RingShadow,
    /// The shadow of a moon on the disc.
    MoonShadow,
    /// A moon before the disc.
    MoonBeforeDisc,
    /// The rim of the Earth's shadow on the Moon.
    EarthShadow,
    /// The Moon wholly in the Earth's shadow.
    InEarthShadow,
}

/// How large a detail is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// The narrow way.
    pub across: f64,
    /// The long way; equal to `across` where it is round.
    pub along: f64,
    /// In which unit both are.
    pub unit: SizeUnit,
}

/// Unit of an [`Extent`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SizeUnit {
    /// Kilometres at the body.
    Km,
    /// Fraction of the body's equatorial diameter.
    Diameter,
}

/// Brightness of a detail over that of its surroundings, minus one, near 550 nm:
/// -1 is black, +1 twice as bright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contrast {
    /// What to reckon with.
    pub likely: f64,
    /// The weak end.
    pub weak: f64,
    /// The strong end.
    pub strong: f64,
}

/// What must hold for a detail to be there tonight, and where it shows well. What is not said does not restrict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// How far from the central meridian it shows well, degrees of longitude.
    pub good_window_deg: Option<f64>,
    /// Lit fraction of the disc up to which it is called so.
    pub most_lit: Option<f64>,
    /// Lit fraction of the disc at which half of its contrast is left.
    pub half_contrast_lit: Option<f64>,
    /// Opening of Saturn's ring toward us, either face, up to which it is called so, degrees.
    pub most_opening_deg: Option<f64>,
    /// Good light: height of the Sun over the place (Moon), degrees.
    pub good_sun_deg: Bounds,
    /// Season of Mars as solar longitude, first and last degree; may run through 360.
    pub season_deg: Option<(f64, f64)>,
    /// Shows only when somebody states the longitude of the Red Spot.
    pub needs_red_spot: bool,
}

/// From `least` to `most`, either end open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Smallest allowed.
    pub least: Option<f64>,
    /// Largest allowed.
    pub most: Option<f64>,
}

/// Where the figures of a row come from, each in words that begin with `published:`, `measured:`,
/// `computed:`, `from memory` or `none needed`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DetailSources {
    /// Of the position.
    pub position: String,
    /// Of the size.
    pub size: String,
    /// Of the contrast or magnitude.
    pub contrast: String,
}

/// All details, in the table's order.
pub fn details() -> &'static [Detail] {
    &DETAILS
}

/// The details of one body, in the table's order.
pub fn details_of(body: Body) -> impl Iterator<Item = &'static Detail> {
    details().iter().filter(move |detail| detail.body == body)
}

/// The detail of that `id`.
pub fn detail(id: &str) -> Option<&'static Detail> {
    details().iter().find(|detail| detail.id == id)
}

impl Detail {
    /// How it is called.
    pub fn caption(&self) -> Caption {
        Caption {
            id: self.id.clone(),
            name: CaptionName::Said(self.name.clone()),
            say: self.say.clone(),
            among_stars: false,
        }
    }
}

impl Shape {
    /// There while an eclipse of the Moon lasts.
    pub fn is_of_an_eclipse(self) -> bool {
        matches!(self, Shape::EarthShadow | Shape::InEarthShadow)
    }

    /// Whether it is part of Saturn's ring and depends on its opening.
    pub fn is_of_the_ring(self) -> bool {
        use Shape::*;
        matches!(
            self,
            Ring | RingLine | RingHole | RingGap | RingDip | RingStep | RingShadow
        )
    }
}

impl Bounds {
    /// Whether the value lies within, ends included.
    pub fn holds(&self, value: f64) -> bool {
        self.outside(value) == 0.0
    }

    /// By how much the value lies outside; 0 within.
    pub fn outside(&self, value: f64) -> f64 {
        let below = self.least.map_or(0.0, |least| least - value);
        let above = self.most.map_or(0.0, |most| value - most);
        below.max(above).max(0.0)
    }
}

const TABLE: &str = include_str!("../../data/details.csv");

static DETAILS: LazyLock<Vec<Detail>> = LazyLock::new(|| {
    let rows = tables::rows(TABLE);
    rows.into_iter().map(detail_of).collect()
});

/// The table as it stands in the file, one field a column.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DetailRow {
    id: String,
    body: Body,
    name: String,
    shape: Shape,
    size: Option<f64>,
    length: Option<f64>,
    size_unit: Option<SizeUnit>,
    relief_km: Option<f64>,
    contrast: Option<f64>,
    contrast_low: Option<f64>,
    contrast_high: Option<f64>,
    albedo: Option<f64>,
    magnitude: Option<f64>,
    orbit_km: Option<f64>,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    good_window_deg: Option<f64>,
    max_lit: Option<f64>,
    half_contrast_lit: Option<f64>,
    max_opening_deg: Option<f64>,
    good_sun_from_deg: Option<f64>,
    good_sun_until_deg: Option<f64>,
    season_from_deg: Option<f64>,
    season_until_deg: Option<f64>,
    needs: Option<Needs>,
    satellite: Option<Satellite>,
    say: String,
    position_basis: String,
    size_basis: String,
    contrast_basis: String,
}

/// What only the observer can say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Needs {
    RedSpot,
}

fn detail_of(row: DetailRow) -> Detail {
    Detail {
        extent: Extent {
            across: row.size.unwrap_or(0.0),
            along: row.length.or(row.size).unwrap_or(0.0),
            unit: row.size_unit.unwrap_or(SizeUnit::Km),
        },
        contrast: row.contrast.map(|likely| Contrast {
            likely,
            weak: row.contrast_low.unwrap_or(likely),
            strong: row.contrast_high.unwrap_or(likely),
        }),
        conditions: conditions_of(&row),
        basis: DetailSources {
            position: row.position_basis,
            size: row.size_basis,
            contrast: row.contrast_basis,
        },
        id: row.id,
        body: row.body,
        name: row.name,
        shape: row.shape,
        albedo: row.albedo,
        relief_km: row.relief_km,
        magnitude: row.magnitude,
        orbit_km: row.orbit_km,
        latitude_deg: row.latitude_deg,
        longitude_deg: row.longitude_deg,
        satellite: row.satellite,
        say: row.say,
    }
}

fn conditions_of(row: &DetailRow) -> Conditions {
    Conditions {
        good_window_deg: row.good_window_deg,
        most_lit: row.max_lit,
        half_contrast_lit: row.half_contrast_lit,
        most_opening_deg: row.max_opening_deg,
        good_sun_deg: Bounds {
            least: row.good_sun_from_deg,
            most: row.good_sun_until_deg,
        },
        season_deg: row.season_from_deg.zip(row.season_until_deg),
        needs_red_spot: row.needs == Some(Needs::RedSpot),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads() {
        assert!(DETAILS.len() >= 130, "{} rows", DETAILS.len());
        assert!(DETAILS.iter().all(|detail| detail.body != Body::Sun));
    }

    #[test]
    fn a_bad_row_is_refused() {
        let read = tables::read::<DetailRow>;
        assert!(read(&TABLE.replace(",moon,", ",mond,")).is_err());
        assert!(read(&TABLE.replace(",crater,", ",bowl,")).is_err());
    }
}
