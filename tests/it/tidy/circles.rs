//! No two files of the library need each other: whoever reads one can leave the other closed.
//!
//! A `mod.rs` (or `room.rs` beside a folder) may hand on what its files hold: a name that is only handed on counts for the
//! file in which it stands. Tests at a file's end count for nothing.

use std::collections::{BTreeMap, BTreeSet};

use super::Source;
use super::paths::paths;

/// `["sky", "moons"]` for `src/sky/moons/mod.rs` and `src/sky/moons.rs`.
type Module = Vec<String>;

/// The files of a circle, sorted; each circle once.
pub fn circles(sources: &[Source]) -> Vec<Vec<String>> {
    let files: BTreeMap<Module, &Source> = (sources.iter())
        .filter_map(|source| Some((module(&source.path)?, source)))
        .collect();
    let handed_on = handed_on(&files);
    let needs: BTreeMap<&Module, BTreeSet<Module>> = (files.iter())
        .map(|(module, source)| (module, needed(module, source, &files, &handed_on)))
        .collect();
    let reach: BTreeMap<&Module, BTreeSet<&Module>> = (files.keys())
        .map(|module| (module, reached(module, &needs)))
        .collect();
    let circle_of = |module: &Module| -> Vec<String> {
        let returns = |other: &&&Module| reach[**other].contains(module);
        let around = reach[module].iter().filter(returns);
        around.map(|other| files[*other].path.clone()).collect()
    };
    let circles: BTreeSet<Vec<String>> = files.keys().map(circle_of).collect();
    (circles.into_iter())
        .filter(|circle| !circle.is_empty())
        .collect()
}

/// `None` for what is not of the library.
fn module(path: &str) -> Option<Module> {
    let below = path.strip_prefix("src/")?.strip_suffix(".rs")?;
    let names: Module = below.split('/').map(String::from).collect();
    match (names[0].as_str(), names.last()?.as_str()) {
        ("cli" | "main", _) => None,
        ("lib", _) => Some(Vec::new()),
        (_, "mod") => Some(names[..names.len() - 1].to_vec()),
        _ => Some(names),
    }
}

/// The part before the tests.
fn tested(text: &str) -> &str {
    text.find("#[cfg(test)]\nmod tests")
        .map_or(text, |end| &text[..end])
}

/// From the library's root.
fn from_root(module: &Module, names: &[String]) -> Module {
    match names[0].as_str() {
        "crate" => names[1..].to_vec(),
        "self" => [module, &names[1..]].concat(),
        _ => {
            let ups = names.iter().take_while(|name| *name == "super").count();
            let above = module.len().saturating_sub(ups);
            [&module[..above], &names[ups..]].concat()
        }
    }
}

/// For each module the names it hands on, and where they are from.
fn handed_on(files: &BTreeMap<Module, &Source>) -> BTreeMap<(Module, String), Module> {
    let mut found = BTreeMap::new();
    for (module, source) in files {
        for path in paths(tested(&source.text)) {
            if path.is_handed_on {
                let from = from_root(module, &path.names);
                found.insert((module.clone(), path.alias), from);
            }
        }
    }
    found
}

fn needed(
    module: &Module,
    source: &Source,
    files: &BTreeMap<Module, &Source>,
    handed_on: &BTreeMap<(Module, String), Module>,
) -> BTreeSet<Module> {
    let text = tested(&source.text);
    let named = paths(text).into_iter().filter(|path| !path.is_handed_on);
    let named = named.map(|path| from_root(module, &path.names));
    // `arrange::arranged()` in a mod.rs names a file below without `self`.
    let below = files.keys().filter(|other| {
        other.len() == module.len() + 1
            && other.starts_with(module)
            && names_child(text, &other[module.len()])
    });
    (named.filter_map(|path| stands_in(path, files, handed_on)))
        .chain(below.cloned())
        .filter(|other| other != module && !other.is_empty())
        .collect()
}

fn names_child(text: &str, child: &str) -> bool {
    let code = super::paths::bare(text);
    code.match_indices(&format!("{child}::")).any(|(at, _)| {
        let is_part = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
        !code[..at].ends_with(is_part) && !code[..at].trim_end().ends_with("use")
    })
}

/// The file in which what a path names stands.
fn stands_in(
    path: Module,
    files: &BTreeMap<Module, &Source>,
    handed_on: &BTreeMap<(Module, String), Module>,
) -> Option<Module> {
    let n_file = (0..=path.len())
        .rev()
        .find(|n| files.contains_key(&path[..*n]))?;
    let file = path[..n_file].to_vec();
    let Some(name) = path.get(n_file) else {
        return Some(file);
    };
    match handed_on.get(&(file.clone(), name.clone())) {
        Some(from) if *from != path => {
            stands_in([from, &path[n_file + 1..]].concat(), files, handed_on)
        }
        _ => Some(file),
    }
}

/// Everything that a file needs, and what that needs, ....
fn reached<'a>(
    module: &'a Module,
    needs: &'a BTreeMap<&Module, BTreeSet<Module>>,
) -> BTreeSet<&'a Module> {
    let mut found = BTreeSet::new();
    let mut open = vec![module];
    while let Some(module) = open.pop() {
        open.extend(needs[module].iter().filter(|other| found.insert(*other)));
    }
    found
}

#[test]
fn circles_are_found() {
    let source = |path: &str, text: &str| Source {
        path: path.to_string(),
        text: text.to_string(),
    };
    let check = |sources: &[Source], want: &[&[&str]]| {
        let want: Vec<Vec<String>> = (want.iter())
            .map(|circle| circle.iter().map(|path| path.to_string()).collect())
            .collect();
        assert_eq!(circles(sources), want);
    };
    let uses = |what: &str| format!("//! x\nuse crate::{what};\n");
    check(
        &[
            source("src/sky/a.rs", &uses("sky::b::B")),
            source("src/sky/b.rs", &uses("sky::c::C")),
            source("src/sky/c.rs", &uses("sky::a::{self, A}")),
            source("src/sky/d.rs", &uses("sky::a::A")),
        ],
        &[&["src/sky/a.rs", "src/sky/b.rs", "src/sky/c.rs"]],
    );
    // Handed on only, and used by the other file below: no circle.
    check(
        &[
            source(
                "src/sky/mod.rs",
                "//! x\nmod a;\nmod b;\npub use self::a::A;",
            ),
            source("src/sky/a.rs", "//! x"),
            source("src/sky/b.rs", &uses("sky::A")),
        ],
        &[],
    );
    // Used by the mod.rs too, which the file below needs for something of its own.
    check(
        &[
            source(
                "src/sky/mod.rs",
                "//! x\nmod a;\npub struct S; fn f() { a::g() }",
            ),
            source("src/sky/a.rs", "//! x\nuse super::S;"),
        ],
        &[&["src/sky/mod.rs", "src/sky/a.rs"]],
    );
    // Tests may look up.
    check(
        &[
            source(
                "src/sky/a.rs",
                "//! x\n#[cfg(test)]\nmod tests { use crate::sky::b::B; }",
            ),
            source("src/sky/b.rs", &uses("sky::a::A")),
        ],
        &[],
    );
}
