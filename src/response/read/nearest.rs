//! "Did you mean": the word of a list that a mistyped one is nearest to.

/// ` Did you mean “…”?` with its leading space, or nothing when no word is near.
///
/// Nearness is the number of letters added, dropped, changed or swapped with their neighbour (optimal
/// string alignment); a third of the longer word's letters may differ, and at least one.
pub(super) fn hint<'w>(text: &str, words: impl IntoIterator<Item = &'w str>) -> String {
    let given = plain(text);
    words
        .into_iter()
        .map(|word| (word, plain(word)))
        .map(|(word, letters)| (distance(&given, &letters), given.len().max(letters.len()), word))
        .filter(|(steps, length, _)| *steps <= (length / 3).max(1))
        .min_by_key(|(steps, _, _)| *steps)
        .map_or_else(String::new, |(_, _, word)| format!(" Did you mean “{word}”?"))
}

fn plain(word: &str) -> Vec<char> {
    let plain = |c: char| if matches!(c, ' ' | '_') { '-' } else { c };
    word.trim().to_lowercase().chars().map(plain).take(64).collect()
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
