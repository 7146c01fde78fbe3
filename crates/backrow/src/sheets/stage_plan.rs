//! The stage plan of a programme: its setup to scale, and who plays what with which beaters.

use super::{head, names, routes};
use backrow_core::collection::{Instrument, Layout, Point, Shape, Venue};
use backrow_core::evening::{Evening, Floor as OneFloor};
use backrow_core::id::{BeaterId, InstrumentId, PlayerId, begun};
use backrow_core::library::Library;
use backrow_core::pitch::KeyNumber;
use backrow_core::stage::{Furniture, Plan, Stood};
use backrow_core::week::{LineRef, Programme};
use backrow_print::caution;
use backrow_print::plan::{
    BarMark, Bars, Clash, Floor, FloorArea, Furnishing, LowEnd, NarrowWay, PlanSheet, PlayerBlock,
    PlayerLine, Shape as Outline, Spot, Standing, Thing,
};
use std::collections::{BTreeMap, BTreeSet};

/// The sheet's data.
pub fn stage_plan(evening: &Evening) -> PlanSheet {
    let (library, programme, floor) = (evening.library(), evening.programme(), evening.floor(None));
    let (plan, venue) = (floor.plan(), floor.venue());
    let stood = in_order(plan);
    // Where one work alone is played, its routes are no tangle.
    let alone = match programme.works.as_slice() {
        [one] => routes::of_work(evening, one),
        _ => Vec::new(),
    };
    PlanSheet {
        head: head(library, programme),
        player_spaces: stood
            .iter()
            .filter(|thing| thing.on.is_none() && !thing.played_by.is_empty())
            .flat_map(|thing| std::iter::once(thing.standing).chain(thing.across))
            .map(|standing| standing.room.iter().copied().map(spot).collect())
            .collect(),
        people: people(library, programme, plan, &stood),
        ways: alone,
        narrow: narrow(library, floor),
        clashes: clashes(floor),
        unplaced: unplaced(evening),
        players: players(library, programme),
        cautions: cautions(evening, venue, &stood),
        ..bare(evening, floor)
    }
}

/// A floor with what stands on it, and nothing else: no people, routes or words.
pub(super) fn bare(evening: &Evening, floor: &OneFloor) -> PlanSheet {
    let (library, programme, plan) = (evening.library(), evening.programme(), floor.plan());
    let thing = |stood: &Stood| {
        Some(thing_of((library, programme), library.instruments.get(&stood.instrument)?, plan, stood))
    };
    PlanSheet {
        floor: floor.venue().map(|venue| floor_of(venue, plan)).unwrap_or_default(),
        things: in_order(plan).into_iter().filter_map(thing).collect(),
        furniture: furniture(library, floor),
        ..PlanSheet::default()
    }
}

/// What stands there by its number.
fn in_order(plan: &Plan) -> Vec<&Stood> {
    let mut stood: Vec<&Stood> = plan.things.iter().collect();
    stood.sort_by_key(|thing| (thing.placement.number, thing.instrument.clone()));
    stood
}

/// Music stands and stools, each an outline.
fn furniture(library: &Library, floor: &OneFloor) -> Vec<Furnishing> {
    let one = |one: &Furniture| Furnishing {
        outline: outline(&one.figure.outline),
        words: one.what.words().to_owned(),
    };
    floor.furniture(library).iter().map(one).collect()
}

/// What lines are given and does not stand on any floor of the programme, by name.
fn unplaced(evening: &Evening) -> Vec<String> {
    let (library, programme) = (evening.library(), evening.programme());
    let missing = programme.used().into_iter().filter(|id| !evening.stands(id));
    let mut names: Vec<String> = missing.map(|id| library.instrument_name(id)).collect();
    names.sort();
    names
}

/// Things that overlap, each with what both take.
fn clashes(floor: &OneFloor) -> Vec<Clash> {
    let things = &floor.plan().things;
    let clash = |both: &backrow_core::stage::Overlapping| {
        let (a, b) = (things.get(both.a)?.placement.number, things.get(both.b)?.placement.number);
        let words = format!("{} and {} by {:.2}\u{202F}m", a.min(b), a.max(b), both.overlap.depth_m);
        Some(Clash { outline: outline(&both.overlap.common), words })
    };
    floor.checks().overlaps.iter().filter_map(clash).collect()
}

const fn spot(point: Point) -> Spot {
    [point.x, point.y]
}

