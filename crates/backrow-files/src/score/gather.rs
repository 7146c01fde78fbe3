//! Files of one work put together as its movements, in order: a guess, with its reason, that the user may change.

mod numbers;
mod take;

pub use take::{known_work, take_all};

use super::names::key;
use super::reading::{ScoreReading, TitleFrom};
use super::work::{natural_name, work_of_movements};
use backrow_core::id::slug_of;
use backrow_core::music::Work;
use numbers::{number_of, split_title, stem_number};

/// Files put together as works.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gathered {
    /// In order.
    pub works: Vec<GatheredWork>,
}

/// One work with the files of its movements.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GatheredWork {
    /// As it would stand in the programme.
    pub title: String,
    /// As it would stand in the programme.
    pub composer: String,
    /// Its movements in order; at least one.
    pub pieces: Vec<Piece>,
}

/// A file as a movement.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Which of the readings it is.
    pub reading: usize,
    /// The movement's number, where something says it.
    pub number: Option<u32>,
    /// Why it stands here, in words.
    pub why: String,
}

/// What one file says of itself.
struct Said {
    title: String,
    /// Work and composer without what may be printed in several ways.
    key: (String, Vec<String>),
    composer: String,
    number: Option<u32>,
    movement: String,
    why: String,
    /// Only a number before the file's name says what it belongs to.
    led: bool,
}

/// Puts readings together; their file names may have folders before them.
pub fn gather(readings: &[&ScoreReading]) -> Gathered {
    let said_all: Vec<Said> = readings.iter().map(|reading| said(reading)).collect();
    let mut gathered = Gathered::default();
    let mut keys: Vec<(String, Vec<String>)> = Vec::new();
    for (reading, said) in said_all.iter().enumerate() {
        let piece = |why: &str| Piece { reading, number: said.number, why: why.to_owned() };
        let own = |piece: Piece, title: &str| GatheredWork {
            title: title.to_owned(),
            composer: said.composer.clone(),
            pieces: vec![piece],
        };
        let Some(at) = keys.iter().position(|key| same_work(key, &said.key)) else {
            gathered.works.push(own(piece(&said.why), &said.title));
            keys.push(said.key.clone());
            continue;
        };
        let twice = gathered.works.get(at).and_then(|work| {
            let same =
                |piece: &&Piece| said_all.get(piece.reading).is_some_and(|there| says_twice(there, said));
            work.pieces.iter().find(same)
        });
        if let Some(twice) = twice {
            let other = readings.get(twice.reading).map_or("", |reading| &reading.file);
            let why = format!("the same movement as {other}: another version of it");
            gathered.works.push(own(piece(&why), &format!("{} (another version)", said.title)));
            // Nothing joins a version by itself.
            keys.push((String::new(), Vec::new()));
            continue;
        }
        if let (Some(work), Some((_, composer))) = (gathered.works.get_mut(at), keys.get_mut(at)) {
            work.pieces.push(piece(&said.why));
            if composer.is_empty() {
                composer.clone_from(&said.key.1);
                work.composer.clone_from(&said.composer);
            }
        }
    }
    part_collections(&mut gathered, &said_all);
    for work in &mut gathered.works {
        // Files without a number keep their order; those with one go by it.
        work.pieces.sort_by_key(|piece| piece.number.unwrap_or(u32::MAX));
    }
    gathered
}

/// Numbers before names that do not count movements, as those of a collection, part again into works of their own.
fn part_collections(gathered: &mut Gathered, said: &[Said]) {
    let mut parted = Vec::new();
    for work in std::mem::take(&mut gathered.works) {
        let led = work.pieces.iter().all(|piece| said.get(piece.reading).is_some_and(|said| said.led));
        let most = work.pieces.iter().filter_map(|piece| piece.number).max().unwrap_or(0);
        if !led
            || usize::try_from(most).is_ok_and(|most| most <= work.pieces.len() + 1) && work.pieces.len() > 1
        {
            parted.push(work);
            continue;
        }
        parted.extend(work.pieces.into_iter().map(|piece| {
            let said = said.get(piece.reading);
            GatheredWork {
                title: said.map_or_else(String::new, |said| said.movement.clone()),
                composer: work.composer.clone(),
                pieces: vec![Piece { number: None, why: "no movement is named".to_owned(), ..piece }],
            }
        }));
    }
    gathered.works = parted;
}

