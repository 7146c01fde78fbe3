//! A drive that does not exist: it fails, stops, loses power or lets somebody else write at any step that a test names.
//!
//! What a power cut leaves is modelled on what file systems promise and no more. Bytes that were flushed stay; of those that
//! were not, any beginning does. What was made, renamed or removed in a folder stays once the folder was flushed; of the rest
//! any part stays, each step whole or not at all, whatever the order they were made in.

use super::{Drive, Held, Look, Sort};
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// What goes wrong, and at which step from the beginning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) enum Fault {
    /// Nothing.
    None,
    /// The program is killed: no later step is done.
    Kill(u64),
    /// The power goes.
    PowerCut(u64),
    /// One step is refused.
    Fail(u64, ErrorKind),
    /// Every step that makes something is refused from there on.
    Full(u64),
    /// Somebody else writes a file, over the old one or into it.
    Other { at: u64, path: PathBuf, bytes: Vec<u8>, into: bool },
    /// Somebody else takes a file away.
    Taken { at: u64, path: PathBuf },
    /// Another program opens the library.
    Visit(u64),
}

/// What a drive can do with names, as in [`super::real`]: each does without the ones before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Names {
    /// Exchange two in one step, and take a free one.
    Exchanged,
    /// Give a file a second one: a free one is taken in two steps.
    Linked,
    /// Neither: a free one is claimed with an empty file, and renamed over.
    Claimed,
}

impl Names {
    pub(in super::super) const ALL: [Self; 3] = [Self::Exchanged, Self::Linked, Self::Claimed];
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Node {
    Folder,
    File(usize),
}

#[derive(Clone, Debug)]
struct Inode {
    bytes: Vec<u8>,
    /// How many of them no power cut takes.
    flushed: usize,
    modified: SystemTime,
}

type Tree = BTreeMap<PathBuf, Node>;

/// A step in a folder, by what it leads to, so that each can be lost by itself.
#[derive(Clone, Debug)]
enum Naming {
    Link(PathBuf, Node),
    Unlink(PathBuf, Node),
    Rename(PathBuf, PathBuf, Node),
    Exchange(PathBuf, PathBuf, Node, Node),
}

impl Naming {
    fn touches(&self, folder: &Path) -> bool {
        let within = |path: &Path| path.parent() == Some(folder);
        match self {
            Self::Link(path, _) | Self::Unlink(path, _) => within(path),
            Self::Rename(one, other, _) | Self::Exchange(one, other, ..) => within(one) || within(other),
        }
    }

    fn apply(&self, tree: &mut Tree) {
        let unlink = |tree: &mut Tree, path: &Path, node: &Node| {
            if tree.get(path) == Some(node) {
                tree.remove(path);
            }
        };
        match self {
            Self::Link(path, node) => {
                tree.insert(path.clone(), node.clone());
            }
            Self::Unlink(path, node) => unlink(tree, path, node),
            Self::Rename(from, to, node) => {
                unlink(tree, from, node);
                tree.insert(to.clone(), node.clone());
            }
            Self::Exchange(one, other, was_one, was_other) => {
                tree.insert(one.clone(), was_other.clone());
                tree.insert(other.clone(), was_one.clone());
            }
        }
    }
}

#[derive(Clone, Debug)]
struct State {
    live: Tree,
    platter: Tree,
    pending: Vec<Naming>,
    inodes: Vec<Inode>,
    steps: u64,
    fault: Fault,
    stopped: bool,
    names: Names,
    /// Whether the drive can tell who holds a file.
    locks: bool,
    /// The files that are held, by the numbers of their holds.
    held: BTreeMap<usize, u64>,
    holds: u64,
    clock: SystemTime,
    dice: u64,
}

/// The drive.
#[derive(Debug)]
pub(in super::super) struct Faulty(Arc<Mutex<State>>);

/// A file that is held: until it is dropped, or the machine starts again.
#[derive(Debug)]
struct Hold(Arc<Mutex<State>>, usize, u64);

impl Drop for Hold {
    fn drop(&mut self) {
        if let Ok(mut state) = self.0.lock()
            && state.held.get(&self.1) == Some(&self.2)
        {
            state.held.remove(&self.1);
        }
    }
}

impl State {
    /// A number that looks random (xorshift, Marsaglia 2003).
    fn roll(&mut self, below: usize) -> usize {
        self.dice ^= self.dice << 13;
        self.dice ^= self.dice >> 7;
        self.dice ^= self.dice << 17;
        usize::try_from(self.dice % (below.max(1) as u64)).unwrap()
    }

