//! The bars that are used, instrument by instrument, and on each movement by movement; what is the same stands once.

use super::super::names;
use super::Case;
use backrow_core::collection::{Instrument, Layout};
use backrow_core::compass::PitchSet;
use backrow_core::id::{InstrumentId, MovementId};
use backrow_core::music::{Line, Work};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use backrow_print::player::{KeyBar, Keyboard, KeyboardLayout, RackBar};
use std::collections::{BTreeMap, BTreeSet};

/// The player's keyboards, in order of their numbers on the plan, then of the music.
pub(super) fn keyboards(case: &Case<'_>) -> Vec<Keyboard> {
    let mut used: BTreeMap<(u32, InstrumentId), Vec<Used<'_>>> = BTreeMap::new();
    for taken in case.timetable.lines.iter().filter(|taken| taken.player.as_ref() == Some(&case.player.id)) {
        let Some((work, line)) = case.library.line(&taken.line).filter(|(_, line)| line.is_pitched()) else {
            continue;
        };
        let given = case.programme.assignment(&taken.line);
        for id in given.uses().collect::<BTreeSet<_>>() {
            let asks = given.asks_of(line, id);
            let number = case.programme.number_of(id).unwrap_or(u32::MAX);
            let list = used.entry((number, id.clone())).or_default();
            match list.last_mut().filter(|last| last.work.id == work.id && last.movement == taken.movement) {
                Some(last) => {
                    last.lines.push(line);
                    last.asks = last.asks.union(asks);
                }
                None => list.push(Used { work, movement: taken.movement.clone(), lines: vec![line], asks }),
            }
        }
    }
    used.iter().flat_map(|((_, id), music)| of_instrument(case, id, music)).collect()
}

/// One movement's lines on an instrument.
struct Used<'a> {
    work: &'a Work,
    movement: MovementId,
    lines: Vec<&'a Line>,
    /// What they ask of the instrument, as it sounds; the load list asks the same.
    asks: PitchSet,
}

/// A work's title with the numbers of its movements.
type Movements = (String, Vec<String>);

/// One instrument's keyboards; movements that use the same bars in the same way share one.
fn of_instrument(case: &Case<'_>, id: &InstrumentId, music: &[Used<'_>]) -> Vec<Keyboard> {
    let Some(thing) = case.library.instruments.get(id) else { return Vec::new() };
    let mut found: Vec<(Keyboard, Vec<Movements>)> = Vec::new();
    for used in music {
        let Some(keyboard) = keyboard(case, thing, used) else { continue };
        let title = &used.work.title;
        let number = used.work.movement(&used.movement).map_or("", |movement| movement.number.as_str());
        let at = found.iter().position(|(other, _)| *other == keyboard).unwrap_or_else(|| {
            found.push((keyboard, Vec::new()));
            found.len() - 1
        });
        let Some((_, places)) = found.get_mut(at) else { continue };
        match places.last_mut().filter(|(work, _)| work == title) {
            Some((_, numbers)) => numbers.push(number.to_owned()),
            None => places.push((title.clone(), vec![number.to_owned()])),
        }
    }
    let words = |places: Vec<Movements>| {
        let place =
            |(work, numbers): Movements| format!("{work} {}", numbers.join(", ")).trim_end().to_owned();
        places.into_iter().map(place).collect::<Vec<_>>().join("; ")
    };
    found.into_iter().map(|(keyboard, places)| Keyboard { music: words(places), ..keyboard }).collect()
}

