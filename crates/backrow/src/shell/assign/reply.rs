//! What `backrow rota` answers, as lines and as an object.

use backrow_core::assign::Asked;
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::rota::words::{demand_words, describe, players, why};
use backrow_core::rota::{
    Answer, Assignments, BadInput, Best, Cost, Demand, Effort, Fewest, Impossible, LineNo, PlayerNo,
    PlayersMove, Rota, Split, in_words,
};
use serde_json::{Map, Value, json};

/// How many of the tightest moves are told.
const TIGHTEST: usize = 5;

/// What is needed to say the answer.
pub(super) struct Reply<'a> {
    pub(super) rota: &'a Rota,
    /// The library and its lines; `None` of a table.
    pub(super) of: Option<&'a (Library, Asked)>,
    /// Why those engaged are not enough; `None` when they are.
    pub(super) why_more: Option<&'a Answer>,
    /// How long the fewest took, seconds.
    pub(super) seconds: f64,
}

/// The fewest when lines may be split, and a set of assignments of the pieces.
pub(super) struct Fewer {
    split: Split,
    players: usize,
    assignments: Assignments,
}

/// The assignments that an answer has, with what they cost.
#[derive(Clone, Copy)]
struct Answered<'a> {
    assignments: &'a Assignments,
    cost: &'a Cost,
    /// The best, where they were looked for.
    best: Option<&'a Best>,
}

