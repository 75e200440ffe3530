//! A leaf of the department's own: the form that adds one to either tree.

mod read;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use super::Tree;
use crate::database::StoreError;
use crate::vocabulary::{Branch, MechanismRole, Vocabulary, store};
use crate::web::error::Error;
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, FormView, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The contributory factor types of the London Protocol, as the shipped tree names them.
const LONDON_PROTOCOL: [&str; 7] = [
    "patient",
    "task",
    "individual",
    "team",
    "work environment",
    "organisation and management",
    "institutional context",
];
/// The ICPS classes of contributing factors, as the shipped tree names them.
const ICPS: [&str; 6] =
    ["patient", "staff", "work/environment", "organisational/service", "external", "other"];

fn select(name: &'static str, label: &str, empty: &'static str, choices: Vec<Choice>) -> Field {
    let groups = vec![ChoiceGroup { label: String::new(), choices }];
    Field::new(name, label, Control::Select { empty: Some(empty), groups, by_typing: false })
}

fn branches(tree: Tree, vocabulary: &Vocabulary) -> &[Branch] {
    match tree {
        Tree::Mechanisms => &vocabulary.mechanism_branches,
        Tree::Causes => &vocabulary.cause_branches,
    }
}

fn fields(tree: Tree, vocabulary: &Vocabulary) -> Vec<Field> {
    let branch_choices =
        branches(tree, vocabulary).iter().map(|branch| Choice::new(&branch.slug, &branch.label)).collect();
    let mut fields = vec![
        select("branch", "Branch", "Choose", branch_choices),
        Field::line("label", "Label", "w-long").hint("A few words, as the trade says it."),
        Field::line("slug", "Lasting name", "w-long")
            .hint("Small letters, digits and hyphens. Left empty, it is made from the label. It stands in files and never changes.")
            .optional(),
        Field::lines("definition", "Definition", 2).hint("One line that tells it apart from its neighbours."),
        Field::lines("example", "Example", 2).hint("One concrete sentence. No names, no dates."),
        Field::lines("words", "Everyday words that find it", 3)
            .hint("One a line, or with commas between: what a hurried person types.")
            .optional(),
    ];
    match tree {
        Tree::Mechanisms => {
            let strata = vocabulary
                .strata
                .iter()
                .map(|stratum| Choice::new(&stratum.slug, &stratum.label).explained(&stratum.definition))
                .collect();
            fields.push(select("at_risk", "Procedures at risk", "Choose", strata).hint(
                "In which procedures it can happen: its rate is counted over them. When in doubt, all PCI.",
            ));
            let roles = vec![
                Choice::new(MechanismRole::Primary, "Can be the harm itself"),
                Choice::new(MechanismRole::Contributory, "Only contributes to another"),
            ];
            fields.push(Field::new("role", "What it can be", Control::Radios(roles)));
        }
        Tree::Causes => {
            let listed = |names: &[&str]| names.iter().map(|name| Choice::new(name, name)).collect();
            fields.push(
                select(
                    "london_protocol",
                    "London Protocol, type of factor",
                    "Not settled",
                    listed(&LONDON_PROTOCOL),
                )
                .optional(),
            );
            fields.push(select("icps", "WHO ICPS, class of factor", "Not settled", listed(&ICPS)).optional());
        }
    }
    fields
}

fn new_leaf_page(app: &App, visit: &Visit, tree: Tree, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: tree.title().to_owned(),
        title: format!("Add a {} of your own", tree.one()),
        lead: "It stands beside the shipped ones and is marked as the department’s. It can be retired later, never removed.".to_owned(),
        form: FormView {
            action: format!("{}/new", tree.path()),
            cancel: tree.path().to_owned(),
            save: "Add it",
            fields: fields(tree, &app.vocabulary()),
            values,
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn show_new_mechanism(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    page(&new_leaf_page(&app, &visit, Tree::Mechanisms, Values::new(), Vec::new()))
}

pub(super) async fn show_new_cause(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    page(&new_leaf_page(&app, &visit, Tree::Causes, Values::new(), Vec::new()))
}

/// Says that a leaf was added, and what its lasting name is.
async fn added(app: &App, tree: Tree, slug: &str, label: &str) -> Result<Response, Error> {
    app.reload_vocabulary().await?;
    let path = tree.path();
    let said = format!("“{label}” is added; its lasting name is {slug}.");
    // What was added cannot be removed; undone, it is retired and offered to nobody.
    Ok(lead_to(&format!("{path}#leaf-{slug}"), &said, Some(&format!("{path}/{slug}/retire"))))
}

/// Somebody took the name between the reading of the form and its saving.
fn taken_meanwhile(error: StoreError) -> Result<Vec<FieldError>, Error> {
    if error.is_constraint(".slug") {
        let message = "This lasting name was given to another just now. Write another.".to_owned();
        return Ok(vec![FieldError { name: "slug".to_owned(), message }]);
    }
    Err(error.into())
}

pub(super) async fn add_mechanism(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let read = read::read_mechanism(&values, &app.vocabulary());
    let errors = match read {
        Err(errors) => errors,
        Ok(leaf) => {
            let mut tx = app.database.write().await?;
            match store::add_mechanism(&mut tx, &leaf).await {
                Ok(()) => {
                    tx.commit().await?;
                    return added(&app, Tree::Mechanisms, leaf.slug.as_str(), &leaf.label).await;
                }
                Err(error) => taken_meanwhile(error)?,
            }
        }
    };
    page_with(
        StatusCode::UNPROCESSABLE_ENTITY,
        &new_leaf_page(&app, &visit, Tree::Mechanisms, values, errors),
    )
}

pub(super) async fn add_cause(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let read = read::read_cause(&values, &app.vocabulary());
    let errors = match read {
        Err(errors) => errors,
        Ok(leaf) => {
            let mut tx = app.database.write().await?;
            match store::add_cause(&mut tx, &leaf).await {
                Ok(()) => {
                    tx.commit().await?;
                    return added(&app, Tree::Causes, leaf.slug.as_str(), &leaf.label).await;
                }
                Err(error) => taken_meanwhile(error)?,
            }
        }
    };
    page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_leaf_page(&app, &visit, Tree::Causes, values, errors))
}
