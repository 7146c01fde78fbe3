//! Importing what was read into the library, and making a programme of it.

use super::{FolderReading, counted};
use crate::places::works::again::{self, Against};
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::View;
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, VenueId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Week};
use backrow_files::score::{GatheredWork, ScoreReading, take_all};
use egui::{RichText, Ui, WidgetInfo};

/// Which programme the works go into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub(in crate::places::works) enum Into {
    /// None: the library alone.
    Nothing,
    /// the current one, after its other works.
    Current,
    /// A new one.
    New,
}

/// What is asked for first: a current empty programme is filled, and where there is none a new one is begun.
pub(super) fn usual(library: &Library, view: &View) -> Into {
    match view.programme_in(library) {
        None => Into::New,
        Some(programme) if programme.works.is_empty() => Into::Current,
        Some(_) => Into::Nothing,
    }
}

/// Where one plays as a rule: where the current programme is, or in the only venue.
pub(super) fn usual_venue(library: &Library, view: &View) -> Option<VenueId> {
    let here = view.programme_in(library).and_then(|programme| programme.venue.clone());
    here.or_else(|| library.venues.keys().next().filter(|_| library.venues.len() == 1).cloned())
}

/// The work of the library that this is another reading of.
pub(super) fn known(library: &Library, work: &GatheredWork, readings: &[ScoreReading]) -> Option<Against> {
    let readings: Vec<&ScoreReading> = readings.iter().collect();
    again::same_work(library, &work.work(&readings))
}

/// The step that takes all in.
pub(super) struct Importing {
    pub(super) edit: Edit,
    /// The programme that was made, to turn to.
    pub(super) programme: Option<ProgrammeId>,
    /// The first work.
    pub(super) first: Option<WorkId>,
}

/// Where the works go, and what a new programme is called.
pub(super) fn programme_line(ui: &mut Ui, scene: &Scene<'_>, view: &View, reading: &mut FolderReading) {
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
    ui.horizontal_wrapped(|ui| {
        ui.label(note("The works go into"));
        ui.radio_value(&mut reading.programme, Into::Nothing, "the library");
        if let Some(programme) = view.programme_in(scene.library) {
            let words = format!("the library and {}", programme.title);
            ui.radio_value(&mut reading.programme, Into::Current, words);
        }
        ui.radio_value(&mut reading.programme, Into::New, "the library and a new programme");
        if reading.programme == Into::New {
            let field = ui.add(egui::TextEdit::singleline(&mut reading.title).desired_width(200.0));
            field.widget_info(|| {
                WidgetInfo::labeled(egui::Role::TextInput, true, "Title of the new programme")
            });
            venue_choice(ui, scene.library, &mut reading.venue);
        }
    });
}

/// The venue of the new programme.
fn venue_choice(ui: &mut Ui, library: &Library, venue: &mut Option<VenueId>) {
    let name =
        |id: &VenueId| library.venues.get(id).map_or_else(|| id.to_string(), |venue| venue.name.clone());
    let now = venue.as_ref().map_or_else(|| "venue not stated".to_owned(), name);
    let combo = egui::ComboBox::from_id_salt("venue of a new programme").selected_text(now).width(150.0);
    let shown = combo.truncate().show_ui(ui, |ui| {
        ui.selectable_value(venue, None, "not stated");
        for (id, place) in library.venues.iter() {
            ui.selectable_value(venue, Some(id.clone()), &place.name);
        }
    });
    shown
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Venue of the new programme"));
}

impl FolderReading {
    /// How many works have a movement that is ticked.
    pub(super) fn works_taken(&self) -> usize {
        self.gathered.works.iter().filter(|work| self.ticked(work).next().is_some()).count()
    }

    pub(super) fn ticked<'a>(&'a self, work: &'a GatheredWork) -> impl Iterator<Item = usize> + 'a {
        let ticked = |reading: &usize| self.taken.get(*reading).copied().unwrap_or(false);
        work.pieces.iter().map(|piece| piece.reading).filter(ticked)
    }

    /// One step that takes in every work that is ticked: a new one under an id of its own, one that is known brought up to
    /// date movement by movement; and the programme that was asked for.
    pub(super) fn edit(&self, library: &Library, view: &View) -> Option<Importing> {
        let ticked = |reading: usize| self.taken.get(reading).copied().unwrap_or(false);
        let (mut edits, taken) = take_all(library, &self.gathered, &self.readings, &ticked);
        self.correct(library, &mut edits);
        let first = taken.first().cloned()?;
        let words = format!("Import {} from {}", counted(taken.len(), "work"), self.from.display());
        let programme = self.programme_of(library, view, &taken, &mut edits);
        Some(Importing { edit: Edit::Together { words, edits }, programme, first: Some(first) })
    }

    fn programme_of(
        &self,
        library: &Library,
        view: &View,
        works: &[WorkId],
        edits: &mut Vec<Edit>,
    ) -> Option<ProgrammeId> {
        match self.programme {
            Into::Nothing => None,
            Into::Current => {
                let programme = view.programme_in(library)?;
                let week = library.week_of(&programme.id)?.id.clone();
                let mut programme = programme.clone();
                let new = works.iter().filter(|work| !programme.works.contains(work)).cloned();
                let new: Vec<WorkId> = new.collect();
                programme.works.extend(new);
                edits.push(Edit::PutProgramme { week, programme });
                None
            }
            Into::New => {
                let here = view.programme.as_ref().and_then(|id| library.week_of(id));
                let week =
                    here.map(|week| week.id.clone()).or_else(|| library.weeks.keys().next_back().cloned());
                let week = week.unwrap_or_else(|| {
                    let id = WeekId::fresh("week", |_| false);
                    let title = "First week".to_owned();
                    edits.push(Edit::PutWeek(Week {
                        id: id.clone(),
                        title,
                        programmes: Vec::new(),
                        services: Vec::new(),
                    }));
                    id
                });
                let title =
                    Some(self.title.trim()).filter(|title| !title.is_empty()).unwrap_or("New programme");
                let id = ProgrammeId::fresh(title, |id| library.programme(id).is_some());
                let mut programme = Programme::new(id.clone(), title);
                programme.works = works.to_vec();
                programme.venue.clone_from(&self.venue);
                edits.push(Edit::PutProgramme { week, programme });
                Some(id)
            }
        }
    }
}
