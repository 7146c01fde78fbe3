//! The air of a store, day by day.

use jiff::civil::Date;

/// What a store's air was on one day, read by hand or by a logger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirDay {
    /// The day.
    pub on: Date,
    /// The least and the most, degrees Celsius; the same twice where it was read once.
    pub celsius: Option<(f64, f64)>,
    /// The least and the most relative humidity, per cent, 0 to 100.
    pub humidity: Option<(f64, f64)>,
}

impl AirDay {
    /// A day of which nothing is known yet.
    pub const fn on(on: Date) -> Self {
        Self { on, celsius: None, humidity: None }
    }

    /// With one more reading of that day.
    #[must_use]
    pub fn with(self, celsius: Option<f64>, humidity: Option<f64>) -> Self {
        Self { celsius: wider(self.celsius, celsius), humidity: wider(self.humidity, humidity), ..self }
    }
}

/// A span that holds one more figure; what is no number is left out.
fn wider(span: Option<(f64, f64)>, figure: Option<f64>) -> Option<(f64, f64)> {
    let Some(figure) = figure.filter(|figure| figure.is_finite()) else { return span };
    let (least, most) = span.unwrap_or((figure, figure));
    Some((least.min(figure), most.max(figure)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_holds_its_least_and_its_most() {
        let day = AirDay::on(Date::new(2026, 1, 2).unwrap());
        let day = [(Some(18.0), Some(44.0)), (None, Some(38.5)), (Some(20.5), Some(f64::NAN))]
            .into_iter()
            .fold(day, |day, (celsius, humidity)| day.with(celsius, humidity));
        assert_eq!((day.celsius, day.humidity), (Some((18.0, 20.5)), Some((38.5, 44.0))));
    }
}
