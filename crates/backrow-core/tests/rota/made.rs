//! Programmes made by dice, the same in every run.

#![allow(clippy::unwrap_used, reason = "a test may stop")]
#![allow(dead_code, reason = "each test file uses its own part of these")]

use backrow_core::rota::{
    Assignments, AtOnce, BeatersNo, Demand, InstrumentNo, Line, LineNo, List, Passage, PassageNo, PlaceNo,
    PlayerNo, Problem, StanceNo, Stances, StrandNo, Visit,
};
use backrow_core::seconds::{Change, Leg, Need, Walk};

/// A small fixed pseudo-random sequence (xorshift), so that every run sees the same cases.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn roll(&mut self, sides: u64) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 11) % sides).unwrap()
    }
}

/// Few lines, close together, with demands of every sort.
pub(crate) fn small(dice: &mut Dice) -> Problem {
    let count = 1 + dice.roll(6);
    let players = dice.roll(4);
    let mut problem = Problem {
        players: (0..players).map(|p| format!("p{p}")).collect(),
        extras: dice.roll(3) + usize::from(players == 0),
        places_m: (0..4).map(|_| [dice.roll(8) as f64, dice.roll(3) as f64]).collect(),
        ..Problem::default()
    };
    for i in 0..count {
        let mut passages = List::new();
        let mut now = dice.roll(30) as f64 / 2.0;
        for _ in 0..=dice.roll(3) {
            let to_s = now + 0.5 + dice.roll(8) as f64 / 2.0;
            let place = (dice.roll(4) > 0).then(|| PlaceNo(dice.roll(4)));
            passages.push(Passage {
                from_s: now,
                to_s,
                place,
                beaters: Some(BeatersNo(dice.roll(2))),
                ..Passage::default()
            });
            now = to_s + dice.roll(20) as f64 / 2.0;
        }
        let instruments = vec![InstrumentNo(dice.roll(4))];
        let strand = (dice.roll(2) > 0).then(|| StrandNo(dice.roll(2)));
        let last_time = (dice.roll(3) == 0).then(|| PlayerNo(dice.roll(problem.player_count() as u64)));
        let exposure = dice.roll(4) as f64 / 2.0;
        problem.lines.push(Line {
            label: format!("c{i}"),
            instruments,
            passages,
            strand,
            last_time,
            exposure,
            ..Line::default()
        });
    }
    for _ in 0..dice.roll(4) {
        let demand = any_demand(dice, count as u64, problem.player_count() as u64);
        problem.demands.push(demand);
    }
    if dice.roll(3) == 0 {
        let instrument = InstrumentNo(dice.roll(4));
        problem.at_once.push(AtOnce { instrument, players: 1 + dice.roll(2) });
    }
    if dice.roll(3) == 0 && count > 1 {
        problem.playable_together.push((LineNo(0), LineNo(1)));
    }
    problem
}

/// The same, whose passages end in other stances than they begin in: with needs that are given for each pair of stances, or with
/// others in the hands; and lines of which single notes are played on an instrument that others need.
pub(crate) fn turning(dice: &mut Dice) -> Problem {
    const STANCES: u64 = 5;
    let mut problem = small(dice);
    let given = dice.roll(2) == 0;
    for passage in problem.lines.iter_mut().flat_map(|line| &mut line.passages) {
        if given {
            let (begins, ends) = (StanceNo(dice.roll(STANCES)), StanceNo(dice.roll(STANCES)));
            (passage.beaters, passage.stances) = (None, Some(Stances { begins, ends }));
        } else {
            passage.ends_with = Some(BeatersNo(dice.roll(2)));
        }
    }
    if given {
        let mut need = |_: StanceNo| {
            let walk = Walk { metres: dice.roll(8) as f64, steps: 0 };
            Need::new(&problem.habits, Leg::Measured(walk), (dice.roll(3) == 0).then_some(Change::Beaters))
        };
        let mut row = |_: StanceNo| (0..5).map(|to| need(StanceNo(to))).collect();
        problem.needs = Some((0..5).map(|from| row(StanceNo(from))).collect());
    }
    if dice.roll(3) == 0 {
        let instrument = InstrumentNo(dice.roll(4));
        problem.at_once.push(AtOnce { instrument, players: 1 });
        for line in problem.lines.iter_mut().filter(|line| !line.instruments.contains(&instrument)) {
            let passage = line.passages[PassageNo(0)];
            let visit = Visit { instrument, from_s: passage.from_s + 0.5, to_s: passage.to_s };
            line.visits.extend((dice.roll(2) == 0).then_some(visit));
        }
    }
    problem
}

fn any_demand(dice: &mut Dice, lines: u64, players: u64) -> Demand {
    let (a, mut b) = (LineNo(dice.roll(lines)), LineNo(dice.roll(lines)));
    let player = PlayerNo(dice.roll(players));
    match dice.roll(5) {
        0 => Demand::Pin { line: a, player },
        1 => Demand::Bar { player, lines: vec![a, b], why: "away".into() },
        2 => Demand::Only {
            lines: vec![a],
            players: vec![player, PlayerNo(dice.roll(players))],
            why: "kind".into(),
        },
        3 => Demand::Together { a, b },
        _ => {
            if a == b && lines > 1 {
                b = LineNo(if a.0 == 0 { 1 } else { a.0 - 1 });
            }
            Demand::Apart { a, b }
        }
    }
}

