//! Every change: applied, taken back, made again; its words; ids that are not there.

mod follows;
mod many;
mod refused;
mod steps;

use super::*;
use crate::collection::{Owner, Pitched, Point};
use crate::compass::naive::keys;
use crate::library::Library;
use crate::pitch::Octave;
use crate::sample;
use rstest::rstest;
use std::sync::Arc;

fn id<T>(made: Result<T, crate::id::IdError>) -> T {
    made.unwrap()
}

fn p() -> ProgrammeId {
    id(ProgrammeId::new("p"))
}

fn placement(x: f64, turn_deg: f64) -> Placement {
    Placement { at: Point::new(x, 2.0), turn_deg, number: 1, locked: false }
}

fn apart() -> LineRule {
    LineRule::Apart(sample::at("w", "xyl"), sample::at("w", "sn"))
}

fn only(player: &str) -> LineRule {
    LineRule::Only(sample::at("w", "sn"), vec![id(PlayerId::new(player))])
}

/// The library with a set of assignments and a setup on top of the sample's.
fn given() -> Library {
    let give = Edit::Together {
        words: "Prepare".to_owned(),
        edits: vec![
            Edit::PutTake(sample::take("xylophone-1", "hard")),
            Edit::Assign {
                programme: p(),
                line: sample::at("w", "xyl"),
                player: Some(id(PlayerId::new("a"))),
            },
            Edit::UseInstruments {
                programme: p(),
                line: sample::at("w", "xyl"),
                instruments: vec![id(InstrumentId::new("xylophone-1"))],
            },
            Edit::UseBeaters {
                programme: p(),
                line: sample::at("w", "xyl"),
                beaters: vec![id(BeaterId::new("rubber"))],
            },
            Edit::Lock { programme: p(), line: sample::at("w", "xyl"), locked: true },
            Edit::PutRule { programme: p(), rule: apart() },
            Edit::Stand {
                programme: p(),
                instrument: id(InstrumentId::new("xylophone-1")),
                placement: placement(1.0, 0.0),
            },
        ],
    };
    apply(&sample::library(), &give).unwrap()
}

fn leave_out(line: LineRef) -> Edit {
    let instead = Some(crate::week::Instead::LeftOut);
    Edit::Decide { programme: p(), line, key: sample::key("C4"), instead }
}

/// One of each variant, all of which change the given library.
fn every_edit() -> Vec<Edit> {
    let mut all = most_edits();
    all.extend(edits_of_the_roster());
    all.push(Edit::PutCare(crate::care::Care {
        irreplaceable: "the last of its sort".to_owned(),
        ..crate::care::Care::of(id(InstrumentId::new("xylophone-1")))
    }));
    all.extend(edits_of_the_memory());
    all.push(Edit::StandWith {
        programme: p(),
        instrument: id(InstrumentId::new("drum")),
        with: Some(id(InstrumentId::new("table"))),
    });
    all.push(Edit::PutTake(sample::take("xylophone-1", "soft")));
    all.push(Edit::RemoveTake(sample::take("xylophone-1", "hard").key()));
    all.push(Edit::PinDrum {
        programme: p(),
        line: sample::at("w", "xyl"),
        key: sample::key("C4"),
        on: Some((id(InstrumentId::new("xylophone-1")), "low".to_owned())),
    });
    all
}

