//! The two trees as a handbook: what each leaf means, and which are offered. A leaf is retired and
//! taken up again, never removed, because cases keep it.

mod leaf;
mod slug;

use std::collections::HashMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use crate::vocabulary::{Branch, Cause, Mechanism, MechanismRole, Vocabulary, store};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::router::Routes;
use crate::web::state::App;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/settings/mechanisms", Allow::SignedIn, show_mechanisms)
        .get("/settings/mechanisms/new", Allow::Keepers, leaf::show_new_mechanism)
        .post("/settings/mechanisms/new", Allow::Keepers, leaf::add_mechanism)
        .post("/settings/mechanisms/{slug}/retire", Allow::Keepers, retire_mechanism)
        .post("/settings/mechanisms/{slug}/take-up", Allow::Keepers, take_up_mechanism)
        .get("/settings/causes", Allow::SignedIn, show_causes)
        .get("/settings/causes/new", Allow::Keepers, leaf::show_new_cause)
        .post("/settings/causes/new", Allow::Keepers, leaf::add_cause)
        .post("/settings/causes/{slug}/retire", Allow::Keepers, retire_cause)
        .post("/settings/causes/{slug}/take-up", Allow::Keepers, take_up_cause)
}

/// Which of the two trees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tree {
    Mechanisms,
    Causes,
}

impl Tree {
    const fn path(self) -> &'static str {
        match self {
            Self::Mechanisms => "/settings/mechanisms",
            Self::Causes => "/settings/causes",
        }
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Mechanisms => "Mechanisms",
            Self::Causes => "Causes",
        }
    }

    const fn one(self) -> &'static str {
        match self {
            Self::Mechanisms => "mechanism",
            Self::Causes => "cause",
        }
    }

    const fn lead(self) -> &'static str {
        match self {
            Self::Mechanisms => {
                "How harm comes about. A complication is given one of these, and its rate is counted over the procedures named beside it."
            }
            Self::Causes => {
                "What let harm happen, or kept it from being stopped sooner. A case can have several. None names or ranks a person."
            }
        }
    }
}

/// A leaf as the handbook shows it.
struct LeafPart {
    slug: String,
    label: String,
    definition: String,
    example: String,
    words: String,
    /// Its procedures at risk and role, or where published schemes put it.
    facts: Vec<String>,
    cases: i64,
    own: bool,
    retired: bool,
}

/// A branch with its leaves.
struct BranchPart {
    branch: Branch,
    leaves: Vec<LeafPart>,
}

#[derive(Template)]
#[template(path = "settings/tree.html")]
struct TreePage {
    frame: Frame,
    tree: Tree,
    state: String,
    branches: Vec<BranchPart>,
    keeps: bool,
    /// Whether the list of cases can be asked for a leaf of this tree.
    lists_cases: bool,
}

impl LeafPart {
    fn of_mechanism(leaf: &Mechanism, vocabulary: &Vocabulary, uses: &HashMap<String, i64>) -> Self {
        let stratum = vocabulary
            .stratum(&leaf.at_risk)
            .map_or_else(|| leaf.at_risk.to_string(), |found| found.label.clone());
        let role = match leaf.role {
            MechanismRole::Primary => "can be the harm itself",
            MechanismRole::Contributory => "only contributes to another",
        };
        Self {
            slug: leaf.slug.to_string(),
            label: leaf.label.clone(),
            definition: leaf.definition.clone(),
            example: leaf.example.clone(),
            words: leaf.words.join(", "),
            facts: vec![format!("at risk: {stratum}"), role.to_owned()],
            cases: uses.get(leaf.slug.as_str()).copied().unwrap_or(0),
            own: leaf.own,
            retired: leaf.retired,
        }
    }

    fn of_cause(leaf: &Cause, uses: &HashMap<String, i64>) -> Self {
        Self {
            slug: leaf.slug.to_string(),
            label: leaf.label.clone(),
            definition: leaf.definition.clone(),
            example: leaf.example.clone(),
            words: leaf.words.join(", "),
            facts: vec![
                format!("London Protocol: {}", leaf.london_protocol),
                format!("WHO ICPS: {}", leaf.icps),
            ],
            cases: uses.get(leaf.slug.as_str()).copied().unwrap_or(0),
            own: leaf.own,
            retired: leaf.retired,
        }
    }

    /// How many cases use it, in words.
    fn use_in_words(&self) -> String {
        match self.cases {
            1 => "1 case".to_owned(),
            count => format!("{count} cases"),
        }
    }
}

