//! How alike two strikes are: three rows of numbers for each, on scales on which a step is about equally large to the ear, and a
//! distance in which every number is divided by its spread, and none can outweigh all others.
//!
//! The first row has fourteen figures, the second is the coarse spectrum in time, the third how each of its bands falls from slice
//! to slice: what a room, a microphone or its distance does to a band it does to every slice, and it drops out of the fall. Tried on
//! real recordings of many kinds, the second tells more than the first, the third finds the kind in another session's recordings,
//! and all together do more than any two. A sum of steps that flatten out beyond one spread finds the same kind more often than
//! the root of the sum of squares, where one number that was heard wrongly decides (`DEVELOPERS.md` has the figures).

use super::{COARSE_BANDS, COARSE_SLICES, Figure, Measures, Partial};

/// How many figures the first row has.
const NUMBERS: usize = 14;
/// How many the second has.
const COARSE: usize = COARSE_BANDS * COARSE_SLICES.len();
/// How many the third has.
const FALLS: usize = COARSE_BANDS * (COARSE_SLICES.len() - 1);
/// How many numbers all rows have together.
const WIDTH: usize = NUMBERS + COARSE + FALLS;

/// What a number of the second and of the third row counts beside one of the first: there are many, and neighbours say much the
/// same. Ours, by trial: from 0.3 to 0.5 it makes little difference.
const OF_A_BAND: f64 = 0.4;

/// The rows of a strike, one behind the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Print {
    numbers: [f64; WIDTH],
}

/// The places of figures in the first row, for those who leave some out of a distance.
pub(super) mod at {
    pub(in super::super) const PITCH: usize = 0;
    pub(in super::super) const BRIGHTNESS: usize = 1;
    pub(in super::super) const AT_STRIKE: usize = 2;
    pub(in super::super) const DARKENING: usize = 3;
    pub(in super::super) const EARLY: usize = 4;
    pub(in super::super) const RING: usize = 5;
    pub(in super::super) const ATTACK: usize = 6;
    pub(in super::super) const FLATNESS: usize = 7;
    pub(in super::super) const TONAL: usize = 8;
    pub(in super::super) const STRONGEST: usize = 9;
    pub(in super::super) const INHARMONICITY: usize = 10;
}

/// Numbers that the distance leaves out: the share of the strongest partial and the inharmonicity vary more within kinds of real
/// recordings than between them.
const UNTOLD: [usize; 2] = [at::STRONGEST, at::INHARMONICITY];

impl Print {
    /// Of a strike. What was not heard is taken from what is nearest to it: a distance needs a number.
    pub fn of(measures: &Measures) -> Self {
        let mut numbers = [0.0; WIDTH];
        // Tens of dB are about as large a step as the others.
        let coarse = measures.coarse.map(|db| if db.is_finite() { db / 10.0 } else { 0.0 });
        let falls = coarse.iter().zip(coarse.iter().skip(COARSE_BANDS)).map(|(early, late)| late - early);
        let all = figures(measures).into_iter().chain(coarse).chain(falls);
        for (number, value) in numbers.iter_mut().zip(all) {
            *number = if value.is_finite() { value } else { 0.0 };
        }
        Self { numbers }
    }

    /// The numbers: fourteen figures, then the coarse spectrum, then how its bands fall.
    pub const fn numbers(&self) -> &[f64] {
        &self.numbers
    }
}

