//! The form for one thing: an instrument, a beater, a player or a place in store.

mod fields;
mod slip;

use super::Thing;
use super::{Tab, frames_text};
use crate::drafts::{Outcome, Refusal, Typed};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::view::Selected;
use backrow_core::carrying::{pieces_of, pieces_text};
use backrow_core::collection::{Beater, Hardness, Head, Instrument, Mass, Owner, Place, Player, WHOLE_KG};
use backrow_core::edit::Edit;
use backrow_core::id::{BeaterId, InstrumentId, KindId, PlaceId, PlayerId, begun};
use backrow_core::library::Library;
use backrow_core::pitch::ReferenceA;
use egui::{RichText, Ui};

/// What is being changed.
#[derive(Clone, PartialEq)]
enum Draft {
    Instrument(Box<Instrument>),
    Beater(Beater),
    Player(Player),
    Place(Place),
}

/// A draft with the texts that are read when it is kept.
#[derive(Clone, PartialEq)]
pub(super) struct Form {
    draft: Draft,
    /// Whether it is of something that the library does not have yet; it gets its id from its name when it is saved.
    is_new: bool,
    frames: String,
    pieces: String,
    character: String,
    mass: String,
    weighed: bool,
    a: String,
    kinds: String,
    never: String,
    error: Refusal,
    /// Asks for the focus once.
    fresh: bool,
    /// As it was when it was opened.
    began: Option<Box<Self>>,
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        let plain = Self { began: None, error: Refusal::default(), fresh: true, ..self.clone() };
        self.began.as_deref() != Some(&plain)
    }

    fn title(&self) -> String {
        let (what, name) = match &self.draft {
            Draft::Instrument(thing) => ("instrument", thing.name.as_str()),
            Draft::Beater(beater) => ("beater", beater.name.as_str()),
            Draft::Player(player) => ("player", player.name.as_str()),
            Draft::Place(place) => ("store", place.name.as_str()),
        };
        if name.is_empty() { format!("New {what}") } else { format!("{}: {name}", begun(what)) }
    }
}

impl Form {
    fn with(library: &Library, draft: Draft, is_new: bool) -> Self {
        let mut form = Self {
            draft,
            is_new,
            frames: String::new(),
            pieces: String::new(),
            character: String::new(),
            mass: String::new(),
            weighed: false,
            a: String::new(),
            kinds: String::new(),
            never: String::new(),
            error: Refusal::default(),
            fresh: true,
            began: None,
        };
        let ids = |ids: &[KindId]| ids.iter().map(|id| kind_word(library, id)).collect::<Vec<_>>().join(", ");
        match &form.draft {
            Draft::Instrument(thing) => {
                form.frames = frames_text::text_of(&thing.frames, library.days());
                form.pieces = pieces_text(&thing.pieces);
                form.character = thing.character.join(", ");
                form.mass = thing.mass.map_or_else(String::new, |mass| mass.kg.to_string());
                form.weighed = thing.mass.is_some_and(|mass| mass.weighed);
                form.a = thing.tuned_to.map_or_else(String::new, |a| a.value().to_string());
            }
            Draft::Beater(beater) => form.kinds = ids(&beater.suits),
            Draft::Player(player) => {
                form.kinds = ids(&player.only);
                form.never = ids(&player.never);
            }
            Draft::Place(_) => {}
        }
        form.begun()
    }

    /// The instrument that it is of.
    pub(super) const fn instrument(&self) -> Option<&InstrumentId> {
        match &self.draft {
            Draft::Instrument(thing) => Some(&thing.id),
            _ => None,
        }
    }

    /// Gives its instrument a picture.
    pub(super) fn set_picture(&mut self, name: &str) {
        if let Draft::Instrument(thing) = &mut self.draft {
            name.clone_into(&mut thing.picture);
        }
    }

    /// From now on what is typed counts as typed.
    fn begun(mut self) -> Self {
        self.began = None;
        self.began = Some(Box::new(self.clone()));
        self
    }

