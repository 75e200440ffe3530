//! What in the words of a case may identify somebody: each is settled by other words in its place, or by a
//! reason why it identifies nobody.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use sqlx::SqliteConnection;

use super::{find, moment};
use crate::accounts::Secret;
use crate::case::identifier::{Change, Finding, Place as TextPlace, WriteError, find_all, texts, with_text};
use crate::case::store::Dismissing;
use crate::case::{Sentences, StoredCase, store};
use crate::deidentify::{Confidence, OwnWords, Suspicion, suspect_with};
use crate::quantity::Offset;
use crate::review::readiness::Section;
use crate::web::error::Error;
use crate::web::form::{FORM_BYTES, FieldError, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

/// Characters of a text that are shown before and after what was found.
const AROUND: usize = 90;

fn path_of(case: &StoredCase) -> String {
    format!("/cases/{}/identifiers", case.code)
}

/// A finding, made ready for a template.
struct FindingView {
    /// Its number on the page, from 1.
    number: usize,
    /// The section and, in a list, which row of it.
    stands: String,
    before: String,
    words: String,
    after: String,
    kind: &'static str,
    why: String,
    instead: String,
    put: String,
    place: String,
    starts: usize,
    ends: usize,
    /// How often the same words stand in the case.
    times: usize,
    sure: bool,
    dismissed: Option<DismissedView>,
    /// What was typed into its forms and could not be taken.
    typed: Values,
    errors: Vec<FieldError>,
}

impl FindingView {
    fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }

    /// What stands in the field for other words.
    fn with(&self) -> &str {
        if self.typed.get("with").is_empty() { &self.put } else { self.typed.get("with") }
    }
}

struct DismissedView {
    id: i64,
    because: String,
    by: String,
    at: String,
    everywhere: bool,
}

#[derive(Template)]
#[template(path = "case/identifiers.html")]
struct IdentifiersPage {
    frame: Frame,
    code: String,
    title: String,
    state: String,
    open: Vec<FindingView>,
    doubtful: Vec<FindingView>,
    dismissed: Vec<FindingView>,
    /// Whether the account may say it for every case.
    signs: bool,
}

/// What was sent and could not be taken: the words it was about, and what is wrong.
struct Refused {
    typed: Values,
    errors: Vec<FieldError>,
}

/// A text's last, or first, characters, cut at a space.
fn cut(text: &str, from_end: bool) -> String {
    let count = text.chars().count();
    if count <= AROUND {
        return text.to_owned();
    }
    if from_end {
        let tail: String = text.chars().skip(count - AROUND).collect();
        return format!("… {}", tail.split_once(' ').map_or(tail.as_str(), |(_, rest)| rest));
    }
    let head: String = text.chars().take(AROUND).collect();
    format!("{} …", head.rsplit_once(' ').map_or(head.as_str(), |(start, _)| start))
}

/// Where a text stands, in words.
fn stands(case: &StoredCase, place: &TextPlace) -> String {
    let nth = |position: Option<usize>| position.map_or(String::new(), |index| format!(" {}", index + 1));
    let section = Section::of(place).heading();
    match place {
        TextPlace::Title => "Title".to_owned(),
        TextPlace::TimeZero => "What time zero is".to_owned(),
        TextPlace::Event(id) => {
            let event = case.events.iter().enumerate().find(|(_, row)| row.id == *id);
            let at = event.map(|(_, row)| Offset::to_string(&row.value.at)).unwrap_or_default();
            format!("Event{} at {at}", nth(event.map(|(index, _)| index)))
        }
        TextPlace::Cause(id) => format!("Cause{}", nth(case.causes.iter().position(|row| row.id == *id))),
        TextPlace::Decision(id, _) => {
            format!("Decision point{}", nth(case.decisions.iter().position(|row| row.id == *id)))
        }
        TextPlace::Lesson(id) | TextPlace::Recurring(id) => {
            format!("Lesson{}", nth(case.lessons.iter().position(|row| row.id == *id)))
        }
        TextPlace::Action(id)
        | TextPlace::ActionOwner(id)
        | TextPlace::ActionMeasure(id)
        | TextPlace::ActionTarget(id) => {
            format!("Action{}", nth(case.actions.iter().position(|row| row.id == *id)))
        }
        TextPlace::Picture(id) | TextPlace::PictureCaption(id) => {
            format!("Picture{}", nth(case.pictures.iter().position(|row| row.id == *id)))
        }
        TextPlace::Observation(_) => "What was observed".to_owned(),
        TextPlace::Remark(_) => "A remark on what is usually done".to_owned(),
        _ => section.to_owned(),
    }
}

