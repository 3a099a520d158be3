//! What helpers tell and what people ask, and what the poster promises: `data/talk.csv` and the evening's numbers.

use std::sync::LazyLock;

use maud::{Markup, html};
use serde::Deserialize;

use crate::plan::session::ShownTarget;
use crate::show::session::{sizes, wording};
use crate::show::words;
use crate::sky::small_bodies::SmallBodyKind;
use crate::tables;
use crate::targets::beyond::Beyond;
use crate::targets::deep_sky::DeepSkyKind;
use crate::targets::details::{Shape, detail};
use crate::targets::subject::Subject;

use super::fit;

/// One row of the table.
#[derive(Debug, Deserialize)]
struct TalkRow {
    of: String,
    role: Role,
    needs: String,
    question: String,
    words: String,
    #[serde(rename = "basis")]
    _basis: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Role {
    Tell,
    Ask,
    Sight,
}

static ROWS: LazyLock<Vec<TalkRow>> =
    LazyLock::new(|| tables::rows(include_str!("../../../data/talk.csv")));

/// Sentences for one kind of target, most wanted first.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Talk {
    /// `The Moon`, `Double stars`.
    pub about: String,
    /// Whole sentences.
    pub tells: Vec<String>,
    /// Questions with their answers.
    pub asks: Vec<(String, String)>,
}

impl Talk {
    /// For a target in one telescope, with its numbers.
    pub(super) fn of(shown: &ShownTarget) -> Talk {
        let kind = kind(&shown.subject);
        let said = |role: Role| {
            let rows = (ROWS.iter()).filter(move |row| row.of == kind && row.role == role);
            let rows = rows.filter(|row| are_plain(&row.needs, shown));
            rows.filter_map(|row| Some((row.question.clone(), filled(&row.words, shown)?)))
        };
        Talk {
            about: about(&shown.subject),
            tells: said(Role::Tell).map(|(_, words)| words).collect(),
            asks: said(Role::Ask).collect(),
        }
    }
}

/// What a visitor sees, in half a sentence: `two dark stripes and its four moons`.
pub(super) fn sight(shown: &ShownTarget) -> Option<String> {
    let kind = kind(&shown.subject);
    let rows = (ROWS.iter()).filter(|row| row.of == kind && row.role == Role::Sight);
    let mut rows = rows.filter(|row| are_plain(&row.needs, shown));
    let of_kind = rows.next().map(|row| row.words.clone());
    match shown.subject.body() {
        Some(_) => of_kind,
        None => first_clause(&shown.look_for.caption.say).or(of_kind),
    }
}

/// Ids as in the table.
fn kind(subject: &Subject) -> &'static str {
    match subject {
        Subject::Body(body) => body.id(),
        Subject::Beyond(Beyond::Double(_)) => "double_star",
        Subject::Beyond(Beyond::DeepSky(object)) => match object.kind {
            DeepSkyKind::OpenCluster => "open_cluster",
            DeepSkyKind::Globular => "globular",
            DeepSkyKind::Nebula => "nebula",
            DeepSkyKind::Planetary => "planetary",
            DeepSkyKind::Galaxy => "galaxy",
        },
        Subject::Small(course) => match course.body().kind() {
            SmallBodyKind::Asteroid => "asteroid",
            SmallBodyKind::Comet => "comet",
        },
    }
}

fn about(subject: &Subject) -> String {
    let known = match kind(subject) {
        "moon" => "The Moon",
        "double_star" => "Double stars",
        "open_cluster" => "Star clusters",
        "globular" => "Globular clusters",
        "nebula" => "Nebulae",
        "planetary" => "Planetary nebulae",
        "galaxy" => "Galaxies",
        "asteroid" => "Asteroids",
        "comet" => "Comets",
        _ => wording::short_name(subject),
    };
    String::from(known)
}

/// Any visitor sees all of these: details by their ids, or any detail of a shape, `any:crater`.
fn are_plain(needs: &str, shown: &ShownTarget) -> bool {
    let plain: Vec<&str> = (shown.plain())
        .map(|verdict| verdict.caption.id.as_str())
        .collect();
    let is_met = |need: &str| match need.strip_prefix(ANY) {
        Some(word) => plain
            .iter()
            .any(|id| Some(shape_of(id)) == shape(word).map(Some)),
        None => plain.contains(&need),
    };
    needs.split('+').filter(|need| !need.is_empty()).all(is_met)
}

const ANY: &str = "any:";

/// Shapes that rows ask for, as in the table of details.
fn shape(word: &str) -> Option<Shape> {
    match word {
        "crater" => Some(Shape::Crater),
        "mountain" => Some(Shape::Mountain),
        "patch" => Some(Shape::Patch),
        _ => None,
    }
}

fn shape_of(id: &str) -> Option<Shape> {
    detail(id).map(|detail| detail.shape)
}

