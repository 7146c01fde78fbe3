//! What a table is of, and what its columns can stand for.

/// What the rows of a table are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the things' own names")]
pub enum Subject {
    Instruments,
    Beaters,
    Players,
    Places,
}

impl Subject {
    /// All.
    pub const ALL: [Self; 4] = [Self::Instruments, Self::Beaters, Self::Players, Self::Places];

    /// "instruments".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Instruments => "instruments",
            Self::Beaters => "beaters",
            Self::Players => "players",
            Self::Places => "places in store",
        }
    }

    /// "instrument", "3 instruments".
    pub fn counted(self, count: usize) -> String {
        let (one, many) = match self {
            Self::Instruments => ("instrument", "instruments"),
            Self::Beaters => ("beater", "beaters"),
            Self::Players => ("player", "players"),
            Self::Places => ("place", "places"),
        };
        format!("{count} {}", if count == 1 { one } else { many })
    }

    /// The columns that such a table can have, in the order of the table that is written.
    pub const fn fields(self) -> &'static [Field] {
        use Field::{
            A, Bars, Character, Condition, Count, Depth, ForTwo, Hardness, Head, Height, HighDepth, Id,
            Initials, Kind, Layout, Lift, Mass, Material, Name, Never, Only, Outline, Owner, Pieces, Place,
            Remark, Role, Size, Suits, Weighed, Width,
        };
        match self {
            Self::Instruments => &[
                Id, Name, Kind, Owner, Place, Bars, Layout, Material, Mass, Weighed, Pieces, Outline, Width,
                Depth, HighDepth, Height, Size, A, Character, ForTwo, Condition, Remark,
            ],
            Self::Beaters => &[Id, Name, Head, Hardness, Count, Owner, Place, Suits, Remark],
            Self::Players => &[Id, Name, Initials, Role, Only, Never],
            Self::Places => &[Id, Name, Lift, Remark],
        }
    }
}

/// What a column can stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the fields' own names")]
pub enum Field {
    Id,
    Name,
    Kind,
    Owner,
    Place,
    Bars,
    Layout,
    Material,
    Mass,
    Weighed,
    /// What it comes apart into, a line a piece.
    Pieces,
    /// Its outline seen from above.
    Outline,
    Width,
    /// Of a keyboard at its low end.
    Depth,
    /// Of a keyboard.
    HighDepth,
    Height,
    /// Width, depth and height in one cell: "150 x 80 x 90".
    Size,
    A,
    Character,
    ForTwo,
    Condition,
    Remark,
    Head,
    Hardness,
    Count,
    /// The kinds that a beater is for.
    Suits,
    Initials,
    Role,
    /// The only kinds that a player takes.
    Only,
    /// The kinds that a player does not take.
    Never,
    /// A store's lift, with its plate and its door.
    Lift,
}

