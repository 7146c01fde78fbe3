//! What the library knows already of what was read: works that it has, what would be lost of them, and names that somebody corrected.

use super::{FolderReading, take};
use crate::places::works::again::Against;
use crate::places::works::editor::remembered;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::words::many;
use backrow_core::edit::Edit;
use backrow_core::id::{KindId, slug_of};
use backrow_core::library::Library;

use backrow_files::score::{GatheredWork, ScoreReading};
use egui::{RichText, Ui, WidgetInfo};

/// A name that was read, and what somebody corrected it to before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Corrected {
    /// The name without what may be printed in several ways.
    key: String,
    printed: String,
    kind: KindId,
    /// The work in which it was corrected.
    title: String,
    lines: usize,
}

impl FolderReading {
    /// Looks up in the library what it knows, after the works or what is ticked have changed.
    pub(super) fn look_up(&mut self, library: &Library) {
        self.stale = false;
        let of = |work: &GatheredWork| take::known(library, &self.ticked_part(work), &self.readings);
        self.known = self.gathered.works.iter().map(of).collect();
        self.offers = self.offers_of(library);
    }

    /// A work with those of its movements that are ticked; whole where none is.
    fn ticked_part(&self, work: &GatheredWork) -> GatheredWork {
        let ticked: Vec<usize> = self.ticked(work).collect();
        let pieces = work.pieces.iter().filter(|piece| ticked.is_empty() || ticked.contains(&piece.reading));
        GatheredWork { pieces: pieces.cloned().collect(), ..work.clone() }
    }

    fn offers_of(&self, library: &Library) -> Vec<Corrected> {
        let readings: Vec<&ScoreReading> = self.readings.iter().collect();
        let mut offers: Vec<Corrected> = Vec::new();
        for work in &self.gathered.works {
            for line in &work.work(&readings).lines {
                let Some((kind, title)) = remembered::kind_of(library, line) else { continue };
                let key = slug_of(&line.printed);
                match offers.iter_mut().find(|offer| offer.key == key && offer.kind == kind) {
                    Some(offer) => offer.lines += 1,
                    None => {
                        offers.push(Corrected { key, printed: line.printed.clone(), kind, title, lines: 1 });
                    }
                }
            }
        }
        offers
    }

    /// Whether a line of that name is corrected when it is imported.
    pub(super) fn corrects(&self, printed: &str) -> bool {
        self.corrected.contains(&slug_of(printed))
    }

    /// Puts the corrections that were taken over into what is imported. What the library has of a work and was not read again
    /// stays as it is.
    pub(super) fn correct(&self, library: &Library, edits: &mut [Edit]) {
        for edit in edits {
            let Edit::PutWork(work) = edit else { continue };
            let old = library.works.get(&work.id);
            for line in &mut work.lines {
                let is_old = old.and_then(|old| old.line(&line.id)).is_some_and(|old| old == line);
                if !is_old && self.corrects(&line.printed) {
                    *line = remembered::corrected(library, line).unwrap_or_else(|| line.clone());
                }
            }
        }
    }
}

/// Names that somebody corrected before, each to be taken over for all lines of that name.
pub(super) fn offers_ui(ui: &mut Ui, scene: &Scene<'_>, reading: &mut FolderReading) {
    let FolderReading { offers, corrected, .. } = reading;
    for offer in offers.iter() {
        let name = scene.library.kind_name(&offer.kind);
        let words = format!(
            "“{}” was corrected to {name} in {}: correct {} here too",
            offer.printed,
            offer.title,
            many(offer.lines, "line")
        );
        let mut on = corrected.contains(&offer.key);
        let tick = ui.checkbox(&mut on, RichText::new(&words).font(sans(size::NOTE)));
        tick.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, on, &words));
        if tick.changed() {
            if on {
                corrected.insert(offer.key.clone());
            } else {
                corrected.remove(&offer.key);
            }
        }
    }
}

/// What an import would do to a work that the library has: what becomes of each movement, and every line that would be lost.
pub(super) fn against_ui(ui: &mut Ui, scene: &Scene<'_>, known: &Against) {
    let row = |ui: &mut Ui, words: &str, ink| {
        ui.horizontal_wrapped(|ui| {
            ui.add_space(22.0);
            ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(ink)).wrap());
        });
    };
    if !known.movements.is_empty() {
        row(ui, &known.movements, scene.tokens.ink2);
    }
    if known.lost.is_empty() {
        return;
    }
    let head = format!("The files do not hold these lines of {}; importing removes them:", known.title);
    row(ui, &head, scene.tokens.care);
    for lost in &known.lost {
        row(ui, lost, scene.tokens.care);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::apply;
    use backrow_core::music::Work;
    use std::collections::BTreeSet;

    /// A library in which a line of its work was corrected, and the same score as it would be read once more, by its own title or
    /// another one.
    #[test]
    fn a_correction_is_taken_over_for_new_lines_alone() {
        let library = crate::sample::small();
        let work = library.works.values().next().map(|work| Work::clone(work)).expect("a work");
        let line = work.lines.iter().find(|line| !line.is_pitched()).expect("a line without pitch").clone();
        let other = library.kinds.keys().find(|id| Some(*id) != line.kind.as_ref()).expect("another").clone();
        let corrected = line.with_kind(Some(other.clone()), Some("other"));
        let put = Edit::PutLine { work: work.id.clone(), line: corrected };
        let library = apply(&library, &put).expect("it is put");
        let mut reading = FolderReading::of_nothing();
        let read = Work { id: backrow_core::id::WorkId::fresh("new", |_| false), ..work.clone() };
        let kind_after = |reading: &FolderReading| {
            let mut edits = [Edit::PutWork(read.clone())];
            reading.correct(&library, &mut edits);
            let [Edit::PutWork(work)] = &edits else { unreachable!("it is a work") };
            work.line(&line.id).and_then(|line| line.kind.clone())
        };
        assert_eq!(kind_after(&reading), line.kind, "nobody has taken it over");
        reading.corrected = BTreeSet::from([slug_of(&line.printed)]);
        assert_eq!(kind_after(&reading), Some(other));
    }
}
