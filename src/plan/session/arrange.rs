//! One plan from the question to the answer: every step in its order.

use crate::plan::local::night_window;
use crate::plan::refusal::{NoNight, NoSession};
use crate::plan::session::answer::Session;
use crate::plan::session::ask::{Ask, Pin, Want};
use crate::plan::session::assign::Assigning;
use crate::plan::session::candidates::CandidateSearch;
use crate::plan::session::clock::Clock;
use crate::plan::session::finish::Finish;
use crate::plan::session::moments::moments;
use crate::plan::session::readiness::Readiness;
use crate::plan::session::shown_target::Finder;
use crate::plan::session::station::Builder;
use crate::plan::session::telescopes::evening_telescopes;
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::subject::Subject;
use crate::workshop::Workshop;

/// Plans an evening in which some slots are settled beforehand.
pub(super) fn arranged(workshop: &Workshop, ask: &Ask, pins: &[Pin]) -> Result<Session, NoSession> {
    let site = &workshop.site;
    let wants = wanted(ask)?;
    let telescopes = evening_telescopes(workshop, ask)?;
    let clock = Clock::of(ask, &workshop.evening, site.time_zone)?;
    let window = night_window(ask.on, site.time_zone).ok_or(NoNight::NoSuchDate)?;
    let watch = Watch::of(workshop, window)?;
    let sun = watch.sun_times();
    let onlooker = watch.onlooker(workshop.observer);
    let subjects: Vec<Subject> = wants.iter().map(|(_, subject)| subject.clone()).collect();
    let candidates = CandidateSearch {
        watch: &watch,
        slots: &clock.slots,
        telescopes: &telescopes,
        onlooker,
        wanted: &subjects,
    }
    .candidates()?;
    let evening = TimeSpan {
        from: clock.from,
        until: clock.until,
    };
    let moments = moments(&watch, site, &sun, evening)?;
    let readiness: Vec<Readiness> = (telescopes.iter())
        .map(|scope| Readiness::of(scope, &clock, &candidates, &sun))
        .collect();
    let ready_from: Vec<usize> = readiness.iter().map(|ready| ready.from_slot).collect();
    let assigned = Assigning {
        telescopes: &telescopes,
        candidates: &candidates,
        slots: &clock.slots,
        moments: &moments,
        onlooker,
        evening: &workshop.evening,
        slot_minutes: ask.slot_minutes,
        visitors: ask.visitors,
        first: ask.first,
        ready_from: &ready_from,
        wants: &wants,
        pins,
    }
    .assigned();
    let builder = Builder {
        finder: Finder {
            watch: &watch,
            onlooker,
            marks: &site.marks,
        },
        targets: &candidates.targets,
        slots: &clock.slots,
        moments: &moments,
        assigned: &assigned,
        sun: &sun,
        seconds_per_look: workshop.evening.seconds_per_look,
        visitors: ask.visitors,
    };
    let stations = (telescopes.iter().enumerate())
        .map(|(idx, scope)| builder.station(idx, scope))
        .collect::<Result<Vec<_>, _>>()?;
    Finish {
        workshop,
        ask,
        telescopes: &telescopes,
        clock,
        watch: &watch,
        sun,
        assigned,
        readiness,
        stations,
        moments,
    }
    .session()
}

/// The wants with what they mean.
fn wanted(ask: &Ask) -> Result<Vec<(Want, Subject)>, NoSession> {
    let subject = |want: &Want| {
        let id = want.subject.as_str();
        let of_body = Body::from_id(id).map(Subject::Body);
        let known = of_body.or_else(|| {
            let there = beyond().find(|there| there.id() == id);
            there.map(Subject::Beyond)
        });
        let unknown = || NoSession::UnknownSubject { id: id.to_string() };
        Ok((want.clone(), known.ok_or_else(unknown)?))
    };
    ask.wants.iter().map(subject).collect()
}
