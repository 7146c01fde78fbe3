//! Single drums made into one set.

use super::{SetDrum, drums_of, is_for_timpani, set_words};
use crate::collection::{Footprint, Frame, Instrument, Mass, Piece, Shape};
use crate::edit::Edit;
use crate::id::InstrumentId;
use crate::library::Library;

/// How much of the drums' widths an arc of them is wide; ours.
const ARC_WIDE: f64 = 0.9;
/// How much of the largest drum's width an arc is deep; ours.
const ARC_DEEP: f64 = 1.5;

/// The edit that makes single drums one set: an instrument with a frame a drum, which every line has that had any of them, and
/// which stands in their place in the collection. Its mass is theirs; its outline is an estimate for somebody to correct.
///
/// # Errors
/// Why not, a whole sentence: fewer than two single drums of one kind, or drums of which something is recorded that would be lost.
pub fn made_one(library: &Library, drums: &[InstrumentId]) -> Result<Edit, String> {
    let things: Vec<&Instrument> =
        drums.iter().filter_map(|id| library.instruments.get(id)).map(|thing| &**thing).collect();
    let single = |thing: &&Instrument| thing.frames.len() == 1 && is_for_timpani(library, &thing.kind);
    let Some(first) = things.first().filter(|_| things.len() > 1 && things.iter().all(single)) else {
        return Err("A set is made of two or more single drums.".to_owned());
    };
    if things.iter().any(|thing| thing.kind != first.kind) {
        return Err("The drums are of different kinds: a set is made of one.".to_owned());
    }
    for thing in &things {
        let recorded = library.takes.keys().any(|key| key.instrument == thing.id);
        if recorded || library.care.contains_key(&thing.id) {
            return Err(format!(
                "{} has recordings or a care record, which would be lost with it: it stays a drum of its own.",
                thing.name
            ));
        }
    }
    let order = drums_of(library, drums);
    let set = set(library, first, &order);
    let mut edits = vec![Edit::PutInstrument(set.clone())];
    edits.extend(uses(library, drums, &order, &set));
    edits.extend(drums.iter().cloned().map(Edit::RemoveInstrument));
    Ok(Edit::Together { words: format!("Make one set of {} drums", things.len()), edits })
}

fn set(library: &Library, first: &Instrument, order: &[SetDrum]) -> Instrument {
    let things: Vec<&Instrument> = order
        .iter()
        .filter_map(|one| library.instruments.get(&one.instrument))
        .map(|thing| &**thing)
        .collect();
    let name = set_words(library, order.iter());
    let frames = order.iter().zip(&things).filter_map(|(one, thing)| {
        let frame = thing.frames.get(one.frame)?.clone();
        Some(Frame { name: one.drum.name.clone(), ..frame })
    });
    let extents: Vec<f64> = things
        .iter()
        .map(|thing| {
            let (width, depth) = thing.footprint.shape.extent();
            width.max(depth)
        })
        .collect();
    let masses: Option<Vec<Mass>> = things.iter().map(|thing| thing.whole_mass()).collect();
    let mass = masses.map(|masses| Mass {
        kg: masses.iter().map(|mass| mass.kg).sum(),
        weighed: masses.iter().all(|mass| mass.weighed),
    });
    let pieces = |thing: &&Instrument| {
        if thing.pieces.is_empty() {
            vec![Piece { what: thing.name.clone(), count: 1, mass: thing.mass, ..Piece::default() }]
        } else {
            thing.pieces.clone()
        }
    };
    let said = |of: fn(&Instrument) -> &str| {
        let said = things.iter().filter(|thing| !of(thing).trim().is_empty());
        said.map(|thing| format!("{}: {}", thing.name, of(thing).trim())).collect::<Vec<_>>().join("; ")
    };
    Instrument {
        id: InstrumentId::fresh(&name, |id| library.instruments.contains_key(id)),
        frames: frames.collect(),
        mass,
        pieces: things.iter().flat_map(pieces).collect(),
        footprint: Footprint {
            shape: Shape::Box {
                width_m: extents.iter().sum::<f64>() * ARC_WIDE,
                depth_m: extents.iter().copied().fold(0.0, f64::max) * ARC_DEEP,
            },
            height_m: things.iter().map(|thing| thing.footprint.height_m).fold(0.0, f64::max),
        },
        condition: said(|thing| &thing.condition),
        remark: said(|thing| &thing.remark),
        name,
        picture: String::new(),
        ..first.clone()
    }
}

/// Every line that had any of the drums has the set in their place; pins go with it.
fn uses(library: &Library, drums: &[InstrumentId], order: &[SetDrum], set: &Instrument) -> Vec<Edit> {
    let mut edits = Vec::new();
    for (_, programme) in library.programmes() {
        for (line, given) in programme.lines() {
            if !given.instruments.iter().any(|id| drums.contains(id)) {
                continue;
            }
            let mut instruments = vec![set.id.clone()];
            instruments.extend(given.instruments.iter().filter(|id| !drums.contains(id)).cloned());
            let (of, line) = (|| programme.id.clone(), || line.clone());
            edits.push(Edit::UseInstruments { programme: of(), line: line(), instruments });
            for pin in given.drums.iter().filter(|pin| drums.contains(&pin.instrument)) {
                let drum = order.iter().find(|one| one.instrument == pin.instrument);
                let on = drum.map(|one| (set.id.clone(), one.drum.name.clone()));
                edits.push(Edit::PinDrum { programme: of(), line: line(), key: pin.key, on });
            }
        }
    }
    edits
}
