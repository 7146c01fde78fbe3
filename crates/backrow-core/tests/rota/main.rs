//! The rota against trying everything, and as it is asked in text and tables.
#![allow(
    clippy::indexing_slicing,
    clippy::panic,
    reason = "made programmes of known size; a test that panics has failed"
)]

mod best;
mod made;
mod random;
mod split;
mod table;
mod text;
