//! The words beside a capital that tell a person from a thing.

use super::super::lists::{DONE_TO_PERSONS, PERSON_VERBS, RELATIONS, ROLES, SPEAKING_VERBS};
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
pub(super) fn belongs_to_a_thing(scan: &Scan<'_>, at: usize) -> bool {
    let next = at + 1 + usize::from(matches!(scan.lower(at + 1), "'s" | "'"));
    let numbered = scan.get(at + 1).is_some_and(|token| {
        token.made == Made::Digits
            || (token.text.len() <= 3 && token.text.chars().all(|c| matches!(c, 'I' | 'V')))
    });
    let hyphened = scan.lower(at + 1) == "-" && scan.glued(at + 1) && scan.lower(at + 2).len() < 4;
    THINGS.contains(&scan.lower(next)) || numbered || hyphened
}

/// Whether a publication is cited: "Minto et al., 2012".
pub(super) fn is_cited(scan: &Scan<'_>, at: usize) -> bool {
    let two = scan.lower(at + 1) == "and" && scan.lower(at + 3) == "," && scan.number(at + 4).is_some();
    scan.lower(at + 1) == "et" || two
}

/// Whether a place is told rather than a person: "in Eastmere", "transferred from Eastmere".
pub(super) fn is_a_place(scan: &Scan<'_>, at: usize) -> bool {
    const MOVED: &[&str] = &[
        "transferred",
        "came",
        "referred",
        "admitted",
        "travelled",
        "moved",
        "sent",
        "flown",
        "brought",
        "back",
    ];
    match scan.lower_before(at) {
        "in" | "near" | "at" | "outside" => true,
        "from" | "to" => at.checked_sub(2).is_some_and(|verb| MOVED.contains(&scan.lower(verb))),
        _ => false,
    }
}

/// The words of a relation before a name: "the patient's daughter".
pub(super) fn relation_before<'a>(scan: &Scan<'a>, at: usize) -> Option<&'a str> {
    let last = at.checked_sub(1)?;
    let relation = last.checked_sub(usize::from(scan.lower(last) == ","))?;
    RELATIONS.contains(&scan.lower(relation)).then_some(())?;
    let mut first = relation;
    for _ in 0..5 {
        let Some(before) = scan.before(first) else { break };
        let belongs = matches!(
            before.lower.as_str(),
            "'" | "’" | "s" | "patient" | "the" | "his" | "her" | "their" | "a" | "patients"
        );
        if !belongs {
            break;
        }
        first -= 1;
    }
    scan.text.get(scan.span(first..relation + 1))
}

/// Whether the words before say that a person follows: "his wife Imogen", "nurse Adair".
pub(super) fn before_is_a_person(scan: &Scan<'_>, at: usize) -> bool {
    let role = ROLES.contains(&scan.lower_before(at)) && !scan.get(at).is_some_and(|token| token.opens);
    let labelled = scan.lower_before(at) == ":"
        && at
            .checked_sub(2)
            .is_some_and(|label| ROLES.contains(&scan.lower(label)) || scan.lower(label) == "name");
    let bracketed = scan.lower_before(at) == "("
        && at.checked_sub(2).is_some_and(|role| ROLES.contains(&scan.lower(role)));
    role || labelled || bracketed || relation_before(scan, at).is_some()
}

/// Whether the words after say so: "Hope, his wife,".
pub(super) fn after_is_a_person(scan: &Scan<'_>, at: usize) -> bool {
    let owned = matches!(scan.lower(at + 2), "his" | "her" | "their" | "the" | "a" | "our");
    let person = (at + 3..at + 7)
        .any(|word| RELATIONS.contains(&scan.lower(word)) || ROLES.contains(&scan.lower(word)));
    let named_at_once = RELATIONS.contains(&scan.lower(at + 3));
    scan.lower(at + 1) == "," && owned && (named_at_once || (scan.lower(at + 2) == "the" && person))
}

/// Whether a person's act or lot follows: "Will held", "Grace was called".
pub(super) fn acts_like_a_person(scan: &Scan<'_>, at: usize) -> bool {
    let verb = at + 1;
    let done_to = matches!(scan.lower(verb), "was" | "were" | "is" | "had")
        && DONE_TO_PERSONS.contains(&scan.lower(verb + 1))
        && !matches!(scan.lower(verb + 1), "the" | "at" | "not" | "on" | "there" | "with");
    done_to || PERSON_VERBS.contains(&scan.lower(verb))
}

/// Whether somebody speaks or thinks: what no thing does.
pub(super) fn speaks(scan: &Scan<'_>, at: usize) -> bool {
    const NOBODY: &[&str] = &[
        "nobody",
        "everybody",
        "everyone",
        "someone",
        "somebody",
        "they",
        "she",
        "he",
        "we",
        "who",
        "both",
        "neither",
        "family",
        "relatives",
        "some",
        "others",
        "many",
        "most",
        "none",
        "all",
        "one",
        "two",
        "three",
        "people",
        "staff",
        "colleagues",
        "nurses",
        "operators",
        "reviewers",
        "patient",
        "it",
        "you",
        "then",
        "never",
        "also",
        "just",
        "what",
        "which",
        "that",
        "this",
        "anaesthetics",
        "surgery",
        "surgeons",
        "theatre",
        "anybody",
        "anyone",
        "no",
        "each",
        "several",
        "few",
        "being",
        "when",
    ];
    const TOLD: &[&str] = &["told", "informed", "paged", "phoned", "bleeped", "scrubbed", "reassured"];
    let was_told = scan.lower(at + 1) == "was" && TOLD.contains(&scan.lower(at + 2));
    (was_told || SPEAKING_VERBS.contains(&scan.lower(at + 1))) && !NOBODY.contains(&scan.lower(at))
}
