//! What can go wrong on the way to paper.

use std::fmt;

/// Why a sheet could not be set.
#[derive(Clone, Debug, PartialEq)]
pub enum PrintError {
    /// The template is at fault; the first problem is the one to mend first.
    Template(Vec<TemplateProblem>),
    /// A measure in the data cannot be drawn.
    Measure {
        /// Which thing, in words: "4 Glockenspiel 1: width".
        what: String,
    },
    /// The data could not be handed to the template.
    Data(String),
    /// The typesetter was stopped, or stopped by itself: why, a sentence without its stop.
    Stopped(String),
    /// The pages were set, but no PDF could be written of them.
    Pdf(String),
}

impl fmt::Display for PrintError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Template(problems) => {
                for (n, problem) in problems.iter().enumerate() {
                    if n > 0 {
                        writeln!(f)?;
                    }
                    write!(f, "{problem}")?;
                }
                Ok(())
            }
            Self::Measure { what } => {
                write!(
                    f,
                    "{what} is not a measure that can be drawn; give a finite number of metres, sizes above zero"
                )
            }
            Self::Data(why) => write!(f, "the sheet’s data could not be handed to its template: {why}"),
            Self::Stopped(why) => {
                write!(
                    f,
                    "the sheet could not be set: {why}; if the library has templates of its own, look there first"
                )
            }
            Self::Pdf(why) => write!(f, "the pages were set but could not be written as PDF: {why}"),
        }
    }
}

impl std::error::Error for PrintError {}

/// One fault (or warning) in a template, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateProblem {
    /// File name of the template, "plan.typ"; empty where the fault has no place.
    pub file: String,
    /// Line, from 1; 0 where the fault has no place.
    pub line: usize,
    /// Column in characters, from 1; 0 where the fault has no place.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What may help; often empty.
    pub hints: Vec<String>,
}

impl fmt::Display for TemplateProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "{}:{}:{}: ", self.file, self.line, self.column)?;
        }
        write!(f, "{}", self.message)?;
        for hint in &self.hints {
            write!(f, " ({hint})")?;
        }
        Ok(())
    }
}
