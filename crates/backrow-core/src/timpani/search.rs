//! The exact search: forward in time over what the drums are tuned to.
//!
//! After each group of strokes a state is what every drum is tuned to and whether one is still being retuned; of the
//! ways that lead to a state only the best is kept. In a rest any drums may be retuned one after the other. Two things
//! keep it small without losing a best plan (a third, what the rest of the line costs at the least, is in `bounds.rs`):
//!
//! - *Left in time.* Any plan can be shifted so that each retuning begins when the drum's last stroke has ended or when
//!   the retuning before it is done; so only these moments are tried.
//! - *Roomy rests.* A rest that has room for retuning every drum can take over any retuning from before it whose pitch
//!   is not struck before it. So drums are retuned only to pitches that are struck before the next roomy rest is over.

use super::Written;
use super::bounds::{Bounds, bounds};
use super::groups::{Group, between_rests};
use crate::compass::PitchSet;
use crate::pitch::KeyNumber;
use std::collections::BTreeMap;

/// A drum as the search sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kit {
    /// The pitches that it may play.
    pub(super) reach: PitchSet,
    /// To retune it, microseconds.
    pub(super) need: i64,
    /// Can be retuned while other drums are struck.
    pub(super) pedal: bool,
    /// Its lowest and its highest pitch added up: twice the middle of its range.
    pub(super) ends: u32,
}

impl Kit {
    /// How far a pitch lies from the middle of the range, in half semitones: where a head sounds best.
    fn stretch(&self, key: KeyNumber) -> u32 {
        (2 * u32::from(key.number())).abs_diff(self.ends)
    }
}

/// What is searched.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field<'a> {
    pub(super) groups: &'a [Group],
    pub(super) kits: &'a [Kit],
    /// Where the part writes retunings.
    pub(super) written: &'a [Written],
    /// So many drums may be used.
    pub(super) most: usize,
    /// Whether heard retunings are allowed.
    pub(super) heard: bool,
}

/// So many ways are kept at a time when a good plan is looked for first; where there are never more, it is the best.
const AT_FIRST: usize = 48;

/// So many ways are kept in all before the search gives up proving: about a second, far above real parts.
const PATIENCE: usize = 150_000;

/// What a search came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// A way, and whether it is proven that none is better.
    Found(Found, bool),
    /// There is none: the onset, microseconds, that no way gets past.
    Stuck(i64),
    /// None was found before patience ended.
    Open,
}

/// How a search is kept short.
#[derive(Clone, Copy)]
struct Limits {
    /// Only the best so many states after each group.
    width: Option<usize>,
    /// Heard and all retunings of a plan that is known.
    known: Option<(u32, u32)>,
}

/// Why a search ended without a way.
enum End {
    Dead(i64),
    Tired,
}

/// A way through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found {
    /// What each drum is tuned to at the start.
    pub(super) start: Tuned,
    /// The drums of each group that was searched, by pitch, with the group's onset.
    pub(super) played: Vec<(i64, Vec<(KeyNumber, usize)>)>,
    /// The retunings.
    pub(super) jobs: Vec<Job>,
}

/// One retuning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Job {
    pub(super) drum: usize,
    pub(super) from: KeyNumber,
    pub(super) to: KeyNumber,
    pub(super) start: i64,
    pub(super) heard: bool,
    /// Whether the part writes it where it is begun.
    pub(super) written: bool,
}

/// What each drum is tuned to, eight bits a drum; 0 for a drum that has not been played yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Tuned(u128);

impl Tuned {
    pub(super) fn of(self, drum: usize) -> Option<KeyNumber> {
        let byte = i32::from((self.0 >> (8 * drum)).to_le_bytes().first().copied().unwrap_or(0));
        KeyNumber::new(byte - 1).ok()
    }

    fn with(self, drum: usize, key: KeyNumber) -> Self {
        let shift = 8 * drum;
        Self(self.0 & !(0xff << shift) | (u128::from(key.number()) + 1) << shift)
    }

