//! Up the keyboard: one take of somebody walking up an instrument becomes one strike a bar.
//!
//! Every strike may be any bar near one of its partials, or none. Of all ways to read the take the likeliest is chosen (Viterbi's
//! search): partials near a bar and strong are likely, and so are steps to the next bar or a repetition; a jump back to
//! the other row of bars is possible. Where another bar would do nearly as well (an octave, a twelfth), that is asked and not guessed.

use backrow_core::compass::PitchSet;
use backrow_core::pitch::{KeyNumber, ReferenceA};
use backrow_core::sound::{Measures, Partial};
use std::fmt;

/// What a walk was read as.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// For every strike, in order, its bar; `None` where it is near no bar.
    pub bars: Vec<Option<Bar>>,
    /// What the reader should know or answer.
    pub remarks: Vec<Remark>,
}

/// The bar of a strike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Its sounding pitch.
    pub key: KeyNumber,
    /// How far the partial by which it was told lies above the key, in cents.
    pub cents: f64,
}

/// Something noticed on the way.
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// The strike, by its number from 0, may as well be the other bar: ask.
    Which {
        /// Of the take's strikes, from 0.
        strike: usize,
        /// What it is taken for.
        taken: KeyNumber,
        /// What it may be as well.
        or: KeyNumber,
    },
    /// The strike is near none of the bars that the instrument is said to have; with the pitch's nearest key.
    NoSuchBar {
        /// Of the take's strikes, from 0.
        strike: usize,
        /// The nearest key, where there is a pitch.
        near: Option<KeyNumber>,
    },
    /// These bars should be there and sound, and were not struck.
    NotStruck(PitchSet),
    /// The bar rings less than a third of what its neighbours do: it may be cracked, or touch something.
    SoundsDead {
        /// Of the take's strikes, from 0.
        strike: usize,
        /// The bar.
        key: KeyNumber,
        /// How long it rings, and its neighbours' middle, seconds.
        ring_s: (f64, f64),
    },
    /// The bar is entered as dead, and sounds.
    DeadButSounds(KeyNumber),
}

impl fmt::Display for Remark {
    /// A sentence.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Which { strike, taken, or } => write!(f, "Strike {} may be {taken} or {or}.", strike + 1),
            Self::NoSuchBar { strike, near: Some(key) } => {
                write!(f, "Strike {} is none of its bars; it is near {key}.", strike + 1)
            }
            Self::NoSuchBar { strike, near: None } => write!(f, "Strike {} is none of its bars.", strike + 1),
            Self::NotStruck(bars) => write!(f, "Not struck: {bars}."),
            Self::SoundsDead { key, ring_s: (own, around), .. } => write!(
                f,
                "{key} rings {own:.1}\u{202F}s where its neighbours ring {around:.1}\u{202F}s: cracked, or touching something?"
            ),
            Self::DeadButSounds(key) => write!(f, "{key} is entered as dead, and sounds."),
        }
    }
}

/// What is known of the instrument.
#[derive(Clone, Copy, Debug)]
pub struct Instrument {
    /// Every bar, dead or not.
    pub bars: PitchSet,
    /// Those that do not sound.
    pub dead: PitchSet,
    /// The A that it is tuned to.
    pub a: ReferenceA,
}

/// Cents that a bar may be off before it is another.
const NEAR_CENTS: f64 = 60.0;
/// What a strike that is none of the bars costs.
const NONE: f64 = 9.0;
/// A jump to the other row of bars, or back to a bar left out.
const JUMP: f64 = 4.0;
/// A reading that costs no more than this beyond the best is asked about.
const AS_WELL: f64 = 2.0;

