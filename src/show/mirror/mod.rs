//! Verdicts on mirrors, for reading: the table of all mirrors first, then each with its reasons.

mod certificate;
mod glass;
mod json;
mod numbers;
mod reasons;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;
use crate::optics::knife::{CrossCheck, Reduction};
use crate::optics::sphere::SphereWorth;
use crate::plan::mirror::{Class, Figures, Judged, MirrorOutcome, Mirrors, Scale};
use crate::plan::week::{AIR_SHARES, WeekGain};
use crate::show::mirror::glass::{
    correction_words, history_words, mask_words, on_the_glass, zone_table,
};
use crate::show::mirror::numbers::{in_waves, two_places, waves};
use crate::show::mirror::reasons::{SLIGHT_NM, class_sentence};
use crate::show::page::{Block, Labelled, Page, Table};
use crate::show::words;
use crate::workshop::{BandsSeen, Figure, KnifeEdge, KnifeSource, MirrorEdge};

pub use self::certificate::certificate_page;
pub use self::json::json;
pub use self::reasons::reasons;

/// Where the text of an attribute begins.
const ATTRIBUTE_COLUMNS: usize = 14;

/// Details of a gain that are named.
const NAMED_GAINS: usize = 3;

/// All mirrors of a workshop; `ways`: with what simpler reductions make of the same readings.
pub fn page(answer: &Mirrors, ways: bool) -> Page {
    let typical_seeing_arcsec = answer.seeing_zenith_arcsec.typical;
    let heading = ["mirror", "verdict", "waves p-v", "Strehl", "zone", "rim"];
    let rows = answer.mirrors.iter().map(row).collect();
    let overview = Table::new(heading, rows).first_to_page(0);
    let each = (answer.mirrors.iter()).flat_map(|outcome| match &outcome.judged {
        Ok(judged) => vec![verdict(judged, typical_seeing_arcsec, ways)],
        Err(why) => vec![Block::Space, Block::say(why.to_string())],
    });
    let notes = NOTES.map(String::from).into_iter().chain([evenings_note()]);
    Page::named("Mirrors judged")
        .with([overview.into()])
        .with(each)
        .with([Block::Space])
        .with(notes.map(Block::say))
}

const NOTES: [&str; 3] = [
    "Figures on the wavefront (twice the glass), 550 nm, at best focus, peak to valley (p-v) in waves; in \
     brackets where the truth lies nine times in ten. Zone: the one farthest off, from the middle.",
    "Classes: planet-worthy from a Strehl ratio of about 0.8 (a quarter of a wave), low-power while \
     at a power of half the aperture in mm the contrast is six tenths of a perfect mirror's (about half a wave).",
    words::caution::AT_THE_BENCH,
];

fn evenings_note() -> String {
    format!(
        "Evenings: of the coming twelve months, if clear, at least patiently seen; air good on {:.0}, typical \
         on {:.0}, poor on {:.0} of 100 nights.",
        100.0 * AIR_SHARES.good,
        100.0 * AIR_SHARES.typical,
        100.0 * AIR_SHARES.poor
    )
}

fn row(outcome: &MirrorOutcome) -> [String; 6] {
    let name = outcome.name.clone();
    match &outcome.judged {
        Ok(judged) => [
            name,
            class_word(judged.class).to_string(),
            in_short(&in_waves(&judged.figures.wavefront_pv_nm)),
            in_short(&judged.figures.strehl),
            zone_in_short(judged),
            rim_words(judged).to_string(),
        ],
        Err(_) => {
            let mut row: [String; 6] = Default::default();
            row[0] = name;
            row[1] = String::from("not judged");
            row
        }
    }
}

/// `4 high`: the zone farthest off, where one is worth work.
fn zone_in_short(judged: &Judged) -> String {
    match judged.worst_zone() {
        Some((number, zone)) if SLIGHT_NM < zone.surface_nm.value.abs() => {
            let side = if zone.is_high() { "high" } else { "low" };
            format!("{number} {side}")
        }
        _ => String::from("-"),
    }
}

