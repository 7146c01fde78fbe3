//! Real processes that work in one library at once, some of them killed in the middle: nothing that a save has confirmed is lost.
//!
//! Every process does what the window does: it takes in what others have changed, makes an edit, saves it, and where two
//! versions stand beside each other it puts both together. An edit adds a word of its own to a remark, so that a version that was
//! written over unseen is missed at the end. `BACKROW_SECONDS` makes it longer by hand.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

use backrow_core::collection::Instrument;
use backrow_core::edit::{Edit, apply};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_files::library::{
    Clash, Opened, clashes, create_from, decide, earlier_versions, import, kept_versions, open, save,
};
use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::time::{Duration, Instant};

/// How many write at once.
const PROCESSES: usize = 3;
/// Which instruments they all write to.
const SHARED: [&str; 4] = ["marimba-1", "marimba-2", "xylophone-1", "vibraphone-1"];

/// Random numbers (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below.max(1) as u64)).unwrap()
    }
}

/// What a process is told, in its environment: the library, its name, the file in which it confirms.
const TOLD: [&str; 3] = ["BACKROW_TEST_LIBRARY", "BACKROW_TEST_NAME", "BACKROW_TEST_LOG"];

fn told(at: usize) -> Option<PathBuf> {
    std::env::var_os(TOLD[at]).map(PathBuf::from)
}

/// The words in a text that edits have added: `~name-number~`.
fn words(text: &str) -> BTreeSet<String> {
    let all = text.split('~').map(str::trim).filter(|word| word.starts_with('p') && word.contains('-'));
    all.filter(|word| word.len() < 20 && !word.contains(char::is_whitespace)).map(str::to_owned).collect()
}

fn opened(dir: &Path) -> Opened {
    open(dir, &backrow_files::kinds::standard().unwrap())
}

fn with_word(library: &Library, id: &str, word: &str) -> Library {
    let id = InstrumentId::new(id).unwrap();
    let Some(thing) = library.instruments.get(&id) else { return library.clone() };
    let mut next = Instrument::clone(thing);
    next.remark = format!("{}~{word}~", next.remark);
    apply(library, &Edit::PutInstrument(next)).unwrap()
}

/// Both versions' words in one text.
fn put_together(clash: &Clash) -> Option<String> {
    let both: BTreeSet<String> = words(&clash.stands).union(&words(&clash.beside)).cloned().collect();
    let remark = both.iter().fold(String::new(), |text, word| text + "~" + word + "~");
    let mut halves =
        [&clash.stands, &clash.beside].into_iter().filter_map(|text| text.split_once("remark: \""));
    let (before, rest) = halves.next()?;
    let (_, after) = rest.split_once('"')?;
    Some(format!("{before}remark: \"{remark}\"{after}"))
}

/// One of the processes; an ordinary run of the tests passes it by.
#[test]
fn one_of_the_processes() {
    let (Some(dir), Some(name), Some(log)) = (told(0), told(1), told(2)) else { return };
    let name = name.to_string_lossy().into_owned();
    let mut log = fs::File::options().append(true).create(true).open(log).unwrap();
    let seed = name.bytes().fold(0x9E37_79B9_7F4A_7C15_u64, |seed, byte| {
        (seed ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    });
    let mut dice = Dice(seed | 1);
    let Opened { mut library, mut disk, .. } = opened(&dir);
    let mut unconfirmed = Vec::new();
    // It is told to end by being killed, or when the file that it confirms in is joined by one named `end`.
    let end = dir.with_file_name("end");
    for number in 0_u64.. {
        let ends = end.exists();
        if !disk.changed_elsewhere(&dir).is_empty() {
            library = import(&dir, &mut disk, opened(&dir), &library).library;
        }
        if !ends {
            for _ in 0..=dice.roll(2) {
                let word = format!("{name}-{number}.{}", unconfirmed.len());
                library = with_word(&library, SHARED[dice.roll(SHARED.len())], &word);
                unconfirmed.push(word);
            }
        }
        let report = save(&dir, &mut disk, &library);
        if !report.failed {
            for word in unconfirmed.drain(..) {
                // In one piece, for the others write there too.
                log.write_all(format!("{word}\n").as_bytes()).unwrap();
            }
        }
        // What is not saved yet must not be put aside by a choice.
        for clash in if report.failed { Vec::new() } else { clashes(&dir, &disk) } {
            if let Some(text) = put_together(&clash)
                && let Ok(decided) = decide(&dir, &mut disk, &clash, &text, &library)
            {
                library = decided;
            }
        }
        if ends && unconfirmed.is_empty() {
            return;
        }
        std::thread::sleep(Duration::from_millis(dice.roll(8) as u64));
    }
}

fn start(dir: &Path, name: &str, log: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "one_of_the_processes", "--nocapture"])
        .envs(TOLD.into_iter().zip([dir.as_os_str(), name.as_ref(), log.as_os_str()]))
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap()
}

