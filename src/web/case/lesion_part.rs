//! The form of a lesion.

use super::part::{Context, Part, RowPart, segments};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Extent, Lesion, Medina, Row, StoredCase};
use crate::choices;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// A lesion.
pub(super) struct LesionPart;

impl Part for LesionPart {
    type Value = Lesion;
    const TITLE: &'static str = "Lesion";

    fn values(value: &Lesion) -> Values {
        Values::new()
            .with("segment", value.segment)
            .with_opt("calcification", value.calcification)
            .with_opt("tortuosity", value.tortuosity)
            .with_opt("medina", value.medina)
            .with_opt("cto", value.cto.then_some("yes"))
            .with_opt("ostial", value.ostial.then_some("yes"))
            .with_opt("length_mm", value.length_mm)
            .with_opt("reference_mm", value.reference_mm)
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        let medina = Medina::ALL
            .iter()
            .map(|class| {
                let kind = if class.is_true_bifurcation() { " (true bifurcation)" } else { "" };
                Choice::new(class, format!("{class}{kind}"))
            })
            .collect();
        vec![
            Field::new(
                "segment",
                "Segment",
                Control::Select { empty: Some("Choose"), groups: segments(), by_typing: true },
            )
            .hint("Type two or three letters: lad, d1, 7."),
            Field::words("calcification", "Calcification", "Not recorded", choices!(Extent)),
            Field::words("tortuosity", "Tortuosity on the way to it", "Not recorded", choices!(Extent)),
            Field::words("medina", "Medina class", "Not a bifurcation", medina).hint(
                "Proximal main, distal main, side branch: 1 where the diameter stenosis is 50 % or more.",
            ),
            Field::new("cto", "Chronic total occlusion", Control::Toggle),
            Field::new("ostial", "Ostial", Control::Toggle),
            Field::number("length_mm", "Length", "mm").optional(),
            Field::number("reference_mm", "Reference diameter", "mm").optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Lesion>) -> Result<Lesion, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let segment = reader.required("segment", "Say in which segment the lesion is.");
        let calcification = reader.optional("calcification");
        let tortuosity = reader.optional("tortuosity");
        let medina = reader.optional("medina");
        let length_mm = reader.optional("length_mm");
        let reference_mm = reader.optional("reference_mm");
        let value = segment.map(|segment| Lesion {
            segment,
            calcification,
            tortuosity,
            medina,
            cto: values.ticked("cto"),
            ostial: values.ticked("ostial"),
            length_mm,
            reference_mm,
        });
        reader.finish(value)
    }
}

impl RowPart for LesionPart {
    const LIST: List = List::Lesion;
    const NOUN: &'static str = "lesion";
    fn rows(case: &StoredCase) -> &[Row<Lesion>] {
        &case.lesions
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Lesion> {
        &mut case.lesions
    }
    fn row_value(value: Lesion) -> RowValue {
        RowValue::Lesion(value)
    }
}
