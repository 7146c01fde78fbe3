//! The strikes that trials are heard by, and what becomes of their numbers when a take's strikes are moved, split, joined or dropped.

use crate::edit::Edit;
use crate::library::Library;
use crate::sound::{Strike, StrikeKey, Take, TakeKey};
use crate::trial::{Candidate, Trial};

/// The strike that each candidate of a trial is heard by: the one that it names, else the first of its instrument with its beaters
/// and spot, else the first with its beaters; `None` where nothing like it was recorded.
pub fn strikes_of(library: &Library, trial: &Trial) -> Vec<Option<StrikeKey>> {
    trial.candidates.iter().map(|candidate| strike_of(library, candidate)).collect()
}

/// Whether a model made a strike: nobody has heard the instrument in it.
pub fn is_by_model(library: &Library, key: &StrikeKey) -> bool {
    let take = TakeKey { instrument: key.instrument.clone(), take: key.take.clone() };
    library.takes.get(&take).is_some_and(|take| take.by_model)
}

/// How many of a trial's candidates are heard by what a model made, a sentence that names none of them; `None` where all were recorded.
pub fn by_model_said(library: &Library, trial: &Trial) -> Option<String> {
    let strikes = strikes_of(library, trial);
    let made = strikes.iter().flatten().filter(|key| is_by_model(library, key)).count();
    match made {
        0 => None,
        all if all == strikes.len() => {
            Some("All candidates were played by a model, not from recordings.".to_owned())
        }
        1 => Some(format!("1 of {} candidates was played by a model, not from a recording.", strikes.len())),
        more => Some(format!(
            "{more} of {} candidates were played by a model, not from recordings.",
            strikes.len()
        )),
    }
}

fn strike_of(library: &Library, candidate: &Candidate) -> Option<StrikeKey> {
    let own = candidate.instruments.first()?;
    let all = || library.takes_of(own).flat_map(crate::sound::Take::keyed);
    if let Some((take, number)) = &candidate.strike {
        let named = all().find(|(key, _)| key.take == *take && key.number == *number);
        if let Some((key, _)) = named {
            return Some(key);
        }
    }
    let with = |strike: &Strike| match &strike.beater {
        Some(beater) => candidate.beaters.is_empty() || candidate.beaters.contains(beater),
        None => candidate.beaters.is_empty(),
    };
    let there = |strike: &Strike| strike.spot.trim() == candidate.spot.trim();
    let best = all().find(|(_, strike)| with(strike) && there(strike));
    best.or_else(|| all().find(|(_, strike)| with(strike))).map(|(key, _)| key)
}

/// The changes that put strikes in the place of a take's: the take itself, and every trial and decision that named one of its strikes
/// by number, which names the same sound afterwards. Where that sound is dropped, it names none, and any that was played so does.
pub fn put_strikes(library: &Library, take: Take) -> Vec<Edit> {
    let old = library.takes.get(&take.key()).map(|old| old.strikes.clone()).unwrap_or_default();
    let mut edits = Vec::new();
    for work in library.works.values() {
        for trial in &work.memory.trials {
            let mut next = trial.clone();
            next.candidates.iter_mut().for_each(|candidate| renumber(candidate, &take, &old));
            if next != *trial {
                edits.push(Edit::PutTrial { work: work.id.clone(), trial: next });
            }
        }
        for decision in &work.memory.decisions {
            let mut next = decision.clone();
            renumber(&mut next.chosen, &take, &old);
            if next != *decision {
                edits.push(Edit::PutDecision { work: work.id.clone(), decision: next });
            }
        }
    }
    edits.insert(0, Edit::PutTake(take));
    edits
}

fn renumber(candidate: &mut Candidate, take: &Take, old: &[Strike]) {
    let of_take = candidate.instruments.first() == Some(&take.instrument);
    if let Some((id, number)) = candidate.strike.clone().filter(|(id, _)| of_take && *id == take.id) {
        let now = old.get(number).and_then(|strike| same_sound(strike, &take.strikes));
        candidate.strike = now.map(|now| (id, now));
    }
}

/// The strike that shares the most time with another, where that is more than half of the shorter of the two.
fn same_sound(strike: &Strike, among: &[Strike]) -> Option<usize> {
    let shared = |other: &Strike| strike.to_s.min(other.to_s) - strike.from_s.max(other.from_s);
    let lasts = |one: &Strike| one.to_s - one.from_s;
    among
        .iter()
        .enumerate()
        .filter(|(_, other)| shared(other) > 0.5 * lasts(strike).min(lasts(other)))
        .max_by(|a, b| shared(a.1).total_cmp(&shared(b.1)))
        .map(|(at, _)| at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::apply;
    use crate::id::{TakeId, WorkId};
    use crate::sample;

    fn spans(spans: &[(f64, f64)]) -> Vec<Strike> {
        spans
            .iter()
            .map(|(from_s, to_s)| Strike { from_s: *from_s, to_s: *to_s, ..Strike::default() })
            .collect()
    }

    fn take(strikes: Vec<Strike>) -> Take {
        let instrument = sample::decision("d", "xyl").chosen.instruments[0].clone();
        Take {
            id: TakeId::new("take").unwrap(),
            instrument,
            file: "take.flac".to_owned(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: 9.0,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes,
        }
    }

    #[test]
    fn trials_and_decisions_go_on_naming_the_same_sound() {
        let work = WorkId::new("w").unwrap();
        let mut trial = sample::trial("t", "xyl");
        let of = |number| {
            let mut candidate = sample::decision("d", "xyl").chosen;
            candidate.strike = Some((TakeId::new("take").unwrap(), number));
            candidate
        };
        trial.candidates = vec![of(0), of(1), of(2)];
        let mut decision = sample::decision("d", "xyl");
        decision.chosen = of(2);
        let edits = vec![
            Edit::PutTake(take(spans(&[(0.0, 1.0), (1.0, 4.0), (4.0, 9.0)]))),
            Edit::PutTrial { work: work.clone(), trial },
            Edit::PutDecision { work: work.clone(), decision },
        ];
        let together = |edits| Edit::Together { words: "Change strikes".to_owned(), edits };
        let library = apply(&sample::library(), &together(edits)).unwrap();
        // The first is dropped, the second split.
        let edits = put_strikes(&library, take(spans(&[(1.0, 2.0), (2.0, 4.0), (4.1, 9.0)])));
        let library = apply(&library, &together(edits)).unwrap();
        let memory = &library.works[&work].memory;
        let numbers =
            |all: &[Candidate]| all.iter().map(|one| one.strike.as_ref().map(|s| s.1)).collect::<Vec<_>>();
        assert_eq!(numbers(&memory.trials[0].candidates), [None, Some(1), Some(2)]);
        assert_eq!(numbers(&[memory.decisions[0].chosen.clone()]), [Some(2)]);
        // Nothing else is touched where nothing is named.
        assert_eq!(put_strikes(&sample::library(), take(spans(&[(0.0, 1.0)]))).len(), 1);
    }
}
