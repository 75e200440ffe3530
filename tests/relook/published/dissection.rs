//! Coronary dissection types A to F of the NHLBI: Huber et al., Am J Cardiol 1991;68:467 (from
//! memory), and "Coronary artery dissection classification", WikiDoc.

use relook::case::DissectionType;

/// The letters, each with its angiographic look (P).
const TYPES: [(&str, &str); 6] = [
    ("A", "lucency in the lumen, little contrast left"),
    ("B", "parallel tracts or double lumen"),
    ("C", "contrast outside the lumen persists"),
    ("D", "spiral lucency"),
    ("E", "new persistent filling defect"),
    ("F", "none of A to E, impaired flow or occlusion"),
];

#[test]
fn the_six_published_types_are_the_ones_that_are_accepted() {
    let published: Vec<&str> = TYPES.iter().map(|(letter, _)| *letter).collect();
    let accepted: Vec<&str> = DissectionType::ALL.iter().map(|kind| kind.slug()).collect();
    assert_eq!(accepted, published);
    for (letter, look) in TYPES {
        let kind: DissectionType = letter.parse().unwrap_or_else(|_| panic!("{letter}: {look}"));
        assert_eq!(kind.label(), format!("type {letter}"));
    }
}

#[test]
fn other_letters_are_refused_with_those_that_are_allowed() {
    for letter in ["G", "a", "none", "", "A-B", "I"] {
        let refused = letter.parse::<DissectionType>().unwrap_err().to_string();
        assert!(refused.contains("Allowed: A, B, C, D, E, F."), "{refused}");
    }
}
