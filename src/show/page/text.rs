//! A page in 80 columns: headings two columns before what stands under them, an empty line around every section.

use crate::show::page::model::{Block, HANG_COLUMNS, Labelled, Page};
use crate::show::page::table::{PAGE_COLUMNS, table};
use crate::show::words::{JOINED, wrapped};

/// Of a section, beyond what holds it.
const INDENT: usize = 2;

/// The whole page.
pub(super) fn page(page: &Page) -> String {
    let mut paper = Paper::default();
    for words in &page.notice {
        paper.put(&hanging(words, 0, 0));
    }
    paper.is_space_due = true;
    if page.begins_with_title {
        paper.put(&hanging(&page.title, 0, HANG_COLUMNS));
    }
    paper.blocks(&page.blocks, 0);
    paper.text.replace(JOINED, " ")
}

/// What is written so far.
#[derive(Default)]
struct Paper {
    text: String,
    is_space_due: bool,
}

impl Paper {
    /// Whole lines.
    fn put(&mut self, lines: &str) {
        if lines.is_empty() {
            return;
        }
        if self.is_space_due && !self.text.is_empty() {
            self.text.push('\n');
        }
        self.is_space_due = false;
        self.text.push_str(lines);
    }

    fn blocks(&mut self, blocks: &[Block], indent: usize) {
        for block in blocks {
            self.block(block, indent);
        }
    }

    fn block(&mut self, block: &Block, indent: usize) {
        match block {
            Block::Section(section) => {
                self.is_space_due = true;
                self.put(&hanging(&section.heading, indent, HANG_COLUMNS));
                self.blocks(&section.blocks, indent + INDENT);
                self.is_space_due = true;
            }
            Block::Lead(words) => {
                self.put(&hanging(words, indent.saturating_sub(INDENT), HANG_COLUMNS))
            }
            Block::Paragraph(words, hang) => self.put(&hanging(words, indent, *hang)),
            Block::Labelled(lines) => self.put(&labelled(lines, indent)),
            Block::List(items) => {
                for item in items {
                    self.put(&hanging(&format!("- {item}"), indent, "- ".len()));
                }
            }
            Block::Table(rows) => self.put(&table(rows, indent)),
            Block::Verbatim(lines) => {
                self.put(&(indented(lines, indent + INDENT, indent + INDENT) + "\n"))
            }
            Block::Picture(_) => {}
            Block::Space => self.is_space_due = true,
        }
    }
}

/// A paragraph; one that hangs keeps as far from the right edge as its first line from the left.
fn hanging(words: &str, indent: usize, hang: usize) -> String {
    let width = PAGE_COLUMNS - indent;
    let lines = if hang == 0 {
        indented(&wrapped(words, width, ""), indent, indent)
    } else {
        format!(
            "{:indent$}{}",
            "",
            wrapped(words, width, &" ".repeat(indent + hang))
        )
    };
    lines + "\n"
}

fn labelled(labelled: &Labelled, indent: usize) -> String {
    let (columns, hang) = (labelled.columns, labelled.hang);
    let from = indent + columns;
    let mut out = String::new();
    for line in &labelled.lines {
        let label = if labelled.is_right_aligned {
            format!("{:>width$}  ", line.label, width = from - 2)
        } else {
            format!("{:indent$}{:columns$}", "", line.label)
        };
        for (idx, paragraph) in line.paragraphs.iter().enumerate() {
            let lines = wrapped(paragraph, PAGE_COLUMNS - from - hang, "");
            match idx {
                0 => out += &(label.clone() + &indented(&lines, 0, from + hang)),
                _ => out += &indented(&lines, from + hang, from + hang),
            }
            out.push('\n');
        }
    }
    out
}

/// Every line moved to the right, the first one by another distance than the rest.
fn indented(lines: &str, first: usize, rest: usize) -> String {
    let rest = " ".repeat(rest);
    format!("{:first$}{}", "", lines.replace('\n', &format!("\n{rest}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::page::model::Table;

    #[test]
    fn sections_stand_apart_and_deeper() {
        let page = Page::new("Night").with([
            Block::say("Dark."),
            Block::section(
                "Telescope",
                [
                    Block::Lead("Good.".into()),
                    Block::say("Put it out."),
                    Block::section("Moon", [Block::say("Full.")]),
                ],
            ),
            Block::Space,
            Block::List(vec!["Care.".into()]),
        ]);
        assert_eq!(
            page.text(),
            "Night\nDark.\n\nTelescope\nGood.\n  Put it out.\n\n  Moon\n    Full.\n\n- Care.\n"
        );
        let page = Page::named("Night").with([Block::section("Telescope", [])]);
        assert_eq!(page.text(), "Telescope\n");
    }

    #[test]
    fn lines_hang_and_stay_together() {
        let words = format!("{} b{JOINED}c", "a".repeat(77));
        let wide = Page::named("").with([Block::say(words)]).text();
        assert_eq!(wide.lines().nth(1), Some("  b c"));
        let mut points = Labelled::new(6).hanging().right_aligned();
        points.say_all("2.5", vec!["Moon ".repeat(16), "Mars".into()]);
        let text = Page::named("").with([points.into()]).text();
        let moons = "Moon ".repeat(14);
        assert_eq!(
            text,
            format!(
                " 2.5  {}\n        Moon Moon\n        Mars\n",
                moons.trim_end()
            )
        );
    }

    #[test]
    fn tables_as_wide_as_their_words_or_as_told() {
        let row = |name: &str, minutes: &str| [name.into(), minutes.into(), "up".into()];
        let rows = vec![row("Io", "9"), row("Europa\nagain", "12")];
        let fitted = Table::new(["", "min", ""], rows.clone()).numbers(1..=1);
        let page = Page::named("").with([fitted.into()]);
        assert_eq!(
            page.text(),
            "        min\nIo        9  up\nEuropa   12  up\nagain\n"
        );
        let fixed = Table::new(["", "min", ""], rows).fixed(&[1, 8, 12]);
        let page = Page::named("").with([fixed.into()]);
        assert_eq!(
            page.text(),
            "        min\n Io     9   up\n Europa 12  up\n again\n"
        );
    }
}
