//! Plain tables: comma-separated values and workbooks, in and out.

pub mod calls;
pub mod collection;
pub mod library;
pub mod rota;
pub mod table;
