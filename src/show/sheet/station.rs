//! The sheet of one telescope: one side of A4, found by torch.
//!
//! What does not fit gives way in this order: what helpers tell and answer, then what else shows, then the grid of
//! ticks (its boxes move beside the names), then the figures and the longer sentences, then all but where, with what
//! and what for. What still does not fit goes to a further sheet, and both say so. What room is left then goes to the
//! turns one by one, the first first. The letters never get smaller, and the safety box never gives way.

use maud::{Markup, html};

use crate::show::page::document::tidy;

use super::card::Card;
use super::fit::Type;
use super::safety::Stops;
use super::shell::{clipped, page};
use super::talk::TalkBox;
use super::{fit, safety};

/// Everything on the sheets of one telescope.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StationSheet {
    /// Of the telescope.
    pub name: String,
    /// Below the name, a line each: what it is, when and where, what to do before.
    pub head: Vec<String>,
    /// The organiser's own words for the whole evening.
    pub note: Option<String>,
    /// In order of time.
    pub cards: Vec<Card>,
    /// Sentences of the safety box that hold for this telescope.
    pub stops: Stops,
}

/// How much of a card is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Level {
    /// Where, with what, look for.
    Bare,
    /// And what one sees; all in two entries.
    Brief,
    /// And what to turn to under cloud.
    Short,
    /// And the figures.
    Told,
    /// All sentences apart; ticks beside the names.
    Ticked,
    /// With a grid for ticks and remarks.
    Full,
    /// And the names of what else shows; figures one by one.
    Roomy,
    /// And what one sees of the first of that.
    Rich,
}

impl Level {
    fn has_grid(self) -> bool {
        Level::Full <= self
    }

    /// The next fuller one on the same kind of page.
    fn raised(self) -> Option<Level> {
        let fuller = LEVELS.into_iter().rev().find(|level| self < *level);
        fuller.filter(|level| level.has_grid() == self.has_grid())
    }
}

/// So many other things are told of in a sentence of their own.
const TOLD: usize = 3;

const LEVELS: [Level; 8] = [
    Level::Rich,
    Level::Roomy,
    Level::Full,
    Level::Ticked,
    Level::Told,
    Level::Short,
    Level::Brief,
    Level::Bare,
];

/// A line or more of a card, begun by a bold label.
struct Entry {
    label: &'static str,
    words: String,
}

impl Entry {
    fn of(label: &'static str, words: &str) -> Entry {
        Entry {
            label,
            words: words.to_string(),
        }
    }
}

const TICKS: [&str; 4] = ["most", "some", "helper", "none"];

/// More than this nobody writes by hand before the line begins to move.
const LONGEST_HEAD: usize = 220;

// Widths of the parts of a card's first line; they stand in the looks of the page too.
const SHEET_OF_PT: f64 = 110.0;
const GAP_PT: f64 = 10.0;
const TURN_PADDING_PT: f64 = 7.5;
const GRID_ROW_PT: f64 = 19.5;

/// A row in which one ticks in comfort.
const WIDE_GRID_ROW_PT: f64 = 24.0;

/// All pages of one telescope, each a file of its own; at least one.
///
/// Names are cut to two lines, other entries to four, notes never: were all of them as long and as wide as can be, a sheet
/// might run over to a second page, and would be seen to.
pub fn pages(sheet: &StationSheet) -> Vec<String> {
    let sheet = sheet.cut();
    let parts = sheet.parts();
    let n_parts = parts.len();
    let all = parts.into_iter().enumerate();
    all.map(|(idx, (level, cards))| {
        let whole = Part {
            sheet: &sheet,
            cards,
            levels: sheet.raised(level, cards, n_parts),
            has_grid: level.has_grid(),
            place: (idx + 1, n_parts),
        };
        page(&sheet.name, "station", whole.markup())
    })
    .collect()
}

impl StationSheet {
    /// Short enough for paper, whatever somebody called his telescope.
    fn cut(&self) -> StationSheet {
        let line = |line: &String| {
            fit::cut_to(
                &clipped(line, LONGEST_HEAD),
                fit::BODY,
                fit::PAGE_WIDTH_PT,
                2,
            )
        };
        StationSheet {
            name: fit::cut_to(
                &tidy(&self.name),
                fit::NAME,
                fit::PAGE_WIDTH_PT - SHEET_OF_PT,
                2,
            ),
            head: self.head.iter().map(line).collect(),
            note: self.note.as_deref().map(tidy),
            cards: self.cards.iter().map(cut).collect(),
            stops: self.stops.clone(),
        }
    }

