//! What the formats of one HTML file share: everything inside (sheets, fonts, stills), and a content policy by
//! which the file could ask for nothing else.

pub(super) mod fonts;

use data_encoding::BASE64;
use sha2::{Digest, Sha256};

use super::format::LANGUAGE;
use super::html::escape;
use crate::document::Picture;

/// A file before it is one text.
pub(super) struct OneFile<'a> {
    /// What a window is called that shows it.
    pub(super) title: &'a str,
    /// Attributes of the root element, each with a space before it.
    pub(super) root: &'a str,
    /// The class of the body.
    pub(super) class: &'a str,
    /// The sheets in the order in which they hold, our own code's: none may end its element.
    pub(super) sheets: &'a str,
    /// What may style the file: its sheets alone, or its script too.
    pub(super) styles: Styles,
    /// The one script, which must not end its element; none for a file that is only read.
    pub(super) script: Option<&'a str>,
    /// What stands in the body, every text escaped.
    pub(super) body: &'a str,
}

/// What may style a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Styles {
    /// Its sheets, by their digest.
    Sheets,
    /// Sheets and whatever the script sets.
    Script,
}

impl OneFile<'_> {
    /// The whole file.
    pub(super) fn write(&self) -> String {
        let sheets = format!("\n{}\n{}", fonts::sheet(), self.sheets);
        let styles = match self.styles {
            Styles::Sheets => digest(&sheets),
            Styles::Script => "'unsafe-inline'".to_owned(),
        };
        let scripts =
            self.script.map_or_else(String::new, |script| format!("script-src {}; ", digest(script)));
        let script = self.script.map_or_else(String::new, |script| format!("<script>{script}</script>\n"));
        let Self { root, class, body, .. } = self;
        let title = escape(self.title);
        format!(
            "<!doctype html>\n<html lang=\"{LANGUAGE}\"{root}>\n<head>\n<meta charset=\"utf-8\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src {styles}; \
             img-src data:; font-src data:; {scripts}base-uri 'none'; form-action 'none'\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <meta name=\"referrer\" content=\"no-referrer\">\n<title>{title}</title>\n<style>{sheets}</style>\n\
             {script}</head>\n<body class=\"{class}\">\n{body}</body>\n</html>\n",
        )
    }
}

/// The digest of a sheet or script as a policy names it.
fn digest(text: &str) -> String {
    format!("'sha256-{}'", BASE64.encode(&Sha256::digest(text.as_bytes())))
}

/// A still as an address that holds it.
pub(super) fn inside(picture: &Picture) -> Option<String> {
    let png = picture.png.as_deref()?;
    Some(format!("data:image/png;base64,{}", BASE64.encode(png)))
}

/// Links whose address leads nowhere from a file keep their words alone.
pub(super) fn without_links(html: &str, leads_nowhere: impl Fn(&str) -> bool) -> String {
    let mut kept = String::with_capacity(html.len());
    let mut rest = html;
    while let Some((before, link)) = rest.split_once("<a href=\"") {
        kept.push_str(before);
        let address = link.split('"').next().unwrap_or_default();
        match link.split_once('>').and_then(|(_, inner)| inner.split_once("</a>")) {
            Some((words, behind)) if leads_nowhere(address) => {
                kept.push_str(words);
                rest = behind;
            }
            _ => {
                kept.push_str("<a href=\"");
                rest = link;
            }
        }
    }
    kept + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_into_the_app_keeps_its_words_and_one_out_of_it_stays() {
        let html = "<p><a href=\"/cases/2025-001\">Case <em>1</em></a>, <a href=\"https://doi.org/10.1/x\" rel=\"noopener\">paper</a>, <a href=\"#x\">there</a></p>";
        assert_eq!(
            without_links(html, |address| address.starts_with(['/', '#'])),
            "<p>Case <em>1</em>, <a href=\"https://doi.org/10.1/x\" rel=\"noopener\">paper</a>, there</p>"
        );
        assert!(
            without_links(html, |address| address.starts_with('/')).contains("<a href=\"#x\">there</a>"),
            "a place of the file itself can be led to"
        );
    }

    #[test]
    fn a_file_without_a_script_allows_none_and_its_sheets_alone() {
        let file = OneFile {
            title: "a < b",
            root: "",
            class: "file",
            sheets: "p { margin: 0; }",
            styles: Styles::Sheets,
            script: None,
            body: "<main></main>\n",
        };
        let text = file.write();
        assert!(!text.contains("<script") && !text.contains("script-src") && !text.contains("unsafe"));
        let sheet = text.split_once("<style>").unwrap().1.split_once("</style>").unwrap().0;
        assert!(text.contains(&format!("style-src {};", digest(sheet))));
        assert!(text.contains("<title>a &lt; b</title>"));
    }
}
