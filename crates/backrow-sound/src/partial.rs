//! The partials of one strike: frequency and decay, each with its uncertainty.
//!
//! Peaks of a long spectrum, and of shorter ones for partials that die soon, say where to look ([`Peak`]). Then the sound is shifted
//! down by each such frequency and smoothed by a window just long enough to keep the neighbours out ([`refine`]): the line through
//! the logarithm of its magnitude is the decay, the line through its phase is what the frequency was wrong by. An exponential decay
//! seen through a window is the same exponential, so that neither line is bent by the window.

mod line;
mod refine;

pub(crate) use line::{Point, line};

use crate::onset::Span;
use crate::spectrum::{Floor, Power, blackman_harris, quantile, signed, whole};
use backrow_core::sound::{Figure, Partial};

/// A partial, and the beat that could be heard within it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heard {
    pub(crate) partial: Partial,
    /// Beats in a second, and from the greatest to the least level, dB.
    pub(crate) beat: Option<(Figure, f64)>,
}

/// A recording and the strike that is looked at.
#[derive(Clone, Copy)]
pub(crate) struct Look<'a> {
    pub(crate) sound: &'a [f32],
    pub(crate) rate: f64,
    pub(crate) span: Span,
    pub(crate) floor: &'a Floor,
}

impl Look<'_> {
    /// The samples of the strike.
    pub(crate) fn part(&self) -> &[f32] {
        self.sound.get(self.span.from..self.span.to.min(self.sound.len())).unwrap_or_default()
    }
}

/// The partials of a strike, those with the most energy first.
pub(crate) fn partials(look: &Look<'_>) -> Vec<Heard> {
    let peaks = peaks(look);
    let rate = look.rate;
    let shortest = (fall_by_20_db(look) / 3.0).clamp(0.008, 0.030);
    let most = (look.part().len() / 3).min(whole(rate * 0.35)) as f64;
    let mut found: Vec<Heard> = Vec::new();
    for (number, peak) in peaks.iter().enumerate() {
        // Neighbours more than 50 dB weaker do not disturb.
        let neighbours =
            peaks.iter().enumerate().filter(|(at, other)| *at != number && other.power > peak.power * 1e-5);
        let gap = neighbours.map(|(_, other)| (other.hz - peak.hz).abs()).fold(f64::INFINITY, f64::min);
        let length = whole((rate * shortest).max(3.0 * rate / peak.hz).max(4.5 * rate / gap).min(most)) & !3;
        if length < 64 {
            continue;
        }
        let apart = |heard: &Heard, other: &Heard| {
            let (one, two) = (heard.partial.hz, other.partial.hz);
            (one - two).abs() > (1.2 * rate / length as f64).min(0.01 * one).max(0.5)
        };
        if let Some(heard) = refine::refine(look, peak.hz, length)
            && found.iter().all(|other| apart(&heard, other))
        {
            found.push(heard);
        }
    }
    found.sort_by(|one, other| other.partial.energy().total_cmp(&one.partial.energy()));
    found
}

/// Where a partial may be.
struct Peak {
    hz: f64,
    /// As the square of a sine's amplitude.
    power: f64,
}

/// Lengths of the spectra, seconds.
const LENGTHS: [f64; 4] = [1.4, 0.35, 0.09, 0.03];
/// More partials than this are not looked at.
const MOST: usize = 48;
/// 12 dB, as a ratio of powers: by so much a peak stands above the noise and above what surrounds it.
const OUT: f64 = 16.0;

/// Where in the spectra of this strike the partials may be, loudest first.
fn peaks(look: &Look<'_>) -> Vec<Peak> {
    let mut found: Vec<Peak> = Vec::new();
    // The stick's own noise is over by then.
    let start = look.span.from + whole(look.rate * 0.005);
    let there = look.span.to.saturating_sub(start);
    for seconds in LENGTHS {
        let mut length = whole(look.rate * seconds);
        if length > there {
            // Of the lengths that are too long the shortest is cut to fit.
            if there < length / 4 && seconds > 0.03 {
                continue;
            }
            length = there.max(256);
        }
        peaks_of(look, start, length, &mut found);
    }
    found.sort_by(|one, other| other.power.total_cmp(&one.power));
    found.truncate(MOST);
    found
}