    /// A form for a new thing.
    pub(super) fn new(scene: &Scene<'_>, tab: Tab) -> Option<Self> {
        let library = scene.library;
        let draft = match tab {
            Tab::Instruments => {
                let kind = library
                    .kinds
                    .values()
                    .find(|kind| kind.id.as_str() == "xylophone")
                    .or_else(|| library.kinds.values().next())?;
                let id = InstrumentId::fresh("new", |_| false);
                let (frames, pieces) = (kind.usual_frames(), kind.pieces.clone());
                Draft::Instrument(Box::new(Instrument { frames, pieces, ..Instrument::of_kind(id, kind) }))
            }
            Tab::Beaters => Draft::Beater(Beater {
                id: BeaterId::fresh("new", |_| false),
                name: String::new(),
                head: Head::Rubber,
                hardness: Hardness::Medium,
                count: 2,
                owner: Owner::Orchestra,
                place: None,
                suits: Vec::new(),
                remark: String::new(),
            }),
            Tab::Players => Draft::Player(Player {
                id: PlayerId::fresh("new", |_| false),
                name: String::new(),
                initials: String::new(),
                role: "section".to_owned(),
                order: library.players.values().map(|player| player.order + 1).max().unwrap_or(0),
                only: Vec::new(),
                never: Vec::new(),
                absences: Vec::new(),
            }),
            Tab::Places => Draft::Place(Place {
                id: PlaceId::fresh("new", |_| false),
                name: String::new(),
                remark: String::new(),
                lift: None,
                air: Vec::new(),
            }),
            Tab::Tuning | Tab::Bells | Tab::Care | Tab::Orchestra => return None,
        };
        Some(Self::with(scene.library, draft, true))
    }

    /// A form for a thing that is there.
    pub(super) fn of(scene: &Scene<'_>, thing: &Thing) -> Option<Self> {
        let library = scene.library;
        let draft = match thing {
            Thing::Selectable(Selected::Instrument(id)) => {
                Draft::Instrument(Box::new((**library.instruments.get(id)?).clone()))
            }
            Thing::Selectable(Selected::Beater(id)) => Draft::Beater((**library.beaters.get(id)?).clone()),
            Thing::Selectable(Selected::Player(id)) => Draft::Player((**library.players.get(id)?).clone()),
            Thing::Selectable(Selected::Line(_)) => return None,
            Thing::Place(id) => Draft::Place((**library.places.get(id)?).clone()),
        };
        Some(Self::with(scene.library, draft, false))
    }

    /// A form for another one like the draft: it gets an id of its own.
    pub(super) fn like(scene: &Scene<'_>, thing: &Thing) -> Option<Self> {
        let mut form = Self::of(scene, thing)?;
        form.is_new = true;
        let again = |name: &mut String| name.push_str(", another");
        match &mut form.draft {
            Draft::Instrument(thing) => again(&mut thing.name),
            Draft::Beater(beater) => again(&mut beater.name),
            Draft::Player(player) => {
                player.absences.clear();
                again(&mut player.name);
            }
            Draft::Place(place) => again(&mut place.name),
        }
        Some(form.begun())
    }

    /// The change that keeps the draft; an error says which field and what was expected.
    fn edit(&self, library: &Library) -> Result<(Edit, Option<Selected>), String> {
        let need = |name: &str| {
            if name.trim().is_empty() {
                Err("A name is needed.".to_owned())
            } else {
                Ok(name.trim().to_owned())
            }
        };
        match &self.draft {
            Draft::Instrument(thing) => {
                let mut thing = (**thing).clone();
                thing.name = need(&thing.name)?;
                if self.is_new {
                    thing.id = InstrumentId::fresh(&thing.name, |id| library.instruments.contains_key(id));
                }
                thing.frames = frames_text::frames_of(&self.frames, library.days().order)
                    .map_err(|why| format!("Bars, {why}"))?;
                thing.pieces = pieces_of(&self.pieces).map_err(|why| format!("Carried as, {why}"))?;
                thing.character = self
                    .character
                    .split(',')
                    .map(str::trim)
                    .filter(|w| !w.is_empty())
                    .map(str::to_owned)
                    .collect();
                let weighed = self.weighed;
                thing.mass = mass(&self.mass)?.map(|kg| Mass { kg, weighed });
                thing.tuned_to = number(&self.a, "Tuned to A, in Hz")?
                    .map(ReferenceA::new)
                    .transpose()
                    .map_err(|why| why.to_string())?;
                let id = thing.id.clone();
                Ok((Edit::PutInstrument(thing), Some(Selected::Instrument(id))))
            }
            Draft::Beater(beater) => {
                let mut beater = Beater {
                    name: need(&beater.name)?,
                    suits: kinds_of(library, &self.kinds)?,
                    ..beater.clone()
                };
                if self.is_new {
                    beater.id = BeaterId::fresh(&beater.name, |id| library.beaters.contains_key(id));
                }
                let id = beater.id.clone();
                Ok((Edit::PutBeater(beater), Some(Selected::Beater(id))))
            }
            Draft::Player(player) => {
                let mut player = Player {
                    name: need(&player.name)?,
                    only: kinds_of(library, &self.kinds)?,
                    never: kinds_of(library, &self.never)?,
                    ..player.clone()
                };
                if player.initials.trim().is_empty() || player.initials.chars().count() > 3 {
                    return Err("Initials: one to three letters.".to_owned());
                }
                if self.is_new {
                    player.id = PlayerId::fresh(&player.name, |id| library.players.contains_key(id));
                }
                let id = player.id.clone();
                Ok((Edit::PutPlayer(player), Some(Selected::Player(id))))
            }
            Draft::Place(place) => {
                let mut place = Place { name: need(&place.name)?, ..place.clone() };
                if self.is_new {
                    place.id = PlaceId::fresh(&place.name, |id| library.places.contains_key(id));
                }
                Ok((Edit::PutPlace(place), None))
            }
        }
    }
}