/// `0.38 (.31-.46)`, for the table.
fn in_short(interval: &Interval) -> String {
    let [value, low, high] =
        [interval.value, interval.low, interval.high].map(|x| format!("{x:.2}"));
    if low == high {
        return value;
    }
    let short = |text: &str| text.strip_prefix('0').unwrap_or(text).to_string();
    format!("{value} ({}-{})", short(&low), short(&high))
}

/// As it stands in machine-readable output too.
pub fn class_word(class: Class) -> &'static str {
    match class {
        Class::PlanetWorthy => "planet-worthy",
        Class::LowPower => "low-power",
        Class::FigureAgain => "figure-again",
        Class::ReadAgain => "read-again",
    }
}

fn rim_words(judged: &Judged) -> &'static str {
    match &judged.telescope.figure {
        Figure::KnifeEdge(KnifeEdge { edge, .. }) | Figure::BandsSeen(BandsSeen { edge, .. }) => {
            match edge {
                MirrorEdge::Sound => "sound",
                MirrorEdge::Turned(_) => "turned",
                MirrorEdge::NotLooked => "not looked",
            }
        }
        Figure::Profile { .. } | Figure::Zernike { .. } => "measured",
        Figure::NotGiven | Figure::Stated(_) | Figure::Sphere => "not looked",
    }
}

fn verdict(judged: &Judged, typical_seeing_arcsec: f64, ways: bool) -> Block {
    let instrument = &judged.instrument;
    let title = format!(
        "{}, {:.0} mm f/{}: {}",
        instrument.name,
        instrument.aperture_mm,
        words::short(instrument.focal_ratio),
        measured_as(judged)
    );
    let mut lines = Labelled::new(ATTRIBUTE_COLUMNS);
    lines.say("wavefront", wavefront_words(judged));
    if let (true, Some(reduction)) = (ways, instrument.found.reduction()) {
        lines.say("other ways", ways_words(reduction));
    }
    lines.say("full disc", full_disc_words(judged));
    if let (Some(correction), Some(_)) = (judged.correction(), instrument.found.evidence()) {
        lines.say("correction", correction_words(&correction, judged));
    }
    let lead = class_sentence(judged);
    // What stands above already is not said again.
    let correction = (judged.correction()).map(|correction| correction_words(&correction, judged));
    let is_said = |reason: &String| lead.contains(reason) || correction.as_ref() == Some(reason);
    for reason in reasons(judged)
        .into_iter()
        .filter(|reason| !is_said(reason))
    {
        lines.say("why", reason);
    }
    let mut after = Labelled::new(ATTRIBUTE_COLUMNS);
    if let Some(words) = on_the_glass(judged) {
        after.say("on the glass", words);
    }
    if let Some(mask) = &judged.mask {
        after.say("a mask", mask_words(mask, judged));
    }
    for dated in &judged.history {
        after.say("history", history_words(dated));
    }
    after.say("on the sky", sky_words(judged));
    after.say("a week more", week_words(judged, typical_seeing_arcsec));
    after.say("a sphere", sphere_words(judged));
    after.say("focal length", focal_words(judged));
    after.say("certificate", certificate(judged));
    let blocks = [Block::Lead(lead), lines.into()];
    Block::section(
        title,
        blocks
            .into_iter()
            .chain(zone_table(judged))
            .chain([after.into()]),
    )
}

/// Without the diagonal, which the bench does not know.
fn full_disc_words(judged: &Judged) -> String {
    let Figures {
        wavefront_pv_nm,
        strehl,
        ..
    } = &judged.full_disc;
    format!(
        "{} wave peak to valley, Strehl ratio {} without the diagonal's shadow ({:.0} mm); the lines above          and the verdict are behind it",
        waves(wavefront_pv_nm),
        two_places(strehl),
        judged.instrument.secondary_mm
    )
}

