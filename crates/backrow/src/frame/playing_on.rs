//! An instrument for a line, assigned from wherever: what speaks against it, what it takes the place of, and the question for one of
//! another kind, which needs a word.

use crate::intent::PlayOn;
use crate::scene::Scene;
use crate::theme::dialog::{actions, dialog};
use crate::theme::serif;
use crate::theme::tokens::size;
use crate::theme::widgets::primary;
use crate::view::View;
use backrow_core::edit::{self, Edit};
use backrow_core::id::{InstrumentId, ProgrammeId, listed};
use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::sets;
use backrow_core::week::LineRef;
use egui::{RichText, Ui};

/// A question that is open.
pub struct Question {
    on: PlayOn,
    /// Whether the focus has yet to go to the answer.
    fresh: bool,
}

impl Question {
    /// Asks about an instrument of another kind.
    pub const fn new(on: PlayOn) -> Self {
        Self { on, fresh: true }
    }
}

/// "marimba instead of xylophone", where the line asks for another kind.
pub fn instead(library: &Library, line: &Line, id: &InstrumentId) -> Option<String> {
    let thing = library.instruments.get(id)?;
    library.instead_words(line.kind.as_ref()?, &thing.kind)
}

/// What the line has already in that programme.
fn has(library: &Library, programme: &ProgrammeId, line: &LineRef) -> Vec<InstrumentId> {
    library.programme(programme).map(|of| of.assignment(line).instruments).unwrap_or_default()
}

/// The change that assigns it.
pub fn change(library: &Library, programme: &ProgrammeId, on: &PlayOn) -> Edit {
    let now = has(library, programme, &on.line);
    let instruments = sets::assigned(library, &now, &on.instrument, on.beside);
    Edit::UseInstruments { programme: programme.clone(), line: on.line.clone(), instruments }
}

/// "Play Xylophone on Xylophone 2, in place of Xylophone 1": what it would do, before it is done.
pub fn words(library: &Library, programme: &ProgrammeId, on: &PlayOn) -> String {
    let words = edit::words(library, &change(library, programme, on));
    let of = library.line(&on.line);
    let instead = of.and_then(|(_, line)| instead(library, line, &on.instrument));
    instead.map_or_else(|| words.clone(), |instead| format!("{words}: {instead}, you are asked first"))
}

/// What it takes the place of, by name; empty where it takes the place of nothing.
pub fn replaced(library: &Library, programme: &ProgrammeId, on: &PlayOn) -> Vec<String> {
    let now = has(library, programme, &on.line);
    let next = sets::assigned(library, &now, &on.instrument, on.beside);
    now.iter().filter(|id| !next.contains(id)).map(|id| library.instrument_name(id)).collect()
}

/// What speaks against it besides its kind: needed elsewhere, or notes that it lacks.
pub fn against(library: &Library, programme: Option<&ProgrammeId>, on: &PlayOn) -> Option<String> {
    let (_, line) = library.line(&on.line)?;
    let elsewhere = programme
        .and_then(|id| library.programme(id))
        .and_then(|programme| backrow_core::findings::other_use(library, programme, &on.instrument))
        .map(|(other, when)| format!("is needed for {}, {when}", other.title));
    elsewhere.or_else(|| lacks(library, line, &on.instrument))
}

fn lacks(library: &Library, line: &Line, id: &InstrumentId) -> Option<String> {
    let thing = library.instruments.get(id).filter(|_| line.is_pitched())?;
    let timpani = |kind| sets::is_for_timpani(library, kind);
    if line.kind.as_ref().is_some_and(timpani) && timpani(&thing.kind) {
        return drums_against(library, line, id);
    }
    let lacks = backrow_core::compass::fit(thing.compass(), line.sounding()).lacking();
    let more = if lacks.len() > 4 { format!(" and {} more", lacks.len() - 4) } else { String::new() };
    let spelling = line.spelling();
    let names: Vec<String> = lacks.iter().take(4).map(|key| spelling.of(key).to_string()).collect();
    (thing.is_pitched() && !lacks.is_empty()).then(|| format!("lacks {}{more}", names.join(" ")))
}

/// Drums speak against a line of timpani only where they can never help: a set must play it, a single drum must reach one
/// of its notes, as others come beside it.
fn drums_against(library: &Library, line: &Line, id: &InstrumentId) -> Option<String> {
    match sets::drums_of(library, std::slice::from_ref(id)).as_slice() {
        [] => Some("is not a drum".to_owned()),
        [one] => {
            let helps = !line.sounding().intersection(one.drum.reach).is_empty();
            (!helps).then(|| "reaches none of the notes".to_owned())
        }
        _ => {
            let answer = sets::try_on(library, line, std::slice::from_ref(id));
            answer.err().map(|why| {
                let words = backrow_core::timpani::impossible_words(&why, &line.spelling());
                format!("cannot play it. {}", words.trim_end_matches('.'))
            })
        }
    }
}

/// What is asked, in sentences.
fn question(library: &Library, programme: &ProgrammeId, on: &PlayOn, instead: &str) -> String {
    let name = library.instrument_name(&on.instrument);
    let mut words =
        format!("{name} is of another kind: {instead}. The sound will differ: ask the conductor.");
    if let Some(why) = against(library, Some(programme), on) {
        words = format!("{words} {name} {why}.");
    }
    let had = has(library, programme, &on.line);
    if !had.is_empty() {
        let names: Vec<String> = had.iter().map(|id| library.instrument_name(id)).collect();
        words = format!("{words} The line has {} now.", listed(&names));
    }
    words
}

/// Shows the question that is open, if one is.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, open: &mut Option<Question>) {
    let Some(asked) = open else { return };
    let (library, tokens) = (scene.library, scene.tokens);
    let line = library.line(&asked.on.line).map(|(_, line)| line);
    let instead = line.and_then(|line| instead(library, line, &asked.on.instrument));
    let (Some(line), Some(instead), Some(programme)) = (line, instead, view.programme.clone()) else {
        *open = None;
        return;
    };
    let had = has(library, &programme, &asked.on.line);
    let asks = line.kind.as_ref().map_or_else(String::new, |kind| library.kind_name(kind));
    let mut chosen: Option<Edit> = None;
    let mut done = false;
    let modal = dialog(ui, "another kind").show(ui.ctx(), |ui| {
        ui.set_width(480.0);
        let name = library.instrument_name(&asked.on.instrument);
        let title = format!("Play {} on {name}?", library.line_name(line));
        ui.add(egui::Label::new(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink)).wrap());
        let words = question(library, &programme, &asked.on, &instead);
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink2)).wrap());
        actions(ui, |ui| {
            let button = primary(ui, &tokens, &format!("Assign instead of {asks}"));
            if std::mem::take(&mut asked.fresh) {
                button.request_focus();
            }
            if button.clicked() {
                chosen = Some(change(library, &programme, &PlayOn { beside: false, ..asked.on.clone() }));
            }
            if !had.is_empty() && ui.button("Assign beside what it has").clicked() {
                chosen = Some(change(library, &programme, &PlayOn { beside: true, ..asked.on.clone() }));
            }
            if ui.button("Cancel").clicked() {
                done = true;
            }
        });
    });
    if let Some(edit) = chosen {
        scene.edit(edit);
        done = true;
    }
    if done || modal.should_close() {
        *open = None;
    }
}
