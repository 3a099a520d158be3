//! The rules of a plan, read off the problem once more, showing by showing: shares nothing with the search.

use skyworthy::plan::assignment::{Assignment, OrganiserWish, Problem, Refuge, TargetRules};

/// All wishes of a problem, in the order of the answer.
pub fn wishes(problem: &Problem) -> Vec<OrganiserWish> {
    let mut wishes = Vec::new();
    for (telescope, of) in problem.telescopes.iter().enumerate() {
        for (slot, wish) in of.wishes.iter().enumerate() {
            wishes.extend(wish.map(|target| OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            }));
        }
    }
    for (target, of) in problem.targets.iter().enumerate() {
        if of.must {
            wishes.push(OrganiserWish::Must { target });
        }
    }
    wishes
}

/// What a telescope may show in a slot, the wishes granted considered.
pub fn may_show(
    problem: &Problem,
    granted: &[OrganiserWish],
    t: usize,
    s: usize,
    k: usize,
) -> bool {
    let of = &problem.telescopes[t];
    let is_against = |wish: &OrganiserWish| {
        matches!(wish, OrganiserWish::Fixed { telescope, slot, target }
            if *telescope == t && *slot == s && *target != k)
    };
    of.worth[s][k] > 0.0 && !of.blocked[s] && s >= of.ready_from && !granted.iter().any(is_against)
}

/// The first rule one telescope's path breaks, in words.
pub fn broken_by_path(
    problem: &Problem,
    granted: &[OrganiserWish],
    t: usize,
    path: &[Option<usize>],
) -> Option<String> {
    let of = &problem.telescopes[t];
    let mut stays: Vec<(usize, usize, usize)> = Vec::new();
    for (s, shown) in path.iter().enumerate() {
        let wished = granted.iter().find_map(|wish| match wish {
            OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            } if (*telescope, *slot) == (t, s) => Some(*target),
            _ => None,
        });
        if wished.is_some() && *shown != wished {
            return Some(format!("telescope {t}, slot {s}: the wish is not met"));
        }
        let Some(k) = *shown else { continue };
        if !may_show(problem, granted, t, s, k) {
            return Some(format!("telescope {t}, slot {s}: {k} cannot be shown"));
        }
        match stays.last_mut() {
            Some((target, _, end)) if *target == k && *end == s => *end = s + 1,
            _ => stays.push((k, s, s + 1)),
        }
    }
    for (k, begin, end) in &stays {
        let least = of.stay_slots.max(problem.targets[*k].stay_slots);
        let could_go_on = *end < problem.n_slots && may_show(problem, granted, t, *end, *k);
        let could_be_earlier = 0 < *begin && may_show(problem, granted, t, begin - 1, *k);
        if end - begin < least && (could_go_on || could_be_earlier) {
            return Some(format!(
                "telescope {t}: {k} has too short a stay, slots {begin} to {end}"
            ));
        }
    }
    match of.repointings_at_most {
        Some(most) if stays.len() > most + 1 => Some(format!("telescope {t}: turned too often")),
        _ => None,
    }
}

/// The first rule the plans of all telescopes break together.
pub fn broken_together(
    problem: &Problem,
    granted: &[OrganiserWish],
    shown: &[Vec<Option<usize>>],
) -> Option<String> {
    for s in 0..problem.n_slots {
        for (k, target) in problem.targets.iter().enumerate() {
            if shown.iter().filter(|path| path[s] == Some(k)).count() > target.room(s) {
                return Some(format!("slot {s}: too many on {k}"));
            }
        }
    }
    granted.iter().find_map(|wish| match wish {
        OrganiserWish::Must { target }
            if !shown.iter().any(|path| path.contains(&Some(*target))) =>
        {
            Some(format!("{target} is not shown"))
        }
        _ => None,
    })
}

/// Worth less costs, counted anew.
pub fn total(problem: &Problem, shown: &[Vec<Option<usize>>]) -> f64 {
    let mut total = 0.0;
    let mut n_stays = vec![0; problem.targets.len()];
    for (of, path) in problem.telescopes.iter().zip(shown) {
        let mut n_begun = 0;
        let mut before = None;
        let mut age = 0;
        for (s, target) in path.iter().enumerate() {
            age = if *target == before { age + 1 } else { 0 };
            if let Some(k) = target {
                total += of.worth[s][*k] * fresh(&problem.targets[*k], age);
                if age == 0 {
                    n_begun += 1;
                    n_stays[*k] += 1;
                }
            }
            before = *target;
        }
        total -= of.repointing_cost * f64::max(0.0, f64::from(n_begun) - 1.0);
    }
    for (target, n) in problem.targets.iter().zip(n_stays) {
        total -= (0..n).map(|nth| repeat_cost(target, nth)).sum::<f64>();
    }
    total
}

