//! A line through points with weights.

/// A point and how much it counts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    pub(crate) time: f64,
    pub(crate) value: f64,
    pub(crate) weight: f64,
}

/// The line, and how sure its slope is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) at_zero: f64,
    pub(crate) slope: f64,
    pub(crate) slope_sd: f64,
    /// The weighted mean of the times: there the line is surest, and the slope says nothing of its height.
    pub(crate) middle: f64,
    /// How sure the line's height is there.
    pub(crate) middle_sd: f64,
    /// What the points leave the line by, root of the mean square.
    pub(crate) rest: f64,
}

/// By least squares; `None` of fewer than four points or of points at one time. Of points that overlap only a share are looks of
/// their own: `own`.
pub(crate) fn line(points: &[Point], own: f64) -> Option<Line> {
    let weight: f64 = points.iter().map(|point| point.weight).sum();
    let mean = |value: fn(&Point) -> f64| points.iter().map(|p| p.weight * value(p)).sum::<f64>() / weight;
    let (time, value) = (mean(|p| p.time), mean(|p| p.value));
    let (mut square, mut product) = (0.0, 0.0);
    for point in points {
        square += point.weight * (point.time - time).powi(2);
        product += point.weight * (point.time - time) * (point.value - value);
    }
    if points.len() < 4 || square <= 0.0 {
        return None;
    }
    let slope = product / square;
    let off = |point: &Point| point.value - value - slope * (point.time - time);
    let rest = points.iter().map(|point| point.weight * off(point).powi(2)).sum::<f64>() / weight;
    let count = points.len() as f64;
    let middle_sd = (rest * (count / (count - 2.0)) / (count * own).max(2.0)).sqrt();
    let slope_sd = middle_sd / (square / weight).sqrt();
    let at_zero = value - slope * time;
    let all = Line { at_zero, slope, slope_sd, middle: time, middle_sd, rest: rest.sqrt() };
    (all.slope.is_finite() && all.slope_sd.is_finite()).then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn worked_by_hand() {
        // Points (0, 1), (1, 3), (2, 4), (3, 6), equal weights: slope 1.6, intercept 1.1, residuals -0.1, 0.3, -0.3, 0.1.
        let points = [(0.0, 1.0), (1.0, 3.0), (2.0, 4.0), (3.0, 6.0)];
        let points = points.map(|(time, value)| Point { time, value, weight: 1.0 });
        let is = line(&points, 1.0).unwrap();
        assert_relative_eq!(is.slope, 1.6, max_relative = 1e-12);
        assert_relative_eq!(is.at_zero, 1.1, max_relative = 1e-12);
        assert_relative_eq!(is.rest, 0.05_f64.sqrt(), max_relative = 1e-12);
        // The textbook's: the root of (0.2 / 2) / 5.
        assert_relative_eq!(is.slope_sd, 0.02_f64.sqrt(), max_relative = 1e-12);
        // And of the mean: the root of (0.2 / 2) / 4, at 1.5.
        assert_relative_eq!(is.middle_sd, 0.025_f64.sqrt(), max_relative = 1e-12);
        assert_relative_eq!(is.middle, 1.5, max_relative = 1e-12);
        assert_eq!(line(&points[..3], 1.0), None);
        assert_eq!(line(&[points[0]; 5], 1.0), None);
    }
}
