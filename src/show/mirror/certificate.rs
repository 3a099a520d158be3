//! One page to go with a mirror: what it is, how that was measured, and what nobody measured.

use maud::{Markup, PreEscaped, html};

use crate::plan::mirror::{Class, Judged};
use crate::plan::pictures::Profile;
use crate::show::mirror::numbers::two_places;
use crate::show::mirror::reasons::class_sentence;
use crate::show::mirror::{certificate, knife_words, measured_as, waves};
use crate::show::page::document::{Head, document, tidy};
use crate::show::picture::glass_and_notes;
use crate::show::words::{self, doubt};
use crate::workshop::{Figure, KnifeEdge, MirrorEdge, StarTest, Telescope};

/// A whole HTML file that prints on one sheet of A4; or why there is none, and what would settle it.
/// `glass`: where its shape is known and alike all around.
pub fn certificate_page(judged: &Judged, glass: Option<&Profile>) -> Result<String, String> {
    let title = title(judged)?;
    let head = Head {
        title: &judged.instrument.name,
        allowed: "style-src 'unsafe-inline'",
        color_scheme: Some("light"),
        looks: LOOKS,
        script: None,
    };
    let body = html! {
        main {
            header {
                p { "Test of a telescope mirror" }
                h1 { (tidy(&judged.instrument.name)) }
                p.title { (title) }
            }
            p { (certificate(judged)) }
            div.two {
                (facts("The mirror", &figures(judged)))
                (facts("How it was measured", &how(judged)))
            }
            @if let Some(glass) = glass { (drawn(glass)) }
            section {
                h2 { "What was not measured" }
                ul { @for words in not_measured(judged) { li { (words) } } }
            }
            footer {
                p { span.line {} "date" }
                p { span.line {} "signed" }
            }
        }
    };
    Ok(document(&head, body))
}

fn drawn(glass: &Profile) -> Markup {
    let (svg, notes) = glass_and_notes(glass);
    let grey = glass
        .has_interval
        .then_some("grey holds the truth nine times in ten");
    let notes: Vec<&str> = grey
        .into_iter()
        .chain(notes.iter().map(String::as_str))
        .collect();
    html! {
        figure {
            div.wide tabindex="0" { (PreEscaped(svg)) }
            figcaption { "The glass against the best paraboloid. " (words::capitalised(&notes.join("; "))) "." }
        }
    }
}

/// The plain title of what it is.
fn title(judged: &Judged) -> Result<&'static str, String> {
    match &judged.telescope.figure {
        Figure::Stated(_) => {
            return Err(String::from(
                "one number was stated and nothing was read: knife-edge readings would settle it",
            ));
        }
        Figure::Sphere => {
            return Err(String::from(
                "`sphere` is taken at its word and was not measured: write how the bands looked with kind = \
                 \"bands-seen\", or read the mirror with the knife",
            ));
        }
        _ => {}
    }
    let doubted = |judged: &Judged| {
        let mut doubts = judged.doubts().iter();
        doubts.find(|doubt| doubt.bars_a_certificate()).cloned()
    };
    match (judged.class, doubted(judged)) {
        (Class::ReadAgain, _) => Err(class_sentence(judged)),
        (_, Some(doubted)) => Err(doubt::words(&doubted)),
        (Class::PlanetWorthy, None) => Ok("A mirror for the planets"),
        (Class::LowPower, None) => {
            Ok("A mirror for the Moon and wide fields, not yet for the planets")
        }
        (Class::FigureAgain, None) => Ok("A mirror on its way, to be figured further"),
    }
}

