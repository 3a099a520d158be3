//! A zonal mask to scale, to be traced or printed on card: windows left and right, neighbours in turn above and below
//! the middle so that the card holds together.

use maud::{Markup, html};

use crate::optics::mask::MaskWindow;
use crate::plan::bench::BenchSheet;
use crate::show::picture::lettering::{self, Anchor, Type, Weight};
use crate::show::picture::raster::Grey;
use crate::show::words;

/// Of the drawing on paper, mm: an A4 page between its margins.
const WIDTH_MM: f64 = 176.0;
const HEIGHT_MM: f64 = 262.0;

/// On either side of a mirror.
const MARGIN_MM: f64 = 4.0;

/// Name, size, scale.
const HEADING_MM: f64 = 16.0;

/// Around a drawing, for its words.
const WORDS_MM: f64 = 10.0;

/// Ruler and radii.
const FOOT_MM: f64 = 26.0;

/// Checks whether a print is true.
const RULER_MM: f64 = 50.0;

/// Card left standing on either side of both middle lines.
const BAR_MM: f64 = 1.0;

/// How far up a window goes, of the mirror's radius; no farther than that share of its own outer radius.
const WINDOW_REACH: f64 = 0.4;
const OUTER_REACH: f64 = 0.85;

/// Letters of the usual size: so wide a mean one is, of its height.
const LETTER_MM: f64 = 3.4;
const LETTER_WIDTH: f64 = 0.56;

/// How much smaller than the mirror a drawing is, and how that is said.
const SCALES: [(f64, &str); 5] = [
    (1.0, "full size"),
    (2.0, "half size"),
    (4.0, "a quarter of its size"),
    (5.0, "a fifth of its size"),
    (20.0, "a twentieth of its size"),
];

/// As SVG, in true millimetres when printed at 100 %.
pub fn svg(sheet: &BenchSheet) -> String {
    let plan = Plan::of(sheet);
    let middle = (WIDTH_MM / 2.0, HEADING_MM + plan.rim_mm / plan.smaller);
    let below_mm = middle.1 + plan.rim_mm / plan.smaller + WORDS_MM;
    let half_middle = (
        MARGIN_MM + 2.0 * BAR_MM,
        below_mm + plan.half_height_mm() / 2.0,
    );
    let foot_mm = match plan.has_half {
        true => below_mm + plan.half_height_mm() + WORDS_MM / 2.0,
        false => below_mm,
    };
    let radii = radii_lines(sheet);
    let height_mm = foot_mm + FOOT_MM + 1.4 * LETTER_MM * (radii.len() as f64 - 1.0);
    let view = format!("0 0 {} {}", mm(WIDTH_MM), mm(height_mm));
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(mm(WIDTH_MM) + "mm") height=(mm(height_mm) + "mm")
            viewBox=(view) font-family="sans-serif" font-size=(LETTER_MM) {
            rect width="100%" height="100%" fill="white" {}
            (heading(sheet, &plan))
            (whole(sheet, &plan, middle))
            @if plan.has_half { (half(sheet, &plan, half_middle)) }
            (ruler(foot_mm + 6.0))
            @for (idx, line) in radii.iter().enumerate() {
                text x=(mm(MARGIN_MM)) y=(mm(foot_mm + 20.0 + 1.4 * LETTER_MM * idx as f64)) { (line) }
            }
        }
    };
    picture.into_string() + "\n"
}

/// How a mask is laid on the paper.
struct Plan {
    rim_mm: f64,
    /// How many times smaller than the mirror the whole of it is drawn.
    smaller: f64,
    scale_words: &'static str,
    /// One side is drawn at full size below it.
    has_half: bool,
}

impl Plan {
    fn of(sheet: &BenchSheet) -> Plan {
        let rim_mm = sheet.aperture_mm / 2.0;
        let fits_half = rim_mm + 2.0 * (MARGIN_MM + BAR_MM) <= WIDTH_MM;
        let laid = |(smaller, scale_words): (f64, &'static str)| Plan {
            rim_mm,
            smaller,
            scale_words,
            has_half: fits_half && 1.0 < smaller,
        };
        let mut plans = SCALES.into_iter().map(laid);
        let fitting = plans.find(|plan| {
            let half_mm = if plan.has_half {
                plan.half_height_mm()
            } else {
                0.0
            };
            let across_mm = 2.0 * rim_mm / plan.smaller;
            let height_mm = HEADING_MM + across_mm + 2.0 * WORDS_MM + half_mm + FOOT_MM;
            across_mm + 2.0 * MARGIN_MM <= WIDTH_MM && height_mm <= HEIGHT_MM
        });
        fitting.unwrap_or(laid(SCALES[SCALES.len() - 1]))
    }

