//! Sounds: every strike that was recorded on a map of two measures, searched by likeness, by "but brighter", by the part's words;
//! the chosen ones laid over each other, tried, and decided on.

mod axes;
mod beside;
mod dots;
mod filters;
pub(crate) mod known;
mod like;
mod look;
mod map;
mod path;
mod pictures;
mod search;
mod unnamed;

use crate::background::{Remembered, Stop};
use crate::frame::playing_on;
use crate::intent::{Intent, PlayOn, Remember};
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::trouble;
use crate::theme::{Tokens, sans};
use crate::view::View;
use crate::words::many;
use backrow_core::id::ProgrammeId;
use backrow_core::sound::{Answers, Measure, Quality, StrikeKey};
use beside::Drawn;
use dots::Dot;
use egui::{Align, Frame, Key, Layout, Margin, Modifiers, RichText, Ui};
use filters::Filters;
use known::Sounds;
pub use known::{Measured, Unread};
use std::sync::Arc;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// So many answers are listed and ringed on the map at first.
const SHOWN_ANSWERS: usize = 12;
/// So many more when the rest is asked for.
const MORE_ANSWERS: usize = 24;
/// So many strikes can be laid over each other.
pub const MOST_LAID: usize = 4;

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Arrows", "To the nearest strike that way"),
    ("Enter", "Play the chosen strike"),
    ("L", "Search for what is like the chosen strike"),
    ("W", "Search in words"),
    ("Shift and a click", "Lay a strike over the others"),
    ("Space", "Keep the chosen strike: the next is laid over it"),
    ("Shift and an arrow", "Keep it and go on"),
    ("Esc", "Clear the search, then what is chosen"),
];

/// A strike that is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Laid {
    key: StrikeKey,
}

/// A, B, C ...
fn letter(nth: usize) -> String {
    ["A", "B", "C", "D"].get(nth).map_or_else(|| (nth + 1).to_string(), |letter| (*letter).to_owned())
}

/// What the dots follow from.
type DotsKey = (u64, (Measure, Measure), Filters, Option<ProgrammeId>);
/// What the answers follow from.
type AskedKey =
    (u64, (Option<StrikeKey>, u64), Vec<Quality>, (String, usize), (Filters, Option<ProgrammeId>));

/// What the place looks at.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
pub struct State {
    x: Measure,
    y: Measure,
    filters: Filters,
    /// Bars are joined to a path.
    path: bool,
    like: Option<StrikeKey>,
    but: Vec<Quality>,
    words: String,
    laid: Vec<Laid>,
    /// So many of them stay laid while the keyboard goes on.
    kept: usize,
    /// So many answers are listed.
    most: usize,
    drawn: Drawn,
    pictures: pictures::Pictures,
    /// A sound made just now, or of a file, that is searched for.
    made: like::Made,
    /// What the pointer rests on is played softly.
    plays_under: bool,
    under: map::Under,
    unnamed: unnamed::Memory,
    /// The keyboard goes to the words next.
    to_words: bool,
    /// The axes are fitted to what is shown next.
    fits: bool,
    has_map_keys: bool,
    measured: (u64, Arc<Measured>),
    unread: Vec<Unread>,
    sounds: Remembered<(u64, u64), Sounds>,
    dots: Memo<DotsKey, Vec<Dot>>,
    found: Memo<AskedKey, Answers>,
}

impl Default for State {
    fn default() -> Self {
        Self {
            x: Measure::Brightness,
            y: Measure::Ring,
            filters: Filters::default(),
            path: true,
            like: None,
            but: Vec::new(),
            words: String::new(),
            laid: Vec::new(),
            kept: 0,
            most: SHOWN_ANSWERS,
            drawn: Drawn::default(),
            pictures: pictures::Pictures::default(),
            made: like::Made::default(),
            plays_under: false,
            under: map::Under::default(),
            unnamed: unnamed::Memory::default(),
            to_words: false,
            fits: false,
            has_map_keys: false,
            measured: (0, Arc::default()),
            unread: Vec::new(),
            sounds: Remembered::default(),
            dots: Memo::default(),
            found: Memo::default(),
        }
    }
}

impl State {
    /// Takes the measures as they are now; those of before stay while others are worked out.
    pub fn measured(&mut self, measured: &Measured, unread: &[Unread], is_current: bool) {
        if !is_current && !self.measured.1.is_empty() {
            return;
        }
        let (version, held) = &self.measured;
        let same = held.len() == measured.len()
            && held.iter().zip(measured).all(|((a, x), (b, y))| a == b && Arc::ptr_eq(x, y));
        if !same || self.unread != unread {
            self.measured = (version + 1, Arc::new(measured.clone()));
            self.unread = unread.to_vec();
        }
    }

