//! Choosing a frame, and drawing the rectangles that are burnt out of it.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};

use super::png_answer;
use super::waiting::{Brought, Burnt};
use crate::case::{PictureDigest, StoredCase};
use crate::picture::dicom::Sort;
use crate::picture::{BurntSays, Pixels, Rectangle, burnt_in, encode};
use crate::web::case::load;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The most rectangles of a picture.
const RECTANGLES: usize = 12;
/// Rows for rectangles that are not drawn yet.
const BLANK: usize = 3;
/// The numbers of a rectangle, as the form calls them.
const SIDES: [&str; 4] = ["left", "top", "width", "height"];

/// A rectangle as the form has it.
#[derive(Debug, Clone, Default)]
struct Row {
    number: usize,
    values: [String; 4],
    error: String,
}

impl Row {
    /// The names of its fields with what they hold.
    fn cells(&self) -> Vec<(&'static str, &str)> {
        SIDES.into_iter().zip(self.values.iter().map(String::as_str)).collect()
    }

    fn is_blank(&self) -> bool {
        self.values.iter().all(|value| value.trim().is_empty())
    }
}

/// What a file held, of one sort.
struct HeldView {
    label: &'static str,
    names: String,
}

#[derive(Template)]
#[template(path = "case/pictures/editor.html")]
struct EditorPage {
    frame: Frame,
    code: String,
    path: String,
    /// What the file was and held, in sentences.
    about: Vec<String>,
    warnings: Vec<String>,
    held: Vec<HeldView>,
    count: usize,
    /// The frame that is shown, from 1.
    shown: u32,
    frames: u32,
    width: u32,
    height: u32,
    rows: Vec<Row>,
    most: usize,
    errors: Vec<(String, String)>,
}

/// What the form says: a frame, from 0, and rectangles.
struct Typed {
    frame: Result<u32, String>,
    rows: Vec<Row>,
    rectangles: Vec<Rectangle>,
}

/// Tenths of a percent, from a number of percent.
fn tenths(text: &str) -> Option<u16> {
    let percent: f64 = text.trim().trim_end_matches('%').trim().replace(',', ".").parse().ok()?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 1000")]
    let tenths = (percent * 10.0).round() as u16;
    (0.0..=100.0).contains(&percent).then_some(tenths)
}

fn percent(tenths: u16) -> String {
    match tenths % 10 {
        0 => (tenths / 10).to_string(),
        rest => format!("{}.{rest}", tenths / 10),
    }
}

fn read_row(row: &mut Row) -> Option<Rectangle> {
    let mut numbers = [0; 4];
    for (number, text) in numbers.iter_mut().zip(&row.values) {
        match tenths(text) {
            Some(read) => *number = read,
            None => {
                row.error = "Type four numbers of percent, each 0 to 100.".to_owned();
                return None;
            }
        }
    }
    let [left, top, width, height] = numbers;
    Rectangle::new(left, top, width, height).map_err(|error| row.error = error.to_string()).ok()
}

fn typed(values: &Values, frames: u32) -> Typed {
    let sides: Vec<Vec<&str>> = SIDES.iter().map(|side| values.all(side).collect()).collect();
    let count = sides.iter().map(Vec::len).max().unwrap_or(0).min(RECTANGLES);
    let mut rows: Vec<Row> = (0..count)
        .map(|at| Row {
            number: at + 1,
            values: [0, 1, 2, 3].map(|side| sides[side].get(at).copied().unwrap_or_default().to_owned()),
            error: String::new(),
        })
        .filter(|row| !row.is_blank())
        .collect();
    let rectangles = rows.iter_mut().filter_map(read_row).collect();
    let frame = match values.get("frame").trim() {
        "" if frames == 1 => Ok(0),
        text => text
            .parse::<u32>()
            .ok()
            .filter(|number| (1..=frames).contains(number))
            .map(|number| number - 1)
            .ok_or_else(|| format!("Type the number of a frame, 1 to {frames}.")),
    };
    Typed { frame, rows, rectangles }
}

