//! Answers, proofs and demands in words that a principal can act on.

use super::fewest::{Answer, Proof, Shape};
use super::number::LineNo;
use super::problem::{Demand, Problem};

/// Why fewer are not enough. `place` says where the proof's moment is: "m. 104 of Lanterns II"; seconds stand in for it.
pub fn why(problem: &Problem, proof: &Proof, place: Option<String>) -> String {
    let count = proof.lines.len();
    match proof.shape {
        Shape::Moment if count == 0 => "there is nothing to play".to_owned(),
        Shape::Moment if count == 1 => "no two lines come too close together".to_owned(),
        Shape::Moment => {
            let at_s = proof.at_s.unwrap_or_default();
            let place = place.unwrap_or_else(|| format!("{at_s}\u{202F}s"));
            let rows = number(count);
            if sound_at(problem, proof, at_s) {
                format!("at {place} {rows} lines sound at once")
            } else {
                format!("around {place} {rows} lines are too close together for fewer players")
            }
        }
        Shape::Core if proof.demands.is_empty() => {
            format!(
                "however {} lines are assigned to fewer players, two that clash end up together",
                number(count)
            )
        }
        Shape::Core => {
            format!("{} and the rules rule out fewer players", lines(count))
        }
        Shape::Ring => {
            let ring = format!(
                "{} lines each clash with the next, in a circle, so that one is always left over",
                number(count)
            );
            match proof.beside_ring.len() {
                0 => ring,
                1 => format!("{ring}, and one more line clashes with all of them"),
                more => format!(
                    "{ring}, and {} more lines clash with all of them and with each other",
                    number(more)
                ),
            }
        }
        Shape::Search => "every assignment with fewer players was tried".to_owned(),
    }
}

/// What would let fewer players be enough, in a sentence; `None` where there is nothing to act on.
pub fn what_helps(problem: &Problem, proof: &Proof) -> Option<String> {
    if !proof.demands.is_empty() {
        return Some("Drop one of the rules named here, and fewer may be enough.".to_owned());
    }
    let sound = sound_at(problem, proof, proof.at_s.unwrap_or_default());
    match proof.shape {
        Shape::Moment if proof.lines.len() < 2 => None,
        Shape::Moment if sound => {
            Some("Mark two of them as playable together, or leave one out, and fewer may be enough.".to_owned())
        }
        Shape::Moment => {
            Some("Move two of them closer together, or use the same beaters, and fewer may be enough.".to_owned())
        }
        Shape::Ring => {
            Some("Split one of them between two players, or mark two as playable together, and fewer may be enough.".to_owned())
        }
        Shape::Core | Shape::Search => None,
    }
}

/// Whether all passages of a moment sound at it, rather than lie too near.
fn sound_at(problem: &Problem, proof: &Proof, at_s: f64) -> bool {
    proof.passages.iter().all(|at| {
        let passage = problem.lines.find(at.line).and_then(|line| line.passages.find(at.passage));
        passage.is_some_and(|p| p.from_s <= at_s && at_s <= p.to_s)
    })
}

/// "1 player" or "6 players".
pub fn players(count: usize) -> String {
    if count == 1 { "1 player".to_owned() } else { format!("{count} players") }
}

/// "one line" or "six lines".
pub fn lines(count: usize) -> String {
    if count == 1 { "one line".to_owned() } else { format!("{} lines", number(count)) }
}

/// A small number in words.
pub fn number(count: usize) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// The answer to "how many players?" in a line or two: number, proof, demands.
pub fn describe(problem: &Problem, answer: &Answer) -> String {
    let names = |lines: &[LineNo]| lines.iter().map(|&c| problem.line_label(c)).collect::<Vec<_>>().join(" ");
    match answer {
        Answer::Found(found) => {
            let proof = &found.proof;
            let sure = if found.proven() { String::new() } else { format!(" (at least {})", found.at_least) };
            let at = proof.at_s.map(|s| format!(" at {s}\u{202F}s")).unwrap_or_default();
            let beside = match proof.beside_ring.as_slice() {
                [] => String::new(),
                lines => format!(", beside it {}", names(lines)),
            };
            let demands: Vec<String> = proof.demands.iter().map(|d| demand_words(problem, d)).collect();
            let demands =
                if demands.is_empty() { String::new() } else { format!("; {}", demands.join("; ")) };
            let shape = proof.shape.word();
            format!("{}{sure}, {shape}{at}: {}{beside}{demands}", players(found.players), names(&proof.lines))
        }
        Answer::Impossible(no) => {
            let demands: Vec<String> = no.demands.iter().map(|d| demand_words(problem, d)).collect();
            let demands =
                if demands.is_empty() { String::new() } else { format!("; {}", demands.join("; ")) };
            {
                let lines: Vec<_> = no.lines.iter().map(|&line| problem.line_label(line)).collect();
                format!("{} cannot do it: {}{demands}", players(no.players), lines.join(", "))
            }
        }
        Answer::GaveUp { at_least } => format!("not found, at least {at_least}"),
    }
}

