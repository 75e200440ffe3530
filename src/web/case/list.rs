//! The list of cases, with what is asked of it in the address.

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::leaf_choices::mechanisms;
use super::part::segments;
use crate::case::list::{Cursor, Filter, Listed, Sort, page as list_page};
use crate::case::search_sqlite::SearchQuery;
use crate::case::{Segment, Sight, Stage, is_presented};
use crate::choices;
use crate::vocabulary::{MechanismSlug, Vocabulary};
use crate::web::error::Error;
use crate::web::form::{Choice, ChoiceGroup, FieldError, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, page_with};
use crate::web::hits::{Piece, pieces};
use crate::web::paging::{count_in_words, page_address};
use crate::web::state::App;

struct CaseRow {
    code: String,
    title: String,
    mechanisms: String,
    month: String,
    stage: String,
    held: bool,
    excerpt: Vec<Piece>,
}

#[derive(Template)]
#[template(path = "case/list.html")]
struct ListPage {
    frame: Frame,
    values: Values,
    errors: Vec<FieldError>,
    mechanisms: Vec<ChoiceGroup>,
    segments: Vec<Choice>,
    stages: Vec<Choice>,
    sorts: Vec<Choice>,
    count: String,
    filtered: bool,
    rows: Vec<CaseRow>,
    next: Option<String>,
    /// The address of the first page; none when this is it.
    first: Option<String>,
    writes: bool,
    /// Which cases stand here, where it is not all of them; else empty.
    which: &'static str,
}

/// Which cases somebody of this sight finds on the list, where it is not all of them.
const fn which(sight: Sight) -> &'static str {
    match sight {
        Sight::All => "",
        Sight::OwnAndPresented(_) => {
            "Here stand the cases that you recorded, and all that were presented. Rates count every case."
        }
        Sight::Presented => "Here stand the cases that were presented. Rates count every case.",
    }
}

impl ListPage {
    fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }

    fn is_chosen(&self, name: &str, choice: &Choice) -> bool {
        self.values.get(name) == choice.value
    }
}

/// The names of the list's questions in the address.
const ASKED: [&str; 8] = ["q", "mechanism", "branch", "stage", "from", "to", "segment", "held"];

fn read_filter(values: &Values) -> (Filter, Option<Cursor>, Vec<FieldError>) {
    let mut reader = Reader::new(values);
    let filter = Filter {
        mechanism: reader.optional::<MechanismSlug>("mechanism"),
        branch: Some(values.get("branch").trim().to_owned()).filter(|branch| !branch.is_empty()),
        stages: reader.many::<Stage>("stage"),
        from: reader.optional("from"),
        to: reader.optional("to"),
        segment: reader.optional::<Segment>("segment"),
        held: values.ticked("held"),
        words: SearchQuery::parse(values.get("q")),
        sort: reader.optional("sort").unwrap_or(Sort::Newest),
        ..Filter::default()
    };
    if filter.from.zip(filter.to).is_some_and(|(from, to)| from > to) {
        reader.mark("to", "The last month is before the first. Swap them.");
    }
    let after = reader.optional::<Cursor>("after");
    let errors = reader.finish::<()>(None).err().unwrap_or_default();
    (filter, after, errors)
}

fn case_row(listed: Listed, vocabulary: &Vocabulary) -> CaseRow {
    let labels: Vec<String> = listed.mechanisms.iter().map(|slug| vocabulary.mechanism_label(slug)).collect();
    CaseRow {
        code: listed.code.to_string(),
        title: listed.title,
        mechanisms: labels.join(", then "),
        month: listed.month.to_string(),
        stage: listed.stage.label().to_lowercase(),
        held: listed.held,
        excerpt: listed.excerpt.as_deref().map(pieces).unwrap_or_default(),
    }
}

pub(super) async fn list_cases(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let values = Values::from_encoded(query.as_deref().unwrap_or_default());
    let (filter, after, errors) = read_filter(&values);
    let asks_for_hidden_ones =
        !filter.stages.is_empty() && !filter.stages.iter().any(|stage| is_presented(*stage));
    if visit.sight() == Sight::Presented && asks_for_hidden_ones {
        return Err(Error::Forbidden("Readers see presented and closed cases."));
    }
    let vocabulary = app.vocabulary();
    let found = if errors.is_empty() {
        let mut conn = app.database.read().await?;
        Some(list_page(&mut conn, (visit.sight(), &filter), after.as_ref()).await?)
    } else {
        None
    };
    let filtered = ASKED.iter().any(|name| !values.get(name).is_empty());
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let next = found
        .as_ref()
        .and_then(|found| found.next.as_ref())
        .map(|next| page_address("/cases", &values, Some(next)));
    page_with(
        status,
        &ListPage {
            frame: visit.frame(Place::Cases),
            mechanisms: mechanisms(&vocabulary, |slug| slug.as_str() == values.get("mechanism")),
            segments: segments().into_iter().flat_map(|group| group.choices).collect(),
            stages: choices!(Stage),
            sorts: choices!(Sort),
            count: found.as_ref().map_or_else(
                || "No cases are shown until the question can be read".to_owned(),
                |found| count_in_words(found.total, ("case", "cases"), filtered),
            ),
            rows: found
                .map(|found| found.rows)
                .unwrap_or_default()
                .into_iter()
                .map(|row| case_row(row, &vocabulary))
                .collect(),
            first: after.map(|_| page_address("/cases", &values, None)),
            writes: visit.user.role.writes(),
            which: which(visit.sight()),
            values,
            errors,
            filtered,
            next,
        },
    )
}