    /// Whether the next take that ends is what is searched for.
    pub fn owns_the_take(&self) -> bool {
        self.made.owns_the_take()
    }

    /// Whether it listens at the microphone.
    pub const fn is_listening(&self) -> bool {
        self.made.is_listening()
    }

    /// Somebody looks elsewhere: what comes from the microphone is not wanted.
    pub fn leave_the_microphone(&mut self) {
        self.made.leave();
    }

    /// The microphone is opened for something else.
    pub fn give_up_the_microphone(&mut self) {
        self.made.give_up();
    }

    /// Searches for what was just made at the microphone.
    pub fn take(&mut self, ctx: &egui::Context, recorded: Arc<backrow_sound::capture::Recorded>) {
        self.made.take(ctx, recorded);
    }

    /// Chooses a strike, alone or beside the others; one that is chosen already is let go when others stay.
    fn lay(&mut self, laid: Laid, adds: bool) {
        self.kept = 0;
        if !adds {
            self.laid = vec![laid];
        } else if self.laid.contains(&laid) {
            self.laid.retain(|other| *other != laid);
        } else {
            self.laid.push(laid);
            if self.laid.len() > MOST_LAID {
                self.laid.remove(0);
            }
        }
    }

    /// What is laid now stays, and the keyboard goes on with another.
    fn keep(&mut self) {
        // The oldest makes room for the next.
        if self.laid.len() == MOST_LAID {
            self.laid.remove(0);
        }
        self.kept = self.laid.len();
    }

    /// Searches in these words, and for nothing else.
    pub fn search_in_words(&mut self, words: String) {
        self.clear();
        self.words = words;
    }

    /// Lays these strikes over each other, as many as can be.
    pub fn lay_over(&mut self, strikes: Vec<StrikeKey>) {
        self.laid = strikes.into_iter().take(MOST_LAID).map(|key| Laid { key }).collect();
    }

    /// Searches for what is like a strike.
    fn like_strike(&mut self, key: StrikeKey) {
        self.made.forget();
        self.most = SHOWN_ANSWERS;
        self.like = Some(key);
    }

    /// Whether anything is searched for.
    fn asks(&self) -> bool {
        self.like.is_some()
            || self.made.heard().is_some()
            || !self.but.is_empty()
            || !self.words.trim().is_empty()
    }

    fn clear(&mut self) {
        (self.like, self.but, self.words) = (None, Vec::new(), String::new());
        self.most = SHOWN_ANSWERS;
        self.made.forget();
    }

    /// Closes the innermost: the search, then what is chosen.
    pub fn cancel(&mut self) -> Option<&'static str> {
        if self.asks() {
            self.clear();
            return Some("The search is cleared.");
        }
        let had = !self.laid.is_empty();
        self.laid.clear();
        self.kept = 0;
        had.then_some("Nothing is selected any more.")
    }
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let library = scene.library;
    let key = (scene.revision, view.own.measured.0);
    let mut memory = std::mem::take(&mut view.own.sounds);
    let known = memory.get(ui.ctx(), "sounds", &key, || {
        let (copy, measured) = (library.clone(), Arc::clone(&view.own.measured.1));
        let unread = view.own.unread.clone();
        move |_: &Stop| known::of(&copy, &measured, &unread)
    });
    Frame::new().inner_margin(Margin { left: 16, right: 12, top: 0, bottom: 8 }).show(ui, |ui| {
        match known.value {
            Some(sounds) if !sounds.heard.all().is_empty() => {
                let version =
                    if known.is_current { key.0.wrapping_mul(31).wrapping_add(key.1) } else { u64::MAX };
                full(ui, scene, view, (sounds, version));
            }
            Some(sounds) => {
                empty(ui, scene, sounds.waiting);
                for unread in &sounds.unread {
                    trouble(ui, &scene.tokens, unread);
                }
                unnamed::ui(ui, scene, view);
            }
            None => head(ui, &scene.tokens, "being worked out …", |_| ()),
        }
    });
    view.own.sounds = memory;
}

/// The common heading: what is to be said of the place gives way to its choices.
fn head(ui: &mut Ui, tokens: &Tokens, beside: &str, choices: impl FnOnce(&mut Ui)) {
    page::head(ui, tokens, "Sounds", |ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            choices(ui);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let words = RichText::new(beside).font(sans(size::NOTE)).color(tokens.ink2);
                ui.add(egui::Label::new(words).truncate());
            });
        });
    });
}

