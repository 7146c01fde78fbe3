//! Which letters the library has that the window cannot show yet, and the faces of the machine that can.

use super::App;
use crate::background::{Job, Remembered, Stop, Taken};
use crate::theme::fonts;
use crate::theme::scripts::{Face, of_machine};
use backrow_core::library::Library;
use egui::{Context, FontId};
use std::collections::BTreeSet;

/// Letters of the library, and what was found for them.
#[derive(Default)]
pub(super) struct Scripts {
    letters: Remembered<u64, BTreeSet<char>>,
    /// Letters that were looked at, whatever came of it.
    known: BTreeSet<char>,
    lacking: BTreeSet<char>,
    faces: Vec<Face>,
    job: Option<Job<Vec<Face>>>,
}

/// Letters beyond those of western Europe: the bundled faces have all of these.
fn is_other(letter: char) -> bool {
    letter > '\u{24f}'
}

/// Such letters in the names that a user gives.
fn letters_of(library: &Library, stop: &Stop) -> BTreeSet<char> {
    let mut letters = BTreeSet::new();
    let mut add = |text: &str| letters.extend(text.chars().filter(|letter| is_other(*letter)));
    add(&library.orchestra.name);
    library.instruments.values().for_each(|thing| {
        add(&thing.name);
        add(&thing.remark);
    });
    library.beaters.values().for_each(|beater| add(&beater.name));
    library.players.values().for_each(|player| {
        add(&player.name);
        add(&player.role);
    });
    library.places.values().for_each(|place| add(&place.name));
    library.venues.values().for_each(|venue| add(&venue.name));
    for work in library.works.values() {
        if stop.is_asked() {
            break;
        }
        add(&work.title);
        add(&work.composer);
        work.movements.iter().for_each(|movement| add(&movement.title));
        work.lines.iter().for_each(|line| {
            add(&line.printed);
            add(&line.part);
        });
    }
    library.weeks.values().for_each(|week| {
        add(&week.title);
        week.programmes.iter().for_each(|programme| {
            add(&programme.title);
            programme.hires.iter().for_each(|hire| add(&hire.what));
        });
    });
    letters
}

impl App {
    /// Looks whether the library, or what is typed now, has letters that no face of the window has, and gets faces that have them.
    pub(super) fn look_for_letters(&mut self, ctx: &Context) {
        let (library, revision) = (self.history.now(), self.history.revision());
        let scripts = &mut self.scripts;
        let prepare = || {
            let copy = library.clone();
            move |stop: &Stop| letters_of(&copy, stop)
        };
        scripts.letters.get(ctx, "letters", &revision, prepare);
        let typed: Vec<char> = ctx.input(|i| {
            let texts = i.events.iter().filter_map(|event| match event {
                egui::Event::Text(text) | egui::Event::Paste(text) => Some(text.as_str()),
                _ => None,
            });
            texts.flat_map(str::chars).filter(|letter| is_other(*letter)).collect()
        });
        let all = scripts.letters.held().into_iter().flatten().copied().chain(typed);
        let fresh: Vec<char> = all.filter(|letter| !scripts.known.contains(letter)).collect();
        scripts.known.extend(&fresh);
        let text = FontId::proportional(crate::theme::tokens::size::TEXT);
        let lacks =
            fresh.into_iter().filter(|letter| !ctx.fonts_mut(|fonts| fonts.has_glyph(&text, *letter)));
        scripts.lacking.extend(lacks);
        if scripts.job.is_none() && !scripts.lacking.is_empty() {
            let wanted = std::mem::take(&mut scripts.lacking);
            // Without a thread the letters stay boxes; nothing else depends on it.
            scripts.job = Job::start(ctx, "letters of the machine", move |_: &Stop| of_machine(&wanted)).ok();
        }
        match scripts.job.as_mut().map(Job::take) {
            None | Some(Taken::Working) => {}
            Some(Taken::Failed) => scripts.job = None,
            Some(Taken::Done(found)) => {
                scripts.job = None;
                let fresh =
                    found.into_iter().filter(|face| scripts.faces.iter().all(|old| old.name != face.name));
                let fresh: Vec<Face> = fresh.collect();
                if !fresh.is_empty() {
                    scripts.faces.extend(fresh);
                    fonts::install(ctx, &scripts.faces);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_any_script_are_seen() {
        let mut library = crate::sample::small();
        assert_eq!(letters_of(&library, &Stop::default()), BTreeSet::new());
        let orchestra = backrow_core::library::Orchestra {
            name: "Оркестр \u{6771}\u{4eac}".to_owned(),
            ..(*library.orchestra).clone()
        };
        let edit = backrow_core::edit::Edit::SetOrchestra(orchestra);
        library = backrow_core::edit::apply(&library, &edit).unwrap();
        let letters = letters_of(&library, &Stop::default());
        assert!(letters.contains(&'\u{6771}') && letters.contains(&'О') && !letters.contains(&' '));
    }
}
