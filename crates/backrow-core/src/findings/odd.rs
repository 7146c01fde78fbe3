//! The collection alone, whatever the programme: instruments with figures that none of their kind has, and instruments that are
//! there twice.

use super::{About, Degree, Finding, Rule, sentence};
use crate::collection::{Instrument, alike, odd};
use crate::id::KindId;
use crate::library::Library;
use std::collections::BTreeMap;

/// What is odd about instruments, a note each, by their ids; those that are there twice after the others.
pub fn of_collection(library: &Library) -> Vec<Finding> {
    let note = |rule: Rule, thing: &Instrument, what: String| {
        Finding::new(rule, Degree::Note, what).about([About::Instrument(thing.id.clone())])
    };
    let mut found = Vec::new();
    let mut by_name: BTreeMap<(&KindId, String), Vec<&Instrument>> = BTreeMap::new();
    for thing in library.instruments.values() {
        by_name.entry((&thing.kind, thing.name.trim().to_lowercase())).or_default().push(thing);
        let Some(kind) = library.kinds.get(&thing.kind) else { continue };
        let odd: Vec<String> = odd(kind, thing).into_iter().map(|odd| odd.words(kind)).collect();
        if !odd.is_empty() {
            let what = note(Rule::OddFigures, thing, format!("{}: unusual figures", thing.name));
            let why = format!("{}.", sentence(&odd.join("; ")));
            found.push(what.why(why).remedy("Look again, or leave it where it is so."));
        }
    }
    for same in by_name.values() {
        if let [one, rest @ ..] = same.as_slice()
            && let Some(other) = rest.iter().find(|other| alike(one, other))
        {
            let why = format!("{} and {} have one name, kind, owner and compass.", one.id, other.id);
            let what = note(Rule::AppearsTwice, other, format!("{} appears twice", other.name));
            found.push(what.why(why).remedy("Take one out, or give them names apart."));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Between, Mass};
    use crate::edit::{Edit, apply};
    use crate::id::InstrumentId;
    use crate::sample;

    #[test]
    fn figures_of_no_such_kind_and_one_that_is_there_twice_are_found() {
        let library = sample::library();
        let (id, thing) = library.instruments.iter().next().unwrap();
        let mut kind = (*library.kinds[&thing.kind]).clone();
        kind.plausible.mass_kg = Some(Between { least: 1.0, most: 50.0 });
        let heavy = Instrument { mass: Some(Mass { kg: 4000.0, weighed: false }), ..(**thing).clone() };
        let twin = Instrument { id: InstrumentId::new("twin").unwrap(), ..heavy.clone() };
        let edits = [Edit::PutKind(kind), Edit::PutInstrument(heavy.clone()), Edit::PutInstrument(twin)];
        let library = edits.iter().fold(library.clone(), |library, edit| apply(&library, edit).unwrap());
        let found = of_collection(&library);
        let is_found = |code: &str, id: &InstrumentId| {
            found.iter().any(|one| one.rule.code() == code && one.about == [About::Instrument(id.clone())])
        };
        let twin = InstrumentId::new("twin").unwrap();
        assert!(is_found("odd-figures", id) && is_found("odd-figures", &twin), "{found:?}");
        assert!(is_found("appears-twice", id.max(&twin)), "{found:?}");
        let heavy = found.iter().find(|one| one.about == [About::Instrument(twin.clone())]).unwrap();
        assert!(heavy.why.contains("weighs 4000\u{202f}kg"), "{}", heavy.why);
    }
}
