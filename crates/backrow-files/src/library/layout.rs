//! Laying RON out for people: a group stands on one line where it fits, else one item a line.

/// The widest line, in characters, unless a single word is wider.
const WIDTH: usize = 100;
const INDENT: usize = 4;

/// A piece of RON between commas.
enum Piece {
    Word(String),
    Group { head: String, open: char, close: char, items: Vec<Piece> },
}

/// The same RON, laid out; `compact` is what the serializer writes without layout. Ends with a line break.
pub(super) fn lay_out(compact: &str) -> String {
    let mut chars = compact.chars().peekable();
    let mut out = String::with_capacity(compact.len() * 2);
    for piece in items(&mut chars) {
        put(&piece, 0, true, &mut out);
        out.push('\n');
    }
    out
}

/// The items up to the closing bracket, which is taken too.
fn items(chars: &mut std::iter::Peekable<std::str::Chars<'_>>) -> Vec<Piece> {
    let mut items = Vec::new();
    let mut word = String::new();
    while let Some(c) = chars.next() {
        match c {
            '"' => string(chars, &mut word),
            '(' | '[' | '{' => {
                let close = match c {
                    '(' => ')',
                    '[' => ']',
                    _ => '}',
                };
                let inner = self::items(chars);
                items.push(Piece::Group { head: std::mem::take(&mut word), open: c, close, items: inner });
            }
            ')' | ']' | '}' => break,
            ',' => flush(&mut word, &mut items),
            ':' => word.push_str(": "),
            _ => word.push(c),
        }
    }
    flush(&mut word, &mut items);
    items
}

fn flush(word: &mut String, items: &mut Vec<Piece>) {
    if !word.is_empty() {
        items.push(Piece::Word(std::mem::take(word)));
    }
}

/// Copies a string with its escapes; an apostrophe needs none.
fn string(chars: &mut std::iter::Peekable<std::str::Chars<'_>>, word: &mut String) {
    word.push('"');
    while let Some(c) = chars.next() {
        match c {
            '\\' => {
                let escaped = chars.next().unwrap_or('\\');
                if escaped != '\'' {
                    word.push('\\');
                }
                word.push(escaped);
            }
            '"' => break,
            _ => word.push(c),
        }
    }
    word.push('"');
}

impl Piece {
    /// Its width on one line.
    fn width(&self) -> usize {
        match self {
            Self::Word(word) => word.chars().count(),
            Self::Group { head, items, .. } => {
                let gaps = items.len().saturating_sub(1) * 2;
                head.chars().count() + 2 + gaps + items.iter().map(Self::width).sum::<usize>()
            }
        }
    }

    /// Whether it has named fields or keys.
    fn is_record(&self) -> bool {
        matches!(self, Self::Group { items, .. } if items.iter().any(|item| match item {
            Self::Word(text) | Self::Group { head: text, .. } => text.contains(": "),
        }))
    }

    /// Lists of several records stand one to a line, so that a change to one is a change to one line.
    fn is_table(&self) -> bool {
        matches!(self, Self::Group { open: '[' | '{', items, .. }
            if items.iter().filter(|item| item.is_record()).count() > 1)
    }

    /// Whether it is a list of points or pairs, which fill their lines.
    fn is_series(&self) -> bool {
        matches!(self, Self::Group { open: '[', items, .. } if items.iter().all(|item| {
            matches!(item, Self::Group { open: '(', items, .. }
                if items.iter().all(|part| matches!(part, Self::Word(_))))
                && !item.is_record()
        }))
    }

    /// Whether it, or anything in it, must be broken up.
    fn must_break(&self) -> bool {
        self.is_table() || matches!(self, Self::Group { items, .. } if items.iter().any(Self::must_break))
    }
}

fn put(piece: &Piece, depth: usize, broken: bool, out: &mut String) {
    let (head, open, close, items) = match piece {
        Piece::Word(word) => {
            out.push_str(word);
            return;
        }
        Piece::Group { head, open, close, items } => (head, *open, *close, items),
    };
    out.push_str(head);
    out.push(open);
    let fits = depth * INDENT + piece.width() < WIDTH && !piece.must_break();
    if items.is_empty() || (fits && !broken) {
        for (at, item) in items.iter().enumerate() {
            if at > 0 {
                out.push_str(", ");
            }
            put(item, depth, false, out);
        }
    } else if piece.is_series() {
        fill(items, depth, out);
    } else {
        for item in items {
            out.push('\n');
            out.extend(std::iter::repeat_n(' ', (depth + 1) * INDENT));
            put(item, depth + 1, false, out);
            out.push(',');
        }
        out.push('\n');
        out.extend(std::iter::repeat_n(' ', depth * INDENT));
    }
    out.push(close);
}

/// Puts as many items on a line as fit.
fn fill(items: &[Piece], depth: usize, out: &mut String) {
    let indent = (depth + 1) * INDENT;
    let mut column = WIDTH;
    for item in items {
        if column + item.width() + 2 > WIDTH {
            out.push('\n');
            out.extend(std::iter::repeat_n(' ', indent));
            column = indent;
        } else {
            out.push(' ');
            column += 1;
        }
        put(item, depth + 1, false, out);
        out.push(',');
        column += item.width() + 1;
    }
    out.push('\n');
    out.extend(std::iter::repeat_n(' ', depth * INDENT));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_groups_keep_to_a_line_and_tables_do_not() {
        let laid =
            lay_out(r#"(format:1,at:(0.5,-2.0),words:["a, b","c\'d (e)"],rows:[(a:1),(a:2)],none:[])"#);
        let expected = "(\n    format: 1,\n    at: (0.5, -2.0),\n    words: [\"a, b\", \"c'd (e)\"],\n    \
                        rows: [\n        (a: 1),\n        (a: 2),\n    ],\n    none: [],\n)\n";
        assert_eq!(laid, expected);
    }

    #[test]
    fn wide_groups_break() {
        let long = "x".repeat(60);
        let laid = lay_out(&format!(r#"(a:["{long}","{long}"])"#));
        assert_eq!(laid.lines().count(), 6, "{laid}");
    }

    #[test]
    fn points_fill_their_lines() {
        let points = vec!["(-12.25,3.5)"; 20].join(",");
        let laid = lay_out(&format!("(floor:[{points}])"));
        assert!(laid.lines().count() < 9 && laid.lines().all(|line| line.len() <= WIDTH), "{laid}");
        assert_eq!(laid.matches("(-12.25, 3.5)").count(), 20);
    }

    #[test]
    fn quotes_and_backslashes_stay() {
        let laid = lay_out(r#"(a:"say \"x\", \\ and \n")"#);
        assert!(laid.contains(r#"a: "say \"x\", \\ and \n","#), "{laid}");
    }
}
