//! WAV out.

use super::Depth;

/// The bytes of a WAV file (RIFF, linear PCM) of one channel. More than 2 GB of samples do not fit in one; what is beyond is
/// left out.
pub fn wav(sound: &[f32], rate_hz: u32, depth: Depth) -> Vec<u8> {
    let width = usize::from(depth.bits() / 8);
    let fitting = sound.get(..sound.len().min((1 << 31) / width)).unwrap_or_default();
    let length = u32::try_from(fitting.len() * width).unwrap_or(u32::MAX);
    // A chunk of odd length is followed by a byte that does not count.
    let pad = length % 2;
    let block = depth.bits() / 8;
    let mut bytes = Vec::with_capacity(fitting.len() * width + 45);
    bytes.extend(b"RIFF");
    bytes.extend((36 + length + pad).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(16_u32.to_le_bytes());
    // Linear PCM, one channel.
    bytes.extend([1_u16, 1].map(u16::to_le_bytes).concat());
    bytes.extend(rate_hz.to_le_bytes());
    bytes.extend(rate_hz.saturating_mul(u32::from(block)).to_le_bytes());
    bytes.extend([block, depth.bits()].map(u16::to_le_bytes).concat());
    bytes.extend(b"data");
    bytes.extend(length.to_le_bytes());
    for value in fitting {
        bytes.extend(depth.whole(*value).to_le_bytes().into_iter().take(width));
    }
    bytes.extend(std::iter::repeat_n(0, usize::from(pad == 1)));
    bytes
}
