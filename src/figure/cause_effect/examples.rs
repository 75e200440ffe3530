//! Cases as they come.

use super::*;

pub(super) fn cause(label: &str, weight: CauseWeight, events: &[u32]) -> Cause {
    Cause { label: label.to_owned(), weight, events: events.to_vec() }
}

pub(super) fn class(label: &str, causes: Vec<Cause>) -> CauseClass {
    CauseClass { label: label.to_owned(), causes }
}

pub(super) fn usual() -> CauseEffect {
    use CauseWeight::{Contributing, Incidental, Root};
    CauseEffect {
        effect: "Vessel closure of the mid LAD, TIMI 0 for 14 min".to_owned(),
        classes: vec![
            class("Patient", vec![cause("Hostile anatomy", Contributing, &[2])]),
            class(
                "Task",
                vec![
                    cause("View or result missing at the decision", Contributing, &[]),
                    cause("No second plan prepared", Root, &[4, 7]),
                ],
            ),
            class("Thinking", vec![cause("Carrying on as conditions change", Root, &[5, 6, 8])]),
            class("Team", vec![cause("Help called late", Contributing, &[9])]),
            class("Equipment", vec![]),
            class("Place", vec![cause("Out of hours", Incidental, &[])]),
        ],
    }
}

const CLASSES: [&str; 9] =
    ["Patient", "Task", "Thinking", "Team", "Skill", "Equipment", "Place", "Organisation", "Outside"];
const LEAVES: [&str; 5] = [
    "View or result missing at the decision",
    "Same event before, nothing changed",
    "Fatigue",
    "Rescue device not in the room",
    "A departure that became usual",
];

/// So many causes, spread over so many classes.
pub(super) fn many(classes: usize, causes: usize) -> CauseEffect {
    let mut all: Vec<CauseClass> =
        CLASSES.iter().take(classes).map(|label| class(label, Vec::new())).collect();
    for index in 0..causes {
        let weight = CauseWeight::ALL[index * 7 % 3];
        let events: Vec<u32> = (1..=u32::try_from(index * 5 % 4).unwrap()).map(|n| 3 * n).collect();
        all[index % classes].causes.push(cause(LEAVES[index % 5], weight, &events));
    }
    CauseEffect { effect: "Cardiogenic shock after closure of the left main stem".to_owned(), classes: all }
}

pub(super) fn all() -> Vec<(&'static str, CauseEffect)> {
    vec![
        ("usual", usual()),
        ("nothing", CauseEffect::default()),
        ("nothing-yet", CauseEffect { effect: "Side-branch loss".to_owned(), classes: Vec::new() }),
        ("one", many(1, 1)),
        ("two-classes", many(2, 5)),
        ("five-classes", many(5, 12)),
        ("nine-classes", many(9, 18)),
        ("most", many(9, 60)),
        ("one-full-class", many(1, 60)),
    ]
}
