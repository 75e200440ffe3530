//! What can stand in the place of a name.

use std::ops::Range;

use super::super::kind::{Confidence, Kind, Suspicion};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::context;

/// A name offers the words before it where they say who it is, and takes them in so that they can stand alone.
pub(super) fn suspicion(
    scan: &Scan<'_>,
    kind: Kind,
    tokens: Range<usize>,
    confidence: Confidence,
) -> Suspicion {
    if kind == Kind::Location {
        return Suspicion::new(kind, scan.span(tokens), confidence).with_put(Some("the region".to_owned()));
    }
    let suspicion = |tokens: Range<usize>, put: Option<&str>| {
        Suspicion::new(kind, scan.span(tokens), confidence).with_put(put.map(str::to_owned))
    };
    if let Some(relation) = context::relation_before(scan, tokens.start).filter(|_| kind == Kind::Name) {
        let first = tokens.start - 1 - usize::from(scan.lower_before(tokens.start) == ",");
        let mut found = suspicion(first..tokens.end, scan.get(first).map(|token| token.text));
        found.instead = format!("leave it out: “{relation}” says enough");
        return found;
    }
    if let Some(title) = titled(scan, &tokens) {
        return suspicion(tokens, Some(title));
    }
    // "the fellow Imogen": the role alone says enough.
    let role =
        tokens.start.checked_sub(1).filter(|role| scan.is(*role, Class::Role) && !scan.glued(tokens.start));
    if let Some(role) = role.filter(|role| scan.get(*role).is_some_and(|token| !token.is_capitalised())) {
        let article = matches!(
            scan.lower_before(role),
            "the" | "a" | "an" | "our" | "their" | "his" | "her" | "this" | "senior" | "junior"
        );
        let word = scan.lower(role);
        let put = if article || word == "pt" { word.to_owned() } else { format!("the {word}") };
        return suspicion(role..tokens.end, Some(&put));
    }
    suspicion(tokens, Some("a colleague"))
}

/// The role that a title tells.
fn titled(scan: &Scan<'_>, tokens: &Range<usize>) -> Option<&'static str> {
    let acts = scan.is(tokens.end, Class::PersonVerb)
        && matches!(
            scan.lower(tokens.end),
            "scrubbed"
                | "assisted"
                | "wired"
                | "reviewed"
                | "performed"
                | "operated"
                | "supervised"
                | "proposed"
        );
    let role = match scan.lower(tokens.start) {
        "dr" | "dra" | "drs" | "doctor" | "doktor" | "docteur" | "doctora" | "dottore" | "dottoressa"
        | "doutor" | "doutora" | "dott" | "prof" | "profa" | "professor" | "professeur" | "profesor"
        | "профессор" | "доктор" | "δρ" => "the doctor",
        "nurse" | "sister" | "matron" | "schwester" | "pfleger" => "the nurse",
        "mr" | "mrs" | "ms" | "mx" | "miss" | "herr" | "frau" | "mme" | "mlle" | "sr" | "sra" | "señor"
        | "señora" | "monsieur" | "madame" | "hr" | "fr" | "sig" | "signor" | "signora" | "dhr" | "mevr"
        | "pan" | "pani" | "shri" | "smt" => {
            if acts {
                "a colleague"
            } else {
                "the patient"
            }
        }
        _ => return None,
    };
    (scan.is(tokens.start, Class::Title) || scan.is(tokens.start, Class::RoleTitle))
        .then_some(role)
        .filter(|_| tokens.len() > 1)
}
