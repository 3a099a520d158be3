//! One night, for reading: the answer first, three airs wherever a promise is made, the reason beside
//! what is not plain.

mod beyond;

mod faces;

mod moons;

mod goings_on;

mod whereabouts;

mod telescope;

mod glance;

mod grades;

mod misses;

mod json;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::optics::instrument::Instrument;
use crate::plan::night::{Night, TelescopeNight};
use crate::plan::outlook::{Absence, Target};
use crate::plan::time_span::TimeSpan;
use crate::show::happenings::entries;
use crate::show::page::{Block, Page};
use crate::show::words::{self, assumed, caption, caution, too_far, why};
use crate::sky::Body;
use crate::targets::verdict::{Grade, Verdict};

pub use self::json::json;

/// Of lines after a happening's first.
const HAPPENING_HANG: usize = 6;

/// Of lines after the first about what is beyond reach.
const BEYOND_HANG: usize = 4;

/// Of lines after the first about what is not there.
const ABSENT_HANG: usize = 9;

/// The night at a glance, without what each telescope shows of each target.
pub fn overview(night: &Night) -> Page {
    let names = || night.telescopes.iter().map(|telescope| &telescope.name);
    let example = names().find(|name| !name.contains('"'));
    let more = example.map(|name| {
        let quoted = match name.contains(|c: char| !c.is_alphanumeric()) {
            true => format!("\"{name}\""),
            false => name.clone(),
        };
        format!("Every detail with its eyepiece and its reason: --telescope {quoted}, or --all.")
    });
    pages_top(night)
        .with([glance::who_is_who(night)])
        .with(glance::hours(night))
        .with(more.map(Block::say))
        .with(pages_end(night))
}

/// The whole night.
pub fn page(night: &Night) -> Page {
    let hours = match night.telescopes.len() {
        0 | 1 => Hours::WithTargets,
        _ => Hours::Above,
    };
    let above = (hours == Hours::Above).then(|| glance::hours(night));
    let telescopes = night.telescopes.iter();
    pages_top(night)
        .with(glance::has_letters(night).then(|| glance::who_is_who(night)))
        .with(above.flatten())
        .with(telescopes.map(|telescope| telescope_section(telescope, night, hours)))
        .with(pages_end(night))
}

/// Down to the table of all targets.
fn pages_top(night: &Night) -> Page {
    let title = format!(
        "{}, {}, times {}",
        night.site_name,
        words::the_night_of(night.on),
        words::utc_offsets(night.window.from, night.window.until, night.zone)
    );
    Page::new(title)
        .with(head(night).into_iter().map(Block::say))
        .with(happenings(night))
        .with([glance::section(night)])
}

/// What is not to be seen, what can hurt, what was assumed.
fn pages_end(night: &Night) -> impl Iterator<Item = Block> {
    (not_tonight(night).into_iter())
        .chain([caution::section(&night.cautions, night.zone)])
        .chain(assumed::section(&night.assumed))
}

fn head(night: &Night) -> Vec<String> {
    let dark = match night.sun.dark() {
        Some(TimeSpan { from, until }) => format!(
            "Dark from {} to {}",
            words::clock(from, night.zone),
            words::clock(until, night.zone)
        ),
        None => String::from("It does not get fully dark"),
    };
    let airs = night.seeing_zenith_arcsec;
    let lines = [
        format!(
            "{dark}. {}.",
            words::sunset_and_sunrise(&night.sun, night.zone)
        ),
        format!(
            "Moon {:.0} % lit{}. Sky {:.1} mag/arcsec² overhead without Moon.",
            100.0 * night.moon_lit,
            moon_words(night),
            night.dark_zenith_mag_arcsec2
        ),
        format!(
            "Air, zenith: good {:.1}\", typical {:.1}\", poor {:.1}\".",
            airs.good, airs.typical, airs.poor
        ),
    ];
    let margin = words::observer_margin(night.observer_margin_dex);
    lines.into_iter().chain(margin).collect()
}

