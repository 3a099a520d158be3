//! # session: a public evening
//!
//! A fixed date and window, some telescopes and a crowd: who shows what when, from which height, how many people get a
//! look, and what cannot be had. [`session`] answers with a [`Session`]; `show` and the printed sheets word it.
//!
//! # Rules that hold in every plan
//!
//! * Nothing while any part of the Sun is above the true horizon; Mercury and Venus end a quarter of an hour before sunrise; nothing
//!   within ten degrees of the Sun. Whatever is shown is clear of the skyline from end to end of its turn.
//! * The Moon is on one telescope, or a fifth of many; everything else on one, unless targets are fewer than telescopes.
//! * A mirror for low power (or one to be figured again) leaves planets to better ones that can show them then.
//! * Somebody new at a telescope is not asked for what the naked eye does not find.
//! * A telescope does not begin before it is cool, as far as those who put it out meet in time; where it would have to be out before
//!   sunset, it begins with the first look: it stood in the shade, capped, or is warm, and the answer says so.
//! * What is not there for a whole stay is not shown, unless it is wanted.
//! * Stays, changes and wishes as in [`assignment`](crate::plan::assignment).
//!
//! # What a plan is worth
//!
//! Points of a slot: 100 for each detail that is plain in typical air, 50 patient, 10 fleeting, each further one 0.7 of the
//! one before (0.2 beyond the planets); nothing where nothing is at least patient. What visitors love or have heard of
//! counts more (Moon and bright planets 1.25, the best of `data/appeal.csv` 1.5), what only those who know enjoy less
//! (0.6); what sets counts more while it is there; what children or a seated eye hardly reach counts less where they come
//! first. A re-pointing costs 100. What visitors have seen is worth less to them: the longer a stay, the more of them had
//! their look; a second stay on the same costs half of what showing it all along would bring (little where targets are
//! few). Where telescopes are three or more, the Moon keeps its worth. All of these weights are the project's own choice.

mod answer;

mod ask;

mod cast;

mod clock;

mod crew;

mod finish;

mod facts;

mod impossible;

mod order;

mod queue;

mod showing;

mod stage;

mod station;

mod tire;

mod worth;

use crate::plan::clock_window::NoHours;
use crate::plan::local::night_window;
use crate::plan::put_out::lead;
use crate::plan::refusal::NoNight;
use crate::plan::session::cast::Cast;
use crate::plan::session::clock::Clock;
use crate::plan::session::crew::{Member, crew};
use crate::plan::session::order::Pin;
use crate::plan::session::showing::Stagehand;
use crate::plan::session::stage::{House, Stage};
use crate::plan::session::station::Builder;
use crate::plan::sun::SunTimes;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::subject::Subject;
use crate::workshop::Workshop;

pub use self::answer::{
    Decision, Direction, Facts, Heights, Limits, Moonlit, NearMark, Path, Queue, Session, Showing,
    SizeOf, Slot, Standby, Station, Step, Summary, Total, Turn, Window,
};
pub use self::ask::{Ask, First, Refused, Want};
pub use self::impossible::{Impossible, Shutter};
pub use self::order::{Order, Unkept, session_in_order};

/// Plans a public evening.
pub fn session(workshop: &Workshop, ask: &Ask) -> Result<Session, Refused> {
    arranged(workshop, ask, &[])
}

