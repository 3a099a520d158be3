//! Every sentence this room says when something is wrong, in a row, so that they sound alike.
//!
//! What we saw, what would be right; then a hint that can be acted upon. Lower case, no full
//! stop, no blame. Whatever the user wrote is shortened and made printable before it is repeated.

use std::fmt;

use chrono::NaiveDate;

use super::file::keys::{Grammar, Is, Key};
use super::near::near_miss;

/// The user's own words are repeated up to this many characters.
const SHOWN_CHARS: usize = 40;
/// Names are printed in narrow columns.
const LONGEST_NAME_CHARS: usize = 60;
/// Longer notes nobody reads in the dark.
const LONGEST_NOTE_CHARS: usize = 280;
/// Names known are listed up to this many.
const LISTED_NAMES: usize = 12;

/// A sentence and what to do about it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wording {
    pub(super) says: String,
    pub(super) hint: Option<String>,
}

fn plain(says: String) -> Wording {
    Wording { says, hint: None }
}

fn hinted(says: String, hint: impl Into<String>) -> Wording {
    Wording {
        says,
        hint: Some(hint.into()),
    }
}

/// The user's words on one line: shortened, control characters made visible.
pub(super) fn shown(text: &str) -> String {
    let mut shown = String::new();
    let mut chars = text.trim().chars();
    for c in chars.by_ref().take(SHOWN_CHARS) {
        match is_unprintable(c) {
            true => shown.extend(c.escape_unicode()),
            false => shown.push(c),
        }
    }
    if chars.next().is_some() {
        shown.push_str("...");
    }
    shown
}

/// Control characters, and those that turn the direction of a line.
fn is_unprintable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let mut names = names.into_iter();
    let mut list: Vec<String> = names.by_ref().take(LISTED_NAMES * 2).map(shown).collect();
    match names.count() {
        0 => {}
        more => list.push(format!("and {more} more")),
    }
    list.join(", ")
}

/// `30 to 2000 mm`
fn range(key: &Key) -> String {
    match &key.is {
        Is::Number { low, high, unit } => format!("{low} to {high} {unit}").trim_end().to_string(),
        Is::NumberOrText { low, high } => format!("{low} to {high}"),
        Is::Whole { low, high } => format!("{low} to {high}"),
        _ => String::new(),
    }
}

// The file as a whole.

const BEGIN: &str = "skyworthy begin writes one to fill in";

pub(super) fn too_large(n_bytes: usize) -> Wording {
    let megabytes = n_bytes as f64 / 1e6;
    plain(format!(
        "{megabytes:.1} MB is too much: a workshop file is text of a few kilobytes"
    ))
}

pub(super) fn not_text() -> Wording {
    hinted(
        "this is not a text file".to_string(),
        "a workshop file is plain text (UTF-8): save it as such from the editor",
    )
}

pub(super) fn empty() -> Wording {
    hinted(
        "the file is empty: it needs a [site], and a [[telescope]] for each telescope".to_string(),
        BEGIN,
    )
}

pub(super) fn no_site() -> Wording {
    hinted(
        "the heading [site] is missing".to_string(),
        "[site]\nlatitude_deg = 47.5    # north positive\nlongitude_deg = 8.2    # east positive",
    )
}

pub(super) fn no_telescope() -> Wording {
    hinted(
        "there is no [[telescope]]".to_string(),
        "[[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200",
    )
}

pub(super) fn not_understood(line: &str, reason: &str, hint: Option<&str>) -> Wording {
    Wording {
        says: match line.trim() {
            "" => format!("cannot be understood: {reason}"),
            line => format!("cannot understand {}: {reason}", shown(line)),
        },
        hint: hint.map(str::to_string),
    }
}

/// A number for which the user typed a decimal comma, alone or with its key.
pub(super) fn decimal_comma(line: &str, written: &str, right: &str) -> Wording {
    let says = match line.trim().strip_prefix(written) {
        Some(rest) if rest.is_empty() || rest.trim_start().starts_with('#') => {
            format!("{} has a decimal comma", shown(written))
        }
        _ => format!("{} has a decimal comma, in {}", shown(written), shown(line)),
    };
    hinted(says, format!("numbers take a decimal point: {right}"))
}

