//! Which instruments, with which beaters, a line may be heard on.

use backrow_core::id::{BeaterId, InstrumentId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use std::collections::BTreeSet;

/// The most that are heard side by side.
const MOST: usize = 12;

/// Something that a line may be heard on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// Its instruments: one, or those that the line is assigned to together.
    pub instruments: Vec<InstrumentId>,
    /// With what; `None` for whatever it was struck with.
    pub beater: Option<BeaterId>,
    /// In words: "Anvil 1, steel hammer".
    pub label: String,
}

/// The candidates for a line: what it is assigned to first, then others of its kind, those with takes before those without.
/// Where somebody recorded several beaters, each is a candidate, behind every other instrument: many beaters of one push none out.
pub fn of_line(library: &Library, programme: Option<&ProgrammeId>, at: &LineRef) -> Vec<Candidate> {
    let Some((_, row)) = library.line(at) else { return Vec::new() };
    let given = programme.and_then(|id| library.programme(id)).map(|p| p.assignment(at)).unwrap_or_default();
    let mut found = Vec::new();
    if !given.instruments.is_empty() {
        with_beaters(library, &given.instruments, given.beaters.first(), &mut found);
    }
    let mut others: Vec<&InstrumentId> = library
        .instruments
        .values()
        .filter(|thing| row.kind.as_ref() == Some(&thing.kind) && !given.instruments.contains(&thing.id))
        .map(|thing| &thing.id)
        .collect();
    others.sort_by_key(|id| (library.takes_of(id).next().is_none(), library.instrument_name(id)));
    for id in others {
        with_beaters(library, std::slice::from_ref(id), given.beaters.first(), &mut found);
    }
    in_turns(found)
}

/// Every instrument once, then each with its second beater, and so on; the most that are heard.
fn in_turns(mut found: Vec<(usize, Candidate)>) -> Vec<Candidate> {
    found.sort_by_key(|(turn, _)| *turn);
    found.truncate(MOST);
    found.into_iter().map(|(_, candidate)| candidate).collect()
}

fn with_beaters(
    library: &Library,
    instruments: &[InstrumentId],
    wanted: Option<&BeaterId>,
    found: &mut Vec<(usize, Candidate)>,
) {
    let used: BTreeSet<&BeaterId> = instruments
        .iter()
        .flat_map(|id| library.takes_of(id))
        .flat_map(|take| &take.strikes)
        .filter_map(|strike| strike.beater.as_ref())
        .collect();
    let mut used: Vec<Option<BeaterId>> = used.into_iter().cloned().map(Some).collect();
    // The beater that the line is assigned comes first.
    used.sort_by_key(|beater| beater.as_ref() != wanted);
    if used.is_empty() {
        used.push(wanted.cloned());
    }
    let names: Vec<String> = instruments.iter().map(|id| library.instrument_name(id)).collect();
    for (turn, beater) in used.into_iter().enumerate() {
        let with = beater.as_ref().and_then(|id| library.beaters.get(id)).map(|beater| &beater.name);
        let label = match with {
            Some(beater) => format!("{}, {beater}", names.join(" and ")),
            None => names.join(" and "),
        };
        found.push((turn, Candidate { instruments: instruments.to_vec(), beater, label }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_instrument_is_heard_before_a_second_beater() {
        let one = |turn: usize, label: &str| {
            (turn, Candidate { instruments: Vec::new(), beater: None, label: label.to_owned() })
        };
        let mut found: Vec<(usize, Candidate)> = (0..MOST).map(|turn| one(turn, "first")).collect();
        found.extend([one(0, "second"), one(1, "second")]);
        let labels: Vec<String> = in_turns(found).into_iter().map(|one| one.label).collect();
        assert_eq!(labels[..4].concat(), "firstsecondfirstsecond");
        assert_eq!(labels.len(), MOST);
    }
}