fn view(case: &StoredCase, finding: &Finding<'_>, number: usize, times: usize) -> FindingView {
    let Suspicion { kind, span, why, instead, put, confidence } = finding.suspicion.clone();
    FindingView {
        number,
        stands: stands(case, &finding.place),
        before: cut(finding.text.get(..span.start).unwrap_or_default(), true),
        words: finding.words().to_owned(),
        after: cut(finding.text.get(span.end..).unwrap_or_default(), false),
        kind: kind.label(),
        why,
        instead,
        put: put.unwrap_or_default(),
        place: finding.place.to_string(),
        starts: span.start,
        ends: span.end,
        times,
        sure: confidence == Confidence::High,
        dismissed: finding.dismissed.map(|said| DismissedView {
            id: said.id,
            because: said.because.to_string(),
            by: said.by.clone(),
            at: moment(said.at),
            everywhere: said.everywhere,
        }),
        typed: Values::new(),
        errors: Vec::new(),
    }
}

fn state(open: usize, doubtful: usize) -> String {
    let settle = "Until then the case cannot become ready, readers do not see it, and nothing made from it is presented, printed or downloaded.";
    match (open, doubtful) {
        (0, 0) => "Nothing was found in the words of this case that may identify somebody. That does not make it anonymous: read it once more yourself.".to_owned(),
        (0, 1) => "Nothing holds this case back. One place may be worth a look.".to_owned(),
        (0, many) => format!("Nothing holds this case back. {many} places may be worth a look."),
        (1, _) => format!("One finding holds this case back. {settle}"),
        (many, _) => format!("{many} findings hold this case back. {settle}"),
    }
}

async fn show(
    conn: &mut SqliteConnection,
    visit: &Visit,
    case: &StoredCase,
    refused: Option<Refused>,
) -> Result<Response, Error> {
    let own = store::own_words(conn).await?;
    let dismissals = store::dismissals(conn, case.id).await?;
    let found = find_all(case, &own, &dismissals);
    let mut status = StatusCode::OK;
    let mut views: Vec<FindingView> = found
        .iter()
        .enumerate()
        .map(|(index, finding)| {
            let times = found.iter().filter(|other| other.words() == finding.words()).count();
            view(case, finding, index + 1, times)
        })
        .collect();
    if let Some(Refused { typed, errors }) = refused {
        status = StatusCode::UNPROCESSABLE_ENTITY;
        let about = |view: &&mut FindingView| {
            view.place == typed.get("place") && view.starts.to_string() == typed.get("starts")
        };
        if let Some(view) = views.iter_mut().find(about) {
            (view.typed, view.errors) = (typed, errors);
        }
    }
    let (dismissed, rest): (Vec<_>, Vec<_>) = views.into_iter().partition(|view| view.dismissed.is_some());
    let (open, doubtful): (Vec<_>, Vec<_>) = rest.into_iter().partition(|view| view.sure);
    page_with(
        status,
        &IdentifiersPage {
            frame: visit.frame(Place::Cases),
            code: case.code.to_string(),
            title: case.head.title.to_string(),
            state: state(open.len(), doubtful.len()),
            open,
            doubtful,
            dismissed,
            signs: visit.user.role.signs(),
        },
    )
}

pub(super) async fn show_identifiers(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    show(&mut conn, &visit, &case, None).await
}

/// What a form is about: a place in a text that still holds the words that its page showed.
struct About {
    place: TextPlace,
    text: String,
    span: std::ops::Range<usize>,
}

