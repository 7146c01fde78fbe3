//! What is heard and kept: the engine, what is being made ready for it, and what came of it.

use super::alike::{self, SOFTLY};
use super::candidates::{self, Beyond};
use super::import::{self, Imported};
use super::line::{HeardLine, line};
use super::prepare::{self, Asked, Ready};
use super::{Engine, How, Now, Wish};
use crate::background::{Job, Stop, Taken};
use crate::words::many;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::sound::{Strike, StrikeKey, Take};
use backrow_core::week::LineRef;
use backrow_sound::device::{Device, RATE};
use backrow_sound::mix::Track;
use egui::Context;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What the sound asks of the library and of the bottom line.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "a handful a take")]
pub enum Done {
    /// A change of the library.
    Edit(Edit),
    /// Something to be said.
    Said(String),
    /// Something that failed.
    Failed(String),
}

/// Strikes by their keys, as they stand in their takes.
type Alike = Vec<(StrikeKey, Strike)>;

/// Strikes that were fetched.
struct Fetched {
    tracks: Vec<Track>,
    /// Which of them is heard.
    chosen: usize,
    /// What they are, where they were made equally loud.
    alike: Option<Alike>,
}

/// What is around a wish.
pub struct Around<'a> {
    /// The library.
    pub library: &'a Library,
    /// Where it lies.
    pub folder: Option<&'a Path>,
    /// The current programme.
    pub programme: Option<&'a ProgrammeId>,
}

/// Everything that has to do with sound.
#[derive(Default)]
pub struct Session {
    engine: Engine,
    line: Option<LineRef>,
    how: How,
    ready: HeardLine,
    chosen: usize,
    /// Where to begin when the line is ready.
    from: usize,
    making: Option<Job<HeardLine>>,
    fetching: Option<Job<Result<Fetched, String>>>,
    /// Strikes that were made equally loud last.
    alike: Option<(Alike, Vec<Track>)>,
    keeping: Vec<Job<Imported>>,
    on: Option<String>,
    /// How many failures of the device were said.
    told: u64,
}

impl Session {
    /// A session on a device of a test.
    pub fn with(device: Box<dyn Device>) -> Self {
        Self { engine: Engine::with(device), ..Self::default() }
    }

    /// What the device does now.
    pub fn now(&self) -> Now {
        self.engine.now()
    }

    /// Fetches the take that was ended last.
    pub fn recorded(&self) -> Option<Arc<backrow_sound::capture::Recorded>> {
        self.engine.recorded()
    }

    /// The line that is heard, or was last.
    pub const fn line(&self) -> Option<&LineRef> {
        self.line.as_ref()
    }

    /// How it is heard.
    pub const fn how(&self) -> How {
        self.how
    }

    /// Its candidates, as far as they are ready, and which measures they play.
    pub fn ready(&self) -> (&str, &[Ready]) {
        (&self.ready.measures, &self.ready.ready)
    }

    /// How many candidates stand before those that are ready, and behind them.
    pub const fn beyond(&self) -> Beyond {
        self.ready.beyond
    }

    /// Which candidate is heard.
    pub const fn chosen(&self) -> usize {
        self.chosen
    }

    /// Whether something is being made ready or kept.
    pub fn is_working(&self) -> bool {
        self.making.is_some() || self.fetching.is_some() || !self.keeping.is_empty()
    }

    /// Whether takes are on their way to the disk.
    pub const fn is_keeping(&self) -> bool {
        !self.keeping.is_empty()
    }

    /// How loud, from 0 to 1.
    pub fn volume(&self) -> f32 {
        self.engine.volume()
    }

    /// The loudspeaker that was chosen.
    pub fn on(&self) -> Option<&str> {
        self.on.as_deref()
    }

