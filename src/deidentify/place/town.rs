//! Towns where somebody lives or comes from.

use super::super::kind::Confidence::Low;
use super::super::kind::Kind;
use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::Found;

/// Words before a town after which even a word of everyday English is its name: "comes from Reading".
const DWELLS: &[&str] = &[
    "lives",
    "lived",
    "living",
    "comes",
    "came",
    "flown",
    "resident",
    "native",
    "moved",
    "travelled",
    "traveled",
    "referred",
    "transferred",
    "driven",
    "born",
    "home",
    "farmer",
    "retired",
    "holiday",
    "visiting",
    "arrived",
];

/// First words of towns.
fn begins_a_town(word: &str) -> bool {
    matches!(
        word,
        "north"
            | "south"
            | "east"
            | "west"
            | "new"
            | "port"
            | "lake"
            | "san"
            | "santa"
            | "santo"
            | "saint"
            | "sainte"
            | "st"
            | "upper"
            | "lower"
            | "great"
            | "little"
            | "old"
            | "fort"
            | "mount"
            | "el"
            | "los"
            | "las"
            | "bad"
            | "são"
            | "villa"
    )
}

/// `from South Callum`, `lives in Reading`, `flown in from Santa Cruz de Tenerife`.
pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<Found> {
    let moved = matches!(scan.lower_before(at), "in" | "from" | "to" | "near" | "of" | "at" | "outside");
    if !moved || !scan.capitalised(at) || scan.is(at, Class::Weekday) || scan.is(at, Class::Month) {
        return None;
    }
    let dwells =
        (2..5).filter_map(|back| at.checked_sub(back)).any(|word| DWELLS.contains(&scan.lower(word)));
    let first = begins_a_town(scan.lower(at)) && scan.capitalised(at + 1) && !scan.is(at + 1, Class::Trade);
    // "came from Recovery" and "moved to Intensive Care" are the house.
    let house = [
        Class::Trade,
        Class::GenericWard,
        Class::GenericHospital,
        Class::Title,
        Class::RoleTitle,
        Class::Role,
        Class::Abbreviation,
    ]
    .iter()
    .any(|class| scan.is(at, *class));
    let person = scan.is(at, Class::Given) && !dwells;
    if person || !(first || dwells && !house) {
        return None;
    }
    let mut end = at + 1;
    let mut word = end;
    while word < at + 6 {
        let joins = matches!(
            scan.lower(word),
            "de" | "la" | "del" | "di" | "upon" | "on" | "-" | "am" | "d" | "'" | "’" | "sur" | "do" | "da"
        );
        if scan.capitalised(word) && !scan.is(word, Class::Trade) {
            end = word + 1;
        } else if !joins {
            break;
        }
        word += 1;
    }
    let ends_hospital = scan.is(end, Class::Hospital) || scan.is(end - 1, Class::Hospital);
    let found =
        Found { kind: Kind::Location, tokens: at..end, confidence: Low, put: Some("the region".to_owned()) };
    (!ends_hospital && scan.lower(end) != "ward").then_some(found)
}
