//! Finding the line that a message should name.

/// The text of a file as lines, to find where an entry and its words stand.
pub(super) struct Lines<'a> {
    file: &'a str,
    lines: Vec<&'a str>,
}

impl<'a> Lines<'a> {
    pub(super) fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, lines: text.lines().collect() }
    }

    /// `file, line n` for the line, from 1, on which `word` stands in the entry that begins with the `nth` (from 0)
    /// line holding `id: "..."`; the entry's own line when the word is not found; the file alone when that is not either.
    pub(super) fn place(&self, nth: usize, word: &str) -> String {
        let starts: Vec<usize> =
            (0..self.lines.len()).filter(|at| self.lines.get(*at).is_some_and(|l| holds_id(l))).collect();
        let Some(&start) = starts.get(nth) else { return self.file.to_owned() };
        let end = starts.get(nth + 1).copied().unwrap_or(self.lines.len());
        let within = self.lines.get(start..end).unwrap_or_default();
        let offset = within.iter().position(|line| !word.is_empty() && line.contains(word)).unwrap_or(0);
        format!("{}, line {}", self.file, start + offset + 1)
    }
}

fn holds_id(line: &str) -> bool {
    let code = line.split("//").next().unwrap_or(line);
    code.split_whitespace().collect::<String>().split([',', '(']).any(|field| field.starts_with("id:\""))
}