/// All but those of the roster, and a drum's.
fn most_edits() -> Vec<Edit> {
    let orchestra = crate::library::Orchestra { name: "Another".to_owned(), ..Default::default() };
    let mut player = sample::player("a", 0);
    player.role = "principal".to_owned();
    let programme = sample::programme("p2", &["w"]);
    let xyl = || sample::at("w", "xyl");
    let w = || id(WorkId::new("w"));
    vec![
        Edit::SetOrchestra(orchestra),
        Edit::PutKind(sample::kind("anvil", Pitched::No, None)),
        Edit::RemoveKind(id(KindId::new("spare"))),
        Edit::PutInstrument(sample::instrument("snare-2", "snare_drum", &[])),
        Edit::RemoveInstrument(id(InstrumentId::new("xylophone-1"))),
        Edit::PutBeater(sample::beater("hard")),
        Edit::RemoveBeater(id(BeaterId::new("rubber"))),
        Edit::PutPlayer(player),
        Edit::RemovePlayer(id(PlayerId::new("a"))),
        Edit::PutPlace(crate::collection::Place {
            id: id(PlaceId::new("room-2")),
            name: "room 2".to_owned(),
            remark: String::new(),
            lift: None,
            air: Vec::new(),
        }),
        Edit::RemovePlace(id(PlaceId::new("room-1"))),
        Edit::PutVenue(sample::venue("barn")),
        Edit::RemoveVenue(id(VenueId::new("spare"))),
        Edit::PutWork(sample::work("w2", Vec::new())),
        Edit::RemoveWork(w()),
        Edit::PutLine { work: w(), line: sample::line("new", None, Octave::AS_WRITTEN, "C4") },
        Edit::RemoveLine { work: w(), line: id(LineId::new("xyl")) },
        Edit::PutWeek(crate::week::Week {
            id: id(WeekId::new("k2")),
            title: "Week 2".to_owned(),
            programmes: Vec::new(),
            services: Vec::new(),
        }),
        Edit::RemoveWeek(id(WeekId::new("k"))),
        Edit::PutProgramme { week: id(WeekId::new("k")), programme },
        Edit::RemoveProgramme(p()),
        Edit::TakeUp { programme: p(), work: id(WorkId::new("v")) },
        Edit::DropAside { programme: p(), work: id(WorkId::new("v")) },
        Edit::PutService { week: id(WeekId::new("k")), service: sample::service("s2", "p", 14) },
        Edit::RemoveService(id(ServiceId::new("s"))),
        Edit::Assign { programme: p(), line: xyl(), player: Some(id(PlayerId::new("b"))) },
        Edit::Assign { programme: p(), line: xyl(), player: None },
        Edit::UseInstruments { programme: p(), line: xyl(), instruments: Vec::new() },
        Edit::UseBeaters { programme: p(), line: xyl(), beaters: Vec::new() },
        leave_out(xyl()),
        Edit::Lock { programme: p(), line: xyl(), locked: false },
        Edit::PutRule { programme: p(), rule: only("a") },
        Edit::RemoveRule { programme: p(), rule: apart() },
        Edit::Stand {
            programme: p(),
            instrument: id(InstrumentId::new("snare")),
            placement: placement(-1.0, 90.0),
        },
        Edit::StandFor {
            programme: p(),
            work: w(),
            instrument: id(InstrumentId::new("snare")),
            placement: placement(-1.0, 90.0),
        },
        Edit::TakeOffFor { programme: p(), work: w(), instrument: id(InstrumentId::new("xylophone-1")) },
        Edit::AsBase { programme: p(), work: w(), instrument: id(InstrumentId::new("drum")) },
        Edit::LieOn {
            programme: p(),
            instrument: id(InstrumentId::new("drum")),
            by: Some(id(InstrumentId::new("table"))),
        },
        Edit::TakeOff { programme: p(), instrument: id(InstrumentId::new("xylophone-1")) },
        Edit::Together {
            words: "Two at once".to_owned(),
            edits: vec![
                Edit::PutBeater(sample::beater("soft")),
                Edit::RemoveBeater(id(BeaterId::new("rubber"))),
            ],
        },
    ]
}

fn decision_from_trial() -> crate::trial::Decision {
    crate::trial::Decision { trial: Some(id(TrialId::new("first"))), ..sample::decision("first", "xyl") }
}

/// The given library with a kind and a venue that nothing needs, a drum that stands elsewhere for `w`, and a work `v` that was
/// taken out of the programme with what it had, and put back.
fn start() -> Library {
    let row = sample::line("drum", Some("triangle"), Octave::AS_WRITTEN, "");
    let put = |works: &[&str], library: &Library| {
        let mut programme = library.programme(&p()).unwrap().clone();
        programme.works = works.iter().map(|work| id(WorkId::new(work))).collect();
        apply(library, &Edit::PutProgramme { week: id(WeekId::new("k")), programme }).unwrap()
    };
    let together = |library: &Library, edits: Vec<Edit>| {
        apply(library, &Edit::Together { words: "Spare".to_owned(), edits }).unwrap()
    };
    let spare = vec![
        Edit::PutKind(sample::kind("triangle", Pitched::No, None)),
        Edit::PutKind(sample::kind("spare", Pitched::No, None)),
        Edit::PutVenue(sample::venue("spare")),
        Edit::PutInstrument(sample::instrument("drum", "triangle", &[])),
        Edit::PutInstrument(sample::instrument("table", "triangle", &[])),
        Edit::PutWork(sample::work("v", vec![row])),
        Edit::PutTrial { work: id(WorkId::new("w")), trial: sample::trial("first", "xyl") },
        Edit::PutDecision { work: id(WorkId::new("w")), decision: decision_from_trial() },
    ];
    let library = put(&["w", "v"], &together(&given(), spare));
    let line = sample::at("v", "drum");
    let library = together(
        &library,
        vec![
            Edit::Assign { programme: p(), line, player: Some(id(PlayerId::new("b"))) },
            Edit::StandFor {
                programme: p(),
                work: id(WorkId::new("w")),
                instrument: id(InstrumentId::new("drum")),
                placement: placement(2.0, 0.0),
            },
        ],
    );
    put(&["w", "v"], &put(&["w"], &library))
}

