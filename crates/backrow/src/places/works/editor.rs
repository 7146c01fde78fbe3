//! A work in review: found in a score, taken from the library, or new. Nothing enters the library before it is kept.

mod head_ui;
mod keep;
mod kind_choice;
mod line_ui;
mod made;
pub(crate) mod remembered;
mod slip;
mod strip;
mod typed_ui;

pub(super) use kind_choice::{kind_choice, octave_choice};
pub(super) use line_ui::called;

use super::again::{self, Against};
use crate::drafts::{Outcome, Typed};
use crate::places::works::Here;
use crate::scene::Scene;
use backrow_core::edit::Edit;
use backrow_core::id::{KindId, LineId, MovementId, WorkId};
use backrow_core::library::Library;
use backrow_core::music::typed::{parse_tempo, tempo_text};
use backrow_core::music::{Degree, Line, MeasureName, Movement, Timeline, Work};
use backrow_core::pitch::{Octave, Reading};
use backrow_files::score::{GatheredWork, ScoreReading, gather, roman};
use egui::Ui;
use std::collections::BTreeMap;

/// Where the work comes from.
#[derive(Clone, Debug)]
pub(super) enum Origin {
    /// A file, by its name.
    Score(String),
    /// The library's, by its id.
    Library(WorkId),
    /// Nowhere yet.
    New,
}

/// Why a line is neither joined nor cut.
const TYPED_OVER: &str =
    "What was typed over the line as text is not applied yet: apply it, or throw it away.";

/// Problems of a reading that stand beside their line.
const SAID_BESIDE: [&str; 4] = ["words", "octave", "range", "some-outside"];

/// A step back in a review keeps so many.
const STEPS: usize = 60;

/// The review.
pub(super) struct Editor {
    origin: Origin,
    work: Work,
    /// The work as it was put in review.
    began: Work,
    /// Lines that are left out when the work is kept.
    dropped: Vec<LineId>,
    /// Other conventions that would fit where the usual one does not.
    offers: BTreeMap<LineId, Octave>,
    /// Words of the part that were not taken for an instrument, beside the line that they stand in.
    doubts: BTreeMap<LineId, Vec<String>>,
    /// What the reader would take a line for, the likelier first.
    candidates: BTreeMap<LineId, Vec<KindId>>,
    /// What was not read, or guessed.
    problems: Vec<String>,
    /// The work of the library that this is another reading of.
    against: Option<Against>,
    /// Which movement is shown.
    movement: usize,
    /// The tempo lines as typed, and what is wrong with them.
    tempo: String,
    tempo_error: String,
    /// The measure before which the movement is to be cut.
    cut_at: String,
    /// The line of a new line.
    line: String,
    /// The lines that are open as text.
    open: BTreeMap<LineId, line_ui::Opened>,
    /// What was said last: an error, or what was done.
    said: String,
    before: Vec<Work>,
    /// What was undone here and can be redone.
    after: Vec<Work>,
    /// The title takes the keyboard next.
    wants_title: bool,
}

impl Typed for Editor {
    fn has_changed(&self) -> bool {
        let holds = !self.work.lines.is_empty() || !self.work.title.trim().is_empty();
        // A work of the library that was only looked at would lose nothing.
        let is_new = !matches!(self.origin, Origin::Library(_));
        let typed = !self.line.trim().is_empty() || self.typed_over().next().is_some();
        !self.before.is_empty() || typed || self.work != self.began || (is_new && holds)
    }

    fn title(&self) -> String {
        let title = self.work.title.trim();
        format!("Work: {}", if title.is_empty() { "no title yet" } else { title })
    }
}

impl Editor {
    /// On a reading of a score.
    pub(super) fn of_reading(reading: &ScoreReading, library: &Library) -> Self {
        match gather(&[reading]).works.first() {
            Some(gathered) => Self::of_gathered(gathered, &[reading], library),
            None => Self::new(),
        }
    }

