//! Letters that the bundled faces lack, from the fonts of the machine: names in any script are shown as far as a font is installed
//! that has them. Paper takes no part in this: a sheet is the same everywhere, and says which signs it lacks.

use fontdb::{Database, Style, Weight};
use std::collections::BTreeSet;

/// The most faces that are taken: each is held whole.
const MOST_FACES: usize = 8;
/// The largest file of a face, bytes: that of all Chinese, Japanese and Korean signs is some twenty million.
const MOST_BYTES: usize = 64_000_000;

/// A face of the machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Face {
    /// A name of its own among the window's fonts.
    pub name: String,
    /// The file.
    pub bytes: Vec<u8>,
    /// Which face of the file.
    pub index: u32,
}

/// The faces of the machine that have these letters, as few as a look at one after the other gives.
pub fn of_machine(letters: &BTreeSet<char>) -> Vec<Face> {
    let mut fonts = Database::new();
    fonts.load_system_fonts();
    find(&fonts, letters)
}

fn find(fonts: &Database, letters: &BTreeSet<char>) -> Vec<Face> {
    let has = |id: fontdb::ID| -> BTreeSet<char> {
        let covered = |data: &[u8], index: u32| -> BTreeSet<char> {
            let Ok(face) = ttf_parser::Face::parse(data, index) else { return BTreeSet::new() };
            // A face of pictures alone is of no use here.
            let drawn = face.tables().glyf.is_some() || face.tables().cff.is_some();
            letters.iter().copied().filter(|letter| drawn && face.glyph_index(*letter).is_some()).collect()
        };
        fonts.with_face_data(id, covered).unwrap_or_default()
    };
    // Plain upright faces first; the order of what is left is that of their names, so that every start looks the same.
    let mut all: Vec<_> = fonts.faces().collect();
    all.sort_by_key(|face| {
        let plain = face.style == Style::Normal && face.weight == Weight::NORMAL && !face.monospaced;
        (!plain, face.post_script_name.clone(), face.index)
    });
    let mut candidates: Vec<(fontdb::ID, BTreeSet<char>)> =
        all.iter().map(|face| (face.id, has(face.id))).filter(|(_, has)| !has.is_empty()).collect();
    let mut left = letters.clone();
    let mut found = Vec::new();
    while !left.is_empty() && found.len() < MOST_FACES {
        // The first of those that have most.
        let most = candidates.iter().map(|(_, has)| has.intersection(&left).count()).max().unwrap_or(0);
        let Some(at) =
            candidates.iter().position(|(_, has)| most > 0 && has.intersection(&left).count() == most)
        else {
            break;
        };
        let (id, has) = candidates.swap_remove(at);
        let data = fonts
            .with_face_data(id, |data, index| (data.len() <= MOST_BYTES).then(|| (data.to_vec(), index)));
        if let Some((bytes, index)) = data.flatten() {
            left.retain(|letter| !has.contains(letter));
            found.push(Face { name: format!("machine {id}"), bytes, index });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_face_that_has_most_is_taken_and_what_nobody_has_is_left() {
        let mut fonts = Database::new();
        for bytes in [
            include_bytes!("../../../../assets/fonts/SourceSans3-Regular.ttf").to_vec(),
            include_bytes!("../../../../assets/fonts/NotoMusic-Regular.ttf").to_vec(),
        ] {
            fonts.load_font_data(bytes);
        }
        let letters = |text: &str| text.chars().collect::<BTreeSet<char>>();
        let latin = find(&fonts, &letters("Ж"));
        assert_eq!(latin.len(), 1, "Source Sans 3 has it");
        let both = find(&fonts, &letters("Ж\u{1d11e}"));
        assert_eq!(both.len(), 2, "one has the letter, the other the clef");
        assert_eq!(find(&fonts, &letters("\u{65e5}")), [], "neither has it");
        assert_eq!(find(&fonts, &BTreeSet::new()), []);
    }
}