/// What the night has of phases, pairings, eclipses, stars behind the Moon.
fn happenings(night: &Night) -> Option<Block> {
    let entries = entries(&night.happenings, &night.moon_fields, night.zone);
    let lines: Vec<Block> = (entries.into_iter())
        .flat_map(|entry| {
            let first = format!("{} {}", words::clock(entry.at, night.zone), entry.words);
            std::iter::once(first).chain(entry.more)
        })
        .map(|line| Block::Paragraph(line, HAPPENING_HANG))
        .collect();
    (!lines.is_empty()).then(|| Block::section("It happens:", lines))
}

fn moon_words(night: &Night) -> String {
    let moon = &night.bodies[Body::Moon as usize];
    let of = |what: &str, at: Option<&chrono::DateTime<chrono::Utc>>| {
        at.map(|at| format!(", {what} {}", words::clock(*at, night.zone)))
            .unwrap_or_default()
    };
    of("rises", moon.rises.first()) + &of("sets", moon.sets.first())
}

/// `hours`: those of its targets stand above, once for all telescopes.
fn telescope_section(one: &TelescopeNight, night: &Night, hours: Hours) -> Block {
    let put_out = (one.put_out).map(|put_out| telescope::put_out_words(put_out, night.zone));
    let mut blocks: Vec<Block> = put_out
        .map(|words| Block::Paragraph(words, 0))
        .into_iter()
        .collect();
    if let Ok(instrument) = &one.instrument {
        if one.targets.is_empty() {
            blocks.push(Block::say("Nothing to show: see below why."));
        }
        let targets = one.targets.iter();
        blocks.extend(targets.map(|target| target_section(target, instrument, night, hours)));
        blocks.extend(beyond::section(&one.beyond, instrument, night.zone));
    }
    Block::section(telescope::heading(one), blocks)
}

/// Where the hours of the Moon and the planets are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Hours {
    /// With each target.
    WithTargets,
    /// Above.
    Above,
}

fn target_section(target: &Target, instrument: &Instrument, night: &Night, hours: Hours) -> Block {
    let outlook = &target.outlook;
    let rows: Vec<_> = (groups(&target.verdicts).iter())
        .map(|group| group.row(instrument, night.zone))
        .collect();
    let shown = match rows.is_empty() {
        true => Block::say("nothing on it that could be promised"),
        false => grades::table(rows).into(),
    };
    let beyond = misses::lines(&target.verdicts).into_iter();
    let beyond = beyond.map(|line| Block::Paragraph(line, BEYOND_HANG));
    let (heading, lines) = match hours {
        Hours::WithTargets => (
            whereabouts::line(outlook, night.zone),
            goings_on::lines(outlook, night),
        ),
        Hours::Above => (outlook.subject().name().to_string(), Vec::new()),
    };
    let blocks = (lines.into_iter().map(Block::say))
        .chain([shown])
        .chain(beyond);
    Block::section(heading, blocks)
}

/// Details that share their three grades and their eyepiece.
struct Group<'a> {
    verdicts: Vec<&'a Verdict>,
}

impl Group<'_> {
    fn row(&self, instrument: &Instrument, zone: Tz) -> [String; 5] {
        let first = self.verdicts[0];
        let names = names(&self.verdicts, zone);
        let under_high_sun =
            (first.why.gain_under_low_sun()).filter(|_| first.grade.typical < Grade::Patient);
        let named = match under_high_sun {
            Some(_) => words::capitalised(&format!("{}{names}", misses::WALLS)),
            None => names,
        };
        let reason = match under_high_sun {
            Some(then) if 1 < self.verdicts.len() => why::under_high_sun(then),
            _ => why::beside_grades(first),
        };
        grades::row(named, first, reason, instrument)
    }
}

