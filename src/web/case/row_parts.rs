//! The forms of a case's lists, except events: lesions, complications, causes, lessons, actions.

use super::part::{Context, Part, RowPart, events, segments};
use crate::case::store::{Part as List, RowValue};
use crate::case::{
    Action, ActionState, Case, Cause, Complication, DissectionType, Extent, Lesion, Lesson, LessonKind,
    Medina, PerforationGrade, Row, StoredCase, Strength,
};
use crate::choices;
use crate::quantity::TimiFlow;
use crate::vocabulary::{Branch, CauseSlug, MechanismRole, MechanismSlug, Vocabulary};
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, Reader, Values};

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

    fn fields(_: &Context) -> Vec<Field> {
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

/// Leaves under their branches, as choices found by typing.
fn tree<'a, Leaf: 'a>(
    branches: &[Branch],
    leaves: impl Iterator<Item = &'a Leaf> + Clone,
    part_of: impl Fn(&Leaf, &Branch) -> bool,
    choice: impl Fn(&Leaf) -> Choice,
) -> Vec<ChoiceGroup> {
    branches
        .iter()
        .map(|branch| ChoiceGroup {
            label: branch.label.clone(),
            choices: leaves.clone().filter(|leaf| part_of(leaf, branch)).map(&choice).collect(),
        })
        .filter(|group| !group.choices.is_empty())
        .collect()
}

/// The mechanisms that can be a harm of their own, under their branches.
///
/// A leaf that the department retired is offered only where it is held, so that a row keeps it.
pub(super) fn mechanisms(vocabulary: &Vocabulary, held: impl Fn(&MechanismSlug) -> bool) -> Vec<ChoiceGroup> {
    let offered = vocabulary
        .mechanisms
        .iter()
        .filter(|leaf| leaf.role == MechanismRole::Primary && (!leaf.retired || held(&leaf.slug)))
        .collect::<Vec<_>>();
    tree(
        &vocabulary.mechanism_branches,
        offered.into_iter(),
        |leaf, branch| leaf.branch == branch.slug,
        |leaf| Choice::new(&leaf.slug, &leaf.label).found_by(leaf.words.join(", ")),
    )
}

fn cause_leaves(context: &Context) -> Vec<ChoiceGroup> {
    let vocabulary = context.vocabulary;
    let held = |slug: &CauseSlug| context.case.causes.iter().any(|row| row.value.cause == *slug);
    let offered = vocabulary.causes.iter().filter(|leaf| !leaf.retired || held(&leaf.slug));
    tree(
        &vocabulary.cause_branches,
        offered,
        |leaf, branch| leaf.branch == branch.slug,
        |leaf| {
            Choice::new(&leaf.slug, &leaf.label).found_by(format!(
                "{}, {}",
                leaf.words.join(", "),
                leaf.definition
            ))
        },
    )
}

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
            .with_opt("controlled", value.controlled.as_ref())
            .with_opt("consequence_of", value.consequence_of.as_ref())
            .with_opt("dissection", value.dissection)
            .with_opt("perforation", value.perforation)
            .with_opt("worst_flow", value.worst_flow.map(TimiFlow::grade))
    }

    fn fields(context: &Context) -> Vec<Field> {
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

/// The four flow grades as choices.
pub(super) fn flows() -> Vec<Choice> {
    TimiFlow::ALL.iter().map(|flow| Choice::new(flow.grade(), flow)).collect()
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

/// A cause.
pub(super) struct CausePart;

impl Part for CausePart {
    type Value = Cause;
    const TITLE: &'static str = "Cause";
    const LEAD: &'static str = "Something that can be acted on, not somebody.";

    fn values(value: &Cause) -> Values {
        Values::new()
            .with("cause", &value.cause)
            .with("statement", &value.statement)
            .with_all("shown_by", &value.shown_by)
    }

    fn fields(context: &Context) -> Vec<Field> {
        vec![
            Field::new(
                "cause",
                "Contributing factor",
                Control::Select { empty: Some("Choose"), groups: cause_leaves(context), by_typing: true },
            )
            .hint("Type two or three letters of the everyday word: tired, alarm, plan."),
            Field::lines("statement", "Causal statement", 4).hint(
                "Cause, then effect, then event: “Because the tip was out of view in the single projection used, the wire's exit was not visible, so advancing it lengthened the dissection.”",
            ),
            Field::new("shown_by", "Events that show it", Control::Checks(events(context.case))).optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Cause>) -> Result<Cause, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let cause = reader.required("cause", "Choose a contributing factor.");
        let statement = reader.required("statement", "Say in a sentence how it led to what happened.");
        let shown_by = reader.many("shown_by");
        let value = cause.zip(statement).map(|(cause, statement)| Cause { cause, statement, shown_by });
        reader.finish(value)
    }
}

impl RowPart for CausePart {
    const LIST: List = List::Cause;
    const NOUN: &'static str = "cause";
    fn rows(case: &StoredCase) -> &[Row<Cause>] {
        &case.causes
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Cause> {
        &mut case.causes
    }
    fn row_value(value: Cause) -> RowValue {
        RowValue::Cause(value)
    }
}

/// A lesson.
pub(super) struct LessonPart;

impl Part for LessonPart {
    type Value = Lesson;
    const TITLE: &'static str = "Lesson";
    const LEAD: &'static str =
        "What the department should do next time. An attending signs it; a change takes the signature off.";

    fn values(value: &Lesson) -> Values {
        Values::new()
            .with("kind", value.kind)
            .with("text", &value.text)
            .with_opt("event", value.event.as_ref())
    }

    fn fields(context: &Context) -> Vec<Field> {
        let kinds = LessonKind::ALL
            .iter()
            .zip([
                "so that it does not happen",
                "so that it is known sooner",
                "so that it does less harm",
                "so that people and things are where they are needed",
            ])
            .map(|(word, meaning)| Choice::new(word, word.label()).explained(meaning))
            .collect();
        vec![
            Field::new("kind", "It helps to", Control::Radios(kinds)),
            Field::lines("text", "Lesson", 4)
                .hint("One thing, said so that a colleague who was not there can do it."),
            Field::words(
                "event",
                "The event that it comes from",
                "No event in particular",
                events(context.case),
            ),
        ]
    }

    fn read(values: &Values, _: &Context, was: Option<&Lesson>) -> Result<Lesson, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let kind = reader.required("kind", "Say what the lesson helps to do.");
        let text = reader.required("text", "Write the lesson.");
        let event = reader.optional("event");
        let value = kind.zip(text).map(|(kind, text)| {
            let lesson = Lesson { kind, text, event, signed_by: None, signed_on: None };
            // A signature stands under the words that were signed, and under no others.
            match was.filter(|was| was.kind == lesson.kind && was.text == lesson.text) {
                Some(was) => Lesson { signed_by: was.signed_by.clone(), signed_on: was.signed_on, ..lesson },
                None => lesson,
            }
        });
        reader.finish(value)
    }
}

impl RowPart for LessonPart {
    const LIST: List = List::Lesson;
    const NOUN: &'static str = "lesson";
    fn rows(case: &StoredCase) -> &[Row<Lesson>] {
        &case.lessons
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Lesson> {
        &mut case.lessons
    }
    fn row_value(value: Lesson) -> RowValue {
        RowValue::Lesson(value)
    }
    fn refuse(value: &Lesson, signs: bool) -> Option<&'static str> {
        (value.signed_by.is_some() && !signs).then_some("This lesson is signed. An attending changes it.")
    }
}

/// An action.
pub(super) struct ActionPart;

impl Part for ActionPart {
    type Value = Action;
    const TITLE: &'static str = "Action";
    const LEAD: &'static str =
        "A change with an owner, a due date and a measure. Prefer what does not rest on memory.";

    fn values(value: &Action) -> Values {
        Values::new()
            .with("what", &value.what)
            .with("owner", &value.owner)
            .with("due", value.due)
            .with("strength", value.strength)
            .with_opt("measure", value.measure.as_ref())
            .with("state", value.state)
    }

    fn fields(_: &Context) -> Vec<Field> {
        let strengths = Strength::ALL
            .iter()
            .zip([
                "equipment or place makes the error hard; a forcing function; one standard; leadership takes part",
                "a checklist, redundancy, software, fewer distractions, simulation with refreshers",
                "a double check, a warning, a new policy, training once",
            ])
            .map(|(word, meaning)| Choice::new(word, word.label()).explained(meaning))
            .collect();
        vec![
            Field::lines("what", "What will be different", 3),
            Field::line("owner", "Owner's role", "w-mid").hint("A role, never a name: cath-lab lead nurse."),
            Field::new("due", "Due", Control::Line { kind: "date", width: "w-mid", unit: "" }),
            Field::new("strength", "Strength", Control::Radios(strengths)).hint(
                "The action hierarchy of RCA² (National Patient Safety Foundation, 2015; from memory).",
            ),
            Field::lines("measure", "Measure", 2).hint("One number, a period and a target.").optional(),
            Field::new("state", "State", Control::Radios(choices!(ActionState))),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Action>) -> Result<Action, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let what = reader.required("what", "Say what will be different.");
        let owner = reader.required("owner", "Say which role owns it.");
        let due = reader.required("due", "Say when it is due.");
        let strength = reader.required("strength", "Say how strong it is.");
        let measure = reader.optional("measure");
        let state = reader.optional("state").unwrap_or(ActionState::Open);
        let value = what.zip(owner).zip(due.zip(strength)).map(|((what, owner), (due, strength))| Action {
            what,
            owner,
            due,
            strength,
            measure,
            state,
        });
        reader.finish(value)
    }
}

impl RowPart for ActionPart {
    const LIST: List = List::Action;
    const NOUN: &'static str = "action";
    fn rows(case: &StoredCase) -> &[Row<Action>] {
        &case.actions
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Action> {
        &mut case.actions
    }
    fn row_value(value: Action) -> RowValue {
        RowValue::Action(value)
    }
}
