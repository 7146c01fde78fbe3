//! Plain tables in comma-separated values.

pub mod rota;
