//! From the library to the data of sheets: names, numbers, places and cautions. `backrow-print` sets them.

mod bells;
mod changed;
mod data;
mod heading;
mod hires;
mod keys;
mod labels;
mod load;
mod memory;
mod names;
mod overview;
mod pictured;
mod player;
mod player_grid;
mod questions;
mod routes;
mod season;
mod sort;
mod stage_plan;
mod summary;
mod upkeep;
mod versions;
mod work_plan;

pub use bells::bell_list;
pub use data::SheetData;
pub use heading::head;
pub use hires::hire_list;
pub(crate) use hires::price;
pub use keys::{KeyGroup, keys_sheet};
pub use labels::{LabelSize, labels};
pub use load::load_list;
pub use memory::memory_sheet;
pub use overview::overview;
pub use player::player_sheet;
pub use player_grid::player_grid;
pub use questions::questions;
pub use season::{Counted, SeasonRow, season, season_sheet};
pub use sort::{Belongs, Sort};
pub use stage_plan::stage_plan;
pub use summary::summary;
pub use upkeep::{care_year_sheet, tuner_sheet, workshop_sheet};
pub use work_plan::{crew_plan, work_plan};

use backrow_core::collection::Instrument;
use backrow_core::evening::Evening;
use backrow_core::id::{PlayerId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::loads::Way;
use backrow_core::week::Programme;
use backrow_print::plan::{PlanScale, PlanSheet};
use backrow_print::{Pages, Paper, Press, Remark, Templates};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Whether a sheet with it bears the caution on lifting.
fn is_heavy(thing: &Instrument) -> bool {
    backrow_core::carrying::needs_caution(thing)
}

/// One sheet of a programme.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// The principal's overview.
    Overview,
    /// For the conductor and the personnel manager: players, extras, special instruments.
    Summary,
    /// The stage plan.
    Plan,
    /// Players by services with every collision, for the personnel manager.
    PlayerGrid,
    /// Questions for the conductor.
    Questions,
    /// The plan of a work: what it uses, on the floor as it is for it.
    WorkPlan(WorkId),
    /// The plan for those who carry.
    CrewPlan,
    /// A player's sheet.
    Player(PlayerId),
    /// A load list.
    Load(Way),
    /// What is hired or borrowed.
    Hires,
    /// Lines for bells: what we can give, and what to borrow.
    Bells,
    /// What a work remembers: what was tried and decided for its lines.
    Memory(WorkId),
    /// The season: every programme of the library.
    Season,
    /// Bars for the tuner.
    Tuner,
    /// A page for the workshop.
    Workshop,
    /// What care cost in a year, and what the collection is worth.
    CareYear,
    /// Labels for what the programme uses.
    Labels,
    /// Labels for the whole collection.
    AllLabels,
    /// The map of keys; it carries what it says, as keys are the window's.
    Keys(Vec<KeyGroup>),
}

impl Sheet {
    /// What it is called: "Stage plan", "L. Brandt", "Load list, store to stage".
    pub fn title(&self, library: &Library) -> String {
        match self {
            Self::Overview => "Overview".to_owned(),
            Self::Summary => "Summary".to_owned(),
            Self::PlayerGrid => "Players by services".to_owned(),
            Self::Questions => "Questions for the conductor".to_owned(),
            Self::Plan => "Stage plan".to_owned(),
            Self::WorkPlan(id) => {
                let title = library.works.get(id).map_or(id.as_str(), |work| &work.title);
                format!("Stage plan, {title}")
            }
            Self::CrewPlan => "Stage plan for the crew".to_owned(),
            Self::Player(id) => library.player_name(id),
            Self::Load(way) => format!("Load list, {}", way.words()),
            Self::Hires => "Hire list".to_owned(),
            Self::Bells => "Bells".to_owned(),
            Self::Memory(id) => {
                let title = library.works.get(id).map_or(id.as_str(), |work| &work.title);
                format!("Tried and decided, {title}")
            }
            Self::Season => "Season".to_owned(),
            Self::Tuner => "For the tuner".to_owned(),
            Self::Workshop => "For the workshop".to_owned(),
            Self::CareYear => "Care of the year".to_owned(),
            Self::Labels => "Labels for this programme".to_owned(),
            Self::AllLabels => "Labels for the whole collection".to_owned(),
            Self::Keys(_) => "Keyboard map".to_owned(),
        }
    }

