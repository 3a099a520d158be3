//! What a visitor will ask for in vain: the nearest misses with their reason, the rest counted.

use crate::show::words::{self, caption, why};
use crate::targets::verdict::{Grade, Verdict};

/// Misses that are named with their reason; the rest is counted.
const NAMED: usize = 3;

/// What is looked at where the Sun is high over places on the Moon that are known by their relief: rays and floors of the
/// same name may be plain.
pub(super) const WALLS: &str = "walls and shadows of ";

/// The nearest first; places on the Moon under a high Sun in one line.
pub(super) fn lines(verdicts: &[Verdict]) -> Vec<String> {
    let mut missed: Vec<&Verdict> = verdicts
        .iter()
        .filter(|verdict| verdict.grade.good == Grade::Beyond)
        .collect();
    missed.sort_by(|a, b| b.margin.good.total_cmp(&a.margin.good));
    let is_in_high_sun = |it: &&Verdict| it.why.gain_under_low_sun().is_some();
    let (in_high_sun, others): (Vec<&Verdict>, Vec<&Verdict>) =
        missed.into_iter().partition(is_in_high_sun);
    let named = others.iter().take(NAMED).map(|it| line("", it));
    let rest = others.len().saturating_sub(NAMED);
    let rest = (rest > 0).then(|| format!("beyond: {rest} more"));
    let in_high_sun = match in_high_sun[..] {
        [] => None,
        [alone] => Some(line(WALLS, alone)),
        _ => Some(high_sun_line(&in_high_sun)),
    };
    in_high_sun.into_iter().chain(named).chain(rest).collect()
}

fn line(walls: &str, missed: &Verdict) -> String {
    let (name, why) = (
        caption::with_what_it_takes(&missed.caption),
        why::beside_grades(missed),
    );
    format!("beyond: {walls}{name} ({why})")
}

fn high_sun_line(missed: &[&Verdict]) -> String {
    let named = missed.iter().take(NAMED);
    let mut names: Vec<String> = named.map(|it| caption::name(&it.caption.name)).collect();
    let rest = missed.len().saturating_sub(NAMED);
    names.extend((rest > 0).then(|| format!("{rest} more")));
    format!(
        "beyond: {WALLS}{} (the Sun is high over them)",
        words::list(&names)
    )
}
