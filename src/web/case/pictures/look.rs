//! Looking at exactly what will be kept, saying what it shows, and saving it.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::editor::find_brought;
use super::part::{PicturePart, fields, values_of, words};
use super::png_answer;
use super::upload::is_full;
use super::waiting::{Brought, Burnt};
use crate::case::store::{self, RowValue};
use crate::case::{Picture, Still, StoredCase, View};
use crate::database::log_sqlite::empty_log;
use crate::web::case::edit::index_of;
use crate::web::case::load;
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

const CONFIRM: &str = "I looked at this picture at full size: no name, number, date or face is in it";
const NO_WRITING: &str = "What looks like writing is none";

#[derive(Template)]
#[template(path = "case/pictures/look.html")]
struct LookPage {
    frame: Frame,
    code: String,
    path: String,
    digest: String,
    width: u32,
    height: u32,
    rectangles: usize,
    warnings: Vec<String>,
    form: FormView,
}

/// Fields of the form: what is said of the picture, and that somebody looked.
fn all_fields(case: &StoredCase, burnt: &Burnt) -> Vec<Field> {
    let tick = |name, choice: &str, label: &str| {
        Field::new(name, label, Control::Checks(vec![Choice::new("yes", choice)]))
    };
    let mut all = fields(case);
    if !burnt.zones.is_empty() {
        all.push(tick("no-writing", NO_WRITING, "Something still looks like writing").hint(places(burnt)));
    }
    all.push(tick("looked", CONFIRM, "Look at it"));
    all
}

fn places(burnt: &Burnt) -> String {
    let places: Vec<&str> = burnt.zones.iter().map(crate::picture::Zone::words).collect();
    format!("It is {}. Go back and burn it out, unless it is none.", places.join(", and "))
}

fn look_page(
    visit: &Visit,
    case: &StoredCase,
    (brought, burnt): (&Brought, &Burnt),
    values: Values,
    errors: Vec<FieldError>,
) -> LookPage {
    let path = format!("/cases/{}/pictures/new/{}", case.code, brought.token);
    LookPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        digest: burnt.digest.as_str()[..12].to_owned(),
        width: burnt.width,
        height: burnt.height,
        rectangles: burnt.rectangles.len(),
        warnings: if burnt.zones.is_empty() {
            Vec::new()
        } else {
            vec![format!("Something still looks like writing. {}", places(burnt))]
        },
        form: FormView {
            action: format!("{path}/look"),
            cancel: path.clone(),
            save: "Keep this picture",
            fields: all_fields(case, burnt),
            values,
            errors,
            base: burnt.digest.as_str().to_owned(),
            take_out: None,
        },
        path,
    }
}

/// What the form begins with: of the picture that it takes the place of, else what the file says.
fn fresh(case: &StoredCase, brought: &Brought) -> Values {
    let replaced = brought.replaces.and_then(|id| case.pictures.iter().find(|row| row.id == id));
    if let Some(row) = replaced {
        return values_of(&row.value);
    }
    let view =
        brought.beside.angles.and_then(|angles| View::new(angles.rotation.into(), angles.tilt.into()).ok());
    Values::new().with_opt("view", view)
}

/// What was burnt; who has not burnt anything yet is led back.
fn burnt_of(brought: &Brought) -> Result<Burnt, Error> {
    brought
        .burnt()
        .ok_or_else(|| Error::Conflict("Choose a frame first, and burn out what names somebody.".to_owned()))
}

pub(super) async fn show_look(
    State(app): State<App>,
    visit: Visit,
    Path((code, token)): Path<(String, String)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    let burnt = burnt_of(&brought)?;
    let values = fresh(&case, &brought);
    page(&look_page(&visit, &case, (&brought, &burnt), values, Vec::new()))
}

/// The picture as it would be kept.
pub(super) async fn show_burnt(
    State(app): State<App>,
    visit: Visit,
    Path((code, token)): Path<(String, String)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    Ok(png_answer(burnt_of(&brought)?.png.to_vec()))
}

/// Reads what was typed and ticked.
fn read(
    values: &Values,
    case: &StoredCase,
    burnt: &Burnt,
    (by, on): (&str, crate::case::Day),
) -> Result<Picture, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let words = words(&mut reader, case);
    if !burnt.zones.is_empty() && !values.ticked("no-writing") {
        reader.mark("no-writing", "Go back and burn it out, or say that it is none.");
    }
    if !values.ticked("looked") {
        reader.mark("looked", "Look at the whole picture at full size, and say so.");
    } else if values.get("base") != burnt.digest.as_str() {
        // Burnt anew in another window: what was looked at is not what would be kept.
        reader.mark(
            "looked",
            "The picture was burnt anew since you opened this page. This is how it is now: look again.",
        );
    }
    let by = by.parse().map_err(|error| reader.mark("looked", &error)).ok();
    let picture = words.zip(by).map(|(words, confirmed_by)| Picture {
        event: words.event,
        caption: words.caption,
        shows: words.shows,
        view: words.view,
        still: Still { width: burnt.width, height: burnt.height, digest: burnt.digest.clone() },
        confirmed_by,
        confirmed_on: on,
    });
    reader.finish(picture)
}

pub(super) async fn save(
    State(app): State<App>,
    visit: Visit,
    Path((code, token)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = crate::web::case::find(&mut tx, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    let burnt = burnt_of(&brought)?;
    let again = |values: Values, errors| {
        let values = values.without("looked");
        page_with(
            StatusCode::UNPROCESSABLE_ENTITY,
            &look_page(&visit, &case, (&brought, &burnt), values, errors),
        )
    };
    let picture = match read(&values, &case, &burnt, (visit.user.name.as_str(), app.today())) {
        Ok(picture) => picture,
        Err(errors) => return again(values, errors),
    };
    if let Some(why) = is_full(&case, brought.replaces) {
        return again(values, vec![FieldError { name: "looked".to_owned(), message: why }]);
    }
    store::keep_png(&mut tx, &burnt.png).await?;
    match brought.replaces {
        Some(id) => {
            index_of::<PicturePart>(&case, id)?;
            store::update_row(&mut tx, case.id, id, &RowValue::Picture(picture), app.now()).await?;
        }
        None => {
            store::insert_row(&mut tx, case.id, &RowValue::Picture(picture), app.now()).await?;
        }
    }
    // What another took the place of is gone for good.
    store::forget_pixels(&mut tx, app.now()).await?;
    tx.commit().await?;
    if brought.replaces.is_some() {
        empty_log(&mut *app.database.read().await?).await?;
    }
    app.pictures.forget(&token);
    Ok(lead_to(&format!("/cases/{}#pictures", case.code), &format!("Saved {}.", app.clock()), None))
}