    /// The fewest sheets that hold all, each as full as it may be.
    fn parts(&self) -> Vec<(Level, &[Card])> {
        let level = |cards: &[Card], n_parts| {
            (LEVELS.into_iter()).find(|level| self.fits(*level, cards, n_parts))
        };
        let parts = fit::parts(&self.cards, level).into_iter();
        parts
            .map(|(level, cards)| (level.unwrap_or(Level::Bare), cards))
            .collect()
    }

    fn fits(&self, level: Level, cards: &[Card], n_parts: usize) -> bool {
        let levels = vec![level; cards.len()];
        self.height_pt(&levels, cards, n_parts, GRID_ROW_PT) <= fit::PAGE_HEIGHT_PT
    }

    /// Each card as full as the page has room for, from one level that fits for all.
    fn raised(&self, level: Level, cards: &[Card], n_parts: usize) -> Vec<Level> {
        let mut levels = vec![level; cards.len()];
        for _ in LEVELS {
            for idx in 0..cards.len() {
                let Some(fuller) = levels[idx].raised() else {
                    continue;
                };
                let before = std::mem::replace(&mut levels[idx], fuller);
                let height_pt = self.height_pt(&levels, cards, n_parts, GRID_ROW_PT);
                if fit::PAGE_HEIGHT_PT < height_pt {
                    levels[idx] = before;
                }
            }
        }
        levels
    }

    /// What is left for the talk of helpers on a page from which nothing else had to give way.
    fn talk(&self, levels: &[Level], cards: &[Card], n_parts: usize) -> Option<TalkBox> {
        if !levels.first()?.has_grid() {
            return None;
        }
        let all_pt = self.height_pt(levels, cards, n_parts, WIDE_GRID_ROW_PT);
        let talks: Vec<_> = cards.iter().map(|card| card.talk.clone()).collect();
        TalkBox::fitting(&talks, fit::PAGE_HEIGHT_PT - all_pt)
    }

    fn height_pt(&self, levels: &[Level], cards: &[Card], n_parts: usize, grid_row_pt: f64) -> f64 {
        let pairs = cards.iter().zip(levels);
        let cards_pt: f64 = pairs.map(|(card, level)| card_pt(card, *level)).sum();
        let grid_pt = match levels.first().is_some_and(|level| level.has_grid()) {
            true => grid_row_pt * (cards.len() + 1) as f64 + 8.0,
            false => 0.0,
        };
        // "More on the next sheet".
        let more_pt = if n_parts > 1 {
            2.0 * (fit::LINE_PT + 6.0)
        } else {
            0.0
        };
        self.head_pt() + cards_pt + grid_pt + more_pt + safety::height_pt(&self.stops)
    }

    fn head_pt(&self) -> f64 {
        let name = fit::NAME_LINE_PT
            * fit::lines(&self.name, fit::NAME, fit::PAGE_WIDTH_PT - SHEET_OF_PT) as f64;
        let lines = self
            .head
            .iter()
            .map(|line| fit::lines(line, fit::BODY, fit::PAGE_WIDTH_PT));
        name + fit::LINE_PT * lines.sum::<usize>() as f64 + note_pt(self.note.as_deref()) + 6.0
    }
}

fn note_pt(note: Option<&str>) -> f64 {
    let lines = note.map_or(0, |note| {
        fit::lines(note, fit::BOLD_BODY, fit::PAGE_WIDTH_PT - 14.0)
    });
    fit::LINE_PT * lines as f64
}

fn stop_pt(card: &Card) -> f64 {
    const FRAME_PT: f64 = 6.0;
    card.stop.as_deref().map_or(0.0, |stop| {
        let lines = fit::lines(stop, fit::BOLD_BODY, fit::PAGE_WIDTH_PT - 14.0);
        FRAME_PT + fit::LINE_PT * lines as f64
    })
}

