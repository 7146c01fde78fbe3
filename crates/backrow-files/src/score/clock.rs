//! Seconds: how long each measure lasts, and when a place in it comes.

use super::raw::{Pace, RawScore};

/// Quarter notes a minute where a score states no tempo; our own habit, named as a problem.
pub(crate) const ASSUMED: f64 = 120.0;

/// The pace of every printed measure.
pub(crate) struct Clock {
    measures: Vec<Ticking>,
}

struct Ticking {
    quarters: f64,
    /// Seconds a quarter note at the start of the measure.
    beat: f64,
    /// Later changes within it: quarters into the measure, seconds a quarter note.
    changes: Vec<(f64, f64)>,
}

impl Clock {
    /// From the tempi of the page; a place played again has the tempo that it had.
    pub(crate) fn new(score: &RawScore) -> Self {
        let mut tempi: Vec<&super::raw::RawTempo> = score.tempi.iter().collect();
        tempi.sort_by(|a, b| {
            (a.measure, a.at).partial_cmp(&(b.measure, b.at)).unwrap_or(std::cmp::Ordering::Equal)
        });
        let mut tempi = tempi.into_iter().peekable();
        let mut pace = ASSUMED;
        let mut measures = Vec::with_capacity(score.measures.len());
        for (index, measure) in score.measures.iter().enumerate() {
            let mut beat = 60.0 / pace;
            let mut changes = Vec::new();
            while let Some(tempo) = tempi.next_if(|tempo| tempo.measure <= index) {
                pace = match tempo.pace {
                    Pace::Quarters(quarters) => quarters,
                    Pace::Ratio(ratio) => pace * ratio,
                }
                .clamp(1.0, 2000.0);
                if tempo.at <= 0.0 {
                    beat = 60.0 / pace;
                } else if tempo.at < measure.quarters {
                    changes.push((tempo.at, 60.0 / pace));
                }
            }
            measures.push(Ticking { quarters: measure.quarters, beat, changes });
        }
        Self { measures }
    }

    /// Seconds from the start of a measure to a place in it; past its end the last pace goes on.
    pub(crate) fn seconds(&self, measure: usize, at: f64) -> f64 {
        let Some(ticking) = self.measures.get(measure) else { return 0.0 };
        let mut from = 0.0;
        let mut beat = ticking.beat;
        let mut seconds = 0.0;
        for (place, next) in &ticking.changes {
            if *place >= at {
                break;
            }
            seconds += (place - from) * beat;
            (from, beat) = (*place, *next);
        }
        seconds + (at - from).max(0.0) * beat
    }

    /// Seconds of a whole measure.
    pub(crate) fn length(&self, measure: usize) -> f64 {
        self.measures.get(measure).map_or(0.0, |ticking| self.seconds(measure, ticking.quarters))
    }

    /// Quarter notes a minute at a place.
    pub(crate) fn pace(&self, measure: usize, at: f64) -> f64 {
        self.measures.get(measure).map_or(ASSUMED, |ticking| {
            let last = ticking.changes.iter().rev().find(|(place, _)| *place <= at);
            60.0 / last.map_or(ticking.beat, |(_, beat)| *beat)
        })
    }
}
