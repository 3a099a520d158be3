//! # session: a public evening
//!
//! A fixed date and window, some telescopes and a crowd: who shows what when, from which height, how many people get a
//! look, and what cannot be had. [`session`] answers with a [`Session`]; `show` and the printed sheets word it.
//!
//! # Rules that hold in every plan
//!
//! * Nothing while any part of the Sun is above the true horizon, nor in the quarter of an hour before sunrise; nothing
//!   within ten degrees of the Sun. Whatever is shown is clear of the skyline from end to end of its turn.
//! * The Moon is on one telescope, or a fifth of many; everything else on one, unless targets are fewer than telescopes.
//! * A mirror for low power (or one to be figured again) leaves planets to better ones that can show them then.
//! * Somebody new at a telescope is not asked for what the naked eye does not find.
//! * A telescope is outside in time to be cool, or as soon as people meet (where the file says when), before sunset capped and in
//!   the shade. One that is still warm begins all the same: its mirror blurs by so much that falls with time, every promise has
//!   that in it, and the answer says how many degrees.
//! * What is not there for a whole stay is not shown, unless it is wanted.
//! * Stays, changes and wishes as in [`assignment`](crate::plan::assignment).
//!
//! # What a plan is worth
//!
//! Points of a slot: 100 for one plain detail of a planet, on the scale of [`merit`](crate::targets::merit) that chooses
//! evenings too; what sets counts more while it is there; what children or a seated eye hardly reach counts less where
//! they come first. A re-pointing costs 100. What visitors have seen is worth less to them: the longer a stay, the more of them had
//! their look; a second stay on the same costs half of what showing it all along would bring (little where targets are
//! few). Where telescopes are three or more, the Moon keeps its worth. All of these weights are the project's own choice.
//!
//! The best plan by points is then bettered by what one visitor takes home: sights, each new to him. The
//! answer says of each turn why it is this telescope's.
//!
//! # When it runs
//!
//! What has happened (`upset`: a late start, a telescope out, cloud, an early end) leaves what is past and what runs as it
//! was; the rest is planned again, and telescopes that need not change keep their plan.
//!
//! # How a plan comes about
//!
//! What is asked ([`Ask`]) becomes slots (`clock`), telescopes put together and judged (`telescopes`), and candidate targets with the
//! slots in which each is clear (`candidates`). `worth` gives a look its points, `freshness` lowers them for who has seen it; `assign`
//! makes all this a problem of [`assignment`](crate::plan::assignment) and reads the answer back, `eclipse` keeps a telescope on an eclipsed Moon, `idle` says why a telescope
//! rests. `warmth` knows how warm each mirror still is. `station` has each telescope's evening, `shown_target` and `facts` one target in one telescope, `looks` the people, `cautions` what can hurt;
//! `finish` puts the answer together. `arrange` calls them one after the other; `order` does it again in the organiser's order.

mod ask;

mod answer;

mod impossible;

mod clock;

mod telescopes;

mod candidates;

mod eclipse;

mod worth;

mod warmth;

mod idle;

mod freshness;

mod best_run;

mod part_of_sky;

mod room;

mod assign;

mod direction;

mod assigned;

mod steady;

mod facts;

mod shown_target;

mod queue;

mod looks;

mod moments;

mod why_here;

mod station;

mod cautions;

mod finish;

mod happened;

mod upset;

mod arrange;

mod stale_note;

mod stale;

mod order;

pub use self::answer::{
    Decision, Facts, Heights, Limits, Moonlit, Path, Session, ShownTarget, SizeOf, SlotFallback,
    Station, Step, Summary, SunBeside, Total, Turn, TurnFallback, WhyHere, Window,
};
pub use self::ask::{Ask, First, Order, Skip, Want};
pub use self::direction::{Direction, NearMark, SideOfMark};
pub use self::happened::{Changed, ChangedStretch, TelescopeChange};
pub use self::idle::WhyIdle;
pub use self::impossible::{Impossible, WhyNot};
pub use self::moments::{Moment, MomentKind};
pub use self::order::{Unkept, session_as_noted};
pub use self::queue::{Queue, SlotQueue};
pub use self::stale_note::{NoteSort, StaleNote, WhyStale};
pub use self::warmth::{WarmStart, Warmth};

pub use crate::workshop::{Sector, Upset};

use crate::plan::refusal::NoSession;
use crate::workshop::Workshop;

/// Plans a public evening.
///
/// ```
/// use skyworthy::plan::clock_window::ClockWindow;
/// use skyworthy::plan::session::{Ask, session};
/// use skyworthy::workshop::{EXAMPLE_TOML, Workshop};
///
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let no_tables = |_: &str| Err(String::from("no tables"));
/// let workshop = Workshop::from_toml(EXAMPLE_TOML, "workshop.toml", &no_tables)?;
/// let ask = Ask {
///     on: "2027-02-12".parse()?,
///     window: ClockWindow::said("20:00-21:00")?,
///     visitors: 20,
///     slot_minutes: 30,
///     first: None,
///     telescopes: Vec::new(),
///     wants: Vec::new(),
/// };
/// let evening = session(&workshop, &ask)?;
/// assert_eq!(evening.slots.len(), 2);
/// for station in &evening.telescopes {
///     for turn in &station.turns {
///         println!("{}: {}", station.name, turn.shown.subject.name());
///     }
/// }
/// # Ok(())
/// # }
/// ```
pub fn session(workshop: &Workshop, ask: &Ask) -> Result<Session, NoSession> {
    arrange::arranged(workshop, ask, ask::Settled::default())
}