    /// Carries out a wish; what is to be said or changed comes back.
    pub fn wish(&mut self, ctx: &Context, around: &Around<'_>, wish: Wish) -> Vec<Done> {
        match wish {
            Wish::Strike(key) => return self.strike(ctx, around, (&key, 1.0)),
            Wish::Softly(key) => return self.strike(ctx, around, (&key, SOFTLY)),
            Wish::Matched(keys, at) => return self.matched(ctx, around, &keys, at),
            Wish::Piece(sound, rate, span) => self.piece(ctx, &sound, rate, span),
            Wish::Line(at) => {
                if self.line.as_ref() != Some(&at) {
                    (self.how.passage, self.how.dozen, self.chosen, self.from) = (0, 0, 0, 0);
                }
                self.line = Some(at);
                return self.make(ctx, around);
            }
            Wish::Again(how) => return self.again(ctx, around, how),
            Wish::Candidate(number) => return self.candidate(ctx, around, number),
            Wish::StopOrPlay => {
                if self.engine.now().plays {
                    self.engine.stop(ctx);
                } else {
                    self.from = 0;
                    self.play(ctx);
                }
            }
            Wish::Volume(volume) => self.engine.set_volume(volume),
            Wish::Ports => self.engine.ask_for_ports(ctx),
            Wish::On(id) => {
                self.on.clone_from(&id);
                self.engine.play_on(ctx, id);
                // What plays goes on there, at the same place.
                if self.engine.now().plays && self.line.is_some() {
                    self.from = self.engine.at().unwrap_or(0);
                    self.play(ctx);
                }
            }
            Wish::Away => {
                self.engine.stop(ctx);
                (self.line, self.making) = (None, None);
                self.ready = HeardLine::default();
            }
            Wish::Listen(id) => {
                self.engine.ask_for_ports(ctx);
                self.engine.listen(ctx, id);
            }
            Wish::Begin => self.engine.begin(ctx),
            Wish::End => self.engine.end(ctx),
            Wish::Deaf => self.engine.deaf(ctx),
            Wish::Keep(take, samples) => return self.keep(ctx, around, *take, samples),
            Wish::BringBack(instrument, file) => {
                let Some(folder) = around.folder.map(PathBuf::from) else { return vec![not_on_disk()] };
                let library = around.library.clone();
                let work = move |_: &Stop| import::bring_back(&library, &folder, &instrument, &file);
                return self.begin(Job::start(ctx, "sound to be brought back", work));
            }
            Wish::Import(instrument, paths) => return self.import(ctx, around, (instrument, paths)),
            // The window's own: it opens what records.
            Wish::Record(_) => {}
        }
        Vec::new()
    }

    /// The line otherwise: at the same place, unless it is another passage.
    fn again(&mut self, ctx: &Context, around: &Around<'_>, how: How) -> Vec<Done> {
        // Where one line sounds alone and only its loudness changes, nothing is made anew.
        let only_loudness = How { as_recorded: how.as_recorded, ..self.how } == how;
        let same = only_loudness && !how.together && self.making.is_none();
        let stays = how.passage == self.how.passage
            && how.whole == self.how.whole
            && (same || self.engine.now().plays);
        self.from = if stays { self.engine.at().unwrap_or(0) } else { 0 };
        if how.dozen != self.how.dozen {
            self.chosen = 0;
        }
        self.how = how;
        if same {
            self.play(ctx);
            return Vec::new();
        }
        self.make(ctx, around)
    }

    /// One of those that are ready. The one behind the last is the first of the next dozen, and after the last dozen the first of all.
    fn candidate(&mut self, ctx: &Context, around: &Around<'_>, number: usize) -> Vec<Done> {
        let Beyond { before, after } = self.ready.beyond;
        if self.ready.ready.is_empty() {
            return Vec::new();
        }
        if number >= self.ready.ready.len() && before + after > 0 {
            let dozen = if after > 0 { self.how.dozen + 1 } else { 0 };
            return self.again(ctx, around, How { dozen, ..self.how });
        }
        self.chosen = number % self.ready.ready.len();
        self.engine.choose(self.chosen);
        if !self.engine.now().plays {
            self.from = 0;
            self.play(ctx);
        }
        Vec::new()
    }

    fn play(&mut self, ctx: &Context) {
        let tracks = self.ready.tracks(self.how.as_recorded);
        if !tracks.is_empty() {
            self.engine.play(ctx, tracks, self.chosen.min(self.ready.ready.len() - 1), self.from);
        }
    }