/// Why demands stand, a few words each. What is alike is told once: "A. One and B. Two are in reserve", "C. Three does not
/// take gong, whip".
pub fn reasons(problem: &Problem, demands: &[Demand]) -> Vec<String> {
    const NOT_TAKEN: &str = "does not take ";
    let mut told: Vec<(String, Vec<String>, Vec<String>)> = Vec::new();
    let mut others = Vec::new();
    for demand in demands {
        match demand {
            Demand::Bar { player, why, .. } if !why.is_empty() => {
                let name = problem.player_label(*player);
                let kind = why.strip_prefix(NOT_TAKEN);
                let alike = |(of, names, _): &&mut (String, Vec<String>, Vec<String>)| match kind {
                    Some(_) => of == NOT_TAKEN && names.contains(&name),
                    None => of == why,
                };
                match (told.iter_mut().find(alike), kind) {
                    (Some((_, _, kinds)), Some(kind)) => kinds.push(kind.to_owned()),
                    (Some((_, names, _)), None) => names.push(name),
                    (None, Some(kind)) => {
                        told.push((NOT_TAKEN.to_owned(), vec![name], vec![kind.to_owned()]));
                    }
                    (None, None) => told.push((why.clone(), vec![name], Vec::new())),
                }
            }
            other => others.push(reason_words(problem, other)),
        }
    }
    let told =
        told.into_iter().map(|(why, names, kinds)| match (names.as_slice(), why.strip_prefix("is ")) {
            ([most @ .., last], Some(rest)) if !most.is_empty() => {
                format!("{} and {last} are {rest}", crate::id::listed(most))
            }
            _ => format!("{} {why}{}", names.join(" and "), kinds.join(", ")),
        });
    told.chain(others).collect()
}

/// Why a demand stands, in words: "L. Brandt does not take gong"; what it asks, where it gives no reason.
fn reason_words(problem: &Problem, demand: &Demand) -> String {
    match demand {
        Demand::Bar { player, why, .. } if !why.is_empty() => {
            format!("{} {why}", problem.player_label(*player))
        }
        _ => demand_words(problem, demand),
    }
}