    /// How many drums have been played.
    pub(super) fn used(self) -> usize {
        self.0.to_le_bytes().iter().filter(|byte| **byte != 0).count()
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    tuned: Tuned,
    /// A drum that is still being retuned when the next group is struck, and when it is done.
    busy: Option<(usize, i64)>,
    /// The drums, a bit each, whose roll goes on when the next group is struck.
    rolling: u16,
}

/// Heard retunings, retunings, those that do not stand where the part writes one, semitones, distance of what is tuned from the
/// middle of the ranges.
type Cost = (u32, u32, u32, u32, u32);

/// The way to a state: the state before, how the group was played, what was retuned after it.
#[derive(Clone, Debug)]
struct Way {
    cost: Cost,
    before: State,
    /// Each pitch of the group and its drum.
    played: Vec<(KeyNumber, usize)>,
    jobs: Vec<Job>,
}

type Layer = BTreeMap<State, Way>;

impl Field<'_> {
    /// The best way: a good one first, then everything that could be better.
    pub(super) fn run(&self) -> Outcome {
        let least = self.kits.iter().map(|kit| kit.need).min().unwrap_or(1);
        let joined = if self.heard { Vec::new() } else { between_rests(self.groups, least) };
        let groups = if self.heard { self.groups } else { &joined };
        let bounds = bounds(groups, self.most, least);
        let first = self.search(groups, &bounds, Limits { width: Some(AT_FIRST), known: None });
        let known = match first {
            Ok((found, _, true)) => return Outcome::Found(found, true),
            Ok((found, cost, false)) => Some((found, (cost.0, cost.1))),
            Err(_) => None,
        };
        let limits = Limits { width: None, known: known.as_ref().map(|(_, cost)| *cost) };
        match (self.search(groups, &bounds, limits), known) {
            (Ok((found, _, _)), _) => Outcome::Found(found, true),
            (Err(_), Some((found, _))) => Outcome::Found(found, false),
            (Err(End::Dead(at)), None) => Outcome::Stuck(at),
            (Err(End::Tired), None) => Outcome::Open,
        }
    }

    /// A way within the limits, its cost, and whether nothing was left out for the limits' sake.
    fn search(
        &self,
        groups: &[Group],
        bounds: &[Bounds],
        limits: Limits,
    ) -> Result<(Found, Cost, bool), End> {
        let wanted = self.wanted(groups);
        let origin = State::default();
        let mut now: Vec<(State, Cost)> = vec![(origin, Cost::default())];
        let mut layers: Vec<Layer> = Vec::with_capacity(groups.len());
        let (mut kept, mut whole) = (0, true);
        for (at, group) in groups.iter().enumerate() {
            let mut layer = Layer::new();
            let next = groups.get(at + 1);
            let written = self.written_between(group, next);
            let wanted = wanted.get(at).copied().unwrap_or_default().union(written);
            let step = Step { field: self, group, next, wanted, written };
            for (state, cost) in now {
                step.from(state, cost, &mut layer);
            }
            if layer.is_empty() {
                // A state is let go as soon as it cannot play what comes next, so a layer dies one group early.
                let stuck = if at == 0 && !step.starts() { Some(group) } else { step.next };
                return Err(End::Dead(stuck.unwrap_or(group).at));
            }
            let after = bounds.get(at).copied().unwrap_or_default();
            if let Some(known) = limits.known {
                layer.retain(|_, way| (way.cost.0 + after.heard, way.cost.1 + after.all) <= known);
            }
            now = layer.iter().map(|(state, way)| (*state, way.cost)).collect();
            if let Some(width) = limits.width.filter(|width| now.len() > *width) {
                whole = false;
                now.sort_by_key(|(state, cost)| (*cost, *state));
                now.truncate(width);
            }
            kept += now.len();
            if kept > PATIENCE {
                return Err(End::Tired);
            }
            layers.push(layer);
        }
        let (found, cost) = trace(groups, &layers);
        Ok((found, cost, whole))
    }

    /// The pitches that the part asks for between two groups.
    fn written_between(&self, group: &Group, next: Option<&Group>) -> PitchSet {
        let there = self
            .written
            .iter()
            .filter(|one| next.is_some_and(|next| one.lies_between(group.last_at, next.at)));
        there.fold(PitchSet::EMPTY, |all, one| all.union(one.keys))
    }

    /// For the rest after each group, the pitches worth retuning to: those struck before the next roomy rest is over.
    fn wanted(&self, groups: &[Group]) -> Vec<PitchSet> {
        let roomy: i64 = self.kits.iter().map(|kit| kit.need).sum();
        let mut wanted = vec![PitchSet::EMPTY; groups.len()];
        let mut ahead = PitchSet::EMPTY;
        for (at, pair) in groups.windows(2).enumerate().rev() {
            let [before, after] = pair else { continue };
            // What is struck after the rest that follows `after` counts only when that rest is not roomy.
            ahead = ahead.union(after.keys);
            if let Some(set) = wanted.get_mut(at) {
                *set = ahead;
            }
            if after.at - before.end >= roomy {
                ahead = PitchSet::EMPTY;
            }
        }
        wanted
    }
}

