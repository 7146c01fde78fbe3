//! Collection: instruments, beaters, players, places in store, and the orchestra.

mod bells;
mod bench;
mod care;
mod form;
mod frames_text;
mod orchestra;
mod pieces_text;
mod table;
mod tuning;

use crate::drafts::{Desk, Left};
use crate::intent::{Intent, Kept};
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::view::View;
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
    forms: Desk<form::Form>,
    orchestra: Option<orchestra::Draft>,
    /// A form for a new one is to be opened.
    begins: bool,
    /// The place in store that is chosen; the right panel shows none.
    place: Option<backrow_core::id::PlaceId>,
    /// A row that is to come into sight.
    to_row: Option<usize>,
    scrolled: f32,
    bench: bench::Bench,
    rows: Memo<(u64, Tab, String, usize, bool), Vec<table::Row>>,
}

impl State {
    /// Whether a form is open.
    pub const fn has_form(&self) -> bool {
        self.forms.open().is_some() || self.bench.forms.open().is_some()
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
        self.forms.leave()
    }

    /// How many forms hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        self.forms.unsaved()
            + self.bench.forms.unsaved()
            + usize::from(self.orchestra.as_ref().is_some_and(orchestra::Draft::has_changed))
    }
}

/// What the table lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
enum Tab {
    #[default]
    Instruments,
    Beaters,
    Players,
    Places,
    Tuning,
    Bells,
    Care,
    Orchestra,
}

impl Tab {
    const ALL: [Self; 8] = [
        Self::Instruments,
        Self::Beaters,
        Self::Players,
        Self::Places,
        Self::Tuning,
        Self::Bells,
        Self::Care,
        Self::Orchestra,
    ];

    const fn word(self) -> &'static str {
        match self {
            Self::Instruments => "Instruments",
            Self::Beaters => "Beaters",
            Self::Players => "Players",
            Self::Places => "Places",
            Self::Tuning => "Tuning",
            Self::Bells => "Bells",
            Self::Care => "Care",
            Self::Orchestra => "Orchestra",
        }
    }
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Up, Down", "Row before, row after"),
    ("Enter", "Change the row"),
    ("Ctrl Enter", "Keep what the form says"),
    ("Ctrl N", "Add a new one"),
    ("Ctrl D", "Another like the row"),
    ("Esc", "Leave the form; what was typed is kept as a draft"),
    ("Delete", "Remove the row; undo brings it back"),
];

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    Frame::new().inner_margin(Margin { left: 16, right: 12, top: 0, bottom: 0 }).show(ui, |ui| {
        let tokens = scene.tokens;
        page::head(ui, &tokens, "Collection", |ui| {
            for tab in Tab::ALL {
                let here = view.own.tab == tab;
                let response = ui.selectable_label(here, tab.word());
                response.widget_info(|| WidgetInfo::selected(egui::Role::Tab, true, here, tab.word()));
                if response.clicked() {
                    view.own.tab = tab;
                    if let Some(words) = view.own.leave_form().words() {
                        scene.ask(Intent::Say(words.to_owned()));
                    }
                    view.own.column = 0;
                }
            }
        });
        if std::mem::take(&mut view.own.begins)
            && let Some(form) = form::Form::new(scene, view.own.tab)
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
