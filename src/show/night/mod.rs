//! One night, for reading: the answer first, three airs wherever a promise is made, the reason beside
//! what is not plain.

mod beyond;

mod faces;

mod grades;

mod misses;

mod moons;

mod json;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::optics::instrument::Instrument;
use crate::plan::night::{Night, RedSpotTonight, TelescopeNight};
use crate::plan::outlook::{Absence, Edge, Outlook, Stretch, Target};
use crate::plan::put_out::PutOut;
use crate::plan::time_span::TimeSpan;
use crate::show::happenings::entries;
use crate::show::page::{Block, Page};
use crate::show::words::{self, assumed, caption, caution, figure, too_far, why};
use crate::sky::Body;
use crate::targets::verdict::{Grade, Verdict};

pub use self::json::json;

/// Of lines after a happening's first.
const HAPPENING_HANG: usize = 6;

/// Of lines after the first about what is beyond reach.
const BEYOND_HANG: usize = 4;

/// Of lines after the first about what is not there.
const ABSENT_HANG: usize = 9;

/// The whole night.
pub fn page(night: &Night) -> Page {
    let title = format!(
        "{}, {}, times {}",
        night.site_name,
        words::the_night_of(night.on),
        words::utc_offsets(night.window.from, night.window.until, night.zone)
    );
    let telescopes = night.telescopes.iter();
    Page::new(title)
        .with(head(night).into_iter().map(Block::say))
        .with(happenings(night))
        .with(telescopes.map(|telescope| telescope_section(telescope, night)))
        .with(not_tonight(night))
        .with([caution::section(&night.cautions, night.zone)])
        .with(assumed::section(&night.assumed))
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

fn telescope_section(telescope: &TelescopeNight, night: &Night) -> Block {
    let heading = match &telescope.instrument {
        Ok(instrument) => instrument_words(instrument),
        Err(why) => format!("{}: {why}", telescope.name),
    };
    let put_out = (telescope.put_out).map(|put_out| put_out_words(put_out, night.zone));
    let mut blocks: Vec<Block> = put_out
        .map(|words| Block::Paragraph(words, 0))
        .into_iter()
        .collect();
    if let Ok(instrument) = &telescope.instrument {
        if telescope.targets.is_empty() {
            blocks.push(Block::say("Nothing to show: see below why."));
        }
        let targets = telescope.targets.iter();
        blocks.extend(targets.map(|target| target_section(target, instrument, night)));
        blocks.extend(beyond::section(&telescope.beyond, instrument, night.zone));
    }
    Block::section(heading, blocks)
}

/// `Put it outside by 15:40 (30 mm glass, 10 degrees to lose).`
fn put_out_words(put_out: PutOut, zone: Tz) -> String {
    let shade = if put_out.by_day {
        ", capped, in shade"
    } else {
        ""
    };
    format!(
        "Put it outside by {}{shade} ({:.0} mm glass, {:.0} degrees to lose).",
        words::clock(put_out.by, zone),
        put_out.cooling.thickness_mm,
        put_out.cooling.to_lose_k
    )
}

/// `Rowan, 150 mm f/8: left spherical ...`
fn instrument_words(instrument: &Instrument) -> String {
    let size = format!(
        "{:.0} mm f/{}",
        instrument.aperture_mm,
        words::short(instrument.focal_ratio)
    );
    // A telescope without a name of its own is called by its size.
    let named = if size.starts_with(&instrument.name) {
        size
    } else {
        format!("{}, {size}", instrument.name)
    };
    format!("{named}: {}", figure::words(&instrument.figure))
}

fn target_section(target: &Target, instrument: &Instrument, night: &Night) -> Block {
    let outlook = &target.outlook;
    let rows: Vec<_> = (groups(&target.verdicts).iter())
        .map(|group| group.row(instrument, night.zone))
        .collect();
    let shown = match rows.is_empty() {
        true => Block::say("nothing on it that could be promised"),
        false => grades::table(rows).into(),
    };
    let lines = moons_lines(outlook, night).into_iter().map(Block::say);
    let red_spot = red_spot_words(&target.verdicts, &night.red_spot).map(Block::say);
    let beyond = misses::lines(&target.verdicts).into_iter();
    let beyond = beyond.map(|line| Block::Paragraph(line, BEYOND_HANG));
    let blocks = lines.chain(red_spot).chain([shown]).chain(beyond);
    Block::section(outlook_line(outlook, night.zone), blocks)
}

/// Where the Spot is listed: from what, how old, how sure.
fn red_spot_words(verdicts: &[Verdict], spot: &RedSpotTonight) -> Option<String> {
    let is_spot = |verdict: &Verdict| verdict.caption.id == "jupiter_red_spot";
    verdicts.iter().any(is_spot).then(|| {
        format!(
            "The Red Spot is placed by a longitude of {} ({:.0} months old): its times may be {:.0} minutes off.",
            words::plain_date(spot.measured.measured_on),
            spot.age_months.abs(),
            spot.uncertain_min
        )
    })
}

/// Of its moons and its face.
fn moons_lines(outlook: &Outlook, night: &Night) -> Vec<String> {
    let events: &[_] = match outlook.subject().body() {
        Some(Body::Jupiter) => &night.satellite_events,
        _ => &[],
    };
    let moons = [
        moons::sides(outlook, night.zone),
        moons::happens(outlook, events, night.zone),
    ];
    let face = faces::lines(&outlook.face, outlook.best, night.zone);
    moons.into_iter().flatten().chain(face).collect()
}

/// `19:40-23:10 Jupiter, SE, four fists up at 21:30; then behind the skyline`
fn outlook_line(outlook: &Outlook, zone: Tz) -> String {
    let times: Vec<String> = outlook
        .stretches
        .iter()
        .map(|stretch| {
            format!(
                "{}-{}",
                words::clock(stretch.from, zone),
                words::clock(stretch.until, zone)
            )
        })
        .collect();
    let seen = &outlook.at_best;
    format!(
        "{} {}, {}, {} at {}{}",
        words::list(&times),
        outlook.subject().name(),
        words::wind(seen.place().azimuth_deg),
        words::fists(seen.place().refracted_altitude_deg),
        words::clock(outlook.best, zone),
        outlook.stretches.last().map(ending).unwrap_or_default(),
    )
}

fn ending(stretch: &Stretch) -> String {
    match stretch.ends {
        Edge::Skyline => format!(
            "; then behind your skyline in the {}",
            words::wind(stretch.azimuth_until_deg)
        ),
        Edge::TooLow => String::from("; then too low"),
        Edge::BeforeSunrise => String::from("; stop then: the Sun is coming"),
        Edge::Twilight | Edge::Noon => String::new(),
    }
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
