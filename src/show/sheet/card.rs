//! One turn of a telescope in the words of its sheet: what to find where, with what, and what to say.

use chrono::TimeDelta;
use chrono_tz::Tz;

use crate::plan::outlook::Edge;
use crate::plan::session::{Session, ShownTarget, Turn};
use crate::show::page::document::tidy;
use crate::show::session::{sizes, wording};
use crate::show::words;
use crate::sky::Body;
use crate::targets::subject::Subject;
use crate::targets::verdict::{Grade, Verdict};

use super::looks::code;
use super::shell::clipped;
use super::talk::Talk;

/// More letters of one entry nobody reads in the dark.
const LONGEST_ENTRY: usize = 220;

/// `02:30 (UTC+1)`
const LONGEST_TIME: usize = 13;

/// The longest name a workshop file may give.
const LONGEST_NAME: usize = 60;

/// More than so many other things nobody shows in one turn.
const MOST_MORE: usize = 9;

/// A target that goes later than that after its turn is as good as there all evening.
const SOON: TimeDelta = TimeDelta::minutes(45);

/// A turn in words; whatever is missing is not known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Card {
    /// Of what is shown: `saturn`.
    pub id: String,
    /// Local time: `19:40`.
    pub from: String,
    /// Local time.
    pub until: String,
    /// Of what is shown, as one calls it.
    pub name: String,
    /// Its other names; possibly none.
    pub also: String,
    /// Where to point.
    pub place: String,
    /// When and why it ends for good.
    pub then: Option<String>,
    /// When the Sun comes too near: printed whatever has to give way.
    pub stop: Option<String>,
    /// Eyepiece and power.
    pub with: String,
    /// One thing, by its code and name.
    pub look_for: String,
    /// For whom and when that shows: `easy`, `with a quiet minute`.
    pub surely: String,
    /// What a visitor will really see.
    pub you_see: String,
    /// What happens on it meanwhile, each with its minute.
    pub meanwhile: Option<String>,
    /// What else shows: first one thing of each sort, then the rest, surest first.
    pub more: Vec<More>,
    /// Distance, light time, size.
    pub facts: Option<String>,
    /// The same one by one, each behind a label.
    pub facts_apart: Vec<(&'static str, String)>,
    /// To tell, and to answer.
    pub talk: Talk,
    /// What to turn to under cloud.
    pub cloud: Option<String>,
    /// The organiser's own words.
    pub note: Option<String>,
    /// The next one begins when this one ends: nobody has to be told when that is.
    pub is_followed: bool,
}

/// Something else to look for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct More {
    /// Its code, and as one calls it.
    pub name: String,
    /// For whom and when it shows.
    pub surely: String,
    /// What a visitor will really see.
    pub say: String,
}

impl Card {
    /// The words of a turn, which is the nth of its telescope. Each promise has its code before it.
    pub(super) fn of(session: &Session, nth: usize, turn: &Turn) -> Card {
        let zone = session.zone;
        let shown = &turn.shown;
        Card {
            id: shown.subject.id().to_string(),
            from: words::clock(turn.from, zone),
            until: words::clock(turn.until, zone),
            name: wording::short_name(&shown.subject).to_string(),
            also: also(&shown.subject),
            place: wording::path(shown, turn.until, zone),
            then: then(turn, zone),
            stop: stop(turn, zone),
            with: wording::view(shown),
            look_for: coded(nth, 0, &shown.look_for, zone),
            meanwhile: wording::meanwhile(turn, zone),
            surely: surely(shown.look_for.grade.typical).to_string(),
            you_see: shown.look_for.caption.say.clone(),
            more: (shown.others_varied().into_iter().enumerate())
                .map(|(idx, other)| More {
                    name: coded(nth, idx + 1, other, zone),
                    surely: surely(other.grade.typical).to_string(),
                    say: other.caption.say.clone(),
                })
                .collect(),
            facts: Some(sizes::facts(shown)).filter(|facts| !facts.is_empty()),
            facts_apart: sizes::facts_apart(shown),
            talk: Talk::of(shown),
            cloud: match &turn.fallback {
                Some(fallback) => Some(cloud(&fallback.shown, zone)),
                None => wording::passing(session, turn),
            },
            note: None,
            is_followed: false,
        }
    }

