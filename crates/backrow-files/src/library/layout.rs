//! Laying RON out for people: a group stands on one line where it fits, else one item a line.

/// The widest line, in characters, unless a single word is wider.
const WIDTH: usize = 100;
const INDENT: usize = 4;

/// A piece of RON between commas.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// A value without brackets, with its name where it has one: `name: "x"`.
    Word(String),
    /// A value with brackets; its head is what stands before them: `name: `, `name: round`, or nothing.
    Group { head: String, open: char, close: char, items: Vec<Piece> },
}

/// The same RON, laid out; `compact` is what the serializer writes without layout. Ends with a line break.
pub(super) fn lay_out(compact: &str) -> String {
    laid(&pieces(compact))
}

/// The pieces of a text without remarks, laid out or not.
pub(super) fn pieces(text: &str) -> Vec<Piece> {
    items(&mut text.chars().peekable())
}

/// Pieces as the text of a file.
pub(super) fn laid(pieces: &[Piece]) -> String {
    let mut out = String::new();
    for piece in pieces {
        put(piece, 0, true, &mut out);
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
            _ if c.is_whitespace() => {}
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
    /// The name before its value, and the value on one line; no name where it stands in a list.
    pub(super) fn named(&self) -> (Option<&str>, String) {
        let text = match self {
            Self::Word(text) | Self::Group { head: text, .. } => text,
        };
        let name = match text.strip_prefix('"') {
            // The key of a map is a text itself.
            Some(quoted) => {
                quoted.split_once("\": ").map(|(name, _)| name).filter(|name| !name.contains('"'))
            }
            None => text.split_once(": ").map(|(name, _)| name),
        };
        let mut line = String::new();
        on_one_line(self, &mut line);
        let skipped = name.map_or(0, |name| name.len() + 2 + 2 * usize::from(text.starts_with('"')));
        (name, line.get(skipped..).unwrap_or(&line).to_owned())
    }

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

fn on_one_line(piece: &Piece, out: &mut String) {
    match piece {
        Piece::Word(word) => out.push_str(word),
        Piece::Group { head, open, close, items } => {
            out.push_str(head);
            out.push(*open);
            for (at, item) in items.iter().enumerate() {
                if at > 0 {
                    out.push_str(", ");
                }
                on_one_line(item, out);
            }
            out.push(*close);
        }
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
    fn what_is_laid_out_is_read_back_as_it_was() {
        let compact = r#"(format:1,at:(0.5,-2.0),words:["a, b","c: (e)"],shape:round(d_m:0.5),map:{"a b":(x:1)},none:[])"#;
        let laid_out = lay_out(compact);
        assert_eq!(pieces(&laid_out), pieces(compact));
        assert_eq!(laid(&pieces(&laid_out)), laid_out);
        let all = pieces(compact);
        let Some(Piece::Group { items, .. }) = all.first() else { panic!("a record") };
        let named: Vec<_> = items.iter().map(Piece::named).collect();
        assert_eq!(named[1], (Some("at"), "(0.5, -2.0)".to_owned()));
        assert_eq!(named[3], (Some("shape"), "round(d_m: 0.5)".to_owned()));
        let Piece::Group { items, .. } = &items[4] else { panic!("a map") };
        assert_eq!(items[0].named(), (Some("a b"), "(x: 1)".to_owned()));
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
