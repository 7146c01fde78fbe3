//! Where every run of text stands on a printed page, and which of them overprint another or leave the paper.

use super::{PT, Pdf, at, times};
use lopdf::{Document, Encoding, Object, ObjectId};
use std::collections::BTreeMap;

/// A run of text on a page, points from the lower left corner of the paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TextBox {
    /// From 1.
    pub(crate) page: usize,
    pub(crate) left: f64,
    pub(crate) right: f64,
    /// A little under the baseline: letters that hang lower may share their line with nothing.
    pub(crate) bottom: f64,
    /// Between the height of small letters and of capitals.
    pub(crate) top: f64,
    /// Its corners, as it may be turned.
    corners: [[f64; 2]; 4],
    pub(crate) text: String,
}

/// What hangs below the baseline and still counts, and how high a letter is at the least, in parts of the size of the type.
const BELOW: f64 = 0.10;
const ABOVE: f64 = 0.56;
/// Two runs that share less than this are only near to each other, points.
const HAIR: f64 = 0.6;
/// Nothing stands nearer to the edge of the paper, millimetres: what an office printer leaves free.
const EDGE_MM: f64 = 6.0;

impl TextBox {
    /// Whether the two share more than a hair: there is no line between them that keeps them apart.
    fn overprints(&self, other: &Self) -> bool {
        let near = self.right.min(other.right) - self.left.max(other.left) > HAIR
            && self.top.min(other.top) - self.bottom.max(other.bottom) > HAIR;
        let apart = |[x, y]: [f64; 2]| {
            let along = |b: &Self| {
                let all = b.corners.map(|c| c[0] * x + c[1] * y);
                (all.iter().copied().fold(f64::MAX, f64::min), all.iter().copied().fold(f64::MIN, f64::max))
            };
            let ((a, b), (c, d)) = (along(self), along(other));
            b.min(d) - a.max(c) <= HAIR
        };
        self.page == other.page && near && !self.sides().into_iter().chain(other.sides()).any(apart)
    }

    /// The directions of its sides, length 1.
    fn sides(&self) -> [[f64; 2]; 2] {
        let [a, b, c, _] = self.corners;
        [(a, b), (a, c)].map(|(p, q)| {
            let length = (q[0] - p[0]).hypot(q[1] - p[1]).max(1e-9);
            [(q[0] - p[0]) / length, (q[1] - p[1]) / length]
        })
    }
}

impl Pdf {
    /// Every run of text that is not blank.
    pub(crate) fn boxes(&self) -> Vec<TextBox> {
        let mut found = Vec::new();
        for (n, (number, page)) in self.document.get_pages().into_iter().enumerate() {
            let fonts = Fonts::of(&self.document, page);
            let (operations, _) = self.operations().nth(n).unwrap();
            found.extend(fonts.read(&operations, number as usize));
        }
        found
    }

    /// What is wrong with the places of texts, a sentence each: none when all is well.
    pub(crate) fn misplaced(&self) -> Vec<String> {
        self.misplaced_within(EDGE_MM)
    }

    /// The same with another least distance from the paper's edge, mm.
    pub(crate) fn misplaced_within(&self, edge_mm: f64) -> Vec<String> {
        let boxes = self.boxes();
        let sizes: Vec<[f64; 2]> = self.operations().map(|(_, size)| size).collect();
        let mut wrong = Vec::new();
        for (nth, one) in boxes.iter().enumerate() {
            let [width, height] = sizes[one.page - 1];
            let edge = edge_mm * PT;
            if one.left < edge || one.right > width - edge || one.bottom < edge || one.top > height - edge {
                wrong.push(format!(
                    "page {}: \"{}\" leaves the paper ({:.0} to {:.0} mm across, {:.0} mm up)",
                    one.page,
                    one.text,
                    one.left / PT,
                    one.right / PT,
                    one.bottom / PT
                ));
            }
            for other in boxes[nth + 1..].iter().filter(|other| one.overprints(other)) {
                wrong.push(format!(
                    "page {}: \"{}\" and \"{}\" overprint each other ({:.0} mm across, {:.0} mm up)",
                    one.page,
                    one.text,
                    other.text,
                    one.left.max(other.left) / PT,
                    one.bottom / PT
                ));
            }
        }
        wrong
    }

    /// How much of each page's height holds text, from the highest to the lowest, without head and foot: 0 to 1.
    pub(crate) fn filled(&self, head_mm: f64, foot_mm: f64) -> Vec<f64> {
        let boxes = self.boxes();
        let page = |(n, (_, [_, height])): (usize, (_, [f64; 2]))| {
            let (top, bottom) = (height - head_mm * PT, foot_mm * PT);
            let lowest = boxes
                .iter()
                .filter(|one| one.page == n + 1 && one.bottom > bottom && one.top < top)
                .map(|one| one.bottom)
                .fold(top, f64::min);
            (top - lowest) / (top - bottom)
        };
        self.operations().enumerate().map(page).collect()
    }
}

/// How wide each sign of a font is, in thousandths of the size, how wide any other, and which sign it is.
type Font<'a> = (BTreeMap<u16, f64>, f64, Option<Encoding<'a>>);