    fn tick(&mut self) -> SystemTime {
        self.clock += Duration::from_micros(10);
        self.clock
    }

    /// One step: what is to go wrong here goes wrong.
    fn step(&mut self, makes: bool) -> io::Result<()> {
        let at = self.steps;
        self.steps += 1;
        if self.stopped {
            return Err(io::Error::other("the machine has stopped"));
        }
        match self.fault.clone() {
            Fault::Kill(when) if when == at => self.stopped = true,
            Fault::PowerCut(when) if when == at => {
                self.stopped = true;
                self.cut();
            }
            Fault::Fail(when, kind) if when == at => return Err(kind.into()),
            Fault::Full(when) if when <= at && makes => return Err(ErrorKind::StorageFull.into()),
            Fault::Other { at: when, path, bytes, into } if when == at => self.other(&path, &bytes, into),
            Fault::Taken { at: when, path } if when == at => {
                self.live.remove(&path);
                self.platter.remove(&path);
            }
            _ => {}
        }
        if self.stopped { Err(io::Error::other("the machine has stopped")) } else { Ok(()) }
    }

    fn other(&mut self, path: &Path, bytes: &[u8], into: bool) {
        let modified = self.tick();
        let new = Inode { bytes: bytes.to_vec(), flushed: bytes.len(), modified };
        match self.live.get(path) {
            Some(Node::File(at)) if into => self.inodes[*at] = new,
            _ => {
                self.inodes.push(new);
                let node = Node::File(self.inodes.len() - 1);
                self.live.insert(path.to_owned(), node.clone());
                self.platter.insert(path.to_owned(), node);
            }
        }
    }

    /// What is on the platter, with any part of what was not yet flushed.
    fn cut(&mut self) {
        for naming in std::mem::take(&mut self.pending) {
            if self.roll(2) == 0 {
                naming.apply(&mut self.platter);
            }
        }
        for at in 0..self.inodes.len() {
            let (flushed, whole) = (self.inodes[at].flushed, self.inodes[at].bytes.len());
            let left = flushed + self.roll(whole - flushed + 1);
            self.inodes[at].bytes.truncate(left);
        }
        self.live = self.platter.clone();
    }

    fn name(&mut self, naming: Naming) {
        naming.apply(&mut self.live);
        self.pending.push(naming);
    }

    fn node(&self, path: &Path) -> io::Result<Node> {
        self.live.get(path).cloned().ok_or_else(|| ErrorKind::NotFound.into())
    }

    fn folder_of(&self, path: &Path) -> io::Result<()> {
        match path.parent().map(|folder| self.node(folder)) {
            Some(Ok(Node::Folder)) => Ok(()),
            Some(Ok(Node::File(_))) => Err(ErrorKind::NotADirectory.into()),
            _ => Err(ErrorKind::NotFound.into()),
        }
    }

    fn look(&self, path: &Path) -> io::Result<Look> {
        Ok(match self.node(path)? {
            Node::Folder => Look { sort: Sort::Folder, length: 0, modified: None },
            Node::File(at) => {
                let inode = &self.inodes[at];
                Look { sort: Sort::File, length: inode.bytes.len() as u64, modified: Some(inode.modified) }
            }
        })
    }
}

impl Faulty {
    /// An empty drive with one folder.
    pub(in super::super) fn new(folder: &Path) -> Self {
        let tree = Tree::from([(folder.to_owned(), Node::Folder)]);
        Self(Arc::new(Mutex::new(State {
            live: tree.clone(),
            platter: tree,
            pending: Vec::new(),
            inodes: Vec::new(),
            steps: 0,
            fault: Fault::None,
            stopped: false,
            names: Names::Exchanged,
            locks: true,
            held: BTreeMap::new(),
            holds: 0,
            clock: UNIX_EPOCH + Duration::from_hours(500_000),
            dice: 88_172_645_463_325_252,
        })))
    }