/// `Mare Crisium, Plato: 21:12-23:05, Tycho 22:10-23:05`: hours that several have in turn are said once.
fn names(verdicts: &[&Verdict], zone: Tz) -> String {
    let timed: Vec<(String, String)> = (verdicts.iter())
        .map(|it| {
            (
                caption::with_what_it_takes(&it.caption),
                during_words(it, zone),
            )
        })
        .collect();
    let chunks = timed.chunk_by(|a, b| a.1 == b.1).map(|alike| {
        let names: Vec<&str> = alike.iter().map(|(name, _)| name.as_str()).collect();
        let colon = match alike {
            [_, _, ..] if !alike[0].1.is_empty() => ":",
            _ => "",
        };
        format!("{}{colon}{}", names.join(", "), alike[0].1)
    });
    chunks.collect::<Vec<_>>().join(", ")
}

/// ` 21:12-23:05`, for what comes and goes; ` about 23:10`, for what shows best at another hour than the rest.
fn during_words(verdict: &Verdict, zone: Tz) -> String {
    let clock = |at: Option<DateTime<Utc>>| at.map(|at| words::clock(at, zone));
    let spans: Vec<String> = (verdict.during.iter())
        .filter_map(|span| {
            Some(format!(
                "{}-{}",
                clock(span.from_utc())?,
                clock(span.until_utc())?
            ))
        })
        .collect();
    if spans.is_empty() {
        let at = clock(verdict.waits_for());
        at.map_or_else(String::new, |at| format!(" about {at}"))
    } else {
        format!(" {}", words::list(&spans))
    }
}

/// What shows at least in good air, the surest first.
fn groups(verdicts: &[Verdict]) -> Vec<Group<'_>> {
    let mut groups: Vec<Group> = Vec::new();
    for verdict in verdicts
        .iter()
        .filter(|verdict| verdict.grade.good != Grade::Beyond)
    {
        let alike = |group: &&mut Group| {
            let first = group.verdicts[0];
            // What is only fleeting has a reason of its own; places under a high Sun share theirs.
            let gain = verdict.why.gain_under_low_sun();
            let is_told_alike = Grade::Patient <= verdict.grade.typical
                || gain.is_some() && gain == first.why.gain_under_low_sun();
            let of = |it: &Verdict| (it.grade, it.view, it.view_in_good_air);
            is_told_alike && of(first) == of(verdict)
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.verdicts.push(verdict),
            None => groups.push(Group {
                verdicts: vec![verdict],
            }),
        }
    }
    groups.sort_by_key(|group| {
        let grade = group.verdicts[0].grade;
        std::cmp::Reverse((grade.typical, grade.poor, grade.good))
    });
    groups
}

fn not_tonight(night: &Night) -> Option<Block> {
    let absent = night.not_tonight.iter().map(|absent| {
        let reason = absence_words(absent.reason, night.zone);
        format!("{} {reason}", absent.body.name())
    });
    let too_far = night.too_far.iter().map(too_far::words);
    let lines: Vec<Block> = (absent.chain(too_far))
        .map(|line| Block::Paragraph(line, ABSENT_HANG))
        .collect();
    (!lines.is_empty()).then(|| Block::section("Not tonight:", lines))
}

fn absence_words(reason: Absence, zone: Tz) -> String {
    match reason {
        Absence::NeverClear { highest_deg } if highest_deg < 0.0 => String::from("does not rise"),
        Absence::NeverClear { highest_deg } => {
            format!("never clear of your skyline (highest {highest_deg:.0}°)")
        }
        Absence::OnlyInDaylight { sets, rises } => match (sets, rises) {
            (Some(sets), _) => format!("lost in twilight: sets {}", words::clock(sets, zone)),
            (None, Some(rises)) => {
                format!("lost in twilight: rises {}", words::clock(rises, zone))
            }
            (None, None) => String::from("up by day only"),
        },
        Absence::NearSun { elongation_deg } => {
            format!("too near the Sun ({elongation_deg:.0}°)")
        }
    }
}
