//! What a reader could not read, and what to do about it.

use std::fmt;

/// Something that a reader could not read or had to guess; the rest was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// A short stable word: `no-tempo`, `octave`, `kind-unclear`.
    pub code: String,
    /// File and line, or file, part and measure.
    pub where_: String,
    /// What was found.
    pub what: String,
    /// What mends it.
    pub remedy: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} ({})", self.where_, self.what, self.remedy)
    }
}

/// Why nothing could be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError(
    /// What, where and what mends it.
    pub Problem,
);

impl ReadError {
    /// An error with its place and its remedy.
    pub(crate) fn new(
        code: &str,
        where_: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self(Problem { code: code.to_owned(), where_: where_.into(), what: what.into(), remedy: remedy.into() })
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for ReadError {}

/// Problems as they are found; past a number of them only their count is kept.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    list: Vec<Problem>,
    left_out: usize,
}

/// A score with more problems than this has one problem: it is not what the reader takes it for.
const MOST: usize = 200;

impl Problems {
    pub(crate) fn add(
        &mut self,
        code: &str,
        where_: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if self.list.len() >= MOST {
            self.left_out += 1;
            return;
        }
        let problem =
            Problem { code: code.to_owned(), where_: where_.into(), what: what.into(), remedy: remedy.into() };
        if self.list.last() != Some(&problem) {
            self.list.push(problem);
        }
    }

    pub(crate) fn into_list(mut self, file: &str) -> Vec<Problem> {
        if self.left_out > 0 {
            self.list.push(Problem {
                code: "more-problems".to_owned(),
                where_: file.to_owned(),
                what: format!("{} more problems were found", self.left_out),
                remedy: "mend the first ones and read the file again".to_owned(),
            });
        }
        self.list
    }
}