    fn make(&mut self, ctx: &Context, around: &Around<'_>) -> Vec<Done> {
        let Some(at) = self.line.clone() else { return Vec::new() };
        let all = candidates::of_line(around.library, around.programme, &at);
        let (candidates, beyond) = candidates::dozen(all, self.how.dozen);
        self.how.dozen = beyond.before / candidates::DOZEN;
        let asked = Asked {
            library: around.library.clone(),
            folder: around.folder.map(PathBuf::from),
            programme: around.programme.cloned(),
            candidates,
            beyond,
            line: at,
            how: self.how,
        };
        if asked.candidates.is_empty() {
            self.ready = HeardLine::default();
            let words = "Nothing in the collection is of the line’s kind, so it cannot be heard. Assign an instrument to it.";
            return vec![Done::Failed(words.to_owned())];
        }
        started(Job::start(ctx, "line to be heard", move |stop| line(&asked, stop)), &mut self.making)
    }

    fn strike(&mut self, ctx: &Context, around: &Around<'_>, (key, gain): (&StrikeKey, f32)) -> Vec<Done> {
        let folder = around.folder.map(PathBuf::from);
        let asked =
            folder.and_then(|folder| alike::Asked::of(around.library, folder, std::slice::from_ref(key)));
        let Some(asked) = asked else { return Vec::new() };
        let fetch =
            move |stop: &Stop| Ok(Fetched { tracks: asked.tracks(gain, stop)?, chosen: 0, alike: None });
        started(Job::start(ctx, "strike to be heard", fetch), &mut self.fetching)
    }

    /// One of several strikes that are equally loud. They are made so once, and kept while the same ones are asked for.
    fn matched(
        &mut self,
        ctx: &Context,
        around: &Around<'_>,
        keys: &[StrikeKey],
        chosen: usize,
    ) -> Vec<Done> {
        let folder = around.folder.map(PathBuf::from);
        let Some(asked) = folder.and_then(|folder| alike::Asked::of(around.library, folder, keys)) else {
            return Vec::new();
        };
        // What stands in a take may have been moved since: the spans belong to what is remembered.
        let spans =
            asked.strikes.iter().map(|(key, _, strike)| (key.clone(), strike.clone())).collect::<Alike>();
        if let Some((_, tracks)) = self.alike.as_ref().filter(|(of, _)| *of == spans) {
            self.engine.play(ctx, tracks.clone(), chosen.min(tracks.len().saturating_sub(1)), 0);
            return Vec::new();
        }
        let fetch =
            move |stop: &Stop| Ok(Fetched { tracks: asked.matched(stop)?, chosen, alike: Some(spans) });
        started(Job::start(ctx, "strikes to be compared", fetch), &mut self.fetching)
    }

    fn piece(&mut self, ctx: &Context, sound: &[f32], rate: u32, span: (f64, f64)) {
        let samples: Arc<[f32]> = prepare::piece(sound, rate, span).into();
        self.engine.play(ctx, vec![Track::new(samples, 1.0)], 0, 0);
    }

    fn keep(&mut self, ctx: &Context, around: &Around<'_>, take: Take, samples: Arc<[f32]>) -> Vec<Done> {
        let Some(folder) = around.folder.map(PathBuf::from) else { return vec![not_on_disk()] };
        let work = move |_: &Stop| match import::keep(&folder, take, &samples) {
            Ok(take) => Imported { takes: vec![take], troubles: Vec::new() },
            Err(why) => Imported { takes: Vec::new(), troubles: vec![why] },
        };
        self.begin(Job::start(ctx, "take to be saved", work))
    }

    fn import(
        &mut self,
        ctx: &Context,
        around: &Around<'_>,
        (instrument, paths): (backrow_core::id::InstrumentId, Vec<PathBuf>),
    ) -> Vec<Done> {
        let Some(folder) = around.folder.map(PathBuf::from) else { return vec![not_on_disk()] };
        let library = around.library.clone();
        let work = move |stop: &Stop| import::import(&library, &folder, &instrument, &paths, stop);
        self.begin(Job::start(ctx, "recordings to be imported", work))
    }

