//! The press: built once, it sets sheet after sheet.

use std::sync::Arc;

use serde::Serialize;
use serde_json::Value;
use typst::diag::Warned;
use typst::foundations::{Label, Smart};
use typst::layout::Abs;
use typst_layout::{Page, PagedDocument};
use typst_pdf::PdfOptions;
use typst_render::RenderOptions;

use crate::error::{PrintError, TemplateProblem};
use crate::guard::{self, Guard};
use crate::labels::{self, LabelsSheet};
use crate::list::{self, ListSheet};
use crate::load::{self, LoadSheet};
use crate::plan::{self, PlanSheet};
use crate::player::{self, PlayerSheet};
use crate::sheet::{Date, Paper};
use crate::signs::{self, MissingSign};
use crate::templates::Templates;
use crate::world::{Base, SheetWorld};

/// How many sheets the typesetter's memory outlives one that is not set again: whoever turns back among a dozen has them at once. What
/// all sheets share is used by each, and stays.
const KEPT_SHEETS: usize = 12;

/// The label that the templates set where a sheet ends.
const SHEET_END: &str = "sheet-end";
/// The longest side of a page, metres: longer than any roll of paper that a plan is printed on. Ours, no source.
const LONGEST_SIDE_M: f64 = 5.0;
/// The longest side of a picture, pixels: what any screen's memory holds in one piece. A larger page is drawn less finely.
const MOST_PIXELS: f64 = 8192.0;
/// A last page that ends above this part of the paper's height is worth trying to spare. Ours, no source.
const LAST_PAGE: f64 = 0.45;

/// Less than this part of a page's text on the last page is too little: two thirds of it would be empty. A little above a third, as
/// what hangs below the last line is not measured.
const LEAST_LAST: f64 = 0.36;
/// So much of the last page is asked for then, one after the other: what is never broken may leave it at less.
const LAST_SHARES: [f64; 3] = [0.45, 0.6, 0.75];
/// What head and foot take of a page's height, millimetres: about the usual ones of the built-in templates.
const HEAD_MM: f64 = 38.0;
const FOOT_MM: f64 = 22.0;

/// Fonts and library of the typesetter, loaded once; the second sheet comes quickly, the same sheet again at once.
#[derive(Debug)]
pub struct Press {
    base: Arc<Base>,
    guard: Option<Guard>,
}

impl Default for Press {
    fn default() -> Self {
        Self::new()
    }
}

impl Press {
    /// Loads the built-in fonts.
    pub fn new() -> Self {
        Self { base: Arc::new(Base::new()), guard: None }
    }

    /// With a guard that tries a library's own templates first.
    #[must_use]
    pub fn guarded(mut self, guard: Option<Guard>) -> Self {
        self.guard = guard;
        self
    }

    /// Sets a stage plan with `plan.typ`.
    ///
    /// # Errors
    /// [`PrintError::Template`] with file and line when the template is at fault; [`PrintError::Measure`] for a length that
    /// cannot be drawn.
    pub fn plan(&self, sheet: &PlanSheet, paper: Paper, templates: &Templates) -> Result<Pages, PrintError> {
        let laid = plan::Laid::new(sheet, paper)?;
        let mut pages = self.set(&Job { template: "plan.typ", today: sheet.head.today, templates }, &laid)?;
        pages.remarks.extend(laid.remark());
        Ok(pages)
    }

    /// Sets a player's sheet with `player.typ`.
    ///
    /// # Errors
    /// As [`Press::plan`].
    pub fn player(
        &self,
        sheet: &PlayerSheet,
        paper: Paper,
        templates: &Templates,
    ) -> Result<Pages, PrintError> {
        let laid = player::Laid::new(sheet, paper)?;
        self.set(&Job { template: "player.typ", today: sheet.head.today, templates }, &laid)
    }

    /// Sets a load list with `load.typ`.
    ///
    /// # Errors
    /// As [`Press::plan`].
    pub fn load(&self, sheet: &LoadSheet, paper: Paper, templates: &Templates) -> Result<Pages, PrintError> {
        let laid = load::Laid::new(sheet, paper)?;
        self.set(&Job { template: "load.typ", today: sheet.head.today, templates }, &laid)
    }