    /// Of one side at full size.
    fn half_height_mm(&self) -> f64 {
        2.0 * (BAR_MM + WINDOW_REACH * self.rim_mm) + WORDS_MM
    }
}

/// One opening on the mirror, mm from its middle; the one to the right, above the middle.
#[derive(Debug, Clone, Copy)]
struct Opening {
    inner_mm: f64,
    outer_mm: f64,
    /// Its upper edge.
    top_mm: f64,
    /// Its edge toward the middle: a disc in the middle goes right across.
    left_mm: f64,
}

impl Opening {
    fn of(window: &MaskWindow, rim_mm: f64) -> Opening {
        let reach_mm = BAR_MM + WINDOW_REACH * rim_mm;
        Opening {
            inner_mm: window.inner_mm,
            outer_mm: window.outer_mm,
            top_mm: reach_mm
                .min(OUTER_REACH * window.outer_mm)
                .max(2.0 * BAR_MM),
            left_mm: if window.inner_mm > 0.0 { BAR_MM } else { 0.0 },
        }
    }

    /// Where a circle about the middle passes a height, no nearer to the middle than the opening.
    fn at_height(&self, radius_mm: f64, height_mm: f64) -> f64 {
        let square = radius_mm.powi(2) - height_mm.powi(2);
        square.max(0.0).sqrt().max(self.left_mm)
    }

    /// The edge toward the middle ends on the inner circle.
    fn is_cut_by_bar(&self) -> bool {
        self.inner_mm < self.top_mm.hypot(self.left_mm)
    }

    /// Where its number stands: over the middle of its upper edge.
    fn over_top(&self) -> (f64, f64) {
        let [from, to] = [self.inner_mm, self.outer_mm].map(|r| self.at_height(r, self.top_mm));
        ((from + to) / 2.0, self.top_mm)
    }

    /// As a path about a middle on the paper; `right`, `up`: 1 or -1.
    fn path(&self, middle: (f64, f64), smaller: f64, [right, up]: [f64; 2]) -> String {
        let at = |x: f64, y: f64| {
            let x = middle.0 + right * x / smaller;
            format!("{} {}", mm(x), mm(middle.1 - up * y / smaller))
        };
        let arc = |radius_mm: f64, sweep: f64| {
            let radius = mm(radius_mm / smaller);
            format!("A{radius} {radius} 0 0 {} ", u8::from(sweep > 0.0))
        };
        let (bottom_mm, top_mm) = (BAR_MM, self.top_mm);
        let along = |radius_mm, height_mm| at(self.at_height(radius_mm, height_mm), height_mm);
        let mut path = format!(
            "M{}L{}{}{}L",
            along(self.inner_mm, bottom_mm),
            along(self.outer_mm, bottom_mm),
            arc(self.outer_mm, -right * up),
            along(self.outer_mm, top_mm)
        );
        if self.is_cut_by_bar() {
            path += &at(self.left_mm, top_mm);
        } else {
            path += &along(self.inner_mm, top_mm);
        }
        // A disc in the middle goes on to the other side: no line there.
        if self.inner_mm == 0.0 {
            return path;
        }
        if self.is_cut_by_bar() {
            let height_mm = (self.inner_mm.powi(2) - self.left_mm.powi(2)).max(0.0);
            path += &format!("L{}", at(self.left_mm, height_mm.sqrt().max(bottom_mm)));
        }
        path + &arc(self.inner_mm, right * up) + &along(self.inner_mm, bottom_mm) + "Z"
    }

    /// Whether light comes through at a point of the upper right quarter.
    fn is_open(&self, x_mm: f64, y_mm: f64) -> bool {
        let from_middle_mm = x_mm.hypot(y_mm);
        let in_ring = self.inner_mm <= from_middle_mm && from_middle_mm <= self.outer_mm;
        in_ring && self.left_mm <= x_mm && BAR_MM <= y_mm && y_mm <= self.top_mm
    }
}

/// In turn above and below the middle.
fn side(idx: usize) -> f64 {
    if idx.is_multiple_of(2) { 1.0 } else { -1.0 }
}

fn openings(sheet: &BenchSheet) -> Vec<Opening> {
    let rim_mm = sheet.aperture_mm / 2.0;
    let windows = sheet.mask.windows.iter();
    windows.map(|window| Opening::of(window, rim_mm)).collect()
}