fn about(case: &StoredCase, typed: &Values) -> Result<About, Error> {
    let unreadable =
        || Error::BadRequest("The page and its button do not fit together. Open the page afresh.".to_owned());
    let place: TextPlace = typed.get("place").parse().map_err(|_| unreadable())?;
    let number = |name: &str| typed.get(name).parse::<usize>().map_err(|_| unreadable());
    let span = number("starts")?..number("ends")?;
    let found = texts(case).into_iter().find(|(other, _)| *other == place);
    match found {
        Some((_, text)) if text.get(span.clone()) == Some(typed.get("words")) => {
            Ok(About { place, text: text.to_owned(), span })
        }
        _ => Err(Error::Conflict(
            "The text was changed since you opened the page. Go back, open the page afresh, and look again; nothing was changed now."
                .to_owned(),
        )),
    }
}

/// A text with other words in a place; without any, the gap closes.
fn replaced(text: &str, span: std::ops::Range<usize>, with: &str) -> String {
    let (before, after) = (&text[..span.start], &text[span.end..]);
    if with.is_empty() && before.ends_with(' ') && after.starts_with([' ', '.', ',', ';', ')']) {
        return format!("{}{after}", &before[..before.len() - 1]);
    }
    format!("{before}{with}{after}")
}

/// The same words wherever they stand in the case, each text from its end so that places stay true.
fn everywhere(case: &StoredCase, own: &OwnWords, words: &str) -> Vec<(TextPlace, std::ops::Range<usize>)> {
    let mut places: Vec<_> = find_all(case, own, &[])
        .into_iter()
        .filter(|finding| finding.words() == words)
        .map(|finding| (finding.place, finding.suspicion.span))
        .collect();
    places.reverse();
    places
}

async fn write(
    conn: &mut SqliteConnection,
    case: &StoredCase,
    change: Change,
    now: jiff::Timestamp,
) -> Result<(), Error> {
    match change {
        Change::Head(head) => store::update_head(conn, case.id, &head, now).await?,
        Change::Row(id, value) => store::update_row(conn, case.id, id, &value, now).await?,
        Change::Remark(remark) => {
            let step = (&remark.complication, &remark.list, &remark.step);
            store::say(conn, case.id, step, Some(remark.says.clone()), now).await?;
        }
        Change::Recurring { from, to } => {
            store::reword_recurring(conn, &from, &to, now).await.map_err(|error| {
                if error.is_constraint("recurring_lessons") {
                    Error::Conflict(
                        "Another recurring lesson has these words already. Join that one instead.".to_owned(),
                    )
                } else {
                    error.into()
                }
            })?;
        }
    }
    Ok(())
}

/// Puts other words in the place of what was found.
pub(super) async fn replace(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    let about = about(&case, &typed)?;
    let own = store::own_words(&mut tx).await?;
    let places = if typed.ticked("all") {
        everywhere(&case, &own, typed.get("words"))
    } else {
        vec![(about.place.clone(), about.span.clone())]
    };
    let with = typed.get("with").trim();
    let mut now_case = case;
    let mut done = 0;
    for (place, span) in places {
        let Some((_, text)) = texts(&now_case).into_iter().find(|(other, _)| *other == place) else {
            continue;
        };
        let text = replaced(text, span, with);
        let change = match with_text(&now_case, &place, &text) {
            Ok(change) => change,
            Err(WriteError::Text(error)) => {
                drop(tx);
                let message = format!("With these words the text does not fit: {error}");
                let errors = vec![FieldError { name: "with".to_owned(), message }];
                let mut conn = app.database.read().await?;
                let case = find(&mut conn, &visit, &code).await?;
                return show(&mut conn, &visit, &case, Some(Refused { typed, errors })).await;
            }
            Err(gone) => return Err(Error::Conflict(gone.to_string())),
        };
        write(&mut tx, &now_case, change, app.now()).await?;
        done += 1;
        now_case = find(&mut tx, &visit, &code).await?;
    }
    let left = now_case.identifiers.len();
    tx.commit().await?;
    let places = if done == 1 { "One place says".to_owned() } else { format!("{done} places say") };
    let text = format!("{places} something else now, since {}. {}", app.clock(), what_is_left(left));
    Ok(lead_to(&path_of(&now_case), &text, None))
}

