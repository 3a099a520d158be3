//! The paths that a Rust file names, groups opened: `use crate::sky::{Body, search};` names two.

/// `crate::sky::Body`, wherever it stands in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    /// Of the file, from 1.
    pub line: usize,
    /// `crate`, `self` or `super`, and what follows.
    pub names: Vec<String>,
    /// Handed on by `pub use`, rather than used here.
    pub is_handed_on: bool,
    /// What the file calls it.
    pub alias: String,
}

/// What a stretch of a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Code,
    /// A comment, or a letter in quotes.
    Aside,
    /// A string, its quotes included.
    Quoted,
}

/// A file cut into code, comments and strings, in order.
pub fn pieces(text: &str) -> Vec<(Kind, String)> {
    let chars: Vec<char> = text.chars().collect();
    let mut out: Vec<(Kind, String)> = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let rest = &chars[at..];
        let (kind, length) = match rest {
            ['/', '/', ..] => {
                let until = rest.iter().position(|c| *c == '\n');
                (Kind::Aside, until.unwrap_or(rest.len()))
            }
            ['"', ..] => (Kind::Quoted, quoted(rest)),
            // A quote as a letter would open a string.
            ['\'', '"', '\'', ..] => (Kind::Aside, 3),
            ['\'', '\\', _, '\'', ..] => (Kind::Aside, 4),
            _ => (Kind::Code, 1),
        };
        let piece: String = rest[..length].iter().collect();
        match out.last_mut() {
            Some((Kind::Code, code)) if kind == Kind::Code => code.push_str(&piece),
            _ => out.push((kind, piece)),
        }
        at += length;
    }
    out
}

/// The same text with comments and what stands in quotes blanked; line breaks stay.
pub fn bare(text: &str) -> String {
    let blank = |c: char| if c == '\n' { '\n' } else { ' ' };
    (pieces(text).into_iter())
        .map(|(kind, piece)| match kind {
            Kind::Code => piece,
            Kind::Aside | Kind::Quoted => piece.chars().map(blank).collect(),
        })
        .collect()
}

/// Length of a string literal, its quotes included.
fn quoted(chars: &[char]) -> usize {
    let mut at = 1;
    while at < chars.len() {
        match chars[at] {
            '\\' => at += 2,
            '"' => return at + 1,
            _ => at += 1,
        }
    }
    chars.len()
}

/// All paths from `crate`, `self` or `super`, in order.
pub fn paths(text: &str) -> Vec<Path> {
    let code = bare(text);
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = next_start(&code, at) {
        let statement = code[..start]
            .rfind([';', '{', '}', ')'])
            .map_or(0, |end| end + 1);
        // `pub(super) use`: the bracket ends what is looked for.
        let before = code[..start].trim_end();
        let is_handed_on = before.ends_with("use")
            && (code[statement..start].contains("pub") || is_restricted(before));
        let line = 1 + code[..start].matches('\n').count();
        let mut reader = Reader {
            code: &code,
            at: start,
        };
        reader.tree(&mut Vec::new(), &mut |names, alias| {
            found.push(Path {
                line,
                names: names.to_vec(),
                is_handed_on,
                alias: alias.to_string(),
            });
        });
        at = reader.at.max(start + 1);
    }
    found
}

/// `pub(super) use`
fn is_restricted(before: &str) -> bool {
    let visibility = before.trim_end_matches("use").trim_end();
    visibility.ends_with(')')
        && (visibility.rfind("pub(")).is_some_and(|at| !visibility[at..].contains(';'))
}

fn next_start(code: &str, from: usize) -> Option<usize> {
    let starts = ["crate::", "self::", "super::"];
    (code[from..].char_indices())
        .map(|(at, _)| from + at)
        .find(|at| {
            let is_part = |c: char| c.is_alphanumeric() || c == '_' || c == ':' || c == '$';
            starts.iter().any(|start| code[*at..].starts_with(start))
                && !code[..*at].ends_with(is_part)
        })
}

struct Reader<'a> {
    code: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn blank(&mut self) {
        let rest = &self.code[self.at..];
        self.at += rest.len() - rest.trim_start().len();
    }

    fn takes(&mut self, token: &str) -> bool {
        self.blank();
        let is_next = self.code[self.at..].starts_with(token);
        self.at += if is_next { token.len() } else { 0 };
        is_next
    }

    fn name(&mut self) -> Option<String> {
        self.blank();
        let rest = &self.code[self.at..];
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_'));
        let name = &rest[..end.unwrap_or(rest.len())];
        self.at += name.len();
        (!name.is_empty()).then(|| name.to_string())
    }

    /// A path, or a group of them behind a common beginning.
    fn tree(&mut self, names: &mut Vec<String>, found: &mut impl FnMut(&[String], &str)) {
        let depth = names.len();
        loop {
            if self.takes("{") {
                while !self.takes("}") {
                    let before = self.at;
                    self.tree(names, found);
                    self.takes(",");
                    if self.at == before {
                        break;
                    }
                }
                break;
            }
            let Some(name) = self.name() else {
                self.takes("*");
                found(names, "");
                break;
            };
            if name != "self" || names.is_empty() {
                names.push(name);
            }
            let here = self.at;
            if !self.takes("::") {
                let is_renamed = self.takes("as ");
                let alias = if is_renamed { self.name() } else { None };
                if !is_renamed {
                    self.at = here;
                }
                let alias = alias.or_else(|| names.last().cloned()).unwrap_or_default();
                found(names, &alias);
                break;
            }
            self.blank();
            // `Vec::<f64>::new`: what follows is no name.
            if self.code[self.at..].starts_with('<') {
                let alias = names.last().cloned().unwrap_or_default();
                found(names, &alias);
                break;
            }
        }
        names.truncate(depth);
    }
}

#[track_caller]
fn check(text: &str, want: &[&str]) {
    let got: Vec<_> = (paths(text).iter())
        .map(|path| {
            let mark = if path.is_handed_on { "pub " } else { "" };
            format!("{}: {mark}{}", path.line, path.names.join("::"))
        })
        .collect();
    assert_eq!(got, want, "{text}");
}

#[test]
fn groups_are_opened() {
    check(
        "//! crate::no\nuse crate::sky::{\n  Body, search,\n  moons::{self, view::X as Y},\n};\n",
        &[
            "2: crate::sky::Body",
            "2: crate::sky::search",
            "2: crate::sky::moons",
            "2: crate::sky::moons::view::X",
        ],
    );
    check(
        "let x = crate::a::B::new(super::c::d); // crate::e",
        &["1: crate::a::B::new", "1: super::c::d"],
    );
    check(
        "pub use self::a::B;\npub(super) use self::c::D;\nuse super::*;",
        &["1: pub self::a::B", "2: pub self::c::D", "3: super"],
    );
    check(
        "let x = \"crate::a\"; let y = '\"'; crate::b()",
        &["1: crate::b"],
    );
    check("macro::crate::x; super::super::y", &["1: super::super::y"]);
}
