//! Samples in, values out: strikes found in a take, what is measured of each, how alike two are, models of struck things, and
//! the sound device behind one small trait. No file and no window is known here.

pub mod capture;
pub mod device;
pub mod mix;
pub mod model;
pub mod rate;