    /// The word for it on the command line and in file names: `stage-plan`, `player-brandt`, `load-store-to-stage`.
    pub fn word(&self) -> String {
        match self {
            Self::Overview => "overview".to_owned(),
            Self::Summary => "summary".to_owned(),
            Self::PlayerGrid => "player-grid".to_owned(),
            Self::Questions => "questions".to_owned(),
            Self::Plan => "stage-plan".to_owned(),
            Self::WorkPlan(id) => format!("stage-plan-{id}"),
            Self::CrewPlan => "crew-plan".to_owned(),
            Self::Player(id) => format!("player-{id}"),
            Self::Load(way) => format!("load-{}", way.words().replace(' ', "-")),
            Self::Hires => "hires".to_owned(),
            Self::Bells => "bells".to_owned(),
            Self::Memory(id) => format!("tried-{id}"),
            Self::Season => "season".to_owned(),
            Self::Tuner => "tuner".to_owned(),
            Self::Workshop => "workshop".to_owned(),
            Self::CareYear => "care".to_owned(),
            Self::Labels => "labels".to_owned(),
            Self::AllLabels => "labels-all".to_owned(),
            Self::Keys(_) => "keys".to_owned(),
        }
    }
}

/// How plans are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Plans {
    /// To which scale.
    pub scale: PlanScale,
    /// Whether SVG and PNG files are written beside the PDF.
    pub pictures: bool,
    /// The size of labels.
    pub labels: LabelSize,
    /// Whether load lists and labels show pictures of the instruments.
    pub instruments: bool,
}

/// What was printed.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Printed {
    /// The files.
    pub files: Vec<PathBuf>,
    /// Signs that no font can show, in words.
    pub signs: Vec<String>,
    /// What is to be told about scale and paper.
    pub remarks: Vec<Remark>,
}

/// Pixels a point in PNG files: 200 to the inch.
const PIXELS_PER_PT: f64 = 200.0 / 72.0;

/// What sheets are set from.
#[derive(Clone, Copy)]
pub struct Printer<'a> {
    /// The programme, worked out.
    pub evening: &'a Evening,
    /// The paper.
    pub paper: Paper,
    /// The library's own templates, before the built-in ones.
    pub templates: &'a Templates,
    /// The day that is printed at the foot.
    pub today: Option<jiff::civil::Date>,
    /// The library's folder, where what was printed is remembered; without it every print is the first.
    pub remembers: Option<&'a Path>,
    /// How plans are printed.
    pub plans: Plans,
}