fn measured_as(judged: &Judged) -> String {
    match &judged.telescope.figure {
        Figure::NotGiven => String::from("figure not given: a perfect one is assumed"),
        Figure::Sphere => String::from("bands straight at the centre of curvature"),
        Figure::Stated(_) => String::from("figure stated as one number"),
        Figure::Zernike { terms, .. } => format!("{} Zernike terms", terms.len()),
        Figure::Profile { points, .. } => format!("radial profile, {} points", points.len()),
        Figure::KnifeEdge(knife) => knife_words(knife),
        Figure::BandsSeen(seen) => format!(
            "bands looked at through {} lines/mm",
            words::short(seen.lines_per_mm)
        ),
    }
}

fn knife_words(knife: &KnifeEdge) -> String {
    let lamp = match knife.source {
        KnifeSource::Fixed => "fixed",
        KnifeSource::Moving => "moving",
    };
    let counts: Vec<usize> = knife
        .zones
        .iter()
        .map(|zone| zone.readings_mm.len())
        .collect();
    let (least, most) = (counts.iter().min(), counts.iter().max());
    let readings = match (least, most) {
        (Some(1), Some(1)) => String::from("one reading each"),
        (Some(least), Some(most)) if least == most => format!("{most} readings each"),
        (Some(least), Some(most)) => format!("{least} to {most} readings each"),
        _ => String::new(),
    };
    format!(
        "knife-edge, {lamp} source, {} zones, {readings}",
        counts.len()
    )
}

fn wavefront_words(judged: &Judged) -> String {
    format!(
        "{} wave peak to valley, {} wave RMS; Strehl ratio {}",
        waves(&judged.figures.wavefront_pv_nm),
        waves(&judged.figures.wavefront_rms_nm),
        two_places(&judged.figures.strehl)
    )
}

/// What two simpler reductions make of the same readings.
fn ways_words(reduction: &Reduction) -> String {
    let of = |way: &str, check: &CrossCheck| {
        format!(
            "{way} {:.2} wave peak to valley, Strehl ratio {:.2}",
            check.wavefront_pv_nm / REFERENCE_WAVELENGTH_NM,
            check.strehl
        )
    };
    format!(
        "{}; {} (it smooths rings away)",
        of(
            "straight lines in r² from zone to zone",
            &reduction.by_straight_lines
        ),
        of("a low polynomial in r²", &reduction.by_polynomial)
    )
}

fn sky_words(judged: &Judged) -> String {
    let kept: Vec<String> = judged
        .contrast
        .iter()
        .map(|kept| {
            format!(
                "{:.0} % on {} ({}\")",
                100.0 * kept.share,
                scale_words(kept.scale),
                words::short(kept.width_arcsec)
            )
        })
        .collect();
    let like = if judged.sees_like_mm < 0.97 * judged.instrument.aperture_mm {
        format!(
            "sees Jupiter's finer belts like a perfect {:.0} mm; ",
            judged.sees_like_mm
        )
    } else {
        String::new()
    };
    format!("{like}contrast kept: {}", words::list(&kept))
}

fn week_words(judged: &Judged, typical_seeing_arcsec: f64) -> String {
    let nothing =
        format!("under your typical {typical_seeing_arcsec:.1}\" air nothing you would notice");
    let gain_words = |what: &str, gain: &WeekGain| {
        if gain.details.is_empty() {
            format!("{what}: {nothing}")
        } else {
            format!("{what}: {}", gains(gain))
        }
    };
    let week = &judged.week;
    let zone_gain = week.worst_zone_corrected.as_ref();
    if week.perfect.details.is_empty() && zone_gain.is_none_or(|gain| gain.details.is_empty()) {
        return format!("{nothing}, even with a perfect mirror");
    }
    let perfect = gain_words("a perfect mirror", &week.perfect);
    match zone_gain {
        Some(gain) => {
            let number = judged.worst_zone().map_or(0, |(number, _)| number);
            let zone = gain_words(&format!("zone {number} put right"), gain);
            format!("{zone}. {}", words::capitalised(&perfect))
        }
        None => perfect,
    }
}

/// A year sampled every fortnight counts no finer.
fn to_five(evenings: f64) -> f64 {
    (evenings / 5.0).round() * 5.0
}

