//! The organiser's own order: targets of a telescope change places, and the plan is made again around them.

use crate::plan::refusal::NoSession;
use crate::plan::session::answer::{Limits, Session, Station};
use crate::plan::session::arrange::arranged;
use crate::plan::session::ask::{Ask, Order, Pin};
use crate::plan::session::upset::Upset;
use crate::workshop::Workshop;

/// An order that cannot be kept; the telescope is planned as if it had not been given.
#[derive(Debug, Clone, PartialEq)]
pub struct Unkept {
    /// Which.
    pub order: Order,
    /// Name and times of the first target that cannot be looked at when it would come; `None` where other rules are in
    /// the way.
    pub too_late_or_early: Option<(String, Limits)>,
}

/// Plans a public evening in the organiser's order, and goes on with it as things happen. Every rule holds as without it: what would be shown behind the skyline, by
/// day or near the Sun is named, not shown.
pub fn session_in_order(
    workshop: &Workshop,
    ask: &Ask,
    orders: &[Order],
    upsets: &[Upset],
) -> Result<(Session, Vec<Unkept>), NoSession> {
    let (session, pins, unkept) = in_order(workshop, ask, orders)?;
    match upsets {
        [] => Ok((session, unkept)),
        upsets => Ok((arranged(workshop, ask, &pins, upsets)?, unkept)),
    }
}

/// Before anything happens; with what is settled then.
fn in_order(
    workshop: &Workshop,
    ask: &Ask,
    orders: &[Order],
) -> Result<(Session, Vec<Pin>, Vec<Unkept>), NoSession> {
    let planned = arranged(workshop, ask, &[], &[])?;
    let mut unkept = Vec::new();
    let mut orders = orders.to_vec();
    loop {
        let pins: Vec<Pin> = (orders.iter())
            .flat_map(|order| pins(&planned, order))
            .collect();
        if pins.is_empty() {
            return Ok((planned, pins, unkept));
        }
        let session = arranged(workshop, ask, &pins, &[])?;
        let Some(idx) = orders.iter().position(|order| {
            let of_telescope = pins.iter().filter(|pin| pin.telescope == order.telescope);
            !of_telescope.clone().all(|pin| is_kept(&session, pin))
        }) else {
            return Ok((session, pins, unkept));
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
}