impl Printer<'_> {
    /// What a sheet says, without a version.
    fn content(&self, sheet: &Sheet) -> Result<SheetData, String> {
        let evening = self.evening;
        let (library, programme) = (evening.library(), evening.programme());
        let scaled =
            |sheet: PlanSheet| SheetData::Plan(Box::new(PlanSheet { scale: self.plans.scale, ..sheet }));
        Ok(match sheet {
            Sheet::Overview => SheetData::List(overview(evening)),
            Sheet::Summary => SheetData::List(summary(evening)),
            Sheet::PlayerGrid => SheetData::List(player_grid(library, programme)),
            Sheet::Questions => SheetData::List(questions(library, programme)),
            Sheet::Plan => scaled(stage_plan(evening)),
            Sheet::WorkPlan(work) => scaled(work_plan(evening, work)),
            Sheet::CrewPlan => scaled(crew_plan(evening)),
            Sheet::Player(id) => {
                let sheet = player_sheet(evening, id)
                    .ok_or_else(|| format!("The library has no player \"{id}\"."))?;
                SheetData::Player(Box::new(sheet))
            }
            Sheet::Load(way) => SheetData::Load(load_list(evening, *way)),
            Sheet::Hires => SheetData::List(hire_list(evening)),
            Sheet::Bells => SheetData::List(bell_list(library, programme)),
            Sheet::Memory(work) => SheetData::List(memory_sheet(library, programme, work)),
            Sheet::Season => SheetData::List(season_sheet(library, programme)),
            Sheet::Tuner => SheetData::List(tuner_sheet(library, programme)),
            Sheet::Workshop => SheetData::List(workshop_sheet(library, programme, self.today)),
            Sheet::CareYear => SheetData::List(care_year_sheet(library, programme, self.today)),
            Sheet::Labels => {
                SheetData::Labels(labels(library, Some(programme), self.plans.labels.on(self.paper)))
            }
            Sheet::AllLabels => SheetData::Labels(labels(library, None, self.plans.labels.on(self.paper))),
            Sheet::Keys(groups) => SheetData::List(keys_sheet(library, groups)),
        })
    }

    /// What a sheet says, in the version that it will bear, with what changed since the one printed before.
    pub fn data(&self, sheet: &Sheet) -> Result<SheetData, String> {
        self.print_of(sheet).map(|(data, _)| data)
    }

    fn print_of(&self, sheet: &Sheet) -> Result<(SheetData, versions::Print), String> {
        let last = self.remembers.and_then(|folder| versions::last(folder, &self.name(sheet)));
        let content = self.content(sheet)?.content();
        let mark = self.mark(&content);
        let today = self.today.map(|day| (day, self.evening.library().days()));
        Ok(versions::next(content, mark, last.as_ref(), today))
    }

    /// Signs that change with all that the paper shows: what the sheet says, its pictures, and the library's own templates that
    /// it is set with.
    fn mark(&self, content: &SheetData) -> String {
        let shown = self.with_pictures(content.clone(), &crate::pictures::mark);
        let besides: Vec<&str> = self
            .templates
            .own()
            .filter(|(name, _)| content.is_set_with(name))
            .map(|(_, text)| text)
            .collect();
        versions::mark_of(&shown, &besides)
    }

    /// By what its versions are remembered, whatever the programme is called.
    fn name(&self, sheet: &Sheet) -> String {
        format!("{}-{}", self.evening.programme().id, sheet.word())
    }

    /// The file name without the ending, by the programme's title; by its id where another has the same title.
    fn file(&self, word: &str) -> String {
        let programme = self.evening.programme();
        let slug = backrow_core::id::slug_of(&programme.title);
        let others = self.evening.library().programmes().filter(|(_, other)| other.id != programme.id);
        let is_own = !slug.is_empty()
            && others.into_iter().all(|(_, other)| {
                backrow_core::id::slug_of(&other.title) != slug && other.id.as_str() != slug
            });
        format!("{}-{word}", if is_own { slug.as_str() } else { programme.id.as_str() })
    }

    /// One sheet, set. An error says which sheet, and where in which template.
    pub fn set(&self, press: &Press, sheet: &Sheet) -> Result<Pages, String> {
        let data = self.pictured(self.data(sheet)?);
        data.set(press, self.paper, self.templates)
            .map_err(|why| format!("{} cannot be set: {why}", sheet.title(self.evening.library())))
    }

    /// Prints sheets into a folder, which is made if it is missing: in one PDF, or one each. An error says what is wrong and
    /// what helps.
    pub fn print(
        &self,
        press: &Press,
        sheets: &[Sheet],
        folder: &Path,
        in_one: bool,
    ) -> Result<Printed, String> {
        self.print_while(press, sheets, (folder, in_one), &|_| true).map(Option::unwrap_or_default)
    }

    /// The same while `on_with` says so, which is told before each sheet how many are set. `None` when it ended that: then
    /// nothing was written and no version was counted.
    pub fn print_while(
        &self,
        press: &Press,
        sheets: &[Sheet],
        (folder, in_one): (&Path, bool),
        on_with: &dyn Fn(usize) -> bool,
    ) -> Result<Option<Printed>, String> {
        let programme = self.evening.programme();
        let mut set: Vec<(String, Pages)> = Vec::new();
        let mut drawn: Vec<(String, Vec<u8>)> = Vec::new();
        let mut prints: Vec<(String, versions::Print)> = Vec::new();
        for (done, sheet) in sheets.iter().enumerate() {
            if !on_with(done) {
                return Ok(None);
            }
            let (data, print) = self.print_of(sheet)?;
            let pages = self
                .pictured(data)
                .set(press, self.paper, self.templates)
                .map_err(|why| format!("{} cannot be set: {why}", sheet.title(self.evening.library())))?;
            let name = self.name(sheet);
            prints.push((name, print));
            let name = self.file(&sheet.word());
            if self.plans.pictures && matches!(sheet, Sheet::Plan | Sheet::WorkPlan(_) | Sheet::CrewPlan) {
                let pictures = pictures(&name, &pages);
                drawn.extend(pictures.map_err(|why| format!("{name} cannot be drawn: {why}"))?);
            }
            set.push((name, pages));
        }
        if !on_with(sheets.len()) {
            return Ok(None);
        }
        if in_one && set.len() > 1 {
            let all = set.into_iter().map(|(_, pages)| pages).collect();
            let whole = Pages::joined(&format!("{}: all sheets", programme.title), all);
            set = whole.map(|pages| (self.file("sheets"), pages)).into_iter().collect();
        }
        let say = |e: std::io::Error, what: &Path| {
            format!(
                "{} cannot be written: {e}. Choose another folder, or close the program that holds the file.",
                what.display()
            )
        };
        std::fs::create_dir_all(folder).map_err(|e| say(e, folder))?;
        let mut printed = Printed::default();
        for (name, pages) in set {
            let file = folder.join(format!("{name}.pdf"));
            let bytes = pages.pdf().map_err(|e| format!("{name} cannot be written as PDF: {e}"))?;
            write_whole(&file, &bytes).map_err(|e| say(e, &file))?;
            printed.signs.extend(pages.missing().iter().map(ToString::to_string));
            printed.remarks.extend(pages.remarks().iter().cloned());
            printed.files.push(file);
        }
        for (name, bytes) in drawn {
            let file = folder.join(name);
            write_whole(&file, &bytes).map_err(|e| say(e, &file))?;
            printed.files.push(file);
        }
        for (name, print) in &prints {
            let Some(folder) = self.remembers else { break };
            match versions::remember(folder, name, print) {
                Ok(said) => printed.remarks.extend(said.map(|words| Remark { words, as_asked: false })),
                Err(words) => {
                    printed.remarks.push(Remark { words, as_asked: false });
                    break;
                }
            }
        }
        printed.signs.sort();
        printed.signs.dedup();
        let mut told = BTreeSet::new();
        printed.remarks.retain(|remark| told.insert(remark.words.clone()));
        Ok(Some(printed))
    }
}

