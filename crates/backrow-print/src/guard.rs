//! Setting a sheet where it can do no harm: on a thread of its own with a large stack, within a time and a number of pages, its
//! panics caught. A library's own template is a program that somebody wrote, and may loop, or ask for more memory than there is.
//!
//! A thread cannot be stopped, and a program that runs out of memory or stack is ended by the system. Where a [`Guard`] is
//! given, a job with templates of the library's own is therefore tried in a process first, which can be ended and can end.

use crate::error::PrintError;
use crate::press::Pages;
use crate::sheet::Date;
use crate::templates::Templates;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{Read, Write};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// The typesetter's stack, bytes; only what is used is taken.
const STACK: usize = 256 << 20;
/// The longest that a sheet may take; the longest of a large programme takes a few seconds on a slow machine.
const LONGEST: Duration = Duration::from_mins(1);
/// The longest that a template of the library's own may take when it is tried.
const LONGEST_TRY: Duration = Duration::from_secs(20);
/// As long are its pages drawn one by one when it is tried.
const LONGEST_DRAWN: Duration = Duration::from_secs(5);
/// Pages of one sheet.
pub(crate) const MOST_PAGES: usize = 500;
/// Brackets within brackets in a template.
const DEEPEST: usize = 200;

/// Sheets that were given up and are still being set.
static GIVEN_UP: AtomicUsize = AtomicUsize::new(0);

/// Does the work on a thread of its own.
pub(crate) fn on_own_thread<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, PrintError> {
    within(LONGEST, work)
}

fn within<T: Send + 'static>(
    longest: Duration,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, PrintError> {
    if GIVEN_UP.load(Ordering::Relaxed) > 2 {
        let why = "sheets that took too long are still being set; close the program and open it again";
        return Err(PrintError::Stopped(why.to_owned()));
    }
    let (send, answer) = channel();
    let thread = std::thread::Builder::new().name("typesetter".to_owned()).stack_size(STACK);
    let started = thread.spawn(move || {
        let done = work();
        // Nobody listens any more where it took too long.
        if send.send(done).is_err() {
            GIVEN_UP.fetch_sub(1, Ordering::Relaxed);
        }
    });
    let thread =
        started.map_err(|why| PrintError::Stopped(format!("no thread can be had for it ({why})")))?;
    match answer.recv_timeout(longest) {
        Ok(done) => Ok(done),
        Err(RecvTimeoutError::Timeout) => {
            GIVEN_UP.fetch_add(1, Ordering::Relaxed);
            Err(PrintError::Stopped(format!("it took more than {} seconds", longest.as_secs())))
        }
        Err(RecvTimeoutError::Disconnected) => {
            let why = thread.join().err().map(|panic| {
                let words = panic.downcast_ref::<String>().map(String::as_str);
                words
                    .or_else(|| panic.downcast_ref::<&str>().copied())
                    .unwrap_or("no reason given")
                    .to_owned()
            });
            let why = why.unwrap_or_default();
            let why: String = why.chars().take(200).collect();
            Err(PrintError::Stopped(format!("the typesetter broke off ({why})")))
        }
    }
}

