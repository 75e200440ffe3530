//! The drawings of a subject as files: SVG and PNG as they are drawn, and CSV of what they are drawn
//! from, with the counts that are too small to leave the department hidden.

use axum::extract::{Path, RawQuery, State};
use axum::response::Response;

use super::gather::Gathered;
use super::page::Drawings;
use super::subject_of;
use crate::export::csv::{Cell, csv_file};
use crate::export::picture::{png_file, svg_file};
use crate::figure::Figure;
use crate::rates::suppress::{Shown, SmallestCount, row};
use crate::rates::{Course, Points, Split, Subject};
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::Visit;
use crate::web::rates::query::AskedOfOne;
use crate::web::state::App;

/// Which drawing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    Rate,
    Cusum,
    Causes,
    Features,
}

impl Which {
    fn of(name: &str) -> Option<Self> {
        Some(match name {
            "rate" => Self::Rate,
            "cusum" => Self::Cusum,
            "causes" => Self::Causes,
            "features" => Self::Features,
            _ => return None,
        })
    }
}

pub(super) async fn download_figure(
    State(app): State<App>,
    visit: Visit,
    Path((kind, slug, file)): Path<(String, String, String)>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let subject = subject_of((&kind, &slug), &vocabulary)?;
    let (name, ending) = file.rsplit_once('.').ok_or(Error::NotFound)?;
    let which = Which::of(name).ok_or(Error::NotFound)?;
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let asked = AskedOfOne::read(&typed, &vocabulary).map_err(|errors| {
        Error::BadRequest(errors.first().map_or_else(String::new, |error| error.message.clone()))
    })?;
    let mut conn = app.database.read().await?;
    let gathered = Gathered::of(&mut conn, &app, &subject, (&asked, visit.sight())).await?;
    drop(conn);
    let name = format!(
        "{}-{name}-{}-{}.{ending}",
        file_stem(&subject),
        gathered.period.from(),
        gathered.period.to()
    );
    match ending {
        "csv" => Ok(download(&name, "text/csv; charset=utf-8", table(which, &gathered))),
        "svg" => {
            let figure = drawing(which, &gathered, &asked)?;
            Ok(download(&name, "image/svg+xml", svg_file(&figure.standalone(&note(&gathered)))))
        }
        "png" => {
            let figure = drawing(which, &gathered, &asked)?;
            let picture = picture_of(figure.standalone(&note(&gathered))).await?;
            Ok(download(&name, "image/png", picture))
        }
        _ => Err(Error::NotFound),
    }
}

fn file_stem(subject: &Subject) -> String {
    match subject.key() {
        (kind, "") => kind.to_owned(),
        (_, slug) => slug.to_owned(),
    }
}

fn drawing(which: Which, gathered: &Gathered, asked: &AskedOfOne) -> Result<Figure, Error> {
    let drawn = Drawings { gathered, asked };
    match which {
        Which::Rate => drawn.chart(),
        Which::Cusum => drawn.watch(),
        Which::Causes => drawn.causes(),
        Which::Features => drawn.features(),
    }
    .ok_or(Error::NotFound)
}

/// A drawing as PNG, drawn beside the threads that answer.
pub(in crate::web::rates) async fn picture_of(svg: String) -> Result<Vec<u8>, Error> {
    let drawn = tokio::task::spawn_blocking(move || png_file(&svg)).await.map_err(anyhow::Error::from)?;
    Ok(drawn.map_err(anyhow::Error::from)?)
}

/// What stands under a picture: the caution, and that it shows small counts where it does.
pub(in crate::web::rates) fn caution(smallest: SmallestCount, shows_small: bool) -> String {
    let caution = "For peer review and teaching. Rates on small numbers never rank people.";
    if shows_small {
        format!(
            "For use inside the department: it shows counts below {smallest}, which are not to leave it. {caution}"
        )
    } else {
        caution.to_owned()
    }
}

