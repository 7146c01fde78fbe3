//! What `backrow rota` answers, as lines and as an object.

use backrow_core::library::Library;
use backrow_core::rota::programme::Asked;
use backrow_core::rota::text::demand_words;
use backrow_core::rota::words::{players, why};
use backrow_core::rota::{
    Answer, BadInput, Best, Cost, Demand, Effort, Fewest, Impossible, Rota, ShareOut, Split,
};
use serde_json::{Map, Value, json};

/// How many of the tightest moves are told.
const TIGHTEST: usize = 5;

/// What is needed to say the answer.
pub(super) struct Reply<'a> {
    pub(super) rota: &'a Rota,
    /// The library and its calls; `None` of a table.
    pub(super) of: Option<&'a (Library, Asked)>,
    /// How long the fewest took, seconds.
    pub(super) seconds: f64,
}

/// The fewest when calls may be split, and a share-out of the pieces.
pub(super) struct Fewer {
    split: Split,
    players: usize,
    share_out: ShareOut,
}

impl Reply<'_> {
    /// The answer when every call may be split by passages; `None` when none was found.
    pub(super) fn split(&self, effort: Effort) -> Result<Option<Fewer>, Vec<BadInput>> {
        let all: Vec<usize> = (0..self.rota.problem().calls.len()).collect();
        let split = self.rota.split(&all)?;
        let Answer::Found(found) = split.rota.fewest(effort) else { return Ok(None) };
        let best = split.rota.best(found.players, Some(&found.share_out), effort);
        let share_out = best.map_or(found.share_out, |best| best.share_out);
        Ok(Some(Fewer { split, players: found.players, share_out }))
    }

    pub(super) fn found(
        &self,
        found: &Fewest,
        best: Option<&Best>,
        fewer: Option<&Fewer>,
    ) -> (Vec<String>, Value) {
        let share_out = best.map_or(&found.share_out, |best| &best.share_out);
        let cost = self.rota.cost(share_out, found.players);
        let lines = [
            self.head(found),
            how_good(&cost, best, !self.rota.problem().players.is_empty()),
            self.who(share_out),
            self.moves(share_out),
            fewer.map_or_else(Vec::new, |fewer| self.handovers(fewer)),
        ];
        let value = self.object(found, (share_out, &cost, best), fewer);
        (lines.concat(), value)
    }

    fn head(&self, found: &Fewest) -> Vec<String> {
        let problem = self.rota.problem();
        let how_many = if found.proved() {
            players(found.players)
        } else {
            format!("{} to {}", found.at_least, players(found.players))
        };
        let one = found.proved() && found.players == 1;
        let place = self.moment(found).map(|(title, measure)| format!("m. {measure} of {title}"));
        let why = why(problem, &found.proof, place);
        let calls: Vec<&str> = found
            .proof
            .calls
            .iter()
            .chain(&found.proof.beside_ring)
            .map(|&c| problem.call_label(c))
            .collect();
        let of = if calls.is_empty() { String::new() } else { format!(": {}", calls.join(", ")) };
        let mut lines = vec![format!("{how_many} {} needed; {why}{of}", if one { "is" } else { "are" })];
        lines.extend(self.demands(&found.proof.demands).into_iter().map(|words| format!("because {words}")));
        lines
    }

    fn who(&self, share_out: &ShareOut) -> Vec<String> {
        let problem = self.rota.problem();
        let line = |c| Some(format!("  {}: {}", problem.call_label(c), self.player(share_out.player(c)?)));
        let mut lines: Vec<String> = (0..problem.calls.len()).filter_map(line).collect();
        lines.push(format!("walks: {:.1} m", self.rota.walk_m(share_out)));
        lines
    }

    fn moves(&self, share_out: &ShareOut) -> Vec<String> {
        let problem = self.rota.problem();
        let line = |(player, step): (usize, backrow_core::rota::Move)| {
            let (from, to) = (problem.call_label(step.from.call), problem.call_label(step.to.call));
            format!("{}, {from} to {to}: {}", self.player(player), step.in_words())
        };
        self.rota.tightest_moves(share_out, TIGHTEST).into_iter().map(line).collect()
    }

    fn handovers(&self, fewer: &Fewer) -> Vec<String> {
        let one = if fewer.players == 1 { "is" } else { "are" };
        let mut lines = vec![format!("{} {one} enough when calls may be split", players(fewer.players))];
        lines.extend(fewer.split.handovers(&fewer.share_out).into_iter().map(|h| {
            format!(
                "  {}: {} takes over from {} at {} s, after a rest of {} s",
                self.rota.problem().call_label(h.call),
                self.player(h.to),
                self.player(h.from),
                h.at_s,
                h.gap_s
            )
        }));
        lines
    }

    fn object(
        &self,
        found: &Fewest,
        (share_out, cost, best): (&ShareOut, &Cost, Option<&Best>),
        fewer: Option<&Fewer>,
    ) -> Value {
        let problem = self.rota.problem();
        let proof = &found.proof;
        let calls = || (0..problem.calls.len()).filter_map(|c| Some((c, share_out.player(c)?)));
        let numbers: Map<String, Value> =
            calls().map(|(c, p)| (problem.call_label(c).to_owned(), json!(p + 1))).collect();
        let names: Map<String, Value> =
            calls().map(|(c, p)| (problem.call_label(c).to_owned(), json!(self.player(p)))).collect();
        let moment = self.moment(found);
        let tightest = self.rota.tightest_moves(share_out, TIGHTEST);
        let tightest: Vec<Value> = tightest
            .iter()
            .map(|(player, step)| {
                json!({
                    "player": self.player(*player),
                    "from": problem.call_label(step.from.call),
                    "to": problem.call_label(step.to.call),
                    "gap_s": step.gap_s(), "walk_s": step.walk_s(), "change_s": step.change_s(),
                    "walk_m": step.walk_m, "spare_s": step.spare_us() as f64 / 1e6,
                })
            })
            .collect();
        json!({
            "players": found.players,
            "at_least": found.at_least,
            "proved": found.proved(),
            "proof": {
                "shape": proof.shape.word(),
                "calls": self.labels(&proof.calls),
                "beside_ring": self.labels(&proof.beside_ring),
                "at_s": proof.at_s,
                "movement": moment.as_ref().map(|(title, _)| title),
                "measure": moment.as_ref().map(|(_, measure)| measure),
                "demands": self.demands(&proof.demands),
            },
            "share_out": numbers,
            "names": names,
            "share_out_proved": best.is_some_and(Best::proved),
            "share_out_gap_points": best.map(Best::gap_points),
            "points": cost.points(),
            "costs": {
                "strands_that_change_hands": cost.strand_breaks,
                "not_as_last_time": cost.not_as_last_time,
                "walk_m": cost.walk_m(),
                "busiest_above_even_s": cost.load_over_ms as f64 / 1000.0,
                "most_exposed_above_even": cost.exposure_over_milli as f64 / 1000.0,
                "extras": cost.extras,
            },
            "tightest": tightest,
            "walk_m": self.rota.walk_m(share_out),
            "players_when_split": fewer.map(|fewer| fewer.players),
            "handovers": fewer.map(|fewer| self.handover_values(fewer)),
            "seconds": self.seconds,
        })
    }

    fn handover_values(&self, fewer: &Fewer) -> Vec<Value> {
        let value = |h: backrow_core::rota::Handover| {
            json!({
                "call": self.rota.problem().call_label(h.call),
                "after_passage": h.after + 1,
                "from": self.player(h.from), "to": self.player(h.to), "at_s": h.at_s, "gap_s": h.gap_s,
            })
        };
        fewer.split.handovers(&fewer.share_out).into_iter().map(value).collect()
    }

    pub(super) fn impossible(&self, no: &Impossible) -> (Vec<String>, Value) {
        let value = json!({
            "players": null,
            "at_least": no.players + 1,
            "proved": true,
            "impossible": {
                "calls": self.labels(&no.calls),
                "demands": self.demands(&no.demands),
                "players": no.players,
            },
            "seconds": self.seconds,
        });
        let among = players(no.players);
        let mut lines = vec![format!("not possible among {among}: {}", self.labels(&no.calls).join(", "))];
        lines.extend(self.demands(&no.demands).into_iter().map(|words| format!("because {words}")));
        (lines, value)
    }

    pub(super) fn gave_up(&self, at_least: usize) -> (Vec<String>, Value) {
        let value =
            json!({ "players": null, "at_least": at_least, "proved": false, "seconds": self.seconds });
        (vec![format!("not searched to the end; at least {} are needed", players(at_least))], value)
    }

    /// The movement and the measure of the proof's moment, where the calls are a library's.
    fn moment(&self, found: &Fewest) -> Option<(String, String)> {
        let (library, asked) = self.of?;
        let moment = asked.moment(library, &found.proof)?;
        let work = library.works.get(&moment.work)?;
        let number = work.movement(&moment.movement).map_or("", |movement| &movement.number);
        Some((format!("{} {number}", work.title).trim_end().to_owned(), moment.measure))
    }

    fn labels(&self, calls: &[usize]) -> Vec<&str> {
        calls.iter().map(|&c| self.rota.problem().call_label(c)).collect()
    }

    fn demands(&self, demands: &[Demand]) -> Vec<String> {
        demands.iter().map(|d| demand_words(self.rota.problem(), d)).collect()
    }

    fn player(&self, player: usize) -> String {
        let problem = self.rota.problem();
        if problem.players.is_empty() {
            format!("player {}", player + 1)
        } else {
            problem.player_label(player)
        }
    }
}

