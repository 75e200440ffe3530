//! Findings as they come.

use super::*;

pub(super) fn causes(all: u32, bars: &[(&str, Option<u32>)]) -> ParetoChart {
    let bar = |(label, count): &(&str, Option<u32>)| Bar {
        label: (*label).to_owned(),
        count: *count,
        note: if count.is_none() { "fewer than 5".to_owned() } else { String::new() },
    };
    ParetoChart {
        title: "Two causes are found in most cases".to_owned(),
        what: "cause".to_owned(),
        unit: "cases".to_owned(),
        all,
        bars: bars.iter().map(bar).collect(),
        source_rule: "Causes as the reviews of the cases name them; 6 cases are not reviewed yet".to_owned(),
    }
}

pub(super) fn all() -> Vec<(&'static str, ParetoChart)> {
    vec![
        (
            "plain",
            causes(
                41,
                &[
                    ("Wire moved out of the side branch before the stent was in place", Some(12)),
                    ("Calcified lesion not prepared", Some(23)),
                    ("A lab value that nobody had looked at", Some(12)),
                    ("Handover", None),
                    ("Too little contrast to see", Some(1)),
                    ("Guide moved", Some(0)),
                ],
            ),
        ),
        ("empty", causes(0, &[])),
        ("nothing", causes(0, &[("Handover", Some(0))])),
        ("one", causes(1, &[("Handover", Some(1))])),
        ("impossible", causes(3, &[("Handover", Some(4_000_000_000)), ("Plan", Some(2))])),
    ]
}
