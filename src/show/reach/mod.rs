//! A telescope's reach as text.

mod tube;

mod pair;

mod json;

use crate::plan::reach::{Fit, Reach};
use crate::show::page::{Block, Labelled, Page, Table};
use crate::show::words::assumed::taken_words;
use crate::show::words::{self, figure, range_end};

pub use self::json::json;

/// All telescopes, the answer first.
pub fn page(reaches: &[Reach]) -> Page {
    let notes = NOTES.map(|note| Block::Paragraph(String::from(note), 0));
    Page::named("What your telescopes reach")
        .with(reaches.iter().map(telescope))
        .with(notes)
}

fn telescope(reach: &Reach) -> Block {
    let instrument = &reach.instrument;
    let heading = format!(
        "{}{APART}{:.0} mm{APART}f/{:.1}",
        instrument.name, instrument.aperture_mm, instrument.focal_ratio
    );
    let answer = Block::Paragraph(answer(reach), 0);
    let blocks = [
        answer,
        lines(reach).into(),
        Block::Space,
        eyepieces(reach).into(),
    ];
    Block::section(heading, blocks)
}

fn lines(reach: &Reach) -> Labelled {
    let mut lines = Labelled::new(LABEL);
    let (low, high) = (&reach.lowest_useful, &reach.highest_useful);
    lines.say("figure", figure_line(reach));
    lines.say(
        "lowest",
        format!(
            "{}: {}",
            times(low.magnification),
            range_end::words(low.end)
        ),
    );
    lines.say(
        "highest",
        format!(
            "{}: {}{}",
            times(high.magnification),
            range_end::words(high.end),
            soft(reach)
        ),
    );
    lines.say("faintest star", faintest(reach));
    lines.say("closest pair", closest(reach));
    lines.say("even pair", pair::words(reach));
    lines.say("light", light(reach));
    for (label, words) in tube::lines(reach) {
        lines.say(label, words);
    }
    for assumed in &reach.instrument.assumed {
        let key = assumed.key.rsplit(": ").next().unwrap_or(&assumed.key);
        if key == "reflectivity" && reach.tube.coat.age_months.is_some() {
            // The line about the coating has it.
            continue;
        }
        lines.say("assumed", format!("{key}: {}", taken_words(&assumed.value)));
    }
    lines
}

fn answer(reach: &Reach) -> String {
    let stars = reach.faintest_star_mag().map_or(String::new(), |mag| {
        format!("; stars to magnitude {mag:.1}")
    });
    let pairs = (reach.closest_pair_arcsec()).map_or(String::new(), |arcsec| {
        format!("; pairs from {arcsec:.1}\" in still air")
    });
    format!("{}{stars}{pairs}.", range(reach))
}

fn range(reach: &Reach) -> String {
    let low = times(reach.lowest_useful.magnification);
    let high = times(reach.highest_useful.magnification);
    if !reach.has_useful_power() {
        return format!(
            "No power uses the whole mirror and is sharp too: below {low} your pupil cuts light off, \
             above {high} the air only looks softer"
        );
    }
    match &reach.soft_from {
        Some(soft) => {
            let soft = times(soft.magnification);
            format!("Useful {low} to {high}, soft from {soft} on")
        }
        None => format!("Useful {low} to {high}"),
    }
}

/// What the mirror's own blur has to do with the highest power.
fn soft(reach: &Reach) -> String {
    reach.soft_from.map_or(String::new(), |soft| {
        format!(
            "; from {} on this mirror's image looks soft by itself, as in {}\" air",
            times(soft.magnification),
            words::two_digits(soft.like_air_arcsec)
        )
    })
}

pub(super) fn figure(reach: &Reach) -> String {
    match &reach.not_judged {
        Some(not_judged) => not_judged.to_string(),
        None => figure::words(&reach.instrument.figure),
    }
}

fn figure_line(reach: &Reach) -> String {
    match reach.not_judged {
        Some(_) => format!(
            "{}. What follows holds for a perfect mirror.",
            figure(reach)
        ),
        None => format!(
            "Strehl ratio {:.2}, {}",
            reach.instrument.strehl,
            figure(reach)
        ),
    }
}

fn faintest(reach: &Reach) -> String {
    let rule = reach.rule_of_thumb_mag;
    let eyepiece = &reach.instrument.views[reach.faintest_view_idx].eyepiece;
    match (reach.faintest_star_mag(), reach.conditions.sky_mag_arcsec2) {
        (Some(mag), Some(sky)) => format!(
            "{mag:.1} with the {eyepiece}, under {sky:.1} mag/arcsec2{}; rule of thumb {rule:.1}",
            figure_cost(reach)
        ),
        _ => format!(
            "rule of thumb {rule:.1}; no sky fits the faintest star that the workshop file gives"
        ),
    }
}

