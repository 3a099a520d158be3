//! One document for every reader: what an answer says, in order, before anybody asks whether it is printed to a
//! terminal or stands in a browser.
//!
//! An answer's module makes its [`Page`] once; [`Page::text`] lays it out in 80 columns, [`Page::html`] as a document.
//! Words that must stay together are joined by U+00A0: paper in columns prints a space there, cells of a table in a browser
//! keep it.

pub(super) mod document;
mod html;
mod model;
mod table;
mod text;

use maud::Markup;

pub use self::model::{Block, Labelled, Page, Section, Table};

impl Page {
    /// In 80 columns, a line break at its end.
    pub fn text(&self) -> String {
        text::page(self)
    }

    /// A whole HTML document.
    pub fn html(&self) -> String {
        html::file(self)
    }

    /// The document's contents alone, for pages that have a head of their own.
    pub fn contents(&self) -> Markup {
        html::contents(self)
    }
}
