//! Content lines (RFC 5545, 3.1): unfolded, split into name, parameters and value.

/// One content line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// Its number in the file, from 1; of a folded line the first.
    pub(super) number: usize,
    /// In capitals.
    pub(super) name: String,
    /// Name in capitals, and value without its quotes.
    params: Vec<(String, String)>,
    /// As it stands.
    pub(super) value: String,
    /// Name, parameters and value, unfolded, as they stand.
    pub(super) whole: String,
}

impl Line {
    /// A parameter's value.
    pub(super) fn param(&self, name: &str) -> Option<&str> {
        self.params.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// The value as text, escapes undone (3.3.11).
    pub(super) fn text(&self) -> String {
        let mut out = String::new();
        let mut signs = self.value.chars();
        while let Some(sign) = signs.next() {
            match (sign, sign == '\\') {
                (_, false) => out.push(sign),
                (_, true) => match signs.next() {
                    Some('n' | 'N') => out.push('\n'),
                    Some(other) => out.push(other),
                    None => {}
                },
            }
        }
        out
    }
}

/// Every content line. A line that begins with a space or tab goes on the one before it; one without a colon is left out.
pub(super) fn lines(text: &str) -> Vec<Line> {
    let mut unfolded: Vec<(usize, String)> = Vec::new();
    for (at, line) in text.trim_start_matches('\u{feff}').split('\n').enumerate() {
        let line = line.strip_suffix('\r').unwrap_or(line);
        match (line.strip_prefix([' ', '\t']), unfolded.last_mut()) {
            (Some(more), Some((_, before))) => before.push_str(more),
            _ if line.is_empty() => {}
            _ => unfolded.push((at + 1, line.to_owned())),
        }
    }
    unfolded.into_iter().filter_map(|(number, line)| parsed(number, line)).collect()
}

fn parsed(number: usize, line: String) -> Option<Line> {
    // The first colon outside quotes ends the parameters.
    let mut quoted = false;
    let mut cuts: Vec<usize> = Vec::new();
    let mut colon = None;
    for (at, sign) in line.char_indices() {
        match sign {
            '"' => quoted = !quoted,
            ';' if !quoted => cuts.push(at),
            ':' if !quoted => {
                colon = Some(at);
                break;
            }
            _ => {}
        }
    }
    let colon = colon?;
    let ends = cuts.iter().skip(1).copied().chain([colon]);
    let params = cuts.iter().zip(ends).filter_map(|(from, to)| {
        let (name, value) = line.get(from + 1..to)?.split_once('=')?;
        Some((name.to_uppercase(), value.trim_matches('"').to_owned()))
    });
    let name = line.get(..cuts.first().copied().unwrap_or(colon))?.trim().to_uppercase();
    let (params, value) = (params.collect(), line.get(colon + 1..)?.to_owned());
    Some(Line { number, name, params, value, whole: line })
}