fn what_is_left(open: usize) -> String {
    match open {
        0 => "Nothing holds the case back any more.".to_owned(),
        1 => "One finding is left.".to_owned(),
        many => format!("{many} findings are left."),
    }
}

/// Says that what was found identifies nobody, with the reason.
pub(super) async fn dismiss(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    let about = about(&case, &typed)?;
    let mut reader = Reader::new(&typed);
    let because = reader.required::<Sentences>("because", "Say why these words identify nobody.");
    let everywhere = typed.ticked("everywhere") && visit.user.role.signs();
    let because = match reader.finish(because) {
        Ok(because) => because,
        Err(errors) => return show(&mut tx, &visit, &case, Some(Refused { typed, errors })).await,
    };
    store::give_salt(&mut tx, &Secret::generate().map_err(anyhow::Error::from)?).await?;
    let own = store::own_words(&mut tx).await?;
    let words = about.text.get(about.span.clone()).unwrap_or_default();
    let kind = suspect_with(&about.text, &own)
        .into_iter()
        .find(|suspicion| suspicion.span == about.span)
        .map_or("Words", |suspicion| suspicion.kind.label());
    let said = Dismissing {
        case_id: (!everywhere).then_some(case.id),
        digest: &own.digest_of_words(words),
        kind,
        because: &because,
        by: visit.user.name.as_str(),
    };
    store::dismiss(&mut tx, &said, app.now()).await?;
    tx.because("Words that look like an identifier were said to be none.");
    tx.commit().await?;
    if everywhere {
        app.look_through_again();
    }
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let text = format!("Noted {}. {}", app.clock(), what_is_left(case.identifiers.len()));
    Ok(lead_to(&path_of(&case), &text, None))
}

/// Takes back that words identify nobody.
pub(super) async fn take_back(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    if !store::take_dismissal_back(&mut tx, Some(case.id), id, app.now()).await? {
        return Err(Error::NotFound);
    }
    tx.commit().await?;
    Ok(lead_to(&path_of(&case), &format!("Taken back {}.", app.clock()), None))
}

/// A finding as a script marks it: places count UTF-16 units, as a browser's texts do.
#[derive(Serialize)]
struct Marked {
    start: usize,
    end: usize,
    kind: &'static str,
    why: String,
    instead: String,
    put: Option<String>,
    sure: bool,
}

fn marked(text: &str, suspicion: Suspicion) -> Marked {
    let units = |end: usize| text.get(..end).unwrap_or_default().encode_utf16().count();
    Marked {
        start: units(suspicion.span.start),
        end: units(suspicion.span.end),
        kind: suspicion.kind.label(),
        why: suspicion.why,
        instead: suspicion.instead,
        put: suspicion.put,
        sure: suspicion.confidence == Confidence::High,
    }
}

/// What in a text that is being written may identify somebody. Nothing is stored.
pub(super) async fn check_text(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let text = values.get("text").to_owned();
    if text.len() > FORM_BYTES {
        return Err(Error::BadRequest("This text is longer than any field.".to_owned()));
    }
    let mut conn = app.database.read().await?;
    let own = store::own_words(&mut conn).await?;
    let dismissals = match find(&mut conn, &visit, values.get("code")).await {
        Ok(case) => store::dismissals(&mut conn, case.id).await?,
        Err(_) => store::dismissals_everywhere(&mut conn).await?,
    };
    drop(conn);
    let found: Vec<Marked> = suspect_with(&text, &own)
        .into_iter()
        .filter(|suspicion| {
            let digest = own.digest_of_words(text.get(suspicion.span.clone()).unwrap_or_default());
            !dismissals.iter().any(|said| said.digest == digest)
        })
        .map(|suspicion| marked(&text, suspicion))
        .collect();
    let text = serde_json::to_string(&found).map_err(anyhow::Error::from)?;
    Ok(([(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], text)
        .into_response())
}
