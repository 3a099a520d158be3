//! Pages on the narrowest screens that people hold: 320 pixels, and 640 at 200 %, which are the same. Ignored unless asked for,
//! as everything that needs a browser.

use std::sync::LazyLock;

use skyworthy::plan::night::Night;
use skyworthy::plan::session::session;
use skyworthy::show;
use skyworthy::show::sheet::station::pages;
use skyworthy::workshop::SessionNotes;

use super::browser::Desk;
use super::invented::sheet;
use super::{EVENING, ask, printed, workshop};
use crate::golden::answers::{five_evenings, winter_night};

/// The frame is as wide as the screen; what is in it knows of no other. No browser of today opens a window as narrow.
fn framed(html: &str, width: usize) -> String {
    let inside = html.replace("</body>", &format!("{MEASURE}</body>"));
    // A page that may run no script is measured all the same.
    let inside = inside.replace("default-src 'none';", "script-src 'unsafe-inline';");
    let quoted = inside.replace('&', "&amp;").replace('"', "&quot;");
    format!(
        "<!DOCTYPE html><html><head><title>not measured</title></head><body style=\"margin:0\">\
         <iframe style=\"border:0;width:{width}px;height:900px\" srcdoc=\"{quoted}\"></iframe></body></html>"
    )
}

/// Tells what is wider than the screen, or is pushed sideways inside itself; headings of which a line holds fewer than three
/// letters (a word of its own excepted); and letters smaller than twelve pixels.
const MEASURE: &str = "<script>addEventListener('load', () => {
  const shown = Array.from(document.querySelectorAll('body *:not(script):not(style)')).filter(e => e.getClientRects().length);
  const name = e => e.tagName + ' ' + e.textContent.trim().slice(0, 40);
  const wide = shown.filter(e => e.getBoundingClientRect().right > innerWidth + 1
    || (e.clientWidth && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != 'inline')).map(e => 'wide: ' + name(e));
  const narrow = shown.filter(e => /^H[1-6]$/.test(e.tagName)).filter(e => {
    const text = e.textContent.trim(), range = document.createRange();
    range.selectNodeContents(e);
    const lines = new Set(Array.from(range.getClientRects()).map(r => Math.round(r.bottom)));
    return lines.size > 1 && text.length / lines.size < 3;
  }).map(e => 'letter by letter: ' + name(e));
  const small = shown.filter(e => Array.from(e.childNodes).some(n => n.nodeType == 3 && n.textContent.trim())
    && !e.closest('svg') && parseFloat(getComputedStyle(e).fontSize) < 12).map(e => 'small: ' + name(e));
  const drawn = shown.filter(e => e.tagName == 'text').filter(e =>
    parseFloat(getComputedStyle(e).fontSize) * e.getCTM().a < 10).map(e => 'small in a picture: ' + name(e));
  parent.document.title = 'found:' + [...new Set([...wide, ...narrow, ...small, ...drawn])].join(' | ') + ':end';
});</script>";

#[track_caller]
fn is_readable(name: &str, html: &str) {
    for (width, scale) in [(320, 1), (320, 2), (390, 1)] {
        let page = framed(html, width);
        let args = [
            format!("--force-device-scale-factor={scale}"),
            String::from("--window-size=700,900"),
        ];
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        assert_eq!(
            Desk::new().title(&page, "", &args),
            "",
            "{name}, {width} pixels at {scale}"
        );
    }
}

/// The measure bites: a page that is too wide, one whose heading falls to letters, one in small print.
#[test]
#[ignore = "needs Chromium: cargo test --test it narrow -- --ignored"]
fn what_is_not_readable_is_found() {
    for (body, want) in [
        ("<p style='width:400px'>a</p>", "wide: "),
        (
            "<div style='display:flex'><div style='width:300px;flex:none'>a</div><h2 style='overflow-wrap:anywhere'>Saturn</h2></div>",
            "letter by letter: H2 Saturn",
        ),
        ("<p style='font-size:9px'>a</p>", "small: P a"),
        (
            "<svg viewBox='0 0 549 20' width='100%'><text y='14' font-size='14'>a</text></svg>",
            "small in a picture: ",
        ),
        ("<h1>Saturn</h1>", ""),
    ] {
        let html = format!("<!DOCTYPE html><html><head></head><body>{body}</body></html>");
        let found = Desk::new().title(&framed(&html, 320), "", &["--window-size=700,900"]);
        assert!(
            found.contains(want) && found.is_empty() == want.is_empty(),
            "{body}: {found}"
        );
    }
}

static NIGHT: LazyLock<Night> = LazyLock::new(|| winter_night(&skyworthy::workshop::example()));

#[test]
#[ignore = "needs Chromium: cargo test --test it narrow -- --ignored"]
fn sheets_poster_and_overview_are_read_on_a_narrow_screen() {
    for file in printed(&EVENING, &SessionNotes::default(), None) {
        if file.file.ends_with(".html") {
            is_readable(&file.file, &file.text);
        }
    }
    let long = "W".repeat(60);
    for name in [
        "Heron",
        "The Telescope of the Whole Third Form and of Both Teachers",
        &long,
    ] {
        for (idx, html) in pages(&sheet(name, 4)).iter().enumerate() {
            is_readable(&format!("{name}, {idx}"), html);
        }
    }
}

/// A morning of eight telescopes, three of them with names that no column holds.
#[test]
#[ignore = "needs Chromium: cargo test --test it narrow -- --ignored"]
fn a_morning_of_eight_telescopes_is_read_on_a_narrow_screen() {
    let mut workshop = workshop();
    for idx in 3..8 {
        let mut telescope = workshop.telescopes[idx % 3].clone();
        telescope.name = match idx {
            3 => "W".repeat(60),
            4 => String::from("The Telescope of the Whole Third Form and of Both Teachers"),
            _ => format!("Telescope {}", idx + 1),
        };
        telescope.stand.station = Some(String::from("by the old south wall"));
        workshop.telescopes.push(telescope);
    }
    let session = session(&workshop, &ask(17, 3, 7)).expect("a plan");
    for file in printed(&session, &SessionNotes::default(), None) {
        if file.file.ends_with(".html") {
            is_readable(&file.file, &file.text);
        }
    }
}

#[test]
#[ignore = "needs Chromium: cargo test --test it narrow -- --ignored"]
fn answers_are_read_on_a_narrow_screen() {
    let workshop = skyworthy::workshop::example();
    is_readable("night", &show::night::page(&NIGHT).html());
    is_readable("night at a glance", &show::night::overview(&NIGHT).html());
    is_readable(
        "dates",
        &show::dates::page(&five_evenings(&workshop)).html(),
    );
}
