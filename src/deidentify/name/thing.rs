//! Things that carry the name of a person: guides, tests, scales, publications.

use super::super::lexicon::Class;
use super::super::scan::{Made, Scan};

/// Things that carry a name: a guide, a test, a scale.
#[rustfmt::skip]
const THINGS: &[&str] = &[
    "guide", "guides", "catheter", "catheters", "test", "sign", "score", "scale", "class", "classification", "criteria", "puncture",
    "technique", "syndrome", "curve", "murmur", "wire", "manoeuvre", "maneuver", "protocol", "disease", "effect", "equation", "formula",
    "method", "position", "stent", "balloon", "valve", "shunt", "bundle", "block", "law", "principle", "type", "grade", "index", "model",
    "left", "right", "shape", "needle", "snare", "triad", "phenomenon", "reflex", "plot", "chart", "diagram", "rule", "definition",
    "calculator", "nomogram", "rating", "band", "clamp", "drain", "tube", "collateral", "collaterals", "vein", "node", "sinus",
];

/// Whether a name is that of a thing: "Minto guide", "Judkins left", "Ellis III".
pub(super) fn is_beside(scan: &Scan<'_>, at: usize) -> bool {
    let possessive = matches!(scan.lower(at + 1), "'" | "’") && scan.lower(at + 2) == "s";
    let next = if possessive { at + 3 } else { at + 1 };
    // "Marlow's balloon" is a person's; a thing has the name without the ending.
    let next = if possessive && !scan.is(at, Class::Eponym) { usize::MAX } else { next };
    let numbered = scan.get(at + 1).is_some_and(|token| {
        token.made == Made::Digits
            || (token.text.len() <= 3 && token.text.chars().all(|c| matches!(c, 'I' | 'V')))
    });
    let hyphened = scan.lower(at + 1) == "-" && scan.glued(at + 1) && scan.lower(at + 2).len() < 4;
    // "Graham Steell murmur", "Sister Mary Joseph nodule"
    let names = (at..at + 3).take_while(|word| scan.capitalised(*word)).count();
    let second =
        scan.capitalised(at + 1) && THINGS.contains(&scan.lower(at + 2)) && !scan.is(at, Class::Given);
    // "Marlow left the room"; a shape has its number.
    let walks = matches!(scan.lower(next), "left" | "right")
        && !scan.is(at, Class::Eponym)
        && scan.digits(next + 1) == 0;
    scan.lower(next).len() > 2 && !walks && THINGS.contains(&scan.lower(next))
        || numbered
        || hyphened
        || second
        || is_after(scan, at + names)
        || (possessive && is_after(scan, at + 3))
}

/// Whether a thing follows that carries the names of those who described it: "Graham Steell murmur".
pub(super) fn is_after(scan: &Scan<'_>, end: usize) -> bool {
    matches!(
        scan.lower(end),
        "sign"
            | "syndrome"
            | "disease"
            | "murmur"
            | "nodule"
            | "triad"
            | "phenomenon"
            | "tear"
            | "criteria"
            | "classification"
            | "score"
            | "scale"
            | "reflex"
            | "law"
            | "equation"
            | "formula"
            | "effect"
            | "defect"
            | "wave"
            | "test"
            | "node"
            | "nodes"
    )
}

/// Whether a publication is cited: "Minto et al., 2012".
pub(super) fn is_cited(scan: &Scan<'_>, at: usize) -> bool {
    let two = scan.lower(at + 1) == "and" && scan.lower(at + 3) == "," && scan.number(at + 4).is_some();
    // "Minto 2012;203:26"
    let names = (at..at + 4).take_while(|word| scan.capitalised(*word)).count();
    let year = scan.digits(at + names) == 4 && scan.glued_mark(at + names + 1, ";");
    scan.lower(at + 1) == "et" || two || year
}
