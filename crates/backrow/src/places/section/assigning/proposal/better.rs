//! What a proposal is better in than the present assignments, in one line.

use super::Standing;
use backrow_core::rota::Rota;

/// "2 lines change. Better than now: 34 m less to walk. Worse: 1 more instrument passed between players."
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
            ["more line with a player", "more lines with a player"],
            ["more line without a player", "more lines without a player"],
        ),
        counted(
            broken(now),
            broken(then),
            ["fewer line that cannot be played", "fewer lines that cannot be played"],
            ["more line that cannot be played", "more lines that cannot be played"],
        ),
        counted(
            now.cost.extras,
            then.cost.extras,
            ["fewer extra", "fewer extras"],
            ["more extra", "more extras"],
        ),
        counted(
            now.assignments.used().len(),
            then.assignments.used().len(),
            ["fewer player", "fewer players"],
            ["more player", "more players"],
        ),
        metres(now.cost.walk_m(), then.cost.walk_m()),
        counted(
            now.cost.strand_breaks,
            then.cost.strand_breaks,
            ["fewer instrument passed between players", "fewer instruments passed between players"],
            ["more instrument passed between players", "more instruments passed between players"],
        ),
        counted(
            now.cost.part_breaks,
            then.cost.part_breaks,
            ["fewer printed part passed between players", "fewer printed parts passed between players"],
            ["more printed part passed between players", "more printed parts passed between players"],
        ),
        counted(
            now.cost.not_as_last_time,
            then.cost.not_as_last_time,
            ["more line as last time", "more lines as last time"],
            ["fewer line as last time", "fewer lines as last time"],
        ),
        minutes(now.cost.load_over_ms, then.cost.load_over_ms),
    ];
    let told = |better: bool| {
        let of = rows.iter().flatten().filter(|row| row.0 == better).map(|row| row.1.as_str());
        of.collect::<Vec<_>>().join(", ")
    };
    let (better, worse) = (told(true), told(false));
    match (better.is_empty(), worse.is_empty()) {
        (true, _) => format!("{change} Nothing that is counted here gets better."),
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
    (by >= 1.0).then(|| (then < now, format!("{by:.0}\u{202F}m {words}")))
}

/// Of the busiest player above the average.
fn minutes(now: i64, then: i64) -> Told {
    let by = (now - then).unsigned_abs() as f64 / 60_000.0;
    let words = if then < now { "less for the busiest player" } else { "more for the busiest player" };
    (by >= 0.1).then(|| (then < now, format!("{by:.1}\u{202F}min {words}")))
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
    #[case::better([0, 1, 2], [0, 0, 2], "1 line changes. Better than now: 1 fewer player, 1 fewer instrument passed between players.")]
    #[case::mixed(
        [0, 1, 2],
        [0, 0, 0],
        "2 lines change. Better than now: 2 fewer players, 1 fewer instrument passed between players. Worse: 6\u{202F}m more to walk, "
    )]
    #[case::worse([0, 0, 2], [0, 1, 2], "1 line changes. Nothing that is counted here gets better.")]
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
