//! One local fault: an edge that rolls off, where figures most often fail and readings say least, or a single ring.
//!
//! A knife balances a window as a whole and passes over the last millimetres, so an edge that rolls off may be
//! in the readings, or not. Which edges there may be, and how likely, is a prior: from memory of what mirrors
//! on the way to the paraboloid show under the bands, no source. It widens the figures; it is no measurement.
//! A ring narrower than a window hides inside it, all the better the fewer windows there are.

use crate::optics::evidence::disc::{Disc, NEXT_TO_THE_AXIS, ring_steepness};
use crate::workshop::{MirrorEdge, TurnedEdge};

/// One place where the glass may be off.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::optics) struct Fault {
    /// Steepness on the rings where the wavefront is 1 nm too long at the very rim, or on the ring; empty where nothing is
    /// off.
    pub(in crate::optics) unit: Vec<f64>,
    /// Of the wavefront there, nm: positive where the glass is low.
    pub(in crate::optics) mean_nm: f64,
    /// Spread of that.
    pub(in crate::optics) spread_nm: f64,
    /// The readings answer to it.
    pub(in crate::optics) is_read: bool,
    /// About its mean to either side; where the mean is not known, an edge that no reading answers to goes down.
    pub(in crate::optics) is_either_way: bool,
    /// Edges come with whatever else a mirror has; a ring by itself is looked for on an even conic.
    pub(in crate::optics) is_alone: bool,
    /// Somebody saw it: it belongs to the figure, not only to its interval.
    pub(in crate::optics) is_known: bool,
    /// How likely beforehand.
    pub(in crate::optics) share: f64,
}

/// The last window and what lies beyond, as shares of the radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::optics) struct LastWindow {
    pub(in crate::optics) inner: f64,
    pub(in crate::optics) outer: f64,
}

impl Fault {
    fn none(share: f64) -> Fault {
        Fault {
            unit: Vec::new(),
            mean_nm: 0.0,
            spread_nm: 0.0,
            is_read: true,
            is_either_way: false,
            is_alone: false,
            is_known: false,
            share,
        }
    }

    /// An edge rolls off like a parabola: it leaves the figure without a kink.
    fn rolled(disc: &Disc, width: f64, share: f64) -> Fault {
        let begins = 1.0 - width;
        let steepness = |x: &f64| {
            let rho = x.sqrt();
            -(rho - begins).max(0.0) / (width * width * rho.max(begins).max(NEXT_TO_THE_AXIS))
        };
        Fault {
            unit: disc.x.iter().map(steepness).collect(),
            share,
            ..Fault::none(share)
        }
    }

    pub(in crate::optics) fn is_none(&self) -> bool {
        self.unit.is_empty()
    }

    /// How far off the glass is at so many deviations.
    pub(in crate::optics) fn drawn_nm(&self, deviations: f64) -> f64 {
        let off = match self.goes_down() {
            true => deviations.abs(),
            false => deviations,
        };
        self.mean_nm + self.spread_nm * off
    }

    fn goes_down(&self) -> bool {
        !self.is_read && !self.is_either_way
    }

    /// At the very rim, on the average, nm of wavefront.
    pub(in crate::optics) fn expected_nm(&self) -> f64 {
        match self.goes_down() {
            true => self.mean_nm + self.spread_nm * MEAN_OF_HALF_NORMAL,
            false => self.mean_nm,
        }
    }
}

/// Standard deviations of a ring's profile, shares of the radius: as narrow as a finger and as wide as a third of the mirror
/// (common practice, no source).
pub(in crate::optics) const RING_WIDTHS: [f64; 3] = [0.08, 0.13, 0.21];

/// Every fault there may be after what the maker said of the edge, before the readings; shares sum to 1.
///
/// `gaps`: stretches between windows and inside the first that no reading shows, shares of the radius.
pub(in crate::optics) fn faults(
    disc: &Disc,
    (edge, last): (MirrorEdge, LastWindow),
    gaps: &[(f64, f64)],
) -> Vec<Fault> {
    let mut faults = rims(disc, edge, last);
    if !gaps.is_empty() {
        faults
            .iter_mut()
            .for_each(|fault| fault.share *= 1.0 - GAPS_SHARE);
        faults.extend(
            gaps.iter()
                .map(|gap| unread_ring(disc, *gap, GAPS_SHARE / gaps.len() as f64)),
        );
    }
    faults
        .iter_mut()
        .for_each(|fault| fault.share *= 1.0 - RINGS_SHARE);
    faults.extend(rings(disc));
    faults
}

/// A ring where nobody read: its slopes are those of rings elsewhere, so the wider the gap the higher it may be.
fn unread_ring(disc: &Disc, (from, until): (f64, f64), share: f64) -> Fault {
    let width = (until - from) / 4.0;
    Fault {
        unit: ring_steepness(&disc.x, (from + until) / 2.0, width),
        spread_nm: (RING_NM * width / UNREAD_RING).min(UNREAD_EDGE_NM),
        is_read: false,
        is_either_way: true,
        ..Fault::none(share)
    }
}

