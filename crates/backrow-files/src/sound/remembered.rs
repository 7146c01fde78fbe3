//! Measures remembered in the user's cache, by what a recording holds, the analyser's version and where the strike is: they are worked
//! out anew when any of these changes, and never stored in the library.

use backrow_core::sound::{
    Beating, COARSE_BANDS, COARSE_SLICES, Coarse, Doubt, Figure, Measures, Partial, PitchHeard, Strike,
};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

type Pair = (f64, f64);
/// A partial: frequency, level, decay (each with its deviation), bend, how much was heard.
type Row = (Pair, Pair, Option<Pair>, f64, f64);

#[derive(Serialize, Deserialize)]
struct Record {
    from_s: f64,
    to_s: f64,
    partials: Vec<Row>,
    pitch: Option<(Pair, Pair)>,
    /// In the order of [`figures`].
    figures: Vec<Option<Pair>>,
    beating: Option<(f64, Pair, f64)>,
    coarse: Vec<f64>,
    doubts: Vec<u8>,
}

const DOUBTS: [Doubt; 7] = [
    Doubt::StillRinging,
    Doubt::Noisy,
    Doubt::TwoSlopes,
    Doubt::Beats,
    Doubt::PitchOpen,
    Doubt::Clipped,
    Doubt::UnderOthers,
];

/// Where the measures of a recording are remembered; `None` where its content is not known, or is no hash.
fn file(cache: &Path, content: &str, version: u32) -> Option<PathBuf> {
    let hash = !content.is_empty() && content.len() <= 64 && content.bytes().all(|b| b.is_ascii_hexdigit());
    hash.then(|| cache.join(format!("measures-{version}")).join(format!("{content}.json")))
}

/// The measures of a recording's strikes, as far as they are remembered: of each strike, or `None`.
pub fn recall(cache: &Path, content: &str, version: u32, strikes: &[Strike]) -> Vec<Option<Measures>> {
    let text = file(cache, content, version).and_then(|file| std::fs::read(file).ok());
    let all: Vec<Record> = text.and_then(|text| serde_json::from_slice(&text).ok()).unwrap_or_default();
    let same = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let of = |strike: &Strike| {
        all.iter().find(|record| same(record.from_s, strike.from_s) && same(record.to_s, strike.to_s))
    };
    strikes.iter().map(|strike| of(strike).and_then(Record::measures)).collect()
}

/// Remembers the measures of a recording's strikes. What cannot be written is worked out again another time.
pub fn remember(cache: &Path, content: &str, version: u32, all: &[(Strike, Measures)]) {
    let Some(file) = file(cache, content, version) else { return };
    let records: Vec<Record> = all.iter().map(|(strike, measures)| Record::of(strike, measures)).collect();
    let Ok(text) = serde_json::to_vec(&records) else { return };
    // A half-written file would only be read as none, and be written again.
    drop(file.parent().map(std::fs::create_dir_all));
    drop(std::fs::write(file, text));
}

fn pair(figure: Figure) -> Pair {
    (figure.value, figure.sd)
}

fn figures(m: &Measures) -> [Option<Figure>; 13] {
    [
        m.brightness_hz,
        m.brightness_at_strike_hz,
        m.brightness_after_hz,
        m.ring_s,
        m.early_ring_s,
        m.attack_s,
        m.roughness,
        m.loudness_lufs,
        m.true_peak_dbtp,
        m.flatness,
        m.tonal,
        m.strongest,
        m.inharmonicity,
    ]
}

impl Record {
    fn of(strike: &Strike, m: &Measures) -> Self {
        let partial =
            |p: &Partial| ((p.hz, p.hz_sd), (p.db, p.db_sd), p.t60_s.map(pair), p.bend_db, p.heard_db);
        let doubt = |doubt: &Doubt| DOUBTS.iter().position(|one| one == doubt);
        Self {
            from_s: strike.from_s,
            to_s: strike.to_s,
            partials: m.partials.iter().map(partial).collect(),
            pitch: m.pitch.map(|pitch| (pair(pitch.hz), pair(pitch.clarity))),
            figures: figures(m).into_iter().map(|figure| figure.map(pair)).collect(),
            beating: m.beating.map(|b| (b.hz, pair(b.rate_hz), b.depth_db)),
            coarse: m.coarse.to_vec(),
            doubts: m.doubts.iter().filter_map(|one| u8::try_from(doubt(one)?).ok()).collect(),
        }
    }