/// What a card takes of the page.
fn card_pt(card: &Card, level: Level) -> f64 {
    let entries = entries(card, level);
    let lines = entries.iter().map(|entry| {
        // The label is bold: a little more room than it needs.
        let words = format!("{}  {}", entry.label, entry.words);
        fit::lines(&words, fit::BODY, fit::PAGE_WIDTH_PT - 14.0)
    });
    let name_column_pt = name_column_pt(card, level);
    // The other names stand behind the name where there is room, or on a line of their own.
    let also_pt = fit::width_pt(&format!(" {}", card.also), fit::BODY);
    let name_pt = fit::width_pt(&card.name, fit::NAME);
    let extra = usize::from(!card.also.is_empty() && name_column_pt < name_pt + also_pt);
    let also_lines = extra * fit::lines(&card.also, fit::BODY, name_column_pt);
    let name_lines = fit::lines(&card.name, fit::NAME, name_column_pt) + also_lines;
    let name = fit::NAME_LINE_PT * name_lines as f64;
    name + stop_pt(card)
        + fit::LINE_PT * lines.sum::<usize>() as f64
        + note_pt(card.note.as_deref())
        + TURN_PADDING_PT
}

fn name_column_pt(card: &Card, level: Level) -> f64 {
    fit::PAGE_WIDTH_PT
        - fit::width_pt(&card.from, fit::NAME)
        - right_width_pt(card, level)
        - 2.0 * GAP_PT
}

/// A card with every entry short enough for paper.
fn cut(card: &Card) -> Card {
    let card = card.cut();
    let column_pt = name_column_pt(&card, Level::Bare);
    let entry = |words: &String| fit::cut_to(words, fit::BODY, fit::PAGE_WIDTH_PT - 90.0, 4);
    Card {
        name: fit::cut_to(&card.name, fit::NAME, column_pt, 2),
        also: fit::cut_to(&card.also, fit::BODY, column_pt, 1),
        place: entry(&card.place),
        with: entry(&card.with),
        look_for: entry(&card.look_for),
        you_see: entry(&card.you_see),
        ..card
    }
}

/// Beside the name: until when, or the boxes.
fn right_width_pt(card: &Card, level: Level) -> f64 {
    const BODY: Type = fit::BODY;
    match level {
        level if level.has_grid() => fit::width_pt(&format!("till {}", card.until), BODY),
        _ => TICKS
            .iter()
            .map(|word| fit::width_pt(word, BODY) + 25.0)
            .sum(),
    }
}

fn entries(card: &Card, level: Level) -> Vec<Entry> {
    let mut all = place(card, level);
    all.extend(look_for(card, level));
    all.extend(card.meanwhile.iter().map(|it| Entry::of("Meanwhile", it)));
    match level {
        Level::Rich | Level::Roomy => {
            all.extend(more(card, if level == Level::Rich { TOLD } else { 0 }));
            let facts = card.facts_apart.iter();
            all.extend(facts.map(|(label, words)| Entry::of(label, words)));
        }
        Level::Full | Level::Ticked | Level::Told => {
            all.extend(card.facts.iter().map(|facts| Entry::of("Tell", facts)));
        }
        Level::Short | Level::Brief | Level::Bare => {}
    }
    if Level::Short <= level {
        all.extend(card.cloud.iter().map(|cloud| Entry::of("If cloud", cloud)));
    }
    all
}

/// Where, and with what: in one entry where room is short.
fn place(card: &Card, level: Level) -> Vec<Entry> {
    let is_told_apart = !level.has_grid() && !card.is_followed;
    let until = is_told_apart.then(|| format!("till {}", card.until));
    let place = joined([Some(&card.place), card.then.as_ref(), until.as_ref()]);
    match Level::Short <= level {
        true => vec![Entry::of("Where", &place), Entry::of("With", &card.with)],
        false => vec![Entry::of(
            "Where",
            &joined([Some(&place), Some(&card.with)]),
        )],
    }
}

