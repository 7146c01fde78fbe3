//! A [`Rota`]: a problem made ready, with every pair of lines that one player cannot take.

use super::colour::Steps;
use super::number::{DemandNo, LineNo, List, PassageNo};
use super::players::MOST_PLAYERS;
use super::problem::{AtOnce, BadInput, Demand, Line, Passage, PassageOf, PassageRef, Problem};
use super::seconds::{self, Move, Span, Spot};
use super::sound_input;
use super::wishes::{Link, millimetres};
use crate::halt::Halt;
use crate::seconds::micros;

/// Two lines that one player cannot take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clash {
    /// The line with the lower number.
    pub lower: LineNo,
    /// The other.
    pub higher: LineNo,
    /// The tightest move between the two.
    pub tightest: Move,
}

/// A problem made ready for questions: times in microseconds, and the pairs that one player cannot take.
#[derive(Debug, Clone)]
pub struct Rota {
    problem: Problem,
    spans: List<LineNo, List<PassageNo, Span>>,
    /// For each passage the latest end of it and those before it in its line.
    reach: List<LineNo, List<PassageNo, i64>>,
    longest_need: i64,
    /// For each line the lines that clash with it, as bits.
    clash_bits: List<LineNo, Vec<u64>>,
    near: List<LineNo, Vec<LineNo>>,
    links: Vec<Link>,
    demands: List<DemandNo, Demand>,
    halt: Halt,
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
        let span = |p: &Passage| Span { from: micros(p.from_s), to: micros(p.to_s) };
        let spans: List<LineNo, List<PassageNo, Span>> =
            problem.lines.iter().map(|c| c.passages.iter().map(span).collect()).collect();
        let reach = spans.iter().map(running_ends).collect();
        let longest_need = seconds::longest_need(&problem);
        let count = problem.lines.len();
        let mut rota = Self {
            problem,
            spans,
            reach,
            longest_need,
            clash_bits: List::filled(vec![0; count.div_ceil(64)], count),
            near: List::filled(Vec::new(), count),
            links: Vec::new(),
            demands: List::new(),
            halt: Halt::default(),
        };
        rota.find_clashes();
        rota.links = rota.find_links();
        rota.demands = rota.problem.demands.iter().cloned().collect();
        let hands = rota.hands_at_once();
        rota.demands.extend(hands);
        Ok(rota)
    }

    /// The same, with searches that end early when that is asked.
    #[must_use]
    pub fn until(self, halt: Halt) -> Self {
        Self { halt, ..self }
    }

    /// What ends its searches.
    pub(super) fn halt(&self) -> Halt {
        self.halt.clone()
    }

    /// So many steps for a search in it.
    pub(super) fn steps(&self, count: u64) -> Steps {
        Steps::until(count, self.halt())
    }

    /// The same problem with other demands, or another number of extras; which pairs clash stays as it was found.
    pub(super) fn asked_anew(&self, extras: usize, demands: Vec<Demand>) -> Self {
        let mut rota = self.clone();
        rota.problem.extras = extras.min(MOST_PLAYERS - rota.problem.players.len().min(MOST_PLAYERS));
        rota.problem.demands = demands;
        let hands = self.demands.iter().skip(self.problem.demands.len());
        rota.demands = rota.problem.demands.iter().chain(hands).cloned().collect();
        rota
    }

    /// Lets the reserve and extras cost so many points each, where that is more than they do.
    pub(super) fn last_resort(&mut self, points: u32) {
        let extra = &mut self.problem.wishes.extra;
        *extra = points.max(*extra);
    }

    /// The problem it was made from.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// All demands: those given, then those that follow from instruments that take only so many players at once.
    pub(super) fn demands(&self) -> &List<DemandNo, Demand> {
        &self.demands
    }

    /// Lines that should have one player.
    pub(super) fn links(&self) -> &[Link] {
        &self.links
    }

    /// Why one player cannot take both lines; `None` when one can. The tightest pair of passages is told.
    pub fn clash(&self, a: LineNo, b: LineNo) -> Option<Move> {
        if self.do_clash(a, b) { self.tightest(a, b) } else { None }
    }

    /// Whether one player cannot take both lines.
    pub fn do_clash(&self, a: LineNo, b: LineNo) -> bool {
        self.clash_bits[a].get(b.0 / 64).is_some_and(|word| word >> (b.0 % 64) & 1 == 1)
    }

    /// Every pair that one player cannot take.
    pub fn clashes(&self) -> impl Iterator<Item = Clash> {
        let pairs = self.near.entries().flat_map(|(a, near)| near.iter().map(move |&b| (a, b)));
        let clash = |(lower, higher)| Some(Clash { lower, higher, tightest: self.tightest(lower, higher)? });
        pairs.filter(|(a, b)| a < b).filter_map(clash)
    }

    /// The lines that one player cannot take beside this one.
    pub fn neighbours(&self, line: LineNo) -> &[LineNo] {
        &self.near[line]
    }

    /// The tightest move between two lines, whether it fits or not; `None` when either has no passages.
    /// Playable-together marks are not looked at.
    pub fn tightest(&self, a: LineNo, b: LineNo) -> Option<Move> {
        let (others, reach) = (&self.spans[b], &self.reach[b]);
        let mut best: Option<Move> = None;
        for (passage, p) in self.spans[a].entries() {
            let here = PassageRef { line: a, passage };
            let start = others.partition_point(|q| q.from < p.from);
            let worth = |gap: i64, best: &Option<Move>| {
                best.as_ref().is_none_or(|m| gap - self.longest_need < m.spare_us())
            };
            for (passage, q) in others.entries().skip(start) {
                if !worth(q.from - p.to, &best) {
                    break;
                }
                self.keep_tighter(&mut best, here, PassageRef { line: b, passage });
            }
            for (passage, &reach) in reach.entries().take(start).rev() {
                if !worth(p.from - reach, &best) {
                    break;
                }
                self.keep_tighter(&mut best, PassageRef { line: b, passage }, here);
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

    /// The move from the end of one passage to the start of another, the earlier start first; `None` for passages that
    /// are not there.
    pub fn way_between(&self, from: PassageRef, to: PassageRef) -> Option<Move> {
        let (first, then) = (self.span(from)?, self.span(to)?);
        let (p, q) = (self.passage(from)?, self.passage(to)?);
        Some(Move {
            from,
            to,
            has_us: then.from - first.to,
            at_once: first.from == then.from,
            need: seconds::need(
                &self.problem,
                PassageOf { line: from.line, passage: p },
                PassageOf { line: to.line, passage: q },
            ),
        })
    }

    /// A passage as it was given.
    pub fn passage(&self, which: PassageRef) -> Option<&Passage> {
        self.problem.lines.find(which.line)?.passages.find(which.passage)
    }

    /// A passage's start and end in microseconds.
    pub(super) fn span(&self, which: PassageRef) -> Option<Span> {
        self.spans.find(which.line)?.find(which.passage).copied()
    }

    /// All of a line's starts and ends.
    pub(super) fn spans(&self, line: LineNo) -> &List<PassageNo, Span> {
        &self.spans[line]
    }

    /// Where the player stands for a passage.
    pub(super) fn spot(&self, which: PassageRef) -> Option<Spot> {
        Some(Spot::of(which.line, self.passage(which)?))
    }

    /// The metres between two spots.
    pub(super) fn metres(&self, a: Spot, b: Spot) -> f64 {
        seconds::metres(&self.problem, a, b)
    }

    /// How much there is to look at: lines and pairs that clash.
    pub(super) fn size(&self) -> usize {
        self.near.iter().map(|near| 1 + near.len()).sum()
    }

    /// An upper bound of every way, in millimetres.
    pub(super) fn longest_way_mm(&self) -> i64 {
        millimetres(seconds::longest_way_m(&self.problem))
    }

    /// The longest walk and change that any pair can ask, in microseconds.
    pub(super) fn longest_need(&self) -> i64 {
        self.longest_need
    }

    fn find_clashes(&mut self) {
        let mut together: Vec<(LineNo, LineNo)> =
            self.problem.playable_together.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect();
        together.sort_unstable();
        for a in self.problem.lines.numbers() {
            for b in self.problem.lines.numbers().skip(a.0 + 1) {
                if self.far_apart(a, b) || together.binary_search(&(a, b)).is_ok() {
                    continue;
                }
                if self.tightest(a, b).is_some_and(|m| !m.fits()) {
                    for (one, other) in [(a, b), (b, a)] {
                        self.near[one].push(other);
                        if let Some(word) = self.clash_bits[one].get_mut(other.0 / 64) {
                            *word |= 1 << (other.0 % 64);
                        }
                    }
                }
            }
        }
    }

    /// Whether two lines lie so far apart in time that no walk could be too long.
    fn far_apart(&self, a: LineNo, b: LineNo) -> bool {
        let ends = |line| Some((self.spans[line].first()?.from, *self.reach[line].last()?));
        match (ends(a), ends(b)) {
            (Some((a_from, a_to)), Some((b_from, b_to))) => {
                b_from - a_to > self.longest_need || a_from - b_to > self.longest_need
            }
            _ => true,
        }
    }

    /// The sets of lines that sound at once on an instrument that takes fewer players than that.
    fn hands_at_once(&self) -> Vec<Demand> {
        let mut found: Vec<Demand> = Vec::new();
        for &AtOnce { instrument, players: hands } in &self.problem.at_once {
            let of_line = |(no, line): (LineNo, &Line)| {
                let own = line.instruments.contains(&instrument).then(|| self.spans[no].iter().copied());
                let visits = line.visits.iter().filter(|visit| visit.instrument == instrument);
                let visits = visits.map(|v| Span { from: micros(v.from_s), to: micros(v.to_s) });
                own.into_iter().flatten().chain(visits).map(|span| (no, span)).collect::<Vec<_>>()
            };
            let on_it: Vec<(LineNo, Span)> = self.problem.lines.entries().flat_map(of_line).collect();
            for &(line, start) in &on_it {
                let sounds = |s: &Span| s.from == start.from || (s.from < start.from && s.to > start.from);
                let there = on_it.iter().filter(|(c, s)| *c == line || sounds(s));
                let mut lines: Vec<LineNo> = there.map(|&(c, _)| c).collect();
                lines.sort_unstable();
                lines.dedup();
                let crowded = lines.len() > hands;
                let demand = Demand::Hands { instrument, lines, hands };
                if crowded && !found.contains(&demand) {
                    found.push(demand);
                }
            }
        }
        found
    }
}

fn running_ends(spans: &List<PassageNo, Span>) -> List<PassageNo, i64> {
    let ends = spans.iter().scan(i64::MIN, |latest, s| {
        *latest = (*latest).max(s.to);
        Some(*latest)
    });
    ends.collect()
}

#[cfg(test)]
mod worked;