/// From the states before a group to those after the rest that follows it.
struct Step<'a> {
    field: &'a Field<'a>,
    group: &'a Group,
    next: Option<&'a Group>,
    wanted: PitchSet,
    /// What the part asks for here.
    written: PitchSet,
}

/// The ways to play a group: the tuning with drums that begin here, and each pitch's drum.
type Plays = Vec<(Tuned, Vec<(KeyNumber, usize)>)>;

impl Step<'_> {
    /// Whether the group can be played at all by drums that are free.
    fn starts(&self) -> bool {
        !self.plays(State::default(), self.group, false).is_empty()
    }

    fn from(&self, state: State, cost: Cost, layer: &mut Layer) {
        let busy = state.busy.filter(|(_, ready)| *ready > self.group.at);
        for (tuned, played) in self.plays(State { busy, ..state }, self.group, self.field.heard) {
            let rolling = self.rolling(&played);
            let mut queue = Queue {
                step: self,
                before: state,
                ready: busy.map_or(i64::MIN, |(_, ready)| ready),
                played,
                jobs: Vec::new(),
                layer,
            };
            queue.go(State { tuned, busy, rolling }, self.begun(state.tuned, tuned, cost), None);
        }
    }

    /// The drums that still sound when the next group is struck.
    fn rolling(&self, played: &[(KeyNumber, usize)]) -> u16 {
        let held = self.next.map(|next| next.held).unwrap_or_default();
        played.iter().filter(|(key, _)| held.contains(*key)).fold(0, |all, (_, drum)| all | 1 << drum)
    }

    /// The cost with the drums that begin with this group.
    fn begun(&self, before: Tuned, now: Tuned, cost: Cost) -> Cost {
        let kits = self.field.kits.iter().enumerate();
        let new = kits.filter(|(drum, _)| before.of(*drum).is_none());
        let stretch: u32 = new.filter_map(|(drum, kit)| now.of(drum).map(|key| kit.stretch(key))).sum();
        (cost.0, cost.1, cost.2, cost.3, cost.4 + stretch)
    }

    /// Every way to play a group: on drums that hold its pitches, or on drums that begin with it. Without `all`, a pitch
    /// that is held is played where it is held. A roll goes on where it was begun.
    fn plays(&self, state: State, group: &Group, all: bool) -> Plays {
        let mut plays: Plays = vec![(state.tuned, Vec::new())];
        for key in group.keys.iter() {
            let mut more: Plays = Vec::new();
            let goes_on = group.held.contains(key);
            for (tuned, played) in plays {
                let mut held = goes_on;
                for (drum, kit) in self.field.kits.iter().enumerate() {
                    let free = state.busy.is_none_or(|(busy, _)| busy != drum);
                    let ours = if goes_on { state.rolling & 1 << drum != 0 } else { all || !held };
                    if free && tuned.of(drum) == Some(key) && ours {
                        held = true;
                        more.push((tuned, with(&played, key, drum)));
                    }
                    // A pin may have come since.
                    debug_assert!(tuned.of(drum).is_none_or(|now| kit.reach.contains(now)));
                }
                if (all || !held) && !goes_on && tuned.used() < self.field.most {
                    for (drum, kit) in self.field.kits.iter().enumerate() {
                        if tuned.of(drum).is_none() && kit.reach.contains(key) {
                            more.push((tuned.with(drum, key), with(&played, key, drum)));
                        }
                    }
                }
            }
            plays = more;
        }
        plays
    }

    /// Whether the next group can be played from a state.
    fn goes_on(&self, state: State) -> bool {
        let Some(next) = self.next else { return true };
        let busy = state.busy.filter(|(_, ready)| *ready > next.at).map(|(drum, _)| drum);
        let held = |key: KeyNumber| {
            (0..self.field.kits.len()).any(|drum| state.tuned.of(drum) == Some(key) && busy != Some(drum))
        };
        let lacking = next.keys.iter().filter(|key| !held(*key));
        let mut count = 0;
        for key in lacking {
            count += 1;
            let mut kits = self.field.kits.iter().enumerate();
            if !kits.any(|(drum, kit)| state.tuned.of(drum).is_none() && kit.reach.contains(key)) {
                return false;
            }
        }
        state.tuned.used() + count <= self.field.most
    }
}

fn with(played: &[(KeyNumber, usize)], key: KeyNumber, drum: usize) -> Vec<(KeyNumber, usize)> {
    let mut played = played.to_vec();
    played.push((key, drum));
    played
}

/// The retunings after one way of playing a group, one after the other.
struct Queue<'a, 'l> {
    step: &'a Step<'a>,
    before: State,
    /// When the retuning before is done.
    ready: i64,
    played: Vec<(KeyNumber, usize)>,
    jobs: Vec<Job>,
    layer: &'l mut Layer,
}

