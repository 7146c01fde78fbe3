//! A figure with its uncertainty.

/// What was measured, and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Figure {
    /// The value, in the unit of its measure; finite.
    pub value: f64,
    /// One standard deviation, in the same unit; finite and not below zero.
    pub sd: f64,
}

impl Figure {
    /// A figure; `None` unless both numbers are finite and the deviation is not below zero.
    pub fn new(value: f64, sd: f64) -> Option<Self> {
        (value.is_finite() && sd.is_finite() && sd >= 0.0).then_some(Self { value, sd })
    }

    /// A figure on a logarithmic scale: the value is finite and above zero, too.
    pub fn above_zero(value: f64, sd: f64) -> Option<Self> {
        Self::new(value, sd).filter(|figure| figure.value > 0.0)
    }

    /// Whether the two differ by more than twice what both are uncertain by.
    pub fn differs_from(self, other: Self) -> bool {
        (self.value - other.value).abs() > 2.0 * self.sd.hypot(other.sd)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_finite_is_none() {
        for (value, sd) in [(f64::NAN, 0.0), (f64::INFINITY, 0.0), (1.0, f64::NAN), (1.0, -0.1)] {
            assert_eq!(Figure::new(value, sd), None);
        }
        assert_eq!(Figure::above_zero(0.0, 0.0), None);
        assert!(Figure::new(-23.0, 0.1).is_some());
    }

    #[test]
    fn a_difference_must_stand_out_of_both_uncertainties() {
        let (one, other) = (Figure { value: 1.0, sd: 0.03 }, Figure { value: 1.0, sd: 0.04 });
        assert!(!one.differs_from(Figure { value: 1.09, ..other }));
        assert!(one.differs_from(Figure { value: 1.11, ..other }));
    }
}
