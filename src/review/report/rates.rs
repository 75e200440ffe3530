//! Rates with their intervals, beside those of the quarter before.

use super::Writing;
use crate::case::reading::words::join;
use crate::document::{Column, ColumnKind, Document, Figure, Phrase, Svg, Table};
use crate::figure::interval::{RateChart, RateRow};
use crate::rates::drawing::interval;
use crate::rates::leaving::{LeavingLine, Side};
use crate::rates::suppress::Shown;
use crate::rates::{ALL_PCI, CountedOver, NoRate, Subject, Tally, counted, signed};
use crate::stats::comparison::Difference;

const RULE: &str = "In brackets a Wilson interval at 95\u{a0}%; without an event, “at most” is the 97.5\u{a0}% point of the exact interval. \
     Differences with Newcombe’s interval at 95\u{a0}%. Wilson, J Am Stat Assoc 1927;22:209. Clopper and Pearson, Biometrika \
     1934;26:404. Newcombe, Stat Med 1998;17:873.";

/// Why there is no rate, to stand after "because". Without a number: one that cannot be right may be small.
pub(super) fn why_no_rate(tally: &Tally) -> &'static str {
    match tally.rate() {
        Ok(_) => "there is one",
        Err(NoRate::NotCounted) => "no month's procedures at risk are counted",
        Err(NoRate::NoProcedures) => "no procedure was at risk",
        Err(NoRate::MoreEventsThanProcedures(_)) => {
            "a month has more events than procedures, so one of the two numbers is wrong"
        }
        Err(NoRate::TooManyProcedures) => "there are more procedures than can be worked with",
    }
}

impl Writing<'_> {
    pub(super) fn rates(&self, document: &mut Document) {
        document.section("Rates");
        let (told, untold): (Vec<&LeavingLine>, Vec<&LeavingLine>) =
            self.leaving.lines().skip(1).partition(|line| line.tells_events());
        document.paragraph(self.change_of_the_whole());
        document.table(self.table_of(&told));
        document.bullets(named(&untold));
        if told.is_empty() && untold.is_empty() {
            document.paragraph("No mechanism had an event in the quarter or the one before.");
        }
        document.note(RULE);
        if let Some(note) = self.inputs.settings.smallest.note().filter(|_| self.leaving.any_hidden()) {
            document.note(note);
        }
        self.counted_over(document);
        if let Some(figure) = self.drawn(&told) {
            document.figure(figure);
        }
    }

    /// How the whole compares with the quarter before.
    fn change_of_the_whole(&self) -> String {
        let whole = &self.leaving.whole;
        let Some(previous) = self.previous else {
            return "There is no quarter before it in the record's calendar.".to_owned();
        };
        match difference(whole) {
            Some(difference) => format!(
                "Any complication: {} per 1,000 against {previous}, 95\u{a0}% interval {}: {}.",
                signed(difference.estimate() * 1_000.0),
                limits(difference),
                if difference.excludes_zero() {
                    "more than chance explains"
                } else {
                    "chance alone may explain it"
                }
            ),
            None if whole.all_shown() => {
                format!("Any complication cannot be compared with {previous}: a rate is missing.")
            }
            None => format!("Any complication cannot be told beside {previous}: a count is hidden."),
        }
    }

    fn table_of(&self, shown: &[&LeavingLine]) -> Table {
        // A cell holds a rate, its interval and its counts: it must break on a narrow page, which numbers never do.
        let text = |label: String| Column { label, kind: ColumnKind::Text };
        let before = self.previous.map_or_else(|| "Quarter before".to_owned(), |period| period.to_string());
        let columns = [
            text("Cases with".to_owned()),
            text(self.period.to_string()),
            text(before),
            text("Difference".to_owned()),
        ];
        let caption = "Per 1,000 procedures at risk, with the counts";
        let lines = std::iter::once(&self.leaving.whole).chain(shown.iter().copied());
        Table::of(caption, columns).rows(lines.map(row)).first_column_names_the_row().into()
    }

    /// What branches are counted over, and that months before the record hold no events.
    fn counted_over(&self, document: &mut Document) {
        let mixed: Vec<&str> = self
            .leaving
            .lines()
            .map(|line| line.line)
            .filter(|line| line.counted_over == CountedOver::Mixed)
            .map(|line| line.label.as_str())
            .collect();
        if !mixed.is_empty() {
            let (is, its) = if mixed.len() == 1 { ("is", "its") } else { ("are", "their") };
            document.note(format!(
                "{} {is} counted over all PCI, because {its} mechanisms have different procedures at risk.",
                join(&mixed)
            ));
        }
        let left_out: Vec<&str> = self
            .leaving
            .lines()
            .filter(|line| {
                let out = |tally: &Tally| tally.rate().is_ok() && tally.events_not_counted() > 0;
                out(&line.line.now) || line.line.previous.as_ref().is_some_and(out)
            })
            .map(|line| line.line.label.as_str())
            .collect();
        if !left_out.is_empty() {
            document.note(format!(
                "Left out, because procedures of their months are not counted: events of {}.",
                join(&left_out)
            ));
        }
        if let Some(later) = self.table.recorded_later() {
            document.note(later);
        }
    }

    /// The lines that may be shown, drawn on one scale; none when there is no line to draw.
    fn drawn(&self, shown: &[&LeavingLine]) -> Option<Figure> {
        let rows: Vec<RateRow> = std::iter::once(&self.leaving.whole)
            .chain(shown.iter().copied())
            .filter_map(|line| {
                let now =
                    line.now.rate.filter(|now| now.events() > 0 || line.line.subject == Subject::Whole)?;
                Some(RateRow {
                    label: line.line.label.clone(),
                    now: Some(interval(now)),
                    previous: line.before.and_then(|before| before.rate).map(interval),
                    counts: now.counts_in_words(),
                })
            })
            .collect();
        if rows.is_empty() {
            return None;
        }
        let chart = RateChart {
            title: format!("The rates of {} on one scale", self.period),
            unit: "events per 1,000 procedures at risk".to_owned(),
            rows,
        };
        let drawn = chart.draw("report-rates");
        Some(Figure {
            title: drawn.title,
            description: String::new(),
            svg: Svg::trusted(drawn.svg),
            values: None,
            summary: format!("{} Numbers as in the table.", drawn.description),
            source: String::new(),
        })
    }
}

