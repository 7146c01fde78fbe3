//! A keyboard laid on paper: bars in two rows, and a wide one cut into whole octaves around the bars that are used.

use serde::Serialize;

use super::KeyBar;

/// Naturals that fit beside each other on every paper, at 7.3 mm each, beside the words "written" and "sounding" (16 mm).
const WIDEST: usize = 22;
/// The same without those words, where one name a bar is enough.
const WIDEST_AS_WRITTEN: usize = 24;
/// Naturals of an octave.
const OCTAVE: usize = 7;

/// One line of a keyboard as it is drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Line<'a> {
    /// Naturals across.
    pub(crate) naturals: usize,
    /// The bars, from the lowest.
    pub(crate) bars: Vec<Placed<'a>>,
}

/// A bar with its place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Placed<'a> {
    /// Naturals from the line's left; a half for the back row.
    pub(crate) x: f64,
    /// In the back row.
    pub(crate) back: bool,
    pub(crate) bar: &'a KeyBar,
}

/// The lines of a keyboard: one when it is narrow enough, or when the bars that are used lie near enough to each other; else
/// those octaves, from C to B, that hold used bars.
pub(crate) fn lines(bars: &[KeyBar], as_written: bool) -> Vec<Line<'_>> {
    let widest = if as_written { WIDEST_AS_WRITTEN } else { WIDEST };
    let mut bars: Vec<&KeyBar> = bars.iter().collect();
    bars.sort_by_key(|bar| bar.key);
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return Vec::new() };
    let (low, high) = (step(first.key).floor(), step(last.key).ceil());
    if span(low, high) <= widest {
        return vec![line(&bars, low, high)];
    }
    if let Some(one) = around_used(&bars, (low, high), widest) {
        return vec![one];
    }
    let mut kept = Vec::new();
    // A C at the very top belongs to the octave below it, as on the instrument.
    let top = last.key;
    let octave_of =
        |key: u8| if key == top && key.is_multiple_of(12) { (key / 12).saturating_sub(1) } else { key / 12 };
    // As many octaves beside each other as fit, beginning at the first octave with a used bar.
    let octaves = widest / OCTAVE;
    let mut octave = octave_of(first.key);
    while octave <= octave_of(last.key) {
        let used = |o: u8| bars.iter().any(|bar| bar.used && octave_of(bar.key) == o);
        if !used(octave) {
            octave += 1;
            continue;
        }
        let mut end = octave;
        while usize::from(end - octave) + 1 < octaves && used(end + 1) {
            end += 1;
        }
        let inside: Vec<&KeyBar> =
            bars.iter().copied().filter(|bar| (octave..=end).contains(&octave_of(bar.key))).collect();
        let from = inside.first().map_or(0.0, |bar| step(bar.key).floor());
        let to = inside.last().map_or(0.0, |bar| step(bar.key).ceil());
        kept.push(line(&inside, from, to));
        octave = end + 1;
    }
    kept
}

/// The part around the used bars, from a C or F to an E or B where there is room, so that the groups of the back row tell
/// where it lies; `None` when it is too wide, or nothing is used.
fn around_used<'a>(bars: &[&'a KeyBar], ends: (f64, f64), widest: usize) -> Option<Line<'a>> {
    let mut used = bars.iter().filter(|bar| bar.used);
    let first = used.next()?;
    let last = used.next_back().unwrap_or(first);
    let (mut low, mut high) = (step(first.key).floor(), step(last.key).ceil());
    if span(low, high) > widest {
        return None;
    }
    let is = |natural: f64, steps: [f64; 2]| steps.contains(&natural.rem_euclid(7.0));
    let down = (0..7).map(|n| low - f64::from(n)).find(|natural| is(*natural, [0.0, 3.0]));
    low = down.map_or(low, |natural| natural.max(ends.0)).max(high + 1.0 - widest as f64);
    let up = (0..7).map(|n| high + f64::from(n)).find(|natural| is(*natural, [2.0, 6.0]));
    high = up.map_or(high, |natural| natural.min(ends.1)).min(low - 1.0 + widest as f64);
    let inside: Vec<&KeyBar> =
        bars.iter().copied().filter(|bar| (low..=high).contains(&step(bar.key))).collect();
    Some(line(&inside, low, high))
}

/// Naturals from key 0: whole for a natural, a half more than the natural below for the back row.
fn step(key: u8) -> f64 {
    const STEPS: [f64; 12] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0];
    let within = STEPS.get(usize::from(key % 12)).copied().unwrap_or_default();
    f64::from(key / 12) * 7.0 + within
}

fn span(low: f64, high: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole steps between 0 and 149, high not below low"
    )]
    let naturals = (high - low) as usize;
    naturals + 1
}

fn line<'a>(bars: &[&'a KeyBar], low: f64, high: f64) -> Line<'a> {
    let placed = bars.iter().map(|bar| {
        let step = step(bar.key);
        Placed { x: step - low, back: step.fract() > 0.0, bar }
    });
    Line { naturals: span(low, high), bars: placed.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bars(keys: impl Iterator<Item = u8>, used: &[u8]) -> Vec<KeyBar> {
        keys.map(|key| KeyBar { key, used: used.contains(&key), there: true, ..KeyBar::default() }).collect()
    }

    fn keys(line: &Line<'_>) -> (u8, u8) {
        (line.bars.first().unwrap().bar.key, line.bars.last().unwrap().bar.key)
    }

    #[test]
    fn a_glockenspiel_is_one_line_of_eighteen_naturals() {
        let bars = bars(79..=108, &[81]);
        let lines = lines(&bars, false);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].naturals, 18);
        assert_eq!(lines[0].bars.iter().take(3).map(|b| b.x).collect::<Vec<_>>(), [0.0, 0.5, 1.0]);
        assert_eq!(lines[0].bars.iter().map(|b| b.back).take(3).collect::<Vec<_>>(), [false, true, false]);
    }

    #[test]
    fn a_marimba_is_cut_to_the_octaves_that_are_used() {
        let bars = bars(36..=96, &[40, 50, 75, 96]);
        let lines = lines(&bars, false);
        assert_eq!(lines.iter().map(keys).collect::<Vec<_>>(), [(36, 59), (72, 96)]);
        assert!(lines.iter().all(|line| line.naturals <= WIDEST));
        assert!(
            (1..=108)
                .filter(|k| [40, 50, 75, 96].contains(k))
                .all(|k| lines.iter().any(|l| l.bars.iter().any(|b| b.bar.key == k)))
        );
    }

    /// Used bars that lie near to each other are drawn in one line, from the C or F below to the E or B above, or as far
    /// as a line is wide.
    #[test]
    fn a_marimba_is_cut_to_the_part_that_is_used() {
        let bars = bars(36..=96, &[43, 77]);
        let lines = lines(&bars, true);
        assert_eq!(lines.iter().map(keys).collect::<Vec<_>>(), [(41, 81)]);
        assert!(lines[0].naturals <= WIDEST_AS_WRITTEN && lines[0].bars[0].x.abs() < 1e-9);
        let edge = super::tests::bars(36..=96, &[36, 40]);
        assert_eq!(super::lines(&edge, true).iter().map(keys).collect::<Vec<_>>(), [(36, 40)]);
    }

    #[test]
    fn nothing_gives_nothing() {
        assert_eq!(lines(&[], false), []);
        assert_eq!(lines(&bars(36..=96, &[]), true), []);
    }
}
