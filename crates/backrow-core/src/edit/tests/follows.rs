//! What follows from a change: what goes along, what stays, and what it says of itself.

use super::*;

/// What was decided while a work lay in review stays when the work is saved from there.
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

/// Nor has it a floor of its own or rules: opened again, they would be put aside, and the library would not be what was saved.
#[test]
fn a_work_that_is_not_played_is_assigned_nothing() {
    let library = apply(
        &start(),
        &Edit::PutWork(sample::work("x", vec![sample::line("gong", None, Octave::AS_WRITTEN, "")])),
    )
    .unwrap();
    let (line, work) = (|| sample::at("x", "gong"), || id(WorkId::new("x")));
    let thing = || id(InstrumentId::new("xylophone-1"));
    let own = sample::at("w", "xyl");
    let player = id(PlayerId::new("a"));
    for edit in [
        Edit::Assign { programme: p(), line: line(), player: Some(player.clone()) },
        Edit::StandFor { programme: p(), work: work(), instrument: thing(), placement: placement(1.0, 0.0) },
        Edit::TakeOffFor { programme: p(), work: work(), instrument: thing() },
        Edit::AsBase { programme: p(), work: work(), instrument: thing() },
        Edit::PutRule { programme: p(), rule: LineRule::Apart(own, line()) },
        Edit::PutRule { programme: p(), rule: LineRule::Only(line(), vec![player]) },
    ] {
        let error = apply(&library, &edit).map(drop).unwrap_err().to_string();
        assert!(error.contains("Work x is not in the programme"), "{edit:?}: {error}");
    }
}

#[test]
fn what_is_removed_leaves_every_programme() {
    let at = sample::at("w", "xyl");
    let removed = |edit: &Edit| apply(&start(), edit).unwrap();
    let of = |library: &Library| library.programme(&p()).unwrap().assignment(&at);

    let without = removed(&Edit::RemoveInstrument(id(InstrumentId::new("xylophone-1"))));
    assert!(of(&without).instruments.is_empty());
    assert!(!without.programme(&p()).unwrap().setup.base.contains_key(&id(InstrumentId::new("xylophone-1"))));

    assert!(without.takes.is_empty(), "its takes go with it");

    let without = removed(&Edit::RemoveBeater(id(BeaterId::new("rubber"))));
    assert!(of(&without).beaters.is_empty() && of(&without).player.is_some());

    assert!(without.takes.values().all(|take| take.strikes[0].beater.is_none()));
    assert_eq!(without.takes.len(), 1, "the take itself stays");

    let without = removed(&Edit::RemovePlayer(id(PlayerId::new("a"))));
    assert!(of(&without).player.is_none() && !of(&without).locked && !of(&without).instruments.is_empty());

    let mut lent = start();
    let owner = Owner::Player(id(PlayerId::new("a")));
    let mut thing = lent.instruments[&id(InstrumentId::new("snare"))].as_ref().clone();
    thing.owner = owner.clone();
    let mut beater = lent.beaters[&id(BeaterId::new("rubber"))].as_ref().clone();
    beater.owner = owner;
    let name = lent.players[&id(PlayerId::new("a"))].name.clone();
    lent = apply(&apply(&lent, &Edit::PutInstrument(thing)).unwrap(), &Edit::PutBeater(beater)).unwrap();
    let without = apply(&lent, &Edit::RemovePlayer(id(PlayerId::new("a")))).unwrap();
    let theirs = Owner::Other(name);
    assert_eq!(without.instruments[&id(InstrumentId::new("snare"))].owner, theirs, "whose it is stays known");
    assert_eq!(without.beaters[&id(BeaterId::new("rubber"))].owner, theirs);

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
fn a_line_assigned_to_nobody_is_not_locked() {
    let back = Edit::Assign { programme: p(), line: sample::at("w", "xyl"), player: None };
    let after = apply(&start(), &back).unwrap();
    assert!(!after.programme(&p()).unwrap().assignment(&sample::at("w", "xyl")).locked);
}

#[test]
fn turns_are_kept_within_a_circle() {
    let snare = id(InstrumentId::new("snare"));
    for (turn, kept) in [(360.0, 0.0), (-90.0, 270.0), (725.0, 5.0)] {
        let stand =
            Edit::Stand { programme: p(), instrument: snare.clone(), placement: placement(0.0, turn) };
        let after = apply(&start(), &stand).unwrap();
        let placed = after.programme(&p()).unwrap().setup.base[&snare];
        approx::assert_relative_eq!(placed.turn_deg, kept);
    }
}

#[test]
fn words_say_who_and_what() {
    let say = |edit: &Edit| words(&start(), edit);
    let line = sample::at("w", "xyl");
    let give = Edit::Assign { programme: p(), line: line.clone(), player: Some(id(PlayerId::new("b"))) };
    assert_eq!(say(&give), "Assign Xylophone to Player b");
    assert_eq!(say(&Edit::Assign { programme: p(), line: line.clone(), player: None }), "Unassign Xylophone");
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
fn words_say_what_is_replaced() {
    let on = |instruments: &[&str]| Edit::UseInstruments {
        programme: p(),
        line: sample::at("w", "xyl"),
        instruments: instruments.iter().map(|name| id(InstrumentId::new(name))).collect(),
    };
    let has = apply(&start(), &on(&["xylophone-1"])).unwrap();
    let none = apply(&start(), &on(&[])).unwrap();
    assert_eq!(words(&none, &on(&["snare"])), "Play Xylophone on snare");
    assert_eq!(words(&has, &on(&["snare"])), "Play Xylophone on snare, in place of xylophone 1");
    assert_eq!(words(&has, &on(&["xylophone-1", "snare"])), "Play Xylophone on xylophone 1, snare");
    let both = apply(&start(), &on(&["xylophone-1", "snare"])).unwrap();
    assert_eq!(words(&both, &on(&["snare"])), "Play Xylophone on snare", "what is left is no replacement");
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
    let rule = |library: &Library| library.programme(&p()).unwrap().rules.clone();
    let of = |edits: Vec<Edit>| {
        rule(&apply(&given(), &Edit::Together { words: "Several".to_owned(), edits }).unwrap())
    };
    let keep = |rule| Edit::PutRule { programme: p(), rule };
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
    assert_eq!(setup.base.keys().collect::<Vec<_>>(), [&xylophone], "the base is as it was");
    let mut make = |edit: Edit| library = apply(&library, &edit).unwrap();
    for instrument in [snare, xylophone] {
        make(Edit::AsBase { programme: p(), work: w(), instrument });
    }
    assert!(library.programme(&p()).unwrap().setup.own.is_empty(), "nothing differs any more");
}
