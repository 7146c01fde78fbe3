//! The bars that a movement uses, an entry for each pitched instrument of the player.

use super::super::names;
use super::Case;
use backrow_core::collection::{Instrument, Layout};
use backrow_core::compass::PitchSet;
use backrow_core::id::{InstrumentId, MovementId};
use backrow_core::music::{Call, Work};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use backrow_print::player::{KeyBar, Keyboard, KeyboardLayout, RackBar};
use std::collections::BTreeMap;

/// The player's keyboards of a movement, in order of their numbers on the plan.
pub(super) fn keyboards(case: &Case<'_>, work: &Work, movement: &MovementId) -> Vec<Keyboard> {
    let mut used: BTreeMap<InstrumentId, Vec<&Call>> = BTreeMap::new();
    for taken in &case.timetable.calls {
        let mine = taken.player.as_ref() == Some(&case.player.id);
        if !mine || taken.call.work != work.id || taken.movement != *movement {
            continue;
        }
        let Some(call) = work.call(&taken.call.call).filter(|call| call.is_pitched()) else { continue };
        for id in &taken.instruments {
            used.entry(id.clone()).or_default().push(call);
        }
    }
    let mut all: Vec<(u32, Keyboard)> = used
        .iter()
        .filter_map(|(id, calls)| {
            let thing = case.library.instruments.get(id)?;
            let number = case.programme.number_of(id).unwrap_or(u32::MAX);
            Some((number, keyboard(case, thing, calls)?))
        })
        .collect();
    all.sort_by_key(|(number, _)| *number);
    all.into_iter().map(|(_, keyboard)| keyboard).collect()
}

/// `None` for drums, and for an instrument that none of the notes is on.
fn keyboard(case: &Case<'_>, thing: &Instrument, calls: &[&Call]) -> Option<Keyboard> {
    let asks = calls.iter().fold(PitchSet::EMPTY, |sum, call| sum.union(call.sounding()));
    let bars = thing.bars();
    // Dead bars are named, never counted as used.
    let (used, named) = (asks.intersection(thing.compass()), asks.intersection(bars));
    if named.is_empty() || thing.layout == Layout::Drums {
        return None;
    }
    let octave = calls.first().map(|call| call.octave).unwrap_or_default();
    let unit = case.library.kinds.get(&thing.kind).map_or("bar", |kind| kind.unit.as_str());
    let layout = match thing.layout {
        Layout::Rack if thing.frames.iter().any(|frame| !frame.order.is_empty()) => rack(thing, named),
        _ => KeyboardLayout::Keys {
            bars: bars.iter().map(|key| bar(thing, calls, named, key)).collect(),
            round: matches!(unit, "disc" | "gong" | "bell"),
        },
    };
    Some(Keyboard {
        number: names::numbers(case.programme, std::slice::from_ref(&thing.id)),
        title: thing.name.clone(),
        part: unit.to_owned(),
        parts: if unit.ends_with('s') { format!("{unit}es") } else { format!("{unit}s") },
        as_written: octave == Octave::AS_WRITTEN,
        convention: convention(octave),
        total: bars.len(),
        used: used.len(),
        note: note(thing, calls, asks),
        layout,
    })
}

fn bar(thing: &Instrument, calls: &[&Call], used: PitchSet, key: KeyNumber) -> KeyBar {
    let sounds =
        |call: &&Call| call.notes().find(|note| call.sounding_of(note) == Some(key)).map(|note| note.written);
    let written = calls.iter().find_map(sounds);
    let octave = calls.first().map(|call| call.octave).unwrap_or_default();
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
fn note(thing: &Instrument, calls: &[&Call], asks: PitchSet) -> String {
    let name = |key: KeyNumber| {
        let note = calls.iter().flat_map(|call| call.notes().map(move |note| (call, note)));
        let written = note
            .filter(|(call, note)| call.sounding_of(note) == Some(key))
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

fn rack(thing: &Instrument, used: PitchSet) -> KeyboardLayout {
    let sounds = thing.compass();
    let row = |frame: &backrow_core::collection::Frame| -> Vec<RackBar> {
        let order: Vec<KeyNumber> =
            if frame.order.is_empty() { frame.bars().iter().collect() } else { frame.order.clone() };
        order
            .into_iter()
            .filter(|key| used.contains(*key))
            .map(|key| RackBar { name: key.to_string(), there: sounds.contains(key) })
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
