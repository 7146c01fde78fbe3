//! Labels for cases and instruments, with a square code that holds the instrument's id.

use crate::words::{owner_words, place_words};
use backrow_core::carrying::Carrying;
use backrow_core::collection::{Instrument, Mass, Owner, Piece};
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::labels::{Grid, Label, LabelsSheet};
use backrow_print::{Head, Paper};
use qrcode::{Color, EcLevel, QrCode};
use serde::{Deserialize, Serialize};
use std::fmt::Write as _;

/// A common size of labels. The measures are those that stationers' sheets of that many share; from memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum LabelSize {
    /// 8 on a sheet, 99.1 by 67.7 mm: for cases.
    #[default]
    Eight,
    /// 14 on a sheet, 99.1 by 38.1 mm.
    Fourteen,
    /// 21 on a sheet, 63.5 by 38.1 mm.
    TwentyOne,
    /// 24 on a sheet without margins, 70 by 37 mm.
    TwentyFour,
    /// 6 on a sheet of Letter, 4 by 3 1/3 inches: for cases.
    LetterSix,
    /// 10 on a sheet of Letter, 4 by 2 inches.
    LetterTen,
    /// 14 on a sheet of Letter, 4 by 1 1/3 inches.
    LetterFourteen,
}

impl LabelSize {
    /// All.
    pub const ALL: [Self; 7] = [
        Self::Eight,
        Self::Fourteen,
        Self::TwentyOne,
        Self::TwentyFour,
        Self::LetterSix,
        Self::LetterTen,
        Self::LetterFourteen,
    ];

    /// The paper that its sheets have.
    pub const fn paper(self) -> Paper {
        match self {
            Self::Eight | Self::Fourteen | Self::TwentyOne | Self::TwentyFour => Paper::A4,
            Self::LetterSix | Self::LetterTen | Self::LetterFourteen => Paper::Letter,
        }
    }

    /// The sizes of that paper.
    pub fn of(paper: Paper) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |size| size.paper() == paper)
    }

    /// The same where it lies on that paper, else the one there that is most like it; itself on a paper without labels.
    #[must_use]
    pub fn on(self, paper: Paper) -> Self {
        let area = |size: Self| size.grid().width_mm * size.grid().height_mm;
        let off = |size: &Self| (area(*size) / area(self)).ln().abs();
        Self::of(paper).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(self)
    }

    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Eight => "8 a sheet, 99 × 68 mm",
            Self::Fourteen => "14 a sheet, 99 × 38 mm",
            Self::TwentyOne => "21 a sheet, 64 × 38 mm",
            Self::TwentyFour => "24 a sheet, 70 × 37 mm",
            Self::LetterSix => "6 a sheet, 4 × 3⅓ in",
            Self::LetterTen => "10 a sheet, 4 × 2 in",
            Self::LetterFourteen => "14 a sheet, 4 × 1⅓ in",
        }
    }

    fn grid(self) -> Grid {
        let grid = |columns, rows, (width_mm, height_mm), (left_mm, top_mm), gap_mm| Grid {
            columns,
            rows,
            width_mm,
            height_mm,
            left_mm,
            top_mm,
            gap_mm,
        };
        match self {
            Self::Eight => grid(2, 4, (99.1, 67.7), (4.65, 13.1), 2.5),
            Self::Fourteen => grid(2, 7, (99.1, 38.1), (4.65, 15.15), 2.5),
            Self::TwentyOne => grid(3, 7, (63.5, 38.1), (7.25, 15.15), 2.5),
            Self::TwentyFour => grid(3, 8, (70.0, 37.0), (0.0, 0.5), 0.0),
            Self::LetterSix => grid(2, 3, (101.6, 84.67), (3.97, 12.7), 4.76),
            Self::LetterTen => grid(2, 5, (101.6, 50.8), (3.97, 12.7), 4.76),
            Self::LetterFourteen => grid(2, 7, (101.6, 33.87), (3.97, 21.17), 4.76),
        }
    }
}

/// The labels of a programme's instruments, each with its number on the plan; without a programme those of the whole collection.
pub fn labels(library: &Library, programme: Option<&Programme>, size: LabelSize) -> LabelsSheet {
    let used = programme.map(Programme::instruments);
    let number = |thing: &Instrument| programme.and_then(|programme| programme.number_of(&thing.id));
    let mut things: Vec<&Instrument> = library
        .instruments
        .values()
        .map(|thing| &**thing)
        .filter(|thing| used.as_ref().is_none_or(|used| used.contains(&thing.id)))
        .collect();
    things.sort_by_key(|thing| {
        (number(thing).unwrap_or(u32::MAX), thing.name.to_lowercase(), thing.id.clone())
    });
    let of = |thing: &&Instrument| labels_of(library, thing, number(thing));
    LabelsSheet {
        head: Head { orchestra: library.orchestra.name.clone(), ..Head::default() },
        title: programme
            .map_or_else(|| "Labels".to_owned(), |programme| format!("Labels, {}", programme.title)),
        grid: size.grid(),
        labels: things.iter().flat_map(of).collect(),
    }
}

