//! Which telescope shows what: every rule in every plan, the optimum against all plans tried and against another
//! method, the gap on evenings of full size.

mod brute;
mod evening;
mod rules;

use proptest::prelude::*;

use skyworthy::plan::assignment::Effort;
use skyworthy::plan::assignment::Problem;
use skyworthy::plan::assignment::Target;
use skyworthy::plan::assignment::Telescope;
use skyworthy::plan::assignment::Why;
use skyworthy::plan::assignment::Wish;
use skyworthy::plan::assignment::assignment;
use skyworthy::plan::assignment::assignment_within;

use evening::Dice;
use evening::Size;

/// Any problem of a size: holes, blocks, wishes, musts, limits, worths that are often equal.
fn wild(size: Size, seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let wish_one_in = 2 + dice.below(12);
    let is_graded = dice.below(2) == 0;
    let hole = dice.between(0.0, 0.7);
    let telescopes = (0..size.telescopes).map(|_| {
        let mut worth = || match (dice.between(0.0, 1.0) < hole, is_graded) {
            (true, _) => 0.0,
            (false, true) => [1.0, 2.0, 4.0][dice.below(3)],
            (false, false) => dice.between(0.1, 4.0),
        };
        let table = (0..size.slots).map(|_| (0..size.targets).map(|_| worth()).collect());
        let table = table.collect();
        Telescope {
            blocked: (0..size.slots).map(|_| dice.below(8) == 0).collect(),
            wishes: (0..size.slots)
                .map(|_| (dice.below(wish_one_in) == 0).then(|| dice.below(size.targets)))
                .collect(),
            ready_from: dice.below(3),
            stay_slots: dice.below(4),
            repointings_at_most: (dice.below(3) > 0).then(|| dice.below(4)),
            repointing_cost: [0.0, 0.5, 1.7][dice.below(3)],
            ..Telescope::unrestricted(table)
        }
    });
    let telescopes = telescopes.collect();
    let targets = (0..size.targets).map(|_| Target {
        at_once: [0, 1, 1, 1, 2][dice.below(5)],
        stay_slots: dice.below(4),
        must: dice.below(3) == 0,
        sky_part: (0..size.slots).map(|_| dice.below(3)).collect(),
    });
    Problem {
        n_slots: size.slots,
        targets: targets.collect(),
        telescopes,
    }
}

/// The optimum and, wish by wish, what can be had with those before it, by trying everything.
fn check_against_all_plans(problem: &Problem) {
    let answer = assignment(problem).expect("fits");
    if let Some(broken) = rules::broken(problem, &answer) {
        panic!("{broken}\n{problem:?}\n{answer:?}");
    }
    let is_unmet = |wish: &Wish| answer.unmet.iter().any(|unmet| unmet.wish == *wish);
    let all = rules::wishes(problem);
    let granted: Vec<_> = all.iter().filter(|wish| !is_unmet(wish)).copied().collect();
    let best = brute::best_total(problem, &granted).expect("the answer is a plan");
    let miss = best - answer.total;
    assert!(miss.abs() < 1e-6, "best {best}, got {}\n{problem:?}\n{answer:?}", answer.total);
    assert!(answer.is_proven_best(), "{problem:?}\n{answer:?}");
    for unmet in &answer.unmet {
        let mut with: Vec<_> = granted.clone();
        with.push(unmet.wish);
        assert_eq!(brute::best_total(problem, &with), None, "{unmet:?}\n{problem:?}");
        assert_ne!(unmet.why, Why::NotFound);
        if let Why::Clashes { with } = &unmet.why {
            assert!(with.iter().all(|wish| granted.contains(wish)));
            let mut clash = with.clone();
            clash.push(unmet.wish);
            assert_eq!(brute::best_total(problem, &clash), None, "{unmet:?}\n{problem:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn small_optima_are_those_of_trying_all_plans(
        (telescopes, slots, targets) in prop_oneof![
            Just((1, 4, 4)), Just((2, 4, 4)), Just((2, 5, 3)), Just((3, 3, 3)), Just((3, 4, 2)), Just((2, 3, 4)),
        ],
        seed in any::<u64>(),
    ) {
        check_against_all_plans(&wild(Size { telescopes, slots, targets }, seed));
    }
}
