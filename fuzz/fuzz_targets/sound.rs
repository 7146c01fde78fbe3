//! Audio files of every kind that is read: the first byte says which ending the file has. What is read is analysed as well.
#![no_main]

use backrow_files::sound::{ENDINGS, read};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let Some((first, bytes)) = data.split_first() else { return };
    let ending = ENDINGS[usize::from(*first) % ENDINGS.len()];
    if let Ok(read) = read(&format!("take.{ending}"), bytes.to_vec()) {
        let head = &read.sound[..read.sound.len().min(200_000)];
        for one in backrow_sound::analyse(head, f64::from(read.rate_hz)) {
            assert!(one.strike.to_s > one.strike.from_s);
        }
    }
});
