//! The best path of one telescope at given prices, exactly: backwards through the slots, remembering what it is on
//! and how many stays it has begun.

use crate::plan::assignment::board::Board;
use crate::plan::assignment::board::Cell;
use crate::plan::assignment::board::Limits;
use crate::plan::assignment::board::Path;
use crate::plan::assignment::board::Row;

/// What showings cost beside worth.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    /// By slot and target, taken from worth.
    pub crowd: Vec<f64>,
    /// By target, added for each stay on it.
    pub must: Vec<f64>,
}

impl Prices {
    /// Everything free.
    pub fn none(board: &Board) -> Self {
        Prices {
            crowd: vec![0.0; board.room.len()],
            must: vec![0.0; board.n_targets],
        }
    }

    /// All of them.
    pub fn all(&self) -> impl Iterator<Item = &f64> {
        self.crowd.iter().chain(&self.must)
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

const REST: usize = usize::MAX;

/// The best to do with nothing held, and the best that is not to begin the same target: what one comes from is not
/// begun anew, or a price on stays could be had for staying.
#[derive(Debug, Clone, Copy)]
struct Free {
    best: f64,
    /// Target to begin, or `REST`.
    begun: usize,
    other: f64,
    other_begun: usize,
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

    fn offer(&mut self, value: f64, begun: usize) {
        if self.best < value {
            (self.other, self.other_begun) = (self.best, self.begun);
            (self.best, self.begun) = (value, begun);
        } else if self.other < value {
            (self.other, self.other_begun) = (value, begun);
        }
    }

    /// Value and choice after a stay on `left`.
    fn after(&self, left: usize) -> (f64, usize) {
        match self.begun == left && left != REST {
            true => (self.other, self.other_begun),
            false => (self.best, self.begun),
        }
    }
}

/// A stay that can begin in the slot at hand.
#[derive(Debug, Clone, Copy)]
struct Start {
    cell: Cell,
    /// Priced worth until it may end.
    meanwhile: f64,
}

/// Tables of the walk, kept from one question to the next.
#[derive(Debug, Default)]
pub(super) struct Walk {
    /// By layer and slot.
    free: Vec<Free>,
    /// By layer and cell: the most from there on, with a stay on its target long enough before.
    held: Vec<f64>,
    /// By layer and cell: whether to stay on.
    stays_on: Vec<bool>,
    /// By cell: worth less price; minus infinity where not permitted.
    priced: Vec<f64>,
    /// By cell: priced worth from there to the end of what is permitted.
    tail: Vec<f64>,
    /// By cell: the first slot from there on in which its target is not permitted or not open.
    until: Vec<usize>,
    /// Of the slot at hand.
    starts: Vec<Start>,
    /// Elementary steps walked so far.
    pub steps: u64,
}

impl Walk {
    /// The best path, or `None` where the limits leave no path. Ties: on rather than off, the lowest target.
    pub fn route(&mut self, ask: &Ask) -> Option<Route> {
        let n_slots = ask.board.n_slots;
        let row = &ask.board.rows[ask.telescope];
        self.reset(ask);
        for slot in (0..n_slots).rev() {
            self.price(ask, slot);
            // Before a slot no more stays can have begun than there are slots.
            for layer in 0..row.n_layers().min(slot + 1) {
                self.begin(ask, slot, layer);
                self.hold(ask, slot, layer);
            }
        }
        let value = self.free[0].best;
        (value > f64::NEG_INFINITY).then(|| Route {
            path: self.path(ask),
            value,
        })
    }

    fn reset(&mut self, ask: &Ask) {
        let row = &ask.board.rows[ask.telescope];
        let (n_layers, n_cells) = (row.n_layers(), row.cells.len());
        self.steps += ask.board.steps(ask.telescope);
        self.free.clear();
        self.free
            .resize((ask.board.n_slots + 1) * n_layers, Free::END);
        self.held.resize(n_cells * n_layers, 0.0);
        self.stays_on.resize(n_cells * n_layers, false);
        self.priced.resize(n_cells, 0.0);
        self.tail.resize(n_cells, 0.0);
        self.until.resize(n_cells, 0);
    }

    /// Priced worth of the slot's cells, and which stays can begin there.
    fn price(&mut self, ask: &Ask, slot: usize) {
        let row = &ask.board.rows[ask.telescope];
        self.starts.clear();
        for number in row.first_cell[slot]..row.first_cell[slot + 1] {
            let cell = row.cells[number];
            let is_full = ask.full.get(cell.at).copied().unwrap_or(false);
            if is_full || !ask.limits.permitted[cell.at] {
                self.priced[number] = f64::NEG_INFINITY;
                self.tail[number] = 0.0;
                self.until[number] = slot;
                continue;
            }
            let priced = row.worth[cell.at] - ask.prices.crowd[cell.at];
            self.priced[number] = priced;
            self.tail[number] = priced + cell.next.map_or(0.0, |next| self.tail[next]);
            self.until[number] = cell.next.map_or(slot + 1, |next| self.until[next]);
            if cell.end <= self.until[number] {
                let after = cell.at_end.map_or(0.0, |end| self.tail[end]);
                let meanwhile = self.tail[number] - after + ask.prices.must[cell.target];
                self.starts.push(Start { cell, meanwhile });
            }
        }
    }

    /// With nothing held: rest, or begin a stay.
    fn begin(&mut self, ask: &Ask, slot: usize, layer: usize) {
        let n_slots = ask.board.n_slots;
        let row = &ask.board.rows[ask.telescope];
        let mut free = Free::NOTHING;
        if let Some(next) = row.next_layer(layer) {
            let cost = if layer == 0 { 0.0 } else { row.cost };
            let (held, after) = (next * row.cells.len(), next * (n_slots + 1));
            for Start { cell, meanwhile } in &self.starts {
                let later = match cell.at_end {
                    Some(end) => self.held[held + end],
                    None => self.free[after + cell.end].after(cell.target).0,
                };
                free.offer(meanwhile - cost + later, cell.target);
            }
        }
        let here = layer * (n_slots + 1) + slot;
        if ask.limits.forced[slot].is_none() {
            free.offer(self.free[here + 1].best, REST);
        }
        self.free[here] = free;
    }

    /// With a stay long enough already: leave, or stay on.
    fn hold(&mut self, ask: &Ask, slot: usize, layer: usize) {
        let row = &ask.board.rows[ask.telescope];
        let held = layer * row.cells.len();
        let here = layer * (ask.board.n_slots + 1) + slot;
        let (free, after) = (self.free[here], self.free[here + 1]);
        for number in row.first_cell[slot]..row.first_cell[slot + 1] {
            let cell = &row.cells[number];
            let (leave, _) = free.after(cell.target);
            let later = match cell.next {
                Some(next) => self.held[held + next],
                None => after.after(cell.target).0,
            };
            let on = self.priced[number] + later;
            self.stays_on[held + number] = leave <= on && on > f64::NEG_INFINITY;
            self.held[held + number] = leave.max(on);
        }
    }

    /// Follows the choices forward.
    fn path(&self, ask: &Ask) -> Path {
        let n_slots = ask.board.n_slots;
        let row = &ask.board.rows[ask.telescope];
        let mut path = vec![None; n_slots];
        let (mut slot, mut layer, mut left) = (0, 0, REST);
        while slot < n_slots {
            let (_, target) = self.free[layer * (n_slots + 1) + slot].after(left);
            left = target;
            if target == REST {
                slot += 1;
                continue;
            }
            layer = row.next_layer(layer).unwrap_or(layer);
            let begin = slot;
            slot = self.stay_end(row, slot, layer, target);
            path[begin..slot].fill(Some(target));
        }
        path
    }

    /// Where a stay begun here ends.
    fn stay_end(&self, row: &Row, begin: usize, layer: usize, target: usize) -> usize {
        let held = layer * row.cells.len();
        let mut starts = self.cells_of(row, begin);
        let Some(start) = starts.find(|number| row.cells[*number].target == target) else {
            return begin + 1;
        };
        let mut end = row.cells[start].end;
        let mut cell = row.cells[start].at_end;
        while let Some(number) = cell.filter(|number| self.stays_on[held + number]) {
            end += 1;
            cell = row.cells[number].next;
        }
        end
    }

    fn cells_of(&self, row: &Row, slot: usize) -> std::ops::Range<usize> {
        row.first_cell[slot]..row.first_cell[slot + 1]
    }
}
