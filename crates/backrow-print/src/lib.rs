//! Placeholder head, replaced as the crate grows.
