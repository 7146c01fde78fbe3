//! Brightness, noisiness and the coarse spectrum: spectra of 43 ms every 10 ms, the noise taken off.

use crate::partial::Look;
use crate::spectrum::{Power, hann, signed, whole};
use backrow_core::sound::{COARSE_BANDS, COARSE_SLICES, Coarse, Figure, Partial};

const WINDOW_S: f64 = 0.0427;
const HOP_S: f64 = 0.01;
/// Thirds of an octave from 50 Hz up.
const THIRD_BANDS: usize = 2 * COARSE_BANDS;
/// Windows that overlap: so many of them are one look.
const OVERLAP: f64 = WINDOW_S / HOP_S;
/// Powers are noise until they stand so far above it (8 dB): noise itself does so once in four hundred.
const OVER_NOISE: f64 = 6.0;
/// Of the coarse spectrum, which weighs by power, one and a half times the noise is taken off and nothing left out: a file cut close
/// around its strike has no silence, and what is taken for its noise is its own end.
const TAKEN_OFF: f64 = 1.5;

/// The figures.
pub(super) struct Colour {
    pub(super) whole: Option<Figure>,
    pub(super) at_strike: Option<Figure>,
    pub(super) after: Option<Figure>,
    pub(super) flatness: Option<Figure>,
    pub(super) tonal: Option<Figure>,
    pub(super) coarse: Coarse,
}

/// The centre of one spectrum.
struct Centre {
    time: f64,
    hz: f64,
    variance: f64,
    energy: f64,
}

/// What is gathered from all spectra of a strike.
struct Spectra {
    centres: Vec<Centre>,
    /// Clean power, and that of the noise, by bin, from 35 to 300 ms.
    middle: Vec<f64>,
    noise: f64,
    /// Power in thirds of an octave within slices.
    thirds: Vec<f64>,
    coarse: Coarse,
    hz: f64,
}

impl Colour {
    pub(super) fn of(look: &Look<'_>, partials: &[Partial]) -> Self {
        let spectra = Spectra::of(look);
        Self {
            whole: spectra.brightness(0.0, 0.5),
            at_strike: spectra.brightness(0.0, 0.05),
            after: spectra.brightness(0.2, 0.3),
            flatness: spectra.flatness(),
            tonal: spectra.tonal(partials),
            coarse: spectra.coarse,
        }
    }
}

impl Spectra {
    fn of(look: &Look<'_>) -> Self {
        let length = (whole(look.rate * WINDOW_S) & !1).max(16);
        let mut fft = Power::new(hann(length), length);
        let hz = look.rate / length as f64;
        // By bin: its frequency, the noise in it, and its band of the coarse spectrum.
        let bins: Vec<(f64, f64, Option<usize>)> = (0..fft.bins())
            .map(|bin| {
                let at = bin as f64 * hz;
                let band = 3.0 * (at / 50.0).log2();
                let band = (0.0..THIRD_BANDS as f64).contains(&band).then(|| whole(band));
                (at, look.floor.at(at) * fft.noise_gain, band)
            })
            .collect();
        let part = look.part().len();
        let frames =
            whole(0.6 * look.rate).min(part.saturating_sub(length / 2)) / whole(look.rate * HOP_S).max(1) + 1;
        let mut all = Self {
            centres: Vec::new(),
            middle: vec![0.0; fft.bins()],
            noise: 0.0,
            thirds: vec![0.0; THIRD_BANDS * COARSE_SLICES.len()],
            coarse: [0.0; COARSE_BANDS * COARSE_SLICES.len()],
            hz,
        };
        let (mut power, mut counts) = (Vec::new(), [0_usize; COARSE_SLICES.len()]);
        for frame in 0..frames {
            let time = frame as f64 * HOP_S;
            fft.at(look.sound, signed(look.span.from + whole(time * look.rate)), &mut power);
            let slice = COARSE_SLICES.iter().position(|(from, to)| (*from..*to).contains(&time));
            if let Some(slice) = slice {
                counts[slice] += 1;
            }
            all.add(time, slice, &power, &bins);
        }
        all.coarse = all.coarse(counts);
        all
    }

