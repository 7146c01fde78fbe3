//! Programmes as questions.

use super::*;
use crate::collection::{Family, Layout, Pitched};
use crate::edit::Edit;
use crate::id::{KindId, ServiceId, WeekId};
use crate::pitch::Octave;
use crate::rota::{Answer, Demand, Effort, Rota, Staffing};
use crate::sample::{at, instrument, kind, library_of, line, player, programme, service, venue, work};
use crate::stage::{Plan, Walks};
use crate::week::{Assignment, Engagement, LineRule, ServiceKind, Week};

/// One movement: bells 0–2 s twice at once, a gong 10–12 s that `c` has; three players, one ill, one without gongs.
fn evening(change: impl FnOnce(&mut Programme)) -> (crate::library::Library, Programme) {
    let mut gong = line("gong", Some("gong"), Octave::AS_WRITTEN, "");
    for passage in &mut gong.passages {
        (passage.from_s, passage.to_s) = (10.0, 12.0);
    }
    let bells = |id| line(id, Some("bells"), Octave::AS_WRITTEN, "C4");
    let mut ill = player("b", 1);
    ill.absences.push(ServiceId::new("friday").unwrap());
    let mut choosy = player("c", 2);
    choosy.never.push(KindId::new("gong").unwrap());
    let mut evening = programme("evening", &["w"]);
    let given = Assignment { player: Some(id("c")), ..Assignment::default() };
    evening.assign(at("w", "gong"), given);
    change(&mut evening);
    let mut concert = service("friday", "evening", 20);
    concert.kind = ServiceKind::Concert;
    let week = Week {
        id: WeekId::new("week").unwrap(),
        title: String::new(),
        programmes: vec![evening.clone()],
        services: vec![concert],
    };
    let library = library_of(vec![
        Edit::PutKind(kind("gong", Pitched::No, None)),
        Edit::PutKind(kind("bells", Pitched::Yes, None)),
        Edit::PutInstrument(instrument("gong-1", "gong", &[])),
        Edit::PutVenue(venue("hall")),
        Edit::PutPlayer(player("a", 0)),
        Edit::PutPlayer(ill),
        Edit::PutPlayer(choosy),
        Edit::PutWork(work("w", vec![bells("bells-1"), bells("bells-2"), gong])),
        Edit::PutWeek(week),
    ]);
    (library, evening)
}

fn asked_on(terms: Terms<'_>, change: impl FnOnce(&mut Programme)) -> Asked {
    let (library, evening) = evening(change);
    let timetable = Timetable::of(&library, &evening, Walks::of(&Plan::of(&library, &evening), None));
    Asked::of(&library, &evening, &timetable, terms)
}

fn asked(locked: bool) -> Asked {
    asked_on(Terms::default(), |p| p.change_assignments(|given| given.locked = locked))
}

fn id(player: &str) -> PlayerId {
    PlayerId::new(player).unwrap()
}

#[test]
fn absences_and_unwillingness_shrink_the_lists() {
    let asked = asked(false);
    let rota = Rota::new(asked.problem.clone()).unwrap();
    let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("two can do it") };
    assert_eq!((found.players, found.proven()), (2, true));
    let named: Vec<_> =
        asked.named(&found.assignments).filter_map(|(_, p)| p).map(ToString::to_string).collect();
    assert!(!named.contains(&"b".to_owned()), "b misses the concert");
    assert_eq!(named.last().map(String::as_str), Some("a"), "c takes no gong");
}

#[test]
fn what_is_kept_becomes_demands() {
    assert_eq!(asked(false).problem.demands.len(), 2, "ill, and no gongs");
    let (one, other) = (at("w", "bells-1"), at("w", "gong"));
    let asked = asked_on(Terms::default(), |p| {
        p.rules = vec![
            LineRule::Together(one.clone(), other.clone()),
            LineRule::Only(other.clone(), vec![id("b")]),
            LineRule::Only(other.clone(), vec![id("nobody")]),
            LineRule::Apart(at("w", "no"), other.clone()),
        ];
    });
    let only =
        |players: Vec<PlayerNo>, why: &str| Demand::Only { lines: vec![LineNo(2)], players, why: why.into() };
    let rules: Vec<Demand> = asked.problem.demands.iter().skip(2).cloned().collect();
    assert_eq!(
        rules,
        [
            Demand::Together { a: LineNo(0), b: LineNo(2) },
            only(vec![PlayerNo(1)], ""),
            only(Vec::new(), "none of them is engaged"),
        ],
        "a line that is not asked about is left out"
    );
}

