//! What sounds along with a line: the other lines of its player, each on what it is assigned to, and each from where that stands.

use super::candidates;
use super::prepare::{Asked, Ready, Span, gains_db, notes, samples};
use crate::background::Stop;
use crate::evenings::evening_apart;
use backrow_core::evening::Floor;
use backrow_core::id::InstrumentId;
use backrow_core::music::{Line, Timeline};
use backrow_core::week::Programme;
use backrow_sound::device::Frame;
use backrow_sound::level;
use backrow_sound::mix::{BOTH, Track};
use backrow_sound::pan::pan;
use backrow_sound::passage;
use std::sync::Arc;

/// Candidates with what sounds along.
pub(super) struct Mixed {
    pub(super) tracks: Vec<Track>,
    /// Why something sounds from the middle, a sentence.
    pub(super) said: Option<String>,
}

/// Where everything of one player stands, as far as that is wished and known.
struct Places<'a> {
    floor: Option<&'a Floor>,
    /// Lines that have none.
    without: usize,
    all: usize,
}

impl Places<'_> {
    /// The sides of what these instruments play.
    fn of(&mut self, instruments: &[InstrumentId]) -> Frame {
        let Some(floor) = self.floor else { return BOTH };
        self.all += 1;
        let bearing = floor.bearing_deg(instruments);
        self.without += usize::from(bearing.is_none());
        bearing.map_or(BOTH, pan)
    }

    fn said(&self) -> Option<String> {
        let floor = self.floor?;
        if floor.venue().is_none_or(|venue| venue.conductor.is_none()) {
            return Some(
                "Everything sounds from the middle: nobody has said yet where the conductor stands in this venue. Draw it on Floor."
                    .to_owned(),
            );
        }
        let lines = if self.without == 1 { "line sounds" } else { "lines sound" };
        (self.without > 0).then(|| {
            format!(
                "{} of {} {lines} from the middle: what it is played on has no place on the floor yet.",
                self.without, self.all
            )
        })
    }
}

/// Mixes every candidate with the other lines of the line's player. What sounds along is equally loud beside every candidate, and all come
/// down together where a sum would go over the ceiling.
pub(super) fn mixed(asked: &Asked, line: (&Line, &Timeline, Span), ready: &[Ready], stop: &Stop) -> Mixed {
    let programme = asked.programme.as_ref().and_then(|id| asked.library.programme(id));
    let evening = programme.filter(|_| asked.how.from_places).map(|of| evening_apart(&asked.library, of));
    let floor = evening.as_ref().map(|evening| evening.floor(Some(&asked.line.work)));
    let mut places = Places { floor, without: 0, all: 0 };
    let own = programme.map(|of| of.assignment(&asked.line).instruments).unwrap_or_default();
    // A candidate that does not stand on the floor would stand where the line is played now.
    let own = places.of(&own);
    let pans = asked.candidates.iter().map(|one| {
        let bearing = floor.and_then(|floor| floor.bearing_deg(&one.instruments));
        bearing.map_or(own, pan)
    });
    let along: Arc<[Frame]> =
        programme.map_or_else(Vec::new, |of| others(asked, of, line, &mut places)).into();
    let gains = gains_db(ready, asked.how.as_recorded);
    let mut tracks: Vec<Track> = ready
        .iter()
        .zip(gains)
        .zip(pans)
        .map(|((ready, db), pan)| Track {
            samples: Arc::clone(&ready.sound),
            gain: level::factor(db),
            pan,
            along: Some((Arc::clone(&along), 1.0)),
        })
        .collect();
    bring_under(&mut tracks, stop);
    Mixed { tracks, said: places.said() }
}

/// Brings all down together where one would go over the ceiling at either side.
fn bring_under(tracks: &mut [Track], stop: &Stop) {
    let mut peaks: Vec<f64> = Vec::new();
    for track in &*tracks {
        if stop.is_asked() {
            return;
        }
        for side in 0..2 {
            let value = |frame: Frame| frame.get(side).copied().unwrap_or(0.0);
            let sound: Vec<f32> = (0..track.length()).map(|at| value(track.at(at))).collect();
            peaks.extend(level::true_peak_dbtp(&sound));
        }
    }
    let down = level::factor(level::under_db(peaks.into_iter()));
    for track in tracks {
        track.gain *= down;
        track.along = track.along.take().map(|(along, gain)| (along, gain * down));
    }
}

