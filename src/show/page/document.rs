//! A whole HTML file, whatever stands on it: it asks for nothing from anywhere, and holds nobody's words for its own.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What one kind of file has in its head.
pub(in crate::show) struct Head<'a> {
    /// For the browser's window.
    pub title: &'a str,
    /// What the file may use beside nothing: the end of its Content-Security-Policy.
    pub allowed: &'a str,
    /// The colours it has looks for, where the browser is to know them before the looks do.
    pub color_scheme: Option<&'a str>,
    /// CSS.
    pub looks: &'a str,
    /// JavaScript to be run before anything is drawn.
    pub script: Option<&'a str>,
}

/// A file of this head and body.
pub(in crate::show) fn document(head: &Head, body: Markup) -> String {
    let policy = format!("default-src 'none'; {}", head.allowed);
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                @if let Some(scheme) = head.color_scheme { meta name="color-scheme" content=(scheme); }
                title { (tidy(head.title)) }
                style { (PreEscaped(head.looks)) }
                @if let Some(script) = head.script { script { (PreEscaped(script)) } }
            }
            body { (body) }
        }
    };
    whole.into_string() + "\n"
}

/// Somebody's words in one line: what no page can hold (control characters) becomes a space.
pub(in crate::show) fn tidy(words: &str) -> String {
    let spaced = words.replace(|c: char| c.is_control() || is_turning(c), " ");
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Invisible marks that would turn the direction of the words around them.
fn is_turning(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_tidied() {
        assert_eq!(tidy(" a\u{0}b\nc \u{202e}d"), "a b c d");
    }
}