/// A heading or a key that may stand there once.
pub(super) fn there_already(line: &str) -> Wording {
    let written = line.split('#').next().unwrap_or_default().trim();
    let is_figure = written.trim_matches(['[', ']']).trim() == "telescope.figure";
    let reason = match written.starts_with('[') {
        true => "this heading is there already",
        false => "this key is there already",
    };
    let hint = match (is_figure, written.starts_with('[')) {
        (true, _) => {
            "a telescope has one figure: keep one of the two blocks, or, if the mirror was tested again, write every \
             one of them as [[telescope.figure]] with its date, on_date = 2026-10-03; \
             another telescope begins with [[telescope]]"
        }
        (_, true) => {
            "eyepieces, Barlow lenses and telescopes may repeat, with two brackets: [[telescope]]"
        }
        (_, false) => "keep one of the two lines",
    };
    not_understood(written, reason, Some(hint))
}

// Keys and their values.

pub(super) fn unknown_key(name: &str, grammar: &Grammar) -> Wording {
    let allowed = grammar.keys.iter().map(|key| key.name);
    let title = grammar.heading;
    let says = match near_miss(name, allowed.clone()) {
        Some(near) => format!(
            "{} is not known in {title}: did you mean {near}?",
            shown(name)
        ),
        None => format!("{} is not known in {title}", shown(name)),
    };
    let allowed = format!("{title} takes {}", listed(allowed));
    match home_of(name, grammar) {
        Some(home) => hinted(
            says,
            format!("{name} belongs under {home}: move it there\n{allowed}"),
        ),
        None => hinted(says, allowed),
    }
}

/// The other heading that knows this key: lines after `[telescope.figure]` belong to the figure.
fn home_of(name: &str, grammar: &Grammar) -> Option<&'static str> {
    use super::file::keys;
    [
        &keys::TELESCOPE,
        &keys::FIGURE,
        &keys::SITE,
        &keys::EYEPIECE,
        &keys::OBSERVER,
        &keys::BARLOW,
        &keys::SESSION,
    ]
    .into_iter()
    .filter(|other| other.heading != grammar.heading && name != "name")
    .find(|other| other.keys.iter().any(|key| key.name == name))
    .map(|other| other.heading)
}

pub(super) fn key_of_another_kind(name: &str, kind: &str, allowed: &[&str]) -> Wording {
    let says = format!("{name} does not go with kind = \"{kind}\"");
    match allowed {
        [] => hinted(says, format!("\"{kind}\" needs nothing more")),
        _ => hinted(
            says,
            format!("\"{kind}\" takes {}", listed(allowed.iter().copied())),
        ),
    }
}

pub(super) fn missing(title: &str, key: &Key) -> Wording {
    hinted(format!("{title} needs {}", key.name), key.hint)
}

pub(super) fn wrong_type(key: &Key, written: &str) -> Wording {
    let is_heading = written.starts_with('[') && written.trim_matches(['[', ']']) == key.name;
    if is_heading {
        let says = format!(
            "the heading {} has the wrong number of brackets",
            shown(written)
        );
        return hinted(says, key.hint);
    }
    let wanted = match key.is {
        Is::Number { .. } => "a number, without quotes or unit",
        Is::NumberOrText { .. } => "a number, or a Roman numeral in quotes",
        Is::Whole { .. } => "a whole number",
        Is::Text | Is::Word(_) => "text in quotes",
        Is::Date => "a date",
        Is::Flag => "true or false, without quotes",
        Is::List { .. } => "a list in square brackets",
        Is::Table => "a heading with keys of its own",
    };
    hinted(
        format!("{} = {} should be {wanted}", key.name, shown(written)),
        key.hint,
    )
}

pub(super) fn out_of_range(key: &Key, written: &str) -> Wording {
    let says = format!(
        "{} = {} is outside {}",
        key.name,
        shown(written),
        range(key)
    );
    hinted(says, key.hint)
}