/// Every text in the folder, but for what is hidden.
fn texts(folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.file_name().unwrap().to_string_lossy().starts_with('.') {
            continue;
        }
        if path.is_dir() {
            all.extend(texts(&path));
        } else if path.extension().is_some_and(|ending| ending == "ron") {
            all.push(fs::read_to_string(&path).unwrap());
        }
    }
    all
}

/// Makes what killed processes left look an hour old.
fn age_leftovers(folder: &Path) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            age_leftovers(&path);
        } else if path.extension().is_some_and(|ending| ending == "tmp") {
            let an_hour_ago = std::time::SystemTime::now() - Duration::from_hours(1);
            fs::File::options().write(true).open(&path).unwrap().set_modified(an_hour_ago).unwrap();
        }
    }
}

#[test]
fn processes_that_write_at_once_lose_nothing() {
    if told(0).is_some() {
        return;
    }
    let seconds: u64 = std::env::var("BACKROW_SECONDS").ok().and_then(|n| n.parse().ok()).unwrap_or(4);
    let home = tempfile::tempdir().unwrap();
    let (dir, log) = (home.path().join("library"), home.path().join("log"));
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("libraries/format-1");
    let mut library = opened(&folder).library;
    // Few things, so that they meet often.
    let things = std::sync::Arc::make_mut(&mut library.instruments);
    things.retain(|id, _| SHARED.contains(&id.as_str()));
    assert_eq!(things.len(), SHARED.len());
    for thing in things.values_mut() {
        std::sync::Arc::make_mut(thing).remark = "~begin~".to_owned();
    }
    create_from(&dir, &library, &backrow_files::kinds::standard().unwrap()).unwrap();
    let mut dice = Dice(88_172_645_463_325_252);
    let mut started = PROCESSES;
    let mut running: Vec<Child> = (0..PROCESSES).map(|at| start(&dir, &format!("p{at}"), &log)).collect();
    let begun = Instant::now();
    let mut killed = 0;
    while begun.elapsed() < Duration::from_secs(seconds) {
        std::thread::sleep(Duration::from_millis(400 + dice.roll(800) as u64));
        let at = dice.roll(running.len());
        assert_eq!(running[at].try_wait().unwrap(), None, "nobody ends by itself");
        running[at].kill().unwrap();
        running[at].wait().unwrap();
        killed += 1;
        running[at] = start(&dir, &format!("p{started}"), &log);
        started += 1;
    }
    fs::write(home.path().join("end"), "").unwrap();
    for mut child in running {
        assert!(child.wait().unwrap().success());
    }
    let confirmed: BTreeSet<String> = fs::read_to_string(&log).unwrap().lines().map(str::to_owned).collect();
    // What a killed process had in its hand is told as soon as it is sure that nobody is at it any more.
    age_leftovers(&dir);
    let ended = opened(&dir);
    let bad: Vec<_> = ended
        .problems
        .iter()
        .filter(|problem| !problem.code.starts_with("unknown-") && problem.code != "two-versions")
        .filter(|problem| problem.code != "recovered")
        .collect();
    assert!(bad.is_empty(), "{bad:?}");
    let stands: BTreeSet<String> = texts(&dir).iter().flat_map(|text| words(text)).collect();
    let earlier = earlier_versions(&dir);
    let aside: BTreeSet<String> = earlier.iter().flat_map(|one| words(&one.texts(&dir).1)).collect();
    let missed: Vec<&String> = confirmed.difference(&stands).collect();
    let lost: Vec<&&String> = missed.iter().filter(|word| !aside.contains(**word)).collect();
    eprintln!(
        "{seconds} s, {PROCESSES} processes, {killed} killed: {} edits confirmed, {} of them only among the earlier versions, {} lost; \
         {} second versions at the end",
        confirmed.len(),
        missed.len() - lost.len(),
        lost.len(),
        kept_versions(&dir).len()
    );
    assert!(confirmed.len() > 20 && killed > 1, "{} edits, {killed} kills", confirmed.len());
    assert!(missed.is_empty(), "not in place: {missed:?}; lost: {lost:?}");
}
