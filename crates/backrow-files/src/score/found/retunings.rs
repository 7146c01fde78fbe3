//! Words over a part of timpani that ask for a retuning: kept as evidence of its line, for the tuning plan.

use crate::score::raw::RawPart;
use backrow_core::sets::asks;

/// Longer texts are prefaces.
const LONGEST: usize = 60;

/// "m. 57 asks “muta in F”", in the order of the part.
pub(super) fn retunings(part: &RawPart, measure_name: &dyn Fn(u32) -> String) -> Vec<String> {
    let mut words: Vec<_> = part.words.iter().filter(|words| words.text.len() <= LONGEST).collect();
    words.sort_by(|a, b| a.measure.cmp(&b.measure).then(a.at.total_cmp(&b.at)));
    words.iter().filter_map(|words| asks(&measure_name(words.measure), &words.text)).collect()
}
