//! The page of all cases together: what was found, the proposal, the combinations that fit too few.

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::query::{Query, form};
use super::{CSV_PATH, PATH, cases, load};
use crate::rates::combination::{Combinations, Fact, Way, levels_in_words};
use crate::web::error::Error;
use crate::web::filters::FilterForm;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, page_with};
use crate::web::state::App;

/// So many combinations are listed; more say that the facts are told too exactly for a list to help.
const LISTED: usize = 100;

/// A combination that fits too few cases.
struct Row {
    /// For each fact that is told, its name and what is told.
    cells: Vec<(&'static str, String)>,
    size: usize,
    codes: Vec<String>,
}

/// A proposal, or why there is none.
struct Proposed {
    sentence: String,
    /// Where it is taken; empty when it is taken already, or there is none.
    address: String,
    changes: Vec<String>,
}

struct Found {
    state: String,
    more: String,
    proposed: Proposed,
    facts: Vec<&'static str>,
    rows: Vec<Row>,
    /// How many combinations are not listed.
    unlisted: usize,
    csv: String,
    csv_says: String,
}

#[derive(Template)]
#[template(path = "combination/all.html")]
struct CombinationsPage {
    frame: Frame,
    form: FilterForm,
    action: &'static str,
    k: usize,
    keeps: bool,
    /// `None` when what was asked cannot be read, or no case is recorded.
    found: Option<Found>,
    no_cases: bool,
}

pub(super) async fn show(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let asked = Query::read(&typed);
    let (all, k) = load(&app, &mut *app.database.read().await?).await?;
    let (status, form, found) = match asked {
        Ok(query) => {
            let found = (!all.cases.is_empty()).then(|| found(&all, &query, k));
            (StatusCode::OK, form(&query.values(), Vec::new()), found)
        }
        Err(errors) => (StatusCode::UNPROCESSABLE_ENTITY, form(&typed, errors), None),
    };
    let page = CombinationsPage {
        frame: visit.frame(Place::Settings),
        no_cases: all.cases.is_empty() && status == StatusCode::OK,
        action: PATH,
        k,
        keeps: visit.user.role.keeps(),
        form,
        found,
    };
    page_with(status, &page)
}

fn found(all: &Combinations, query: &Query, k: usize) -> Found {
    let classes = all.records.classes(&query.levels);
    let (total, few) = (all.cases.len(), classes.records_under(k));
    let alone = classes.sizes().iter().filter(|size| **size == 1).count();
    let by = levels_in_words(&query.levels);
    let state = match alone {
        0 => format!("No case stands alone by {by}."),
        1 => format!("1 of {} stands alone by {by}.", cases(total)),
        alone => format!("{alone} of {} stand alone by {by}.", cases(total)),
    };
    let more = match few {
        0 => format!("Every case is one of {k} or more."),
        few if few == total => format!("None of them is one of {k} or more."),
        few => format!(
            "{few} of {} {} one of fewer than {k}.",
            cases(total),
            if few == 1 { "is" } else { "are" }
        ),
    };
    let members = classes.members();
    let told: Vec<Fact> = told(query);
    let under = classes.under(k);
    let row = |class: &usize| Row {
        cells: told
            .iter()
            .map(|fact| {
                let shown = all.records.shown(classes.first(*class), *fact as usize, &query.levels);
                (fact.label(), shown.to_owned())
            })
            .collect(),
        size: members[*class].len(),
        codes: members[*class].iter().map(|&record| all.cases[record].code.to_string()).collect(),
    };
    Found {
        state,
        more,
        proposed: proposed(all, query, k, few),
        facts: told.iter().map(|fact| fact.label()).collect(),
        rows: under.iter().take(LISTED).map(row).collect(),
        unlisted: under.len().saturating_sub(LISTED),
        csv: query.address(CSV_PATH),
        csv_says: match total - few {
            0 => "At these levels no case could be in the file.".to_owned(),
            kept if few == 0 => format!("It holds all {} at these levels.", cases(kept)),
            kept => format!(
                "It holds {} at these levels and leaves out {}, each one of fewer than {k}.",
                cases(kept),
                cases(few)
            ),
        },
    }
}

/// The facts that are told at all.
pub(super) fn told(query: &Query) -> Vec<Fact> {
    let all = Fact::ALL.iter().copied();
    all.filter(|fact| fact.way(query.levels.0[*fact as usize]) != Way::Hidden).collect()
}

fn proposed(all: &Combinations, query: &Query, k: usize, few: usize) -> Proposed {
    let plain = |sentence: String| Proposed { sentence, address: String::new(), changes: Vec::new() };
    if few == 0 {
        return plain(format!("These levels keep every case one of {k} or more: nothing has to change."));
    }
    let Some(proposal) = all.propose(k, &query.levels, query.left_out.in_100()) else {
        return plain(format!(
            "Only {} recorded, and {k} have to look alike: not even with every fact hidden is there a way. No table of these cases should leave the department.",
            if all.cases.len() == 1 {
                "1 case is".to_owned()
            } else {
                format!("{} cases are", all.cases.len())
            }
        ));
    };
    let left = match proposal.left_out {
        0 => format!("every case is one of {k} or more"),
        left => format!("all but {} are one of {k} or more; those are left out", cases(left)),
    };
    if proposal.levels == query.levels {
        return plain(format!("These levels are the proposal: {left}."));
    }
    let changes = Fact::ALL
        .iter()
        .filter(|fact| proposal.levels.0[**fact as usize] != query.levels.0[**fact as usize])
        .map(|fact| {
            format!(
                "{}: {}",
                fact.label(),
                fact.way(proposal.levels.0[*fact as usize]).label().to_lowercase()
            )
        })
        .collect();
    Proposed {
        sentence: format!("Told as follows, {left}. Of all ways that reach this, it gives up least."),
        address: Query { levels: proposal.levels, ..query.clone() }.address(PATH),
        changes,
    }
}
