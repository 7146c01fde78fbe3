//! A table of the collection: how it was read, what each column stands for, every row with what becomes of it, and what cannot be
//! read, to be mended here.

mod rows;
mod said;

pub(super) use said::Said;

use crate::intent::Intent;
use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{primary, trouble};
use crate::theme::{sans, serif};
use crate::view::Place;
use backrow_core::collection::Owner;
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::mark::fnv1a;
use backrow_files::tables::collection::{
    Encoding, Fate, How, Import, Subject, Taken, match_columns, owner_words, read_as, subject_where, take,
};
use egui::{RichText, Ui, WidgetInfo};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The table and what is made of it.
pub struct State {
    path: PathBuf,
    bytes: Vec<u8>,
    hash: u64,
    import: Import,
    /// What was typed over cells: by sheet, row and column.
    cells: BTreeMap<(usize, usize, usize), String>,
    /// As it was read, before anything was changed.
    began: Said,
    /// What was said about each sheet when another one was turned to.
    sheets: BTreeMap<usize, Said>,
    /// Counts what was changed here, so that the rows are read again only then.
    changes: u64,
    taken: Memo<(u64, u64), Taken>,
    /// A row that is to come into sight.
    to_row: Option<usize>,
    error: String,
}

impl State {
    /// Reads a table; an error says why it cannot be.
    pub(super) fn new(
        library: &Library,
        path: PathBuf,
        bytes: Vec<u8>,
        (subject, reading): (Option<Subject>, Reading),
    ) -> Result<Self, String> {
        let grid = read_as(&path, &bytes, How::default())?;
        let subject = subject_where(&grid.file, &grid.heads, subject);
        let import = Import::new(library, grid, Some(subject), reading);
        let (taken, cells) = (Memo::default(), BTreeMap::new());
        let began = Said::of(&import, &cells);
        let hash = fnv1a(&bytes);
        Ok(Self {
            path,
            bytes,
            hash,
            import,
            cells,
            began,
            sheets: BTreeMap::new(),
            changes: 0,
            taken,
            to_row: None,
            error: String::new(),
        })
    }

    /// The file.
    pub(super) fn file(&self) -> (&Path, u64) {
        (&self.path, self.hash)
    }

    /// What was changed; `None` where nothing was.
    pub(super) fn said(&self) -> Option<Said> {
        let now = Said::of(&self.import, &self.cells);
        (now != self.began).then_some(now)
    }

    /// Puts on it what was said about the same file before.
    pub(super) fn put_on(&mut self, library: &Library, said: &Said) {
        said.put_on(library, self);
    }

    /// Whether both are of the same file.
    pub(super) fn is_of_same(&self, other: &Self) -> bool {
        self.path == other.path && self.bytes == other.bytes && self.import.subject == other.import.subject
    }

    /// Reads the file again in another way: what was said stays, however the rest is read.
    fn read_again(&mut self, library: &Library, how: How) {
        let mut grid = match read_as(&self.path, &self.bytes, how) {
            Ok(grid) => grid,
            Err(why) => return self.error = why,
        };
        let (sheet, before) = (grid.sheet, self.import.grid.sheet);
        if sheet == before && grid.heads_row() != self.import.grid.heads_row() {
            grid.set_heads_row(self.import.grid.heads_row());
        }
        for ((of, row, column), text) in &self.cells {
            if *of == sheet {
                grid.mend(*row, *column, text);
            }
        }
        let fresh = Import::new(library, grid, Some(self.import.subject), self.import.reading);
        let old = std::mem::replace(&mut self.import, fresh);
        self.changes += 1;
        self.error.clear();
        if sheet == before {
            // What differs from the guess was said. What was guessed is guessed again: other letters may say more.
            let guessed = match_columns(old.subject, &old.grid.heads, &old.grid.rows);
            let said = old.columns.iter().zip(&guessed);
            for (column, (said, guessed)) in self.import.columns.iter_mut().zip(said) {
                if said != guessed {
                    *column = *said;
                }
            }
            self.import.left_out.clone_from(&old.left_out);
        } else {
            self.sheets.insert(before, Said::of(&old, &self.cells));
            if let Some(said) = self.sheets.remove(&sheet) {
                // Cells typed on the other sheet meanwhile stay too.
                let cells = std::mem::take(&mut self.cells);
                said.put_on(library, self);
                self.cells = cells;
            }
        }
        self.import.owners.extend(old.owners);
        self.import.match_owners(library);
    }
}

/// Draws it; `false` when it is over.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let tokens = scene.tokens;
    let library = scene.library;
    let mut memo = std::mem::take(&mut state.taken);
    let taken = memo.get((scene.revision, state.changes), || take(library, &state.import));
    let title = format!("Import {}", state.import.grid.file);
    ui.label(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
    let goes_on = buttons(ui, scene, state, taken);
    how_it_is_read(ui, library, state);
    if state.import.grid.faults {
        trouble(ui, &tokens, "Some letters cannot be read in this encoding. Choose another.");
    }
    if !state.error.is_empty() {
        trouble(ui, &tokens, &state.error);
    }
    owners(ui, library, state);
    ui.add_space(space::XS);
    rows::ui(ui, scene, state, taken);
    state.taken = memo;
    goes_on
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, state: &State, taken: &Taken) -> bool {
    let mut goes_on = true;
    let subject = state.import.subject;
    let facts = format!(
        "{} rows: {} new, {} changed, {} unchanged, {} left out.",
        state.import.grid.rows.len(),
        taken.count(Fate::New),
        taken.count(Fate::Changes),
        taken.count(Fate::Same),
        taken.left_out() + state.import.left_out.len(),
    );
    ui.horizontal(|ui| {
        let count = taken.count(Fate::New) + taken.count(Fate::Changes);
        let words = format!("Import {}", subject.counted(count));
        let edit = taken.edit(&state.import.grid.file);
        ui.add_enabled_ui(edit.is_some(), |ui| {
            if primary(ui, &scene.tokens, &words).clicked()
                && let Some(edit) = edit
            {
                match scene.try_edit(edit) {
                    Ok(()) => {
                        scene.ask(Intent::Go(Place::Collection));
                        goes_on = false;
                    }
                    Err(why) => scene.ask(Intent::Fail(why)),
                }
            }
        });
        if ui.button("Cancel").on_hover_text("Esc; nothing is changed").clicked() {
            goes_on = false;
        }
        ui.add(egui::Label::new(RichText::new(facts).color(scene.tokens.ink2)).wrap());
    });
    goes_on
}

