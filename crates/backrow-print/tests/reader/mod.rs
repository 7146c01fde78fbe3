//! A second reader of printed PDF, over a general-purpose library: its words, and the measures of its strokes.

#![allow(clippy::unwrap_used, reason = "a print that cannot be read back is a failed test")]

mod boxes;

use lopdf::content::{Content, Operation};
use lopdf::{Document, Object};

/// Points a millimetre.
const PT: f64 = 72.0 / 25.4;

pub(crate) struct Pdf {
    document: Document,
}

/// A transformation: x' = a x + c y + e, y' = b x + d y + f.
type Matrix = [f64; 6];

impl Pdf {
    pub(crate) fn new(bytes: &[u8]) -> Self {
        Self { document: Document::load_mem(bytes).unwrap() }
    }

    pub(crate) fn pages(&self) -> usize {
        self.document.get_pages().len()
    }

    /// All words without white space, so that it does not matter where lines and columns were broken.
    pub(crate) fn text(&self) -> String {
        let numbers: Vec<u32> = self.document.get_pages().keys().copied().collect();
        plain(&self.document.extract_text(&numbers).unwrap())
    }

    /// The same, page by page.
    pub(crate) fn page_texts(&self) -> Vec<String> {
        let numbers = self.document.get_pages().into_keys();
        numbers.map(|number| plain(&self.document.extract_text(&[number]).unwrap())).collect()
    }

    fn operations(&self) -> impl Iterator<Item = (Vec<Operation>, [f64; 2])> {
        self.document.get_pages().into_values().map(|page| {
            let content = Content::decode(&self.document.get_page_content(page)).unwrap();
            let size =
                self.document.get_dictionary(page).unwrap().get(b"MediaBox").unwrap().as_array().unwrap();
            (content.operations, [number(&size[2]), number(&size[3])])
        })
    }

    /// Width and height of every closed path on any page, millimetres.
    pub(crate) fn closed_path_sizes_mm(&self) -> Vec<(f64, f64)> {
        let mut sizes = Vec::new();
        for (operations, _) in self.operations() {
            walk(
                &operations,
                &mut |path, closed| {
                    if closed {
                        let spread = |i: usize| {
                            let all = path.iter().map(|p: &[f64; 2]| p[i]);
                            all.clone().fold(f64::MIN, f64::max) - all.fold(f64::MAX, f64::min)
                        };
                        sizes.push((spread(0) / PT, spread(1) / PT));
                    }
                },
                &mut |_| {},
            );
        }
        sizes
    }

    /// No text begins outside the page's margins (holes at the left), and text there is.
    pub(crate) fn assert_inside_the_paper(&self) {
        for (n, (operations, [width, height])) in self.operations().enumerate() {
            let mut words = 0;
            walk(&operations, &mut |_, _| {}, &mut |[x, y]| {
                words += 1;
                let inside = (10.0 * PT..=width - 10.0 * PT).contains(&x)
                    && (8.0 * PT..=height - 8.0 * PT).contains(&y);
                assert!(inside, "text at {:.1}, {:.1} mm of page {} is outside", x / PT, y / PT, n + 1);
            });
            assert!(words > 0, "page {} is empty", n + 1);
        }
    }
}

/// Without white space.
pub(crate) fn plain(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{ad}').collect()
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

fn times(m: Matrix, n: Matrix) -> Matrix {
    [
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    ]
}

fn at(m: Matrix, x: f64, y: f64) -> [f64; 2] {
    [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]]
}

/// Goes through a page: every path with whether it is closed, every place where text begins.
fn walk(operations: &[Operation], path: &mut dyn FnMut(&[[f64; 2]], bool), text: &mut dyn FnMut([f64; 2])) {
    let unit = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let (mut now, mut kept, mut words) = (unit, Vec::new(), unit);
    let mut points: Vec<[f64; 2]> = Vec::new();
    for Operation { operator, operands } in operations {
        let figures: Vec<f64> = operands.iter().filter_map(|o| o.as_float().ok()).map(f64::from).collect();
        let matrix = || <Matrix>::try_from(figures.as_slice()).unwrap();
        match operator.as_str() {
            "q" => kept.push(now),
            "Q" => now = kept.pop().unwrap_or(unit),
            "cm" => now = times(matrix(), now),
            "m" => points = vec![at(now, figures[0], figures[1])],
            "l" => points.push(at(now, figures[0], figures[1])),
            "c" => points.push(at(now, figures[4], figures[5])),
            "re" => path(
                &[at(now, figures[0], figures[1]), at(now, figures[0] + figures[2], figures[1] + figures[3])],
                true,
            ),
            "h" => path(&points, true),
            "S" | "f" | "n" | "B" => path(&points, false),
            "BT" => words = unit,
            "Tm" => words = matrix(),
            "Tj" | "TJ" => text(at(times(words, now), 0.0, 0.0)),
            _ => {}
        }
    }
}
