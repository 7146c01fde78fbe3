//! A page of paper is a picture too: typical and nasty pages, compared by pixels with pictures that somebody has looked at.
//!
//! After a wanted change of a template the pictures are written anew with `BACKROW_GOLDEN=write`, and looked at before they are
//! committed.

#![allow(clippy::unwrap_used, reason = "a sheet that cannot be set is a failed test")]

mod data;

use backrow_print::list::ListSheet;
use backrow_print::load::LoadSheet;
use backrow_print::plan::PlanSheet;
use backrow_print::player::PlayerSheet;
use backrow_print::{Pages, Paper, Picture, Press, Templates};
use std::path::PathBuf;

/// Pixels a point: a page of A4 upright is 357 by 505.
const PIXELS_PER_PT: f64 = 0.6;
/// Two pixels are alike when their grey differs by no more than this of 255.
const GREY: u8 = 72;
/// So many pixels of a page may differ: what another processor rounds otherwise. One short word that moves changes about a hundred.
const MOST: usize = 60;

/// Every sheet with the pages of it that are compared; typical ones first.
fn sheets(press: &Press) -> Vec<(&'static str, Pages)> {
    let own = Templates::default();
    let plan = |sheet: &PlanSheet, paper| press.plan(sheet, paper, &own).unwrap();
    let player = |sheet: &PlayerSheet, paper| press.player(sheet, paper, &own).unwrap();
    let load = |sheet: &LoadSheet| press.load(sheet, Paper::A4, &own).unwrap();
    let list = |sheet: &ListSheet| press.list(sheet, Paper::A4, &own).unwrap();
    vec![
        ("plan", plan(&data::plan(), Paper::A4)),
        ("plan-letter", plan(&data::plan(), Paper::Letter)),
        ("crew", plan(&data::crew(), Paper::A4)),
        ("player", player(&data::player(), Paper::A4)),
        ("load", load(&data::load())),
        ("list", list(&data::list())),
        ("grid", list(&data::grid())),
        ("plan-long", plan(&data::long_names(), Paper::A4)),
        ("plan-sixty", plan(&data::sixty(), Paper::A4)),
        ("plan-empty", plan(&PlanSheet::default(), Paper::A4)),
        ("player-long", player(&data::long_player(), Paper::A4)),
        ("player-empty", player(&PlayerSheet::default(), Paper::A4)),
        ("load-long", load(&data::long_load())),
        ("load-empty", load(&LoadSheet::default())),
        ("list-long", list(&data::long_list())),
        ("list-empty", list(&ListSheet::default())),
    ]
}

/// Of one sheet so many pages are kept: the first ones hold all that can go wrong.
const PAGES: usize = 3;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// The page as greys, and its width.
fn greys(picture: &Picture) -> (usize, Vec<u8>) {
    (picture.width as usize, picture.rgba.chunks(4).map(|pixel| pixel[0]).collect())
}

#[test]
fn pages_look_as_they_did_when_somebody_looked_at_them() {
    let press = Press::new();
    let write = std::env::var("BACKROW_GOLDEN").is_ok_and(|word| word == "write");
    let mut wrong = Vec::new();
    let mut compared = 0;
    for (name, pages) in sheets(&press) {
        for page in 0..pages.count().min(PAGES) {
            let file = folder().join(format!("{name}-{}.png", page + 1));
            let (width, now) = greys(&pages.picture(page, PIXELS_PER_PT).unwrap());
            let height = now.len() / width;
            if write {
                std::fs::create_dir_all(folder()).unwrap();
                let size = (u32::try_from(width).unwrap(), u32::try_from(height).unwrap());
                image::GrayImage::from_raw(size.0, size.1, now).unwrap().save(&file).unwrap();
                continue;
            }
            let Ok(kept) = image::open(&file) else {
                wrong.push(format!("{} is not there", file.display()));
                continue;
            };
            compared += 1;
            let kept = kept.into_luma8();
            if (kept.width() as usize, kept.height() as usize) != (width, height) {
                wrong.push(format!("{name}, page {}: another size of paper", page + 1));
                continue;
            }
            let other = kept.as_raw().iter().zip(&now).filter(|(a, b)| a.abs_diff(**b) > GREY).count();
            if other > MOST {
                wrong.push(format!("{name}, page {}: {other} of {} pixels differ", page + 1, now.len()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\nWhere that is wanted: BACKROW_GOLDEN=write cargo test -p backrow-print --test golden, then look at the pictures.",
        wrong.join("\n")
    );
    assert!(write || compared >= 24, "only {compared} pages were compared");
}

/// The comparison sees a word that was moved by a few points.
#[test]
fn a_moved_word_is_seen() {
    let press = Press::new();
    let own = Templates::default();
    let grey = |sheet: &ListSheet| {
        greys(&press.list(sheet, Paper::A4, &own).unwrap().picture(0, PIXELS_PER_PT).unwrap()).1
    };
    let mut moved = data::list();
    moved.sections[0].rows[0].cells[0] = "A wind machine".into();
    let (one, other) = (grey(&data::list()), grey(&moved));
    let differ = one.iter().zip(&other).filter(|(a, b)| a.abs_diff(**b) > GREY).count();
    assert!(differ > MOST, "{differ} pixels");
}
