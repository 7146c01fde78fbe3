//! Collection: instruments, beaters, players, places in store, and the orchestra.

mod bells;
mod bench;
mod care;
mod form;
mod frames_text;
mod orchestra;
mod table;
mod tuning;

use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left};
use crate::intent::{Intent, Kept};
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::{CollectionTab as Tab, Selected, View};
use backrow_core::id::{InstrumentId, PlaceId};
use backrow_core::library::Library;
use backrow_files::tables::collection::Subject;
use egui::{Frame, Margin, Ui, WidgetInfo};

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    tab: Tab,
    filter: String,
    column: usize,
    backwards: bool,
    forms: Forms<form::Form>,
    orchestra: Forms<orchestra::Form>,
    /// A form for a new one is to be opened.
    begins: bool,
    /// The form of this is to be opened.
    opens: Option<Selected>,
    /// The place in store that is chosen; the right panel shows none.
    place: Option<PlaceId>,
    /// A row that is to come into sight.
    to_row: Option<usize>,
    scrolled: f32,
    bench: Bench,
    rows: Memo<(u64, Tab, String, usize, bool), Vec<table::Row>>,
}

impl State {
    /// Whether a form is open.
    pub const fn has_form(&self) -> bool {
        self.forms.open().is_some() || self.bench.forms.open().is_some()
    }

    /// Turns to a tab; a form that is open is left.
    pub fn turn_to(&mut self, tab: Tab) -> Left {
        self.tab = tab;
        self.column = 0;
        self.leave_all()
    }

    /// Leaves an open form, and the orchestra's with it, whose tab is left. That is always open, so that its closing is no news.
    fn leave_all(&mut self) -> Left {
        match (self.orchestra.leave(), self.leave_form()) {
            (Left::Draft, _) => Left::Draft,
            (_, left) => left,
        }
    }

    /// Leaves an open form.
    pub fn leave_form(&mut self) -> Left {
        match self.forms.leave() {
            Left::Nothing => self.bench.forms.leave(),
            left => left,
        }
    }

    /// Opens a form for a new one, from wherever it was asked; what became of the form that was open.
    pub fn begin(&mut self, kept: Kept) -> Left {
        self.tab = match kept {
            Kept::Instruments => Tab::Instruments,
            Kept::Players => Tab::Players,
        };
        self.begins = true;
        self.leave_all()
    }

    /// Opens the form of what is there, from wherever it was asked; what became of the form that was open.
    pub fn open_record(&mut self, of: &Selected) -> Left {
        self.tab = match of {
            Selected::Instrument(_) => Tab::Instruments,
            Selected::Beater(_) => Tab::Beaters,
            Selected::Player(_) => Tab::Players,
            // A line is of a work, and has no form here.
            Selected::Line(_) => return Left::Nothing,
        };
        self.opens = Some(of.clone());
        self.leave_all()
    }

    /// The forms that hold something, as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let orchestra = self.orchestra.held().filter_map(orchestra::Form::slip);
        let bench = self.bench.forms.held().map(bench::TextForm::slip);
        self.forms.held().filter_map(form::Form::slip).chain(orchestra).chain(bench).collect()
    }

    /// Whether the form of an instrument is open, which a picture would belong to.
    pub fn wants_picture(&self) -> Option<InstrumentId> {
        self.forms.open().and_then(form::Form::instrument).cloned()
    }

    /// Gives a picture to an instrument whose form is open; whether it is.
    pub fn set_picture(&mut self, of: &InstrumentId, name: &str) -> bool {
        if self.wants_picture().as_ref() != Some(of) {
            return false;
        }
        if let Some(mut form) = self.forms.take() {
            form.set_picture(name);
            self.forms.end(form, crate::drafts::Outcome::GoesOn);
        }
        true
    }

    /// Puts a form that was kept on disk among the drafts.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        match slip.form.as_str() {
            "orchestra" => {
                let form = orchestra::Form::of_slip(slip, library);
                form.map(|form| self.orchestra.put_aside(form)).is_some()
            }
            "bench" => {
                let form = bench::TextForm::of_slip(slip, library);
                form.map(|form| self.bench.forms.put_aside(form)).is_some()
            }
            _ => {
                let form = form::Form::of_slip(slip, library);
                form.map(|form| self.forms.put_aside(form)).is_some()
            }
        }
    }

    /// What a table would be of that is imported while this tab is shown; of instruments it may be of anything.
    pub const fn subject(&self) -> Option<Subject> {
        match self.tab {
            Tab::Beaters => Some(Subject::Beaters),
            Tab::Players => Some(Subject::Players),
            Tab::Places => Some(Subject::Places),
            Tab::Instruments | Tab::Tuning | Tab::Bells | Tab::Care | Tab::Orchestra => None,
        }
    }

    /// How many forms hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        self.forms.unsaved() + self.bench.forms.unsaved() + self.orchestra.unsaved()
    }
}

/// So wide are the tabs with usual gaps, points.
const TABS_WIDE: f32 = 560.0;

