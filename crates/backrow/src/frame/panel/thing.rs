//! An instrument, a player or a beater in the right panel.

use super::{fact, rule};
use crate::actions::Action;
use crate::frame::playing_on;
use crate::intent::{Intent, PlayOn};
use crate::pictures::Pictures;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::tokens::size;
use crate::theme::widgets::{caution, primary};
use crate::theme::{sans, serif};
use crate::view::{Carried, Place, Selected, View};
use crate::words::{many, owner_words, place_words};
use backrow_core::carrying::{Carrying, needs_caution};
use backrow_core::collection::{Instrument, Owner};
use backrow_core::id::{BeaterId, InstrumentId, PlayerId, listed};
use backrow_core::library::Library;
use egui::{RichText, Ui};

fn title(ui: &mut Ui, scene: &Scene<'_>, words: &str, beneath: &str) {
    ui.add(egui::Label::new(RichText::new(words).font(serif(size::HEADING)).color(scene.tokens.ink)).wrap());
    ui.add(egui::Label::new(RichText::new(beneath).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
    rule(ui, scene);
}

/// An instrument.
pub fn instrument(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, id: &InstrumentId) {
    let library = scene.library;
    let Some(thing) = library.instruments.get(id).cloned() else { return };
    title(ui, scene, &thing.name, &summary(library, &thing));
    scene.pictures.show(
        ui,
        &scene.tokens,
        (&thing.picture, &thing.name),
        Pictures::in_panel(ui.available_width()),
    );
    let compass = thing.compass();
    if thing.is_pitched() {
        fact(ui, scene, "Compass", format!("{}, {} bars", thing.bars(), thing.bar_count()));
        if !thing.dead().is_empty() {
            fact(ui, scene, "Dead", thing.dead().to_string());
        }
        if !compass.is_empty() {
            let a = thing
                .tuned_to
                .map_or_else(|| "not known".to_owned(), |a| format!("A {}\u{202F}Hz", a.value()));
            fact(ui, scene, "Tuned", a);
        }
    }
    let owner = owner_words(library, &thing.owner);
    let place = place_words(library, thing.place.as_ref());
    fact(ui, scene, "Owner", owner);
    fact(ui, scene, "Store", if place.is_empty() { "not stated".to_owned() } else { place });
    let (width, depth) = thing.footprint.shape.extent();
    fact(
        ui,
        scene,
        "Size",
        format!("{width:.2} × {depth:.2}\u{202F}m, {:.2}\u{202F}m high", thing.footprint.height_m),
    );
    if let Some(mass) = thing.whole_mass() {
        let how = if mass.weighed { "weighed" } else { "estimate" };
        fact(ui, scene, "Mass", format!("{}, {how}", crate::words::kilograms(mass.kg)));
        fact(ui, scene, "Carried", Carrying::of_set_up(&thing, []).to_string());
        if needs_caution(&thing) {
            caution(
                ui,
                &scene.tokens,
                "Heavy: plan people and lifting with the venue’s staff, under local rules.",
            );
        }
    }
    if !thing.character.is_empty() {
        fact(ui, scene, "Sound", thing.character.join(", "));
    }
    if thing.for_two {
        fact(ui, scene, "Players", "two at once, one at each side");
    }
    takes(ui, scene, &thing);
    for (word, text) in [("State", &thing.condition), ("Remark", &thing.remark)] {
        if !text.is_empty() {
            fact(ui, scene, word, text.as_str());
        }
    }
    ui.add_space(6.0);
    instrument_actions(ui, scene, view, &thing);
}

/// What was recorded of it.
fn takes(ui: &mut Ui, scene: &mut Scene<'_>, thing: &Instrument) {
    let library = scene.library;
    let takes: Vec<_> = library.takes_of(&thing.id).collect();
    if takes.is_empty() {
        return;
    }
    let strikes: usize = takes.iter().map(|take| take.strikes.len()).sum();
    let made = match takes.iter().filter(|take| take.by_model).count() {
        0 => "",
        all if all == takes.len() => ", by model",
        _ => ", partly by model",
    };
    let words = format!("{}, {}{made}", many(takes.len(), "take"), many(strikes, "strike"));
    let there = |take: &&&backrow_core::sound::Take| !scene.missing.contains(&take.key());
    let words = match takes.len() - takes.iter().filter(there).count() {
        0 => words,
        1 => format!("{words}; the file of one take is missing"),
        gone => format!("{words}; the files of {gone} takes are missing"),
    };
    let first = takes.iter().find(there).and_then(|take| take.keyed().next()).map(|(key, _)| key);
    fact(ui, scene, "Heard", words);
    let Some(key) = first else { return };
    if ui.small_button("Play a strike").clicked() {
        scene.ask(Intent::Sound(Wish::Strike(key)));
    }
}

fn summary(library: &Library, thing: &Instrument) -> String {
    let kind = library.kind_name(&thing.kind);
    format!("{kind}, {}, {}", thing.material.word(), thing.layout.word())
}

/// Whether the current line asks for a thing of that kind, or for none that is known.
fn fits(asked: &backrow_core::music::Line, thing: &Instrument) -> bool {
    asked.kind.as_ref().is_none_or(|kind| *kind == thing.kind)
}

fn instrument_actions(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, thing: &Instrument) {
    ui.horizontal_wrapped(|ui| {
        if let (Some(line), Some(programme)) = (&view.line, &view.programme)
            && let Some((_, asked)) = scene.library.line(line)
            && (fits(asked, thing) || view.place == Place::Compass)
        {
            let words = format!("Assign to {}", scene.library.line_name(asked));
            let on = PlayOn { line: line.clone(), instrument: thing.id.clone(), beside: false };
            let gone = playing_on::replaced(scene.library, programme, &on);
            if !gone.is_empty() {
                let words = format!("The line has {} now; this would take its place.", listed(&gone));
                let text = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
                ui.add(egui::Label::new(text).wrap());
                ui.end_row();
            }
            // Filled only where it is what the line asks for; another kind is asked about.
            let button = if fits(asked, thing) {
                primary(ui, &scene.tokens, &words)
            } else {
                ui.button(format!("{words} …"))
            };
            if button.on_hover_text(playing_on::words(scene.library, programme, &on)).clicked() {
                scene.ask(Intent::PlayOn(on.clone()));
            }
            if !gone.is_empty() && ui.button("Assign beside").clicked() {
                scene.ask(Intent::PlayOn(PlayOn { beside: true, ..on }));
            }
        }
        if ui.button("Record a take …").on_hover_text(Action::RecordTake.key_words()).clicked() {
            scene.ask(Intent::Sound(Wish::Record(thing.id.clone())));
        }
        if thing.is_pitched() && ui.button("Show its bars").clicked() {
            scene.ask(Intent::Go(Place::BarView));
        }
        if ui.button("Pick up").on_hover_text("Then Enter puts it where you are; Esc cancels").clicked() {
            view.in_hand = Some(Carried::Instrument(thing.id.clone()));
        }
    });
}

/// A player.
pub fn player(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, id: &PlayerId) {
    let library = scene.library;
    let Some(player) = library.players.get(id).cloned() else { return };
    title(ui, scene, &player.name, &player.role);
    let kinds = |ids: &[backrow_core::id::KindId]| {
        ids.iter().map(|k| library.kind_name(k)).collect::<Vec<_>>().join(", ")
    };
    if !player.only.is_empty() {
        fact(ui, scene, "Plays only", kinds(&player.only));
    }
    if !player.never.is_empty() {
        fact(ui, scene, "Does not play", kinds(&player.never));
    }
    for id in &player.absences {
        let when = library
            .service(id)
            .map_or_else(|| id.to_string(), |s| format!("{} {}", s.kind.word(), library.days().at(s.start)));
        fact(ui, scene, "Away", when);
    }
    let own: Vec<String> = library
        .instruments
        .values()
        .filter(|t| t.owner == Owner::Player(player.id.clone()))
        .map(|t| t.name.clone())
        .collect();
    if !own.is_empty() {
        fact(ui, scene, "Owns", listed(&own));
    }
    if let Some(programme) = view.programme_in(library) {
        for (line, given) in programme.lines() {
            if given.player.as_ref() == Some(&player.id)
                && let Some((work, c)) = library.line(line)
            {
                let words = format!("{}, {}, {}", library.line_name(c), work.title, c.where_played());
                if ui.link(RichText::new(words).font(sans(size::NOTE))).clicked() {
                    scene.ask(Intent::Line(line.clone()));
                }
            }
        }
    }
}

/// A beater.
pub fn beater(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, id: &BeaterId) {
    let library = scene.library;
    let Some(beater) = library.beaters.get(id).cloned() else { return };
    title(ui, scene, &beater.name, &beater.made());
    fact(ui, scene, "Number", beater.count.to_string());
    fact(ui, scene, "Owner", owner_words(library, &beater.owner));
    let place = place_words(library, beater.place.as_ref());
    fact(ui, scene, "Store", if place.is_empty() { "not stated".to_owned() } else { place });
    let suits: Vec<String> = beater.suits.iter().map(|k| library.kind_name(k)).collect();
    if !suits.is_empty() {
        fact(ui, scene, "Suits", suits.join(", "));
    }
    if ui.button("Pick up").clicked() {
        view.in_hand = Some(Carried::Beater(beater.id.clone()));
        view.selected = Some(Selected::Beater(beater.id.clone()));
    }
}
