//! Prices on crowded targets, moved until demand fits: a bound on every plan, and the paths asked for at those
//! prices.
//!
//! The dual of the rules that bind telescopes to each other: with a price on each target and slot and a reward for each
//! stay on a target that has to be shown, every telescope is planned alone. What they earn together plus the price of
//! all there is, less the rewards, is no less than the best plan, whatever the prices. They follow the
//! unmet demand (subgradient with memory; step length after Polyak: the distance to the best plan known, over
//! the square of the direction).

use crate::plan::assignment::board::Board;
use crate::plan::assignment::board::Limits;
use crate::plan::assignment::board::Plan;
use crate::plan::assignment::board::showings;
use crate::plan::assignment::route::Ask;
use crate::plan::assignment::route::Prices;
use crate::plan::assignment::route::Walk;

/// Where the prices came to.
#[derive(Debug, Clone)]
pub(super) struct Dual {
    /// No plan within the limits has a larger total; minus infinity: there is none.
    pub bound: f64,
    /// At which the bound was reached.
    pub prices: Prices,
    /// What was asked for at these prices.
    pub paths: Plan,
    /// By telescope, slot and target: share of late sweeps in which it was asked for.
    pub share: Vec<f64>,
}

/// One run of sweeps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sweeps {
    /// At most.
    pub n: usize,
    /// First step length, as a share of Polyak's.
    pub stride: f64,
}

/// Sweeps without a better bound after which steps are shortened.
const PATIENCE: usize = 8;

/// By how much.
const SHORTER: f64 = 0.7;

/// Shorter steps than this share move nothing any more.
const SHORTEST: f64 = 1e-3;

/// How much of the last direction is kept.
const MEMORY: f64 = 0.5;

/// Weight of the newest sweep in the shares.
const NEWEST: f64 = 0.1;

/// Moves the prices from where they stand. `offer` is shown each sweep's paths and prices and returns the total of
/// the best plan known, at which the sweeps may stop: no better plan is left within the limits.
pub(super) fn dual(
    board: &Board,
    limits: &[Limits],
    start: &Prices,
    sweeps: Sweeps,
    walk: &mut Walk,
    offer: &mut dyn FnMut(&Plan, &Prices, &mut Walk) -> f64,
) -> Dual {
    let mut prices = start.clone();
    let mut best = Dual {
        bound: f64::INFINITY,
        prices: start.clone(),
        paths: Vec::new(),
        share: vec![0.0; board.rows.len() * board.room.len()],
    };
    let mut direction = Direction::new(board);
    let mut stride = sweeps.stride;
    let mut n_stale = 0;
    for n_done in 0..sweeps.n {
        let Some((bound, paths)) = asked(board, limits, &prices, walk) else {
            best.bound = f64::NEG_INFINITY;
            return best;
        };
        let newest = if n_done == 0 { 1.0 } else { NEWEST };
        blend(&mut best.share, &paths, board, newest);
        let line = offer(&paths, &prices, walk);
        n_stale += 1;
        if bound < best.bound {
            let gain = best.bound - bound;
            if 1e-4 * (bound - line).abs() < gain {
                n_stale = 0;
            }
            best.bound = bound;
            best.prices = prices.clone();
            best.paths = paths.clone();
        }
        let is_flat = direction.turn(board, &paths, &prices);
        if board.rounded(best.bound) <= line || is_flat {
            break;
        }
        if PATIENCE <= n_stale {
            stride *= SHORTER;
            n_stale = 0;
            if stride < SHORTEST {
                break;
            }
            prices = best.prices.clone();
            direction = Direction::new(board);
            direction.turn(board, &best.paths, &prices);
        }
        let step = stride * (bound - line).max(0.0) / direction.square();
        direction.go(&mut prices, step);
    }
    best
}

/// Everybody's best path, and the bound.
fn asked(board: &Board, limits: &[Limits], prices: &Prices, walk: &mut Walk) -> Option<(f64, Plan)> {
    let crowd = prices.crowd.iter().zip(&board.room);
    let mut bound: f64 = crowd.map(|(price, room)| price * *room as f64).sum();
    bound -= prices.must.iter().sum::<f64>();
    let mut paths = Vec::with_capacity(board.rows.len());
    for (telescope, limits) in limits.iter().enumerate() {
        let ask = Ask {
            board,
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

fn blend(share: &mut [f64], paths: &Plan, board: &Board, newest: f64) {
    share.iter_mut().for_each(|share| *share *= 1.0 - newest);
    for (telescope, path) in paths.iter().enumerate() {
        for (slot, target) in showings(path) {
            share[(telescope * board.n_slots + slot) * board.n_targets + target] += newest;
        }
    }
}

/// Where prices go: up with excess demand.
struct Direction {
    crowd: Vec<f64>,
    must: Vec<f64>,
}

impl Direction {
    fn new(board: &Board) -> Self {
        Direction {
            crowd: vec![0.0; board.room.len()],
            must: vec![0.0; board.n_targets],
        }
    }

    /// Turns towards what the paths lack; true if they lack nothing and no price is idle.
    fn turn(&mut self, board: &Board, paths: &Plan, prices: &Prices) -> bool {
        let demand = board.demand(paths);
        let mut is_flat = true;
        for (at, n) in demand.iter().enumerate() {
            let excess = *n as f64 - board.room[at] as f64;
            is_flat &= settle(&mut self.crowd[at], excess, prices.crowd[at]);
        }
        if board.must.contains(&true) {
            let stays = stays_by_target(board, paths);
            for (target, n) in stays.iter().enumerate().filter(|(idx, _)| board.must[*idx]) {
                let lack = 1.0 - *n as f64;
                is_flat &= settle(&mut self.must[target], lack, prices.must[target]);
            }
        }
        is_flat
    }

    fn square(&self) -> f64 {
        let all = self.crowd.iter().chain(&self.must);
        all.map(|x| x * x).sum::<f64>().max(f64::MIN_POSITIVE)
    }

    fn go(&self, prices: &mut Prices, step: f64) {
        let move_on = |price: &mut f64, along: &f64| *price = (*price + step * along).max(0.0);
        let crowd = prices.crowd.iter_mut().zip(&self.crowd);
        crowd.for_each(|(price, along)| move_on(price, along));
        let must = prices.must.iter_mut().zip(&self.must);
        must.for_each(|(price, along)| move_on(price, along));
    }
}

/// Blends one excess into the direction; true if there is nothing to move: neither lack nor an idle price.
fn settle(along: &mut f64, excess: f64, price: f64) -> bool {
    *along = MEMORY * *along + excess;
    if price <= 0.0 && *along < 0.0 {
        *along = 0.0;
    }
    excess == 0.0 || (excess < 0.0 && price <= 0.0)
}

fn stays_by_target(board: &Board, paths: &Plan) -> Vec<usize> {
    let mut stays = vec![0; board.n_targets];
    for path in paths {
        for (slot, target) in showings(path) {
            if slot == 0 || path[slot - 1] != path[slot] {
                stays[target] += 1;
            }
        }
    }
    stays
}