fn figures(measures: &Measures) -> [f64; NUMBERS] {
    let value = |figure: Option<Figure>| figure.map(|figure| figure.value);
    let log = |value: f64, low: f64, high: f64| value.clamp(low, high).log2();
    let bright = value(measures.brightness_hz).unwrap_or(1000.0);
    let first = value(measures.brightness_at_strike_hz).unwrap_or(bright);
    let after = value(measures.brightness_after_hz).unwrap_or(bright);
    let main = measures.pitch.map_or(bright, |pitch| pitch.hz.value);
    let early = value(measures.early_ring_s).or(value(measures.ring_s)).unwrap_or(0.05);
    let ring = value(measures.ring_s).unwrap_or(early);
    let strongest = measures.partials.first().map_or(0.0, Partial::energy);
    let strong = measures.partials.iter().filter(|partial| partial.energy() > 1e-3 * strongest).count();
    let second = measures.partials.get(1).map_or(0.0, |partial| (partial.hz / main).log2());
    let crest = value(measures.true_peak_dbtp).zip(value(measures.loudness_lufs));
    [
        log(main, 30.0, 8000.0),
        log(bright, 50.0, 16_000.0),
        log(first, 50.0, 16_000.0),
        log(after / first, 0.1, 4.0),
        log(early, 0.02, 15.0),
        log(ring, 0.02, 15.0),
        log(value(measures.attack_s).unwrap_or(0.005), 0.0005, 0.2),
        value(measures.flatness).unwrap_or(0.0).max(1e-5).log10(),
        value(measures.tonal).unwrap_or(0.0),
        value(measures.strongest).unwrap_or(0.0),
        value(measures.inharmonicity).unwrap_or(0.0),
        (strong as f64 + 1.0).log2(),
        second.clamp(-3.0, 5.0),
        crest.map_or(1.0, |(peak, loudness)| (peak - loudness).clamp(0.0, 60.0) / 10.0),
    ]
}

/// Rows of a square of numbers.
type Square = Vec<[f64; WIDTH]>;

/// The scale of a distance, learnt from the strikes that there are.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    mean: [f64; WIDTH],
    /// What frees the numbers of what they have in common within groups; `None` where every number stands for itself.
    freed: Option<Square>,
    spread: [f64; WIDTH],
}

/// A strike on a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed([f64; WIDTH]);

/// What a sum of steps is multiplied by, so that the nearest of many strikes lie about 1 to 2 apart.
const UNIT: f64 = 0.4;

/// A difference of one number, in its spreads: counts as it is while it is small, and never more than 1.
fn step(one: f64, other: f64) -> f64 {
    let apart = (one - other).abs();
    apart / (1.0 + apart)
}

impl Placed {
    /// How far apart two are; 0 for the same. It is a distance: the way over a third is never shorter.
    pub fn distance(&self, other: &Self) -> f64 {
        self.distance_without(other, &[])
    }

    /// The same, leaving out numbers of the first row by their places.
    pub(super) fn distance_without(&self, other: &Self, left_out: &[usize]) -> f64 {
        let steps = || self.0.iter().zip(&other.0).map(|(one, other)| step(*one, *other));
        let (figures, bands): (f64, f64) = (steps().take(NUMBERS).sum(), steps().skip(NUMBERS).sum());
        let all = figures + OF_A_BAND * bands;
        let less: f64 =
            left_out.iter().filter_map(|at| Some(step(*self.0.get(*at)?, *other.0.get(*at)?))).sum();
        UNIT * (all - less).max(0.0)
    }
}

impl Scale {
    /// Every number by its own spread over all strikes.
    pub fn plain(prints: &[Print]) -> Self {
        let mean = mean(prints.iter());
        let mut spread = [0.0; WIDTH];
        for print in prints {
            for ((sum, value), mean) in spread.iter_mut().zip(&print.numbers).zip(&mean) {
                *sum += (value - mean).powi(2);
            }
        }
        for value in &mut spread {
            let sd = (*value / prints.len().max(1) as f64).sqrt();
            // What does not vary tells nothing; a spread of 1 leaves it at 0.
            *value = if sd > 1e-6 { sd } else { 1.0 };
        }
        Self { mean, freed: None, spread }
    }

