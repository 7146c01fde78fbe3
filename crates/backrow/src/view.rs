//! What the window looks at: never saved in the library, never a second truth about it.

use backrow_core::id::{BeaterId, InstrumentId, MovementId, PlayerId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{LineRef, Programme};

/// One row a place, in the order of the rail: what it is for, and its word there.
macro_rules! places {
    ($($(#[$note:meta])* $place:ident, $word:literal;)*) => {
        /// A place to work.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
        pub enum Place {
            $($(#[$note])* $place,)*
        }

        impl Place {
            /// All, in the order of the rail.
            pub const ALL: &[Self] = &[$(Self::$place,)*];

            /// The word on the rail.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$place => $word,)*
                }
            }
        }
    };
}

places! {
    /// Players and the lines of a movement in their time.
    #[default]
    Section, "Section";
    /// Every instrument's bars against the keyboard.
    Compass, "Compass";
    /// The venue to scale.
    Floor, "Floor";
    /// One instrument, large, from the player's side.
    BarView, "Bar view";
    /// Services in order of time, programmes and who is in.
    Week, "Week";
    /// Every programme: players needed, extras, hires, collisions.
    Season, "Season";
    /// The works, and reading scores into them.
    Works, "Works";
    /// Instruments, beaters, players and rooms.
    Collection, "Collection";
    /// Every strike by how it sounds: searched, compared, decided on.
    Sounds, "Sounds";
}

/// What Collection lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the tabs' own words")]
pub enum CollectionTab {
    #[default]
    Instruments,
    Beaters,
    Players,
    Places,
    Tuning,
    Bells,
    Care,
    Orchestra,
}

impl CollectionTab {
    /// All, in their order.
    pub const ALL: [Self; 8] = [
        Self::Instruments,
        Self::Beaters,
        Self::Players,
        Self::Places,
        Self::Tuning,
        Self::Bells,
        Self::Care,
        Self::Orchestra,
    ];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Instruments => "Instruments",
            Self::Beaters => "Beaters",
            Self::Players => "Players",
            Self::Places => "Stores",
            Self::Tuning => "Tuning",
            Self::Bells => "Bells",
            Self::Care => "Care",
            Self::Orchestra => "Orchestra",
        }
    }
}

/// What is shown of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the tabs' own words")]
pub enum WeekTab {
    #[default]
    Services,
    Programme,
    Hires,
}

impl WeekTab {
    /// All, in their order.
    pub const ALL: [Self; 3] = [Self::Services, Self::Programme, Self::Hires];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Services => "Services",
            Self::Programme => "Programme and works",
            Self::Hires => "Hires and loans",
        }
    }
}

/// What the right panel shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Selected {
    /// An instrument.
    Instrument(InstrumentId),
    /// A beater.
    Beater(BeaterId),
    /// A player.
    Player(PlayerId),
    /// A line.
    Line(LineRef),
}

/// Something in hand: dragged with the pointer, or picked up with the keyboard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Carried {
    /// An instrument, to a line or onto the floor.
    Instrument(InstrumentId),
    /// A beater, to a line.
    Beater(BeaterId),
    /// A player, to a line.
    Player(PlayerId),
    /// A line, to a player or over the compass.
    Line(LineRef),
}

/// What lies over the places, the innermost first: Esc closes the first that is open, and while one is, no key reaches the
/// place beneath.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// A question for a path.
    Question,
    /// An instrument of another kind than the line asks for.
    OtherKind,
    /// The words of the first start.
    Welcome,
    /// What a file would bring in.
    Importing,
    /// What would leave behind what is not saved.
    Leaving,
    /// Earlier versions of the files.
    Earlier,
    /// Two versions of a file.
    Versions,
    /// Sheets looked at before they are printed.
    Sheets,
    /// A take that is recorded.
    Recording,
    /// Instruments and beaters proposed for every line.
    Proposing,
    /// A decision or a trial that is entered.
    Remembering,
    /// The guide.
    Guide,
    /// A trial that is listened to.
    Comparing,
    /// The keyboard map.
    KeyMap,
    /// The list of the field that finds.
    Finder,
}

impl Over {
    /// Whether it fills the window, so that keys for the whole program would change what is hidden.
    pub const fn hides_the_place(self) -> bool {
        !matches!(self, Self::Finder)
    }
}

