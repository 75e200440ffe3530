//! What must hold across the parts of a case before it is stored: keys are unique and are met,
//! leaves exist, harms follow one another without a circle.

use std::collections::{BTreeMap, BTreeSet};

use super::code::Key;
use super::decision::{OPTIONS_AT_MOST, REASONS_AT_MOST};
use super::observation::{About, about, asked};
use super::picture::PICTURES_AT_MOST;
use super::record::{Action, Case, Complication};
use super::words::{ActionState, Vessel};
use crate::clinical::Family;
use crate::vocabulary::{MechanismRole, Vocabulary};

/// The most events that one case holds.
pub const EVENTS_AT_MOST: usize = 400;
/// The most laboratory values that one case holds.
pub const LABS_AT_MOST: usize = 200;
/// The most rows that any other list of a case holds.
pub const ROWS_AT_MOST: usize = 60;

/// The most events that one cause points to.
pub const SHOWN_BY_AT_MOST: usize = 20;

/// Where in a case something is: a field of it, or of a row of one of its lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// `events`, `complications` …, or `patient`, `procedure`; empty for the case itself.
    pub list: &'static str,
    /// The row of a list, from 0.
    pub index: usize,
    /// The field; empty for the whole row.
    pub field: &'static str,
}

/// Something that cannot be stored as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where.
    pub place: Place,
    /// What is wrong and what to do, in a sentence.
    pub message: String,
}

struct Findings(Vec<Problem>);

impl Findings {
    fn add(&mut self, list: &'static str, index: usize, field: &'static str, message: impl Into<String>) {
        self.0.push(Problem { place: Place { list, index, field }, message: message.into() });
    }
}

/// Every problem of a case that its types alone do not rule out, in the order of the file.
#[must_use]
pub fn check(case: &Case, vocabulary: &Vocabulary) -> Vec<Problem> {
    let mut found = Findings(Vec::new());
    check_sizes(case, &mut found);
    check_lesions(case, &mut found);
    let events = unique_keys("events", case.events.iter().map(|event| &event.key), &mut found);
    unique_keys("complications", case.complications.iter().map(|c| &c.key), &mut found);
    for (index, complication) in case.complications.iter().enumerate() {
        check_complication(case, index, complication, &events, vocabulary, &mut found);
    }
    check_chain(case, &mut found);
    check_labs(case, &mut found);
    check_observations(case, &mut found);
    check_prompts(case, &events, &mut found);
    check_decisions(case, &mut found);
    for (index, cause) in case.causes.iter().enumerate() {
        if vocabulary.cause(&cause.cause).is_none() {
            let near = vocabulary.nearest_cause(cause.cause.as_str());
            found.add(
                "causes",
                index,
                "cause",
                unknown_leaf("cause", cause.cause.as_str(), near.map(|c| c.slug.as_str())),
            );
        }
        check_shown_by(index, &cause.shown_by, &events, &mut found);
    }
    for (index, lesson) in case.lessons.iter().enumerate() {
        check_event("lessons", index, "event", lesson.event.as_ref(), &events, &mut found);
        if let Some(key) = &lesson.decision
            && !case.decisions.iter().any(|decision| decision.key == *key)
        {
            let message = format!("No decision point of this case has the key “{key}”.");
            found.add("lessons", index, "decision", message);
        }
        if lesson.signed_by.is_some() != lesson.signed_on.is_some() {
            found.add(
                "lessons",
                index,
                "signed_by",
                "A signed lesson has both signed_by and signed_on; an unsigned one has neither.",
            );
        }
    }
    for (index, picture) in case.pictures.iter().enumerate() {
        check_event("pictures", index, "event", picture.event.as_ref(), &events, &mut found);
    }
    for (index, action) in case.actions.iter().enumerate() {
        check_tied(index, action, vocabulary, &mut found);
        if action.done_on.is_some() && action.state != ActionState::Done {
            let message = "Only an action whose state is done has the day from which it was in place.";
            found.add("actions", index, "done_on", message);
        }
    }
    found.0
}

fn check_sizes(case: &Case, found: &mut Findings) {
    let mut at_most = |list: &'static str, length: usize, limit: usize| {
        if length > limit {
            found.add(
                list,
                limit,
                "",
                format!("A case holds at most {limit} {list}; this one has {length}."),
            );
        }
    };
    at_most("events", case.events.len(), EVENTS_AT_MOST);
    at_most("lesions", case.lesions.len(), ROWS_AT_MOST);
    at_most("complications", case.complications.len(), ROWS_AT_MOST);
    at_most("labs", case.labs.len(), LABS_AT_MOST);
    at_most("observations", case.observations.len(), ROWS_AT_MOST);
    at_most("prompts", case.prompts.len(), EVENTS_AT_MOST);
    at_most("decisions", case.decisions.len(), ROWS_AT_MOST);
    at_most("causes", case.causes.len(), ROWS_AT_MOST);
    at_most("lessons", case.lessons.len(), ROWS_AT_MOST);
    at_most("actions", case.actions.len(), ROWS_AT_MOST);
    at_most("pictures", case.pictures.len(), PICTURES_AT_MOST);
    if case.patient.history.len() > 20 {
        found.add("patient", 0, "history", "A patient's history holds at most 20 terms.");
    }
    let accesses: BTreeSet<_> = case.procedure.access.iter().collect();
    if accesses.len() < case.procedure.access.len() {
        found.add("procedure", 0, "access", "Each access is named once.");
    }
}

