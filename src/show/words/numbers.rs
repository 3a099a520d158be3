//! Numbers with no more digits than they bear.

/// To two digits, as a number: `140`, `0.92`.
pub fn to_two_digits(value: f64) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let beyond = value.log10().floor() as i32 - 1;
    // By whole powers of ten, which are exact: `0.7` stays that.
    match (beyond, 10f64.powi(beyond.abs())) {
        (0.., unit) => (value / unit).round() * unit,
        (_, parts) => (value * parts).round() / parts,
    }
}

/// Two digits, all that most numbers here bear: `0.047`, `2.3`, `140`.
pub fn two_digits(value: f64) -> String {
    if value <= 0.0 {
        return String::from("0");
    }
    let power = value.log10().floor() as i32;
    match (1 - power).clamp(0, 4) {
        0 => format!("{:.0}", to_two_digits(value)),
        decimals => format!("{value:.*}", decimals as usize),
    }
}

/// With one digit after the point, or none where that is a zero: `8`, `4.5`.
pub fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), String::from)
}

/// A height of glass: to ten nanometres, or to one where it is small; no reading here is finer.
pub fn glass_nm(nm: f64) -> String {
    let step = if nm < 20.0 { 1.0 } else { 10.0 };
    format!("{:.0}", (nm / step).round() * step)
}

/// With so many digits after the point, for JSON: no digits that mean nothing.
pub fn rounded(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}

/// How long a target takes across a field: `104 s`, `3 min`.
pub fn crossing(drift_s: f64) -> String {
    match drift_s {
        s if s < 120.0 => format!("{s:.0} s"),
        s => format!("{:.0} min", s / 60.0),
    }
}

/// The width of a field: `26'`, from a degree on `1.3` and the word for degrees that the place has room for.
pub fn field(field_deg: f64, degrees: &str) -> String {
    match field_deg {
        deg if deg < 1.0 => format!("{:.0}'", 60.0 * deg),
        deg => format!("{deg:.1} {degrees}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_digits_are_enough() {
        for (value, want) in [
            (136.4, "140"),
            (23.08, "23"),
            (8.04, "8.0"),
            (99.6, "100"),
            (1234.0, "1200"),
            (0.0471, "0.047"),
            (0.0, "0"),
        ] {
            assert_eq!(two_digits(value), want);
        }
        for (value, want) in [
            (27_431.0, 27e3),
            (129_340.0, 13e4),
            (0.9235, 0.92),
            (0.7, 0.7),
        ] {
            assert_eq!(to_two_digits(value), want);
        }
    }
}
