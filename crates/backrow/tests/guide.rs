//! The guide is whole: a page a place, every picture that a page names, every page named by the first. On wish it takes the pictures
//! anew from the demo, drawn by the processor alone:
//!
//!     BACKROW_GUIDE_PICTURES=1 cargo test -p backrow --test guide
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

#[path = "window/raster.rs"]
mod raster;
mod window;

use backrow::app::App;
use backrow::settings::{Settings, ThemeChoice};
use backrow::view::{CollectionTab, Place};
use egui_kittest::Harness;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use window::settle;

fn guide() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide")
}

fn file_of(place: Place) -> String {
    place.word().to_lowercase().replace(' ', "-")
}

fn pages() -> Vec<(String, String)> {
    let mut pages: Vec<(String, String)> = std::fs::read_dir(guide())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    pages.sort();
    pages
}

/// What stands in brackets after a link's words, with what stands before them: `(pictures/floor.png, true)` for a picture.
fn links(text: &str) -> Vec<(String, bool)> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices("](") {
        let rest = &text.get(at + 2..).unwrap();
        let target = rest.split(')').next().unwrap().to_owned();
        let words = text.get(..at).unwrap();
        let is_picture = words.rfind('[').is_some_and(|from| words.get(..from).unwrap().ends_with('!'));
        found.push((target, is_picture));
    }
    found
}

#[test]
fn every_place_has_a_page_with_its_picture_and_every_link_leads_somewhere() {
    let pages = pages();
    let (_, first) = pages.iter().find(|(name, _)| name == "README.md").unwrap();
    let mut named = BTreeSet::new();
    for (name, text) in &pages {
        assert!(text.starts_with("# "), "{name} has a title");
        assert!(name == "README.md" || first.contains(&format!("]({name})")), "{name} is in the contents");
        for (target, is_picture) in links(text) {
            assert!(guide().join(&target).is_file(), "{name} names {target}, which is not there");
            assert_eq!(
                is_picture,
                Path::new(&target).extension().is_some_and(|ending| ending == "png"),
                "{name}: {target}"
            );
            if is_picture {
                named.insert(target);
            }
        }
    }
    for place in Place::ALL {
        let file = file_of(*place);
        let page = pages.iter().find(|(name, _)| *name == format!("{file}.md"));
        let (_, text) = page.unwrap_or_else(|| panic!("{place:?} has no page {file}.md"));
        assert!(text.starts_with(&format!("# {}\n", place.word())), "{file}.md has another title");
        assert!(named.contains(&format!("pictures/{file}.png")), "{file}.md shows no picture of the place");
    }
    for entry in std::fs::read_dir(guide().join("pictures")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(named.contains(&format!("pictures/{name}")), "no page shows {name}");
    }
}

/// Every key that a page names is a key of the window.
#[test]
fn the_keys_that_the_guide_names_are_there() {
    let mut known: BTreeSet<String> = BTreeSet::new();
    for action in backrow::actions::Action::ALL {
        known.extend(action.shortcuts().map(backrow::actions::shortcut_words));
    }
    for place in Place::ALL {
        for (keys, _) in backrow::places::keys(*place) {
            known.extend(keys.split(", ").map(str::to_owned));
        }
    }
    for (name, text) in pages() {
        for start in ["Ctrl Shift ", "Ctrl ", "Shift F", "Alt "] {
            for (at, _) in text.match_indices(start) {
                let before = text.get(..at).unwrap().chars().last();
                if before.is_some_and(char::is_alphanumeric) || text.get(..at).unwrap().ends_with("Ctrl ") {
                    continue;
                }
                let rest: String = text
                    .get(at + start.len()..)
                    .unwrap()
                    .chars()
                    .take_while(char::is_ascii_alphanumeric)
                    .collect();
                let key = format!("{start}{rest}");
                // "Ctrl and a click", "Ctrl with the wheel": no key of its own. "Ctrl Shift" is looked at whole.
                if rest.is_empty()
                    || rest == "Shift"
                    || rest.chars().next().is_some_and(|c| c.is_ascii_lowercase())
                {
                    continue;
                }
                assert!(known.contains(&key), "{name} names {key}, which does nothing");
            }
        }
    }
}

/// A place as it looks with the demo, on paper's colours.
fn shown(library: &Path, place: Place) -> Harness<'static, App> {
    let settings = Settings {
        place,
        theme: ThemeChoice::Paper,
        programme: Some("tidelands".to_owned()),
        ..Settings::default()
    };
    let app = App::open(library, settings, None);
    let mut h = Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_theme(egui::Theme::Light)
        .with_max_steps(40)
        .renderer(raster::Cpu::default())
        .build_ui_state(|ui, app: &mut App| app.ui(ui), app);
    settle(&mut h);
    let app = h.state_mut();
    let now = app.history.now().clone();
    if let Some(at) = app.view.programme_in(&now).and_then(|programme| {
        let mut lines = programme.lines();
        lines
            .find(|(at, given)| {
                given.player.is_some() && now.line(at).is_some_and(|(_, line)| line.is_pitched())
            })
            .map(|(at, _)| at.clone())
    }) {
        app.view.turn_to_line(&now, &at);
    }
    if place == Place::Collection {
        app.places.collection.turn_to(CollectionTab::Instruments);
    }
    settle(&mut h);
    // What is worked out beside the frame is in the picture too.
    for _ in 0..3_000 {
        if window::in_view(&h, |label| label.starts_with("Being worked out")).is_none() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
        settle(&mut h);
    }
    h
}

#[test]
fn pictures_are_taken_on_wish() {
    if std::env::var_os("BACKROW_GUIDE_PICTURES").is_none() {
        return;
    }
    let home = tempfile::tempdir().unwrap();
    let library = home.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    for place in Place::ALL {
        let mut h = shown(&library, *place);
        let picture = h.render().unwrap();
        // Without the harness's own edge, and without the line at the foot, which names the folder that this was taken in.
        let picture = image::imageops::crop_imm(&picture, 8, 8, 1264, 760).to_image();
        let picture = image::DynamicImage::ImageRgba8(picture).to_rgb8();
        let file = guide().join("pictures").join(format!("{}.png", file_of(*place)));
        let out = std::io::BufWriter::new(std::fs::File::create(&file).unwrap());
        let encoder = image::codecs::png::PngEncoder::new_with_quality(
            out,
            image::codecs::png::CompressionType::Best,
            image::codecs::png::FilterType::NoFilter,
        );
        picture.write_with_encoder(encoder).unwrap();
    }
}
