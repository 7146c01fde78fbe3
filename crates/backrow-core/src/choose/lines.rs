//! The lines of a programme in playing order, as choosing sees them.

use crate::collection::Kind;
use crate::compass::PitchSet;
use crate::library::Library;
use crate::music::Line;
use crate::recall::{own_words, said_of};
use crate::week::{Assignment, LineRef, Programme};
use std::collections::BTreeSet;

/// One line.
pub(super) struct Asker<'a> {
    pub(super) at: LineRef,
    pub(super) line: &'a Line,
    pub(super) kind: Option<&'a Kind>,
    /// What it needs, sounding; empty where it has no pitch.
    pub(super) asks: PitchSet,
    pub(super) given: Assignment,
    /// What the part's own words say of the instrument beside its kind's names: "small triangle", "high wood block".
    pub(super) words: BTreeSet<String>,
    /// In which movement of which work: lines of one can sound at once.
    stretch: (usize, usize),
}

impl Asker<'_> {
    /// Whether both sound at one moment.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        self.stretch == other.stretch
            && self.line.passages.iter().any(|one| {
                other.line.passages.iter().any(|two| one.from_s < two.to_s && two.from_s < one.to_s)
            })
    }

    /// Whether both can be on one instrument: they never sound at once, or one player has both.
    pub(super) fn can_share(&self, other: &Self) -> bool {
        let one_player = self.given.player.is_some() && self.given.player == other.given.player;
        one_player || !self.overlaps(other)
    }
}

/// Every line, work by work, movement by movement. A work that stands twice is taken once.
pub(super) fn of<'a>(library: &'a Library, programme: &Programme) -> Vec<Asker<'a>> {
    let mut seen = BTreeSet::new();
    let mut rows = Vec::new();
    for (nth, id) in programme.works.iter().enumerate().filter(|(_, id)| seen.insert((*id).clone())) {
        let Some(work) = library.works.get(id) else { continue };
        for (part, movement) in work.movements.iter().enumerate() {
            for line in work.lines.iter().filter(|line| line.movement == movement.id) {
                let at = LineRef { work: id.clone(), line: line.id.clone() };
                let kind = line.kind.as_ref().and_then(|id| library.kinds.get(id)).map(|kind| &**kind);
                let given = programme.assignment(&at);
                let (asks, words) = (line.sounding(), words(line, kind));
                rows.push(Asker { at, line, kind, asks, given, words, stretch: (nth, part) });
            }
        }
    }
    rows
}

/// Beaters' words are no instrument's.
fn words(line: &Line, kind: Option<&Kind>) -> BTreeSet<String> {
    if kind.is_none() {
        return BTreeSet::new();
    }
    let of_beater =
        |text: &&str| line.printed == **text || !line.beaters.iter().any(|beater| beater == *text);
    own_words(said_of(line).into_iter().filter(of_beater), kind)
}
