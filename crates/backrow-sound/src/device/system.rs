//! Windows and macOS by the system's own sound. **Not compiled where this program is built**: kept as small as may be.

use super::{Device, Feed, Heard, Lag, NoSound, Playing, Port, PortKind, RATE, Recording};
use cpal::traits::{DeviceTrait as _, HostTrait as _, StreamTrait as _};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;

/// The usual host of the system.
#[derive(Default)]
pub(super) struct System;

fn says(e: &cpal::Error) -> NoSound {
    NoSound(format!("The sound of this system refuses: {e}."))
}

fn port(device: &cpal::Device, kind: PortKind) -> Option<Port> {
    let id = device.id().ok()?.to_string();
    let name = device.description().map_or_else(|_| id.clone(), |description| description.name().to_owned());
    Some(Port { id, name, kind })
}

/// The device by its id, or the usual one.
fn find(
    devices: impl Iterator<Item = cpal::Device>,
    id: Option<&str>,
    usual: Option<cpal::Device>,
) -> Result<cpal::Device, NoSound> {
    let found = match id {
        Some(id) => devices.into_iter().find(|device| device.id().is_ok_and(|known| known.to_string() == id)),
        None => usual,
    };
    found.ok_or_else(|| {
        NoSound("This loudspeaker or microphone is not there. Plug it in, or choose another.".to_owned())
    })
}

fn config(channels: u16) -> cpal::StreamConfig {
    cpal::StreamConfig { channels, sample_rate: RATE, buffer_size: cpal::BufferSize::Default }
}

impl Device for System {
    fn ports(&mut self) -> Result<Vec<Port>, NoSound> {
        let host = cpal::default_host();
        let inputs = host.input_devices().map_err(|e| says(&e))?;
        let outputs = host.output_devices().map_err(|e| says(&e))?;
        Ok(inputs
            .filter_map(|device| port(&device, PortKind::Microphone))
            .chain(outputs.filter_map(|device| port(&device, PortKind::Loudspeaker)))
            .collect())
    }

    fn play(&mut self, mut feed: Box<dyn Feed>, on: Option<&str>) -> Result<Box<dyn Playing>, NoSound> {
        let host = cpal::default_host();
        let device = find(host.output_devices().map_err(|e| says(&e))?, on, host.default_output_device())?;
        let state = Arc::new(State::default());
        let (ended, failed) = (Arc::clone(&state), Arc::clone(&state));
        let mut frames = Vec::new();
        let fill = move |out: &mut [f32], _: &cpal::OutputCallbackInfo| {
            frames.resize(out.len() / 2, [0.0; 2]);
            frames.fill([0.0; 2]);
            if feed.fill(&mut frames) == 0 {
                ended.ended.store(true, Ordering::Release);
            }
            for (out, frame) in out.chunks_exact_mut(2).zip(&frames) {
                out.copy_from_slice(frame);
            }
        };
        let stream = device
            .build_output_stream(config(2), fill, move |e| failed.fail(&e), None)
            .map_err(|e| says(&e))?;
        stream.play().map_err(|e| says(&e))?;
        Ok(Box::new(SystemPlaying { _stream: stream, state }))
    }

    fn record(&mut self, from: Option<&str>) -> Result<Box<dyn Recording>, NoSound> {
        let host = cpal::default_host();
        let device = find(host.input_devices().map_err(|e| says(&e))?, from, host.default_input_device())?;
        let channels = device.default_input_config().map_err(|e| says(&e))?.channels().max(1);
        let state = Arc::new(State::default());
        let (inner, failed) = (Arc::clone(&state), Arc::clone(&state));
        let (sender, pieces) = channel();
        let mut clock = (None, Lag::new(RATE));
        let hear = move |heard: &[f32], _: &cpal::InputCallbackInfo| {
            let frames = heard.chunks_exact(usize::from(channels));
            let piece: Vec<f32> =
                frames.map(|frame| frame.iter().sum::<f32>() / f32::from(channels)).collect();
            let since = *clock.0.get_or_insert_with(Instant::now);
            clock.1.came(piece.len(), since.elapsed().as_secs_f64());
            inner.lost.store(clock.1.lost(), Ordering::Relaxed);
            drop(sender.send(piece));
        };
        let stream = device
            .build_input_stream(config(channels), hear, move |e| failed.fail(&e), None)
            .map_err(|e| says(&e))?;
        stream.play().map_err(|e| says(&e))?;
        Ok(Box::new(SystemRecording { _stream: stream, pieces, state }))
    }
}

#[derive(Default)]
struct State {
    ended: AtomicBool,
    lost: AtomicU64,
    why: Mutex<Option<NoSound>>,
}

impl State {
    fn fail(&self, e: &cpal::Error) {
        *self.why.lock().unwrap_or_else(PoisonError::into_inner) = Some(says(e));
    }

    fn well(&self) -> Result<(), NoSound> {
        self.why.lock().unwrap_or_else(PoisonError::into_inner).clone().map_or(Ok(()), Err)
    }
}

struct SystemPlaying {
    _stream: cpal::Stream,
    state: Arc<State>,
}

impl Playing for SystemPlaying {
    fn goes_on(&mut self) -> Result<bool, NoSound> {
        self.state.well().map(|()| !self.state.ended.load(Ordering::Acquire))
    }
}

struct SystemRecording {
    _stream: cpal::Stream,
    pieces: Receiver<Vec<f32>>,
    state: Arc<State>,
}

impl Recording for SystemRecording {
    fn heard(&mut self) -> Result<Heard, NoSound> {
        let samples: Vec<f32> = self.pieces.try_iter().flatten().collect();
        // What has come in is handed over before the device is said to have gone.
        if samples.is_empty() {
            self.state.well()?;
        }
        Ok(Heard { samples, lost: self.state.lost.load(Ordering::Relaxed) })
    }
}