fn outline(points: &[Point]) -> Vec<Spot> {
    points.iter().copied().map(spot).collect()
}

/// Round what stands as one, so that whoever sets up sees what belongs together.
fn stations(plan: &Plan) -> Vec<Vec<Spot>> {
    let closed = |station: &Vec<usize>| {
        let round = outline(&plan.station_outline(station));
        round.iter().chain(round.first()).copied().collect()
    };
    plan.stations().iter().map(closed).collect()
}

fn floor_of(venue: &Venue, plan: &Plan) -> Floor {
    let riser = |riser: &backrow_core::collection::Riser| FloorArea {
        outline: outline(&riser.outline),
        words: format!("{} +{:.2}\u{202F}m", begun(&riser.name), riser.height_m),
    };
    let area = |area: &backrow_core::collection::Area| FloorArea {
        outline: outline(&area.outline),
        words: area.words(),
    };
    Floor {
        outlines: vec![outline(&venue.floor)],
        lines: stations(plan),
        risers: venue.risers.iter().map(riser).collect(),
        keep_out: venue.keep_out.iter().map(area).collect(),
        conductor: venue.conductor.map(spot),
    }
}

fn thing_of(
    (library, programme): (&Library, &Programme),
    instrument: &Instrument,
    plan: &Plan,
    stood: &Stood,
) -> Thing {
    let compass = instrument.bars();
    let spelled = |key: KeyNumber| names::spelled(library, programme, &instrument.id, [key]);
    let bars = match (compass.lowest(), compass.highest()) {
        (Some(low), Some(high)) if low == high => spelled(low),
        (Some(low), Some(high)) => format!("{}–{}", spelled(low), spelled(high)),
        _ => String::new(),
    };
    let bearer = stood.on.and_then(|on| plan.things.get(on));
    let on = bearer.map(|bearer| format!("on {}", bearer.placement.number));
    let head = stood.station.as_ref().filter(|head| **head != stood.instrument && stood.on.is_none());
    let with = head.and_then(|head| plan.thing(head));
    let with = with.map(|head| format!("stands with {}", head.placement.number));
    let note = std::iter::once(bars)
        .chain(on)
        .chain(with)
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    Thing {
        number: stood.placement.number.to_string(),
        name: instrument.name.clone(),
        note,
        shape: shape_of(library, instrument),
        at: spot(stood.placement.at),
        turn_deg: stood.placement.turn_deg,
        low_end: (instrument.layout != Layout::Drums && compass.len() > 1).then_some(LowEnd::Right),
        carried: stood.on.is_some(),
        unused: false,
        changed: false,
    }
}

fn shape_of(library: &Library, instrument: &Instrument) -> Outline {
    if instrument.is_set() {
        let (width_m, depth_m) = instrument.footprint.shape.extent();
        let spots = instrument.drum_spots(library.orchestra.timpani.low_drum);
        let drums = spots.iter().map(|drum| (spot(drum.at), drum.radius_m)).collect();
        return Outline::Drums { width_m, depth_m, drums };
    }
    match instrument.footprint.shape {
        Shape::Keyboard { width_m, low_m, high_m } => {
            Outline::Keyboard { width_m, low_m, high_m, bars: bars_of(instrument) }
        }
        Shape::Box { width_m, depth_m } if instrument.layout == Layout::Rack && instrument.is_pitched() => {
            let count = |frame: &backrow_core::collection::Frame| frame.bars().len();
            Outline::Rack { width_m, depth_m, rows: instrument.frames.iter().map(count).collect() }
        }
        Shape::Box { width_m, depth_m } => Outline::Box { width_m, depth_m },
        Shape::Hung { width_m, depth_m } => Outline::Hung { width_m, depth_m },
        Shape::Round { diameter_m } => Outline::Round { diameter_m },
    }
}

/// Bars in two true rows, naturals near the player; one row for other layouts.
fn bars_of(instrument: &Instrument) -> Bars {
    let bars: Vec<KeyNumber> = instrument.bars().iter().collect();
    if instrument.layout != Layout::TwoRows {
        return Bars::Count(u32::try_from(bars.len()).unwrap_or(0));
    }
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return Bars::None };
    let (low, high) = (natural_place(*first), natural_place(*last));
    let span = (high - low + 1.0).max(1.0);
    let mark = |key: &KeyNumber| {
        let along = (natural_place(*key) - low + 0.5) / span;
        let (near, far) = if key.is_natural() { (0.06, 0.5) } else { (0.52, 0.94) };
        BarMark { along, thick: 0.8 / span, near, far }
    };
    Bars::Each(bars.iter().map(mark).collect())
}