    /// Sets a sheet of tables with `list.typ`.
    ///
    /// # Errors
    /// As [`Press::plan`], without measures.
    pub fn list(&self, sheet: &ListSheet, paper: Paper, templates: &Templates) -> Result<Pages, PrintError> {
        let laid = list::Laid::new(sheet, paper);
        self.set(&Job { template: "list.typ", today: sheet.head.today, templates }, &laid)
    }

    /// Sets labels with `labels.typ`.
    ///
    /// # Errors
    /// As [`Press::plan`], without measures.
    pub fn labels(
        &self,
        sheet: &LabelsSheet,
        paper: Paper,
        templates: &Templates,
    ) -> Result<Pages, PrintError> {
        let laid = labels::Laid::new(sheet, paper);
        self.set(&Job { template: "labels.typ", today: sheet.head.today, templates }, &laid)
    }

    fn set(&self, job: &Job<'_>, data: &impl Serialize) -> Result<Pages, PrintError> {
        let data = serde_json::to_value(data).map_err(|why| PrintError::Data(why.to_string()))?;
        guard::not_too_deep(job.templates)?;
        if let Some(guard) = self.guard.as_ref().filter(|_| job.templates.own().next().is_some()) {
            let own = job.templates.own().map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
            let template = job.template.to_owned();
            guard.vet(&guard::Job { template, today: job.today, own, data: data.clone() })?;
        }
        let pages = self.try_set(job.template, job.today, job.templates, &data)?;
        if pages.last_is_full() {
            return Ok(pages);
        }
        // Closer, where that spares the last page; a template that knows nothing of it is set as it was.
        let closer = with(&data, "tight", Value::Bool(true));
        let set_closer = self.try_set(job.template, job.today, job.templates, &closer)?;
        if set_closer.count() < pages.count() {
            self.evened(job, &closer, set_closer)
        } else {
            self.evened(job, &data, pages)
        }
    }

    /// Where the last page would be two thirds empty, the pages before it give it some of theirs: each is set so much shorter.
    fn evened(&self, job: &Job<'_>, data: &Value, pages: Pages) -> Result<Pages, PrintError> {
        let is_short = |pages: &Pages| pages.last_share().is_some_and(|share| share < LEAST_LAST);
        let (Some(share), true) = (pages.last_share(), is_short(&pages)) else { return Ok(pages) };
        #[expect(clippy::cast_precision_loss, reason = "a count of pages")]
        let before = (pages.count() - 1) as f64;
        for wanted in LAST_SHARES {
            let spare_mm = (wanted - share) / before * pages.text_height_mm();
            let even = with(data, "spare_mm", spare_mm.into());
            let even = self.try_set(job.template, job.today, job.templates, &even)?;
            if even.count() == pages.count() && !is_short(&even) {
                return Ok(even);
            }
        }
        Ok(pages)
    }

    /// Sets a template with its data on a thread of its own.
    pub(crate) fn try_set(
        &self,
        template: &str,
        today: Option<Date>,
        templates: &Templates,
        data: &Value,
    ) -> Result<Pages, PrintError> {
        guard::not_too_deep(templates)?;
        let missing = signs::missing(data, self.base.book());
        let bytes = data.to_string().into_bytes();
        let (base, templates, template) = (self.base.clone(), templates.clone(), template.to_owned());
        guard::on_own_thread(move || {
            let world = SheetWorld::new(&base, &templates, &template, bytes, today)
                .map_err(|problem| PrintError::Template(vec![problem]))?;
            let Warned { output, warnings } = typst::compile::<PagedDocument>(&world);
            typst::comemo::evict(KEPT_SHEETS);
            let problems = |list: &[_]| list.iter().map(|d| world.problem(d)).collect::<Vec<_>>();
            let document = output.map_err(|errors| PrintError::Template(problems(&errors)))?;
            let pages = document.pages().len();
            if pages > guard::MOST_PAGES {
                let most = guard::MOST_PAGES;
                return Err(PrintError::Stopped(format!("it has {pages} pages, and at most {most} are set")));
            }
            not_too_large(&document)?;
            Ok(Pages { document, missing, warnings: problems(&warnings), remarks: Vec::new() })
        })?
    }
}

