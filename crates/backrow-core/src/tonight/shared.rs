//! Two instruments on the keys that both have: how far apart their bars lie tonight, and how fast they would beat.

use super::{Hall, offset};
use crate::collection::Instrument;
use crate::library::Library;
use crate::pitch::KeyNumber;
use crate::tuning::{beats, raised};

/// A key of one instrument with a key of another, in unison or octaves from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shared {
    /// The first's key.
    pub key: KeyNumber,
    /// The second's.
    pub with: KeyNumber,
    /// How far the first lies above the second, cents, octaves left out.
    pub cents: f64,
    /// Beats a second where the lower one's harmonic meets the higher.
    pub beats_hz: f64,
}

/// Octaves that a lower bar may have a partial for: above two it has none that another one could beat with.
pub(super) const MOST_OCTAVES: u8 = 2;

/// How two bars meet tonight. `None` where they lie no octave apart, or more than two, or the tuning of one is not known.
pub(super) fn meeting(
    library: &Library,
    (thing, key): (&Instrument, KeyNumber),
    (other, with): (&Instrument, KeyNumber),
    hall: Hall,
) -> Option<Shared> {
    let apart = key.number().abs_diff(with.number());
    if !apart.is_multiple_of(12) || apart > 12 * MOST_OCTAVES {
        return None;
    }
    let ours = offset(library, thing, Some(key), hall)?.cents;
    let theirs = offset(library, other, Some(with), hall)?.cents;
    let hz = |key, cents| raised(hall.a.frequency(key).value(), cents);
    let meeting = beats::octaves(hz(key, ours), hz(with, theirs))?;
    Some(Shared { key, with, cents: ours - theirs, beats_hz: meeting.hz })
}

/// The keys of one instrument that another has in unison, else in the nearest octave, up to two of them; from low to high.
pub fn shared(library: &Library, one: &Instrument, other: &Instrument, hall: Hall) -> Vec<Shared> {
    let theirs = other.bars();
    let nearest = |key: KeyNumber| {
        let octaves = [0, -12, 12, -24, 24];
        octaves.into_iter().filter_map(|by| key.up(by)).find(|with| theirs.contains(*with))
    };
    let bars = one.bars();
    bars.iter().filter_map(|key| meeting(library, (one, key), (other, nearest(key)?), hall)).collect()
}
