//! What the programme hires or borrows: from whom, how far it has got, what it costs; and what it still lacks.

use crate::dates::{self, Days};
use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left, Outcome, Refusal, Typed};
use crate::intent::Intent;
use crate::memo::Memo;
use crate::places::week::Here;
use crate::places::week::service_form::draft_week;
use crate::scene::Scene;
use crate::sheets::price;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{marks, sans, semibold};
use crate::words::money;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::{Hire, HireState, Programme, Week};
use backrow_files::library::Held;
use egui::{RichText, Ui, WidgetInfo};
use jiff::civil::Date;

/// What the tab looks at.
#[derive(Default)]
pub(super) struct State {
    forms: Forms<Form>,
    wanted: Memo<(u64, ProgrammeId), Vec<Hire>>,
}

/// A hire while it is typed.
struct Form {
    /// How its days and hours are written.
    days: Days,
    /// Which of the programme's; a new one when beyond the last.
    at: usize,
    hire: Hire,
    cost: String,
    from: String,
    until: String,
    error: Refusal,
    /// The day that a day without a year is near to.
    near: Date,
    /// The programme that it is of.
    programme: ProgrammeId,
    fresh: bool,
    began: Option<(Hire, [String; 3])>,
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        self.began.as_ref() != Some(&self.typed())
    }

    fn title(&self) -> String {
        let what = self.hire.what.trim();
        format!("Hire: {}", if what.is_empty() { "new" } else { what })
    }
}

impl Form {
    fn new(library: &Library, programme: &Programme, at: usize, hire: Hire) -> Self {
        let first = library.services_of(&programme.id).first().map(|service| service.start.date());
        let day = |date: Option<jiff::civil::Date>| {
            date.map_or_else(String::new, |day| library.days().lasting().weekday(day))
        };
        let mut form = Self {
            days: library.days(),
            at,
            near: first.unwrap_or_else(dates::today),
            programme: programme.id.clone(),
            cost: hire.cost.map_or_else(String::new, |cost| format!("{cost}")),
            from: day(hire.from),
            until: day(hire.until),
            hire,
            error: Refusal::default(),
            fresh: true,
            began: None,
        };
        form.began = Some(form.typed());
        form
    }

    /// Everything that was typed.
    fn typed(&self) -> (Hire, [String; 3]) {
        (self.hire.clone(), [self.cost.clone(), self.from.clone(), self.until.clone()])
    }

    fn slip(&self) -> Option<Slip> {
        let mut programme = Programme::new(self.programme.clone(), "");
        programme.hires = vec![self.hire.clone()];
        let slip = Slip::of("hire", &Held::Week(draft_week(vec![programme], Vec::new())))?;
        Some(
            slip.with("at", self.at)
                .with("cost", &self.cost)
                .with("from", &self.from)
                .with("until", &self.until),
        )
    }

    /// What was kept on disk; `None` where its programme is there no longer.
    fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let Held::Week(week) = slip.held()? else { return None };
        let kept = week.programmes.into_iter().next()?;
        let programme = library.programme(&kept.id)?;
        let at = slip.field("at").parse().unwrap_or(programme.hires.len());
        let mut form = Self::new(library, programme, at, kept.hires.into_iter().next()?);
        slip.field("cost").clone_into(&mut form.cost);
        slip.field("from").clone_into(&mut form.from);
        slip.field("until").clone_into(&mut form.until);
        form.began = None;
        Some(form)
    }

    fn kept(&self) -> Result<Hire, String> {
        let day = |text: &str, what: &str| match text.trim() {
            "" => Ok(None),
            text => dates::day(text, self.near, dates::today(), self.days.order)
                .map(Some)
                .map_err(|why| format!("{what}: {why}")),
        };
        let cost = match self.cost.trim() {
            "" => None,
            text => {
                let cost = backrow_core::numbers::typed(text).filter(|cost| *cost >= 0.0);
                Some(cost.ok_or("Cost: a plain number such as 140 was expected.")?)
            }
        };
        if self.hire.what.trim().is_empty() {
            return Err("Say what it is.".to_owned());
        }
        let (from, until) = (day(&self.from, "From")?, day(&self.until, "Until")?);
        if from.zip(until).is_some_and(|(from, until)| until < from) {
            return Err("Until: it lies before the first day.".to_owned());
        }
        Ok(Hire { what: self.hire.what.trim().to_owned(), cost, from, until, ..self.hire.clone() })
    }
}

