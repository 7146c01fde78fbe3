//! The library on disk as a person meets it: what is written, what is never overwritten, and what is said about files
//! that others have changed or broken. All names are invented.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

mod formats;
mod on_disk;
mod opening;
mod others;
mod saving;
mod trouble;
