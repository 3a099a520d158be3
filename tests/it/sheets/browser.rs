//! Pages as a real browser prints and draws them.
//!
//! Ignored, and counted so, unless asked for, since not every machine has a browser:
//! `cargo test --test it browser -- --ignored` where Chromium is installed.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use skyworthy::plan::pictures::glass;
use skyworthy::plan::session::session;
use skyworthy::show::mirror::certificate_page;
use skyworthy::show::sheet::poster;
use skyworthy::show::sheet::poster::{Poster, PosterRow, PosterTurn};
use skyworthy::show::sheet::station::{StationSheet, pages};
use skyworthy::workshop::SessionNotes;

use super::invented::{card, sheet};
use super::{EVENING, ask, of, printed, workshop};
use crate::mirror_pictures::{WHOLE, judged, test_of};

/// Chromium as the usual packages call it.
const NAMES: [&str; 2] = ["chromium", "chromium-browser"];

/// A4 in points, as a PDF says it; browsers round to their own pixels, 1/96 inch.
const A4_PT: (f64, f64) = (595.28, 841.89);
const PIXEL_PT: f64 = 0.75;

/// The title becomes the number of elements that are wider inside than outside.
const MEASURE: &str = "<script>document.title = 'wide:' + Array.from(document.querySelectorAll('main, main *:not(svg *)'))\
    .filter(e => e.clientWidth && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != 'inline')\
    .map(e => e.outerHTML.slice(0, 80)).concat(document.documentElement.scrollWidth > innerWidth + 1 ? ['the page'] : [])\
    .join(' | ') + ':end';</script>";

/// Presses the button, and says what came of it.
const CLICK: &str = "document.getElementById('dim').click();";
const PRESS: &str = "<script>document.getElementById('dim').click(); document.title = 'pressed:' + \
    document.documentElement.className + ',' + document.getElementById('dim').getAttribute('aria-pressed') + ':end';</script>";

/// Of what a browser may lose when it ends.
const TRIES: usize = 4;

/// Only says how it is.
const LOOK: &str = "<script>document.title = 'pressed:' + document.documentElement.className + ',' + \
    document.getElementById('dim').getAttribute('aria-pressed') + ':end';</script>";

/// The click, but only on a page that isn't yet `want`: "dim,true" or ",false".
fn unless(want: &str) -> String {
    let class = want.split(',').next().unwrap_or_default();
    format!("if (document.documentElement.className !== '{class}') {CLICK}")
}

fn browser() -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let all = std::env::split_paths(&path).flat_map(|folder| NAMES.map(|name| folder.join(name)));
    let found = all.into_iter().find(|file| file.is_file());
    found.expect("these tests need Chromium: install the package `chromium`")
}

/// A folder with a page and a browser's profile of its own.
pub(super) struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    pub(super) fn new() -> Desk {
        Desk {
            folder: tempfile::tempdir().expect("a folder"),
        }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Opens a page with a script at its end; gives the browser's standard output.
    fn open(&self, html: &str, script: &str, args: &[&str]) -> String {
        let page = self.path("page.html");
        let html = html.replace("</body>", &format!("{script}</body>"));
        fs::write(&page, html).expect("written");
        let output = Command::new(browser())
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--hide-scrollbars",
            ])
            .arg(format!(
                "--user-data-dir={}",
                self.path("profile").display()
            ))
            .args(args)
            .arg(&page)
            .output()
            .expect("the browser starts");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).expect("UTF-8")
    }

    /// What a script made of the title.
    pub(super) fn title(&self, html: &str, script: &str, args: &[&str]) -> String {
        let dom = self.open(html, script, &[&["--dump-dom"], args].concat());
        let title = dom
            .split("<title>")
            .nth(1)
            .and_then(|rest| rest.split("</title>").next());
        let title = title.expect("a title");
        let (_, told) = title.split_once(':').expect("the script ran");
        told.trim_end_matches(":end").to_string()
    }

    /// Number of pages, width and height in points.
    fn printed(&self, html: &str) -> (usize, f64, f64) {
        let pdf = self.path("page.pdf");
        let to = format!("--print-to-pdf={}", pdf.display());
        self.open(html, "", &["--no-pdf-header-footer", &to]);
        let bytes = fs::read(&pdf).expect("a PDF");
        let text = String::from_utf8_lossy(&bytes);
        let n_pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
        let size = text
            .split("/MediaBox [")
            .nth(1)
            .and_then(|rest| rest.split(']').next());
        let size = size
            .expect("a size")
            .split(' ')
            .map(|number| number.parse().expect("a number"));
        let size: Vec<f64> = size.collect();
        (n_pages, size[2], size[3])
    }

    /// Red, green and blue of every pixel.
    fn drawn(&self, html: &str, script: &str) -> Vec<[u8; 3]> {
        let png = self.path("page.png");
        let to = format!("--screenshot={}", png.display());
        self.open(html, script, &["--window-size=820,1200", &to]);
        let file = std::io::BufReader::new(fs::File::open(&png).expect("a picture"));
        let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
        let mut bytes = vec![0; reader.output_buffer_size().expect("a size")];
        let frame = reader.next_frame(&mut bytes).expect("pixels");
        let samples = frame.color_type.samples();
        assert!(3 <= samples, "colours");
        let pixels = bytes[..frame.buffer_size()].chunks(samples);
        pixels.map(|pixel| [pixel[0], pixel[1], pixel[2]]).collect()
    }
}

