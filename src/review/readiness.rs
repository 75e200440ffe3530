//! What a case must hold before it is ready to be presented.

use crate::case::consistency::contradictions;
use crate::case::identifier::Place;
use crate::case::reading::words::join;
use crate::case::{Complication, StoredCase};

/// Fewer events than this tell no story. Our own convention.
pub const EVENTS_AT_LEAST: usize = 5;

/// A narrative beyond so many words is not read to the end: five minutes of reading at about 240 words a
/// minute (silent reading of English prose: Brysbaert, J Mem Lang 2019;109:104047, 238 (from memory)). The
/// limit itself is our own convention.
pub const NARRATIVE_WORDS_AT_MOST: usize = 1_200;

/// A section of the case page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the headings say it")]
pub enum Section {
    Situation,
    Patient,
    Procedure,
    Lesions,
    Timeline,
    Pictures,
    Complications,
    Causes,
    Decisions,
    Lessons,
    Actions,
    Outcome,
    Narrative,
}

impl Section {
    /// Every section.
    pub const ALL: [Self; 13] = [
        Self::Situation,
        Self::Patient,
        Self::Procedure,
        Self::Lesions,
        Self::Timeline,
        Self::Pictures,
        Self::Complications,
        Self::Causes,
        Self::Decisions,
        Self::Lessons,
        Self::Actions,
        Self::Outcome,
        Self::Narrative,
    ];

    /// The section in which a text of a case stands.
    #[must_use]
    pub const fn of(place: &Place) -> Self {
        match place {
            Place::Title | Place::Situation => Self::Situation,
            Place::History(_) => Self::Patient,
            Place::Strategy => Self::Procedure,
            Place::TimeZero | Place::Event(_) => Self::Timeline,
            Place::Picture(_) | Place::PictureCaption(_) => Self::Pictures,
            Place::Observation(_) | Place::Remark(_) => Self::Complications,
            Place::Cause(_) => Self::Causes,
            Place::Decision(..) => Self::Decisions,
            Place::Lesson(_) | Place::Recurring(_) => Self::Lessons,
            Place::Action(_) | Place::ActionOwner(_) | Place::ActionMeasure(_) | Place::ActionTarget(_) => {
                Self::Actions
            }
            Place::Discharge => Self::Outcome,
            Place::Narrative => Self::Narrative,
        }
    }

    /// The name of its place on the page.
    #[must_use]
    pub const fn anchor(self) -> &'static str {
        match self {
            Self::Situation => "situation",
            Self::Patient => "patient",
            Self::Procedure => "procedure",
            Self::Lesions => "lesions",
            Self::Timeline => "timeline",
            Self::Pictures => "pictures",
            Self::Complications => "complications",
            Self::Causes => "causes",
            Self::Decisions => "decisions",
            Self::Lessons => "lessons",
            Self::Actions => "actions",
            Self::Outcome => "outcome",
            Self::Narrative => "narrative",
        }
    }

    /// Its heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Situation => "Situation",
            Self::Patient => "Patient",
            Self::Procedure => "Procedure",
            Self::Lesions => "Lesions",
            Self::Timeline => "Timeline",
            Self::Pictures => "Pictures",
            Self::Complications => "What it was",
            Self::Causes => "Why",
            Self::Decisions => "Decisions",
            Self::Lessons => "Lessons",
            Self::Actions => "Actions",
            Self::Outcome => "How it ended",
            Self::Narrative => "Narrative",
        }
    }
}

/// One thing that a ready case holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// Whether the case holds it.
    pub done: bool,
    /// What it is, as a noun phrase: "A signature under lesson 2".
    pub text: String,
    /// What to do about it, as a button says it: "Sign the lesson".
    pub ask: &'static str,
    /// Whether it takes an attending.
    pub takes_signer: bool,
    /// Where it belongs.
    pub place: Section,
    /// The page on which it is settled, behind the address of the case; none where it is on the case's own.
    pub page: Option<&'static str>,
}

impl Check {
    /// Where it leads, behind the address of the case: `#lessons`, `/identifiers`.
    #[must_use]
    pub fn href(&self) -> String {
        self.page.map_or_else(|| format!("#{}", self.place.anchor()), str::to_owned)
    }
}