/// With the evening's numbers in it; `None` where one of them is not known.
fn filled(words: &str, shown: &ShownTarget) -> Option<String> {
    let mut words = words.to_string();
    for (mark, number) in numbers(shown) {
        if words.contains(mark) {
            words = words.replace(mark, &number?);
        }
    }
    Some(words)
}

fn numbers(shown: &ShownTarget) -> [(&'static str, Option<String>); 7] {
    let facts = &shown.facts;
    let rough = |km: Option<f64>| km.map(sizes::rough_distance);
    [
        ("{power}", Some(format!("{:.0}x", shown.view.magnification))),
        ("{near}", rough(facts.seems_from_km)),
        ("{distance}", facts.distance_km.map(sizes::distance)),
        ("{light_time}", facts.light_time_s.map(sizes::light_time)),
        ("{smallest}", rough(facts.smallest_km)),
        ("{light}", Some(words::two_digits(facts.light_gain))),
        ("{crossing}", shown.drift_s.map(words::crossing)),
    ]
}

/// Longer than that nobody reads from the line.
const LONGEST_SIGHT: usize = 60;

/// Words with which a sentence may begin that lose their capital inside one.
const SMALL: [&str; 25] = [
    "A",
    "An",
    "The",
    "One",
    "Two",
    "Three",
    "Four",
    "Six",
    "Half",
    "Look",
    "Many",
    "Few",
    "Some",
    "Fine",
    "Stars",
    "Bright",
    "Several",
    "Dozens",
    "Hundreds",
    "Countless",
    "Like",
    "Only",
    "Large",
    "Small",
    "Each",
];

/// `A golden star with a small one beside it; the colours are strong.` before its first stop, fit to stand after a colon.
fn first_clause(say: &str) -> Option<String> {
    let whole = say.split([';', ':', '.']).next().unwrap_or_default().trim();
    let is_short = |clause: &&str| clause.chars().count() <= LONGEST_SIGHT;
    let cuts = whole.rmatch_indices(", ").map(|(at, _)| &whole[..at]);
    let clause = std::iter::once(whole).chain(cuts).find(is_short)?;
    if clause.is_empty() {
        return None;
    }
    let (first, rest) = clause.split_once(' ').unwrap_or((clause, ""));
    match SMALL.contains(&first) {
        true => Some(
            format!("{} {rest}", first.to_lowercase())
                .trim()
                .to_string(),
        ),
        false => Some(clause.to_string()),
    }
}

/// As much of the talk of some targets as there is room for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TalkBox {
    groups: Vec<Talk>,
}

// The looks of the page have the same lengths.
const FRAME_PT: f64 = 12.0;
const INDENT_PT: f64 = 15.0;

impl TalkBox {
    /// `None` where not even one sentence fits.
    pub(super) fn fitting(talks: &[Talk], room_pt: f64) -> Option<TalkBox> {
        let all = distinct(talks);
        let n_said = all.iter().map(|talk| talk.tells.len() + talk.asks.len());
        (1..=n_said.sum::<usize>())
            .rev()
            .map(|n_said| TalkBox::of(&all, n_said))
            .find(|talk| talk.height_pt() <= room_pt)
    }

    /// So many sentences and answers: first a sentence of each kind, then a question of each, then a second sentence.
    fn of(talks: &[Talk], n_said: usize) -> TalkBox {
        let mut groups: Vec<Talk> = (talks.iter())
            .map(|talk| Talk {
                about: talk.about.clone(),
                ..Talk::default()
            })
            .collect();
        let n_rounds = talks
            .iter()
            .map(|talk| talk.tells.len().max(talk.asks.len()));
        let mut left = n_said;
        for round in 0..n_rounds.max().unwrap_or(0) {
            for (talk, group) in talks.iter().zip(&mut groups) {
                let tell = talk.tells.get(round).filter(|_| 0 < left);
                left -= usize::from(tell.is_some());
                group.tells.extend(tell.cloned());
            }
            for (talk, group) in talks.iter().zip(&mut groups) {
                let ask = talk.asks.get(round).filter(|_| 0 < left);
                left -= usize::from(ask.is_some());
                group.asks.extend(ask.cloned());
            }
        }
        groups.retain(|group| !group.tells.is_empty() || !group.asks.is_empty());
        TalkBox { groups }
    }

    fn height_pt(&self) -> f64 {
        let column_pt = fit::PAGE_WIDTH_PT - INDENT_PT;
        let lines = self.groups.iter().map(|talk| {
            let tells = (talk.tells.iter()).map(|tell| fit::lines(tell, fit::BODY, column_pt));
            let asks = (talk.asks.iter()).map(|(question, answer)| {
                // The question is bold: as if it were longer.
                let words = format!("{question}{question:.6}  {answer}");
                fit::lines(&words, fit::BODY, column_pt)
            });
            1 + tells.chain(asks).sum::<usize>()
        });
        FRAME_PT + fit::LINE_PT * lines.sum::<usize>() as f64
    }