/// The fonts of a page.
struct Fonts<'a> {
    by_name: BTreeMap<Vec<u8>, Font<'a>>,
}

impl<'a> Fonts<'a> {
    fn of(document: &'a Document, page: ObjectId) -> Self {
        let fonts = document.get_page_fonts(page).unwrap();
        let by_name = fonts.into_iter().map(|(name, font)| {
            let (widths, usual) = widths(document, font);
            (name, (widths, usual, font.get_font_encoding(document).ok()))
        });
        Self { by_name: by_name.collect() }
    }

    fn read(&self, operations: &[lopdf::content::Operation], page: usize) -> Vec<TextBox> {
        let unit = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        let (mut now, mut kept, mut words) = (unit, Vec::new(), unit);
        let (mut font, mut size) = (Vec::new(), 0.0);
        let mut found = Vec::new();
        for operation in operations {
            let figures = || -> Vec<f64> {
                operation.operands.iter().filter_map(|o| o.as_float().ok()).map(f64::from).collect()
            };
            match operation.operator.as_str() {
                "q" => kept.push(now),
                "Q" => now = kept.pop().unwrap_or(unit),
                "cm" => now = times(figures().as_slice().try_into().unwrap(), now),
                "BT" => words = unit,
                "Tm" => words = figures().as_slice().try_into().unwrap(),
                "Tf" => {
                    font = operation.operands[0].as_name().unwrap().to_vec();
                    size = f64::from(operation.operands[1].as_float().unwrap());
                }
                "Tj" | "TJ" => {
                    let Some((from, to, text)) = self.run(&font, &operation.operands) else { continue };
                    let matrix = times(words, now);
                    let corner = |x: f64, y: f64| at(matrix, x * size, y * size);
                    let corners =
                        [corner(from, -BELOW), corner(to, -BELOW), corner(from, ABOVE), corner(to, ABOVE)];
                    let least = |i: usize| corners.iter().map(|c| c[i]).fold(f64::MAX, f64::min);
                    let most = |i: usize| corners.iter().map(|c| c[i]).fold(f64::MIN, f64::max);
                    found.push(TextBox {
                        page,
                        left: least(0),
                        right: most(0),
                        bottom: least(1),
                        top: most(1),
                        corners,
                        text,
                    });
                }
                _ => {}
            }
        }
        found
    }

    /// From where to where a run goes, in parts of the size, without blanks at its ends; `None` when it is blank.
    fn run(&self, font: &[u8], operands: &[Object]) -> Option<(f64, f64, String)> {
        let (widths, usual, encoding) = self.by_name.get(font)?;
        let parts: Vec<&Object> = match operands.first()? {
            Object::Array(parts) => parts.iter().collect(),
            one => vec![one],
        };
        let (mut along, mut from, mut to, mut text) = (0.0, None, 0.0, String::new());
        for part in parts {
            if let Ok(shift) = part.as_float() {
                along -= f64::from(shift) / 1000.0;
                continue;
            }
            for code in part.as_str().ok()?.chunks_exact(2) {
                let sign = encoding.as_ref().and_then(|e| Document::decode_text(e, code).ok());
                let sign = sign.unwrap_or_else(|| "?".to_owned());
                let wide = widths.get(&u16::from_be_bytes([code[0], code[1]])).unwrap_or(usual) / 1000.0;
                if !sign.trim().is_empty() {
                    from = from.or(Some(along));
                    to = along + wide;
                }
                along += wide;
                text.push_str(&sign);
            }
        }
        from.map(|from| (from, to, text.trim().to_owned()))
    }
}

/// The widths of a composite font (ISO 32000-1, 9.7.4.3), and that of every other sign.
fn widths(document: &Document, font: &lopdf::Dictionary) -> (BTreeMap<u16, f64>, f64) {
    let follow = |object: &'_ Object| -> Object {
        object.as_reference().ok().and_then(|id| document.get_object(id).ok()).unwrap_or(object).clone()
    };
    let Ok(Object::Array(descendants)) = font.get(b"DescendantFonts").map(follow) else {
        return (BTreeMap::new(), 500.0);
    };
    let descendant = follow(&descendants[0]);
    let dictionary = descendant.as_dict().unwrap();
    let usual = dictionary.get(b"DW").ok().and_then(|o| o.as_float().ok()).map_or(1000.0, f64::from);
    let mut widths = BTreeMap::new();
    let Ok(Object::Array(list)) = dictionary.get(b"W").map(follow) else { return (widths, usual) };
    let mut at = 0;
    while at + 1 < list.len() {
        let first = u16::try_from(list[at].as_i64().unwrap()).unwrap();
        if let Object::Array(each) = follow(&list[at + 1]) {
            for (nth, wide) in each.iter().enumerate() {
                let code = first + u16::try_from(nth).unwrap();
                widths.insert(code, f64::from(wide.as_float().unwrap()));
            }
            at += 2;
        } else {
            let last = u16::try_from(list[at + 1].as_i64().unwrap()).unwrap();
            let wide = f64::from(list[at + 2].as_float().unwrap());
            widths.extend((first..=last).map(|code| (code, wide)));
            at += 3;
        }
    }
    (widths, usual)
}
