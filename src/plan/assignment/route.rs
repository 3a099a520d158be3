//! The best path of one telescope at given prices, exactly: backwards through the slots, over all stays that can begin in
//! each, remembering how many have begun.

use crate::plan::assignment::board::{Board, Cell, Limits, Path, showings};

/// What showings cost beside worth.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    /// By slot and target, taken from worth.
    pub crowd: Vec<f64>,
    /// By target, added for each stay on it.
    pub must: Vec<f64>,
    /// By target, taken for each stay on it.
    pub again: Vec<f64>,
}

impl Prices {
    /// Everything free.
    pub fn none(board: &Board) -> Self {
        Prices {
            crowd: vec![0.0; board.room.len()],
            must: vec![0.0; board.n_targets],
            again: vec![0.0; board.n_targets],
        }
    }

    /// All of them.
    pub fn all(&self) -> impl Iterator<Item = &f64> {
        self.crowd.iter().chain(&self.must).chain(&self.again)
    }
}

/// One telescope's question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ask<'a> {
    pub board: &'a Board,
    pub telescope: usize,
    pub limits: &'a Limits,
    pub prices: &'a Prices,
    /// By slot and target: taken by others; empty: nothing is.
    pub full: &'a [bool],
}

/// A path and what it is worth at the prices asked.
#[derive(Debug, Clone)]
pub(super) struct Route {
    pub path: Path,
    pub value: f64,
}

/// What to do next with nothing held: a target and the slot in which the stay on it ends, or rest.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Begun {
    target: usize,
    end: usize,
}

const REST: Begun = Begun {
    target: usize::MAX,
    end: usize::MAX,
};

/// The best to do, and the best that is not to begin the same target: what one comes from is not begun anew, or it would be
/// as fresh as the first time.
#[derive(Debug, Clone, Copy)]
struct Free {
    best: f64,
    begun: Begun,
    other: f64,
    other_begun: Begun,
}

impl Free {
    const NOTHING: Free = Free {
        best: f64::NEG_INFINITY,
        begun: REST,
        other: f64::NEG_INFINITY,
        other_begun: REST,
    };

    const END: Free = Free {
        best: 0.0,
        other: 0.0,
        ..Free::NOTHING
    };

    fn offer(&mut self, value: f64, begun: Begun) {
        if begun.target == self.begun.target {
            if self.best < value {
                (self.best, self.begun) = (value, begun);
            }
        } else if self.best < value {
            (self.other, self.other_begun) = (self.best, self.begun);
            (self.best, self.begun) = (value, begun);
        } else if self.other < value {
            (self.other, self.other_begun) = (value, begun);
        }
    }

    /// Value and choice after a stay on `left`.
    fn after(&self, left: usize) -> (f64, Begun) {
        match self.begun.target == left && left != REST.target {
            true => (self.other, self.other_begun),
            false => (self.best, self.begun),
        }
    }
}

/// Tables of the walk, kept from one question to the next.
#[derive(Debug, Default)]
pub(super) struct Walk {
    /// By slot and layer.
    free: Vec<Free>,
    /// Elementary steps walked so far.
    pub steps: u64,
}

/// Whether a telescope may go this way by the rules and its wishes, the others aside.
pub(super) fn is_legal(board: &Board, telescope: usize, path: &Path) -> bool {
    let row = &board.rows[telescope];
    let mut permitted = vec![false; board.room.len()];
    for (slot, target) in showings(path) {
        let at = slot * board.n_targets + target;
        permitted[at] = row.open[at];
    }
    let mut wishes = row.forced.iter().zip(path);
    let ask = Ask {
        board,
        telescope,
        limits: &Limits {
            permitted,
            forced: path.clone(),
        },
        prices: &Prices::none(board),
        full: &[],
    };
    wishes.all(|(wish, shown)| wish.is_none() || wish == shown)
        && Walk::default().route(&ask).is_some()
}

impl Walk {
    /// The best path, or `None` where the limits leave no path.
    pub fn route(&mut self, ask: &Ask) -> Option<Route> {
        let n_slots = ask.board.n_slots;
        let row = &ask.board.rows[ask.telescope];
        let n_layers = row.n_layers();
        self.free.clear();
        self.free.resize((n_slots + 1) * n_layers, Free::NOTHING);
        self.free[n_slots * n_layers..].fill(Free::END);
        for slot in (0..n_slots).rev() {
            for number in row.first_cell[slot]..row.first_cell[slot + 1] {
                if row.cells[number].may_begin {
                    self.begin(ask, slot, row.cells[number]);
                }
            }
            self.rest(ask, slot);
        }
        self.steps += ask.board.room.len() as u64;
        let value = self.free[0].best;
        (value > f64::NEG_INFINITY).then(|| Route {
            path: self.path(ask),
            value,
        })
    }

    /// Every stay that can begin here, in every layer that can be reached.
    fn begin(&mut self, ask: &Ask, slot: usize, cell: Cell) {
        let Ask { board, prices, .. } = *ask;
        let row = &board.rows[ask.telescope];
        let n_layers = row.n_layers();
        let fresh = &board.fresh[cell.target];
        let mut meanwhile = prices.must[cell.target] - prices.again[cell.target];
        let mut at = cell.at;
        for end in slot + 1..=board.n_slots {
            let is_full = ask.full.get(at).copied().unwrap_or(false);
            if !ask.limits.permitted[at] || is_full {
                break;
            }
            meanwhile += row.worth[at] * fresh[end - 1 - slot] - prices.crowd[at];
            at += board.n_targets;
            if end < cell.end {
                continue;
            }
            let begun = Begun {
                target: cell.target,
                end,
            };
            // Before a slot no more stays can have begun than there are slots.
            for layer in 0..n_layers.min(slot + 1) {
                let Some(next) = row.next_layer(layer) else {
                    break;
                };
                let cost = if layer == 0 { 0.0 } else { row.cost };
                let (later, _) = self.free[end * n_layers + next].after(cell.target);
                self.free[slot * n_layers + layer].offer(meanwhile - cost + later, begun);
            }
            self.steps += n_layers as u64;
        }
    }

    /// Or nothing, unless something is wished; a stay goes before an equal rest.
    fn rest(&mut self, ask: &Ask, slot: usize) {
        if ask.limits.forced[slot].is_some() {
            return;
        }
        let n_layers = ask.board.rows[ask.telescope].n_layers();
        for layer in 0..n_layers {
            let later = self.free[(slot + 1) * n_layers + layer].best;
            self.free[slot * n_layers + layer].offer(later, REST);
        }
    }

    /// Follows the choices forward.
    fn path(&self, ask: &Ask) -> Path {
        let n_slots = ask.board.n_slots;
        let row = &ask.board.rows[ask.telescope];
        let mut path = vec![None; n_slots];
        let (mut slot, mut layer, mut left) = (0, 0, REST.target);
        while slot < n_slots {
            let (_, begun) = self.free[slot * row.n_layers() + layer].after(left);
            left = begun.target;
            if begun == REST {
                slot += 1;
                continue;
            }
            layer = row.next_layer(layer).unwrap_or(layer);
            path[slot..begun.end].fill(Some(begun.target));
            slot = begun.end;
        }
        path
    }
}
