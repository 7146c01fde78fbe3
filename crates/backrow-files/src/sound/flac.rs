//! FLAC out.

use super::Depth;
use crate::problem::Problem;
use flacenc::component::BitRepr;
use flacenc::error::Verify;

/// Shorter sounds are filled with silence to this many samples: readers want a whole block.
const LEAST: usize = 256;

/// The bytes of a FLAC file (RFC 9639) of one channel; a `rate_hz` of 8,000 to 384,000.
pub fn flac(sound: &[f32], rate_hz: u32, depth: Depth) -> Result<Vec<u8>, Problem> {
    let failed = |what: String| Problem {
        code: "audio-write",
        place: "FLAC".to_owned(),
        what: format!("the sound cannot be written: {what}"),
        remedy: "use a sampling rate of 8,000 to 384,000 Hz and a sound of half an hour at most".to_owned(),
    };
    let mut samples: Vec<i32> = sound.iter().map(|value| depth.whole(*value)).collect();
    if samples.len() < LEAST {
        samples.resize(LEAST, 0);
    }
    let rate = usize::try_from(rate_hz).map_err(|why| failed(why.to_string()))?;
    let mut settings = flacenc::config::Encoder::default();
    // A sound shorter than a block is one block.
    settings.block_size = settings.block_size.min(samples.len());
    let block = settings.block_size;
    let settings = settings.into_verified().map_err(|(_, why)| failed(why.to_string()))?;
    let source = flacenc::source::MemSource::from_samples(&samples, 1, usize::from(depth.bits()), rate);
    let mut stream = flacenc::encode_with_fixed_block_size(&settings, source, block)
        .map_err(|why| failed(why.to_string()))?;
    // The encoder counts the short last block into the least block size, which some readers then take for a stream of varying
    // blocks; RFC 9639 (section 8.2) leaves the last block out.
    stream.stream_info_mut().set_block_sizes(block, block).map_err(|why| failed(why.to_string()))?;
    let mut sink = flacenc::bitsink::ByteSink::new();
    stream.write(&mut sink).map_err(|why| failed(why.to_string()))?;
    Ok(sink.into_inner())
}