/// What is wrong with a number that has a range.
pub(super) fn number_trouble(key: &Key, number: f64, written: &str) -> Option<Wording> {
    let (low, high) = match key.is {
        Is::Number { low, high, .. } | Is::NumberOrText { low, high } => (low, high),
        _ => return None,
    };
    if number.is_nan() {
        let says = format!(
            "{} = {} is no number: it goes from {}",
            key.name,
            shown(written),
            range(key)
        );
        return Some(hinted(says, key.hint));
    }
    (!(low <= number && number <= high)).then(|| out_of_range(key, written))
}

pub(super) fn no_pair(grammar: &Grammar, written: &str) -> Wording {
    let [first, second] = [grammar.keys[0].name, grammar.keys[1].name];
    let says = format!(
        "{} in {} should be a pair [{first}, {second}]",
        shown(written),
        grammar.heading
    );
    hinted(
        says,
        "numbers take a decimal point, not a comma: [90.5, 35]",
    )
}

pub(super) fn unknown_word(key: &Key, text: &str, known: &[&str]) -> Wording {
    let says = format!("{} = \"{}\" is not known", key.name, shown(text));
    match near_miss(text, known.iter().copied()) {
        Some(near) => hinted(format!("{says}: did you mean \"{near}\"?"), key.hint),
        None => hinted(says, key.hint),
    }
}

/// What is wrong with the length of a list.
pub(super) fn length_trouble(key: &Key, n_values: usize) -> Option<Wording> {
    match key.is {
        Is::List { most } if n_values > most => Some(plain(format!(
            "{} has {n_values} entries: no more than {most} are taken",
            key.name
        ))),
        _ => None,
    }
}

pub(super) fn strange_year(key: &Key, written: &str) -> Wording {
    hinted(
        format!(
            "{} = {} is outside the years 1900 to 2200",
            key.name,
            shown(written)
        ),
        key.hint,
    )
}

/// What is wrong with a name or a place.
pub(super) fn text_trouble(name: &str, text: &str) -> Option<Wording> {
    if text.trim().is_empty() {
        return Some(hinted(
            format!("{name} is empty"),
            "give it one, or leave the line out",
        ));
    }
    if text.chars().any(is_unprintable) {
        let says = format!(
            "{name} = \"{}\" has characters that cannot be printed",
            shown(text)
        );
        return Some(hinted(
            says,
            "letters, digits, spaces and signs on one line",
        ));
    }
    let n_chars = text.trim().chars().count();
    (n_chars > LONGEST_NAME_CHARS).then(|| {
        let says = format!(
            "{name} = \"{}\" has {n_chars} characters, more than {LONGEST_NAME_CHARS}",
            shown(text)
        );
        hinted(says, "tables have no room for more: shorten it")
    })
}

pub(super) fn two_of(title: &str, first: &str, second: &str) -> Wording {
    hinted(
        format!("{title} has both {first} and {second}"),
        "give one of them: the one you know best",
    )
}

pub(super) fn none_of(title: &str, names: &[&str], hint: &str) -> Wording {
    hinted(format!("{title} needs one of {}", names.join(", ")), hint)
}

pub(super) fn same_name(what: &str, name: &str, first_line: usize) -> Wording {
    hinted(
        format!(
            "{what} \"{}\" is there already, in line {first_line}",
            shown(name)
        ),
        format!("give each {what} a name of its own: name = \"...\""),
    )
}

pub(super) fn no_time(key: &Key, text: &str) -> Wording {
    let says = format!("{} = \"{}\" is no time of day", key.name, shown(text));
    hinted(says, key.hint)
}

// The place.

pub(super) fn unknown_zone(name: &str, near: &[&str]) -> Wording {
    let says = format!("time_zone = \"{}\" is not known", shown(name));
    match near {
        [] => hinted(
            says,
            "a region and a city in English, such as \"Europe/Madrid\"; without the line the zone of the longitude is taken",
        ),
        near => hinted(says, format!("did you mean \"{}\"?", near.join("\" or \""))),
    }
}

