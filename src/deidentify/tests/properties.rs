//! What holds for any text.

use proptest::prelude::*;

use super::super::scan::looks::LOOKS;
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
    "Avenue ",
    "Hospital ",
    "MARLOW, ",
    "GB29 ",
    "51.5074, ",
    "(",
    "’",
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

/// How many tokens are looked at for a text.
fn looks(text: &str) -> usize {
    LOOKS.set(0);
    let _ = suspect(text);
    LOOKS.get()
}

/// The same text twice and four times as often takes twice and four times the looks, and so stays linear: for every
/// pair of pieces, among them brackets that never close and numbers that never end.
#[test]
fn the_steps_grow_with_the_text_and_no_faster() {
    for first in PIECES {
        for second in PIECES {
            let piece = [*first, *second].concat();
            let [some, more] = [40, 160].map(|times| looks(&piece.repeat(times)));
            // A run may end in its bound a little later; a square would be sixteen times.
            assert!(more < 5 * some + 2_000, "{piece:?}: {some} looks, four times as long {more}");
        }
    }
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
