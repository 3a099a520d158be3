//! No two public types of one name: whoever reads an `use` line need not ask which of the two it brings.

use std::collections::BTreeMap;

use super::Source;

/// Names that stand twice, and why. None so far; a name goes here only where its module says it better than a longer name.
const TWICE: &[(&str, &str)] = &[];

/// What introduces a type.
const KINDS: &[&str] = &["struct", "enum", "trait", "type", "union"];

/// Public types of `src` that have the name of another one.
pub fn shared_names(sources: &[Source]) -> Vec<String> {
    let mut places: BTreeMap<&str, Vec<(&Source, usize)>> = BTreeMap::new();
    for source in sources.iter().filter(|it| it.path.starts_with("src/")) {
        for (line, code) in source.code() {
            if let Some(name) = public_type(code) {
                places.entry(name).or_default().push((source, line));
            }
        }
    }
    (places.iter())
        .filter(|(name, _)| !TWICE.iter().any(|(known, _)| known == *name))
        .flat_map(|(name, places)| {
            places.windows(2).map(move |pair| {
                let (first, (source, line)) = (pair[0].0, pair[1]);
                source.complaint(line, &format!("`{name}` stands in {} too", first.path))
            })
        })
        .collect()
}

/// The name behind `pub struct` and its kin; types of one module or its parent only (`pub(super)`) are not public.
fn public_type(code: &str) -> Option<&str> {
    let (kind, rest) = code.trim().strip_prefix("pub ")?.split_once(' ')?;
    let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
    KINDS
        .contains(&kind)
        .then(|| &rest[..end.unwrap_or(rest.len())])
}

#[test]
fn shared_names_are_caught() {
    let source = |path: &str, text: &str| Source {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    let workshop = source("src/workshop/mod.rs", "//! x\n\npub struct Telescope {");
    let caught = |path, text| shared_names(&[workshop.clone(), source(path, text)]);
    for text in [
        "//! x\npub enum Telescope {",
        "//! x\npub type Telescope<'a> = &'a str;",
    ] {
        assert_eq!(
            caught("src/plan/night.rs", text),
            ["src/plan/night.rs:2: `Telescope` stands in src/workshop/mod.rs too"]
        );
    }
    for text in [
        "pub struct Telescopes;",
        "struct Telescope;",
        "pub(super) struct Telescope;",
        "// pub struct Telescope",
        "pub use crate::workshop::Telescope;",
    ] {
        assert!(caught("src/plan/night.rs", text).is_empty(), "{text}");
    }
    assert!(caught("tests/it/session.rs", "pub struct Telescope;").is_empty());
}
