//! The rows: instruments that the filters leave, with their answers to the call.

use super::filters::{Filters, Sort};
use crate::frame::panel::thing::{owner_words, place_words};
use crate::scene::Scene;
use crate::view::View;
use backrow_core::collection::{Instrument, Material};
use backrow_core::compass::{Fit, PitchSet, Reach, fit};
use backrow_core::findings::other_use;
use backrow_core::id::{InstrumentId, KindId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::pitch::Octave;
use backrow_core::week::CallRef;

/// What the rows are worked out from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RowsKey(u64, Option<CallRef>, Option<ProgrammeId>, Filters);

impl RowsKey {
    pub(super) fn new(scene: &Scene<'_>, view: &View) -> Self {
        Self(scene.revision, view.call.clone(), view.programme.clone(), view.compass.filters.clone())
    }
}

/// One instrument.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) id: InstrumentId,
    pub(super) name: String,
    pub(super) kind: KindId,
    pub(super) beside: String,
    pub(super) material: Material,
    pub(super) bars: PitchSet,
    pub(super) dead: PitchSet,
    /// The kind's usual convention, for the hairline when no call is laid over.
    pub(super) octave: Octave,
    pub(super) reach: Option<Reach>,
    /// The answer in words, for labels and hovers.
    pub(super) answer: String,
    /// Who has the call on it now: roster order and initials.
    pub(super) player: Option<(u32, String)>,
    /// Needed by another programme at the same time.
    pub(super) elsewhere: Option<String>,
    /// Whether a new kind begins with this row.
    pub(super) first_of_kind: bool,
    /// Distance of the row's top from the list's, points.
    pub(super) top: f32,
}

/// The rows that the filters leave, in their order.
pub(super) fn rows(
    library: &Library,
    call: Option<&CallRef>,
    programme: Option<&ProgrammeId>,
    filters: &Filters,
) -> Vec<Row> {
    let asked = call.and_then(|at| library.call(at)).map(|(_, call)| call);
    let asks = asked.filter(|call| call.is_pitched()).map(backrow_core::music::Call::sounding);
    let programme = programme.and_then(|id| library.programme(id));
    let mut rows: Vec<Row> = library
        .instruments
        .values()
        .filter(|thing| thing.is_pitched())
        .map(|thing| {
            let mut row = row(library, thing);
            row.reach = asks.map(|asks| fit(thing.compass(), asks));
            row.answer = row
                .reach
                .as_ref()
                .map_or_else(String::new, |reach| answer_words(reach, asks.unwrap_or_default()));
            if let Some(programme) = programme {
                row.elsewhere = other_use(library, programme, &thing.id)
                    .map(|(other, when)| format!("{}, {when}", other.title));
                let given = call
                    .map(|at| programme.assignment(at))
                    .filter(|given| given.instruments.contains(&thing.id));
                let player =
                    given.and_then(|given| given.player).and_then(|id| library.players.get(&id).cloned());
                row.player = player.map(|player| (player.order, player.initials.clone()));
            }
            row
        })
        .filter(|row| filters.keep(library, row))
        .collect();
    sort(library, &mut rows, filters.sort);
    lay_out(&mut rows, filters.sort == Sort::Kind);
    rows
}

fn row(library: &Library, thing: &Instrument) -> Row {
    let place = place_words(library, thing.place.as_ref());
    let owner = owner_words(library, &thing.owner);
    Row {
        id: thing.id.clone(),
        name: thing.name.clone(),
        kind: thing.kind.clone(),
        beside: if place.is_empty() { owner } else { format!("{owner}, {place}") },
        material: thing.material,
        bars: thing.bars(),
        dead: thing.dead(),
        octave: library.kinds.get(&thing.kind).and_then(|kind| kind.octave).unwrap_or_default(),
        reach: None,
        answer: String::new(),
        player: None,
        elsewhere: None,
        first_of_kind: false,
        top: 0.0,
    }
}

/// "reaches all 19"; "14 of 19, 5 an octave away"; "13 of 19, lacks F♯6".
fn answer_words(reach: &Reach, asks: PitchSet) -> String {
    let all = asks.len();
    if reach.fit == Fit::Whole {
        return format!("reaches all {all}");
    }
    let away = reach.lower.union(reach.higher).len();
    let away = if away > 0 { format!(", {away} an octave or more away") } else { String::new() };
    let lacks = if reach.missing.is_empty() { String::new() } else { format!(", lacks {}", reach.missing) };
    format!("reaches {} of {all}{away}{lacks}", reach.reached.len())
}

fn sort(library: &Library, rows: &mut [Row], by: Sort) {
    let kind_order = |row: &Row| {
        let kind = library.kinds.get(&row.kind);
        (kind.map(|kind| kind.family), kind.map_or_else(String::new, |kind| kind.name().to_owned()))
    };
    match by {
        Sort::Kind => rows.sort_by_cached_key(|row| (kind_order(row), row.name.clone())),
        Sort::Name => rows.sort_by_cached_key(|row| row.name.clone()),
        Sort::Place => rows.sort_by_cached_key(|row| (row.beside.clone(), row.name.clone())),
        Sort::Answer => rows.sort_by_cached_key(|row| {
            let lacks = row.reach.as_ref().map_or(u32::MAX, |reach| reach.lacking().len());
            (lacks, kind_order(row), row.name.clone())
        }),
    }
}

fn lay_out(rows: &mut [Row], by_kind: bool) {
    let mut top = 0.0;
    let mut before: Option<KindId> = None;
    for row in rows {
        row.first_of_kind = before.as_ref() != Some(&row.kind);
        if by_kind && row.first_of_kind && before.is_some() {
            top += super::measure::GAP;
        }
        row.top = top;
        top += super::measure::ROW;
        before = Some(row.kind.clone());
    }
}
