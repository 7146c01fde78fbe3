//! Reading and checking a kinds file.

use super::lines::Lines;
use super::record::{CompassRecord, FORMAT, KindRecord, KindsFile, OctaveRecord, ShapeRecord};
use crate::problem::Problem;
use backrow_core::collection::{Family, Head, Kind, Layout, Material, Names, Pitched, UsualCompass};
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use backrow_core::pitch::{Octave, Reading, parse_note};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

const STANDARD: &str = include_str!("../../../../assets/kinds/kinds.ron");

/// The program's own kinds table, by id. A test keeps it free of problems; the error names the first one.
pub fn standard() -> Result<Shared<KindId, Kind>, Problem> {
    let (kinds, problems) = parse_kinds("kinds.ron", STANDARD);
    match problems.into_iter().next() {
        Some(problem) => Err(problem),
        None => Ok(Arc::new(
            kinds.into_iter().map(|kind| (kind.id.clone(), Arc::new(kind))).collect::<BTreeMap<_, _>>(),
        )),
    }
}

/// The kinds in the text of a kinds file, in its order, and what could not be read; `file` is for the messages.
///
/// A syntax error or an unknown field costs the file; a wrong word, note, octave or size costs its kind.
pub fn parse_kinds(file: &str, text: &str) -> (Vec<Kind>, Vec<Problem>) {
    let read: KindsFile = match ron::from_str(text) {
        Ok(read) => read,
        Err(error) => return (Vec::new(), vec![syntax(file, &error)]),
    };
    if read.format != FORMAT {
        return (Vec::new(), vec![format_problem(file, read.format)]);
    }
    let lines = Lines::new(file, text);
    let mut kinds = Vec::new();
    let mut problems = Vec::new();
    let mut seen = BTreeSet::new();
    for (nth, record) in read.kinds.into_iter().enumerate() {
        let id = record.id.clone();
        match kind(record) {
            Ok(kind) if seen.insert(kind.id.clone()) => kinds.push(kind),
            Ok(_) => problems.push(Problem {
                code: "kind-twice",
                place: lines.place(nth, "id"),
                what: format!("the kind \"{id}\" stands in the file twice"),
                remedy: "keep one of the two, or give the other an id of its own".to_owned(),
            }),
            Err(wrong) => problems.push(Problem {
                code: wrong.code,
                place: lines.place(nth, &wrong.near),
                what: format!("kind \"{id}\": {}", wrong.what),
                remedy: wrong.remedy,
            }),
        }
    }
    (kinds, problems)
}

/// What is wrong in one entry, and a text near it by which its line is found.
pub(super) struct Wrong {
    pub(super) code: &'static str,
    pub(super) near: String,
    pub(super) what: String,
    pub(super) remedy: String,
}

impl Wrong {
    pub(super) fn new(code: &'static str, near: &str, what: String, remedy: &str) -> Self {
        Self { code, near: near.to_owned(), what, remedy: remedy.to_owned() }
    }
}

pub(super) fn syntax(file: &str, error: &ron::error::SpannedError) -> Problem {
    Problem {
        code: "kinds-syntax",
        place: format!("{file}, line {}", error.span.start.line),
        what: format!("not to be read: {}", error.code),
        remedy: "mend that line or the one before it; nothing in this file is used until then".to_owned(),
    }
}

pub(super) fn format_problem(file: &str, format: u32) -> Problem {
    Problem {
        code: "kinds-format",
        place: file.to_owned(),
        what: format!("it says format {format}, and this program knows format {FORMAT}"),
        remedy: "open it with a newer version of the program".to_owned(),
    }
}

/// The word among those allowed, or a message that lists them.
pub(super) fn word<T: Copy>(
    field: &str,
    text: &str,
    all: &[T],
    word_of: impl Fn(T) -> &'static str,
) -> Result<T, Wrong> {
    let allowed = || all.iter().map(|one| word_of(*one)).collect::<Vec<_>>().join(", ");
    all.iter().copied().find(|one| word_of(*one) == text).ok_or_else(|| {
        Wrong::new(
            "kind-word",
            &format!("\"{text}\""),
            format!("\"{text}\" is no {field}"),
            &format!("use one of {}", allowed()),
        )
    })
}

