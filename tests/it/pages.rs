//! Answers in a browser: the words of the terminal, whole, inert, and found without eyes by headings and scopes.

use chrono::NaiveDate;

use crate::support::workshop_of;
use skyworthy::{plan, show, workshop};

use crate::golden;
use crate::golden::answers::{five_evenings, lone_maker, winter_night};
use crate::sheets::is_closed;

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

/// What is read of a document's body.
fn read(html: &str) -> String {
    let body = html.split_once("<body>").expect("a body").1;
    let pieces = body.split('<').map(|piece| match piece.split_once('>') {
        Some((_, words)) => words,
        None => piece,
    });
    let words = pieces.collect::<Vec<_>>().join(" ");
    [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&amp;", "&"),
    ]
    .into_iter()
    .fold(words, |words, (mark, letter)| words.replace(mark, letter))
}

/// Sorted, since a cell of several lines is read across in text; strokes before a list's items are no words.
fn words(text: &str) -> Vec<&str> {
    let mut words: Vec<&str> = text
        .split_whitespace()
        .filter(|word| *word != "-")
        .collect();
    words.sort_unstable();
    words
}

/// `name`: of a document whose text begins at once.
#[track_caller]
fn reads_alike(text: &str, html: &str, name: &str) {
    let of_html = read(html);
    assert_eq!(words(&format!("{name} {text}")), words(&of_html));
    assert!(300 < of_html.len(), "{of_html}");
}

/// What every page keeps.
#[track_caller]
fn is_sound(html: &str) {
    is_closed(html);
    assert!(
        !html.contains("<script") && !html.contains("http:"),
        "{html}"
    );
    assert!(html.contains("name=\"viewport\"") && html.contains("<title>"));
    let levels: Vec<u32> = (html.split("<h").skip(1))
        .filter_map(|tag| tag.chars().next()?.to_digit(10))
        .collect();
    assert_eq!(
        levels.iter().filter(|level| **level == 1).count(),
        1,
        "{html}"
    );
    assert_eq!(levels[0], 1, "{html}");
    assert!(
        levels.windows(2).all(|pair| pair[1] <= pair[0] + 1),
        "{levels:?}"
    );
    let scoped = html.matches(" scope=\"col\">").count() + html.matches(" scope=\"row\">").count();
    assert_eq!(html.matches("<th>").count(), 0, "{html}");
    assert_eq!(html.matches("<th ").count(), scoped, "{html}");
    assert!(
        !html.contains("<p></p>") && !html.contains("<dt></dt>"),
        "{html}"
    );
}

#[test]
fn a_night() {
    let night = winter_night(&lone_maker());
    let html = show::night::page(&night).html();
    golden::check("night-lone-maker.html", &html);
    is_sound(&html);
    reads_alike(&show::night::page(&night).text(), &html, "");
}

#[test]
fn mirrors() {
    let answer = plan::mirror::mirrors(&workshop::example(), date("2026-11-25"));
    let answer = answer.expect("a year of planets");
    let html = show::mirror::page(&answer, false).html();
    golden::check("mirror.html", &html);
    is_sound(&html);
    reads_alike(
        &show::mirror::page(&answer, false).text(),
        &html,
        "Mirrors judged",
    );
}

#[test]
fn reach() {
    let answer = plan::reach::reach(&workshop::example(), date("2026-12-17"));
    let html = show::reach::page(&answer).html();
    is_sound(&html);
    let name = "What your telescopes reach";
    reads_alike(&show::reach::page(&answer).text(), &html, name);
}

#[test]
fn evenings() {
    let found = five_evenings(&workshop::example());
    for (text, html) in [
        (
            show::dates::page(&found).text(),
            show::dates::page(&found).html(),
        ),
        (
            show::dates::months::page(&found).text(),
            show::dates::months::page(&found).html(),
        ),
    ] {
        is_sound(&html);
        reads_alike(&text, &html, "");
    }
}

#[test]
fn what_happens() {
    let all =
        plan::happenings::happenings(&workshop::example(), date("2026-08-10"), date("2026-11-05"));
    let all = all.expect("weeks of this century");
    let html = show::happenings::page(&all).html();
    is_sound(&html);
    reads_alike(&show::happenings::page(&all).text(), &html, "");
}

#[test]
fn names_that_look_like_marks_are_words() {
    let name = "<script>&'</h2>";
    let text = include_str!("../../examples/workshop.toml")
        .replacen(
            "name = \"Ropewalk School roof\"",
            &format!("name = \"{name}\""),
            1,
        )
        .replacen("name = \"Rowan\"", &format!("name = \"{name}\""), 1);
    let workshop = workshop_of(&text);
    let reach = plan::reach::reach(&workshop, date("2026-12-17"));
    let pages = [
        show::night::page(&winter_night(&workshop)).html(),
        show::reach::page(&reach).html(),
        show::dates::page(&five_evenings(&workshop)).html(),
    ];
    for page in &pages {
        is_sound(page);
        assert!(page.contains("&lt;script&gt;&amp;'&lt;/h2&gt;"), "{page}");
    }
}
