//! What an audience asks for: which subjects, which of their details, how many of each sort.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::instrument::Instrument;
use crate::optics::resolution::rayleigh_arcsec;
use crate::plan::dates::ask::{Audience, Wished};
use crate::sky::Body;
use crate::targets::asked::Asked;
use crate::targets::beyond::{Beyond, beyond};
use crate::targets::details::{Shape, detail};
use crate::targets::merit;
use crate::targets::subject::Subject;

/// One thing asked for.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) wished: Wished,
    pub(super) sort: Sort,
}

impl Item {
    /// The subject's name, or the detail's with it.
    pub(super) fn called(&self) -> String {
        let subject = &self.wished.subject;
        let Some(id) = &self.wished.detail_id else {
            return subject.name().to_string();
        };
        match detail(id) {
            Some(detail) => format!("{}: {}", subject.name(), detail.name),
            None => format!("{} ({id})", subject.name()),
        }
    }
}

/// Which of the things asked for count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sort {
    /// The Moon, a planet, a wish: all count, and are missed where they do not show.
    Each,
    /// Beyond the planets: of those that show only the best few count, the rest would be more of the same.
    Star {
        /// No telescope at hand makes more of it, in points.
        at_most: f64,
    },
}

/// How many of what lies beyond the planets count for the public: as many as an evening has time for.
const STARS_FOR_ALL: usize = 6;

/// How many pairs count for trying a mirror.
const PAIRS_FOR_TRIAL: usize = 2;

/// How many of [`Sort::Star`] count, and how much a further one of the same kind counts of the one before.
pub(super) fn n_stars(audience: &Audience) -> (usize, f64) {
    match audience {
        Audience::Public => (STARS_FOR_ALL, merit::FALLING),
        _ => (PAIRS_FOR_TRIAL, 1.0),
    }
}

/// Pairs that try a mirror, in units of Rayleigh's limit: from not quite parted to easy.
const TRIAL_RAYLEIGHS: std::ops::RangeInclusive<f64> = 0.8..=2.5;

/// Everything an audience asks for, what counts for itself first. `year` is a Julian one; `at_most`: what a subject can
/// bring at most in these telescopes.
pub(super) fn menu(
    audience: &Audience,
    instruments: &[Instrument],
    year: f64,
    at_most: impl Fn(Beyond) -> f64,
) -> Vec<Item> {
    let stars = |is_wanted: &dyn Fn(&Beyond) -> bool| -> Vec<Item> {
        let wanted = beyond().filter(is_wanted);
        wanted.map(|there| star(there, at_most(there))).collect()
    };
    match audience {
        Audience::Public => {
            let bodies = [
                Body::Moon,
                Body::Venus,
                Body::Mars,
                Body::Jupiter,
                Body::Saturn,
            ];
            let bodies = bodies.into_iter().map(whole);
            bodies.chain(stars(&|_| true)).collect()
        }
        Audience::FigureTest => {
            let bodies = [Body::Mars, Body::Jupiter, Body::Saturn];
            let trials = stars(&|there| tries_a_mirror(there, instruments, year));
            bodies.into_iter().map(whole).chain(trials).collect()
        }
        Audience::OwnList(wishes) => wished(wishes),
    }
}

/// No wish twice, and no detail of what is wished for as a whole.
pub(super) fn wished(wishes: &[Wished]) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for wish in wishes {
        let is_in_a_whole = wish.detail_id.is_some()
            && wishes
                .iter()
                .any(|other| other.detail_id.is_none() && other.subject == wish.subject);
        if !is_in_a_whole && items.iter().all(|item| item.wished != *wish) {
            items.push(Item {
                wished: wish.clone(),
                sort: Sort::Each,
            });
        }
    }
    items
}

fn whole(body: Body) -> Item {
    Item {
        wished: Wished {
            subject: Subject::Body(body),
            detail_id: None,
        },
        sort: Sort::Each,
    }
}

fn star(there: Beyond, at_most: f64) -> Item {
    Item {
        wished: Wished {
            subject: Subject::Beyond(there),
            detail_id: None,
        },
        sort: Sort::Star { at_most },
    }
}

fn tries_a_mirror(there: &Beyond, instruments: &[Instrument], year: f64) -> bool {
    let Beyond::Double(double) = there else {
        return false;
    };
    let apart_arcsec = double.separation_and_angle(year).separation_arcsec;
    let rayleigh = |it: &Instrument| rayleigh_arcsec(it.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let is_tried = |it: &Instrument| TRIAL_RAYLEIGHS.contains(&(apart_arcsec / rayleigh(it)));
    instruments.iter().any(is_tried)
}

/// Whether a detail says something of the mirror, and not only that there is a planet.
pub(super) fn is_fine(asked: &Asked) -> bool {
    let shape = asked.detail.map(|detail| detail.shape);
    !matches!(
        shape,
        Some(
            Shape::Phase
                | Shape::Disc
                | Shape::Flattening
                | Shape::Glow
                | Shape::Point
                | Shape::Ring
                | Shape::RingLine
        )
    )
}
