//! What the page of rates holds.

use askama::Template;

use super::AT_RISK_PATH;
use super::line::{LinePart, chart_row};
use super::query::By;
use crate::accounts::Role;
use crate::case::Month;
use crate::figure::Figure;
use crate::figure::interval::{RateChart, readable_top};
use crate::rates::drawing::interval;
use crate::rates::{Rate, RateLine, RatesTable, Within, moved};
use crate::web::figure_part::FigurePart;
use crate::web::filters::FilterForm;
use crate::web::frame::Frame;

/// The page.
#[derive(Template)]
#[template(path = "rates/rates.html")]
pub(super) struct RatesPage {
    pub(super) frame: Frame,
    /// Whether the viewer keeps the procedures at risk.
    pub(super) keeps: bool,
    pub(super) form: FilterForm,
    /// None when the period cannot be read.
    pub(super) results: Option<Results>,
}

impl RatesPage {
    fn at_risk_path(&self) -> &'static str {
        AT_RISK_PATH
    }

    fn action(&self) -> &'static str {
        "/rates"
    }
}

/// A mechanism without an event.
pub(super) struct NonePart {
    label: String,
    stratum: String,
    at_risk: String,
    at_most: String,
    why_not: String,
}

/// The rates of a period.
pub(super) struct Results {
    finding: String,
    moved: Vec<String>,
    cautions: Vec<String>,
    period: String,
    previous: Option<String>,
    whole: String,
    by: By,
    top: String,
    /// Whether an interval goes on beyond the scale.
    beyond: bool,
    lines: Vec<LinePart>,
    without: Vec<NonePart>,
    chart: Option<FigurePart>,
    /// Nothing is recorded and nothing is counted: there is no rate to show, ever.
    nothing_yet: bool,
    /// Cases are recorded, and no month was ever counted.
    never_counted: bool,
    reader: bool,
}

impl Results {
    /// The rates of a table, line by line; `counted` is the last month that was counted.
    pub(super) fn of(
        table: &RatesTable,
        (by, query): (By, &str),
        counted: Option<Month>,
        role: Role,
    ) -> Self {
        let movements = moved(table);
        let never_counted = table.recorded_since.is_some() && counted.is_none();
        let shown = match by {
            By::Mechanism => &table.with_events,
            By::Branch => &table.branches,
        };
        let all = || std::iter::once(&table.whole).chain(shown);
        let intervals: Vec<_> =
            all().flat_map(|line| [line.rate(), line.previous_rate()]).flatten().map(interval).collect();
        let top = readable_top(&intervals);
        let beyond = intervals.iter().any(|interval| interval.high > top);
        Self {
            chart: chart(&movements.finding, shown).map(|figure| FigurePart {
                id: "rates",
                name: "The rates".to_owned(),
                figure,
                note: format!(
                    "{}. n is written at the right of each line: events of procedures at risk.",
                    table.period
                ),
                rule: DRAWN.to_owned(),
                files: [("SVG", "svg"), ("PNG", "png"), ("CSV", "csv")]
                    .map(|(name, ending)| (name, format!("/rates/files/rates.{ending}?{query}")))
                    .to_vec(),
            }),
            finding: movements.finding,
            moved: match movements.moved.as_slice() {
                [_, _, ..] => movements.moved.into_iter().map(|one| one.sentence).collect(),
                _ => Vec::new(),
            },
            cautions: movements
                .cautions
                .into_iter()
                .chain(table.within.as_ref().and_then(Within::left_out))
                .collect(),
            period: table.period.to_string(),
            previous: table.previous.map(|period| period.to_string()),
            whole: table.whole.sentence(),
            by,
            top: number(top),
            beyond,
            lines: all()
                .map(|line| {
                    let mut part = LinePart::of(line, top);
                    if never_counted {
                        // The page says it once for all lines.
                        part.notes.clear();
                    }
                    part
                })
                .collect(),
            without: table.without_events.iter().map(none_part).collect(),
            nothing_yet: table.recorded_since.is_none() && counted.is_none(),
            never_counted,
            reader: !role.writes(),
        }
    }
}

const DRAWN: &str = "Wilson score interval at 95\u{a0}%; without an event, the 97.5\u{a0}% point of the exact interval. Wilson, J Am Stat Assoc 1927;22:209. Clopper and Pearson, Biometrika 1934;26:404.";

/// Lines of a table drawn on one scale, under what the table finds; none when there is no line to draw.
pub(super) fn drawn(table: &RatesTable, lines: &[RateLine]) -> Option<Figure> {
    chart(&moved(table).finding, lines)
}

fn chart(finding: &str, lines: &[RateLine]) -> Option<Figure> {
    let drawable = |line: &&RateLine| line.rate().is_some() || line.previous_rate().is_some();
    let rows: Vec<_> = lines.iter().filter(drawable).map(chart_row).collect();
    if rows.is_empty() {
        return None;
    }
    let chart =
        RateChart { title: finding.to_owned(), unit: "events per 1,000 procedures at risk".to_owned(), rows };
    Some(chart.draw("rates"))
}

fn none_part(line: &RateLine) -> NonePart {
    let rate = line.rate();
    NonePart {
        label: line.label.clone(),
        stratum: line.stratum_label.clone(),
        at_risk: rate.map_or_else(String::new, |rate| crate::rates::whole_number(rate.procedures())),
        at_most: rate.map_or_else(String::new, Rate::interval_in_words),
        why_not: line.no_rate().unwrap_or_default(),
    }
}

/// A round number without decimals that it does not need.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