/// The peaks of one spectrum that are not known yet.
fn peaks_of(look: &Look<'_>, start: usize, length: usize, found: &mut Vec<Peak>) {
    let size = (2 * length).next_power_of_two();
    let mut fft = Power::new(blackman_harris(length), size);
    let mut power = Vec::new();
    fft.at(look.sound, signed(start), &mut power);
    let hz = look.rate / size as f64;
    let lobe = 4.0 * look.rate / length as f64;
    let top = power.iter().copied().fold(0.0, f64::max);
    // Around each peak the middling power within twelve lobes: in a cymbal's wash nothing stands out of it.
    let half = whole(12.0 * look.rate / length as f64 / hz);
    let lowest = whole((25.0 / hz).ceil()).max(2);
    for (three, bin) in power.windows(3).zip(1_usize..).skip(lowest - 1) {
        let &[left, here, right] = three else { continue };
        let noise = look.floor.at(bin as f64 * hz) * fft.noise_gain;
        if here <= left || here < right || here < top * 1e-6 || here < OUT * noise {
            continue;
        }
        let mut around = power[bin.saturating_sub(half)..(bin + half).min(power.len())].to_vec();
        if here < OUT * quantile(&mut around, 0.5) {
            continue;
        }
        let at = (bin as f64 + top_of(left.ln(), here.ln(), right.ln())) * hz;
        if found.iter().all(|other| (other.hz - at).abs() > lobe) {
            found.push(Peak { hz: at, power: here * 4.0 / (fft.sine_gain * fft.sine_gain) });
        }
    }
}

/// Where the parabola through three points a step apart is greatest, in steps from the middle one.
fn top_of(left: f64, here: f64, right: f64) -> f64 {
    let bend = left - 2.0 * here + right;
    if bend < 0.0 { (0.5 * (left - right) / bend).clamp(-0.5, 0.5) } else { 0.0 }
}

