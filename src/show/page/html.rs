//! A page in a browser: one column, black on white, tables with rules; of the same words as the text.
//!
//! Without script, and nothing is asked for from anywhere. The class `dim` on the root turns it to dim red on black.

use maud::{Markup, PreEscaped, html};

use crate::show::page::document::{Head, document, tidy};
use crate::show::page::model::{Block, Labelled, Page, Table};
use crate::show::words::JOINED;

/// A whole file.
pub(super) fn file(page: &Page) -> String {
    let looks = match page.is_for_paper {
        true => &[LOOKS, ON_PAPER].concat(),
        false => LOOKS,
    };
    let head = Head {
        title: &page.title,
        allowed: "style-src 'unsafe-inline'; img-src data:",
        color_scheme: None,
        looks,
        script: None,
    };
    document(&head, html! { main { (contents(page)) } })
}

/// Notice, title and blocks.
pub(super) fn contents(page: &Page) -> Markup {
    html! {
        @for words in &page.notice { p.lead { (tidy(words)) } }
        h1 { (tidy(&page.title)) }
        (blocks(&page.blocks, 2))
    }
}

/// `level`: of the headings of their sections.
fn blocks(blocks: &[Block], level: u8) -> Markup {
    html! { @for one in blocks { (block(one, level)) } }
}

fn block(block: &Block, level: u8) -> Markup {
    html! {
        @match block {
            Block::Section(section) => section {
                (heading(&section.heading, level))
                (blocks(&section.blocks, level + 1))
            },
            Block::Lead(words) => p.lead { (tidy(words)) },
            Block::Paragraph(words, _) => p { (tidy(words)) },
            Block::Labelled(lines) => (labelled(lines)),
            Block::List(items) => ul { @for item in items { li { (tidy(item)) } } },
            Block::Table(rows) => (table(rows)),
            Block::Verbatim(lines) => pre { (lines) },
            Block::Picture(svg) => figure { (PreEscaped(svg)) },
            Block::Space => {},
        }
    }
}

fn heading(words: &str, level: u8) -> Markup {
    let words = tidy(words);
    match level {
        2 => html! { h2 { (words) } },
        3 => html! { h3 { (words) } },
        _ => html! { h4 { (words) } },
    }
}

/// Words beside no label are paragraphs between the lists.
fn labelled(labelled: &Labelled) -> Markup {
    let alike = labelled
        .lines
        .chunk_by(|a, b| a.label.is_empty() == b.label.is_empty());
    html! {
        @for lines in alike {
            @if lines[0].label.is_empty() {
                @for words in lines.iter().flat_map(|line| &line.paragraphs) { p { (tidy(words)) } }
            } @else {
                dl {
                    @for line in lines {
                        div {
                            dt { (tidy(&line.label)) }
                            dd { @for words in &line.paragraphs { p { (tidy(words)) } } }
                        }
                    }
                }
            }
        }
    }
}

fn table(table: &Table) -> Markup {
    let stacked = stacked_columns(table);
    html! {
        // A wide one is pushed sideways by itself, never the page; on a narrow screen its rows are stacked instead.
        div class="wide" tabindex="0" { table class=[stacked.as_ref().map(|_| "stacked")] style=[stacked] {
            thead {
                tr {
                    @for (column, words) in table.heading.iter().enumerate() {
                        (cell(table, column, words, Some("col")))
                    }
                }
            }
            tbody {
                @for row in &table.rows {
                    tr {
                        @for (column, words) in row.iter().enumerate() {
                            (cell(table, column, words, (table.has_row_names && column == 0).then_some("row")))
                        }
                    }
                }
            }
        } }
    }
}

/// On a narrow screen a row's first cell stands above the others: how wide these are beside each other. The last of them is an
/// eyepiece as often as not. `None` for few columns, and for what is written upon.
fn stacked_columns(table: &Table) -> Option<String> {
    let below = table.heading.len().saturating_sub(1);
    let is_stacked = FEW_COLUMNS <= below && table.room.is_none();
    let abreast = below.div_ceil(below.div_ceil(MOST_ABREAST).max(1));
    is_stacked.then(|| format!("--columns:{}1.4fr", "1fr ".repeat(abreast - 1)))
}

/// Fewer stand beside the first column on any screen.
const FEW_COLUMNS: usize = 3;

/// More words do not stand beside each other on the narrowest screen.
const MOST_ABREAST: usize = 5;

