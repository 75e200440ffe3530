//! What goes with a subject: its causes ranked, and its features as odds ratios.

use crate::case::reading::words::lower_first;
use crate::figure::Figure;
use crate::figure::chart::odds::{OddsChart, OddsRow};
use crate::figure::chart::pareto::{Bar, ParetoChart};
use crate::figure::interval::Interval;
use crate::rates::features::{Feature, STANDS_BELOW};
use crate::rates::words::{counted, whole_number};

/// Causes with the number of cases in which each was found, ranked; none when no case has one.
#[must_use]
pub fn causes_chart(label: &str, cases: u64, causes: &[(String, u64)]) -> Option<Figure> {
    let (top, most) = causes.first()?;
    let (all, few) = (u32::try_from(cases).ok()?, cases < 5);
    let title = if few {
        format!("{label}: causes of {} are too few to rank", counted(cases, "case"))
    } else if *most < 2 {
        format!("{label}: no cause was found in more than one of {}", counted(cases, "case"))
    } else {
        format!("{label}: “{top}” was found in {} of {}", whole_number(*most), counted(cases, "case"))
    };
    let chart = ParetoChart {
        title,
        what: "Cause".to_owned(),
        unit: "cases".to_owned(),
        all,
        bars: causes
            .iter()
            .map(|(label, cases)| Bar {
                label: label.clone(),
                count: u32::try_from(*cases).ok(),
                note: String::new(),
            })
            .collect(),
        source_rule: "Cases of the period with this complication in whose review the cause was found, each case once for a \
                      cause. A case can have several causes, so the shares add up to more than 100 %. A case whose causes were \
                      not looked for counts among all."
            .to_owned(),
    };
    Some(chart.draw("causes"))
}

/// Features as odds ratios; none when no feature can be looked at.
#[must_use]
pub fn features_chart(label: &str, features: &[Feature]) -> Option<Figure> {
    if features.is_empty() {
        return None;
    }
    let standing: Vec<&str> =
        features.iter().filter(|feature| feature.stands()).map(|feature| feature.feature.label()).collect();
    let title = match standing.as_slice() {
        [] => format!("{label}: no feature goes with it more than chance explains"),
        [one] => format!(
            "{label}: {} goes with it, or with other complications, more than chance explains",
            lower_first(one)
        ),
        many => format!(
            "{label}: {} features go with it, or with other complications, more than chance explains",
            many.len()
        ),
    };
    let chart = OddsChart {
        title,
        unit: "odds ratio, exact 95 % interval".to_owned(),
        what: "Feature".to_owned(),
        counted: String::new(),
        less: "goes with other complications".to_owned(),
        more: "goes with this one".to_owned(),
        stands_label: format!("stands after correction for {} features", features.len()),
        rows: features.iter().map(row).collect(),
        source_rule: format!(
            "Among complicated cases alone: the odds of the feature in cases with this complication by those in the others. \
             Conditional maximum likelihood estimate with exact limits (Cornfield 1956; from memory); mid-P values, corrected for \
             the {} features looked at (Benjamini and Hochberg, J R Stat Soc B 1995;57:289); one stands when its corrected p is \
             below {STANDS_BELOW}.",
            features.len()
        ),
    };
    Some(chart.draw("features"))
}

fn row(feature: &Feature) -> OddsRow {
    let ratio = feature.odds_ratio;
    let exact = ratio.exact();
    let group = feature.feature.group().map_or("", crate::case::traits::TraitGroup::label);
    OddsRow {
        label: format!("{} ({})", feature.feature.label(), group.to_lowercase()),
        ratio: Some(Interval {
            low: exact.lower(),
            estimate: ratio.conditional().unwrap_or(f64::INFINITY),
            high: exact.upper().unwrap_or(f64::INFINITY),
        }),
        counts: format!(
            "{} of {} with this one, {} of {} others",
            whole_number(feature.cases.with),
            whole_number(feature.cases.with + feature.cases.without),
            whole_number(feature.others.with),
            whole_number(feature.others.with + feature.others.without)
        ),
        chance: format!("p {}, corrected {}", p_value(ratio.p_mid()), p_value(feature.adjusted_p)),
        stands: feature.stands(),
    }
}

/// A p-value to two digits, never as nothing.
fn p_value(p: f64) -> String {
    if p < 0.001 {
        "below 0.001".to_owned()
    } else if p < 0.1 {
        format!("{p:.3}")
    } else {
        format!("{p:.2}")
    }
}