/// Whether two files say the same movement.
fn says_twice(there: &Said, new: &Said) -> bool {
    match (there.number, new.number) {
        (Some(one), Some(other)) => one == other,
        (None, None) => key(&there.movement) == key(&new.movement),
        _ => false,
    }
}

/// The names of a composer in an order of their own: "Invented, Tess" and "Tess Invented" are one.
fn names_of(composer: &str) -> Vec<String> {
    if composer.trim().is_empty() {
        return Vec::new();
    }
    let mut names: Vec<String> = slug_of(composer).split('-').map(str::to_owned).collect();
    names.sort();
    names
}

/// Whether two composers are the same as far as is known: by their names in any order, or one is not named.
pub fn same_composer(one: &str, other: &str) -> bool {
    let (one, other) = (names_of(one), names_of(other));
    one.is_empty() || other.is_empty() || one == other
}

fn same_work(one: &(String, Vec<String>), other: &(String, Vec<String>)) -> bool {
    !one.0.is_empty() && one.0 == other.0 && (one.1.is_empty() || other.1.is_empty() || one.1 == other.1)
}

fn said(reading: &ScoreReading) -> Said {
    let (folder, file) = reading.file.rsplit_once(['/', '\\']).unwrap_or(("", &reading.file));
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let by_name = stem_number(stem);
    let composer = natural_name(&reading.composer);
    let names = names_of(&composer);
    let split = split_title(&reading.title);
    let mut led = false;
    let (title, movement, work) = match reading.title_from {
        TitleFrom::Work => (split.work.clone(), reading.movement_title.clone(), key(&split.work)),
        // Without the work's own title the name of the file tells what belongs together.
        TitleFrom::Movement | TitleFrom::File => {
            led = by_name.as_ref().is_some_and(|(base, _)| base.is_empty());
            let base = by_name.as_ref().map_or(stem, |(base, _)| base);
            let base = if base.is_empty() { folder.rsplit(['/', '\\']).next().unwrap_or("") } else { base };
            let words = base.replace('_', " ").trim().to_owned();
            let movement = if reading.title_from == TitleFrom::Movement || led {
                reading.title.clone()
            } else {
                String::new()
            };
            match &by_name {
                Some(_) => (words, movement, key(&format!("{folder} {base}"))),
                None => (split.work.clone(), movement, key(&split.work)),
            }
        }
    };
    let told = [
        (number_of(&reading.movement_number), "the score names work and movement"),
        (numbers::leading_number(&reading.movement_title), "the movement’s title begins with its number"),
        (split.number, "the title ends with the movement"),
        (by_name.map(|(_, number)| number), "the file’s name ends with the movement’s number"),
    ];
    let found = told.iter().find_map(|(number, why)| number.map(|number| (number, *why)));
    let (number, why) = found.map_or((None, "no movement is named"), |(number, why)| (Some(number), why));
    Said { title, key: (work, names), composer, number, movement, why: why.to_owned(), led }
}

impl Gathered {
    /// The work and the place in it of a reading.
    pub fn place_of(&self, reading: usize) -> Option<(usize, usize)> {
        self.works.iter().enumerate().find_map(|(work, gathered)| {
            let at = gathered.pieces.iter().position(|piece| piece.reading == reading)?;
            Some((work, at))
        })
    }

    /// Takes a file out of its work, which goes when nothing is left of it.
    fn taken_out(&mut self, reading: usize) -> Option<(usize, Piece)> {
        let (work, at) = self.place_of(reading)?;
        let gathered = self.works.get_mut(work)?;
        let piece = gathered.pieces.remove(at);
        if gathered.pieces.is_empty() {
            self.works.remove(work);
        }
        Some((work, piece))
    }

    /// A file becomes a work of its own, after the one that it was taken for.
    pub fn own(&mut self, reading: usize, title: &str) {
        let alone =
            self.place_of(reading).and_then(|(at, _)| self.works.get(at)).map(|work| work.pieces.len());
        let composer =
            self.place_of(reading).and_then(|(at, _)| self.works.get(at)).map(|work| work.composer.clone());
        if alone == Some(1) {
            return;
        }
        let Some((was, piece)) = self.taken_out(reading) else { return };
        let piece = Piece { why: "chosen by hand".to_owned(), ..piece };
        let work = GatheredWork {
            title: title.to_owned(),
            composer: composer.unwrap_or_default(),
            pieces: vec![piece],
        };
        self.works.insert((was + 1).min(self.works.len()), work);
    }

