//! The organiser's own order: targets of a telescope change places, and the plan is kept around them as far as it can be.

use crate::plan::refusal::NoSession;
use crate::plan::session::answer::{Limits, Session, Station};
use crate::plan::session::arrange::arranged;
use crate::plan::session::ask::{Ask, Order, Pin, Settled, Skip};
use crate::plan::session::stale::stale_notes;
use crate::plan::session::steady::shown;
use crate::workshop::{SessionNotes, TelescopeNotes, TurnNotes, Upset, Workshop};

/// An order that cannot be kept; the telescope is planned as if it had not been given.
#[derive(Debug, Clone, PartialEq)]
pub struct Unkept {
    /// Which.
    pub order: Order,
    /// Name and times of the first target that cannot be looked at when it would come; `None` where other rules are in
    /// the way.
    pub too_late_or_early: Option<(String, Limits)>,
}

/// Plans a public evening without what the organiser leaves out, and in the organiser's order, each changing as little as it must,
/// and goes on with it as things happen, in order of time: those of the notes, then `upsets`;
/// notes without a place in it are [named](Session::stale_notes).
/// Every rule holds as without: what would be shown behind the skyline, by day or near the Sun is named, not shown.
pub fn session_as_noted(
    workshop: &Workshop,
    ask: &Ask,
    notes: &SessionNotes,
    upsets: &[Upset],
) -> Result<(Session, Vec<Unkept>), NoSession> {
    let happened = [&notes.happened, upsets].concat();
    if notes.telescopes.is_empty() {
        // Nothing to be put in order first: one plan is enough.
        let settled = Settled {
            upsets: &happened,
            ..Settled::default()
        };
        return Ok((arranged(workshop, ask, settled)?, Vec::new()));
    }
    let skips = skips(notes);
    let planned = arranged(
        workshop,
        ask,
        Settled {
            skips: &skips,
            ..Settled::default()
        },
    )?;
    let (mut session, unkept) = in_order(workshop, ask, planned, &skips, orders(notes))?;
    session.stale_notes = stale_notes(workshop, notes, &session);
    if !happened.is_empty() {
        let noted = session;
        let settled = Settled {
            planned: Some(&shown(&noted)),
            skips: &skips,
            upsets: &happened,
            ..Settled::default()
        };
        session = Session {
            skipped: noted.skipped,
            stale_notes: noted.stale_notes,
            ..arranged(workshop, ask, settled)?
        };
    }
    Ok((session, unkept))
}

fn skips(notes: &SessionNotes) -> Vec<Skip> {
    let of_telescope = |of: &TelescopeNotes| {
        let left_out = of.turns.iter().filter(|turn| turn.skip);
        let skip = |turn: &TurnNotes| Skip {
            telescope: of.name.clone(),
            target: turn.target.clone(),
        };
        left_out.map(skip).collect::<Vec<_>>()
    };
    notes.telescopes.iter().flat_map(of_telescope).collect()
}

fn orders(notes: &SessionNotes) -> Vec<Order> {
    let all = notes.telescopes.iter().map(|notes| Order {
        telescope: notes.name.clone(),
        targets: notes.order.clone(),
    });
    all.filter(|order| !order.targets.is_empty()).collect()
}

/// The plan with those orders that can be kept.
fn in_order(
    workshop: &Workshop,
    ask: &Ask,
    planned: Session,
    skips: &[Skip],
    mut orders: Vec<Order>,
) -> Result<(Session, Vec<Unkept>), NoSession> {
    let shown = shown(&planned);
    let mut unkept = Vec::new();
    loop {
        let pins: Vec<Pin> = (orders.iter())
            .flat_map(|order| pins(&planned, order))
            .collect();
        if pins.is_empty() {
            return Ok((planned, unkept));
        }
        let settled = Settled {
            pins: &pins,
            skips,
            planned: Some(&shown),
            upsets: &[],
        };
        let mut session = arranged(workshop, ask, settled)?;
        let Some(idx) = orders.iter().position(|order| {
            let of_telescope = pins.iter().filter(|pin| pin.telescope == order.telescope);
            !of_telescope.clone().all(|pin| is_kept(&session, pin))
        }) else {
            session.skipped = planned.skipped;
            return Ok((session, unkept));
        };
        let order = orders.remove(idx);
        unkept.push(Unkept {
            too_late_or_early: in_the_way(&planned, &order),
            order,
        });
    }
}

