//! How the letters of a plain table are written: found out, shown, and changeable.

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

/// An encoding that spreadsheets write.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8.
    Utf8,
    /// UTF-16, the low byte first.
    Utf16Le,
    /// UTF-16, the high byte first.
    Utf16Be,
    /// Windows-1252, which most of ISO 8859-1 is too.
    Windows1252,
}

impl Encoding {
    /// All.
    pub const ALL: [Self; 4] = [Self::Utf8, Self::Windows1252, Self::Utf16Le, Self::Utf16Be];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16 LE",
            Self::Utf16Be => "UTF-16 BE",
            Self::Windows1252 => "Windows-1252",
        }
    }

    /// What the bytes look like: by their mark, else by whether they are UTF-8, else by where zeros stand.
    pub fn guess(bytes: &[u8]) -> Self {
        match bytes {
            [0xEF, 0xBB, 0xBF, ..] => return Self::Utf8,
            [0xFF, 0xFE, ..] => return Self::Utf16Le,
            [0xFE, 0xFF, ..] => return Self::Utf16Be,
            _ => {}
        }
        let head = bytes.get(..bytes.len().min(1_000)).unwrap_or_default();
        let zeros = |odd: usize| head.iter().skip(odd).step_by(2).filter(|byte| **byte == 0).count();
        let (even, odd) = (zeros(0), zeros(1));
        // Letters of European languages have a zero as their high byte.
        if odd * 4 > head.len() && even < odd {
            Self::Utf16Le
        } else if even * 4 > head.len() {
            Self::Utf16Be
        } else if std::str::from_utf8(bytes).is_ok() {
            Self::Utf8
        } else {
            Self::Windows1252
        }
    }

    /// The text, and whether some of it could not be read so.
    pub fn text(self, bytes: &[u8]) -> (String, bool) {
        let (text, faults) = match self {
            Self::Utf8 => {
                let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
                let text = String::from_utf8_lossy(bytes);
                let faults = matches!(text, std::borrow::Cow::Owned(_));
                (text, faults)
            }
            Self::Utf16Le => {
                UTF_16LE.decode_without_bom_handling(bytes.strip_prefix(b"\xff\xfe").unwrap_or(bytes))
            }
            Self::Utf16Be => {
                UTF_16BE.decode_without_bom_handling(bytes.strip_prefix(b"\xfe\xff").unwrap_or(bytes))
            }
            Self::Windows1252 => WINDOWS_1252.decode_without_bom_handling(bytes),
        };
        (text.into_owned(), faults)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// The bytes of "Große Trommel" by the tables of Unicode and of Windows code page 1252 (ß is DF in both).
    #[rstest]
    #[case(b"Gro\xc3\x9fe Trommel".to_vec(), Encoding::Utf8)]
    #[case(b"\xef\xbb\xbfGro\xc3\x9fe Trommel".to_vec(), Encoding::Utf8)]
    #[case(b"Gro\xdfe Trommel".to_vec(), Encoding::Windows1252)]
    #[case("Große Trommel".encode_utf16().flat_map(u16::to_le_bytes).collect(), Encoding::Utf16Le)]
    #[case("\u{feff}Große Trommel".encode_utf16().flat_map(u16::to_le_bytes).collect(), Encoding::Utf16Le)]
    #[case("Große Trommel".encode_utf16().flat_map(u16::to_be_bytes).collect(), Encoding::Utf16Be)]
    #[case("\u{feff}Große Trommel".encode_utf16().flat_map(u16::to_be_bytes).collect(), Encoding::Utf16Be)]
    fn letters_come_in_right(#[case] bytes: Vec<u8>, #[case] expected: Encoding) {
        let found = Encoding::guess(&bytes);
        assert_eq!((found, found.text(&bytes)), (expected, ("Große Trommel".to_owned(), false)));
    }

    #[test]
    fn what_cannot_be_read_so_is_said() {
        assert!(Encoding::Utf8.text(b"Gro\xdfe").1);
        assert!(Encoding::Utf16Le.text(b"a\0b").1, "an odd byte is left over");
    }
}
