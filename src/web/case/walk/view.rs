//! The pages of a walk up to its last stop, made ready for their templates.

use askama::Template;

use super::path_of;
use crate::case::reading::words::{count, lower_first};
use crate::case::{DecisionOption, Lesson, Line, OptionNumber, Row, StoredCase};
use crate::review::walk::{Question, Told, Walk};
use crate::web::case::decision::chosen_in_words;
use crate::web::case::items::{Fact, patient_facts};
use crate::web::case::known::ThenView;
use crate::web::case::lesson_items::signed_by;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Values};
use crate::web::frame::Frame;
use crate::web::state::App;

/// The case as it stood before anything happened. Title, situation, story and the name of time zero were
/// written with hindsight, and so were the lists of arteries that were entered and of lesions that were met.
struct Before {
    patient: Vec<Fact>,
    plan: Vec<Fact>,
}

impl Before {
    fn of(case: &StoredCase) -> Self {
        let procedure = &case.head.procedure;
        Self {
            patient: patient_facts(case),
            plan: vec![
                Fact::new("Urgency", procedure.urgency.map(|word| word.label())),
                Fact::wide("Plan", procedure.strategy.as_ref()),
            ],
        }
    }
}

#[derive(Template)]
#[template(path = "case/walk_start.html")]
pub(super) struct StartPage {
    frame: Frame,
    code: String,
    before: Before,
    /// How many stops there are, in a sentence.
    stops: String,
    /// Where it goes on, and what the button says.
    ahead: String,
    go_on: String,
    begun: bool,
    /// The case's title; none while there is something to choose.
    title: Option<String>,
    writes: bool,
}

impl StartPage {
    pub(super) fn of(frame: Frame, case: &StoredCase, walk: &Walk, writes: bool) -> Self {
        Self {
            frame,
            code: case.code.to_string(),
            before: Before::of(case),
            stops: match walk.len() {
                1 => "There is one stop.".to_owned(),
                stops => format!("There are {} stops.", count(stops).to_lowercase()),
            },
            ahead: path_of(case, walk.ahead()),
            go_on: match (walk.is_begun(), walk.is_done()) {
                (false, _) => "Begin".to_owned(),
                (true, true) => "To the end".to_owned(),
                (true, false) => format!("Go on at stop {}", walk.ahead()),
            },
            begun: walk.is_begun(),
            title: walk.is_empty().then(|| case.head.title.to_string()),
            writes,
        }
    }
}

/// What every stop shows at its top.
struct Stop {
    code: String,
    number: usize,
    of: usize,
    time: String,
    question: String,
    before: Before,
}

impl Stop {
    fn of((case, walk): (&StoredCase, &Walk), question: &Question) -> Self {
        Self {
            code: case.code.to_string(),
            number: question.number,
            of: walk.len(),
            time: question.at.to_string(),
            question: question.question.to_string(),
            before: Before::of(case),
        }
    }
}

#[derive(Template)]
#[template(path = "case/walk_asked.html")]
pub(super) struct AskedPage {
    frame: Frame,
    stop: Stop,
    then: ThenView,
    form: FormView,
}

/// What spoke for an option and against it, in a line.
fn reasons_in_words(option: &DecisionOption) -> String {
    let side = |word: &str, lines: &[Line]| {
        let lines: Vec<String> =
            lines.iter().map(|line| lower_first(line.as_str().trim_end_matches('.'))).collect();
        (!lines.is_empty()).then(|| format!("{word}: {}.", lines.join("; ")))
    };
    [side("For", &option.reasons_for), side("Against", &option.reasons_against)]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")
}

impl AskedPage {
    pub(super) fn of(
        frame: Frame,
        app: &App,
        (case, walk): (&StoredCase, &Walk),
        question: &Question,
        (values, errors): (Values, Vec<FieldError>),
    ) -> Self {
        let choice = |(index, option): (usize, &DecisionOption)| {
            let number = OptionNumber::of_index(index)?;
            Some(Choice::new(number, &option.text).explained(reasons_in_words(option)))
        };
        let choices = question.options.iter().enumerate().filter_map(choice).collect();
        let path = path_of(case, question.number);
        let stop = Stop::of((case, walk), question);
        let then = ThenView::of(&question.known, app, question.at, "walk-known");
        Self {
            frame,
            stop,
            then,
            form: FormView {
                cancel: format!("/cases/{}/walk", case.code),
                action: path,
                save: "Choose, and see what followed",
                fields: vec![
                    Field::new("option", "What you would do", Control::Radios(choices))
                        .hint("You know this and no more."),
                    Field::lines("reason", "Why", 2).optional(),
                ],
                values,
                errors,
                base: question.fingerprint().as_str().to_owned(),
                take_out: None,
            },
        }
    }
}

/// A lesson about the decision.
struct LessonPart {
    kind: &'static str,
    text: String,
    signed: String,
}

impl LessonPart {
    fn of(row: &Row<Lesson>) -> Self {
        let lesson = &row.value;
        let signed = lesson.signed_by.as_ref().zip(lesson.signed_on);
        Self {
            kind: lesson.kind.label(),
            text: lesson.text.to_string(),
            signed: signed.map(|(by, on)| signed_by(by, on)).unwrap_or_default(),
        }
    }
}

#[derive(Template)]
#[template(path = "case/walk_told.html")]
pub(super) struct ToldPage {
    frame: Frame,
    stop: Stop,
    then: ThenView,
    own: String,
    reason: String,
    /// What the person chose the first time, when that was on an earlier walk.
    first: String,
    chosen: String,
    followed: String,
    lessons: Vec<LessonPart>,
    next: String,
    go_on: String,
}

impl ToldPage {
    pub(super) fn of(frame: Frame, app: &App, (case, walk): (&StoredCase, &Walk), told: &Told) -> Self {
        let question = &told.question;
        let next = question.number + 1;
        Self {
            frame,
            stop: Stop::of((case, walk), question),
            then: ThenView::of(&question.known, app, question.at, "walk-known"),
            own: told.own.option.to_string(),
            reason: told.own.reason.as_ref().map(ToString::to_string).unwrap_or_default(),
            first: told.first.map(|first| first.option.to_string()).unwrap_or_default(),
            chosen: chosen_in_words(told.decision),
            followed: told.decision.followed.as_ref().map(ToString::to_string).unwrap_or_default(),
            lessons: told.lessons.iter().map(|row| LessonPart::of(row)).collect(),
            next: path_of(case, next),
            go_on: if next > walk.len() {
                "To the end of the case".to_owned()
            } else {
                format!("On to stop {next}")
            },
        }
    }
}
