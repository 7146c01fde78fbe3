//! Audio files in.

use crate::limits;
use crate::problem::Problem;
use backrow_core::sound::TakeFault;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use symphonia::core::audio::sample::Sample as _;
use symphonia::core::codecs::audio::{AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::{MediaSourceStream, MediaSourceStreamOptions};
use symphonia::core::meta::MetadataOptions;

/// Endings of files that are read, in small letters.
pub const ENDINGS: [&str; 13] =
    ["wav", "wave", "aif", "aiff", "aifc", "flac", "ogg", "oga", "mp3", "m4a", "mp4", "caf", "aac"];
/// The largest file that is read, bytes: about half an hour of stereo at 96 kHz and 24 bits.
pub const MOST_AUDIO_BYTES: u64 = 1 << 30;
/// Samples of one channel: half an hour at 48 kHz. What is longer is read so far, and marked as cut short.
pub const MOST_SAMPLES: usize = 48_000 * 60 * 30;

/// Some files count the last piece as if it were full: so many frames at the most say nothing.
const LAST_PIECE: u64 = 4096;

/// Samples in a second that a recording may have.
const RATES_HZ: std::ops::RangeInclusive<u32> = 8_000..=384_000;

/// A file's sound in one channel.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// Samples in a second.
    pub rate_hz: u32,
    /// The mean of the file's channels; 1 is full scale.
    pub sound: Vec<f32>,
    /// Channels in the file.
    pub channels: usize,
    /// Samples at full scale of all channels together, as [`TakeFault::clipped`] counts them.
    pub clipped: u64,
    /// The file ends before it says that it does, is damaged, or is too long; what was there has been read.
    pub cut_short: bool,
    /// The last frame that was added.
    last: Vec<f32>,
}

/// Reads an audio file: WAV, AIFF, FLAC, Ogg Vorbis, MP3, M4A (AAC, ALAC), CAF.
pub fn read_file(path: &Path) -> Result<Recording, Problem> {
    let place = path.display().to_string();
    let bytes = limits::read_plain(path, MOST_AUDIO_BYTES).map_err(|why| {
        problem(&place, format!("it cannot be read: {why}"), "check the name, and that you may read it")
    })?;
    read(&place, bytes)
}

/// Reads the bytes of an audio file; `name` says its ending, and is named in messages.
pub fn read(name: &str, bytes: Vec<u8>) -> Result<Recording, Problem> {
    // Damaged files are tried on the decoders day by day; should one break off all the same, it costs only this file.
    let read = catch_unwind(AssertUnwindSafe(|| decode(name, bytes)));
    let recording = match read {
        Ok(Ok(recording)) => recording,
        Ok(Err(why)) => return Err(refused(name, &why)),
        Err(_) => {
            return Err(problem(
                name,
                "it is damaged so that its decoder breaks off".to_owned(),
                WHAT_IS_READ,
            ));
        }
    };
    if recording.sound.is_empty() {
        return Err(problem(
            name,
            "there is no sound in it".to_owned(),
            "record it again, or choose another file",
        ));
    }
    if !RATES_HZ.contains(&recording.rate_hz) {
        let what = format!("it has {} samples a second", recording.rate_hz);
        return Err(problem(name, what, "8,000 to 384,000 are read; convert it, 48,000 is usual"));
    }
    Ok(recording)
}

const WHAT_IS_READ: &str =
    "WAV, AIFF, FLAC, Ogg Vorbis, MP3, M4A and CAF are read; convert it to FLAC or WAV";

fn problem(place: &str, what: String, remedy: &str) -> Problem {
    Problem { code: "audio-file", place: place.to_owned(), what, remedy: remedy.to_owned() }.cut()
}

fn refused(name: &str, why: &Error) -> Problem {
    let what = match why {
        Error::IoError(why) if why.kind() == std::io::ErrorKind::UnexpectedEof => {
            "it ends too early".to_owned()
        }
        // Phones write the index when they stop: without it nothing in the file can be found.
        other if other.to_string().contains("missing moov") => "it ends too early".to_owned(),
        Error::Unsupported(what) => format!("it is of a kind that is not read ({what})"),
        other => format!("it is damaged, or of a kind that is not read ({other})"),
    };
    problem(name, what, WHAT_IS_READ)
}

