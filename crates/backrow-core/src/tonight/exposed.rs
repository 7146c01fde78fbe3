//! Where the music would let an instrument's tuning be heard: notes that last, in a soft or bare texture.

use crate::collection::Material;
use crate::music::{Dynamic, Line, MeasureName, Timeline};
use crate::pitch::KeyNumber;

/// A note that lasts long enough to be compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Exposed {
    /// Sounding.
    pub key: KeyNumber,
    /// When it is struck, microseconds from the start of the movement.
    pub at_us: u64,
    /// How long it is heard, seconds.
    pub seconds: f64,
    /// The dynamic in force, where the part says one.
    pub dynamic: Option<Dynamic>,
    /// The measure, as printed.
    pub measure: MeasureName,
    /// Whether the section counts the line as exposed.
    pub counted: bool,
}

/// The shortest note that is looked at, seconds. Ours: below it no ear compares.
const SHORTEST_S: f64 = 0.25;

/// No note is counted longer than that, seconds: bars and bells fade. Ours.
const LONGEST_S: f64 = 6.0;

/// How long a struck thing of a material is heard at most when it is not rolled, seconds: wood is soon gone, metal rings. Ours, of
/// the order of published decay times.
const fn rings_s(material: Material) -> f64 {
    match material {
        Material::Rosewood | Material::Padauk | Material::Wood | Material::Synthetic => 1.0,
        Material::Skin | Material::Mixed => 1.5,
        Material::Aluminium | Material::Steel | Material::Brass | Material::Bronze | Material::Glass => {
            LONGEST_S
        }
    }
}

/// The pitched notes of a line that last a quarter of a second or more on an instrument of a material. A note whose written length is
/// not known lasts to the next stroke of its line.
pub fn exposed(line: &Line, timeline: &Timeline, material: Material) -> Vec<Exposed> {
    let strokes = line.strokes(timeline);
    let ends: Vec<u64> = strokes.iter().map(|stroke| stroke.struck.at_us).collect();
    let one = |stroke: &crate::music::Stroke<'_>| {
        let (_, key) = stroke.note()?;
        let at_us = stroke.struck.at_us;
        let next = ends.get(ends.partition_point(|end| *end <= at_us)).copied();
        let passage_end = line.passages.get(stroke.passage).map_or(at_us, |p| crate::music::micros(p.to_s));
        let until = next.unwrap_or(passage_end).max(at_us);
        let written = stroke.struck.lasts_us.map_or(until - at_us, u64::from);
        let most = if stroke.struck.rolled { LONGEST_S } else { rings_s(material) };
        let seconds = (written as f64 / 1e6).min(most);
        (seconds >= SHORTEST_S).then(|| Exposed {
            key,
            at_us,
            seconds,
            dynamic: stroke.struck.dynamic,
            measure: stroke.measure.clone(),
            counted: line.exposed,
        })
    };
    strokes.iter().filter_map(one).collect()
}

impl Exposed {
    /// Whether others probably cover it: loud, and not counted as exposed.
    pub fn is_covered(&self) -> bool {
        !self.counted && self.dynamic.is_some_and(|dynamic| dynamic >= Dynamic::F)
    }

    /// "F♯6 for 3.2 s, pp, m. 41".
    pub fn words(&self) -> String {
        let dynamic = self.dynamic.map_or_else(String::new, |dynamic| format!(", {}", dynamic.sign()));
        format!("{} for {:.1}\u{202F}s{dynamic}, m. {}", self.key, self.seconds, self.measure)
    }
}
