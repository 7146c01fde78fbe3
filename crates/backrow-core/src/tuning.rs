//! What physics says of being in tune: air, bars, tubes, bells and heads. Plain numbers in, plain numbers out; no
//! instrument and no music is known here.
//!
//! Frequencies are in hertz, temperatures in degrees Celsius, lengths in metres, intervals in cents (1200 to the octave).
//! Where a figure has a source it stands beside it, with "seen" for what was read there and "memory" for the rest.

pub mod air;
pub mod bar;
pub mod beats;
pub mod bell;
pub mod bell_size;
pub mod drift;
pub mod formula;
pub mod head;
pub mod tube;
pub mod usual;

/// How far one frequency lies above another: 1200 log2 of the ratio, in cents. `None` unless both are finite and above zero.
pub fn cents(hz: f64, over_hz: f64) -> Option<f64> {
    let above_zero = |hz: f64| hz.is_finite() && hz > 0.0;
    (above_zero(hz) && above_zero(over_hz)).then(|| 1200.0 * (hz / over_hz).log2())
}

/// A frequency that lies so many cents above another, in hertz.
pub fn raised(hz: f64, cents: f64) -> f64 {
    hz * (cents / 1200.0).exp2()
}

/// The middle of several figures; `None` of none.
pub fn median(mut all: Vec<f64>) -> Option<f64> {
    all.sort_by(f64::total_cmp);
    let half = all.len() / 2;
    let upper = *all.get(half)?;
    let lower = all.get(half.wrapping_sub(1)).filter(|_| all.len().is_multiple_of(2));
    Some(lower.map_or(upper, |lower| f64::midpoint(*lower, upper)))
}

/// The zero of a function between two places at which it has different signs, by halving, as near as doubles go.
fn zero(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let below = of(low) < 0.0;
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if (of(middle) < 0.0) == below {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
