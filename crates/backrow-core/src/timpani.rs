//! Timpani: which drum takes which note when, and when a drum is retuned.
//!
//! [`plan`] answers a line of [`Stroke`]s on some [`Drum`]s, exactly. A drum holds one pitch at a time; before it takes
//! another it has to be retuned, which needs its seconds. One retuning goes on at a time (one ear). It is *silent* when
//! the whole of it lies in a rest of the line, and *heard* when other drums are struck meanwhile: a pedal can do that,
//! hand screws cannot, as both hands turn them. The pitches at the start of a line are free.
//!
//! What is better, in this order ([`Aim`] says which):
//!
//! | | fewest retunings | fewest drums |
//! | --- | --- | --- |
//! | 1 | no retuning without the seconds it needs | no retuning without the seconds it needs |
//! | 2 | fewest heard retunings | fewest drums |
//! | 3 | fewest retunings | fewest heard retunings |
//! | 4 | fewest drums | fewest retunings |
//! | 5 | most retunings where the part writes one ([`Written`]) | likewise |
//! | 6 | fewest semitones in all | fewest semitones in all |
//! | 7 | pitches near the middle of the drums' ranges | likewise |
//!
//! Whatever the aim, the plan says how few drums could do, and why not fewer ([`Proof`]).

mod bounds;
mod fewest;
mod groups;
mod muta;
mod place;
#[cfg(test)]
mod plain;
mod search;
#[cfg(test)]
mod tests;
mod values;
mod words;

pub use muta::{Muta, Said, muta, said};
pub use values::{Aim, Ask, Change, Drum, Impossible, Plan, Proof, Stroke, Written};
pub use words::{impossible_words, proof_words, seconds};

use crate::collection::TunedBy;
use fewest::fewest;
use groups::groups;
use search::{Field, Kit, Outcome};

/// More drums than this are not asked about at once; nobody stands before so many.
pub const MOST_DRUMS: usize = 12;

/// The best plan by the order above, or where and why there is none. The same question gets the same answer.
pub fn plan(ask: &Ask<'_>) -> Result<Plan, Impossible> {
    if ask.drums.len() > MOST_DRUMS {
        return Err(Impossible::TooManyDrums { drums: ask.drums.len() });
    }
    let groups = groups(ask.strokes);
    let kits = kits(ask);
    let unreached = groups.iter().fold(crate::compass::PitchSet::EMPTY, |all, group| all.union(group.keys));
    let unreached = kits.iter().fold(unreached, |left, kit| left.minus(kit.reach));
    if !unreached.is_empty() {
        return Err(Impossible::Unreached { keys: unreached });
    }
    let few = fewest(&groups, &kits, ask.written)?;
    let (found, best, few) = match ask.aim {
        Aim::FewestRetunings if few.drums < kits.len() => {
            let most = kits.len();
            let field = Field { groups: &groups, kits: &kits, written: ask.written, most, heard: false };
            // With every drum allowed, what goes on fewer goes here too, so one of the two finds a way.
            match (field.run(), few) {
                (Outcome::Found(found, best), few) => (found, best, few),
                (_, few) => match (Field { heard: true, ..field }.run(), few) {
                    (Outcome::Found(found, best), few) => (found, best, few),
                    (_, few) => (few.found.clone(), false, few),
                },
            }
        }
        _ => (few.found.clone(), few.best, few),
    };
    Ok(place::laid_out(ask, &groups, &kits, &found, &few, best))
}

/// The drums as the search sees them: what each may play, pins kept.
fn kits(ask: &Ask<'_>) -> Vec<Kit> {
    let kit = |(at, drum): (usize, &Drum)| {
        let elsewhere = ask.pins.iter().filter(|(_, on)| *on != at).map(|(key, _)| *key).collect();
        let end = |key: Option<crate::pitch::KeyNumber>| key.map_or(0, |key| u32::from(key.number()));
        Kit {
            reach: drum.reach.minus(elsewhere),
            need: drum.need_us,
            pedal: drum.by == TunedBy::Pedal,
            ends: end(drum.reach.lowest()) + end(drum.reach.highest()),
        }
    };
    ask.drums.iter().enumerate().map(kit).collect()
}