/// Reads a walk: the measures of a take's strikes, in order.
pub fn walk(strikes: &[&Measures], instrument: &Instrument) -> Walk {
    let keys: Vec<KeyNumber> = instrument.bars.iter().collect();
    if strikes.is_empty() || keys.is_empty() {
        let none =
            |strike| Remark::NoSuchBar { strike, near: nearest(strikes.get(strike).copied(), instrument.a) };
        return Walk { bars: vec![None; strikes.len()], remarks: (0..strikes.len()).map(none).collect() };
    }
    let costs: Vec<Vec<f64>> = strikes
        .iter()
        .map(|one| keys.iter().map(|key| told(one, *key, instrument.a).0).chain([NONE]).collect())
        .collect();
    let ways = [Way::Up, Way::Down].map(|way| Reading::of(&costs, way));
    let [up, down] = ways;
    let reading = if down.cost < up.cost { down } else { up };
    let bars: Vec<Option<Bar>> = reading
        .states
        .iter()
        .zip(strikes)
        .map(|(state, one)| {
            keys.get(*state).map(|key| Bar { key: *key, cents: told(one, *key, instrument.a).1 })
        })
        .collect();
    let mut remarks = doubts(&reading, &bars, &keys);
    remarks.extend(bars.iter().enumerate().filter(|(_, bar)| bar.is_none()).map(|(strike, _)| {
        Remark::NoSuchBar { strike, near: nearest(strikes.get(strike).copied(), instrument.a) }
    }));
    remarks.extend(about_bars(strikes, &bars, instrument));
    Walk { bars, remarks }
}

fn nearest(measures: Option<&Measures>, a: ReferenceA) -> Option<KeyNumber> {
    measures?.pitch?.key(a).map(|(key, _)| key)
}

/// What it costs to take a strike for a bar, and how far the best partial lies above it in cents.
fn told(measures: &Measures, key: KeyNumber, a: ReferenceA) -> (f64, f64) {
    let hz = a.frequency(key).value();
    let most = measures.partials.first().map_or(0.0, Partial::energy);
    let cost = |partial: &Partial| {
        let cents = 1200.0 * (partial.hz / hz).log2();
        // A partial 20 dB under the strongest is two thirds as unlikely as none; 20 cents off cost little.
        let weaker_db = 10.0 * (most / partial.energy().max(1e-30)).log10();
        (0.3 * weaker_db + (cents / 25.0).powi(2), cents)
    };
    let near = measures.partials.iter().map(cost).filter(|(_, cents)| cents.abs() < NEAR_CENTS);
    near.min_by(|one, other| one.0.total_cmp(&other.0)).unwrap_or((f64::INFINITY, 0.0))
}

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Up,
    Down,
}

/// The cheapest way through the states (a bar each, the last none of them), and what each state would cost at best.
struct Reading {
    states: Vec<usize>,
    cost: f64,
    /// By strike and state: the cheapest reading that takes the strike for this.
    best: Vec<Vec<f64>>,
}

/// What it costs to go from one state to another, `none` being the last.
fn step(from: usize, to: usize, none: usize, way: Way) -> f64 {
    if from == none || to == none {
        return 0.5;
    }
    let (one, next) = if way == Way::Up { (from, to) } else { (to, from) };
    if one == next {
        return 0.3;
    }
    match next.checked_sub(one) {
        // Diatonic walks leave one bar out.
        Some(1 | 2) => 0.0,
        Some(more) => (0.5 * (more - 2) as f64).min(JUMP),
        None => JUMP,
    }
}

impl Reading {
    fn of(costs: &[Vec<f64>], way: Way) -> Self {
        let forth = forward(costs, |from, to, none| step(from, to, none, way));
        let turned: Vec<Vec<f64>> = costs.iter().rev().cloned().collect();
        let back = forward(&turned, |from, to, none| step(to, from, none, way));
        // Forth and back both hold the strike's own cost.
        let best: Vec<Vec<f64>> = forth
            .iter()
            .zip(back.iter().rev())
            .zip(costs)
            .map(|((forth, back), own)| {
                forth
                    .iter()
                    .zip(back)
                    .zip(own)
                    .map(|((f, b), own)| if own.is_finite() { f + b - own } else { f64::INFINITY })
                    .collect()
            })
            .collect();
        Self {
            cost: least(forth.last().map_or(&[], Vec::as_slice)).1,
            states: trace(costs, &forth, way),
            best,
        }
    }
}