    /// A file becomes a movement of the work of another file: in the order of the numbers, at the end without one.
    pub fn join(&mut self, reading: usize, into: usize) {
        if reading == into || self.place_of(reading).map(|p| p.0) == self.place_of(into).map(|p| p.0) {
            return;
        }
        if self.place_of(into).is_none() {
            return;
        }
        let Some((_, piece)) = self.taken_out(reading) else { return };
        let piece = Piece { why: "chosen by hand".to_owned(), ..piece };
        let Some(work) = self.place_of(into).and_then(|(at, _)| self.works.get_mut(at)) else { return };
        let number = piece.number.unwrap_or(u32::MAX);
        let at = work.pieces.iter().take_while(|other| other.number.unwrap_or(u32::MAX) <= number).count();
        work.pieces.insert(at, piece);
    }

    /// Moves a movement within its work, so many places later (or earlier, below 0).
    pub fn move_piece(&mut self, reading: usize, by: isize) {
        let Some((work, at)) = self.place_of(reading) else { return };
        let Some(work) = self.works.get_mut(work) else { return };
        if let Some(to) = at.checked_add_signed(by).filter(|to| *to < work.pieces.len()) {
            let piece = work.pieces.remove(at);
            work.pieces.insert(to, piece);
        }
    }

    /// Moves a work so many places later (or earlier, below 0).
    pub fn move_work(&mut self, at: usize, by: isize) {
        if let Some(to) =
            at.checked_add_signed(by).filter(|to| *to < self.works.len() && at < self.works.len())
        {
            let work = self.works.remove(at);
            self.works.insert(to, work);
        }
    }
}