    /// By the spread within groups, where strikes of one group should lie near each other: what varies within them tells little.
    /// It needs hundreds of strikes; `shrink` (0 to 1) of what numbers have in common is left out, 0.3 does well.
    pub fn within(groups: &[Vec<Print>], shrink: f64) -> Self {
        let all: Vec<Print> = groups.iter().flatten().copied().collect();
        let plain = Self::plain(&all);
        let mut common = vec![[0.0; WIDTH]; WIDTH];
        let mut count = 0.0;
        for group in groups.iter().filter(|group| group.len() > 1) {
            let middle = mean(group.iter());
            for print in group {
                let mut off = [0.0; WIDTH];
                for (((off, value), middle), spread) in
                    off.iter_mut().zip(&print.numbers).zip(&middle).zip(&plain.spread)
                {
                    *off = (value - middle) / spread;
                }
                for (row, one) in common.iter_mut().zip(&off) {
                    row.iter_mut().zip(&off).for_each(|(sum, other)| *sum += one * other);
                }
            }
            count += group.len() as f64 - 1.0;
        }
        if count < 2.0 * WIDTH as f64 {
            return plain;
        }
        Self { freed: Some(inverse_root(&shrunk(common, count, shrink))), ..plain }
    }

    /// A strike on this scale.
    pub fn place(&self, print: &Print) -> Placed {
        let mut plain = [0.0; WIDTH];
        for (((out, value), mean), spread) in
            plain.iter_mut().zip(&print.numbers).zip(&self.mean).zip(&self.spread)
        {
            *out = (value - mean) / spread;
        }
        if let Some(freed) = &self.freed {
            plain = product(std::slice::from_ref(&plain), freed).first().copied().unwrap_or(plain);
        }
        for at in UNTOLD {
            plain.iter_mut().skip(at).take(1).for_each(|value| *value = 0.0);
        }
        Placed(plain)
    }
}

fn mean<'a>(prints: impl Iterator<Item = &'a Print> + Clone) -> [f64; WIDTH] {
    let mut mean = [0.0; WIDTH];
    let count = prints.clone().count().max(1) as f64;
    for print in prints {
        mean.iter_mut().zip(&print.numbers).for_each(|(sum, value)| *sum += value / count);
    }
    mean
}

/// The spread within groups over `count`, what two numbers have in common drawn towards 0; what the distance leaves out stands for
/// itself, so that it says nothing of the others.
fn shrunk(mut common: Square, count: f64, shrink: f64) -> Square {
    for (row, line) in common.iter_mut().enumerate() {
        for (column, value) in line.iter_mut().enumerate() {
            *value = if row == column {
                *value / count + 1e-3
            } else if UNTOLD.contains(&row) || UNTOLD.contains(&column) {
                0.0
            } else {
                *value / count * (1.0 - shrink)
            };
        }
    }
    common
}

/// Rows times a square.
fn product(rows: &[[f64; WIDTH]], square: &Square) -> Square {
    let one = |row: &[f64; WIDTH]| {
        let mut out = [0.0; WIDTH];
        for (value, line) in row.iter().zip(square) {
            out.iter_mut().zip(line).for_each(|(sum, other)| *sum += value * other);
        }
        out
    };
    rows.iter().map(one).collect()
}