impl Queue<'_, '_> {
    /// Keeps the state, and every state that one more retuning leads to. Silent retunings of one rest can be put in any
    /// order, so they are tried in the order of the drums: `after` is the last of them. Heard ones come before them where
    /// they begin under what is still struck, and one may come after them that goes on under the next group: it begins
    /// when the rest has no more room for it, and is the last as nothing is begun before it is done.
    fn go(&mut self, state: State, cost: Cost, after: Option<usize>) {
        if self.step.goes_on(state) {
            self.keep(state, cost);
        }
        let Some(next) = self.step.next else { return };
        if self.ready >= next.at {
            return;
        }
        for drum in 0..self.step.field.kits.len() {
            let (Some(from), Some(kit)) = (state.tuned.of(drum), self.step.field.kits.get(drum)) else {
                continue;
            };
            if self.jobs.iter().any(|job| job.drum == drum) {
                continue;
            }
            let to = self.step.wanted.intersection(kit.reach).without(from);
            let silent = self.ready.max(self.step.group.end);
            if silent + kit.need <= next.at && after.is_none_or(|after| drum > after) {
                for key in to.iter() {
                    let written = self.step.written.contains(key);
                    let job = Job { drum, from, to: key, start: silent, heard: false, written };
                    self.retune(state, cost, job, (silent + kit.need, Some(drum)));
                }
            }
            if self.step.field.heard && kit.pedal {
                let struck = self.played.iter().find(|(_, on)| *on == drum);
                let free = struck.map_or(self.step.group.at, |(key, _)| self.step.group.end_of(*key));
                let start = self.ready.max(free);
                let inside = start >= self.step.group.end && start + kit.need <= next.at;
                if start < next.at && !inside {
                    for key in to.iter() {
                        let written = self.step.written.contains(key);
                        let job = Job { drum, from, to: key, start, heard: true, written };
                        self.retune(state, cost, job, (start + kit.need, None));
                    }
                }
            }
        }
    }

    fn retune(&mut self, state: State, cost: Cost, job: Job, (done, after): (i64, Option<usize>)) {
        let Some(next) = self.step.next else { return };
        let ready = std::mem::replace(&mut self.ready, done);
        self.jobs.push(job);
        let busy = (done > next.at).then_some((job.drum, done));
        let moved = u32::from(job.from.number().abs_diff(job.to.number()));
        let stretch = self.step.field.kits.get(job.drum).map_or(0, |kit| kit.stretch(job.to));
        // Where the part writes nothing, nothing can stand elsewhere.
        let elsewhere = u32::from(!self.step.field.written.is_empty() && !job.written);
        let cost =
            (cost.0 + u32::from(job.heard), cost.1 + 1, cost.2 + elsewhere, cost.3 + moved, cost.4 + stretch);
        self.go(State { tuned: state.tuned.with(job.drum, job.to), busy, ..state }, cost, after);
        self.jobs.pop();
        self.ready = ready;
    }

    fn keep(&mut self, state: State, cost: Cost) {
        if self.layer.get(&state).is_some_and(|known| known.cost <= cost) {
            return;
        }
        let way = Way { cost, before: self.before, played: self.played.clone(), jobs: self.jobs.clone() };
        self.layer.insert(state, way);
    }
}

/// Back from the best of the last states, with its cost.
fn trace(groups: &[Group], layers: &[Layer]) -> (Found, Cost) {
    let last = layers.last().and_then(|layer| {
        let best = layer.iter().min_by_key(|(state, way)| {
            let (heard, retunings, elsewhere, moved, stretch) = way.cost;
            // Of these the smaller drums, which are easier to carry.
            (heard, retunings, state.tuned.used(), elsewhere, moved, stretch, std::cmp::Reverse(**state))
        });
        best.map(|(state, way)| (*state, way.cost))
    });
    let cost = last.map_or(Cost::default(), |(_, cost)| cost);
    let mut found = Found { start: Tuned::default(), played: Vec::new(), jobs: Vec::new() };
    let mut state = last.map(|(state, _)| state);
    for (layer, group) in layers.iter().zip(groups).rev() {
        let Some(way) = state.and_then(|state| layer.get(&state)) else { break };
        // The first pitch of a drum is what it starts with: the earliest is written last.
        for (key, drum) in &way.played {
            found.start = found.start.with(*drum, *key);
        }
        found.played.push((group.at, way.played.clone()));
        found.jobs.extend(way.jobs.iter().rev());
        state = Some(way.before);
    }
    found.played.reverse();
    found.jobs.reverse();
    (found, cost)
}