    fn add(&mut self, time: f64, slice: Option<usize>, power: &[f64], bins: &[(f64, f64, Option<usize>)]) {
        let (mut sum, mut weight, mut energy) = (0.0, 0.0, 0.0);
        let middle = (0.035..0.3).contains(&time);
        for ((at, power), (hz, noise, band)) in power.iter().enumerate().zip(bins).skip(1) {
            if let (Some(slice), Some(band)) = (slice, band) {
                self.thirds[slice * THIRD_BANDS + band] += (power - TAKEN_OFF * noise).max(0.0);
            }
            if *power <= OVER_NOISE * noise {
                continue;
            }
            let clean = power - noise;
            let amplitude = clean.sqrt();
            sum += hz * amplitude;
            weight += amplitude;
            energy += clean;
            if middle {
                self.middle[at] += clean;
                self.noise += noise;
            }
        }
        if weight <= 0.0 {
            return;
        }
        let centre = sum / weight;
        // The noise moves the amplitude of a bin by about the root of half its power.
        let moved = |((_, power), (hz, noise, _)): ((usize, &f64), &(f64, f64, Option<usize>))| {
            if *power > OVER_NOISE * noise { (hz - centre).powi(2) * 0.5 * noise } else { 0.0 }
        };
        let variance = power.iter().enumerate().zip(bins).skip(1).map(moved).sum::<f64>() / (weight * weight);
        self.centres.push(Centre { time, hz: centre, variance, energy });
    }

    /// The coarse spectrum: the mean level of each slice in dB under the strike's total, two thirds of an octave by the mean of
    /// both; 70 dB under it is as good as nothing.
    fn coarse(&self, counts: [usize; COARSE_SLICES.len()]) -> Coarse {
        let whole = self.thirds.iter().sum::<f64>().max(1e-30);
        let mut coarse = [0.0; COARSE_BANDS * COARSE_SLICES.len()];
        for (at, (out, two)) in coarse.iter_mut().zip(self.thirds.chunks(2)).enumerate() {
            let count = counts[at / COARSE_BANDS].max(1) as f64;
            let db = |power: &f64| 10.0 * (power / count / whole + 1e-7).log10();
            *out = two.iter().map(db).sum::<f64>() / two.len() as f64;
        }
        coarse
    }

    /// The mean of the centres between two times, each by its energy.
    fn brightness(&self, from: f64, to: f64) -> Option<Figure> {
        let there = || self.centres.iter().filter(|one| one.time >= from && one.time < to);
        let energy: f64 = there().map(|one| one.energy).sum();
        let mean = there().map(|one| one.hz * one.energy).sum::<f64>() / energy;
        let variance = there().map(|one| one.variance * (one.energy / energy).powi(2)).sum::<f64>();
        Figure::above_zero(mean, (variance * OVERLAP).sqrt())
    }

    fn flatness(&self) -> Option<Figure> {
        let (low, high) = (whole(100.0 / self.hz), whole(10_000.0 / self.hz).min(self.middle.len()));
        let row = self.middle.get(low..high)?;
        let all: f64 = self.middle.iter().sum();
        if all <= 0.0 || row.is_empty() {
            return None;
        }
        let (least, count) = (all * 1e-9, row.len() as f64);
        let geometric = (row.iter().map(|power| (power + least).ln()).sum::<f64>() / count).exp();
        let flatness = geometric / (row.iter().sum::<f64>() / count + least);
        Figure::new(flatness, 0.1 * flatness)
    }

    fn tonal(&self, partials: &[Partial]) -> Option<Figure> {
        let all: f64 = self.middle.iter().sum();
        if all <= 0.0 {
            return None;
        }
        let mut near = vec![false; self.middle.len()];
        for partial in partials {
            let bin = whole((partial.hz / self.hz).round());
            let to = (bin + 3).min(near.len());
            if let Some(near) = near.get_mut(bin.saturating_sub(2)..to) {
                near.fill(true);
            }
        }
        let share =
            self.middle.iter().zip(&near).filter(|(_, near)| **near).map(|(power, _)| power).sum::<f64>()
                / all;
        Figure::new(share, (self.noise / all).sqrt().min(0.5) * (share * (1.0 - share)).max(0.0).sqrt())
    }
}
