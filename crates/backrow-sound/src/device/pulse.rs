//! The sound server of a Linux desktop, `PulseAudio` or `PipeWire`, asked over its socket.
//!
//! The crate's own search for the socket, its cookie and its silence about streams that end are answered here; each place says
//! which of them and why.

mod open;

use super::{Device, Feed, Frame, Heard, Lag, NoSound, Playing, Port, PortKind, RATE, Recording};
use futures::executor::block_on;
use open::why;
use pulseaudio::protocol::stream::{BufferAttr, StreamFlags};
use pulseaudio::protocol::{
    ChannelMap, ChannelVolume, PlaybackStreamParams, RecordStreamParams, SampleFormat, SampleSpec, SinkInfo,
    SourceInfo,
};
use pulseaudio::{AsPlaybackSource as _, Client, ClientError, PlaybackStream, RecordStream};
use std::ffi::{CStr, CString};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// Bytes of a sample.
const SAMPLE: usize = 4;

/// How much is asked for ahead when playing, in pieces of 20 ms: enough for a busy moment, and short from key to sound.
const AHEAD: u32 = 4;

/// How often a stream is asked whether it is still there: the crate does not tell that the server ended it.
const ASK: Duration = Duration::from_secs(1);

/// One client for the program's whole life: one that is dropped leaves its thread and its socket behind. A new one is made
/// only when the old one is disconnected.
#[derive(Default)]
pub(super) struct Server(Option<Client>);

impl Server {
    /// Asks the server; a server that was started anew meanwhile is found again.
    fn ask<T>(&mut self, question: impl Fn(&Client) -> Result<T, ClientError>) -> Result<T, NoSound> {
        if let Some(client) = &self.0 {
            match question(client) {
                Err(ClientError::Disconnected | ClientError::Io(_)) => self.0 = None,
                other => return other.map_err(|e| says(&e)),
            }
        }
        let client = open::open()?;
        let answer = question(&client).map_err(|e| says(&e));
        self.0 = Some(client);
        answer
    }
}

fn says(e: &ClientError) -> NoSound {
    NoSound(match e {
        ClientError::Disconnected => {
            "The sound server has gone. Start it again, then try once more.".to_owned()
        }
        ClientError::ServerError(pulseaudio::protocol::PulseError::NoEntity) => {
            "This loudspeaker or microphone is no longer there. Plug it in, or choose another.".to_owned()
        }
        other => format!("The sound server refuses: {}.", why(other)),
    })
}

fn words(name: &CStr, description: Option<&CString>) -> String {
    description
        .map(|d| d.to_string_lossy().into_owned())
        .filter(|d| !d.trim().is_empty())
        .unwrap_or_else(|| name.to_string_lossy().into_owned())
}

fn of_source(source: &SourceInfo) -> Port {
    // A source that belongs to a sink hears what that one plays.
    let monitor = source.monitor_of_sink_index.is_some();
    Port {
        id: source.name.to_string_lossy().into_owned(),
        name: words(&source.name, source.description.as_ref()),
        kind: if monitor { PortKind::Monitor } else { PortKind::Microphone },
    }
}

fn of_sink(sink: &SinkInfo) -> Port {
    Port {
        id: sink.name.to_string_lossy().into_owned(),
        name: words(&sink.name, sink.description.as_ref()),
        kind: PortKind::Loudspeaker,
    }
}

fn named(id: &str) -> Result<CString, NoSound> {
    CString::new(id).map_err(|_nul| NoSound("The device’s name cannot be read. Choose another.".to_owned()))
}

const fn spec(channels: u8) -> SampleSpec {
    SampleSpec { format: SampleFormat::Float32Le, channels, sample_rate: RATE }
}

fn piece_bytes(channels: u8) -> u32 {
    RATE / 50 * 4 * u32::from(channels)
}

impl Device for Server {
    fn ports(&mut self) -> Result<Vec<Port>, NoSound> {
        let mut ports: Vec<Port> = self
            .ask(|client| block_on(client.list_sources()))?
            .iter()
            .map(of_source)
            .chain(self.ask(|client| block_on(client.list_sinks()))?.iter().map(of_sink))
            .collect();
        ports.sort_by_key(|port| port.kind);
        Ok(ports)
    }

