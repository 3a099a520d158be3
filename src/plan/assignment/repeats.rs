//! What stays on a target that others show too take from a plan, and how many pay at a price.

/// Of one target: the cost of the first stay, the second, the third ... never falling, from the last on the same.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Repeats {
    steps: Vec<f64>,
}

impl Repeats {
    /// From a list that does not fall.
    pub fn new(steps: &[f64]) -> Self {
        Repeats {
            steps: steps.to_vec(),
        }
    }

    /// The costs told apart.
    pub fn steps(&self) -> impl Iterator<Item = &f64> {
        self.steps.iter()
    }

    /// Of so many stays together.
    pub fn cost(&self, n: usize) -> f64 {
        (0..n).map(|nth| self.step(nth)).sum()
    }

    /// One stay is somebody else's: what is left begins with the second.
    pub fn after_one(&mut self) {
        if self.steps.len() > 1 {
            self.steps.remove(0);
        }
    }

    /// If each stay were paid with this price: the most there is to earn, with at most so many.
    pub fn earned(&self, price: f64, most: usize) -> f64 {
        let gains = (0..most).map(|nth| price - self.step(nth));
        gains.take_while(|gain| 0.0 < *gain).sum()
    }

    /// The number of stays with which that is earned; of several the nearest to `near`.
    pub fn supply(&self, price: f64, most: usize, near: usize) -> usize {
        let n_below = |pays: &dyn Fn(f64) -> bool| {
            let steps = 0..most;
            steps.take_while(|nth| pays(self.step(*nth))).count()
        };
        let least = n_below(&|step| step < price);
        let largest = n_below(&|step| step <= price);
        near.clamp(least, largest)
    }

    /// Of the nth, from 0.
    pub fn step(&self, nth: usize) -> f64 {
        let step = self.steps.get(nth).or(self.steps.last());
        step.copied().unwrap_or(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn costs_and_supply_of_a_rising_row() {
        let mut repeats = Repeats::new(&[0.0, 1.0, 3.0]);
        assert_eq!(
            [0, 1, 2, 3, 5].map(|n| repeats.cost(n)),
            [0.0, 0.0, 1.0, 4.0, 10.0]
        );
        assert_eq!(repeats.earned(2.0, 9), 3.0);
        assert_eq!(repeats.supply(2.0, 9, 7), 2);
        assert_eq!(repeats.supply(1.0, 9, 0), 1);
        assert_eq!(repeats.supply(1.0, 9, 5), 2);
        assert_eq!(repeats.supply(4.0, 9, 0), 9);
        repeats.after_one();
        assert_eq!([1, 2].map(|n| repeats.cost(n)), [1.0, 4.0]);
        assert_eq!(Repeats::default().cost(7), 0.0);
        assert_eq!(Repeats::default().supply(0.0, 9, 4), 4);
    }
}