/// `other_side`: with the other sign of the longitude the two would go together.
pub(super) fn zone_far_away(
    name: &str,
    offset_h: f64,
    longitude_deg: f64,
    other_side: bool,
) -> Wording {
    let says = format!(
        "time_zone = \"{}\" is UTC{offset_h:+}, but at longitude_deg = {longitude_deg} the Sun goes by UTC{:+.0}",
        shown(name),
        longitude_deg / 15.0
    );
    match other_side {
        true => hinted(
            says,
            format!(
                "east is positive, west negative: longitude_deg = {} would fit",
                -longitude_deg
            ),
        ),
        false => hinted(says, "one of the two lines belongs to another place"),
    }
}

pub(super) fn seeing_order(good: f64, typical: f64, poor: f64) -> Wording {
    hinted(
        format!(
            "seeing_arcsec should grow from good ({good}) to typical ({typical}) to poor ({poor})"
        ),
        "it is the width of a star: the smaller, the steadier the air",
    )
}

pub(super) fn antoniadi_beyond_five(written: &str) -> Wording {
    hinted(
        format!(
            "value = {} is outside 1 to 5 of the Antoniadi scale",
            shown(written)
        ),
        "1 or \"I\" is best, 5 or \"V\" worst; the scale from 1 to 10 is \"pickering\"",
    )
}

pub(super) fn no_roman_numeral(written: &str) -> Wording {
    hinted(
        format!("value = {} is not a value of that scale", shown(written)),
        "Pickering: a number from 1 to 10, without quotes; Antoniadi: 1 to 5 or \"I\" to \"V\"",
    )
}

pub(super) fn horizon_order(before_deg: f64, azimuth_deg: f64) -> Wording {
    hinted(
        format!("horizon: azimuth {azimuth_deg} comes after {before_deg}"),
        "azimuths increase: north 0, east 90, south 180, west 270, at most 360; \
         an upright wall is two corners a little apart: [90, 5], [90.1, 35]",
    )
}

pub(super) fn mark_edges(left_deg: f64, right_deg: f64) -> Wording {
    hinted(
        format!("azimuth_deg: from {left_deg} to {right_deg} is more than half way round"),
        "write the left edge first, then the right one: azimuth_deg = [120, 155], over north [350, 20]",
    )
}

pub(super) fn horizon_ends_apart(at_0_deg: f64, at_360_deg: f64) -> Wording {
    hinted(
        format!(
            "horizon: azimuths 0 and 360 are both north, but the altitudes are {at_0_deg} and {at_360_deg}"
        ),
        "leave one of them out, or make them equal",
    )
}

// Eyepieces and telescopes.

pub(super) fn stop_too_wide(stop_mm: f64, focal_length_mm: f64) -> Wording {
    hinted(
        format!("field_stop_mm = {stop_mm} is too wide for focal_length_mm = {focal_length_mm}"),
        "that would be an apparent field over 120 degrees; or give apparent_field_deg instead",
    )
}

pub(super) fn unknown_eyepiece(name: &str, known: &[String]) -> Wording {
    let names = || known.iter().map(String::as_str);
    let says = format!("eyepieces: there is no eyepiece \"{}\"", shown(name));
    let hint = format!("the eyepieces are {}", listed(names()));
    match near_miss(name, names()) {
        Some(near) => hinted(format!("{says}: did you mean \"{}\"?", shown(near)), hint),
        None => hinted(says, hint),
    }
}

pub(super) fn no_eyepiece_name(written: &str) -> Wording {
    hinted(
        format!("eyepieces: {} should be a name in quotes", shown(written)),
        "eyepieces = [\"25 mm\", \"10 mm\"]",
    )
}

pub(super) fn eyepiece_twice(name: &str) -> Wording {
    plain(format!("eyepieces names \"{}\" twice", shown(name)))
}

pub(super) fn no_eyepieces_left() -> Wording {
    hinted(
        "eyepieces = [] leaves nothing to look through".to_string(),
        "without the line all eyepieces are taken",
    )
}

