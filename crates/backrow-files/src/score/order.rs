//! The order of playing: repeats, endings, da capo, dal segno, coda and fine.
//!
//! Conventions as in MusicXML's `repeat`, `ending` and `sound` elements (MusicXML 4.0): a stretch is played twice unless
//! `times` says otherwise, endings are taken by their numbers, and after a da capo or dal segno repeats are not
//! taken again and the last ending is played, unless the file says `after-jump`.

use super::jumps::settled;
use super::raw::{Flow, Times};

/// More played measures than this and the signs are taken for a mistake.
pub(crate) const MOST_PLAYED: usize = 100_000;

/// A movement has fewer jumps than this; the ones beyond are passed over.
const MOST_JUMPS: usize = 200;

/// The indices of the measures in the order of playing; `false` beside it when the signs lead nowhere and the order was cut.
pub(crate) fn played_order(flows: &[&Flow]) -> (Vec<usize>, bool) {
    let flows = &settled(flows);
    let endings = endings(flows);
    let mut inside = vec![None; flows.len()];
    for (index, ending) in endings.iter().enumerate() {
        for slot in inside.iter_mut().take(ending.last + 1).skip(ending.first) {
            *slot = Some(index);
        }
    }
    let mut walk = Walk {
        flows,
        endings,
        inside,
        jumps: 0,
        order: Vec::with_capacity(flows.len()),
        taken: vec![false; flows.len()],
        start: 0,
        pass: 1,
        jumped: false,
        plain: false,
        coda_after: None,
    };
    let mut at = 0;
    // Each step plays a measure or skips an ending; twice the limit bounds both.
    for _ in 0..MOST_PLAYED * 2 {
        match walk.step(at) {
            Some(next) => at = next,
            None => return (walk.order, true),
        }
        if walk.order.len() >= MOST_PLAYED {
            break;
        }
    }
    (walk.order, false)
}

/// An ending bracket: its measures, the times it is for, and whether another follows at once.
#[derive(Debug)]
struct Ending {
    first: usize,
    last: usize,
    numbers: Vec<u32>,
    /// The highest number in its group of neighbouring endings.
    passes: u32,
    followed: bool,
    /// A first ending that no bracket follows: left out the last time.
    lone: bool,
}

/// A first ending's bracket that closes before its repeat sign still holds what stands up to it, if that is near.
const LATE_SIGN: usize = 8;

fn endings(flows: &[Flow]) -> Vec<Ending> {
    let mut found: Vec<Ending> = Vec::new();
    for (first, flow) in flows.iter().enumerate().filter(|(_, flow)| !flow.ending.is_empty()) {
        let next = (first + 1..flows.len()).find(|at| !flows[*at].ending.is_empty()).unwrap_or(flows.len());
        let stop = (first..next).find(|at| flows[*at].ending_stop || flows[*at].backward.is_some());
        let last = stop.unwrap_or(first);
        let late = (last + 1..next)
            .take(LATE_SIGN)
            .take_while(|at| !flows[*at].forward)
            .find(|at| flows[*at].backward.is_some())
            .filter(|_| flow.ending.contains(&1) && flows[last].backward.is_none());
        found.push(Ending {
            first,
            last: late.unwrap_or(last),
            numbers: flow.ending.clone(),
            passes: 0,
            followed: false,
            lone: false,
        });
    }
    for at in 0..found.len() {
        found[at].followed = found.get(at + 1).is_some_and(|next| next.first == found[at].last + 1);
    }
    let mut at = 0;
    while at < found.len() {
        let end = (at..found.len()).find(|e| !found[*e].followed).unwrap_or(found.len() - 1);
        let most = found[at..=end].iter().flat_map(|e| e.numbers.iter().copied()).max().unwrap_or(1);
        for ending in &mut found[at..=end] {
            ending.passes = most;
            ending.lone = at == end && most == 1 && flows[ending.last].backward.is_some();
        }
        at = end + 1;
    }
    found
}

