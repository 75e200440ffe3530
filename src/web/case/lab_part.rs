//! The form of a laboratory value. The test is chosen before the form is opened, because each has
//! its own units, and biomarkers their limit.

use super::part::{Context, Part, RowPart};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Lab, LabResult, LabTest, Row, StoredCase};
use crate::department::unit_of;
use crate::quantity::Offset;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values, capitalised};

/// A laboratory value.
pub(super) struct LabPart;

/// The name that the unit of a test is remembered by.
const fn quantity(test: LabTest) -> &'static str {
    test.slug()
}

fn test_of(values: &Values) -> Option<LabTest> {
    values.get("test").parse().ok()
}

impl Part for LabPart {
    type Value = Lab;
    const TITLE: &'static str = "Laboratory value";
    const LEAD: &'static str =
        "When it was drawn, and when somebody could know it. Never a date or a time of day.";

    fn title(values: &Values) -> String {
        test_of(values).map_or_else(|| Self::TITLE.to_owned(), |test| test.label().to_owned())
    }

    fn values(value: &Lab) -> Values {
        Values::new()
            .with("test", value.result.test())
            .with("drawn", value.drawn)
            .with_opt("returned", value.returned)
            .with_quantity("value", &value.result.value())
            .with_quantity("limit", &value.result.limit().unwrap_or_default())
    }

    fn fields(context: &Context, values: &Values) -> Vec<Field> {
        let time = |name, label: &str, hint: &str| Field::line(name, label, "w-short").hint(hint);
        let times = [
            time("drawn", "Drawn", "From time zero: −2h, +6h, 1 d 4h. −30 is half an hour before."),
            time("returned", "Result came back", "Nobody knew it before. Empty: not recorded.").optional(),
        ];
        let Some(test) = test_of(values) else {
            let tests = LabTest::ALL.iter().map(|test| Choice::new(test, test.label())).collect();
            let mut fields = vec![Field::new("test", "What was measured", Control::Radios(tests))];
            fields.extend(times);
            fields.push(Field::line("value", "Value with its unit", "w-mid").hint("Such as 1.1 mg/dL."));
            fields.push(
                Field::line("limit", "Limit of the assay with its unit", "w-mid")
                    .hint("Troponin and CK-MB mean nothing without it.")
                    .optional(),
            );
            return fields;
        };
        let usual = context.department.units.usual(quantity(test), test.units());
        let mut fields = vec![Field::hidden("test")];
        fields.extend(times);
        fields.push(Field::quantity("value", "Value", test.units(), usual));
        if test.needs_limit() {
            let label = capitalised(test.limit_words());
            fields.push(
                Field::quantity("limit", label, test.units(), usual)
                    .hint("The value means nothing without it. Take the sex-specific one where your laboratory has one."),
            );
        }
        fields
    }

    fn read(values: &Values, _: &Context, _: Option<&Lab>) -> Result<Lab, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let test = reader.required::<LabTest>("test", "Choose what was measured.");
        let Some(test) = test else { return reader.finish(None) };
        let drawn = reader.required::<Offset>("drawn", "Say when it was drawn, from time zero.");
        let returned = reader.optional("returned");
        let (value, limit) = (values.quantity("value"), values.quantity("limit"));
        if value.is_empty() {
            reader.mark("value", "Type the value.");
            return reader.finish(None);
        }
        let limit = (!limit.is_empty() && test.needs_limit()).then_some(limit.as_str());
        let result =
            LabResult::read(test, &value, limit).map_err(|error| reader.mark(error.field(), &error)).ok();
        let lab = drawn.zip(result).map(|(drawn, result)| Lab { drawn, returned, result });
        reader.finish(lab)
    }

    fn units(value: &Lab) -> Vec<(&'static str, String)> {
        vec![(quantity(value.result.test()), unit_of(&value.result.value()).to_owned())]
    }
}

impl RowPart for LabPart {
    const LIST: List = List::Lab;
    const NOUN: &'static str = "value";
    fn rows(case: &StoredCase) -> &[Row<Lab>] {
        &case.labs
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Lab> {
        &mut case.labs
    }
    fn row_value(value: Lab) -> RowValue {
        RowValue::Lab(value)
    }

    /// The limit of the assay is the same through a case: it is offered again.
    fn fresh(context: &Context, values: Values) -> Values {
        let test = test_of(&values);
        let mut rows = context.case.labs.iter().rev().map(|row| &row.value.result);
        match rows.find(|result| Some(result.test()) == test).and_then(LabResult::limit) {
            Some(limit) if values.get("limit").is_empty() => values.with_quantity("limit", &limit),
            _ => values,
        }
    }
}
