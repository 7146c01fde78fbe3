//! `backrow sheets LIBRARY --programme ID --out DIR`: a programme's sheets as PDF.

use super::answer::Answer;
use super::open;
use backrow_files::problem::Problem;
use backrow_print::Paper;
use clap::{Args, ValueEnum};
use serde_json::json;
use std::path::PathBuf;

/// Prints a programme's sheets as PDF into a folder, which is made if it is missing.
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
    /// The paper.
    #[arg(long, value_enum, default_value_t = PaperWord::A4)]
    paper: PaperWord,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperWord {
    A4,
    Letter,
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
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, problems) = open::library(&self.library)?;
        let known = || library.programmes().map(|(_, programme)| programme.id.clone());
        let programme = known()
            .find(|id| id.as_str() == self.programme)
            .ok_or_else(|| open::unknown(&self.library, "programme", &self.programme, known()))?;
        let today = crate::sheets::today();
        let files = crate::sheets::print(&library, &programme, self.paper.into(), &self.out, today).map_err(
            |why| Problem {
                code: "sheets",
                place: self.out.display().to_string(),
                what: why,
                remedy: "then run the command again".to_owned(),
            },
        )?;
        let files: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
        let value = json!({ "programme": programme.as_str(), "files": files });
        Ok(Answer::new(files, value, problems))
    }
}
