//! Bytes, taken from the front; nothing is read past the end.

/// What is left of a run of bytes.
pub(crate) struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    pub(crate) const fn new(bytes: &'a [u8]) -> Self {
        Self(bytes)
    }

    pub(crate) const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn u8(&mut self) -> Option<u8> {
        let (first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(*first)
    }

    /// The next byte, left where it is.
    pub(crate) fn peek(&self) -> Option<u8> {
        self.0.first().copied()
    }

    pub(crate) fn u16(&mut self) -> Option<u16> {
        Some(u16::from_be_bytes([self.u8()?, self.u8()?]))
    }

    /// So many bytes; `None` when there are fewer.
    pub(crate) fn take(&mut self, count: usize) -> Option<&'a [u8]> {
        let taken = self.0.get(..count)?;
        self.0 = self.0.get(count..)?;
        Some(taken)
    }

    /// A number of 7 bits a byte, four bytes at most.
    pub(crate) fn number(&mut self) -> Option<u32> {
        let mut number = 0;
        for _ in 0..4 {
            let byte = self.u8()?;
            number = number << 7 | u32::from(byte & 0x7F);
            if byte & 0x80 == 0 {
                return Some(number);
            }
        }
        None
    }

    /// A chunk's name and body; a body that is cut off ends with the bytes.
    pub(crate) fn chunk(&mut self) -> Option<([u8; 4], &'a [u8])> {
        let name = self.take(4)?.try_into().ok()?;
        let length = u32::from_be_bytes(self.take(4)?.try_into().ok()?);
        let length = usize::try_from(length).unwrap_or(usize::MAX).min(self.0.len());
        Some((name, self.take(length)?))
    }
}