impl GatheredWork {
    /// The work that its files make.
    pub fn work(&self, readings: &[&ScoreReading]) -> Work {
        let movements: Vec<(&ScoreReading, Option<u32>)> = self
            .pieces
            .iter()
            .filter_map(|piece| Some((*readings.get(piece.reading)?, piece.number)))
            .collect();
        work_of_movements(&self.title, &self.composer, &movements)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::music::Timeline;
    use proptest::prelude::*;
    use proptest::sample::select;

    fn reading(file: &str, title: &str, movement: (&str, &str), composer: &str) -> ScoreReading {
        let stem = file.rsplit(['/']).next().unwrap().rsplit_once('.').unwrap().0;
        ScoreReading {
            file: file.to_owned(),
            title: if title.is_empty() { stem.to_owned() } else { title.to_owned() },
            title_from: if title.is_empty() { TitleFrom::File } else { TitleFrom::Work },
            composer: composer.to_owned(),
            movement_number: movement.0.to_owned(),
            movement_title: movement.1.to_owned(),
            timeline: Timeline::default(),
            measures: 0,
            quarters: 0.0,
            lines: Vec::new(),
            problems: Vec::new(),
        }
    }

    /// "title: file file; title: file".
    fn shown(readings: &[ScoreReading]) -> String {
        let all: Vec<&ScoreReading> = readings.iter().collect();
        let works = gather(&all).works.into_iter().map(|work| {
            let files: Vec<&str> = work.pieces.iter().map(|piece| all[piece.reading].file.as_str()).collect();
            format!("{}: {}", work.title, files.join(" "))
        });
        works.collect::<Vec<_>>().join("; ")
    }

    #[test]
    fn files_that_name_work_and_movement_are_one_work_in_order() {
        let composer = ["Ostrandt, Maren", "Maren Ostrandt"];
        let files = [
            reading("b/tide_4.mxl", "Tide", ("4", "Finale"), composer[0]),
            reading("b/tide_2.mxl", "Tide", ("II", "Lento"), composer[1]),
            reading("ferry.mxl", "Ferry", ("", ""), "T. Invented"),
            reading("b/tide_1.mxl", "Tide", ("1", "Allegro"), ""),
            reading("other.mxl", "Tide", ("3", ""), "T. Invented"),
        ];
        assert_eq!(
            shown(&files),
            "Tide: b/tide_1.mxl b/tide_2.mxl b/tide_4.mxl; Ferry: ferry.mxl; Tide: other.mxl"
        );
    }

    #[test]
    fn titles_that_end_with_the_movement_are_one_work() {
        let files = [
            reading("x.mxl", "Symphony No. 2 - II. Scherzo", ("", ""), "A"),
            reading("y.mxl", "Symphony No. 2, 1st movement", ("", ""), "A"),
            reading("z.mxl", "Symphony No. 2: III. Trio", ("", ""), "A"),
            reading("w.mxl", "Symphony No. 3", ("", ""), "A"),
        ];
        assert_eq!(shown(&files), "Symphony No. 2: y.mxl x.mxl z.mxl; Symphony No. 3: w.mxl");
    }

    #[test]
    fn names_of_files_tell_where_the_scores_are_silent() {
        let files = [
            reading("Tide_Op.12_2.mid", "", ("", ""), ""),
            reading("Tide_Op.12_1.mid", "", ("", ""), ""),
            reading("Ferry.mid", "", ("", ""), ""),
            reading("Suite/01 Dawn.mid", "", ("", ""), ""),
            reading("Suite/02 Dusk.mid", "", ("", ""), ""),
            reading("Salt mvt3.mid", "", ("", ""), ""),
            reading("Tunes/05 Gull.mid", "", ("", ""), ""),
            reading("Tunes/45 Heron.mid", "", ("", ""), ""),
        ];
        assert_eq!(
            shown(&files),
            "Tide Op.12: Tide_Op.12_1.mid Tide_Op.12_2.mid; Ferry: Ferry.mid; \
             Suite: Suite/01 Dawn.mid Suite/02 Dusk.mid; Salt: Salt mvt3.mid; \
             05 Gull: Tunes/05 Gull.mid; 45 Heron: Tunes/45 Heron.mid"
        );
    }

    #[test]
    fn the_same_movement_twice_is_another_version() {
        let files = [
            reading("a.mxl", "Tide", ("1", ""), "A"),
            reading("a_new.mxl", "Tide", ("1", ""), "A"),
            reading("b.mxl", "Tide", ("2", ""), "A"),
        ];
        assert_eq!(shown(&files), "Tide: a.mxl b.mxl; Tide (another version): a_new.mxl");
    }

    #[test]
    fn the_guess_can_be_changed() {
        let files = [
            reading("a.mxl", "Tide", ("1", ""), "A"),
            reading("b.mxl", "Tide", ("2", ""), "A"),
            reading("c.mxl", "Ferry", ("", ""), "B"),
        ];
        let all: Vec<&ScoreReading> = files.iter().collect();
        let mut gathered = gather(&all);
        let titles = |gathered: &Gathered| -> Vec<(String, usize)> {
            gathered.works.iter().map(|work| (work.title.clone(), work.pieces.len())).collect()
        };
        gathered.own(1, "Second tide");
        assert_eq!(titles(&gathered), [("Tide".into(), 1), ("Second tide".into(), 1), ("Ferry".into(), 1)]);
        gathered.join(2, 0);
        assert_eq!(titles(&gathered), [("Tide".into(), 2), ("Second tide".into(), 1)]);
        gathered.move_piece(2, -1);
        assert_eq!(gathered.place_of(2), Some((0, 0)));
        gathered.move_work(1, -1);
        assert_eq!(titles(&gathered), [("Second tide".into(), 1), ("Tide".into(), 2)]);
        let work = gathered.works[1].work(&all);
        assert_eq!(work.movements.iter().map(|m| m.number.as_str()).collect::<Vec<_>>(), ["", "I"]);
    }

    proptest! {
        #[test]
        fn every_file_stands_in_one_place(
            files in proptest::collection::vec(
                (
                    select(vec!["tide.mxl", "tide_1.mxl", "x/02 Dusk.mid", "x/01 Dawn.mid", "x/9 Noon.mid"]),
                    select(vec!["", "Tide", "Tide - II. Lento", "Ferry"]),
                    select(vec!["", "1", "III", "later"]),
                    select(vec!["", "A. Nemo", "Nemo, A."]),
                ),
                0..12,
            ),
            changes in proptest::collection::vec((0_usize..3, 0_usize..12, 0_usize..12), 0..12),
        ) {
            let files: Vec<ScoreReading> =
                files.into_iter().map(|(file, title, number, composer)| reading(file, title, (number, ""), composer)).collect();
            let all: Vec<&ScoreReading> = files.iter().collect();
            let mut gathered = gather(&all);
            for (what, one, other) in changes {
                match what {
                    0 => gathered.own(one, "Own"),
                    1 => gathered.join(one, other),
                    _ => gathered.move_piece(one, if other % 2 == 0 { 1 } else { -1 }),
                }
                let mut there: Vec<usize> =
                    gathered.works.iter().flat_map(|work| &work.pieces).map(|piece| piece.reading).collect();
                there.sort_unstable();
                prop_assert_eq!(there, (0..files.len()).collect::<Vec<_>>());
                prop_assert!(gathered.works.iter().all(|work| !work.pieces.is_empty()));
            }
        }
    }
}