fn edits_of_the_memory() -> Vec<Edit> {
    let w = || id(WorkId::new("w"));
    vec![
        Edit::PutTrial { work: w(), trial: sample::trial("second", "sn") },
        Edit::RemoveTrial { work: w(), trial: id(TrialId::new("first")) },
        Edit::PutDecision { work: w(), decision: sample::decision("second", "sn") },
        Edit::RemoveDecision { work: w(), decision: id(DecisionId::new("first")) },
    ]
}

/// Of a programme's roster, and a proposal that is taken.
fn edits_of_the_roster() -> Vec<Edit> {
    vec![
        Edit::Accept { programme: p(), line: sample::at("w", "xyl"), player: Some(id(PlayerId::new("b"))) },
        Edit::Engage {
            programme: p(),
            player: id(PlayerId::new("b")),
            engagement: Some(crate::week::Engagement { timpani: true, ..Default::default() }),
        },
        Edit::OwnPart {
            programme: p(),
            part: crate::week::PartRef { work: id(WorkId::new("w")), part: "Percussion 2".to_owned() },
            player: Some(id(PlayerId::new("a"))),
        },
    ]
}

/// Which variant it is, from 0. A new one does not compile until it stands here, and then [`every_edit`] must have it.
const fn nth(edit: &Edit) -> usize {
    match edit {
        Edit::SetOrchestra(_) => 0,
        Edit::PutKind(_) => 1,
        Edit::RemoveKind(_) => 2,
        Edit::PutInstrument(_) => 3,
        Edit::RemoveInstrument(_) => 4,
        Edit::PutBeater(_) => 5,
        Edit::RemoveBeater(_) => 6,
        Edit::PutPlayer(_) => 7,
        Edit::RemovePlayer(_) => 8,
        Edit::PutPlace(_) => 9,
        Edit::RemovePlace(_) => 10,
        Edit::PutVenue(_) => 11,
        Edit::RemoveVenue(_) => 12,
        Edit::PutWork(_) => 13,
        Edit::RemoveWork(_) => 14,
        Edit::PutLine { .. } => 15,
        Edit::RemoveLine { .. } => 16,
        Edit::PutWeek(_) => 17,
        Edit::RemoveWeek(_) => 18,
        Edit::PutProgramme { .. } => 19,
        Edit::RemoveProgramme(_) => 20,
        Edit::TakeUp { .. } => 21,
        Edit::DropAside { .. } => 22,
        Edit::PutService { .. } => 23,
        Edit::RemoveService(_) => 24,
        Edit::Assign { .. } => 25,
        Edit::Accept { .. } => 26,
        Edit::Engage { .. } => 27,
        Edit::OwnPart { .. } => 28,
        Edit::UseInstruments { .. } => 29,
        Edit::UseBeaters { .. } => 30,
        Edit::Lock { .. } => 31,
        Edit::PutRule { .. } => 32,
        Edit::RemoveRule { .. } => 33,
        Edit::Stand { .. } => 34,
        Edit::StandFor { .. } => 35,
        Edit::TakeOffFor { .. } => 36,
        Edit::AsBase { .. } => 37,
        Edit::LieOn { .. } => 38,
        Edit::TakeOff { .. } => 39,
        Edit::PinDrum { .. } => 40,
        Edit::Decide { .. } => 41,
        Edit::PutCare(_) => 42,
        Edit::PutTrial { .. } => 43,
        Edit::RemoveTrial { .. } => 44,
        Edit::PutDecision { .. } => 45,
        Edit::RemoveDecision { .. } => 46,
        Edit::PutTake(_) => 47,
        Edit::RemoveTake(_) => 48,
        Edit::StandWith { .. } => 49,
        Edit::Together { .. } => 50,
    }
}

#[test]
fn one_of_each_is_tried() {
    let tried: std::collections::BTreeSet<usize> = every_edit().iter().map(nth).collect();
    let last = Edit::Together { words: String::new(), edits: Vec::new() };
    assert_eq!(tried, (0..=nth(&last)).collect());
}
