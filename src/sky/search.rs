//! One search in time, many questions: when does a smooth function cross zero, when is it least?
//!
//! Rise, set, transit, twilight, a phase and a shadow's contact are all asked the first way; the
//! closest approach of two planets or the greatest distance from the Sun the second.

/// One crossing of zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// When, in the unit of the function's argument.
    pub at: f64,
    /// From below to above.
    pub rising: bool,
}

/// How closely to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Start of the interval.
    pub from: f64,
    /// Its end.
    pub until: f64,
    /// Longest step between looks. Must be shorter than a third of the function's own period: between two
    /// looks at most one crossing, or two around one extremum.
    pub step: f64,
    /// How near in time a crossing is wanted.
    pub tolerance: f64,
}

/// All crossings of zero in `[from, until)` in order, each once.
///
/// Two crossings between neighbouring looks (a body that peeps over the horizon for minutes) are
/// found too: wherever three looks show an extremum bending toward zero, the extremum itself is
/// sought first. A touch without crossing is no event.
pub fn crossings(search: Search, mut f: impl FnMut(f64) -> f64) -> Vec<Crossing> {
    let n_steps = ((search.until - search.from) / search.step).ceil().max(1.0) as usize;
    let step = (search.until - search.from) / n_steps as f64;
    let mut found = Vec::new();
    // One look before the start and one past the end, so that an extremum at the edge is seen whole.
    let (mut left, mut f_left) = (search.from - step, f(search.from - step));
    let mut f_before: Option<f64> = None;
    for idx in 0..=n_steps + 1 {
        let right = search.from + step * idx as f64;
        let f_right = f(right);
        let same_side = (f_left > 0.0) == (f_right > 0.0);
        if !same_side {
            let ends = ((left, f_left), (right, f_right));
            found.push(crossing_between(ends.0, ends.1, search.tolerance, &mut f));
        } else if let Some(f_before) = f_before
            && bends_toward_zero(f_before, f_left, f_right)
        {
            let pair = pair_around_extremum(left - step, right, f_left, search.tolerance, &mut f);
            found.extend(pair.into_iter().flatten());
        }
        f_before = same_side.then_some(f_left);
        (left, f_left) = (right, f_right);
    }
    found.retain(|crossing| search.from <= crossing.at && crossing.at < search.until);
    found
}

/// Whether three equally spaced values of one sign show an extremum nearer to zero that may lie
/// beyond it: the parabola through them, with half its own depth to spare, reaches zero.
fn bends_toward_zero(before: f64, middle: f64, after: f64) -> bool {
    let sign = middle.signum();
    let (before, middle, after) = (before * sign, middle * sign, after * sign);
    let curvature = before - 2.0 * middle + after;
    if middle > before || middle >= after || curvature <= 0.0 {
        return false;
    }
    let depth = (after - before).powi(2) / (8.0 * curvature);
    let spare = 0.5 * depth + 0.02 * curvature;
    middle - depth - spare <= 0.0
}

/// The two crossings around an extremum in `[left, right]`, if the function gets across there.
fn pair_around_extremum(
    left: f64,
    right: f64,
    side: f64,
    tolerance: f64,
    f: &mut impl FnMut(f64) -> f64,
) -> Option<[Crossing; 2]> {
    let sign = side.signum();
    let lowest = minimum_between(left, right, tolerance, &mut |t| sign * f(t));
    let f_lowest = f(lowest);
    if sign * f_lowest > 0.0 {
        return None;
    }
    let (f_left, f_right) = (f(left), f(right));
    Some([
        crossing_between((left, f_left), (lowest, f_lowest), tolerance, f),
        crossing_between((lowest, f_lowest), (right, f_right), tolerance, f),
    ])
}

/// Where a function is least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minimum {
    /// When, in the unit of the function's argument.
    pub at: f64,
    /// How little it is there.
    pub value: f64,
}

/// All minima in `[from, until)` in order, each once; ask for the negative to have maxima.
///
/// The step must be so short that between three neighbouring looks there is one minimum at most. An
/// even stretch of equal values is no minimum. Near a smooth minimum a function knows its own place
/// only to the square root of its digits: about a tenth of a second for angles between planets.
pub fn minima(search: Search, mut f: impl FnMut(f64) -> f64) -> Vec<Minimum> {
    let n_steps = ((search.until - search.from) / search.step).ceil().max(1.0) as usize;
    let step = (search.until - search.from) / n_steps as f64;
    let mut found = Vec::new();
    let mut f_before = f(search.from - step);
    let mut f_middle = f(search.from);
    for idx in 1..=n_steps + 1 {
        let after = search.from + step * idx as f64;
        let f_after = f(after);
        if f_before > f_middle && f_middle <= f_after {
            let at = minimum_between(after - 2.0 * step, after, search.tolerance, &mut f);
            found.push(Minimum { at, value: f(at) });
        }
        (f_before, f_middle) = (f_middle, f_after);
    }
    found.retain(|minimum| search.from <= minimum.at && minimum.at < search.until);
    found
}

