//! A [`Rota`]: a problem made ready, with every pair of calls that one player cannot take.

use std::collections::BTreeMap;

use super::plain::{MOST_PLAYERS, at, row};
use super::problem::{BadInput, Demand, Passage, PassageRef, Problem};
use super::seconds::{Move, Span, Spot, micros, walk_us, way};
use super::sound_input;
use super::wishes::millimetres;

/// A problem made ready for questions: times in microseconds, and the pairs that one player cannot take.
#[derive(Debug, Clone)]
pub struct Rota {
    problem: Problem,
    spans: Vec<Vec<Span>>,
    /// For each passage the latest end of it and those before it in its call.
    reach: Vec<Vec<i64>>,
    longest_need: i64,
    clashes: BTreeMap<(usize, usize), Move>,
    near: Vec<Vec<usize>>,
    demands: Vec<Demand>,
}

impl Rota {
    /// Makes a problem ready.
    ///
    /// # Errors
    /// Everything that is wrong with the input, each with its remedy.
    pub fn new(mut problem: Problem) -> Result<Self, Vec<BadInput>> {
        let faults = sound_input::faults(&problem);
        if !faults.is_empty() {
            return Err(faults);
        }
        problem.extras = problem.extras.min(MOST_PLAYERS - problem.players.len().min(MOST_PLAYERS));
        let spans: Vec<Vec<Span>> = problem
            .calls
            .iter()
            .map(|c| c.passages.iter().map(|p| Span { from: micros(p.from_s), to: micros(p.to_s) }).collect())
            .collect();
        let reach = spans.iter().map(|s| running_ends(s)).collect();
        let longest_need = longest_need(&problem);
        let count = problem.calls.len();
        let mut rota = Self {
            problem,
            spans,
            reach,
            longest_need,
            clashes: BTreeMap::new(),
            near: vec![Vec::new(); count],
            demands: Vec::new(),
        };
        rota.find_clashes();
        rota.demands.clone_from(&rota.problem.demands);
        let hands = rota.hands_at_once();
        rota.demands.extend(hands);
        Ok(rota)
    }

    /// The problem it was made from.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// All demands: those given, then those that follow from instruments that take only so many players at once.
    pub fn demands(&self) -> &[Demand] {
        &self.demands
    }

    /// Why one player cannot take both calls; `None` when one can. The tightest pair of passages is told.
    pub fn clash(&self, a: usize, b: usize) -> Option<&Move> {
        self.clashes.get(&(a.min(b), a.max(b)))
    }

    /// Every pair that one player cannot take, by call numbers, the lower first.
    pub fn clashes(&self) -> impl Iterator<Item = (usize, usize, &Move)> {
        self.clashes.iter().map(|(&(a, b), m)| (a, b, m))
    }

    /// The calls that one player cannot take beside this one.
    pub fn neighbours(&self, call: usize) -> &[usize] {
        row(&self.near, call)
    }

    /// The tightest move between two calls, whether it fits or not; `None` when either has no passages.
    /// Playable-together marks are not looked at.
    pub fn tightest(&self, a: usize, b: usize) -> Option<Move> {
        let others = row(&self.spans, b);
        let reach = row(&self.reach, b);
        let mut best: Option<Move> = None;
        for (i, p) in row(&self.spans, a).iter().enumerate() {
            let here = PassageRef { call: a, passage: i };
            let start = others.partition_point(|q| q.from < p.from);
            let worth = |gap: i64, best: &Option<Move>| {
                best.as_ref().is_none_or(|m| gap - self.longest_need < m.spare_us())
            };
            for (j, q) in others.iter().enumerate().skip(start) {
                if !worth(q.from - p.to, &best) {
                    break;
                }
                self.keep_tighter(&mut best, here, PassageRef { call: b, passage: j });
            }
            for j in (0..start).rev() {
                if !worth(p.from - at(reach, j), &best) {
                    break;
                }
                self.keep_tighter(&mut best, PassageRef { call: b, passage: j }, here);
            }
        }
        best
    }

    fn keep_tighter(&self, best: &mut Option<Move>, from: PassageRef, to: PassageRef) {
        let Some(found) = self.way_between(from, to) else { return };
        let tighter =
            best.as_ref().is_none_or(|m| (found.spare_us(), !found.at_once) < (m.spare_us(), !m.at_once));
        if tighter {
            *best = Some(found);
        }
    }

    /// The move from the end of one passage to the start of another, the earlier start first.
    pub fn way_between(&self, from: PassageRef, to: PassageRef) -> Option<Move> {
        let (first, then) = (self.span(from)?, self.span(to)?);
        let (p, q) = (self.passage(from)?, self.passage(to)?);
        let way = way(&self.problem, self.spot(from)?, self.spot(to)?);
        let change = if p.beaters == q.beaters { 0 } else { micros(self.problem.habits.change_s) };
        Some(Move {
            from,
            to,
            gap_us: then.from - first.to,
            walk_us: walk_us(&self.problem, way),
            change_us: change,
            walk_m: way.metres,
            guessed: way.guessed,
            at_once: first.from == then.from,
        })
    }

