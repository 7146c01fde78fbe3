//! Words of any of the four languages as small plain letters: accents, stops, hyphens and apostrophes do not matter.

/// A word of a text, folded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Token {
    /// Small letters a to z and digits.
    pub(crate) text: String,
    /// A full stop follows at once.
    pub(crate) dot: bool,
    /// A comma, slash, bracket or line end stands before it: no name goes across.
    pub(crate) fresh: bool,
    /// Where it begins and ends in the text, bytes.
    pub(crate) from: usize,
    pub(crate) to: usize,
}

/// The plain letters of a character; empty for a sign that joins nothing.
fn plain(c: char) -> Option<&'static str> {
    Some(match c {
        'à' | 'á' | 'â' | 'ã' | 'å' | 'ä' | 'ā' => "a",
        'ç' | 'č' | 'ć' => "c",
        'è' | 'é' | 'ê' | 'ë' | 'ě' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' | 'ń' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
        'ß' => "ss",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        'ý' | 'ÿ' => "y",
        'æ' => "ae",
        'œ' => "oe",
        'š' => "s",
        'ž' => "z",
        // Marks that stand apart from their letter (decomposed accents).
        '\u{300}'..='\u{36F}' | '\u{AD}' | '\u{200B}' => "",
        _ => return None,
    })
}

/// Words as they grow.
#[derive(Default)]
struct Words {
    out: Vec<Token>,
    /// The last word may still grow.
    open: bool,
    /// The next word is the first of a clause.
    fresh: bool,
}

impl Words {
    /// Adds a letter or digit that stands at `at` and takes `length` bytes there.
    fn push(&mut self, piece: &str, digit: bool, at: usize, length: usize) {
        let alike = |last: &Token| last.text.bytes().last().is_none_or(|b| b.is_ascii_digit() == digit);
        if !(self.open && self.out.last().is_some_and(alike)) {
            self.out.push(Token { text: String::new(), dot: false, fresh: self.fresh, from: at, to: at });
        }
        (self.open, self.fresh) = (true, false);
        if let Some(last) = self.out.last_mut() {
            last.text.push_str(piece);
            last.to = at + length;
        }
    }

    /// A sign that is neither letter nor digit.
    fn stop(&mut self, sign: char) {
        if sign == '.'
            && self.open
            && let Some(last) = self.out.last_mut()
        {
            last.dot = true;
        }
        self.open = false;
        self.fresh |= ",;/()[]\n\r+&:|–—→".contains(sign);
    }
}

/// The words of a text. Letters and digits part: "Perc2" is "perc" and "2".
pub(crate) fn tokens(text: &str) -> Vec<Token> {
    let mut words = Words { fresh: true, ..Words::default() };
    for (at, c) in text.char_indices() {
        for lower in c.to_lowercase() {
            if lower.is_ascii_lowercase() || lower.is_ascii_digit() {
                words.push(lower.encode_utf8(&mut [0; 4]), lower.is_ascii_digit(), at, c.len_utf8());
            } else {
                match plain(lower) {
                    Some("") => {}
                    Some(piece) => words.push(piece, false, at, c.len_utf8()),
                    None => words.stop(lower),
                }
            }
        }
    }
    words.out
}

/// All words of a text run together: the key under which names are found.
pub(crate) fn key(text: &str) -> String {
    tokens(text).into_iter().map(|token| token.text).collect()
}

/// A key in which written-out umlauts are plain vowels: "tempelbloecke" is "tempelblocke".
pub(crate) fn without_umlauts(key: &str) -> String {
    key.replace("ae", "a").replace("oe", "o").replace("ue", "u")
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("Große Trommel", "grossetrommel")]
    #[case("tam-tam", "tamtam")]
    #[case("GR. CASSA", "grcassa")]
    #[case("cloches à mains", "clochesamains")]
    #[case("lion’s roar", "lionsroar")]
    #[case("Te\u{301}nor", "tenor")]
    #[case("", "")]
    fn keys(#[case] text: &str, #[case] expected: &str) {
        assert_eq!(key(text), expected);
    }

    #[test]
    fn commas_part_names() {
        let found = tokens("Tri., Gr.C.");
        let texts: Vec<(&str, bool, bool)> =
            found.iter().map(|t| (t.text.as_str(), t.dot, t.fresh)).collect();
        assert_eq!(texts, [("tri", true, true), ("gr", true, true), ("c", true, false)]);
    }
}