impl State {
    /// Leaves an open form.
    pub(super) fn leave_form(&mut self) -> Left {
        self.forms.leave()
    }

    /// The forms that hold something, as they are kept on disk.
    pub(super) fn slips(&self) -> Vec<Slip> {
        self.forms.held().filter_map(Form::slip).collect()
    }

    /// Puts a form that was kept on disk among the drafts.
    pub(super) fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        let form = Form::of_slip(slip, library);
        form.map(|form| self.forms.put_aside(form)).is_some()
    }

    /// How many hires are typed and not saved.
    pub(super) fn unsaved(&self) -> usize {
        self.forms.unsaved()
    }

    /// Whether a form is open.
    pub(super) const fn has_form(&self) -> bool {
        self.forms.open().is_some()
    }
}

/// What stands beside the name of a hire in its row: state, days and cost, menu and what lies between, points.
const BESIDE: f32 = 280.0;

/// Draws the tab.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (week, programme): (&Week, &Programme),
) {
    let tokens = scene.tokens;
    // The sum of nothing is -0.
    let total = programme.hires.iter().filter_map(|hire| hire.cost).sum::<f64>() + 0.0;
    let beside =
        format!("{} hired or borrowed, {} in all", programme.hires.len(), money(scene.library, total));
    marks::heading(ui, &programme.title, &beside, &tokens);
    ui.add_space(space::XS);
    if programme.hires.is_empty() {
        ui.label(RichText::new("Nothing is hired or borrowed for this programme.").color(tokens.ink2));
    }
    let mut next: Option<(String, Vec<Hire>)> = None;
    // State, days and menu are as wide as they are; what it is takes the rest, so that nothing of a row lies beyond the place.
    let widest = (ui.available_width() - BESIDE).clamp(90.0, 220.0);
    egui::Grid::new("hires").num_columns(4).spacing([12.0, 6.0]).min_row_height(24.0).show(ui, |ui| {
        if !programme.hires.is_empty() {
            for word in ["what, from whom", "state", "from, until, cost", ""] {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
            }
            ui.end_row();
        }
        for (at, hire) in programme.hires.iter().enumerate() {
            row(ui, scene, (programme, at, hire, widest), &mut next, &mut view.own.hires.forms);
            ui.end_row();
        }
    });
    ui.add_space(space::S);
    if ui.button("Add a hire").clicked() {
        let form = Form::new(scene.library, programme, programme.hires.len(), Hire::wanted(""));
        view.own.hires.forms.put(form);
    }
    view.own.hires.forms.ui(ui, &tokens);
    // A form of another programme waits until that one is current.
    let here = view.own.hires.forms.open().is_some_and(|form| form.programme == programme.id);
    if here && let Some(mut form) = view.own.hires.forms.take() {
        let mut outcome = form_ui(ui, scene, &mut form);
        if outcome == Outcome::Saved {
            let saved = match form.kept() {
                Ok(hire) => {
                    let mut hires = programme.hires.clone();
                    let words = format!("Save the hire of {}", hire.what);
                    match hires.get_mut(form.at) {
                        Some(old) => *old = hire,
                        None => hires.push(hire),
                    }
                    scene.try_edit(with_hires(week, programme, words, hires))
                }
                Err(why) => Err(why),
            };
            match saved {
                Ok(()) => {}
                Err(why) => {
                    form.error = Refusal::of(why, &form.slip());
                    outcome = Outcome::GoesOn;
                }
            }
        }
        if let Some(words) = view.own.hires.forms.end(form, outcome).words() {
            scene.ask(Intent::Say(words.to_owned()));
        }
    }
    wanted(ui, scene, view, programme, &mut next);
    if let Some((words, hires)) = next {
        scene.edit(with_hires(week, programme, words, hires));
    }
}

