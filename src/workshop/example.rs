//! Workshop files that the program carries with it.

use super::Workshop;

/// A whole workshop to look at: three telescopes, five eyepieces, a school roof with walls.
/// The place and the mirrors are invented.
pub const EXAMPLE_TOML: &str = include_str!("../../examples/workshop.toml");

/// A workshop file with a word on every key, to be filled in: what is not needed is commented
/// out and shows its default.
pub fn template() -> &'static str {
    include_str!("../../examples/begin.toml")
}

/// [`EXAMPLE_TOML`] as values.
pub fn example() -> Workshop {
    let no_tables = |name: &str| Err(format!("{name} is not carried along"));
    Workshop::from_toml(EXAMPLE_TOML, "workshop.toml", &no_tables).expect("a test reads this file")
}
