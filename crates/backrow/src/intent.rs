//! What panels ask for: data in, intents out; one place carries them out.

use crate::actions::Action;
use crate::view::{Place, Selected, WeekTab};
use backrow_core::edit::Edit;
use backrow_core::id::{DecisionId, ProgrammeId, ServiceId, TrialId, VenueId, WorkId};
use backrow_core::sound::StrikeKey;
use backrow_core::week::LineRef;

/// Where to, when something that is not saved would be left behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// Out of the program.
    Quit,
    /// To another library.
    Open(std::path::PathBuf),
    /// To a new library in that folder.
    Begin(std::path::PathBuf),
}

/// What the collection keeps, as far as it is begun from elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// Instruments.
    Instruments,
    /// Players.
    Players,
}

/// Something to be remembered with its work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Remember {
    /// A new decision for a line.
    Decide(LineRef),
    /// A new trial for a line.
    Try(LineRef),
    /// A decision that is there.
    Change(WorkId, DecisionId),
    /// A trial that is there.
    GoOn(WorkId, TrialId),
    /// A new trial of these strikes for a line.
    TryThese(LineRef, Vec<StrikeKey>),
    /// A decision that a trial led to, on the candidate with that number.
    DecideFrom(WorkId, TrialId, Option<usize>),
    /// To listen to a trial that is there.
    Listen(WorkId, TrialId),
}

/// A candidate of a trial that is to be heard, as loud as the others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sounded {
    /// The work that remembers the trial.
    pub work: WorkId,
    /// The trial.
    pub trial: TrialId,
    /// Which candidate, from 0.
    pub candidate: usize,
}

/// An instrument that a line is to be played on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlayOn {
    /// The line.
    pub line: LineRef,
    /// The instrument.
    pub instrument: backrow_core::id::InstrumentId,
    /// Whether it comes beside what the line has, and not in its place.
    pub beside: bool,
}

/// Something a panel asks for.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "a handful a frame at the most")]
pub enum Intent {
    /// A change of the library.
    Edit(Edit),
    /// An action, as by its key.
    Do(Action),
    /// To another place.
    Go(Place),
    /// To the collection, with a form for a new one of these.
    AddTo(Kept),
    /// To the collection, with the form of that thing.
    Record(Selected),
    /// To Week, with the form of that service.
    ServiceForm(ServiceId),
    /// To a venue’s drawing.
    ShowVenue(VenueId),
    /// To Week, with that tab of it.
    WeekTab(WeekTab),
    /// To a place, and the key that does it there.
    Press(Place, egui::KeyboardShortcut),
    /// Another tab of the collection.
    CollectionTab(crate::view::CollectionTab),
    /// Something else in the right panel.
    Select(Option<Selected>),
    /// A line to turn to: its work, movement, the compass and the panel.
    Line(LineRef),
    /// To play a line on an instrument; one of another kind is asked about first.
    PlayOn(PlayOn),
    /// To hear a candidate of a trial.
    HearCandidate(Sounded),
    /// To Sounds, with that line current and a search for what its words say.
    SearchFor(LineRef),
    /// To Sounds, with the strikes of a trial's candidates laid over each other.
    LayOver(WorkId, TrialId),
    /// To enter a decision or a trial.
    Remember(Remember),
    /// Another programme.
    Programme(ProgrammeId),
    /// Another work.
    Work(WorkId),
    /// Words for the bottom line.
    Say(String),
    /// Words about something that failed.
    Fail(String),
    /// Files to read or open: a score, a library's folder.
    Open(std::path::PathBuf),
    /// To put that text in the place of a file with two versions.
    Decide(Box<backrow_files::library::Clash>, String),
    /// To bring an earlier version of a file back.
    BringBack(backrow_files::library::Earlier),
    /// To save a copy of the library in that folder.
    SaveCopy(std::path::PathBuf),
    /// To unpack a library that is one file into a folder, and open it.
    Unpack(std::path::PathBuf, std::path::PathBuf),
    /// To go on with what would leave what is not saved behind.
    Leave(Leaving),
    /// Another setting of the user's own.
    Set(Box<crate::settings::Settings>),
    /// To begin a library with nothing in it in that folder.
    NewLibrary(std::path::PathBuf),
    /// To save the tables there: a workbook, or a folder.
    SaveTables(std::path::PathBuf),
    /// Open a file or a folder with what the desktop has for it.
    Show(std::path::PathBuf),
    /// To save the services as a calendar in that file.
    SaveServices(std::path::PathBuf),
    /// To show what a table of instruments would bring in.
    ImportTable(std::path::PathBuf),
    /// To show what a calendar would bring in.
    ImportCalendar(std::path::PathBuf),
    /// To ask for a picture of an instrument.
    AskForPicture,
    /// To take a picture in.
    TakePicture(std::path::PathBuf),
    /// To look at a sheet before it is printed.
    ShowSheet(crate::sheets::Sheet),
    /// To ask for a folder for the sheets.
    AskForSheets,
    /// Something to be heard or recorded.
    Sound(crate::sound::Wish),
    /// To put the programme's sheets on paper in that folder.
    Print(std::path::PathBuf),
}
