//! The review as it is kept on disk while it is a draft. What the reader doubted is not kept; the lines that were unclear say so
//! themselves.

use super::line_ui::Opened;
use super::{Editor, Origin};
use crate::drafts::shelf::Slip;
use backrow_core::id::{LineId, WorkId};
use backrow_files::library::Held;

/// Before the id of a line: its text as it was, and as it was typed over.
const BEGAN: &str = "began of ";
const TYPED: &str = "typed over ";

impl Editor {
    /// As it is kept.
    pub(in crate::places::works) fn slip(&self) -> Option<Slip> {
        let (origin, of) = match &self.origin {
            Origin::Score(file) => ("score", file.clone()),
            Origin::Library(id) => ("library", id.to_string()),
            Origin::New => ("new", String::new()),
        };
        let dropped: Vec<&str> = self.dropped.iter().map(LineId::as_str).collect();
        let slip = Slip::of("work", &Held::Work(self.work.clone()))?;
        let mut slip = slip;
        for (id, opened) in self.typed_over() {
            slip = slip.with(&format!("{BEGAN}{id}"), &opened.began);
            slip = slip.with(&format!("{TYPED}{id}"), &opened.typed);
        }
        let slip = slip.with("origin", origin).with("of", of).with("dropped", dropped.join(" "));
        Some(slip.with("movement", self.movement).with("tempo", &self.tempo).with("line", &self.line))
    }

    /// What was kept.
    pub(in crate::places::works) fn of_slip(slip: &Slip) -> Option<Self> {
        let Held::Work(work) = slip.held()? else { return None };
        let of = slip.field("of");
        let origin = match slip.field("origin") {
            "score" => Origin::Score(of.to_owned()),
            "library" => Origin::Library(WorkId::new(of).ok()?),
            _ => Origin::New,
        };
        let mut editor = Self::on(origin, work);
        // It was a draft, and is one whatever stands in it.
        editor.before.push(editor.work.clone());
        editor.turn_to(slip.field("movement").parse().unwrap_or(0));
        slip.field("tempo").clone_into(&mut editor.tempo);
        slip.field("line").clone_into(&mut editor.line);
        for (id, typed) in slip.fields_after(TYPED) {
            let Ok(line) = LineId::new(id) else { continue };
            let began = slip.field(&format!("{BEGAN}{id}")).to_owned();
            editor.open.insert(line, Opened { began, typed: typed.to_owned() });
        }
        editor.dropped = slip.field("dropped").split(' ').filter_map(|id| LineId::new(id).ok()).collect();
        Some(editor)
    }
}
