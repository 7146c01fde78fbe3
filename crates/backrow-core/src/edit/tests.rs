//! Every change: applied, taken back, made again; its words; ids that are not there.

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

fn apart() -> Kept {
    Kept::Apart(sample::at("w", "xyl"), sample::at("w", "sn"))
}

fn only(player: &str) -> Kept {
    Kept::Only(sample::at("w", "sn"), vec![id(PlayerId::new(player))])
}

/// The library with a set of assignments and a setup on top of the sample's.
fn given() -> Library {
    let give = Edit::Together {
        words: "Prepare".to_owned(),
        edits: vec![
            Edit::PutTake(sample::take("xylophone-1", "hard")),
            Edit::Give { programme: p(), line: sample::at("w", "xyl"), player: Some(id(PlayerId::new("a"))) },
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
            Edit::Pin { programme: p(), line: sample::at("w", "xyl"), pinned: true },
            Edit::Keep { programme: p(), kept: apart() },
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
        Edit::Give { programme: p(), line: xyl(), player: Some(id(PlayerId::new("b"))) },
        Edit::Give { programme: p(), line: xyl(), player: None },
        Edit::UseInstruments { programme: p(), line: xyl(), instruments: Vec::new() },
        Edit::UseBeaters { programme: p(), line: xyl(), beaters: Vec::new() },
        leave_out(xyl()),
        Edit::Pin { programme: p(), line: xyl(), pinned: false },
        Edit::Keep { programme: p(), kept: only("a") },
        Edit::LetGo { programme: p(), kept: apart() },
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
        Edit::Bear {
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

/// What was decided while a work lay open on a desk stays when the work is saved from there.
#[test]
fn a_work_that_is_put_keeps_what_it_remembers() {
    let library = start();
    let mut work = library.works.get(&id(WorkId::new("w"))).unwrap().as_ref().clone();
    work.memory = crate::trial::Memory::default();
    work.memory.put_decision(sample::decision("another", "sn"));
    work.title = "Renamed".to_owned();
    let after = apply(&library, &Edit::PutWork(work)).unwrap();
    let work = after.works.get(&id(WorkId::new("w"))).unwrap();
    let decisions: Vec<&str> = work.memory.decisions.iter().map(|one| one.id.as_str()).collect();
    assert_eq!((work.title.as_str(), decisions), ("Renamed", vec!["first", "another"]));
}

/// A trial that is forgotten leaves the decision that came of it.
#[test]
fn a_decision_outlives_its_trial() {
    let forget = Edit::RemoveTrial { work: id(WorkId::new("w")), trial: id(TrialId::new("first")) };
    let after = apply(&start(), &forget).unwrap();
    let decision = after.works.get(&id(WorkId::new("w"))).unwrap().memory.decisions.first().cloned();
    assert_eq!(decision, Some(sample::decision("first", "xyl")));
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
            Edit::Give { programme: p(), line, player: Some(id(PlayerId::new("b"))) },
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
        Edit::Give { .. } => 25,
        Edit::Accept { .. } => 26,
        Edit::Engage { .. } => 27,
        Edit::OwnPart { .. } => 28,
        Edit::UseInstruments { .. } => 29,
        Edit::UseBeaters { .. } => 30,
        Edit::Pin { .. } => 31,
        Edit::Keep { .. } => 32,
        Edit::LetGo { .. } => 33,
        Edit::Stand { .. } => 34,
        Edit::StandFor { .. } => 35,
        Edit::TakeOffFor { .. } => 36,
        Edit::AsBase { .. } => 37,
        Edit::Bear { .. } => 38,
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
        Edit::Together { .. } => 49,
    }
}

#[test]
fn one_of_each_is_tried() {
    let tried: std::collections::BTreeSet<usize> = every_edit().iter().map(nth).collect();
    let last = Edit::Together { words: String::new(), edits: Vec::new() };
    assert_eq!(tried, (0..=nth(&last)).collect());
}

/// The quick comparison says what the whole one says, shared or not.
#[test]
fn the_quick_comparison_agrees_with_the_whole_one() {
    let (one, other) = (start(), start());
    assert!(one.is_same(&other) && !Arc::ptr_eq(&one.works, &other.works));
    for edit in every_edit() {
        let after = apply(&one, &edit).unwrap();
        assert_eq!(after.is_same(&one), after == one, "{edit:?}");
        assert_eq!(one.is_same(&after), after == one, "{edit:?}");
        assert!(after.is_same(&apply(&other, &edit).unwrap()), "{edit:?}");
    }
}

#[test]
fn strikes_stand_in_their_order() {
    let mut take = sample::take("xylophone-1", "new");
    let next = crate::sound::Strike { from_s: 1.5, to_s: 1.9, ..Default::default() };
    take.strikes.push(next);
    let refused = apply(&start(), &Edit::PutTake(take.clone())).unwrap_err();
    assert!(refused.to_string().contains("strike 1"), "{refused}");
    take.strikes[0].to_s = 1.5;
    assert!(apply(&start(), &Edit::PutTake(take.clone())).is_ok());
    take.strikes[1].to_s = f64::NAN;
    assert!(apply(&start(), &Edit::PutTake(take)).is_err());
    let nobodys = Edit::PutTake(sample::take("no", "new"));
    assert!(apply(&start(), &nobodys).unwrap_err().to_string().contains("instrument \"no\""));
}

/// An id is unique over all weeks: what stands in another is not put here a second time.
#[test]
fn nothing_stands_in_two_weeks() {
    let week = crate::week::Week {
        id: id(WeekId::new("k2")),
        title: "Week 2".to_owned(),
        programmes: Vec::new(),
        services: Vec::new(),
    };
    let library = apply(&start(), &Edit::PutWeek(week)).unwrap();
    let other = || id(WeekId::new("k2"));
    let programme = Edit::PutProgramme { week: other(), programme: sample::programme("p", &["w"]) };
    let service = Edit::PutService { week: other(), service: sample::service("s", "p", 9) };
    for edit in [programme, service] {
        let error = apply(&library, &edit).unwrap_err();
        assert!(matches!(error, EditError::Elsewhere { .. }), "{error}");
        assert!(error.to_string().contains("Week 1"), "{error}");
    }
}

#[test]
fn a_work_that_is_not_played_is_assigned_nothing() {
    let library = apply(
        &start(),
        &Edit::PutWork(sample::work("x", vec![sample::line("gong", None, Octave::AS_WRITTEN, "")])),
    )
    .unwrap();
    let give =
        Edit::Give { programme: p(), line: sample::at("x", "gong"), player: Some(id(PlayerId::new("a"))) };
    let error = apply(&library, &give).unwrap_err().to_string();
    assert!(error.contains("Work x is not in the programme"), "{error}");
}

#[test]
fn each_change_is_undone_and_made_again() {
    for edit in every_edit() {
        let mut history = History::new(start());
        let words = history.make(&edit).unwrap().map(str::to_owned);
        let words = words.unwrap_or_else(|| panic!("{edit:?} changes nothing"));
        assert!(!words.trim().is_empty() && !words.contains("  "), "{edit:?}: {words:?}");
        assert_eq!(history.undoable(), Some(words.as_str()));
        let after = history.now().clone();
        assert_ne!(after, start(), "{edit:?}");
        assert_eq!(history.undo(), Some(words.clone()));
        assert_eq!(*history.now(), start(), "{edit:?} is not undone");
        assert_eq!(history.redoable(), Some(words.as_str()));
        assert_eq!(history.redo(), Some(words));
        assert_eq!(*history.now(), after, "{edit:?} is not made again");
        assert_eq!(history.revision(), 3);
    }
}

#[test]
fn all_in_a_row_are_undone_in_a_row() {
    let mut history = History::new(start());
    let mut states = vec![start()];
    for edit in every_edit() {
        // Some can no longer be made once others were; those leave the library as it is.
        if matches!(history.make(&edit), Ok(Some(_))) {
            states.push(history.now().clone());
        }
    }
    assert!(states.len() > 15, "{}", states.len());
    for state in states.iter().rev().skip(1) {
        history.undo().unwrap();
        assert_eq!(history.now(), state);
    }
    assert_eq!(history.undo(), None);
    for state in states.iter().skip(1) {
        history.redo().unwrap();
        assert_eq!(history.now(), state);
    }
    assert_eq!(history.redo(), None);
}

#[test]
fn a_step_that_changes_nothing_is_none() {
    let mut history = History::new(start());
    let same = Edit::PutBeater(sample::beater("rubber"));
    assert_eq!(history.make(&same), Ok(None));
    assert_eq!((history.revision(), history.undoable()), (0, None));
}

#[test]
fn a_new_step_forgets_what_was_undone() {
    let mut history = History::new(start());
    history.make(&Edit::PutBeater(sample::beater("one"))).unwrap();
    history.undo().unwrap();
    history.make(&Edit::PutBeater(sample::beater("two"))).unwrap();
    assert_eq!(history.redo(), None);
}

#[test]
fn the_oldest_steps_are_forgotten() {
    let mut history = History::new(Library::default());
    for number in 0..1010 {
        history.make(&Edit::PutPlayer(sample::player("a", number))).unwrap();
    }
    let mut undone = 0;
    while history.undo().is_some() {
        undone += 1;
    }
    assert_eq!(undone, 1000);
}

/// A thing that is not there is named; nothing is changed.
#[rstest]
#[case::kind(Edit::RemoveKind(id(KindId::new("no"))), "kind \"no\"")]
#[case::instrument(Edit::RemoveInstrument(id(InstrumentId::new("no"))), "instrument \"no\"")]
#[case::beater(Edit::RemoveBeater(id(BeaterId::new("no"))), "beater \"no\"")]
#[case::player(Edit::RemovePlayer(id(PlayerId::new("no"))), "player \"no\"")]
#[case::place(Edit::RemovePlace(id(PlaceId::new("no"))), "place \"no\"")]
#[case::venue(Edit::RemoveVenue(id(VenueId::new("no"))), "venue \"no\"")]
#[case::work(Edit::RemoveWork(id(WorkId::new("no"))), "work \"no\"")]
#[case::week(Edit::RemoveWeek(id(WeekId::new("no"))), "week \"no\"")]
#[case::programme(Edit::RemoveProgramme(id(ProgrammeId::new("no"))), "programme \"no\"")]
#[case::service(Edit::RemoveService(id(ServiceId::new("no"))), "service \"no\"")]
#[case::line(
    Edit::RemoveLine { work: id(WorkId::new("w")), line: id(LineId::new("no")) }, "line"
)]
#[case::line_of_no_work(
    Edit::RemoveLine { work: id(WorkId::new("no")), line: id(LineId::new("xyl")) }, "work \"no\""
)]
#[case::put_line_in_no_work(
    Edit::PutLine { work: id(WorkId::new("no")), line: sample::line("c", None, Octave::AS_WRITTEN, "") },
    "work \"no\""
)]
#[case::programme_in_no_week(
    Edit::PutProgramme { week: id(WeekId::new("no")), programme: sample::programme("q", &[]) }, "week \"no\""
)]
#[case::service_in_no_week(
    Edit::PutService { week: id(WeekId::new("no")), service: sample::service("q", "p", 9) }, "week \"no\""
)]
#[case::give_to_nobody_known(
    Edit::Give { programme: p(), line: sample::at("w", "xyl"), player: Some(id(PlayerId::new("no"))) },
    "player \"no\""
)]
#[case::give_no_line(Edit::Give { programme: p(), line: sample::at("w", "no"), player: None }, "line \"w/no\"")]
#[case::give_in_no_programme(
    Edit::Give { programme: id(ProgrammeId::new("no")), line: sample::at("w", "xyl"), player: None },
    "programme \"no\""
)]
#[case::use_no_instrument(
    Edit::UseInstruments {
        programme: p(), line: sample::at("w", "xyl"), instruments: vec![id(InstrumentId::new("no"))],
    },
    "instrument \"no\""
)]
#[case::use_no_beater(
    Edit::UseBeaters { programme: p(), line: sample::at("w", "xyl"), beaters: vec![id(BeaterId::new("no"))] },
    "beater \"no\""
)]
#[case::stand_nothing(
    Edit::Stand { programme: p(), instrument: id(InstrumentId::new("no")), placement: placement(0.0, 0.0) },
    "instrument \"no\""
)]
#[case::stand_nowhere(
    Edit::Stand { programme: p(), instrument: id(InstrumentId::new("snare")), placement: placement(f64::NAN, 0.0) },
    "finite"
)]
#[case::turned_by_nothing(
    Edit::Stand {
        programme: p(), instrument: id(InstrumentId::new("snare")), placement: placement(0.0, f64::INFINITY),
    },
    "finite"
)]
#[case::kind_in_use(Edit::RemoveKind(id(KindId::new("xylophone"))), "xylophone 1")]
#[case::venue_in_use(Edit::RemoveVenue(id(VenueId::new("hall"))), "Programme p")]
fn refusals_name_what_is_wrong(#[case] edit: Edit, #[case] says: &str) {
    let before = start();
    let error = apply(&before, &edit).unwrap_err().to_string();
    assert!(error.contains(says), "{error}");
    let mut history = History::new(before.clone());
    assert!(history.make(&edit).is_err());
    assert_eq!((history.now(), history.revision()), (&before, 0));
}

