//! Readings as a work of the library: one file, or the files of its movements.

use super::ScoreReading;
use super::gather::gather;
use backrow_core::id::{LineId, MovementId, WorkId};
use backrow_core::music::{Line, Movement, Work};

/// The work that a reading makes: one movement, a call for each line, ids from the names.
///
/// The ids are fresh within the work; whoever takes it into a library sees to the work's own id.
pub fn work_of(reading: &ScoreReading) -> Work {
    let gathered = gather(&[reading]);
    gathered.works.first().map_or_else(|| work_of_movements("", "", &[]), |work| work.work(&[reading]))
}

/// The work of several readings in the order of its movements, each with its number where that is known.
pub(super) fn work_of_movements(
    title: &str,
    composer: &str,
    readings: &[(&ScoreReading, Option<u32>)],
) -> Work {
    let mut movements: Vec<Movement> = Vec::with_capacity(readings.len());
    let mut lines: Vec<Line> = Vec::new();
    for (at, (reading, number)) in readings.iter().enumerate() {
        let printed = reading.movement_number.trim();
        let name = match number {
            Some(number) => number.to_string(),
            None if printed.is_empty() => (at + 1).to_string(),
            None => printed.to_owned(),
        };
        let id = MovementId::fresh(&name, |id| movements.iter().any(|movement| movement.id == *id));
        lines_of(reading, &id, readings.len() > 1, &mut lines);
        movements.push(Movement {
            id,
            number: number.map_or_else(|| printed.to_owned(), roman),
            title: movement_title(reading),
            timeline: reading.timeline.clone(),
        });
    }
    let files: Vec<&str> = readings.iter().map(|(reading, _)| reading.file.as_str()).collect();
    Work {
        id: WorkId::fresh(title, |_| false),
        title: title.to_owned(),
        composer: composer.to_owned(),
        movements,
        lines,
        together: Vec::new(),
        memory: backrow_core::trial::Memory::default(),
        remark: format!("Read from {}.", files.join(", ")),
    }
}

/// The movement's title without the number in front, which stands beside it.
fn movement_title(reading: &ScoreReading) -> String {
    let title = match reading.title_from {
        super::reading::TitleFrom::Movement if reading.movement_title.is_empty() => &reading.title,
        _ => &reading.movement_title,
    };
    title.trim().to_owned()
}

fn lines_of(reading: &ScoreReading, movement: &MovementId, several: bool, lines: &mut Vec<Line>) {
    for line in &reading.lines {
        let name = line.kind.as_ref().map_or(line.printed.as_str(), |kind| kind.as_str());
        let name = if name.is_empty() { "open" } else { name };
        let name = if several { format!("{movement} {name}") } else { name.to_owned() };
        let id = LineId::fresh(&name, |id| lines.iter().any(|other| other.id == *id));
        lines.push(Line {
            id,
            movement: movement.clone(),
            kind: line.kind.clone(),
            printed: line.printed.clone(),
            part: line.part_name.clone(),
            octave: line.usual_octave,
            passages: line.passages.iter().map(|p| p.passage.clone()).collect(),
            beaters: line.beaters.clone(),
            degree: line.degree,
            exposed: false,
            evidence: line.evidence.iter().chain(&line.doubts).cloned().collect(),
        });
    }
}

/// "Invented, Tess" as one says it: "Tess Invented". What has more or fewer commas stays.
pub(super) fn natural_name(name: &str) -> String {
    let name = name.trim();
    match name.split_once(',').map(|(last, first)| (last.trim(), first.trim())) {
        Some((last, first))
            if !last.is_empty()
                && !first.is_empty()
                && !first.contains([',', '(', ';', '/'])
                && !name.contains(|c: char| c.is_ascii_digit())
                && !["jr", "jr.", "sr", "sr."].contains(&first.to_lowercase().as_str()) =>
        {
            format!("{first} {last}")
        }
        _ => name.to_owned(),
    }
}

/// Roman figures up to 39; figures beyond.
pub fn roman(number: u32) -> String {
    const ONES: [&str; 10] = ["", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"];
    let tens = usize::try_from(number / 10).unwrap_or(usize::MAX);
    match usize::try_from(number % 10).ok().and_then(|ones| ONES.get(ones)) {
        Some(ones) if tens <= 3 => format!("{}{ones}", "X".repeat(tens)),
        _ => number.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("Invented, Tess", "Tess Invented")]
    #[case("T. Invented", "T. Invented")]
    #[case("Ostrandt, Maren van", "Maren van Ostrandt")]
    #[case("Invented, Tess (1890-1950)", "Invented, Tess (1890-1950)")]
    #[case("Invented, Tess, arr. Ostrandt", "Invented, Tess, arr. Ostrandt")]
    #[case("Invented, Jr.", "Invented, Jr.")]
    fn names_are_written_one_way(#[case] printed: &str, #[case] natural: &str) {
        assert_eq!(natural_name(printed), natural);
    }

    #[test]
    fn movements_are_numbered_as_printed() {
        let numbers: Vec<String> = [1, 4, 9, 10, 14, 39, 40].into_iter().map(roman).collect();
        assert_eq!(numbers, ["I", "IV", "IX", "X", "XIV", "XXXIX", "40"]);
    }
}
