//! A bell of the register as a form.

use super::of::Of;
use super::{Field, TextForm, above_zero, care_of, text_of};
use backrow_core::care::{BellBeater, BellEntry};
use backrow_core::collection::Mass;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, Reading, parse_note};
use backrow_core::tuning::bell::{Body, Partial, Partials, strike_of_take};
use std::fmt::Write;

const NOTE: &str = "Note, sounding";
const PARTIALS: &str = "Partials, Hz";
const WARBLE: &str = "Warble, a second";
const MASS: &str = "Mass, kg";
const WEIGHED: &str = "Mass is";
const LIP: &str = "Diameter of the lip, m";
const FOUNDER: &str = "Founder";
const CAST: &str = "Founded in";
const PROFILE: &str = "Profile";
const INSCRIPTION: &str = "Inscription";
const DONOR: &str = "Who gave it";
const BEATERS: &str = "Beaters";
const HANGING: &str = "Hanging points";
const LIFTING: &str = "Whoever lifts it";
const REMARK: &str = "Remark";

/// A form for a new bell of an instrument, or for one of its bells.
pub(in crate::places::collection) fn form(
    library: &Library,
    id: &InstrumentId,
    key: Option<KeyNumber>,
) -> Option<TextForm> {
    let thing = library.instruments.get(id)?;
    let body = Body::of_kind(thing.kind.as_str());
    let care = care_of(library, id);
    let old = key.and_then(|key| care.bells.iter().find(|bell| bell.key == key)).cloned();
    let free = || thing.bars().iter().find(|key| care.bells.iter().all(|bell| bell.key != *key));
    let bell = old.clone().unwrap_or_else(|| BellEntry::of(key.or_else(free).unwrap_or(KeyNumber::MIDDLE_C)));
    let title = match old {
        Some(bell) => format!("Bell {} of {}", bell.key, thing.name),
        None => format!("New bell of {}", thing.name),
    };
    let mut beaters = String::new();
    for BellBeater { beater, does } in &bell.beaters {
        // Writing to a string cannot fail.
        _ = writeln!(beaters, "{beater}: {does}");
    }
    let weighed = ["an estimate", "weighed"].map(str::to_owned).to_vec();
    let said = if bell.mass.is_some_and(|mass| mass.weighed) { "weighed" } else { "an estimate" };
    let fields = vec![
        Field::line(NOTE, bell.key.to_string(), "the bar of the instrument that it is"),
        Field::lines(
            PARTIALS,
            partials_text(&bell.partials, body),
            match body {
                Body::Cast => {
                    "by name, \u{201c}nominal 1046, tierce 628\u{201d}; or bare figures from a take, which are then named"
                }
                Body::Tube => {
                    "by name, \u{201c}mode 4 1046\u{201d}; or bare figures from a take, which are then named"
                }
                Body::Other => "by name; prime is the note that is heard, \u{201c}prime 523\u{201d}",
            },
            3,
        ),
        Field::line(WARBLE, text_of(bell.warble_hz), "how often it swells, where it has a doublet"),
        Field::line(MASS, text_of(bell.mass.map(|mass| mass.kg)), ""),
        Field::choice(WEIGHED, said, weighed),
        Field::line(LIP, text_of(bell.lip_m), ""),
        Field::line(FOUNDER, bell.founder, ""),
        Field::line(CAST, bell.cast, "1926, about 1880"),
        Field::line(PROFILE, bell.profile, "in your words"),
        Field::line(INSCRIPTION, bell.inscription, ""),
        Field::line(DONOR, bell.donor, ""),
        Field::lines(BEATERS, beaters, "one per line, id: what it does to the attack", 3),
        Field::line(HANGING, bell.hanging, ""),
        Field::line(LIFTING, bell.lifting, "what they must know; qualified people and local rules first"),
        Field::line(REMARK, bell.remark, ""),
    ];
    Some(TextForm::new(Of::Bell(id.clone(), key), title, fields))
}

/// A form for a bell whose partials were heard in a take.
pub(in crate::places::collection) fn heard(
    library: &Library,
    id: &InstrumentId,
    key: KeyNumber,
    (partials, warble_hz): (&Partials, Option<f64>),
) -> Option<TextForm> {
    let body = Body::of_kind(library.instruments.get(id)?.kind.as_str());
    let form = form(library, id, Some(key))?.with(PARTIALS, partials_text(partials, body));
    Some(match warble_hz {
        Some(_) => form.with(WARBLE, text_of(warble_hz)),
        None => form,
    })
}

