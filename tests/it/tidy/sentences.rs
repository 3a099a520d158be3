//! No sentences below `show`: a reason there is a value with its number, and its words stand above.
//!
//! Errors are left out, whose words stand in their own `Display` (of no other type), and what speaks to developers:
//! panics, assertions, tests.

use super::paths::{Kind, pieces};
use super::{Source, check};

/// Rooms that make no sentences. `workshop` does: it quotes its file.
const SILENT: &[&str] = &["optics", "sky", "eye", "targets", "plan"];

/// Files that may, and why.
const EXEMPT: &[(&str, &str)] = &[
    (
        "src/targets/free.rs",
        "a table: each constant with where it comes from",
    ),
    (
        "src/plan/refusal/words.rs",
        "the errors of the file above it: their `Display`, and what that calls",
    ),
    (
        "src/targets/small_bodies.rs",
        "what is said of any comet or asteroid, as the tables say it of everything else",
    ),
];

/// Whose arguments only developers read.
const FOR_DEVELOPERS: &[&str] = &[
    "expect",
    "panic!",
    "unreachable!",
    "assert!",
    "assert_eq!",
    "assert_ne!",
    "debug_assert!",
    "include_str!",
];

/// Two words in a row outside comments, errors and tests.
pub fn sentences(source: &Source) -> Vec<String> {
    let is_silent = (source.room()).is_some_and(|room| SILENT.contains(&room));
    if !is_silent || EXEMPT.iter().any(|(path, _)| *path == source.path) {
        return Vec::new();
    }
    let mut complaints = Vec::new();
    let mut line = 1;
    let mut place = Place::default();
    for (kind, piece) in pieces(&source.text) {
        match kind {
            Kind::Code => place.pass(&piece),
            Kind::Quoted if has_words(&piece) && !place.is_free(&source.text) => {
                let what = format!("a sentence below `show`: {piece}");
                complaints.push(source.complaint(line, &what));
            }
            Kind::Quoted | Kind::Aside => {}
        }
        line += piece.matches('\n').count();
    }
    complaints
}

/// Where in the code one stands: the open brackets, each with what stood before it.
#[derive(Default)]
struct Place {
    open: Vec<(char, String)>,
    /// Since the last statement or block.
    statement: String,
}

impl Place {
    fn pass(&mut self, code: &str) {
        for c in code.chars() {
            match c {
                '(' | '[' | '{' => self.open.push((c, self.statement.clone())),
                ')' | ']' | '}' => {
                    self.open.pop();
                }
                _ => {}
            }
            match c {
                ';' | '{' | '}' => self.statement.clear(),
                _ => self.statement.push(c),
            }
        }
    }

    fn is_free(&self, text: &str) -> bool {
        self.open.iter().any(|(bracket, before)| match bracket {
            '{' => is_display_of_an_error(before, text) || before.contains("#[cfg(test)]"),
            '[' => before.ends_with('#'),
            _ => FOR_DEVELOPERS.iter().any(|name| before.ends_with(name)),
        })
    }
}

/// Whether a block's head begins the `Display` of a type that the same file makes an error.
fn is_display_of_an_error(head: &str, text: &str) -> bool {
    (head.split_once("Display for "))
        .is_some_and(|(_, name)| text.contains(&format!("Error for {} {{", name.trim())))
}

/// Whether two words follow each other, what is filled in left out.
fn has_words(quoted: &str) -> bool {
    let mut depth = 0;
    let said: String = (quoted.chars())
        .map(|c| {
            depth += i32::from(c == '{');
            let is_filled_in = depth > 0;
            depth -= i32::from(c == '}');
            if is_filled_in { '_' } else { c }
        })
        .collect();
    let is_word = |word: &str| {
        let word = word.trim_matches(|c: char| c.is_ascii_punctuation() && c != '_');
        !word.is_empty() && word.chars().all(char::is_alphabetic)
    };
    let words: Vec<bool> = said.split_whitespace().map(is_word).collect();
    words.windows(2).any(|pair| pair[0] && pair[1])
}

#[test]
fn sentences_are_caught() {
    let check = |text, want| check(sentences, "src/targets/why.rs", text, want);
    check(
        "//! x\nlet why = format!(\"in {mm} mm it is {}\", word);",
        &["src/targets/why.rs:2: a sentence below `show`: \"in {mm} mm it is {}\""],
    );
    check(
        "fn kind() -> &'static str {\n    \"left spherical\"\n}",
        &["src/targets/why.rs:2: a sentence below `show`: \"left spherical\""],
    );
    // Words of a type that is no error, whatever the file makes one beside it.
    for no_error in [
        "impl fmt::Display for X { fn fmt(&self) { write!(f, \"too late\") } }",
        "impl std::error::Error for Xs {} impl fmt::Display for X { fn fmt(&self) { write!(f, \"too late\") } }",
        "fn late(f: &mut fmt::Formatter<'_>) -> fmt::Result { write!(f, \"too late\") }",
    ] {
        check(
            no_error,
            &["src/targets/why.rs:1: a sentence below `show`: \"too late\""],
        );
    }
    for fine in [
        "// not \"a sentence\" at all",
        "let id = format!(\"{}_glow\", id);",
        "let key = format!(\"telescope \\\"{name}\\\": reflectivity\");",
        "let row = rows().expect(\"the test reads every row\");",
        "assert!(is_there, \"{what} is not there\");",
        "#[doc = \"two words\"]\nstruct X;",
        "impl fmt::Display for X { fn fmt(&self) { write!(f, \"no such date\") } }\nimpl std::error::Error for X {}",
        "#[cfg(test)]\nmod tests { const A: &str = \"two words\"; }",
    ] {
        check(fine, &[]);
    }
}

#[test]
fn only_silent_rooms_are_asked() {
    let text = "let why = \"two words\";";
    for path in [
        "src/show/words/why.rs",
        "src/workshop/wording.rs",
        "src/targets/free.rs",
        "src/plan/refusal/words.rs",
    ] {
        check(sentences, path, text, &[]);
    }
}