fn heading(sheet: &BenchSheet, plan: &Plan) -> Markup {
    let n_letters = sheet.name.chars().count().max(1) as f64;
    let room_mm = WIDTH_MM - 2.0 * MARGIN_MM;
    let name_mm = (room_mm / (LETTER_WIDTH * n_letters)).min(5.2);
    html! {
        text x=(mm(MARGIN_MM)) y="6.5" font-size=(mm(name_mm)) font-weight="bold" { (sheet.name) }
        text x=(mm(MARGIN_MM)) y="12.5" { (size_words(sheet, plan)) }
    }
}

/// `150 mm f/8, mask of 5 windows, full size`.
fn size_words(sheet: &BenchSheet, plan: &Plan) -> String {
    format!(
        "{} mm f/{}, mask of {} windows, {}",
        words::short(sheet.aperture_mm),
        words::short(sheet.focal_length.mm / sheet.aperture_mm),
        sheet.mask.windows.len(),
        plan.scale_words
    )
}

fn whole(sheet: &BenchSheet, plan: &Plan, middle: (f64, f64)) -> Markup {
    let (x, y) = middle;
    let rim = plan.rim_mm / plan.smaller;
    html! {
        circle cx=(mm(x)) cy=(mm(y)) r=(mm(rim)) fill="none" stroke="black" stroke-width="0.3" {}
        path d=(format!("M{} {}H{}M{} {}V{}", mm(x - rim), mm(y), mm(x + rim), mm(x), mm(y - rim), mm(y + rim)))
            fill="none" stroke="#777" stroke-width="0.15" stroke-dasharray="2 1" {}
        @for (idx, opening) in openings(sheet).iter().enumerate() {
            @for right in [1.0, -1.0] { (cut_out(opening, idx, (middle, plan.smaller), right)) }
        }
        text x=(mm(x)) y=(mm(y + rim + 5.0)) text-anchor="middle" {
            "circle: the rim of the clear aperture; cut the card a little larger"
        }
    }
}

fn half(sheet: &BenchSheet, plan: &Plan, middle: (f64, f64)) -> Markup {
    let (x, y) = middle;
    let reach_mm = plan.half_height_mm() / 2.0;
    let rim_x_mm = (plan.rim_mm.powi(2) - reach_mm.powi(2)).sqrt();
    let rim = mm(plan.rim_mm);
    let arc = format!(
        "M{} {}A{rim} {rim} 0 0 1 {} {}",
        mm(x + rim_x_mm),
        mm(y - reach_mm),
        mm(x + rim_x_mm),
        mm(y + reach_mm)
    );
    html! {
        path d=(arc) fill="none" stroke="black" stroke-width="0.3" {}
        path d=(format!("M{} {}H{}M{} {}V{}", mm(x), mm(y), mm(x + plan.rim_mm), mm(x), mm(y - reach_mm), mm(y + reach_mm)))
            fill="none" stroke="#777" stroke-width="0.15" stroke-dasharray="2 1" {}
        @for (idx, opening) in openings(sheet).iter().enumerate() { (cut_out(opening, idx, (middle, 1.0), 1.0)) }
        text x=(mm(x)) y=(mm(y + reach_mm + 4.0)) {
            "one side at full size: trace it, and turn it over about the upright line for the other"
        }
    }
}

fn cut_out(
    opening: &Opening,
    idx: usize,
    (middle, smaller): ((f64, f64), f64),
    right: f64,
) -> Markup {
    let up = side(idx);
    let (x_mm, y_mm) = opening.over_top();
    let away = if up > 0.0 { 1.2 } else { 0.9 * LETTER_MM };
    let (x, y) = (
        middle.0 + right * x_mm / smaller,
        middle.1 - up * y_mm / smaller,
    );
    html! {
        path d=(opening.path(middle, smaller, [right, up])) fill="#ccc" stroke="black" stroke-width="0.25" {}
        text x=(mm(x)) y=(mm(y - up * away)) text-anchor="middle" font-size="3"
            stroke="white" stroke-width="0.8" stroke-linejoin="round" paint-order="stroke" { (idx + 1) }
    }
}

fn ruler(y_mm: f64) -> Markup {
    let ticks: String = (0..=5)
        .map(|tick| {
            format!(
                "M{} {}v-3",
                mm(MARGIN_MM + 10.0 * f64::from(tick)),
                mm(y_mm)
            )
        })
        .collect();
    html! {
        path d=(format!("M{} {}h{}{ticks}", mm(MARGIN_MM), mm(y_mm), mm(RULER_MM)))
            fill="none" stroke="black" stroke-width="0.3" {}
        text x=(mm(MARGIN_MM + RULER_MM + 4.0)) y=(mm(y_mm)) {
            "50 mm on paper: where a rule finds another length, print at 100 %"
        }
    }
}

