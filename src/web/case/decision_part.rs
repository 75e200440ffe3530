//! The form of a decision point: the question, its options with what spoke for and against each, what
//! was chosen, and what followed.

use super::part::{Context, Part, RowPart};
use crate::case::store::{Part as List, RowValue};
use crate::case::{
    Case, Decision, DecisionOption, Line, OPTIONS_AT_MOST, OptionNumber, REASONS_AT_MOST, Row, StoredCase,
};
use crate::quantity::Offset;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// A decision point.
pub(super) struct DecisionPart;

/// The names of an option's fields: what it is, what spoke for it, what spoke against it.
struct Names {
    text: &'static str,
    reasons_for: &'static str,
    reasons_against: &'static str,
}

const NAMES: [Names; OPTIONS_AT_MOST] = [
    Names { text: "option-1", reasons_for: "for-1", reasons_against: "against-1" },
    Names { text: "option-2", reasons_for: "for-2", reasons_against: "against-2" },
    Names { text: "option-3", reasons_for: "for-3", reasons_against: "against-3" },
    Names { text: "option-4", reasons_for: "for-4", reasons_against: "against-4" },
    Names { text: "option-5", reasons_for: "for-5", reasons_against: "against-5" },
    Names { text: "option-6", reasons_for: "for-6", reasons_against: "against-6" },
];

/// A form shows so many options at the least, and one more than hold something.
const OPTIONS_AT_LEAST: usize = 3;

fn in_lines(lines: &[Line]) -> String {
    lines.iter().map(Line::as_str).collect::<Vec<_>>().join("\n")
}

/// How many options the form offers for these values.
fn offered(values: &Values) -> usize {
    let holds = |names: &&Names| {
        [names.text, names.reasons_for, names.reasons_against]
            .iter()
            .any(|name| !values.get(name).trim().is_empty())
    };
    let last = NAMES.iter().rposition(|names| holds(&names)).map_or(0, |index| index + 1);
    (last + 1).clamp(OPTIONS_AT_LEAST, OPTIONS_AT_MOST)
}

fn option_fields(number: usize, names: &Names) -> [Field; 3] {
    let text = Field::line(names.text, format!("Option {number}"), "");
    [
        if number > 2 { text.optional() } else { text },
        Field::lines(names.reasons_for, format!("What spoke for option {number}"), 2)
            .hint("As it stood then. One reason a line.")
            .optional(),
        Field::lines(names.reasons_against, format!("What spoke against option {number}"), 2).optional(),
    ]
}

/// Reads the options that were typed; the numbers of those that were left empty in between close up,
/// and the number that was chosen follows its option.
fn read_options(reader: &mut Reader, values: &Values) -> (Vec<DecisionOption>, Vec<usize>) {
    let (mut options, mut places) = (Vec::new(), Vec::new());
    for (index, names) in NAMES.iter().enumerate() {
        let text = reader.optional::<Line>(names.text);
        let reasons_for = reader.lines(names.reasons_for, REASONS_AT_MOST);
        let reasons_against = reader.lines(names.reasons_against, REASONS_AT_MOST);
        match text {
            Some(text) => {
                options.push(DecisionOption { text, reasons_for, reasons_against });
                places.push(index);
            }
            None if values.get(names.text).trim().is_empty()
                && !(reasons_for.is_empty() && reasons_against.is_empty()) =>
            {
                reader.mark(names.text, "Say which option these reasons are about, or empty them.");
            }
            None => {}
        }
    }
    (options, places)
}

impl Part for DecisionPart {
    type Value = Decision;
    const TITLE: &'static str = "Decision point";
    const LEAD: &'static str = "A moment at which somebody had to choose, told as it stood then: the room will see it without what followed.";

    fn values(value: &Decision) -> Values {
        let values = Values::new()
            .with("at", value.at)
            .with("question", &value.question)
            .with_opt("chosen", value.chosen)
            .with_opt("chosen_by", value.chosen_by.as_ref())
            .with_opt("followed", value.followed.as_ref());
        NAMES.iter().zip(&value.options).fold(values, |values, (names, option)| {
            values
                .with(names.text, &option.text)
                .with(names.reasons_for, in_lines(&option.reasons_for))
                .with(names.reasons_against, in_lines(&option.reasons_against))
        })
    }

    fn fields(_: &Context, values: &Values) -> Vec<Field> {
        let count = offered(values);
        let mut fields = vec![
            Field::line("at", "Time from time zero", "w-short").hint(
                "+12 is minutes, 12:30 minutes and seconds, −3 before time zero. What happened at this very second counts as known: where an event shows what was chosen, give the second before it.",
            ),
            Field::lines("question", "The question as it stood", 2)
                .hint("“Flow is gone after the balloon, the wire is in. What next?”"),
        ];
        fields.extend(
            NAMES.iter().take(count).zip(1..).flat_map(|(names, number)| option_fields(number, names)),
        );
        let numbers = (0..count)
            .filter_map(OptionNumber::of_index)
            .map(|number| Choice::new(number, format!("Option {number}")))
            .collect();
        fields.extend([
            Field::words("chosen", "What was chosen", "Not recorded", numbers),
            Field::line("chosen_by", "By which role", "w-mid")
                .hint("A role, never a name: first operator.")
                .optional(),
            Field::new("followed", "What followed", Control::Lines(3))
                .hint("Shown only after the room has answered.")
                .optional(),
        ]);
        fields
    }

    fn read(values: &Values, context: &Context, was: Option<&Decision>) -> Result<Decision, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let at = match values.get("at").trim() {
            "" => {
                reader.mark("at", "Say when it was: what was known by then depends on it.");
                None
            }
            typed => Offset::parse_typed(typed).map_err(|error| reader.mark("at", error)).ok(),
        };
        let question = reader.required("question", "Write the question as it stood.");
        let (options, places) = read_options(&mut reader, values);
        if options.is_empty() && reader.is_clean() {
            reader.mark(
                NAMES[0].text,
                "Write at least one option; a question needs two to be asked in the room.",
            );
        }
        let chosen = reader.optional::<OptionNumber>("chosen");
        let place = chosen.and_then(|number| places.iter().position(|&place| place == number.index()));
        if let (Some(number), None) = (chosen, place) {
            reader.mark("chosen", format!("Option {number} is empty. Write it, or choose another."));
        }
        let chosen_by = reader.optional("chosen_by");
        let followed = reader.optional("followed");
        let key = was.map(|was| was.key.clone()).or_else(|| context.free_key.clone());
        let value = at.zip(question).zip(key).map(|((at, question), key)| Decision {
            key,
            at,
            question,
            options,
            chosen: place.and_then(OptionNumber::of_index),
            chosen_by,
            followed,
        });
        reader.finish(value)
    }
}

impl RowPart for DecisionPart {
    const LIST: List = List::Decision;
    const NOUN: &'static str = "decision point";
    fn rows(case: &StoredCase) -> &[Row<Decision>] {
        &case.decisions
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Decision> {
        &mut case.decisions
    }
    fn row_value(value: Decision) -> RowValue {
        RowValue::Decision(value)
    }
}