/// The stays of one telescope laid end to end in the new order, over the slots that they have now.
fn pins(planned: &Session, order: &Order) -> Vec<Pin> {
    let Some(station) = station(planned, &order.telescope) else {
        return Vec::new();
    };
    let now: Vec<(&str, usize)> = (station.turns.iter())
        .map(|turn| (turn.shown.subject.id(), turn.slots.len()))
        .collect();
    let sequence = rearranged(&now, &order.targets);
    if sequence == now {
        return Vec::new();
    }
    let mut slots = station.turns.iter().flat_map(|turn| turn.slots.clone());
    let mut pins: Vec<Pin> = Vec::new();
    for (target, n_slots) in sequence {
        for slot in slots.by_ref().take(n_slots) {
            match pins.last_mut() {
                Some(pin) if pin.target == target && pin.slots.end == slot => pin.slots.end += 1,
                _ => pins.push(Pin {
                    telescope: order.telescope.clone(),
                    target: target.to_string(),
                    slots: slot..slot + 1,
                }),
            }
        }
    }
    pins
}

/// The places of those named are filled with them in their new order.
fn rearranged<'a>(now: &[(&'a str, usize)], wanted: &[String]) -> Vec<(&'a str, usize)> {
    let is_named = |id: &str| wanted.iter().any(|target| target == id);
    let mut named: Vec<(&str, usize)> =
        now.iter().copied().filter(|(id, _)| is_named(id)).collect();
    named.sort_by_key(|(id, _)| wanted.iter().position(|target| target == id));
    let mut named = named.into_iter();
    (now.iter().copied())
        .map(|stay| match is_named(stay.0) {
            true => named.next().unwrap_or(stay),
            false => stay,
        })
        .collect()
}

fn is_kept(session: &Session, pin: &Pin) -> bool {
    let turns = station(session, &pin.telescope).map_or(&[][..], |station| &station.turns);
    turns.iter().any(|turn| {
        turn.shown.subject.id() == pin.target
            && turn.slots.start <= pin.slots.start
            && pin.slots.end <= turn.slots.end
    })
}

fn in_the_way(planned: &Session, order: &Order) -> Option<(String, Limits)> {
    let turns = &station(planned, &order.telescope)?.turns;
    pins(planned, order).iter().find_map(|pin| {
        let turn = turns
            .iter()
            .find(|turn| turn.shown.subject.id() == pin.target)?;
        let (first, last) = (
            planned.slots.get(pin.slots.start)?,
            planned.slots.get(pin.slots.end - 1)?,
        );
        let limits = turn.shown.limits;
        let is_up = limits.from <= first.from && last.until <= limits.until;
        (!is_up).then(|| (turn.shown.subject.name().to_string(), limits))
    })
}

