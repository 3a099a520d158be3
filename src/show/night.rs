//! One night, for reading: the answer first, three airs wherever a promise is made, the reason beside
//! what is not plain.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::optics::instrument::Instrument;
use crate::plan::night::{Night, RedSpotTonight, TelescopeNight};
use crate::plan::outlook::{Absence, Edge, Outlook, Stretch, Target};
use crate::plan::put_out::PutOut;
use crate::show::happenings::entries;
use crate::show::table::{PAGE_COLUMNS, table, wrap_first_column};
use crate::show::{assumed, caution, figure, night_beyond, night_faces, night_moons, why, words};
use crate::sky::Body;
use crate::targets::verdict::{Grade, Verdict};

/// Details beyond reach that are named with their reason; the rest is counted.
const NAMED_BEYOND: usize = 3;

/// The whole night.
pub fn text(night: &Night) -> String {
    let telescopes: String = night
        .telescopes
        .iter()
        .map(|telescope| telescope_text(telescope, night))
        .collect();
    format!(
        "{}{}{telescopes}{}{}{}",
        head(night),
        happenings(night),
        not_tonight(night),
        cautions(night),
        assumed::text(&night.assumed),
    )
}

fn head(night: &Night) -> String {
    let [_, _, astronomical] = &night.sun.twilights;
    let dark = match (&astronomical.dusk, &astronomical.dawn) {
        (Some(dusk), Some(dawn)) => format!(
            "Dark from {} to {}",
            words::clock(*dusk, night.zone),
            words::clock(*dawn, night.zone)
        ),
        _ => String::from("It does not get fully dark"),
    };
    let airs = night.seeing_zenith_arcsec;
    let lines = [
        format!(
            "{}, the night of {}, times {}",
            night.site_name,
            night.on.format("%A %-d %B %Y"),
            words::utc_offset(night.window.from, night.zone)
        ),
        format!("{dark}. {}.", sun_words(night)),
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
    (lines.into_iter())
        .chain(words::observer_margin(night.observer_margin_dex))
        .map(|line| words::wrapped(&line, PAGE_COLUMNS, "  ") + "\n")
        .collect()
}

/// What the night has of phases, pairings, eclipses, stars behind the Moon.
fn happenings(night: &Night) -> String {
    let entries = entries(&night.happenings, &night.moon_fields, night.zone);
    let paragraph = |text: String, hang: &str| {
        let wrapped = words::wrapped(&text, PAGE_COLUMNS - 2, hang);
        format!("  {wrapped}\n")
    };
    let lines: String = (entries.into_iter())
        .map(|entry| {
            let first = format!("{} {}", words::clock(entry.at, night.zone), entry.words);
            let more: String = (entry.more.into_iter())
                .map(|more| paragraph(format!("      {more}"), "        "))
                .collect();
            paragraph(first, "        ") + &more
        })
        .collect();
    if lines.is_empty() {
        lines
    } else {
        format!("\nIt happens:\n{lines}")
    }
}

fn sun_words(night: &Night) -> String {
    match (night.sun.set, night.sun.rise) {
        (None, None) if night.sun.up_at_noon => String::from("The Sun does not set"),
        (None, None) => String::from("The Sun does not rise"),
        (set, rise) => format!(
            "Sunset {}, sunrise {}",
            words::clock_or_never(set, night.zone),
            words::clock_or_never(rise, night.zone)
        ),
    }
}

fn moon_words(night: &Night) -> String {
    let moon = &night.bodies[Body::Moon as usize];
    let of = |what: &str, at: Option<&chrono::DateTime<chrono::Utc>>| {
        at.map(|at| format!(", {what} {}", words::clock(*at, night.zone)))
            .unwrap_or_default()
    };
    of("rises", moon.rises.first()) + &of("sets", moon.sets.first())
}

fn telescope_text(telescope: &TelescopeNight, night: &Night) -> String {
    let zone = night.zone;
    let heading = match &telescope.instrument {
        Ok(instrument) => instrument_words(instrument),
        Err(why) => format!("{}: {why}", telescope.name),
    };
    let nothing = match (&telescope.instrument, telescope.targets.is_empty()) {
        (Ok(_), true) => "  Nothing to show: see below why.\n",
        _ => "",
    };
    let targets: String = match &telescope.instrument {
        Ok(instrument) => {
            let planets = telescope.targets.iter();
            let planets: String = planets
                .map(|target| target_text(target, instrument, night))
                .collect();
            planets + &night_beyond::text(&telescope.beyond, instrument, zone)
        }
        Err(_) => String::new(),
    };
    let put_out = telescope.put_out.map_or(String::new(), |put_out| {
        let line = put_out_words(put_out, zone);
        format!("  {}\n", words::wrapped(&line, PAGE_COLUMNS - 2, "  "))
    });
    format!(
        "\n{}\n{put_out}{nothing}{targets}",
        words::wrapped(&heading, PAGE_COLUMNS, "  ")
    )
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

fn target_text(target: &Target, instrument: &Instrument, night: &Night) -> String {
    let zone = night.zone;
    let heading = words::wrapped(
        &outlook_line(&target.outlook, zone),
        PAGE_COLUMNS - 2,
        "    ",
    );
    let groups = groups(&target.verdicts);
    let mut rows: Vec<[String; 5]> = (groups.iter())
        .map(|group| group.row(instrument, zone))
        .collect();
    wrap_first_column(&mut rows, PAGE_COLUMNS - 4);
    let shown = if rows.is_empty() {
        String::from("    nothing on it that could be promised\n")
    } else {
        table(
            ["what it shows", "good", "typical", "poor", "with"],
            &rows,
            4,
        )
    };
    format!(
        "\n  {heading}\n{}{}{shown}{}",
        moons_lines(&target.outlook, night),
        red_spot_line(&target.verdicts, &night.red_spot),
        beyond_lines(&target.verdicts)
    )
}

/// Where the Spot is listed: from what, how old, how sure.
fn red_spot_line(verdicts: &[Verdict], spot: &RedSpotTonight) -> String {
    let is_spot = |verdict: &Verdict| verdict.caption.id == "jupiter_red_spot";
    if !verdicts.iter().any(is_spot) {
        return String::new();
    }
    let line = format!(
        "The Red Spot is placed by a longitude of {} ({:.0} months old): its times may be {:.0} \
         minutes off.",
        spot.measured.measured_on.format("%-d %B %Y"),
        spot.age_months.abs(),
        spot.uncertain_min
    );
    format!(
        "    {}\n",
        words::wrapped(&line, PAGE_COLUMNS - 4, "      ")
    )
}

fn moons_lines(outlook: &Outlook, night: &Night) -> String {
    let events: &[_] = match outlook.subject().body() {
        Some(Body::Jupiter) => &night.satellite_events,
        _ => &[],
    };
    let lines = [
        night_moons::sides(outlook, night.zone),
        night_moons::happens(outlook, events, night.zone),
    ];
    let face = night_faces::lines(&outlook.face, outlook.best, night.zone);
    (lines.into_iter().flatten().chain(face))
        .map(|line| {
            format!(
                "    {}\n",
                words::wrapped(&line, PAGE_COLUMNS - 4, "      ")
            )
        })
        .collect()
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
        words::wind(seen.azimuth_deg()),
        words::fists(seen.refracted_altitude_deg()),
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
        let names: Vec<String> = self
            .verdicts
            .iter()
            .map(|verdict| verdict.caption.name.clone() + &during_words(verdict, zone))
            .collect();
        graded_row(names.join(", "), first, instrument)
    }
}

/// What is named, with the reason where it is not sure; three grades; the eyepiece.
pub(super) fn graded_row(named: String, verdict: &Verdict, instrument: &Instrument) -> [String; 5] {
    let reason = match verdict.grade.typical {
        Grade::Plain | Grade::Patient => String::new(),
        _ => format!(" ({})", why::words(&verdict.why)),
    };
    [
        named + &reason,
        verdict.grade.good.word().to_string(),
        verdict.grade.typical.word().to_string(),
        verdict.grade.poor.word().to_string(),
        format!(
            "{} {:.0}x",
            instrument.views[verdict.view].eyepiece, verdict.magnification
        ),
    ]
}

/// ` 21:12-23:05`, for what comes and goes.
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
        String::new()
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
            // What is only fleeting has a reason of its own.
            Grade::Patient <= verdict.grade.typical
                && (first.grade, first.view) == (verdict.grade, verdict.view)
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

/// What a visitor will ask for in vain: the nearest misses with their reason, the rest counted.
fn beyond_lines(verdicts: &[Verdict]) -> String {
    let mut beyond: Vec<&Verdict> = verdicts
        .iter()
        .filter(|verdict| verdict.grade.good == Grade::Beyond)
        .collect();
    beyond.sort_by(|a, b| b.margin.good.total_cmp(&a.margin.good));
    let mut lines: String = beyond
        .iter()
        .take(NAMED_BEYOND)
        .map(|verdict| {
            let line = format!(
                "beyond: {} ({})",
                verdict.caption.name,
                why::words(&verdict.why)
            );
            format!(
                "    {}\n",
                words::wrapped(&line, PAGE_COLUMNS - 4, "        ")
            )
        })
        .collect();
    let rest = beyond.len().saturating_sub(NAMED_BEYOND);
    if rest > 0 {
        lines.push_str(&format!("    beyond: {rest} more\n"));
    }
    lines
}

fn not_tonight(night: &Night) -> String {
    let absent = night.not_tonight.iter().map(|absent| {
        let reason = absence_words(absent.reason, night.zone);
        format!("{:8} {reason}", absent.body.name())
    });
    let too_far = night.too_far.iter().map(|why| why.to_string());
    let rows: String = absent
        .chain(too_far)
        .map(|line| {
            format!(
                "  {}\n",
                words::wrapped(&line, PAGE_COLUMNS - 2, "           ")
            )
        })
        .collect();
    if rows.is_empty() {
        rows
    } else {
        format!("\nNot tonight:\n{rows}")
    }
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

fn cautions(night: &Night) -> String {
    let lines: String = night
        .cautions
        .iter()
        .map(|caution| {
            let text = words::wrapped(
                &caution::words(*caution, night.zone),
                PAGE_COLUMNS - 4,
                "    ",
            );
            format!("  - {text}\n")
        })
        .collect();
    format!("\nTake care:\n{lines}")
}
