//! What was decided for a line by ear goes before everything that is worked out: it is proposed again, with its reason, while it is there,
//! free and harmless.

use super::lines::Asker;
use super::{Ask, Pick};
use crate::collection::Instrument;
use crate::compass::{Fit, PitchSet, fit};
use crate::edit::candidate_words;
use crate::findings::other_use;
use crate::id::{BeaterId, InstrumentId};
use crate::recall;
use crate::trial::Decision;

/// The decision about a line, where one names instruments.
pub(super) fn on<'a>(ask: &Ask<'a>, line: &Asker<'_>) -> Option<&'a Decision> {
    recall::decided(ask.library, &line.at).filter(|decision| !decision.chosen.instruments.is_empty())
}

/// The decision about a line, where one names beaters, and the line is played on what was decided.
pub(super) fn with<'a>(ask: &Ask<'a>, line: &Asker<'_>, things: &[&Instrument]) -> Option<&'a Decision> {
    recall::decided(ask.library, &line.at).filter(|decision| {
        let on = &decision.chosen.instruments;
        !decision.chosen.beaters.is_empty()
            && (on.is_empty() || things.iter().all(|thing| on.contains(&thing.id)))
    })
}

/// The proposal to play a line on what was decided.
///
/// # Errors
/// Why it cannot be, a phrase: it is gone, another programme has it, another line sounds on it then.
pub(super) fn pick(
    ask: &Ask<'_>,
    line: &Asker<'_>,
    decision: &Decision,
    is_free: impl Fn(&Instrument) -> bool,
) -> Result<Pick<InstrumentId>, String> {
    let but = |why: String| {
        let chosen = candidate_words(ask.library, &decision.chosen);
        format!("{chosen} was decided in {}, but {why}", decision.when.year())
    };
    let mut compass = PitchSet::EMPTY;
    for id in &decision.chosen.instruments {
        let Some(thing) = ask.library.instruments.get(id) else {
            return Err(but("the collection no longer has it".to_owned()));
        };
        if let Some((other, when)) = other_use(ask.library, ask.programme, id) {
            return Err(but(format!("{} has it {when}", other.title)));
        }
        if !is_free(thing) {
            return Err(but("another line sounds on it at that moment".to_owned()));
        }
        compass = compass.union(thing.compass());
    }
    let reaches = line.asks.is_empty() || fit(compass, line.asks).fit == Fit::Whole;
    let mut reason = recall::why_decided(decision);
    if !reaches {
        reason.push_str("; it does not reach all of the line as it stands now");
    }
    Ok(Pick {
        chosen: decision.chosen.instruments.clone(),
        reason,
        next: Vec::new(),
        next_reason: String::new(),
        asks: !reaches,
    })
}

/// What was decided, with what was worked out as the next best.
pub(super) fn before<T: PartialEq>(mut decided: Pick<T>, free: Pick<T>) -> Pick<T> {
    let next = if free.chosen == decided.chosen { free.next } else { free.chosen };
    if !next.is_empty() {
        decided.next = next;
        "not what was decided".clone_into(&mut decided.next_reason);
    }
    decided
}

/// The proposal to play a line with what was decided; `None` where it is gone, not to be had or harmful.
pub(super) fn beaters(
    ask: &Ask<'_>,
    decision: &Decision,
    may: impl Fn(&crate::collection::Beater) -> bool,
) -> Option<Pick<BeaterId>> {
    let all_there = decision
        .chosen
        .beaters
        .iter()
        .all(|id| ask.library.beaters.get(id).is_some_and(|beater| beater.count > 0 && may(beater)));
    all_there.then(|| Pick {
        chosen: decision.chosen.beaters.clone(),
        reason: recall::why_decided(decision),
        next: Vec::new(),
        next_reason: String::new(),
        asks: false,
    })
}