fn note(gathered: &Gathered) -> String {
    let smallest = gathered.settings.smallest;
    let is_small = gathered.judged.as_ref().is_ok_and(|(course, _)| {
        course.months.months.iter().any(|month| smallest.hides(month.events.into()))
    });
    let hides = |split: Split| smallest.hides(split.with) || smallest.hides(split.without);
    let of_cases = gathered.causes.iter().any(|(_, cases)| smallest.hides(*cases))
        || gathered.features.iter().any(|feature| hides(feature.cases) || hides(feature.others));
    caution(smallest, is_small || of_cases)
}

fn shown(shown: Shown) -> Cell {
    match shown {
        Shown::Count(count) => Cell::Whole(count),
        Shown::Hidden => Cell::text("hidden"),
    }
}

fn table(which: Which, gathered: &Gathered) -> String {
    match (which, &gathered.judged) {
        (Which::Rate | Which::Cusum, Err(why)) => {
            csv_file(&["note".to_owned()], &[vec![Cell::text(why.clone())]])
        }
        (Which::Rate, Ok((course, _))) => course_table(course, gathered),
        (Which::Cusum, Ok((course, _))) => watch_table(course, gathered),
        (Which::Causes, _) => causes_table(gathered),
        (Which::Features, _) => features_table(gathered),
    }
}

/// The steps of a course, and their total.
fn course_table(course: &Course, gathered: &Gathered) -> String {
    let smallest = gathered.settings.smallest;
    let columns = [
        "from month".to_owned(),
        "to month".to_owned(),
        format!("{}: cases", course.label),
        format!("procedures at risk ({})", course.stratum_label),
        "rate per 1,000 procedures".to_owned(),
        "lower limit per 1,000".to_owned(),
        "upper limit per 1,000".to_owned(),
        "note".to_owned(),
    ];
    let events: Vec<u64> = course.steps.iter().map(|step| step.events.into()).collect();
    let total: u64 = events.iter().sum();
    let shown_total = if smallest.hides(total) { Shown::Hidden } else { Shown::Count(total) };
    let (cells, total) = row(&events, shown_total, smallest);
    // From a limit and the procedures beside it the baseline's rate follows, and with it its events.
    let hides = total.is_hidden() || cells.iter().any(|cell| cell.is_hidden());
    let limits = |at: usize| match &gathered.judged {
        _ if hides => None,
        Ok((_, judged)) => match (&judged.points, &judged.chart) {
            (Points::Steps(places), Ok(chart)) => {
                places.iter().position(|place| *place == at).map(|point| chart.points()[point])
            }
            _ => None,
        },
        Err(_) => None,
    };
    let mut rows: Vec<Vec<Cell>> = course
        .steps
        .iter()
        .zip(&cells)
        .enumerate()
        .map(|(at, (step, events))| {
            let point = limits(at);
            let per_1000 = |share: Option<f64>| Cell::maybe(share.map(|share| share * 1_000.0));
            let rate = step.count().and_then(|count| events.with(count.proportion()));
            vec![
                Cell::text(step.period.from().to_string()),
                Cell::text(step.period.to().to_string()),
                shown(*events),
                procedures(step.procedures.map(u64::from), smallest),
                per_1000(rate),
                per_1000(point.and_then(|point| point.lower)),
                per_1000(point.and_then(|point| point.upper)),
                Cell::text(if step.procedures.is_none() {
                    "not counted: left out of every rate"
                } else {
                    ""
                }),
            ]
        })
        .collect();
    let procedures_in_all: u64 = course.steps.iter().filter_map(|step| step.procedures).map(u64::from).sum();
    rows.push(vec![
        Cell::text(course.period.from().to_string()),
        Cell::text(course.period.to().to_string()),
        shown(total),
        Cell::Whole(procedures_in_all),
        Cell::maybe(total.with(()).and_then(|()| {
            crate::stats::proportion::Count::new(events.iter().sum(), procedures_in_all)
                .ok()
                .map(|count| count.proportion() * 1_000.0)
        })),
        Cell::Empty,
        Cell::Empty,
        Cell::text(format!("total. {}", smallest.note().unwrap_or_default())),
    ]);
    csv_file(&columns, &rows)
}

/// Procedures, hidden where they alone would bound the events.
fn procedures(procedures: Option<u64>, smallest: SmallestCount) -> Cell {
    match procedures {
        None => Cell::Empty,
        Some(few) if smallest.hides(few) => Cell::text("hidden"),
        Some(many) => Cell::Whole(many),
    }
}

