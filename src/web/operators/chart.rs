//! The funnel as a drawing: proportions to rates per 1,000.

use crate::figure::Figure;
use crate::figure::chart::funnel::{FunnelChart, FunnelLimit, FunnelUnit};
use crate::figure::interval::Interval;
use crate::rates::operators::{Curve, Funnel, Shrunken, Unit};
use crate::rates::{per_1000, whole_number};

const PER: f64 = 1_000.0;

/// Draws it; `hidden` says how many are not shown.
pub(super) fn draw(funnel: &Funnel, subject: &str, hidden: Option<&str>) -> Figure {
    let target = funnel.pooled.proportion() * PER;
    let counted = match hidden {
        Some(hidden) => format!("{}. {hidden}", funnel.counted()),
        None => funnel.counted(),
    };
    let chart = FunnelChart {
        title: funnel.finding(),
        unit: format!("{subject}, per 1,000 procedures"),
        x_title: "procedures of the operator".to_owned(),
        what: "Operator".to_owned(),
        counted,
        target,
        target_label: format!("all, {}", per_1000(target)),
        limits: funnel.curves.iter().map(limit).collect(),
        units: funnel.units.iter().filter_map(unit).collect(),
        minimum: funnel.fewest.get(),
        source_rule: funnel.rule(),
    };
    chart.draw("operators")
}

#[expect(clippy::cast_precision_loss, reason = "procedures stay below 2⁵³")]
fn limit(curve: &Curve) -> FunnelLimit {
    let along = |pick: fn(&(u64, f64, f64)) -> f64| {
        curve.points.iter().map(|point| (point.0 as f64, pick(point) * PER)).collect()
    };
    FunnelLimit {
        label: curve.label.to_owned(),
        lower: along(|point| point.1),
        upper: along(|point| point.2),
    }
}

fn unit(unit: &Unit) -> Option<FunnelUnit> {
    let Shrunken { rate, interval } = unit.shrunken;
    Some(FunnelUnit {
        name: unit.pseudonym.to_string(),
        procedures: u32::try_from(unit.count.procedures()).ok()?,
        rate: unit.count.proportion() * PER,
        counts: format!("{} of {}", whole_number(unit.count.events()), whole_number(unit.count.procedures())),
        shrunken: Some(Interval {
            low: interval.lower() * PER,
            estimate: rate * PER,
            high: interval.upper() * PER,
        }),
        standing: unit.standing.label().to_owned(),
        is_outside: unit.standing.is_outside(),
    })
}
