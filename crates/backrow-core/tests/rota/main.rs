//! The rota against trying everything, and as it is asked in text and tables.

mod best;
mod made;
mod random;
mod split;
mod table;
mod text;
