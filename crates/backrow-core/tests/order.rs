//! The rooms of the core stand in one order, which `lib.rs` states; no room may use one that stands above it.

#![allow(clippy::expect_used, reason = "a test may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The order as `lib.rs` states it, bottom to top.
fn order() -> Vec<String> {
    let text = fs::read_to_string(source().join("lib.rs")).expect("lib.rs");
    let stated =
        text.split("Bottom to top: ").nth(1).expect("the order").split("`].").next().expect("its end");
    stated.split("[`").skip(1).filter_map(|room| room.split("`]").next()).map(str::to_owned).collect()
}

/// The rooms that `lib.rs` declares, but for what tests share.
fn rooms() -> Vec<String> {
    let text = fs::read_to_string(source().join("lib.rs")).expect("lib.rs");
    let declared = text.lines().filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'));
    declared.map(str::to_owned).collect()
}

fn files(of: &Path, found: &mut Vec<PathBuf>) {
    if of.is_file() {
        found.push(of.to_owned());
    } else if let Ok(entries) = fs::read_dir(of) {
        for entry in entries.flatten() {
            files(&entry.path(), found);
        }
    }
}

/// Every `crate::room` that a room's files name outside their tests and comments, with the file.
fn uses(room: &str) -> Vec<(String, PathBuf)> {
    let mut all = Vec::new();
    files(&source().join(format!("{room}.rs")), &mut all);
    files(&source().join(room), &mut all);
    let mut found = Vec::new();
    for file in all.into_iter().filter(|file| file.extension().is_some_and(|ending| ending == "rs")) {
        if file.file_stem().is_some_and(|stem| stem == "tests" || stem == "worked") {
            continue;
        }
        let text = fs::read_to_string(&file).expect("a source file");
        let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
        let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
        let code = lines.collect::<Vec<_>>().join("\n");
        found.extend(named(&code).into_iter().map(|name| (name, file.clone())));
    }
    found
}

/// The rooms that follow `crate::` in a text, each of those in braces too.
fn named(code: &str) -> Vec<String> {
    let room = |text: &str| {
        let name = text.trim_start().split(|c: char| !c.is_ascii_lowercase() && c != '_').next();
        name.unwrap_or_default().to_owned()
    };
    let mut found = Vec::new();
    for rest in code.split("crate::").skip(1) {
        let Some(inside) = rest.strip_prefix('{') else {
            found.push(room(rest));
            continue;
        };
        let (mut depth, mut begins) = (0, true);
        for (at, c) in inside.char_indices() {
            if begins && !c.is_whitespace() {
                found.push(room(inside.get(at..).unwrap_or_default()));
                begins = false;
            }
            match c {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' => begins = depth == 0,
                _ => {}
            }
        }
    }
    found.retain(|name| !name.is_empty());
    found
}

#[test]
fn rooms_in_braces_are_seen() {
    let code = "use crate::{\n    id::{PlayerId, LineId},\n    week,\n};\nuse crate::moves::Move; crate::edit::apply()";
    assert_eq!(named(code), ["id", "week", "moves", "edit"]);
}

#[test]
fn the_order_names_every_room_once() {
    let (mut stated, mut declared) = (order(), rooms());
    stated.sort();
    declared.sort();
    assert_eq!(stated, declared, "lib.rs states the order of all its rooms: a new one gets its place there");
}

#[test]
fn no_arrow_points_up() {
    let order = order();
    let at: BTreeMap<&str, usize> = order.iter().enumerate().map(|(at, room)| (room.as_str(), at)).collect();
    let (mut up, mut looked_at) = (Vec::new(), 0);
    for (room, own) in &at {
        for (used, file) in uses(room) {
            looked_at += 1;
            if at.get(used.as_str()).is_some_and(|other| other > own) {
                let file = file.strip_prefix(source()).expect("below src").display().to_string();
                up.push(format!("{room} uses {used}, which stands above it: {file}"));
            }
        }
    }
    assert!(up.is_empty(), "{}", up.join("\n"));
    assert!(looked_at > 100, "the source was looked through: {looked_at} arrows");
}
