//! What the collection lacks for a programme, as hires to be asked for. It proposes; it bars nothing.

use crate::collection::Owner;
use crate::compass::PitchSet;
use crate::cover::is_answered;
use crate::id::{InstrumentId, KindId};
use crate::library::Library;
use crate::music::Line;
use crate::week::{Hire, Programme, span_of};
use std::collections::BTreeMap;

/// Hires that a programme seems to want and does not have yet: a kind that no instrument, alone or with others, reaches; and
/// things in use that are somebody else's. In order of kinds, then of instruments.
pub(crate) fn proposals(
    library: &Library,
    programme: &Programme,
    used: &BTreeMap<InstrumentId, PitchSet>,
) -> Vec<Hire> {
    let days = span_of(&library.services_of(&programme.id));
    let dated = |mut hire: Hire| {
        hire.from = days.map(|(first, _)| first);
        hire.until = days.map(|(_, last)| last);
        hire
    };
    let mut found: Vec<Hire> = lacking(library, programme)
        .into_values()
        .filter(|hire| !programme.hires.iter().any(|known| known.kind == hire.kind))
        .map(&dated)
        .collect();
    for (id, bars) in used {
        found.extend(lent(library, programme, id, *bars).map(&dated));
    }
    found
}

/// Kinds with a line that nothing in the collection answers, with all notes that such lines ask for.
fn lacking(library: &Library, programme: &Programme) -> BTreeMap<KindId, Hire> {
    let mut found: BTreeMap<KindId, Hire> = BTreeMap::new();
    for work in programme.works_in_order().filter_map(|(_, id)| library.works.get(id)) {
        for line in &work.lines {
            let Some(kind) = &line.kind else { continue };
            // What is reached in the octave in which such parts are usually written is a question, not a hire.
            if is_answered(library, line) || is_answered_as_usual(library, line) {
                continue;
            }
            let hire = found.entry(kind.clone()).or_insert_with(|| Hire {
                kind: Some(kind.clone()),
                ..Hire::wanted(library.kind_name(kind))
            });
            hire.notes = hire.notes.union(line.sounding());
            hire.a = (!hire.notes.is_empty()).then_some(library.orchestra.a);
            let place = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
            let place = format!("{} {place}", work.title);
            let any = library.instruments.values().any(|thing| thing.kind == *kind);
            let why = match any {
                true if crate::sets::is_for_timpani(library, kind) => "none can be tuned to it in time",
                true => "none reaches its notes",
                false => "none in the collection",
            };
            if hire.remark.is_empty() {
                hire.remark = format!("{}: {why}", place.trim_end());
            }
        }
    }
    found
}

/// Whether something of its kind reaches a line if it is read in the octave in which parts of that kind are usually written.
fn is_answered_as_usual(library: &Library, line: &Line) -> bool {
    let usual = line.kind.as_ref().and_then(|kind| library.kinds.get(kind)).and_then(|kind| kind.octave);
    let Some(octave) = usual.filter(|usual| *usual != line.octave) else { return false };
    is_answered(library, &Line { octave, ..line.clone() })
}

/// A thing in use that is not the orchestra's, unless a hire stands for it.
fn lent(library: &Library, programme: &Programme, id: &InstrumentId, bars: PitchSet) -> Option<Hire> {
    let thing = library.instruments.get(id)?;
    let lender = match &thing.owner {
        Owner::Orchestra => return None,
        Owner::Player(player) => library.player_name(player),
        Owner::Other(words) => words.clone(),
    };
    let known = programme.hires.iter().any(|hire| hire.instrument.as_ref() == Some(id));
    (!known).then(|| Hire {
        kind: Some(thing.kind.clone()),
        notes: bars,
        a: thing.is_pitched().then_some(library.orchestra.a),
        instrument: Some(id.clone()),
        lender,
        ..Hire::wanted(thing.name.clone())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, apply};
    use crate::id::ProgrammeId;
    use crate::sample::{at, library};

    #[expect(clippy::needless_pass_by_value, reason = "edits are made where they are given")]
    fn edited(library: &Library, edit: Edit) -> Library {
        apply(library, &edit).unwrap()
    }

    fn of(library: &Library) -> Vec<Hire> {
        let programme = library.programme(&ProgrammeId::new("p").unwrap()).unwrap();
        proposals(library, programme, &crate::loads::used_bars(library, programme))
    }

    #[test]
    fn what_nothing_reaches_is_proposed_once() {
        let library = library();
        let before = of(&library);
        let gone: Vec<InstrumentId> = library
            .instruments
            .values()
            .filter(|thing| thing.kind.as_str() == "xylophone")
            .map(|thing| thing.id.clone())
            .collect();
        let library = gone.into_iter().fold(library, |l, id| edited(&l, Edit::RemoveInstrument(id)));
        let after = of(&library);
        assert!(before.iter().all(|hire| hire.what != "xylophone"));
        let hire = after.iter().find(|hire| hire.what == "xylophone").unwrap();
        assert_eq!(hire.notes, library.line(&at("w", "xyl")).unwrap().1.sounding());
        assert!(hire.a.is_some() && hire.remark.contains("none in the collection"));
        let week = library.week_of(&ProgrammeId::new("p").unwrap()).unwrap().id.clone();
        let mut programme = library.programme(&ProgrammeId::new("p").unwrap()).unwrap().clone();
        programme.hires = vec![hire.clone()];
        let library = edited(&library, Edit::PutProgramme { week, programme });
        assert!(of(&library).iter().all(|hire| hire.what != "xylophone"), "already asked for");
    }

    #[test]
    fn somebody_else_s_things_are_proposed() {
        let library = library();
        let id = InstrumentId::new("xylophone-1").unwrap();
        let mut thing = (*library.instruments[&id]).clone();
        thing.owner = Owner::Other("hire firm".into());
        let library = edited(&library, Edit::PutInstrument(thing));
        let programme = ProgrammeId::new("p").unwrap();
        let edit = Edit::UseInstruments { programme, line: at("w", "xyl"), instruments: vec![id.clone()] };
        let library = edited(&library, edit);
        let hire = of(&library).into_iter().find(|hire| hire.instrument.as_ref() == Some(&id)).unwrap();
        assert_eq!(hire.lender, "hire firm");
    }
}