/// A diameter that was typed where the length belongs, or the other way round, is seen by its size.
fn check_lesions(case: &Case, found: &mut Findings) {
    for (index, lesion) in case.lesions.iter().enumerate() {
        if lesion.length_mm.is_some_and(|length| length.hundredths() < 100) {
            found.add("lesions", index, "length_mm", "A lesion's length is 1 to 200 mm.");
        }
        if lesion.reference_mm.is_some_and(|diameter| diameter.hundredths() > 800) {
            found.add("lesions", index, "reference_mm", "A reference diameter is 0.5 to 8 mm.");
        }
    }
}

fn check_shown_by(index: usize, keys: &[Key], events: &BTreeMap<&str, usize>, found: &mut Findings) {
    for key in keys {
        check_event("causes", index, "shown_by", Some(key), events, found);
    }
    if keys.len() > SHOWN_BY_AT_MOST {
        let message = format!("A cause names at most {SHOWN_BY_AT_MOST} events that show it.");
        found.add("causes", index, "shown_by", message);
    }
    if keys.iter().collect::<BTreeSet<_>>().len() < keys.len() {
        found.add("causes", index, "shown_by", "Each event that shows a cause is named once.");
    }
}

fn unique_keys<'a>(
    list: &'static str,
    keys: impl Iterator<Item = &'a Key>,
    found: &mut Findings,
) -> BTreeMap<&'a str, usize> {
    let mut seen = BTreeMap::new();
    for (index, key) in keys.enumerate() {
        if seen.insert(key.as_str(), index).is_some() {
            found.add(
                list,
                index,
                "key",
                format!("The key “{key}” is used twice in {list}. Give each its own."),
            );
        }
    }
    seen
}

fn unknown_leaf(list: &str, slug: &str, near: Option<&str>) -> String {
    let hint = near.map_or_else(String::new, |near| format!(" Did you mean “{near}”?"));
    format!("There is no {list} “{slug}” in this department's tree.{hint}")
}

fn check_event(
    list: &'static str,
    index: usize,
    field: &'static str,
    key: Option<&Key>,
    events: &BTreeMap<&str, usize>,
    found: &mut Findings,
) {
    if let Some(key) = key.filter(|key| !events.contains_key(key.as_str())) {
        found.add(list, index, field, format!("No event of this case has the key “{key}”."));
    }
}

fn check_complication(
    case: &Case,
    index: usize,
    complication: &Complication,
    events: &BTreeMap<&str, usize>,
    vocabulary: &Vocabulary,
    found: &mut Findings,
) {
    const LIST: &str = "complications";
    match vocabulary.mechanism(&complication.mechanism) {
        None => {
            let slug = complication.mechanism.as_str();
            let near = vocabulary.nearest_mechanism(slug).map(|m| m.slug.as_str());
            found.add(LIST, index, "mechanism", unknown_leaf("mechanism", slug, near));
        }
        Some(leaf) if leaf.role == MechanismRole::Contributory => found.add(
            LIST,
            index,
            "mechanism",
            format!(
                "“{}” only contributes to a harm. Name the harm itself here, and this among the causes.",
                leaf.label
            ),
        ),
        Some(_) => {}
    }
    check_event(LIST, index, "began", complication.began.as_ref(), events, found);
    check_event(LIST, index, "recognised", complication.recognised.as_ref(), events, found);
    check_event(LIST, index, "responded", complication.responded.as_ref(), events, found);
    check_event(LIST, index, "controlled", complication.controlled.as_ref(), events, found);
    if let Some(parent) = &complication.consequence_of
        && !case.complications.iter().any(|other| other.key == *parent)
    {
        found.add(
            LIST,
            index,
            "consequence_of",
            format!("No complication of this case has the key “{parent}”."),
        );
    }
}

fn check_labs(case: &Case, found: &mut Findings) {
    for (index, lab) in case.labs.iter().enumerate() {
        if lab.returned.is_some_and(|returned| returned < lab.drawn) {
            found.add("labs", index, "returned", "A result comes back after the sample was drawn.");
        }
    }
}

