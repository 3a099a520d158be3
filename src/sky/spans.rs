//! Stretches of time in which something holds, and what two of them have in common.

use crate::sky::almanac::Span;
use crate::sky::search::Crossing;

/// The stretches of `whole` in which a function is above zero, from its crossings of zero in order
/// and whether it is above zero at the start.
pub fn above_zero(whole: Span, crossings: &[Crossing], at_start: bool) -> Vec<Span> {
    let mut stretches = Vec::new();
    let mut open = at_start.then_some(whole.from_tt_days);
    for crossing in crossings {
        match (open, crossing.rising) {
            (None, true) => open = Some(crossing.at),
            (Some(from_tt_days), false) => {
                stretches.push(Span {
                    from_tt_days,
                    until_tt_days: crossing.at,
                });
                open = None;
            }
            // Two risings in a row can only be rounding at the very start.
            _ => {}
        }
    }
    if let Some(from_tt_days) = open {
        stretches.push(Span {
            from_tt_days,
            until_tt_days: whole.until_tt_days,
        });
    }
    stretches
}

/// What two lists of stretches, each in order, have in common.
pub fn common(a: &[Span], b: &[Span]) -> Vec<Span> {
    let mut both = Vec::new();
    for left in a {
        for right in b {
            let shared = Span {
                from_tt_days: left.from_tt_days.max(right.from_tt_days),
                until_tt_days: left.until_tt_days.min(right.until_tt_days),
            };
            if shared.from_tt_days < shared.until_tt_days {
                both.push(shared);
            }
        }
    }
    both
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(from_tt_days: f64, until_tt_days: f64) -> Span {
        Span {
            from_tt_days,
            until_tt_days,
        }
    }

    #[test]
    fn crossings_become_stretches() {
        let cross = |at, rising| Crossing { at, rising };
        let whole = stretch(0.0, 1.0);
        assert_eq!(above_zero(whole, &[], true), [whole]);
        assert_eq!(above_zero(whole, &[], false), []);
        assert_eq!(
            above_zero(whole, &[cross(0.2, false), cross(0.7, true)], true),
            [stretch(0.0, 0.2), stretch(0.7, 1.0)]
        );
    }

    #[test]
    fn common_stretches() {
        let day = [stretch(0.0, 0.3), stretch(0.6, 1.0)];
        assert_eq!(
            common(&day, &[stretch(0.2, 0.7)]),
            [stretch(0.2, 0.3), stretch(0.6, 0.7)]
        );
        assert_eq!(common(&day, &[stretch(0.4, 0.5)]), []);
    }
}
