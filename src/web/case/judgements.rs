//! What reviewers think of a case: one's own first, then everybody's, then once more after the discussion.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::load;
use crate::case::StoredCase;
use crate::case::reading::words::{count, upper_first};
use crate::choices;
use crate::figure::Figure;
use crate::figure::ratings::{RatingChart, RatingStep};
use crate::review::judgement::{
    Avoidability, Care, Judgement, Opened, Round, Seen, Step, counts, disagree, middle, spread, store,
};
use crate::web::error::Error;
use crate::web::form::{Control, Field, FieldError, FormView, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/judgements.html")]
struct JudgementsPage {
    frame: Frame,
    code: String,
    title: String,
    state: String,
    form: FormView,
    /// Whether the viewer's own judgement is given, so that the others' are open.
    open: bool,
    rounds: Vec<RoundPart>,
    dissent: String,
}

/// The judgements of a round.
struct RoundPart {
    heading: &'static str,
    scales: Vec<ScalePart>,
    remarks: Vec<(String, String)>,
}

struct ScalePart {
    sentence: String,
    figure: Figure,
}

fn path_of(case: &StoredCase) -> String {
    format!("/cases/{}/judgements", case.code)
}

pub(super) async fn show_judgements(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let seen = store::seen(&mut *app.database.read().await?, case.id, visit.user.id).await?;
    respond(&visit, &case, &seen, (StatusCode::OK, None, Vec::new()))
}

fn respond(
    visit: &Visit,
    case: &StoredCase,
    seen: &Seen,
    (status, typed, errors): (StatusCode, Option<Values>, Vec<FieldError>),
) -> Result<Response, Error> {
    let none = Opened::default();
    let opened = if let Seen::Open(opened) = seen { opened } else { &none };
    let mine = opened.reviewers.iter().find(|reviewer| reviewer.mine);
    let held = mine.map(|reviewer| values_of(reviewer.after.as_ref().unwrap_or(&reviewer.own)));
    page_with(
        status,
        &JudgementsPage {
            frame: visit.frame(Place::Cases),
            code: case.code.to_string(),
            title: case.head.title.to_string(),
            state: state(seen),
            form: form(case, mine.is_some(), typed.or(held).unwrap_or_default(), errors),
            open: mine.is_some(),
            rounds: Round::ALL.iter().filter_map(|round| RoundPart::of(opened, *round)).collect(),
            dissent: dissent(opened),
        },
    )
}

fn state(seen: &Seen) -> String {
    match seen {
        Seen::Closed { given: 0 } => "Nobody has judged this case yet. Yours is the first.".to_owned(),
        Seen::Closed { given: 1 } => {
            "One reviewer has judged this case. What they think opens to you once you have given yours."
                .to_owned()
        }
        Seen::Closed { given } => format!(
            "{} reviewers have judged this case. What they think opens to you once you have given yours.",
            upper_first(&count(*given))
        ),
        Seen::Open(opened) => match opened.reviewers.len() {
            1 => "You have judged this case, and nobody else has yet.".to_owned(),
            2 => "You and one other reviewer have judged this case.".to_owned(),
            all => {
                format!("You and {} other reviewers have judged this case.", count(all - 1).to_lowercase())
            }
        },
    }
}

/// Two reviewers who are far apart are told of, and nothing is averaged away.
fn dissent(opened: &Opened) -> String {
    if disagree(opened.of(Round::Own)) {
        "The judgements are far apart. They stay as they are: the room should hear the reasons of both."
            .to_owned()
    } else {
        String::new()
    }
}

fn values_of(judgement: &Judgement) -> Values {
    Values::new()
        .with("avoidability", judgement.avoidability)
        .with("care", judgement.care)
        .with_opt("remark", judgement.remark.as_ref())
}

fn form(case: &StoredCase, after: bool, values: Values, errors: Vec<FieldError>) -> FormView {
    FormView {
        action: path_of(case),
        cancel: format!("/cases/{}", case.code),
        save: if after { "Keep it beside your first" } else { "Give your judgement" },
        fields: vec![
            Field::new(
                "avoidability",
                "Could the harm have been avoided?",
                Control::Radios(choices!(Avoidability)),
            )
            .hint("Six ordered steps, knowing what was known then."),
            Field::new("care", "How did the care go?", Control::Radios(choices!(Care)))
                .hint("About the process, not about a person, and again knowing what was known then."),
            Field::lines("remark", "Why", 3).optional(),
        ],
        values,
        errors,
        base: String::new(),
        take_out: None,
    }
}

impl RoundPart {
    fn of(opened: &Opened, round: Round) -> Option<Self> {
        opened.of(round).next()?;
        let heading = match round {
            Round::Own => "Each on their own",
            Round::After => "After the discussion",
        };
        let name = |scale: &str| format!("{scale}-{round}");
        let remarks = opened.reviewers.iter().filter_map(|reviewer| {
            let judgement = match round {
                Round::Own => Some(&reviewer.own),
                Round::After => reviewer.after.as_ref(),
            }?;
            let who = if reviewer.mine { "You" } else { "Another reviewer" };
            let said = judgement.remark.as_ref()?.to_string();
            Some((format!("{who}: {}.", judgement.avoidability.label()), said))
        });
        Some(Self {
            heading,
            scales: vec![
                scale(
                    "Avoidability",
                    &name("avoidability"),
                    opened.of(round).map(|given| given.avoidability),
                ),
                scale("Care", &name("care"), opened.of(round).map(|given| given.care)),
            ],
            remarks: remarks.collect(),
        })
    }
}

/// One scale: in words and drawn.
fn scale<S: Step>(what: &str, name: &str, steps: impl Iterator<Item = S>) -> ScalePart {
    let counts = counts(steps);
    let sentence = match middle::<S>(&counts).zip(spread::<S>(&counts)) {
        Some(((one, other), (lowest, highest))) if counts.iter().sum::<usize>() > 1 => {
            let middle = if one == other {
                format!("in the middle “{}”", one.words())
            } else {
                format!("the middle between “{}” and “{}”", one.words(), other.words())
            };
            let range = if lowest == highest {
                "all the same".to_owned()
            } else {
                format!("from “{}” to “{}”", lowest.words(), highest.words())
            };
            format!("{what}: {middle}, {range}.")
        }
        // One judgement has neither, and the title of the drawing says which it is.
        _ => String::new(),
    };
    let step = |(step, count): (&S, &usize)| RatingStep {
        label: step.words().to_owned(),
        count: u32::try_from(*count).unwrap_or(u32::MAX),
    };
    let chart =
        RatingChart { scale: what.to_owned(), steps: S::steps().iter().zip(&counts).map(step).collect() };
    ScalePart { sentence, figure: chart.draw(name) }
}

fn read(values: &Values) -> Result<Judgement, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let avoidability = reader.required("avoidability", "Choose one of the six steps.");
    let care = reader.required("care", "Choose one of the three steps.");
    let remark = reader.optional("remark");
    let value = avoidability.zip(care).map(|(avoidability, care)| Judgement { avoidability, care, remark });
    reader.finish(value)
}

pub(super) async fn give_judgement(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let judgement = match read(&values) {
        Ok(judgement) => judgement,
        Err(errors) => {
            let seen = store::seen(&mut tx, case.id, visit.user.id).await?;
            let answer = (StatusCode::UNPROCESSABLE_ENTITY, Some(values), errors);
            return respond(&visit, &case, &seen, answer);
        }
    };
    let (user, today) = (visit.user.id, app.today());
    let first = store::give_own(&mut tx, case.id, user, &judgement, today).await?;
    if !first {
        store::give_after(&mut tx, case.id, user, &judgement, today).await?;
    }
    tx.commit().await?;
    let text = if first {
        "Your judgement is kept. The others' are open to you now."
    } else {
        "Kept as your judgement after the discussion. Your first stays beside it."
    };
    Ok(lead_to(&format!("{}#judged", path_of(&case)), text, None))
}
