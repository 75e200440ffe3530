//! E-mail addresses, web addresses, network addresses.

use std::net::Ipv6Addr;
use std::ops::Range;

use super::kind::Confidence::High;
use super::kind::{Kind, Suspicion};
use super::scan::Scan;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    chunks(scan.text)
        .filter_map(|span| Some(Suspicion::new(kind_of(&scan.text[span.clone()])?, span, High)))
        .collect()
}

fn kind_of(chunk: &str) -> Option<Kind> {
    if chunk.contains("://") || chunk.to_ascii_lowercase().starts_with("www.") {
        return Some(Kind::Url);
    }
    if let Some((person, host)) = chunk.split_once('@') {
        let looks_whole = !person.is_empty() && host.split('.').filter(|part| !part.is_empty()).count() >= 2;
        return looks_whole.then_some(Kind::Email);
    }
    (is_version_four(chunk) || is_version_six(chunk)).then_some(Kind::IpAddress)
}

fn is_version_four(chunk: &str) -> bool {
    let mut parts = chunk.split('.');
    let valid = parts.by_ref().take(4).filter(|part| part.parse::<u8>().is_ok()).count() == 4;
    valid && parts.next().is_none()
}

fn is_version_six(chunk: &str) -> bool {
    chunk.len() <= 45 && chunk.matches(':').count() >= 3 && chunk.parse::<Ipv6Addr>().is_ok()
}

/// The pieces between spaces, without the marks around them.
fn chunks(text: &str) -> impl Iterator<Item = Range<usize>> {
    text.split_whitespace().filter_map(move |chunk| {
        let outside = |c: char| {
            matches!(
                c,
                '.' | ','
                    | ';'
                    | ':'
                    | '!'
                    | '?'
                    | '('
                    | ')'
                    | '['
                    | ']'
                    | '<'
                    | '>'
                    | '"'
                    | '“'
                    | '”'
                    | '\''
                    | '‘'
                    | '’'
                    | '„'
                    | '«'
                    | '»'
            )
        };
        let inside = chunk.trim_matches(outside);
        let start = inside.as_ptr() as usize - text.as_ptr() as usize;
        (!inside.is_empty()).then_some(start..start + inside.len())
    })
}
