//! What lies where, what it weighs and what care it asks for; by hand.

use super::*;
use crate::edit::{Edit, apply};
use crate::id::{PlayerId, ProgrammeId};
use crate::sample::{at, instrument, library, programme};
use crate::week::{Assignment, Instead};
use rstest::rstest;

fn used(things: Vec<Instrument>) -> (Library, Programme) {
    let ids: Vec<InstrumentId> = things.iter().map(|thing| thing.id.clone()).collect();
    let edits = things.into_iter().map(Edit::PutInstrument).collect();
    let library = apply(&library(), &Edit::Together { words: String::new(), edits }).unwrap();
    let mut programme = programme("p", &["w"]);
    programme.assign(at("w", "sn"), Assignment { instruments: ids, ..Assignment::default() });
    (library, programme)
}

fn thing(id: &str, kg: Option<f64>, owner: Owner, place: Option<&str>) -> Instrument {
    let mut thing = instrument(id, "snare_drum", &[]);
    thing.mass = kg.map(|kg| Mass { kg, weighed: id != "guessed" });
    thing.owner = owner;
    thing.place = place.map(|id| PlaceId::new(id).unwrap());
    thing
}

fn told(library: &Library, programme: &Programme, way: Way) -> Vec<(String, Vec<String>)> {
    let load = Load::of(library, programme, way);
    load.rooms
        .iter()
        .map(|room| (room.name.clone(), room.things.iter().map(|t| t.instrument.to_string()).collect()))
        .collect()
}

/// The orchestra's own rooms first, then what is lent or lies nowhere, by name; in a room the heaviest first. Back goes the other way.
#[test]
fn rooms_in_the_order_of_loading() {
    let (library, programme) = used(vec![
        thing("light", Some(2.0), Owner::Orchestra, Some("room-1")),
        thing("heavy", Some(20.0), Owner::Orchestra, Some("room-1")),
        thing("unknown", None, Owner::Orchestra, Some("room-1")),
        thing("also-light", Some(2.0), Owner::Orchestra, Some("room-1")),
        thing("own", Some(1.0), Owner::Player(PlayerId::new("a").unwrap()), None),
        thing("lent", Some(1.0), Owner::Other("the school".to_owned()), None),
        thing("nowhere", Some(1.0), Owner::Orchestra, None),
    ]);
    let rows = |rows: &[(&str, &[&str])]| -> Vec<(String, Vec<String>)> {
        rows.iter()
            .map(|(room, things)| ((*room).to_owned(), things.iter().map(|id| (*id).to_owned()).collect()))
            .collect()
    };
    let mut out = rows(&[
        ("room 1", &["heavy", "also-light", "light", "unknown"]),
        ("From the school", &["lent"]),
        ("No room stated", &["nowhere"]),
        ("With Player a", &["own"]),
    ]);
    assert_eq!(told(&library, &programme, Way::StoreToStage), out);
    out.reverse();
    assert_eq!(told(&library, &programme, Way::Back), out);
    let stage = told(&library, &programme, Way::StageToTruck);
    assert_eq!((stage.len(), stage[0].0.as_str(), stage[0].1.len()), (1, "Stage, Hall hall", 7));
    let mut nowhere = programme;
    nowhere.venue = None;
    assert_eq!(told(&library, &nowhere, Way::StageToTruck)[0].0, "Stage");
    assert_eq!(Way::ALL.map(Way::words), ["store to stage", "stage to truck", "back to store"]);
}

/// 30 and 12 kg, the second only guessed, and one of unknown mass: boxes of 0.5 m² each.
#[test]
fn sums_know_what_they_do_not_know() {
    let one = |things: Vec<Instrument>| {
        let (library, programme) = used(things);
        Load::of(&library, &programme, Way::StoreToStage).sum()
    };
    let weighed = || thing("weighed", Some(30.0), Owner::Orchestra, None);
    let guessed = || thing("guessed", Some(12.0), Owner::Orchestra, None);
    let sum = one(vec![weighed(), guessed(), thing("unknown", None, Owner::Orchestra, None)]);
    assert_eq!((sum.pieces, sum.unknown, sum.weighed), (3, 1, false));
    assert!((sum.kg - 42.0).abs() < 1e-9 && (sum.floor_m2 - 1.5).abs() < 1e-9);
    assert_eq!((one(vec![weighed()]).weighed, one(vec![guessed()]).weighed), (true, false));
    assert!(!one(vec![weighed(), guessed()]).weighed);
}