#[test]
fn several_are_all_made_or_none() {
    let edits = vec![Edit::PutBeater(sample::beater("new")), Edit::RemoveWork(id(WorkId::new("no")))];
    let mut history = History::new(start());
    assert!(history.make(&Edit::Together { words: "Both".to_owned(), edits }).is_err());
    assert_eq!(*history.now(), start());
}

#[test]
fn what_is_removed_leaves_every_programme() {
    let at = sample::at("w", "xyl");
    let removed = |edit: &Edit| apply(&start(), edit).unwrap();
    let of = |library: &Library| library.programme(&p()).unwrap().assignment(&at);

    let without = removed(&Edit::RemoveInstrument(id(InstrumentId::new("xylophone-1"))));
    assert!(of(&without).instruments.is_empty());
    assert!(
        !without.programme(&p()).unwrap().setup.base().contains_key(&id(InstrumentId::new("xylophone-1")))
    );

    assert!(without.takes.is_empty(), "its takes go with it");

    let without = removed(&Edit::RemoveBeater(id(BeaterId::new("rubber"))));
    assert!(of(&without).beaters.is_empty() && of(&without).player.is_some());

    assert!(without.takes.values().all(|take| take.strikes[0].beater.is_none()));
    assert_eq!(without.takes.len(), 1, "the take itself stays");

    let without = removed(&Edit::RemovePlayer(id(PlayerId::new("a"))));
    assert!(of(&without).player.is_none() && !of(&without).pinned && !of(&without).instruments.is_empty());

    let without = removed(&Edit::RemoveWork(id(WorkId::new("w"))));
    assert!(!without.programme(&p()).unwrap().plays(&id(WorkId::new("w"))));
    assert!(without.programme(&p()).unwrap().lines().next().is_none());

    let line = LineRef { work: id(WorkId::new("w")), line: id(LineId::new("xyl")) };
    let without = removed(&Edit::RemoveLine { work: line.work.clone(), line: line.line.clone() });
    assert!(without.programme(&p()).unwrap().lines().next().is_none() && without.line(&line).is_none());

    let without = removed(&Edit::RemovePlace(id(PlaceId::new("room-1"))));
    assert!(without.instruments.values().all(|thing| thing.place.is_none()));
    assert!(without.beaters.values().all(|beater| beater.place.is_none()));

    let without = removed(&Edit::RemoveProgramme(p()));
    assert_eq!(without.services().count(), 0);
}

