//! One list of prompts, to be read and printed, and as a file.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::{counted, labels, leaf, shipped, words};
use crate::department::{LeftOut, OwnList, PromptWords, prompt_store};
use crate::response::{CAUTION, Condition, PromptList, Question, Sign, Step};
use crate::vocabulary::{MechanismRole, Vocabulary};
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

/// A list that stands under a name.
enum Found {
    Shipped(PromptList),
    Own(OwnList),
}

async fn find(app: &App, slug: &str) -> Result<Found, Error> {
    if let Some(list) = shipped(&app.department().prompts).find(|list| *list.slug() == *slug) {
        return Ok(Found::Shipped(list.clone()));
    }
    let vocabulary = app.vocabulary();
    let mut conn = app.database.read().await?;
    let own = prompt_store::find(&mut conn, slug, &PromptWords::of(&vocabulary)).await?;
    own.map(Found::Own).ok_or(Error::NotFound)
}

/// A mechanism that a list is for.
struct MechanismPart {
    slug: String,
    label: String,
    /// It never is the harm itself, so that no complication brings the list up.
    contributory: bool,
    retired: bool,
}

/// What a question or a step hangs on.
struct OnlyWhen {
    question: String,
    asks: String,
    answer: String,
}

impl OnlyWhen {
    fn of(condition: &Condition, list: &PromptList) -> Self {
        let asks = list.questions().iter().find(|question| question.slug == condition.question);
        Self {
            question: condition.question.to_string(),
            asks: asks.map_or_else(|| condition.question.to_string(), |question| question.asks.clone()),
            answer: condition.answer.label().to_lowercase(),
        }
    }
}

