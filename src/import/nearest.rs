//! "Did you mean": the word of a list that a mistyped one is nearest to.

/// The word of the list that a text was probably meant to be; none when nothing is near.
///
/// Nearness is the number of letters added, dropped, changed or swapped with their neighbour
/// (optimal string alignment); a third of the longer word's letters may differ, and at least one.
pub(super) fn nearest<'w>(text: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let plain = |word: &str| -> Vec<char> {
        word.trim()
            .to_lowercase()
            .chars()
            .map(|c| if matches!(c, ' ' | '_') { '-' } else { c })
            .take(64)
            .collect()
    };
    let given = plain(text);
    words
        .into_iter()
        .map(|word| (word, plain(word)))
        .map(|(word, letters)| {
            (distance(&given, &letters), (given.len().max(letters.len()) / 3).max(1), word)
        })
        .filter(|(steps, allowed, _)| steps <= allowed)
        .min_by_key(|(steps, _, _)| *steps)
        .map(|(_, _, word)| word)
}

/// ` Did you mean “…”?` with its leading space, or nothing.
pub(super) fn hint<'w>(text: &str, words: impl IntoIterator<Item = &'w str>) -> String {
    nearest(text, words).map_or_else(String::new, |word| format!(" Did you mean “{word}”?"))
}

fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, to) in b.iter().enumerate() {
            let changed = last[j] + usize::from(from != to);
            let mut best = changed.min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *from == b[j - 1] && a[i - 1] == *to {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_the_finger_finds_its_word() {
        let segments = ["lad-mid", "lad-distal", "left-main", "lcx-proximal"];
        for (given, meant) in [
            ("lad-md", "lad-mid"),
            ("LAD mid", "lad-mid"),
            ("lad_distal", "lad-distal"),
            ("letf-main", "left-main"),
            ("lcx-proxmial", "lcx-proximal"),
        ] {
            assert_eq!(nearest(given, segments), Some(meant), "{given}");
        }
    }

    #[test]
    fn what_resembles_nothing_gets_no_guess() {
        assert_eq!(nearest("aorta", ["lad-mid", "left-main"]), None);
        assert_eq!(nearest("", ["lad-mid"]), None);
        assert_eq!(nearest("x", []), None);
    }
}
