//! Which instruments, with which beaters, a line may be heard on.

use backrow_core::id::{BeaterId, InstrumentId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use std::collections::BTreeSet;

/// The most that are made ready and heard side by side: three minutes of each are 35 MB. Those beyond come by the dozen.
pub const DOZEN: usize = 12;

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

/// Those of one dozen, from 0, and how many stand before and behind it. Beyond the last it is the last one.
pub fn dozen(all: Vec<Candidate>, which: usize) -> (Vec<Candidate>, Beyond) {
    let which = which.min(all.len().saturating_sub(1) / DOZEN);
    let before = which * DOZEN;
    let after = all.len().saturating_sub(before + DOZEN);
    (all.into_iter().skip(before).take(DOZEN).collect(), Beyond { before, after })
}

/// How many candidates stand beside the dozen that is ready.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Beyond {
    /// Before it.
    pub before: usize,
    /// Behind it.
    pub after: usize,
}

/// Every instrument once, then each with its second beater, and so on.
fn in_turns(mut found: Vec<(usize, Candidate)>) -> Vec<Candidate> {
    found.sort_by_key(|(turn, _)| *turn);
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

    fn named(label: &str) -> Candidate {
        Candidate { instruments: Vec::new(), beater: None, label: label.to_owned() }
    }

    #[test]
    fn every_instrument_is_heard_before_a_second_beater() {
        let one = |turn: usize, label: &str| (turn, named(label));
        let mut found: Vec<(usize, Candidate)> = (0..DOZEN).map(|turn| one(turn, "first")).collect();
        found.extend([one(0, "second"), one(1, "second")]);
        let labels: Vec<String> = in_turns(found).into_iter().map(|one| one.label).collect();
        assert_eq!(labels[..4].concat(), "firstsecondfirstsecond");
        assert_eq!(labels.len(), DOZEN + 2, "none is lost");
    }

    #[rstest::rstest]
    #[case(0, 0, 0..0, 0, 0)]
    #[case(12, 0, 0..12, 0, 0)]
    #[case(12, 1, 0..12, 0, 0)]
    #[case(13, 0, 0..12, 0, 1)]
    #[case(13, 1, 12..13, 12, 0)]
    #[case(31, 1, 12..24, 12, 7)]
    #[case(31, 9, 24..31, 24, 0)]
    fn all_come_by_the_dozen(
        #[case] count: usize,
        #[case] which: usize,
        #[case] are: std::ops::Range<usize>,
        #[case] before: usize,
        #[case] after: usize,
    ) {
        let all: Vec<Candidate> = (0..count).map(|n| named(&n.to_string())).collect();
        let expected = all[are].to_vec();
        assert_eq!(dozen(all, which), (expected, Beyond { before, after }));
    }
}