/// A question, in words.
struct QuestionPart {
    slug: String,
    asks: String,
    only_when: Option<OnlyWhen>,
    /// What answers it by itself, with the answer.
    mechanisms: Vec<(&'static str, String)>,
    signs: Vec<(&'static str, Vec<String>)>,
}

impl QuestionPart {
    fn of(question: &Question, list: &PromptList, vocabulary: &Vocabulary) -> Self {
        let signs = |signs: &[Sign]| -> Vec<String> {
            signs.iter().map(|sign| words::sign(sign, list, false)).collect()
        };
        let mechanisms = [("Yes", &question.yes_mechanisms), ("No", &question.no_mechanisms)].into_iter();
        let events = [("Yes", &question.yes_signs), ("No", &question.no_signs)].into_iter();
        Self {
            slug: question.slug.to_string(),
            asks: question.asks.clone(),
            only_when: question.only_if.as_ref().map(|condition| OnlyWhen::of(condition, list)),
            mechanisms: mechanisms
                .filter(|(_, slugs)| !slugs.is_empty())
                .map(|(answer, slugs)| (answer, labels(vocabulary, slugs)))
                .collect(),
            signs: events
                .filter(|(_, held)| !held.is_empty())
                .map(|(answer, held)| (answer, signs(held)))
                .collect(),
        }
    }
}

/// A step, in words.
struct StepPart {
    slug: String,
    text: String,
    why: String,
    /// Its own source, where it differs from that of the other steps.
    source: Option<String>,
    only_when: Option<OnlyWhen>,
    /// The step that it should come before: its name and its text.
    before: Option<(String, String)>,
    may_precede: bool,
    signs: Vec<String>,
    suggests: Vec<String>,
    hints: String,
}

impl StepPart {
    fn of(step: &Step, list: &PromptList) -> Self {
        let signs = |signs: &[Sign]| -> Vec<String> {
            signs.iter().map(|sign| words::sign(sign, list, step.may_precede)).collect()
        };
        let before =
            step.before.as_ref().and_then(|slug| list.steps().iter().find(|step| step.slug == *slug));
        Self {
            slug: step.slug.to_string(),
            text: step.text.clone(),
            why: step.why.clone(),
            source: step.source.clone(),
            only_when: step.only_if.as_ref().map(|condition| OnlyWhen::of(condition, list)),
            before: before.map(|step| (step.slug.to_string(), words::quoted(&step.text))),
            may_precede: step.may_precede,
            signs: signs(&step.signs),
            suggests: signs(&step.suggests),
            hints: step.hints.iter().map(|hint| words::hint(hint)).collect::<Vec<_>>().join(", "),
        }
    }
}

#[derive(Template)]
#[template(path = "settings/prompt_list.html")]
struct ListPage {
    frame: Frame,
    slug: String,
    title: String,
    state: String,
    caution: &'static str,
    own: bool,
    retired: bool,
    keeps: bool,
    source: String,
    /// The source of every step, when they all name the same.
    step_source: Option<String>,
    mechanisms: Vec<MechanismPart>,
    questions: Vec<QuestionPart>,
    steps: Vec<StepPart>,
}

/// The source that every step names.
fn common_source(list: &PromptList) -> Option<&String> {
    let first = list.steps().first()?.source.as_ref()?;
    list.steps().iter().all(|step| step.source.as_ref() == Some(first)).then_some(first)
}

fn list_page(visit: &Visit, list: &PromptList, own: Option<&OwnList>, vocabulary: &Vocabulary) -> ListPage {
    let step_source = common_source(list).cloned();
    let mut steps: Vec<StepPart> = list.steps().iter().map(|step| StepPart::of(step, list)).collect();
    if step_source.is_some() {
        steps.iter_mut().for_each(|step| step.source = None);
    }
    let mechanisms = list.mechanisms().iter().map(|slug| {
        let leaf = leaf(vocabulary, slug);
        MechanismPart {
            slug: slug.to_string(),
            label: leaf.map_or_else(|| slug.to_string(), |leaf| leaf.label.clone()),
            contributory: leaf.is_some_and(|leaf| leaf.role == MechanismRole::Contributory),
            retired: leaf.is_some_and(|leaf| leaf.retired),
        }
    });
    let whose = if own.is_some() { "Your department’s own list." } else { "This list ships with Relook." };
    let order = if steps.len() == 1 { "" } else { " in their usual order" };
    ListPage {
        frame: visit.frame(Place::Settings),
        slug: list.slug().to_string(),
        title: list.title().to_owned(),
        state: format!(
            "{whose} What is usually done next: {}{order}.",
            counted(list.steps().len(), "step", "steps")
        ),
        caution: CAUTION,
        own: own.is_some(),
        retired: own.is_some_and(|own| own.retired),
        keeps: visit.user.role.keeps(),
        source: list.source().to_owned(),
        step_source,
        mechanisms: mechanisms.collect(),
        questions: list.questions().iter().map(|each| QuestionPart::of(each, list, vocabulary)).collect(),
        steps,
    }
}

#[derive(Template)]
#[template(path = "settings/prompt_left_out.html")]
struct LeftOutPage {
    frame: Frame,
    slug: String,
    problems: Vec<String>,
    text: String,
    retired: bool,
    keeps: bool,
}

fn left_out_page(visit: &Visit, own: &OwnList, why: &LeftOut) -> LeftOutPage {
    LeftOutPage {
        frame: visit.frame(Place::Settings),
        slug: own.slug.clone(),
        problems: match why {
            LeftOut::Problems(problems) => problems.iter().map(ToString::to_string).collect(),
            other => vec![other.to_string()],
        },
        text: own.text.clone(),
        retired: own.retired,
        keeps: visit.user.role.keeps(),
    }
}

pub(super) async fn show_list(
    State(app): State<App>,
    visit: Visit,
    Path(slug): Path<String>,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    match find(&app, &slug).await? {
        Found::Shipped(list) => page(&list_page(&visit, &list, None, &vocabulary)),
        Found::Own(own) => match &own.read {
            Ok(list) => page(&list_page(&visit, list, Some(&own), &vocabulary)),
            Err(why) => page(&left_out_page(&visit, &own, why)),
        },
    }
}

pub(super) async fn download_list(
    State(app): State<App>,
    _: Visit,
    Path(slug): Path<String>,
) -> Result<Response, Error> {
    // Its own remarks are part of what a department wrote; they come back with the file.
    let text = match find(&app, &slug).await? {
        Found::Shipped(list) => list.to_toml(),
        Found::Own(own) => own.text,
    };
    Ok(download(&format!("{}.toml", file_name(&slug)), "application/toml; charset=utf-8", text))
}

/// A stored name as the name of a file, whatever it is.
fn file_name(slug: &str) -> String {
    slug.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(48).collect()
}
