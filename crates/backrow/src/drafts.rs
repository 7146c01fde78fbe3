//! One rule for every form: nothing that was typed is lost. A form that is left with something typed becomes a draft, is kept,
//! and can be taken up again; only *Throw away* lets it go.

pub mod lines;
pub mod shelf;

use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans};
use egui::{RichText, Ui, WidgetInfo, vec2};

/// A form that knows whether it holds anything that would be lost.
pub trait Typed {
    /// Whether something was typed that the library does not have.
    fn has_changed(&self) -> bool;

    /// What it is of, in a few words: "Instrument: Marimba 1".
    fn title(&self) -> String;
}

/// Why a form was not saved. It holds for what stood in the form then, and goes as soon as something else stands there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refusal {
    why: String,
    of: String,
}

impl Refusal {
    /// Says why what stands in the form is not saved.
    pub fn of(why: String, form: &impl std::fmt::Debug) -> Self {
        Self { why, of: format!("{form:?}") }
    }

    /// Shows it while it still holds for what stands in the form.
    pub fn ui<T: std::fmt::Debug>(&self, ui: &mut Ui, tokens: &Tokens, form: impl FnOnce() -> T) {
        if !self.why.is_empty() && self.of == format!("{:?}", form()) {
            crate::theme::widgets::trouble(ui, tokens, &self.why);
        }
    }
}

/// The form that is open, and those that were left.
pub struct Forms<F> {
    open: Option<F>,
    drafts: Vec<F>,
}

impl<F> Default for Forms<F> {
    fn default() -> Self {
        Self { open: None, drafts: Vec::new() }
    }
}

/// What became of a form in a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It stays open.
    GoesOn,
    /// It was saved, and holds nothing any more.
    Saved,
    /// It is left.
    Left,
}

/// What became of the form that was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// None was open.
    Nothing,
    /// Nothing had been typed.
    Closed,
    /// It is a draft now.
    Draft,
}

impl Left {
    /// What to say of it.
    pub const fn words(self) -> Option<&'static str> {
        match self {
            Self::Nothing => None,
            Self::Closed => Some("Closed; nothing had been typed."),
            Self::Draft => Some("Saved as a draft: you can resume it; the library has not changed."),
        }
    }
}

impl<F: Typed> Forms<F> {
    /// The form that is open, to be changed.
    pub const fn open_mut(&mut self) -> Option<&mut F> {
        self.open.as_mut()
    }

    /// Opens a form; one that is open already is left first.
    pub fn put(&mut self, form: F) {
        self.leave();
        self.open = Some(form);
    }

    /// Opens the draft that was left last, where no form is open: for a form of which there is only one.
    pub fn resume(&mut self) {
        if self.open.is_none() {
            self.open = self.drafts.pop();
        }
    }

    /// Puts a form among the drafts that were left.
    pub fn put_aside(&mut self, form: F) {
        self.drafts.push(form);
    }

    /// Every form that holds something: the drafts, and the one that is open.
    pub fn held(&self) -> impl Iterator<Item = &F> {
        self.drafts.iter().chain(self.open.as_ref().filter(|form| form.has_changed()))
    }

    /// Every form, to be changed: the drafts, and the one that is open.
    pub fn each_mut(&mut self) -> impl Iterator<Item = &mut F> {
        self.drafts.iter_mut().chain(&mut self.open)
    }

    /// The form that is open.
    pub const fn open(&self) -> Option<&F> {
        self.open.as_ref()
    }

    /// Takes the form in hand, to draw it; [`Self::end`] puts it down again.
    pub fn take(&mut self) -> Option<F> {
        self.open.take()
    }

    /// Puts the form down as what became of it says.
    pub fn end(&mut self, form: F, outcome: Outcome) -> Left {
        match outcome {
            Outcome::GoesOn => {
                self.open = Some(form);
                Left::Nothing
            }
            Outcome::Saved => Left::Nothing,
            Outcome::Left => {
                self.open = Some(form);
                self.leave()
            }
        }
    }

    /// Leaves the form that is open.
    pub fn leave(&mut self) -> Left {
        match self.open.take() {
            None => Left::Nothing,
            Some(form) if form.has_changed() => {
                self.drafts.push(form);
                Left::Draft
            }
            Some(_) => Left::Closed,
        }
    }

    /// How many forms hold something that is not in the library, the open one with them.
    pub fn unsaved(&self) -> usize {
        self.drafts.len() + usize::from(self.open.as_ref().is_some_and(Typed::has_changed))
    }

    /// A line for each draft, with a way to take it up and one to throw it away. Nothing where there is none.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        let (mut wanted, mut thrown) = (None, None);
        for (at, draft) in self.drafts.iter().enumerate() {
            ui.push_id(("draft", at), |ui| match row(ui, tokens, &draft.title()) {
                Some(Chosen::Resume) => wanted = Some(at),
                Some(Chosen::ThrowAway) => thrown = Some(at),
                None => {}
            });
        }
        if let Some(at) = wanted.or(thrown).filter(|at| *at < self.drafts.len()) {
            let draft = self.drafts.remove(at);
            if thrown.is_none() {
                self.put(draft);
            }
        }
    }
}

/// What somebody wants of a draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// To go on with it.
    Resume,
    /// To lose it.
    ThrowAway,
}

/// A line for a draft, with a way to take it up and one to throw it away.
pub fn row(ui: &mut Ui, tokens: &Tokens, title: &str) -> Option<Chosen> {
    let mut chosen = None;
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 24.0), egui::Sense::hover());
        marks::mark(ui.painter(), rect.center(), marks::Mark::Note, tokens);
        let words = RichText::new(format!("Draft, not saved: {title}"));
        let width = (ui.available_width() - 190.0).max(80.0);
        ui.allocate_ui(vec2(width, 24.0), |ui| {
            ui.add(egui::Label::new(words.font(sans(size::NOTE)).color(tokens.ink)).truncate());
        });
        for (words, one) in [("Resume", Chosen::Resume), ("Throw away", Chosen::ThrowAway)] {
            let button = ui.small_button(words);
            let says = format!("{words} the draft {title}");
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, says.clone()));
            if button.clicked() {
                chosen = Some(one);
            }
        }
    });
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Line(&'static str);

    impl Typed for Line {
        fn has_changed(&self) -> bool {
            !self.0.is_empty()
        }

        fn title(&self) -> String {
            self.0.to_owned()
        }
    }

    #[test]
    fn what_was_typed_is_kept_whichever_way_it_is_left() {
        let mut forms = Forms::default();
        assert_eq!(forms.leave(), Left::Nothing);
        forms.put(Line(""));
        assert_eq!((forms.leave(), forms.unsaved()), (Left::Closed, 0));
        forms.put(Line("one"));
        assert_eq!(forms.unsaved(), 1, "open and not saved");
        forms.put(Line("two"));
        assert_eq!(forms.unsaved(), 2, "another form pushes nothing off the forms");
        assert_eq!(forms.leave(), Left::Draft);
        assert_eq!(forms.unsaved(), 2);
        forms.put(Line("three"));
        let saved = forms.take();
        assert!(saved.is_some_and(|form| form.0 == "three"));
        assert_eq!((forms.leave(), forms.unsaved()), (Left::Nothing, 2));
    }
}
