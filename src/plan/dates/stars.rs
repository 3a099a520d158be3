//! Which of what lies beyond the planets counts: the best few, of many kinds.

use std::cmp::Ordering;
use std::f64::consts::TAU;

use crate::plan::dates::course::{Held, sharpness};
use crate::plan::dates::evening::Shown;
use crate::plan::dates::menu::{Item, Sort};
use crate::sky::air::{airmass, refracted_altitude_deg};
use crate::sky::almanac::Span;
use crate::sky::earth::rotation_angle_rad;
use crate::sky::stars::CatalogueStar;
use crate::sky::time::utc_from_tt_days;
use crate::targets::beyond::Beyond;
use crate::targets::deep_sky::DeepSkyKind;
use crate::targets::subject::Subject;
use crate::units::MINUTES_PER_DAY;
use crate::workshop::Site;

/// Lower than this no star is worth the trouble while so much stands higher, degrees.
pub(super) const LOWEST_STAR_DEG: f64 = 25.0;

/// Places are taken as in the year 2000, degrees they may be off by 2100.
const OFF_DEG: f64 = 1.5;

/// One that shows.
pub(super) struct Star {
    pub(super) shown: Shown,
    /// Points, whatever else there is of its kind.
    pub(super) alone: f64,
}

impl Star {
    fn kind(&self) -> Kind {
        kind(&self.shown.outlook.subject())
    }
}

/// The best few so far.
pub(super) struct Stars {
    chosen: Vec<Star>,
    n_most: usize,
    /// A further one of the same kind counts so much of the one before.
    further: f64,
}

impl Stars {
    pub(super) fn new(n_most: usize, further: f64) -> Stars {
        Stars {
            chosen: Vec::new(),
            n_most,
            further,
        }
    }

    /// Whether one that brings so much at most by itself could be among them.
    pub(super) fn has_room_for(&self, subject: &Subject, at_most: f64) -> bool {
        let kind = kind(subject);
        let is_before = |star: &&Star| star.kind() == kind && at_most <= star.alone;
        let n_before = self.chosen.iter().filter(is_before).count();
        let at_most = at_most * self.further.powi(n_before as i32);
        let last = self.chosen.get(self.n_most - 1);
        last.is_none_or(|last| last.shown.points < at_most)
    }

    pub(super) fn take(&mut self, shown: Shown) {
        let alone = shown.points;
        self.chosen.push(Star { shown, alone });
        (self.chosen).sort_by(|a, b| b.alone.total_cmp(&a.alone));
        let mut before: Vec<Kind> = Vec::new();
        for star in &mut self.chosen {
            let kind = star.kind();
            let n_before = before.iter().filter(|other| **other == kind).count();
            star.shown.points = star.alone * self.further.powi(n_before as i32);
            before.push(kind);
        }
        (self.chosen).sort_by(|a, b| most_points_first(&a.shown, &b.shown));
        self.chosen.truncate(self.n_most);
    }

    pub(super) fn shown(self) -> impl Iterator<Item = Shown> {
        self.chosen.into_iter().map(|star| star.shown)
    }
}

pub(super) fn most_points_first(a: &Shown, b: &Shown) -> Ordering {
    b.points.total_cmp(&a.points)
}

/// Pairs of stars, or a kind of what glows: `None`.
type Kind = Option<DeepSkyKind>;

fn kind(subject: &Subject) -> Kind {
    match subject {
        Subject::Beyond(Beyond::DeepSky(object)) => Some(object.kind),
        _ => None,
    }
}

/// Those of the menu that rise high enough in some hours, with what they can bring at most and how long and high they stand
/// at most, most first.
pub(super) fn in_reach<'a>(
    menu: &'a [Item],
    site: &Site,
    within: Span,
) -> Vec<(f64, Held, &'a Item)> {
    let mut in_reach: Vec<(f64, Held, &Item)> = (menu.iter())
        .filter_map(|item| {
            let Sort::Star { at_most } = item.sort else {
                return None;
            };
            let Subject::Beyond(there) = &item.wished.subject else {
                return None;
            };
            let highest_deg = highest_deg(&there.star(), site, within) + OFF_DEG;
            (LOWEST_STAR_DEG <= highest_deg).then(|| {
                let airmass = airmass(highest_deg.min(90.0)).unwrap_or(1.0);
                let held = Held {
                    most: sharpness(airmass.max(1.0)),
                    minutes: within.days() * MINUTES_PER_DAY,
                };
                (at_most, held, item)
            })
        })
        .collect();
    in_reach.sort_by(|(a, at_a, _), (b, at_b, _)| (b * at_b.most).total_cmp(&(a * at_a.most)));
    in_reach
}

/// In those hours, with refraction.
fn highest_deg(star: &CatalogueStar, site: &Site, within: Span) -> f64 {
    let east = site.longitude_deg - star.right_ascension_deg;
    let west_rad = |tt_days| rotation_angle_rad(utc_from_tt_days(tt_days)) + east.to_radians();
    let from_rad = west_rad(within.from_tt_days).rem_euclid(TAU);
    let until_rad = from_rad + within.days() * 1.0028 * TAU;
    let cos_west = if TAU <= until_rad {
        1.0
    } else {
        from_rad.cos().max(until_rad.cos())
    };
    let (lat, dec) = (
        site.latitude_deg.to_radians(),
        star.declination_deg.to_radians(),
    );
    let sine = lat.sin() * dec.sin() + lat.cos() * dec.cos() * cos_west;
    refracted_altitude_deg(sine.clamp(-1.0, 1.0).asin().to_degrees(), site.elevation_m)
}
