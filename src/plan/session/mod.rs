//! # session: a public evening
//!
//! A fixed date and window, some telescopes and a crowd: who shows what when, from which height, how many people get a
//! look, and what cannot be had. [`session`] answers with a [`Session`]; `show` and the printed sheets word it.

mod answer;

pub use self::answer::Ask;
pub use self::answer::Decision;
pub use self::answer::Direction;
pub use self::answer::Facts;
pub use self::answer::First;
pub use self::answer::Heights;
pub use self::answer::Impossible;
pub use self::answer::Limits;
pub use self::answer::Moonlit;
pub use self::answer::NearMark;
pub use self::answer::Queue;
pub use self::answer::Refused;
pub use self::answer::Session;
pub use self::answer::Showing;
pub use self::answer::Shutter;
pub use self::answer::Slot;
pub use self::answer::Standby;
pub use self::answer::Station;
pub use self::answer::Step;
pub use self::answer::Summary;
pub use self::answer::Total;
pub use self::answer::Turn;
pub use self::answer::Want;
pub use self::answer::Window;
