//! What the typesetter may see: the built-in fonts, the template texts and one data file. Nothing else exists for it.

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};

use crate::error::TemplateProblem;
use crate::sheet::Date;
use crate::templates::Templates;

/// Name of the data file, as a template reads it.
const DATA: &str = "data.json";

/// The font files; their licence stands beside them in `assets/fonts`.
const FONTS: [&[u8]; 6] = [
    include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf"),
    include_bytes!("../../../assets/fonts/SourceSans3-Semibold.ttf"),
    include_bytes!("../../../assets/fonts/SourceSerif4-Regular.ttf"),
    include_bytes!("../../../assets/fonts/SourceSerif4-Italic.ttf"),
    include_bytes!("../../../assets/fonts/SourceSerif4-Semibold.ttf"),
    include_bytes!("../../../assets/fonts/NotoMusic-Regular.ttf"),
];

/// What stays the same from sheet to sheet.
#[derive(Debug)]
pub(crate) struct Base {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

impl Base {
    pub(crate) fn new() -> Self {
        let fonts: Vec<Font> = FONTS.iter().flat_map(|data| Font::iter(Bytes::new(*data))).collect();
        let book = LazyHash::new(FontBook::from_fonts(&fonts));
        Self { library: LazyHash::new(Library::default()), book, fonts }
    }

    pub(crate) fn book(&self) -> &FontBook {
        &self.book
    }
}

/// One sheet about to be set.
pub(crate) struct SheetWorld<'a> {
    base: &'a Base,
    templates: &'a Templates,
    main: Source,
    data: (Option<FileId>, Bytes),
    today: Option<Date>,
}

impl<'a> SheetWorld<'a> {
    /// The world of template `name` and `data`; an error when there is no such template.
    pub(crate) fn new(
        base: &'a Base,
        templates: &'a Templates,
        name: &str,
        data: Vec<u8>,
        today: Option<Date>,
    ) -> Result<Self, TemplateProblem> {
        let problem = |message: String| TemplateProblem {
            file: name.to_owned(),
            line: 0,
            column: 0,
            message,
            hints: Vec::new(),
        };
        let missing = || problem(format!("there is no template {name}"));
        if let Some(why) = templates.why_unread(name) {
            return Err(problem(why.to_owned()));
        }
        let id = file_id(name).ok_or_else(missing)?;
        let text = templates.text(name).ok_or_else(missing)?;
        let main = Source::new(id, text.to_owned());
        Ok(Self { base, templates, main, data: (file_id(DATA), Bytes::new(data)), today })
    }

    /// A diagnostic of the typesetter with file, line and column in place of its span.
    pub(crate) fn problem(&self, diagnostic: &SourceDiagnostic) -> TemplateProblem {
        let place = diagnostic.span.id().and_then(|id| {
            let source = self.source(id).ok()?;
            let start = self.range(diagnostic.span)?.start;
            let (line, column) = source.lines().byte_to_line_column(start)?;
            Some((id.vpath().get_without_slash().to_owned(), line + 1, column + 1))
        });
        let (file, line, column) = place.unwrap_or_default();
        let hints = diagnostic.hints.iter().map(|hint| hint.v.to_string()).collect();
        TemplateProblem { file, line, column, message: diagnostic.message.to_string(), hints }
    }
}

fn file_id(name: &str) -> Option<FileId> {
    let path = VirtualPath::new(name).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn not_found(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for SheetWorld<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.base.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.base.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            return Ok(self.main.clone());
        }
        let name = id.vpath().get_without_slash();
        if let Some(why) = self.templates.why_unread(name) {
            return Err(FileError::Other(Some(why.into())));
        }
        let text = self.templates.text(name);
        text.map(|text| Source::new(id, text.to_owned())).ok_or_else(|| not_found(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if Some(id) == self.data.0 { Ok(self.data.1.clone()) } else { Err(not_found(id)) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.base.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        let day = self.today?;
        Datetime::from_ymd(day.year, day.month, day.day)
    }
}
