//! Samples of a sound font (`SoundFont` 2.01), for checks only: names, root keys and the samples themselves.

use std::collections::BTreeMap;

/// One sample of an instrument.
pub(super) struct Sample {
    pub(super) name: String,
    pub(super) rate_hz: f64,
    /// The frequency that it sounds at if it is played at its root key, with the corrections that the font states.
    pub(super) hz: f64,
    pub(super) sound: Vec<f32>,
}

struct Chunks<'a> {
    by_name: BTreeMap<[u8; 4], &'a [u8]>,
}

fn u16_at(bytes: &[u8], at: usize) -> u16 {
    u16::from_le_bytes([bytes[at], bytes[at + 1]])
}

fn u32_at(bytes: &[u8], at: usize) -> usize {
    u32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]) as usize
}

impl<'a> Chunks<'a> {
    fn of(mut rest: &'a [u8]) -> Self {
        let mut by_name = BTreeMap::new();
        while rest.len() >= 8 {
            let (name, length) = ([rest[0], rest[1], rest[2], rest[3]], u32_at(rest, 4));
            let body = &rest[8..(8 + length).min(rest.len())];
            // Lists hold chunks.
            if &name == b"LIST" {
                by_name.extend(Self::of(&body[4..]).by_name);
            } else {
                by_name.insert(name, body);
            }
            rest = &rest[(8 + length + length % 2).min(rest.len())..];
        }
        Self { by_name }
    }

    fn rows(&self, name: [u8; 4], width: usize) -> Vec<&'a [u8]> {
        self.by_name.get(&name).map(|body| body.chunks_exact(width).collect()).unwrap_or_default()
    }
}

/// The generators of the zones from one bag to another.
fn zones<'a>(bags: &[&'a [u8]], gens: &[&'a [u8]], from: usize, to: usize) -> Vec<BTreeMap<u16, i16>> {
    let of = |bag: usize| {
        let all = &gens[usize::from(u16_at(bags[bag], 0))..usize::from(u16_at(bags[bag + 1], 0))];
        all.iter().map(|one| (u16_at(one, 0), i16::from_le_bytes([one[2], one[3]]))).collect()
    };
    (from..to).map(of).collect()
}

/// The samples of the preset of a General MIDI program (from 0) in bank 0, each once.
pub(super) fn samples(bytes: &[u8], program: u16) -> Vec<Sample> {
    const INSTRUMENT: u16 = 41;
    const SAMPLE: u16 = 53;
    let chunks = Chunks::of(&bytes[12..]);
    let rows = |name: &[u8; 4], width| chunks.rows(*name, width);
    let (presets, bags, gens) = (rows(b"phdr", 38), rows(b"pbag", 4), rows(b"pgen", 4));
    let (instruments, inst_bags, inst_gens) = (rows(b"inst", 22), rows(b"ibag", 4), rows(b"igen", 4));
    let (heads, data) = (rows(b"shdr", 46), chunks.by_name[b"smpl"]);
    let mut found = BTreeMap::new();
    for pair in presets.windows(2).filter(|pair| u16_at(pair[0], 20) == program && u16_at(pair[0], 22) == 0) {
        let (from, to) = (usize::from(u16_at(pair[0], 24)), usize::from(u16_at(pair[1], 24)));
        for zone in zones(&bags, &gens, from, to) {
            let Some(instrument) = zone.get(&INSTRUMENT).and_then(|at| usize::try_from(*at).ok()) else {
                continue;
            };
            let bag = |at: usize| usize::from(u16_at(instruments[at], 20));
            for zone in zones(&inst_bags, &inst_gens, bag(instrument), bag(instrument + 1)) {
                let Some(at) = zone.get(&SAMPLE).and_then(|at| usize::try_from(*at).ok()) else { continue };
                found.entry(at).or_insert_with(|| sample(heads[at], &zone, data));
            }
        }
    }
    found.into_values().collect()
}

fn sample(head: &[u8], zone: &BTreeMap<u16, i16>, data: &[u8]) -> Sample {
    let [coarse, fine, root] = [51, 52, 58].map(|what| zone.get(&what).copied().map(f64::from));
    let name = head[..20].iter().take_while(|byte| **byte != 0).map(|byte| char::from(*byte)).collect();
    let correction = f64::from(i8::from_le_bytes([head[41]]));
    let root = root.unwrap_or(f64::from(head[40]));
    let tune = coarse.unwrap_or(0.0) * 100.0 + fine.unwrap_or(0.0) + correction;
    let (from, to) = (u32_at(head, 20) * 2, u32_at(head, 24) * 2);
    let value = |two: &[u8]| f32::from(i16::from_le_bytes([two[0], two[1]])) / 32_768.0;
    Sample {
        name,
        rate_hz: u32_at(head, 36) as f64,
        // It is played so that it sounds at its root with these corrections; so the sample itself is off by their opposite.
        hz: 440.0 * ((root - 69.0 - tune / 100.0) / 12.0).exp2(),
        sound: data[from..to].chunks_exact(2).map(value).collect(),
    }
}
