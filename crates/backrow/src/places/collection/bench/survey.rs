//! A survey as a form.

use super::of::Of;
use super::{Field, TextForm, care_of, day, day_text, figure, text_of, today_text};
use crate::dates::forms;
use backrow_core::care::{Survey, parse_readings, text_of as readings_text};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::pitch::ReferenceA;
use backrow_core::tuning::air;
use backrow_core::upkeep::target;
use jiff::civil::Date;

const WHEN: &str = "When";
const CELSIUS: &str = "Temperature, °C";
const A: &str = "Read against A, Hz";
const WHO: &str = "Who";
const HOW: &str = "How";
const BARS: &str = "Bars";
const REMARK: &str = "Remark";

const BARS_HINT: &str = "One bar per line, typed or pasted from a table: C5 523.4, or D5 +3.5 for cents over the A, then the second and third \
                         partial in Hz or as x4.01; a remark after ;";

/// A form for a new survey, with every bar of the instrument named, or for the one at a place.
pub(in crate::places::collection) fn form(
    library: &Library,
    id: &InstrumentId,
    at: Option<usize>,
) -> Option<TextForm> {
    let thing = library.instruments.get(id)?;
    let care = care_of(library, id);
    let old = at.and_then(|at| care.surveys.get(at));
    let a = old.and_then(|survey| survey.a).unwrap_or_else(|| target(library, thing));
    let title = match old {
        Some(survey) => format!("Survey of {}, {}", thing.name, library.days().day(survey.on)),
        None => format!("New survey of {}", thing.name),
    };
    let how = ["typed", "from a table", "from a take"].map(str::to_owned).to_vec();
    let fields = vec![
        Field::line(
            WHEN,
            old.map_or_else(|| today_text(library), |survey| day_text(library, survey.on)),
            forms(library.days().order),
        ),
        Field::line(
            CELSIUS,
            text_of(old.map_or(Some(library.orchestra.celsius), |survey| survey.celsius)),
            "of the bars; empty where nobody read it",
        ),
        Field::line(A, a.value().to_string(), "what cents below are counted from"),
        Field::line(WHO, old.map_or("", |survey| &survey.who), ""),
        Field::choice(HOW, old.map_or("typed", |survey| &survey.how), how),
        Field::lines(
            BARS,
            old.map_or_else(String::new, |survey| readings_text(&survey.readings)),
            BARS_HINT,
            14,
        ),
        Field::line(REMARK, old.map_or("", |survey| &survey.remark), ""),
    ];
    Some(TextForm::new(Of::Survey(id.clone(), at), title, fields))
}

/// A form for a new survey whose bars were heard in a recording, with what is to be looked at as its remark, and the day where it is
/// known: nobody knows the temperature of that day any more.
pub(in crate::places::collection) fn heard(
    library: &Library,
    id: &InstrumentId,
    on: Option<Date>,
    bars: String,
    remark: String,
) -> Option<TextForm> {
    let mut form = form(library, id, None)?;
    if let Some(on) = on {
        form = form.with(WHEN, day_text(library, on)).with(CELSIUS, String::new());
    }
    Some(form.with(HOW, "from a take".to_owned()).with(BARS, bars).with(REMARK, remark))
}

/// The change that saves it.
pub(super) fn save(
    form: &TextForm,
    library: &Library,
    id: &InstrumentId,
    at: Option<usize>,
) -> Result<Edit, String> {
    let celsius = figure(form.get(CELSIUS), CELSIUS)?;
    if celsius.is_some_and(|celsius| !air::is_plausible(celsius)) {
        return Err(format!("{CELSIUS}: -30 to 60 was expected."));
    }
    let a =
        super::above_zero(form.get(A), A)?.ok_or_else(|| format!("{A}: an A such as 442 was expected."))?;
    let a = ReferenceA::new(a).map_err(|why| why.to_string())?;
    let readings = parse_readings(form.get(BARS), a).map_err(|why| format!("{BARS}, {why}"))?;
    if readings.is_empty() {
        return Err(format!("{BARS}: at least one bar was expected, such as C5 523.4."));
    }
    let survey = Survey {
        on: day(library, form.get(WHEN), WHEN)?,
        celsius,
        a: Some(a),
        who: form.get(WHO).to_owned(),
        how: form.get(HOW).to_owned(),
        readings,
        remark: form.get(REMARK).to_owned(),
    };
    let mut care = care_of(library, id);
    match at.and_then(|at| care.surveys.get_mut(at)) {
        Some(old) => *old = survey,
        None => care.surveys.push(survey),
    }
    Ok(Edit::PutCare(care))
}