fn gains(gain: &WeekGain) -> String {
    let named: Vec<String> = gain
        .details
        .iter()
        .take(NAMED_GAINS)
        .map(|detail| {
            format!(
                "{} on about {:.0} evenings instead of {:.0}",
                detail.detail.name,
                to_five(detail.evenings_then),
                to_five(detail.evenings_now)
            )
        })
        .collect();
    let rest = gain.details.len().saturating_sub(NAMED_GAINS);
    let more = if rest > 0 {
        format!("; {rest} details more gain evenings")
    } else {
        String::new()
    };
    words::list(&named) + &more
}

fn sphere_words(judged: &Judged) -> String {
    let sphere = &judged.sphere;
    let verdict = match sphere.worth {
        SphereWorth::WithinEighth => String::from("enough, within an eighth of a wave"),
        SphereWorth::WithinQuarter => String::from("enough, within a quarter of a wave"),
        SphereWorth::NeedsParaboloid if sphere.is_borderline() => {
            String::from("just about a quarter of a wave, and just about enough")
        }
        SphereWorth::NeedsParaboloid => format!(
            "not enough, a sphere of this size needs f/{} for a quarter of a wave",
            words::short(sphere.quarter_wave_focal_ratio)
        ),
    };
    format!(
        "straight bands would mean {:.2} wave at exact best focus, Strehl ratio {:.2} over the whole disc: \
         {verdict}",
        sphere.wavefront_pv_waves, sphere.strehl
    )
}

fn focal_words(judged: &Judged) -> String {
    format!(
        "{:.0} mm, give or take {:.0} mm as it was measured",
        judged.instrument.focal_length_mm,
        judged.focal_length_uncertainty_mm.max(1.0)
    )
}

/// One sentence for the maker, kind and exact.
pub fn certificate(judged: &Judged) -> String {
    let instrument = &judged.instrument;
    let size = format!(
        "This {:.0} mm f/{} mirror",
        instrument.aperture_mm,
        words::short(instrument.focal_ratio)
    );
    let figures = format!(
        "{} wave peak to valley on the wavefront over the full disc, Strehl ratio {}",
        waves(&judged.full_disc.wavefront_pv_nm),
        two_places(&judged.full_disc.strehl)
    );
    let size = format!("{size}{}", not_tested(judged));
    match (&judged.telescope.figure, judged.class) {
        (Figure::NotGiven, _) => format!("{size} has not been measured yet."),
        (_, Class::PlanetWorthy) => {
            format!("{size}, {figures}, is made well enough for the planets.")
        }
        (_, Class::LowPower) => format!(
            "{size}, {figures}, shows the Moon and wide fields well and has its best still to come."
        ),
        (_, Class::FigureAgain) => {
            format!("{size}, {figures}, is on its way: the glass is there, the figure is not yet.")
        }
        (_, Class::ReadAgain) => {
            format!("{size} is read as {figures}; no certificate before what is open is settled.")
        }
    }
}

/// What is that fine.
pub(super) fn scale_words(scale: Scale) -> &'static str {
    match scale {
        Scale::MainBelts => "Jupiter's two main belts",
        Scale::FinerBelts => "Jupiter's finer belts",
        Scale::Craterlets => "lunar craterlets of 2 km",
        Scale::CassiniDivision => "Cassini Division",
    }
}

/// ` (rim not looked at)`: what a certificate must not be silent about.
fn not_tested(judged: &Judged) -> String {
    let rim = match rim_words(judged) {
        "not looked" => Some(String::from("rim not looked at")),
        _ => None,
    };
    let unread = (judged.instrument.found.evidence())
        .map(|evidence| 100.0 * evidence.unread_area_share)
        .filter(|percent| 1.0 <= *percent)
        .map(|percent| format!("{percent:.0} % of it not read"));
    let all: Vec<String> = rim.into_iter().chain(unread).collect();
    match all.is_empty() {
        true => String::new(),
        false => format!(" ({})", words::list(&all)),
    }
}