fn rows_of(rectangles: &[Rectangle]) -> Vec<Row> {
    let row = |rectangle: &Rectangle| Row { values: rectangle.numbers().map(percent), ..Row::default() };
    rectangles.iter().map(row).collect()
}

/// The picture that waits, for this visitor and this case.
pub(super) fn find_brought(
    app: &App,
    visit: &Visit,
    case: &StoredCase,
    token: &str,
) -> Result<Arc<Brought>, Error> {
    app.pictures.find(token, (visit.user.id, case.id), app.now()).ok_or(Error::NotFound)
}

/// A frame, decoded beside the threads that answer.
async fn decoded(brought: &Arc<Brought>, frame: u32) -> Result<Result<Pixels, String>, Error> {
    let own = Arc::clone(brought);
    let read = tokio::task::spawn_blocking(move || own.source.frame(frame)).await;
    Ok(read.map_err(|error| Error::Internal(error.into()))?.map_err(|refused| refused.to_string()))
}

pub(super) fn encoded(pixels: &Pixels) -> Result<Vec<u8>, Error> {
    encode(pixels).map_err(|error| Error::Internal(error.into()))
}

/// What the file was and held, in sentences.
fn about(brought: &Brought) -> Vec<String> {
    let beside = &brought.beside;
    let mut about = vec![match brought.source.frames() {
        1 => format!("{}, one picture.", beside.kind),
        frames => format!("{}, a run of {frames} frames.", beside.kind),
    }];
    if !beside.metadata.is_empty() {
        about.push(format!("It held {}: dropped.", beside.metadata.join(", ")));
    }
    if beside.private > 0 {
        let noun = if beside.private == 1 { "one private attribute" } else { "private attributes" };
        let count = if beside.private == 1 { String::new() } else { format!("{} ", beside.private) };
        about.push(format!("It held {count}{noun}, which may be anything: dropped."));
    }
    about.push("Nothing but its pixels is kept, and the file itself is gone already.".to_owned());
    about
}

fn warnings(brought: &Brought, found: usize) -> Vec<String> {
    let beside = &brought.beside;
    let mut warnings = Vec::new();
    match beside.burnt {
        BurntSays::Yes => warnings.push("The file says that writing is burnt into its pixels.".to_owned()),
        BurntSays::No => {
            warnings.push(
                "The file says that no writing is burnt into its pixels. Files are wrong about that: look."
                    .to_owned(),
            );
        }
        BurntSays::Silent => {}
    }
    if let Some(kind) = beside.often_burnt {
        warnings.push(format!("It is {kind}, which often has names and dates in its pixels."));
    }
    match found {
        0 => warnings
            .push("No writing was found at the edges. That proves nothing: look at all of it.".to_owned()),
        1 => warnings.push("Something looks like writing. A rectangle is drawn over it already.".to_owned()),
        _ => warnings
            .push(format!("{found} places look like writing. Rectangles are drawn over them already.")),
    }
    warnings
}

struct Shown<'a> {
    brought: &'a Brought,
    frame: u32,
    pixels: &'a Pixels,
    rows: Vec<Row>,
    errors: Vec<(String, String)>,
}

fn editor_page(visit: &Visit, case: &StoredCase, shown: Shown<'_>) -> EditorPage {
    let Shown { brought, frame, pixels, mut rows, errors } = shown;
    let blank = BLANK.min(RECTANGLES.saturating_sub(rows.len()));
    rows.extend(std::iter::repeat_with(Row::default).take(blank));
    for (number, row) in (1..).zip(&mut rows) {
        row.number = number;
    }
    let held = &brought.beside.identifying;
    let of = |sort: Sort| held.iter().filter(move |one| one.sort == sort).map(|one| one.name);
    let sorts = [Sort::Patient, Sort::Person, Sort::Time, Sort::Number, Sort::Other];
    let views = sorts
        .into_iter()
        .map(|sort| HeldView { label: sort.label(), names: of(sort).collect::<Vec<_>>().join(", ") });
    EditorPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        path: format!("/cases/{}/pictures/new/{}", case.code, brought.token),
        about: about(brought),
        warnings: warnings(brought, burnt_in(pixels).len()),
        held: views.filter(|view| !view.names.is_empty()).collect(),
        count: held.len(),
        shown: frame + 1,
        frames: brought.source.frames(),
        width: pixels.width(),
        height: pixels.height(),
        rows,
        most: RECTANGLES,
        errors,
    }
}

