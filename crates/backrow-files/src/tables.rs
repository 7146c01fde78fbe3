//! Plain tables: comma-separated values and workbooks, in and out.

pub mod collection;
pub mod library;
pub mod lines;
pub mod rota;
pub mod table;