/// The same with some slots settled beforehand.
fn arranged(workshop: &Workshop, ask: &Ask, pins: &[Pin]) -> Result<Session, Refused> {
    let site = &workshop.site;
    let wants = wanted(ask)?;
    let crew = crew(workshop, ask)?;
    let clock = Clock::of(ask, &workshop.evening, site.time_zone)?;
    let window = night_window(ask.on, site.time_zone).ok_or(NoNight::NoSuchDate)?;
    let watch = Watch::new(site, window)?;
    let sun = watch.sun_times();
    let onlooker = watch.onlooker(workshop.observer);
    let subjects: Vec<Subject> = wants.iter().map(|(_, subject)| subject.clone()).collect();
    let house = House {
        watch: &watch,
        slots: &clock.slots,
        crew: &crew,
        onlooker,
        wanted: &subjects,
    };
    let stage = house.stage()?;
    let readiness: Vec<Readiness> = (crew.iter())
        .map(|member| Readiness::of(member, &clock, &stage, &sun))
        .collect();
    let ready_from: Vec<usize> = readiness.iter().map(|ready| ready.from_slot).collect();
    let played = Cast {
        crew: &crew,
        stage: &stage,
        slots: &clock.slots,
        onlooker,
        evening: &workshop.evening,
        slot_minutes: ask.slot_minutes,
        visitors: ask.visitors,
        first: ask.first,
        ready_from: &ready_from,
        wants: &wants,
        pins,
    }
    .played();
    let builder = Builder {
        stagehand: Stagehand {
            watch: &watch,
            onlooker,
            marks: &site.marks,
        },
        acts: &stage.acts,
        slots: &clock.slots,
        played: &played,
        sun: &sun,
        seconds_per_look: workshop.evening.seconds_per_look,
        visitors: ask.visitors,
    };
    let stations = (crew.iter().enumerate())
        .map(|(idx, member)| builder.station(idx, member))
        .collect::<Result<Vec<_>, _>>()?;
    finish::Finish {
        workshop,
        ask,
        crew: &crew,
        clock,
        watch: &watch,
        sun,
        played,
        readiness,
        stations,
    }
    .session()
}

impl From<NoNight> for Refused {
    fn from(why: NoNight) -> Refused {
        Refused::Night(why)
    }
}

impl From<NoHours> for Refused {
    fn from(why: NoHours) -> Refused {
        Refused::Hours(why)
    }
}

/// The wants with what they mean.
fn wanted(ask: &Ask) -> Result<Vec<(Want, Subject)>, Refused> {
    let subject = |want: &Want| {
        let id = want.subject.as_str();
        let of_body = Body::from_id(id).map(Subject::Body);
        let known = of_body.or_else(|| {
            let there = beyond().find(|there| there.id() == id);
            there.map(Subject::Beyond)
        });
        let unknown = || Refused::UnknownSubject { id: id.to_string() };
        Ok((want.clone(), known.ok_or_else(unknown)?))
    };
    ask.wants.iter().map(subject).collect()
}

/// When a telescope is cool and aimed.
struct Readiness {
    /// First slot in which it is.
    from_slot: usize,
    /// What there is to say about it.
    trouble: Option<Impossible>,
}

impl Readiness {
    /// From the first look, if it can be put out in time after sunset, or would have to be before: then it stands in the shade,
    /// capped, or begins warm. Later, if those who put it out meet too late.
    fn of(member: &Member, clock: &Clock, stage: &Stage, sun: &SunTimes) -> Readiness {
        let on_time = |trouble| Readiness {
            from_slot: 0,
            trouble,
        };
        let first = (0..clock.slots.len()).find(|slot| {
            let mut acts = stage.acts.iter();
            acts.any(|act| act.at[*slot].is_some())
        });
        let (Some(first), Some(cooling)) = (first, member.cooling) else {
            return on_time(None);
        };
        if member.judged.is_err() {
            return on_time(None);
        }
        let telescope = || member.telescope.name.clone();
        let lead = lead(cooling);
        let out_by = clock.slots[first].from - lead;
        if let Some(set) = sun.set.filter(|set| out_by < *set) {
            return on_time(Some(Impossible::Warm {
                telescope: telescope(),
                cool_at: set + lead,
            }));
        }
        match clock.stated_gather.filter(|gather| out_by < *gather) {
            None => on_time(None),
            Some(gather) => {
                let ready = gather + lead;
                let is_ready = |slot: &Slot| ready <= slot.from;
                let late = Impossible::Late {
                    telescope: telescope(),
                    ready,
                    out_by,
                };
                Readiness {
                    from_slot: (clock.slots.iter().position(is_ready)).unwrap_or(clock.slots.len()),
                    trouble: Some(late),
                }
            }
        }
    }
}
