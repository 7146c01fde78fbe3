//! Makes the takes of the demo library by models: `cargo run -p backrow-tests --example demo_takes -- demo-library`.
//!
//! The same library gives the same takes, byte for byte. Every record says that it was made by a model. Run it on a library that
//! has no takes: what is there is left alone.
#![expect(clippy::print_stdout, reason = "a command that says what it did")]

use backrow_core::collection::{Beater, Family, Head, Instrument, Kind};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{BeaterId, InstrumentId, TakeId};
use backrow_core::library::Library;
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Strike, Take};
use backrow_files::library::{content_hash, open, put_sound, save};
use backrow_files::sound::{Depth, flac};
use backrow_sound::model::stand_in::{Plan, stand_in, usual};
use backrow_sound::model::{body_of, seed_of, strike};
use std::collections::BTreeSet;
use std::error::Error;
use std::path::Path;
use std::sync::Arc;

/// Half of what is usual: the program carries these takes.
const RATE: u32 = 24_000;

/// Kinds of which several beaters are compared.
const COMPARED: [&str; 6] =
    ["anvil", "tubular_bells", "church_bells", "bell_plates", "ships_bell", "tam_tam"];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("the folder of a library is missing")?;
    let folder = Path::new(&folder);
    let mut opened = open(folder, &backrow_files::kinds::standard()?);
    let mut library = opened.library.clone();
    let (mut made, mut bytes) = (0, 0);
    for thing in library.instruments.values().cloned().collect::<Vec<Arc<Instrument>>>() {
        let Some(kind) = library.kinds.get(&thing.kind).cloned() else { continue };
        let tried = tried(&library, &thing.id);
        if library.takes_of(&thing.id).next().is_some() || (tried.is_empty() && is_left_out(&thing, &kind)) {
            continue;
        }
        // What is bowed is not struck.
        if tried.is_empty() && kind.usual.first().is_some_and(|usual| usual.head == Head::Bow) {
            continue;
        }
        let plan = plan(&library, &thing, (&kind, &tried));
        let Some((sound, strikes)) = stand_in(&thing, &kind, &plan, RATE) else { continue };
        let file = flac(&sound, RATE, Depth::Sixteen)?;
        let take = Take {
            id: TakeId::new("by-model")?,
            instrument: thing.id.clone(),
            file: put_sound(folder, &thing.id, ("by-model", "flac"), &file)?,
            content: content_hash(&file),
            when: None,
            device: String::new(),
            rate_hz: RATE,
            length_s: sound.len() as f64 / f64::from(RATE),
            note: format!("made by a model of its kind, seed {}; nobody struck anything", thing.id),
            faults: Vec::new(),
            by_model: true,
            strikes,
        };
        (made, bytes) = (made + 1, bytes + file.len());
        library = apply(&library, &Edit::PutTake(take)).map_err(|why| why.to_string())?;
    }
    if let Some(take) = round_the_head(&library, folder)? {
        made += 1;
        library = apply(&library, &Edit::PutTake(take)).map_err(|why| why.to_string())?;
    }
    let report = save(folder, &mut opened.disk, &library);
    println!("{made} takes, {} KB of sound; {} records written", bytes / 1000, report.written.len());
    for problem in report.problems {
        println!("{problem}");
    }
    Ok(())
}

/// What each lug of the drum is off, cents: the third is tight.
const LUGS: [f64; 6] = [0.0, -2.0, 14.0, 1.0, -1.0, 2.0];

