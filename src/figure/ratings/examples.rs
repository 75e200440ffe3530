//! Judgements as they come.

use super::*;

const AVOIDABILITY: [&str; 6] = [
    "definitely not",
    "slight evidence",
    "possibly, less than even",
    "probably, more than even",
    "strong evidence",
    "definitely avoidable",
];
const CARE: [&str; 3] = ["as most peers would", "some peers differently", "most peers differently"];

fn chart(scale: &str, labels: &[&str], counts: &[u32]) -> RatingChart {
    let step = |(label, count): (&&str, &u32)| RatingStep { label: (*label).to_owned(), count: *count };
    RatingChart { scale: scale.to_owned(), steps: labels.iter().zip(counts).map(step).collect() }
}

pub(super) fn avoidability(counts: [u32; 6]) -> RatingChart {
    chart("Avoidability", &AVOIDABILITY, &counts)
}

pub(super) fn care(counts: [u32; 3]) -> RatingChart {
    chart("Care", &CARE, &counts)
}

pub(super) fn all() -> Vec<(&'static str, RatingChart)> {
    vec![
        ("five", avoidability([0, 1, 1, 2, 1, 0])),
        ("between", avoidability([1, 0, 2, 0, 3, 0])),
        ("agree", avoidability([0, 0, 4, 0, 0, 0])),
        ("care", care([3, 1, 0])),
        ("one", care([0, 1, 0])),
        ("none", avoidability([0; 6])),
        ("dots", avoidability([1, 3, 9, 14, 2, 1])),
        ("many", avoidability([1, 30, 12, 3, 0, 2])),
        ("very-many", care([u32::MAX, 1, u32::MAX])),
        ("empty", RatingChart::default()),
    ]
}