impl Field {
    /// Its word on screen and as a heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Id => "id",
            Self::Name => "name",
            Self::Kind => "kind",
            Self::Owner => "owner",
            Self::Place => "place",
            Self::Bars => "bars",
            Self::Layout => "layout",
            Self::Material => "material",
            Self::Mass => "mass kg",
            Self::Weighed => "weighed",
            Self::Pieces => "carried as",
            Self::Outline => "outline",
            Self::Width => "width m",
            Self::Depth => "depth m",
            Self::HighDepth => "depth at the high end m",
            Self::Height => "height m",
            Self::Size => "size",
            Self::A => "A Hz",
            Self::Character => "character",
            Self::ForTwo => "for two",
            Self::Condition => "condition",
            Self::Remark => "remark",
            Self::Head => "head",
            Self::Hardness => "hardness",
            Self::Count => "number",
            Self::Suits => "suits",
            Self::Initials => "initials",
            Self::Role => "role",
            Self::Only => "plays only",
            Self::Never => "does not play",
            Self::Lift => "lift",
        }
    }

    /// The same without its unit, for where the unit stands beside it.
    pub fn bare_word(self) -> &'static str {
        let word = self.word();
        [" kg", " m"].iter().find_map(|unit| word.strip_suffix(unit)).unwrap_or(word)
    }

    /// What its figures measure; `None` for words and plain numbers.
    pub const fn measures(self) -> Option<super::unit::Measure> {
        use super::unit::Measure;
        match self {
            Self::Mass => Some(Measure::Mass),
            Self::Width | Self::Depth | Self::HighDepth | Self::Height | Self::Size => Some(Measure::Length),
            _ => None,
        }
    }

    /// Words by which a heading is known, in English, German, French and Italian, as slugs with spaces, apart by
    /// commas. Common practice in spreadsheets, without a source.
    pub(super) const fn known_by(self) -> &'static str {
        match self {
            Self::Id => {
                "id, inventory, inventory no, inventory number, number, no, nr, nummer, inventar, \
                 inventarnummer, inventar nr, inv nr, inv no, numero, n, no inventaire, inventaire, \
                 inventario, n inventario, asset, tag, code"
            }
            Self::Name => {
                "name, instrument, instruments, title, what, item, description, bezeichnung, gegenstand, \
                 instrumente, nom, designation, article, nome, strumento, denominazione, descrizione, player, \
                 spieler, musiker, musicien, esecutore, beater, beaters, mallet, mallets, stick, sticks, \
                 schlagel, schlegel, baguettes, bacchette, room"
            }
            Self::Kind => {
                "kind, type, sort, category, art, gattung, instrumentenart, typ, kategorie, genre, categorie, \
                 sorte, tipo, genere, categoria"
            }
            Self::Owner => {
                "owner, whose, owned by, belongs to, property of, eigentumer, besitzer, gehort, inhaber, \
                 eigentum, proprietaire, appartient a, propriete, proprietario, proprieta"
            }
            Self::Place => {
                "place, room, store, storage, where, location, kept in, shelf, raum, ort, lager, lagerort, \
                 standort, wo, lieu, emplacement, salle, local, depot, luogo, deposito, magazzino, sala, dove"
            }
            Self::Bars => {
                "bars, range, compass, pitches, pitch range, umfang, tonumfang, tone, platten, stabe, \
                 etendue, tessiture, lames, ambitus, estensione, lamine"
            }
            Self::Layout => "layout, anordnung, disposition, disposizione",
            Self::Material => "material, made of, materiale, matiere, materiau, werkstoff, bar material",
            Self::Mass => "mass, weight, gewicht, masse, poids, peso, massa, gewicht gesamt, total weight",
            Self::Weighed => "weighed, gewogen, pese, pesato",
            Self::Pieces => "carried as, pieces, teile, packstucke, colli, colis, in pieces",
            Self::Width => {
                "width, breite, largeur, larghezza, length, lange, longueur, lunghezza, diameter, \
                 durchmesser, diametre, diametro, size across, w, b"
            }
            Self::Outline => "outline, shape, umriss, forme, contour, forma, contorno",
            Self::HighDepth => "depth at the high end, depth high end",
            Self::Depth => "depth, tiefe, profondeur, profondita, d, t",
            Self::Height => "height, hohe, hoehe, hauteur, altezza, h",
            Self::Size => {
                "size, dimensions, dimension, measurements, footprint, masse lxb, abmessungen, abmessung, \
                 grosse, taille, encombrement, dimensioni, misure, mesures, w x d x h, l x w x h, lxbxh, \
                 wxdxh"
            }
            Self::A => {
                "a, a hz, pitch, tuned, tuning, tuned to, stimmung, stimmton, kammerton, diapason, accord, \
                 la, intonazione, accordatura"
            }
            Self::Character => {
                "character, sound, klang, charakter, klangcharakter, son, caractere, suono, carattere"
            }
            Self::ForTwo => "for two, for two players, zu zweit, a deux, a due",
            Self::Condition => "condition, state, status, zustand, etat, stato, condizione, condizioni",
            Self::Remark => {
                "remark, remarks, note, notes, comment, comments, bemerkung, bemerkungen, anmerkung, hinweis, \
                 notiz, remarque, remarques, commentaire, osservazioni, osservazione, commento, annotazioni"
            }
            Self::Head => "head, heads, tip, made of, material, kopf, kopfe, tete, testa",
            Self::Hardness => "hardness, hard, harte, hartegrad, durete, durezza",
            Self::Count => {
                "number, count, quantity, qty, pairs, how many, anzahl, menge, stuck, nombre, quantite, \
                 quantita, pezzi"
            }
            Self::Suits => {
                "suits, for, kinds, instruments, instrument, fur, geeignet fur, pour, per, used for"
            }
            Self::Initials => "initials, short, kurzel, initialen, abkurzung, initiales, iniziali, sigla",
            Self::Role => {
                "role, position, post, chair, funktion, rolle, stelle, poste, fonction, ruolo, funzione"
            }
            Self::Only => "plays only, only, spielt nur, nur, seulement, joue seulement, solo, suona solo",
            Self::Never => {
                "does not play, plays no, never, spielt nicht, nicht, jamais, ne joue pas, mai, non suona"
            }
            Self::Lift => {
                "lift, elevator, aufzug, fahrstuhl, ascenseur, monte charge, ascensore, montacarichi"
            }
        }
    }
}
