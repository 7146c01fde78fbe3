//! Names and numbers as every sheet prints them.

use backrow_core::collection::Player;
use backrow_core::evening::Evening;
use backrow_core::id::{BeaterId, InstrumentId, KindId};
use backrow_core::library::Library;
use backrow_core::music::{Line, LineNote};
use backrow_core::pitch::KeyNumber;
use backrow_core::week::Programme;
use std::collections::BTreeSet;

/// The numbers on the plan of some instruments: "4", "11–13", "2, 5"; "–" when none stands on it.
pub(super) fn numbers(programme: &Programme, instruments: &[InstrumentId]) -> String {
    let mut all: Vec<u32> = instruments.iter().filter_map(|id| programme.number_of(id)).collect();
    all.sort_unstable();
    all.dedup();
    let words = runs(all);
    if words.is_empty() { "–".to_owned() } else { words }
}

/// Numbers in rising order, neighbours drawn together: "1, 2, 5–8".
fn runs(numbers: impl IntoIterator<Item = u32>) -> String {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if last.saturating_add(1) == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let words = runs.iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first}–{last}"),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// Works by their place in the programme, from 1: "work 3", "works 1–4".
pub(super) fn works(places: &BTreeSet<usize>) -> String {
    let numbers = places.iter().map(|place| u32::try_from(*place).unwrap_or(u32::MAX));
    format!("{} {}", if places.len() == 1 { "work" } else { "works" }, runs(numbers))
}

/// The names of some instruments; what they begin with in common is said once: "Timpano 32 in, 29 in".
pub(super) fn instruments(library: &Library, ids: &[InstrumentId]) -> String {
    said_once(&backrow_core::sets::instrument_words(library, ids))
}

fn said_once(names: &[String]) -> String {
    let Some((first, rest)) = names.split_first() else { return String::new() };
    let begins =
        |prefix: &&str| rest.iter().all(|name| name.len() > prefix.len() && name.starts_with(prefix));
    let prefixes = first.rmatch_indices(' ').filter_map(|(at, _)| first.get(..=at));
    match prefixes.into_iter().find(begins) {
        Some(prefix) if !rest.is_empty() => {
            let tails = rest.iter().filter_map(|name| name.strip_prefix(prefix));
            std::iter::once(first.as_str()).chain(tails).collect::<Vec<_>>().join(", ")
        }
        _ => names.join(" + "),
    }
}

/// Sounding notes spelled as the lines of a programme spell them where they are played on an instrument: a part's B flat is no
/// A sharp on the load list.
pub(super) fn spelled(
    library: &Library,
    programme: &Programme,
    instrument: &InstrumentId,
    keys: impl IntoIterator<Item = KeyNumber>,
) -> String {
    let given = programme.lines().filter(|(_, given)| given.is_on(instrument));
    let lines: Vec<&Line> = given.filter_map(|(at, _)| library.line(at)).map(|(_, line)| line).collect();
    keys.into_iter().map(|key| spelled_by(&lines, key)).collect::<Vec<_>>().join(" ")
}

/// Sounding notes spelled as the lines that ask for a kind spell them.
pub(super) fn spelled_of_kind(
    library: &Library,
    programme: &Programme,
    kind: Option<&KindId>,
    keys: impl IntoIterator<Item = KeyNumber>,
) -> String {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    let lines: Vec<&Line> = works
        .flat_map(|work| &work.lines)
        .filter(|line| kind.is_some() && line.kind.as_ref() == kind)
        .collect();
    keys.into_iter().map(|key| spelled_by(&lines, key)).collect::<Vec<_>>().join(" ")
}

/// One sounding note as some lines spell it.
pub(super) fn spelled_by(lines: &[&Line], key: KeyNumber) -> String {
    let mut notes = lines.iter().flat_map(|line| line.notes().map(move |note| (line, note)));
    let as_sounding = |(line, note): (&&Line, &LineNote)| {
        let up = line.octave.semitones() + i32::from(note.shift);
        (up % 12 == 0).then(|| note.written.octaves_up(up / 12)).flatten().filter(|name| name.key() == key)
    };
    notes.find_map(as_sounding).map_or_else(|| key.to_string(), |name| name.to_string())
}

/// The names of some beaters; "–" for none.
pub(super) fn beaters<'a>(library: &Library, ids: impl Iterator<Item = &'a BeaterId>) -> String {
    let name =
        |id: &BeaterId| library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone());
    let words = ids.map(name).collect::<Vec<_>>().join("; ");
    if words.is_empty() { "–".to_owned() } else { words }
}

/// Minutes and seconds: "4′", "5′40″".
pub(super) fn length(seconds: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "clamped to a day")]
    let whole = if seconds.is_finite() { seconds.clamp(0.0, 86_400.0).round() as i64 } else { 0 };
    match (whole / 60, whole % 60) {
        (0, 0) => String::new(),
        (minutes, 0) => format!("{minutes}′"),
        (minutes, seconds) => format!("{minutes}′{seconds:02}″"),
    }
}

/// Who has something to play, in roster order.
pub(super) fn players(evening: &Evening) -> Vec<&Player> {
    let player = |id| evening.library().players.get(id).map(|player| &**player);
    evening.needs().players.iter().filter_map(player).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn works_are_counted_in_runs() {
        let words = |places: &[usize]| works(&places.iter().copied().collect());
        assert_eq!(words(&[3]), "work 3");
        assert_eq!(words(&[4, 1]), "works 1, 4");
        assert_eq!(words(&[1, 2, 3, 4]), "works 1–4");
        assert_eq!(words(&[1, 2, 4, 5, 6]), "works 1, 2, 4–6");
    }

    #[test]
    fn what_names_begin_with_is_said_once() {
        let library = Library::default();
        let id = |text: &str| InstrumentId::new(text).unwrap();
        assert_eq!(instruments(&library, &[id("timpano-32"), id("x")]), "timpano-32 + x");
        let said = |names: &[&str]| said_once(&names.iter().map(ToString::to_string).collect::<Vec<_>>());
        assert_eq!(said(&["Timpano 32 in", "Timpano 29 in"]), "Timpano 32 in, 29 in");
        assert_eq!(said(&["Wood block, high", "Wood block, low"]), "Wood block, high, low");
        assert_eq!(said(&["Whip, large", "Ratchet"]), "Whip, large + Ratchet");
        assert_eq!(said(&["Tam-tam 1"]), "Tam-tam 1");
        assert_eq!(length(340.0), "5′40″");
        assert_eq!(length(240.2), "4′");
    }
}
