//! What a share-out costs against the section's wishes.
//!
//! Sums are kept in whole thousandths of a point, milliseconds and millimetres, so that two share-outs
//! compare the same on every machine.

use super::conflicts::Rota;
use super::plain::at;
use super::problem::{PassageRef, ShareOut};
use super::seconds::{Spot, way};

/// What a share-out costs, wish by wish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cost {
    /// How often a strand passes to another player.
    pub strand_breaks: usize,
    /// Calls that are not with the player who had them last time.
    pub not_as_last_time: usize,
    /// All walks together, in millimetres, each rounded up.
    pub walk_mm: i64,
    /// What the busiest player plays above the even share, in milliseconds.
    pub load_over_ms: i64,
    /// What the most exposed player has above the even share, in thousandths of a unit of exposure.
    pub exposure_over_milli: i64,
    /// Extras engaged.
    pub extras: usize,
    /// All wishes together, weighed, in thousandths of a point.
    pub milli_points: i64,
}

impl Cost {
    /// All wishes together in points.
    pub fn points(&self) -> f64 {
        self.milli_points as f64 / 1000.0
    }

    /// All walks together in metres.
    pub fn walk_m(&self) -> f64 {
        self.walk_mm as f64 / 1000.0
    }
}

/// Whole thousandths, to the nearest.
#[expect(
    clippy::cast_possible_truncation,
    reason = "inputs are checked: metres and seconds below a year's seconds"
)]
pub(super) fn milli(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}

/// Metres as whole millimetres, rounded up: so a way is still no longer than a way round by another place.
#[expect(clippy::cast_possible_truncation, reason = "inputs are checked: metres below a year's seconds")]
pub(super) fn millimetres(metres: f64) -> i64 {
    // What binary fractions add to an exact length is far below a millionth of a millimetre.
    (metres * 1000.0 - 1e-6).ceil() as i64
}

/// Thousandths of a point for milliseconds above the even share: `weight` points a minute.
pub(super) fn load_cost(weight: i64, over_ms: i64) -> i64 {
    weight.saturating_mul(over_ms) / 60
}

/// The even share of a total among so many players, rounded up.
pub(super) fn even_share(total: i64, players: usize) -> i64 {
    let players = i64::try_from(players.max(1)).unwrap_or(i64::MAX);
    (total + players - 1) / players
}

impl Rota {
    /// What a share-out costs; even shares are taken among `players` players.
    pub fn cost(&self, share_out: &ShareOut, players: usize) -> Cost {
        let problem = self.problem();
        let calls = 0..problem.calls.len();
        let palette = problem.palette();
        let mut load = vec![0; palette];
        let mut exposure = vec![0; palette];
        for call in calls.clone() {
            if let Some(player) = share_out.player(call).filter(|&p| p < palette) {
                if let Some(sum) = load.get_mut(player) {
                    *sum += self.load_ms(call);
                }
                if let Some(sum) = exposure.get_mut(player) {
                    *sum += self.exposure_milli(call);
                }
            }
        }
        let over = |sums: &[i64]| {
            let total = sums.iter().sum();
            (sums.iter().copied().max().unwrap_or_default() - even_share(total, players)).max(0)
        };
        let strands = self.strand_links();
        let last_time = |c: usize| problem.calls.get(c).and_then(|c| c.last_time);
        let mut cost = Cost {
            strand_breaks: strands
                .iter()
                .filter(|&&(a, b)| share_out.player(a) != share_out.player(b))
                .count(),
            not_as_last_time: calls
                .filter(|&c| last_time(c).is_some() && last_time(c) != share_out.player(c))
                .count(),
            walk_mm: share_out.used().into_iter().map(|p| self.player_walk_mm(share_out, p)).sum(),
            load_over_ms: over(&load),
            exposure_over_milli: over(&exposure),
            extras: share_out.used().into_iter().filter(|&p| p >= problem.players.len()).count(),
            milli_points: 0,
        };
        let w = &problem.wishes;
        let times = |weight: u32, count: usize| {
            i64::from(weight) * 1000 * i64::try_from(count).unwrap_or(i64::MAX / 1_000_000_000_000)
        };
        cost.milli_points = times(w.stay, cost.strand_breaks)
            + times(w.last_time, cost.not_as_last_time)
            + times(w.extra, cost.extras)
            + i64::from(w.walk) * cost.walk_mm
            + load_cost(i64::from(w.load), cost.load_over_ms)
            + i64::from(w.exposure) * cost.exposure_over_milli;
        cost
    }

