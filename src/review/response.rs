//! Response prompts of a case: for each complication that a list is for, what the events show of
//! its steps, with the time from the onset.
//!
//! A teaching aid; [`crate::response::CAUTION`] is printed with it.

use crate::case::reading::Reading;
use crate::case::{Complication, Event, Key, Row, Says, Segment, StoredCase, Vessel, YesNo};
use crate::response::{
    Course, Near, Occurrence, PromptList, Question, QuestionState, Said, Set, SettledBy, Step, StepState,
    answers, follow,
};
use crate::timeline::Elapsed;

/// A list laid beside one complication of a case.
#[derive(Debug)]
pub struct Response<'a> {
    /// The complication.
    pub complication: &'a Row<Complication>,
    /// The list.
    pub list: &'a PromptList,
    /// Its questions, those that matter, in their order.
    pub questions: Vec<Asked<'a>>,
    /// Its steps, in their order.
    pub steps: Vec<Told<'a>>,
}

/// A question of a list and how it stands.
#[derive(Debug)]
pub struct Asked<'a> {
    /// The question.
    pub question: &'a Question,
    /// How it stands.
    pub state: QuestionState,
}

/// A step of a list and what is known of it.
#[derive(Debug)]
pub struct Told<'a> {
    /// The step.
    pub step: &'a Step,
    /// What is known of it.
    pub state: StepState,
    /// The time from the onset to the event that shows it, where both are known.
    pub after: Option<Elapsed>,
    /// The step that it should have come before.
    pub late_for: Option<&'a Step>,
    /// Whether a person set it.
    pub set_by_person: bool,
}

/// What the lists say of a case, in the order of its complications. A complication that followed
/// from another with the same list brings it once: one response is not asked for twice.
#[must_use]
pub fn responses<'a>(case: &'a StoredCase, reading: &Reading, lists: &'a [PromptList]) -> Vec<Response<'a>> {
    let mut found = Vec::new();
    for row in &case.complications {
        let mine = lists.iter().filter(|list| list.is_for(row.value.mechanism.as_str()));
        for list in mine.filter(|list| !parent_has(case, &row.value, list)) {
            found.push(response(case, reading, row, list));
        }
    }
    found
}

/// Whether a harm that this one followed from, however far back, has the list already.
fn parent_has(case: &StoredCase, harm: &Complication, list: &PromptList) -> bool {
    let mut at = harm.consequence_of.as_ref();
    // A chain has no circle; the bound keeps a broken one from turning for ever.
    for _ in 0..case.complications.len() {
        let parent = at.and_then(|key| case.complications.iter().find(|row| row.value.key == *key));
        let Some(parent) = parent else { return false };
        if list.is_for(parent.value.mechanism.as_str()) {
            return true;
        }
        at = parent.value.consequence_of.as_ref();
    }
    false
}

fn response<'a>(
    case: &'a StoredCase,
    reading: &Reading,
    row: &'a Row<Complication>,
    list: &'a PromptList,
) -> Response<'a> {
    let harm = &row.value;
    let place = |key: &Option<Key>| key.as_ref().and_then(|key| place_of(reading, key));
    let course = Course {
        mechanism: harm.mechanism.as_str(),
        onset: place(&harm.began),
        recognised: place(&harm.recognised),
    };
    let occurrences: Vec<Occurrence> =
        case.events.iter().filter_map(|row| occurrence(&row.value, harm.segment, reading)).collect();
    let said = said(case, reading, harm, list);
    let began = harm.began.as_ref().and_then(|key| reading.moment(key));
    let moment = |place: usize| {
        case.events.iter().find_map(|row| reading.moment(&row.value.key).filter(|at| at.place() == place))
    };
    let steps = follow(list, course, &occurrences, &said)
        .into_iter()
        .map(|result| Told {
            after: match result.state {
                StepState::Done { at } => {
                    began.zip(moment(at)).and_then(|(began, at)| Elapsed::between(began, at))
                }
                _ => None,
            },
            late_for: result.late_for.and_then(|slug| list.steps().iter().find(|step| step.slug == *slug)),
            step: result.step,
            state: result.state,
            set_by_person: result.set_by_person,
        })
        .collect();
    let questions = answers(list, course, &occurrences, &said)
        .into_iter()
        .map(|result| Asked { question: result.question, state: result.state })
        .filter(|asked| !matches!(asked.state, QuestionState::NotYet { .. } | QuestionState::NotAsked { .. }))
        .collect();
    Response { complication: row, list, questions, steps }
}

