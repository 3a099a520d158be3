//! Where something stands: two compasses, and heights in fists.
//!
//! Both compasses are wanted. Lists for whoever reads many lines (a sky, a night, dates, happenings) give sixteen winds in
//! letters, which are short in a column and fine enough to find a low planet by. What is said aloud beside a telescope on a
//! public evening is in whole words, and in eight of them: nobody there need know the letters, and an arm with a fist at its
//! end points no finer.

/// One of sixteen winds, for a column: `SSE`.
pub fn wind(azimuth_deg: f64) -> &'static str {
    const WINDS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    WINDS[(azimuth_deg / 22.5).round().rem_euclid(16.0) as usize % 16]
}

/// One of eight, to be spoken: `south-west`.
pub fn wind_in_words(azimuth_deg: f64) -> &'static str {
    const WINDS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    WINDS[(azimuth_deg / 45.0).round().rem_euclid(8.0) as usize % 8]
}

/// An altitude as people measure it, a fist at arm's length being ten degrees: `four fists up`.
pub fn fists(altitude_deg: f64) -> &'static str {
    if (2.5..7.5).contains(&altitude_deg) {
        return "half a fist up";
    }
    const FISTS: [&str; 10] = [
        "on the horizon",
        "one fist up",
        "two fists up",
        "three fists up",
        "four fists up",
        "five fists up",
        "six fists up",
        "seven fists up",
        "nearly overhead",
        "overhead",
    ];
    FISTS[((altitude_deg / 10.0).round().max(0.0) as usize).min(9)]
}

/// A fist at arm's length, degrees.
pub const FIST_DEG: f64 = 10.0;

/// So many fists along the sky: `two fists`.
pub fn n_fists(fists: f64) -> String {
    match fists.round() {
        1.0 => String::from("a fist"),
        2.0 => String::from("two fists"),
        3.0 => String::from("three fists"),
        n => format!("{n:.0} fists"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn winds_and_fists() {
        for (azimuth_deg, want) in [
            (0.0, "N"),
            (359.0, "N"),
            (135.0, "SE"),
            (348.7, "NNW"),
            (348.8, "N"),
        ] {
            assert_eq!(wind(azimuth_deg), want, "{azimuth_deg}");
        }
        assert_eq!(wind_in_words(225.0), "south-west");
        assert_eq!(wind_in_words(350.0), "north");
        assert_eq!(fists(38.0), "four fists up");
        assert_eq!(fists(90.0), "overhead");
    }
}