/// `scope`: of what it is the heading; nothing is headed by an empty one.
fn cell(table: &Table, column: usize, words: &str, scope: Option<&str>) -> Markup {
    let is_room = table.is_room(column).then_some("room");
    let class = (table.is_number(column).then_some("number")).or(is_room);
    let lines = html! {
        @for (idx, line) in words.lines().enumerate() {
            @if idx > 0 { br; }
            (joined(line))
        }
    };
    match scope {
        Some(scope) if !words.is_empty() => html! { th class=[class] scope=(scope) { (lines) } },
        _ => html! { td class=[class] { (lines) } },
    }
}

/// A cell's words, those held together that are.
fn joined(words: &str) -> String {
    let pieces: Vec<String> = words.split(JOINED).map(tidy).collect();
    pieces.join(&JOINED.to_string())
}

const LOOKS: &str = "
:root { --ink: #000; --paper: #fff; color-scheme: light }
:root.dim { --ink: #ec0000; --paper: #000; color-scheme: dark }
* { box-sizing: border-box }
html { background: var(--paper); color: var(--ink); -webkit-text-size-adjust: 100% }
body { font: 1rem/1.4 system-ui, sans-serif; margin: 0; overflow-wrap: anywhere }
main { max-width: 44rem; margin: 0 auto; padding: 1rem }
h1, h2, h3, h4 { line-height: 1.25; margin: 1.5em 0 .3em }
h1 { font-size: 1.4rem; margin-top: 0 }
h2 { font-size: 1.2rem; border-top: 2px solid; padding-top: .5em }
h3, h4 { font-size: 1rem }
p, ul, dl, table, pre, figure { margin: .4em 0 }
ul { padding-left: 1.2em }
.lead { font-weight: bold }
dl > div { display: grid; grid-template-columns: 7.5rem 1fr; border-top: 1px solid; padding: .25em 0 }
dd, dd p { margin: 0 }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums }
th, td { border-top: 1px solid; padding: .25em .5em .25em 0; text-align: left; vertical-align: top }
thead th, thead td { border-top: 0; border-bottom: 2px solid; vertical-align: bottom }
tbody th { font-weight: normal }
.number { text-align: right }
th, td { overflow-wrap: normal }
th:first-child, td:first-child { overflow-wrap: anywhere; min-width: 6em }
.wide { overflow-x: auto }
pre { white-space: pre-wrap; padding-left: 1em }
svg { display: block; max-width: 100%; height: auto }
@media print { :root.dim { --ink: #000; --paper: #fff } }
@media screen and (max-width: 32rem) {
  dl > div { display: block }
  dt { font-weight: bold }
  table { font-size: .8rem }
  th, td { padding-right: .3em }
  .stacked, .stacked thead, .stacked tbody { display: block }
  .stacked tr { display: grid; grid-template-columns: var(--columns); border-top: 1px solid; padding: .25em 0 }
  .stacked thead tr { border-top: 0; border-bottom: 2px solid }
  .stacked th, .stacked td { border: 0; padding: 0 .3em 0 0; overflow-wrap: anywhere; min-width: 0 }
  .stacked tr > :first-child { grid-column: 1 / -1; font-weight: bold }
  .stacked tr > :first-child:empty { display: none }
}
";

/// Of a page to be printed and written upon.
const ON_PAPER: &str = "
@page { size: A4; margin: 12mm }
@media print {
  body { font-size: 10pt }
  main { max-width: none; padding: 0 }
  main > section ~ section, section section ~ section { break-before: page }
  h2, h3 { break-after: avoid }
  tr, figure, pre, dl > div { break-inside: avoid }
  th, td { padding-top: .6em }
}
.room { border-left: 1px solid; min-width: 16mm; padding-left: .3em }
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_words_are_inert() {
        let mut lines = Labelled::new(9);
        lines.say("<i>", "\"&\u{202e}");
        let rows = Table::new(["<u>"], vec![["<s>\n<b>".into()]]);
        let page = Page::new("</title><script>")
            .with([Block::section("<h>", [lines.into(), rows.into()])]);
        let page = page.html();
        for words in [
            "<h1>&lt;/title&gt;&lt;script&gt;</h1>",
            "<h2>&lt;h&gt;</h2>",
            "<dt>&lt;i&gt;</dt><dd><p>&quot;&amp;</p></dd>",
            "<th scope=\"col\">&lt;u&gt;</th>",
            "<th scope=\"row\">&lt;s&gt;<br>&lt;b&gt;</th>",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(!page.contains("<script"), "{page}");
    }
}
