//! Which instruments, with which beaters, a line may be heard on.

use backrow_core::id::{BeaterId, InstrumentId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use std::collections::BTreeSet;

/// The most that are heard side by side.
const MOST: usize = 8;

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
/// Where somebody recorded several beaters, each is a candidate.
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
    found.truncate(MOST);
    found
}

fn with_beaters(
    library: &Library,
    instruments: &[InstrumentId],
    wanted: Option<&BeaterId>,
    found: &mut Vec<Candidate>,
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
    for beater in used {
        let with = beater.as_ref().and_then(|id| library.beaters.get(id)).map(|beater| &beater.name);
        let label = match with {
            Some(beater) => format!("{}, {beater}", names.join(" and ")),
            None => names.join(" and "),
        };
        found.push(Candidate { instruments: instruments.to_vec(), beater, label });
    }
}