/// Where a function with one minimum in the interval is lowest, by golden sections.
pub fn minimum_between(
    mut left: f64,
    mut right: f64,
    tolerance: f64,
    f: &mut impl FnMut(f64) -> f64,
) -> f64 {
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let mut low = right - golden * (right - left);
    let mut high = left + golden * (right - left);
    let (mut f_low, mut f_high) = (f(low), f(high));
    while right - left > tolerance {
        if f_low < f_high {
            (right, high, f_high) = (high, low, f_low);
            low = right - golden * (right - left);
            f_low = f(low);
        } else {
            (left, low, f_low) = (low, high, f_high);
            high = left + golden * (right - left);
            f_high = f(high);
        }
    }
    0.5 * (left + right)
}

/// The one root finder: a bracketed secant that halves whenever the secant stalls (Illinois rule).
fn crossing_between(
    (mut a, mut f_a): (f64, f64),
    (mut b, mut f_b): (f64, f64),
    tolerance: f64,
    f: &mut impl FnMut(f64) -> f64,
) -> Crossing {
    let rising = f_b > 0.0;
    let mut at = b;
    // Sixty halvings exhaust a double; the secant needs four or five steps.
    for _ in 0..60 {
        let before = at;
        at = if f_b == f_a {
            0.5 * (a + b)
        } else {
            (b - f_b * (b - a) / (f_b - f_a)).clamp(a.min(b), a.max(b))
        };
        let f_at = f(at);
        if f_at == 0.0 || (at - before).abs() <= tolerance || (b - a).abs() <= tolerance {
            break;
        }
        if (f_at > 0.0) == (f_b > 0.0) {
            f_a *= 0.5;
        } else {
            (a, f_a) = (b, f_b);
        }
        (b, f_b) = (at, f_at);
    }
    Crossing { at, rising }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn day(step: f64) -> Search {
        Search {
            from: 0.0,
            until: 1.0,
            step,
            tolerance: 1e-7,
        }
    }

    #[track_caller]
    fn check(f: impl Fn(f64) -> f64, want: &[(f64, bool)]) {
        let got = crossings(day(1.0 / 6.0), f);
        assert_eq!(got.len(), want.len(), "want {want:?}, got {got:?}");
        for (crossing, (at, rising)) in got.iter().zip(want) {
            assert!(
                (crossing.at - at).abs() < 2e-6 && crossing.rising == *rising,
                "want {want:?}, got {got:?}"
            );
        }
    }

    #[test]
    fn a_sine_crosses_where_it_must() {
        check(|t| (TAU * (t - 0.1)).sin(), &[(0.1, true), (0.6, false)]);
    }

    #[test]
    fn a_peep_of_minutes_between_two_looks_is_found() {
        // 5 minutes above zero, wherever it falls among the looks: closed form acos.
        for shift in [0.30, 0.33, 0.36, 0.375, 0.40, 0.4166] {
            let half = 2.5 / 1440.0;
            let level = (TAU * half).cos();
            check(
                |t| (TAU * (t - shift)).cos() - level,
                &[(shift - half, true), (shift + half, false)],
            );
        }
    }

    #[test]
    fn a_touch_from_below_is_no_event() {
        check(|t| (TAU * (t - 0.37)).cos() - 1.000001, &[]);
    }

    #[test]
    fn a_dip_of_minutes_below_zero_is_found() {
        let half = 4.0 / 1440.0;
        let level = (TAU * half).cos();
        check(
            |t| level - (TAU * (t - 0.52)).cos(),
            &[(0.52 - half, false), (0.52 + half, true)],
        );
    }

    #[track_caller]
    fn check_minima(f: impl Fn(f64) -> f64, want: &[(f64, f64)]) {
        let got = minima(day(1.0 / 12.0), f);
        assert_eq!(got.len(), want.len(), "want {want:?}, got {got:?}");
        for (minimum, (at, value)) in got.iter().zip(want) {
            // A cosine near its minimum hides 1e-8 of its period; a corner of slope 1 is as low as it is near.
            assert!(
                (minimum.at - at).abs() < 3e-7 && (minimum.value - value).abs() < 1e-7,
                "want {want:?}, got {got:?}"
            );
        }
    }

    #[test]
    fn minima_are_where_closed_forms_have_them() {
        check_minima(|t| (TAU * (t - 0.1)).cos(), &[(0.6, -1.0)]);
        check_minima(
            |t| (2.0 * TAU * (t - 0.1)).cos(),
            &[(0.35, -1.0), (0.85, -1.0)],
        );
        // A corner, as where one body passes right over another.
        check_minima(|t| (t - 0.43).abs(), &[(0.43, 0.0)]);
    }

    #[test]
    fn a_minimum_at_the_edge_counts_once() {
        check_minima(|t| (t - 1e-6).powi(2), &[(1e-6, 0.0)]);
        check_minima(|t| (t - 1.0 - 1e-6).powi(2), &[]);
        check_minima(|t| t, &[]);
        check_minima(|_| 1.0, &[]);
    }
}
