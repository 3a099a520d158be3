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
    /// A long thin line: a valley, a cliff, a ray.
    Line,
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
    /// Saturn's ring as a whole.
    Ring,
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

/// What must hold for a detail to be there tonight. An open end does not restrict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// How far from the central meridian it may stand, degrees of longitude.
    pub window_deg: Option<f64>,
    /// The body's diameter, arcseconds.
    pub diameter_arcsec: Bounds,
    /// Lit fraction of the disc.
    pub lit: Bounds,
    /// Angle Sun-body-observer, degrees.
    pub phase_angle_deg: Bounds,
    /// Opening of Saturn's ring toward us, either face, degrees.
    pub opening_deg: Bounds,
    /// Height of the Sun over the place (Moon), degrees.
    pub sun_altitude_deg: Bounds,
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
        }
    }
}

impl Shape {
    /// Whether it is part of Saturn's ring and depends on its opening.
    pub fn is_of_the_ring(self) -> bool {
        use Shape::*;
        matches!(
            self,
            Ring | RingHole | RingGap | RingDip | RingStep | RingShadow
        )
    }
}

impl Bounds {
    /// Whether the value lies within, ends included.
    pub fn holds(&self, value: f64) -> bool {
        self.least.is_none_or(|least| least <= value) && self.most.is_none_or(|most| value <= most)
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
    magnitude: Option<f64>,
    orbit_km: Option<f64>,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    window_deg: Option<f64>,
    min_diameter_arcsec: Option<f64>,
    min_lit: Option<f64>,
    max_lit: Option<f64>,
    min_phase_deg: Option<f64>,
    min_opening_deg: Option<f64>,
    max_opening_deg: Option<f64>,
    min_sun_deg: Option<f64>,
    max_sun_deg: Option<f64>,
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
    let span = |least, most| Bounds { least, most };
    Conditions {
        window_deg: row.window_deg,
        diameter_arcsec: span(row.min_diameter_arcsec, None),
        lit: span(row.min_lit, row.max_lit),
        phase_angle_deg: span(row.min_phase_deg, None),
        opening_deg: span(row.min_opening_deg, row.max_opening_deg),
        sun_altitude_deg: span(row.min_sun_deg, row.max_sun_deg),
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