    /// On a work whose movements were read from files.
    pub(super) fn of_gathered(
        gathered: &GatheredWork,
        readings: &[&ScoreReading],
        library: &Library,
    ) -> Self {
        let work = gathered.work(readings);
        let of_work = || gathered.pieces.iter().filter_map(|piece| readings.get(piece.reading).copied());
        let read = || work.lines.iter().zip(of_work().flat_map(|reading| &reading.lines));
        let offers = read().filter_map(|(line, read)| Some((line.id.clone(), read.octave_offer?))).collect();
        let doubts = read().map(|(line, read)| (line.id.clone(), read.doubts.clone())).collect();
        let candidates = read().map(|(line, read)| (line.id.clone(), read.candidates.clone())).collect();
        // What stands beside its line is not said once more below.
        let problems = of_work().flat_map(|reading| &reading.problems);
        let problems = problems.filter(|problem| !SAID_BESIDE.contains(&problem.code));
        let problems = problems.map(ToString::to_string).collect();
        let against = again::same_work(library, &work);
        let files: Vec<&str> = of_work().map(|reading| reading.file.as_str()).collect();
        let files = match files.as_slice() {
            [one] => (*one).to_owned(),
            files => format!("{} files", files.len()),
        };
        let mut editor = Self::on(Origin::Score(files), work);
        (editor.offers, editor.problems, editor.against) = (offers, problems, against);
        (editor.doubts, editor.candidates) = (doubts, candidates);
        editor
    }