/// Everything that a ready case holds, done or not, in the order of the page.
#[must_use]
pub fn checks(case: &StoredCase) -> Vec<Check> {
    let mut checks = Vec::new();
    let mut add = |place, done, text: String, ask| {
        checks.push(Check { done, text, ask, takes_signer: false, place, page: None })
    };
    add(
        Section::Situation,
        case.head.situation.is_some(),
        "The situation in two sentences".to_owned(),
        "Write the situation",
    );
    patient(case, &mut add);
    procedure(case, &mut add);
    add(
        Section::Lesions,
        !case.lesions.is_empty(),
        "A lesion that was treated or met".to_owned(),
        "Add a lesion",
    );
    timeline(case, &mut add);
    complications(case, &mut add);
    causes(case, &mut add);
    decisions(case, &mut add);
    lessons(case, &mut checks);
    outcome(case, &mut checks);
    identifiers(case, &mut checks);
    checks
}

/// What a case still lacks, in the order of the page.
#[must_use]
pub fn missing(case: &StoredCase) -> Vec<Check> {
    checks(case).into_iter().filter(|check| !check.done).collect()
}

/// Whether a case holds all that a ready case holds.
#[must_use]
pub fn is_ready(case: &StoredCase) -> bool {
    checks(case).iter().all(|check| check.done)
}

/// Adds a check: where, whether it is done, what it is, what to do.
type Add<'a> = dyn FnMut(Section, bool, String, &'static str) + 'a;

/// The names of those that are absent, or of all when none is.
fn open_or_all(parts: &[(&str, bool)]) -> (bool, String) {
    let open: Vec<&str> = parts.iter().filter(|(_, there)| !there).map(|(name, _)| *name).collect();
    let all: Vec<&str> = parts.iter().map(|(name, _)| *name).collect();
    (open.is_empty(), join(if open.is_empty() { &all } else { &open }))
}

fn patient(case: &StoredCase, add: &mut Add<'_>) {
    let patient = &case.head.patient;
    let (done, names) = open_or_all(&[
        ("age", patient.age.is_some()),
        ("sex", patient.sex.is_some()),
        ("presentation", patient.presentation.is_some()),
    ]);
    add(Section::Patient, done, format!("The patient's {names}"), "Describe the patient");
}

fn procedure(case: &StoredCase, add: &mut Add<'_>) {
    let procedure = &case.head.procedure;
    let (done, names) =
        open_or_all(&[("access", !procedure.access.is_empty()), ("urgency", procedure.urgency.is_some())]);
    add(Section::Procedure, done, format!("The procedure's {names}"), "Describe the procedure");
}

fn timeline(case: &StoredCase, add: &mut Add<'_>) {
    let time_zero = case.head.time_zero.is_some();
    add(Section::Timeline, time_zero, "What time zero is, in words".to_owned(), "Say what time zero is");
    let done = case.events.len() >= EVENTS_AT_LEAST;
    let so_far = match case.events.len() {
        _ if done => String::new(),
        0 => " (none so far)".to_owned(),
        count => format!(" ({count} so far)"),
    };
    add(Section::Timeline, done, format!("A timeline of at least five events{so_far}"), "Add events");
}

fn complications(case: &StoredCase, add: &mut Add<'_>) {
    const PLACE: Section = Section::Complications;
    if case.complications.is_empty() {
        add(PLACE, false, "A complication with its mechanism".to_owned(), "Say what it was");
        return;
    }
    for (index, row) in case.complications.iter().enumerate() {
        let complication = &row.value;
        let name = match case.complications.len() {
            1 => "the complication".to_owned(),
            _ => format!("complication {}", index + 1),
        };
        let (done, names) = open_or_all(&[
            ("began", complication.began.is_some()),
            ("was recognised", complication.recognised.is_some()),
            ("was controlled, or accepted as it was", complication.controlled.is_some()),
        ]);
        let events = if done || absent(complication) > 1 { "The events where" } else { "The event where" };
        add(PLACE, done, format!("{events} {name} {names}"), "Link the events");
    }
    let reading = crate::case::reading::Reading::of(&case.events, &case.complications);
    for found in contradictions(case, &reading) {
        let text = format!("Agreement within the record: {}", found.sentence);
        add(PLACE, false, text.trim_end_matches('.').to_owned(), "Mend the contradiction");
    }
}

fn absent(complication: &Complication) -> usize {
    [&complication.began, &complication.recognised, &complication.controlled]
        .iter()
        .filter(|end| end.is_none())
        .count()
}

