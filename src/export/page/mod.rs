//! A document as one HTML file with everything inside: it asks no network for anything, runs no script, is read in
//! light and dark, and prints with its confidentiality under each page.
//!
//! The pipeline: `html` writes the document → stills become part of it, links that lead only inside the app keep
//! their words → the sheets that the app serves (`static`), and `page.css`.

use std::fmt::Write as _;

use super::format::{ExportError, Format, Options};
use super::html::document_to_html_with;
use super::one_file::{OneFile, Styles, inside, without_links};
use crate::case::reading::words::shorten;
use crate::document::Document;

/// The format.
pub const FORMAT: Format<Document> = Format {
    slug: "page",
    name: "One page (HTML)",
    extension: "html",
    media_type: "text/html; charset=utf-8",
    use_for: "The page as it stands here, with all drawings, in one file that any browser opens without a network: to read on a phone, to keep, to print. It runs no script.",
    render: |document, _: &Options| -> Result<Vec<u8>, ExportError> { Ok(page(document).into_bytes()) },
};

const SHEETS: [&str; 7] = [
    include_str!("../../../static/css/base.css"),
    include_str!("../../../static/css/frame.css"),
    include_str!("../../../static/css/table.css"),
    include_str!("../../../static/css/record.css"),
    include_str!("../../../static/css/figure.css"),
    include_str!("../../../static/css/picture.css"),
    include_str!("../../../static/css/print.css"),
];
/// At most so many characters under a printed page.
const FOOT: usize = 240;
const OWN_SHEET: &str = include_str!("page.css");

fn page(document: &Document) -> String {
    let article = document_to_html_with(document, inside);
    let body = format!(
        "<main class=\"site-main file\">\n{}</main>\n",
        // A place of this file can be led to, a page of the app cannot.
        without_links(&article, |address| address.starts_with('/'))
    );
    let sheets =
        format!("{}\n{OWN_SHEET}\n{}", SHEETS.join("\n"), foot(document.standing().unwrap_or_default()));
    OneFile {
        title: document.title(),
        root: "",
        class: "one-file",
        sheets: &sheets,
        styles: Styles::Sheets,
        script: None,
        body: &body,
    }
    .write()
}

/// The sheet that writes what a document stands as under each printed page; a long line ends early there, and stands
/// whole over the title.
fn foot(standing: &str) -> String {
    let line = quoted(&shorten(standing, FOOT));
    format!("@media print {{ @page {{ @bottom-left {{ content: {line}; }} }} }}\n")
}

/// A text as a string of CSS (Syntax Module Level 3, 4.3.7): what could end the string, the sheet or its element is
/// written by its number.
fn quoted(text: &str) -> String {
    let mut string = String::from("\"");
    for c in text.chars() {
        if c.is_control() || matches!(c, '"' | '\\' | '<' | '>' | '&' | '{' | '}' | '\u{2028}' | '\u{2029}') {
            // Writing to a string cannot fail. The space ends the number.
            let _ = write!(string, "\\{:x} ", u32::from(c));
        } else {
            string.push(c);
        }
    }
    string.push('"');
    string
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_of_css_ends_where_it_should() {
        assert_eq!(quoted("Confidential – “ours”."), "\"Confidential – “ours”.\"");
        assert_eq!(quoted("a\"b\\c\n</style>"), "\"a\\22 b\\5c c\\a \\3c /style\\3e \"");
    }

    #[test]
    fn no_sheet_can_end_its_element_or_ask_for_anything() {
        for sheet in SHEETS.iter().chain([&OWN_SHEET]) {
            assert!(
                !sheet.contains("</") && !sheet.contains("url(") && !sheet.contains("@import"),
                "{sheet}"
            );
        }
    }
}