/// The cheapest cost of coming to each state.
fn forward(costs: &[Vec<f64>], step: impl Fn(usize, usize, usize) -> f64) -> Vec<Vec<f64>> {
    let mut all: Vec<Vec<f64>> = Vec::with_capacity(costs.len());
    for own in costs {
        let none = own.len() - 1;
        let row = match all.last() {
            None => own.clone(),
            Some(before) => {
                let come = |to: usize| {
                    before
                        .iter()
                        .enumerate()
                        .map(|(from, cost)| cost + step(from, to, none))
                        .fold(f64::INFINITY, f64::min)
                };
                own.iter()
                    .enumerate()
                    .map(|(to, own)| if own.is_finite() { own + come(to) } else { f64::INFINITY })
                    .collect()
            }
        };
        all.push(row);
    }
    all
}

/// The states of the cheapest way, from the last back.
fn trace(costs: &[Vec<f64>], forth: &[Vec<f64>], way: Way) -> Vec<usize> {
    let mut states = Vec::with_capacity(costs.len());
    let mut next: Option<usize> = None;
    for row in forth.iter().rev() {
        let none = row.len() - 1;
        let cost = |from: usize| row[from] + next.map_or(0.0, |to| step(from, to, none, way));
        let state = (0..row.len()).min_by(|one, other| cost(*one).total_cmp(&cost(*other))).unwrap_or(none);
        states.push(state);
        next = Some(state);
    }
    states.reverse();
    states
}

fn least(row: &[f64]) -> (usize, f64) {
    row.iter()
        .copied()
        .enumerate()
        .fold((0, f64::INFINITY), |least, one| if one.1 < least.1 { one } else { least })
}

/// Other bars that would do nearly as well.
fn doubts(reading: &Reading, bars: &[Option<Bar>], keys: &[KeyNumber]) -> Vec<Remark> {
    let one = |(strike, (row, bar)): (usize, (&Vec<f64>, &Option<Bar>))| {
        let taken = (*bar)?.key;
        let others =
            keys.iter().zip(row).filter(|(key, cost)| **key != taken && **cost < reading.cost + AS_WELL);
        let (or, _) = others.min_by(|one, other| one.1.total_cmp(other.1))?;
        Some(Remark::Which { strike, taken, or: *or })
    };
    reading.best.iter().zip(bars).enumerate().filter_map(one).collect()
}

