//! What an audience asks for: which subjects, which of their details, how many of each sort.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::instrument::Instrument;
use crate::optics::resolution::rayleigh_arcsec;
use crate::plan::dates::ask::{Audience, Wished};
use crate::sky::Body;
use crate::targets::asked::Asked;
use crate::targets::beyond::{Beyond, beyond};
use crate::targets::deep_sky::Kind;
use crate::targets::details::{Shape, detail};
use crate::targets::subject::Subject;

/// One thing asked for.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) wished: Wished,
    /// What its points are multiplied by.
    pub(super) weight: f64,
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

/// Of which so many count; the rest would only be more of the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    /// The Moon, a planet, a wish: all count, and are missed where they do not show.
    Each,
    /// Pairs of stars.
    Pair,
    /// One cluster, nebula or galaxy of a kind.
    DeepSky(Kind),
}

/// How many pairs count.
const PAIRS: usize = 2;

/// How many kinds of clusters, nebulae and galaxies count.
const DEEP_SKY_KINDS: usize = 2;

/// A star is a point and a nebula a smudge to who comes for the first time.
const BEYOND_WEIGHT: f64 = 0.5;

/// Pairs that anybody sees parted and whose fainter star anybody sees: arcseconds apart, magnitude.
const SHOWPIECE_APART_ARCSEC: f64 = 5.0;
const SHOWPIECE_FAINTEST_MAG: f64 = 6.5;

/// Clusters, nebulae and galaxies that are shown to the public; planetary nebulae are small and bright.
const SHOWPIECE_MAG: f64 = 6.0;
const SHOWPIECE_PLANETARY_MAG: f64 = 9.0;

/// Pairs that try a mirror, in units of Rayleigh's limit: from not quite parted to easy.
const TRIAL_RAYLEIGHS: std::ops::RangeInclusive<f64> = 0.8..=2.5;

/// Everything an audience asks for, what counts for itself first. `year` is a Julian one.
pub(super) fn menu(audience: &Audience, instruments: &[Instrument], year: f64) -> Vec<Item> {
    match audience {
        Audience::Public => {
            let bodies = [
                Body::Moon,
                Body::Venus,
                Body::Mars,
                Body::Jupiter,
                Body::Saturn,
            ];
            let mut showpieces: Vec<Beyond> =
                beyond().filter(|there| is_showpiece(there, year)).collect();
            showpieces.sort_by(|a, b| a.magnitude().total_cmp(&b.magnitude()));
            let showpieces = (showpieces.into_iter()).map(|there| star(there, BEYOND_WEIGHT));
            bodies.into_iter().map(whole).chain(showpieces).collect()
        }
        Audience::FigureTest => {
            let bodies = [Body::Mars, Body::Jupiter, Body::Saturn];
            let trials = beyond().filter(|there| tries_a_mirror(there, instruments, year));
            let trials = trials.map(|there| star(there, 1.0));
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
                weight: 1.0,
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
        weight: 1.0,
        sort: Sort::Each,
    }
}

fn star(there: Beyond, weight: f64) -> Item {
    Item {
        wished: Wished {
            subject: Subject::Beyond(there),
            detail_id: None,
        },
        weight,
        sort: match there {
            Beyond::Double(_) => Sort::Pair,
            Beyond::DeepSky(object) => Sort::DeepSky(object.kind),
        },
    }
}

fn is_showpiece(there: &Beyond, year: f64) -> bool {
    match there {
        Beyond::Double(double) => {
            let fainter = double.magnitude_a.max(double.magnitude_b);
            let apart = double.separation_and_angle(year);
            fainter <= SHOWPIECE_FAINTEST_MAG && SHOWPIECE_APART_ARCSEC <= apart.separation_arcsec
        }
        Beyond::DeepSky(object) => match object.kind {
            Kind::Planetary => object.magnitude <= SHOWPIECE_PLANETARY_MAG,
            _ => object.magnitude <= SHOWPIECE_MAG,
        },
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

/// Whether one more of a sort would still count beside those that are plain already.
pub(super) fn has_room(sort: Sort, plain: &[Sort]) -> bool {
    let n_pairs = plain.iter().filter(|sort| **sort == Sort::Pair).count();
    match sort {
        Sort::Each => true,
        Sort::Pair => n_pairs < PAIRS,
        Sort::DeepSky(kind) => {
            let n_kinds = plain.len() - n_pairs;
            n_kinds < DEEP_SKY_KINDS && !plain.contains(&Sort::DeepSky(kind))
        }
    }
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
        )
    )
}
