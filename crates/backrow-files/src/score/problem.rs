//! What a reader could not read, and what to do about it.

pub use crate::problem::Problem;
use std::fmt;

/// Why nothing could be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError(
    /// What, where and what mends it.
    pub Box<Problem>,
);

impl ReadError {
    /// An error with its place and its remedy.
    pub(crate) fn new(
        code: &'static str,
        place: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self(Box::new(Problem { code, place: place.into(), what: what.into(), remedy: remedy.into() }))
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
        code: &'static str,
        place: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if self.list.len() >= MOST {
            self.left_out += 1;
            return;
        }
        let problem = Problem { code, place: place.into(), what: what.into(), remedy: remedy.into() };
        if self.list.last() != Some(&problem) {
            self.list.push(problem);
        }
    }

    pub(crate) fn into_list(mut self, file: &str) -> Vec<Problem> {
        if self.left_out > 0 {
            self.list.push(Problem {
                code: "more-problems",
                place: file.to_owned(),
                what: format!("{} more problems were found", self.left_out),
                remedy: "correct the first ones and read the file again".to_owned(),
            });
        }
        self.list
    }
}