/// Data with one field more.
fn with(data: &Value, field: &str, value: Value) -> Value {
    let mut data = data.clone();
    if let Value::Object(fields) = &mut data {
        fields.insert(field.to_owned(), value);
    }
    data
}

/// Refuses pages that no printer prints and no memory holds.
fn not_too_large(document: &PagedDocument) -> Result<(), PrintError> {
    let metres = |side: Abs| side.to_mm() / 1_000.0;
    let fits = |side: Abs| metres(side).is_finite() && metres(side) <= LONGEST_SIDE_M;
    let sizes = document.pages().iter().map(|page| page.frame.size());
    let Some((at, size)) = sizes.enumerate().find(|(_, size)| !fits(size.x) || !fits(size.y)) else {
        return Ok(());
    };
    Err(PrintError::Stopped(format!(
        "page {} is {:.1} by {:.1}\u{202F}m, and at most {LONGEST_SIDE_M}\u{202F}m a side are set",
        at + 1,
        metres(size.x),
        metres(size.y)
    )))
}

/// What to set, beside the data.
struct Job<'a> {
    template: &'static str,
    today: Option<Date>,
    templates: &'a Templates,
}

/// A sheet that is set.
#[derive(Clone, Debug)]
pub struct Pages {
    document: PagedDocument,
    missing: Vec<MissingSign>,
    warnings: Vec<TemplateProblem>,
    remarks: Vec<Remark>,
}

/// What is to be told about pages, beside what stands on them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// A sentence.
    pub words: String,
    /// Whether the pages are nevertheless as they were asked for.
    pub as_asked: bool,
}

impl Pages {
    /// Several sheets as one document, each with its own page numbers; `None` of no sheets.
    pub fn joined(title: &str, sheets: Vec<Self>) -> Option<Self> {
        let mut all = sheets.into_iter();
        let mut first = all.next()?;
        let mut pages: Vec<Page> = first.document.pages().to_vec();
        for sheet in all {
            pages.extend(sheet.document.pages().iter().cloned());
            first.missing.extend(sheet.missing);
            first.warnings.extend(sheet.warnings);
            first.remarks.extend(sheet.remarks);
        }
        let mut info = first.document.info_mut().clone();
        info.title = Some(title.into());
        Some(Self { document: PagedDocument::new(pages.into_iter().collect(), info), ..first })
    }

    /// Where the sheet ends on its last page, points from its top, and that page's height; `None` for a sheet of one page, and for a
    /// template that does not say where it ends.
    fn end_pt(&self) -> Option<(f64, f64)> {
        let last = self.document.pages().last().filter(|_| self.count() > 1)?;
        let introspector = self.document.introspector();
        let end = introspector.elements().query_label(Label::construct(SHEET_END.into()).ok()?).ok()?;
        Some((introspector.position(end.location()?)?.point.y.to_pt(), last.frame.size().y.to_pt()))
    }

    /// Whether the sheet is one page, or fills more of its last page than is lost on it.
    fn last_is_full(&self) -> bool {
        self.end_pt().is_none_or(|(end, height)| end >= height * LAST_PAGE)
    }

    /// How much of the height that text may take the last of several pages fills, 0 to 1.
    fn last_share(&self) -> Option<f64> {
        let (end, _) = self.end_pt()?;
        Some((Abs::pt(end).to_mm() - HEAD_MM) / self.text_height_mm().max(1.0))
    }

    /// About how high the text of the last page may be, millimetres.
    fn text_height_mm(&self) -> f64 {
        let last = self.document.pages().last();
        last.map_or(0.0, |page| page.frame.size().y.to_mm() - HEAD_MM - FOOT_MM)
    }

    /// How many pages.
    pub fn count(&self) -> usize {
        self.document.pages().len()
    }

