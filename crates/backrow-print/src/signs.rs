//! Signs that no font of the sheet can show. The typesetter says nothing about them, so the texts are checked here.

use std::fmt;

use serde_json::Value;
use typst::text::FontBook;

/// A character that will not be seen on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingSign {
    /// The character.
    pub sign: char,
    /// The first text that holds it.
    pub text: String,
}

impl fmt::Display for MissingSign {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let code = u32::from(self.sign);
        write!(
            f,
            "no font of the sheet has the sign {:?} (U+{code:04X}) in “{}”; spell it in another way",
            self.sign, self.text
        )
    }
}

/// Every character in the texts of `data` that no font in `book` covers: each once, in order of first appearance.
pub(crate) fn missing(data: &Value, book: &FontBook) -> Vec<MissingSign> {
    let mut found = Vec::new();
    visit(data, &mut |text| {
        for sign in text.chars() {
            let known = sign.is_control() || found.iter().any(|m: &MissingSign| m.sign == sign);
            if !known && !covered(book, sign) {
                found.push(MissingSign { sign, text: text.to_owned() });
            }
        }
    });
    found
}

fn covered(book: &FontBook, sign: char) -> bool {
    (0..).map_while(|n| book.info(n)).any(|font| font.coverage.contains(u32::from(sign)))
}

fn visit(value: &Value, text: &mut impl FnMut(&str)) {
    match value {
        Value::String(s) => text(s),
        Value::Array(items) => items.iter().for_each(|v| visit(v, text)),
        Value::Object(fields) => fields.values().for_each(|v| visit(v, text)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}
