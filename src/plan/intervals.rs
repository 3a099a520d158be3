//! Stretches of time in which something holds, and what two of them have in common.

use crate::sky::search::Crossing;

/// One stretch, days of TT since J2000.0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Its start.
    pub from: f64,
    /// Its end.
    pub until: f64,
}

impl Interval {
    /// Length in days.
    pub fn days(&self) -> f64 {
        self.until - self.from
    }

    /// Whether an instant lies inside, ends included.
    pub fn contains(&self, at: f64) -> bool {
        self.from <= at && at <= self.until
    }
}

/// The stretches of `whole` in which a function is above zero, from its crossings of zero in order
/// and whether it is above zero at the start.
pub fn above_zero(whole: Interval, crossings: &[Crossing], at_start: bool) -> Vec<Interval> {
    let mut stretches = Vec::new();
    let mut open = at_start.then_some(whole.from);
    for crossing in crossings {
        match (open, crossing.rising) {
            (None, true) => open = Some(crossing.at),
            (Some(from), false) => {
                stretches.push(Interval {
                    from,
                    until: crossing.at,
                });
                open = None;
            }
            // Two risings in a row can only be rounding at the very start.
            _ => {}
        }
    }
    if let Some(from) = open {
        stretches.push(Interval {
            from,
            until: whole.until,
        });
    }
    stretches
}

/// What two lists of stretches, each in order, have in common.
pub fn common(a: &[Interval], b: &[Interval]) -> Vec<Interval> {
    let mut both = Vec::new();
    for left in a {
        for right in b {
            let shared = Interval {
                from: left.from.max(right.from),
                until: left.until.min(right.until),
            };
            if shared.from < shared.until {
                both.push(shared);
            }
        }
    }
    both
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(from: f64, until: f64) -> Interval {
        Interval { from, until }
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
