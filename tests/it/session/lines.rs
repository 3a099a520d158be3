//! Waiting, by an evening played visitor by visitor: lines before each telescope, people who choose the shortest, helpers who bring
//! the target back. Nothing of it is shared with what plans.

use std::collections::VecDeque;

use super::{planned, workshop_of};
use crate::support::{Dice, RandomEvening, evening};
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::session::{Ask, Session};
use skyworthy::workshop::{Arrival, Helper};

/// As told in the handbook: a practised helper brings a target back in 10 s and finds one in 120 s, a new one in twice that; a
/// target is well seen over 0.6 of its way across.
const RECENTRING_S: [f64; 2] = [10.0, 20.0];
const POINTING_S: [f64; 2] = [120.0, 240.0];
const GOOD_SHARE: f64 = 0.6;

/// A target in the eyepiece, seconds from the first turn.
struct Open {
    from_s: f64,
    until_s: f64,
    looks_between: usize,
}

struct Telescope {
    opens: Vec<Open>,
    recentring_s: f64,
    line: VecDeque<f64>,
    free_at_s: f64,
    since_recentred: usize,
}

impl Telescope {
    /// People before it, the one at the eyepiece among them.
    fn n_before(&self, at_s: f64) -> usize {
        self.line.len() + usize::from(at_s < self.free_at_s)
    }

    /// With the line that stands before it even while the next target is found.
    fn open_at(&self, at_s: f64) -> Option<&Open> {
        self.opens
            .iter()
            .find(|open| open.from_s <= at_s && at_s < open.until_s)
    }
}

pub fn ask_of(drawn: &RandomEvening) -> Ask {
    Ask {
        on: drawn.on.parse().expect("a date"),
        window: ClockWindow::said(&drawn.window).expect("hours"),
        visitors: drawn.visitors,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    }
}

fn telescopes(session: &Session) -> Vec<Telescope> {
    let turns = || session.telescopes.iter().flat_map(|station| &station.turns);
    let first = turns().map(|turn| turn.from).min().expect("a turn");
    let seconds = |at: chrono::DateTime<chrono::Utc>| (at - first).num_seconds() as f64;
    (session.telescopes.iter())
        .map(|station| {
            let new = usize::from(station.helper == Helper::New);
            let opens = station.turns.iter().map(|turn| Open {
                from_s: seconds(turn.from) + POINTING_S[new],
                until_s: seconds(turn.until),
                looks_between: turn.shown.drift_s.map_or(usize::MAX, |drift_s| {
                    let looks = GOOD_SHARE * drift_s / session.evening.seconds_per_look;
                    (looks as usize).max(1)
                }),
            });
            Telescope {
                opens: opens.collect(),
                recentring_s: RECENTRING_S[new],
                line: VecDeque::new(),
                free_at_s: 0.0,
                since_recentred: 0,
            }
        })
        .collect()
}

