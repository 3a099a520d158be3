//! How far demand exceeds what there is: the direction in which prices move.

use crate::plan::assignment::board::{Board, Plan};
use crate::plan::assignment::route::Prices;

/// Excess by price, or its mean over many sweeps.
#[derive(Debug, Clone)]
pub(super) struct Excess {
    /// By slot and target: telescopes beyond those that may be.
    crowd: Vec<f64>,
    /// By target: stays lacking to the one that has to be, negative if there are more.
    must: Vec<f64>,
    /// By target: stays beyond those that pay at the price of repeats.
    again: Vec<f64>,
}

/// Least and largest share of the newest sweep in the mean.
const NEWEST: (f64, f64) = (0.03, 0.1);

impl Excess {
    /// Of paths, each legal for its telescope, asked for at these prices.
    pub fn of(board: &Board, paths: &Plan, prices: &Prices) -> Self {
        let n_stays = board.n_stays(paths);
        let again = (n_stays.iter().zip(&board.most_stays))
            .zip(board.repeats.iter().zip(&prices.again))
            .map(|((n, most), (repeats, price))| {
                *n as f64 - repeats.supply(*price, *most, *n) as f64
            });
        let demand = board.demand(paths).into_iter().zip(&board.room);
        let stays = n_stays.iter().zip(&board.must);
        Excess {
            crowd: demand.map(|(n, room)| n as f64 - *room as f64).collect(),
            must: stays
                .map(|(n, must)| if *must { 1.0 - *n as f64 } else { 0.0 })
                .collect(),
            again: again.collect(),
        }
    }

    /// The share of the newest that makes the mean shortest, within limits: the shorter the mean, the surer it
    /// points downhill.
    pub fn weight_of(&self, newest: &Excess) -> f64 {
        let (mut along, mut square) = (0.0, 0.0);
        for (mean, new) in self.all().zip(newest.all()) {
            along += mean * (mean - new);
            square += (mean - new).powi(2);
        }
        let (least, most) = NEWEST;
        match 0.0 < square {
            true => (along / square).clamp(least, most),
            false => least,
        }
    }

    /// Moves the mean towards the newest by its share.
    pub fn blend(&mut self, newest: &Excess, share: f64) {
        let mean = (self.crowd.iter_mut())
            .chain(&mut self.must)
            .chain(&mut self.again);
        for (mean, new) in mean.zip(newest.all()) {
            *mean += share * (new - *mean);
        }
    }

    /// Positive where both point the same way.
    pub fn dot(&self, other: &Excess) -> f64 {
        self.all().zip(other.all()).map(|(a, b)| a * b).sum()
    }

    /// Square of its length, without what would only press prices below nothing.
    pub fn square(&self, prices: &Prices) -> f64 {
        let moving = self.all().zip(prices.all());
        moving
            .filter(|(excess, price)| 0.0 < **excess || 0.0 < **price)
            .map(|(excess, _)| excess * excess)
            .sum()
    }

    /// Prices after a step along it.
    pub fn moved(&self, prices: &Prices, step: f64) -> Prices {
        let go = |(price, excess): (&f64, &f64)| (price + step * excess).max(0.0);
        Prices {
            crowd: prices.crowd.iter().zip(&self.crowd).map(go).collect(),
            must: prices.must.iter().zip(&self.must).map(go).collect(),
            again: prices.again.iter().zip(&self.again).map(go).collect(),
        }
    }

    fn all(&self) -> impl Iterator<Item = &f64> {
        self.crowd.iter().chain(&self.must).chain(&self.again)
    }
}