/// Where it is a digit of the answer.
fn figure_cost(reach: &Reach) -> String {
    match reach.views[reach.faintest_view_idx].figure_cost_mag {
        Some(mag) if 0.05 <= mag => format!(" ({mag:.1} lost in the figure's blur)"),
        _ => String::new(),
    }
}

fn closest(reach: &Reach) -> String {
    format!(
        "{:.2}\" by Rayleigh's rule (the radius of a star's first dark ring), {:.2}\" by Dawes's \
         for practised eyes; in still air",
        reach.rayleigh_arcsec, reach.dawes_arcsec
    )
}

fn light(reach: &Reach) -> String {
    let instrument = &reach.instrument;
    let percent = 100.0 * instrument.transmission;
    let diagonal = if instrument.secondary_mm > 0.0 {
        let share = 100.0 * instrument.obstruction;
        format!(
            " past a diagonal of {:.0} mm ({share:.0} % of the aperture)",
            instrument.secondary_mm
        )
    } else {
        String::new()
    };
    format!(
        "{} times the bare eye's; {percent:.0} % of the light reaches the eyepiece{diagonal}",
        words::two_digits(reach.light_grasp)
    )
}

fn eyepieces(reach: &Reach) -> Table {
    let heading = [
        "eyepiece",
        "power",
        "exit pupil",
        "field",
        "drifts across in",
        "faintest",
        "",
    ];
    let rows = (reach.instrument.views.iter().zip(&reach.views)).map(|(view, reach)| {
        [
            view.eyepiece.clone(),
            format!("{:.0}x", view.magnification),
            format!("{:.1} mm", view.exit_pupil_mm),
            words::field(view.true_field_deg, "deg"),
            reach
                .drift_time_s
                .map_or("never".to_string(), words::crossing),
            reach
                .faintest_star_mag
                .map_or("-".to_string(), |mag| format!("{mag:.1}")),
            String::from(match reach.fit {
                Fit::TooLow => "too low",
                Fit::Useful => "",
                Fit::TooHigh => "too high",
            }),
        ]
    });
    Table::new(heading, rows.collect())
        .first_at_most(NAME)
        .numbers(1..=5)
}

/// Two significant digits: nobody measures a useful magnification any finer.
fn times(magnification: f64) -> String {
    format!("{}x", words::two_digits(magnification))
}

const NOTES: [&str; 3] = [
    "Faintest star: overhead, no Moon, seen by most people after a quiet minute (Crumey 2014); a \
     practised eye goes 0.7 magnitudes deeper. The rule of thumb is 2 + 5 log D(mm).",
    "Drift: a star on the celestial equator through the middle of the field, the telescope left \
     alone; elsewhere longer by 1/cos(declination): twice as long at 60 degrees.",
    "Fields from an eyepiece's printed apparent field are good to about 10 %.",
];

/// Columns of an eyepiece with its Barlow lens, before it wraps.
const NAME: usize = 22;
/// Columns before the words.
const LABEL: usize = 15;
/// Between the parts of a heading.
const APART: &str = "\u{a0}\u{a0} ";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::reach::ReachConditions;
    use crate::plan::reach::tests::larch_under;

    fn conditions(sky_mag_arcsec2: Option<f64>) -> ReachConditions {
        ReachConditions {
            sky_mag_arcsec2,
            extinction_mag: 0.25,
            seeing_arcsec: Some(2.2),
            age_years: 40.0,
            eye_pupil_mm: 6.5,
        }
    }

    #[test]
    fn answer_first_and_never_wider_than_the_page() {
        let page = page(&[larch_under(conditions(Some(20.0)))]).text();
        let mut lines = page.lines();
        assert_eq!(lines.next(), Some("Larch   150 mm   f/8.0"));
        let answer = lines.next().unwrap_or_default();
        assert!(
            answer.starts_with("  Useful 23x to 140x; stars to magnitude 12."),
            "{answer}"
        );
        for line in page.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert!(!line.contains("NaN") && !line.contains("inf"), "{line}");
        }
    }

    #[test]
    fn without_a_sky_the_rule_of_thumb_stands_alone() {
        let page = page(&[larch_under(conditions(None))]).text();
        assert!(page.contains("rule of thumb 12.9; no sky fits"), "{page}");
    }
}
