//! A number as people type it.

/// A number as typed: "442", "441,5", "−3", with a comma or a point before its decimals, and a minus sign or a hyphen. `None` for what is
/// none: nothing, letters, or more than can be counted.
///
/// ```
/// use backrow_core::numbers::typed;
/// assert_eq!(typed(" 441,5 "), Some(441.5));
/// assert_eq!(typed("4x0"), None);
/// ```
pub fn typed(text: &str) -> Option<f64> {
    // "inf" and "NaN" are words, and none that anybody means.
    let plain = text.trim().replace(',', ".").replace('\u{2212}', "-");
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}
