//! How a line spells its sounding pitches: a B flat stays a B flat wherever it is named.

use super::Line;
use crate::compass::PitchSet;
use crate::pitch::{KeyNumber, Spelled};
use std::collections::BTreeMap;

/// The sounding pitches of a line with their names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spelling(BTreeMap<KeyNumber, Spelled>);

impl Line {
    /// How it spells what it sounds: as written, moved by whole octaves; of two spellings the one that is struck more often.
    pub fn spelling(&self) -> Spelling {
        let mut names: BTreeMap<KeyNumber, (u32, Spelled)> = BTreeMap::new();
        for (note, count) in self.written_counts() {
            let semitones = self.octave.semitones() + i32::from(note.shift);
            let moved = (semitones % 12 == 0).then(|| note.written.octaves_up(semitones / 12)).flatten();
            let Some((name, key)) =
                moved.zip(self.sounding_of(&note)).filter(|(name, key)| name.key() == *key)
            else {
                continue;
            };
            let best = names.entry(key).or_insert((count, name));
            if best.0 < count {
                *best = (count, name);
            }
        }
        Spelling(names.into_iter().map(|(key, (_, name))| (key, name)).collect())
    }

    /// The pitches it needs, sounding, in words: "F2 B♭2 F3".
    pub fn sounding_words(&self) -> String {
        self.spelling().words(self.sounding())
    }
}

impl Spelling {
    /// The name of a key; the usual one where the line has none for it.
    pub fn of(&self, key: KeyNumber) -> Spelled {
        self.0.get(&key).copied().unwrap_or_else(|| Spelled::usual(key))
    }

    /// A set of pitches in these names, runs of neighbours as one.
    pub fn words(&self, set: PitchSet) -> String {
        set.words(|key| self.of(key).to_string())
    }
}

#[cfg(test)]
mod tests {
    use crate::pitch::Octave;
    use crate::sample;

    #[test]
    fn a_flat_stays_a_flat() {
        let timpani = sample::line("t", Some("timpani"), Octave::AS_WRITTEN, "F2 Bb2 B2 Bb2 F3 A#2");
        assert_eq!(timpani.sounding_words(), "F2 B♭2 B2 F3");
        let bells = sample::line("g", Some("glockenspiel"), Octave::ONE_UP, "Eb5 G5");
        assert_eq!(bells.sounding_words(), "E♭6 G6");
    }

    #[test]
    fn what_the_part_does_not_spell_has_its_usual_name() {
        let line = sample::line("t", Some("timpani"), Octave::AS_WRITTEN, "F2");
        let sharp = crate::pitch::KeyNumber::new(46).unwrap();
        assert_eq!(line.spelling().of(sharp).to_string(), "A♯2");
    }
}
