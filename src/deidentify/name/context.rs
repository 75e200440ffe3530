//! The words beside a capital that tell a person from a thing.

use super::super::lexicon::Class;
use super::super::scan::Scan;

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
        "comes",
        "native",
        "farmer",
        "here",
    ];
    match scan.lower_before(at) {
        "in" | "near" | "at" | "outside" => true,
        "from" | "to" => {
            (2..4).filter_map(|back| at.checked_sub(back)).any(|verb| MOVED.contains(&scan.lower(verb)))
        }
        _ => false,
    }
}

/// The words of a relation before a name: "the patient's daughter".
pub(super) fn relation_before<'a>(scan: &Scan<'a>, at: usize) -> Option<&'a str> {
    let last = at.checked_sub(1)?;
    let relation = last.checked_sub(usize::from(scan.lower(last) == ","))?;
    scan.is(relation, Class::Relation).then_some(())?;
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
    let role = scan.is_before(at, Class::Role) && !scan.get(at).is_some_and(|token| token.opens);
    let bracketed =
        scan.lower_before(at) == "(" && at.checked_sub(2).is_some_and(|role| scan.is(role, Class::Role));
    let named = matches!(scan.lower_before(at), "named" | "nicknamed");
    role || is_labelled(scan, at) || bracketed || named || relation_before(scan, at).is_some()
}

/// Whether a label for a person stands before: "Operator: Imrie".
pub(super) fn is_labelled(scan: &Scan<'_>, at: usize) -> bool {
    let label = at.checked_sub(2).filter(|_| matches!(scan.lower_before(at), ":" | "="));
    label.is_some_and(|label| {
        scan.is(label, Class::Role)
            || matches!(
                scan.lower(label),
                "name"
                    | "surname"
                    | "forename"
                    | "signed"
                    | "names"
                    | "kin"
                    | "staff"
                    | "scrub"
                    | "assistant"
                    | "supervisor"
            )
    })
}

/// Whether somebody called: "We called Oak".
pub(super) fn is_called(scan: &Scan<'_>, at: usize) -> bool {
    let caller = at.checked_sub(2).map_or("", |caller| scan.lower(caller));
    matches!(scan.lower_before(at), "called" | "asked" | "rang" | "thanked")
        && matches!(
            caller,
            "we" | "i" | "they" | "she" | "he" | "who" | "nurse" | "operator" | "and" | "then"
        )
}

/// Whether the words after say so: "Hope, his wife,".
pub(super) fn after_is_a_person(scan: &Scan<'_>, at: usize) -> bool {
    let owned = matches!(scan.lower(at + 2), "his" | "her" | "their" | "the" | "a" | "our");
    let person = (at + 3..at + 7).any(|word| scan.is(word, Class::Relation) || scan.is(word, Class::Role));
    let named_at_once = scan.is(at + 3, Class::Relation);
    scan.lower(at + 1) == "," && owned && (named_at_once || (scan.lower(at + 2) == "the" && person))
}

/// Whether a person's act or lot follows: "Will held", "Grace was called".
pub(super) fn acts_like_a_person(scan: &Scan<'_>, at: usize) -> bool {
    let verb = at + 1;
    let done_to = matches!(scan.lower(verb), "was" | "were" | "is" | "had")
        && scan.is(verb + 1, Class::DoneToPerson)
        && !matches!(scan.lower(verb + 1), "the" | "at" | "not" | "on" | "there" | "with");
    done_to || scan.is(verb, Class::PersonVerb)
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
    (was_told || scan.is(at + 1, Class::SpeakingVerb)) && !NOBODY.contains(&scan.lower(at))
}

/// Whether a speaking verb follows that fits no thing, so that even a word of everyday English is a name.
pub(super) fn speaks_surely(scan: &Scan<'_>, at: usize) -> bool {
    matches!(scan.lower(at + 1), "scrubbed" | "scrubs" | "phoned" | "rang" | "shouted")
        && !scan.lower(at).ends_with('s')
}

/// `Kowalska's balloon`: what belongs to somebody.
pub(super) fn owns(scan: &Scan<'_>, at: usize) -> bool {
    matches!(scan.lower(at + 1), "'" | "’")
        && scan.glued(at + 1)
        && scan.lower(at + 2) == "s"
        && scan.glued(at + 2)
}

/// Whether somebody did it or was told: "seen by Wieczorek", "asked Wieczorek".
pub(super) fn is_told_of(scan: &Scan<'_>, at: usize) -> bool {
    const DONE: &[&str] = &[
        "seen",
        "reviewed",
        "performed",
        "assisted",
        "done",
        "helped",
        "called",
        "informed",
        "relieved",
        "operated",
        "written",
        "signed",
        "reported",
        "referred",
        "accompanied",
        "supervised",
        "scrubbed",
        "told",
        "advised",
        "compressed",
        "held",
    ];
    const ASKED: &[&str] = &["asked", "told", "phoned", "paged", "bleeped", "thanked", "informed"];
    let done = at.checked_sub(2).is_some_and(|verb| DONE.contains(&scan.lower(verb)));
    (scan.lower_before(at) == "by" && done) || ASKED.contains(&scan.lower_before(at))
}

/// Whether its neighbours have capitals too, as in a heading.
pub(super) fn is_in_a_heading(scan: &Scan<'_>, at: usize) -> bool {
    let everyday = |place: Option<usize>| {
        place.is_some_and(|place| {
            scan.capitalised(place) && scan.is(place, Class::Common) && !scan.is(place, Class::Given)
        })
    };
    let before = at.checked_sub(1).filter(|before| scan.get(*before).is_some_and(|token| !token.opens));
    everyday(before) || everyday(Some(at + 1))
}
