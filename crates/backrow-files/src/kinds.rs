//! The kinds table: what a part can call for, and the words that parts print beside it.
//!
//! The standard table lies in `assets/kinds/` and is part of the program. It has the form of a library's `kinds.ron`, so that an
//! entry may be copied from one to the other.

mod check;
mod wanted;
mod words;

pub use check::faults;
pub use wanted::wanted;
pub use words::{PartWord, WordMeans, standard_words};

use crate::problem::Problem;
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use std::collections::BTreeMap;
use std::sync::Arc;

const STANDARD: &str = include_str!("../../../assets/kinds/kinds.ron");

/// The program's own kinds table, by id. A test keeps it readable and free of faults.
pub fn standard() -> Result<Shared<KindId, Kind>, Problem> {
    let kinds = crate::library::kinds_in("kinds.ron", STANDARD)?;
    Ok(Arc::new(kinds.into_iter().map(|kind| (kind.id.clone(), Arc::new(kind))).collect::<BTreeMap<_, _>>()))
}

#[cfg(test)]
mod tests;
