//! What a proposal is better in than the present assignments, in one line.

use super::Standing;
use backrow_core::rota::Rota;

/// "2 lines change. Better than now: 34 m less to walk. Worse: 1 instrument more passed between players."
pub(super) fn words(rota: &Rota, now: &Standing<'_>, then: &Standing<'_>, changed: usize) -> String {
    let change = match changed {
        0 => return "Nothing changes: nothing better was found.".to_owned(),
        1 => "1 line changes.".to_owned(),
        more => format!("{more} lines change."),
    };
    let broken =
        |standing: &Standing<'_>| rota.broken_lines(standing.assignments).len() - standing.unassigned();
    let rows = [
        counted(
            now.unassigned(),
            then.unassigned(),
            ["line more with a player", "lines more with a player"],
            ["line more without a player", "lines more without a player"],
        ),
        counted(
            broken(now),
            broken(then),
            ["line fewer that cannot be played", "lines fewer that cannot be played"],
            ["line more that cannot be played", "lines more that cannot be played"],
        ),
        counted(
            now.cost.extras,
            then.cost.extras,
            ["extra fewer", "extras fewer"],
            ["extra more", "extras more"],
        ),
        counted(
            now.assignments.used().len(),
            then.assignments.used().len(),
            ["player fewer", "players fewer"],
            ["player more", "players more"],
        ),
        metres(now.cost.walk_m(), then.cost.walk_m()),
        counted(
            now.cost.strand_breaks,
            then.cost.strand_breaks,
            ["instrument less passed between players", "instruments less passed between players"],
            ["instrument more passed between players", "instruments more passed between players"],
        ),
        counted(
            now.cost.part_breaks,
            then.cost.part_breaks,
            ["printed part less passed between players", "printed parts less passed between players"],
            ["printed part more passed between players", "printed parts more passed between players"],
        ),
        counted(
            now.cost.not_as_last_time,
            then.cost.not_as_last_time,
            ["line more as last time", "lines more as last time"],
            ["line fewer as last time", "lines fewer as last time"],
        ),
        minutes(now.cost.load_over_ms, then.cost.load_over_ms),
    ];
    let told = |better: bool| {
        let of = rows.iter().flatten().filter(|row| row.0 == better).map(|row| row.1.as_str());
        of.collect::<Vec<_>>().join(", ")
    };
    let (better, worse) = (told(true), told(false));
    match (better.is_empty(), worse.is_empty()) {
        (true, _) => format!("{change} It is better in nothing that is counted here."),
        (false, true) => format!("{change} Better than now: {better}."),
        (false, false) => format!("{change} Better than now: {better}. Worse: {worse}."),
    }
}

/// Whether it is better, and how.
type Told = Option<(bool, String)>;

/// A figure of which less is better; the words are for one and for more.
fn counted(now: usize, then: usize, less: [&str; 2], more: [&str; 2]) -> Told {
    let (by, words) = if then < now { (now - then, less) } else { (then - now, more) };
    let [one, many] = words;
    (by > 0).then(|| (then < now, format!("{by} {}", if by == 1 { one } else { many })))
}

fn metres(now: f64, then: f64) -> Told {
    let by = (now - then).abs();
    let words = if then < now { "less to walk" } else { "more to walk" };
    (by >= 1.0).then(|| (then < now, format!("{by:.0}\u{2009}m {words}")))
}

/// Of the busiest player above the average.
fn minutes(now: i64, then: i64) -> Told {
    let by = (now - then).unsigned_abs() as f64 / 60_000.0;
    let words = if then < now { "less for the busiest player" } else { "more for the busiest player" };
    (by >= 0.1).then(|| (then < now, format!("{by:.1}\u{2009}min {words}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::rota::text::read;
    use backrow_core::rota::{Assignments, PlayerNo};
    use rstest::rstest;

    const MUSIC: &str = "players Ana Ben Cy\nline a on x at 0,0 strand x: 0-4\nline b on x at 0,0 strand x: 20-24\n\
        line c at 6,0: 50-54";

    #[rstest]
    #[case::nothing([0, 0, 0], [0, 0, 0], "Nothing changes: nothing better was found.")]
    #[case::better([0, 1, 2], [0, 0, 2], "1 line changes. Better than now: 1 player fewer, 1 instrument less passed between players.")]
    #[case::mixed(
        [0, 1, 2],
        [0, 0, 0],
        "2 lines change. Better than now: 2 players fewer, 1 instrument less passed between players. Worse: 6\u{2009}m more to walk, "
    )]
    #[case::worse([0, 0, 2], [0, 1, 2], "1 line changes. It is better in nothing that is counted here.")]
    fn a_proposal_says_what_it_is_better_in(
        #[case] now: [usize; 3],
        #[case] then: [usize; 3],
        #[case] says: &str,
    ) {
        let rota = Rota::new(read(MUSIC).unwrap()).unwrap();
        let of =
            |who: [usize; 3]| Assignments { players: who.into_iter().map(|p| Some(PlayerNo(p))).collect() };
        let (now, then) = (of(now), of(then));
        let standing = |assignments| Standing { assignments, cost: rota.cost(assignments, 3) };
        let told = words(&rota, &standing(&now), &standing(&then), now.differs_in(&then).len());
        assert!(told.starts_with(says), "{told}");
    }
}