/// The other lines of the line's player in the movement, each on what it is assigned to, as one sound.
fn others(
    asked: &Asked,
    programme: &Programme,
    (row, timeline, span): (&Line, &Timeline, Span),
    places: &mut Places<'_>,
) -> Vec<Frame> {
    let library = &asked.library;
    let Some(player) = programme.assignment(&asked.line).player else { return Vec::new() };
    let mut sum = Vec::new();
    for (at, given) in programme.lines() {
        let same = at.work == asked.line.work && *at != asked.line && given.player.as_ref() == Some(&player);
        let Some((_, other)) = library.line(at).filter(|(_, other)| same && other.movement == row.movement)
        else {
            continue;
        };
        let candidate = candidates::of_line(library, asked.programme.as_ref(), at).into_iter().next();
        let notes = notes(other, timeline, span);
        if let Some(candidate) = candidate.filter(|_| !notes.is_empty()) {
            let pan = places.of(&given.instruments);
            let found = samples(asked, &candidate, &notes);
            add(&mut sum, &passage::play(&notes, &found.samples).sound, pan);
        }
    }
    sum
}

fn add(sum: &mut Vec<Frame>, more: &[f32], pan: Frame) {
    sum.resize(sum.len().max(more.len()), [0.0; 2]);
    for (frame, more) in sum.iter_mut().zip(more) {
        for (value, share) in frame.iter_mut().zip(pan) {
            *value += more * share;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::background::Stop;
    use backrow_sound::device::RATE;

    fn tone(level: f32) -> Arc<[f32]> {
        (0..RATE).map(|n| if n < RATE / 2 { level * (n as f32 * 0.13).sin() } else { 0.0 }).collect()
    }

    fn ready(level: f32) -> Ready {
        Ready {
            label: String::new(),
            words: String::new(),
            by_model: false,
            loud: level::loud(&tone(level)),
            sound: tone(level),
        }
    }

    /// Two candidates, 12 dB apart, with others that sound where they are silent, at that level.
    fn tracks(as_recorded: bool, others: f32) -> Vec<Track> {
        let along: Arc<[Frame]> =
            (0..RATE).map(|n| if n < RATE / 2 { [0.0; 2] } else { [others; 2] }).collect();
        let ready = [ready(0.4), ready(0.1)];
        let gains = gains_db(&ready, as_recorded);
        let mut tracks: Vec<Track> = ready
            .iter()
            .zip(gains)
            .map(|(ready, db)| Track {
                along: Some((Arc::clone(&along), 1.0)),
                ..Track::new(Arc::clone(&ready.sound), level::factor(db))
            })
            .collect();
        bring_under(&mut tracks, &Stop::default());
        tracks
    }

    #[test]
    fn what_sounds_along_is_equally_loud_beside_every_candidate() {
        let at =
            |tracks: &[Track], frame: usize| tracks.iter().map(|one| one.at(frame)[0]).collect::<Vec<f32>>();
        let matched = tracks(false, 0.05);
        let late = at(&matched, 40_000);
        assert!((late[0] - late[1]).abs() < 1e-6 && late[0] > 0.0, "{late:?}");
        let early = at(&matched, 1_000);
        assert!((early[0] - early[1]).abs() < 1e-3, "candidates are matched: {early:?}");
        let early = at(&tracks(true, 0.05), 1_000);
        assert!((early[0] / early[1] - 4.0).abs() < 1e-3, "as recorded: {early:?}");
    }

    #[test]
    fn all_come_down_together_under_the_ceiling() {
        let loud = tracks(false, 3.0);
        for track in &loud {
            let right: Vec<f32> = (0..track.length()).map(|at| track.at(at)[1]).collect();
            assert!(level::true_peak_dbtp(&right).unwrap() <= level::CEILING_DBTP + 1e-3);
        }
        let share = loud[0].at(1_000)[0] / tracks(false, 0.05)[0].at(1_000)[0];
        assert!((loud[0].at(40_000)[0] - 3.0 * share).abs() < 1e-4, "by the same factor: {share}");
    }

    #[test]
    fn sums_have_their_sides() {
        let mut sum = Vec::new();
        add(&mut sum, &[0.5, 0.5], pan(-45.0));
        add(&mut sum, &[0.25], BOTH);
        assert!(
            (sum[0][0] - (0.5 * 2f32.sqrt() + 0.25)).abs() < 1e-6 && (sum[0][1] - 0.25).abs() < 1e-6,
            "{sum:?}"
        );
        assert_eq!(sum.len(), 2);
    }
}
