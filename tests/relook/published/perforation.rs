//! Coronary perforation types: Ellis et al., Circulation 1994;90:2725, wording of I to III from
//! "Coronary artery perforation during PCI", johnsonfrancis.org. Type V is a later addition of
//! reviews (Muller et al., EuroIntervention 2008;4:181, from memory, weak).

use relook::case::PerforationGrade;

/// The types, each with its angiographic look (P; V as above).
const TYPES: [(&str, &str, &str); 5] = [
    ("I", "Ellis I", "crater outside the lumen, no extravasation"),
    ("II", "Ellis II", "pericardial or myocardial blush, no jet"),
    ("III", "Ellis III", "jet through a hole of 1 mm or more"),
    ("III-CS", "Ellis III, cavity spilling", "into a chamber, the coronary sinus or another cavity"),
    ("V", "Ellis V", "distal, by a wire"),
];

#[test]
fn the_published_types_are_the_ones_that_are_accepted() {
    assert_eq!(PerforationGrade::ALL.len(), TYPES.len());
    for (name, label, look) in TYPES {
        let grade: PerforationGrade = name.parse().unwrap_or_else(|_| panic!("{name}: {look}"));
        assert_eq!(grade.slug(), name);
        assert_eq!(grade.label(), label);
    }
}

#[test]
fn types_stand_in_the_order_of_the_publication() {
    assert!(PerforationGrade::ALL.windows(2).all(|pair| pair[0] < pair[1]));
}

#[test]
fn the_type_iv_of_some_papers_is_refused_because_it_means_cavity_spilling() {
    // Barbosa et al., Rev Bras Cardiol Invasiva 2013;21:73 calls cavity spilling type IV.
    for name in ["IV", "3", "iii", "", "III CS", "VI"] {
        assert!(name.parse::<PerforationGrade>().is_err(), "{name:?}");
    }
}