fn station<'a>(session: &'a Session, name: &str) -> Option<&'a Station> {
    session
        .telescopes
        .iter()
        .find(|station| station.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::clock_window::ClockWindow;
    use crate::plan::session::stale_note::{NoteSort, WhyStale};
    use crate::testing::{Dice, evening};

    #[test]
    fn those_named_change_places() {
        let now = [("moon", 3), ("saturn", 2), ("jupiter", 1)];
        for (wanted, want) in [
            (
                &["saturn", "moon"][..],
                [("saturn", 2), ("moon", 3), ("jupiter", 1)],
            ),
            (
                &["jupiter", "moon"],
                [("jupiter", 1), ("saturn", 2), ("moon", 3)],
            ),
            (
                &["jupiter", "saturn", "moon"],
                [("jupiter", 1), ("saturn", 2), ("moon", 3)],
            ),
            (&["saturn"], now),
            (&[], now),
        ] {
            let wanted: Vec<String> = wanted.iter().map(|id| id.to_string()).collect();
            assert_eq!(rearranged(&now, &wanted), want);
        }
    }

    /// In the order given, whatever telescope each is of.
    fn without(skips: &[(String, String)]) -> SessionNotes {
        let of_telescope = |(telescope, target): &(String, String)| TelescopeNotes {
            name: telescope.clone(),
            note: None,
            order: Vec::new(),
            turns: vec![TurnNotes {
                target: target.clone(),
                note: None,
                skip: true,
                line: 0,
            }],
            line: 0,
            order_line: 0,
        };
        SessionNotes {
            telescopes: skips.iter().map(of_telescope).collect(),
            happened: Vec::new(),
        }
    }

    fn changed(before: &Session, after: &Session) -> Vec<String> {
        let (before, after) = (shown(before), shown(after));
        let of = |pins: &[Pin], name: &str| -> Vec<Pin> {
            pins.iter()
                .filter(|pin| pin.telescope == name)
                .cloned()
                .collect()
        };
        let mut names: Vec<String> = before
            .iter()
            .chain(&after)
            .map(|pin| pin.telescope.clone())
            .collect();
        names.sort();
        names.dedup();
        names.retain(|name| of(&before, name) != of(&after, name));
        names
    }

    /// Thirty random evenings of three telescopes or more, in each a target left out on some telescope, and then a second one
    /// somewhere: it is not shown there any more, and at most one telescope changes that need not, in most evenings none.
    /// (Planned from the start they would be two more in the mean, six at worst.)
    #[test]
    fn what_is_left_out_changes_little() {
        let mut dice = Dice(7);
        let (mut n_asked, mut n_alone) = (0, 0);
        let drawn = (0..200)
            .map(evening)
            .filter(|drawn| drawn.toml.contains("T2"));
        for drawn in drawn.take(30) {
            let no_tables = |_: &str| Err(String::from("no tables"));
            let workshop =
                Workshop::from_toml(&drawn.toml, "drawn.toml", &no_tables).expect("a workshop");
            let ask = Ask::drawn(&drawn);
            let mut skips: Vec<(String, String)> = Vec::new();
            let noted = |skips: &[(String, String)]| {
                let (session, unkept) =
                    session_as_noted(&workshop, &ask, &without(skips), &[]).expect("a plan");
                assert_eq!((unkept, session.stale_notes.len()), (vec![], 0));
                session
            };
            let mut before = noted(&skips);
            for _ in 0..2 {
                let all = shown(&before);
                let Some(one) = all.get(dice.below(all.len() as u64) as usize) else {
                    continue;
                };
                skips.push((one.telescope.clone(), one.target.clone()));
                let after = noted(&skips);
                let out: Vec<_> = (after.skipped.iter())
                    .map(|skip| (skip.telescope.clone(), skip.target.clone()))
                    .collect();
                assert_eq!(out, skips);
                let is_out = |pin: &Pin| {
                    let mut skips = skips.iter();
                    skips.any(|skip| (&skip.0, &skip.1) == (&pin.telescope, &pin.target))
                };
                assert!(!shown(&after).iter().any(is_out), "{skips:?}");
                let mut changed = changed(&before, &after);
                changed.retain(|name| *name != one.telescope);
                assert!(changed.len() <= 1, "{skips:?} changes {changed:?} too");
                n_asked += 1;
                n_alone += usize::from(changed.is_empty());
                before = after;
            }
        }
        assert!(
            50 < n_asked && 7 * n_asked < 10 * n_alone,
            "{n_alone} of {n_asked}"
        );
    }

    #[test]
    fn one_file_of_notes_for_every_evening() {
        let workshop = crate::workshop::example();
        let mut ask = Ask::drawn(&evening(0));
        ask.on = "2027-02-12".parse().expect("a date");
        ask.window = ClockWindow::said("19:00-22:00").expect("hours");
        ask.telescopes = vec![String::from("Rowan")];
        let text = "[[telescope]]\nname = \"Alder\"\nnote = \"x\"\n[[telescope]]\nname = \"Haze\"\n\
                    [[telescope]]\nname = \"Rowan\"\norder = [\"neptune\", \"jupiter\"]\n\
                    [[telescope.turn]]\ntarget = \"jupitr\"\nskip = true\n[[telescope.turn]]\ntarget = \"m13\"\nnote = \"y\"\n\
                    [[telescope.turn]]\ntarget = \"jupiter\"\nskip = true\n";
        let notes = SessionNotes::from_toml_bytes(text.as_bytes(), "notes").expect("notes");
        let (session, _) = session_as_noted(&workshop, &ask, &notes, &[]).expect("a plan");
        let found: Vec<_> = (session.stale_notes.iter())
            .map(|stale| {
                (
                    stale.line,
                    stale.target.as_deref(),
                    stale.sort,
                    stale.why.clone(),
                )
            })
            .collect();
        let near = |id: &str| Some(id.to_string());
        let want = [
            (2, None, NoteSort::Telescope, WhyStale::TakesNoPart),
            (
                5,
                None,
                NoteSort::Telescope,
                WhyStale::NoTelescope(near("Hazel")),
            ),
            (8, Some("neptune"), NoteSort::Order, WhyStale::NotShown),
            (
                10,
                Some("jupitr"),
                NoteSort::Skip,
                WhyStale::NoTarget(near("jupiter")),
            ),
            (13, Some("m13"), NoteSort::Note, WhyStale::NotShown),
        ];
        assert_eq!(found, want);
    }
}
