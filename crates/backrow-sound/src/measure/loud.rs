//! Loudness and true peak after ITU-R BS.1770.
//!
//! Integrated loudness tells nothing of a strike: its gate works on blocks of 400 ms, so that a shorter one has none at all, and it
//! moves with the silence around. The greatest momentary loudness stays.

use crate::partial::Look;
use crate::spectrum::whole;
use backrow_core::sound::Figure;
use ebur128::{EbuR128, Mode};

/// Greatest momentary loudness, and true peak; `None` of silence.
pub(super) fn loud(look: &Look<'_>) -> (Option<Figure>, Option<Figure>) {
    let part = look.part();
    let rate = u32::try_from(whole(look.rate)).unwrap_or_default();
    let Ok(mut meter) = EbuR128::new(1, rate, Mode::M | Mode::TRUE_PEAK) else { return (None, None) };
    let hop = whole(look.rate / 100.0).max(1);
    let tail = vec![0.0; hop];
    let mut most = f64::NEG_INFINITY;
    // The greatest lies in the first seconds, even of a tam-tam. Silence behind, until the window has passed over the whole strike.
    let head = part.get(..part.len().min(whole(look.rate * 3.0))).unwrap_or_default();
    for piece in head.chunks(hop).chain(std::iter::repeat_n(tail.as_slice(), 40)) {
        if meter.add_frames_f32(piece).is_err() {
            break;
        }
        most = most.max(meter.loudness_momentary().unwrap_or(f64::NEG_INFINITY));
    }
    // How much of it the noise is.
    let noise_lufs = -0.691 + 10.0 * look.floor.variance().log10();
    let noise = 10.0 * (1.0 + 10_f64.powf((noise_lufs - most) / 10.0)).log10();
    let peak = 20.0 * meter.true_peak(0).unwrap_or(0.0).log10();
    (Figure::new(most, noise.min(20.0)), Figure::new(peak, 0.1))
}
