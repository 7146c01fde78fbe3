//! The domain of Backrow. Values in, values out: this crate knows no file, no clock, no thread and no screen.