    /// The metres that one player walks, in millimetres, each way rounded up.
    pub fn player_walk_mm(&self, share_out: &ShareOut, player: usize) -> i64 {
        self.player_ways_m(share_out, player).into_iter().map(millimetres).sum()
    }

    /// The metres that all players walk.
    pub fn walk_m(&self, share_out: &ShareOut) -> f64 {
        // Not a sum: of nothing that is a negative zero.
        share_out
            .used()
            .into_iter()
            .flat_map(|p| self.player_ways_m(share_out, p))
            .fold(0.0, |all, way| all + way)
    }

    /// A player's ways from passage to passage, in metres.
    fn player_ways_m(&self, share_out: &ShareOut, player: usize) -> Vec<f64> {
        let mut mine: Vec<(i64, PassageRef)> = Vec::new();
        for call in (0..self.problem().calls.len()).filter(|&c| share_out.player(c) == Some(player)) {
            mine.extend(
                self.spans(call)
                    .iter()
                    .enumerate()
                    .map(|(passage, s)| (s.from, PassageRef { call, passage })),
            );
        }
        mine.sort_unstable();
        let spots: Vec<Spot> = mine.iter().filter_map(|&(_, p)| self.spot(p)).collect();
        spots
            .windows(2)
            .map(|w| if let [a, b] = w { way(self.problem(), *a, *b).metres } else { 0.0 })
            .collect()
    }

    /// The seconds that a call plays, in milliseconds.
    pub fn load_ms(&self, call: usize) -> i64 {
        self.spans(call).iter().map(|s| s.to - s.from).sum::<i64>() / 1000
    }

    pub(super) fn exposure_milli(&self, call: usize) -> i64 {
        self.problem().calls.get(call).map_or(0, |c| milli(c.exposure))
    }

    /// Neighbouring calls of the strands, in the order of their first passages.
    pub(super) fn strand_links(&self) -> Vec<(usize, usize)> {
        let mut in_strands: Vec<(usize, i64, usize)> = self
            .problem()
            .calls
            .iter()
            .enumerate()
            .filter_map(|(i, c)| c.strand.map(|s| (s, self.onset(i), i)))
            .collect();
        in_strands.sort_unstable();
        in_strands
            .windows(2)
            .filter_map(|w| match w {
                [(s, _, a), (t, _, b)] if s == t => Some((*a, *b)),
                _ => None,
            })
            .collect()
    }

    /// Where a call starts, in microseconds; the far end of time for a call with no passages.
    pub(super) fn onset(&self, call: usize) -> i64 {
        self.spans(call).first().map_or(i64::MAX, |s| s.from)
    }

    /// For each call the points, in thousandths, that each player would cost on their own account.
    pub(super) fn own_costs(&self) -> Vec<Vec<i64>> {
        let palette = self.problem().palette();
        let weight = i64::from(self.problem().wishes.last_time) * 1000;
        let one = |last: Option<usize>| match last {
            Some(last) => (0..palette).map(|p| if p == last { 0 } else { weight }).collect(),
            None => vec![0; palette],
        };
        self.problem().calls.iter().map(|c| one(c.last_time)).collect()
    }
}

/// The cheapest of a node's players, by their costs.
pub(super) fn cheapest(costs: &[i64], players: u64) -> i64 {
    super::plain::each(players).map(|p| at(costs, p)).min().unwrap_or_default()
}