/// Bars not struck, bars that sound dead, dead ones that sound.
fn about_bars(strikes: &[&Measures], bars: &[Option<Bar>], instrument: &Instrument) -> Vec<Remark> {
    let struck: PitchSet = bars.iter().flatten().map(|bar| bar.key).collect();
    let mut remarks = Vec::new();
    let left_out = instrument.bars.minus(instrument.dead).minus(struck);
    if !left_out.is_empty() {
        remarks.push(Remark::NotStruck(left_out));
    }
    let rings: Vec<(usize, KeyNumber, f64)> = bars
        .iter()
        .zip(strikes)
        .enumerate()
        .filter_map(|(strike, (bar, one))| {
            Some((strike, (*bar)?.key, one.ring_s.or(one.early_ring_s)?.value))
        })
        .collect();
    let mut dead = PitchSet::EMPTY;
    for (at, (strike, key, ring_s)) in rings.iter().enumerate() {
        let mut near: Vec<f64> = rings[at.saturating_sub(3)..(at + 4).min(rings.len())]
            .iter()
            .filter(|other| other.0 != *strike)
            .map(|other| other.2)
            .collect();
        let middle = crate::spectrum::quantile(&mut near, 0.5);
        if near.len() >= 2 && *ring_s < middle / 3.0 {
            dead = dead.with(*key);
            remarks.push(Remark::SoundsDead { strike: *strike, key: *key, ring_s: (*ring_s, middle) });
        }
    }
    let sounds = struck.intersection(instrument.dead).minus(dead);
    remarks.extend(sounds.iter().map(Remark::DeadButSounds));
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::sound::Figure;

    fn partial(hz: f64, db: f64, t60: f64) -> Partial {
        Partial {
            hz,
            hz_sd: 0.01,
            db,
            db_sd: 0.1,
            t60_s: Figure::new(t60, 0.01),
            bend_db: 0.1,
            heard_db: 35.0,
        }
    }

    /// A tuned bar: the second partial two octaves up, as strong as is said.
    fn bar(key: u8, cents: f64, second_db: f64, ring: f64) -> Measures {
        let hz = ReferenceA::ISO_16.frequency(KeyNumber::new(i32::from(key)).unwrap()).value()
            * (cents / 1200.0).exp2();
        let mut partials = vec![partial(hz, 0.0, ring), partial(hz * 4.0, second_db, ring)];
        partials.sort_by(|one, other| other.energy().total_cmp(&one.energy()));
        Measures { partials, ring_s: Figure::new(ring, 0.01), ..Measures::NOTHING }
    }

    fn key(number: i32) -> KeyNumber {
        KeyNumber::new(number).unwrap()
    }

    fn instrument(low: i32, high: i32) -> Instrument {
        Instrument {
            bars: PitchSet::range(key(low), key(high)),
            dead: PitchSet::EMPTY,
            a: ReferenceA::ISO_16,
        }
    }

    fn read(all: &[Measures], instrument: &Instrument) -> (Vec<Option<i32>>, Vec<Remark>) {
        let walk = walk(&all.iter().collect::<Vec<_>>(), instrument);
        (walk.bars.iter().map(|bar| bar.map(|bar| i32::from(bar.key.number()))).collect(), walk.remarks)
    }

    #[test]
    fn a_chromatic_walk_is_one_strike_a_bar() {
        let all: Vec<Measures> = (53..=96).map(|key| bar(key, 12.0, -14.0, 1.0)).collect();
        let (bars, remarks) = read(&all, &instrument(53, 96));
        assert_eq!(bars, (53..=96).map(Some).collect::<Vec<_>>());
        assert_eq!(remarks, []);
        let down: Vec<Measures> = all.into_iter().rev().collect();
        assert_eq!(read(&down, &instrument(53, 96)).0, (53..=96).rev().map(Some).collect::<Vec<_>>());
    }

    #[test]
    fn naturals_first_and_a_strong_second_partial_do_not_mislead() {
        let naturals = (60..=84).filter(|key| key_is_natural(*key));
        let sharps = (60..=84).filter(|key| !key_is_natural(*key));
        let order: Vec<u8> = naturals.chain(sharps).collect();
        // Every fifth bar has a second partial louder than the first.
        let all: Vec<Measures> = order
            .iter()
            .enumerate()
            .map(|(at, key)| bar(*key, -8.0, if at % 5 == 2 { 4.0 } else { -12.0 }, 1.0))
            .collect();
        let (bars, remarks) = read(&all, &instrument(60, 84));
        assert_eq!(bars, order.iter().map(|key| Some(i32::from(*key))).collect::<Vec<_>>());
        assert!(remarks.iter().all(|one| matches!(one, Remark::Which { .. })), "{remarks:?}");
    }

    fn key_is_natural(number: u8) -> bool {
        key(i32::from(number)).is_natural()
    }

    #[test]
    fn one_strike_alone_with_two_strong_octaves_is_asked() {
        let (bars, remarks) = read(&[bar(60, 0.0, -1.0, 1.0)], &instrument(48, 96));
        assert_eq!(bars, [Some(60)]);
        assert!(remarks.contains(&Remark::Which { strike: 0, taken: key(60), or: key(84) }), "{remarks:?}");
    }

    #[test]
    fn bars_that_are_dead_missing_or_not_there_are_noticed() {
        let mut all: Vec<Measures> = (60..=72)
            .filter(|key| *key != 66)
            .map(|key| bar(key, 0.0, -14.0, if key == 63 { 0.1 } else { 1.0 }))
            .collect();
        all.push(bar(90, 0.0, -14.0, 1.0));
        let stated = Instrument { dead: PitchSet::EMPTY.with(key(70)), ..instrument(60, 72) };
        let (bars, remarks) = read(&all, &stated);
        assert_eq!(bars.last(), Some(&None));
        assert!(remarks.contains(&Remark::NotStruck(PitchSet::EMPTY.with(key(66)))));
        assert!(
            remarks.contains(&Remark::SoundsDead { strike: 3, key: key(63), ring_s: (0.1, 1.0) }),
            "{remarks:?}"
        );
        assert!(remarks.contains(&Remark::DeadButSounds(key(70))));
        assert!(remarks.iter().any(|one| matches!(one, Remark::NoSuchBar { strike: 12, .. })));
        let (bars, remarks) = read(&all[..1], &Instrument { bars: PitchSet::EMPTY, ..stated });
        assert_eq!((bars, remarks.len()), (vec![None], 1));
    }
}