    /// The same with every entry short enough for paper.
    pub(super) fn cut(&self) -> Card {
        let entry = |words: &String| clipped(words, LONGEST_ENTRY);
        let maybe = |words: &Option<String>| words.as_ref().map(entry);
        Card {
            id: self.id.clone(),
            from: clipped(&self.from, LONGEST_TIME),
            until: clipped(&self.until, LONGEST_TIME),
            name: clipped(&self.name, LONGEST_NAME),
            also: clipped(&self.also, LONGEST_NAME),
            place: entry(&self.place),
            then: maybe(&self.then),
            stop: maybe(&self.stop),
            with: entry(&self.with),
            look_for: entry(&self.look_for),
            surely: entry(&self.surely),
            you_see: entry(&self.you_see),
            more: (self.more.iter().take(MOST_MORE))
                .map(|more| More {
                    name: clipped(&more.name, LONGEST_NAME),
                    surely: clipped(&more.surely, LONGEST_NAME),
                    say: entry(&more.say),
                })
                .collect(),
            meanwhile: maybe(&self.meanwhile),
            facts: maybe(&self.facts),
            facts_apart: (self.facts_apart.iter())
                .map(|(label, words)| (*label, entry(words)))
                .collect(),
            talk: self.talk.clone(),
            cloud: maybe(&self.cloud),
            // Its length was checked where it was read: it is never cut.
            note: self.note.as_deref().map(tidy),
            is_followed: self.is_followed,
        }
    }
}

/// `(M 13)`
fn also(subject: &Subject) -> String {
    let short = wording::short_name(subject);
    subject.name()[short.len()..].trim().to_string()
}

/// `b2 Great Red Spot 20:58-22:00`
fn coded(turn: usize, promise: usize, verdict: &Verdict, zone: Tz) -> String {
    format!("{} {}", code(turn, promise), wording::named(verdict, zone))
}

/// A grade for whoever does not know the words for them.
fn surely(grade: Grade) -> &'static str {
    match grade {
        Grade::Plain => "easy",
        Grade::Patient => "with a quiet minute",
        Grade::Fleeting => "in steady moments",
        Grade::Beyond => "do not promise it",
    }
}

/// Where it stands half way through the turn: nobody knows when the cloud comes.
fn cloud(shown: &ShownTarget, zone: Tz) -> String {
    let when = match shown.path.moved_deg {
        moved if moved < words::FIST_DEG => String::new(),
        _ => format!(" at {}", words::clock(shown.at, zone)),
    };
    let place = wording::direction(&shown.direction) + &when;
    wording::fallback(shown, &place)
}

/// Only what ends soon after the turn: nobody plans further ahead in the dark.
fn then(turn: &Turn, zone: Tz) -> Option<String> {
    let limits = &turn.shown.limits;
    let until = words::clock(limits.until, zone);
    let is_soon = limits.until - turn.until <= SOON;
    match limits.ends {
        Edge::Skyline if is_soon => {
            let behind = turn.shown.ends_behind.as_deref().unwrap_or("skyline");
            Some(format!("gone behind the {behind} at {until}"))
        }
        Edge::TooLow if is_soon => Some(format!("too low from {until}")),
        _ => None,
    }
}

fn stop(turn: &Turn, zone: Tz) -> Option<String> {
    let limits = &turn.shown.limits;
    let is_soon = limits.until - turn.until <= SOON;
    let comes_with_the_sun = matches!(turn.shown.subject.body(), Some(Body::Mercury | Body::Venus));
    (limits.ends == Edge::BeforeSunrise && (is_soon || comes_with_the_sun)).then(|| {
        format!(
            "Stop at {}, whoever still waits: the Sun comes to you.",
            words::clock(limits.until, zone)
        )
    })
}