/// The difference, when both rates may be told.
fn difference(line: &LeavingLine) -> Option<Difference> {
    line.now.rate?;
    line.before?.rate?;
    line.line.difference()
}

fn row(line: &LeavingLine) -> [Phrase; 4] {
    let label = line.line.label.as_str();
    let name = match line.line.subject {
        Subject::Mechanism(_) => Phrase::new().text(label),
        Subject::Whole | Subject::Branch(_) => Phrase::new().strong(label),
    };
    let over = match line.line.subject {
        Subject::Mechanism(_) | Subject::Branch(_) if line.line.stratum != *ALL_PCI => {
            format!(", of {}", line.line.stratum_label)
        }
        _ => String::new(),
    };
    let before = line.before.as_ref().map_or_else(|| Phrase::new().missing("none"), cell);
    let change = match difference(line) {
        Some(difference) => Phrase::new()
            .text(signed(difference.estimate() * 1_000.0))
            .quiet(format!(" ({})", unbroken(&limits(difference)))),
        None if !line.all_shown() => Phrase::new().quiet(Shown::HIDDEN),
        None => Phrase::new().missing("none"),
    };
    [name.quiet(over), cell(&line.now), before, change]
}

/// The rate, its interval and what it is made of.
fn cell(side: &Side) -> Phrase {
    match (side.events, side.rate) {
        (Shown::Count(_), Some(rate)) => Phrase::new().text(rate.per_1000_in_words()).quiet(format!(
            " ({}), {}",
            unbroken(&rate.interval_in_words()),
            unbroken(&rate.counts_in_words())
        )),
        (Shown::Hidden, _) => Phrase::new().quiet(Shown::HIDDEN),
        (Shown::Count(events), None) if side.keeps_rate => {
            Phrase::new().text(counted(events, "event")).quiet(", rate hidden")
        }
        (Shown::Count(events), None) => Phrase::new().text(counted(events, "event")).missing(", no rate"),
    }
}

/// An interval or a count that stays on one line: a cell breaks between them.
fn unbroken(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// The lines of which only the name can be told, by the quarters in which they had events.
fn named(lines: &[&LeavingLine]) -> Vec<Phrase> {
    let of = |now: bool, before: bool| -> Vec<&str> {
        lines
            .iter()
            .filter(|line| {
                line.now.events.is_hidden() == now
                    && line.before.is_some_and(|side| side.events.is_hidden()) == before
            })
            .map(|line| line.line.label.as_str())
            .collect()
    };
    [
        ("Events in the quarter and the one before, hidden: ", of(true, true)),
        ("Events in the quarter, hidden, and none in the one before: ", of(true, false)),
        ("No event in the quarter, and in the one before a hidden number: ", of(false, true)),
    ]
    .into_iter()
    .filter(|(_, labels)| !labels.is_empty())
    .map(|(head, labels)| Phrase::new().strong(head).text(format!("{}.", join(&labels))))
    .collect()
}

fn limits(difference: Difference) -> String {
    let interval = difference.interval().times(1_000.0);
    format!("{} to {}", signed(interval.lower()), signed(interval.upper()))
}
