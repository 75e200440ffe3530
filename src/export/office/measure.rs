//! How wide text is in a file, and how it breaks into lines.
//!
//! Nobody knows which font a reader's machine has in place of ours, so widths are those of the widest
//! sans-serif face in common use: what is measured here as fitting fits with it, and has room with others.

use super::text::{Look, Run};
use crate::figure::svg::text_width;

/// What text is wider by than our own face, in a face as wide as DejaVu Sans or Verdana, and in its bold:
/// 1.08 and 1.22 over a paragraph of English, measured with DejaVu Sans 2.37.
const WIDEST: f64 = 1.08;
const WIDEST_BOLD: f64 = 1.22;
/// A character of a face whose characters are all as wide, of its size.
const MONO: f64 = 0.64;

/// How wide a character is, as a share of the size of its font.
fn advance(c: char, look: Look) -> f64 {
    match c as u32 {
        // What stands on, or joins, the character before.
        0x0300..=0x036F
        | 0x0610..=0x061A
        | 0x064B..=0x065F
        | 0x06D6..=0x06DC
        | 0x200B..=0x200F
        | 0x202A..=0x202E
        | 0x2060..=0x2069
        | 0x20D0..=0x20FF
        | 0xFE00..=0xFE0F
        | 0xFEFF
        | 0xE0100..=0xE01EF => 0.0,
        // Wide scripts, and signs that are drawn as pictures.
        0x1100..=0x115F
        | 0x2E80..=0xA4CF
        | 0xAC00..=0xD7A3
        | 0xF900..=0xFAFF
        | 0xFE30..=0xFE4F
        | 0xFF00..=0xFF60
        | 0x20000..=0x3FFFF => 1.02,
        0x2300..=0x23FF | 0x2600..=0x27BF | 0x2B00..=0x2BFF | 0x1F000..=0x1FAFF => 1.4,
        _ if look.mono => MONO.max(text_width(c.encode_utf8(&mut [0; 4]), 1.0)),
        _ => text_width(c.encode_utf8(&mut [0; 4]), 1.0) * if look.bold { WIDEST_BOLD } else { WIDEST },
    }
}

/// Whether a line may end before or after this character without a space: scripts that are written
/// without them.
const fn breaks_anywhere(c: char) -> bool {
    matches!(c as u32, 0x2E80..=0xA4CF | 0xF900..=0xFAFF | 0xFF00..=0xFF60 | 0x20000..=0x3FFFF)
}

/// Whether a character belongs to the one before.
fn is_joined(c: char, before: char) -> bool {
    advance(c, Look::default()) == 0.0 || before == '\u{200D}' || matches!(c as u32, 0x1F3FB..=0x1F3FF)
}

/// How wide runs are on one line, in points.
#[must_use]
pub fn width(runs: &[Run], size: f64) -> f64 {
    runs.iter().flat_map(|run| run.text.chars().map(|c| advance(c, run.look))).sum::<f64>() * size
}

/// How wide the widest word is, in points.
#[must_use]
pub fn widest_word(runs: &[Run], size: f64) -> f64 {
    let (mut widest, mut word) = (0.0_f64, 0.0_f64);
    for (c, look) in runs.iter().flat_map(|run| run.text.chars().map(|c| (c, run.look))) {
        if c == ' ' {
            word = 0.0;
            continue;
        }
        let wide = advance(c, look);
        word = if breaks_anywhere(c) { wide } else { word + wide };
        widest = widest.max(word);
    }
    widest * size
}

/// Runs in lines of at most a width, in points. All characters are kept: a line ends with the space at
/// which it breaks.
#[must_use]
pub fn wrap(runs: &[Run], size: f64, width: f64) -> Vec<Vec<Run>> {
    let most = (width / size).max(1.5);
    let letters: Vec<(char, usize, f64)> = runs
        .iter()
        .enumerate()
        .flat_map(|(at, run)| run.text.chars().map(move |c| (c, at, advance(c, run.look))))
        .collect();
    let mut ends: Vec<usize> = Vec::new();
    // Where the line begins, where it may end, and how wide it is up to here and up to there.
    let (mut start, mut may_end, mut wide, mut wide_then) = (0, 0, 0.0, 0.0);
    // Where the sign begins that this character belongs to, and how wide the line is up to it.
    let (mut sign, mut wide_before) = (0, 0.0);
    for (at, &(c, _, advance)) in letters.iter().enumerate() {
        let before = at.checked_sub(1).map(|before| letters[before].0);
        let can_break = before.is_some_and(|before| {
            (before == ' ' && c != ' ')
                || ((breaks_anywhere(before) || breaks_anywhere(c))
                    && before != ' '
                    && !is_joined(c, before)
                    && !closes(c))
        });
        if can_break && at > start {
            (may_end, wide_then) = (at, wide);
        }
        if before.is_none_or(|before| !is_joined(c, before)) {
            (sign, wide_before) = (at, wide);
        }
        // A space at the end of a line takes no room.
        if c != ' ' && wide + advance > most && at > start {
            let (end, taken) = if may_end > start { (may_end, wide_then) } else { (sign, wide_before) };
            // One sign that is wider than the line stands as it is.
            if end > start {
                ends.push(end);
                wide -= taken;
                wide_before -= taken;
                (start, may_end, wide_then) = (end, end, 0.0);
            }
        }
        wide += advance;
    }
    ends.push(letters.len());
    let mut lines = Vec::new();
    let mut from = 0;
    for end in ends {
        lines.push(gather(runs, &letters[from..end]));
        from = end;
    }
    lines
}

