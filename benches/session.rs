//! Which telescope shows what: evenings of full size, and beside one of them the same by a solver of integer programs.

#[path = "../tests/it/assignment/evening.rs"]
mod evening;
#[path = "../tests/it/assignment/judge.rs"]
mod judge;
#[path = "../tests/it/assignment/rules.rs"]
#[allow(dead_code, reason = "only what the integer program asks of it")]
mod rules;

use std::hint::black_box;
use std::time::Duration;

use divan::Bencher;
use skyworthy::plan::assignment::assignment;

use evening::{Size, evening};

fn main() {
    divan::main();
}

const FULL: Size = Size {
    telescopes: 10,
    slots: 24,
    targets: 25,
};

/// One after another of twenty evenings: mean and slowest say more than one of them.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn ten_telescopes_24_slots_25_targets(bencher: Bencher) {
    let mut seed = 0;
    let next = || {
        seed += 1;
        evening(FULL, seed % 20)
    };
    bencher
        .with_inputs(next)
        .bench_local_values(|problem| assignment(black_box(&problem)).expect("fits"));
}

/// For the ratio to the one below.
#[divan::bench(sample_count = 20)]
fn one_of_them(bencher: Bencher) {
    let problem = evening(FULL, 2);
    bencher.bench(|| assignment(black_box(&problem)).expect("fits"));
}

/// The same evening as an integer program, solved to the proof.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn one_of_them_by_an_integer_program(bencher: Bencher) {
    let problem = evening(FULL, 2);
    let wishes = rules::wishes(&problem);
    bencher.bench(|| {
        let best = judge::best_total(black_box(&problem), &wishes, Duration::from_secs(300));
        best.expect("solved")
    });
}