    pub(super) fn markup(&self) -> Markup {
        html! {
            section.talk {
                @for (idx, talk) in self.groups.iter().enumerate() {
                    h3 { (talk.about) @if idx == 0 { ": to tell, and what people ask" } }
                    ul {
                        @for tell in &talk.tells { li { (tell) } }
                        @for (question, answer) in &talk.asks { li { b { (question) } " " (answer) } }
                    }
                }
            }
        }
    }
}

/// Kinds of targets, each once, in the order of their turns.
fn distinct(talks: &[Talk]) -> Vec<Talk> {
    let mut all: Vec<Talk> = Vec::new();
    for talk in talks {
        if all.iter().all(|other| other.about != talk.about) {
            all.push(talk.clone());
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::Body;

    const BEYOND: [&str; 8] = [
        "double_star",
        "open_cluster",
        "globular",
        "nebula",
        "planetary",
        "galaxy",
        "asteroid",
        "comet",
    ];

    #[test]
    fn three_to_tell_and_three_to_answer_for_every_kind() {
        let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
        let kinds: Vec<&str> = bodies.map(|body| body.id()).chain(BEYOND).collect();
        for kind in &kinds {
            for role in [Role::Tell, Role::Ask] {
                let rows = ROWS
                    .iter()
                    .filter(|row| row.of == *kind && row.role == role);
                assert_eq!(rows.count(), 3, "{kind} {role:?}");
            }
        }
        assert!(ROWS.iter().all(|row| kinds.contains(&row.of.as_str())));
    }

    #[test]
    fn rows_need_and_name_what_there_is() {
        let marks = [
            "{power}",
            "{near}",
            "{distance}",
            "{light_time}",
            "{smallest}",
            "{light}",
            "{crossing}",
        ];
        for row in ROWS.iter() {
            for id in row.needs.split('+').filter(|id| !id.is_empty()) {
                if let Some(word) = id.strip_prefix(ANY) {
                    assert!(shape(word).is_some(), "{id}");
                    continue;
                }
                let of = detail(id).map(|detail| detail.body.id());
                assert_eq!(of, Some(row.of.as_str()), "{id}");
            }
            let bare = marks
                .iter()
                .fold(row.words.clone(), |words, mark| words.replace(mark, "1"));
            assert!(!bare.contains(['{', '}']), "{}", row.words);
            assert_eq!(row.question.is_empty(), row.role != Role::Ask, "{row:?}");
            assert!(!row._basis.is_empty(), "{row:?}");
            // A promise of what shows on a disc rests on details.
            let is_promise = row.role == Role::Sight && !BEYOND.contains(&row.of.as_str());
            assert!(!is_promise || !row.needs.is_empty(), "{row:?}");
            let is_sentence = bare.ends_with(['.', '?']);
            assert_eq!(is_sentence, row.role != Role::Sight, "{row:?}");
            assert!(bare.chars().count() <= 160, "{row:?}");
        }
    }

    #[test]
    fn what_one_sees_before_the_first_stop() {
        for (say, want) in [
            (
                "A golden star with a small blue one; the colours are strong.",
                Some("a golden star with a small blue one"),
            ),
            (
                "Gold and blue, wide apart: a pair.",
                Some("Gold and blue, wide apart"),
            ),
            (
                "Six or seven blue-white stars and dozens more, too wide for most eyepieces: use the lowest power.",
                Some("six or seven blue-white stars and dozens more"),
            ),
            ("", None),
        ] {
            assert_eq!(first_clause(say).as_deref(), want);
        }
        assert_eq!(first_clause(&"word ".repeat(30)), None);
    }

    #[test]
    fn talk_gives_way_to_the_room_there_is() {
        let talk = |about: &str| Talk {
            about: about.to_string(),
            tells: ["One.", "Two.", "Three."].map(String::from).to_vec(),
            asks: [("Four?", "Yes."), ("Five?", "No."), ("Six?", "Yes.")]
                .map(|(question, answer)| (question.to_string(), answer.to_string()))
                .to_vec(),
        };
        let talks = [talk("The Moon"), talk("Mars"), talk("The Moon")];
        let whole = TalkBox::fitting(&talks, 1000.0).expect("room for all");
        assert_eq!(whole.groups, talks[..2]);
        let mut last_pt = f64::INFINITY;
        for room_pt in [150.0, 100.0, 50.0] {
            let some = TalkBox::fitting(&talks, room_pt).expect("room for some");
            assert!(some.height_pt() <= room_pt && some.height_pt() < last_pt);
            last_pt = some.height_pt();
        }
        assert_eq!(TalkBox::fitting(&talks, 30.0), None);
        assert_eq!(TalkBox::fitting(&[], 1000.0), None);
    }
}