#[test]
fn apart_from_both_bells_the_gong_needs_a_third() {
    let mut asked = asked(false);
    asked.problem.demands.clear();
    let apart = [(0, 2), (1, 2)].map(|(a, b)| Demand::Apart { a: LineNo(a), b: LineNo(b) });
    asked.problem.demands.extend(apart);
    let Answer::Found(found) = Rota::new(asked.problem).unwrap().fewest(Effort::default()) else {
        panic!("three can do it")
    };
    assert_eq!(found.players, 3);
}

#[test]
fn a_pin_against_a_player_s_will_is_told() {
    let rota = Rota::new(asked(true).problem).unwrap();
    let Answer::Impossible(no) = rota.fewest(Effort::default()) else { panic!("c takes no gong") };
    assert_eq!((no.lines.len(), no.demands.len()), (1, 2), "{no:?}");
}

fn engage(standing: Standing, timpani: bool) -> Engagement {
    Engagement { standing, timpani, ..Engagement::default() }
}

fn staffed(asked: &Asked) -> (usize, usize, Option<Answer>) {
    let rota = Rota::new(asked.problem.clone()).unwrap();
    let Staffing::Enough(staffed) = rota.staffed(Effort::default()) else { panic!("extras are enough") };
    let extras = staffed.rota.cost(&staffed.fewest.assignments, staffed.among).extras;
    (staffed.fewest.players, extras, staffed.why_more)
}

#[test]
fn an_extra_comes_only_when_those_engaged_are_used_up_and_the_proof_says_so() {
    // Two players for two bells at once: the one who is free and the one without gongs.
    let terms = Terms { extras: 4, ..Terms::default() };
    assert_eq!(staffed(&asked_on(terms, |_| ())), (2, 0, None), "nobody else is called");
    let without_c = asked_on(terms, |p| {
        p.change_assignments(|given| *given = Assignment::default());
        p.roster.stated.insert(id("c"), engage(Standing::Free, false));
    });
    assert_eq!(without_c.players.len(), 2, "who is not engaged is not asked");
    let (players, extras, why) = staffed(&without_c);
    assert_eq!((players, extras), (2, 1));
    let Some(Answer::Impossible(no)) = why else { panic!("a proof that those engaged are not enough") };
    assert_eq!(no.lines, [LineNo(0), LineNo(1)], "two bells at once for the one who is there");
    let reserve = asked_on(terms, |p| {
        p.change_assignments(|given| *given = Assignment::default());
        p.roster.stated.insert(id("c"), engage(Standing::Reserve, false));
    });
    assert_eq!(reserve.problem.reserve, [PlayerNo(2)]);
    let rota = Rota::new(reserve.problem).unwrap();
    let Staffing::Enough(staffed) = rota.staffed(Effort::default()) else { panic!("the reserve is enough") };
    assert_eq!(staffed.rota.problem().extras, 0, "the reserve comes before an extra");
    assert!(staffed.why_more.is_some());
}

#[test]
fn who_has_a_line_by_hand_is_engaged() {
    let asked = asked_on(Terms::default(), |p| {
        p.roster.stated.insert(id("c"), engage(Standing::Free, false));
        p.change_assignments(|given| given.by_hand = true);
    });
    assert_eq!(asked.players.len(), 3);
    let gong = &asked.problem.lines[LineNo(2)];
    assert_eq!((gong.now, gong.by_hand), (Some(PlayerNo(2)), true));
    let free = asked_on(Terms { hands_free: true, ..Terms::default() }, |p| {
        p.change_assignments(|given| given.by_hand = true);
    });
    assert!(!free.problem.lines[LineNo(2)].by_hand);
}

