//! What would have to come off the glass: nobody can put any on.

/// Heights above the straight line in `x = (r / rim)^2` that lies nowhere above them and leaves least to take off.
///
/// A straight line in x is a paraboloid, of whatever focal length. Of all that touch from below, the least glass comes
/// off above the one that supports the points under the middle of the area, `x = 1/2`: the side of the lower hull there.
/// `points` go outward, `(x, height nm)`.
pub(super) fn above_the_lowest(points: &[(f64, f64)]) -> Vec<f64> {
    let line = support(points);
    points
        .iter()
        .map(|(x, height)| (height - line(*x)).max(0.0))
        .collect()
}

fn support(points: &[(f64, f64)]) -> impl Fn(f64) -> f64 {
    let hull = lower_hull(points);
    let beyond = hull.partition_point(|point| point.0 < MIDDLE_OF_AREA);
    let right = beyond.clamp(1.min(hull.len() - 1), hull.len() - 1);
    let (from, to) = (hull[right.saturating_sub(1)], hull[right]);
    let slope = match to.0 > from.0 {
        true => (to.1 - from.1) / (to.0 - from.0),
        false => 0.0,
    };
    move |x| from.1 + slope * (x - from.0)
}

/// Andrew's monotone chain (1979).
fn lower_hull(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut hull: Vec<(f64, f64)> = Vec::new();
    for point in points {
        while let [.., a, b] = hull[..]
            && (b.0 - a.0) * (point.1 - a.1) <= (b.1 - a.1) * (point.0 - a.0)
        {
            hull.pop();
        }
        hull.push(*point);
    }
    hull
}

const MIDDLE_OF_AREA: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_added_and_a_paraboloid_needs_nothing() {
        let line = [(0.1, 5.0), (0.5, 1.0), (0.9, -3.0)];
        assert!(above_the_lowest(&line).iter().all(|nm| nm.abs() < 1e-12));
        // A high middle zone: just that comes off.
        let ring = above_the_lowest(&[(0.1, 0.0), (0.3, 0.0), (0.5, 60.0), (0.7, 0.0), (0.9, 0.0)]);
        assert_eq!(ring, [0.0, 0.0, 60.0, 0.0, 0.0]);
        // A trench: all else comes down to it, as little as may be.
        let trench =
            above_the_lowest(&[(0.1, 0.0), (0.3, 0.0), (0.5, -60.0), (0.7, 0.0), (0.9, 0.0)]);
        assert!(trench.iter().all(|nm| *nm >= 0.0) && trench[2] == 0.0);
        assert!((trench[0] - 60.0).abs() < 61.0 && trench.iter().sum::<f64>() < 300.0);
    }

    /// An under-corrected mirror is high at the middle and at the rim, an over-corrected one between.
    #[test]
    fn conics() {
        let heights = |k: f64| -> Vec<f64> {
            let points: Vec<(f64, f64)> = (0..5)
                .map(|zone| 0.1 + 0.2 * f64::from(zone))
                .map(|x| (x, k * x * x))
                .collect();
            above_the_lowest(&points)
        };
        let under = heights(100.0);
        assert!(under[0] > under[1] && under[4] > under[3] && under[2] < 1e-9);
        let over = heights(-100.0);
        assert!(over[0] < 1e-9 && over[4] < 1e-9 && over[2] > 10.0);
    }
}