fn look_for(card: &Card, level: Level) -> Vec<Entry> {
    let (look_for, you_see) = (&card.look_for, &card.you_see);
    let apart = |look_for: &String| {
        vec![
            Entry::of("Look for", look_for),
            Entry::of("You will see", you_see),
        ]
    };
    let cloud = (card.cloud.iter())
        .map(|cloud| format!("if cloud: {}", cloud.split(',').next().unwrap_or_default()))
        .next();
    let together = format!("{look_for}. {you_see}");
    let words = match level {
        Level::Rich | Level::Roomy => return apart(&format!("{look_for} ({})", card.surely)),
        Level::Full | Level::Ticked => return apart(look_for),
        Level::Told | Level::Short => together,
        Level::Brief => {
            let together = together.trim_end_matches('.').to_string();
            joined([Some(&together), cloud.as_ref()])
        }
        Level::Bare => joined([Some(look_for), cloud.as_ref()]),
    };
    vec![Entry::of("Look for", &words)]
}

fn joined<const N: usize>(parts: [Option<&String>; N]) -> String {
    let known: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
    known.join("; ")
}

/// What else shows: the first so many in a sentence each, the rest by name.
fn more(card: &Card, told: usize) -> Vec<Entry> {
    let told = told.min(card.more.len());
    let (first, rest) = card.more.split_at(told);
    let mut all: Vec<Entry> = (first.iter())
        .map(|more| {
            Entry::of(
                "Also",
                &format!("{} ({}): {}", more.name, more.surely, more.say),
            )
        })
        .collect();
    // The same words for one after the other are said once.
    let mut named: Vec<(&str, Vec<String>)> = Vec::new();
    for more in rest {
        match named.last_mut() {
            Some((surely, names)) if *surely == more.surely => names.push(more.name.clone()),
            _ => named.push((&more.surely, vec![more.name.clone()])),
        }
    }
    let words: Vec<String> = (named.iter())
        .map(|(surely, names)| format!("{surely}: {}", names.join(", ")))
        .collect();
    if !words.is_empty() {
        let label = if told == 0 { "Also" } else { "And more" };
        all.push(Entry::of(label, &words.join("; ")));
    }
    all
}

/// One page of a telescope's.
struct Part<'a> {
    sheet: &'a StationSheet,
    cards: &'a [Card],
    /// One a card.
    levels: Vec<Level>,
    has_grid: bool,
    /// Which of how many, from 1.
    place: (usize, usize),
}

impl Part<'_> {
    fn markup(&self) -> Markup {
        let (this, all) = self.place;
        html! {
            header {
                div.top {
                    h1 { bdi { (self.sheet.name) } }
                    @if all > 1 { p { "sheet " (this) " of " (all) } }
                }
                @for line in &self.sheet.head { p { (line) } }
                @if let Some(note) = &self.sheet.note { p.note { bdi { (note) } } }
            }
            @if this > 1 { p.more { "Begun on sheet " (this - 1) "." } }
            @if self.sheet.cards.is_empty() { p.turn { "Nothing to show with this telescope tonight." } }
            @for (card, level) in self.cards.iter().zip(&self.levels) { (turn(card, *level)) }
            @if self.has_grid { (grid(self.cards)) }
            @if let Some(talk) = self.sheet.talk(&self.levels, self.cards, all) { (talk.markup()) }
            @if this < all { p.more { "More on sheet " (this + 1) ": take it now." } }
            (safety::safety_box(&self.sheet.stops))
        }
    }
}

fn turn(card: &Card, level: Level) -> Markup {
    html! {
        section.turn {
            div.head {
                span.time { (card.from) }
                h2 { bdi { (card.name) } @if !card.also.is_empty() { small { " " bdi { (card.also) } } } }
                @if level.has_grid() { span { "till " (card.until) } }
                @else { span.ticks { @for word in TICKS { span.tick { (word) span.box {} } } } }
            }
            @if let Some(stop) = &card.stop { p.stop { (stop) } }
            @if let Some(note) = &card.note { p.note { bdi { (note) } } }
            @for entry in entries(card, level) {
                p { b { (entry.label) } "  " bdi { (entry.words) } }
            }
        }
    }
}

/// Who saw it: ticked in the dark, typed into the log the day after.
fn grid(cards: &[Card]) -> Markup {
    html! {
        table.grid style=(format!("max-height:{}pt", 30 * (cards.len() + 1))) {
            tr { th { "Seen by" } @for word in TICKS { th { (word) } } }
            @for card in cards {
                tr { th { (card.from) " " bdi { (clipped(&card.name, 14)) } } @for _ in TICKS { td {} } }
            }
        }
    }
}