/// Strikes round a kettledrum, one near each lug, for the bench of the drums; nothing where the take is there.
fn round_the_head(library: &Library, folder: &Path) -> Result<Option<Take>, Box<dyn Error>> {
    let (instrument, id) = (InstrumentId::new("timpani-1")?, TakeId::new("round-the-head")?);
    if library.takes_of(&instrument).any(|take| take.id == id) {
        return Ok(None);
    }
    let thing = library.instruments.get(&instrument).ok_or("the timpani are missing")?;
    let kind = library.kinds.get(&thing.kind).ok_or("their kind is missing")?;
    let bar = KeyNumber::new(45)?;
    let (mut sound, mut strikes) = (silence(0.06), Vec::new());
    for (lug, cents) in LUGS.iter().enumerate() {
        let mut body = body_of(thing, kind, Some(bar)).ok_or("timpani have a model")?;
        body.partials.iter_mut().for_each(|partial| partial.hz *= (cents / 1200.0).exp2());
        let seed = seed_of(&format!("timpani-1 lug {lug}"));
        let mut piece = strike(&body, &usual(kind, Dynamic::Mp, seed), RATE, 1.4);
        // It rings on: it is faded out, as somebody does who lays a hand on it.
        let fade = piece.len().min(4_800);
        for (at, value) in piece.iter_mut().rev().take(fade).enumerate() {
            *value *= at as f32 / fade as f32;
        }
        let from_s = sound.len() as f64 / f64::from(RATE);
        sound.extend(&piece);
        strikes.push(Strike {
            from_s,
            to_s: sound.len() as f64 / f64::from(RATE),
            bar: Some(bar),
            how_hard: Some(Dynamic::Mp),
            spot: format!("lug {}", lug + 1),
            ..Strike::default()
        });
        sound.extend(silence(0.06));
    }
    let file = flac(&sound, RATE, Depth::Sixteen)?;
    Ok(Some(Take {
        file: put_sound(folder, &instrument, (id.as_str(), "flac"), &file)?,
        id,
        content: content_hash(&file),
        when: None,
        device: String::new(),
        rate_hz: RATE,
        length_s: sound.len() as f64 / f64::from(RATE),
        note: "made by a model, one strike near each lug of the lowest drum; nobody struck anything"
            .to_owned(),
        faults: Vec::new(),
        by_model: true,
        strikes,
        instrument,
    }))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few frames")]
fn silence(seconds: f64) -> Vec<f32> {
    vec![0.0; (seconds * f64::from(RATE)) as usize]
}

/// A third of the collection stays without takes, as in any section.
fn is_left_out(thing: &Instrument, kind: &Kind) -> bool {
    !COMPARED.contains(&kind.id.as_str()) && seed_of(thing.id.as_str()).is_multiple_of(3)
}

/// With what an instrument was tried: a trial is listened to again from takes of just that.
fn tried(library: &Library, thing: &InstrumentId) -> BTreeSet<BeaterId> {
    let trials = library.works.values().flat_map(|work| &work.memory.trials);
    let candidates = trials.flat_map(|trial| &trial.candidates).filter(|one| one.instruments.contains(thing));
    candidates.flat_map(|one| &one.beaters).cloned().collect()
}

/// Where a beater stands among those that the kind is usually struck with: by its head, then by how hard it is.
fn how_unusual(kind: &Kind, beater: &Beater) -> (usize, bool) {
    let usual = kind.usual.iter().position(|usual| usual.head == beater.head);
    let as_hard = kind.usual.iter().any(|usual| {
        usual.head == beater.head && usual.hardness.is_none_or(|hardness| hardness == beater.hardness)
    });
    (usual.unwrap_or(kind.usual.len()), !as_hard)
}

fn plan<'a>(
    library: &'a Library,
    thing: &Instrument,
    (kind, tried): (&Kind, &BTreeSet<BeaterId>),
) -> Plan<'a> {
    let suits = |beater: &&&Beater| beater.suits.contains(&kind.id);
    let all: Vec<&Beater> = library.beaters.values().map(|beater| &**beater).collect();
    // A model is struck: a bow is none of its beaters. The most usual comes first, of two alike the one that comes first by its id.
    let mut suitable: Vec<&Beater> =
        all.iter().filter(suits).filter(|beater| beater.head != Head::Bow).copied().collect();
    suitable.sort_by_key(|beater| how_unusual(kind, beater));
    // Whoever compares bells and anvils tries other hammers too, but none that does damage.
    let hammer = |beater: &&&Beater| {
        beater.id.as_str().contains("hammer") && !suits(beater) && !kind.harmful.contains(&beater.head)
    };
    if COMPARED.contains(&kind.id.as_str()) {
        suitable.extend(all.iter().filter(hammer));
    }
    let compared = COMPARED.contains(&kind.id.as_str());
    let others = suitable.into_iter().filter(|beater| !tried.contains(&beater.id));
    let others = others.take(if compared { 3 } else { usize::from(tried.is_empty()) });
    let beaters = all.iter().filter(|beater| tried.contains(&beater.id)).copied().chain(others);
    let short = matches!(kind.family, Family::Wood | Family::Shaken | Family::Drums);
    Plan {
        beaters: beaters.collect(),
        most_bars: if compared { 3 } else { 9 },
        dynamics: if thing.is_pitched() { vec![Dynamic::Mf] } else { vec![Dynamic::P, Dynamic::F] },
        rings_s: match (compared, thing.is_pitched(), short) {
            (true, ..) => 1.1,
            (_, true, _) | (_, _, true) => 0.5,
            _ => 1.2,
        },
    }
}
