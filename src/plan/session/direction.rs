//! Where to point: an azimuth, an altitude, and what everybody at the place knows below it.

use crate::workshop::Mark;

/// Where to point.
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// From north through east, 0 to 360.
    pub azimuth_deg: f64,
    /// With refraction.
    pub altitude_deg: f64,
    /// The nearest of the site's named marks, if one is near enough to help.
    pub mark: Option<NearMark>,
}

/// A named mark of the horizon beside a target.
#[derive(Debug, Clone, PartialEq)]
pub struct NearMark {
    /// As the workshop file calls it.
    pub name: String,
    /// Azimuth of the target less that of the mark's nearer edge, -180 to 180: below 0 the target is left of the mark, above 0
    /// right of it, 0 between its edges.
    pub right_of_it_deg: f64,
    /// On which side it stands for whoever points.
    pub side: SideOfMark,
}

/// Where a target stands beside a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideOfMark {
    /// Farther to the left.
    Left,
    /// Above it.
    Over,
    /// Farther to the right.
    Right,
}

/// A mark farther to the side than three fists helps nobody.
const NEAR_MARK_DEG: f64 = 30.0;

/// Nearer than this to its edge a target stands over a mark: nobody who points tells more.
const OVER_MARK_DEG: f64 = 3.0;

/// The nearest of the marks; of those that it stands over, the narrowest: it says most.
pub(super) fn near_mark(marks: &[Mark], azimuth_deg: f64) -> Option<NearMark> {
    let beside = |mark: &Mark| {
        let off_deg = mark.right_of_it_deg(azimuth_deg).abs();
        if off_deg < OVER_MARK_DEG {
            0.0
        } else {
            off_deg
        }
    };
    let near = marks.iter().filter(|mark| beside(mark) <= NEAR_MARK_DEG);
    let nearest = near.min_by(|a, b| {
        let by_distance = beside(a).total_cmp(&beside(b));
        by_distance.then(a.width_deg.total_cmp(&b.width_deg))
    })?;
    let right_of_it_deg = nearest.right_of_it_deg(azimuth_deg);
    Some(NearMark {
        name: nearest.name.clone(),
        right_of_it_deg,
        side: match beside(nearest) {
            0.0 => SideOfMark::Over,
            _ if right_of_it_deg < 0.0 => SideOfMark::Left,
            _ => SideOfMark::Right,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(name: &str, azimuth_deg: f64, width_deg: f64) -> Mark {
        Mark {
            azimuth_deg,
            width_deg,
            name: name.to_string(),
        }
    }

    #[test]
    fn what_stands_over_a_wide_mark_is_over_it() {
        let marks = [
            mark("gym wall", 120.0, 35.0),
            mark("chimney", 140.0, 0.0),
            mark("school", 340.0, 30.0),
            mark("poplar", 200.0, 0.0),
        ];
        for (azimuth_deg, want) in [
            (117.5, Some(("gym wall", SideOfMark::Over))),
            (116.0, Some(("gym wall", SideOfMark::Left))),
            (91.0, Some(("gym wall", SideOfMark::Left))),
            (89.0, None),
            // The narrow one within the wide one says more; beside it the wide one says how it is.
            (138.0, Some(("chimney", SideOfMark::Over))),
            (145.0, Some(("gym wall", SideOfMark::Over))),
            (160.0, Some(("gym wall", SideOfMark::Right))),
            (190.0, Some(("poplar", SideOfMark::Left))),
            // Over north.
            (338.0, Some(("school", SideOfMark::Over))),
            (359.9, Some(("school", SideOfMark::Over))),
            (0.1, Some(("school", SideOfMark::Over))),
            (12.0, Some(("school", SideOfMark::Over))),
            (14.0, Some(("school", SideOfMark::Right))),
            (330.0, Some(("school", SideOfMark::Left))),
            (41.0, None),
        ] {
            let got = near_mark(&marks, azimuth_deg);
            let got = got.as_ref().map(|near| (near.name.as_str(), near.side));
            assert_eq!(got, want, "{azimuth_deg}");
        }
    }
}
