//! Which kind a recording of the packages is of, told by its file's name; and the recording session or font it comes from.

/// Kits of electronic sounds have no instruments in them.
const ELECTRONIC: [&str; 4] = ["electr", "audiophob", "varibreaks", "rumpf"];

/// Beginnings or parts of names, in small letters without spaces; the first that fits counts. An empty kind is none: names
/// that say too little, and what is struck by several things at once.
const NAMES: &[(&str, &str)] = &[
    ("flink", ""),
    ("choke", ""),
    ("swish", ""),
    ("roll", ""),
    ("mute", ""),
    ("semi", ""),
    ("trimo", ""),
    ("empty", ""),
    ("djembe", "djembe"),
    ("tabla", "tabla"),
    ("rimshot", "rim shot"),
    ("snarerim", "rim shot"),
    ("snareoffrim", ""),
    ("snareoff", ""),
    ("sr_", "rim shot"),
    ("sidestick", "side stick"),
    ("rimclick", "side stick"),
    ("stick-rim", "side stick"),
    ("rim_", "side stick"),
    ("037_stick_rim", "side stick"),
    ("snare", "snare drum"),
    ("sd_", "snare drum"),
    ("sn_", "snare drum"),
    ("sn3_", "snare drum"),
    ("sn4_", "snare drum"),
    ("kick", "bass drum"),
    ("bassdrum", "bass drum"),
    ("drum_bass", "bass drum"),
    ("bd", "bass drum"),
    ("tombourine", "tambourine"),
    ("tambourinefoot", ""),
    ("tambourine", "tambourine"),
    ("tom", "tom"),
    ("tm_", "tom"),
    ("tm2_", "tom"),
    ("ft_", "tom"),
    ("t1_", "tom"),
    ("t2_", "tom"),
    ("hatclosed", "closed hi-hat"),
    ("hihat-closed", "closed hi-hat"),
    ("hhclosed", "closed hi-hat"),
    ("closehihat", "closed hi-hat"),
    ("hi-hat_closed", "closed hi-hat"),
    ("cymbal_closed", "closed hi-hat"),
    ("hatopen", "open hi-hat"),
    ("hihat-open", "open hi-hat"),
    ("hhopen", "open hi-hat"),
    ("openhat", "open hi-hat"),
    ("hi-hat_open", "open hi-hat"),
    ("cymbal_open", "open hi-hat"),
    ("ho_", "open hi-hat"),
    ("hatpedal", "pedal hi-hat"),
    ("pedal", "pedal hi-hat"),
    ("hihatfoot", "pedal hi-hat"),
    ("hh", ""),
    ("ride-cup", "ride bell"),
    ("ride_cup", "ride bell"),
    ("ridebell", "ride bell"),
    ("ride_bell", "ride bell"),
    ("ride18bell", "ride bell"),
    ("bell-", "ride bell"),
    ("ride", "ride cymbal"),
    ("rd_", "ride cymbal"),
    ("rd2_", "ride cymbal"),
    ("rc_", "ride cymbal"),
    ("crash", "crash cymbal"),
    ("cra_", "crash cymbal"),
    ("cc_", "crash cymbal"),
    ("drum_cymbal", "crash cymbal"),
    ("splash", "splash cymbal"),
    ("chin", "chinese cymbal"),
    ("agogo", "agogo"),
    ("cowbell", "cowbell"),
    ("cow_bell", "cowbell"),
    ("mc_cb", "cowbell"),
    ("bongo", "bongo"),
    ("conga", "conga"),
    ("timbale", "timbale"),
    ("cajon", "cajon"),
    ("clave", "claves"),
    ("maraca", "maracas"),
    ("woodblock", "wood block"),
    ("wood_block", "wood block"),
    ("waterglass", "glass"),
    ("clap", "hand clap"),
];

/// The kind and the session of a file; `None` where its name does not tell.
pub(super) fn of(path: &str) -> Option<(&'static str, String)> {
    let lower = path.to_lowercase();
    let mut parts = lower.rsplit('/');
    let (file, session) = (parts.next()?, parts.next()?);
    if ELECTRONIC.iter().any(|name| session.contains(name)) {
        return None;
    }
    let name: String = file.split('.').next()?.chars().filter(|c| *c != ' ').collect();
    let (_, kind) =
        NAMES.iter().find(|(part, _)| name.contains(part) && (part.len() > 3 || name.starts_with(part)))?;
    (!kind.is_empty()).then(|| (*kind, session.to_owned()))
}
