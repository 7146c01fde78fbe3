//! What an instrument comes apart into as a line of text a piece.

use super::people_words;
use crate::collection::{Mass, Piece};
use crate::numbers;

/// The text of some pieces, which [`pieces_of`] reads.
pub fn pieces_text(pieces: &[Piece]) -> String {
    pieces.iter().map(line_of).collect::<Vec<_>>().join("\n")
}

fn line_of(piece: &Piece) -> String {
    let plain = |text: &str| text.replace([';', '\n'], ",");
    // A name that begins with a figure, "32 in drum", would be read as so many.
    let plainly_one = piece.count == 1 && !piece.what.starts_with(|c: char| c.is_ascii_digit());
    let count = if plainly_one { String::new() } else { format!("{} x ", piece.count) };
    let people = (piece.people > 0).then(|| people_words(piece.people));
    let mass = piece.mass.map(|mass| format!("{} kg{}", mass.kg, if mass.weighed { " weighed" } else { "" }));
    let said = |word: &str, text: &str| (!text.is_empty()).then(|| format!("{word} {}", plain(text)));
    let parts = [mass, people, said("wheels", &piece.wheels)];
    // It stands last, and may hold what parts the others.
    let care = (!piece.care.is_empty()).then(|| format!("care {}", piece.care.replace('\n', ", ")));
    std::iter::once(format!("{count}{}", plain(&piece.what)))
        .chain(parts.into_iter().flatten())
        .chain(care)
        .collect::<Vec<_>>()
        .join("; ")
}

/// Reads the lines: "2 x frame, folded; 18 kg weighed; 2 people; wheels own, 4; care never tilt it".
///
/// # Errors
/// Which line, and what was expected.
pub fn pieces_of(text: &str) -> Result<Vec<Piece>, String> {
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    lines.map(|(at, line)| piece_of(line).map_err(|why| format!("line {}: {why}", at + 1))).collect()
}

fn piece_of(line: &str) -> Result<Piece, String> {
    let mut parts = line.split(';').map(str::trim);
    let (count, what) = counted(parts.next().unwrap_or_default());
    if what.is_empty() || count == 0 {
        return Err("start with what the piece is, such as 2 x frame".to_owned());
    }
    let mut piece = Piece { what: what.to_owned(), count, ..Piece::default() };
    for part in parts.filter(|part| !part.is_empty()) {
        let (first, rest) = part.split_once(' ').unwrap_or((part, ""));
        match (first, rest.trim()) {
            ("wheels", rest) if piece.care.is_empty() => rest.clone_into(&mut piece.wheels),
            ("care", rest) if piece.care.is_empty() => rest.clone_into(&mut piece.care),
            (number, "person" | "people" | "hand" | "hands") => {
                piece.people = number.parse().map_err(|_bad| unknown(part))?;
            }
            (number, "kg" | "kg weighed") => {
                let kg = numbers::typed(number).filter(|kg| *kg > 0.0);
                let kg = kg.ok_or_else(|| unknown(part))?;
                piece.mass = Some(Mass { kg, weighed: rest.ends_with("weighed") });
            }
            // The rest of what was said of care.
            _ if !piece.care.is_empty() => {
                piece.care.push_str("; ");
                piece.care.push_str(part);
            }
            _ => return Err(unknown(part)),
        }
    }
    Ok(piece)
}

/// "2 x frame", "2x frame" and "2 frames" as 2 and what follows; without a number it is one. The x is a sign only where it
/// stands alone after the number: "6 xylophone cases" are six.
fn counted(text: &str) -> (u32, &str) {
    let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (number, rest) = text.split_at(digits);
    let Ok(count) = number.parse() else { return (1, text) };
    let apart = rest.trim_start();
    let sign = apart.strip_prefix(['x', '×']).filter(|what| what.starts_with(char::is_whitespace));
    match sign {
        Some(what) => (count, what.trim()),
        None if apart.len() < rest.len() => (count, apart),
        // "4-drum frame", "3rd case": the number is part of the name.
        None => (1, text),
    }
}

fn unknown(part: &str) -> String {
    format!("\"{part}\" is not understood; expected 18 kg, 2 people, wheels … or care …")
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("frame, in two halves")]
    #[case("2 x frame, folded; 18.5 kg weighed; 2 people; wheels own, 4; care never tilt it loaded")]
    #[case("frame; 74 kg weighed; wheels own, 4; care lock it in; wheels clear of the edge")]
    #[case("1 x 32 in drum; 62 kg; 2 people")]
    #[case("case with the bars; 19 kg; 1 person\nbox; care flat, cords in")]
    fn what_is_typed_comes_back(#[case] text: &str) {
        assert_eq!(pieces_text(&pieces_of(text).unwrap()), text);
    }

    #[test]
    fn a_piece_is_read() {
        let pieces = pieces_of("3 × xylophone case; 12,5 kg; 2 hands").unwrap();
        let mass = Some(Mass { kg: 12.5, weighed: false });
        let expected =
            Piece { what: "xylophone case".to_owned(), count: 3, mass, people: 2, ..Piece::default() };
        assert_eq!(pieces, [expected]);
    }

    #[rstest]
    #[case("6 xylophone cases", 6, "xylophone cases")]
    #[case("6 x xylophone cases", 6, "xylophone cases")]
    #[case("2x frame", 2, "frame")]
    #[case("2 × frame", 2, "frame")]
    #[case("xylophone case", 1, "xylophone case")]
    #[case("box x 2", 1, "box x 2")]
    #[case("4-drum frame", 1, "4-drum frame")]
    #[case("99999999999 cases", 1, "99999999999 cases")]
    fn only_an_x_that_stands_alone_is_a_sign(#[case] text: &str, #[case] count: u32, #[case] what: &str) {
        assert_eq!(counted(text), (count, what));
    }

    #[rstest]
    #[case("case; 18", "line 1: \"18\" is not understood")]
    #[case("case\n; 18 kg", "line 2")]
    #[case("0 x case", "start with what the piece is")]
    #[case("case; many people", "many people")]
    #[case("case; -3 kg", "-3 kg")]
    fn errors_say_where_and_what(#[case] text: &str, #[case] says: &str) {
        let why = pieces_of(text).unwrap_err();
        assert!(why.contains(says), "{why}");
    }
}