pub(super) fn secondary_too_large(secondary_mm: f64, aperture_mm: f64) -> Wording {
    let compared = if secondary_mm > aperture_mm {
        "larger than"
    } else {
        "as large as"
    };
    let [low, high] = [0.2 * aperture_mm, 0.25 * aperture_mm];
    hinted(
        format!(
            "secondary_mm = {secondary_mm} is {compared} the mirror (aperture_mm = {aperture_mm})"
        ),
        format!(
            "a Newtonian's diagonal is usually 20 to 25 % of the aperture: about {low:.0} to {high:.0} mm here"
        ),
    )
}

/// The shortest and the longest focal ratio that is taken for a Newtonian's.
pub(super) const FOCAL_RATIOS: (f64, f64) = (2.0, 30.0);

/// `per_focal_ratio` is what the key would be at f/1: a focal length of one aperture.
pub(super) fn strange_focal_ratio(
    key: &str,
    length_mm: f64,
    aperture_mm: f64,
    per_focal_ratio: f64,
) -> Wording {
    let ratio = length_mm / per_focal_ratio;
    let [low, high] = [
        FOCAL_RATIOS.0 * per_focal_ratio,
        FOCAL_RATIOS.1 * per_focal_ratio,
    ];
    hinted(
        format!("{key} = {length_mm} makes f/{ratio:.1} with aperture_mm = {aperture_mm}"),
        format!(
            "between f/{} and f/{} it is {low:.0} to {high:.0} mm here",
            FOCAL_RATIOS.0, FOCAL_RATIOS.1
        ),
    )
}

pub(super) fn no_focal_length(title: &str, ways: &[&str], planned: bool) -> Wording {
    let says = format!("{title} needs one of {}", ways.join(", "));
    match planned {
        false => hinted(
            says,
            "from the mirror to the focus in mm: focal_length_mm = 1200",
        ),
        true => hinted(
            says,
            "planned_focal_length_mm stands beside what was measured; where nothing is yet, the plan is \
             focal_length_mm itself",
        ),
    }
}

/// A key that says more of a sagitta, where the length is known otherwise.
pub(super) fn no_sagitta(stray: &str, way: &str) -> Wording {
    hinted(
        format!("{stray} does not go with {way}"),
        "it goes with sagitta_mm or sagitta_gauges_mm",
    )
}

pub(super) fn no_gauges() -> Wording {
    hinted(
        "sagitta_gauges_mm = [] measures nothing".to_string(),
        "the feeler gauges that together fill the gap: sagitta_gauges_mm = [1.0, 0.15]",
    )
}

pub(super) fn strange_across(across_mm: f64, aperture_mm: f64, range_mm: (f64, f64)) -> Wording {
    hinted(
        format!(
            "sagitta_across_mm = {across_mm} does not go with aperture_mm = {aperture_mm}: \
             {:.0} to {:.0} mm would",
            range_mm.0, range_mm.1
        ),
        "the diameter on which the straightedge lies; without the line the clear aperture",
    )
}

pub(super) fn sagitta_unknown(uncertainty_mm: f64, sagitta_mm: f64) -> Wording {
    hinted(
        format!(
            "sagitta_uncertainty_mm = {uncertainty_mm} is half the depth of {sagitta_mm:.2} mm or more: nothing \
             would be known"
        ),
        "feeler gauges under a straightedge tell about 0.02 mm",
    )
}

/// `key` is where the depth stands, `range_mm` what telescope mirrors have.
pub(super) fn strange_sagitta(
    key: &str,
    sagitta_mm: f64,
    aperture_mm: f64,
    range_mm: (f64, f64),
) -> Wording {
    let depth = match key {
        "sagitta_gauges_mm" => format!("sagitta_gauges_mm is together {sagitta_mm:.2} mm:"),
        _ => format!("{key} = {sagitta_mm} is"),
    };
    let says = if sagitta_mm > aperture_mm / 2.0 {
        format!("{depth} deeper than half the mirror is wide (aperture_mm = {aperture_mm})")
    } else if sagitta_mm > range_mm.1 {
        format!("{depth} too deep for a telescope mirror of aperture_mm = {aperture_mm}")
    } else {
        format!("{depth} too shallow for a telescope mirror of aperture_mm = {aperture_mm}")
    };
    hinted(
        says,
        format!(
            "the depth of the middle below the rim is about aperture / (16 x focal ratio): \
             between f/{} and f/{} {:.2} to {:.2} mm here",
            FOCAL_RATIOS.0, FOCAL_RATIOS.1, range_mm.0, range_mm.1
        ),
    )
}

