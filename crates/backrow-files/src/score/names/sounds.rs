//! Instruments told by number or by sound id instead of by name.

/// Sound ids of the MusicXML standard (sounds.xml, MusicXML 4.0, W3C Music Notation Community Group) and the kinds
/// that they mean. An id not listed here is told by the longest listed one that it begins with.
const SOUNDS: &[(&str, &str)] = &[
    ("drum.bass-drum", "bass_drum"),
    ("drum.bongo", "bongos"),
    ("drum.cajon", "cajon"),
    ("drum.conga", "congas"),
    ("drum.cuica", "cuica"),
    ("drum.darabuka", "darabuka"),
    ("drum.djembe", "djembe"),
    ("drum.dumbek", "darabuka"),
    ("drum.frame-drum", "frame_drum"),
    ("drum.group.set", "drum_kit"),
    ("drum.kick-drum", "bass_drum"),
    ("drum.lion-drum", "lions_roar"),
    ("drum.log-drum", "slit_drum"),
    ("drum.rototom", "roto_toms"),
    ("drum.slit-drum", "slit_drum"),
    ("drum.snare-drum", "snare_drum"),
    ("drum.tabla", "tabla"),
    ("drum.tambourine", "tambourine"),
    ("drum.tenor-drum", "tenor_drum"),
    ("drum.timbale", "timbales_latin"),
    ("drum.timpani", "timpani"),
    ("drum.tom-tom", "tom_toms"),
    ("effect.bird.nightingale", "nightingale"),
    ("effect.gunshot", "pistol_shot"),
    ("effect.lions-roar", "lions_roar"),
    ("effect.siren", "siren"),
    ("effect.thunder", "thunder_sheet"),
    ("effect.whip", "whip"),
    ("effect.slap", "whip"),
    ("effect.whistle.slide", "slide_whistle"),
    ("effect.whistle", "whistle"),
    ("effect.wind", "wind_machine"),
    ("keyboard.celesta", "celesta"),
    ("metal.anvil", "anvil"),
    ("metal.bells.agogo", "agogo"),
    ("metal.bells.almglocken", "almglocken"),
    ("metal.bells.bell-plate", "bell_plates"),
    ("metal.bells.bell-tree", "bell_tree"),
    ("metal.bells.carillon", "church_bells"),
    ("metal.bells.chimes", "tubular_bells"),
    ("metal.bells.church", "church_bells"),
    ("metal.bells.cowbell", "cowbell"),
    ("metal.bells.jingle-bell", "jingles"),
    ("metal.bells.mark-tree", "mark_tree"),
    ("metal.bells.sleigh-bells", "sleigh_bells"),
    ("metal.bells.wind-chimes", "wind_chimes_metal"),
    ("metal.brake-drums", "brake_drum"),
    ("metal.crotales", "crotales"),
    ("metal.cymbal.chinese", "chinese_cymbal"),
    ("metal.cymbal.clash", "cymbals_pair"),
    ("metal.cymbal.crash", "cymbals_pair"),
    ("metal.cymbal.finger", "finger_cymbals"),
    ("metal.cymbal.hand", "cymbals_pair"),
    ("metal.cymbal.ride", "ride_cymbal"),
    ("metal.cymbal.sizzle", "sizzle_cymbal"),
    ("metal.cymbal.splash", "splash_cymbal"),
    ("metal.cymbal.suspended", "suspended_cymbal"),
    ("metal.flexatone", "flexatone"),
    ("metal.gong", "gong"),
    ("metal.gong.thai", "tuned_gongs"),
    ("metal.hi-hat", "hi_hat"),
    ("metal.musical-saw", "musical_saw"),
    ("metal.steel-drums", "steel_drums"),
    ("metal.tamtam", "tam_tam"),
    ("metal.thundersheet", "thunder_sheet"),
    ("metal.triangle", "triangle"),
    ("pitched-percussion.bells", "tubular_bells"),
    ("pitched-percussion.bell-lyre", "glockenspiel"),
    ("pitched-percussion.cimbalom", "cimbalom"),
    ("pitched-percussion.crystal-glasses", "musical_glasses"),
    ("pitched-percussion.glass-harmonica", "glass_harmonica"),
    ("pitched-percussion.glockenspiel", "glockenspiel"),
    ("pitched-percussion.hammer-dulcimer", "cimbalom"),
    ("pitched-percussion.handbells", "handbells"),
    ("pitched-percussion.kalimba", "kalimba"),
    ("pitched-percussion.sanza", "kalimba"),
    ("pitched-percussion.mbira", "kalimba"),
    ("pitched-percussion.marimba.bass", "bass_marimba"),
    ("pitched-percussion.marimba", "marimba"),
    ("pitched-percussion.metallophone", "metallophone"),
    ("pitched-percussion.tubular-bells", "tubular_bells"),
    ("pitched-percussion.tubes", "tubular_bells"),
    ("pitched-percussion.vibraphone", "vibraphone"),
    ("pitched-percussion.xylophone", "xylophone"),
    ("pitched-percussion.xylorimba", "xylorimba"),
    ("pitched-percussion.tsymbaly", "cimbalom"),
    ("rattle.cabasa", "cabasa"),
    ("rattle.afoxe", "cabasa"),
    ("rattle.jawbone", "jawbone"),
    ("rattle.maraca", "maracas"),
    ("rattle.rain-stick", "rain_stick"),
    ("rattle.ratchet", "ratchet"),
    ("rattle.cog", "ratchet"),
    ("rattle.shaker", "shaker"),
    ("rattle.vibraslap", "vibraslap"),
    ("wood.castanets", "castanets"),
    ("wood.claves", "claves"),
    ("wood.guiro", "guiro"),
    ("wood.sand-block", "sandpaper_blocks"),
    ("wood.temple-block", "temple_blocks"),
    ("wood.wood-block", "wood_block"),
    ("wood.whip", "whip"),
    ("wood.slit-drum", "slit_drum"),
];

