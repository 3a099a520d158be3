//! A telescope's reach as text.

use crate::plan::reach::{Fit, Reach};
use crate::show::assumed::taken_words;
use crate::show::{figure, range_end, reach_tube, words};
use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::{Alignment, Padding, Style, Width};

/// All telescopes, the answer first, at most 80 columns (but for names longer than that).
pub fn text(reaches: &[Reach]) -> String {
    let mut page = String::new();
    for reach in reaches {
        page.push_str(&telescope(reach));
        page.push('\n');
    }
    for note in NOTES {
        page.push_str(&folded("", note, 0));
    }
    page
}

fn telescope(reach: &Reach) -> String {
    let instrument = &reach.instrument;
    let mut block = format!(
        "{}   {:.0} mm   f/{:.1}\n",
        instrument.name, instrument.aperture_mm, instrument.focal_ratio
    );
    let (low, high) = (&reach.lowest_useful, &reach.highest_useful);
    block.push_str(&folded("", &answer(reach), INDENT));
    let mut line = |label: &str, words: &str| block.push_str(&folded(label, words, INDENT));
    line("figure", &figure_line(reach));
    line(
        "lowest",
        &format!(
            "{}: {}",
            times(low.magnification),
            range_end::words(low.end)
        ),
    );
    line(
        "highest",
        &format!(
            "{}: {}",
            times(high.magnification),
            range_end::words(high.end)
        ),
    );
    line("faintest star", &faintest(reach));
    line("closest pair", &closest(reach));
    line("light", &light(reach));
    for (label, words) in reach_tube::lines(reach) {
        line(label, &words);
    }
    for assumed in &instrument.assumed {
        let key = assumed.key.rsplit(": ").next().unwrap_or(&assumed.key);
        if key == "reflectivity" && reach.tube.coat.age_months.is_some() {
            // The line about the coating has it.
            continue;
        }
        line(
            "assumed",
            &format!("{key}: {}", taken_words(&assumed.value)),
        );
    }
    block.push('\n');
    block.push_str(&eyepiece_table(reach));
    block
}

fn answer(reach: &Reach) -> String {
    let range = format!(
        "Useful {} to {}",
        times(reach.lowest_useful.magnification),
        times(reach.highest_useful.magnification)
    );
    let stars = reach.faintest_star_mag().map_or(String::new(), |mag| {
        format!("; stars to magnitude {mag:.1}")
    });
    format!(
        "{range}{stars}; pairs from {:.1}\" in still air.",
        reach.rayleigh_arcsec
    )
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
            "{} (Strehl ratio {:.2})",
            figure(reach),
            reach.instrument.strehl
        ),
    }
}

fn faintest(reach: &Reach) -> String {
    let rule = reach.rule_of_thumb_mag;
    let eyepiece = &reach.instrument.views[reach.faintest_view_idx].eyepiece;
    match (reach.faintest_star_mag(), reach.conditions.sky_mag_arcsec2) {
        (Some(mag), Some(sky)) => format!(
            "{mag:.1} with the {eyepiece}, under {sky:.1} mag/arcsec2; rule of thumb {rule:.1}"
        ),
        _ => format!(
            "rule of thumb {rule:.1}; no sky fits the faintest star that the workshop file gives"
        ),
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

fn eyepiece_table(reach: &Reach) -> String {
    let mut builder = Builder::default();
    builder.push_record([
        "eyepiece",
        "power",
        "exit pupil",
        "field",
        "drifts across in",
        "faintest",
        "",
    ]);
    for (view, reach) in reach.instrument.views.iter().zip(&reach.views) {
        builder.push_record([
            view.eyepiece.clone(),
            format!("{:.0}x", view.magnification),
            format!("{:.1} mm", view.exit_pupil_mm),
            field(view.true_field_deg),
            reach.drift_time_s.map_or("never".to_string(), drift),
            reach
                .faintest_star_mag
                .map_or("-".to_string(), |mag| format!("{mag:.1}")),
            match reach.fit {
                Fit::TooLow => "too low".to_string(),
                Fit::Useful => String::new(),
                Fit::TooHigh => "too high".to_string(),
            },
        ]);
    }
    let mut table = builder.build();
    table
        .with(Style::blank())
        .with(Padding::new(0, 1, 0, 0))
        .modify(Columns::first(), Width::wrap(NAME).keep_words(true))
        .modify(Columns::new(1..=5), Alignment::right());
    let rows = table.to_string();
    rows.lines()
        .map(|row| format!("{:INDENT$}{}\n", "", row.trim_end()))
        .collect()
}

/// Two significant digits: nobody measures a useful magnification any finer.
fn times(magnification: f64) -> String {
    format!("{}x", words::two_digits(magnification))
}

/// Degrees from one on, arcminutes below.
fn field(true_field_deg: f64) -> String {
    if true_field_deg >= 0.95 {
        format!("{true_field_deg:.1} deg")
    } else {
        format!("{:.0}'", true_field_deg * 60.0)
    }
}

fn drift(seconds: f64) -> String {
    if seconds < 100.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.1} min", seconds / 60.0)
    }
}

/// `label` and words, the words wrapped beside it.
fn folded(label: &str, words: &str, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let block = if label.is_empty() {
        format!("{margin}{}", words::wrapped(words, WIDTH - indent, &margin))
    } else {
        words::labelled(label, LABEL, words)
    };
    block + "\n"
}

const NOTES: [&str; 3] = [
    "Faintest star: overhead, no Moon, seen by most people after a quiet minute (Crumey 2014); a \
     practised eye goes 0.7 magnitudes deeper. The rule of thumb is 2 + 5 log D(mm).",
    "Drift: a star on the celestial equator through the middle of the field, the telescope left \
     alone; elsewhere longer by 1/cos(declination): twice as long at 60 degrees.",
    "Fields from an eyepiece's printed apparent field are good to about 10 %.",
];

/// Columns of a page.
const WIDTH: usize = 80;
/// Of an eyepiece with its Barlow lens, before it wraps.
const NAME: usize = 22;
const INDENT: usize = 2;
const LABEL: usize = 15;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::reach::Conditions;
    use crate::plan::reach::tests::larch_under;

    fn conditions(sky_mag_arcsec2: Option<f64>) -> Conditions {
        Conditions {
            sky_mag_arcsec2,
            extinction_mag: 0.25,
            seeing_arcsec: Some(2.2),
            age_years: 40.0,
            eye_pupil_mm: 6.5,
        }
    }

    #[test]
    fn answer_first_and_never_wider_than_the_page() {
        let page = text(&[larch_under(conditions(Some(20.0)))]);
        let mut lines = page.lines();
        assert_eq!(lines.next(), Some("Larch   150 mm   f/8.0"));
        let answer = lines.next().unwrap_or_default();
        assert!(
            answer.starts_with("  Useful 23x to 140x; stars to magnitude 12."),
            "{answer}"
        );
        for line in page.lines() {
            assert!(line.chars().count() <= WIDTH, "{line}");
            assert!(!line.contains("NaN") && !line.contains("inf"), "{line}");
        }
    }

    #[test]
    fn without_a_sky_the_rule_of_thumb_stands_alone() {
        let page = text(&[larch_under(conditions(None))]);
        assert!(page.contains("rule of thumb 12.9; no sky fits"), "{page}");
    }
}