/// Refuses templates whose brackets are nested so deep that reading them would use up any stack.
pub(crate) fn not_too_deep(templates: &Templates) -> Result<(), PrintError> {
    for (name, text) in templates.own() {
        let (mut depth, mut deepest) = (0_usize, 0_usize);
        for byte in text.bytes() {
            match byte {
                b'(' | b'[' | b'{' => depth += 1,
                b')' | b']' | b'}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            deepest = deepest.max(depth);
        }
        if deepest > DEEPEST {
            return Err(PrintError::Stopped(format!(
                "{name} has {deepest} brackets within each other, and at most {DEEPEST} are read"
            )));
        }
    }
    Ok(())
}

/// A job that can be handed to a process.
#[derive(Serialize, Deserialize)]
pub(crate) struct Job {
    pub(crate) template: String,
    pub(crate) today: Option<Date>,
    pub(crate) own: Vec<(String, String)>,
    pub(crate) data: serde_json::Value,
}

/// A program and the words that make it call [`try_job`], in which a library's own templates are tried before they are used.
#[derive(Debug)]
pub struct Guard {
    program: PathBuf,
    words: Vec<String>,
    /// Jobs that went well.
    known: Mutex<BTreeSet<u64>>,
}

impl Guard {
    /// With that program, called with those words.
    pub fn new(program: PathBuf, words: Vec<String>) -> Self {
        Self { program, words, known: Mutex::default() }
    }

    /// Tries a job in a process of its own; an error says how it ended.
    pub(crate) fn vet(&self, job: &Job) -> Result<(), PrintError> {
        let bytes = serde_json::to_vec(job).map_err(|why| PrintError::Data(why.to_string()))?;
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        let hash = hasher.finish();
        let known = || self.known.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if known().contains(&hash) {
            return Ok(());
        }
        let mut command = Command::new(&self.program);
        command.args(&self.words).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
        let Ok(mut child) = command.spawn() else {
            // No process can be had; the thread's guards remain.
            return Ok(());
        };
        let feeder = child.stdin.take().map(|mut stdin| {
            // A child that ends early reads no more.
            std::thread::Builder::new().name("job".to_owned()).spawn(move || drop(stdin.write_all(&bytes)))
        });
        let ended = wait(&mut child);
        drop(feeder);
        match ended {
            Ended::Well => {
                known().insert(hash);
                Ok(())
            }
            Ended::Said(why) => Err(PrintError::Stopped(why)),
        }
    }
}

enum Ended {
    Well,
    Said(String),
}

fn wait(child: &mut Child) -> Ended {
    let until = Instant::now() + LONGEST_TRY;
    loop {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => return Ended::Well,
            Ok(Some(status)) => {
                let mut said = String::new();
                if let Some(out) = child.stdout.take() {
                    // What it did not get round to say is told by how it ended.
                    drop(out.take(4_000).read_to_string(&mut said));
                }
                // With 1 it was the typesetter that refused: its own words, with file and line, come when it is set here.
                return match status.code() {
                    Some(1) => Ended::Well,
                    Some(2) if !said.is_empty() => Ended::Said(said),
                    _ => Ended::Said(
                        "it ran out of memory or of stack; look for a loop without end or for huge numbers"
                            .to_owned(),
                    ),
                };
            }
            Ok(None) if Instant::now() < until => std::thread::sleep(Duration::from_millis(5)),
            Ok(None) | Err(_) => {
                // It may end by itself at this very moment.
                drop(child.kill());
                drop(child.wait());
                return Ended::Said(format!(
                    "it took more than {} seconds when it was tried",
                    LONGEST_TRY.as_secs()
                ));
            }
        }
    }
}

/// Tries a job that a [`Guard`] hands over in `bytes`: 0 it can be set, 1 the typesetter refuses it in words that it will repeat,
/// 2 it could not be set for the reason that is returned.
pub fn try_job(bytes: &[u8]) -> (u8, String) {
    let Ok(job) = serde_json::from_slice::<Job>(bytes) else {
        return (2, "the job could not be read".to_owned());
    };
    let templates = job.own.into_iter().fold(Templates::default(), |all, (name, text)| all.with(name, text));
    match crate::press::Press::new().try_set(&job.template, job.today, &templates, &job.data) {
        Ok(pages) => match draw(&pages) {
            Err(PrintError::Stopped(why)) => (2, why),
            // What else there is against a PDF is said in its own words when one is written.
            Ok(()) | Err(_) => (0, String::new()),
        },
        Err(PrintError::Stopped(why)) => (2, why),
        Err(_refused) => (1, String::new()),
    }
}

/// Draws what was set: a fill may ask for more than the page itself.
fn draw(pages: &Pages) -> Result<(), PrintError> {
    let until = Instant::now() + LONGEST_DRAWN;
    for number in (0..pages.count()).take_while(|_| Instant::now() < until) {
        pages.picture(number, 1.0)?;
    }
    pages.pdf().map(drop)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panics_and_long_work_are_told() {
        let panic =
            within(LONGEST, || assert!(std::hint::black_box(false), "a length of nothing")).unwrap_err();
        assert!(panic.to_string().contains("a length of nothing"), "{panic}");
        let long = within(Duration::from_millis(10), || std::thread::sleep(Duration::from_millis(300)));
        assert!(long.unwrap_err().to_string().contains("took more than"));
        assert_eq!(within(LONGEST, || 7), Ok(7));
    }
}
