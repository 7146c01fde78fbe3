//! The tests stand in this package's tests folder.