/// Seconds in which the strike as a whole falls by 20 dB: a woodblock must be looked at through a shorter window than a bell.
fn fall_by_20_db(look: &Look<'_>) -> f64 {
    let step = whole(look.rate / 250.0).max(1);
    let energy = |piece: &[f32]| piece.iter().map(|value| f64::from(*value).powi(2)).sum::<f64>();
    let level: Vec<f64> = look.part().chunks(step).take(260).map(energy).collect();
    let greatest =
        |most: (usize, f64), (at, value): (usize, f64)| if value > most.1 { (at, value) } else { most };
    let (at, top) = level.iter().copied().enumerate().take(50).fold((0, 0.0), greatest);
    level[at.min(level.len())..]
        .iter()
        .position(|value| *value < top * 0.01)
        .map_or(1.0, |steps| steps as f64 * 0.004)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::made::{Dice, Made, Truth, kinds};

    struct Errors {
        found: f64,
        false_ones: usize,
        cents: f64,
        t60: f64,
        level_db: f64,
        /// The middle of what is stated as the deviation of a level.
        level_sd: f64,
        /// The share in twice the stated deviation: frequencies, decays, levels.
        within: (f64, f64, f64),
    }

    /// Strikes of a kind in noise: the share found, and the 95th hundredth of the errors.
    fn errors(kind: usize, noise_db: f64, rounds: usize) -> Errors {
        let mut dice = Dice::new(kind as u64);
        let (mut cents, mut t60, mut level, mut stated) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let (mut there, mut extra, mut within) = (0, 0, (0, 0, 0));
        for _ in 0..rounds {
            let truth: Vec<Truth> = kinds(&mut dice).swap_remove(kind).1;
            let at_s = 0.5 + dice.next() * 0.002;
            let mut made = Made::silence(3.5);
            made.strike(at_s, &truth, 1.0, &mut dice);
            made.noise(noise_db, &mut dice);
            let floor = Floor::of(&made.sound, Made::RATE);
            let span = Span { from: whole(at_s * Made::RATE), to: made.sound.len() };
            let heard = partials(&Look { sound: &made.sound, rate: Made::RATE, span, floor: &floor });
            there += truth.len();
            extra += heard.len();
            for (hz, db, seconds) in truth {
                let off = |one: &Heard| (one.partial.hz / hz).log2().abs() * 1200.0;
                let near = heard.iter().min_by(|one, other| off(one).total_cmp(&off(other)));
                let Some(partial) = near.filter(|one| off(one) < 20.0).map(|one| one.partial) else {
                    continue;
                };
                let c = (partial.hz / hz).log2().abs() * 1200.0;
                extra -= 1;
                within.0 += usize::from(c < 2.0 * partial.cents_sd().max(0.01));
                cents.push(c);
                let Some(fall) = partial.t60_s else { continue };
                within.1 += usize::from((fall.value - seconds).abs() < 2.0 * fall.sd);
                t60.push((fall.value / seconds - 1.0).abs() * 100.0);
                let off = (partial.db - db - 20.0 * Made::FULL.log10()).abs();
                within.2 += usize::from(off < 2.0 * partial.db_sd);
                level.push(off);
                stated.push(partial.db_sd);
            }
        }
        let found = cents.len() as f64;
        let share = |within: usize| 100.0 * within as f64 / found;
        Errors {
            found: 100.0 * found / there as f64,
            false_ones: extra,
            within: (share(within.0), share(within.1), share(within.2)),
            cents: quantile(&mut cents, 0.95),
            t60: quantile(&mut t60, 0.95),
            level_db: quantile(&mut level, 0.95),
            level_sd: quantile(&mut stated, 0.5),
        }
    }

    /// Of 95 in a hundred errors: cents, per cent of the decay.
    #[rstest::rstest]
    #[case::marimba(0, 60.0, 0.06, 1.5)]
    #[case::marimba_in_a_room(0, 40.0, 0.3, 9.0)]
    #[case::glockenspiel(1, 60.0, 0.005, 0.6)]
    #[case::glockenspiel_in_a_room(1, 40.0, 0.02, 3.0)]
    #[case::vibraphone(2, 60.0, 0.01, 0.5)]
    #[case::vibraphone_in_noise(2, 25.0, 0.12, 25.0)]
    #[case::timpano(3, 60.0, 0.05, 0.5)]
    #[case::bell(4, 40.0, 0.01, 1.5)]
    #[case::woodblock(5, 60.0, 0.2, 1.5)]
    #[case::woodblock_in_noise(5, 25.0, 2.5, 18.0)]
    #[case::pair(6, 40.0, 0.03, 1.0)]
    fn partials_of_known_strikes(
        #[case] kind: usize,
        #[case] noise_db: f64,
        #[case] cents: f64,
        #[case] t60: f64,
    ) {
        let is = errors(kind, noise_db, 8);
        assert!(is.found > 99.0, "found {}", is.found);
        assert_eq!(is.false_ones, 0);
        assert!(is.cents < cents, "{} cents", is.cents);
        assert!(is.t60 < t60, "{} % of the decay", is.t60);
        assert!(is.level_db < 2.5, "{} dB", is.level_db);
        // Twice the stated deviation holds 95 of a hundred where errors are normal.
        // A deviation that holds everything because it is wide says nothing.
        assert!(is.level_sd < 0.4 || noise_db < 30.0, "{} dB are stated", is.level_sd);
        let (hz, fall, level) = is.within;
        assert!(hz >= 75.0 && fall >= 75.0 && level >= 95.0, "within {:?}", is.within);
    }

    #[test]
    fn a_pair_that_cannot_be_parted_beats() {
        let mut dice = Dice::new(9);
        for _ in 0..4 {
            let truth = kinds(&mut dice).swap_remove(7).1;
            let mut made = Made::silence(4.5);
            made.strike(0.5, &truth, 1.0, &mut dice);
            made.noise(60.0, &mut dice);
            let floor = Floor::of(&made.sound, Made::RATE);
            let span = Span { from: whole(0.5 * Made::RATE), to: made.sound.len() };
            let heard = partials(&Look { sound: &made.sound, rate: Made::RATE, span, floor: &floor });
            let (rate, depth) = heard[0].beat.expect("it beats");
            assert!((rate.value - 1.5).abs() < 0.15, "{rate:?}");
            assert!(depth > 4.0 && depth < 16.0, "{depth}");
        }
    }
}
