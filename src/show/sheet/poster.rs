//! The poster where the line forms: what each telescope shows when, how to look, how long it takes.

use maud::html;

use crate::show::page::document::tidy;

use super::fit::Type;
use super::shell::{clipped, page};
use super::{fit, safety};

/// Words of the poster.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Poster {
    /// Place.
    pub site: String,
    /// Date and hours.
    pub when: String,
    /// What happens in the sky, each with its minute; possibly nothing.
    pub moments: Option<String>,
    /// A row a telescope.
    pub rows: Vec<PosterRow>,
    /// How many people, looks and minutes to expect; possibly nothing.
    pub flow: Option<String>,
    /// When the weather is judged, and the other date; possibly nothing.
    pub weather: Option<String>,
    /// When all stop before sunrise.
    pub closing: Option<String>,
}

/// One telescope on the poster.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PosterRow {
    /// Of the telescope.
    pub name: String,
    /// What it is and where it stands: `150 mm, by the south wall; low eyepiece`.
    pub about: String,
    /// In order of time.
    pub shows: Vec<PosterTurn>,
}

/// One target of a telescope on the poster.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PosterTurn {
    /// From when: `19:00`.
    pub when: String,
    /// `Jupiter`
    pub what: String,
    /// What any visitor sees: `two dark stripes and its four large moons`; printed where there is room.
    pub sight: Option<String>,
}

impl Poster {
    /// Below how to look.
    fn below(&self) -> impl Iterator<Item = &str> {
        (self.flow.as_deref().into_iter()).chain(self.weather.as_deref())
    }
}

/// How to look, in the order in which one needs it.
const MANNERS: [&str; 4] = [
    "Come close, hold the rail or the step, not the telescope.",
    "Wait for the eye: half a minute shows more than a glance.",
    "Photographs show colours; here you see the light itself.",
    "No torches, no flash, screens dark.",
];

/// More of what happens nobody reads in a line.
const LONGEST_MOMENTS: usize = 400;

/// What is tried, best first. What one sees stands there as long as the names stay large; how to look is larger where there
/// is room.
const SIZES: [Sizes; 11] = [
    Sizes::of(36.0, true, 20.0),
    Sizes::of(30.0, true, 18.0),
    Sizes::of(30.0, true, 14.0),
    Sizes::of(26.0, true, 14.0),
    Sizes::of(24.0, true, 14.0),
    Sizes::of(21.0, true, 14.0),
    Sizes::of(30.0, false, 18.0),
    Sizes::of(30.0, false, 14.0),
    Sizes::of(26.0, false, 14.0),
    Sizes::of(22.0, false, 14.0),
    SMALLEST,
];

/// A line and the rule below it.
const TITLE_PT: f64 = 45.0;

/// Its pages, to hang side by side: as few as hold all telescopes in letters of the body's size, each as large as it may be.
pub fn pages(poster: &Poster) -> Vec<String> {
    let sizes = |rows: &[PosterRow], _| {
        let fits = |sizes: &Sizes| sizes.height_pt(poster, rows) <= fit::PAGE_HEIGHT_PT;
        SIZES.into_iter().find(fits)
    };
    let parts = fit::parts(&poster.rows, sizes).into_iter();
    parts
        .map(|(sizes, rows)| page_of(poster, rows, sizes.unwrap_or(SMALLEST)))
        .collect()
}

fn page_of(poster: &Poster, rows: &[PosterRow], sizes: Sizes) -> String {
    let body = html! {
        h1 { "Look through our telescopes" }
        p.big { bdi { (clipped(&poster.site, 60)) } }
        p.big { (clipped(&poster.when, 120)) }
        @if let Some(moments) = &poster.moments { p.big { b { (clipped(moments, LONGEST_MOMENTS)) } } }
        div.rows style=(sizes.style()) {
            @for row in rows {
                section.row {
                    h2 { bdi { (clipped(&row.name, 60)) } @if !row.about.is_empty() { span { ", " bdi { (clipped(&row.about, 80)) } } } }
                    @for line in shows(row, sizes.has_sights) { p { (line) } }
                }
            }
        }
        div.manners style=(format!("--manners:{:.0}pt", sizes.manners_pt)) {
            @for line in MANNERS { p { (line) } }
            @for line in poster.below() { p { b { (tidy(line)) } } }
        }
        (safety::visitors_box(poster.closing.as_deref()))
    };
    page(&format!("Poster, {}", poster.site), "poster", body)
}

