//! The form of observations: made from the inputs of a family, so that a definition's new input
//! needs no form of its own.

use super::part::{Context, Part, RowPart, segments};
use crate::case::observation::{About, about, asked};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Observation, Row, StoredCase, drawing, observation};
use crate::clinical::facts::FactError;
use crate::clinical::{Family, Input, Kind};
use crate::department::unit_of;
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, Reader, Values, capitalised};

/// Observations of one family.
pub(super) struct ObservationPart;

/// What is ticked to answer every open question with "no".
const REST_NO: &str = "rest_no";

fn family_of(values: &Values) -> Option<Family> {
    values.get("family").parse().ok().filter(|family| observation::families().any(|one| one == *family))
}

impl Part for ObservationPart {
    type Value = Observation;
    const TITLE: &'static str = "What was observed";
    const LEAD: &'static str =
        "Leave empty what nobody looked for: a definition then says what it lacks, and never guesses.";

    fn title(values: &Values) -> String {
        family_of(values).map_or_else(|| Self::TITLE.to_owned(), |family| family.label().to_owned())
    }

    fn values(value: &Observation) -> Values {
        let start = Values::new()
            .with("family", value.family())
            .with_opt("complication", value.complication.as_ref())
            .with_opt("segment", value.segment)
            .with_opt("label", value.label.as_ref());
        value.answers().iter().fold(start, |all, (input, text)| match input.kind {
            Kind::Quantity(_) => all.with_quantity(input.slug, text),
            _ => all.with(input.slug, text),
        })
    }

    fn fields(context: &Context, values: &Values) -> Vec<Field> {
        let Some(family) = family_of(values) else {
            let families = observation::families().map(|family| Choice::new(family, family.label()));
            return vec![Field::new("family", "What it is about", Control::Radios(families.collect()))];
        };
        let mut fields = vec![Field::hidden("family")];
        fields.extend(about_fields(context, family));
        fields.extend(asked(family).map(|input| field(context, input)));
        let questions = asked(family).filter(|input| input.kind == Kind::Answer).count();
        if questions > 1 {
            fields.push(
                Field::new(REST_NO, "No to every question that is still open here", Control::Toggle)
                    .hint("Tick it only when somebody looked and it was so. What is not known stays open."),
            );
        }
        fields
    }

    fn read(values: &Values, _: &Context, was: Option<&Observation>) -> Result<Observation, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let family = was.map(Observation::family).or_else(|| family_of(values));
        let Some(family) = family else {
            reader.mark("family", "Choose what it is about.");
            return reader.finish(None);
        };
        let mut seen = Observation::of(family);
        if about(family) != About::Case {
            seen.complication = reader.optional("complication");
            seen.segment = reader.optional("segment");
            seen.label = reader.optional("label");
        }
        for input in asked(family) {
            let typed = match input.kind {
                Kind::Quantity(_) => values.quantity(input.slug),
                _ => values.get(input.slug).to_owned(),
            };
            if let Err(FactError::Value(error)) = seen.answer(input.slug, &typed) {
                reader.mark(input.slug, error);
            }
        }
        if values.ticked(REST_NO) {
            seen.answer_the_rest_no();
        }
        if seen.answers().is_empty() && reader.is_clean() {
            let first = asked(family).next().map_or("family", |input| input.slug);
            reader.mark(first, "Nothing is answered yet. Answer at least one question here.");
        }
        reader.finish(Some(seen))
    }

    fn units(value: &Observation) -> Vec<(&'static str, String)> {
        let several = |input: &Input| matches!(input.kind, Kind::Quantity(units) if units.len() > 1);
        let given = value.answers().iter().filter(|(input, _)| several(input));
        given.map(|(input, text)| (input.slug, unit_of(text).to_owned())).collect()
    }
}

/// What the observations are about: a complication, a place, a thing with a name.
fn about_fields(context: &Context, family: Family) -> Vec<Field> {
    let harms: Vec<Choice> = context
        .case
        .complications
        .iter()
        .map(|row| Choice::new(&row.value.key, drawing::complication_words(&row.value, context.vocabulary)))
        .collect();
    let harm = || {
        Field::words("complication", "Which complication of this case", "None of them", harms.clone())
            .hint("Then it is read together with what is recorded of it.")
    };
    let place = |label: &str| {
        let control = Control::Select { empty: Some("Not recorded"), groups: segments(), by_typing: true };
        Field::new("segment", label, control)
    };
    match about(family) {
        About::Case => Vec::new(),
        About::Vessel => vec![place("Vessel, by a segment of it")],
        About::Place => vec![
            harm(),
            place("Where"),
            Field::line("label", "What it is called", "w-long")
                .hint("Only when place and complication do not tell it from another.")
                .optional(),
        ],
        About::Thing => vec![
            harm(),
            Field::line("label", "What it is called", "w-long").hint("Such as “right groin”.").optional(),
        ],
    }
}

/// The field of an input, as its kind is answered.
fn field(context: &Context, input: &'static Input) -> Field {
    let label = capitalised(input.label);
    let field = match input.kind {
        Kind::Answer => {
            let choices =
                vec![Choice::new("yes", "Yes"), Choice::new("no", "No"), Choice::new("", "Not recorded")];
            Field::new(input.slug, label, Control::Radios(choices))
        }
        Kind::OneOf(words) => {
            let choices = words.iter().map(|word| Choice::new(word.slug, capitalised(word.label))).collect();
            let groups = vec![ChoiceGroup { label: String::new(), choices }];
            let control = Control::Select { empty: Some("Not recorded"), groups, by_typing: false };
            Field::new(input.slug, label, control)
        }
        Kind::Flow => Field::words(input.slug, label, "Not recorded", super::part::flows()),
        Kind::Quantity(units) if units != [""] => {
            let usual = context.department.units.usual(input.slug, units);
            Field::quantity(input.slug, label, units, usual)
        }
        Kind::Offset | Kind::Quantity(_) | Kind::Series(_) => Field::line(input.slug, label, "w-short"),
    };
    field.hint(input.help)
}

impl RowPart for ObservationPart {
    const LIST: List = List::Observation;
    const NOUN: &'static str = "observation";
    fn rows(case: &StoredCase) -> &[Row<Observation>] {
        &case.observations
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Observation> {
        &mut case.observations
    }
    fn row_value(value: Observation) -> RowValue {
        RowValue::Observation(value)
    }

    /// A case has one observation of what is about the whole case, and one a vessel.
    fn already(case: &StoredCase, values: &Values) -> Option<i64> {
        let family = family_of(values)?;
        let vessel = |segment: crate::case::Segment| segment.vessel();
        let wanted = values.get("segment").parse().ok().map(vessel);
        let same = |row: &&Row<Observation>| {
            row.value.family() == family
                && match about(family) {
                    About::Case => true,
                    About::Vessel => wanted.is_some() && row.value.segment.map(vessel) == wanted,
                    About::Place | About::Thing => row
                        .value
                        .complication
                        .as_ref()
                        .is_some_and(|key| key.as_str() == values.get("complication")),
                }
        };
        case.observations.iter().find(same).map(|row| row.id)
    }
}
