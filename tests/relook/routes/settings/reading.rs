//! What these tests look for on a page, and what they send.

use crate::support::{Client, Page, StatusCode};

/// A text as it stands in HTML.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&#38;")
        .replace('<', "&#60;")
        .replace('>', "&#62;")
        .replace('"', "&#34;")
        .replace('\'', "&#39;")
}

/// Short words for what a page must and must not hold.
pub trait Reading {
    /// The page holds this text, also in a field, as text.
    fn says(&self, text: &str) -> &Self;
    /// The page holds this markup.
    fn has(&self, html: &str) -> &Self;
    /// The page does not hold this markup.
    fn lacks(&self, html: &str) -> &Self;
    /// The answer has this status.
    fn is(&self, status: StatusCode) -> &Self;
    /// The answer leads there.
    fn leads_to(&self, path: &str) -> &Self;
}

impl Reading for Page {
    #[track_caller]
    fn says(&self, text: &str) -> &Self {
        assert!(self.html.contains(&escaped(text)), "{self} does not say “{text}”");
        self
    }

    #[track_caller]
    fn has(&self, html: &str) -> &Self {
        assert!(self.html.contains(html), "{self} has no {html}");
        self
    }

    #[track_caller]
    fn lacks(&self, html: &str) -> &Self {
        assert!(!self.html.contains(html), "{self} has {html}");
        self
    }

    #[track_caller]
    fn is(&self, status: StatusCode) -> &Self {
        assert_eq!(self.status, status, "{self}");
        self
    }

    #[track_caller]
    fn leads_to(&self, path: &str) -> &Self {
        self.is(StatusCode::SEE_OTHER);
        assert_eq!(self.location(), path);
        self
    }
}

/// Sends a file as a browser does.
pub async fn post_file(client: &Client, path: &str, field: &str, bytes: &[u8]) -> Page {
    let mut body = format!(
        "--frontier\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"counts.csv\"\r\nContent-Type: text/csv\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--frontier--\r\n");
    client.post_body(path, "multipart/form-data; boundary=frontier", body).await
}