impl Reply<'_> {
    /// The answer when every line may be split by passages; `None` when none was found.
    pub(super) fn split(&self, effort: Effort) -> Result<Option<Fewer>, Vec<BadInput>> {
        let all: Vec<LineNo> = self.rota.problem().lines.numbers().collect();
        let split = self.rota.split(&all)?;
        let Answer::Found(found) = split.rota.fewest(effort) else { return Ok(None) };
        let best = split.rota.best(found.players, Some(&found.assignments), effort);
        let assignments = best.map_or(found.assignments, |best| best.assignments);
        Ok(Some(Fewer { split, players: found.players, assignments }))
    }

    pub(super) fn found(
        &self,
        found: &Fewest,
        best: Option<&Best>,
        fewer: Option<&Fewer>,
    ) -> (Vec<String>, Value) {
        let assignments = best.map_or(&found.assignments, |best| &best.assignments);
        let cost = self.rota.cost(assignments, found.players);
        let disagrees = self.disagrees(found, best);
        let lines = [
            disagrees.iter().map(|fault| format!("the independent check disagrees: {fault}")).collect(),
            self.head(found),
            how_good(&cost, best, !self.rota.problem().players.is_empty()),
            self.who(assignments),
            self.moves(assignments),
            fewer.map_or_else(Vec::new, |fewer| self.handovers(fewer)),
        ];
        let value = self.object(found, &Answered { assignments, cost: &cost, best }, fewer);
        (lines.concat(), value)
    }

    /// What the independent checker has against the answer.
    #[expect(clippy::unused_self, reason = "reads beside its sisters")]
    fn disagrees(&self, found: &Fewest, best: Option<&Best>) -> Vec<String> {
        found.faults.iter().chain(best.into_iter().flat_map(|best| &best.faults)).cloned().collect()
    }

    fn head(&self, found: &Fewest) -> Vec<String> {
        let problem = self.rota.problem();
        let how_many = if found.proven() {
            players(found.players)
        } else {
            format!("{} to {}", found.at_least, players(found.players))
        };
        let one = found.proven() && found.players == 1;
        let place = self.moment(found).map(|(title, measure)| format!("m. {measure} of {title}"));
        let why = why(problem, &found.proof, place);
        let lines: Vec<&str> = found
            .proof
            .lines
            .iter()
            .chain(&found.proof.beside_ring)
            .map(|&c| problem.line_label(c))
            .collect();
        let of = if lines.is_empty() { String::new() } else { format!(": {}", listed(&lines)) };
        let mut rows = vec![format!("{how_many} {} needed; {why}{of}", if one { "is" } else { "are" })];
        rows.extend(self.demands(&found.proof.demands).into_iter().map(|words| format!("because {words}")));
        rows.extend(self.engaged_are_not_enough());
        rows
    }

    /// Why those engaged are not enough.
    fn engaged_are_not_enough(&self) -> Option<String> {
        let why = self.why_more?;
        Some(format!("those engaged are not enough: {}", describe(self.rota.problem(), why)))
    }

    fn who(&self, assignments: &Assignments) -> Vec<String> {
        let problem = self.rota.problem();
        let line =
            |c: LineNo| Some(format!("  {}: {}", problem.line_label(c), self.player(assignments.player(c)?)));
        let mut rows: Vec<String> = problem.lines.numbers().filter_map(line).collect();
        rows.push(format!("walks: {:.1}\u{202F}m", self.rota.walk_m(assignments)));
        rows
    }

    fn moves(&self, assignments: &Assignments) -> Vec<String> {
        let problem = self.rota.problem();
        let row = |PlayersMove { player, step }: PlayersMove| {
            let (from, to) = (problem.line_label(step.from.line), problem.line_label(step.to.line));
            format!("{}, {from} to {to}: {}", self.player(player), in_words(&step))
        };
        self.rota.tightest_moves(assignments, TIGHTEST).into_iter().map(row).collect()
    }

    fn handovers(&self, fewer: &Fewer) -> Vec<String> {
        let one = if fewer.players == 1 { "is" } else { "are" };
        let mut lines = vec![format!("{} {one} enough when lines may be split", players(fewer.players))];
        lines.extend(fewer.split.handovers(&fewer.assignments).into_iter().map(|h| {
            format!(
                "  {}: {} takes over from {} at {}\u{202F}s, after a rest of {}\u{202F}s",
                self.rota.problem().line_label(h.line),
                self.player(h.to),
                self.player(h.from),
                h.at_s,
                h.gap_s
            )
        }));
        lines
    }

    fn object(&self, found: &Fewest, answered: &Answered<'_>, fewer: Option<&Fewer>) -> Value {
        let Answered { assignments, cost, best } = *answered;
        let problem = self.rota.problem();
        let proof = &found.proof;
        let lines = || problem.lines.numbers().filter_map(|c| Some((c, assignments.player(c)?)));
        let numbers: Map<String, Value> =
            lines().map(|(c, p)| (problem.line_label(c).to_owned(), json!(p.0 + 1))).collect();
        let names: Map<String, Value> =
            lines().map(|(c, p)| (problem.line_label(c).to_owned(), json!(self.player(p)))).collect();
        let moment = self.moment(found);
        let tightest = self.rota.tightest_moves(assignments, TIGHTEST);
        let tightest: Vec<Value> = tightest
            .iter()
            .map(|PlayersMove { player, step }| {
                json!({
                    "player": self.player(*player),
                    "from": problem.line_label(step.from.line),
                    "to": problem.line_label(step.to.line),
                    "gap_s": step.has_s(), "walk_s": step.need.walk_us() as f64 / 1e6,
                    "change_s": step.need.change_us as f64 / 1e6,
                    "walk_m": step.need.metres, "steps": step.need.steps, "route_known": !step.need.assumed,
                    "spare_s": step.spare_us() as f64 / 1e6,
                })
            })
            .collect();
        json!({
            "players": found.players,
            "at_least": found.at_least,
            "proven": found.proven(),
            "checker_disagrees": self.disagrees(found, best),
            "proof": {
                "shape": proof.shape.word(),
                "lines": self.labels(&proof.lines),
                "beside_ring": self.labels(&proof.beside_ring),
                "at_s": proof.at_s,
                "movement": moment.as_ref().map(|(title, _)| title),
                "measure": moment.as_ref().map(|(_, measure)| measure),
                "demands": self.demands(&proof.demands),
            },
            "engaged_are_not_enough": self.engaged_are_not_enough(),
            "assignments": numbers,
            "names": names,
            "assignments_proven": best.is_some_and(Best::proven),
            "assignments_gap_points": best.map(Best::gap_points),
            "points": cost.points(),
            "costs": {
                "instruments_passed_on": cost.strand_breaks,
                "printed_parts_passed_on": cost.part_breaks,
                "not_as_last_time": cost.not_as_last_time,
                "changed": cost.changed,
                "changed_by_hand": cost.hand_changed,
                "walk_m": cost.walk_m(),
                "busiest_above_even_s": cost.load_over_ms as f64 / 1000.0,
                "most_exposed_above_even": cost.exposure_over_milli as f64 / 1000.0,
                "extras": cost.extras,
            },
            "tightest": tightest,
            "walk_m": self.rota.walk_m(assignments),
            "players_when_split": fewer.map(|fewer| fewer.players),
            "handovers": fewer.map(|fewer| self.handover_values(fewer)),
            "seconds": self.seconds,
        })
    }

    fn handover_values(&self, fewer: &Fewer) -> Vec<Value> {
        let value = |h: backrow_core::rota::Handover| {
            json!({
                "line": self.rota.problem().line_label(h.line),
                "after_passage": h.after.0 + 1,
                "from": self.player(h.from), "to": self.player(h.to), "at_s": h.at_s, "gap_s": h.gap_s,
            })
        };
        fewer.split.handovers(&fewer.assignments).into_iter().map(value).collect()
    }

    pub(super) fn impossible(&self, no: &Impossible) -> (Vec<String>, Value) {
        let value = json!({
            "players": null,
            "at_least": no.players + 1,
            "proven": true,
            "impossible": {
                "lines": self.labels(&no.lines),
                "demands": self.demands(&no.demands),
                "players": no.players,
            },
            "seconds": self.seconds,
        });
        let among = players(no.players);
        let mut rows = vec![format!("not possible among {among}: {}", listed(&self.labels(&no.lines)))];
        rows.extend(self.demands(&no.demands).into_iter().map(|words| format!("because {words}")));
        (rows, value)
    }

    pub(super) fn gave_up(&self, at_least: usize) -> (Vec<String>, Value) {
        let value =
            json!({ "players": null, "at_least": at_least, "proven": false, "seconds": self.seconds });
        (vec![format!("the search stopped early; at least {} are needed", players(at_least))], value)
    }

    /// The movement and the measure of the proof's moment, where the lines are a library's.
    fn moment(&self, found: &Fewest) -> Option<(String, String)> {
        let (library, asked) = self.of?;
        let moment = asked.moment(library, &found.proof)?;
        let work = library.works.get(&moment.work)?;
        let number = work.movement(&moment.movement).map_or("", |movement| &movement.number);
        Some((format!("{} {number}", work.title).trim_end().to_owned(), moment.measure))
    }

    fn labels(&self, lines: &[LineNo]) -> Vec<&str> {
        lines.iter().map(|&c| self.rota.problem().line_label(c)).collect()
    }

    fn demands(&self, demands: &[Demand]) -> Vec<String> {
        demands.iter().map(|d| demand_words(self.rota.problem(), d)).collect()
    }

    fn player(&self, player: PlayerNo) -> String {
        let problem = self.rota.problem();
        if problem.players.is_empty() {
            format!("player {}", player.0 + 1)
        } else {
            problem.player_label(player)
        }
    }
}