fn kind(record: KindRecord) -> Result<Kind, Wrong> {
    let id = KindId::new(&record.id)
        .map_err(|error| Wrong::new("kind-id", "id", error.to_string(), "give it such an id"))?;
    let family = word("family", &record.family, &Family::ALL, Family::word)?;
    let pitched = word("answer to pitched", &record.pitched, &Pitched::ALL, Pitched::word)?;
    let layout = word("layout", &record.layout, &Layout::ALL, Layout::word)?;
    let material = word("material", &record.material, &Material::ALL, Material::word)?;
    let harmful: Result<Vec<Head>, Wrong> =
        record.harmful.iter().map(|head| word("head of a beater", head, &Head::ALL, Head::word)).collect();
    let octave = octave(record.octave, pitched)?;
    let compasses: Result<Vec<UsualCompass>, Wrong> = record.compasses.iter().map(compass).collect();
    if record.unit.trim().is_empty() {
        return Err(Wrong::new(
            "kind-empty",
            "unit",
            "its unit has no word".into(),
            "say bar, disc, tube, ...",
        ));
    }
    check_shape(record.shape)?;
    let kind = Kind {
        id,
        names: Names {
            english: record.english,
            italian: record.italian,
            german: record.german,
            french: record.french,
            abbreviations: record.abbreviations,
        },
        family,
        pitched,
        octave,
        compasses: compasses?,
        unit: record.unit,
        layout,
        material,
        shape: record.shape.into(),
        bears: record.bears,
        harmful: harmful?,
    };
    check_names(&kind.names)?;
    Ok(kind)
}

/// At least one English name, and none that is empty.
pub(super) fn check_names(names: &Names) -> Result<(), Wrong> {
    if names.english.is_empty() {
        return Err(Wrong::new("kind-empty", "english", "it has no English name".into(), "give it one"));
    }
    if names.all().any(|name| name.trim().is_empty()) {
        return Err(Wrong::new("kind-empty", "\"\"", "one of its names is empty".into(), "take it out"));
    }
    Ok(())
}

fn octave(record: OctaveRecord, pitched: Pitched) -> Result<Option<Octave>, Wrong> {
    match record {
        OctaveRecord::Semitones(semitones) => Octave::new(semitones).map(Some).map_err(|error| {
            Wrong::new(
                "kind-octave",
                "octave",
                error.to_string(),
                "state sounding minus written in semitones",
            )
        }),
        OctaveRecord::Unsaid if pitched == Pitched::Yes => Err(Wrong::new(
            "kind-octave",
            "pitched",
            "it is pitched and says no octave".into(),
            "add octave: semitones(0), or octave: not_agreed where each call must say",
        )),
        OctaveRecord::Unsaid | OctaveRecord::NotAgreed => Ok(None),
    }
}

fn compass(record: &CompassRecord) -> Result<UsualCompass, Wrong> {
    let key = |text: &str| match parse_note(text, Reading::English) {
        Ok(note) => Ok(note.key()),
        Err(error) => {
            Err(Wrong::new("kind-note", &format!("\"{text}\""), error.to_string(), "mend the compass"))
        }
    };
    let (low, high) = (key(&record.low)?, key(&record.high)?);
    if low > high {
        return Err(Wrong::new(
            "kind-compass",
            &format!("\"{}\"", record.low),
            format!("the compass \"{}\" begins at {low} and ends lower, at {high}", record.name),
            "exchange low and high",
        ));
    }
    if record.name.trim().is_empty() {
        return Err(Wrong::new(
            "kind-empty",
            "\"\"",
            "a compass has no name".into(),
            "name it: \"3 octaves\"",
        ));
    }
    Ok(UsualCompass { name: record.name.clone(), low, high })
}

fn check_shape(shape: ShapeRecord) -> Result<(), Wrong> {
    let sizes = match shape {
        ShapeRecord::Keyboard { width_m, low_m, high_m } => vec![width_m, low_m, high_m],
        ShapeRecord::Box { width_m, depth_m } | ShapeRecord::Hung { width_m, depth_m } => {
            vec![width_m, depth_m]
        }
        ShapeRecord::Round { diameter_m } => vec![diameter_m],
    };
    if sizes.iter().all(|metres| (0.01..=20.0).contains(metres)) {
        return Ok(());
    }
    Err(Wrong::new(
        "kind-shape",
        "shape",
        "a size of its shape is not between 0.01 and 20".into(),
        "give sizes in metres",
    ))
}