/// Of the nth slot of a stay, from 0.
pub fn fresh(target: &TargetRules, nth: usize) -> f64 {
    match target.fresh.as_slice() {
        [] => 1.0,
        shares => shares[nth.min(shares.len() - 1)],
    }
}

/// Of the nth stay, from 0.
pub fn repeat_cost(target: &TargetRules, nth: usize) -> f64 {
    match target.repeat_cost.as_slice() {
        [] => 0.0,
        costs => costs[nth.min(costs.len() - 1)],
    }
}

/// The first thing wrong with an answer.
pub fn broken(problem: &Problem, answer: &Assignment) -> Option<String> {
    let is_unmet = |wish: &OrganiserWish| answer.unmet.iter().any(|unmet| unmet.wish == *wish);
    let all = wishes(problem);
    let granted: Vec<_> = all.iter().filter(|wish| !is_unmet(wish)).copied().collect();
    if granted.len() + answer.unmet.len() != all.len() {
        return Some("a wish named that nobody had, or named twice".to_owned());
    }
    if answer.shown.len() != problem.telescopes.len()
        || answer
            .shown
            .iter()
            .any(|path| path.len() != problem.n_slots)
    {
        return Some("not one entry a telescope and slot".to_owned());
    }
    let paths = answer.shown.iter().enumerate();
    let mut by_path = paths.filter_map(|(t, path)| broken_by_path(problem, &granted, t, path));
    let counted = total(problem, &answer.shown);
    by_path
        .next()
        .or_else(|| broken_together(problem, &granted, &answer.shown))
        .or_else(|| {
            ((counted - answer.total).abs() > 1e-6)
                .then(|| format!("total {} is {counted}", answer.total))
        })
        .or_else(|| {
            let is_sound = answer.gap() >= 0.0 && answer.bound.is_finite();
            (!is_sound).then(|| format!("bound {} under {}", answer.bound, answer.total))
        })
        .or_else(|| broken_fallback(problem, answer))
}

/// Fallbacks: showable, another target, as far off as can be, none missing.
fn broken_fallback(problem: &Problem, answer: &Assignment) -> Option<String> {
    for (t, path) in answer.shown.iter().enumerate() {
        for (s, shown) in path.iter().enumerate() {
            let fallback = answer.fallbacks[t][s];
            let Some(k) = *shown else {
                if fallback.is_some() {
                    return Some(format!("telescope {t}, slot {s}: at rest with a fallback"));
                }
                continue;
            };
            let part = |k: usize| problem.targets[k].sky_part[s];
            let others: Vec<_> = (0..problem.targets.len())
                .filter(|other| *other != k && may_show(problem, &[], t, s, *other))
                .collect();
            let has_elsewhere = others.iter().any(|other| part(*other) != part(k));
            let is_right = match fallback {
                None => others.is_empty(),
                Some(found) if !others.contains(&found.target) => false,
                Some(found) if found.refuge == Refuge::SamePart => {
                    part(found.target) == part(k) && !has_elsewhere
                }
                Some(found) => part(found.target) != part(k),
            };
            if !is_right {
                return Some(format!("telescope {t}, slot {s}: fallback {fallback:?}"));
            }
        }
    }
    broken_cloud(problem, answer)
}

/// Under a cloud over one part of the sky, refuges called free of a crowd are.
fn broken_cloud(problem: &Problem, answer: &Assignment) -> Option<String> {
    for s in 0..problem.n_slots {
        for (k, target) in problem.targets.iter().enumerate() {
            for part in 0..8 {
                let on = answer.shown.iter().zip(&answer.fallbacks);
                let n = on
                    .filter(|(path, fallbacks)| match path[s] {
                        Some(own) if problem.targets[own].sky_part[s] == part => fallbacks[s]
                            .is_some_and(|to| to.target == k && to.refuge == Refuge::Elsewhere),
                        own => own == Some(k),
                    })
                    .count();
                if n > target.room(s) {
                    return Some(format!("slot {s}, cloud over {part}: too many flee to {k}"));
                }
            }
        }
    }
    None
}