    /// What the place is called meanwhile.
    pub(super) const fn heading(&self) -> &'static str {
        match self.origin {
            Origin::Score(_) => "What the score calls for",
            Origin::Library(_) => "Edit the work",
            Origin::New => "New work",
        }
    }

    /// On a work of the library.
    pub(super) fn of_library(work: &Work) -> Self {
        // The review is for the music: what the work remembers is none of its business, and stays with the library's.
        let work = Work { memory: backrow_core::trial::Memory::default(), ..work.clone() };
        Self::on(Origin::Library(work.id.clone()), work)
    }

    /// On a work with nothing in it.
    pub(super) fn new() -> Self {
        let movement = Movement {
            id: MovementId::fresh("1", |_| false),
            number: String::new(),
            title: String::new(),
            timeline: Timeline::default(),
        };
        let work = Work {
            id: WorkId::fresh("new", |_| false),
            title: String::new(),
            composer: String::new(),
            movements: vec![movement],
            lines: Vec::new(),
            together: Vec::new(),
            memory: backrow_core::trial::Memory::default(),
            remark: String::new(),
        };
        Self::on(Origin::New, work)
    }

    fn on(origin: Origin, work: Work) -> Self {
        let mut editor = Self {
            origin,
            began: work.clone(),
            work,
            dropped: Vec::new(),
            offers: BTreeMap::new(),
            doubts: BTreeMap::new(),
            candidates: BTreeMap::new(),
            problems: Vec::new(),
            against: None,
            movement: 0,
            tempo: String::new(),
            tempo_error: String::new(),
            cut_at: String::new(),
            line: String::new(),
            open: BTreeMap::new(),
            said: String::new(),
            before: Vec::new(),
            after: Vec::new(),
            wants_title: true,
        };
        editor.turn_to(0);
        editor
    }

    /// Turns to a movement; its tempo lines come up.
    fn turn_to(&mut self, movement: usize) {
        self.movement = movement.min(self.work.movements.len().saturating_sub(1));
        self.tempo = self.shown().map(|m| tempo_text(&m.timeline)).unwrap_or_default();
        self.tempo_error.clear();
        // What was typed over a line stays with it, wherever one turns.
        self.open.retain(|_, opened| opened.has_changed());
    }

    /// The lines whose text was typed over and not applied.
    fn typed_over(&self) -> impl Iterator<Item = (&LineId, &line_ui::Opened)> {
        let there = self.open.iter().filter(|(id, _)| self.work.line(id).is_some());
        there.filter(|(_, opened)| opened.has_changed())
    }

    fn shown(&self) -> Option<&Movement> {
        self.work.movements.get(self.movement)
    }

    fn timeline(&self) -> Timeline {
        self.shown().map(|m| m.timeline.clone()).unwrap_or_default()
    }

    /// Keeps the work as it is for a step back.
    fn step(&mut self) {
        self.after.clear();
        if self.before.last() != Some(&self.work) {
            self.before.push(self.work.clone());
            if self.before.len() > STEPS {
                self.before.remove(0);
            }
        }
    }

    /// One step back; whether there was one.
    pub(super) fn back(&mut self) -> bool {
        let Some(work) = self.before.pop() else { return false };
        self.after.push(std::mem::replace(&mut self.work, work));
        self.turn_to(self.movement);
        "Undone here.".clone_into(&mut self.said);
        true
    }

    /// One step forward again; whether there was one.
    pub(super) fn forth(&mut self) -> bool {
        let Some(work) = self.after.pop() else { return false };
        self.before.push(std::mem::replace(&mut self.work, work));
        self.turn_to(self.movement);
        "Redone here.".clone_into(&mut self.said);
        true
    }

    /// Reads the tempo lines; lines move with their measures.
    fn take_tempo(&mut self) {
        match parse_tempo(&self.tempo) {
            Ok(timeline) => {
                self.tempo_error.clear();
                let Some(movement) = self.work.movements.get_mut(self.movement) else { return };
                let old = std::mem::replace(&mut movement.timeline, timeline);
                let new = movement.timeline.clone();
                let id = movement.id.clone();
                for line in self.work.lines.iter_mut().filter(|line| line.movement == id) {
                    *line = line.retimed(&old, &new);
                }
            }
            Err(why) => self.tempo_error = format!("Line {}: {why}", why.line),
        }
    }

    fn add_movement(&mut self) {
        self.step();
        let count = self.work.movements.len() + 1;
        let id = MovementId::fresh(&count.to_string(), |id| self.work.movement(id).is_some());
        let number = u32::try_from(count).map(roman).unwrap_or_default();
        if let Some(only) =
            self.work.movements.first_mut().filter(|only| count == 2 && only.number.is_empty())
        {
            "I".clone_into(&mut only.number);
        }
        self.work.movements.push(Movement {
            id,
            number,
            title: String::new(),
            timeline: Timeline::default(),
        });
        self.turn_to(count - 1);
    }

    fn remove_movement(&mut self) {
        let Some(id) = self.shown().map(|m| m.id.clone()).filter(|_| self.work.movements.len() > 1) else {
            return;
        };
        self.step();
        self.work.movements.retain(|movement| movement.id != id);
        self.work.lines.retain(|line| line.movement != id);
        self.turn_to(self.movement.saturating_sub(1));
    }

    /// Cuts the shown movement before the measure that was typed.
    fn cut_movement(&mut self) {
        let Some(id) = self.shown().map(|movement| movement.id.clone()) else { return };
        let at = self.cut_at.trim().to_owned();
        match self.work.with_cut(&id, &MeasureName::new(&at)) {
            Ok(mut work) => {
                self.step();
                let numbered = work.movements.iter().all(|m| m.id == id || m.figure().is_none());
                if let Some(new) = work.movements.get_mut(self.movement + 1)
                    && numbered
                {
                    new.title = format!("from m. {at}");
                }
                self.work = work;
                self.cut_at.clear();
                self.turn_to(self.movement + 1);
                self.said = format!("The movement is cut before m. {at}: give the new one its number.");
            }
            Err(why) => self.said = format!("Not cut: {why}."),
        }
    }

    /// Makes the shown movement and the one after it one.
    fn merge_movement(&mut self) {
        let Some(id) = self.shown().map(|movement| movement.id.clone()) else { return };
        let Some(work) = self.work.with_merged(&id) else { return };
        self.step();
        self.work = work;
        self.turn_to(self.movement);
        "The two movements are now one; undo separates them again.".clone_into(&mut self.said);
    }

    fn fresh_line(&self, name: &str) -> LineId {
        let name = if name.trim().is_empty() { "line" } else { name };
        LineId::fresh(name, |id| self.work.line(id).is_some())
    }

    fn line_mut(&mut self, id: &LineId) -> Option<&mut Line> {
        self.work.lines.iter_mut().find(|line| line.id == *id)
    }

    /// Joins a line into another, which goes on bearing both.
    fn join(&mut self, into: &LineId, from: &LineId) {
        if [into, from].into_iter().any(|id| self.is_typed_over(id)) {
            TYPED_OVER.clone_into(&mut self.said);
            return;
        }
        let (Some(one), Some(other)) = (self.work.line(into), self.work.line(from)) else { return };
        let joined = one.joined(other);
        self.step();
        self.said =
            format!("Joined “{}” into “{}”.", other_name(&self.work, from), other_name(&self.work, into));
        if let Some(line) = self.line_mut(into) {
            *line = joined;
        }
        self.work.lines.retain(|line| line.id != *from);
        self.work.together.retain(|(a, b)| a != from && b != from);
        self.open.retain(|id, _| id != from && id != into);
    }

    fn is_typed_over(&self, id: &LineId) -> bool {
        self.typed_over().any(|(other, _)| other == id)
    }

    /// Cuts a line at a measure.
    fn cut(&mut self, id: &LineId, measure: &str) {
        if self.is_typed_over(id) {
            TYPED_OVER.clone_into(&mut self.said);
            return;
        }
        let Some(line) = self.work.line(id) else { return };
        let timeline = self.timeline();
        match line.cut(&MeasureName::new(measure), &timeline, self.fresh_line(id.as_str())) {
            Ok((first, second)) => {
                self.step();
                self.said = format!("Cut at m. {measure}.");
                if let Some(at) = self.work.lines.iter().position(|line| line.id == *id) {
                    self.work.lines.splice(at..=at, [first, second]);
                }
                self.open.remove(id);
            }
            Err(why) => self.said = format!("Not cut: {why}."),
        }
    }

    /// The lines that would be kept.
    fn taken(&self) -> usize {
        self.work.lines.iter().filter(|line| !self.dropped.contains(&line.id)).count()
    }

    /// How many kinds are still to be chosen.
    fn unclear(&self) -> usize {
        let asks = |line: &&Line| line.degree == Degree::Unclear && !self.dropped.contains(&line.id);
        self.work.lines.iter().filter(asks).count()
    }

    /// The work as it would be kept, under its id.
    fn kept(&self, library: &Library) -> Result<Work, String> {
        let mut work = self.work.clone();
        work.title = work.title.trim().to_owned();
        if work.title.is_empty() {
            return Err("The work needs a title.".to_owned());
        }
        work.lines.retain(|line| !self.dropped.contains(&line.id));
        work.id = match (&self.origin, self.against.as_ref().filter(|against| against.update)) {
            (Origin::Library(id), _) => id.clone(),
            (_, Some(against)) => against.id.clone(),
            _ => WorkId::fresh(&work.title, |id| library.works.contains_key(id)),
        };
        Ok(work)
    }

    /// One step that keeps the work; a new one joins the current programme.
    fn edit(&self, scene: &Scene<'_>, view: &Here<'_>) -> Result<(WorkId, Edit), String> {
        let library = scene.library;
        let mut work = self.kept(library)?;
        let id = work.id.clone();
        let mut edits = Vec::new();
        if let Some(against) = self.against.as_ref().filter(|against| against.update) {
            work = again::brought_up(library, &work, against);
        }
        if let Some(old) = library.works.get(&id) {
            let gone = old.lines.iter().filter(|line| work.line(&line.id).is_none());
            edits.extend(gone.map(|line| Edit::RemoveLine { work: id.clone(), line: line.id.clone() }));
        }
        let words = match self.origin {
            Origin::Score(_) => format!("Import {} with {} lines", work.title, work.lines.len()),
            Origin::New => format!("Add {}", work.title),
            Origin::Library(_) => format!("Change {}", work.title),
        };
        let known = library.works.contains_key(&id);
        edits.push(Edit::PutWork(work));
        if !known
            && let Some(programme) = view.programme_in(library)
            && let Some(week) = library.week_of(&programme.id)
        {
            let mut programme = programme.clone();
            programme.works.push(id.clone());
            edits.push(Edit::PutProgramme { week: week.id.clone(), programme });
        }
        Ok((id, Edit::Together { words, edits }))
    }
}