/// What all places share.
#[derive(Default)]
pub struct View {
    /// Where we are.
    pub place: Place,
    /// The current programme.
    pub programme: Option<ProgrammeId>,
    /// The current work; one of the programme's, or any when there is no programme.
    pub work: Option<WorkId>,
    /// The current movement.
    pub movement: Option<MovementId>,
    /// The line that is laid over the compass and stepped through in the bar view.
    pub line: Option<LineRef>,
    /// What the right panel shows.
    pub selected: Option<Selected>,
    /// What the keyboard has picked up.
    pub in_hand: Option<Carried>,
    /// The bottom line's words.
    pub said: String,
    /// The words of the last thing that failed; while they are the bottom line's, they look like it.
    pub trouble: String,
    /// Titles and remarks while they are typed.
    pub lines: crate::drafts::lines::Lines,
    /// Tuning plans of the current lines.
    pub tuning: crate::tuning::Held,
    /// Whether the first steps are shown in the right panel.
    pub first_steps: bool,
    /// Whether sheets of this library were ever printed.
    pub has_printed: bool,
    /// What was printed last, to be opened: a file, or the folder of several.
    pub printed_to: Option<std::path::PathBuf>,
    /// What goes on beside the frame and can be cancelled, in words with how far it has come.
    pub under_way: Option<String>,
    /// What lies over the places and has the keys.
    pub over: Option<Over>,
}

impl View {
    /// Mends what no longer exists after the library has changed, and chooses a first programme, work and movement.
    pub fn settle(&mut self, library: &Library) {
        self.programme = self.programme.take().filter(|id| library.programme(id).is_some());
        if self.programme.is_none() {
            self.programme = library.programmes().next().map(|(_, programme)| programme.id.clone());
        }
        let of_programme = self.programme.as_ref().and_then(|id| library.programme(id));
        let known = |id: &WorkId| library.works.contains_key(id);
        self.work = self.work.take().filter(known);
        if self.work.is_none() {
            let first =
                of_programme.and_then(|programme| programme.works.iter().find(|id| known(id)).cloned());
            self.work = first.or_else(|| library.works.keys().next().cloned());
        }
        let work = self.work.as_ref().and_then(|id| library.works.get(id));
        self.movement =
            self.movement.take().filter(|id| work.is_some_and(|work| work.movement(id).is_some()));
        if self.movement.is_none() {
            let busiest =
                work.and_then(|work| work.movements.iter().find(|m| work.lines_of(&m.id).next().is_some()));
            self.movement = busiest.map(|movement| movement.id.clone());
        }
        self.line = self.line.take().filter(|line| library.line(line).is_some());
        self.selected = self.selected.take().filter(|selected| match selected {
            Selected::Instrument(id) => library.instruments.contains_key(id),
            Selected::Beater(id) => library.beaters.contains_key(id),
            Selected::Player(id) => library.players.contains_key(id),
            Selected::Line(line) => library.line(line).is_some(),
        });
    }

    /// Whether the keys go elsewhere than to the place: to what lies over it, to a field, to a menu. Every place asks this
    /// and nothing else before it acts on a key.
    pub fn keys_are_taken(&self, ctx: &egui::Context) -> bool {
        self.over.is_some() || ctx.text_edit_focused() || egui::Popup::is_any_open(ctx)
    }

    /// Says that something failed.
    pub fn fails(&mut self, words: impl Into<String>) {
        self.trouble = words.into();
        self.said.clone_from(&self.trouble);
    }

    /// Whether the bottom line tells of something that failed.
    pub fn has_failed(&self) -> bool {
        !self.said.is_empty() && self.said == self.trouble
    }

    /// The current programme.
    pub fn programme_in<'a>(&self, library: &'a Library) -> Option<&'a Programme> {
        self.programme.as_ref().and_then(|id| library.programme(id))
    }

    /// Turns to a programme; the work in hand stays where the programme has it too.
    pub fn turn_to_programme(&mut self, library: &Library, id: ProgrammeId) {
        let has = |work: &WorkId| library.programme(&id).is_some_and(|one| one.works.contains(work));
        self.work = self.work.take().filter(has);
        self.leave_lines_but(has);
        self.programme = Some(id);
        self.settle(library);
    }

    /// Lets go of a line whose work is left: it would stand beside what it has nothing to do with.
    pub fn leave_lines_but(&mut self, stays: impl Fn(&WorkId) -> bool) {
        self.line = self.line.take().filter(|line| stays(&line.work));
        if matches!(&self.selected, Some(Selected::Line(line)) if !stays(&line.work)) {
            self.selected = None;
        }
    }

    /// Turns to a line: its work and movement come to hand, and it is laid over the compass and selected.
    pub fn turn_to_line(&mut self, library: &Library, at: &LineRef) {
        if let Some((work, line)) = library.line(at) {
            self.work = Some(work.id.clone());
            self.movement = Some(line.movement.clone());
            self.line = Some(at.clone());
            self.selected = Some(Selected::Line(at.clone()));
        }
    }
}

/// The shared view with one place's own state beside it.
pub struct Here<'v, S> {
    /// What all places share.
    pub shared: &'v mut View,
    /// What only this place looks at.
    pub own: &'v mut S,
}

impl<S> std::ops::Deref for Here<'_, S> {
    type Target = View;

    fn deref(&self) -> &View {
        self.shared
    }
}

impl<S> std::ops::DerefMut for Here<'_, S> {
    fn deref_mut(&mut self) -> &mut View {
        self.shared
    }
}