    fn begin(&mut self, job: std::io::Result<Job<Imported>>) -> Vec<Done> {
        match job {
            Ok(job) => {
                self.keeping.push(job);
                Vec::new()
            }
            Err(why) => vec![Done::Failed(format!("This cannot be done now: {why}."))],
        }
    }

    /// What has been made ready or kept since the last frame.
    pub fn look(&mut self, ctx: &Context, library: &Library) -> Vec<Done> {
        let mut said = None;
        if let Some(job) = &mut self.making {
            match job.take() {
                Taken::Working => {}
                Taken::Done(line) => {
                    self.making = None;
                    self.chosen = self.chosen.min(line.ready.len().saturating_sub(1));
                    said = line.said.clone().map(Done::Said);
                    self.ready = line;
                    self.play(ctx);
                }
                Taken::Failed => self.making = None,
            }
        }
        let mut done: Vec<Done> = said.into_iter().chain(self.failed()).collect();
        if let Some(job) = &mut self.fetching {
            let taken = job.take();
            if !matches!(taken, Taken::Working) {
                self.fetching = None;
            }
            match taken {
                Taken::Done(Ok(Fetched { tracks, chosen, alike })) => {
                    if !tracks.is_empty() {
                        self.engine.play(ctx, tracks.clone(), chosen.min(tracks.len() - 1), 0);
                    }
                    self.alike = alike.map(|of| (of, tracks)).or(self.alike.take());
                }
                Taken::Done(Err(why)) => done.push(Done::Failed(why)),
                Taken::Working | Taken::Failed => {}
            }
        }
        let mut kept = Vec::new();
        self.keeping.retain_mut(|job| match job.take() {
            Taken::Working => true,
            Taken::Done(imported) => {
                kept.push(imported);
                false
            }
            Taken::Failed => false,
        });
        done.extend(kept.into_iter().flat_map(|imported| told(library, imported)));
        done
    }

    /// What failed at the device since it was said last: wherever something is played from, nobody waits for it in silence.
    fn failed(&mut self) -> Option<Done> {
        let now = self.engine.now();
        let is_new = now.failures != std::mem::replace(&mut self.told, now.failures);
        now.why_not.filter(|_| is_new).map(Done::Failed)
    }

    /// The frames that are played at [`RATE`] so far, seconds.
    pub fn at_s(&self) -> f64 {
        self.engine.at().unwrap_or(0) as f64 / f64::from(RATE)
    }
}

fn started<T>(job: std::io::Result<Job<T>>, slot: &mut Option<Job<T>>) -> Vec<Done> {
    match job {
        Ok(job) => {
            *slot = Some(job);
            Vec::new()
        }
        Err(why) => vec![Done::Failed(format!("This cannot be heard now: {why}."))],
    }
}

fn not_on_disk() -> Done {
    Done::Failed(
        "The library is not on disk yet, so takes have no place. Save a copy of it first.".to_owned(),
    )
}

fn told(library: &Library, imported: Imported) -> Vec<Done> {
    let Imported { takes, troubles } = imported;
    let mut done = Vec::new();
    let strikes: usize = takes.iter().map(|take| take.strikes.len()).sum();
    let names: Vec<String> = takes.iter().map(|take| library.instrument_name(&take.instrument)).collect();
    let mut edits: Vec<Edit> = takes.into_iter().map(Edit::PutTake).collect();
    match (edits.len(), names.first()) {
        (0, _) => {}
        (1, _) => done.extend(edits.pop().map(Done::Edit)),
        (count, name) => {
            let words = format!(
                "Add {count} takes of {} with {}",
                name.map_or("", String::as_str),
                many(strikes, "strike")
            );
            done.push(Done::Edit(Edit::Together { words, edits }));
        }
    }
    if !troubles.is_empty() {
        done.push(Done::Failed(troubles.join(" ")));
    }
    done
}
