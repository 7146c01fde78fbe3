//! What lies on a table or hangs on a stand: it goes along with it, and is tied to what it is put on. What stands as one goes as
//! one, unless it is moved with Alt.

use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::view::Selected;
use backrow_core::edit::{Edit, words};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::stage::{carried, carried_alone, figure, hit};
use backrow_core::week::{Placement, Programme};

/// Adds to the changes that were asked for what goes along, and what comes to lie on a table or leaves it.
///
/// `alone` says that what was moved was to move without the rest of its station.
pub(super) fn along(scene: &mut Scene<'_>, from: usize, programme: &Programme, alone: bool) {
    let asked = scene.intents.split_off(from.min(scene.intents.len()));
    for intent in asked {
        let intent = match intent {
            Intent::Edit(edit) => Intent::Edit(with(scene.library, programme, edit, alone)),
            other => other,
        };
        scene.intents.push(intent);
    }
}

fn with(library: &Library, programme: &Programme, edit: Edit, alone: bool) -> Edit {
    let (mut moved, mut off, mut tied) = (Vec::new(), Vec::new(), Vec::new());
    gather(&edit, &mut moved, &mut off, &mut tied);
    let id = || programme.id.clone();
    let along = if alone { carried_alone } else { carried };
    let mut more: Vec<Edit> = along(&programme.setup, &moved)
        .into_iter()
        .map(|(instrument, placement)| Edit::Stand { programme: id(), instrument, placement })
        .collect();
    let along = off.iter().flat_map(|bearer| programme.setup.borne_by(bearer));
    let left = along.filter(|thing| !off.contains(thing)).cloned();
    more.extend(left.map(|instrument| Edit::TakeOff { programme: id(), instrument }));
    let ties = moved.iter().filter(|(thing, _)| !tied.contains(thing));
    more.extend(ties.filter_map(|(thing, to)| tie(library, programme, &moved, (thing, to))));
    if more.is_empty() {
        return edit;
    }
    let words = words(library, &edit);
    more.insert(0, edit);
    Edit::Together { words, edits: more }
}

fn gather(
    edit: &Edit,
    moved: &mut Vec<(InstrumentId, Placement)>,
    off: &mut Vec<InstrumentId>,
    tied: &mut Vec<InstrumentId>,
) {
    match edit {
        Edit::Stand { instrument, placement, .. } => moved.push((instrument.clone(), *placement)),
        Edit::TakeOff { instrument, .. } => off.push(instrument.clone()),
        Edit::LieOn { instrument, .. } => tied.push(instrument.clone()),
        Edit::Together { edits, .. } => edits.iter().for_each(|edit| gather(edit, moved, off, tied)),
        _ => {}
    }
}

/// The change that ties a moved thing to the table under it, or lets it stand by itself once it has left.
fn tie(
    library: &Library,
    programme: &Programme,
    moved: &[(InstrumentId, Placement)],
    (thing, to): (&InstrumentId, &Placement),
) -> Option<Edit> {
    let setup = &programme.setup;
    let now = setup.bearer_of(thing);
    let goes_along = now.is_some_and(|by| moved.iter().any(|(other, _)| other == by));
    if goes_along || setup.borne_by(thing).next().is_some() || bears(library, thing) {
        return None;
    }
    let under = under(library, programme, thing, to, |id| Some(id) == now || bears(library, id));
    (under.as_ref() != now).then(|| Edit::LieOn {
        programme: programme.id.clone(),
        instrument: thing.clone(),
        by: under,
    })
}

/// Whether things are laid or hung on that kind.
fn bears(library: &Library, id: &InstrumentId) -> bool {
    let kind = library.instruments.get(id).and_then(|thing| library.kinds.get(&thing.kind));
    kind.is_some_and(|kind| kind.bears)
}

/// The smallest thing under the middle of another, of those that may bear it.
fn under(
    library: &Library,
    programme: &Programme,
    thing: &InstrumentId,
    to: &Placement,
    may: impl Fn(&InstrumentId) -> bool,
) -> Option<InstrumentId> {
    let setup = &programme.setup;
    let others = setup.places().filter(|(id, _)| *id != thing && setup.bearer_of(id).is_none());
    let others = others.filter(|(id, _)| may(id)).filter_map(|(id, at)| {
        let shape = library.instruments.get(id)?.footprint.shape;
        Some((id, figure(shape, at)))
    });
    let (ids, figures): (Vec<_>, Vec<_>) = others.unzip();
    let at = hit(&figures.iter().collect::<Vec<_>>(), to.at, 0.0)?;
    ids.get(at).map(|id| (*id).clone())
}

/// Lets everything that is chosen stand as one; where one thing alone is chosen, or all of one station, lets it stand apart.
pub(super) fn toggle_station(scene: &mut Scene<'_>, view: &Here<'_>) {
    let Some(programme) = view.own.shown() else { return };
    let setup = &programme.setup;
    let stands = |id: &InstrumentId| setup.place(id).is_some() && setup.bearer_of(id).is_none();
    let chosen: Vec<InstrumentId> = super::chosen::chosen(view).into_iter().filter(stands).collect();
    let Some((head, others)) = chosen.split_first() else {
        let words = "Choose what stands on the floor first.".to_owned();
        return scene.ask(Intent::Fail(words));
    };
    let with = |instrument: &InstrumentId, with: Option<&InstrumentId>| Edit::StandWith {
        programme: programme.id.clone(),
        instrument: instrument.clone(),
        with: with.cloned(),
    };
    let one = others.iter().all(|other| setup.station_of(other) == setup.station_of(head));
    if others.is_empty() && setup.peers(head).next().is_none() {
        let words = "Choose what is to stand with it as well: Ctrl and a click.".to_owned();
        return scene.ask(Intent::Fail(words));
    }
    let (words, edits): (String, Vec<Edit>) = if one {
        let words = "Take the station apart".to_owned();
        (words, chosen.iter().map(|id| with(id, None)).collect())
    } else {
        let words = format!("Make one station of {} instruments", chosen.len());
        (words, others.iter().map(|id| with(id, Some(head))).collect())
    };
    scene.edit(Edit::Together { words, edits });
}

/// Lays what is selected on the thing under it, or lets it stand by itself again.
pub(super) fn toggle(scene: &mut Scene<'_>, view: &Here<'_>) {
    let Some(programme) = view.own.shown() else { return };
    let Some(Selected::Instrument(thing)) = &view.selected else { return };
    let Some(to) = programme.setup.place(thing) else { return };
    let lies = programme.setup.bearer_of(thing).is_some();
    let by = if lies { None } else { under(scene.library, &programme, thing, to, |_| true) };
    if !lies && by.is_none() {
        let name = scene.library.instrument_name(thing);
        let words = format!("Nothing stands under {name}. Move it over a table or stand first.");
        return scene.ask(Intent::Fail(words));
    }
    scene.edit(Edit::LieOn { programme: programme.id.clone(), instrument: thing.clone(), by });
}
