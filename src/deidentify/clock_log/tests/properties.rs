//! What holds of every log.

use proptest::prelude::*;

use super::super::{TimeZero, holds_clock, read_log};

const DAY: i64 = 24 * 3600;

/// A time of day in one of the forms, with seconds where the form has them.
fn written(seconds: i64, form: usize) -> String {
    let (hour, minute) = (seconds / 3600, seconds / 60 % 60);
    let half = if hour < 12 { "am" } else { "pm" };
    let twelve = if hour % 12 == 0 { 12 } else { hour % 12 };
    match form {
        0 => format!("{hour:02}:{minute:02}"),
        1 => format!("{hour:02}:{minute:02}:{:02}", seconds % 60),
        2 => format!("{hour:02}h{minute:02}"),
        3 => format!("{hour:02}{minute:02}"),
        4 => format!("{hour:02}.{minute:02}"),
        _ => format!("{twelve}:{minute:02} {half}"),
    }
}

fn pairs(text: &str) -> bool {
    // Two digits, a colon or a point or an h, two digits.
    let bytes = text.as_bytes();
    bytes.windows(5).any(|five| {
        let digits = [0, 1, 3, 4].iter().all(|&at| five[at].is_ascii_digit());
        digits && matches!(five[2], b':' | b'.' | b'h')
    })
}

proptest! {
    /// The differences of the offsets are those of the clock times, over midnights too, and no clock
    /// time is left in the words.
    #[test]
    fn offsets_differ_as_the_clock_times_do(
        start in 0..DAY,
        steps in prop::collection::vec((0..12 * 3600_i64, 0..4 * 3600_i64), 1..8),
        form in 0usize..6,
        zero in 0usize..8,
    ) {
        let whole = |seconds: i64| if form == 1 { seconds } else { seconds / 60 * 60 };
        let mut at = whole(start);
        let mut truth = vec![at];
        let mut log = format!("{} start", written(at % DAY, form));
        for (step, inner) in &steps {
            at = whole(at + step);
            truth.push(at);
            let other = whole(at + inner);
            log.push_str(&format!("\n{} stent at {} done", written(at % DAY, form), written(other % DAY, form)));
        }
        // Only where the log counts to 24 or says its halves is there nothing to guess.
        let plain = form == 5 || truth.iter().any(|at| !(3600..13 * 3600).contains(&(at % DAY)));
        prop_assume!(plain || form == 3);
        let zero = zero % truth.len();
        let rows = read_log(&log, &TimeZero::Line(zero + 1)).unwrap();
        prop_assert_eq!(rows.len(), truth.len());
        for (row, at) in rows.iter().zip(&truth) {
            let wanted = at - truth[zero];
            if wanted.abs() <= 14 * DAY {
                prop_assert_eq!(row.at.map(|at| at.seconds()), Some(wanted), "{}", log);
            }
            prop_assert!(!holds_clock(&row.words) && !pairs(&row.words), "{}", row.words);
        }
        for (row, ((_, inner), at)) in rows.iter().skip(1).zip(steps.iter().zip(&truth[1..])) {
            let said = whole(at + inner) - truth[zero];
            let (hours, minutes) = (said.abs() / 3600, said.abs() / 60 % 60);
            if said != 0 && hours > 0 {
                prop_assert!(row.words.contains(&format!("{hours} h")), "{} for {said}: {}", row.words, log);
            }
            if minutes > 0 {
                prop_assert!(row.words.contains(&format!("{minutes} min")), "{} for {said}: {}", row.words, log);
            }
        }
    }

    /// Any text is read or refused, and what is read has no clock time left that the same rules find.
    #[test]
    fn any_text_is_read_or_refused(text in "[ -~\\t\\n–“é]{0,200}", zero in "[0-9:h apm.]{0,8}") {
        if let Ok(zero) = zero.parse::<TimeZero>()
            && let Ok(rows) = read_log(&text, &zero)
        {
            prop_assert!(!rows.is_empty());
        }
        let _ = read_log(&text, &TimeZero::Line(1));
    }
}