/// Waits of all looks of one evening, s; in steps of a second.
fn played(session: &Session, dice: &mut Dice) -> Vec<f64> {
    let mut telescopes = telescopes(session);
    let ends = telescopes.iter().flat_map(|it| &it.opens);
    let end_s = ends.map(|open| open.until_s).fold(0.0, f64::max);
    let visitors = session.visitors;
    let mut coming: Vec<f64> = match session.evening.arrival {
        Arrival::Together => vec![0.0; visitors as usize],
        Arrival::OverTime => {
            // Gaps as by chance, one more than visitors, so many of them as come from the first look to the last.
            let gaps: Vec<f64> = (0..=visitors).map(|_| -(1.0 - dice.share()).ln()).collect();
            let scale_s = end_s / gaps.iter().sum::<f64>();
            let mut at_s = 0.0;
            (gaps[1..].iter())
                .map(|gap| {
                    at_s += scale_s * gap;
                    at_s
                })
                .collect()
        }
    };
    let mut waits = Vec::new();
    // Those who joined when no telescope was open stand at the side until one is.
    let mut aside: Vec<f64> = Vec::new();
    for second in 0..=end_s as usize {
        let now_s = second as f64;
        let is_open: Vec<bool> = telescopes
            .iter()
            .map(|it| it.open_at(now_s).is_some())
            .collect();
        let came = coming.iter().filter(|at_s| **at_s <= now_s);
        aside.extend(came.copied());
        coming.retain(|at_s| now_s < *at_s);
        for (telescope, is_open) in telescopes.iter_mut().zip(&is_open) {
            if !is_open {
                aside.extend(telescope.line.drain(..));
            }
        }
        let open: Vec<usize> = (0..telescopes.len()).filter(|idx| is_open[*idx]).collect();
        if open.is_empty() {
            continue;
        }
        aside.sort_by(f64::total_cmp);
        for joined_s in aside.drain(..) {
            let shortest = |idx: &&usize| telescopes[**idx].n_before(now_s);
            let fewest = open.iter().map(|idx| shortest(&idx)).min().expect("one");
            let as_short: Vec<usize> = (open.iter())
                .filter(|idx| shortest(idx) == fewest)
                .copied()
                .collect();
            let chosen = as_short[dice.below(as_short.len() as u64) as usize];
            telescopes[chosen].line.push_back(joined_s);
        }
        // Whoever stands last in a line two longer than another steps over.
        loop {
            let length = |idx: &usize| telescopes[*idx].n_before(now_s);
            let longest = *open.iter().max_by_key(|idx| length(idx)).expect("one");
            let shortest = *open.iter().min_by_key(|idx| length(idx)).expect("one");
            if length(&longest) < length(&shortest) + 2 {
                break;
            }
            let last = telescopes[longest].line.pop_back().expect("somebody");
            let line = &mut telescopes[shortest].line;
            let place = line.iter().filter(|joined_s| **joined_s <= last).count();
            line.insert(place, last);
        }
        for telescope in &mut telescopes {
            let Some(open) = telescope.open_at(now_s) else {
                continue;
            };
            let is_due = open.looks_between <= telescope.since_recentred + 1;
            let look_s = session.evening.seconds_per_look
                + if is_due { telescope.recentring_s } else { 0.0 };
            if now_s < telescope.free_at_s || open.until_s < now_s + look_s {
                continue;
            }
            if let Some(joined_s) = telescope.line.pop_front() {
                waits.push(now_s - joined_s);
                telescope.free_at_s = now_s + look_s;
                telescope.since_recentred = if is_due {
                    0
                } else {
                    telescope.since_recentred + 1
                };
                coming.push(now_s + look_s);
            }
        }
    }
    waits
}

/// Said and played, a hundred evenings with people all there or coming over time: the mean within a tenth, or half a minute where the
/// line is short; looks within a twentieth.
#[test]
fn waits_are_those_of_an_evening_that_is_played() {
    let (mut n_compared, mut worst) = (0, 0.0f64);
    for number in 0..100 {
        let drawn = evening(number);
        let session = planned(&workshop_of(&drawn.toml), &ask_of(&drawn));
        if session.queue.looks == 0 {
            continue;
        }
        let mut dice = Dice(number + 1);
        let (mut sum_s, mut n_looks) = (0.0, 0usize);
        // As many people in all, however few come to one.
        let plays = (800 / session.visitors as usize).max(8);
        for _ in 0..plays {
            let waits = played(&session, &mut dice);
            sum_s += waits.iter().sum::<f64>();
            n_looks += waits.len();
        }
        let played_min = sum_s / n_looks.max(1) as f64 / 60.0;
        let said_min = session.queue.expected_wait_min;
        let off_min = (said_min - played_min).abs();
        println!(
            "{number:3}: {} visitors, {} telescopes, {:?}: said {said_min:.2}, played {played_min:.2}; looks {} {}",
            session.visitors,
            session.telescopes.len(),
            session.evening.arrival,
            session.queue.looks,
            n_looks / plays
        );
        assert!(
            off_min <= (0.1 * played_min).max(0.5),
            "{number}: said {said_min} min, played {played_min} min"
        );
        let looks = n_looks as f64 / plays as f64;
        let off = (f64::from(session.queue.looks) - looks).abs();
        assert!(
            off <= 0.05 * looks + 3.0,
            "{number}: {} looks, played {looks}",
            session.queue.looks
        );
        if 5.0 < played_min {
            worst = worst.max(off_min / played_min);
        }
        n_compared += 1;
    }
    println!("{n_compared} evenings, worst {:.1} %", 100.0 * worst);
    assert!(50 <= n_compared, "{n_compared}");
}
