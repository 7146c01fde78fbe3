//! What the programme hires or borrows: from whom, how far it has got, what it costs; and what it still lacks.

use crate::memo::Memo;
use crate::places::week::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{marks, sans, semibold};
use backrow_core::edit::Edit;
use backrow_core::hiring::proposals;
use backrow_core::id::ProgrammeId;
use backrow_core::week::{Hire, HireState, Programme, Week};
use egui::{RichText, Ui, WidgetInfo};

/// What the tab looks at.
#[derive(Default)]
pub(super) struct State {
    form: Option<Form>,
    wanted: Memo<(u64, ProgrammeId), Vec<Hire>>,
}

/// A hire while it is typed.
struct Form {
    /// Which of the programme's; a new one when beyond the last.
    at: usize,
    hire: Hire,
    cost: String,
    from: String,
    until: String,
    error: String,
}

impl Form {
    fn new(at: usize, hire: Hire) -> Self {
        let day = |date: Option<jiff::civil::Date>| date.map_or_else(String::new, |date| date.to_string());
        Self {
            at,
            cost: hire.cost.map_or_else(String::new, |cost| format!("{cost}")),
            from: day(hire.from),
            until: day(hire.until),
            hire,
            error: String::new(),
        }
    }

    fn kept(&self) -> Result<Hire, String> {
        let day = |text: &str, what: &str| match text.trim() {
            "" => Ok(None),
            text => text.parse().map(Some).map_err(|_bad| format!("{what}: type the day as 2027-10-12.")),
        };
        let cost = match self.cost.trim() {
            "" => None,
            text => {
                let cost: f64 = text
                    .replace(',', ".")
                    .parse()
                    .map_err(|_bad| "Cost: a plain number such as 140 was expected.".to_owned())?;
                Some(cost).filter(|cost| cost.is_finite() && *cost >= 0.0)
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

/// Draws the tab.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (week, programme): (&Week, &Programme),
) {
    let tokens = scene.tokens;
    let total: f64 = programme.hires.iter().filter_map(|hire| hire.cost).sum();
    let beside = format!("{} hired or borrowed, {total:.2} in all", programme.hires.len());
    marks::heading(ui, &programme.title, &beside, &tokens);
    ui.add_space(space::XS);
    if programme.hires.is_empty() {
        ui.label(RichText::new("Nothing is hired or borrowed for this programme.").color(tokens.ink2));
    }
    let mut next: Option<(String, Vec<Hire>)> = None;
    egui::Grid::new("hires").num_columns(5).spacing([12.0, 6.0]).min_row_height(24.0).show(ui, |ui| {
        if !programme.hires.is_empty() {
            for word in ["what, from whom", "state", "from, until", "cost", ""] {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
            }
            ui.end_row();
        }
        for (at, hire) in programme.hires.iter().enumerate() {
            row(ui, scene, (programme, at, hire), &mut next, &mut view.own.hires.form);
            ui.end_row();
        }
    });
    ui.add_space(space::S);
    if ui.button("Add a hire").clicked() {
        view.own.hires.form = Some(Form::new(programme.hires.len(), Hire::wanted("")));
    }
    if let Some(mut form) = view.own.hires.form.take() {
        match form_ui(ui, scene, &mut form) {
            Some(true) => match form.kept() {
                Ok(hire) => {
                    let mut hires = programme.hires.clone();
                    let words = format!("Keep the hire of {}", hire.what);
                    match hires.get_mut(form.at) {
                        Some(old) => *old = hire,
                        None => hires.push(hire),
                    }
                    next = Some((words, hires));
                }
                Err(why) => {
                    form.error = why;
                    view.own.hires.form = Some(form);
                }
            },
            Some(false) => {}
            None => view.own.hires.form = Some(form),
        }
    }
    wanted(ui, scene, view, programme, &mut next);
    if let Some((words, hires)) = next {
        let mut programme = programme.clone();
        programme.hires = hires;
        let edits = vec![Edit::PutProgramme { week: week.id.clone(), programme }];
        scene.edit(Edit::Together { words, edits });
    }
}

fn row(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (programme, at, hire): (&Programme, usize, &Hire),
    next: &mut Option<(String, Vec<Hire>)>,
    form: &mut Option<Form>,
) {
    let tokens = scene.tokens;
    ui.vertical(|ui| {
        ui.set_max_width(220.0);
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
    ui.label(days(hire));
    ui.label(hire.cost.map_or_else(|| "?".to_owned(), |cost| format!("{cost:.2}")));
    let mut hires = programme.hires.clone();
    let mut remove = false;
    let menu = ui.menu_button("…", |ui| {
        if ui.button("Change …").clicked() {
            *form = Some(Form::new(at, hire.clone()));
        }
        remove = ui.button("Remove").clicked();
    });
    let says = format!("Change or remove {}", hire.what);
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

fn days(hire: &Hire) -> String {
    let day = |date: jiff::civil::Date| date.strftime("%-d %b").to_string();
    match (hire.from, hire.until) {
        (None, None) => String::new(),
        (from, until) => {
            format!("{} – {}", from.map(day).unwrap_or_default(), until.map(day).unwrap_or_default())
        }
    }
}

fn details(hire: &Hire) -> String {
    let mut words = Vec::new();
    if !hire.notes.is_empty() {
        words.push(format!("notes, sounding: {}", hire.notes));
    }
    words.extend(hire.a.map(|a| format!("A {} Hz", a.value())));
    if !hire.remark.is_empty() {
        words.push(hire.remark.clone());
    }
    if words.is_empty() { "no notes asked for".to_owned() } else { words.join("; ") }
}

/// Draws the form; whether to keep it or leave it, once.
fn form_ui(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) -> Option<bool> {
    let tokens = scene.tokens;
    let mut done = None;
    egui::Frame::new().fill(tokens.raised).inner_margin(8.0).show(ui, |ui| {
        egui::Grid::new("hire form").num_columns(4).spacing([12.0, 6.0]).show(ui, |ui| {
            let field = |ui: &mut Ui, word: &str, text: &mut String, width: f32| {
                let label = ui.label(word);
                ui.add(egui::TextEdit::singleline(text).desired_width(width)).labelled_by(label.id);
            };
            field(ui, "What", &mut form.hire.what, 200.0);
            field(ui, "Lender", &mut form.hire.lender, 160.0);
            ui.end_row();
            field(ui, "From", &mut form.from, 90.0);
            field(ui, "Until", &mut form.until, 90.0);
            ui.end_row();
            field(ui, "Cost", &mut form.cost, 90.0);
            field(ui, "Remark", &mut form.hire.remark, 160.0);
            ui.end_row();
            ui.label("Stands for");
            let words = form.hire.instrument.as_ref().map(|id| scene.library.instrument_name(id));
            let words = words.unwrap_or_else(|| "nothing in the collection yet".to_owned());
            let combo = egui::ComboBox::from_id_salt("hire instrument")
                .selected_text(words)
                .width(200.0)
                .height(320.0);
            let combo = combo.show_ui(ui, |ui| {
                ui.selectable_value(&mut form.hire.instrument, None, "nothing in the collection yet");
                let lent = scene.library.instruments.values();
                for thing in lent.filter(|thing| thing.owner != backrow_core::collection::Owner::Orchestra) {
                    ui.selectable_value(&mut form.hire.instrument, Some(thing.id.clone()), &thing.name);
                }
            });
            combo
                .response
                .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Instrument it stands for"));
            ui.end_row();
        });
        if !form.error.is_empty() {
            ui.label(RichText::new(&form.error).color(tokens.clash));
        }
        ui.horizontal(|ui| {
            let enter = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
            if primary(ui, &scene.tokens, "Keep").on_hover_text("Ctrl Enter").clicked() || enter {
                done = Some(true);
            }
            if ui.button("Leave it").clicked() {
                done = Some(false);
            }
        });
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
    let wanted = memo.get((scene.revision, programme.id.clone()), || proposals(library, programme));
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