    /// A copy as it stands, all of it flushed and none of it held, with its steps counted anew, and what is to go wrong.
    pub(in super::super) fn with(&self, fault: Fault, seed: u64) -> Self {
        let mut state = self.state().clone();
        for inode in &mut state.inodes {
            inode.flushed = inode.bytes.len();
        }
        state.platter = state.live.clone();
        state.pending.clear();
        state.held.clear();
        (state.steps, state.fault, state.stopped) = (0, fault, false);
        state.dice = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        Self(Arc::new(Mutex::new(state)))
    }

    /// The same with fewer ways to name files, or without any to tell who holds one.
    pub(in super::super) fn able(self, names: Names, locks: bool) -> Self {
        {
            let mut state = self.state();
            (state.names, state.locks) = (names, locks);
        }
        self
    }

    /// The same drive as another program sees it: what goes wrong goes wrong for whichever comes to the step.
    pub(in super::super) fn shared(&self) -> Self {
        Self(Arc::clone(&self.0))
    }

    /// Whether another program is to open the library now; it is told once.
    fn visit(&self) {
        let is_now = {
            let mut state = self.state();
            let is_now = matches!(state.fault, Fault::Visit(at) if at <= state.steps);
            if is_now {
                state.fault = Fault::None;
            }
            is_now
        };
        if is_now {
            let visitor: Arc<dyn Drive> = Arc::new(self.shared());
            let folder = self.state().live.keys().next().cloned().unwrap();
            super::super::open::open_on(&visitor, &folder, &Arc::default());
        }
    }

    /// The machine an hour later, running again.
    pub(in super::super) fn later(&self) -> Self {
        let again = self.with(Fault::None, 1);
        again.state().clock += Duration::from_hours(1);
        again
    }

    /// How many steps were made.
    pub(in super::super) fn steps(&self) -> u64 {
        self.state().steps
    }

    /// Every file with its bytes.
    pub(in super::super) fn all(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let state = self.state();
        let file = |(path, node): (&PathBuf, &Node)| match node {
            Node::Folder => None,
            Node::File(at) => Some((path.clone(), state.inodes[*at].bytes.clone())),
        };
        state.live.iter().filter_map(file).collect()
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap()
    }
}

impl Drive for Faulty {
    fn look(&self, path: &Path) -> io::Result<Look> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        state.look(path)
    }

    fn look_at_name(&self, path: &Path) -> io::Result<Look> {
        self.look(path)
    }