type Fact = (&'static str, String);

fn facts(heading: &str, facts: &[Fact]) -> Markup {
    html! {
        section {
            h2 { (heading) }
            dl {
                @for (label, words) in facts { div { dt { (label) } dd { (words) } } }
            }
        }
    }
}

fn figures(judged: &Judged) -> Vec<Fact> {
    let instrument = &judged.instrument;
    let full = &judged.full_disc;
    let mut facts = vec![
        (
            "clear aperture",
            format!("{:.0} mm", instrument.aperture_mm),
        ),
        (
            "focal length",
            format!(
                "{:.0} mm, give or take {:.0} mm: f/{}",
                instrument.focal_length_mm,
                judged.focal_length_uncertainty_mm.max(1.0),
                words::short(instrument.focal_ratio)
            ),
        ),
        (
            "over the full disc",
            format!(
                "{} wave peak to valley, {} wave RMS, Strehl ratio {}",
                waves(&full.wavefront_pv_nm),
                waves(&full.wavefront_rms_nm),
                two_places(&full.strehl)
            ),
        ),
    ];
    if let Some(correction) = judged.correction() {
        let [value, low, high] =
            [correction.value, correction.low, correction.high].map(|share| 100.0 * share);
        facts.push((
            "correction",
            format!("{value:.0} % ({low:.0} to {high:.0} %) of a paraboloid's"),
        ));
    }
    facts.push((
        "the verdict",
        match instrument.secondary_mm {
            0.0 => String::from("without a diagonal"),
            secondary_mm => format!(
                "behind a diagonal of {secondary_mm:.0} mm: Strehl ratio {}",
                two_places(&judged.figures.strehl)
            ),
        },
    ));
    facts
}

fn how(judged: &Judged) -> Vec<Fact> {
    let telescope = &judged.telescope;
    let mut facts = vec![("test", tested(telescope, judged))];
    facts.push((
        "made on",
        match telescope.figure_on {
            Some(on) => words::plain_date(on),
            None => String::from("not written down"),
        },
    ));
    if let Some(star) = telescope.star_test {
        facts.push(("a star", star_words(star).to_string()));
    }
    let brackets = match judged.instrument.found.evidence() {
        Some(_) => "brackets hold the truth nine times in ten",
        None => "as given, without an interval",
    };
    facts.push((
        "figures",
        format!("on the wavefront (twice the glass), 550 nm, at best focus; {brackets}"),
    ));
    facts
}

fn tested(telescope: &Telescope, judged: &Judged) -> String {
    match &telescope.figure {
        Figure::KnifeEdge(knife) => {
            format!(
                "{}, to {:.0} mm from the middle",
                knife_words(knife),
                outermost_mm(knife)
            )
        }
        _ => measured_as(judged),
    }
}

fn outermost_mm(knife: &KnifeEdge) -> f64 {
    knife.zones.last().map_or(0.0, |zone| zone.outer_mm)
}

fn star_words(star: StarTest) -> &'static str {
    match star {
        StarTest::Alike => "rings alike inside and outside focus",
        StarTest::BrightRimInside => "the outer ring brighter inside focus",
        StarTest::Hairy => "rings with hairs of light",
        StarTest::NotRound => "not round",
    }
}

fn not_measured(judged: &Judged) -> Vec<String> {
    let unread = judged
        .instrument
        .found
        .evidence()
        .map(|evidence| evidence.unread_area_share);
    let unread = unread.filter(|share| LEAST_SHARE < *share).map(|share| {
        format!(
            "{:.0} % of the open mirror, which no window shows",
            100.0 * share
        )
    });
    let fixed = [
        "how smooth it is within a few millimetres: light that roughness scatters is in no figure here",
        "the coating: the figures are of the glass",
    ];
    unread
        .into_iter()
        .chain(rim(&judged.telescope.figure).map(String::from))
        .chain(round(judged).map(String::from))
        .chain(fixed.map(String::from))
        .collect()
}

fn rim(figure: &Figure) -> Option<&'static str> {
    let edge = match figure {
        Figure::KnifeEdge(knife) => knife.edge,
        Figure::BandsSeen(seen) => seen.edge,
        _ => return None,
    };
    Some(match edge {
        MirrorEdge::Sound => {
            "the last millimetres of the rim: looked at and called sound, which is no reading"
        }
        _ => "the last millimetres of the rim: nobody looked at them with the bands or a star",
    })
}

fn round(judged: &Judged) -> Option<&'static str> {
    judged.instrument.wavefront.is_symmetric().then_some(
        "whether it is alike all around (astigmatism): one diameter was tested, or one profile given",
    )
}

/// Less is nothing that a maker could read.
const LEAST_SHARE: f64 = 0.005;

const LOOKS: &str = "
@page { size: A4 portrait; margin: 12mm 16mm }
* { box-sizing: border-box; margin: 0; padding: 0 }
html { background: #fff; color: #000; -webkit-text-size-adjust: 100% }
body { font: 10.5pt/14pt 'Liberation Sans', Arimo, Arial, Helvetica, 'Noto Sans', 'DejaVu Sans', sans-serif }
main { max-width: 178mm; margin: 0 auto; padding: 12px; overflow-wrap: anywhere }
header { border-bottom: 2pt solid; padding-bottom: 4pt; margin-bottom: 6pt }
h1 { font-size: 22pt; line-height: 27pt }
.title { font-size: 13pt; line-height: 17pt; font-weight: bold }
h2 { font-size: 11pt; border-bottom: 0.6pt solid; margin: 8pt 0 3pt }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 0 8mm }
dl > div { display: grid; grid-template-columns: 26mm 1fr; gap: 2mm; padding: 1.5pt 0 }
ul { padding-left: 12pt }
figure { margin: 8pt 0 0 }
figcaption { font-size: 9pt; line-height: 12pt }
.wide { overflow-x: auto }
svg { display: block; width: 100%; max-width: 140mm; height: auto; margin: 0 auto }
footer { display: flex; gap: 12mm; margin-top: 12mm; break-inside: avoid }
footer p { flex: 1 }
footer p:last-child { flex: 2 }
.line { display: block; border-top: 0.8pt solid; margin-bottom: 2pt }
@media screen and (max-width: 640px) {
  body { font-size: 16px; line-height: 22px }
  .two, dl > div { grid-template-columns: 1fr; gap: 0 }
  dt { font-weight: bold }
  figcaption { font-size: 14px; line-height: 19px }
  svg { min-width: 560px; max-width: none }
}
@media print { body { font-size: 10pt; line-height: 13pt } main { max-width: none; padding: 0 } h1 { font-size: 18pt; line-height: 22pt } svg { max-width: 120mm } footer { margin-top: 9mm } }
";
