//! The takes that were decoded last, so that a click is heard at once: what is read and decoded anew each time costs more than all else
//! between a key and its sound.

use backrow_core::sound::Take;
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// So many samples are kept in all: 64 MB, some five minutes at 48 kHz. A take that is longer alone is decoded each time.
const MOST: usize = 16_000_000;

/// One decoded take: whose file, what it holds, and its sound with its rate.
struct Kept {
    file: PathBuf,
    content: String,
    sound: Arc<[f32]>,
    rate: u32,
}

/// The one heard last stands last.
static LAST: Mutex<VecDeque<Kept>> = Mutex::new(VecDeque::new());

/// The sound of a take and its rate.
///
/// # Errors
/// Why it cannot be heard, as a sentence without its stop.
pub fn sound_of(folder: &Path, take: &Take) -> Result<(Vec<f32>, u32), String> {
    let bytes = backrow_files::library::read_sound(folder, take).map_err(|problem| problem.to_string())?;
    let recording = backrow_files::sound::read(&take.file, bytes).map_err(|problem| problem.to_string())?;
    Ok((recording.sound, recording.rate_hz))
}

/// The sound of a take and its rate, from memory where it was decoded a while ago. The hash of what a take holds says that it is the same.
///
/// # Errors
/// As [`sound_of`].
pub(super) fn decoded(folder: &Path, take: &Take) -> Result<(Arc<[f32]>, u32), String> {
    let file = folder.join(take.instrument.as_str()).join(&take.file);
    let mut kept = LAST.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(at) = kept.iter().position(|one| one.file == file && one.content == take.content)
        && let Some(found) = kept.remove(at)
    {
        let answer = (Arc::clone(&found.sound), found.rate);
        kept.push_back(found);
        return Ok(answer);
    }
    // Others need not wait while this one is decoded.
    drop(kept);
    let (sound, rate) = sound_of(folder, take)?;
    let sound: Arc<[f32]> = sound.into();
    if !take.content.is_empty() && sound.len() <= MOST {
        let mut kept = LAST.lock().unwrap_or_else(PoisonError::into_inner);
        kept.push_back(Kept { file, content: take.content.clone(), sound: Arc::clone(&sound), rate });
        while kept.iter().map(|one| one.sound.len()).sum::<usize>() > MOST && kept.pop_front().is_some() {}
    }
    Ok((sound, rate))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::import::keep;
    use backrow_core::id::{InstrumentId, TakeId};

    #[test]
    fn a_take_is_decoded_once_and_anew_when_it_holds_something_else() {
        let folder = tempfile::tempdir().unwrap();
        let take = |sound: &[f32]| {
            let take = Take {
                id: TakeId::new("t").unwrap(),
                instrument: InstrumentId::new("anvil").unwrap(),
                file: String::new(),
                content: String::new(),
                when: None,
                device: String::new(),
                rate_hz: 48_000,
                length_s: 0.1,
                note: String::new(),
                faults: Vec::new(),
                by_model: false,
                strikes: Vec::new(),
            };
            keep(folder.path(), take, sound).unwrap()
        };
        let first = take(&vec![0.25; 4800]);
        let (sound, rate) = decoded(folder.path(), &first).unwrap();
        let (again, _) = decoded(folder.path(), &first).unwrap();
        assert!(Arc::ptr_eq(&sound, &again) && rate == 48_000);
        let other = take(&vec![0.5; 4800]);
        let (other, _) = decoded(folder.path(), &other).unwrap();
        assert!(other[0] > 0.4);
    }
}
