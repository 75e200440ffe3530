//! How the axis writes its times.

/// A tick's label: minutes below two hours (`+10`, `−5`, and `+0:30` between them), then hours
/// (`+6h`, `+6h20`), then days (`+2d`, `+2d 6h`).
pub(super) fn tick_label(seconds: i64) -> String {
    let sign = match seconds {
        0 => return "0".to_owned(),
        s if s < 0 => '−',
        _ => '+',
    };
    let size = seconds.abs();
    if size < 7200 {
        return match size % 60 {
            0 => format!("{sign}{}", size / 60),
            rest => format!("{sign}{}:{rest:02}", size / 60),
        };
    }
    let minutes = (size + 30) / 60;
    let (days, hours, minutes) = (minutes / 1440, minutes / 60 % 24, minutes % 60);
    match (days, hours, minutes) {
        (0, _, 0) => format!("{sign}{hours}h"),
        (0, _, _) => format!("{sign}{hours}h{minutes:02}"),
        (_, 0, 0) => format!("{sign}{days}d"),
        (_, _, 0) => format!("{sign}{days}d {hours}h"),
        (_, _, _) => format!("{sign}{days}d {hours}h{minutes:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tick_is_in_minutes_then_hours_then_days() {
        for (seconds, label) in [
            (0, "0"),
            (-300, "−5"),
            (600, "+10"),
            (30, "+0:30"),
            (7140, "+119"),
            (7200, "+2h"),
            (22_800, "+6h20"),
            (172_800, "+2d"),
            (194_400, "+2d 6h"),
        ] {
            assert_eq!(tick_label(seconds), label);
        }
    }
}
