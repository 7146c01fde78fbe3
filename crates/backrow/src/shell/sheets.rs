//! `backrow sheets LIBRARY --programme ID --out DIR`: a programme's sheets as PDF.

use super::answer::Answer;
use super::open;
use crate::evenings::evening_apart;
use crate::sheets::{LabelSize, Plans, Printer, Sheet, Sort};
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_files::problem::Problem;
use backrow_print::plan::PlanScale;
use backrow_print::{Paper, Remark};
use clap::{Args, ValueEnum};
use serde_json::json;
use std::path::PathBuf;

/// Prints a programme's sheets as PDF into a folder, which is made if it is missing.
#[expect(clippy::struct_excessive_bools, reason = "each is an option of the command line")]
#[derive(Args, Debug)]
pub(super) struct Sheets {
    /// The library's folder.
    library: PathBuf,
    /// The programme's id; `backrow check` lists them.
    #[arg(long, value_name = "ID")]
    programme: String,
    /// The folder for the sheets.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[arg(long = "sheet", value_name = "WORD", help = one_sheet())]
    only: Vec<String>,
    /// All of them in one PDF.
    #[arg(long)]
    one: bool,
    /// Plans to 1 : 50, 75 or 100, on larger paper where they need it; without it to the largest that fits.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(10..=500))]
    scale: Option<u32>,
    /// Plans as SVG and PNG beside the PDF.
    #[arg(long)]
    pictures: bool,
    /// Pictures of the instruments on load lists and large labels.
    #[arg(long)]
    instruments: bool,
    /// The size of labels: so many on a sheet of A4; 6, 10 and letter-14 on one of Letter.
    #[arg(long, value_enum, default_value_t = LabelWord::Eight)]
    labels: LabelWord,
    /// The paper.
    #[arg(long, value_enum, default_value_t = PaperWord::A4)]
    paper: PaperWord,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

/// The help of `--sheet`, with the words of all sorts.
fn one_sheet() -> String {
    let words = Sort::all_words();
    format!(
        "One sheet only, by its word: {words}; may stand several times. Without it every sheet of the programme is printed"
    )
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperWord {
    A4,
    Letter,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum LabelWord {
    #[value(name = "8")]
    Eight,
    #[value(name = "14")]
    Fourteen,
    #[value(name = "21")]
    TwentyOne,
    #[value(name = "24")]
    TwentyFour,
    #[value(name = "6")]
    LetterSix,
    #[value(name = "10")]
    LetterTen,
    #[value(name = "letter-14")]
    LetterFourteen,
}

impl From<LabelWord> for LabelSize {
    fn from(word: LabelWord) -> Self {
        match word {
            LabelWord::Eight => Self::Eight,
            LabelWord::Fourteen => Self::Fourteen,
            LabelWord::TwentyOne => Self::TwentyOne,
            LabelWord::TwentyFour => Self::TwentyFour,
            LabelWord::LetterSix => Self::LetterSix,
            LabelWord::LetterTen => Self::LetterTen,
            LabelWord::LetterFourteen => Self::LetterFourteen,
        }
    }
}

impl From<PaperWord> for Paper {
    fn from(word: PaperWord) -> Self {
        match word {
            PaperWord::A4 => Self::A4,
            PaperWord::Letter => Self::Letter,
        }
    }
}

impl Sheets {
    /// The sheets that were asked for, or all.
    fn sheets(&self, programme: &Programme, library: &Library) -> Result<Vec<Sheet>, Problem> {
        let mut all = Sheet::of(library, programme);
        if self.only.is_empty() {
            return Ok(all);
        }
        all.extend(Sheet::of_all());
        all.push(crate::keymap::sheet());
        self.only
            .iter()
            .map(|word| {
                let found = all.iter().find(|sheet| sheet.word() == *word).cloned();
                found.ok_or_else(|| open::unknown(&self.library, "sheet", word, all.iter().map(Sheet::word)))
            })
            .collect()
    }

    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, problems) = open::library(&self.library)?;
        let known = || library.programmes().map(|(_, programme)| programme.id.clone());
        let programme = known()
            .find(|id| id.as_str() == self.programme)
            .ok_or_else(|| open::unknown(&self.library, "programme", &self.programme, known()))?;
        let templates = crate::sheets::templates(Some(&self.library));
        let failed = |why: String| Problem {
            code: "sheets",
            place: self.out.display().to_string(),
            what: why,
            remedy: "then run the command again".to_owned(),
        };
        let sheets =
            self.sheets(crate::sheets::programme(&library, &programme).map_err(failed)?, &library)?;
        let evening =
            evening_apart(&library, crate::sheets::programme(&library, &programme).map_err(failed)?);
        let printer = Printer {
            evening: &evening,
            paper: self.paper.into(),
            templates: &templates,
            today: crate::sheets::today_of(&library),
            remembers: Some(&self.library),
            plans: Plans {
                scale: self.scale.map_or_else(PlanScale::default, PlanScale::OneTo),
                pictures: self.pictures,
                labels: self.labels.into(),
                instruments: self.instruments,
            },
        };
        let printed = printer.print(&crate::sheets::press(), &sheets, &self.out, self.one).map_err(failed)?;
        let mut problems = problems;
        problems.extend(printed.signs.into_iter().map(|sign| Problem {
            code: "missing-sign",
            place: programme.to_string(),
            what: sign,
            remedy: "the sheet was printed without it".to_owned(),
        }));
        let (as_asked, other): (Vec<Remark>, Vec<Remark>) =
            printed.remarks.into_iter().partition(|remark| remark.as_asked);
        problems.extend(other.into_iter().map(|remark| Problem {
            code: "scale",
            place: programme.to_string(),
            what: remark.words.trim_end_matches('.').to_owned(),
            remedy: "choose a smaller scale, such as 100".to_owned(),
        }));
        let files: Vec<String> = printed.files.iter().map(|file| file.display().to_string()).collect();
        let remarks: Vec<String> = as_asked.into_iter().map(|remark| remark.words).collect();
        let value = json!({ "programme": programme.as_str(), "files": files, "remarks": remarks });
        Ok(Answer::new([files, remarks].concat(), value, problems))
    }
}