/// `1: 0-43.9   2: 43.9-55.3`, in lines.
fn radii_lines(sheet: &BenchSheet) -> Vec<String> {
    let each: Vec<String> = (sheet.mask.windows.iter().enumerate())
        .map(|(idx, window)| {
            let [inner, outer] = [window.inner_mm, window.outer_mm].map(words::short);
            words::together(&format!("{}: {inner}-{outer}", idx + 1))
        })
        .collect();
    let columns = (WIDTH_MM - 2.0 * MARGIN_MM) / (LETTER_WIDTH * LETTER_MM);
    let said = format!("Radii in mm: {}", each.join("; "));
    let lines = words::wrapped(&said, columns as usize, "");
    lines.lines().map(String::from).collect()
}

/// Hundredths of a millimetre, no minus before a nought.
fn mm(value: f64) -> String {
    let hundredths = (value * 100.0).round() / 100.0;
    format!("{}", hundredths + 0.0)
}

/// Dots to a millimetre of paper.
const DOTS: f64 = 8.0;

/// Letters of the PNG, mm on paper.
const LETTERS_MM: f64 = 3.6;
const NAME_MM: f64 = 5.0;

/// As PNG, the whole mask.
pub fn png(sheet: &BenchSheet) -> Vec<u8> {
    let plan = Plan::of(sheet);
    let dots = |mm: f64| (mm * DOTS).round() as usize;
    let (middle_x, middle_y) = (
        WIDTH_MM / 2.0,
        HEADING_MM + WORDS_MM + plan.rim_mm / plan.smaller,
    );
    let foot_mm = middle_y + plan.rim_mm / plan.smaller + WORDS_MM;
    let mut picture = Grey::white(dots(WIDTH_MM), dots(foot_mm + 12.0));
    let openings = openings(sheet);
    let on_mirror = |x: usize, y: usize| {
        let x_mm = ((x as f64 + 0.5) / DOTS - middle_x) * plan.smaller;
        let y_mm = (middle_y - (y as f64 + 0.5) / DOTS) * plan.smaller;
        (x_mm, y_mm)
    };
    // Outside, card, or the number of the window: where that changes, a line is drawn.
    let kind = |x: usize, y: usize| {
        let (x_mm, y_mm) = on_mirror(x, y);
        let open = (openings.iter().enumerate())
            .position(|(idx, opening)| opening.is_open(x_mm.abs(), side(idx) * y_mm));
        match open {
            Some(idx) => idx + 2,
            None => usize::from(x_mm.hypot(y_mm) <= plan.rim_mm),
        }
    };
    for y in 0..picture.height {
        for x in 0..picture.width {
            let here = kind(x, y);
            if here > 1 {
                picture.pixels[y * picture.width + x] = 204;
            }
            if here != kind(x + 1, y) || here != kind(x, y + 1) {
                picture.blacken(x, y);
                picture.blacken(x + 1, y);
            }
        }
    }
    let mut write = |(x_mm, top_mm): (f64, f64), words: &str, (size_mm, weight): (f64, Weight)| {
        let look = Type {
            size_px: size_mm * DOTS,
            weight,
            anchor: Anchor::Start,
        };
        let on_line = (x_mm * DOTS, (top_mm + size_mm) * DOTS);
        lettering::write(&mut picture, on_line, words, look);
    };
    let small = (LETTERS_MM, Weight::Ordinary);
    write((MARGIN_MM, 2.0), &sheet.name, (NAME_MM, Weight::Bold));
    write((MARGIN_MM, 9.0), &size_words(sheet, &plan), small);
    for (idx, opening) in openings.iter().enumerate() {
        let (x_mm, y_mm) = opening.over_top();
        let over = if side(idx) > 0.0 { -3.2 } else { 0.6 };
        let y = middle_y - side(idx) * y_mm / plan.smaller + over;
        for right in [1.0, -1.0] {
            let x = middle_x + right * x_mm / plan.smaller - 0.9;
            write((x, y), &format!("{}", idx + 1), small);
        }
    }
    let beside = (MARGIN_MM + RULER_MM + 4.0, foot_mm + 3.0);
    write(beside, "50 mm on paper", small);
    for x in dots(MARGIN_MM)..=dots(MARGIN_MM + RULER_MM) {
        let is_tick = (x - dots(MARGIN_MM)).is_multiple_of(dots(10.0));
        for y in 0..if is_tick { dots(3.0) } else { 2 } {
            picture.blacken(x, dots(foot_mm + 6.0) - y);
        }
    }
    picture.png()
}