/// A case has one observation of a family that is about the whole case, and one a vessel of a
/// family that is about a vessel.
fn check_observations(case: &Case, found: &mut Findings) {
    const LIST: &str = "observations";
    let mut seen: BTreeSet<(Family, Option<Vessel>)> = BTreeSet::new();
    for (index, row) in case.observations.iter().enumerate() {
        let family = row.family();
        if asked(family).next().is_none() {
            let message = format!("“{family}” is recorded elsewhere in the case.");
            found.add(LIST, index, "family", message);
        }
        let vessel = row.segment.map(super::words::Segment::vessel);
        match about(family) {
            About::Case if row.segment.is_some() || row.complication.is_some() || row.label.is_some() => {
                let message = format!(
                    "{} is about the whole case: leave out segment, complication and label.",
                    family.label()
                );
                found.add(LIST, index, "", message);
            }
            About::Case if !seen.insert((family, None)) => {
                found.add(
                    LIST,
                    index,
                    "family",
                    format!("There are two of {} here; a case has one.", family.label()),
                );
            }
            About::Vessel if vessel.is_none() => {
                found.add(LIST, index, "segment", "Say in which vessel, by a segment of it.");
            }
            About::Vessel if !seen.insert((family, vessel)) => {
                found.add(
                    LIST,
                    index,
                    "segment",
                    format!("There are two of {} for this vessel; a vessel has one.", family.label()),
                );
            }
            _ => {}
        }
        let missing =
            row.complication.as_ref().filter(|key| !case.complications.iter().any(|c| c.key == **key));
        if let Some(key) = missing {
            found.add(
                LIST,
                index,
                "complication",
                format!("No complication of this case has the key “{key}”."),
            );
        }
    }
}

fn check_prompts(case: &Case, events: &BTreeMap<&str, usize>, found: &mut Findings) {
    const LIST: &str = "prompts";
    let mut seen = BTreeSet::new();
    for (index, remark) in case.prompts.iter().enumerate() {
        if !case.complications.iter().any(|c| c.key == remark.complication) {
            let message = format!("No complication of this case has the key “{}”.", remark.complication);
            found.add(LIST, index, "complication", message);
        }
        check_event(LIST, index, "done_at", remark.says.done_at(), events, found);
        if !seen.insert((&remark.complication, &remark.list, &remark.step)) {
            found.add(LIST, index, "step", "Something is said of this step already; say one thing of each.");
        }
    }
}

/// What is chosen is one of the options; each option and reason finds its place.
fn check_decisions(case: &Case, found: &mut Findings) {
    const LIST: &str = "decisions";
    unique_keys(LIST, case.decisions.iter().map(|decision| &decision.key), found);
    for (index, decision) in case.decisions.iter().enumerate() {
        if decision.options.len() > OPTIONS_AT_MOST {
            found.add(LIST, index, "options", format!("A decision has at most {OPTIONS_AT_MOST} options."));
        }
        let most = decision
            .options
            .iter()
            .map(|option| option.reasons_for.len().max(option.reasons_against.len()))
            .max();
        if most.is_some_and(|most| most > REASONS_AT_MOST) {
            let message =
                format!("An option has at most {REASONS_AT_MOST} reasons for it, and as many against it.");
            found.add(LIST, index, "options", message);
        }
        if let Some(number) = decision.chosen.filter(|_| decision.chosen_option().is_none()) {
            let message =
                format!("Option {number} was chosen, and the decision has {}.", decision.options.len());
            found.add(LIST, index, "chosen", message);
        }
    }
}

/// What an action answers exists, and its strength is that of its kind.
fn check_tied(index: usize, action: &Action, vocabulary: &Vocabulary, found: &mut Findings) {
    const LIST: &str = "actions";
    if let Some(slug) = action.for_cause.as_ref().filter(|slug| vocabulary.cause(slug).is_none()) {
        let near = vocabulary.nearest_cause(slug.as_str()).map(|leaf| leaf.slug.as_str());
        found.add(LIST, index, "for_cause", unknown_leaf("cause", slug.as_str(), near));
    }
    if let Some(slug) = action.for_mechanism.as_ref().filter(|slug| vocabulary.mechanism(slug).is_none()) {
        let near = vocabulary.nearest_mechanism(slug.as_str()).map(|leaf| leaf.slug.as_str());
        found.add(LIST, index, "for_mechanism", unknown_leaf("mechanism", slug.as_str(), near));
    }
    if let Some(kind) = action.kind.filter(|kind| kind.strength() != action.strength) {
        let strength = kind.strength().label().to_lowercase();
        found.add(LIST, index, "strength", format!("“{}” is a {strength} action.", kind.label()));
    }
}

fn check_chain(case: &Case, found: &mut Findings) {
    let parent_of: BTreeMap<&str, &str> = case
        .complications
        .iter()
        .filter_map(|c| Some((c.key.as_str(), c.consequence_of.as_ref()?.as_str())))
        .collect();
    for (index, complication) in case.complications.iter().enumerate() {
        let mut at = complication.key.as_str();
        let mut steps = 0;
        while let Some(parent) = parent_of.get(at) {
            at = parent;
            steps += 1;
            if at == complication.key.as_str() || steps > parent_of.len() {
                found.add(
                    "complications",
                    index,
                    "consequence_of",
                    "This harm would follow from itself. A chain of harms has a beginning.",
                );
                break;
            }
        }
    }
}
