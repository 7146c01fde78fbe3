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

/// The candidates for a line: what it is assigned to, with the beater that it is assigned, first; then others of its kind, those with takes before those without.
/// Where somebody recorded several beaters, each is a candidate, behind every other instrument: many beaters of one push none out.
pub fn of_line(library: &Library, programme: Option<&ProgrammeId>, at: &LineRef) -> Vec<Candidate> {
    let Some((_, row)) = library.line(at) else { return Vec::new() };
    let given = programme.and_then(|id| library.programme(id)).map(|p| p.assignment(at)).unwrap_or_default();
    let mut found = Vec::new();
    if !given.instruments.is_empty() {
        with_beaters(library, &given.instruments, (given.beaters.first(), true), &mut found);
    }
    let mut others: Vec<&InstrumentId> = library
        .instruments
        .values()
        .filter(|thing| row.kind.as_ref() == Some(&thing.kind) && !given.instruments.contains(&thing.id))
        .map(|thing| &thing.id)
        .collect();
    others.sort_by_key(|id| (library.takes_of(id).next().is_none(), library.instrument_name(id)));
    for id in others {
        with_beaters(library, std::slice::from_ref(id), (given.beaters.first(), false), &mut found);
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
    (wanted, is_assigned): (Option<&BeaterId>, bool),
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
    let takes = instruments.iter().any(|id| library.takes_of(id).next().is_some());
    if used.is_empty() && takes {
        // Nobody said with what it was struck.
        used.push(None);
    }
    // What is assigned is heard, though nobody has recorded it with that beater: a model stands in.
    if used.is_empty() || is_assigned && wanted.is_some() && used.first().map(Option::as_ref) != Some(wanted)
    {
        used.insert(0, wanted.cloned());
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
    use backrow_core::edit::{Edit, apply};
    use backrow_core::id::TakeId;
    use backrow_core::sound::{Strike, Take};

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

    #[test]
    fn what_is_assigned_comes_first_with_its_own_beater() {
        let library = crate::sample::small();
        let thing = library.instruments.keys().next().unwrap().clone();
        let mut second = (**library.beaters.values().next().unwrap()).clone();
        second.id = BeaterId::new("second").unwrap();
        let library = apply(&library, &Edit::PutBeater(second.clone())).unwrap();
        let beaters = [library.beaters.keys().find(|id| **id != second.id).unwrap().clone(), second.id];
        let strike = Strike { beater: Some(beaters[0].clone()), to_s: 1.0, ..Strike::default() };
        let take = Take {
            id: TakeId::new("t").unwrap(),
            instrument: thing.clone(),
            file: "t.flac".to_owned(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: 1.0,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes: vec![strike],
        };
        let library = apply(&library, &Edit::PutTake(take)).unwrap();
        let heard = |wanted: Option<&BeaterId>, is_assigned| {
            let mut found = Vec::new();
            with_beaters(&library, std::slice::from_ref(&thing), (wanted, is_assigned), &mut found);
            found.into_iter().map(|(_, one)| one.beater).collect::<Vec<_>>()
        };
        let (recorded, other) = (Some(beaters[0].clone()), Some(beaters[1].clone()));
        assert_eq!(heard(beaters.get(1), true), [other, recorded.clone()]);
        assert_eq!(heard(beaters.get(1), false), std::slice::from_ref(&recorded));
        assert_eq!(heard(beaters.first(), true), std::slice::from_ref(&recorded));
        assert_eq!(heard(None, true), [recorded]);
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
