//! Short readable slugs that name things for ever. A name may change, an id does not.

use std::fmt;
use std::sync::Arc;

/// Why a text is not an id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IdError {
    /// The text that was refused.
    pub text: String,
}

impl fmt::Display for IdError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "\"{}\" is not an id: use 1 to 64 small letters, digits, '-' and '_', a letter or digit first",
            self.text
        )
    }
}

impl std::error::Error for IdError {}

/// Whether `text` may be an id: 1 to 64 of `a-z 0-9 - _`, the first a letter or digit.
pub fn is_slug(text: &str) -> bool {
    let mut bytes = text.bytes();
    let first = bytes.next().is_some_and(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    first
        && text.len() <= 64
        && bytes.all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'_')
}

/// The slug nearest to a name: accents are dropped, everything else that is no letter or digit becomes one '-'.
///
/// ```
/// assert_eq!(backrow_core::id::slug_of("Große Trommel II"), "grosse-trommel-ii");
/// ```
pub fn slug_of(name: &str) -> String {
    let slug = plain(name);
    if slug.is_empty() { "unnamed".to_owned() } else { slug }
}

/// Whether a name is found by what was typed, whatever its accents and signs: letters that no slug holds are compared as they
/// stand. Nothing typed finds everything.
///
/// ```
/// use backrow_core::id::is_found;
/// assert!(is_found("Witold Łęcki", "lecki") && is_found("Колокола", "колок"));
/// assert!(!is_found("Гонги", "колок"), "neither has letters that a slug holds");
/// ```
pub fn is_found(name: &str, typed: &str) -> bool {
    let (typed, wanted) = (typed.trim().to_lowercase(), plain(typed));
    name.to_lowercase().contains(&typed) || (!wanted.is_empty() && plain(name).contains(&wanted))
}

/// The slug; empty where nothing of the name can stand in one.
fn plain(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        let plain: &str = match c {
            'a'..='z' | '0'..='9' => {
                slug.push(c);
                continue;
            }
            'à' | 'á' | 'â' | 'ã' | 'å' | 'ä' | 'ā' | 'ă' | 'ą' => "a",
            'ç' | 'č' | 'ć' | 'ĉ' | 'ċ' => "c",
            'đ' | 'ď' | 'ð' => "d",
            'è' | 'é' | 'ê' | 'ë' | 'ě' | 'ē' | 'ė' | 'ę' => "e",
            'ğ' | 'ģ' | 'ġ' => "g",
            'ħ' => "h",
            'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => "i",
            'ķ' => "k",
            'ł' | 'ľ' | 'ĺ' | 'ļ' => "l",
            'ñ' | 'ń' | 'ň' | 'ņ' => "n",
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ő' | 'ō' => "o",
            'ř' | 'ŕ' => "r",
            'š' | 'ś' | 'ș' | 'ş' => "s",
            'ț' | 'ţ' | 'ť' => "t",
            'þ' => "th",
            'ß' => "ss",
            'ù' | 'ú' | 'û' | 'ü' | 'ů' | 'ű' | 'ū' | 'ų' => "u",
            'ŵ' => "w",
            'ý' | 'ÿ' | 'ŷ' => "y",
            'ž' | 'ź' | 'ż' => "z",
            'æ' => "ae",
            'œ' => "oe",
            _ if slug.is_empty() || slug.ends_with('-') => continue,
            _ => "-",
        };
        slug.push_str(plain);
    }
    slug.truncate(56);
    while slug.ends_with('-') {
        slug.pop();
    }
    slug
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident)*) => { $(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id of that text; an error says what an id may hold.
            pub fn new(text: &str) -> Result<Self, IdError> {
                if is_slug(text) { Ok(Self(text.into())) } else { Err(IdError { text: text.to_owned() }) }
            }

            /// An id made from a name, the first free one of `name`, `name-2`, `name-3`, ...
            pub fn fresh(name: &str, taken: impl Fn(&Self) -> bool) -> Self {
                let slug = slug_of(name);
                let plain = Self(slug.as_str().into());
                if !taken(&plain) {
                    return plain;
                }
                let mut count = 2_u64;
                loop {
                    let next = Self(format!("{slug}-{count}").into());
                    if !taken(&next) {
                        return next;
                    }
                    count += 1;
                }
            }

            /// The text of the id.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:?}", &*self.0)
            }
        }
    )* };
}

