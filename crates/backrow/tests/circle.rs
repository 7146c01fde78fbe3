//! No room of the window imports one that imports it back, however far around: a place can be read, tested and moved alone.
//!
//! A room is a place, a part of the shell, or a module at the root, each with the files in its folder. The arrows are read from
//! the text: `crate::` and `super::` paths, and a module's own children. Within a room the same holds of its files, but for a file and
//! those that stand beneath it: a place owns its state, which its parts are given, and calls its parts.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

type Arrows = BTreeMap<String, BTreeSet<String>>;

/// Every source file by its module's path: `places::floor::plan`.
fn sources() -> BTreeMap<String, String> {
    fn walk(folder: &Path, at: &str, all: &mut BTreeMap<String, String>) {
        for entry in std::fs::read_dir(folder).expect("the source folder") {
            let path = entry.expect("an entry").path();
            let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
            let module = if at.is_empty() { stem } else { format!("{at}::{stem}") };
            if path.is_dir() {
                walk(&path, &module, all);
            } else if path.extension().is_some_and(|e| e == "rs") && module != "lib" && module != "main" {
                all.insert(module, without_notes(&std::fs::read_to_string(&path).expect("a file")));
            }
        }
    }
    let mut all = BTreeMap::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), "", &mut all);
    all
}

/// The text without comments and without the tests beside it.
fn without_notes(text: &str) -> String {
    let code = text.split("#[cfg(test)]").next().unwrap_or(text);
    code.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

/// Every path in the text that begins so, with the names in braces written out.
fn paths(text: &str, beginning: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices(beginning) {
        let (head, tail) = text.split_at(at);
        let before = head.chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = tail.strip_prefix(beginning).unwrap_or_default();
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':')).unwrap_or(rest.len());
        let (stem, after) = rest.split_at(end);
        match after.strip_prefix('{').filter(|_| stem.is_empty() || stem.ends_with("::")) {
            Some(inside) => found.extend(names(inside).into_iter().map(|name| format!("{stem}{name}"))),
            None => found.push(stem.to_owned()),
        }
    }
    found
}

/// The names between braces, each without what it has in braces itself.
fn names(inside: &str) -> Vec<String> {
    let (mut all, mut now, mut deep) = (Vec::new(), String::new(), 0);
    for c in inside.chars() {
        match c {
            '{' => deep += 1,
            '}' if deep == 0 => break,
            '}' => deep -= 1,
            ',' if deep == 0 => all.push(std::mem::take(&mut now)),
            c if deep == 0 && !c.is_whitespace() => now.push(c),
            _ => {}
        }
    }
    all.push(now);
    all
}

/// The deepest module that a path names.
fn module_of(path: &str, sources: &BTreeMap<String, String>) -> Option<String> {
    let mut parts: Vec<&str> = path.split("::").filter(|part| !part.is_empty()).collect();
    while !parts.is_empty() {
        let module = parts.join("::");
        if sources.contains_key(&module) {
            return Some(module);
        }
        parts.pop();
    }
    None
}

fn room(module: &str) -> String {
    let deep = if module.starts_with("places::") || module.starts_with("frame::") { 2 } else { 1 };
    module.split("::").take(deep).collect::<Vec<_>>().join("::")
}

/// Whether one of two modules stands beneath the other.
fn are_of_one_line(one: &str, other: &str) -> bool {
    let beneath = |a: &str, b: &str| b.strip_prefix(a).is_some_and(|rest| rest.starts_with("::"));
    one == other || beneath(one, other) || beneath(other, one)
}

/// The arrows between files of which neither stands beneath the other, `super::` paths and paths from a module's children down too.
fn beside(sources: &BTreeMap<String, String>) -> Arrows {
    let mut all = Arrows::new();
    for (module, text) in sources {
        let mut add = |path: String| {
            if let Some(to) = module_of(&path, sources).filter(|to| !are_of_one_line(module, to)) {
                all.entry(module.clone()).or_default().insert(to);
            }
        };
        paths(text, "crate::").into_iter().for_each(&mut add);
        let parts: Vec<&str> = module.split("::").collect();
        for deep in 1..=parts.len() {
            let above = parts.get(..parts.len() - deep).unwrap_or_default().join("::");
            let own = paths(text, &"super::".repeat(deep));
            own.iter()
                .filter(|path| !path.starts_with("super"))
                .for_each(|path| add(format!("{above}::{path}")));
        }
    }
    all
}