/// The kind that a sound id means.
pub(crate) fn kind_of_sound(sound: &str) -> Option<&'static str> {
    SOUNDS
        .iter()
        .filter(|(id, _)| {
            sound == *id || (sound.starts_with(id) && sound.as_bytes().get(id.len()) == Some(&b'.'))
        })
        .max_by_key(|(id, _)| id.len())
        .map(|(_, kind)| *kind)
}

/// Whether a sound id is one of percussion.
pub(crate) fn is_percussion_sound(sound: &str) -> bool {
    ["drum.", "metal.", "pitched-percussion.", "rattle.", "wood."]
        .iter()
        .any(|family| sound.starts_with(family))
        || kind_of_sound(sound).is_some()
}

/// Programs of General MIDI level 1 (MIDI Association, GM sound set), 1 to 128, that are percussion.
pub(crate) const fn kind_of_program(program: u8) -> Option<&'static str> {
    Some(match program {
        9 => "celesta",
        // 11, Music Box: a comb that nobody strikes; a part for it is played on a glockenspiel. Common practice, from memory.
        10 | 11 => "glockenspiel",
        12 => "vibraphone",
        13 => "marimba",
        14 => "xylophone",
        15 => "tubular_bells",
        16 => "cimbalom",
        48 => "timpani",
        109 => "kalimba",
        // Tinkle Bell: small bells of one pitch each.
        113 => "handbells",
        114 => "agogo",
        115 => "steel_drums",
        116 => "wood_block",
        117 => "taiko",
        // 119, Synth Drum: an electronic tom-tom; which one plays it must be asked. 120, Reverse Cymbal, is a recording played
        // backwards, which nothing that is struck makes.
        118 | 119 => "tom_toms",
        _ => return None,
    })
}

/// The percussion key map of General MIDI level 1 (MIDI Association): key, name, kind. Keys 35 to 81.
const KEYS: &[(u8, &str, &str)] = &[
    (35, "Acoustic Bass Drum", "bass_drum"),
    (36, "Bass Drum 1", "bass_drum"),
    (37, "Side Stick", "snare_drum"),
    (38, "Acoustic Snare", "snare_drum"),
    (39, "Hand Clap", "hand_claps"),
    (40, "Electric Snare", "snare_drum"),
    (41, "Low Floor Tom", "tom_toms"),
    (42, "Closed Hi Hat", "hi_hat"),
    (43, "High Floor Tom", "tom_toms"),
    (44, "Pedal Hi-Hat", "hi_hat"),
    (45, "Low Tom", "tom_toms"),
    (46, "Open Hi-Hat", "hi_hat"),
    (47, "Low-Mid Tom", "tom_toms"),
    (48, "Hi-Mid Tom", "tom_toms"),
    (49, "Crash Cymbal 1", "cymbals_pair"),
    (50, "High Tom", "tom_toms"),
    (51, "Ride Cymbal 1", "ride_cymbal"),
    (52, "Chinese Cymbal", "chinese_cymbal"),
    (53, "Ride Bell", "ride_cymbal"),
    (54, "Tambourine", "tambourine"),
    (55, "Splash Cymbal", "splash_cymbal"),
    (56, "Cowbell", "cowbell"),
    (57, "Crash Cymbal 2", "cymbals_pair"),
    (58, "Vibraslap", "vibraslap"),
    (59, "Ride Cymbal 2", "ride_cymbal"),
    (60, "Hi Bongo", "bongos"),
    (61, "Low Bongo", "bongos"),
    (62, "Mute Hi Conga", "congas"),
    (63, "Open Hi Conga", "congas"),
    (64, "Low Conga", "congas"),
    (65, "High Timbale", "timbales_latin"),
    (66, "Low Timbale", "timbales_latin"),
    (67, "High Agogo", "agogo"),
    (68, "Low Agogo", "agogo"),
    (69, "Cabasa", "cabasa"),
    (70, "Maracas", "maracas"),
    (71, "Short Whistle", "whistle"),
    (72, "Long Whistle", "whistle"),
    (73, "Short Guiro", "guiro"),
    (74, "Long Guiro", "guiro"),
    (75, "Claves", "claves"),
    (76, "Hi Wood Block", "wood_block"),
    (77, "Low Wood Block", "wood_block"),
    (78, "Mute Cuica", "cuica"),
    (79, "Open Cuica", "cuica"),
    (80, "Mute Triangle", "triangle"),
    (81, "Open Triangle", "triangle"),
];

/// The name of a key of the percussion key map, and its kind where it is one.
pub(crate) fn key_of_map(key: u8) -> Option<(&'static str, Option<&'static str>)> {
    KEYS.iter()
        .find(|(k, _, _)| *k == key)
        .map(|(_, name, kind)| (*name, Some(*kind).filter(|kind| !kind.is_empty())))
}

/// Keys that together make a drum kit: bass drum, snare drum and hi-hat.
pub(crate) fn is_kit(keys: &dyn Fn(u8) -> bool) -> bool {
    [35, 36].iter().any(|k| keys(*k))
        && [38, 40].iter().any(|k| keys(*k))
        && [42, 44, 46].iter().any(|k| keys(*k))
}

/// Whether a key is struck on a drum kit when there is one.
pub(crate) const fn of_kit(key: u8) -> bool {
    matches!(key, 35..=38 | 40..=53 | 55 | 57 | 59)
}