/// Takes whose sound cannot be read, behind a button, where there are any.
fn not_read(ui: &mut Ui, tokens: &Tokens, sounds: &Sounds) {
    if sounds.unread.is_empty() {
        return;
    }
    let button = ui.menu_button(format!("Not read: {}", sounds.unread.len()), |ui| {
        ui.set_max_width(460.0);
        egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
            for words in &sounds.unread {
                trouble(ui, tokens, words);
            }
        });
        let words =
            "Put the recording back beside its record, or remove the take from the instrument’s panel.";
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
    });
    button.response.on_hover_text("Takes whose sound cannot be read");
}

/// What to do first.
fn empty(ui: &mut Ui, scene: &mut Scene<'_>, waiting: usize) {
    head(ui, &scene.tokens, "", |_| ());
    if scene.library.instruments.is_empty() {
        let what_for = "Here every recorded strike is placed by how it sounds, to be searched and compared.";
        return page::empty(ui, scene, what_for);
    }
    let words = if waiting > 0 {
        let are = if waiting == 1 { "is" } else { "are" };
        format!("{} {are} being measured.", many(waiting, "strike"))
    } else if !scene.library.takes.is_empty() {
        "No strike could be measured.".to_owned()
    } else {
        "No instrument has been recorded yet. Choose one in Collection and record a take of it, or drop sound files on the \
         window. Then every strike stands here by how it sounds, and can be searched for and compared."
            .to_owned()
    };
    ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink2)).wrap());
}

fn full(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, (sounds, version): (&Sounds, u64)) {
    let library = scene.library;
    let programme = view.programme.clone();
    let dots_key = (version, (view.own.x, view.own.y), view.own.filters.clone(), programme.clone());
    let mut dots_memo = std::mem::take(&mut view.own.dots);
    let own = &view.own;
    let dots = dots_memo.get(dots_key, || {
        let left = own.filters.left(library, programme.as_ref());
        place(sounds, (own.x, own.y), |known| left.holds(known))
    });
    let like = (view.own.like.clone(), view.own.made.number());
    let within = (view.own.filters.clone(), programme.clone());
    let asked_key = (version, like, view.own.but.clone(), (view.own.words.clone(), view.own.most), within);
    let mut found_memo = std::mem::take(&mut view.own.found);
    let own = &view.own;
    let found = found_memo.get(asked_key, || {
        if !own.asks() {
            return Answers::default();
        }
        // The filters come first: the best answers of all may lie outside them. What has no place on the map is an answer too.
        let left = own.filters.left(library, programme.as_ref());
        let asked = search::asked(own, sounds);
        sounds
            .heard
            .ask_among(&asked, own.most, &|known| left.holds(known), &|id| left.instruments.contains(id))
    });
    keys(ui, view);
    let instruments: std::collections::BTreeSet<_> = dots
        .iter()
        .filter_map(|dot| sounds.heard.all().get(dot.at))
        .map(|known| &known.key.instrument)
        .collect();
    let waiting =
        if sounds.waiting > 0 { format!("; {} being measured", sounds.waiting) } else { String::new() };
    let left = view.own.filters.left(library, programme.as_ref());
    let passing = sounds.heard.all().iter().filter(|known| left.holds(known)).count();
    let beside = format!("{}{waiting}", counted(dots.len(), instruments.len(), passing));
    let tokens = scene.tokens;
    head(ui, &tokens, &beside, |ui| {
        unnamed::ui(ui, scene, view);
        not_read(ui, &tokens, sounds);
        if ui.button("Fit").on_hover_text("Shows every strike again").clicked() {
            view.own.fits = true;
        }
        let up = axes::choice(ui, "Up", &mut view.own.y);
        let across = axes::choice(ui, "Across", &mut view.own.x);
        view.own.fits |= up || across;
    });
    filters::ui(ui, scene, view);
    search::question(ui, scene, view, sounds);
    like::ui(ui, scene, view);
    let whole = ui.available_size();
    let below = match view.own.drawn {
        _ if view.own.laid.is_empty() => 0.0,
        // A picture of frequency over time wants more height than lines do.
        Drawn::Wave | Drawn::Spectrogram => 280.0,
        Drawn::Partials | Drawn::Decay | Drawn::Figures => 210.0,
    };
    let above = (whole.y - below - space::XL).max(160.0);
    ui.horizontal_top(|ui| {
        let list = if view.own.asks() { 264.0 } else { 0.0 };
        ui.allocate_ui(egui::vec2(whole.x - list, above), |ui| {
            ui.vertical(|ui| {
                mapped(ui, scene, view, (sounds, dots, found), above - 24.0);
            });
        });
        if list > 0.0 {
            egui::ScrollArea::vertical().id_salt("answers").max_height(above).show(ui, |ui| {
                ui.vertical(|ui| {
                    ui.set_width(list - 20.0);
                    search::answers(ui, scene, view, (sounds, found));
                });
            });
        }
    });
    if !view.own.laid.is_empty() {
        chosen(ui, scene, view);
        beside::ui(ui, scene, view, sounds, below - 64.0);
    }
    view.own.dots = dots_memo;
    view.own.found = found_memo;
}

