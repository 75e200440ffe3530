//! The page that says which files there are of a case.

use std::fmt;

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::{SCHEMA_PATH, files_path};
use crate::case::StoredCase;
use crate::export::format::{DECKS, DOCUMENTS, Format, HAS_PDF, RECORDS, REFERENCES, SCREENS};
use crate::export::references::References;
use crate::web::case::{find, moment};
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "files/files.html")]
struct FilesPage {
    frame: Frame,
    code: String,
    title: String,
    groups: Vec<Group>,
    has_pdf: bool,
}

/// Files of one thing.
struct Group {
    title: &'static str,
    text: &'static str,
    /// Where the same can be read without a file.
    page: Option<(String, &'static str)>,
    files: Vec<File>,
}

/// A file on offer.
struct File {
    href: String,
    name: &'static str,
    extension: &'static str,
    use_for: &'static str,
    /// How large it was and when it was made; none where it was not made lately.
    made: Option<(String, String)>,
}

/// A number of bytes in words: `212 KB`.
struct Size(usize);

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            bytes @ 0..1_000 => write!(f, "{bytes} bytes"),
            bytes @ 1_000..1_000_000 => write!(f, "{} KB", (bytes + 500) / 1_000),
            bytes => write!(f, "{}.{} MB", bytes / 1_000_000, bytes % 1_000_000 / 100_000),
        }
    }
}

fn files<T>(app: &App, case: &StoredCase, what: &str, formats: &[&'static Format<T>]) -> Vec<File> {
    formats
        .iter()
        .map(|format| File {
            href: format!("{}/{what}/{}", files_path(case.code), format.slug),
            name: format.name,
            extension: format.extension,
            use_for: format.use_for,
            made: app
                .files
                .last(case.id, format.slug)
                .map(|made| (Size(made.bytes).to_string(), moment(made.at))),
        })
        .collect()
}

/// The schema of a case file.
fn schema() -> File {
    File {
        href: SCHEMA_PATH.to_owned(),
        name: "JSON Schema of a case",
        extension: "schema.json",
        use_for: "What a case file may hold (JSON Schema, draft 2020-12), for whoever writes a program for it. It is the same for every case and holds nothing of this one.",
        made: None,
    }
}

pub(super) async fn show_files(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = find(&mut *app.database.read().await?, &visit, &code).await?;
    let mut groups = Vec::new();
    if visit.user.role.writes() {
        groups.push(Group {
            title: "To present",
            text: "The screens of the case as you arranged them.",
            page: Some((format!("/cases/{}/deck", case.code), "Arrange the screens")),
            files: files(&app, &case, "deck", DECKS)
                .into_iter()
                .chain(files(&app, &case, "screens", &SCREENS))
                .collect(),
        });
    }
    groups.push(Group {
        title: "The teaching summary",
        text: "What the case teaches, from the situation to the actions.",
        page: Some((format!("/cases/{}/summary", case.code), "Read or print it in the browser")),
        files: files(&app, &case, "summary", DOCUMENTS),
    });
    groups.push(Group {
        title: "The record",
        text: "The case as it is kept, without who recorded it.",
        page: None,
        files: files(&app, &case, "record", &RECORDS).into_iter().chain(std::iter::once(schema())).collect(),
    });
    if References::of(&case.to_case()).is_some() {
        groups.push(Group {
            title: "The publications",
            text: "What the lessons of the case rest on in print.",
            page: None,
            files: files(&app, &case, "references", &REFERENCES),
        });
    }
    page(&FilesPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        title: case.head.title.to_string(),
        groups,
        has_pdf: HAS_PDF,
    })
}

#[cfg(test)]
mod tests {
    use super::Size;

    #[test]
    fn a_size_is_said_as_people_say_it() {
        let said: Vec<String> = [999, 1_000, 212_499, 1_250_000].map(|n| Size(n).to_string()).into();
        assert_eq!(said, ["999 bytes", "1 KB", "212 KB", "1.2 MB"]);
    }
}