/// The sums of the watch. Each gives its month's count back, so none is written where any count is
/// hidden.
fn watch_table(course: &Course, gathered: &Gathered) -> String {
    let columns = ["month", "sum for a rise", "sum for a fall", "note"].map(str::to_owned);
    let smallest = gathered.settings.smallest;
    let hides = course.months.months.iter().any(|month| smallest.hides(month.events.into()));
    let rows = match &gathered.watched {
        Err(why) => vec![vec![Cell::Empty, Cell::Empty, Cell::Empty, Cell::text(why.clone())]],
        Ok(_) if hides => vec![vec![
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::text(format!(
                "Not written: the sums would give back monthly counts below {smallest}, which do not leave the department."
            )),
        ]],
        Ok(watched) => (0..watched.months.len())
            .map(|at| {
                vec![
                    Cell::text(watched.months[at].to_string()),
                    Cell::maybe(watched.worse.sums.get(at).copied()),
                    Cell::maybe(watched.better.sums.get(at).copied()),
                    Cell::Empty,
                ]
            })
            .collect(),
    };
    csv_file(&columns, &rows)
}

fn causes_table(gathered: &Gathered) -> String {
    let smallest = gathered.settings.smallest;
    let columns =
        ["cause".to_owned(), "cases".to_owned(), "share of all cases, %".to_owned(), "period".to_owned()];
    let hide = |count: u64| if smallest.hides(count) { Shown::Hidden } else { Shown::Count(count) };
    let all = hide(gathered.cases);
    let mut rows: Vec<Vec<Cell>> = gathered
        .causes
        .iter()
        .map(|(label, cases)| {
            // Where the total is hidden, each part would bound it.
            let cases = all.with(hide(*cases)).unwrap_or(Shown::Hidden);
            let share = match (cases, all) {
                (Shown::Count(cases), Shown::Count(all)) if all > 0 => Some(share(cases, all)),
                _ => None,
            };
            vec![
                Cell::text(label.clone()),
                shown(cases),
                Cell::maybe(share),
                Cell::text(gathered.period.to_string()),
            ]
        })
        .collect();
    rows.push(vec![
        Cell::text("all cases of the period"),
        shown(all),
        Cell::Empty,
        Cell::text(gathered.period.to_string()),
    ]);
    csv_file(&columns, &rows)
}

#[expect(clippy::cast_precision_loss, reason = "counts of cases")]
fn share(part: u64, all: u64) -> f64 {
    part as f64 / all as f64 * 100.0
}

fn features_table(gathered: &Gathered) -> String {
    let smallest = gathered.settings.smallest;
    let columns = [
        "feature",
        "with this complication: cases with the feature",
        "with this complication: cases without",
        "other complications: cases with the feature",
        "other complications: cases without",
        "odds ratio (conditional)",
        "lower exact 95 % limit",
        "upper exact 95 % limit",
        "p (mid-P)",
        "p corrected (Benjamini-Hochberg)",
    ]
    .map(str::to_owned);
    let rows: Vec<Vec<Cell>> = gathered
        .features
        .iter()
        .map(|feature| {
            let cells = |split: Split| [split.with, split.without];
            let counts: Vec<u64> = [cells(feature.cases), cells(feature.others)].concat();
            // Any of the four and the odds ratio would give the others back.
            let hidden = counts.iter().any(|count| smallest.hides(*count));
            let number = |value: Option<f64>| if hidden { Cell::Empty } else { Cell::maybe(value) };
            let exact = feature.odds_ratio.exact();
            std::iter::once(Cell::text(feature.feature.label()))
                .chain(
                    counts
                        .iter()
                        .map(|count| if hidden { Cell::text("hidden") } else { Cell::Whole(*count) }),
                )
                .chain([
                    number(feature.odds_ratio.conditional()),
                    number(Some(exact.lower())),
                    number(exact.upper()),
                    number(Some(feature.odds_ratio.p_mid())),
                    number(Some(feature.adjusted_p)),
                ])
                .collect()
        })
        .collect();
    csv_file(&columns, &rows)
}
