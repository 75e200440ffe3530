//! What was sent to be imported: a text from the form, or a file.

use axum::extract::{FromRequest, Multipart, Request};
use axum::http::header;

use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::state::App;

/// The most bytes of CSV: room for every month of the calendar many times over.
pub(super) const CSV_BYTES: usize = 1024 * 1024;
/// The most bytes of a form that carries that much, with each comma and line end written as three.
const FORM_BYTES: usize = 3 * CSV_BYTES + 4096;

/// A text to import.
pub(super) struct Sent {
    pub(super) csv: String,
    /// The fingerprint of what was looked over.
    pub(super) base: String,
    /// It was looked over and is to be saved.
    pub(super) confirmed: bool,
}

/// What cannot be imported, with what can be shown of it.
pub(super) struct Refused {
    pub(super) csv: String,
    pub(super) why: String,
}

fn refused(csv: String, why: &str) -> Refused {
    Refused { csv, why: why.to_owned() }
}

const TOO_LARGE: &str =
    "This is larger than one megabyte. A year of counts is a page of text: send less at a time.";

/// Receives a form or a file.
pub(super) async fn receive(request: Request, app: &App) -> Result<Result<Sent, Refused>, Error> {
    let is_file = request
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().to_ascii_lowercase().starts_with(b"multipart/form-data"));
    if is_file { receive_file(request, app).await } else { receive_text(request).await }
}

async fn receive_text(request: Request) -> Result<Result<Sent, Refused>, Error> {
    let Ok(bytes) = axum::body::to_bytes(request.into_body(), FORM_BYTES).await else {
        return Ok(Err(refused(String::new(), TOO_LARGE)));
    };
    let values = Values::from_encoded(&String::from_utf8_lossy(&bytes));
    let csv = values.get("csv").to_owned();
    Ok(if csv.trim().is_empty() {
        Err(refused(csv, "Paste the rows first, with the line of names above them."))
    } else if csv.len() > CSV_BYTES {
        Err(refused(csv, TOO_LARGE))
    } else if csv.contains('\u{FFFD}') {
        Err(refused(csv, "Some characters did not arrive whole. Paste the rows again."))
    } else {
        Ok(Sent { csv, base: values.get("base").to_owned(), confirmed: values.ticked("confirmed") })
    })
}

async fn receive_file(request: Request, app: &App) -> Result<Result<Sent, Refused>, Error> {
    let damaged =
        || Error::BadRequest("The file did not arrive whole. Go back and send it again.".to_owned());
    let mut parts = Multipart::from_request(request, app).await.map_err(|_| damaged())?;
    while let Some(mut part) = parts.next_field().await.map_err(|_| damaged())? {
        if part.name() != Some("file") {
            continue;
        }
        let mut bytes: Vec<u8> = Vec::new();
        while let Some(chunk) = part.chunk().await.map_err(|_| damaged())? {
            if bytes.len() + chunk.len() > CSV_BYTES {
                return Ok(Err(refused(String::new(), TOO_LARGE)));
            }
            bytes.extend_from_slice(&chunk);
        }
        return Ok(read_bytes(bytes));
    }
    Ok(Err(refused(String::new(), "Choose a file first.")))
}

fn read_bytes(bytes: Vec<u8>) -> Result<Sent, Refused> {
    if bytes.is_empty() {
        return Err(refused(String::new(), "Choose a file first; this one holds nothing."));
    }
    match String::from_utf8(bytes) {
        Ok(text) => {
            let csv = text.strip_prefix('\u{FEFF}').unwrap_or(&text).to_owned();
            Ok(Sent { csv, base: String::new(), confirmed: false })
        }
        Err(_) => Err(refused(
            String::new(),
            "This file is not plain text in UTF-8. In a spreadsheet, save it as “CSV UTF-8”; a workbook itself cannot be read.",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        let sent = read_bytes(b"\xEF\xBB\xBFmonth,all-pci\n".to_vec()).map(|sent| sent.csv);
        assert_eq!(sent.ok().as_deref(), Some("month,all-pci\n"));
    }

    #[test]
    fn what_is_no_text_is_refused_with_a_way_out() {
        let workbook = read_bytes(b"PK\x03\x04\xFF\xFE".to_vec()).err().map(|refused| refused.why);
        assert!(workbook.is_some_and(|why| why.contains("CSV UTF-8")));
        assert!(read_bytes(Vec::new()).is_err());
    }
}
