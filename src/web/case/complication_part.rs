//! The form of a complication.

use super::leaf_choices::mechanisms;
use super::part::{Context, Part, RowPart, events, flows, segments};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Complication, DissectionType, PerforationGrade, Row, StoredCase};
use crate::quantity::TimiFlow;
use crate::vocabulary::MechanismSlug;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// A complication.
pub(super) struct ComplicationPart;

impl Part for ComplicationPart {
    type Value = Complication;
    const TITLE: &'static str = "What it was";

    fn values(value: &Complication) -> Values {
        Values::new()
            .with("mechanism", &value.mechanism)
            .with_opt("segment", value.segment)
            .with_opt("began", value.began.as_ref())
            .with_opt("recognised", value.recognised.as_ref())
            .with_opt("responded", value.responded.as_ref())
            .with_opt("controlled", value.controlled.as_ref())
            .with_opt("consequence_of", value.consequence_of.as_ref())
            .with_opt("dissection", value.dissection)
            .with_opt("perforation", value.perforation)
            .with_opt("worst_flow", value.worst_flow.map(TimiFlow::grade))
    }

    fn fields(context: &Context, _: &Values) -> Vec<Field> {
        let event = |name, label: &str, hint: &str| {
            Field::words(name, label, "Not linked yet", events(context.case)).hint(hint)
        };
        let others = context
            .case
            .complications
            .iter()
            .map(|row| {
                let segment =
                    row.value.segment.map_or_else(String::new, |segment| format!(", {}", segment.label()));
                let label = context.vocabulary.mechanism_label(&row.value.mechanism);
                Choice::new(&row.value.key, format!("{label}{segment}"))
            })
            .collect();
        let held =
            |slug: &MechanismSlug| context.case.complications.iter().any(|row| row.value.mechanism == *slug);
        let mut fields = vec![
            Field::new(
                "mechanism",
                "Mechanism",
                Control::Select {
                    empty: Some("Choose"),
                    groups: mechanisms(context.vocabulary, held),
                    by_typing: true,
                },
            )
            .hint(
                "How the harm came about. Type two or three letters of the everyday word: hole, stuck, flow.",
            ),
            Field::new(
                "segment",
                "Vessel or branch",
                Control::Select {
                    empty: Some("None of the coronary tree"),
                    groups: segments(),
                    by_typing: true,
                },
            ),
            event("began", "It began with", "The event that started it, seen or not at the time."),
            event("recognised", "It was recognised at", "The event at which somebody knew."),
            event(
                "responded",
                "The first response was",
                "The first thing that was done about it, by whoever did it.",
            ),
            event("controlled", "It was controlled at", "The event from which the harm no longer grew."),
            Field::words("consequence_of", "It followed from", "Nothing: it is an index harm", others)
                .hint("When one harm led to another, they are drawn as one chain."),
        ];
        fields.extend([
            Field::words("dissection", "Dissection, NHLBI type", "Not a dissection", dissections()),
            Field::words("perforation", "Perforation, Ellis type", "Not a perforation", perforations()),
            Field::words("worst_flow", "Worst flow that it left", "Not recorded", flows()),
        ]);
        fields
    }

    fn read(
        values: &Values,
        context: &Context,
        was: Option<&Complication>,
    ) -> Result<Complication, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let mechanism = reader.required("mechanism", "Choose a mechanism; “Not determined” is one.");
        let key = was.map(|was| was.key.clone()).or_else(|| context.free_key.clone());
        let segment = reader.optional("segment");
        let began = reader.optional("began");
        let recognised = reader.optional("recognised");
        let responded = reader.optional("responded");
        let controlled = reader.optional("controlled");
        let dissection = reader.optional("dissection");
        let perforation = reader.optional("perforation");
        let worst_flow = reader.optional("worst_flow");
        let consequence_of = reader.optional("consequence_of");
        let value = mechanism.zip(key).map(|(mechanism, key)| Complication {
            key,
            mechanism,
            segment,
            began,
            recognised,
            responded,
            controlled,
            dissection,
            perforation,
            worst_flow,
            consequence_of,
        });
        reader.finish(value)
    }
}

fn dissections() -> Vec<Choice> {
    let meanings = [
        "lucency in the lumen, little contrast left after",
        "double lumen, little contrast left after",
        "contrast outside the lumen persists",
        "spiral",
        "new, persistent filling defect",
        "impaired flow or occlusion, none of A to E",
    ];
    DissectionType::ALL
        .iter()
        .zip(meanings)
        .map(|(word, meaning)| Choice::new(word, format!("{word}: {meaning}")))
        .collect()
}

fn perforations() -> Vec<Choice> {
    let meanings = [
        "crater, no extravasation",
        "pericardial or myocardial blush, no jet",
        "jet through a hole of 1 mm or more",
        "into a chamber, the coronary sinus or a vein",
        "distal, by a wire",
    ];
    PerforationGrade::ALL
        .iter()
        .zip(meanings)
        .map(|(word, meaning)| Choice::new(word, format!("{}: {meaning}", word.label())))
        .collect()
}

impl RowPart for ComplicationPart {
    const LIST: List = List::Complication;
    const NOUN: &'static str = "complication";
    fn rows(case: &StoredCase) -> &[Row<Complication>] {
        &case.complications
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Complication> {
        &mut case.complications
    }
    fn row_value(value: Complication) -> RowValue {
        RowValue::Complication(value)
    }
}