/// A demand in words.
pub fn demand_words(problem: &Problem, demand: &Demand) -> String {
    let line = |c: LineNo| problem.line_label(c);
    let list = |lines: &[LineNo]| crate::id::listed(&lines.iter().map(|&c| line(c)).collect::<Vec<_>>());
    let reason = |why: &str| if why.is_empty() { String::new() } else { format!(" ({why})") };
    match demand {
        Demand::Pin { line: c, player } => {
            format!("{} stays with {}", line(*c), problem.player_label(*player))
        }
        Demand::Bar { player, lines, why } => {
            format!("{} cannot take {}{}", problem.player_label(*player), list(lines), reason(why))
        }
        Demand::Only { lines, players, why } => {
            let names: Vec<String> = players.iter().map(|&p| problem.player_label(p)).collect();
            format!("{} only for {}{}", list(lines), names.join(" or "), reason(why))
        }
        Demand::Together { a, b } => format!("{} and {} stay with one player", line(*a), line(*b)),
        Demand::Apart { a, b } => format!("{} and {} go to different players", line(*a), line(*b)),
        Demand::Hands { lines, hands, .. } => {
            format!("one instrument for {} takes {} at once", list(lines), players(*hands))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::text::read;
    use crate::rota::{Effort, Rota};
    use rstest::rstest;

    const RING: &str = "extras 9\nline a: 0-1 90-91\nline b: 0-1 20-21\nline c: 20-21 40-41\nline d: 40-41 60-61\n\
        line e: 60-61 90-91";

    #[rstest]
    #[case::sound("extras 3\nline a: 0-4\nline b: 3-5", "at 3\u{202f}s two lines sound at once", "Mark two")]
    #[case::crowd(
        "extras 3\nline a: 0-4\nline b: 4.5-5",
        "around 4.5\u{202f}s two lines are too close together for fewer players",
        "Move two of them closer"
    )]
    #[case::ring(
        RING,
        "five lines each clash with the next, in a circle, so that one is always left over",
        "Split one of them"
    )]
    #[case::pins(
        "players Ana Ben\nline a: 0-1\nline b: 50-51\npin a Ana\npin b Ben",
        "two lines and the rules rule out fewer players",
        "Drop one of the rules"
    )]
    #[case::alone("extras 1\nline a: 0-1", "no two lines come too close together", "")]
    fn proofs_are_told_plainly(#[case] text: &str, #[case] told: &str, #[case] helps: &str) {
        let rota = Rota::new(read(text).unwrap()).unwrap();
        let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("enough players") };
        assert_eq!(why(rota.problem(), &found.proof, None), told);
        let said = what_helps(rota.problem(), &found.proof).unwrap_or_default();
        assert!(said.starts_with(helps) && said.is_empty() == helps.is_empty(), "{said}");
    }

    /// A rule that names every line of the programme is told by its reason, and of an impossible set only its own lines.
    #[test]
    fn a_rule_is_told_by_its_reason_and_cut_to_the_lines_it_is_about() {
        let text = "players Ana Ben\nline a: 0-1\nline b: 0-1\nline c: 90-91\nbar Ben a b c because is away";
        let rota = Rota::new(read(text).unwrap()).unwrap();
        let Answer::Impossible(no) = rota.fewest(Effort::default()) else { panic!("one for two at once") };
        assert_eq!(no.lines, [LineNo(0), LineNo(1)]);
        let [bar] = no.demands.as_slice() else { panic!("{no:?}") };
        assert_eq!(reason_words(rota.problem(), bar), "Ben is away");
        assert_eq!(demand_words(rota.problem(), bar), "Ben cannot take a, b (is away)");
    }

    #[test]
    fn reasons_that_are_alike_are_told_once() {
        let text = "players Ana Ben Cy\nline a: 0-1\npin a Ana\nbar Ana a because does not take gong\n\
            bar Ana a because does not take whip\nbar Ben a because is in reserve\nbar Cy a because is in reserve";
        let problem = read(text).unwrap();
        let told = reasons(&problem, &problem.demands);
        let all = ["Ana does not take gong, whip", "Ben and Cy are in reserve", "a stays with Ana"];
        assert_eq!(told, all);
    }

    #[rstest]
    #[case("extras 1", "there is nothing to play", None)]
    #[case(
        "extras 9\nline a: 0-1 20-21 40-41\nline b: 0-1 60-61 80-81\nline c: 20-21 60-61 100-101\nline d: 40-41 80-81 100-101",
        "however four lines are assigned to fewer players, two that clash end up together",
        None
    )]
    fn nothing_and_a_core(#[case] text: &str, #[case] told: &str, #[case] helps: Option<&str>) {
        let rota = Rota::new(read(text).unwrap()).unwrap();
        let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("enough players") };
        assert_eq!(why(rota.problem(), &found.proof, None), told);
        assert_eq!(what_helps(rota.problem(), &found.proof).as_deref(), helps);
    }

    /// Each shape in words, with hubs and without.
    #[test]
    fn rings_and_searches() {
        let problem = read("extras 9\nline a: 0-4\nline b: 3-5").unwrap();
        let proof = |shape: Shape, beside: usize| Proof {
            shape,
            lines: vec![LineNo(0); 3],
            beside_ring: vec![LineNo(1); beside],
            passages: Vec::new(),
            at_s: Some(3.0),
            demands: Vec::new(),
        };
        let ring = "three lines each clash with the next, in a circle, so that one is always left over";
        let said =
            |shape: Shape, beside: usize| why(&problem, &proof(shape, beside), Some("m. 4".to_owned()));
        assert_eq!(said(Shape::Ring, 0), ring);
        assert_eq!(said(Shape::Ring, 1), format!("{ring}, and one more line clashes with all of them"));
        assert_eq!(
            said(Shape::Ring, 2),
            format!("{ring}, and two more lines clash with all of them and with each other")
        );
        assert_eq!(said(Shape::Search, 0), "every assignment with fewer players was tried");
        assert_eq!(said(Shape::Moment, 0), "at m. 4 three lines sound at once");
        assert_eq!((number(0), number(9), number(10)), ("no".to_owned(), "nine".to_owned(), "10".to_owned()));
        assert_eq!(
            (players(1), players(6), lines(1), lines(6)),
            ("1 player".into(), "6 players".into(), "one line".into(), "six lines".into())
        );
    }

    /// A passage sounds at a moment from its first instant to its last.
    #[rstest]
    #[case(3.0, true)]
    #[case(4.0, true)]
    #[case(2.9, false)]
    #[case(4.1, false)]
    fn what_sounds_at_a_moment(#[case] at_s: f64, #[case] sounds: bool) {
        let problem = read("extras 9\nline a: 0-4\nline b: 3-5").unwrap();
        let at =
            |line: usize| crate::rota::PassageRef { line: LineNo(line), passage: crate::rota::PassageNo(0) };
        let proof = Proof {
            shape: Shape::Moment,
            lines: vec![LineNo(0), LineNo(1)],
            beside_ring: Vec::new(),
            passages: vec![at(0), at(1)],
            at_s: Some(at_s),
            demands: Vec::new(),
        };
        assert_eq!(sound_at(&problem, &proof, at_s), sounds);
    }

    #[test]
    fn answers_are_described_in_a_line() {
        let told = |text: &str| {
            let rota = Rota::new(read(text).unwrap()).unwrap();
            describe(rota.problem(), &rota.fewest(Effort::default()))
        };
        assert_eq!(told("extras 3\nline a: 0-4\nline b: 3-5"), "2 players, moment at 3\u{202f}s: a b");
        assert_eq!(told("extras 1\nline a: 0-4\nline b: 3-5"), "1 player cannot do it: a, b");
        assert_eq!(
            told("players Ana\nline a: 0-4\nbar Ana a because ill"),
            "1 player cannot do it: a; Ana cannot take a (ill)"
        );
        assert_eq!(
            told("players Ana Ben\nline a: 0-1\nline b: 50-51\npin a Ana\npin b Ben"),
            "2 players, core: a b; a stays with Ana; b stays with Ben"
        );
        let problem = read("extras 1\nline a: 0-4").unwrap();
        assert_eq!(describe(&problem, &Answer::GaveUp { at_least: 3 }), "not found, at least 3");
    }

    #[test]
    fn rules_in_words() {
        let problem = read("players Ana Ben\nline a: 0-1\nline b: 9-10\ntogether a b\napart a b\nonly Ana,Ben a b because so\nbar Ana b").unwrap();
        let told: Vec<String> = problem.demands.iter().map(|d| demand_words(&problem, d)).collect();
        assert_eq!(
            told,
            [
                "a and b stay with one player",
                "a and b go to different players",
                "a, b only for Ana or Ben (so)",
                "Ana cannot take b"
            ]
        );
        assert_eq!(
            reason_words(&problem, &problem.demands[3]),
            "Ana cannot take b",
            "without a reason it says what it asks"
        );
        let hands = Demand::Hands {
            instrument: crate::rota::InstrumentNo(0),
            lines: vec![LineNo(0), LineNo(1)],
            hands: 1,
        };
        assert_eq!(demand_words(&problem, &hands), "one instrument for a, b takes 1 player at once");
    }

    /// What one does not take is listed by player; of reasons that begin otherwise those alike are joined, too.
    #[test]
    fn reasons_of_several() {
        let text = "players Ana Ben Cy\nline a: 0-1\nbar Ana a because does not take gong\nbar Ben a because does not take whip\n\
            bar Ana a because must rest\nbar Cy a because must rest\nbar Ben a because is away\nbar Cy a";
        let problem = read(text).unwrap();
        assert_eq!(
            reasons(&problem, &problem.demands),
            [
                "Ana does not take gong",
                "Ben does not take whip",
                "Ana and Cy must rest",
                "Ben is away",
                "Cy cannot take a"
            ]
        );
    }
}