/// How good the share-out is, and what the wishes cost; without a roster everybody is an extra, which is not worth telling.
fn how_good(cost: &Cost, best: Option<&Best>, has_roster: bool) -> Vec<String> {
    let points = cost.points();
    let sure = match best {
        Some(best) if best.proved() => format!("shared out at {points} points, proved: none costs less"),
        Some(best) => format!(
            "shared out at {points} points, the best found; one that costs {} less is not ruled out",
            best.gap_points()
        ),
        None => format!("shared out at {points} points; no better one was looked for"),
    };
    let costs = [
        (cost.strand_breaks > 0).then(|| format!("instruments that change hands {}", cost.strand_breaks)),
        (cost.not_as_last_time > 0).then(|| format!("not as last time {}", cost.not_as_last_time)),
        (cost.load_over_ms > 0)
            .then(|| format!("the busiest above an even share {:.0} s", cost.load_over_ms as f64 / 1000.0)),
        (cost.exposure_over_milli > 0).then(|| {
            format!("the most exposed above an even share {:.1}", cost.exposure_over_milli as f64 / 1000.0)
        }),
        (has_roster && cost.extras > 0).then(|| format!("extras {}", cost.extras)),
    ];
    let costs: Vec<String> = costs.into_iter().flatten().collect();
    if costs.is_empty() { vec![sure] } else { vec![sure, format!("  {}", costs.join("; "))] }
}
