//! The same in words.

use super::row::CHOSEN;
use super::{Asked, LEAST_FOR_SHARES, Round, VoteChart, VoteOption};
use crate::figure::FigureTable;
use crate::figure::count_word::{quoted, sentence_case, word};
use crate::figure::number;
use crate::figure::sentence::{full_stop, list, sentences};

/// What a share is where there are too few votes.
const NO_SHARE: &str = "no share of so few";

impl VoteChart {
    /// The finding: what most would do, and what most would have done before.
    pub(super) fn title(&self) -> String {
        let now = self.finding(Round::Now);
        match &self.asked {
            Asked::Once => now,
            Asked::BeforeAndAfter(_) if self.all(Round::Before) == 0 => now,
            Asked::BeforeAndAfter(_) => format!("{now}; {}", self.before()),
        }
    }

    /// The options with the most votes.
    fn leaders(&self, round: Round) -> Vec<&VoteOption> {
        let most = self.options.iter().map(|option| option.count(round)).max().unwrap_or(0);
        self.options.iter().filter(|option| option.count(round) == most && most > 0).collect()
    }

    fn finding(&self, round: Round) -> String {
        let all = self.all(round);
        let leaders = self.leaders(round);
        match leaders.as_slice() {
            [] => "Nobody has voted yet".to_owned(),
            [leader] if all == 1 => format!("The one vote is for {}", quoted(&leader.label)),
            [leader] => sentence_case(&format!("{} {}", of_all(leader.count(round), all), leader.would())),
            [first, ..] => {
                let each = of_all(first.count(round), all);
                format!("A tie: {} have {each} votes each", list(&labels(&leaders)))
            }
        }
    }

    /// What the room thought before, short.
    fn before(&self) -> String {
        let all = self.all(Round::Before);
        let (then, now) = (self.leaders(Round::Before), self.leaders(Round::Now));
        match (then.as_slice(), now.as_slice()) {
            // The same option leads: only its count differs.
            (_, [leader]) if then.as_slice() == [*leader] || then.is_empty() => {
                format!("{} before", of_all(leader.before, all))
            }
            ([leader], _) => format!("before, {} {}", of_all(leader.before, all), leader.would()),
            (several, _) => format!("before, a tie of {}", list(&labels(several))),
        }
    }

    /// `19 votes`, or those of both times.
    pub(super) fn votes_words(&self) -> String {
        match &self.asked {
            Asked::Once => votes(self.all(Round::Now)),
            Asked::BeforeAndAfter(what) => {
                let what = if what.trim().is_empty() { "the discussion" } else { what.trim() };
                let (before, now) = (self.all(Round::Before), self.all(Round::Now));
                format!("{} before {what} (outline), {} after it (full)", votes(before), number(now))
            }
        }
    }

    pub(super) fn description(&self) -> String {
        let bars = match self.asked {
            Asked::Once => "One bar for each option.",
            Asked::BeforeAndAfter(_) => {
                "Two bars for each option: outlined the votes before, full those after."
            }
        };
        format!(
            "{bars} Its length is the share of all votes. Shares are rounded to whole percents, so they may not add up \
             to 100 %; with fewer than ten votes only counts are given."
        )
    }

    pub(super) fn table(&self) -> FigureTable {
        let mut table = FigureTable::with_columns(&["Option"]);
        for option in &self.options {
            table.rows.push(vec![option.label.clone()]);
        }
        for &round in self.rounds() {
            let when = match (&self.asked, round) {
                (Asked::Once, _) => "",
                (_, Round::Before) => " before",
                (_, Round::Now) => " after",
            };
            table.columns.push(format!("Votes{when} (n = {})", number(self.all(round))));
            for (row, option) in table.rows.iter_mut().zip(&self.options) {
                row.push(number(u64::from(option.count(round))));
            }
            if self.all(round) >= LEAST_FOR_SHARES {
                table.columns.push(format!("Share{when}"));
                for (row, option) in table.rows.iter_mut().zip(&self.options) {
                    row.push(self.share_words(option, round).unwrap_or_else(|| NO_SHARE.to_owned()));
                }
            }
        }
        if self.chosen.is_some_and(|chosen| chosen < self.options.len()) {
            table.columns.push("In the case".to_owned());
            for (index, row) in table.rows.iter_mut().enumerate() {
                row.push(if self.is_chosen(index) { CHOSEN.to_owned() } else { String::new() });
            }
        }
        table
    }

    pub(super) fn summary(&self) -> String {
        let mut parts = vec![full_stop(&self.question)];
        for &round in self.rounds() {
            let name = match (&self.asked, round) {
                (Asked::Once, _) => String::new(),
                (_, Round::Before) => "Before: ".to_owned(),
                (_, Round::Now) => "After: ".to_owned(),
            };
            parts.push(sentence_case(&format!("{name}{}", self.round_summary(round))));
        }
        if let Some(chosen) = self.chosen.and_then(|chosen| self.options.get(chosen)) {
            parts.push(format!("In the case, {} was chosen.", quoted(&chosen.label)));
        }
        sentences(&parts)
    }

    fn round_summary(&self, round: Round) -> String {
        let all = self.all(round);
        if all == 0 {
            return "no votes.".to_owned();
        }
        let told = self.options.iter().map(|option| {
            let count = number(u64::from(option.count(round)));
            match self.share_words(option, round) {
                Some(share) => format!("{} {count} ({share})", option.label.trim()),
                None => format!("{} {count}", option.label.trim()),
            }
        });
        format!("{}: {}.", votes(all), told.collect::<Vec<_>>().join("; "))
    }
}

impl VoteOption {
    /// What who votes for it would do.
    fn would(&self) -> String {
        match self.would.as_deref().map(str::trim).filter(|would| !would.is_empty()) {
            Some(would) => format!("would {would}"),
            None => format!("chose {}", quoted(&self.label)),
        }
    }
}

fn labels(options: &[&VoteOption]) -> Vec<String> {
    options.iter().map(|option| quoted(&option.label)).collect()
}

/// `eleven of nineteen`, `all nineteen`.
fn of_all(count: u32, all: u64) -> String {
    let count = u64::from(count);
    if count == all && all > 1 {
        format!("all {}", word(all))
    } else {
        format!("{} of {}", none(count), word(all))
    }
}

fn none(count: u64) -> String {
    if count == 0 { "none".to_owned() } else { word(count) }
}

fn votes(count: u64) -> String {
    format!("{} {}", number(count), if count == 1 { "vote" } else { "votes" })
}

fn number(count: u64) -> String {
    #[expect(clippy::cast_precision_loss, reason = "counts of people")]
    number::read(count as f64)
}
