//! The Moon as it looks, in words.

/// The Moon as it looks: `waxing crescent, 23 % lit`.
pub fn moon_phase(lit: f64, waxing: bool) -> String {
    let way = if waxing { "waxing" } else { "waning" };
    let shape = match lit {
        lit if lit < 0.02 => String::from("new"),
        lit if lit < 0.42 => format!("{way} crescent"),
        lit if lit < 0.58 => format!("half, {way}"),
        lit if lit < 0.98 => format!("{way} gibbous"),
        _ => String::from("full"),
    };
    format!("{shape}, {:.0} % lit", 100.0 * lit)
}