    /// `None` where a number in it is none, or one is missing.
    fn measures(&self) -> Option<Measures> {
        const SIZE: usize = COARSE_BANDS * COARSE_SLICES.len();
        let figure = |pair: &Pair| Figure::new(pair.0, pair.1);
        let coarse: Coarse = <[f64; SIZE]>::try_from(self.coarse.as_slice()).ok()?;
        let mut given = self.figures.iter().map(|pair| pair.as_ref().and_then(figure));
        let mut next = || given.next().flatten();
        let partial = |p: &Row| Partial {
            hz: p.0.0,
            hz_sd: p.0.1,
            db: p.1.0,
            db_sd: p.1.1,
            t60_s: p.2.as_ref().and_then(figure),
            bend_db: p.3,
            heard_db: p.4,
        };
        let heard =
            |pitch: &(Pair, Pair)| Some(PitchHeard { hz: figure(&pitch.0)?, clarity: figure(&pitch.1)? });
        let beating = |b: &(f64, Pair, f64)| Some(Beating { hz: b.0, rate_hz: figure(&b.1)?, depth_db: b.2 });
        Some(Measures {
            partials: self.partials.iter().map(partial).collect(),
            pitch: self.pitch.as_ref().and_then(heard),
            brightness_hz: next(),
            brightness_at_strike_hz: next(),
            brightness_after_hz: next(),
            ring_s: next(),
            early_ring_s: next(),
            attack_s: next(),
            roughness: next(),
            loudness_lufs: next(),
            true_peak_dbtp: next(),
            flatness: next(),
            tonal: next(),
            strongest: next(),
            inharmonicity: next(),
            beating: self.beating.as_ref().and_then(beating),
            coarse,
            doubts: self.doubts.iter().filter_map(|one| DOUBTS.get(usize::from(*one)).copied()).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured() -> Measures {
        let figure = |n: f64| Figure::new(n, n / 100.0);
        Measures {
            partials: vec![Partial {
                hz: 440.25,
                hz_sd: 0.01,
                db: -3.5,
                db_sd: 0.15,
                t60_s: figure(2.5),
                bend_db: 0.4,
                heard_db: 35.0,
            }],
            pitch: Some(PitchHeard { hz: figure(440.25).unwrap(), clarity: figure(0.9).unwrap() }),
            brightness_hz: figure(1000.0),
            ring_s: figure(2.0),
            inharmonicity: figure(0.25),
            beating: Some(Beating { hz: 440.0, rate_hz: figure(1.5).unwrap(), depth_db: 6.0 }),
            doubts: vec![Doubt::Noisy, Doubt::UnderOthers],
            ..Measures::NOTHING
        }
    }

    #[test]
    fn what_was_measured_comes_back() {
        let cache = tempfile::tempdir().unwrap();
        let strike = |from_s: f64| Strike { from_s, to_s: from_s + 1.0, ..Strike::default() };
        remember(cache.path(), "abc1", 7, &[(strike(0.5), measured())]);
        let ask =
            |content: &str, version| recall(cache.path(), content, version, &[strike(0.5), strike(0.7)]);
        assert_eq!(ask("abc1", 7), [Some(measured()), None], "a strike that was moved is measured anew");
        assert_eq!(ask("abc2", 7), [None, None], "another recording");
        assert_eq!(ask("abc1", 8), [None, None], "another analyser");
        assert_eq!(ask("../abc1", 7), [None, None]);
    }

    #[test]
    fn a_damaged_file_is_none() {
        let cache = tempfile::tempdir().unwrap();
        let strikes = [Strike::default()];
        remember(cache.path(), "abc1", 7, &[(Strike::default(), measured())]);
        let file = cache.path().join("measures-7/abc1.json");
        let text = std::fs::read_to_string(&file).unwrap();
        for damaged in
            [text.replace("\"coarse\":[-70.0,", "\"coarse\":["), text.chars().take(text.len() / 2).collect()]
        {
            std::fs::write(&file, damaged).unwrap();
            assert_eq!(recall(cache.path(), "abc1", 7, &strikes), [None]);
        }
    }
}
