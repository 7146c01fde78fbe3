//! Candidates for a line compared by ear, what was said, and what was decided: kept with the work.

mod abx;
mod chance;
mod grades;
mod outcome;
mod pairs;
mod steps;
mod values;

pub use abx::{LEVEL, at_least, by_guessing, passes, preference, right_needed};
pub use chance::Chance;
pub use grades::{Grade, Graded, graded, own_error};
pub use outcome::{Choice, Outcome, Told};
pub use pairs::{NoRanking, Place, Preferred, Ranking, rank};
pub use steps::{MOST_STEPS, Step};
pub use values::{About, Answer, Candidate, Decision, How, Listener, Memory, Trial};
