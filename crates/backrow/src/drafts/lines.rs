//! Lines that are saved when their field is left, as titles and remarks: until then each is a draft, wherever its field stands, and
//! it is saved too where the field goes away under it, as by a key that goes to another place.

use super::shelf::Slip;
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, WeekId};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Week};
use egui::Ui;

/// Which line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Of {
    /// The title of a week.
    WeekTitle(WeekId),
    /// The title of a programme.
    Title(ProgrammeId),
    /// The remark on a programme.
    Remark(ProgrammeId),
}

impl Of {
    /// As the library has it.
    fn now(&self, library: &Library) -> Option<String> {
        Some(match self {
            Self::WeekTitle(id) => library.weeks.get(id)?.title.clone(),
            Self::Title(id) => library.programme(id)?.title.clone(),
            Self::Remark(id) => library.programme(id)?.remark.clone(),
        })
    }

    /// What saves it; `None` where nothing is to be done. A title that is empty again is as it was.
    fn edit(&self, library: &Library, typed: &str) -> Option<Edit> {
        let typed = typed.trim();
        if typed == self.now(library)? || (typed.is_empty() && !matches!(self, Self::Remark(_))) {
            return None;
        }
        let of_programme = |id: &ProgrammeId, change: &dyn Fn(&mut Programme)| {
            let mut programme = library.programme(id)?.clone();
            change(&mut programme);
            Some(Edit::PutProgramme { week: library.week_of(id)?.id.clone(), programme })
        };
        match self {
            Self::WeekTitle(id) => {
                let week = library.weeks.get(id)?;
                Some(Edit::PutWeek(Week { title: typed.to_owned(), ..(**week).clone() }))
            }
            Self::Title(id) => of_programme(id, &|programme| typed.clone_into(&mut programme.title)),
            Self::Remark(id) => of_programme(id, &|programme| typed.clone_into(&mut programme.remark)),
        }
    }

    fn words(&self) -> (&'static str, &str) {
        match self {
            Self::WeekTitle(id) => ("week title", id.as_str()),
            Self::Title(id) => ("programme title", id.as_str()),
            Self::Remark(id) => ("programme remark", id.as_str()),
        }
    }

    fn of_words(word: &str, id: &str) -> Option<Self> {
        match word {
            "week title" => WeekId::new(id).ok().map(Self::WeekTitle),
            "programme title" => ProgrammeId::new(id).ok().map(Self::Title),
            "programme remark" => ProgrammeId::new(id).ok().map(Self::Remark),
            _ => None,
        }
    }
}

/// A line while its field is shown.
#[derive(Clone, Debug)]
struct Line {
    of: Of,
    began: String,
    typed: String,
    /// The pass in which its field was drawn last, and had the focus.
    held_at: Option<u64>,
}

impl Line {
    fn has_changed(&self) -> bool {
        self.typed.trim() != self.began.trim()
    }
}

/// All lines that are typed just now.
#[derive(Debug, Default)]
pub struct Lines {
    lines: Vec<Line>,
}

impl Lines {
    /// Draws the field of a line, to be labelled by whoever asks.
    pub fn field(&mut self, ui: &mut Ui, (of, now): (Of, &str), width: f32) -> egui::Response {
        let at = self.lines.iter().position(|line| line.of == of).unwrap_or_else(|| {
            self.lines.push(Line { of, began: now.to_owned(), typed: now.to_owned(), held_at: None });
            self.lines.len() - 1
        });
        let mut nothing = String::new();
        let line = self.lines.get_mut(at);
        if let Some(line) = line.filter(|line| !line.has_changed() && line.began != now) {
            (line.began, line.typed) = (now.to_owned(), now.to_owned());
        }
        let typed = self.lines.get_mut(at).map_or(&mut nothing, |line| &mut line.typed);
        let field =
            ui.add(egui::TextEdit::singleline(typed).desired_width(width).align(egui::Align2::LEFT_CENTER));
        if field.has_focus()
            && let Some(line) = self.lines.get_mut(at)
        {
            line.held_at = Some(ui.ctx().cumulative_pass_nr());
        }
        field
    }

    /// How many are typed and not saved.
    pub fn unsaved(&self) -> usize {
        self.lines.iter().filter(|line| line.has_changed()).count()
    }

    /// What saves those whose field was left, or was not drawn in that pass; `None` for a pass takes all. They are forgotten here.
    pub fn left(&mut self, library: &Library, pass: Option<u64>) -> Vec<Edit> {
        let (stay, left): (Vec<Line>, Vec<Line>) = std::mem::take(&mut self.lines)
            .into_iter()
            .partition(|line| pass.is_some() && line.held_at == pass);
        self.lines = stay;
        let changed = left.iter().filter(|line| line.has_changed());
        changed.filter_map(|line| line.of.edit(library, &line.typed)).collect()
    }

    /// As they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let changed = self.lines.iter().filter(|line| line.has_changed());
        let slip = |line: &Line| {
            let (word, id) = line.of.words();
            let slip = Slip::plain(FORM).with("line", word).with("of", id);
            slip.with("began", &line.began).with("typed", &line.typed)
        };
        changed.map(slip).collect()
    }

    /// What was kept on disk; it is saved with the next frame, as if its field had just been left.
    pub fn take_slip(&mut self, slip: &Slip) -> bool {
        let Some(of) = Of::of_words(slip.field("line"), slip.field("of")) else { return false };
        let (began, typed) = (slip.field("began").to_owned(), slip.field("typed").to_owned());
        self.lines.push(Line { of, began, typed, held_at: None });
        true
    }
}

/// The form of a slip that holds a line.
pub const FORM: &str = "line";