#[track_caller]
fn fits(name: &str, html: &str) {
    prints_on(1, name, html);
}

/// On so many pages of its paper, and nothing of it is wider.
fn prints_on(want: usize, name: &str, html: &str) {
    if let Some(kept) = std::env::var_os("KEEP_PAGES") {
        fs::write(Path::new(&kept).join(format!("{name}.html")), html).expect("kept");
    }
    let desk = Desk::new();
    let (n_pages, width_pt, height_pt) = desk.printed(html);
    assert_eq!(n_pages, want, "{name}");
    let off = (width_pt - A4_PT.0).abs().max((height_pt - A4_PT.1).abs());
    assert!(off <= PIXEL_PT, "{name}: {width_pt} x {height_pt}");
    let wide = desk.title(html, MEASURE, &["--window-size=900,1200"]);
    assert_eq!(wide, "", "{name} is wider than its paper");
}

/// 280 letters: as long as a note may be.
const NOTE: &str = "Mind the third step, it is loose. WARM gloves for whoever helps at this telescope are in the box below the \
    stair, with the red torch, the spare battery and the list of names; ask the caretaker for the key of the upper door \
    before nine, since nobody will be at the gate afterwards, and lock up.";

/// Names in scripts that are wider, or run the other way.
const OTHER_SCRIPTS: [&str; 4] = [
    "תלתול הגבעה הצפונית",
    "تلسكوب السطح القديم",
    "旧製革所屋上望遠鏡第一号機三百ミリ反射望遠鏡自作鏡",
    "Đặng Ğüneş Ωμέγα Ёлка ½",
];

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn sheets_of_every_length_print_on_one_page_each() {
    for n_cards in [0, 1, 2, 4, 7, 10] {
        for (idx, page) in pages(&sheet("Heron", n_cards)).iter().enumerate() {
            fits(&format!("station-{n_cards}-{idx}"), page);
        }
    }
}

/// A sheet that is alone has nothing beside its name, which breaks like any words: printed as wide as its paper, in letters of
/// full size.
#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn a_long_name_does_not_shrink_its_sheet() {
    for name in [
        "Heron",
        &"W".repeat(60),
        "The Telescope of the Whole Third Form and of Both Teachers",
    ] {
        let pages = pages(&sheet(name, 1));
        assert_eq!(pages.len(), 1, "{name}");
        fits(&format!("alone-{}", name.len()), &pages[0]);
        // As wide as A4 inside its margins: there the browser would make everything smaller.
        let wide = Desk::new().title(&pages[0], MEASURE, &["--window-size=733,1100"]);
        assert_eq!(wide, "", "{name}");
    }
}

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn long_names_notes_and_other_scripts_stay_on_their_page() {
    let long = [
        "W".repeat(60),
        "m".repeat(60),
        "The Telescope of the Whole Third Form and of Both Teachers".to_string(),
    ];
    let names = OTHER_SCRIPTS.into_iter().map(String::from).chain(long);
    for (idx, name) in names.enumerate() {
        let mut whole = sheet(&name, 4);
        whole.note = Some(NOTE.to_string());
        for card in &mut whole.cards {
            card.name = name.clone();
            card.look_for = format!("{name} {name}");
            card.note = Some(NOTE.to_string());
            card.stop = Some(String::from(
                "Stop at 07:31, whoever still waits: the Sun comes to you.",
            ));
        }
        for (page, html) in pages(&whole).iter().enumerate() {
            fits(&format!("long-{idx}-{page}"), html);
        }
    }
}

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn a_plans_pages_print_on_one_page_each() {
    for file in printed(&EVENING, &SessionNotes::default(), None) {
        let name = file.file.trim_end_matches(".html");
        match name {
            // The door's notice is a leaf of its own.
            "indoors" => prints_on(2, name, &file.text),
            name if name != file.file => fits(name, &file.text),
            _ => {}
        }
    }
}