#[test]
fn a_line_given_to_nobody_is_not_pinned() {
    let back = Edit::Give { programme: p(), line: sample::at("w", "xyl"), player: None };
    let after = apply(&start(), &back).unwrap();
    assert!(!after.programme(&p()).unwrap().assignment(&sample::at("w", "xyl")).pinned);
}

#[test]
fn turns_are_kept_within_a_circle() {
    let snare = id(InstrumentId::new("snare"));
    for (turn, kept) in [(360.0, 0.0), (-90.0, 270.0), (725.0, 5.0)] {
        let stand =
            Edit::Stand { programme: p(), instrument: snare.clone(), placement: placement(0.0, turn) };
        let after = apply(&start(), &stand).unwrap();
        let placed = after.programme(&p()).unwrap().setup.base()[&snare];
        approx::assert_relative_eq!(placed.turn_deg, kept);
    }
}

#[test]
fn what_does_not_change_is_shared() {
    let before = given();
    let mut other = sample::instrument("snare", "snare_drum", &[]);
    other.owner = Owner::Other("hired".to_owned());
    let after = apply(&before, &Edit::PutInstrument(other)).unwrap();
    let xylophone = id(InstrumentId::new("xylophone-1"));
    assert!(Arc::ptr_eq(&before.instruments[&xylophone], &after.instruments[&xylophone]));
    assert!(Arc::ptr_eq(&before.works, &after.works) && Arc::ptr_eq(&before.weeks, &after.weeks));
    let gone = apply(&before, &Edit::RemovePlayer(id(PlayerId::new("b")))).unwrap();
    let k = id(WeekId::new("k"));
    assert!(Arc::ptr_eq(&before.weeks[&k], &gone.weeks[&k]), "a week without the player is left alone");
}

