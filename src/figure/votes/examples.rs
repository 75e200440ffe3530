//! Answers as they come.

use super::*;

/// Options with their votes: label, how it goes on after "would", before, now.
pub(super) fn chart(question: &str, options: &[(&str, Option<&str>, u32, u32)]) -> VoteChart {
    let option = |&(label, would, before, votes): &(&str, Option<&str>, u32, u32)| VoteOption {
        label: label.to_owned(),
        would: would.map(str::to_owned),
        votes,
        before,
    };
    VoteChart {
        question: question.to_owned(),
        options: options.iter().map(option).collect(),
        asked: Asked::Once,
        chosen: None,
    }
}

pub(super) fn twice(mut chart: VoteChart) -> VoteChart {
    chart.asked = Asked::BeforeAndAfter("the discussion".to_owned());
    chart
}

/// Three options, with so many votes now and before.
pub(super) fn three(now: [u32; 3], before: [u32; 3]) -> VoteChart {
    chart(
        "The wire is outside the lumen. What now?",
        &[
            ("Stop here", Some("stop here"), before[0], now[0]),
            (
                "Re-enter with a second wire, guided by imaging from within the vessel",
                None,
                before[1],
                now[1],
            ),
            ("Call the surgeon", Some("call the surgeon"), before[2], now[2]),
        ],
    )
}

pub(super) fn all() -> Vec<(&'static str, VoteChart)> {
    let mut told = twice(three([11, 5, 3], [4, 9, 5]));
    told.chosen = Some(1);
    let mut few = three([4, 2, 1], [0; 3]);
    few.chosen = Some(0);
    vec![
        ("once", three([11, 5, 3], [0; 3])),
        ("twice-told", told),
        ("few", few),
        ("tie", three([7, 7, 5], [0; 3])),
        ("nobody", three([0; 3], [0; 3])),
        ("empty", VoteChart::default()),
        ("many", three([u32::MAX, 1, u32::MAX], [0; 3])),
    ]
}