/// Eight telescopes, each with something to put out before sunset, on one page for whoever leads; and a phone holds it.
#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn an_overview_of_eight_telescopes_prints_on_one_page() {
    let mut workshop = workshop();
    for idx in 3..8 {
        let mut telescope = workshop.telescopes[idx % 3].clone();
        telescope.name = format!("Telescope {}", idx + 1);
        telescope.stand.station = Some(String::from("by the old south wall"));
        workshop.telescopes.push(telescope);
    }
    let session = session(&workshop, &ask(17, 18, 22)).expect("a plan");
    let files = printed(&session, &SessionNotes::default(), None);
    let page = of(&files, "overview.html");
    assert!(page.contains("To put out in good time"));
    fits("overview-8", page);
    assert_eq!(
        Desk::new().title(page, MEASURE, &["--window-size=500,900"]),
        ""
    );
}

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn posters_for_any_number_of_telescopes_print_on_one_page_each() {
    for n_rows in [1, 6, 12] {
        let rows = (0..n_rows).map(|idx| PosterRow {
            name: format!("Telescope of the {idx}th bench"),
            about: String::from("200 mm mirror, by the south wall, for seated viewers"),
            shows: (0..4)
                .map(|turn| PosterTurn {
                    when: format!("{}:30", 18 + turn),
                    what: card(turn + idx).name,
                    sight: Some(String::from("two dark stripes and its four large moons")),
                })
                .collect(),
        });
        let poster = Poster {
            moments: None,
            site: String::from("Old Tannery roof"),
            when: String::from("Saturday 12 December 2026, 19:00 to 22:00 (UTC+1)"),
            rows: rows.collect(),
            flow: Some(String::from(
                "A look takes about 50 seconds; in line it may be 12 minutes for each.",
            )),
            weather: Some(String::from(
                "If it is cloudy: decided by 16:00; the other date is Saturday 19 December 2026.",
            )),
            closing: Some(String::from(
                "The last look ends at 06:46: the Sun rises at 07:01.",
            )),
        };
        let pages = poster::pages(&poster);
        assert!(pages.len() <= 1 + n_rows / 9, "{n_rows}: {}", pages.len());
        for (idx, page) in pages.iter().enumerate() {
            fits(&format!("poster-{n_rows}-{idx}"), page);
        }
    }
}

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn a_screen_is_black_on_white_or_red_on_black_and_a_phone_holds_it() {
    let html = &pages(&sheet("Heron", 3))[0];
    let desk = Desk::new();
    let day = desk.drawn(html, "");
    let is_grey = |[red, green, blue]: &[u8; 3]| red == green && green == blue;
    assert!(day.iter().all(is_grey), "nothing by hue");
    assert!(day.contains(&[255; 3]) && day.contains(&[0; 3]));

    let night = desk.drawn(
        html,
        "<script>document.documentElement.classList.add('dim')</script>",
    );
    let brightest = |channel: usize| night.iter().map(|pixel| pixel[channel]).max();
    assert_eq!(
        (brightest(1), brightest(2)),
        (Some(0), Some(0)),
        "no light but red"
    );
    // 4.5 of contrast on black (WCAG 2.2, 1.4.3) begin at 234 of 255.
    assert!(Some(234) <= brightest(0) && brightest(0) < Some(245));
    let dark = night.iter().filter(|pixel| pixel[0] < 20).count();
    assert!(night.len() * 3 / 4 < dark, "mostly black");

    // Nothing to push sideways on a narrow screen.
    assert_eq!(desk.title(html, MEASURE, &["--window-size=500,900"]), "");
}

#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn the_button_turns_the_screen_red_and_is_remembered() {
    let html = &pages(&StationSheet::default())[0];
    let desk = Desk::new();
    assert_eq!(desk.title(html, LOOK, &[]), ",false");
    for want in ["dim,true", ",false"] {
        // A browser on a busy machine may end before it has written down what it was to keep, or answer before it has
        // read it: asked again, the button is pressed only where the page isn't yet as wanted.
        assert_eq!(desk.title(html, PRESS, &[]), want);
        let is_remembered = (0..TRIES).any(|_| {
            desk.title(html, LOOK, &[]) == want || {
                let press_again = PRESS.replacen(CLICK, &unless(want), 1);
                assert_eq!(desk.title(html, &press_again, &[]), want);
                false
            }
        });
        assert!(is_remembered, "{want}");
    }
    // Where nothing may be kept the button works all the same.
    let forbidden = "<script>Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } });</script>";
    let without = html.replace("<head>", &format!("<head>{forbidden}"));
    assert_eq!(desk.title(&without, PRESS, &[]), "dim,true");
}

/// A long name, a history, a star, notes under the curve: whatever a certificate may hold.
#[test]
#[ignore = "needs Chromium: cargo test --test it browser -- --ignored"]
fn certificates_print_on_one_page_and_a_phone_holds_them() {
    let last_mm = [0.0, 45.0, 62.0, 78.0, 90.0, 99.0];
    for (idx, (name, correction, keys, edges_mm)) in [
        (String::from("Heron"), 1.0, "edge = \"sound\"\n", WHOLE),
        (
            "W".repeat(60),
            1.0,
            "star_test = \"alike\"\nedge = \"sound\"\n",
            last_mm,
        ),
        (OTHER_SCRIPTS[2].to_string(), 1.5, "", last_mm),
        (String::from("m ").repeat(30), 0.2, "", WHOLE),
    ]
    .into_iter()
    .enumerate()
    {
        let judged = judged(name.trim(), &test_of(correction, keys, &edges_mm));
        let page = certificate_page(&judged, glass(&judged).as_ref()).expect("a certificate");
        // It runs no script; to be measured it has to.
        let page = page.replace("default-src 'none';", "script-src 'unsafe-inline';");
        fits(&format!("certificate-{idx}"), &page);
        // The narrowest window that the browser opens has 500 pixels.
        let wide = Desk::new().title(&page, MEASURE, &["--window-size=500,900"]);
        assert!(!wide.contains("the page"), "{wide}");
    }
}