    fn play(&mut self, feed: Box<dyn Feed>, on: Option<&str>) -> Result<Box<dyn Playing>, NoSound> {
        let sink_name = on.map(named).transpose()?;
        // The feed can go to one stream only; a second try gets what the first left.
        let feed = Arc::new(std::sync::Mutex::new(feed));
        let ended = Arc::new(AtomicBool::new(false));
        let stream = self.ask(|client| {
            let (feed, ended) = (Arc::clone(&feed), Arc::clone(&ended));
            let mut frames = Vec::new();
            let source = move |out: &mut [u8]| {
                let written = two_channels(&feed, &mut frames, out);
                if written == 0 {
                    ended.store(true, Ordering::Release);
                }
                written
            };
            block_on(client.create_playback_stream(play_on(sink_name.clone()), source.as_playback_source()))
        })?;
        Ok(Box::new(PulsePlaying { stream, ended, asked: Instant::now(), until: None }))
    }

    fn record(&mut self, from: Option<&str>) -> Result<Box<dyn Recording>, NoSound> {
        let id = match from {
            Some(id) => id.to_owned(),
            None => first_microphone(&self.ports()?)?,
        };
        let name = named(&id)?;
        let info = self.ask(|client| block_on(client.source_info_by_name(name.clone())))?;
        let (sender, pieces) = channel();
        let lost = Arc::new(AtomicU64::new(0));
        let stream = self.ask(|client| {
            let channels = info.channel_map.num_channels();
            let mut clock = (None, Lag::new(RATE));
            let (sender, lost) = (sender.clone(), Arc::clone(&lost));
            block_on(client.create_record_stream(
                record_from(&info, name.clone()),
                // Runs on the client's thread: it neither waits nor writes. Dropped with the stream, it closes the channel.
                move |bytes: &[u8]| {
                    let piece = one_channel(bytes, usize::from(channels));
                    let since = *clock.0.get_or_insert_with(Instant::now);
                    clock.1.came(piece.len(), since.elapsed().as_secs_f64());
                    lost.store(clock.1.lost(), Ordering::Relaxed);
                    // A receiver that is gone wants nothing more.
                    drop(sender.send(piece));
                },
            ))
        })?;
        Ok(Box::new(PulseRecording { stream, pieces, lost, asked: Instant::now() }))
    }
}

fn first_microphone(ports: &[Port]) -> Result<String, NoSound> {
    // What the loudspeaker plays is recorded only where somebody chooses it.
    let found = ports.iter().find(|port| port.kind == PortKind::Microphone);
    found.map(|port| port.id.clone()).ok_or_else(|| {
        NoSound("No microphone is connected. Plug one in, or import recordings from files.".to_owned())
    })
}

/// Two channels: a server's own way from one to two differs from server to server. Level and mute as they stand, or a volume
/// that the server remembers from another day would falsify a comparison. Without lengths of its own a stream gets a buffer of
/// two seconds.
fn play_on(sink_name: Option<CString>) -> PlaybackStreamParams {
    PlaybackStreamParams {
        sample_spec: spec(2),
        channel_map: ChannelMap::stereo(),
        sink_name,
        buffer_attr: BufferAttr {
            target_length: piece_bytes(2) * AHEAD,
            max_length: u32::MAX,
            minimum_request_length: piece_bytes(2),
            pre_buffering: u32::MAX,
            ..Default::default()
        },
        flags: StreamFlags { adjust_latency: true, start_muted: Some(false), ..Default::default() },
        cvolume: Some(ChannelVolume::norm(2)),
        ..Default::default()
    }
}

/// The source's own channels, mixed down here: one server's mix of two to one is 3 dB louder than either, so that a loud
/// strike would clip.
fn record_from(info: &SourceInfo, name: CString) -> RecordStreamParams {
    let channels = info.channel_map.num_channels();
    RecordStreamParams {
        sample_spec: spec(channels),
        channel_map: info.channel_map,
        source_name: Some(name),
        buffer_attr: BufferAttr {
            fragment_size: piece_bytes(channels),
            max_length: u32::MAX,
            ..Default::default()
        },
        flags: StreamFlags { adjust_latency: true, start_muted: Some(false), ..Default::default() },
        cvolume: Some(ChannelVolume::norm(channels)),
        ..Default::default()
    }
}

