//! The programme's lines for timpani: what each drum starts with and is retuned to, in hertz at the A and beside winds that have
//! risen with the hall's air.

use super::super::bench::Bench;
use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, semibold};
use crate::view::View;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::music::{Line, Work};
use backrow_core::pitch::{KeyNumber, signed};
use backrow_core::sets::{LinePlan, is_for_timpani, line_plan};
use backrow_core::timpani::impossible_words;
use backrow_core::tonight::Hall;
use backrow_core::tuning::raised;
use backrow_core::week::{LineRef, Programme};
use egui::{RichText, Ui};

/// The lines of a programme, remembered by the library's revision: a plan takes longer than a frame.
pub(in crate::places::collection) type Plans = Memo<(u64, ProgrammeId), Vec<OfLine>>;

/// A line and its tunings; else why there are none.
pub(in crate::places::collection) struct OfLine {
    title: String,
    tunings: Result<Vec<Tuning>, String>,
}

struct Tuning {
    when: String,
    drum: String,
    note: String,
    key: KeyNumber,
}

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &View, bench: &mut Bench, hall: Hall) {
    let Some(programme) = view.programme_in(scene.library) else { return };
    let key = (scene.revision, programme.id.clone());
    let lines = bench.timpani.get(key, || of_programme(scene.library, programme));
    if lines.is_empty() {
        return;
    }
    let tokens = scene.tokens;
    let title = format!("Timpani in {}", programme.title);
    ui.label(RichText::new(title).font(semibold(size::TEXT)).color(tokens.ink));
    for (at, line) in lines.iter().enumerate() {
        ui.label(RichText::new(&line.title).color(tokens.ink));
        match &line.tunings {
            Ok(tunings) => table(ui, scene, at, tunings, hall),
            Err(why) => {
                ui.add(egui::Label::new(RichText::new(why).color(tokens.clash)).wrap());
            }
        }
    }
    let words = format!(
        "At {}\u{202F}°C winds lie {} cents from the A if nobody holds them; where they rise, the drums are tuned to them.",
        hall.celsius,
        signed(hall.winds_cents(), 1)
    );
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
}

fn table(ui: &mut Ui, scene: &Scene<'_>, at: usize, tunings: &[Tuning], hall: Hall) {
    let by_a = format!("Hz at A {}", hall.a.value());
    egui::Grid::new(("timpani", at)).num_columns(5).spacing([14.0, 3.0]).show(ui, |ui| {
        for head in ["when", "drum", "note", by_a.as_str(), "Hz with risen winds"] {
            ui.label(RichText::new(head).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
        ui.end_row();
        for Tuning { when, drum, note, key } in tunings {
            let hz = hall.a.frequency(*key).value();
            for words in [when, drum, note] {
                ui.label(words);
            }
            ui.label(format!("{hz:.1}"));
            ui.label(format!("{:.1}", raised(hz, hall.winds_cents())));
            ui.end_row();
        }
    });
}

fn of_programme(library: &Library, programme: &Programme) -> Vec<OfLine> {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    let lines = works.flat_map(|work| work.lines.iter().map(move |line| (&**work, line)));
    let timpani = lines.filter(|(_, line)| {
        line.is_pitched() && line.kind.as_ref().is_some_and(|kind| is_for_timpani(library, kind))
    });
    timpani.map(|(work, line)| of_line(library, programme, work, line)).collect()
}

fn of_line(library: &Library, programme: &Programme, work: &Work, line: &Line) -> OfLine {
    let number = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
    let title = format!("{} in {} {number}", library.line_name(line), work.title);
    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
    let tunings = match line_plan(library, line, &programme.assignment(&at)) {
        Some(plan) => of_plan(&plan),
        None => Ok(unassigned(line)),
    };
    OfLine { title: title.trim_end().to_owned(), tunings }
}

fn of_plan(line: &LinePlan) -> Result<Vec<Tuning>, String> {
    if let Err(why) = &line.answer {
        return Err(impossible_words(why, &line.spelling));
    }
    let tuning = |when: String, drum: &str, key: KeyNumber| Tuning {
        when,
        drum: drum.to_owned(),
        note: line.spelling.of(key).to_string(),
        key,
    };
    let starts = line.starts().into_iter().map(|(one, key)| tuning("start".to_owned(), &one.drum.name, key));
    let changes =
        line.changes().into_iter().map(|(one, change)| tuning(change.measures(), &one.drum.name, change.to));
    Ok(starts.chain(changes).collect())
}

/// The pitches of a line that has no drums yet.
fn unassigned(line: &Line) -> Vec<Tuning> {
    let spelling = line.spelling();
    let one = |key: KeyNumber| Tuning {
        when: "no drums assigned".to_owned(),
        drum: "–".to_owned(),
        note: spelling.of(key).to_string(),
        key,
    };
    line.sounding().iter().map(one).collect()
}