/// The place of a key along the row of naturals, accidentals half-way between their neighbours.
fn natural_place(key: KeyNumber) -> f64 {
    const PLACES: [f64; 12] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0];
    let within = PLACES.get(usize::from(key.pitch_class())).copied().unwrap_or(0.0);
    f64::from(key.octave()) * 7.0 + within
}

/// Who stands where: at what bears the things that they play, on the side that the core says.
fn people(library: &Library, programme: &Programme, plan: &Plan, stood: &[&Stood]) -> Vec<Standing> {
    let bearer = |id: &InstrumentId| {
        let on = plan.thing(id).and_then(|thing| thing.on).and_then(|on| plan.things.get(on));
        on.map_or_else(|| id.clone(), |on| on.instrument.clone())
    };
    let first = first_instruments(library, programme);
    let mut people = Vec::new();
    for thing in stood.iter().filter(|thing| thing.on.is_none()) {
        for player in thing.played_by.iter().filter_map(|id| library.players.get(id)) {
            people.push(Standing {
                initials: player.initials.clone(),
                at: routes::disc_at(thing, &player.id),
                begins: first.get(&player.id).map(bearer).as_ref() == Some(&thing.instrument),
            });
        }
    }
    people
}

/// Where each player begins the programme.
fn first_instruments(library: &Library, programme: &Programme) -> BTreeMap<PlayerId, InstrumentId> {
    let mut first: BTreeMap<PlayerId, (usize, usize, f64, InstrumentId)> = BTreeMap::new();
    for (line, given) in programme.lines() {
        let (Some(player), Some((work, asked))) = (&given.player, library.line(line)) else { continue };
        let instrument = given.instruments.iter().find(|id| programme.number_of(id).is_some());
        let (Some(instrument), Some(passage)) = (instrument, asked.passages.first()) else { continue };
        let nth = programme.works.iter().position(|id| *id == line.work).unwrap_or(usize::MAX);
        let movement = work.movements.iter().position(|m| m.id == asked.movement).unwrap_or(usize::MAX);
        let here = (nth, movement, passage.from_s, instrument.clone());
        let sooner = first.get(player).is_none_or(|old| (here.0, here.1, here.2) < (old.0, old.1, old.2));
        if sooner {
            first.insert(player.clone(), here);
        }
    }
    first.into_iter().map(|(player, (_, _, _, instrument))| (player, instrument)).collect()
}

fn narrow(library: &Library, floor: &OneFloor) -> Vec<NarrowWay> {
    let wanted_m = library.orchestra.habits.gangway_m;
    let row = |narrow: &backrow_core::stage::Narrow| NarrowWay {
        from: spot(narrow.gap.from),
        to: spot(narrow.gap.to),
        metres: narrow.gap.metres,
        wanted_m,
    };
    floor.checks().narrow.iter().map(row).collect()
}

/// Who plays what, in roster order; the same instrument with the same beaters stands once, with its works.
fn players(library: &Library, programme: &Programme) -> Vec<PlayerBlock> {
    let block = |player: &backrow_core::collection::Player| PlayerBlock {
        initials: player.initials.clone(),
        name: player.name.clone(),
        role: player.role.clone(),
        lines: lines(library, programme, &player.id),
        changed: false,
    };
    library.roster().into_iter().map(block).filter(|block| !block.lines.is_empty()).collect()
}

