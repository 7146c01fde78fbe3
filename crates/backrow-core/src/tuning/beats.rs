//! Beats: how often two tones that are nearly together swell in a second, and whether an ear would notice.

use super::cents;

/// Beats a second of two tones in unison: the difference of their frequencies, hertz.
pub fn unison(one_hz: f64, other_hz: f64) -> f64 {
    (one_hz - other_hz).abs()
}

/// Two partials, of two tones, that lie close enough to beat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// Which harmonic of the lower tone, from 1.
    pub of_lower: u8,
    /// Which harmonic of the higher tone, from 1.
    pub of_higher: u8,
    /// Beats a second.
    pub hz: f64,
}

/// Where two tones some octaves apart beat: the higher tone against the harmonic of the lower one that it falls on, if that
/// is within half a semitone. Only octaves are looked at, from the unison to three of them; `None` for other intervals.
///
/// A bar has no harmonic series: the octaves that it really has are its own tuned partials. The figure is for a tone of
/// the orchestra below a bar, or for a bar with a tuned double octave.
pub fn octaves(one_hz: f64, other_hz: f64) -> Option<Meeting> {
    let (low, high) = if one_hz <= other_hz { (one_hz, other_hz) } else { (other_hz, one_hz) };
    let near = |harmonic: &&u8| cents(high, low * f64::from(**harmonic)).is_some_and(|off| off.abs() < 50.0);
    let of_lower = *[1, 2, 4, 8].iter().find(near)?;
    Some(Meeting { of_lower, of_higher: 1, hz: unison(low * f64::from(of_lower), high) })
}

/// How much of a beat a note shows: beats a second times its seconds. Below a half the note is over before the first
/// swell is; from one on there is a whole beat in it.
pub fn in_a_note(beats_hz: f64, seconds: f64) -> f64 {
    beats_hz * seconds.max(0.0)
}

/// The smallest change of pitch that a trained listener hears from one tone to the next, cents. Common figure, memory;
/// 10 for intervals by amateur musicians (Hill & Summers, J. Acoust. Soc. Am. 121, 2376 (2007), seen).
pub const JUST_HEARD_CENTS: f64 = 5.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_as_beat_twice_a_second() {
        assert!((unison(440.0, 442.0) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn octaves_meet_and_fifths_do_not() {
        let two = octaves(440.0, 884.0).unwrap();
        assert_eq!((two.of_lower, two.of_higher), (2, 1));
        assert!((two.hz - 4.0).abs() < 1e-9);
        assert_eq!(octaves(440.0, 660.0), None);
        assert_eq!(octaves(0.0, 660.0), None);
    }

    #[test]
    fn a_short_note_hides_a_slow_beat() {
        assert!(in_a_note(1.0, 0.3) < 0.5 && in_a_note(4.0, 2.0) > 1.0);
        assert!(in_a_note(4.0, -2.0).abs() < f64::EPSILON);
    }
}
