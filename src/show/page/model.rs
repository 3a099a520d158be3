//! What a page is made of.

use std::ops::RangeInclusive;

/// Of lines after a paragraph's first, beyond it.
pub(super) const HANG_COLUMNS: usize = 2;

/// A whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Whoever reads the answer has to know this first.
    pub(super) notice: Vec<String>,
    pub(super) title: String,
    /// The answer itself begins with the title; else only a document's head has it.
    pub(super) begins_with_title: bool,
    /// Printed and written upon: each of its sections on a sheet of its own.
    pub(super) is_for_paper: bool,
    pub(super) blocks: Vec<Block>,
}

/// What follows one upon the other.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading and what stands under it.
    Section(Section),
    /// The answer of a section in a sentence, right under its heading.
    Lead(String),
    /// Words, and by how many columns their lines after the first are indented.
    Paragraph(String, usize),
    /// Words beside labels.
    Labelled(Labelled),
    /// Short sentences, each for itself.
    List(Vec<String>),
    /// Rows and columns.
    Table(Table),
    /// Lines to be copied as they are.
    Verbatim(String),
    /// An SVG element of this program's own making; there is nothing of it in text.
    Picture(String),
    /// An empty line where none would be.
    Space,
}

/// A heading and what stands under it, one level below whatever holds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    pub(super) heading: String,
    pub(super) blocks: Vec<Block>,
}

/// Words beside labels, all in one column.
#[derive(Debug, Clone, PartialEq)]
pub struct Labelled {
    /// From the left edge of the labels to the words.
    pub(super) columns: usize,
    /// Of lines after the first.
    pub(super) hang: usize,
    pub(super) is_right_aligned: bool,
    pub(super) lines: Vec<LabelledLine>,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct LabelledLine {
    /// Empty: words that stand beside no label.
    pub(super) label: String,
    pub(super) paragraphs: Vec<String>,
}

/// Rows under a heading. A line break in a cell is one on every page.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    pub(super) heading: Vec<String>,
    pub(super) rows: Vec<Vec<String>>,
    pub(super) widths: Widths,
    pub(super) numbers: Option<RangeInclusive<usize>>,
    /// Columns to be written into by hand.
    pub(super) room: Option<RangeInclusive<usize>>,
    pub(super) has_row_names: bool,
}

/// How wide columns are in text.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Widths {
    /// As their words need it.
    Fitted,
    /// The first column broken at words to this.
    FirstAtMost(usize),
    /// The first column broken at words to what the others leave of the page, and so much more.
    FirstToPage(usize),
    /// Each column's left edge, from that of the table.
    Fixed(Vec<usize>),
}

impl Page {
    /// An answer whose first line is its title.
    pub fn new(title: impl Into<String>) -> Page {
        Page {
            notice: Vec::new(),
            title: title.into(),
            begins_with_title: true,
            is_for_paper: false,
            blocks: Vec::new(),
        }
    }

    /// An answer that begins at once: only a document's head calls it so.
    pub fn named(name: impl Into<String>) -> Page {
        Page {
            begins_with_title: false,
            ..Page::new(name)
        }
    }

    /// The same to be printed on A4 and written upon, each section on a sheet of its own.
    pub fn for_paper(self) -> Page {
        Page {
            is_for_paper: true,
            ..self
        }
    }

    /// The same below a notice, each sentence on a line of its own.
    pub fn below<const N: usize>(mut self, notice: [&str; N]) -> Page {
        self.notice = notice.map(String::from).to_vec();
        self
    }

    /// The same with more at its end.
    pub fn with(mut self, blocks: impl IntoIterator<Item = Block>) -> Page {
        self.blocks.extend(blocks);
        self
    }
}

impl Block {
    /// Words whose later lines are indented a little.
    pub fn say(words: impl Into<String>) -> Block {
        Block::Paragraph(words.into(), HANG_COLUMNS)
    }

    /// A heading and what stands under it.
    pub fn section(heading: impl Into<String>, blocks: impl IntoIterator<Item = Block>) -> Block {
        Block::Section(Section {
            heading: heading.into(),
            blocks: blocks.into_iter().collect(),
        })
    }
}

impl Labelled {
    /// Labels to the left of words that begin after so many columns.
    pub fn new(columns: usize) -> Labelled {
        Labelled {
            columns,
            hang: 0,
            is_right_aligned: false,
            lines: Vec::new(),
        }
    }

    /// The same with lines after the first indented.
    pub fn hanging(self) -> Labelled {
        Labelled {
            hang: HANG_COLUMNS,
            ..self
        }
    }

    /// The same with labels that end in one column, two before the words.
    pub fn right_aligned(self) -> Labelled {
        Labelled {
            is_right_aligned: true,
            ..self
        }
    }

    /// One line more.
    pub fn say(&mut self, label: impl Into<String>, words: impl Into<String>) {
        self.say_all(label, vec![words.into()]);
    }

    /// One line more, of several paragraphs.
    pub fn say_all(&mut self, label: impl Into<String>, paragraphs: Vec<String>) {
        self.lines.push(LabelledLine {
            label: label.into(),
            paragraphs,
        });
    }
}

impl Table {
    /// Columns as wide as their words; a row's first cell is its name.
    pub fn new<const N: usize>(heading: [&str; N], rows: Vec<[String; N]>) -> Table {
        let heading = heading.map(String::from).to_vec();
        Table::of(heading, rows.into_iter().map(Vec::from).collect())
    }

    /// The same where columns are only counted later: each row has as many cells as the heading.
    pub fn of(heading: Vec<String>, rows: Vec<Vec<String>>) -> Table {
        Table {
            heading,
            rows,
            widths: Widths::Fitted,
            numbers: None,
            room: None,
            has_row_names: true,
        }
    }

    /// The first column broken at words to so many columns.
    pub fn first_at_most(self, columns: usize) -> Table {
        let widths = Widths::FirstAtMost(columns);
        Table { widths, ..self }
    }

    /// The first column broken at words to what the others leave of the page, each reckoned as wide as the word
    /// "typical" at least; `spare`: by how much they are narrower together.
    pub fn first_to_page(self, spare: usize) -> Table {
        let widths = Widths::FirstToPage(spare);
        Table { widths, ..self }
    }

    /// Columns that begin where they are told to.
    pub fn fixed(self, left_edges: &[usize]) -> Table {
        let widths = Widths::Fixed(left_edges.to_vec());
        Table { widths, ..self }
    }

    /// Columns whose cells end in one line, as numbers do.
    pub fn numbers(self, columns: RangeInclusive<usize>) -> Table {
        Table {
            numbers: Some(columns),
            ..self
        }
    }

    /// Columns left for writing by hand; their cells are empty.
    pub fn room(self, columns: RangeInclusive<usize>) -> Table {
        Table {
            room: Some(columns),
            ..self
        }
    }

    /// Rows whose first cell is one like the others.
    pub fn without_row_names(self) -> Table {
        Table {
            has_row_names: false,
            ..self
        }
    }

    pub(super) fn is_room(&self, column: usize) -> bool {
        (self.room.as_ref()).is_some_and(|columns| columns.contains(&column))
    }

    pub(super) fn is_number(&self, column: usize) -> bool {
        (self.numbers.as_ref()).is_some_and(|columns| columns.contains(&column))
    }
}

impl From<Labelled> for Block {
    fn from(labelled: Labelled) -> Block {
        Block::Labelled(labelled)
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Block {
        Block::Table(table)
    }
}
