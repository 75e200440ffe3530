//! E-mail addresses, web addresses, network addresses, names in social networks.

use std::net::Ipv6Addr;
use std::ops::Range;

use super::kind::Confidence::{self, High, Low};
use super::kind::{Kind, Suspicion};
use super::scan::Scan;

/// The ends of the names of hosts that people write without `https://`.
const TOP_DOMAINS: &[&str] = &[
    "com", "org", "net", "edu", "gov", "int", "info", "health", "hospital", "uk", "de", "fr", "es", "pl",
    "tr", "nl", "br", "se", "ch", "dk", "fi", "ie", "eu", "ca", "au", "nz", "example", "local", "intranet",
    "invalid",
];

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut before = "";
    let mut found = Vec::new();
    for span in chunks(scan.text) {
        let chunk = &scan.text[span.clone()];
        if let Some((kind, confidence)) = kind_of(chunk, before) {
            found.push(Suspicion::new(kind, span, confidence));
        }
        before = chunk;
    }
    found
}

fn kind_of(chunk: &str, before: &str) -> Option<(Kind, Confidence)> {
    // Every address has one of these marks; most words have none.
    let marked = chunk.bytes().any(|byte| matches!(byte, b'.' | b'@' | b':' | b'-' | b'(' | b'['));
    if !marked {
        return (is_account(before) && is_handle(chunk)).then_some((Kind::Handle, Low));
    }
    if chunk.contains("://") || chunk.get(..4).is_some_and(|first| first.eq_ignore_ascii_case("www.")) {
        return Some((Kind::Url, High));
    }
    // `name(at)host.example`, written so that no machine reads it.
    let apart = ["(at)", "[at]", "{at}"].iter().find_map(|at| chunk.split_once(at));
    if let Some((person, host)) = apart.or_else(|| chunk.split_once('@')) {
        if person.is_empty() {
            return is_handle(host).then_some((Kind::Handle, Low));
        }
        let looks_whole = host.split('.').filter(|part| !part.is_empty()).count() >= 2;
        return looks_whole.then_some((Kind::Email, High));
    }
    if is_version_four(chunk) {
        // A version of a program has the same form.
        let version = ["version", "v", "release", "software", "build"]
            .iter()
            .any(|word| before.eq_ignore_ascii_case(word));
        return (!version).then_some((Kind::IpAddress, High));
    }
    if is_version_six(chunk) || is_hardware_address(chunk) {
        return Some((Kind::IpAddress, High));
    }
    if is_account(before) && is_handle(chunk) {
        return Some((Kind::Handle, Low));
    }
    is_bare_host(chunk).then_some((Kind::Url, High))
}

/// `@imogen_t`; not `@14:05`, where a time follows.
fn is_handle(name: &str) -> bool {
    let plain = name.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '.' | '-'));
    plain
        && name.chars().count() >= 3
        && name.chars().next().is_some_and(|c| c.is_alphabetic() || c == '_')
        && (name.contains('_') || name.chars().filter(|c| c.is_alphabetic()).count() >= 3)
}

/// Whether the word before says that the name of an account follows: `Instagram: imogen_t`.
fn is_account(before: &str) -> bool {
    ["instagram", "twitter", "facebook", "tiktok", "snapchat", "handle", "username", "linkedin", "skype"]
        .iter()
        .any(|network| before.eq_ignore_ascii_case(network))
}

/// `intranet.example/case/88`, `records.hospital.org`.
fn is_bare_host(chunk: &str) -> bool {
    let (host, path) = chunk.split_once('/').map_or((chunk, None), |(host, path)| (host, Some(path)));
    let mut labels = host.split('.');
    let plain = labels.clone().all(|label| {
        label.len() >= 2 && label.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    });
    let lettered = labels.clone().all(|label| label.contains(|c: char| c.is_ascii_lowercase()));
    let known = labels.next_back().is_some_and(|last| TOP_DOMAINS.contains(&last));
    plain && known && lettered && (path.is_some() || labels.next().is_some())
}

/// `192.0.2.14`, with a port or the length of a net.
fn is_version_four(chunk: &str) -> bool {
    let address = chunk.split([':', '/']).next().unwrap_or(chunk);
    let mut parts = address.split('.');
    let valid =
        parts.by_ref().take(4).filter(|part| part.len() <= 3 && part.parse::<u8>().is_ok()).count() == 4;
    let rest = &chunk[address.len()..];
    valid && parts.next().is_none() && rest.chars().skip(1).all(|c| c.is_ascii_digit())
}

fn is_version_six(chunk: &str) -> bool {
    let address = chunk.split(['%', '/']).next().unwrap_or(chunk);
    address.len() <= 45 && address.matches(':').count() >= 3 && address.parse::<Ipv6Addr>().is_ok()
}

/// `00:1B:44:11:3A:B7`, `00-1B-44-11-3A-B7`.
fn is_hardware_address(chunk: &str) -> bool {
    [':', '-'].iter().any(|mark| {
        let mut groups = 0;
        let pairs = chunk.split(*mark).all(|group| {
            groups += 1;
            group.len() == 2 && group.chars().all(|c| c.is_ascii_hexdigit())
        });
        // Six times of day or six grades are digits alone.
        pairs && groups == 6 && (*mark == ':' || chunk.contains(|c: char| c.is_ascii_alphabetic()))
    })
}

/// The pieces between spaces, without the marks around them.
fn chunks(text: &str) -> impl Iterator<Item = Range<usize>> {
    const OUTSIDE: &str = ".,;:!?()[]<>\"“”'‘’„«»";
    text.split_whitespace().filter_map(move |chunk| {
        let inside = chunk.trim_matches(|c| OUTSIDE.contains(c));
        let start = inside.as_ptr() as usize - text.as_ptr() as usize;
        (!inside.is_empty()).then_some(start..start + inside.len())
    })
}