#[test]
fn words_say_who_and_what() {
    let say = |edit: &Edit| words(&start(), edit);
    let line = sample::at("w", "xyl");
    let give = Edit::Give { programme: p(), line: line.clone(), player: Some(id(PlayerId::new("b"))) };
    assert_eq!(say(&give), "Give Xylophone to Player b");
    assert_eq!(say(&Edit::Give { programme: p(), line: line.clone(), player: None }), "Take Xylophone back");
    let stand = |x, turn| Edit::Stand {
        programme: p(),
        instrument: id(InstrumentId::new("xylophone-1")),
        placement: placement(x, turn),
    };
    assert_eq!(say(&stand(3.0, 0.0)), "Move xylophone 1");
    assert_eq!(say(&stand(1.0, 450.0)), "Turn xylophone 1 to 90°");
    let uses = Edit::UseInstruments { programme: p(), line, instruments: Vec::new() };
    assert_eq!(say(&uses), "Play Xylophone on nothing");
}

#[test]
fn the_library_finds_its_things() {
    let library = start();
    assert_eq!(library.roster().iter().map(|player| player.id.as_str()).collect::<Vec<_>>(), ["a", "b"]);
    assert_eq!(library.services_of(&p()).len(), 1);
    assert_eq!(library.week_of(&p()).unwrap().id.as_str(), "k");
    let (work, line) = library.line(&sample::at("w", "xyl")).unwrap();
    assert_eq!((work.id.as_str(), library.line_name(line).as_str()), ("w", "Xylophone"));
    assert_eq!(line.sounding(), keys("C6 E6"));
    let mut open = line.clone();
    open.kind = None;
    assert_eq!(library.line_name(&open), "“Perc.”");
    open.printed.clear();
    assert_eq!(library.line_name(&open), "Open line");
    assert_eq!(library.instrument_name(&id(InstrumentId::new("gone"))), "gone");
    assert_eq!(library.line(&sample::at("w", "gone")), None);
}