/// Punctuation of the wide scripts that no line begins with.
const fn closes(c: char) -> bool {
    matches!(c, '。' | '，' | '、' | '；' | '：' | '？' | '！' | '）' | '」' | '』' | '》')
}

fn gather(runs: &[Run], letters: &[(char, usize, f64)]) -> Vec<Run> {
    let mut line: Vec<(usize, Run)> = Vec::new();
    for &(c, at, _) in letters {
        match line.last_mut() {
            Some((last, run)) if *last == at => run.text.push(c),
            _ => line.push((at, Run { text: c.to_string(), ..runs[at].clone() })),
        }
    }
    line.into_iter().map(|(_, run)| run).collect()
}

/// A text in at most so many lines, shortened with an ellipsis where it has more.
#[must_use]
pub fn shorten(run: Run, size: f64, width: f64, lines: usize) -> Run {
    if wrap(std::slice::from_ref(&run), size, width).len() <= lines {
        return run;
    }
    let words: Vec<&str> = run.text.split_inclusive(' ').collect();
    let mut short = Run { text: String::new(), ..run.clone() };
    let mut fits = |text: &str| {
        let tried = Run { text: format!("{}…", text.trim_end()), ..run.clone() };
        let ok = wrap(std::slice::from_ref(&tried), size, width).len() <= lines;
        if ok {
            short = tried;
        }
        ok
    };
    let mut text = String::new();
    for word in words {
        if !fits(&format!("{text}{word}")) {
            break;
        }
        text.push_str(word);
    }
    if text.is_empty() {
        for c in run.text.chars() {
            if !fits(&format!("{text}{c}")) {
                break;
            }
            text.push(c);
        }
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::office::text::{plain, strong, words};

    fn lines(text: &str, size: f64, width: f64) -> Vec<String> {
        wrap(&[plain(text)], size, width).iter().map(|line| words(line)).collect()
    }

    #[test]
    fn lines_hold_all_words_and_fit() {
        for text in [
            "One sentence here. Another, longer, with a clause; and a last one?",
            "漢字仮名交じり文。血流が失われた。ステントを留置した。",
            &"x".repeat(300),
            "👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️👩‍⚕️",
            "Η ροή χάθηκε μετά το στεντ και αποκαταστάθηκε σε 38 λεπτά.",
        ] {
            let found = lines(text, 24.0, 200.0);
            assert_eq!(found.concat(), text);
            assert!(found.len() > 1, "{found:?}");
            for line in &found {
                assert!(width(&[plain(line.trim_end())], 24.0) <= 200.0, "{line:?}");
            }
        }
    }

    #[test]
    fn a_picture_of_several_signs_is_not_cut() {
        for line in lines(&"👩‍⚕️".repeat(20), 24.0, 200.0) {
            assert!(!line.starts_with('\u{200d}') && !line.ends_with('\u{200d}'), "{line:?}");
        }
    }

    #[test]
    fn a_line_breaks_within_and_between_runs() {
        let found = wrap(&[strong("Event 7. "), plain("Flow was lost and came back.")], 24.0, 190.0);
        assert_eq!(
            found.iter().map(|line| words(line)).collect::<Vec<_>>(),
            ["Event 7. Flow ", "was lost and ", "came back."]
        );
        assert!(found[0][0].look.bold);
        assert!(wrap(&[], 24.0, 100.0)[0].is_empty());
    }

    #[test]
    fn a_text_that_is_too_long_ends_in_an_ellipsis() {
        let short = shorten(plain("Flow was lost after the second stent was put in"), 24.0, 200.0, 2);
        assert!(short.text.ends_with('…') && lines(&short.text, 24.0, 200.0).len() == 2, "{short:?}");
        assert_eq!(shorten(plain("Short"), 24.0, 200.0, 1).text, "Short");
    }
}
