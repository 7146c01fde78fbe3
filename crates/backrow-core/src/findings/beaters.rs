//! A beater that does damage to what it is to strike, as far as the trade agrees. It warns and does not forbid.

use super::{About, Case, Degree, Finding, Rule, sentence};
use crate::collection::{Beater, Harm, Instrument, Kind, harm};
use crate::edit::Edit;
use crate::id::BeaterId;

/// Beaters given to a line whose instrument they harm, by its kind or by what it is made of.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let kind_of = |id| case.library.kinds.get(id).map(|kind| &**kind);
    for taken in case.given() {
        let things = taken.instruments.iter().filter_map(|id| case.library.instruments.get(id));
        let mut struck: Vec<(Option<&Kind>, Option<&Instrument>)> =
            things.map(|thing| (kind_of(&thing.kind), Some(&**thing))).collect();
        if taken.instruments.is_empty() {
            struck.push((taken.kind.as_ref().and_then(kind_of), None));
        }
        let does_harm =
            |beater: &Beater| struck.iter().any(|(kind, thing)| harm(beater.head, *kind, *thing).is_some());
        let gentle = || {
            let left = taken
                .beaters
                .iter()
                .filter(|id| case.library.beaters.get(id).is_some_and(|beater| !does_harm(beater)));
            let beaters: Vec<BeaterId> = left.cloned().collect();
            let (programme, line) = (case.programme.id.clone(), taken.line.clone());
            // Without any beaters the line would not be played at all: then others are chosen by hand.
            (!beaters.is_empty()).then(|| case.words_of(Edit::UseBeaters { programme, line, beaters }))
        };
        for beater in taken.beaters.iter().filter_map(|id| case.library.beaters.get(id)) {
            let harmed = struck
                .iter()
                .find_map(|(kind, thing)| Some((harm(beater.head, *kind, *thing)?, *kind, *thing)));
            let Some((why, kind, thing)) = harmed else { continue };
            let struck = match (why, thing, kind) {
                (Harm::Material(material), Some(thing), _) => {
                    format!("{} of {}", thing.name, material.word())
                }
                (_, _, Some(kind)) => kind.name().to_owned(),
                (_, Some(thing), None) => thing.name.clone(),
                (_, None, None) => "instrument".to_owned(),
            };
            let (name, head) = (sentence(&beater.name), sentence(beater.head.word()));
            found.push(
                Finding::new(Rule::HarmfulBeater, Degree::Care, format!("{name} may harm the {struck}"))
                    .why(format!("{head} heads can damage it ({}).", case.line_words(&taken.line)))
                    .remedy("Choose others, or check with the owner.")
                    .about([About::Line(taken.line.clone())])
                    .fix(gentle()),
            );
        }
    }
    found
}