fn causes(case: &StoredCase, add: &mut Add<'_>) {
    let any = !case.causes.is_empty();
    add(Section::Causes, any, "At least one cause".to_owned(), "Write the first cause");
    if any {
        let shown = case.causes.iter().map(|row| !row.value.shown_by.is_empty());
        let (done, which) = numbered("cause", shown);
        add(Section::Causes, done, format!("An event that shows {which}"), "Link the events");
    }
}

/// Whether all hold, and which do not; "each cause" when all do.
fn numbered(what: &str, holds: impl ExactSizeIterator<Item = bool>) -> (bool, String) {
    let count = holds.len();
    let open: Vec<String> =
        holds.enumerate().filter(|(_, holds)| !holds).map(|(index, _)| (index + 1).to_string()).collect();
    let which = match open.as_slice() {
        [] if count > 1 => format!("each {what}"),
        [] => format!("the {what}"),
        [_] if count == 1 => format!("the {what}"),
        [one] => format!("{what} {one}"),
        many => format!("{what}s {}", join(many)),
    };
    (open.is_empty(), which)
}

/// A question with one answer is none: each decision point has a second option.
fn decisions(case: &StoredCase, add: &mut Add<'_>) {
    if !case.decisions.is_empty() {
        let several = case.decisions.iter().map(|row| row.value.options.len() > 1);
        let (done, which) = numbered("decision point", several);
        add(Section::Decisions, done, format!("A second option at {which}"), "Add an option");
    }
}

fn lessons(case: &StoredCase, checks: &mut Vec<Check>) {
    const PLACE: Section = Section::Lessons;
    let any = !case.lessons.is_empty();
    let text = "At least one lesson".to_owned();
    checks.push(Check {
        done: any,
        text,
        ask: "Write the first lesson",
        takes_signer: false,
        place: PLACE,
        page: None,
    });
    if any {
        let signed =
            case.lessons.iter().map(|row| row.value.signed_by.is_some() && row.value.signed_on.is_some());
        let (done, which) = numbered("lesson", signed);
        let text = format!("An attending's signature under {which}");
        checks.push(Check {
            done,
            text,
            ask: "Sign the lessons",
            takes_signer: true,
            place: PLACE,
            page: None,
        });
    }
}

/// Words that look like a name, a date or a number of somebody: one check for each place.
fn identifiers(case: &StoredCase, checks: &mut Vec<Check>) {
    const ASK: &str = "Settle what may identify somebody";
    for one in &case.identifiers {
        let place = Section::of(&one.place);
        checks.push(Check {
            done: false,
            text: format!(
                "Words that identify nobody under “{}”: “{}” may be a {}",
                place.heading(),
                one.words,
                one.kind.to_lowercase()
            ),
            ask: ASK,
            takes_signer: false,
            place,
            page: Some("/identifiers"),
        });
    }
    if !case.is_held() {
        checks.push(Check {
            done: true,
            text: "Words in which nothing was found that may identify somebody".to_owned(),
            ask: ASK,
            takes_signer: false,
            place: Section::Narrative,
            page: None,
        });
    }
}

fn outcome(case: &StoredCase, checks: &mut Vec<Check>) {
    let outcome = &case.head.outcome;
    let (done, names) = open_or_all(&[
        ("the state at discharge", outcome.discharge.is_some()),
        ("the degree of harm", outcome.harm.is_some()),
    ]);
    let text = crate::case::reading::words::upper_first(&names);
    checks.push(Check {
        done,
        text,
        ask: "Say how it ended",
        takes_signer: false,
        place: Section::Outcome,
        page: None,
    });
    checks.push(Check {
        done: case.head.narrative.is_some(),
        text: "The narrative: what happened and the thinking, in order".to_owned(),
        ask: "Write the narrative",
        takes_signer: false,
        place: Section::Narrative,
        page: None,
    });
    if let Some(narrative) = &case.head.narrative {
        let words = narrative.as_str().split_whitespace().count();
        let done = words <= NARRATIVE_WORDS_AT_MOST;
        let so_far = if done { String::new() } else { format!(" ({words} so far)") };
        checks.push(Check {
            done,
            text: format!("A narrative of at most {NARRATIVE_WORDS_AT_MOST} words{so_far}"),
            ask: "Shorten the narrative",
            takes_signer: false,
            place: Section::Narrative,
            page: None,
        });
    }
}
