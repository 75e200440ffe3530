//! One case among the others: how many look like it, which fact makes it rare, how to tell it.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::query::{LeftOut, Query};
use super::{PATH, cases, load};
use crate::rates::combination::{Combinations, Fact, Way, levels_in_words};
use crate::web::case;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

struct FactRow {
    fact: &'static str,
    told: String,
    /// How many look like it when this fact alone is hidden.
    hidden: String,
}

#[derive(Template)]
#[template(path = "combination/one.html")]
struct OnePage {
    frame: Frame,
    code: String,
    state: String,
    rare: String,
    rows: Vec<FactRow>,
    proposal: String,
    changes: Vec<String>,
    /// Where the levels of the proposal are looked at for all cases.
    address: String,
    in_words: String,
    all: &'static str,
}

pub(super) async fn show(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = case::find(&mut conn, &visit, &code).await?;
    let (all, k) = load(&app, &mut conn).await?;
    let record = all.place_of(case.code).ok_or(Error::NotFound)?;
    let frame = visit.frame(Place::Cases);
    page(&one_page(frame, &all, record, k))
}

fn one_page(frame: Frame, all: &Combinations, record: usize, k: usize) -> OnePage {
    let levels = Combinations::usual_levels();
    let one = all.records.one(record);
    let size = one.size(&levels);
    let telling = one.telling(&levels);
    let by = levels_in_words(&levels);
    let state = match size {
        1 => format!("This case stands alone by {by}."),
        size if size < k => format!("This case is one of {size} by {by}; {k} have to look alike."),
        size => format!("This case is one of {size} by {by}. That is enough: {k} have to look alike."),
    };
    let label = |fact: usize| Fact::ALL[fact].label().to_lowercase();
    let rare = match telling.first() {
        Some(most) if size < k && most.hidden > size => {
            format!(
                "The {} does most of it: without it, {} look like this one.",
                label(most.fact),
                cases(most.hidden)
            )
        }
        _ if size < k => "No fact alone makes it rare: hiding any one of them changes nothing.".to_owned(),
        _ => String::new(),
    };
    let rows = telling
        .iter()
        .map(|telling| FactRow {
            fact: Fact::ALL[telling.fact].label(),
            told: all.records.shown(record, telling.fact, &levels).to_owned(),
            hidden: cases(telling.hidden),
        })
        .collect();
    let proposed = (size < k).then(|| all.records.propose_for(&one, k, &levels));
    let (proposal, changes, address) = match proposed {
        None => (String::new(), Vec::new(), PATH.to_owned()),
        Some(None) => (
            format!("Fewer than {k} cases are recorded: there is no way to tell this one that {k} share."),
            Vec::new(),
            PATH.to_owned(),
        ),
        Some(Some(wide)) => {
            let changed =
                Fact::ALL.iter().filter(|fact| wide.0[**fact as usize] != levels.0[**fact as usize]);
            let changes = changed.map(|fact| {
                let (at, way) = (*fact as usize, fact.way(wide.0[*fact as usize]));
                match way {
                    Way::Hidden => format!("{}: hidden", fact.label()),
                    way => {
                        let shown = all.records.shown(record, at, &wide);
                        format!("{}: {shown} ({})", fact.label(), way.label().to_lowercase())
                    }
                }
            });
            let sentence =
                format!("Told as follows it is one of {}; no other way gives up less.", one.size(&wide));
            let changes = changes.collect();
            (sentence, changes, Query { levels: wide, left_out: LeftOut::None }.address(PATH))
        }
    };
    let coarse = all.coarse(record, k);
    let in_words = if coarse.one_of >= k {
        format!("In the protected summary it is one of {}.", coarse.one_of)
    } else {
        format!(
            "Even in the protected summary, without month and age, it is one of {} by sex and mechanism. Think twice before it leaves the department.",
            coarse.one_of
        )
    };
    OnePage {
        frame,
        code: all.cases[record].code.to_string(),
        state,
        rare,
        rows,
        proposal,
        changes,
        address,
        in_words,
        all: PATH,
    }
}