fn other_name(work: &Work, id: &LineId) -> String {
    work.line(id).map_or_else(String::new, |line| line.printed.clone())
}

/// Draws the review.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, editor: &mut Editor) -> Outcome {
    let reading = scene.settings.note_reading();
    let outcome = head_ui::ui(ui, scene, view, editor);
    egui::ScrollArea::vertical().id_salt("review").auto_shrink([false, false]).show(ui, |ui| {
        head_ui::movement(ui, scene, editor);
        lines(ui, scene, editor, reading);
        typed_ui::add(ui, scene, editor, reading);
        head_ui::problems(ui, scene, editor);
    });
    outcome
}

fn lines(ui: &mut Ui, scene: &mut Scene<'_>, editor: &mut Editor, reading: Reading) {
    let Some(movement) = editor.shown().map(|m| m.id.clone()) else { return };
    let ids: Vec<LineId> = editor.work.lines_of(&movement).map(|line| line.id.clone()).collect();
    if ids.is_empty() {
        let words = match editor.origin {
            Origin::Score(_) => "No percussion was found in this score. Lines can be added below.",
            _ => "No lines in this movement yet. Type the first one below.",
        };
        ui.label(egui::RichText::new(words).color(scene.tokens.ink2));
    }
    if !ids.is_empty() {
        line_ui::heads(ui, scene);
    }
    for id in ids {
        line_ui::ui(ui, scene, editor, &id, reading);
    }
}