    /// Signs in the data that no font can show: to be told to the user beside the preview.
    pub fn missing(&self) -> &[MissingSign] {
        &self.missing
    }

    /// What is to be told about scale and paper.
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    /// What the typesetter remarked about the template; empty for the built-in ones.
    pub fn warnings(&self) -> &[TemplateProblem] {
        &self.warnings
    }

    /// The PDF; the same data give the same bytes.
    ///
    /// # Errors
    /// [`PrintError::Pdf`] or [`PrintError::Stopped`], which the built-in templates never cause.
    pub fn pdf(&self) -> Result<Vec<u8>, PrintError> {
        let document = self.document.clone();
        guard::on_own_thread(move || {
            let options =
                PdfOptions { creator: Smart::Custom(Some("Backrow".to_owned())), ..PdfOptions::default() };
            typst_pdf::pdf(&document, &options).map_err(|errors| {
                let words: Vec<String> = errors.iter().map(|e| e.message.to_string()).collect();
                PrintError::Pdf(words.join("; "))
            })
        })?
    }

    fn page(&self, number: usize) -> Result<Page, PrintError> {
        let missing = || PrintError::Stopped(format!("there is no page {}", number + 1));
        self.document.pages().get(number).cloned().ok_or_else(missing)
    }

    /// Page `number` (from 0) in points, width and height: 72 to the inch.
    pub fn size_pt(&self, number: usize) -> Option<(f64, f64)> {
        let size = self.document.pages().get(number)?.frame.size();
        Some((size.x.to_pt(), size.y.to_pt()))
    }

    /// Page `number` (from 0) as SVG text, to true size.
    ///
    /// # Errors
    /// [`PrintError::Stopped`] beyond the last page, or when it cannot be drawn.
    pub fn svg(&self, number: usize) -> Result<String, PrintError> {
        let page = self.page(number)?;
        guard::on_own_thread(move || typst_svg::svg(&page, &typst_svg::SvgOptions::default()))
    }

    /// Page `number` (from 0) as a PNG file, `pixels_per_pt` to a point (held between 0.1 and 10, and to 8192 pixels a side).
    ///
    /// # Errors
    /// [`PrintError::Stopped`] beyond the last page, or when it cannot be drawn.
    pub fn png(&self, number: usize, pixels_per_pt: f64) -> Result<Vec<u8>, PrintError> {
        let page = self.page(number)?;
        let drawn = guard::on_own_thread(move || {
            let options = fineness(&page, pixels_per_pt);
            typst_render::render(&page, &options).encode_png().map_err(|why| why.to_string())
        })?;
        drawn.map_err(|why| PrintError::Stopped(format!("its picture could not be made: {why}")))
    }

    /// Page `number` (from 0) as pixels, `pixels_per_pt` to a point (held between 0.1 and 10, and to 8192 pixels a side).
    ///
    /// # Errors
    /// [`PrintError::Stopped`] beyond the last page, or when it cannot be drawn.
    pub fn picture(&self, number: usize, pixels_per_pt: f64) -> Result<Picture, PrintError> {
        let page = self.page(number)?;
        guard::on_own_thread(move || {
            let map = typst_render::render(&page, &fineness(&page, pixels_per_pt));
            // The page is opaque, so premultiplied and plain pixels are the same.
            Picture { width: map.width(), height: map.height(), rgba: map.take() }
        })
    }
}

/// How finely a page is drawn that is wanted with so many pixels to a point.
fn fineness(page: &Page, pixels_per_pt: f64) -> RenderOptions {
    let wanted = if pixels_per_pt.is_finite() { pixels_per_pt.clamp(0.1, 10.0) } else { 1.0 };
    let size = page.frame.size();
    let longest = size.x.to_pt().max(size.y.to_pt()).max(1.0);
    RenderOptions { pixel_per_pt: wanted.min(MOST_PIXELS / longest).into(), ..RenderOptions::default() }
}

/// A page as pixels: rows from the top, four bytes a pixel (red, green, blue, alpha), opaque.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// `width * height * 4` bytes.
    pub rgba: Vec<u8>,
}
