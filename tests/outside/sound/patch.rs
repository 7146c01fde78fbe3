//! Samples of a patch in the Gravis format of the 1990s, for checks only.

use super::soundfont::Sample;

/// All samples of a patch of one layer.
pub(super) fn samples(bytes: &[u8]) -> Vec<Sample> {
    // The heads of the file, of the instrument and of the layer.
    let count = usize::from(bytes[129 + 63 + 6]);
    let mut at = 129 + 63 + 47;
    let mut found = Vec::new();
    for _ in 0..count {
        let Some(head) = bytes.get(at..at + 96) else { break };
        let long =
            |from: usize| u32::from_le_bytes([head[from], head[from + 1], head[from + 2], head[from + 3]]);
        let length = long(8) as usize;
        let modes = head[55];
        let Some(data) = bytes.get(at + 96..at + 96 + length) else { break };
        let sign = if modes & 2 == 0 { 0 } else { 0x8000 };
        let wide = |two: &[u8]| {
            let raw = u16::from_le_bytes([two[0], two[1]]) ^ sign;
            f32::from(i16::from_le_bytes(raw.to_le_bytes())) / 32_768.0
        };
        if modes & 1 == 1 {
            found.push(Sample {
                name: format!("{} Hz", long(30) / 1000),
                rate_hz: f64::from(u16::from_le_bytes([head[20], head[21]])),
                hz: f64::from(long(30)) / 1000.0,
                sound: data.chunks_exact(2).map(wide).collect(),
            });
        }
        at += 96 + length;
    }
    found
}