/// The map with what is found and the path on it, and its legend.
fn mapped(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (sounds, dots, found): (&Sounds, &[Dot], &Answers),
    height: f32,
) {
    let found: Vec<usize> = found.found.iter().map(|answer| answer.at).collect();
    let chosen = view.own.laid.last().filter(|_| view.own.path);
    let path = chosen.and_then(|laid| path::of(scene.library, sounds, dots, &laid.key));
    let shown = map::Shown { sounds, dots, found: &found, path: path.as_ref() };
    map::ui(ui, scene, view, &shown, height);
    map::legend(ui, scene, dots, path.as_ref());
}

/// "366 strikes of 84 instruments; 120 without this measure": those that pass the filters and have no place on an axis are told too.
fn counted(shown: usize, instruments: usize, passing: usize) -> String {
    let words = format!("{} of {}", many(shown, "strike"), many(instruments, "instrument"));
    match passing.saturating_sub(shown) {
        0 => words,
        without => format!("{words}; {without} without this measure"),
    }
}

/// Where every strike stands that has both measures.
fn place(
    sounds: &Sounds,
    (x, y): (Measure, Measure),
    is_left: impl Fn(&backrow_core::sound::Known) -> bool,
) -> Vec<Dot> {
    let rows = sounds.heard.all().iter().zip(&sounds.facts).enumerate();
    rows.filter(|(_, (known, _))| is_left(known))
        .filter_map(|(at, (known, fact))| {
            Some(Dot {
                at,
                x: axes::place(x, &known.measures)?,
                y: axes::place(y, &known.measures)?,
                material: fact.material,
                hollow: known.by_model,
            })
        })
        .collect()
}

fn keys(ui: &Ui, view: &mut Here<'_>) {
    if !view.keys_are_taken(ui.ctx()) && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::W)) {
        view.own.to_words = true;
        ui.input_mut(|i| {
            i.events
                .retain(|event| !matches!(event, egui::Event::Text(text) if text.eq_ignore_ascii_case("w")));
        });
    }
}

/// What can be done with what is chosen.
fn chosen(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let library = scene.library;
    ui.horizontal_wrapped(|ui| {
        let last = view.own.laid.last().map(|laid| laid.key.clone());
        if let Some(key) = &last {
            if ui.button("Play").on_hover_text("Enter").clicked() {
                scene.ask(Intent::Sound(Wish::Strike(key.clone())));
            }
            if ui.button("Like this").on_hover_text("L").clicked() {
                view.own.like_strike(key.clone());
            }
        }
        let Some(at) = view.line.clone() else {
            ui.label(RichText::new("Choose a line to assign or try these for it.").color(scene.tokens.ink2));
            return;
        };
        let Some((_, line)) = library.line(&at) else { return };
        let name = library.line_name(line);
        if let (Some(key), Some(programme)) = (&last, view.programme.clone()) {
            let words = format!("Assign to {name}");
            let on = PlayOn { line: at.clone(), instrument: key.instrument.clone(), beside: false };
            let does = playing_on::words(library, &programme, &on);
            if ui.button(words).on_hover_text(does).clicked() {
                scene.ask(Intent::PlayOn(on));
            }
        }
        if ui.button(format!("Try for {name} …")).clicked() {
            let strikes = view.own.laid.iter().map(|laid| laid.key.clone()).collect();
            scene.ask(Intent::Remember(Remember::TryThese(at, strikes)));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::all(486, 84, 486, "486 strikes of 84 instruments")]
    #[case::some(366, 84, 486, "366 strikes of 84 instruments; 120 without this measure")]
    #[case::one(1, 1, 1, "1 strike of 1 instrument")]
    fn what_has_no_place_on_the_map_is_counted(
        #[case] shown: usize,
        #[case] instruments: usize,
        #[case] passing: usize,
        #[case] words: &str,
    ) {
        assert_eq!(counted(shown, instruments, passing), words);
    }
}
