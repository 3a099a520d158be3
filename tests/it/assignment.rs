//! Which telescope shows what: every rule in every plan, the optimum against all plans tried and against another
//! method, the gap on evenings of full size.

mod brute;
mod evening;
mod judge;
mod judge_of_stays;
mod named;
mod rules;

use std::time::Duration;

use proptest::prelude::*;

use skyworthy::plan::assignment::{
    Effort, OrganiserWish, Problem, TargetRules, TelescopeOptions, WhyUnmet, assignment,
    assignment_within,
};

use evening::{Dice, Size, evening};

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
        TelescopeOptions {
            blocked: (0..size.slots).map(|_| dice.below(8) == 0).collect(),
            wishes: (0..size.slots)
                .map(|_| (dice.below(wish_one_in) == 0).then(|| dice.below(size.targets)))
                .collect(),
            ready_from: dice.below(3),
            stay_slots: dice.below(4),
            repointings_at_most: (dice.below(3) > 0).then(|| dice.below(4)),
            repointing_cost: [0.0, 0.5, 1.7][dice.below(3)],
            ..TelescopeOptions::unrestricted(table)
        }
    });
    let telescopes = telescopes.collect();
    let targets = (0..size.targets).map(|_| TargetRules {
        at_once: [0, 1, 1, 1, 2][dice.below(5)],
        more_in: (0..size.slots * dice.below(2))
            .map(|_| usize::from(dice.below(3) == 0))
            .collect(),
        stay_slots: dice.below(4),
        must: dice.below(3) == 0,
        sky_part: (0..size.slots).map(|_| dice.below(3)).collect(),
        toward: Vec::new(),
        fresh: fresh(&mut dice),
        repeat_cost: repeat_cost(&mut dice),
    });
    Problem {
        n_slots: size.slots,
        targets: targets.collect(),
        telescopes,
    }
}

/// Shares that fall, jump or stay, or none.
fn fresh(dice: &mut Dice) -> Vec<f64> {
    let n = [0, 0, 1, 2, 4][dice.below(5)];
    let mut share = || [1.0, 0.5, 0.1, dice.between(0.0, 1.0)][dice.below(4)];
    (0..n).map(|_| share()).collect()
}

/// None for every other target; else a row that rises, in steps that are often equal.
fn repeat_cost(dice: &mut Dice) -> Vec<f64> {
    let n_steps = [0, 0, 0, 1, 3, 6][dice.below(6)];
    let mut cost = 0.0;
    let steps = (0..n_steps).map(|_| {
        cost += [0.0, 0.5, 1.0, dice.between(0.0, 1.0)][dice.below(4)];
        cost
    });
    steps.collect()
}

