//! The movement as a question to the rota: how many players it needs, why not fewer, and a share-out.

use super::board::Board;
use crate::view::View;
use backrow_core::edit::Edit;
use backrow_core::library::Library;
use backrow_core::moves::Timetable;
use backrow_core::rota::programme::Asked;
use backrow_core::rota::text::demand_words;
use backrow_core::rota::{Answer, Effort, Fewest, Proof, Rota, Shape};

/// Players that are thought of beyond the roster.
const EXTRAS: usize = 8;

/// A budget that keeps the window awake: some tenths of a second at the worst.
const EFFORT: Effort = Effort { steps: 60_000, width: 40 };

/// What the movement needs, in words.
#[derive(Clone, Debug, Default)]
pub(super) struct Needs {
    pub(super) head: String,
    pub(super) beside: String,
    /// The moment that proves it, in seconds of the movement, and its measure.
    pub(super) moment: Option<(f64, u32)>,
}

/// The movement's calls as a problem, with the strips' names.
fn ask(library: &Library, view: &View, board: &Board) -> Option<(Asked, Rota)> {
    let programme = view.programme_in(library)?;
    let mut timetable = Timetable::on_its_floor(library, programme);
    timetable.calls.retain(|taken| board.strips.iter().any(|strip| strip.at == taken.call));
    let mut asked = Asked::of(library, programme, &timetable, EXTRAS);
    for (call, at) in asked.problem.calls.iter_mut().zip(&asked.calls) {
        if let Some(strip) = board.strips.iter().find(|strip| strip.at == *at) {
            call.label.clone_from(&strip.name);
        }
    }
    let rota = Rota::new(asked.problem.clone()).ok()?;
    Some((asked, rota))
}

/// How many players the movement needs, and the proof.
pub(super) fn needs(library: &Library, view: &View, board: &Board) -> Needs {
    let Some((_, rota)) = ask(library, view, board) else {
        return Needs {
            head: "No programme plays this work".to_owned(),
            beside: "Add it to a programme, and the players it needs are counted.".to_owned(),
            moment: None,
        };
    };
    let used = board.lanes.iter().filter(|lane| !lane.strips.is_empty()).count();
    match rota.fewest(EFFORT) {
        Answer::Found(found) => found_words(&rota, &found, board, used),
        Answer::Impossible(no) => {
            let demands: Vec<String> = no.demands.iter().map(|d| demand_words(rota.problem(), d)).collect();
            Needs {
                head: "These demands cannot be met together".to_owned(),
                beside: format!("{}: {}.", names(&rota, &no.calls), demands.join("; ")),
                moment: None,
            }
        }
        Answer::GaveUp { at_least } => Needs {
            head: format!("Needs at least {}", players(at_least)),
            beside: "Not searched to the end.".to_owned(),
            moment: None,
        },
    }
}

fn found_words(rota: &Rota, found: &Fewest, board: &Board, used: usize) -> Needs {
    let moment = found.proof.at_s.map(|at_s| (at_s, measure_at(board, at_s)));
    let why = why(rota, &found.proof, moment);
    let head = if found.proved() {
        format!("Needs {}: {why}", players(found.players))
    } else {
        format!("Needs {} at the least, {} at the most: {why}", players(found.at_least), found.players)
    };
    let demands: Vec<String> =
        found.proof.demands.iter().map(|demand| demand_words(rota.problem(), demand)).collect();
    let demands = if demands.is_empty() { String::new() } else { format!(" {}.", demands.join("; ")) };
    let mut calls = found.proof.calls.clone();
    calls.extend(&found.proof.beside_ring);
    Needs { head, beside: format!("{}.{demands} Now spread over {used}.", names(rota, &calls)), moment }
}

/// Why fewer are not enough, in words.
fn why(rota: &Rota, proof: &Proof, moment: Option<(f64, u32)>) -> String {
    let count = proof.calls.len();
    match (proof.shape, moment) {
        (Shape::Moment, Some(_)) if count == 1 => "no two calls come too near each other".to_owned(),
        (Shape::Moment, Some((at_s, measure))) => {
            let sounds = proof.passages.iter().all(|at| {
                let call = rota.problem().calls.get(at.call);
                call.and_then(|call| call.passages.get(at.passage))
                    .is_some_and(|p| p.from_s <= at_s && at_s <= p.to_s)
            });
            let how = if sounds { "sound at once" } else { "lie too near for fewer" };
            format!("at m. {measure} {} calls {how}", number(count))
        }
        (Shape::Moment | Shape::Core, _) => format!("{} calls cannot be shared among fewer", number(count)),
        (Shape::Ring, _) if proof.beside_ring.is_empty() => {
            format!("a ring of {} calls, each too near the next", number(count))
        }
        (Shape::Ring, _) => format!(
            "a ring of {} calls, and {} that clash with it all",
            number(count),
            number(proof.beside_ring.len())
        ),
        (Shape::Search, _) => "every way with fewer was tried".to_owned(),
    }
}

fn names(rota: &Rota, calls: &[usize]) -> String {
    calls.iter().map(|&call| rota.problem().call_label(call)).collect::<Vec<_>>().join(", ")
}

fn measure_at(board: &Board, at_s: f64) -> u32 {
    board.measures.iter().rev().find(|m| m.at_s <= at_s + 1e-6).map_or(0, |m| m.number)
}

fn players(count: usize) -> String {
    if count == 1 { "1 player".to_owned() } else { format!("{count} players") }
}

fn number(count: usize) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// The best share-out found for the movement as one step, and words about it. Pinned calls stay; what an extra would
/// have to play is given to nobody.
pub(super) fn propose(library: &Library, view: &View, board: &Board) -> Result<(Edit, String), String> {
    let programme = view.programme.clone().ok_or("No programme plays this work.")?;
    let (asked, rota) = ask(library, view, board).ok_or("No programme plays this work.")?;
    let found = match rota.fewest(EFFORT) {
        Answer::Found(found) => found,
        Answer::Impossible(_) => return Err("No share-out meets all demands; see the line above.".to_owned()),
        Answer::GaveUp { .. } => return Err("No share-out was found in the time allowed.".to_owned()),
    };
    let best = rota.best(found.players, Some(&found.share_out), EFFORT);
    let share_out = best.as_ref().map_or(&found.share_out, |best| &best.share_out);
    let mut edits = Vec::new();
    let mut waiting = 0;
    for (call, player) in asked.named(share_out) {
        waiting += usize::from(player.is_none());
        let now = board.strips.iter().find(|strip| strip.at == *call);
        if now.is_some_and(|strip| strip.pinned || strip.player.as_ref() == player) {
            continue;
        }
        edits.push(Edit::Give { programme: programme.clone(), call: call.clone(), player: player.cloned() });
    }
    if edits.is_empty() {
        return Err("The share-out is already the best that was found.".to_owned());
    }
    let changed = if edits.len() == 1 { "1 call".to_owned() } else { format!("{} calls", edits.len()) };
    let wait = match waiting {
        0 => String::new(),
        1 => " 1 call waits for an extra.".to_owned(),
        more => format!(" {more} calls wait for an extra."),
    };
    let words = format!("Share-out proposed: {changed} given anew, pins kept.{wait} Ctrl Z puts it back.");
    Ok((Edit::Together { words: "share-out".to_owned(), edits }, words))
}