fn rings(disc: &Disc) -> Vec<Fault> {
    let places = |width: f64| {
        (0..)
            .map(move |k| f64::from(k) * width)
            .take_while(|at| *at <= 1.0)
    };
    let places: Vec<(f64, f64)> = RING_WIDTHS
        .into_iter()
        .flat_map(|width| places(width).map(move |at| (at, width)))
        .collect();
    let share = RINGS_SHARE / places.len() as f64;
    let ring = |(at, width): &(f64, f64)| Fault {
        unit: ring_steepness(&disc.x, *at, *width),
        spread_nm: RING_NM,
        is_alone: true,
        ..Fault::none(share)
    };
    places.iter().map(ring).collect()
}

pub(in crate::optics) fn rims(disc: &Disc, edge: MirrorEdge, last: LastWindow) -> Vec<Fault> {
    let unread = 1.0 - last.outer;
    let mut rims = match edge {
        MirrorEdge::Turned(turned) => turned_rims(disc, turned, last),
        MirrorEdge::Sound => {
            let mut rims = vec![Fault::none(0.95)];
            rims.extend(read_edges(disc, 0.05));
            rims
        }
        MirrorEdge::NotLooked => {
            let hidden = 1.0 - last.inner;
            let mut rims = vec![Fault::none(0.75)];
            rims.extend(read_edges(disc, 0.15));
            rims.extend(HIDDEN_IN_WINDOW.map(|part| Fault {
                spread_nm: HIDDEN_EDGE_NM,
                is_read: false,
                ..Fault::rolled(disc, part * hidden, 0.10 / HIDDEN_IN_WINDOW.len() as f64)
            }));
            rims
        }
    };
    if unread > NARROWEST_UNREAD && !matches!(edge, MirrorEdge::Turned(_)) {
        rims.iter_mut().for_each(|rim| rim.share *= 0.4);
        rims.extend(UNREAD_PARTS.map(|part| Fault {
            spread_nm: UNREAD_EDGE_NM,
            is_read: false,
            ..Fault::rolled(disc, part * unread, 0.6 / UNREAD_PARTS.len() as f64)
        }));
    }
    rims
}

fn read_edges(disc: &Disc, share: f64) -> impl Iterator<Item = Fault> {
    READ_WIDTHS.into_iter().map(move |width| Fault {
        spread_nm: READ_EDGE_NM,
        ..Fault::rolled(disc, width, share / READ_WIDTHS.len() as f64)
    })
}

fn turned_rims(disc: &Disc, turned: TurnedEdge, last: LastWindow) -> Vec<Fault> {
    let rim_mm = disc.rim_mm;
    let unread = 1.0 - last.outer;
    let widths: Vec<f64> = match turned.width_mm {
        Some(width_mm) => MEASURED_WIDTHS
            .map(|times| (times * width_mm / rim_mm).min(1.0))
            .to_vec(),
        None => TURNED_WIDTHS.map(|width| width.max(unread)).to_vec(),
    };
    let (mean_nm, spread_nm) = match turned.depth_nm {
        Some(depth_nm) => (2.0 * depth_nm, 2.0 * depth_nm * STATED_DEPTH_SPREAD),
        None => (0.0, TURNED_EDGE_NM),
    };
    let ways = [true, false];
    let share = 1.0 / (widths.len() * ways.len()) as f64;
    let rim = |width: f64, is_read: bool| Fault {
        mean_nm,
        spread_nm,
        is_read,
        // A measured depth may be off to either side.
        is_either_way: turned.depth_nm.is_some(),
        is_known: true,
        ..Fault::rolled(disc, width, share)
    };
    (widths.iter())
        .flat_map(|width| ways.map(|is_read| rim(*width, is_read)))
        .collect()
}

/// Of the radius: edges wide enough to pull the reading of a last window.
const READ_WIDTHS: [f64; 4] = [0.03, 0.06, 0.10, 0.15];
const READ_EDGE_NM: f64 = 200.0;

/// Of the last window: what the eye passes over when it balances the whole.
const HIDDEN_IN_WINDOW: [f64; 2] = [0.2, 0.4];
const HIDDEN_EDGE_NM: f64 = 120.0;

/// Of what no window shows.
const UNREAD_PARTS: [f64; 3] = [0.4, 0.7, 1.0];
const UNREAD_EDGE_NM: f64 = 300.0;
const NARROWEST_UNREAD: f64 = 0.01;

/// Of the radius, where somebody saw an edge and did not measure it.
const TURNED_WIDTHS: [f64; 3] = [0.02, 0.04, 0.08];
const TURNED_EDGE_NM: f64 = 400.0;
/// Where an edge begins is seen to a part of its width.
const MEASURED_WIDTHS: [f64; 3] = [0.8, 1.0, 1.2];
const STATED_DEPTH_SPREAD: f64 = 0.3;

/// A mirror with one ring beside its correction, and how high it is.
const RINGS_SHARE: f64 = 0.5;
const RING_NM: f64 = 90.0;

/// How likely a ring stands in some gap, and the width at which it is as high as rings are.
const GAPS_SHARE: f64 = 0.5;
const UNREAD_RING: f64 = 0.05;

/// sqrt(2 / pi).
const MEAN_OF_HALF_NORMAL: f64 = 0.797_884_560_802_865_4;
