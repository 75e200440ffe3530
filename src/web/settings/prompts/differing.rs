//! Where two versions of a list differ.

/// The lines of two texts between what is the same at their beginning and at their end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Differing {
    pub(super) saved: Passage,
    pub(super) yours: Passage,
}

/// Lines of one text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Passage {
    /// The lines; empty when the other text has more here.
    pub(super) text: String,
    /// Which lines they are: `Lines 3 to 5`.
    pub(super) place: String,
}

/// Sets two texts side by side where they differ.
pub(super) fn differing(saved: &str, yours: &str) -> Differing {
    let (saved, yours): (Vec<&str>, Vec<&str>) = (saved.lines().collect(), yours.lines().collect());
    let alike = |pair: &(&&str, &&str)| pair.0 == pair.1;
    let before = saved.iter().zip(&yours).take_while(alike).count();
    let most = saved.len().min(yours.len()) - before;
    let after = saved.iter().rev().zip(yours.iter().rev()).take(most).take_while(alike).count();
    Differing { saved: passage(&saved, before, after), yours: passage(&yours, before, after) }
}

fn passage(lines: &[&str], before: usize, after: usize) -> Passage {
    let end = lines.len() - after;
    let place = match end - before {
        0 => format!("Nothing here, after line {before}"),
        1 => format!("Line {end}"),
        _ => format!("Lines {} to {end}", before + 1),
    };
    Passage { text: lines.get(before..end).unwrap_or_default().join("\n"), place }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn told(saved: &str, yours: &str) -> [(String, String); 2] {
        let Differing { saved, yours } = differing(saved, yours);
        [(saved.place, saved.text), (yours.place, yours.text)]
    }

    fn pair(place: &str, text: &str) -> (String, String) {
        (place.to_owned(), text.to_owned())
    }

    #[test]
    fn what_is_the_same_at_both_ends_is_left_out() {
        assert_eq!(
            told("a\nb\nc\nd\n", "a\nB\nC\nd\n"),
            [pair("Lines 2 to 3", "b\nc"), pair("Lines 2 to 3", "B\nC")]
        );
        assert_eq!(
            told("a\nc\n", "a\nb\nc\n"),
            [pair("Nothing here, after line 1", ""), pair("Line 2", "b")]
        );
        assert_eq!(told("a\na\n", "a\n"), [pair("Line 2", "a"), pair("Nothing here, after line 1", "")]);
        assert_eq!(told("", "a\n"), [pair("Nothing here, after line 0", ""), pair("Line 1", "a")]);
    }

    proptest! {
        #[test]
        fn the_passages_and_what_is_alike_make_the_whole(saved in "[ab\n]{0,30}", yours in "[ab\n]{0,30}") {
            let found = differing(&saved, &yours);
            let lines = |text: &str| text.lines().map(str::to_owned).collect::<Vec<_>>();
            let (left, right) = (lines(&saved), lines(&yours));
            let count = |passage: &Passage| if passage.place.starts_with("Nothing") { 0 } else { passage.text.split('\n').count() };
            // As many lines are alike in one as in the other.
            prop_assert_eq!(left.len() - count(&found.saved), right.len() - count(&found.yours));
            prop_assert_eq!(left == right, count(&found.saved) == 0 && count(&found.yours) == 0);
        }
    }
}
