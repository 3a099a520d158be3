//! How something graded is called.

use crate::sky::small_bodies::SmallBodyKind;

/// How something graded is called.
#[derive(Debug, Clone, PartialEq)]
pub struct Caption {
    /// Unique, stable, lower case: `saturn_cassini`.
    pub id: String,
    /// To be worded.
    pub name: CaptionName,
    /// What a visitor will really see, in one sentence.
    pub say: String,
    /// It looks like a star and stands among such: only a chart tells which it is.
    pub among_stars: bool,
}

/// Its name, or what it is of something that has one.
#[derive(Debug, Clone, PartialEq)]
pub enum CaptionName {
    /// As one would say it: "Cassini Division".
    Said(String),
    /// What of a cluster, a nebula, a galaxy is looked for.
    Part {
        /// The object's name.
        of: String,
        /// Its light, or its stars.
        part: Part,
    },
    /// A pair of stars.
    Pair {
        /// Its name.
        pair: String,
        /// From star to star, then.
        separation_arcsec: f64,
    },
    /// An asteroid or a comet.
    SmallBody {
        /// Its name.
        body: String,
        /// Which of the two.
        kind: SmallBodyKind,
        /// Then, above the air.
        magnitude: f64,
    },
}

/// What of an object of the deep sky is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Its light all together.
    Glow,
    /// The brighter ones, one by one.
    Stars,
}

impl Part {
    /// Lower case, as the ids of what is graded end: `m13_glow`.
    pub fn id(self) -> &'static str {
        match self {
            Part::Glow => "glow",
            Part::Stars => "stars",
        }
    }
}