pub(super) fn vanes_too_wide(vane_mm: f64, aperture_mm: f64) -> Wording {
    hinted(
        format!("spider_vane_mm = {vane_mm} would cover the mirror (aperture_mm = {aperture_mm})"),
        "the width of one vane as light meets it, edge on: usually 0.5 to 2 mm",
    )
}

// Figures.

pub(super) fn no_figures() -> Wording {
    hinted(
        "figure = [] says nothing".to_string(),
        "leave the figure out for a perfect mirror",
    )
}

pub(super) fn undated_figure(title: &str) -> Wording {
    hinted(
        format!("{title} has several figures, and this one does not say when it was measured"),
        "give each [[telescope.figure]] its date: on_date = 2026-10-03; the latest counts",
    )
}

pub(super) fn two_figures_of_a_day(
    title: &str,
    on: Option<NaiveDate>,
    first_line: usize,
) -> Wording {
    let on = on.map(|on| on.to_string()).unwrap_or_default();
    hinted(
        format!("{title} has another figure of {on}, in line {first_line}"),
        "of two tests on one day keep the one that counts",
    )
}

pub(super) fn edge_too_wide(width_mm: f64, rim_mm: f64) -> Wording {
    hinted(
        format!(
            "edge_width_mm = {width_mm} is more than half the mirror: the rim is at {rim_mm} mm"
        ),
        "from where the glass turns down to the rim, along a radius: usually 1 to 10 mm",
    )
}

/// How wide or how deep an edge is that was not said to be turned.
pub(super) fn no_turned_edge(stray: &str, edge: Option<&str>) -> Wording {
    let says = match edge {
        Some(word) => format!("{stray} does not go with edge = \"{word}\""),
        None => format!("{stray} stands without edge"),
    };
    hinted(says, "it goes with edge = \"turned\"")
}

pub(super) fn no_offset(offset_mm: f64) -> Wording {
    hinted(
        format!("offset_mm = {offset_mm}: at the centre of curvature itself there are no bands"),
        "0.1 mm from it at least, below 0 nearer the mirror: offset_mm = -6",
    )
}

pub(super) fn too_few_zones(n_zones: usize) -> Wording {
    hinted(
        format!("a knife-edge test needs at least 2 zones, not {n_zones}"),
        "only differences between zones say something about the figure",
    )
}

/// An edge of a window as the user gave it.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeSaid {
    pub(super) key: &'static str,
    pub(super) value: f64,
    /// `mm` or `inch`.
    pub(super) unit: &'static str,
    /// In one of those.
    pub(super) mm: f64,
}

impl EdgeSaid {
    /// A radius in the unit of this edge, to a hundredth of a millimetre.
    fn in_its_unit(&self, radius_mm: f64) -> String {
        let per_unit = if self.mm > 1.0 { 1000.0 } else { 100.0 };
        let rounded = (radius_mm / self.mm * per_unit).round() / per_unit;
        format!("{rounded} {}", self.unit)
    }
}

impl fmt::Display for EdgeSaid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} = {}", self.key, self.value)
    }
}

pub(super) fn window_in_two_units(mm: &str, inch: &str) -> Wording {
    hinted(
        format!("{mm} and {inch} do not go together"),
        "both edges of a window in one unit: inner_mm and outer_mm, or inner_inch and outer_inch",
    )
}

pub(super) fn zone_inside_out(inner: EdgeSaid, outer: EdgeSaid) -> Wording {
    hinted(
        format!("{inner} is not smaller than {outer}"),
        "both are measured from the middle of the mirror",
    )
}