/// Every page as SVG and as PNG, by file name; pages are counted where there are several.
fn pictures(name: &str, pages: &Pages) -> Result<Vec<(String, Vec<u8>)>, backrow_print::PrintError> {
    let mut out = Vec::new();
    for page in 0..pages.count() {
        let nth = if pages.count() == 1 { String::new() } else { format!("-{}", page + 1) };
        out.push((format!("{name}{nth}.svg"), pages.svg(page)?.into_bytes()));
        out.push((format!("{name}{nth}.png"), pages.png(page, PIXELS_PER_PT)?));
    }
    Ok(out)
}

/// The programme of that id, or what helps.
pub fn programme<'a>(library: &'a Library, id: &ProgrammeId) -> Result<&'a Programme, String> {
    let missing = || format!("The library has no programme \"{id}\"; `backrow check` lists what it has.");
    library.programme(id).ok_or_else(missing)
}

/// A press that tries a library's own templates in a process of this same program before it uses them.
pub fn press() -> backrow_print::Press {
    let program = std::env::current_exe().ok();
    // Only the program itself knows the words; a test or bench that is linked with it does without.
    let program = program.filter(|path| path.file_stem().is_some_and(|stem| stem == "backrow"));
    let guard = program.map(|path| backrow_print::Guard::new(path, vec!["try-sheet".to_owned()]));
    backrow_print::Press::new().guarded(guard)
}

/// The templates of a library's own, `print/NAME.typ` in its folder, in the stead of the built-in ones. One that cannot be read is
/// told of by every sheet that would be set with it.
pub fn templates(folder: Option<&Path>) -> Templates {
    let Some(folder) = folder.map(|folder| folder.join("print")) else { return Templates::default() };
    let mut own = Templates::default();
    let Ok(entries) = std::fs::read_dir(&folder) else { return own };
    let mut files: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    files.sort();
    for file in files.iter().filter(|file| file.extension().is_some_and(|ext| ext == "typ")) {
        let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let bytes = backrow_files::limits::read_plain(file, LONGEST_TEMPLATE);
        let text = bytes.map_err(|why| match why.kind() {
            std::io::ErrorKind::FileTooLarge => format!("it has more than {} MB", LONGEST_TEMPLATE >> 20),
            std::io::ErrorKind::InvalidInput => "it is not a plain file".to_owned(),
            _ => why.to_string(),
        });
        let text = text.and_then(|bytes| {
            String::from_utf8(bytes).map_err(|_letters| "it is not written in UTF-8".to_owned())
        });
        own = match text {
            Ok(text) => own.with(name, text),
            Err(why) => {
                let why = format!(
                    "print/{name} cannot be read: {why}; correct it, or take it away to print with the built-in one"
                );
                own.unread(name, why)
            }
        };
    }
    own
}

/// The longest template that is read, bytes; the longest built-in one has under a hundredth of it.
const LONGEST_TEMPLATE: u64 = 4 << 20;

/// A new file beside the old one, renamed over it, so that a reader never sees half a sheet.
pub fn write_whole(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    backrow_files::library::write_whole(file, bytes)
}

/// Today where the orchestra lives; by the machine's own time zone where it has not said.
pub fn today_of(library: &Library) -> Option<jiff::civil::Date> {
    backrow_files::calendar::day_in(&library.orchestra.zone, chrono::Utc::now()).or_else(today)
}

/// Today by the machine's clock, in its own time zone (`TZ` where that is set); `None` for a day out of reach.
pub fn today() -> Option<jiff::civil::Date> {
    use chrono::Datelike;
    let day = chrono::Local::now().date_naive();
    let part = |n: u32| i8::try_from(n).ok();
    jiff::civil::Date::new(i16::try_from(day.year()).ok()?, part(day.month())?, part(day.day())?).ok()
}