/// How many leaves are offered, in words.
fn count_leaves(branches: &[BranchPart], tree: Tree) -> String {
    let leaves = || branches.iter().flat_map(|part| &part.leaves);
    let offered = leaves().filter(|leaf| !leaf.retired).count();
    let retired = leaves().filter(|leaf| leaf.retired).count();
    let used = leaves().filter(|leaf| leaf.cases > 0).count();
    let retired = match retired {
        0 => String::new(),
        1 => " One is retired: cases keep it, new ones are not offered it.".to_owned(),
        count => format!(" {count} are retired: cases keep them, new ones are not offered them."),
    };
    format!("{offered} {}s to choose from; {used} used so far.{retired}", tree.one())
}

async fn tree_page(app: &App, visit: &Visit, tree: Tree) -> Result<Response, Error> {
    let uses: HashMap<String, i64> =
        store::uses(&mut *app.database.read().await?).await?.into_iter().collect();
    let vocabulary = app.vocabulary();
    let (branches, leaves): (&[Branch], Vec<(&str, LeafPart)>) = match tree {
        Tree::Mechanisms => (
            &vocabulary.mechanism_branches,
            vocabulary
                .mechanisms
                .iter()
                .map(|leaf| (leaf.branch.as_str(), LeafPart::of_mechanism(leaf, &vocabulary, &uses)))
                .collect(),
        ),
        Tree::Causes => (
            &vocabulary.cause_branches,
            vocabulary
                .causes
                .iter()
                .map(|leaf| (leaf.branch.as_str(), LeafPart::of_cause(leaf, &uses)))
                .collect(),
        ),
    };
    let mut parts: Vec<BranchPart> =
        branches.iter().map(|branch| BranchPart { branch: branch.clone(), leaves: Vec::new() }).collect();
    for (branch, leaf) in leaves {
        if let Some(part) = parts.iter_mut().find(|part| part.branch.slug == branch) {
            part.leaves.push(leaf);
        }
    }
    page(&TreePage {
        frame: visit.frame(Place::Settings),
        tree,
        state: count_leaves(&parts, tree),
        branches: parts,
        keeps: visit.user.role.keeps(),
        lists_cases: tree == Tree::Mechanisms && visit.user.role.writes(),
    })
}

async fn show_mechanisms(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    tree_page(&app, &visit, Tree::Mechanisms).await
}

async fn show_causes(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    tree_page(&app, &visit, Tree::Causes).await
}

/// Retires a leaf or takes it up again, and leads back to it with the way to undo that.
async fn set_retired(app: &App, tree: Tree, slug: &str, retired: bool) -> Result<Response, Error> {
    let held = app.vocabulary();
    let mut tx = app.database.write().await?;
    let (label, found) = match tree {
        Tree::Mechanisms => {
            let slug = slug.parse().map_err(|_| Error::NotFound)?;
            (held.mechanism_label(&slug), store::retire_mechanism(&mut tx, &slug, retired).await?)
        }
        Tree::Causes => {
            let slug = slug.parse().map_err(|_| Error::NotFound)?;
            (held.cause_label(&slug), store::retire_cause(&mut tx, &slug, retired).await?)
        }
    };
    if !found {
        return Err(Error::NotFound);
    }
    tx.commit().await?;
    app.reload_vocabulary().await?;
    let path = tree.path();
    let (said, back) = if retired {
        (format!("“{label}” is retired. Cases that have it keep it."), "take-up")
    } else {
        (format!("“{label}” is offered again."), "retire")
    };
    Ok(lead_to(&format!("{path}#leaf-{slug}"), &said, Some(&format!("{path}/{slug}/{back}"))))
}

async fn retire_mechanism(State(app): State<App>, Path(slug): Path<String>) -> Result<Response, Error> {
    set_retired(&app, Tree::Mechanisms, &slug, true).await
}

async fn take_up_mechanism(State(app): State<App>, Path(slug): Path<String>) -> Result<Response, Error> {
    set_retired(&app, Tree::Mechanisms, &slug, false).await
}

async fn retire_cause(State(app): State<App>, Path(slug): Path<String>) -> Result<Response, Error> {
    set_retired(&app, Tree::Causes, &slug, true).await
}

async fn take_up_cause(State(app): State<App>, Path(slug): Path<String>) -> Result<Response, Error> {
    set_retired(&app, Tree::Causes, &slug, false).await
}