/// `19:00 Jupiter, 20:00 Saturn`; with what one sees a line each.
fn shows(row: &PosterRow, has_sights: bool) -> Vec<String> {
    let names = (row.shows.iter())
        .map(|shown| format!("{} {}", tidy(&shown.when), clipped(&shown.what, 60)));
    match has_sights {
        _ if row.shows.is_empty() => vec![String::from("rests tonight")],
        true => (names.zip(&row.shows))
            .map(|(name, shown)| match &shown.sight {
                Some(sight) => format!("{name}: {}", clipped(sight, 100)),
                None => name,
            })
            .collect(),
        false => vec![names.collect::<Vec<_>>().join(", ")],
    }
}

/// Letters in points. Lines below a name have two thirds of its size, 14 points at least.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    name_pt: f64,
    has_sights: bool,
    manners_pt: f64,
}

const SMALLEST: Sizes = Sizes::of(18.0, false, 14.0);

impl Sizes {
    const fn of(name_pt: f64, has_sights: bool, manners_pt: f64) -> Sizes {
        Sizes {
            name_pt,
            has_sights,
            manners_pt,
        }
    }

    fn body_pt(&self) -> f64 {
        (self.name_pt / 1.5).max(14.0)
    }

    fn style(&self) -> String {
        format!(
            "--name:{:.0}pt;--body:{:.0}pt",
            self.name_pt,
            self.body_pt()
        )
    }

    fn height_pt(&self, poster: &Poster, rows: &[PosterRow]) -> f64 {
        const LINE: f64 = 1.2;
        let column_pt = fit::PAGE_WIDTH_PT - 4.0;
        let row_pt = |row: &PosterRow| {
            let name = Type {
                size_pt: self.name_pt,
                is_bold: true,
            };
            let body = Type {
                size_pt: self.body_pt(),
                is_bold: false,
            };
            let name_words = clipped(&row.name, 60);
            let about_pt = fit::width_pt(&format!(", {}", clipped(&row.about, 80)), body);
            let padded = (fit::width_pt(&name_words, name) + about_pt) / column_pt;
            let name_lines = (padded.ceil() as usize).max(fit::lines(&name_words, name, column_pt));
            let shows = shows(row, self.has_sights);
            let shows = shows.iter().map(|line| fit::lines(line, body, column_pt));
            LINE * self.name_pt * name_lines as f64
                + LINE * self.body_pt() * shows.sum::<usize>() as f64
                + 9.0
        };
        let rows: f64 = rows.iter().map(row_pt).sum();
        let big = Type {
            size_pt: 18.0,
            is_bold: false,
        };
        let manners = MANNERS.iter().copied().chain(poster.below());
        let manners_type = Type {
            size_pt: self.manners_pt,
            is_bold: true,
        };
        let manners: usize = manners
            .map(|line| fit::lines(line, manners_type, column_pt))
            .sum();
        let bold = Type {
            is_bold: true,
            ..big
        };
        let moments = (poster.moments.iter())
            .map(|words| fit::lines(&clipped(words, LONGEST_MOMENTS), bold, column_pt))
            .sum::<usize>();
        let places = fit::lines(&clipped(&poster.site, 60), big, column_pt)
            + fit::lines(&clipped(&poster.when, 120), big, column_pt)
            + moments;
        TITLE_PT
            + 22.0 * places as f64
            + rows
            + LINE * self.manners_pt * manners as f64
            + 24.0
            + safety::visitors_height_pt(poster.closing.as_deref())
    }
}
