//! What holds for any text.

use proptest::prelude::*;

use super::super::{Rule, check};

/// Words that the rules look for, so that random texts meet them.
const PIECES: &[&str] = &[
    "the ",
    "fellow ",
    "nurse ",
    "failed to ",
    "failure ",
    "of ",
    "did not ",
    "give ",
    "poor ",
    "just ",
    "so ",
    "because ",
    ", ",
    ". ",
    "; ",
    "protocol ",
    "not followed",
    "should have ",
    "caused ",
    "as ",
    "with ",
    "while ",
    "’s ",
    "n't",
    "é",
    "µ ",
    "3.5 mm ",
    "which ",
    "lack of ",
    "wrong",
    "\n",
    "“",
    "-",
    "error ",
    "(ACT 180 s)",
    "as a result ",
    "İ",
    "to ",
    "was ",
];

fn statements() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "\\PC{0,120}",
        proptest::collection::vec(proptest::sample::select(PIECES), 0..40).prop_map(|pieces| pieces.concat()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn findings_lie_in_the_text_in_order_and_share_no_word(text in statements()) {
        let findings = check(&text);
        for finding in &findings {
            prop_assert_eq!(text.get(finding.span.clone()), Some(finding.phrase.as_str()));
            prop_assert!(!finding.phrase.is_empty());
        }
        prop_assert!(findings.is_sorted_by_key(|finding| finding.span.start));
        let on_words: Vec<_> = findings.iter().filter(|finding| finding.rule != Rule::CauseAndEffect).collect();
        for pair in on_words.windows(2) {
            prop_assert!(pair[0].span.end <= pair[1].span.start);
        }
        prop_assert!(findings.len() - on_words.len() <= 1);
    }

    #[test]
    fn a_space_at_the_end_changes_nothing(text in statements()) {
        prop_assert_eq!(check(&text), check(&format!("{text} ")));
    }
}
