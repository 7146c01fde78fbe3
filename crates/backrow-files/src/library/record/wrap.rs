//! Words put into lines that people can read and compare.

/// Where a line is broken, in characters; a longer word stands alone.
pub(super) const WIDTH: usize = 80;

/// Lines that are being filled.
#[derive(Default)]
pub(super) struct Lines {
    full: Vec<String>,
    line: String,
}

impl Lines {
    /// Begins a new line where so many letters more would not fit, so that they stay together.
    pub(super) fn keep_together(&mut self, letters: usize) {
        if !self.line.is_empty() && self.line.len() + letters > WIDTH {
            self.full.push(std::mem::take(&mut self.line));
        }
    }

    pub(super) fn word(&mut self, word: &str) {
        self.keep_together(word.len() + 1);
        if !self.line.is_empty() {
            self.line.push(' ');
        }
        self.line.push_str(word);
    }

    pub(super) fn end(mut self) -> Vec<String> {
        if !self.line.is_empty() {
            self.full.push(self.line);
        }
        self.full
    }
}