/// So wide are they when they stand closer, points; below that their type is smaller too.
const TABS_CLOSE: f32 = 430.0;

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Up, Down", "Previous row, next row"),
    ("Enter", "Edit the row"),
    ("Ctrl Enter", "Save the form; Enter in a line does too"),
    ("Ctrl N", "Add a new one"),
    ("Ctrl D", "Duplicate the row"),
    ("Esc", "Leave the form; what was typed is a draft"),
    ("Delete", "Remove the row; undo brings it back"),
];

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    Frame::new().inner_margin(Margin { left: 16, right: 12, top: 0, bottom: 0 }).show(ui, |ui| {
        let tokens = scene.tokens;
        page::head(ui, &tokens, "Collection", |ui| {
            // In a small window they stand closer, so that the last is in sight.
            let wide = ui.available_width();
            if wide < TABS_WIDE {
                (ui.spacing_mut().button_padding.x, ui.spacing_mut().item_spacing.x) = (4.0, 1.0);
            }
            if wide < TABS_CLOSE {
                (ui.spacing_mut().button_padding.x, ui.spacing_mut().item_spacing.x) = (1.5, 0.0);
                ui.style_mut().text_styles.insert(egui::TextStyle::Button, sans(size::NOTE));
            }
            for tab in Tab::ALL {
                let here = view.own.tab == tab;
                let response = ui.selectable_label(here, tab.word());
                response.widget_info(|| WidgetInfo::selected(egui::Role::Tab, true, here, tab.word()));
                if response.clicked()
                    && let Some(words) = view.own.turn_to(tab).words()
                {
                    scene.ask(Intent::Say(words.to_owned()));
                }
            }
        });
        if std::mem::take(&mut view.own.begins)
            && let Some(form) = form::Form::new(scene, view.own.tab)
        {
            view.own.forms.put(form);
        }
        if let Some(of) = view.own.opens.take()
            && let Some(form) = form::Form::of(scene, &Thing::Selectable(of))
        {
            view.own.forms.put(form);
        }
        if let Some(mut form) = view.own.forms.take() {
            let outcome = form::ui(ui, scene, &mut form);
            if let Some(words) = view.own.forms.end(form, outcome).words() {
                scene.ask(Intent::Say(words.to_owned()));
            }
            return;
        }
        view.own.forms.ui(ui, &scene.tokens);
        if view.own.tab != Tab::Orchestra {
            view.own.orchestra.ui(ui, &scene.tokens);
            if view.own.orchestra.open().is_some() {
                view.own.tab = Tab::Orchestra;
            }
        }
        match view.own.tab {
            Tab::Orchestra => orchestra::ui(ui, scene, &mut view.own.orchestra),
            Tab::Tuning => tuning::ui(ui, scene, view.shared, &mut view.own.bench),
            Tab::Bells => bells::ui(ui, scene, view.shared, &mut view.own.bench),
            Tab::Care => care::ui(ui, scene, view.shared, &mut view.own.bench),
            Tab::Instruments | Tab::Beaters | Tab::Players | Tab::Places => table::ui(ui, scene, view),
        }
    });
}

/// Draws an open form of the bench, and says whether there is one.
fn bench_form(ui: &mut Ui, scene: &mut Scene<'_>, bench: &mut bench::Bench) -> bool {
    let Some(mut form) = bench.forms.take() else { return false };
    let outcome = bench::form_ui(ui, scene, &mut form);
    if let Some(words) = bench.forms.end(form, outcome).words() {
        scene.ask(Intent::Say(words.to_owned()));
    }
    true
}

/// What a row stands for.
#[derive(Clone, Debug, PartialEq)]
enum Thing {
    Selectable(Selected),
    Place(PlaceId),
}

/// What the tabs of tuning, bells and care look at.
#[derive(Default)]
struct Bench {
    /// The current instrument.
    instrument: Option<InstrumentId>,
    /// What the list of instruments is filtered by.
    filter: String,
    /// Which of its surveys, by its day's place; the latest with `None`.
    survey: Option<usize>,
    /// Whether the curves are those of the second partial.
    second: bool,
    /// The curves that were drawn last.
    curves: tuning::Curves,
    /// A hall to try, until it is saved for the programme.
    hall: Option<backrow_core::tonight::Hall>,
    /// The current bell.
    bell: Option<(InstrumentId, backrow_core::pitch::KeyNumber)>,
    /// The current line of the log.
    entry: Option<(InstrumentId, usize)>,
    /// What the current one is held beside.
    against: Option<InstrumentId>,
    /// The programme's lines for timpani with their tunings.
    timpani: tuning::Plans,
    /// What the calculators were given.
    sums: tuning::sums::Given,
    /// The path of a recording, as typed.
    recording: String,
    /// A recording being listened to.
    listening: Option<tuning::take::Listening>,
    /// What was measured of the takes of the current instrument.
    heard: bench::heard::Memory,
    forms: Forms<bench::TextForm>,
}
