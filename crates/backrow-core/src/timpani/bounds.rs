//! What the rest of a line costs at the least, whatever the drums are tuned to.
//!
//! Where more different pitches follow one another than there are drums, some drum is retuned between the first and the
//! last of them. The line is cut into such stretches from its end; each but the last costs a retuning, and a heard one
//! where it holds no rest that is long enough.

use super::groups::Group;
use crate::compass::PitchSet;

/// The least that is still to come after a group.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Bounds {
    /// Heard retunings.
    pub(super) heard: u32,
    /// All retunings.
    pub(super) all: u32,
}

/// For each group, the least that comes after it: after the retunings that follow it directly, so from the next group on.
pub(super) fn bounds(groups: &[Group], most: usize, least: i64) -> Vec<Bounds> {
    let mut out = vec![Bounds::default(); groups.len()];
    let most = u32::try_from(most).unwrap_or(u32::MAX);
    let (mut all, mut unbroken) = (Count::default(), Count::default());
    for (at, pair) in groups.windows(2).enumerate().rev() {
        let [before, after] = pair else { continue };
        all.put(after.keys, most);
        unbroken.put(after.keys, most);
        if let Some(bound) = out.get_mut(at) {
            *bound = Bounds { heard: unbroken.done, all: all.done };
        }
        if after.at - before.end >= least {
            // What spans this rest may be retuned in silence.
            unbroken.keys = PitchSet::EMPTY;
        }
    }
    out
}

/// Stretches counted from the end.
#[derive(Default)]
struct Count {
    keys: PitchSet,
    done: u32,
}

impl Count {
    fn put(&mut self, keys: PitchSet, most: u32) {
        let joined = self.keys.union(keys);
        if joined.len() > most && !self.keys.is_empty() {
            self.done += 1;
            self.keys = keys;
        } else {
            self.keys = joined;
        }
    }
}
