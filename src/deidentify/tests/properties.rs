//! What holds for any text.

use proptest::prelude::*;

use super::super::suspect;

/// Pieces that the finders look for, so that random texts meet them.
const PIECES: &[&str] = &[
    "Dr ",
    "Prof. ",
    "A. ",
    "Quenby ",
    "K.O. ",
    "Mrs ",
    "’s ",
    "91",
    "-year-old ",
    "3 ",
    "March ",
    "2024 ",
    "03/04/24 ",
    "14",
    ":05",
    "T",
    "the ",
    "14th",
    "MRN ",
    "4471902",
    " no. ",
    "NHS ",
    "943 476 5919",
    "(01)",
    "09876501234564",
    "+1 (555) ",
    "tel ",
    "0161",
    "@",
    ".",
    "https://",
    "192.0.2.14",
    "22 ",
    "Quarry ",
    "Lane ",
    "bed ",
    "Ward ",
    "7B",
    ", ",
    "Infirmary ",
    "St ",
    "é",
    "İ",
    "\n",
    "“",
    "Ellis ",
    "III ",
    "TIMI ",
    "wire ",
    "his wife ",
    "Hope",
    "in ",
    "May ",
    "aged ",
    "::",
    "-",
    "/",
    " ",
];

fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "\\PC{0,120}",
        proptest::collection::vec(proptest::sample::select(PIECES), 0..40).prop_map(|pieces| pieces.concat()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn suspicions_lie_in_the_text_in_order_and_apart(text in texts()) {
        let found = suspect(&text);
        for suspicion in &found {
            prop_assert!(text.get(suspicion.span.clone()).is_some_and(|marked| !marked.trim().is_empty()));
            prop_assert!(!suspicion.why.is_empty() && !suspicion.instead.is_empty());
        }
        for pair in found.windows(2) {
            prop_assert!(pair[0].span.end <= pair[1].span.start);
        }
    }

    #[test]
    fn a_space_at_the_end_changes_nothing(text in texts()) {
        prop_assert_eq!(suspect(&text), suspect(&format!("{text} ")));
    }
}
