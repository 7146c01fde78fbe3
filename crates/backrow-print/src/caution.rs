//! Sentences of caution for the foot of a sheet: the usual ones, in one place.
//!
//! Common practice, no single source. They send the reader to people who may judge, and never say that something is safe.

/// Where a mass stands on a plan with risers.
pub const RISER: &str = "Weights are estimates unless marked as weighed. Only the venue’s technical staff can say what a floor or riser will carry: ask them.";
/// Where heavy or hung things are listed or drawn.
pub const LIFT: &str = "Bells, gongs, timpani and anvils can injure people. Lifting and rigging are for qualified riggers with rated equipment, under local rules.";
/// Where loud instruments are drawn.
pub const LOUD: &str =
    "Loud at arm’s length: protect your ears and your neighbours’, and follow local rules on noise at work.";
/// Where masses are summed for lifts or trucks.
pub const MASS: &str = "Weights marked “about” are estimates. Only the venue’s technical staff can say what a floor, riser or lift will carry: ask them.";