/// Whether the library takes the change; what was typed stays in the form when it does not.
fn allowed(scene: &Scene<'_>, kept: (Edit, Option<Selected>)) -> Result<(Edit, Option<Selected>), String> {
    scene.allows(&kept.0)?;
    Ok(kept)
}

fn number(text: &str, what: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    match backrow_core::numbers::typed(text) {
        None => Err(format!("{what}: a number such as 38.5 was expected.")),
        Some(value) if value > 0.0 => Ok(Some(value)),
        Some(_) => Err(format!("{what}: more than 0 was expected.")),
    }
}

/// Kilograms, as far as an instrument can have them: the same limits as in a table.
fn mass(text: &str) -> Result<Option<f64>, String> {
    let kg = number(text, "Mass, in kg")?;
    match kg.filter(|kg| !WHOLE_KG.contains(kg)) {
        None => Ok(kg),
        Some(_) => Err(format!(
            "Mass, in kg: a number from {} to {} was expected.",
            WHOLE_KG.start(),
            WHOLE_KG.end()
        )),
    }
}

/// What a kind is called where kinds are typed: its name, and its id where the name would be taken for another's.
pub(super) fn kind_word(library: &Library, id: &KindId) -> String {
    let name = library.kind_name(id);
    let meant = crate::kind_choice::kinds_named(library, &name).first().is_some_and(|kind| kind.id == *id);
    if meant && !name.contains(',') { name } else { id.to_string() }
}

fn kinds_of(library: &Library, text: &str) -> Result<Vec<KindId>, String> {
    text.split(',')
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(|word| {
            let by_id = library.kinds.values().find(|kind| kind.id.as_str() == word);
            by_id
                .or_else(|| crate::kind_choice::kind_meant(library, word))
                .map(|kind| kind.id.clone())
                .ok_or_else(|| format!("No kind is called “{word}”; use a name or id such as xylophone."))
        })
        .collect()
}

/// The picture, with a way to another one.
fn picture(ui: &mut Ui, scene: &mut Scene<'_>, thing: &mut Instrument) {
    ui.add_space(space::S);
    ui.horizontal(|ui| {
        let words =
            if thing.picture.is_empty() { "Choose a picture …" } else { "Choose another picture …" };
        if ui.button(words).on_hover_text("or drop a JPEG or PNG on the window").clicked() {
            scene.ask(Intent::AskForPicture);
        }
        if !thing.picture.is_empty() && ui.button("Remove the picture").clicked() {
            thing.picture.clear();
        }
    });
    scene.pictures.show(ui, &scene.tokens, (&thing.picture, &thing.name), egui::vec2(480.0, 320.0));
}

/// Draws the form.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, form: &mut Form) -> Outcome {
    let tokens = scene.tokens;
    let (mut saves, mut leaves) = (false, false);
    // The buttons first, from the right: a long name is cut and pushes nothing off.
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let hover = "Esc; what you typed stays as a draft";
            leaves = ui.button("Cancel").on_hover_text(hover).clicked();
            saves = primary(ui, &tokens, "Save").on_hover_text("Enter in a line, or Ctrl Enter").clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let title = RichText::new(form.title()).font(serif(size::HEADING)).color(tokens.ink);
                ui.add(egui::Label::new(title).truncate());
            });
        });
    });
    saves |= ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
    form.error.ui(ui, &tokens, || form.slip());
    ui.add_space(space::XS);
    egui::ScrollArea::vertical().id_salt("form").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("form fields")
            .num_columns(2)
            .spacing([16.0, 6.0])
            .show(ui, |ui| saves |= fields::fields(ui, scene.library, form));
        if let Draft::Instrument(thing) = &mut form.draft {
            picture(ui, scene, thing);
        }
    });
    if saves {
        match form.edit(scene.library).and_then(|kept| allowed(scene, kept)) {
            Ok((edit, selected)) => {
                scene.edit(edit);
                if selected.is_some() {
                    scene.ask(Intent::Select(selected));
                }
                return Outcome::Saved;
            }
            Err(why) => form.error = Refusal::of(why, &form.slip()),
        }
    }
    if leaves { Outcome::Left } else { Outcome::GoesOn }
}
