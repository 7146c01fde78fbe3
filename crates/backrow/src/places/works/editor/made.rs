//! The line that a typed line makes.

use super::Editor;
use backrow_core::id::{KindId, MovementId, slug_of};
use backrow_core::library::Library;
use backrow_core::music::typed::parse_line;
use backrow_core::music::{Degree, Line, Timeline};
use backrow_core::pitch::Reading;

/// The line that a line makes in the movement that is shown; in the place of another, or a new one.
pub(super) fn made(
    library: &Library,
    editor: &Editor,
    (text, reading): (&str, Reading),
    before: Option<&Line>,
) -> Result<Line, String> {
    let typed = parse_line(text, reading).map_err(|why| why.to_string())?;
    if before.is_none() && typed.stretches.is_empty() {
        return Err("Type its measures and notes too, after a stroke: xylophone | 31-58 F5 A5 x3".to_owned());
    }
    let kind = kind_of(library, &typed.name);
    let usual = kind.as_ref().and_then(|id| library.kinds.get(id)).and_then(|kind| kind.octave);
    let own = before.map(|line| line.movement.clone());
    let movement = own.or_else(|| editor.shown().map(|m| m.id.clone()));
    let movement = movement.unwrap_or_else(|| MovementId::fresh("1", |_| false));
    let id = before.map_or_else(
        || editor.fresh_line(kind.as_ref().map_or(typed.name.as_str(), |kind| kind.as_str())),
        |line| line.id.clone(),
    );
    let mut line = typed
        .line((id, movement), (kind.clone(), usual), &timeline_of(editor, before), before)
        .map_err(|why| why.to_string())?;
    if kind.is_none() {
        line.degree = Degree::Unclear;
    }
    Ok(line)
}

/// The time of a line's own movement; that of the movement that is shown for a new one.
pub(super) fn timeline_of(editor: &Editor, line: Option<&Line>) -> Timeline {
    let own = line.and_then(|line| editor.work.movement(&line.movement));
    own.map_or_else(|| editor.timeline(), |movement| movement.timeline.clone())
}

/// The kind that a name says, in any language; else what a part's heading of that name would be taken for.
pub(super) fn kind_of(library: &Library, name: &str) -> Option<KindId> {
    let wanted = slug_of(name);
    let exact = library.kinds.values().find(|kind| kind.names.all().any(|name| slug_of(name) == wanted));
    exact.map(|kind| kind.id.clone()).or_else(|| {
        backrow_files::score::name_of_heading(name, &library.kinds).into_iter().next().map(|guess| guess.kind)
    })
}
