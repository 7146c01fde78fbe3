//! The independent checker: goes over every answer again, by plain code.
//!
//! It shares nothing with the search but the input types. It is slow and simple on purpose: two passages
//! at a time, straight from the problem. Tests run it on every answer, debug builds in the program too.

use super::problem::{Demand, Habits, Passage, Problem, ShareOut};

/// Everything that is wrong with a share-out; empty when it keeps every rule.
pub fn faults(problem: &Problem, share_out: &ShareOut) -> Vec<String> {
    let mut found = Vec::new();
    if share_out.players.len() != problem.calls.len() {
        found.push("the share-out does not have one entry a call".to_owned());
    }
    for (c, call) in problem.calls.iter().enumerate() {
        match share_out.player(c) {
            None => found.push(format!("{} has no player", call.label)),
            Some(p) if p >= problem.palette() => {
                found.push(format!("{} has a player that is not there", call.label));
            }
            Some(_) => {}
        }
    }
    for a in 0..problem.calls.len() {
        for b in a + 1..problem.calls.len() {
            let same = share_out.player(a).is_some() && share_out.player(a) == share_out.player(b);
            if same && let Some(why) = cannot_take_both(problem, a, b) {
                found.push(format!("{} and {}: {why}", problem.call_label(a), problem.call_label(b)));
            }
        }
    }
    for demand in &problem.demands {
        if !kept(problem, share_out, demand) {
            found.push(format!("not kept: {demand:?}"));
        }
    }
    for &(instrument, hands) in &problem.hands {
        hands_at_once(problem, share_out, (instrument, hands), &mut found);
    }
    found
}

/// Why one player cannot take both calls, by plain sums; `None` when one can.
pub fn cannot_take_both(problem: &Problem, a: usize, b: usize) -> Option<String> {
    if problem.playable_together.iter().any(|&(x, y)| (x, y) == (a, b) || (x, y) == (b, a)) {
        return None;
    }
    let (one, two) = (problem.calls.get(a)?, problem.calls.get(b)?);
    for p in &one.passages {
        for q in &two.passages {
            let same_instrument = one.instruments.iter().any(|i| two.instruments.contains(i));
            let (first, then) = if p.from_s <= q.from_s { (p, q) } else { (q, p) };
            let need = need_us(problem, first, then, same_instrument);
            let gap = whole_us(then.from_s) - whole_us(first.to_s);
            if gap < need || whole_us(p.from_s) == whole_us(q.from_s) {
                return Some(format!(
                    "from {} s to {} s there are {} s too few",
                    first.to_s,
                    then.from_s,
                    (need - gap) as f64 / 1e6
                ));
            }
        }
    }
    None
}

#[expect(clippy::cast_possible_truncation, reason = "a checker of checked input")]
fn whole_us(seconds: f64) -> i64 {
    (seconds * 1_000_000.0).round() as i64
}

fn need_us(problem: &Problem, p: &Passage, q: &Passage, same_instrument: bool) -> i64 {
    let Habits { pace_m_s, settle_s, change_s, default_distance_m } = problem.habits;
    let change = if p.beaters == q.beaters { 0 } else { whole_us(change_s) };
    let metres = match (p.place, q.place) {
        (Some(i), Some(j)) if i == j => None,
        (Some(i), Some(j)) => {
            let ends = problem.places_m.get(i).zip(problem.places_m.get(j));
            let line = ends.map(|(&[ax, ay], &[bx, by])| ((ax - bx).powi(2) + (ay - by).powi(2)).sqrt());
            let given = problem.ways_m.get(i).and_then(|row| row.get(j)).copied();
            let metres = given.or(line).unwrap_or(default_distance_m);
            if line == Some(0.0) || metres == 0.0 { None } else { Some(metres) }
        }
        _ if same_instrument => None,
        _ => Some(default_distance_m),
    };
    metres.map_or(0, |m| whole_us(m / pace_m_s + settle_s)) + change
}

fn kept(problem: &Problem, share_out: &ShareOut, demand: &Demand) -> bool {
    let who = |call: usize| share_out.player(call);
    match demand {
        Demand::Pin { call, player } => who(*call) == Some(*player),
        Demand::Bar { player, calls, .. } => calls.iter().all(|&c| who(c) != Some(*player)),
        Demand::Only { calls, players, .. } => {
            calls.iter().all(|&c| who(c).is_some_and(|p| players.contains(&p)))
        }
        Demand::Together { a, b } => who(*a) == who(*b),
        Demand::Apart { a, b } => who(*a) != who(*b),
        Demand::Hands { instrument, hands, .. } => {
            let mut found = Vec::new();
            hands_at_once(problem, share_out, (*instrument, *hands), &mut found);
            found.is_empty()
        }
    }
}

fn hands_at_once(
    problem: &Problem,
    share_out: &ShareOut,
    (instrument, hands): (usize, usize),
    found: &mut Vec<String>,
) {
    let mut on_it: Vec<(i64, i64, Option<usize>)> = Vec::new();
    for (c, call) in problem.calls.iter().enumerate().filter(|(_, c)| c.instruments.contains(&instrument)) {
        on_it.extend(
            call.passages.iter().map(|p| (whole_us(p.from_s), whole_us(p.to_s), share_out.player(c))),
        );
    }
    for &(moment, _, me) in &on_it {
        let mut players: Vec<Option<usize>> = on_it
            .iter()
            .filter(|&&(f, t, _)| f == moment || (f < moment && moment < t))
            .map(|&(.., p)| p)
            .collect();
        players.push(me);
        players.sort_unstable();
        players.dedup();
        if players.len() > hands {
            found.push(format!("{} players at one instrument at {} s", players.len(), moment as f64 / 1e6));
        }
    }
}

/// Whether `calls` can be shared out among `players` players with no demand at all, by trying everything.
/// For cores and rings: plain backtracking, call by call.
pub fn enough_by_trying(problem: &Problem, calls: &[usize], players: usize) -> bool {
    fn place(problem: &Problem, calls: &[usize], players: usize, given: &mut Vec<usize>) -> bool {
        let Some(&call) = calls.get(given.len()) else { return true };
        let fresh = given.iter().max().map_or(0, |&m| m + 1);
        for player in 0..players.min(fresh + 1) {
            let free = given
                .iter()
                .zip(calls)
                .all(|(&p, &other)| p != player || cannot_take_both(problem, call, other).is_none());
            if free {
                given.push(player);
                if place(problem, calls, players, given) {
                    return true;
                }
                given.pop();
            }
        }
        false
    }
    place(problem, calls, players, &mut Vec::new())
}
