//! Fits what can stand in a place to the words around it.

use super::kind::Suspicion;
use super::lexicon::Class;
use super::scan::Scan;

/// The same suspicion with its replacement in the case and with the article that its place wants.
pub(super) fn fit(scan: &Scan<'_>, suspicion: Suspicion) -> Suspicion {
    let Some(put) = suspicion.put.clone() else { return suspicion };
    let at = scan.tokens.partition_point(|token| token.span.start < suspicion.span.start);
    let has_article = matches!(
        scan.lower_before(at),
        "the"
            | "a"
            | "an"
            | "our"
            | "his"
            | "her"
            | "their"
            | "this"
            | "that"
            | "my"
            | "your"
            | "its"
            | "last"
            | "next"
            | "every"
            | "each"
            | "previous"
            | "following"
            | "one"
            | "another"
            | "any"
            | "no"
    ) && !scan.is_before(at, Class::Given);
    let bare =
        ["the ", "another ", "an ", "a ", "that "].iter().find_map(|article| put.strip_prefix(article));
    let mut fitted = match bare {
        Some(bare) if has_article => bare.to_owned(),
        _ => put,
    };
    // "ring 0161 …" typed without a capital stays without one.
    let small = scan.text[suspicion.span.clone()].starts_with(char::is_lowercase);
    if scan.begins_sentence(at) && !small {
        let first =
            fitted.chars().next().map(|first| (first.to_uppercase().collect::<String>(), first.len_utf8()));
        if let Some((upper, length)) = first {
            fitted.replace_range(..length, &upper);
        }
    }
    suspicion.with_put(Some(fitted))
}