fn lines(library: &Library, programme: &Programme, player: &PlayerId) -> Vec<PlayerLine> {
    type Key = (Vec<InstrumentId>, String, Vec<BeaterId>);
    let mut order: Vec<Key> = Vec::new();
    let mut works: BTreeMap<Key, (BTreeSet<usize>, Vec<String>)> = BTreeMap::new();
    let alone = programme.lines().map(|(line, _)| &line.work).collect::<BTreeSet<_>>().len() == 1;
    for (nth, id) in programme.works.iter().enumerate() {
        let Some(work) = library.works.get(id) else { continue };
        for line in &work.lines {
            let at = LineRef { work: id.clone(), line: line.id.clone() };
            let given = programme.assignment(&at);
            if given.player.as_ref() != Some(player) {
                continue;
            }
            let open = if given.instruments.is_empty() { library.line_name(line) } else { String::new() };
            let mut instruments = given.instruments;
            instruments.sort_by_key(|id| programme.number_of(id));
            let key = (instruments, open, given.beaters);
            if !works.contains_key(&key) {
                order.push(key.clone());
            }
            // Where one work alone is drawn, its movements tell more than its number.
            let movement = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
            let (places, movements) = works.entry(key).or_default();
            places.insert(nth + 1);
            if !movement.is_empty() && movements.last().is_none_or(|last| last != movement) {
                movements.push(movement.to_owned());
            }
        }
    }
    let when = |key: &Key| {
        let found = works.get(key);
        let words = |(places, movements): &(BTreeSet<usize>, Vec<String>)| {
            if alone { movements.join(", ") } else { names::works(places) }
        };
        found.map(words).unwrap_or_default()
    };
    order.iter().map(|key| line(library, programme, key, when(key))).collect()
}

fn line(
    library: &Library,
    programme: &Programme,
    (instruments, open, beaters): &(Vec<InstrumentId>, String, Vec<BeaterId>),
    remark: String,
) -> PlayerLine {
    let name =
        |id: &BeaterId| library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone());
    PlayerLine {
        number: names::numbers(programme, instruments),
        instrument: match instruments.as_slice() {
            [] => format!("{open}: instrument open"),
            some => names::instruments(library, some),
        },
        beaters: beaters.iter().map(name).collect::<Vec<_>>().join("; "),
        remark,
    }
}

fn cautions(evening: &Evening, venue: Option<&Venue>, stood: &[&Stood]) -> Vec<String> {
    let library = evening.library();
    let things = || stood.iter().filter_map(|thing| library.instruments.get(&thing.instrument));
    let heavy = things().any(|thing| super::is_heavy(thing));
    // What a line asks for is as loud as what it is played on; what stands and is not played yet may be.
    let loud = things().any(|thing| library.is_very_loud(&thing.kind))
        || evening.timetable().lines.iter().any(|taken| !taken.loud_kinds(library).is_empty());
    let raised = venue.is_some_and(|venue| !venue.risers.is_empty()) && !stood.is_empty();
    [(raised, caution::RISER), (heavy, caution::LIFT), (loud, caution::LOUD)]
        .into_iter()
        .filter(|(wanted, _)| *wanted)
        .map(|(_, words)| words.to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::{Edit, apply};

    #[test]
    fn what_stands_as_one_is_printed_as_one() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        let library = backrow_files::library::open(&folder, &kinds).library;
        let programme = library.programmes().map(|(_, programme)| programme).next().expect("one");
        let before = stage_plan(&Evening::of(&library, programme));
        let evening = Evening::of(&library, programme);
        let alone = evening.floor(None).plan().things.iter();
        let alone: Vec<&Stood> =
            alone.filter(|stood| stood.on.is_none() && stood.station.is_none()).take(2).collect();
        let [head, other] = alone.as_slice() else { panic!("two things stand by themselves") };
        let join = Edit::StandWith {
            programme: programme.id.clone(),
            instrument: other.instrument.clone(),
            with: Some(head.instrument.clone()),
        };
        let next = apply(&library, &join).expect("they can be joined");
        let programme = next.programme(&programme.id).expect("still there");
        let after = stage_plan(&Evening::of(&next, programme));
        assert_eq!(after.floor.lines.len(), before.floor.lines.len() + 1, "one more outline round a station");
        let new =
            after.floor.lines.iter().find(|line| !before.floor.lines.contains(line)).expect("the new one");
        for stood in [head, other] {
            let at = stood.placement.at;
            let within = |of: fn(&Spot) -> f64, value: f64| {
                let (least, most) =
                    new.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
                        (low.min(one), high.max(one))
                    });
                least <= value && value <= most
            };
            assert!(within(|[x, _]| *x, at.x) && within(|[_, y]| *y, at.y), "{at:?} in {new:?}");
        }
        let note = |sheet: &PlanSheet| {
            let number = other.placement.number.to_string();
            sheet.things.iter().find(|thing| thing.number == number).map(|thing| thing.note.clone())
        };
        let words = format!("stands with {}", head.placement.number);
        assert!(note(&after).is_some_and(|note| note.contains(&words)), "{:?}", note(&after));
        assert!(note(&before).is_some_and(|note| !note.contains("stands with")));
    }
}