ids! {
    /// Names a kind of instrument, such as `xylophone`.
    KindId
    /// Names one physical instrument.
    InstrumentId
    /// Names a beater or a set of equal beaters.
    BeaterId
    /// Names a player.
    PlayerId
    /// Names a place in store.
    PlaceId
    /// Names a venue.
    VenueId
    /// Names a work.
    WorkId
    /// Names a movement within its work.
    MovementId
    /// Names a line within its work.
    LineId
    /// Names a week: one file with its programmes and services.
    WeekId
    /// Names a programme; unique over all weeks.
    ProgrammeId
    /// Names a service; unique over all weeks.
    ServiceId
    /// Names a take within its instrument.
    TakeId
    /// Names a trial within its work.
    TrialId
    /// Names a decision within its work.
    DecisionId
}

/// Names one after the other: "Anvil 1, Triangle 1", with semicolons where a name holds a comma: "Crotales, high; Crotales, low".
pub fn listed<S: AsRef<str>>(names: &[S]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    let between = if names.iter().any(|name| name.contains(',')) { "; " } else { ", " };
    names.join(between)
}

/// With a capital, as what opens a sentence or a row.
pub fn begun(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_opens_with_a_capital() {
        assert_eq!(
            (begun("élan"), begun("Gong"), begun("")),
            ("Élan".to_owned(), "Gong".to_owned(), String::new())
        );
    }

    #[rstest::rstest]
    #[case(&[], "")]
    #[case(&["Anvil 1", "Triangle 1"], "Anvil 1, Triangle 1")]
    #[case(&["Crotales, high", "Anvil 1"], "Crotales, high; Anvil 1")]
    fn names_that_hold_commas_are_told_apart(#[case] names: &[&str], #[case] words: &str) {
        assert_eq!(listed(names), words);
    }

    #[test]
    fn slugs_are_ids() {
        for name in ["Große Trommel", "x", "", "###", "Čtvrtek 2", "cloches à mains", "a".repeat(90).as_str()]
        {
            assert!(is_slug(&slug_of(name)), "{name} -> {}", slug_of(name));
        }
    }

    #[test]
    fn letters_of_europe_keep_their_plain_ones() {
        for (name, slug) in [
            ("Łódź", "lodz"),
            ("Đorđe", "dorde"),
            ("Ștefănescu", "stefanescu"),
            ("Erdő", "erdo"),
            ("Ağa", "aga"),
        ] {
            assert_eq!(slug_of(name), slug, "{name}");
        }
        assert_eq!(slug_of("Колокола"), "unnamed");
    }

    #[test]
    fn what_is_typed_finds_names_in_any_letters() {
        assert!(is_found("Łódź", "lod") && is_found("Łódź", "ŁÓ") && is_found("anything", " "));
        assert!(is_found("Колокола", "коло") && !is_found("Гонги", "коло"));
        assert!(!is_found("Unnamed", "коло") && !is_found("Гонги", "unnamed"));
    }

    #[test]
    fn fresh_ids_count_up() {
        let taken = [KindId::new("gong").unwrap(), KindId::new("gong-2").unwrap()];
        assert_eq!(KindId::fresh("Gong", |id| taken.contains(id)).as_str(), "gong-3");
    }

    #[test]
    fn refusals_say_what_was_expected() {
        assert!(KindId::new("Große").unwrap_err().to_string().contains("small letters"));
        assert!(KindId::new("").is_err());
        assert!(KindId::new("-a").is_err());
    }
}