pub(super) fn zones_overlap(before_outer_mm: f64, inner: EdgeSaid) -> Wording {
    let before = inner.in_its_unit(before_outer_mm);
    hinted(
        format!("{inner} lies inside the zone before, which ends at {before}"),
        "zones go from the middle outward and do not overlap",
    )
}

pub(super) fn zone_beyond_mirror(outer: EdgeSaid, aperture_mm: f64) -> Wording {
    let rim = outer.in_its_unit(aperture_mm / 2.0);
    hinted(
        format!("{outer} lies beyond the rim at {rim} (aperture_mm = {aperture_mm})"),
        "edges of zones are radii, measured from the middle of the mirror, not diameters",
    )
}

pub(super) fn no_reading() -> Wording {
    hinted(
        "this zone has no reading".to_string(),
        "leave the zone out, or read it",
    )
}

/// Numbers of a list that were meant as fewer, each with a decimal comma.
pub(super) fn commas_in_list(name: &str, written: &str, right: &str) -> Wording {
    hinted(
        format!("{name} = {} has decimal commas", shown(written)),
        format!("numbers take a decimal point: {name} = {}", shown(right)),
    )
}

pub(super) fn readings_apart(spread_mm: f64, limit_mm: f64) -> Wording {
    hinted(
        format!(
            "the readings of this zone differ by {spread_mm:.2} mm: repeats of one window stay well within {limit_mm} mm"
        ),
        "numbers take a decimal point, not a comma: 0.61",
    )
}

pub(super) fn readings_in_another_unit(name: &str, unit: &str) -> Wording {
    hinted(
        format!("{name} does not go with unit = \"{unit}\""),
        format!("write readings_{unit}, or the other unit; without the line it is \"mm\""),
    )
}

pub(super) fn term_order(n: i64, m: i64) -> Wording {
    hinted(
        format!("n = {n}, m = {m} is no Zernike term"),
        format!("m goes from -n to n in steps of two: {}", orders_of(n)),
    )
}

fn orders_of(n: i64) -> String {
    match n {
        0..=6 => {
            let orders: Vec<String> = (-n..=n).step_by(2).map(|m| m.to_string()).collect();
            format!("for n = {n} one of {}", orders.join(", "))
        }
        _ => format!("for n = {n} one of -{n}, {}, ... {n}", 2 - n),
    }
}

pub(super) fn term_twice(n: i64, m: i64) -> Wording {
    plain(format!("the term n = {n}, m = {m} is given twice"))
}

pub(super) fn no_terms() -> Wording {
    hinted(
        "terms = [] says nothing".to_string(),
        "leave the figure out for a perfect mirror",
    )
}

pub(super) fn profile_order(before: f64, radius: f64) -> Wording {
    hinted(
        format!("points: radius {radius} comes after {before}"),
        "radii increase from 0 (the middle) to 1 (the rim)",
    )
}

pub(super) fn profile_ends() -> Wording {
    hinted(
        "points should begin at radius 0 (the middle) and end at 1 (the rim)".to_string(),
        "radii are fractions of the mirror's, not mm: [[0.0, 0.0], [0.5, 12.0], [1.0, -40.0]]",
    )
}

// Tables beside the workshop file.

pub(super) fn unreadable_table(name: &str, why: &str) -> Wording {
    hinted(
        format!("file = \"{}\" cannot be read: {}", shown(name), shown(why)),
        "the table is looked for beside the workshop file",
    )
}

pub(super) fn empty_table(columns: &str) -> Wording {
    hinted("the table has no rows".to_string(), columns)
}

pub(super) fn unknown_column(name: &str, columns: &[&str], hint: &str) -> Wording {
    let says = format!("the column \"{}\" is not known", shown(name));
    match near_miss(name, columns.iter().copied()) {
        Some(near) => hinted(format!("{says}: did you mean {near}?"), hint),
        None => hinted(says, hint),
    }
}