#[rstest]
#[case(Material::Rosewood, "snare_drum", &["wood: no cold, no sun, no damp"])]
#[case(Material::Padauk, "snare_drum", &["wood: no cold, no sun, no damp"])]
#[case(Material::Glass, "snare_drum", &["glass: padded, upright, nothing on it"])]
#[case(Material::Skin, "timpani", &["covers on; nothing on the heads"])]
#[case(Material::Skin, "snare_drum", &[])]
#[case(Material::Steel, "timpani", &[])]
fn care_by_what_it_is_made_of(#[case] material: Material, #[case] kind: &str, #[case] words: &[&str]) {
    let mut timpani = crate::sample::kind("timpani", crate::collection::Pitched::Yes, None);
    timpani.family = Family::Timpani;
    let library = apply(&library(), &Edit::PutKind(timpani)).unwrap();
    let mut one = instrument("one", kind, &[]);
    one.material = material;
    assert_eq!(care(&library, &one), words);
    // 300 kg that do not roll are for lifting gear.
    one.mass = Some(Mass { kg: 300.0, weighed: true });
    assert_eq!(care(&library, &one), [words, &[GEAR]].concat());
}

/// A note that is played on another instrument brings that bar along, if it has it; a bar that hangs loose goes with those needed.
#[test]
fn notes_played_elsewhere_bring_their_bars() {
    let c6 = crate::sample::key("C6");
    let p = ProgrammeId::new("p").unwrap();
    let mut other = instrument("xylophone-2", "xylophone", &["C5-C7"]);
    other.layout = Layout::Rack;
    let library = apply(&library(), &Edit::PutInstrument(other)).unwrap();
    let second = InstrumentId::new("xylophone-2").unwrap();
    let mut programme = programme("p", &["w"]);
    let given = Assignment { instead: [(c6, Instead::On(second.clone()))].into(), ..Assignment::default() };
    programme.assign(at("w", "xyl"), given);
    let used = used_bars(&library, &programme);
    assert_eq!((used.len(), used[&second]), (1, PitchSet::EMPTY.with(c6)));
    assert_eq!(programme.id, p);
}

/// A player's own set goes with the player, whole; the orchestra's go by pairs from their room.
#[test]
fn beaters_go_with_their_owners() {
    use crate::id::BeaterId;
    let set =
        |id: &str, owner: Owner| crate::collection::Beater { count: 6, owner, ..crate::sample::beater(id) };
    let player = |id: &str| PlayerId::new(id).unwrap();
    let edits = vec![
        Edit::PutBeater(set("rubber", Owner::Orchestra)),
        Edit::PutBeater(set("yarn", Owner::Player(player("a")))),
    ];
    let library = apply(&library(), &Edit::Together { words: String::new(), edits }).unwrap();
    let mut programme = programme("p", &["w"]);
    for (line, who) in [("xyl", "a"), ("sn", "b")] {
        let beaters = ["rubber", "yarn"].map(|id| BeaterId::new(id).unwrap()).to_vec();
        programme.assign(
            at("w", line),
            Assignment { player: Some(player(who)), beaters, ..Assignment::default() },
        );
    }
    let timetable = crate::moves::Timetable::of(&library, &programme, crate::stage::Walks::default());
    let shares = crate::beaters::shares(&library, &timetable);
    let found = beaters(&library, &programme, &shares, Way::StoreToStage);
    let told: Vec<(&str, Vec<(&str, u32)>)> = found
        .iter()
        .map(|room| (room.room.as_str(), room.beaters.iter().map(|(id, n)| (id.as_str(), *n)).collect()))
        .collect();
    // Two players at once take a pair of the orchestra's six each; of a's own six all go with a, though b uses two.
    assert_eq!(told, [("room 1", vec![("rubber", 4)]), ("With Player a", vec![("yarn", 6)])]);
}
