//! A row as beaters, a player, or a place in store.

use super::super::lift;
use super::{Fate, Read, Thing, fate};
use crate::tables::collection::{Field, words};
use backrow_core::collection::{Beater, Hardness, Head, Owner, Place, Player};
use backrow_core::id::{BeaterId, PlaceId, PlayerId};

impl Read<'_> {
    pub(super) fn beater(&mut self) -> Option<(Thing, Fate)> {
        let library = self.library;
        let known = self.known().and_then(|id| BeaterId::new(&id).ok());
        let known = known.and_then(|id| library.beaters.get(&id)).map(|beater| &**beater);
        let mut beater = match known {
            Some(beater) => beater.clone(),
            None => self.new_beater()?,
        };
        if let Some(name) = self.get(Field::Name) {
            name.clone_into(&mut beater.name);
        }
        if let Some(word) = self.get(Field::Head) {
            match words::head(word) {
                Some(head) => beater.head = head,
                None => self.one_of(Field::Head, word, &Head::ALL.map(Head::word)),
            }
        }
        if let Some(word) = self.get(Field::Hardness) {
            match words::hardness(word) {
                Some(hardness) => beater.hardness = hardness,
                None => self.one_of(Field::Hardness, word, &Hardness::ALL.map(Hardness::word)),
            }
        }
        if let Some(cell) = self.get(Field::Count) {
            match backrow_core::numbers::typed(cell) {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 99, whole")]
                Some(count) if (1.0..=99.0).contains(&count) && count.fract() == 0.0 => {
                    beater.count = count as u32;
                }
                _ => {
                    let what = format!("\"{cell}\" is not a number of beaters");
                    self.trouble(Field::Count, what, "write a whole number from 1 to 99");
                }
            }
        }
        if let Some(owner) = self.owner() {
            beater.owner = owner;
        }
        if let Some(place) = self.place_of() {
            beater.place = Some(place);
        }
        if let Some(kinds) = self.kinds(Field::Suits) {
            beater.suits = kinds;
        }
        if let Some(words) = self.get(Field::Remark) {
            words.clone_into(&mut beater.remark);
        }
        let fate = fate(known, &beater);
        Some((Thing::Beater(beater), fate))
    }

    fn new_beater(&mut self) -> Option<Beater> {
        let name = self.name()?.to_owned();
        let stated = self.get(Field::Head).is_some();
        let head = words::head(&name);
        if head.is_none() && !stated {
            let what = format!("the head of \"{name}\" is not stated; rubber was taken");
            self.guessed(Field::Name, what, "write its material into a column, or change it afterwards");
        }
        let id = BeaterId::new(&self.fresh(&name)).ok()?;
        Some(Beater {
            id,
            head: head.unwrap_or(Head::Rubber),
            hardness: words::hardness(&name).unwrap_or(Hardness::Medium),
            name,
            count: 2,
            owner: Owner::Orchestra,
            place: None,
            suits: Vec::new(),
            remark: String::new(),
        })
    }

    pub(super) fn player(&mut self) -> Option<(Thing, Fate)> {
        let library = self.library;
        let known = self.known().and_then(|id| PlayerId::new(&id).ok());
        let known = known.and_then(|id| library.players.get(&id)).map(|player| &**player);
        let mut player = match known {
            Some(player) => player.clone(),
            None => self.new_player()?,
        };
        if let Some(name) = self.get(Field::Name) {
            name.clone_into(&mut player.name);
        }
        if let Some(initials) = self.get(Field::Initials) {
            if initials.chars().count() <= 3 {
                initials.clone_into(&mut player.initials);
            } else {
                let what = format!("\"{initials}\" has more than three letters");
                self.trouble(Field::Initials, what, "write one to three letters");
            }
        }
        if let Some(role) = self.get(Field::Role) {
            role.clone_into(&mut player.role);
        }
        if let Some(kinds) = self.kinds(Field::Only) {
            player.only = kinds;
        }
        if let Some(kinds) = self.kinds(Field::Never) {
            player.never = kinds;
        }
        let fate = fate(known, &player);
        Some((Thing::Player(player), fate))
    }

    fn new_player(&mut self) -> Option<Player> {
        let name = self.name()?.to_owned();
        let id = PlayerId::new(&self.fresh(&name)).ok()?;
        let order = self.next_player;
        self.next_player = order.saturating_add(1);
        let letters = name.split_whitespace().filter_map(|part| part.chars().next()).take(3);
        Some(Player {
            id,
            initials: letters.flat_map(char::to_uppercase).collect(),
            name,
            role: "section".to_owned(),
            order,
            only: Vec::new(),
            never: Vec::new(),
            absences: Vec::new(),
        })
    }

    pub(super) fn place(&mut self) -> Option<(Thing, Fate)> {
        let library = self.library;
        let known = self.known().and_then(|id| PlaceId::new(&id).ok());
        let known = known.and_then(|id| library.places.get(&id)).map(|place| &**place);
        let mut place = if let Some(place) = known {
            place.clone()
        } else {
            let name = self.name()?.to_owned();
            Place {
                id: PlaceId::new(&self.fresh(&name)).ok()?,
                name,
                remark: String::new(),
                lift: None,
                air: Vec::new(),
            }
        };
        if let Some(name) = self.get(Field::Name) {
            name.clone_into(&mut place.name);
        }
        if let Some(words) = self.get(Field::Remark) {
            words.clone_into(&mut place.remark);
        }
        if let Some(cell) = self.get(Field::Lift) {
            if let Some(lift) = lift::lift_of(cell) {
                place.lift = Some(lift);
            } else {
                let what = format!("\"{cell}\" does not say whether there is a lift");
                let remedy = "write no, or yes, or such as lift, plate 1000 kg, door 1.2 m";
                self.trouble(Field::Lift, what, remedy);
            }
        }
        let fate = fate(known, &place);
        Some((Thing::Place(place), fate))
    }
}