fn arrows(sources: &BTreeMap<String, String>) -> (Arrows, Arrows) {
    let (mut files, mut rooms) = (Arrows::new(), Arrows::new());
    for (module, text) in sources {
        let mut to_room = |to: &str| {
            if room(to) != room(module) {
                rooms.entry(room(module)).or_default().insert(room(to));
            }
        };
        for path in paths(text, "crate::") {
            if let Some(to) = module_of(&path, sources).filter(|to| to != module) {
                to_room(&to);
                files.entry(module.clone()).or_default().insert(to);
            }
        }
        for (deep, beginning) in [(1, "super::"), (2, "super::super::")] {
            let parts: Vec<&str> = module.split("::").collect();
            let above = parts.get(..parts.len().saturating_sub(deep)).unwrap_or_default().join("::");
            for path in paths(text, beginning).iter().filter(|path| !path.starts_with("super")) {
                if let Some(to) = module_of(&format!("{above}::{path}"), sources) {
                    to_room(&to);
                }
            }
        }
        for child in sources.keys() {
            if child.rsplit_once("::").is_some_and(|(parent, _)| parent == module) {
                to_room(child);
            }
        }
    }
    (files, rooms)
}

/// Everything that can be reached from one and leads back to it.
fn circle(arrows: &Arrows) -> BTreeSet<String> {
    let reached = |from: &str| {
        let (mut seen, mut open) = (BTreeSet::new(), vec![from.to_owned()]);
        while let Some(at) = open.pop() {
            for to in arrows.get(&at).into_iter().flatten() {
                if seen.insert(to.clone()) {
                    open.push(to.clone());
                }
            }
        }
        seen
    };
    arrows.keys().filter(|from| reached(from).contains(*from)).cloned().collect()
}

#[test]
fn no_file_and_no_room_is_in_a_circle() {
    let sources = sources();
    assert!(sources.len() > 100, "the source files were found: {}", sources.len());
    let (files, rooms) = arrows(&sources);
    assert!(rooms.len() > 20 && rooms["scene"].contains("theme"), "the arrows were read: {rooms:?}");
    assert_eq!(circle(&files), BTreeSet::new(), "files that import each other, however far around");
    assert_eq!(circle(&rooms), BTreeSet::new(), "rooms that import each other, however far around");
    let beside = beside(&sources);
    assert!(
        beside["places::floor::keys"].contains("places::floor::many"),
        "{:?}",
        beside["places::floor::keys"]
    );
    assert_eq!(
        circle(&beside),
        BTreeSet::new(),
        "files of a room that import each other, however far around"
    );
}

#[test]
fn a_circle_is_noticed() {
    let file = |text: &str| without_notes(text);
    let sources: BTreeMap<String, String> = [
        ("view", file("use crate::places::{floor::State, week};")),
        ("places", file("pub mod floor;")),
        ("places::floor", file("use crate::view::View;")),
        (
            "places::week",
            file("// use crate::view::View;\n#[cfg(test)] mod tests { use crate::view::View; }"),
        ),
    ]
    .map(|(module, text)| (module.to_owned(), text))
    .into();
    let (files, rooms) = arrows(&sources);
    let both = BTreeSet::from(["places::floor".to_owned(), "view".to_owned()]);
    assert_eq!(circle(&files), both);
    assert_eq!(circle(&rooms), both);
    let up: BTreeMap<String, String> =
        [("places", file("pub mod floor;")), ("places::floor", file("use super::Places;"))]
            .map(|(module, text)| (module.to_owned(), text))
            .into();
    assert_eq!(circle(&arrows(&up).1).len(), 2, "a child that imports the list of all places");
    let within: BTreeMap<String, String> = [
        ("places::floor", file("mod many; mod plan; struct State;")),
        ("places::floor::many", file("use super::State; use super::plan::Plan;")),
        ("places::floor::plan", file("use super::State;")),
        ("places::floor::plan::laid", file("use super::super::{many::chosen, State};")),
    ]
    .map(|(module, text)| (module.to_owned(), text))
    .into();
    assert_eq!(circle(&beside(&within)), BTreeSet::new(), "a place owns its state");
    let mut back = within;
    back.insert("places::floor::plan".to_owned(), file("use super::many::chosen;"));
    assert_eq!(circle(&beside(&back)).len(), 2);
}