/// A file that is being read.
struct Opened {
    format: Box<dyn FormatReader>,
    decoder: Box<dyn AudioDecoder>,
    /// The first audio track's number.
    track: u32,
    /// How many frames the file says that it has, if it does.
    frames: Option<u64>,
}

/// The file's container, and the decoder of its first audio track.
fn open(name: &str, bytes: Vec<u8>) -> Result<Opened, Error> {
    let stream = MediaSourceStream::new(Box::new(Cursor::new(bytes)), MediaSourceStreamOptions::default());
    let mut hint = Hint::new();
    if let Some(ending) = Path::new(name).extension().and_then(|ending| ending.to_str()) {
        hint.with_extension(ending);
    }
    let format = symphonia::default::get_probe().probe(
        &hint,
        stream,
        FormatOptions::default(),
        MetadataOptions::default(),
    )?;
    let none = Error::Unsupported("no sound in this file");
    let Some(track) = format.default_track(TrackType::Audio) else { return Err(none) };
    let Some(parameters) = track.codec_params.as_ref().and_then(|codec| codec.audio()) else {
        return Err(none);
    };
    let decoder =
        symphonia::default::get_codecs().make_audio_decoder(parameters, &AudioDecoderOptions::default())?;
    let (track, frames) = (track.id, track.num_frames);
    Ok(Opened { format, decoder, track, frames })
}

fn decode(name: &str, bytes: Vec<u8>) -> Result<Recording, Error> {
    let Opened { mut format, mut decoder, track, frames } = open(name, bytes)?;
    let mut all = Recording {
        rate_hz: 0,
        sound: Vec::new(),
        channels: 0,
        clipped: 0,
        cut_short: false,
        last: Vec::new(),
    };
    let mut piece: Vec<f32> = Vec::new();
    loop {
        let packet = match format.next_packet() {
            Ok(Some(packet)) => packet,
            Ok(None) => break,
            Err(why) if all.sound.is_empty() => return Err(why),
            Err(_) => {
                all.cut_short = true;
                break;
            }
        };
        if packet.track_id != track {
            continue;
        }
        match decoder.decode(&packet) {
            Ok(audio) => {
                let (channels, rate_hz) = (audio.spec().channels().count(), audio.spec().rate());
                // A stream that changes in the middle is two recordings; the first is read.
                if channels == 0 || (all.channels != 0 && (all.channels, all.rate_hz) != (channels, rate_hz))
                {
                    all.cut_short = true;
                    break;
                }
                (all.channels, all.rate_hz) = (channels, rate_hz);
                piece.clear();
                piece.resize(audio.samples_interleaved(), f32::MID);
                audio.copy_to_slice_interleaved(&mut piece);
                all.add(&piece);
            }
            Err(Error::DecodeError(_)) => all.cut_short = true,
            Err(why) if all.sound.is_empty() => return Err(why),
            Err(_) => {
                all.cut_short = true;
                break;
            }
        }
        if all.sound.len() > MOST_SAMPLES {
            all.sound.truncate(MOST_SAMPLES);
            all.cut_short = true;
            break;
        }
    }
    // A file of pieces that each stand for themselves may end between two of them, and nothing else tells that it was longer.
    let are_missing = frames.is_some_and(|frames| frames > all.sound.len() as u64 + LAST_PIECE);
    if are_missing && all.sound.is_empty() {
        return Err(Error::IoError(std::io::ErrorKind::UnexpectedEof.into()));
    }
    all.cut_short |= are_missing;
    Ok(all)
}

impl Recording {
    /// Adds frames: their mean, and how many samples are clipped.
    fn add(&mut self, piece: &[f32]) {
        let sane = |value: f32| if value.is_finite() { value.clamp(-8.0, 8.0) } else { 0.0 };
        for channel in 0..self.channels {
            // A run of clipped samples may go on from one piece to the next.
            let here = piece.iter().skip(channel).step_by(self.channels);
            self.clipped += TakeFault::clipped(self.last.get(channel).into_iter().chain(here));
        }
        if let Some(last) = piece.chunks_exact(self.channels.max(1)).last() {
            self.last = last.to_vec();
        }
        let mean = |frame: &[f32]| frame.iter().map(|value| sane(*value)).sum::<f32>() / frame.len() as f32;
        self.sound.extend(piece.chunks_exact(self.channels.max(1)).map(mean));
    }
}