    /// A passage as it was given.
    pub fn passage(&self, which: PassageRef) -> Option<&Passage> {
        self.problem.calls.get(which.call)?.passages.get(which.passage)
    }

    /// A passage's start and end in microseconds.
    pub(super) fn span(&self, which: PassageRef) -> Option<Span> {
        row(&self.spans, which.call).get(which.passage).copied()
    }

    /// All of a call's starts and ends.
    pub(super) fn spans(&self, call: usize) -> &[Span] {
        row(&self.spans, call)
    }

    /// Where the player stands for a passage.
    pub(super) fn spot(&self, which: PassageRef) -> Option<Spot> {
        let call = self.problem.calls.get(which.call)?;
        let place = call.passages.get(which.passage)?.place;
        Some(Spot { place, call: which.call })
    }

    /// An upper bound of every way, in millimetres.
    pub(super) fn longest_way_mm(&self) -> i64 {
        millimetres(longest_way_m(&self.problem))
    }

    /// The longest walk and change that any pair can ask, in microseconds.
    pub(super) fn longest_need(&self) -> i64 {
        self.longest_need
    }

    fn find_clashes(&mut self) {
        let count = self.problem.calls.len();
        let mut together: Vec<(usize, usize)> =
            self.problem.playable_together.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect();
        together.sort_unstable();
        for a in 0..count {
            for b in a + 1..count {
                if self.far_apart(a, b) || together.binary_search(&(a, b)).is_ok() {
                    continue;
                }
                if let Some(tight) = self.tightest(a, b).filter(|m| !m.fits()) {
                    self.clashes.insert((a, b), tight);
                    for (x, y) in [(a, b), (b, a)] {
                        if let Some(list) = self.near.get_mut(x) {
                            list.push(y);
                        }
                    }
                }
            }
        }
    }

    /// Whether two calls lie so far apart in time that no walk could be too long.
    fn far_apart(&self, a: usize, b: usize) -> bool {
        let ends = |call| Some((row(&self.spans, call).first()?.from, *row(&self.reach, call).last()?));
        match (ends(a), ends(b)) {
            (Some((a_from, a_to)), Some((b_from, b_to))) => {
                b_from - a_to > self.longest_need || a_from - b_to > self.longest_need
            }
            _ => true,
        }
    }

    /// The sets of calls that sound at once on an instrument that takes fewer players than that.
    fn hands_at_once(&self) -> Vec<Demand> {
        let mut found: Vec<Demand> = Vec::new();
        for &(instrument, hands) in &self.problem.hands {
            let on_it: Vec<(usize, Span)> = self
                .problem
                .calls
                .iter()
                .enumerate()
                .filter(|(_, c)| c.instruments.contains(&instrument))
                .flat_map(|(i, _)| row(&self.spans, i).iter().map(move |&s| (i, s)))
                .collect();
            for &(call, start) in &on_it {
                let mut calls: Vec<usize> = on_it
                    .iter()
                    .filter(|(c, s)| {
                        *c == call || s.from == start.from || (s.from < start.from && s.to > start.from)
                    })
                    .map(|&(c, _)| c)
                    .collect();
                calls.sort_unstable();
                calls.dedup();
                let demand = Demand::Hands { instrument, calls, hands };
                if matches!(&demand, Demand::Hands { calls, .. } if calls.len() > hands)
                    && !found.contains(&demand)
                {
                    found.push(demand);
                }
            }
        }
        found
    }
}

fn running_ends(spans: &[Span]) -> Vec<i64> {
    spans
        .iter()
        .scan(i64::MIN, |latest, s| {
            *latest = (*latest).max(s.to);
            Some(*latest)
        })
        .collect()
}

/// An upper bound of every way of the problem, in metres.
fn longest_way_m(problem: &Problem) -> f64 {
    let spread = |axis: usize| {
        let values = problem.places_m.iter().map(|p| p.get(axis).copied().unwrap_or_default());
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        if high > low { high - low } else { 0.0 }
    };
    let given = problem.ways_m.iter().flatten().copied().fold(0.0, f64::max);
    spread(0).hypot(spread(1)).max(given).max(problem.habits.default_distance_m)
}

/// An upper bound of every walk and change of the problem, in microseconds.
fn longest_need(problem: &Problem) -> i64 {
    let h = &problem.habits;
    micros(longest_way_m(problem) / h.pace_m_s + h.settle_s + h.change_s) + 2
}
