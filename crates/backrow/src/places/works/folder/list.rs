//! The works that were read, their movements, and what can be changed about the guess.

use super::{FolderReading, counted};
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, serif_italic};
use crate::words::minutes;
use backrow_core::music::Degree;
use backrow_files::score::{Gathered, ScoreReading, roman};
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo};

/// A change of the guess, made after the rows are drawn.
enum Change {
    Join { reading: usize, into: usize },
    Own { reading: usize, title: String },
    MovePiece { reading: usize, by: isize },
    MoveWork { at: usize, by: isize },
}

/// A movement in the hand.
#[derive(Clone, Copy)]
struct Carried(usize);

/// Draws the works; the one that is to be looked over.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, reading: &mut FolderReading) -> Option<usize> {
    let (mut review, mut change, mut named) = (None, None, false);
    egui::ScrollArea::vertical().id_salt("folder").auto_shrink([false, false]).show(ui, |ui| {
        if reading.answers.is_some() {
            for read in &reading.readings {
                ui.label(note(scene, format!("{}: {}", read.file, counted(read.lines.len(), "line"))));
            }
        }
        for at in 0..reading.gathered.works.len() {
            if work_ui(ui, scene, (reading, at), (&mut change, &mut named)) {
                review = Some(at);
            }
            if let Some(known) = reading.known.get(at).and_then(Option::as_ref) {
                super::again::against_ui(ui, scene, known);
            }
            pieces_ui(ui, scene, (reading, at), &mut change);
            ui.add_space(space::XS);
        }
        for (file, why) in &reading.failed {
            let words = RichText::new(format!("{file}: {why}")).font(sans(size::NOTE));
            ui.add(egui::Label::new(words.color(scene.tokens.clash)).wrap());
        }
    });
    named |= change.is_some();
    match change {
        Some(Change::Join { reading: piece, into }) => reading.gathered.join(piece, into),
        Some(Change::Own { reading: piece, title }) => reading.gathered.own(piece, &title),
        Some(Change::MovePiece { reading: piece, by }) => reading.gathered.move_piece(piece, by),
        Some(Change::MoveWork { at, by }) => reading.gathered.move_work(at, by),
        None => {}
    }
    if named {
        reading.look_up(scene.library);
    }
    review
}

fn note(scene: &Scene<'_>, words: String) -> RichText {
    RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)
}

/// The head of a work; `true` when it is to be looked over.
fn work_ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (reading, at): (&mut FolderReading, usize),
    (change, named): (&mut Option<Change>, &mut bool),
) -> bool {
    let Some(work) = reading.gathered.works.get(at).cloned() else { return false };
    let of_work = || work.pieces.iter().filter_map(|piece| reading.readings.get(piece.reading));
    let lines: usize = of_work().map(|read| read.lines.len()).sum();
    let seconds: f64 = of_work().map(|read| read.timeline.end_s).sum();
    let asks = |line: &&backrow_files::score::ReadLine| {
        line.degree == Degree::Unclear && !reading.corrects(&line.printed)
    };
    let asked = of_work().flat_map(|read| &read.lines).filter(asks).count();
    let known = reading.known.get(at).cloned().flatten();
    let name = work.pieces.first().and_then(|piece| reading.readings.get(piece.reading));
    // A work of one file is called by its file, as the file is what one sees in the folder.
    let name = if work.pieces.len() == 1 {
        name.map_or(work.title.clone(), |read| read.file.clone())
    } else {
        work.title.clone()
    };
    ui.horizontal(|ui| {
        let mut all = work.pieces.iter().all(|piece| reading.taken.get(piece.reading) == Some(&true));
        let tick = ui.checkbox(&mut all, "");
        tick.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, all, format!("Import {name}")));
        if tick.changed() {
            for piece in &work.pieces {
                if let Some(taken) = reading.taken.get_mut(piece.reading) {
                    *taken = all;
                }
            }
        }
        if let Some(now) = reading.gathered.works.get_mut(at) {
            let title =
                egui::TextEdit::singleline(&mut now.title).font(serif_italic(15.0)).desired_width(260.0);
            let title = ui.add(title);
            title
                .widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, format!("Title of {name}")));
            *named |= title.changed();
        }
        let movements = match work.pieces.len() {
            1 => String::new(),
            n => format!("{n} movements, "),
        };
        let asked = if asked > 0 { format!(", {asked} to decide") } else { String::new() };
        let there = known.as_ref().map_or(String::new(), |_| "; in the library".to_owned());
        let composer = if work.composer.is_empty() { String::new() } else { format!("{}, ", work.composer) };
        let (time, rows) = (minutes(seconds), counted(lines, "line"));
        let words = format!("{composer}{time}, {movements}{rows}{asked}{there}");
        let label = ui.label(note(scene, words));
        if let Some(known) = &known {
            let same = "What it has of this reading is the same";
            let differs = if known.differs.is_empty() { same.to_owned() } else { known.differs.join("\n") };
            label.on_hover_text(differs);
        }
        let look = ui.button("Review");
        look.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Review {name}")));
        let count = reading.gathered.works.len();
        for (word, by, fits) in [("Move up", -1, at > 0), ("Move down", 1, at + 1 < count)] {
            let button = ui.add_enabled(fits && count > 1, egui::Button::new(word).small());
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, fits, format!("{word}: {name}")));
            if button.clicked() {
                *change = Some(Change::MoveWork { at, by });
            }
        }
        look.clicked()
    })
    .inner
}