struct Walk<'a> {
    flows: &'a [Flow],
    endings: Vec<Ending>,
    /// The ending that each measure stands in.
    inside: Vec<Option<usize>>,
    order: Vec<usize>,
    /// How many da capo, dal segno and coda jumps were taken.
    jumps: usize,
    /// Jumps already taken.
    taken: Vec<bool>,
    /// Where the present repeat goes back to.
    start: usize,
    /// Which time it is played, from 1.
    pass: u32,
    /// After a da capo or dal segno: fine and coda count.
    jumped: bool,
    /// Repeats are not taken again.
    plain: bool,
    /// Where it goes on instead of ending at the fine.
    coda_after: Option<usize>,
}

impl Walk<'_> {
    /// Plays or skips the measure at `at`; the next one, `None` at the end.
    fn step(&mut self, at: usize) -> Option<usize> {
        let flow = self.flows.get(at)?;
        if flow.forward && at != self.start {
            self.start = at;
            self.pass = 1;
        }
        let within = self.inside.get(at).copied().flatten().and_then(|index| self.endings.get(index));
        if let Some(ending) = within.filter(|ending| ending.first == at) {
            let others = ending.followed || ending.lone;
            if others && (self.plain || !ending.numbers.contains(&self.pass)) {
                let next = ending.last + 1;
                if ending.lone {
                    (self.start, self.pass) = (next, 1);
                }
                return Some(next);
            }
        }
        self.order.push(at);
        if let Some(Times(times)) = flow.backward {
            let passes = within.map_or(times.unwrap_or(2), |e| e.passes.max(times.unwrap_or(1)));
            // A lone ending "1." before a repeat sign still means a second time.
            let passes = if within.is_some_and(|e| e.lone) { passes.max(2) } else { passes };
            if (!self.plain || flow.after_jump) && self.pass < passes.min(100) {
                self.pass += 1;
                return Some(self.start);
            }
            self.start = at + 1;
            self.pass = 1;
        } else if within.is_some_and(|e| e.last == at && !e.followed && self.start < e.first) {
            // What begins within the last ending itself is yet to be repeated.
            self.start = at + 1;
            self.pass = 1;
        }
        self.jump(at, flow)
    }

    fn jump(&mut self, at: usize, flow: &Flow) -> Option<usize> {
        if self.jumped && flow.fine {
            let coda = self.coda_after?;
            self.coda_after = None;
            (self.start, self.pass, self.plain) = (coda, 1, false);
            return Some(coda);
        }
        if self.jumps >= MOST_JUMPS {
            return Some(at + 1);
        }
        if self.jumped
            && let Some(label) = &flow.tocoda
            && let Some(coda) = self.coda(label, at)
        {
            self.jumps += 1;
            (self.start, self.pass, self.plain) = (coda, 1, false);
            return Some(coda);
        }
        let target = match &flow.dalsegno {
            _ if self.taken[at] => None,
            _ if flow.dacapo => Some(0),
            Some(label) => Some(self.sign(|flow| flow.segno.as_deref(), label, at).unwrap_or(0)),
            None => None,
        };
        let Some(target) = target else { return Some(at + 1) };
        self.taken[at] = true;
        self.jumps += 1;
        (self.jumped, self.plain) = (true, !flow.jump_repeats);
        // "... e poi la coda": where no sign shows it, the coda is what follows.
        self.coda_after = flow.then_coda.then(|| self.coda("coda", at).unwrap_or(at + 1));
        (self.start, self.pass) = (target, 1);
        Some(target)
    }

    /// The coda: the first of that label after `at`, else any other but the one at `at`, where "to coda" stands.
    fn coda(&self, label: &str, at: usize) -> Option<usize> {
        let all = || self.flows.iter().enumerate().filter_map(|(m, flow)| Some((m, flow.coda.as_deref()?)));
        let after = || all().filter(|(m, _)| *m > at);
        let found = after().find(|(_, text)| *text == label).or_else(|| after().next());
        found.or_else(|| all().find(|(m, _)| *m != at)).map(|(m, _)| m)
    }

    /// The measure with that sign: by its label, else the last before `at`, else the first after it.
    fn sign<'b>(&'b self, of: impl Fn(&'b Flow) -> Option<&'b str>, label: &str, at: usize) -> Option<usize> {
        let all: Vec<(usize, &str)> =
            self.flows.iter().enumerate().filter_map(|(m, flow)| of(flow).map(|text| (m, text))).collect();
        let labelled = all.iter().find(|(_, text)| *text == label);
        let before = || all.iter().rev().find(|(m, _)| *m <= at);
        labelled.or_else(before).or_else(|| all.first()).map(|(m, _)| *m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Measures with their signs: `|:` and `:|` repeats, `[1` and `]` an ending's bracket, `$` segno, `o` a coda sign,
    /// `>o` to coda, `F` fine, `-` none; what stands in quotes, last, are words over the measure.
    fn flows(text: &str) -> Vec<Flow> {
        let mut flows = Vec::new();
        for measure in text.split(" / ") {
            let mut flow = Flow::default();
            let (signs, words) = measure.split_once('"').unwrap_or((measure, ""));
            crate::score::jumps::jump_words(words.trim_end_matches(['"', ' ']), &mut flow);
            for sign in signs.split_whitespace() {
                match sign {
                    "|:" => flow.forward = true,
                    ":|" => flow.backward = Some(Times(None)),
                    "]" => flow.ending_stop = true,
                    "$" => flow.segno = Some("segno".to_owned()),
                    "o" => flow.coda = Some("coda".to_owned()),
                    ">o" => flow.tocoda = Some("coda".to_owned()),
                    "F" => flow.fine = true,
                    sign => flow.ending.extend(sign.strip_prefix('[').and_then(|n| n.parse::<u32>().ok())),
                }
            }
            flows.push(flow);
        }
        flows
    }

    #[rstest]
    #[case::lone_first_ending("- / [1 :| / - / -", "1 2 1 3 4")]
    #[case::lone_first_ending_of_two_measures("- / |: / [1 / ] :| / -", "1 2 3 4 2 5")]
    #[case::lone_first_ending_after_da_capo("- / [1 ] :| / F / \"D.C.\"", "1 2 1 3 4 1 3")]
    #[case::bracket_closes_early("- / [1 ] / :| / [2 ] / -", "1 2 3 1 4 5")]
    #[case::bracket_closes_early_and_none_follows("- / [1 ] / :| / -", "1 2 3 1 4")]
    #[case::a_second_ending_that_begins_a_repeat("- / |: / [1 ] :| / |: [2 ] / :| / -", "1 2 3 2 4 5 4 5 6")]
    #[case::da_capo_before_its_repeat("- / F / |: / \"Menuetto D.C.\" / :|", "1 2 3 4 5 3 4 5 1 2")]
    #[case::da_capo_before_a_new_repeat("- / F / \"D.C.\" / |: :|", "1 2 3 1 2")]
    #[case::da_capo_without_fine("- / - / |: / :| \"M.D.C.\" / -", "1 2 3 4 3 4 1 2 3 4 5")]
    #[case::two_coda_signs("- / $ / o / \"D.S. al Coda\" / o", "1 2 3 4 2 3 5")]
    #[case::a_sign_and_words_at_one_measure("- / o >o / \"D.C. al Coda\" / o / -", "1 2 3 1 2 4 5")]
    #[case::one_coda_sign("- / - / \"D.C.\" / o / -", "1 2 3 1 2 3 4 5")]
    #[case::and_then_the_coda("- / F / \"D.C. e poi la Coda\" / - / -", "1 2 3 1 2 4 5")]
    #[case::with_repeats("- / :| / F / \"D.C. con repliche\"", "1 2 1 2 3 4 1 2 1 2 3")]
    fn orders(#[case] text: &str, #[case] expected: &str) {
        let flows = flows(text);
        let flows: Vec<&Flow> = flows.iter().collect();
        let (order, whole) = played_order(&flows);
        assert!(whole);
        let order: Vec<String> = order.iter().map(|at| (at + 1).to_string()).collect();
        assert_eq!(order.join(" "), expected);
    }
}