/// The optimum and, wish by wish, what can be had with those before it, by trying everything.
fn check_against_all_plans(problem: &Problem) {
    let answer = assignment(problem).expect("fits");
    if let Some(broken) = rules::broken(problem, &answer) {
        panic!("{broken}\n{problem:?}\n{answer:?}");
    }
    let is_unmet = |wish: &OrganiserWish| answer.unmet.iter().any(|unmet| unmet.wish == *wish);
    let all = rules::wishes(problem);
    let granted: Vec<_> = all.iter().filter(|wish| !is_unmet(wish)).copied().collect();
    let best = brute::best_total(problem, &granted).expect("the answer is a plan");
    let miss = best - answer.total;
    assert!(
        miss.abs() < 1e-6,
        "best {best}, got {}\n{problem:?}\n{answer:?}",
        answer.total
    );
    assert!(answer.is_proven_best(), "{problem:?}\n{answer:?}");
    for unmet in &answer.unmet {
        let mut with: Vec<_> = granted.clone();
        with.push(unmet.wish);
        assert_eq!(
            brute::best_total(problem, &with),
            None,
            "{unmet:?}\n{problem:?}"
        );
        assert_ne!(unmet.why, WhyUnmet::NotFound);
        if let WhyUnmet::Clashes { with } = &unmet.why {
            assert!(with.iter().all(|wish| granted.contains(wish)));
            let mut clash = with.clone();
            clash.push(unmet.wish);
            assert_eq!(
                brute::best_total(problem, &clash),
                None,
                "{unmet:?}\n{problem:?}"
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn small_optima_are_those_of_trying_all_plans(
        (telescopes, slots, targets) in prop_oneof![
            Just((1, 4, 4)), Just((2, 4, 4)), Just((2, 5, 3)), Just((3, 3, 3)), Just((3, 4, 2)), Just((2, 3, 4)),
            Just((1, 1, 1)), Just((3, 1, 4)), Just((1, 7, 2)),
        ],
        seed in any::<u64>(),
    ) {
        check_against_all_plans(&wild(Size { telescopes, slots, targets }, seed));
    }
}

/// Middling sizes: too many plans to try, an integer program solves them. Proven plans only, so that the two
/// can be compared.
#[test]
fn middling_optima_are_those_of_an_integer_program() {
    let half_a_minute = Duration::from_secs(30);
    let mut n_compared = 0;
    for seed in 0..24 {
        let size = Size {
            telescopes: 2 + seed as usize % 4,
            slots: 6 + seed as usize % 5,
            targets: 4 + seed as usize % 6,
        };
        let problem = if seed % 2 == 0 {
            wild(size, seed)
        } else {
            evening(size, seed)
        };
        let answer = assignment(&problem).expect("fits");
        assert_eq!(rules::broken(&problem, &answer), None);
        assert!(answer.is_proven_best(), "seed {seed}: gap {}", answer.gap());
        let is_unmet = |wish: &OrganiserWish| answer.unmet.iter().any(|unmet| unmet.wish == *wish);
        let mut granted = rules::wishes(&problem);
        granted.retain(|wish| !is_unmet(wish));
        if let Some(best) = judge_of_stays::best_total(&problem, &granted, half_a_minute) {
            let miss = best - answer.total;
            assert!(
                miss.abs() < 1e-4,
                "seed {seed}: {best} by the program, {}",
                answer.total
            );
            n_compared += 1;
        }
    }
    assert_eq!(n_compared, 24);
}

/// Twenty evenings of full size: proven best, all of them; three by the integer program too.
#[test]
fn evenings_of_full_size_are_proven() {
    let size = Size {
        telescopes: 10,
        slots: 24,
        targets: 25,
    };
    for seed in 0..20 {
        let problem = evening(size, seed);
        let answer = assignment(&problem).expect("fits");
        assert_eq!(rules::broken(&problem, &answer), None);
        assert!(answer.is_proven_best(), "seed {seed}: gap {}", answer.gap());
        if seed < 3 {
            let best = judge::best_total(&problem, &[], Duration::from_secs(120));
            let best = best.expect("solved in two minutes");
            assert!(
                (best - answer.total).abs() < 1e-4,
                "seed {seed}: {best} by the program"
            );
        }
    }
}

/// The same with worths of which no two are equal, where little rounding helps the proof: the gap is said, and small.
#[test]
fn evenings_without_equal_worths_end_near_the_best() {
    let size = Size {
        telescopes: 10,
        slots: 24,
        targets: 25,
    };
    let mut n_proven = 0;
    for seed in 0..8 {
        let mut problem = evening(size, seed);
        let mut dice = Dice::new(1000 + seed);
        let tables = problem.telescopes.iter_mut().map(|of| &mut of.worth);
        for worth in tables.flatten().flatten() {
            *worth *= dice.between(0.8, 1.2);
        }
        let answer = assignment(&problem).expect("fits");
        assert_eq!(rules::broken(&problem, &answer), None);
        assert!(
            answer.gap() < 0.005 * answer.total,
            "seed {seed}: gap {}",
            answer.gap()
        );
        n_proven += usize::from(answer.is_proven_best());
    }
    assert!(7 <= n_proven, "{n_proven} of 8 proven");
}

/// The same where worth falls along a stay and a second stay costs: a proof is not always had, but what is left open is
/// said, and small. In forty evenings it came to 0.2 % in the middle and 2.2 % at most.
#[test]
fn evenings_that_tire_end_near_the_best() {
    let size = Size {
        telescopes: 10,
        slots: 24,
        targets: 25,
    };
    for seed in 0..4 {
        let mut problem = evening(size, seed);
        for target in &mut problem.targets {
            let share = |nth: usize| (-0.08 * nth as f64).exp();
            target.fresh = (0..size.slots)
                .map(|nth| (10.0 * share(nth)).round() / 10.0)
                .collect();
            target.repeat_cost = vec![0.0, 10.0];
        }
        let answer = assignment(&problem).expect("fits");
        assert_eq!(rules::broken(&problem, &answer), None);
        let gap = answer.gap() / answer.total;
        println!("seed {seed}: {:.1}, gap {:.2} %", answer.total, 100.0 * gap);
        assert!(gap < 0.03, "seed {seed}: gap {gap}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

    /// However little effort is allowed; and the same answer when asked again.
    #[test]
    fn every_rule_holds_in_every_plan(
        telescopes in 1..=12usize,
        slots in 1..=40usize,
        targets in 1..=40usize,
        effort in prop_oneof![Just(0u64), 0..3_000_000u64],
        seed in any::<u64>(),
    ) {
        let problem = wild(Size { telescopes, slots, targets }, seed);
        let effort = Effort { steps: effort };
        let answer = assignment_within(&problem, effort).expect("fits");
        prop_assert_eq!(rules::broken(&problem, &answer), None);
        prop_assert_eq!(assignment_within(&problem, effort).expect("fits"), answer);
    }
}