pub(super) async fn show_editor(
    State(app): State<App>,
    visit: Visit,
    Path((code, token)): Path<(String, String)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    let before = brought.burnt();
    // The middle of a run: contrast is in the vessels by then.
    let frame = before.as_ref().map_or(brought.source.frames() / 2, |burnt| burnt.frame);
    let pixels = decoded(&brought, frame).await?.map_err(Error::Conflict)?;
    let rows = match before {
        Some(burnt) => rows_of(&burnt.rectangles),
        None => {
            let found: Vec<Rectangle> =
                burnt_in(&pixels).iter().map(|zone| zone.place).take(RECTANGLES).collect();
            rows_of(&found)
        }
    };
    page(&editor_page(
        &visit,
        &case,
        Shown { brought: &brought, frame, pixels: &pixels, rows, errors: Vec::new() },
    ))
}

/// Shows another frame, burns the rectangles out, or lets the picture go, as the button says.
pub(super) async fn burn(
    State(app): State<App>,
    visit: Visit,
    Path((code, token)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    if values.get("do") == "discard" {
        app.pictures.forget(&token);
        return Ok(lead_to(&format!("/cases/{}#pictures", case.code), "The picture was not kept.", None));
    }
    let Typed { frame, rows, rectangles } = typed(&values, brought.source.frames());
    let mut errors: Vec<(String, String)> = Vec::new();
    let frame = frame.unwrap_or_else(|why| {
        errors.push(("frame".to_owned(), why));
        0
    });
    let wrong = (1..).zip(&rows).filter(|(_, row)| !row.error.is_empty());
    errors.extend(
        wrong.map(|(number, row)| (format!("left-{number}"), format!("Rectangle {number}: {}", row.error))),
    );
    let pixels = match decoded(&brought, frame).await? {
        Ok(pixels) => pixels,
        Err(why) => {
            errors.push(("frame".to_owned(), why));
            decoded(&brought, 0).await?.map_err(Error::Conflict)?
        }
    };
    if !errors.is_empty() || values.get("do") == "frame" {
        let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
        let shown = Shown { brought: &brought, frame, pixels: &pixels, rows, errors };
        return page_with(status, &editor_page(&visit, &case, shown));
    }
    let burnt = tokio::task::spawn_blocking(move || burnt(pixels, frame, rectangles))
        .await
        .map_err(|error| Error::Internal(error.into()))??;
    brought.set_burnt(burnt);
    Ok(Redirect::to(&format!("/cases/{}/pictures/new/{token}/look", case.code)).into_response())
}

/// The picture as it would be kept.
fn burnt(mut pixels: Pixels, frame: u32, rectangles: Vec<Rectangle>) -> Result<Burnt, Error> {
    pixels.redact(&rectangles);
    let png = encoded(&pixels)?;
    Ok(Burnt {
        frame,
        rectangles,
        digest: PictureDigest::of(&png),
        png: png.into(),
        width: pixels.width(),
        height: pixels.height(),
        zones: burnt_in(&pixels),
    })
}

/// A frame as it is, for who brought it.
pub(super) async fn show_frame(
    State(app): State<App>,
    visit: Visit,
    Path((code, token, number)): Path<(String, String, u32)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let brought = find_brought(&app, &visit, &case, &token)?;
    let frame = number.checked_sub(1).ok_or(Error::NotFound)?;
    let pixels = decoded(&brought, frame).await?.map_err(|_| Error::NotFound)?;
    Ok(png_answer(encoded(&pixels)?))
}