/// How good the assignments are, and what the wishes cost; without a roster everybody is an extra, which is not worth telling.
fn how_good(cost: &Cost, best: Option<&Best>, has_roster: bool) -> Vec<String> {
    let points = cost.points();
    let sure = match best {
        Some(best) if best.proven() => format!("assigned at {points} points, proven: none costs less"),
        Some(best) => format!(
            "assigned at {points} points, the best found; one that costs {} less is not ruled out",
            best.gap_points()
        ),
        None => format!("assigned at {points} points; no better ones were looked for"),
    };
    let costs = [
        (cost.strand_breaks > 0)
            .then(|| format!("instruments passed between players {}", cost.strand_breaks)),
        (cost.not_as_last_time > 0).then(|| format!("different from last time {}", cost.not_as_last_time)),
        (cost.load_over_ms > 0).then(|| {
            format!("the busiest player above average {:.0}\u{202F}s", cost.load_over_ms as f64 / 1000.0)
        }),
        (cost.exposure_over_milli > 0).then(|| {
            format!("the most exposed player above average {:.1}", cost.exposure_over_milli as f64 / 1000.0)
        }),
        (has_roster && cost.extras > 0).then(|| format!("extras {}", cost.extras)),
    ];
    let costs: Vec<String> = costs.into_iter().flatten().collect();
    if costs.is_empty() { vec![sure] } else { vec![sure, format!("  {}", costs.join("; "))] }
}
