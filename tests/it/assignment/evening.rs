//! Invented evenings for tests and benches: objects rise and set as smooth humps, a wall cuts some, telescopes differ,
//! and worth comes in grades of 0, 1, 2 and 4.

use skyworthy::plan::assignment::{Problem, TargetRules, TelescopeOptions};

/// How large.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Telescopes.
    pub telescopes: usize,
    /// Slots.
    pub slots: usize,
    /// Targets.
    pub targets: usize,
}

/// Numbers that look random and are the same everywhere (a Weyl sequence through a mixing function).
#[derive(Debug)]
pub struct Dice(u64);

impl Dice {
    /// Another seed, other numbers.
    pub fn new(seed: u64) -> Self {
        Dice(seed)
    }

    /// From `low` to below `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        for shift in [30, 27, 31] {
            mixed = (mixed ^ (mixed >> shift)).wrapping_mul(0xBF58_476D_1CE4_E5B9 | 1);
        }
        low + (high - low) * (mixed >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// 0 to below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        self.between(0.0, n as f64) as usize
    }
}

/// One object's way over the session.
struct Object {
    /// Slot of its greatest height, perhaps outside the session.
    highest_at: f64,
    highest_deg: f64,
    /// How hard to show: 0 the Moon, 1 what only the best telescope shows.
    difficulty: f64,
    is_wide: bool,
}

/// Slots an hour, and how fast heights fall off: about as at middle latitudes.
const SLOTS_AN_HOUR: f64 = 6.0;

impl Object {
    fn hours(&self, slot: usize) -> f64 {
        (slot as f64 - self.highest_at) / SLOTS_AN_HOUR
    }

    fn altitude_deg(&self, slot: usize) -> f64 {
        self.highest_deg - 1.6 * self.hours(slot).powi(2)
    }

    fn azimuth_deg(&self, slot: usize) -> f64 {
        180.0 + 20.0 * self.hours(slot)
    }

    /// East, south, west, or overhead.
    fn sky_part(&self, slot: usize) -> usize {
        let by_azimuth = (self.azimuth_deg(slot) / 60.0).clamp(1.0, 3.99) as usize - 1;
        if 65.0 < self.altitude_deg(slot) {
            3
        } else {
            by_azimuth
        }
    }
}

/// An evening with all rules in use but wishes.
pub fn evening(size: Size, seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let objects: Vec<_> = (0..size.targets)
        .map(|idx| object(&mut dice, size, idx))
        .collect();
    let wall_deg = dice.between(60.0, 220.0);
    let is_clear = |object: &Object, slot: usize| {
        let is_walled = (wall_deg..wall_deg + 70.0).contains(&object.azimuth_deg(slot));
        let least_deg = if is_walled { 40.0 } else { 15.0 };
        least_deg <= object.altitude_deg(slot)
    };
    let telescopes = (0..size.telescopes)
        .map(|_| {
            let power = dice.between(0.3, 0.9);
            let likes_wide = dice.below(2) == 0;
            let worth = |slot: usize, object: &Object| {
                let fits = if object.is_wide == likes_wide {
                    0.2
                } else {
                    0.0
                };
                let height = object.altitude_deg(slot) / 200.0;
                match power + fits + height - object.difficulty {
                    _ if !is_clear(object, slot) => 0.0,
                    margin if 0.6 <= margin => 4.0,
                    margin if 0.35 <= margin => 2.0,
                    margin if 0.1 <= margin => 1.0,
                    _ => 0.0,
                }
            };
            let table = (0..size.slots)
                .map(|slot| objects.iter().map(|object| worth(slot, object)).collect());
            TelescopeOptions {
                ready_from: dice.below(4).min(size.slots / 4),
                stay_slots: 2,
                repointings_at_most: Some(3 + dice.below(4)),
                repointing_cost: 0.5,
                ..TelescopeOptions::unrestricted(table.collect())
            }
        })
        .collect();
    let targets = (objects.iter().enumerate())
        .map(|(idx, object)| TargetRules {
            at_once: if idx == 0 { 2 } else { 1 },
            stay_slots: 1 + idx % 3,
            sky_part: (0..size.slots).map(|slot| object.sky_part(slot)).collect(),
            ..TargetRules::ordinary(size.slots)
        })
        .collect();
    Problem {
        n_slots: size.slots,
        telescopes,
        targets,
    }
}

/// The first is the Moon, three more are bright planets.
fn object(dice: &mut Dice, size: Size, idx: usize) -> Object {
    let least = if idx < 4 { 0.0 } else { 0.4 };
    Object {
        highest_at: dice.between(-0.5, 1.5) * size.slots as f64,
        highest_deg: dice.between(25.0, 85.0),
        difficulty: if idx == 0 {
            0.0
        } else {
            dice.between(least, least + 0.5)
        },
        is_wide: dice.below(3) == 0,
    }
}