/// The inverse of the root of a symmetric square without negative roots, by Newton's iteration in the coupled form of Schulz
/// (N. J. Higham, Functions of Matrices, 2008, ch. 6; memory): it turns nothing, so that every number stays mostly what it was.
fn inverse_root(square: &Square) -> Square {
    // Divided by its norm, its roots lie between 0 and 1, where the iteration ends at what is sought.
    let norm = square.iter().flatten().map(|value| value * value).sum::<f64>().sqrt().max(1e-12);
    let scaled = |square: &Square, by: f64| -> Square {
        square.iter().map(|line| line.map(|value| value * by)).collect()
    };
    let mut root = scaled(square, 1.0 / norm);
    let mut inverse: Square = (0..WIDTH)
        .map(|row| {
            let mut line = [0.0; WIDTH];
            line.iter_mut().skip(row).take(1).for_each(|value| *value = 1.0);
            line
        })
        .collect();
    for _ in 0..40 {
        let mut turn = scaled(&product(&inverse, &root), -0.5);
        for (row, line) in turn.iter_mut().enumerate() {
            line.iter_mut().skip(row).take(1).for_each(|value| *value += 1.5);
        }
        root = product(&root, &turn);
        inverse = product(&turn, &inverse);
    }
    scaled(&inverse, norm.sqrt().recip())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn print(of: impl Fn(usize) -> f64) -> Print {
        let mut numbers = [0.0; WIDTH];
        numbers.iter_mut().enumerate().for_each(|(at, number)| *number = of(at));
        Print { numbers }
    }

    #[test]
    fn distances_are_those_of_a_space() {
        let prints: Vec<Print> = (0..40).map(|n| print(|at| ((n * (at + 3)) % 17) as f64)).collect();
        let scale = Scale::plain(&prints);
        let placed: Vec<Placed> = prints.iter().map(|print| scale.place(print)).collect();
        for one in &placed {
            assert_relative_eq!(one.distance(one), 0.0);
            for other in &placed {
                assert_relative_eq!(one.distance(other), other.distance(one));
                for third in placed.iter().take(5) {
                    assert!(one.distance(other) <= one.distance(third) + third.distance(other) + 1e-9);
                }
            }
        }
        // Each number has the deviation 1 on the scale; no number alone puts two further apart than one whole step.
        assert!(placed.iter().all(|one| one.distance(&placed[0]) < UNIT * WIDTH as f64));
        let square: f64 = placed.iter().filter_map(|one| one.0.first()).map(|value| value * value).sum();
        assert_relative_eq!(square / 40.0, 1.0, max_relative = 1e-9);
    }

    #[test]
    fn what_varies_within_groups_counts_less() {
        // Number 0 varies within groups, number 1 between them.
        let group = |n: u32| {
            (0..40)
                .map(|k: u32| {
                    print(|at| match at {
                        0 => f64::from((k * 7 + n) % 11),
                        1 => f64::from(n) + f64::from(k % 3) * 0.01,
                        at => ((k as usize * (at + 5) + n as usize) % 13) as f64,
                    })
                })
                .collect::<Vec<_>>()
        };
        let groups: Vec<Vec<Print>> = (0..8).map(group).collect();
        let scale = Scale::within(&groups, 0.3);
        assert!(scale.freed.is_some());
        let base = print(|_| 0.0);
        let (mut one, mut other) = (base, base);
        // A step of a tenth of a spread in each.
        one.numbers[0] += 0.1 * scale.spread[0];
        other.numbers[1] += 0.1 * scale.spread[1];
        let far = |print: &Print| scale.place(&base).distance(&scale.place(print));
        assert!(far(&other) > 3.0 * far(&one), "{} {}", far(&other), far(&one));
        // Too few strikes: the plain spread.
        assert_eq!(Scale::within(&groups[..1], 0.3).freed, None);
    }

    #[test]
    fn the_inverse_of_the_root_undoes_the_square() {
        // Neighbours have half in common, as the tridiagonal square says.
        let square: Square = (0..WIDTH)
            .map(|row| {
                let mut line = [0.0; WIDTH];
                for (column, value) in line.iter_mut().enumerate() {
                    *value = match row.abs_diff(column) {
                        0 => 1.0 + row as f64 / 10.0,
                        1 => 0.5,
                        _ => 0.0,
                    };
                }
                line
            })
            .collect();
        let inverse = inverse_root(&square);
        let one = product(&product(&inverse, &square), &inverse);
        for (row, line) in one.iter().enumerate() {
            for (column, value) in line.iter().enumerate() {
                assert_relative_eq!(*value, f64::from(u8::from(row == column)), epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn silence_has_a_place() {
        let print = Print::of(&Measures::NOTHING);
        assert!(print.numbers().iter().all(|number| number.is_finite()));
        assert!(Scale::plain(&[]).place(&print).0.iter().all(|number| number.is_finite()));
    }
}