#[test]
fn who_is_not_engaged_for_the_concert_has_nothing() {
    let asked = asked_on(Terms::default(), |p| {
        let services = [ServiceId::new("monday").unwrap()].into();
        p.roster.stated.insert(id("a"), Engagement { services, ..Engagement::default() });
    });
    let barred = |d: &&Demand| matches!(d, Demand::Bar { player: PlayerNo(0), why, .. } if why.contains("not engaged for"));
    assert!(asked.problem.demands.iter().any(|d| barred(&d)), "{:?}", asked.problem.demands);
}

#[test]
fn timpani_stay_with_the_timpanist_but_for_what_was_done_by_hand() {
    let (mut library, _) = evening(|_| ());
    let mut bells = kind("bells", Pitched::Yes, None);
    (bells.family, bells.layout) = (Family::Timpani, Layout::Drums);
    library = crate::edit::apply(&library, &Edit::PutKind(bells)).unwrap();
    let ask = |change: &dyn Fn(&mut Programme), terms: Terms<'_>| {
        let (_, evening) = evening(change);
        let timetable = Timetable::of(&library, &evening, Walks::of(&Plan::of(&library, &evening), None));
        Asked::of(&library, &evening, &timetable, terms).problem.demands
    };
    let timpani = |demands: Vec<Demand>| {
        demands.into_iter().find_map(|d| match d {
            Demand::Only { lines, players, why } if why.starts_with("timpani") => Some((lines, players)),
            _ => None,
        })
    };
    let timpanist = |p: &mut Programme| {
        p.roster.stated.insert(id("c"), engage(Standing::Engaged, true));
    };
    let both = vec![LineNo(0), LineNo(1)];
    assert_eq!(timpani(ask(&|_| (), Terms::default())), None, "there is no timpanist");
    assert_eq!(timpani(ask(&timpanist, Terms::default())), Some((both, vec![PlayerNo(2)])));
    let by_hand = |p: &mut Programme| {
        timpanist(p);
        let given = Assignment { player: Some(id("a")), by_hand: true, ..Assignment::default() };
        p.assign(at("w", "bells-1"), given);
    };
    assert_eq!(timpani(ask(&by_hand, Terms::default())), Some((vec![LineNo(1)], vec![PlayerNo(2)])));
    let gone = id("c");
    let without = Terms { without: Some(&gone), ..Terms::default() };
    assert_eq!(timpani(ask(&timpanist, without)), None, "the timpanist is ill: anybody may play them");
}

#[test]
fn a_printed_part_has_its_owner() {
    let (library, mut evening) = evening(|_| ());
    let mut work = (**library.works.values().next().unwrap()).clone();
    for (line, part) in work.lines.iter_mut().zip(["Percussion 2", "Percussion 2", ""]) {
        line.part = part.to_owned();
    }
    let library = crate::edit::apply(&library, &Edit::PutWork(work.clone())).unwrap();
    let part = PartRef { work: work.id.clone(), part: "Percussion 2".to_owned() };
    evening.roster.parts.insert(part, id("c"));
    let timetable = Timetable::of(&library, &evening, Walks::of(&Plan::of(&library, &evening), None));
    let problem = Asked::of(&library, &evening, &timetable, Terms::default()).problem;
    let told: Vec<_> = problem.lines.iter().map(|c| (c.part.is_some(), c.owner)).collect();
    assert_eq!(told, [(true, Some(PlayerNo(2))), (true, Some(PlayerNo(2))), (false, None)]);
    assert_eq!(problem.lines[LineNo(0)].part, problem.lines[LineNo(1)].part);
}

#[test]
fn last_time_is_the_latest_programme_before_and_never_one_to_come() {
    let (library, evening) = evening(|_| ());
    let mut library = library;
    for (n, (name, hour, who)) in
        [("first", 8, "a"), ("second", 10, "b"), ("later", 22, "c")].into_iter().enumerate()
    {
        let mut other = programme(name, &["w"]);
        let given = Assignment { player: Some(id(who)), ..Assignment::default() };
        other.assign(at("w", "gong"), given);
        let week = Week {
            id: WeekId::new(&format!("week-{n}")).unwrap(),
            title: String::new(),
            programmes: vec![other],
            services: vec![service(&format!("of-{name}"), name, hour)],
        };
        library = crate::edit::apply(&library, &Edit::PutWeek(week)).unwrap();
    }
    let last = last_time::last_time(&library, &evening);
    assert_eq!(last.get(&at("w", "gong")), Some(&id("b")));
}
