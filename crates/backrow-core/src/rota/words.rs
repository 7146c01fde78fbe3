//! Why fewer players are not enough, in words.

use super::fewest::{Proof, Shape};
use super::problem::Problem;

/// Why fewer are not enough. `place` says where the proof's moment is: "m. 104 of Lanterns II"; seconds stand in for it.
pub fn why(problem: &Problem, proof: &Proof, place: Option<String>) -> String {
    let count = proof.calls.len();
    match proof.shape {
        Shape::Moment if count == 0 => "there is nothing to play".to_owned(),
        Shape::Moment if count == 1 => "no two calls come too near each other".to_owned(),
        Shape::Moment => {
            let at_s = proof.at_s.unwrap_or_default();
            let place = place.unwrap_or_else(|| format!("{at_s} s"));
            let how = if sound_at(problem, proof, at_s) { "sound at once" } else { "lie too near for fewer" };
            format!("at {place} {} calls {how}", number(count))
        }
        Shape::Core => format!("{} calls cannot be shared among fewer", number(count)),
        Shape::Ring if proof.beside_ring.is_empty() => {
            format!("a ring of {} calls, each too near the next", number(count))
        }
        Shape::Ring => {
            let beside = number(proof.beside_ring.len());
            format!("a ring of {} calls, and {beside} that clash with it all", number(count))
        }
        Shape::Search => "every way with fewer was tried".to_owned(),
    }
}

/// Whether all passages of a moment sound at it, rather than lie too near.
fn sound_at(problem: &Problem, proof: &Proof, at_s: f64) -> bool {
    proof.passages.iter().all(|at| {
        let passage = problem.calls.get(at.call).and_then(|call| call.passages.get(at.passage));
        passage.is_some_and(|p| p.from_s <= at_s && at_s <= p.to_s)
    })
}

/// "1 player" or "6 players".
pub fn players(count: usize) -> String {
    if count == 1 { "1 player".to_owned() } else { format!("{count} players") }
}

/// A small number in words.
pub fn number(count: usize) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
