//! Numbers and words along the edges of a chart, and where on the paper its frame stands.

/// A rectangle of the paper, from its upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Area {
    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub(super) fn holds(&self, (x, y): (f64, f64)) -> bool {
        self.left <= x && x <= self.right && self.top <= y && y <= self.bottom
    }

    /// Its point that is nearest to another.
    pub(super) fn nearest(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (
            x.clamp(self.left, self.right),
            y.clamp(self.top, self.bottom),
        )
    }

    /// From a point; nought inside.
    pub(super) fn distance(&self, at: (f64, f64)) -> f64 {
        let nearest = self.nearest(at);
        (at.0 - nearest.0).hypot(at.1 - nearest.1)
    }

    /// Whether they share some paper.
    pub(super) fn meets(&self, other: &Area) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(super) fn lies_in(&self, other: &Area) -> bool {
        other.holds((self.left, self.top)) && other.holds((self.right, self.bottom))
    }

    pub(super) fn wider_by(&self, margin: f64) -> Area {
        Area {
            left: self.left - margin,
            right: self.right + margin,
            top: self.top - margin,
            bottom: self.bottom + margin,
        }
    }
}

/// Numbers along an edge.
pub(super) struct Axis {
    pub(super) title: String,
    pub(super) low: f64,
    pub(super) high: f64,
    named: Option<Vec<(f64, String)>>,
}

impl Axis {
    /// With round numbers.
    pub(super) fn new(title: &str, low: f64, high: f64) -> Axis {
        Axis {
            title: title.to_string(),
            low,
            high,
            named: None,
        }
    }

    /// With words at chosen places.
    pub(super) fn named(title: &str, (low, high): (f64, f64), ticks: Vec<(f64, String)>) -> Axis {
        Axis {
            named: Some(ticks),
            ..Axis::new(title, low, high)
        }
    }

    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// Where something is written, and what.
    pub(super) fn ticks(&self) -> Vec<(f64, String)> {
        match &self.named {
            Some(ticks) => ticks.clone(),
            None => (self.round().into_iter())
                .map(|tick| (tick, tick_words(tick)))
                .collect(),
        }
    }

    /// Round numbers, five to ten of them.
    fn round(&self) -> Vec<f64> {
        let rough = (self.high - self.low) / 8.0;
        let power = 10f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|factor| factor * power)
            .find(|step| rough <= *step)
            .unwrap_or(power);
        let first = (self.low / step - 1e-9).ceil() as i64;
        let last = (self.high / step + 1e-9).floor() as i64;
        (first..=last).map(|tick| tick as f64 * step).collect()
    }
}

/// Two digits after the point at most, none that are nought.
pub(super) fn tick_words(value: f64) -> String {
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        String::from("0")
    } else {
        short.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_minus_before_a_nought() {
        assert_eq!(tick_words(-0.001), "0");
        assert_eq!(tick_words(0.25), "0.25");
        assert_eq!(tick_words(-20.0), "-20");
    }

    #[test]
    fn ticks_are_round_and_few() {
        for (low, high) in [
            (0.0, 75.0),
            (-56.7, 56.7),
            (0.0, 1.0),
            (-0.012, 0.009),
            (0.0, 2.24),
        ] {
            let ticks = Axis::new("", low, high).round();
            assert!((4..=9).contains(&ticks.len()), "{low} {high}: {ticks:?}");
            assert!(ticks.iter().all(|tick| low <= *tick && *tick <= high));
        }
        assert_eq!(Axis::new("", 0.0, 1.0).round().last(), Some(&1.0));
    }
}