/// One a piece that is carried.
fn labels_of(library: &Library, thing: &Instrument, number: Option<u32>) -> Vec<Label> {
    let carried = thing.carried();
    let count: u32 = carried.iter().map(|piece| piece.count.clamp(1, 99)).sum();
    let each = carried.iter().flat_map(|piece| (0..piece.count.clamp(1, 99)).map(move |_| piece));
    let label = |(at, piece): (usize, &Piece)| {
        let what = if thing.pieces.is_empty() { "" } else { piece.what.as_str() };
        let nth = if count > 1 { format!("{} of {count}", at + 1) } else { String::new() };
        let carrying = Carrying::of_piece(piece);
        Label {
            name: thing.name.clone(),
            piece: [what, nth.as_str()]
                .into_iter()
                .filter(|part| !part.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
            number: number.map_or_else(String::new, |number| number.to_string()),
            store: place_words(library, thing.place.as_ref()),
            mass: piece.mass.map_or_else(String::new, mass_words),
            people: carrying.to_string(),
            care: piece.care.clone(),
            owner: if thing.owner == Owner::Orchestra {
                String::new()
            } else {
                owner_words(library, &thing.owner)
            },
            id: thing.id.to_string(),
            code: code(thing.id.as_str()),
            picture: String::new(),
            heavy: super::is_heavy(thing),
        }
    };
    each.enumerate().map(label).collect()
}

fn mass_words(mass: Mass) -> String {
    let about = if mass.weighed { "" } else { "about " };
    format!("{about}{:.1}\u{202F}kg", mass.kg).replace(".0\u{202F}kg", "\u{202F}kg")
}

/// A square code (QR, ISO/IEC 18004) of a text, as SVG; empty for what is too long for one.
fn code(text: &str) -> String {
    let Ok(code) = QrCode::with_error_correction_level(text, EcLevel::M) else { return String::new() };
    let width = code.width();
    let mut path = String::new();
    for (at, colour) in code.to_colors().into_iter().enumerate() {
        if colour == Color::Dark {
            // Writing to a text cannot fail.
            write!(path, "M{} {}h1v1h-1z", at % width, at / width).unwrap_or_default();
        }
    }
    // A margin of four, as the standard asks; half of it is the label's own.
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-2 -2 {0} {0}\" shape-rendering=\"crispEdges\"><path fill=\"#000\" d=\"{path}\"/></svg>",
        width + 4
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_piece_has_a_label_with_the_id() {
        let library = crate::sample::small();
        let sheet = labels(&library, None, LabelSize::default());
        let pieces: u32 =
            library.instruments.values().flat_map(|thing| thing.carried()).map(|p| p.count.max(1)).sum();
        assert_eq!(sheet.labels.len(), pieces as usize);
        for label in &sheet.labels {
            assert!(library.instruments.keys().any(|id| id.as_str() == label.id), "{label:?}");
            assert!(label.code.contains("<path"), "{label:?}");
        }
    }

    #[test]
    fn the_sheets_hold_their_labels() {
        for size in LabelSize::ALL {
            let grid = size.grid();
            let across = grid.left_mm * 2.0
                + f64::from(grid.columns) * grid.width_mm
                + f64::from(grid.columns - 1) * grid.gap_mm;
            let down = grid.top_mm * 2.0 + f64::from(grid.rows) * grid.height_mm;
            let (width, height) = size.paper().size_mm();
            assert!((across - width).abs() < 0.6 && (down - height).abs() < 0.6, "{size:?}: {across} {down}");
        }
    }

    #[test]
    fn another_paper_takes_the_size_that_is_most_like_it() {
        for size in LabelSize::ALL {
            assert_eq!(size.on(size.paper()), size);
            assert_eq!(size.on(Paper::Letter).paper(), Paper::Letter);
            assert_eq!(size.on(Paper::A4).paper(), Paper::A4);
        }
        assert_eq!(LabelSize::Eight.on(Paper::Letter), LabelSize::LetterSix);
        assert_eq!(LabelSize::LetterFourteen.on(Paper::A4), LabelSize::Fourteen);
    }
}