/// A drop-down with a name and a value in the tree; what was chosen.
fn choose<T: PartialEq + Clone>(ui: &mut Ui, label: &str, now: &T, all: &[(T, String)]) -> Option<T> {
    let words = all.iter().find(|(one, _)| one == now).map_or("", |(_, words)| words.as_str());
    let mut chosen = None;
    let label_there = ui.label(label);
    let combo = egui::ComboBox::from_id_salt(label).selected_text(words).height(360.0);
    let combo = combo.show_ui(ui, |ui| {
        for (one, words) in all {
            if ui.selectable_label(one == now, words).clicked() {
                chosen = Some(one.clone());
            }
        }
    });
    combo.response.labelled_by(label_there.id);
    chosen.filter(|one| one != now)
}

fn how_it_is_read(ui: &mut Ui, library: &Library, state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        let subjects = Subject::ALL.map(|subject| (subject, subject.word().to_owned()));
        if let Some(subject) = choose(ui, "The rows are", &state.import.subject, &subjects) {
            state.import.subject = subject;
            state.import.match_again(library);
            state.changes += 1;
        }
        let rows: Vec<(usize, String)> = state
            .import
            .grid
            .may_be_heads()
            .into_iter()
            .map(|(row, words)| (row, format!("row {row}: {}", words.chars().take(60).collect::<String>())))
            .collect();
        if let Some(row) = choose(ui, "Headings in", &state.import.grid.heads_row(), &rows) {
            state.import.grid.set_heads_row(row);
            state.import.match_again(library);
            state.changes += 1;
        }
        if let Some(encoding) = state.import.grid.encoding {
            let all = Encoding::ALL.map(|one| (one, one.word().to_owned()));
            if let Some(encoding) = choose(ui, "Encoding", &encoding, &all) {
                state.read_again(library, How { encoding: Some(encoding), sheet: None });
            }
        }
        if state.import.grid.sheets.len() > 1 {
            let sheets: Vec<(usize, String)> = state.import.grid.sheets.iter().cloned().enumerate().collect();
            if let Some(sheet) = choose(ui, "Sheet", &state.import.grid.sheet, &sheets) {
                state.read_again(library, How { encoding: None, sheet: Some(sheet) });
            }
        }
        let readings = [
            (Reading::English, "English, B is below C"),
            (Reading::German, "German, H is below C"),
            (Reading::Syllables, "do re mi"),
        ]
        .map(|(one, words)| (one, words.to_owned()));
        if state.import.subject == Subject::Instruments
            && let Some(reading) = choose(ui, "Note names", &state.import.reading, &readings)
        {
            state.import.reading = reading;
            state.changes += 1;
        }
    });
}

/// Whom the words of the owner's column mean.
fn owners(ui: &mut Ui, library: &Library, state: &mut State) {
    let words = owner_words(&state.import);
    if words.is_empty() {
        return;
    }
    let lent = words.iter().filter(|word| matches!(state.import.owners.get(*word), Some(Owner::Other(_))));
    let title = format!("Owners: {} in the table, {} read as lent or hired", words.len(), lent.count());
    egui::CollapsingHeader::new(title).id_salt("owners").default_open(words.len() <= 6).show(ui, |ui| {
        egui::ScrollArea::vertical().id_salt("owner words").max_height(96.0).show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                for word in &words {
                    let short = backrow_files::limits::quoted(word);
                    let mut all = vec![(Owner::Orchestra, "ours".to_owned())];
                    let roster = library.roster();
                    all.extend(roster.iter().map(|p| (Owner::Player(p.id.clone()), p.name.clone())));
                    all.push((Owner::Other(word.clone()), format!("lent or hired from {short}")));
                    let now = state.import.owners.get(word).cloned().unwrap_or(Owner::Orchestra);
                    if let Some(owner) = choose(ui, &format!("“{short}” means"), &now, &all) {
                        state.import.owners.insert(word.clone(), owner);
                        state.changes += 1;
                    }
                }
            });
        });
    });
}

/// A cell's accessible name.
fn cell_name(row: usize, head: &str, column: usize) -> String {
    if head.trim().is_empty() {
        format!("Row {row}, column {}", column + 1)
    } else {
        format!("Row {row}, {head}")
    }
}

/// Small words in the quieter ink.
fn small(ui: &mut Ui, scene: &Scene<'_>, words: &str) -> egui::Response {
    let words = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
    ui.add(egui::Label::new(words).truncate())
}

fn named(response: &egui::Response, role: egui::Role, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(role, true, name.to_owned()));
}