pub(super) fn column_twice(name: &str) -> Wording {
    plain(format!("the column {} is there twice", shown(name)))
}

pub(super) fn missing_column(name: &str, hint: &str) -> Wording {
    hinted(format!("the column {name} is missing"), hint)
}

pub(super) fn too_many_cells(n_cells: usize, n_columns: usize) -> Wording {
    hinted(
        format!("{n_cells} cells under {n_columns} columns"),
        "with decimal commas, separate the columns by semicolons",
    )
}

pub(super) fn no_number_in_cell(column: &str, cell: &str) -> Wording {
    hinted(
        format!("{} = {} should be a number", shown(column), shown(cell)),
        "a number without its unit; an empty cell is a missing reading",
    )
}

pub(super) fn empty_cell(column: &str) -> Wording {
    plain(format!("{column} is empty"))
}

// Comets and asteroids.

pub(super) fn no_name() -> Wording {
    hinted(
        "name is empty".to_string(),
        "how the comet or asteroid is called in the lists",
    )
}

pub(super) fn no_day(column: &str, cell: &str) -> Wording {
    hinted(
        format!("{column} = {} should be a day of 1950 to 2100", shown(cell)),
        "year-month-day with a part of the day if need be, 2026-10-21.534, or a Julian date, 2461334.034",
    )
}

/// Two columns of which a row has both, or neither.
pub(super) fn one_of_two_cells(first: &str, second: &str, both: bool) -> Wording {
    let says = match both {
        true => format!("this row has both {first} and {second}"),
        false => format!("this row has neither {first} nor {second}"),
    };
    hinted(says, "fill in the one that the source of the orbit gives")
}

pub(super) fn not_on_an_ellipse(column: &str, eccentricity: f64) -> Wording {
    hinted(
        format!("{column} does not go with eccentricity = {eccentricity}: that is no ellipse"),
        "give perihelion_distance_au and perihelion_time",
    )
}

pub(super) fn broken_table(why: &str) -> Wording {
    hinted(
        format!("this is not a table: {}", shown(why)),
        "one row a line, commas or semicolons between the cells",
    )
}

// The organiser's notes beside a plan.

/// What is wrong with a note.
pub(super) fn note_trouble(note: &str) -> Option<Wording> {
    if note.is_empty() {
        return Some(hinted(
            "note is empty".to_string(),
            "give it words, or leave the line out",
        ));
    }
    if note.chars().any(is_unprintable) {
        return Some(hinted(
            format!(
                "note = \"{}\" has characters that cannot be printed",
                shown(note)
            ),
            "letters, digits, spaces and signs",
        ));
    }
    let n_chars = note.chars().count();
    (n_chars > LONGEST_NOTE_CHARS).then(|| {
        hinted(
            format!(
                "note = \"{}\" has {n_chars} characters, more than {LONGEST_NOTE_CHARS}",
                shown(note)
            ),
            "nobody reads more in the dark: shorten it",
        )
    })
}

pub(super) fn no_note(written: &str) -> Wording {
    hinted(
        format!("note = {} should be text in quotes", shown(written)),
        "note = \"ask for the red torch\"",
    )
}

pub(super) fn no_order(written: &str) -> Wording {
    hinted(
        format!("{} in order should be a target in quotes", shown(written)),
        "order = [\"saturn\", \"moon\"]",
    )
}

pub(super) fn twice_in_notes(telescope: &str, target: &str) -> Wording {
    hinted(
        format!("{} has {} twice", shown(telescope), shown(target)),
        "say everything about one target in one place",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_user_wrote_is_shortened_and_printable() {
        assert_eq!(shown("  plain  "), "plain");
        assert_eq!(shown("a\u{7}b\u{202e}"), "a\\u{7}b\\u{202e}");
        assert!(shown(&"long ".repeat(100_000)).chars().count() < 50);
    }

    #[test]
    fn orders_of_a_term() {
        assert_eq!(orders_of(3), "for n = 3 one of -3, -1, 1, 3");
        assert_eq!(orders_of(8), "for n = 8 one of -8, -6, ... 8");
    }
}