/// Whole frames only; 0 is the end. The lock is never held by anybody else while a stream plays.
fn two_channels(feed: &std::sync::Mutex<Box<dyn Feed>>, frames: &mut Vec<Frame>, out: &mut [u8]) -> usize {
    let most = out.len() / (2 * SAMPLE);
    frames.resize(most, [0.0; 2]);
    let filled = feed.try_lock().map_or(0, |mut feed| feed.fill(frames)).min(most);
    for (bytes, frame) in out.chunks_exact_mut(2 * SAMPLE).zip(frames.iter().take(filled)) {
        for (bytes, value) in bytes.chunks_exact_mut(SAMPLE).zip(frame) {
            bytes.copy_from_slice(&value.to_le_bytes());
        }
    }
    filled * 2 * SAMPLE
}

fn one_channel(bytes: &[u8], channels: usize) -> Vec<f32> {
    let channels = channels.max(1);
    let value = |b: &[u8]| <[u8; SAMPLE]>::try_from(b).map_or(0.0, f32::from_le_bytes);
    bytes
        .chunks_exact(channels * SAMPLE)
        .map(|frame| frame.chunks_exact(SAMPLE).map(value).sum::<f32>() / channels as f32)
        .collect()
}

struct PulsePlaying {
    stream: PlaybackStream,
    ended: Arc<AtomicBool>,
    asked: Instant,
    /// When the last of it will have been heard.
    until: Option<Instant>,
}

impl PulsePlaying {
    /// How much is still on its way to the ear.
    fn ahead(&self) -> Result<Duration, NoSound> {
        let timing = block_on(self.stream.timing_info()).map_err(|e| says(&e))?;
        Ok(Duration::from_millis(20) * AHEAD + Duration::from_micros(timing.sink_usec.min(2_000_000)))
    }
}

impl Playing for PulsePlaying {
    fn goes_on(&mut self) -> Result<bool, NoSound> {
        if self.ended.load(Ordering::Acquire) {
            // What was sent ahead is still to be heard. The server's own word for that, drained, comes seconds late.
            let until = match self.until {
                Some(until) => until,
                None => Instant::now() + self.ahead()?,
            };
            self.until = Some(until);
            return Ok(Instant::now() < until);
        }
        if self.asked.elapsed() > ASK {
            self.asked = Instant::now();
            block_on(self.stream.timing_info()).map_err(|e| says(&e))?;
        }
        Ok(true)
    }
}

struct PulseRecording {
    stream: RecordStream,
    pieces: Receiver<Vec<f32>>,
    lost: Arc<AtomicU64>,
    asked: Instant,
}

impl Recording for PulseRecording {
    fn heard(&mut self) -> Result<Heard, NoSound> {
        let mut samples = Vec::new();
        loop {
            match self.pieces.try_recv() {
                Ok(piece) => samples.extend(piece),
                Err(TryRecvError::Disconnected) if samples.is_empty() => {
                    return Err(NoSound(
                        "The microphone has gone. What was recorded until then is still here.".to_owned(),
                    ));
                }
                Err(TryRecvError::Empty | TryRecvError::Disconnected) => break,
            }
        }
        // While something comes in the stream is there; what has come in is handed over before anything is said to have gone.
        if samples.is_empty() && self.asked.elapsed() > ASK {
            self.asked = Instant::now();
            block_on(self.stream.timing_info()).map_err(|e| says(&e))?;
        }
        Ok(Heard { samples, lost: self.lost.load(Ordering::Relaxed) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_loudspeaker_plays_is_no_microphone() {
        let port = |id: &str, kind| Port { id: id.to_owned(), name: id.to_owned(), kind };
        let monitor = port("monitor", PortKind::Monitor);
        assert!(first_microphone(std::slice::from_ref(&monitor)).is_err());
        let all = [monitor, port("desk", PortKind::Microphone)];
        assert_eq!(first_microphone(&all).unwrap(), "desk");
    }
}