/// `None` for drums, and for an instrument that none of the notes is on.
fn keyboard(case: &Case<'_>, thing: &Instrument, music: &Used<'_>) -> Option<Keyboard> {
    let (lines, asks) = (&music.lines, music.asks);
    let bars = thing.bars();
    // Dead bars are named, never counted as used.
    let (used, named) = (asks.intersection(thing.compass()), asks.intersection(bars));
    if named.is_empty() || thing.layout == Layout::Drums {
        return None;
    }
    let octave = lines.first().map(|line| line.octave).unwrap_or_default();
    let unit = case.library.kinds.get(&thing.kind).map_or("bar", |kind| kind.unit.as_str());
    let layout = match thing.layout {
        Layout::Rack if thing.frames.iter().any(|frame| !frame.order.is_empty()) => rack(thing, named, lines),
        _ => KeyboardLayout::Keys {
            bars: bars.iter().map(|key| bar(thing, lines, named, key)).collect(),
            round: matches!(unit, "disc" | "gong" | "bell"),
        },
    };
    Some(Keyboard {
        number: names::numbers(case.programme, std::slice::from_ref(&thing.id)),
        title: thing.name.clone(),
        part: unit.to_owned(),
        parts: if unit.ends_with('s') { format!("{unit}es") } else { format!("{unit}s") },
        music: String::new(),
        as_written: octave == Octave::AS_WRITTEN,
        by_octaves: octave.semitones() % 12 == 0,
        convention: convention(octave),
        total: bars.len(),
        used: used.len(),
        note: note(thing, lines, asks),
        layout,
        changed: false,
    })
}

fn bar(thing: &Instrument, lines: &[&Line], used: PitchSet, key: KeyNumber) -> KeyBar {
    let sounds =
        |line: &&Line| line.notes().find(|note| line.sounding_of(note) == Some(key)).map(|note| note.written);
    let written = lines.iter().find_map(sounds);
    let octave = lines.first().map(|line| line.octave).unwrap_or_default();
    let written = written.or_else(|| octave.written(key));
    // Spelled as the part spells it, where the written note leads there by whole octaves.
    let octaves = octave.semitones() / 12;
    let sounding = written.filter(|_| octave.semitones() % 12 == 0).and_then(|note| note.octaves_up(octaves));
    let sounding = sounding.filter(|note| note.key() == key).unwrap_or_else(|| Spelled::usual(key));
    KeyBar {
        key: key.number(),
        sounding: sounding.to_string(),
        written: written.map_or_else(String::new, |note| note.to_string()),
        used: used.contains(key),
        there: thing.compass().contains(key),
    }
}

/// What of the asked notes is dead, and where one of two bars is.
fn note(thing: &Instrument, lines: &[&Line], asks: PitchSet) -> String {
    let name = |key: KeyNumber| {
        let note = lines.iter().flat_map(|line| line.notes().map(move |note| (line, note)));
        let written = note
            .filter(|(line, note)| line.sounding_of(note) == Some(key))
            .map(|(_, note)| note.written)
            .next();
        written.map_or_else(|| key.to_string(), |written| written.to_string())
    };
    let list = |keys: PitchSet| keys.iter().map(name).collect::<Vec<_>>().join(", ");
    let dead = asks.intersection(thing.dead());
    let halves = thing.frames.iter().flat_map(|frame| {
        let one = move |key: &KeyNumber| frame.doubled.contains(*key) && frame.compass().contains(*key);
        frame.dead.iter().map(|bar| bar.key).filter(one)
    });
    let halves: PitchSet = halves.filter(|key| asks.contains(*key)).collect();
    let mut words = Vec::new();
    if !dead.is_empty() {
        words.push(format!("dead: {}", list(dead)));
    }
    if !halves.is_empty() {
        words.push(format!("one of two bars is dead: {}", list(halves)));
    }
    words.join("; ")
}

fn rack(thing: &Instrument, used: PitchSet, lines: &[&Line]) -> KeyboardLayout {
    let sounds = thing.compass();
    let row = |frame: &backrow_core::collection::Frame| -> Vec<RackBar> {
        let order: Vec<KeyNumber> =
            if frame.order.is_empty() { frame.bars().iter().collect() } else { frame.order.clone() };
        order
            .into_iter()
            .filter(|key| used.contains(*key))
            .map(|key| RackBar { name: names::spelled_by(lines, key), there: sounds.contains(key) })
            .collect()
    };
    let rows = thing.frames.iter().map(row).filter(|row| !row.is_empty()).collect();
    KeyboardLayout::Rack { rows, words: "sounding, as it hangs, from your left".to_owned() }
}

fn convention(octave: Octave) -> String {
    match octave.semitones() {
        0 => String::new(),
        12 => "written an octave below sounding".to_owned(),
        24 => "written two octaves below sounding".to_owned(),
        -12 => "written an octave above sounding".to_owned(),
        _ => format!("sounding {}", octave.words()),
    }
}