/// The programme with other hires.
fn with_hires(week: &Week, programme: &Programme, words: String, hires: Vec<Hire>) -> Edit {
    let mut programme = programme.clone();
    programme.hires = hires;
    Edit::Together { words, edits: vec![Edit::PutProgramme { week: week.id.clone(), programme }] }
}

fn row(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (programme, at, hire, widest): (&Programme, usize, &Hire, f32),
    next: &mut Option<(String, Vec<Hire>)>,
    forms: &mut Forms<Form>,
) {
    let tokens = scene.tokens;
    ui.vertical(|ui| {
        ui.set_max_width(widest);
        let what = RichText::new(&hire.what).font(semibold(size::TEXT)).color(tokens.ink);
        ui.add(egui::Label::new(what).wrap()).on_hover_text(details(hire));
        let lender = if hire.lender.is_empty() { "lender not known" } else { &hire.lender };
        ui.label(RichText::new(lender).font(sans(size::NOTE)).color(tokens.ink2));
    });
    let mut state = hire.state;
    let label = format!("State of {}", hire.what);
    let combo = egui::ComboBox::from_id_salt(("hire state", at)).selected_text(state.word()).width(92.0);
    let combo = combo.show_ui(ui, |ui| {
        for choice in HireState::ALL {
            ui.selectable_value(&mut state, choice, choice.word());
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label.clone()));
    ui.vertical(|ui| {
        ui.add(egui::Label::new(days(scene.library, hire)).extend());
        let cost = match price(hire) {
            None => "cost not known".to_owned(),
            Some(cost) if cost <= 0.0 => "free".to_owned(),
            Some(cost) => money(scene.library, cost),
        };
        ui.label(RichText::new(cost).font(sans(size::NOTE)).color(tokens.ink2));
    });
    let mut hires = programme.hires.clone();
    let mut remove = false;
    let menu = ui.menu_button("…", |ui| {
        if ui.button("Edit …").clicked() {
            forms.put(Form::new(scene.library, programme, at, hire.clone()));
        }
        remove = ui.button("Remove").clicked();
    });
    let says = format!("Edit or remove {}", hire.what);
    menu.response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, says.clone()));
    if remove && at < hires.len() {
        hires.remove(at);
        *next = Some((format!("Remove the hire of {}", hire.what), hires));
    } else if state != hire.state
        && let Some(changed) = hires.get_mut(at)
    {
        changed.state = state;
        *next = Some((format!("{}: {}", hire.what, state.word()), hires));
    }
}

/// "10–16 Oct 2027", as the programme's own days are; the one that is known where the other is not: "from 10 Oct 2027".
fn days(library: &Library, hire: &Hire) -> String {
    let days = library.days();
    let words = match (hire.from, hire.until) {
        (None, None) => String::new(),
        (Some(from), None) => format!("from {}", days.day(from)),
        (None, Some(until)) => format!("until {}", days.day(until)),
        (Some(from), Some(until)) => days.dates(from, until),
    };
    // They stand in one line.
    words.replace(' ', "\u{a0}")
}

fn details(hire: &Hire) -> String {
    let mut words = Vec::new();
    if !hire.notes.is_empty() {
        words.push(format!("notes, sounding: {}", hire.notes));
    }
    words.extend(hire.a.map(|a| format!("A {}\u{202F}Hz", a.value())));
    if !hire.remark.is_empty() {
        words.push(hire.remark.clone());
    }
    if words.is_empty() { "no notes asked for".to_owned() } else { words.join("; ") }
}

