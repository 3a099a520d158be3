//! What the answer says: wishes that cannot be met with their reasons, fallbacks under cloud. Small cases, by hand.

use skyworthy::plan::assignment::{
    Fallback, OrganiserWish, Problem, Refuge, TargetRules, TelescopeOptions, UnmetWish, WhyUnmet,
    assignment,
};

use super::rules;

/// Two telescopes, six slots, three targets, everything worth 1 everywhere.
fn plain() -> Problem {
    Problem {
        n_slots: 6,
        telescopes: vec![TelescopeOptions::unrestricted(vec![vec![1.0; 3]; 6]); 2],
        targets: vec![TargetRules::ordinary(6); 3],
    }
}

fn fixed(telescope: usize, slot: usize, target: usize) -> OrganiserWish {
    OrganiserWish::Fixed {
        telescope,
        slot,
        target,
    }
}

/// Wishes the list, changes the problem, and wants these unmet.
#[track_caller]
fn check(
    wishes: &[OrganiserWish],
    change: impl Fn(&mut Problem),
    want: &[(OrganiserWish, WhyUnmet)],
) {
    let mut problem = plain();
    for wish in wishes {
        match *wish {
            OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            } => problem.telescopes[telescope].wishes[slot] = Some(target),
            OrganiserWish::Must { target } => problem.targets[target].must = true,
        }
    }
    change(&mut problem);
    let answer = assignment(&problem).expect("fits");
    assert_eq!(rules::broken(&problem, &answer), None);
    let want = want.iter().cloned();
    let want: Vec<_> = want.map(|(wish, why)| UnmetWish { wish, why }).collect();
    assert_eq!(answer.unmet, want);
    assert!(answer.is_proven_best());
}

#[test]
fn wishes_that_can_be_met_are_met() {
    check(
        &[
            fixed(0, 2, 1),
            fixed(1, 2, 0),
            OrganiserWish::Must { target: 2 },
        ],
        |_| {},
        &[],
    );
}

#[test]
fn wishes_impossible_in_themselves_are_named() {
    let wish = fixed(0, 2, 1);
    let below = |problem: &mut Problem| problem.telescopes[0].worth[2][1] = 0.0;
    check(&[wish], below, &[(wish, WhyUnmet::CannotBeShown)]);
    let blocked = |problem: &mut Problem| problem.telescopes[0].blocked[2] = true;
    check(&[wish], blocked, &[(wish, WhyUnmet::Blocked)]);
    let warm = |problem: &mut Problem| problem.telescopes[0].ready_from = 3;
    check(
        &[wish],
        warm,
        &[(wish, WhyUnmet::NotReady { ready_from: 3 })],
    );
    let must = OrganiserWish::Must { target: 2 };
    let never = |problem: &mut Problem| {
        let slots = problem.telescopes.iter_mut().flat_map(|of| &mut of.worth);
        slots.for_each(|slot| slot[2] = 0.0);
    };
    check(&[must], never, &[(must, WhyUnmet::NobodyCan)]);
}

#[test]
fn wishes_that_crowd_each_other_are_named() {
    let both = [fixed(0, 2, 1), fixed(1, 2, 1)];
    check(
        &both,
        |_| {},
        &[(both[1], WhyUnmet::Crowded { by: vec![0] })],
    );
    check(&both, |problem| problem.targets[1].at_once = 2, &[]);
}

#[test]
fn wishes_for_too_many_turns_are_named() {
    let wishes = [fixed(0, 1, 0), fixed(0, 2, 1), fixed(0, 3, 2)];
    let once = |problem: &mut Problem| problem.telescopes[0].repointings_at_most = Some(1);
    let why = WhyUnmet::TooManyRepointings { at_most: 1 };
    check(&wishes, once, &[(wishes[2], why)]);
}

#[test]
fn wishes_that_clash_are_named_with_what_they_clash_with() {
    // Telescope 0 has to stay on target 1 for three slots from any start that covers slot 0; telescope 1 is to have
    // it in slot 1. The wish for slot 5 has nothing to do with it.
    let wishes = [fixed(0, 0, 1), fixed(0, 5, 2), fixed(1, 1, 1)];
    let long = |problem: &mut Problem| problem.targets[1].stay_slots = 3;
    let why = WhyUnmet::Clashes {
        with: vec![wishes[0]],
    };
    check(&wishes, long, &[(wishes[2], why)]);
    // Wished away in the next slot, it need not stay.
    let freed = [fixed(0, 0, 1), fixed(0, 1, 2), fixed(1, 1, 1)];
    check(&freed, long, &[]);
    // Three targets to be shown by two telescopes that may not turn.
    let musts = [0, 1, 2].map(|target| OrganiserWish::Must { target });
    let still = |problem: &mut Problem| {
        let telescopes = problem.telescopes.iter_mut();
        telescopes.for_each(|of| of.repointings_at_most = Some(0));
    };
    let why = WhyUnmet::Clashes {
        with: vec![musts[0], musts[1]],
    };
    check(&musts, still, &[(musts[2], why)]);
}

/// One slot, each telescope wished on its target; fallbacks wanted in the order of telescopes.
#[track_caller]
fn check_fallbacks(worth: &[&[f64]], on: &[usize], parts: &[usize], want: &[(usize, Refuge)]) {
    let telescopes = worth.iter().zip(on).map(|(row, on)| TelescopeOptions {
        wishes: vec![Some(*on)],
        ..TelescopeOptions::unrestricted(vec![row.to_vec()])
    });
    let targets = parts.iter().map(|part| TargetRules {
        sky_part: vec![*part],
        ..TargetRules::ordinary(1)
    });
    let problem = Problem {
        n_slots: 1,
        telescopes: telescopes.collect(),
        targets: targets.collect(),
    };
    let answer = assignment(&problem).expect("fits");
    assert_eq!(rules::broken(&problem, &answer), None);
    let got: Vec<_> = answer.fallbacks.iter().map(|slots| slots[0]).collect();
    let want = want.iter().map(|(target, refuge)| {
        Some(Fallback {
            target: *target,
            refuge: *refuge,
        })
    });
    assert_eq!(got, want.collect::<Vec<_>>());
}

#[test]
fn fallbacks_lie_elsewhere_where_they_can() {
    // Better in the same part, but a cloud would cover both.
    check_fallbacks(
        &[&[4.0, 4.0, 1.0]],
        &[0],
        &[0, 0, 1],
        &[(2, Refuge::Elsewhere)],
    );
    check_fallbacks(
        &[&[4.0, 4.0, 0.0]],
        &[0],
        &[0, 0, 1],
        &[(1, Refuge::SamePart)],
    );
    // Both would like target 2; the first has another choice.
    check_fallbacks(
        &[&[4.0, 0.0, 2.0, 1.0], &[0.0, 4.0, 2.0, 0.0]],
        &[0, 1],
        &[0, 0, 1, 1],
        &[(3, Refuge::Elsewhere), (2, Refuge::Elsewhere)],
    );
    // Target 2 is being shown by the third telescope, which no cloud over part 0 drives away.
    check_fallbacks(
        &[
            &[4.0, 0.0, 2.0, 0.0],
            &[0.0, 4.0, 2.0, 0.0],
            &[0.0, 0.0, 4.0, 1.0],
        ],
        &[0, 1, 2],
        &[0, 0, 1, 0],
        &[
            (2, Refuge::Crowded),
            (2, Refuge::Crowded),
            (3, Refuge::Elsewhere),
        ],
    );
}
