//! What was known at one event of a case, and nothing else.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::load;
use super::view::EventRow;
use crate::case::known::KnownThen;
use crate::case::reading::words::upper_first;
use crate::case::reading::{Reading, VesselFlow, in_text};
use crate::case::{Lab, Row, drawing};
use crate::figure::Figure;
use crate::quantity::Offset;
use crate::review::findings::Findings;
use crate::timeline::Given;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

/// The event before or after, with its number and time.
struct Step {
    number: usize,
    time: String,
}

/// What was known then, made ready for a template.
pub(super) struct ThenView {
    pub(super) figure: Figure,
    pub(super) rows: Vec<EventRow>,
    pub(super) flow: Vec<String>,
    pub(super) doses: Vec<String>,
    pub(super) back: Vec<String>,
    pub(super) perhaps: Vec<String>,
    pub(super) waited_for: Vec<String>,
    pub(super) grades: Vec<String>,
    pub(super) later_events: usize,
}

impl ThenView {
    /// What was known, drawn up to this time under this name.
    pub(super) fn of(then: &KnownThen, app: &App, until: Offset, name: &str) -> Self {
        let vocabulary = app.vocabulary();
        let reading = Reading::of(&then.case.events, &then.case.complications);
        let findings = Findings::from_facts(then.facts(&reading, &vocabulary), &app.department().choices);
        let row = |number: usize, row: &Row<crate::case::Event>| EventRow::of(row.id, number, &row.value);
        Self {
            figure: drawing::timeline_known(&then.case, &vocabulary, until).draw(name),
            rows: (1..).zip(&then.case.events).map(|(number, each)| row(number, each)).collect(),
            flow: reading.vessels().iter().filter_map(last_seen).collect(),
            doses: [
                then.contrast.map(|given| dose("Contrast", given, 1_000, "mL")),
                then.air_kerma.map(|given| dose("Air kerma", given, 1_000, "Gy")),
            ]
            .into_iter()
            .flatten()
            .collect(),
            back: then.case.labs.iter().map(lab_words).collect(),
            perhaps: then.perhaps.iter().map(lab_words).collect(),
            waited_for: then.waited_for.iter().map(sample_words).collect(),
            grades: findings.met.iter().map(|finding| finding.sentence.clone()).collect(),
            later_events: then.later_events,
        }
    }
}

#[derive(Template)]
#[template(path = "case/known.html")]
struct KnownPage {
    frame: Frame,
    code: String,
    number: usize,
    time: String,
    what: String,
    then: ThenView,
    before: Option<Step>,
    after: Option<Step>,
}

pub(super) async fn show_known(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, usize)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let reading = Reading::of(&case.events, &case.complications);
    let at = |number: usize| number.checked_sub(1).and_then(|index| case.events.get(index));
    let event = at(number).ok_or(Error::NotFound)?;
    let then = KnownThen::at(&case, &reading, &event.value.key).ok_or(Error::NotFound)?;
    let step = |number: usize| at(number).map(|row| Step { number, time: row.value.at.to_string() });
    page(&KnownPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        number,
        time: event.value.at.to_string(),
        what: event.value.text.as_ref().map_or_else(
            || event.value.kind.label().to_owned(),
            |text| format!("{}: {text}", event.value.kind.label()),
        ),
        then: ThenView::of(&then, &app, event.value.at, "known-drawing"),
        before: number.checked_sub(1).and_then(step),
        after: step(number + 1),
    })
}

/// The flow of a vessel as last seen.
fn last_seen(flow: &VesselFlow) -> Option<String> {
    let last = flow.history.sights().last()?;
    let vessel = upper_first(in_text(flow.vessel));
    Some(format!("{vessel}: {}, seen at {}.", last.flow, last.moment.at()))
}

fn lab_words(row: &Row<Lab>) -> String {
    let lab = &row.value;
    let limit = lab.result.limit().map(|limit| format!(" (limit {limit})")).unwrap_or_default();
    let back = match lab.returned {
        Some(at) => format!("back at {at}"),
        None => "when it came back is not recorded".to_owned(),
    };
    format!("{} {}{limit}, drawn at {}, {back}.", lab.result.test().label(), lab.result.value(), lab.drawn)
}

/// A sample whose result was not back: what it showed stays out.
fn sample_words(row: &Row<Lab>) -> String {
    format!("{}, drawn at {}.", row.value.result.test().label(), row.value.drawn)
}

/// `Contrast so far: 120 mL.`, or between which readings it lay.
fn dose(what: &str, given: Given, per_unit: i64, unit: &str) -> String {
    let amount = |count: i64| {
        let (whole, rest) = (count / per_unit, count % per_unit);
        let text = format!("{whole}.{rest:03}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    match (given.exactly(), given.at_most) {
        (Some(exact), _) => format!("{what} so far: {} {unit}.", amount(exact)),
        (None, Some(most)) => {
            format!("{what} so far: between {} and {} {unit}.", amount(given.at_least), amount(most))
        }
        (None, None) => format!("{what} so far: at least {} {unit}.", amount(given.at_least)),
    }
}
