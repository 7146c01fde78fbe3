//! Plain tables in comma-separated values.

pub mod calls;
pub mod rota;