/// The movements of a work: what each file was taken for and why; dragged within the work or onto another.
fn pieces_ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (reading, at): (&mut FolderReading, usize),
    change: &mut Option<Change>,
) {
    let FolderReading { readings, taken, gathered, .. } = reading;
    let Some(work) = gathered.works.get(at) else { return };
    for (place, piece) in work.pieces.iter().enumerate() {
        let Some(read) = readings.get(piece.reading) else { continue };
        ui.horizontal(|ui| {
            ui.add_space(22.0);
            if let Some(taken) = taken.get_mut(piece.reading).filter(|_| work.pieces.len() > 1) {
                let tick = ui.checkbox(taken, "");
                let now = *taken;
                tick.widget_info(|| {
                    WidgetInfo::selected(egui::Role::CheckBox, true, now, format!("Import {}", read.file))
                });
            }
            let row = row_words(read, piece.number);
            let id = egui::Id::unique(("movement of a folder", piece.reading));
            let source = ui.dnd_drag_source(id, Carried(piece.reading), |ui| {
                let words = RichText::new(row).color(scene.tokens.ink);
                ui.set_width(300.0);
                ui.add(egui::Label::new(words).truncate().sense(egui::Sense::click()))
            });
            let (grip, label) = (source.response, source.inner);
            let name = format!("Movement {}", read.file);
            label.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &name));
            if let Some(carried) = grip.dnd_release_payload::<Carried>() {
                *change = dropped(gathered, carried.0, piece.reading);
            }
            if label.has_focus() {
                for (key, by) in [(Key::ArrowUp, -1), (Key::ArrowDown, 1)] {
                    if ui.input_mut(|i| i.consume_key(Modifiers::ALT, key)) {
                        *change = Some(Change::MovePiece { reading: piece.reading, by });
                    }
                }
            }
            choice(ui, (gathered, readings, at), piece.reading, change);
            for (word, by, fits) in
                [("Move up", -1, place > 0), ("Move down", 1, place + 1 < work.pieces.len())]
            {
                if work.pieces.len() < 2 {
                    continue;
                }
                let button = ui.add_enabled(fits, egui::Button::new(word).small());
                button.widget_info(|| {
                    WidgetInfo::labeled(egui::Role::Button, fits, format!("{word}: {}", read.file))
                });
                if button.clicked() {
                    *change = Some(Change::MovePiece { reading: piece.reading, by });
                }
            }
            let problems = read.problems.len();
            if problems > 0 {
                let hover = read.problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
                let words = RichText::new(counted(problems, "problem")).font(sans(size::NOTE));
                ui.label(words.color(scene.tokens.care)).on_hover_text(hover);
            }
            ui.add(egui::Label::new(note(scene, piece.why.clone())).truncate()).on_hover_text(&piece.why);
        });
    }
}

/// "II Lento, 7′, 2 lines: tide.mxl".
fn row_words(read: &ScoreReading, number: Option<u32>) -> String {
    let number = number.map(roman).unwrap_or_default();
    let head: Vec<&str> =
        [number.as_str(), read.movement_title.as_str()].into_iter().filter(|text| !text.is_empty()).collect();
    let head = if head.is_empty() { String::new() } else { format!("{}, ", head.join(" ")) };
    let rows = match read.lines.len() {
        0 => "tacet".to_owned(),
        n => counted(n, "line"),
    };
    format!("{head}{}, {rows}: {}", minutes(read.timeline.end_s), read.file)
}

/// What a movement that is let go over another asks for: its place, or to be of its work.
fn dropped(gathered: &Gathered, carried: usize, onto: usize) -> Option<Change> {
    let (from, to) = (gathered.place_of(carried)?, gathered.place_of(onto)?);
    if from.0 != to.0 {
        return Some(Change::Join { reading: carried, into: onto });
    }
    let by = isize::try_from(to.1).ok()? - isize::try_from(from.1).ok()?;
    (by != 0).then_some(Change::MovePiece { reading: carried, by })
}

/// What a file is taken for: a movement of one of the works, a work of its own, another version.
fn choice(
    ui: &mut Ui,
    (gathered, readings, at): (&Gathered, &[ScoreReading], usize),
    piece: usize,
    change: &mut Option<Change>,
) {
    let works = &gathered.works;
    let (Some(work), Some(read)) = (works.get(at), readings.get(piece)) else { return };
    let alone = work.pieces.len() == 1;
    let now = if alone { "a work of its own".to_owned() } else { format!("a movement of {}", work.title) };
    let label = format!("What {} is", read.file);
    let combo =
        egui::ComboBox::from_id_salt(("what a file is", piece)).selected_text(now).width(190.0).truncate();
    let shown = combo.show_ui(ui, |ui| {
        for (other_at, other) in works.iter().enumerate() {
            let here = other_at == at;
            let Some(into) = other.pieces.iter().map(|piece| piece.reading).find(|other| *other != piece)
            else {
                continue;
            };
            if ui.selectable_label(here && !alone, format!("a movement of {}", other.title)).clicked()
                && !here
            {
                *change = Some(Change::Join { reading: piece, into });
            }
        }
        if ui.selectable_label(alone, "a work of its own").clicked() && !alone {
            let title = [&read.movement_title, &read.title].into_iter().find(|text| !text.is_empty());
            *change = Some(Change::Own { reading: piece, title: title.cloned().unwrap_or_default() });
        }
        if !alone && ui.selectable_label(false, format!("another version of {}", work.title)).clicked() {
            *change =
                Some(Change::Own { reading: piece, title: format!("{} (another version)", work.title) });
        }
    });
    shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, &label));
}
