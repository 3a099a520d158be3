//! Feeler gauges under a straightedge: how sure a stack of them is, and which of them make up a depth.

/// By how much a blade may differ from what is etched on it, of its thickness; worn, bent, with a film of water
/// between it and the next. Common practice, no source.
const BLADE_OFF_SHARE: f64 = 0.03;

/// The least that a blade may be off, mm. Common practice, no source.
const BLADE_OFF_LEAST_MM: f64 = 0.01;

/// Blades of a usual set, hundredths of a millimetre, each there once: 0.02, 0.03, 0.04, and 0.05 to 1.00 by 0.05.
/// Common practice, no source.
const USUAL_SET: [usize; 23] = [
    2, 3, 4, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100,
];

/// Half-width within which the thickness of a stack of blades is known, mm: each blade's own, added as the root of
/// squares.
pub fn stack_uncertainty_mm(blades_mm: &[f64]) -> f64 {
    let squares = blades_mm
        .iter()
        .map(|blade_mm| (BLADE_OFF_SHARE * blade_mm).max(BLADE_OFF_LEAST_MM).powi(2));
    squares.sum::<f64>().sqrt()
}

/// The fewest blades of a usual set that make up a depth to the hundredth of a millimetre, thickest first; of as few the
/// thicker ones. `None` where the set does not.
pub fn fewest_blades_mm(depth_mm: f64) -> Option<Vec<f64>> {
    let most: usize = USUAL_SET.iter().sum();
    let wanted = (100.0 * depth_mm).round();
    if !(0.0 < wanted && wanted <= most as f64) {
        return None;
    }
    let wanted = wanted as usize;
    // For every sum the best set of blades so far, a bit each; sums downward, so that no blade is taken twice.
    let mut best: Vec<Option<u32>> = vec![None; wanted + 1];
    best[0] = Some(0);
    for (idx, blade) in USUAL_SET.into_iter().enumerate() {
        for sum in (blade..=wanted).rev() {
            let with = best[sum - blade].map(|taken| taken | 1 << idx);
            best[sum] = with.into_iter().chain(best[sum]).max_by_key(|taken| {
                // Few blades first, then thick ones.
                (std::cmp::Reverse(taken.count_ones()), *taken)
            });
        }
    }
    let taken = best[wanted]?;
    let blades = USUAL_SET.into_iter().enumerate().rev();
    Some(
        blades
            .filter(|(idx, _)| taken >> idx & 1 == 1)
            .map(|(_, blade)| blade as f64 / 100.0)
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// By hand: 3 % of 1.00 is 0.03, of 0.15 less than the least 0.01; their root of squares.
    #[test]
    fn a_stack_is_as_sure_as_its_blades() {
        close("one", stack_uncertainty_mm(&[1.0]), 0.03, 1e-12);
        close("thin", stack_uncertainty_mm(&[0.05]), 0.01, 1e-12);
        let two_mm = stack_uncertainty_mm(&[1.0, 0.15]);
        close("two", two_mm, 1e-3f64.sqrt(), 1e-12);
    }

    #[test]
    fn blades_that_make_up_a_depth() {
        for (depth_mm, want) in [
            (1.0, Some(vec![1.0])),
            (1.15, Some(vec![1.0, 0.15])),
            (1.17, Some(vec![1.0, 0.15, 0.02])),
            (0.0651, Some(vec![0.05, 0.02])),
            (2.5, Some(vec![1.0, 0.95, 0.55])),
            (0.01, None),
            (0.0, None),
            (11.0, None),
            (f64::NAN, None),
        ] {
            assert_eq!(fewest_blades_mm(depth_mm), want, "{depth_mm}");
        }
    }

    /// Every hundredth from 0.05 to the whole set less its thinnest, no blade twice, their sum what was wanted.
    #[test]
    fn nearly_every_depth_can_be_made_up() {
        let most: usize = USUAL_SET.iter().sum();
        for wanted in 5..most - 9 {
            let blades_mm = fewest_blades_mm(wanted as f64 / 100.0).unwrap_or_default();
            let sum_mm: f64 = blades_mm.iter().sum();
            close("sum", sum_mm, wanted as f64 / 100.0, 1e-9);
            assert!(blades_mm.windows(2).all(|pair| pair[0] > pair[1]));
        }
    }
}