/// Draws the form.
fn form_ui(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) -> Outcome {
    let tokens = scene.tokens;
    let (mut done, mut entered) = (Outcome::GoesOn, false);
    egui::Frame::new().fill(tokens.raised).inner_margin(8.0).show(ui, |ui| {
        egui::Grid::new("hire form").num_columns(4).spacing([12.0, 6.0]).show(ui, |ui| {
            let enter = ui.input(|i| i.key_pressed(egui::Key::Enter));
            let mut field = |ui: &mut Ui, word: &str, text: &mut String, width: f32| {
                let label = ui.label(word);
                let field = ui.add(egui::TextEdit::singleline(text).desired_width(width));
                let field = field.labelled_by(label.id);
                entered |= enter && field.lost_focus();
            };
            let label = ui.label("What");
            let what = egui::TextEdit::singleline(&mut form.hire.what)
                .desired_width(200.0)
                .char_limit(backrow_core::collection::NAME_LETTERS);
            let what = ui.add(what).labelled_by(label.id);
            if std::mem::take(&mut form.fresh) {
                what.request_focus();
                what.scroll_to_me(Some(egui::Align::Center));
            }
            let of_what = enter && what.lost_focus();
            field(ui, "Lender", &mut form.hire.lender, 160.0);
            ui.end_row();
            field(ui, "From", &mut form.from, 90.0);
            field(ui, "Until", &mut form.until, 90.0);
            ui.end_row();
            field(ui, "Cost", &mut form.cost, 90.0);
            field(ui, "Remark", &mut form.hire.remark, 160.0);
            entered |= of_what;
            ui.end_row();
            ui.label("In the collection");
            let words = form.hire.instrument.as_ref().map(|id| scene.library.instrument_name(id));
            let words = words.unwrap_or_else(|| "nothing in the collection yet".to_owned());
            let combo = egui::ComboBox::from_id_salt("hire instrument")
                .selected_text(words)
                .width(200.0)
                .height(320.0)
                .truncate();
            let combo = combo.show_ui(ui, |ui| {
                ui.selectable_value(&mut form.hire.instrument, None, "nothing in the collection yet");
                let lent = scene.library.instruments.values();
                for thing in lent.filter(|thing| thing.owner != backrow_core::collection::Owner::Orchestra) {
                    ui.selectable_value(&mut form.hire.instrument, Some(thing.id.clone()), &thing.name);
                }
            });
            combo.response.widget_info(|| {
                WidgetInfo::labeled(egui::Role::ComboBox, true, "Instrument in the collection")
            });
            ui.end_row();
        });
        ui.horizontal(|ui| {
            let enter = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
            let save = primary(ui, &scene.tokens, "Save").on_hover_text("Enter in a line, or Ctrl Enter");
            if save.clicked() || enter || entered {
                done = Outcome::Saved;
            }
            let hover = "Esc; what you typed stays as a draft";
            if ui.button("Cancel").on_hover_text(hover).clicked() {
                done = Outcome::Left;
            }
        });
        // Below the buttons: what is said of the form pushes none of them away under the pointer.
        form.error.ui(ui, &tokens, || form.slip());
    });
    done
}

fn wanted(
    ui: &mut Ui,
    scene: &Scene<'_>,
    view: &mut Here<'_>,
    programme: &Programme,
    next: &mut Option<(String, Vec<Hire>)>,
) {
    let tokens = scene.tokens;
    let library = scene.library;
    let mut memo = std::mem::take(&mut view.own.hires.wanted);
    let wanted = memo.get((scene.revision, programme.id.clone()), || {
        scene.derived.evening_of(library, scene.revision, programme).hires_to_propose()
    });
    ui.add_space(space::M);
    marks::heading(ui, "Not arranged yet", &wanted.len().to_string(), &tokens);
    if wanted.is_empty() {
        ui.label(RichText::new("The collection lacks nothing for this programme.").color(tokens.ink2));
    }
    for (at, hire) in wanted.iter().enumerate() {
        ui.push_id(("wanted", at), |ui| {
            ui.horizontal_top(|ui| {
                let button = ui.button("Add");
                button.widget_info(|| {
                    WidgetInfo::labeled(egui::Role::Button, true, format!("Add {}", hire.what))
                });
                if button.clicked() {
                    let mut hires = programme.hires.clone();
                    hires.push(hire.clone());
                    *next = Some((format!("Put {} on the hire list", hire.what), hires));
                }
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 0.0;
                    let what = RichText::new(&hire.what).font(semibold(size::TEXT)).color(tokens.ink);
                    ui.add(egui::Label::new(what).truncate());
                    let lender =
                        if hire.lender.is_empty() { String::new() } else { format!("{}; ", hire.lender) };
                    let words = format!("{lender}{}", details(hire));
                    let words = RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
                    ui.add(egui::Label::new(words).wrap());
                });
            });
        });
    }
    view.own.hires.wanted = memo;
}
