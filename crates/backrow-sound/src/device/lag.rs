//! Frames that a device lost, which no sound server tells: what came in, compared with the clock.

/// How long the least lag is looked for, seconds: a late piece lags for a moment, a lost one for ever.
const WINDOW_S: f64 = 1.0;

/// What two clocks may differ by, seconds a second. Crystals of sound cards keep to a tenth of that; common practice.
const DRIFT: f64 = 500e-6;

/// Less than this is not told, seconds.
const LEAST_S: f64 = 0.01;

/// Follows what came in against the clock.
#[derive(Clone, Debug)]
pub struct Lag {
    rate: f64,
    frames: u64,
    /// When the present window began and the least lag in it, seconds.
    window: (f64, f64),
    /// The least lag of the first window and when that ended.
    base: Option<(f64, f64)>,
    lost: u64,
}

impl Lag {
    /// Nothing has come in yet.
    pub fn new(rate: u32) -> Self {
        Self { rate: f64::from(rate), frames: 0, window: (0.0, f64::INFINITY), base: None, lost: 0 }
    }

    /// Some frames came in, so many seconds after the first.
    pub fn came(&mut self, frames: usize, at_s: f64) {
        self.frames += frames as u64;
        // Counts of frames are far below 2^53.
        let lag_s = at_s - self.frames as f64 / self.rate;
        self.window.1 = self.window.1.min(lag_s);
        if at_s - self.window.0 < WINDOW_S {
            return;
        }
        let least = self.window.1;
        self.window = (at_s, f64::INFINITY);
        let Some((base_s, since_s)) = self.base else {
            self.base = Some((least, at_s));
            return;
        };
        let lost_s = least - base_s - DRIFT * (at_s - since_s);
        if lost_s > LEAST_S {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "above zero, and below a day of frames"
            )]
            let lost = (lost_s.min(86_400.0) * self.rate) as u64;
            self.lost = self.lost.max(lost);
        }
    }

    /// Frames lost since the beginning.
    pub const fn lost(&self) -> u64 {
        self.lost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pieces of 20 ms; `late` says by how much each comes late.
    fn run(lag: &mut Lag, pieces: std::ops::Range<u32>, late: impl Fn(u32) -> f64) {
        for piece in pieces {
            lag.came(960, f64::from(piece + 1) * 0.02 + late(piece));
        }
    }

    #[test]
    fn late_pieces_are_not_lost() {
        let mut lag = Lag::new(48_000);
        run(&mut lag, 0..500, |piece| if piece % 7 == 0 { 0.3 } else { 0.001 });
        assert_eq!(lag.lost(), 0);
    }

    #[test]
    fn another_crystal_loses_nothing() {
        let mut lag = Lag::new(48_000);
        run(&mut lag, 0..30_000, |piece| f64::from(piece) * 0.02 * 100e-6);
        assert_eq!(lag.lost(), 0);
    }

    #[test]
    fn what_never_comes_is_counted() {
        let mut lag = Lag::new(48_000);
        run(&mut lag, 0..100, |_| 0.001);
        // Fifty milliseconds that nobody sends: everything after is late for ever.
        run(&mut lag, 100..400, |_| 0.051);
        let lost = lag.lost();
        assert!((2100..=2400).contains(&lost), "2400 frames less the allowance for drift, told as {lost}");
    }
}
