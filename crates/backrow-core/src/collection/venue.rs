//! Venues: a floor to scale.

use crate::id::VenueId;

/// A point on the floor in metres: x from the centre line, positive to the right as the audience sees it (orchestra right);
/// y from the back edge, positive towards the audience.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Point {
    /// Metres right of the centre line.
    pub x: f64,
    /// Metres from the back edge.
    pub y: f64,
}

impl Point {
    /// The point `x` metres right of the centre line and `y` metres from the back edge.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Straight distance in metres.
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// The same to a tenth of a millimetre, so that what was moved in steps of 5 cm is written as 5.31 and not as
    /// 5.3100000000000005.
    #[must_use]
    pub fn rounded(self) -> Self {
        // Adding nothing makes a negative nought a plain one.
        let tenths = |metres: f64| (metres * 1e4).round() / 1e4 + 0.0;
        Self { x: tenths(self.x), y: tenths(self.y) }
    }
}

/// A hall or room where services are held.
#[derive(Clone, Debug, PartialEq)]
pub struct Venue {
    /// Stable for ever.
    pub id: VenueId,
    /// Its name.
    pub name: String,
    /// The outline of the floor, at least three corners; curved fronts as short straight pieces.
    pub floor: Vec<Point>,
    /// Raised parts.
    pub risers: Vec<Riser>,
    /// Where nothing of the section's may stand: brass, pillars, doors.
    pub keep_out: Vec<Area>,
    /// Where the conductor stands, if known.
    pub conductor: Option<Point>,
    /// Anything that a loader must know.
    pub remark: String,
}

/// A raised part of the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Riser {
    /// What it is called.
    pub name: String,
    /// Its outline, at least three corners.
    pub outline: Vec<Point>,
    /// Above the floor, metres.
    pub height_m: f64,
    /// The area load that the venue has stated, kN/m2; `None` where not stated.
    pub rated_kn_m2: Option<f64>,
}

/// What a part of the floor is kept for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum AreaUse {
    /// The rest of the orchestra: nobody of the section goes there.
    #[default]
    NotToEnter,
    /// A pillar, a fixed piano: one goes round it.
    Fixed,
    /// A door or way in: nothing stands there, everybody goes through.
    WayIn,
}

impl AreaUse {
    /// All, in the order in which lists show them.
    pub const ALL: [Self; 3] = [Self::NotToEnter, Self::Fixed, Self::WayIn];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotToEnter => "not to enter",
            Self::Fixed => "fixed",
            Self::WayIn => "way in",
        }
    }
}

/// A named part of the floor where nothing of the section's stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Area {
    /// What it is called.
    pub name: String,
    /// What it is kept for.
    pub kept_for: AreaUse,
    /// Its outline, at least three corners.
    pub outline: Vec<Point>,
}

impl Area {
    /// The words on a plan: what it is, and what it asks of who stands near it.
    pub fn words(&self) -> String {
        let asks = match self.kept_for {
            AreaUse::NotToEnter => "not to enter",
            AreaUse::Fixed => "fixed",
            AreaUse::WayIn => "keep free",
        };
        if self.name.is_empty() { asks.to_owned() } else { format!("{}: {asks}", self.name) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_add_up_to_plain_numbers() {
        let mut at = Point::new(0.01, -0.0);
        for _ in 0..106 {
            at = Point::new(at.x - 0.05, at.y).rounded();
        }
        assert_eq!((at.x.to_string(), at.y.to_string()), ("-5.29".to_owned(), "0".to_owned()));
    }
}