    fn real(&self, path: &Path) -> PathBuf {
        path.to_owned()
    }

    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        match state.node(path)? {
            Node::Folder => Err(ErrorKind::IsADirectory.into()),
            Node::File(at) if state.inodes[at].bytes.len() as u64 > most => {
                Err(ErrorKind::FileTooLarge.into())
            }
            Node::File(at) => Ok(state.inodes[at].bytes.clone()),
        }
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<io::Result<OsString>>> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        if state.node(folder)? != Node::Folder {
            return Err(ErrorKind::NotADirectory.into());
        }
        let within = state.live.keys().filter(|path| path.parent() == Some(folder));
        Ok(within.filter_map(|path| path.file_name()).map(|name| Ok(name.to_owned())).collect())
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.visit();
        let mut state = self.state();
        state.step(true)?;
        state.folder_of(folder)?;
        if state.node(folder).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        state.name(Naming::Link(folder.to_owned(), Node::Folder));
        Ok(())
    }

    fn create(&self, path: &Path, bytes: &[u8], _like: Option<&Path>) -> io::Result<Look> {
        self.visit();
        let mut state = self.state();
        state.step(true)?;
        state.folder_of(path)?;
        if state.node(path).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let modified = state.tick();
        state.inodes.push(Inode { bytes: Vec::new(), flushed: 0, modified });
        let at = state.inodes.len() - 1;
        state.name(Naming::Link(path.to_owned(), Node::File(at)));
        let mut filled = || {
            // A write may stop anywhere.
            let part = state.roll(bytes.len() + 1);
            state.inodes[at].bytes = bytes[..part].to_vec();
            state.step(true)?;
            state.inodes[at].bytes = bytes.to_vec();
            state.step(true)?;
            state.inodes[at].flushed = bytes.len();
            state.look(path)
        };
        let made = filled();
        if made.is_err() && !state.stopped {
            state.name(Naming::Unlink(path.to_owned(), Node::File(at)));
        }
        made
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        state.folder_of(to)?;
        let node = state.node(from)?;
        state.name(Naming::Rename(from.to_owned(), to.to_owned(), node));
        Ok(())
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.visit();
        let (names, node) = {
            let mut state = self.state();
            state.step(true)?;
            state.folder_of(to)?;
            let node = state.node(from)?;
            if state.node(to).is_ok() {
                return Err(ErrorKind::AlreadyExists.into());
            }
            let first = match state.names {
                Names::Exchanged => Naming::Rename(from.to_owned(), to.to_owned(), node.clone()),
                Names::Linked => Naming::Link(to.to_owned(), node.clone()),
                Names::Claimed => {
                    let modified = state.tick();
                    state.inodes.push(Inode { bytes: Vec::new(), flushed: 0, modified });
                    Naming::Link(to.to_owned(), Node::File(state.inodes.len() - 1))
                }
            };
            state.name(first);
            (state.names, node)
        };
        let second = match names {
            Names::Exchanged => return Ok(()),
            Names::Linked => Naming::Unlink(from.to_owned(), node),
            Names::Claimed => Naming::Rename(from.to_owned(), to.to_owned(), node),
        };
        self.visit();
        let mut state = self.state();
        match state.step(false) {
            Ok(()) => {
                state.node(from)?;
                state.name(second);
                Ok(())
            }
            Err(why) => {
                // As the real one takes it back.
                if !state.stopped
                    && let Ok(node) = state.node(to)
                {
                    state.name(Naming::Unlink(to.to_owned(), node));
                }
                Err(why)
            }
        }
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.visit();
        let mut state = self.state();
        state.step(true)?;
        if state.names == Names::Claimed {
            return Err(ErrorKind::Unsupported.into());
        }
        state.folder_of(to)?;
        let node = state.node(from)?;
        if state.node(to).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        state.name(Naming::Link(to.to_owned(), node));
        Ok(())
    }

    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        if state.names != Names::Exchanged {
            return Err(ErrorKind::Unsupported.into());
        }
        let (was_one, was_other) = (state.node(one)?, state.node(other)?);
        state.name(Naming::Exchange(one.to_owned(), other.to_owned(), was_one, was_other));
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        match state.node(path)? {
            Node::Folder => Err(ErrorKind::IsADirectory.into()),
            node @ Node::File(_) => {
                state.name(Naming::Unlink(path.to_owned(), node));
                Ok(())
            }
        }
    }

    fn flush_folder(&self, folder: &Path) {
        self.visit();
        let mut state = self.state();
        if state.step(false).is_ok() {
            let (now, later): (Vec<_>, Vec<_>) =
                std::mem::take(&mut state.pending).into_iter().partition(|naming| naming.touches(folder));
            for naming in now {
                naming.apply(&mut state.platter);
            }
            state.pending = later;
        }
    }

    fn hold(&self, path: &Path) -> io::Result<Held> {
        self.visit();
        let mut state = self.state();
        state.step(false)?;
        let Node::File(at) = state.node(path)? else { return Err(ErrorKind::IsADirectory.into()) };
        if !state.locks {
            return Ok(Held::Unknown);
        }
        if state.held.contains_key(&at) {
            return Ok(Held::Theirs);
        }
        state.holds += 1;
        let hold = state.holds;
        state.held.insert(at, hold);
        Ok(Held::Ours(Box::new(Hold(Arc::clone(&self.0), at, hold))))
    }

    fn now(&self) -> SystemTime {
        self.state().tick()
    }
}
