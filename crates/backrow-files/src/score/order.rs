//! The order of playing: repeats, endings, da capo, dal segno, coda and fine.
//!
//! Conventions as in MusicXML's `repeat`, `ending` and `sound` elements (MusicXML 4.0): a stretch is played twice unless
//! `times` says otherwise, endings are taken by their numbers, and after a da capo or dal segno repeats are not
//! taken again and the last ending is played, unless the file says `after-jump`.

use super::raw::{Flow, Times};

/// More played measures than this and the signs are taken for a mistake.
pub(crate) const MOST_PLAYED: usize = 100_000;

/// A movement has fewer jumps than this; the ones beyond are passed over.
const MOST_JUMPS: usize = 200;

/// The indices of the measures in the order of playing; `false` beside it when the signs lead nowhere and the order was cut.
pub(crate) fn played_order(flows: &[&Flow]) -> (Vec<usize>, bool) {
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
}

fn endings(flows: &[&Flow]) -> Vec<Ending> {
    let mut found: Vec<Ending> = Vec::new();
    for (first, flow) in flows.iter().enumerate().filter(|(_, flow)| !flow.ending.is_empty()) {
        let next = (first + 1..flows.len()).find(|at| !flows[*at].ending.is_empty()).unwrap_or(flows.len());
        let stop = (first..next).find(|at| flows[*at].ending_stop || flows[*at].backward.is_some());
        found.push(Ending {
            first,
            last: stop.unwrap_or(first),
            numbers: flow.ending.clone(),
            passes: 0,
            followed: false,
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
        }
        at = end + 1;
    }
    found
}

struct Walk<'a> {
    flows: &'a [&'a Flow],
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
}

impl Walk<'_> {
    /// Plays or skips the measure at `at`; the next one, `None` at the end.
    fn step(&mut self, at: usize) -> Option<usize> {
        let flow = *self.flows.get(at)?;
        if flow.forward && at != self.start {
            self.start = at;
            self.pass = 1;
        }
        let within = self.inside.get(at).copied().flatten().and_then(|index| self.endings.get(index));
        if let Some(ending) = within.filter(|ending| ending.first == at) {
            let skip = if self.plain {
                ending.followed
            } else {
                !ending.numbers.contains(&self.pass) && ending.followed
            };
            if skip {
                return Some(ending.last + 1);
            }
        }
        self.order.push(at);
        if let Some(Times(times)) = flow.backward {
            let passes = within.map_or(times.unwrap_or(2), |e| e.passes.max(times.unwrap_or(1)));
            // A lone ending "1." before a repeat sign still means a second time.
            let passes = if within.is_some_and(|e| !e.followed && e.passes == 1) { 2 } else { passes };
            if (!self.plain || flow.after_jump) && self.pass < passes.min(100) {
                self.pass += 1;
                return Some(self.start);
            }
            self.start = at + 1;
            self.pass = 1;
        } else if within.is_some_and(|e| e.last == at && !e.followed) {
            self.start = at + 1;
            self.pass = 1;
        }
        self.jump(at, flow)
    }

    fn jump(&mut self, at: usize, flow: &Flow) -> Option<usize> {
        if self.jumped && flow.fine {
            return None;
        }
        if self.jumps >= MOST_JUMPS {
            return Some(at + 1);
        }
        if self.jumped
            && let Some(label) = &flow.tocoda
            && let Some(coda) = self.sign(|flow| flow.coda.as_deref(), label, at)
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
        (self.jumped, self.plain) = (true, true);
        (self.start, self.pass) = (target, 1);
        Some(target)
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
