//! The domain of Backrow. Values in, values out: this crate knows no file, no clock, no thread and no screen.
//!
//! Bottom to top: [`seconds`], [`halt`], [`id`], [`days`], [`numbers`], [`pitch`], [`tuning`], [`compass`], [`collection`], [`care`],
//! [`trial`], [`music`], [`timpani`], [`sound`], [`week`], [`rota`],
//! [`library`], [`edit`], [`tonight`], [`upkeep`], [`sets`], [`cover`], [`lacking`], [`lifting`], [`carrying`], [`stage`],
//! [`moves`], [`beaters`], [`loads`], [`hiring`], [`assign`],
//! [`evening`], [`findings`], [`recall`], [`choose`].
//!
//! No room uses one that stands above it; `tests/order.rs` looks.

pub mod assign;
pub mod beaters;
pub mod care;
pub mod carrying;
pub mod choose;
pub mod collection;
pub mod compass;
pub mod cover;
pub mod days;
pub mod edit;
pub mod evening;
pub mod findings;
pub mod halt;
pub mod hiring;
pub mod id;
pub mod lacking;
pub mod library;
pub mod lifting;
pub mod loads;
pub mod moves;
pub mod music;
pub mod numbers;
pub mod pitch;
pub mod recall;
pub mod rota;
#[cfg(test)]
pub(crate) mod sample;
pub mod seconds;
pub mod sets;
pub mod sound;
pub mod stage;
pub mod timpani;
pub mod tonight;
pub mod trial;
pub mod tuning;
pub mod upkeep;
pub mod week;