/// "nominal 1046, tierce 628".
fn partials_text(partials: &Partials, body: Body) -> String {
    let one =
        |(partial, hz): (&Partial, &f64)| format!("{} {}", body.word(*partial), (hz * 100.0).round() / 100.0);
    partials.0.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Partials by name, or bare figures of a take, which are named by the pattern that fits them best.
fn partials_of(text: &str, body: Body) -> Result<Partials, String> {
    let mut named = Partials::default();
    let mut bare = Vec::new();
    let words = text.split([',', '\n', ';']).map(str::trim).filter(|words| !words.is_empty());
    for words in words {
        let (name, hz) = words.rsplit_once(' ').unwrap_or(("", words));
        let hz = above_zero(hz, PARTIALS)?.unwrap_or_default();
        if name.trim().is_empty() {
            bare.push(hz);
            continue;
        }
        let name = name.trim().to_lowercase();
        let is_it = |partial: &Partial| partial.word() == name || body.word(*partial) == name;
        let partial = Partial::ALL.into_iter().find(is_it);
        let all = || Partial::ALL.map(|partial| body.word(partial)).join(", ");
        let partial = partial
            .ok_or_else(|| format!("{PARTIALS}: {name} was not expected; the names are {}.", all()))?;
        named.0.insert(partial, hz);
    }
    if bare.is_empty() {
        return Ok(named);
    }
    if body == Body::Other {
        return Err(format!(
            "{PARTIALS}: bells of this sort have no agreed pattern to name figures by; name the note that is heard: prime 523."
        ));
    }
    let (strike, found) = strike_of_take(&bare, body)
        .ok_or_else(|| format!("{PARTIALS}: two figures or more are needed to name them."))?;
    if found < 3 {
        return Err(format!(
            "{PARTIALS}: these fit {} too badly to name them; name them yourself: {} 1046.",
            body.pattern(),
            body.word(Partial::Nominal)
        ));
    }
    let mut all = Partials::named(&bare, strike, body);
    all.0.extend(named.0);
    Ok(all)
}

fn beaters_of(text: &str, library: &Library) -> Result<Vec<BellBeater>, String> {
    let one = |line: &str| {
        let (id, does) = line.split_once(':').unwrap_or((line, ""));
        let known = library
            .beaters
            .values()
            .find(|beater| beater.id.as_str() == id.trim() || beater.name.eq_ignore_ascii_case(id.trim()));
        let beater = known.map(|beater| beater.id.clone());
        beater
            .map(|beater| BellBeater { beater, does: does.trim().to_owned() })
            .ok_or_else(|| format!("{BEATERS}: the library has no beater {}; use its id or name.", id.trim()))
    };
    text.lines().filter(|line| !line.trim().is_empty()).map(one).collect()
}

/// The change that saves it.
pub(super) fn save(
    form: &TextForm,
    library: &Library,
    id: &InstrumentId,
    old: Option<KeyNumber>,
) -> Result<Edit, String> {
    let note = parse_note(form.get(NOTE), Reading::English).map_err(|why| format!("{NOTE}: {why}"))?;
    let weighed = form.get(WEIGHED) == "weighed";
    let kind = library.instruments.get(id).map_or("", |thing| thing.kind.as_str());
    let bell = BellEntry {
        key: note.key(),
        partials: partials_of(form.get(PARTIALS), Body::of_kind(kind))?,
        warble_hz: above_zero(form.get(WARBLE), WARBLE)?,
        mass: above_zero(form.get(MASS), MASS)?.map(|kg| Mass { kg, weighed }),
        lip_m: above_zero(form.get(LIP), LIP)?,
        founder: form.get(FOUNDER).to_owned(),
        cast: form.get(CAST).to_owned(),
        profile: form.get(PROFILE).to_owned(),
        inscription: form.get(INSCRIPTION).to_owned(),
        donor: form.get(DONOR).to_owned(),
        beaters: beaters_of(form.get(BEATERS), library)?,
        hanging: form.get(HANGING).to_owned(),
        lifting: form.get(LIFTING).to_owned(),
        remark: form.get(REMARK).to_owned(),
    };
    let mut care = care_of(library, id);
    let taken = care.bells.iter().any(|other| other.key == bell.key && Some(other.key) != old);
    if taken {
        return Err(format!("{NOTE}: {} stands in the register already; change that one.", bell.key));
    }
    care.bells.retain(|other| Some(other.key) != old);
    care.bells.push(bell);
    Ok(Edit::PutCare(care))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tube_has_modes_and_a_plate_names_its_note() {
        // 81 : 121 : 169, with the third mode of a free tube before them.
        let bare = partials_of("633, 1046.3, 1563, 2183", Body::Tube).unwrap();
        assert_eq!(partials_text(&bare, Body::Tube), "mode 4 1046.3, mode 5 1563, mode 6 2183");
        assert_eq!(partials_of(&partials_text(&bare, Body::Tube), Body::Tube).unwrap(), bare);
        assert!(partials_of("523, 1046", Body::Other).unwrap_err().contains("prime 523"));
        assert_eq!(
            partials_of("prime 523", Body::Other).unwrap().strike(Body::Other).unwrap().1,
            Partial::Prime
        );
    }

    #[test]
    fn partials_by_name_and_bare_ones() {
        let partials_of = |text: &str| super::partials_of(text, Body::Cast);
        let partials_text = |partials: &Partials| super::partials_text(partials, Body::Cast);
        let named = partials_of("nominal 1046, tierce 628").unwrap();
        assert_eq!(named.0.get(&Partial::Tierce), Some(&628.0));
        assert_eq!(partials_of(&partials_text(&named)).unwrap(), named);
        let bare = partials_of("262, 523, 627, 785, 1046").unwrap();
        assert_eq!(bare.0.get(&Partial::Nominal), Some(&1046.0));
        assert_eq!(bare.0.len(), 5);
        assert!(partials_of("top 12").unwrap_err().contains("octave nominal"));
        assert!(partials_of("100, 917").unwrap_err().contains("name them yourself"));
    }
}
