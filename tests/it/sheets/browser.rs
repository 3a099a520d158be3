//! Pages as a real browser prints and draws them.
//!
//! Ignored, and counted so, unless asked for, since not every machine has a browser:
//! `cargo test --test it browser -- --ignored` where Chromium is installed.

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use skyworthy::show::sheet::station;

use super::invented::sheet;

/// Chromium as the usual packages call it.
const NAMES: [&str; 2] = ["chromium", "chromium-browser"];

/// A4 in points, as a PDF says it; browsers round to their own pixels, 1/96 inch.
const A4_PT: (f64, f64) = (595.28, 841.89);
const PIXEL_PT: f64 = 0.75;

fn browser() -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let all = std::env::split_paths(&path).flat_map(|folder| NAMES.map(|name| folder.join(name)));
    let found = all.into_iter().find(|file| file.is_file());
    found.expect("these tests need Chromium: install the package `chromium`")
}

/// Runs the browser in a folder of its own and gives its standard output.
fn run(folder: &Path, args: &[&str]) -> String {
    let output = Command::new(browser())
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--hide-scrollbars",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.join("profile").display()
        ))
        .args(args)
        .output()
        .expect("the browser starts");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("UTF-8")
}

struct Printed {
    n_pages: usize,
    width_pt: f64,
    height_pt: f64,
}

fn printed(folder: &Path, page: &Path) -> Printed {
    let pdf = folder.join("page.pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    run(
        folder,
        &["--no-pdf-header-footer", &to, &page.display().to_string()],
    );
    let bytes = fs::read(&pdf).expect("a PDF");
    let text = String::from_utf8_lossy(&bytes);
    let n_pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    let size = text
        .split("/MediaBox [")
        .nth(1)
        .and_then(|rest| rest.split(']').next());
    let size: Vec<f64> = size
        .expect("a size")
        .split(' ')
        .map(|number| number.parse().expect("a number"))
        .collect();
    Printed {
        n_pages,
        width_pt: size[2],
        height_pt: size[3],
    }
}

#[track_caller]
fn prints_on_one_page(name: &str, html: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    fs::write(&page, html).expect("written");
    if let Some(kept) = std::env::var_os("KEEP_PAGES") {
        fs::write(Path::new(&kept).join(format!("{name}.html")), html).expect("kept");
    }
    let printed = printed(folder.path(), &page);
    assert_eq!(printed.n_pages, 1, "{name}");
    let off = (printed.width_pt - A4_PT.0)
        .abs()
        .max((printed.height_pt - A4_PT.1).abs());
    assert!(
        off <= PIXEL_PT,
        "{name}: {} x {}",
        printed.width_pt,
        printed.height_pt
    );
}

#[test]
#[ignore = "needs Chromium"]
fn sheets_of_every_length_print_on_one_page_each() {
    for n_cards in [0, 1, 3, 4, 6, 8, 10] {
        let pages = station::pages(&sheet("Heron", n_cards));
        println!("{n_cards} turns: {} pages", pages.len());
        for (idx, page) in pages.iter().enumerate() {
            prints_on_one_page(&format!("station-{n_cards}-{idx}"), page);
        }
    }
}
