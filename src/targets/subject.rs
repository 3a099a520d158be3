//! What a telescope is pointed at: a body of the solar system, or something beyond it.

use std::sync::Arc;

use crate::sky::appearance::ApparentPlace;
use crate::sky::small_bodies::{Course, SmallBodySighting};
use crate::sky::{Appearance, Body};
use crate::targets::asked::{Asked, asked_of};
use crate::targets::beyond::{Beyond, beyond};
use crate::targets::conditions::Told;
use crate::targets::details::detail;
use crate::targets::small_bodies::asked_of_small;

/// What is looked at.
#[derive(Debug, Clone, PartialEq)]
pub enum Subject {
    /// The Moon or a planet.
    Body(Body),
    /// Something among the stars.
    Beyond(Beyond),
    /// An asteroid or a comet on its way over the night.
    Small(Arc<Course>),
}

/// The subject on which something of that id is to be seen; `None` where nothing is called so.
pub fn subject_of(id: &str) -> Option<Subject> {
    let of_body = detail(id).map(|detail| Subject::Body(detail.body));
    let has_it = |there: &Beyond| there.asked(0.0).iter().any(|asked| asked.caption.id == id);
    of_body.or_else(|| beyond().find(has_it).map(Subject::Beyond))
}

impl Subject {
    /// Lower case, stable: `jupiter`, `albireo`.
    pub fn id(&self) -> &str {
        match self {
            Subject::Body(body) => body.id(),
            Subject::Beyond(there) => there.id(),
            Subject::Small(course) => &course.body().id,
        }
    }

    /// As written in a list for people.
    pub fn name(&self) -> &str {
        match self {
            Subject::Body(body) => body.name(),
            Subject::Beyond(there) => there.name(),
            Subject::Small(course) => &course.body().name,
        }
    }

    /// The body of the solar system with a face and details of its own.
    pub fn body(&self) -> Option<Body> {
        match self {
            Subject::Body(body) => Some(*body),
            Subject::Beyond(_) | Subject::Small(_) => None,
        }
    }
}

/// A subject as it stands at one instant over one place.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// The Moon or a planet.
    Body(Appearance),
    /// Something among the stars.
    Beyond(Beyond, ApparentPlace),
    /// An asteroid or a comet.
    Small(Arc<Course>, SmallBodySighting),
}

impl Seen {
    /// What is seen.
    pub fn subject(&self) -> Subject {
        match self {
            Seen::Body(appearance) => Subject::Body(appearance.body),
            Seen::Beyond(there, _) => Subject::Beyond(*there),
            Seen::Small(course, _) => Subject::Small(Arc::clone(course)),
        }
    }

    /// What can be asked of it then, at days of TT since J2000.0.
    pub fn asked(&self, tt_days: f64, told: &Told) -> Vec<Asked> {
        match self {
            Seen::Body(appearance) => asked_of(appearance, told),
            Seen::Beyond(there, _) => there.asked(tt_days),
            Seen::Small(course, seen) => vec![asked_of_small(course.body(), seen)],
        }
    }

    /// With its face, if it is a body that has one.
    pub fn appearance(&self) -> Option<&Appearance> {
        match self {
            Seen::Body(appearance) => Some(appearance),
            Seen::Beyond(..) | Seen::Small(..) => None,
        }
    }

    /// Where it stands: its middle.
    pub fn place(&self) -> &ApparentPlace {
        match self {
            Seen::Body(appearance) => &appearance.place,
            Seen::Beyond(_, place) => place,
            Seen::Small(_, small) => &small.place,
        }
    }

    /// Apparent visual magnitude above the air.
    pub fn magnitude(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.magnitude,
            Seen::Beyond(there, _) => there.magnitude(),
            Seen::Small(_, small) => small.magnitude,
        }
    }
}