fn place_of(reading: &Reading, key: &Key) -> Option<usize> {
    reading.moment(key).map(crate::timeline::Moment::place)
}

fn occurrence<'a>(event: &'a Event, harm: Option<Segment>, reading: &Reading) -> Option<Occurrence<'a>> {
    Some(Occurrence {
        place: place_of(reading, &event.key)?,
        kind: event.kind.slug(),
        device: event.device.map(|device| device.slug()),
        near: near(event.segment, harm),
        flow: event.flow,
        text: event.text.as_ref().map_or("", |text| text.as_str()),
    })
}

/// Where an event lies, seen from the vessel of the harm.
fn near(event: Option<Segment>, harm: Option<Segment>) -> Near {
    let (Some(event), Some(harm)) = (event.map(Segment::vessel), harm.map(Segment::vessel)) else {
        return Near::NotSaid;
    };
    if event == harm {
        Near::Same
    } else if is_upstream(event, harm) || is_upstream(harm, event) {
        Near::SameTree
    } else {
        Near::Elsewhere
    }
}

fn is_upstream(vessel: Vessel, of: Vessel) -> bool {
    let mut at = of.parent();
    while let Some(parent) = at {
        if parent == vessel {
            return true;
        }
        at = parent.parent();
    }
    false
}

/// What people said of a list's steps and questions, for one complication.
fn said(case: &StoredCase, reading: &Reading, harm: &Complication, list: &PromptList) -> Vec<Said> {
    let own = case
        .prompts
        .iter()
        .map(|row| &row.value)
        .filter(|remark| remark.complication == harm.key && remark.list.as_str() == list.slug().as_str());
    own.filter_map(|remark| {
        let is_step = list.steps().iter().any(|step| step.slug.as_str() == remark.step.as_str());
        let set = match &remark.says {
            Says::DoneAt(event) => Set::DoneAt(place_of(reading, event)?),
            Says::DoesNotApply(because) => Set::DoesNotApply(because.to_string()),
            // Of a step, "no" says that no event shows it.
            Says::Answer(YesNo::No) if is_step => Set::NotRecorded,
            Says::Answer(YesNo::Yes) if is_step => return None,
            Says::Answer(YesNo::Yes) => Set::Yes,
            Says::Answer(YesNo::No) => Set::No,
        };
        Some(Said { slug: remark.step.to_string(), set })
    })
    .collect()
}

/// `26 min after the onset`; `at the onset`.
#[must_use]
pub fn after_onset(after: Elapsed) -> String {
    if after == Elapsed::NONE { "at the onset".to_owned() } else { format!("{after} after the onset") }
}

impl Told<'_> {
    /// How it stands, in a word or two: done, done before, not recorded …
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self.state {
            StepState::Done { .. } => "done",
            StepState::DoneBefore { .. } => "done before",
            StepState::NotRecorded { .. } => "not recorded",
            StepState::DoesNotApply { .. } => "does not apply",
            StepState::OtherBranch { .. } => "other branch",
            StepState::Waits { .. } => "open",
        }
    }
}

impl Asked<'_> {
    /// The answer and who gave it, in words; none while it is open.
    #[must_use]
    pub fn answer(&self) -> Option<String> {
        let QuestionState::Settled { answer, by } = &self.state else { return None };
        let who = match by {
            SettledBy::Person => "as answered".to_owned(),
            SettledBy::Mechanism => "by the mechanism".to_owned(),
            SettledBy::Event { at } => format!("by event {}", at + 1),
        };
        let answer = match answer {
            crate::response::Answer::Yes => "Yes",
            crate::response::Answer::No => "No",
        };
        Some(format!("{answer}, {who}"))
    }
}
