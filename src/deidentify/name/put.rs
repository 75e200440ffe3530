//! What can stand in the place of a name.

use std::ops::Range;

use super::super::kind::{Confidence, Kind, Suspicion};
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::context;

/// A name offers the words beside it where they say who it is, and takes them in so that they can stand alone:
/// "daughter Imogen" becomes "daughter", "Hope, his wife" becomes "his wife".
pub(super) fn suspicion(
    scan: &Scan<'_>,
    kind: Kind,
    tokens: Range<usize>,
    confidence: Confidence,
) -> Suspicion {
    let make = |tokens: Range<usize>, put: Option<String>| {
        Suspicion::new(kind, scan.span(tokens), confidence).with_put(put)
    };
    let own = |words: &str| Some(words.to_owned());
    if kind == Kind::Location {
        return make(tokens, own("the region"));
    }
    if let Some((whole, role)) = beside(scan, &tokens) {
        let mut found = make(whole, own(role));
        if let Some(relation) = context::relation_before(scan, tokens.start) {
            found.instead = format!("leave it out: “{relation}” says enough");
        }
        return found;
    }
    if let Some((whole, relation)) = relation_after(scan, &tokens) {
        return make(whole, own(relation));
    }
    if let Some(title) = titled(scan, &tokens) {
        return make(tokens, own(title));
    }
    if let Some(role) = tokens.start.checked_sub(1).filter(|role| is_plain_role(scan, *role)) {
        let article = matches!(
            scan.lower_before(role),
            "the" | "a" | "an" | "our" | "their" | "his" | "her" | "this" | "senior" | "junior"
        );
        let word = scan.lower(role);
        let put = if article || word == "pt" { word.to_owned() } else { format!("the {word}") };
        return make(role..tokens.end, Some(put));
    }
    match scan.lower(tokens.end) {
        "family" | "relatives" | "household" => make(tokens, own("patient's")),
        // "Patient: …" and "Next of kin: …" are to be left empty, and no colleague's.
        _ if is_label_of_a_patient(scan, tokens.start) => make(tokens, None),
        _ => make(tokens, own("a colleague")),
    }
}

/// A role in small letters, which a name follows: "the fellow Imogen".
fn is_plain_role(scan: &Scan<'_>, at: usize) -> bool {
    scan.is(at, Class::Role)
        && !scan.glued(at + 1)
        && scan.get(at).is_some_and(|token| !token.is_capitalised())
}

/// A relation or a role before the name, and all that its one word can stand for: "wife, Imogen",
/// "fellow (Sundaresan)".
fn beside<'a>(scan: &Scan<'a>, tokens: &Range<usize>) -> Option<(Range<usize>, &'a str)> {
    let mark = tokens.start.checked_sub(1)?;
    let bracketed = scan.lower(mark) == "(" && scan.lower(tokens.end) == ")";
    let apart = bracketed || scan.lower(mark) == ",";
    let role = if apart { mark.checked_sub(1)? } else { mark };
    let relation = scan.is(role, Class::Relation);
    // "the operator, Quenby, said"; a list of people and their roles has no such frame.
    let framed = apart && scan.is(role, Class::Role) && (bracketed || scan.lower(tokens.end) == ",");
    let word = scan.get(role).filter(|token| (relation || framed) && !token.is_capitalised())?;
    Some((role..tokens.end + usize::from(bracketed), word.text))
}

/// `Hope, his wife`: the words behind the name say who it is.
fn relation_after<'a>(scan: &Scan<'a>, tokens: &Range<usize>) -> Option<(Range<usize>, &'a str)> {
    let owner = tokens.end + 1;
    let owned = scan.lower(tokens.end) == "," && matches!(scan.lower(owner), "his" | "her" | "their" | "the");
    let related = (owner + 1..owner + 5).find(|word| scan.is(*word, Class::Relation)).filter(|_| owned)?;
    let plain = (owner + 1..related)
        .all(|word| matches!(scan.lower(word), "patient" | "'" | "’" | "s" | "patients" | "eldest" | "own"));
    let words = scan.text.get(scan.span(owner..related + 1))?;
    plain.then_some((tokens.start..related + 1, words))
}

fn is_label_of_a_patient(scan: &Scan<'_>, at: usize) -> bool {
    let label = at.checked_sub(2).filter(|_| matches!(scan.lower_before(at), ":" | "="));
    let before = label.map_or_else(|| scan.lower_before(at), |label| scan.lower(label));
    matches!(before, "patient" | "name" | "surname" | "forename" | "kin" | "named" | "pt")
}

/// The role that a title tells.
fn titled(scan: &Scan<'_>, tokens: &Range<usize>) -> Option<&'static str> {
    let title = tokens.start;
    let named = scan.is(title, Class::Title) || scan.is(title, Class::RoleTitle);
    if !named || tokens.len() < 2 {
        return None;
    }
    let several = tokens.clone().any(|at| matches!(scan.lower(at), "and" | "&" | "und" | "et" | "y"));
    let role = match scan.lower(title) {
        "dr" | "dra" | "drs" | "doctor" | "doktor" | "docteur" | "doctora" | "dottore" | "dottoressa"
        | "doutor" | "doutora" | "dott" | "prof" | "profa" | "profs" | "professor" | "professeur"
        | "profesor" | "pr" | "op" | "профессор" | "доктор" | "δρ" => {
            if several {
                "the doctors"
            } else {
                "the doctor"
            }
        }
        "nurse" | "sister" | "matron" | "schwester" | "pfleger" => "the nurse",
        "mr" | "mrs" | "ms" | "mx" | "miss" | "herr" | "frau" | "mme" | "mlle" | "sr" | "sra" | "señor"
        | "señora" | "monsieur" | "madame" | "hr" | "fr" | "sig" | "signor" | "signora" | "dhr" | "mevr"
        | "mw" | "pan" | "pani" | "shri" | "smt" | "m" => match (several, is_at_work(scan, tokens)) {
            (true, _) => "the family",
            (false, true) => "a colleague",
            (false, false) => "the patient",
        },
        _ => return None,
    };
    Some(role)
}

/// Whether the words around a name say that somebody works there: "discussed with Miss … from cardiac surgery".
fn is_at_work(scan: &Scan<'_>, tokens: &Range<usize>) -> bool {
    const WORK: &[&str] = &[
        "scrubbed",
        "assisted",
        "wired",
        "reviewed",
        "performed",
        "operated",
        "supervised",
        "proposed",
        "reported",
        "injected",
        "who",
        "from",
    ];
    const SHARED: &[&str] = &[
        "discussed",
        "handed",
        "seen",
        "reviewed",
        "performed",
        "assisted",
        "operated",
        "reported",
        "called",
        "advised",
        "referred",
        "opinion",
    ];
    let shared = (2..4)
        .filter_map(|back| tokens.start.checked_sub(back))
        .any(|word| SHARED.contains(&scan.lower(word)));
    let told = matches!(scan.lower_before(tokens.start), "with" | "by" | "to" | "from");
    WORK.contains(&scan.lower(tokens.end)) || (shared && told)
}
