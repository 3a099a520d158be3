//! The sheet before a test, through the public door: whole answers, the drawing read back, strange wishes.

use std::fs;

use crate::cli::{folder, refuses, run_in, stderr, stdout};
use crate::golden::check;
use skyworthy::plan::bench::bench;
use skyworthy::{show, workshop};

const GROUND: &str = "[site]\nlatitude_deg = 43\nlongitude_deg = -3\n\
    [[eyepiece]]\nname = \"25 mm\"\nfocal_length_mm = 25\n\
    [[telescope]]\nname = \"Wren <&>\"\naperture_mm = 150\nplanned_focal_length_mm = 1200\n";

/// What the program answers for that mirror.
#[track_caller]
fn answer(more: &str, args: &[&str]) -> String {
    let here = folder();
    fs::write(here.path().join("workshop.toml"), [GROUND, more].concat()).expect("a file");
    let output = run_in(here.path(), &[&["bench"], args].concat());
    assert!(output.status.success(), "{}", stderr(&output));
    stdout(&output)
}

#[test]
fn the_example_before_its_test() {
    let sheets = bench(&workshop::example(), None).expect("masks of usual windows");
    check("bench.txt", &show::bench::page(&sheets).text());
    check("bench.json", &show::bench::json(&sheets));
}

/// By hand: `s = R - sqrt(R^2 - r^2)` is 1.172 mm at f/8; a hundredth more is 10 mm less of focal length.
#[test]
fn glass_beside_its_plan() {
    for (more, parts) in [
        (
            "sagitta_gauges_mm = [1.0, 0.3]\n",
            &[
                "Overshot: 1080 mm",
                "too deep by 13",
                "1.00 + 0.15 + 0.02 mm",
                "290 nm",
                "it has to flatten",
            ][..],
        ),
        (
            "sagitta_mm = 0.9\n",
            &[
                "Not there yet: 1560 mm",
                "27 hundredths",
                "it has to deepen",
            ],
        ),
        (
            "sagitta_gauges_mm = [1.0, 0.15]\n",
            &["On the plan of 1200 mm", "surer", "near 2450 mm"],
        ),
        (
            "sun_image_mm = 1300\n",
            &[
                "Not there yet",
                "nobody ever looks",
                "lamp at the centre of",
            ],
        ),
    ] {
        let text = answer(more, &[]);
        let in_a_row = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in parts {
            assert!(in_a_row.contains(part), "`{part}` is not in:\n{text}");
        }
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
    }
}

/// Millimetres are millimetres on paper, and every window is there once on either side.
#[test]
fn a_mask_is_drawn_to_scale() {
    for (aperture_mm, windows) in [(114.0, 4), (150.0, 5), (203.2, 7), (300.0, 7), (600.0, 7)] {
        let mut workshop = workshop::example();
        workshop.telescopes.truncate(1);
        let telescope = &mut workshop.telescopes[0];
        telescope.aperture_mm = aperture_mm;
        telescope.focal_length = workshop::FocalLength::FocalLengthMm(8.0 * aperture_mm);
        let sheets = bench(&workshop, Some(windows)).expect("room for them");
        let svg = show::picture::mask::svg(&sheets[0]);
        let drawing = roxmltree::Document::parse(&svg).expect("SVG");
        let root = drawing.root_element();
        let number = |name: &str| -> f64 {
            let said = root.attribute(name).expect("a size");
            let said = said.strip_suffix("mm").expect("in millimetres");
            said.parse().expect("a number")
        };
        let view: Vec<f64> = root
            .attribute("viewBox")
            .expect("a view")
            .split(' ')
            .map(|said| said.parse().expect("a number"))
            .collect();
        assert_eq!(view, [0.0, 0.0, number("width"), number("height")]);
        assert!(number("width") <= 180.0 && number("height") <= 273.0, "A4");
        let rim = root.children().find(|node| node.has_tag_name("circle"));
        let rim_mm: f64 = rim
            .and_then(|rim| rim.attribute("r"))
            .expect("a rim")
            .parse()
            .expect("a number");
        let smaller = aperture_mm / 2.0 / rim_mm;
        assert!((smaller - smaller.round()).abs() < 0.01, "{smaller}");
        let openings = (root.children())
            .filter(|node| node.attribute("fill") == Some("#ccc"))
            .count();
        let at_full_size = usize::from(1.5 < smaller && aperture_mm < 320.0);
        assert_eq!(openings, (2 + at_full_size) * windows, "{aperture_mm}");
    }
}

#[test]
fn strange_wishes_are_refused() {
    let here = folder();
    let refused = |args: &[&str], parts: &[&str]| {
        refuses(&run_in(here.path(), &[&["bench"], args].concat()), parts);
    };
    refused(&["--zones", "0"], &["0 windows are too few", "--zones 2"]);
    refused(
        &["--zones", "1"],
        &["1 window is too few", "only differences"],
    );
    refused(&["--zones", "-3"], &["whole number"]);
    refused(&["--zones", "2.5"], &["whole number"]);
    refused(&["--zones", "30"], &["30 windows", "Hazel", "room for"]);
    refused(&["--telescope", "rowen"], &["did you mean `Rowan`"]);
    refused(
        &["--output", "mask.svg"],
        &["one mask", "Hazel, Rowan, Alder"],
    );
    refused(&["--output", "mask.pdf"], &[".svg", ".png"]);
    for (said, part) in [("0", "planned_focal_length_mm"), ("1e9", "60"), ("nan", "")] {
        let text = GROUND.replace("= 1200", &format!("= {said}"));
        fs::write(
            here.path().join("strange.toml"),
            text + "sagitta_mm = 1.2\n",
        )
        .expect("a file");
        refused(&["--workshop", "strange.toml"], &[part]);
    }
}

#[test]
fn a_page_to_print_keeps_to_itself() {
    let here = folder();
    fs::write(
        here.path().join("workshop.toml"),
        [GROUND, "sagitta_mm = 1.2\n"].concat(),
    )
    .expect("a file");
    for name in ["a.html", "a.svg", "a.png", "a.txt", "a.json"] {
        let output = run_in(here.path(), &["bench", "--output", name]);
        assert!(output.status.success(), "{name}: {}", stderr(&output));
    }
    let page = fs::read_to_string(here.path().join("a.html")).expect("a page");
    assert!(page.contains("@page { size: A4") && page.contains("class=\"room\""));
    assert!(page.contains("Wren &lt;&amp;&gt;") && !page.contains("Wren <&>"));
    assert!(!page.contains("<script") && !page.contains("src=\"http"));
}