/// Every set of assignments of the problem, one after the other.
pub(crate) fn every_assignments(problem: &Problem, mut visit: impl FnMut(&Assignments)) {
    let player_count = problem.player_count();
    let mut assignments = Assignments { players: List::filled(Some(PlayerNo(0)), problem.lines.len()) };
    loop {
        visit(&assignments);
        let Some(i) = assignments.players.iter().position(|p| p.unwrap().0 + 1 < player_count) else {
            return;
        };
        assignments.players[LineNo(i)] = assignments.players[LineNo(i)].map(|p| PlayerNo(p.0 + 1));
        assignments.players.iter_mut().take(i).for_each(|p| *p = Some(PlayerNo(0)));
    }
}

/// A concert: works of several movements, each with a few instruments at their places; a line is an
/// instrument in a movement. `lines` lines in all, for a roster of `roster` and as many extras as it takes.
pub(crate) fn concert(dice: &mut Dice, lines: usize, roster: usize) -> Problem {
    let instruments = 14;
    let mut problem = Problem {
        players: (0..roster).map(|p| format!("p{p}")).collect(),
        extras: 12,
        places_m: (0..instruments).map(|i| [1.4 * (i % 7) as f64, 1.6 * (i / 7) as f64]).collect(),
        ..Problem::default()
    };
    let (mut now, mut movement) = (0.0, 0);
    while problem.lines.len() < lines {
        let length = 120.0 + 10.0 * dice.roll(30) as f64;
        let mut here: Vec<usize> = (0..instruments).collect();
        for _ in 0..(4 + dice.roll(4)).min(lines - problem.lines.len()) {
            let instrument = here.swap_remove(dice.roll(here.len() as u64));
            let line = one_line(dice, (movement, instrument), (now, length), roster);
            problem.lines.push(line);
        }
        now += length + if movement % 4 == 3 { 120.0 } else { 15.0 };
        movement += 1;
    }
    problem
}

fn one_line(
    dice: &mut Dice,
    (movement, instrument): (usize, usize),
    (start, length): (f64, f64),
    roster: usize,
) -> Line {
    let mut passages = List::new();
    let mut at = start + dice.roll(600) as f64 / 10.0;
    while at < start + length {
        let to_s = (at + 2.0 + dice.roll(200) as f64 / 10.0).min(start + length);
        passages.push(Passage {
            from_s: at,
            to_s,
            place: Some(PlaceNo(instrument)),
            beaters: Some(BeatersNo(instrument % 5)),
            ..Passage::default()
        });
        at = to_s + 3.0 + dice.roll(600) as f64 / 10.0;
    }
    Line {
        label: format!("m{movement}i{instrument}"),
        instruments: vec![InstrumentNo(instrument)],
        passages,
        strand: Some(StrandNo(100 * (movement / 4) + instrument)),
        last_time: (roster > 0 && dice.roll(2) == 0)
            .then(|| PlayerNo((instrument / 2 + movement / 4) % roster)),
        exposure: dice.roll(4) as f64,
        ..Line::default()
    }
}

/// Lines that have nothing to do with each other, strewn over an hour, as a table without a roster asks them.
pub(crate) fn strewn(dice: &mut Dice, lines: usize) -> Problem {
    let mut problem = Problem { extras: lines, ..Problem::default() };
    problem.wishes.extra = 0;
    problem.places_m = (0..20).map(|i| [1.1 * f64::from(i % 5), 1.3 * f64::from(i / 5)]).collect();
    for line in 0..lines {
        let mut passages = List::new();
        let mut at = dice.roll(36_000) as f64 / 10.0;
        for _ in 0..=dice.roll(4) {
            let to_s = at + 1.0 + dice.roll(300) as f64 / 10.0;
            let (place, beaters) = (Some(PlaceNo(dice.roll(20))), Some(BeatersNo(dice.roll(6))));
            passages.push(Passage { from_s: at, to_s, place, beaters, ..Passage::default() });
            at = to_s + dice.roll(9000) as f64 / 10.0;
        }
        problem.lines.push(Line {
            label: format!("c{line}"),
            passages,
            strand: Some(StrandNo(dice.roll(40))),
            ..Line::default()
        });
    }
    problem
}

/// Lines that all sound at once.
pub(crate) fn at_once(lines: usize) -> Problem {
    let line = |n: usize| Line {
        label: format!("c{n}"),
        passages: vec![Passage { from_s: 0.001 * n as f64, to_s: 60.0, ..Passage::default() }].into(),
        ..Line::default()
    };
    Problem { lines: (0..lines).map(line).collect(), extras: lines, ..Problem::default() }
}