/// What is kept goes with the line, the work and the last of its players; a line is for one set of players.
#[test]
fn what_is_kept_goes_with_what_it_speaks_of() {
    let kept = |library: &Library| library.programme(&p()).unwrap().kept.clone();
    let of = |edits: Vec<Edit>| {
        kept(&apply(&given(), &Edit::Together { words: "Several".to_owned(), edits }).unwrap())
    };
    let keep = |kept| Edit::Keep { programme: p(), kept };
    assert_eq!(of(vec![keep(only("a")), keep(only("b"))]), vec![apart(), only("b")]);
    assert_eq!(of(vec![keep(only("a")), Edit::RemovePlayer(id(PlayerId::new("a")))]), vec![apart()]);
    let remove = Edit::RemoveLine { work: id(WorkId::new("w")), line: id(LineId::new("sn")) };
    assert_eq!(of(vec![keep(only("a")), remove]), vec![]);
    assert_eq!(of(vec![Edit::RemoveWork(id(WorkId::new("w")))]), vec![]);
    let nobody = apply(&given(), &keep(only("nobody")));
    assert!(matches!(nobody, Err(EditError::Unknown { what: "player", .. })));
}

#[test]
fn a_work_has_its_own_setup_and_goes_back_to_the_base() {
    let w = || id(WorkId::new("w"));
    let (snare, xylophone) = (id(InstrumentId::new("snare")), id(InstrumentId::new("xylophone-1")));
    let mut library = given();
    let mut make = |edit: Edit| library = apply(&library, &edit).unwrap();
    make(Edit::StandFor {
        programme: p(),
        work: w(),
        instrument: snare.clone(),
        placement: placement(-1.0, 0.0),
    });
    make(Edit::TakeOffFor { programme: p(), work: w(), instrument: xylophone.clone() });
    let setup = library.programme(&p()).unwrap().setup.clone();
    assert_eq!(setup.of_work(&w()).keys().collect::<Vec<_>>(), [&snare]);
    assert_eq!(setup.base().keys().collect::<Vec<_>>(), [&xylophone], "the base is as it was");
    let mut make = |edit: Edit| library = apply(&library, &edit).unwrap();
    for instrument in [snare, xylophone] {
        make(Edit::AsBase { programme: p(), work: w(), instrument });
    }
    assert!(library.programme(&p()).unwrap().setup.own().is_empty(), "nothing differs any more");
}
