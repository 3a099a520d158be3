//! Prices on crowded targets, moved until demand fits: a bound on every plan, and the paths asked for at those
//! prices.
//!
//! The dual of the rules that bind telescopes to each other: with a price on each target and slot and a reward for each
//! stay on a target that has to be shown, every telescope is planned alone. What they earn together plus the price of
//! all there is, less the rewards, is no less than the best plan, whatever the prices (Lagrange). Repeats have a price a
//! stay; what somebody paid with it could earn, who carries the true cost, is added.
//!
//! From the best prices so far they move along the *mean* excess demand of many sweeps, not that of the last one: where
//! worths are equal, telescopes jump between targets at the least change of price, and single sweeps point anywhere. The
//! step is the distance to the best plan known over the square of the direction (Polyak). This is the volume
//! algorithm of Barahona and Anbil (Mathematical Programming 87, 2000); its constants here were tried on invented
//! evenings.

use crate::plan::assignment::board::{Board, Limits, Plan, showings};
use crate::plan::assignment::excess::Excess;
use crate::plan::assignment::route::{Ask, Prices, Walk};

/// Where the prices came to.
#[derive(Debug, Clone)]
pub(super) struct Dual {
    /// No plan within the limits has a larger total; minus infinity: there is none.
    pub bound: f64,
    /// At which the bound was reached.
    pub prices: Prices,
    /// What was asked for at these prices.
    pub paths: Plan,
    /// By telescope, slot and target: share of the sweeps in which it was asked for, later ones counting more.
    pub share: Vec<f64>,
}

/// From where the prices move, and how long.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sweeps<'a> {
    pub board: &'a Board,
    pub limits: &'a [Limits],
    pub start: &'a Prices,
    /// At most.
    pub n: usize,
}

/// Sweeps without a better bound after which steps are shortened.
const PATIENCE: usize = 5;

/// By how much.
const SHORTER: f64 = 0.7;

/// Shorter steps, as a share of Polyak's, move nothing any more.
const SHORTEST: f64 = 1e-3;

/// Longer steps are not taken.
const LONGEST: f64 = 2.0;

/// By how much steps grow when the bound falls and the newest sweep agrees with the mean.
const LONGER: f64 = 1.1;

impl Sweeps<'_> {
    /// Moves the prices. `offer` is shown each sweep's paths and prices and answers at which bound to stop: that of the
    /// best plan known, or infinity if there is no more time.
    pub fn dual(
        &self,
        walk: &mut Walk,
        offer: &mut dyn FnMut(&Plan, &Prices, &mut Walk) -> f64,
    ) -> Dual {
        let board = self.board;
        let mut prices = self.start.clone();
        let mut best = Dual {
            bound: f64::INFINITY,
            prices: self.start.clone(),
            paths: Vec::new(),
            share: vec![0.0; board.rows.len() * board.room.len()],
        };
        let mut mean: Option<Excess> = None;
        let (mut stride, mut n_stale) = (1.0, 0);
        for _ in 0..self.n {
            let Some((bound, paths)) = self.asked(&prices, walk) else {
                best.bound = f64::NEG_INFINITY;
                break;
            };
            let stop_at = offer(&paths, &prices, walk);
            let excess = Excess::of(board, &paths, &prices);
            let newest = mean.as_ref().map_or(1.0, |mean| mean.weight_of(&excess));
            let mean = mean.get_or_insert_with(|| excess.clone());
            mean.blend(&excess, newest);
            best.blend(board, &paths, newest);
            if bound < best.bound {
                (best.bound, best.prices, best.paths) = (bound, prices, paths);
                n_stale = 0;
                if 0.0 < mean.dot(&excess) {
                    stride = (stride * LONGER).min(LONGEST);
                }
            } else {
                n_stale += 1;
                if n_stale % PATIENCE == 0 {
                    stride *= SHORTER;
                }
            }
            let square = mean.square(&best.prices);
            let is_still = square <= 0.0 || stride < SHORTEST;
            if board.rounded(best.bound) <= stop_at || is_still {
                break;
            }
            prices = mean.moved(&best.prices, stride * (best.bound - stop_at) / square);
        }
        best
    }

    /// The bound at these prices and everybody's best path; `None` where somebody has none.
    fn asked(&self, prices: &Prices, walk: &mut Walk) -> Option<(f64, Plan)> {
        let crowd = prices.crowd.iter().zip(&self.board.room);
        let mut bound: f64 = crowd.map(|(price, room)| price * *room as f64).sum();
        bound -= prices.must.iter().sum::<f64>();
        let supply = self.board.repeats.iter().zip(&prices.again);
        bound += (supply.zip(&self.board.most_stays))
            .map(|((repeats, price), most)| repeats.earned(*price, *most))
            .sum::<f64>();
        let mut paths = Vec::with_capacity(self.limits.len());
        for (telescope, limits) in self.limits.iter().enumerate() {
            let ask = Ask {
                board: self.board,
                telescope,
                limits,
                prices,
                full: &[],
            };
            let route = walk.route(&ask)?;
            bound += route.value;
            paths.push(route.path);
        }
        Some((bound, paths))
    }
}

impl Dual {
    fn blend(&mut self, board: &Board, paths: &Plan, newest: f64) {
        for share in &mut self.share {
            *share *= 1.0 - newest;
        }
        for (telescope, path) in paths.iter().enumerate() {
            for (slot, target) in showings(path) {
                let row = (telescope * board.n_slots + slot) * board.n_targets;
                self.share[row + target] += newest;
            }
        }
    }
}
