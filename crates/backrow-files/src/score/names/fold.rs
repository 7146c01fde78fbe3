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

/// The words of a text. Letters and digits part: "Perc2" is "perc" and "2".
pub(crate) fn tokens(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut open = false;
    let mut fresh = true;
    for (at, c) in text.char_indices() {
        let mut push = |piece: &str, c: char, open: &mut bool, fresh: &mut bool| {
            let digit = c.is_ascii_digit();
            let joins = *open
                && out.last().is_some_and(|last| last.text.chars().last().is_none_or(|l| l.is_ascii_digit() == digit));
            if !joins {
                out.push(Token { text: String::new(), dot: false, fresh: *fresh, from: at, to: at });
            }
            (*open, *fresh) = (true, false);
            if let Some(last) = out.last_mut() {
                last.text.push_str(piece);
                last.to = at + c.len_utf8();
            }
        };
        for lower in c.to_lowercase() {
            match lower {
                'a'..='z' | '0'..='9' => {
                    let mut buffer = [0; 4];
                    push(lower.encode_utf8(&mut buffer), c, &mut open, &mut fresh);
                }
                _ => match plain(lower) {
                    Some("") => {}
                    Some(piece) => push(piece, c, &mut open, &mut fresh),
                    None => {
                        if lower == '.' && open {
                            if let Some(last) = out.last_mut() {
                                last.dot = true;
                            }
                        }
                        open = false;
                        fresh |= matches!(
                            lower,
                            ',' | ';' | '/' | '(' | ')' | '[' | ']' | '\n' | '\r' | '+' | '&' | ':' | '|' | '–' | '—' | '→'
                        );
                    }
                },
            }
        }
    }
    out
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
        let texts: Vec<(&str, bool, bool)> = found.iter().map(|t| (t.text.as_str(), t.dot, t.fresh)).collect();
        assert_eq!(texts, [("tri", true, true), ("gr", true, true), ("c", true, false)]);
    }
}
