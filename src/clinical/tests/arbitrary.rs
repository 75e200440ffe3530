//! Facts at random, for the laws: every input of every family, at and around the limits.

use proptest::prelude::*;
use proptest::sample::select;

use super::given;
use crate::clinical::facts::{DeviceKind, Kind, LabFacts};
use crate::clinical::quantities::Decimal;
use crate::clinical::{Facts, Family, Subject};

/// Values that lie at and around the limits, for any unit.
fn typed(kind: Kind) -> Vec<String> {
    let texts = |values: &[&str]| values.iter().map(|value| (*value).to_owned()).collect();
    match kind {
        Kind::Answer => texts(&["yes", "no"]),
        Kind::OneOf(words) => words.iter().map(|word| word.slug.to_owned()).collect(),
        Kind::Flow => texts(&["0", "1", "2", "3"]),
        Kind::Offset => texts(&["0", "60"]),
        Kind::Quantity(units) => {
            let numbers =
                ["0", "1", "2", "2.5", "5", "7.2", "10", "29", "30", "50", "60", "90", "100", "300", "2000"];
            units
                .iter()
                .flat_map(|unit| numbers.iter().map(move |number| format!("{number} {unit}")))
                .collect()
        }
        Kind::Series(_) => Vec::new(),
    }
}

/// Laboratory series: nothing, or a baseline of each kind with a peak around the limits.
fn any_labs() -> impl Strategy<Value = LabFacts> {
    let before =
        select(vec!["", "-60 5 {}; ", "-60 45 {}; ", "-300 45 {}; -60 45 {}; ", "-300 60 {}; -60 80 {}; "]);
    let peak =
        select(vec!["", "600 8 {}", "600 50 {}", "600 51 {}", "600 400 {}", "600 790 {}", "3000 900 {}"]);
    let mass = select(vec!["", "600 10 {}", "600 50 {}", "600 100 {}"]);
    let other = select(vec![
        "",
        "creatinine: -60 1.0 mg/dL | haemoglobin: -60 14 g/dL",
        "creatinine: -60 1.0 mg/dL; 600 1.3 mg/dL | haemoglobin: -60 14 g/dL; 600 11 g/dL",
        "creatinine: -60 1.0 mg/dL; 6000 3.1 mg/dL | haemoglobin: -60 14 g/dL; 600 9 g/dL | platelets: -60 200; 8640 90",
    ]);
    (before, peak, mass, other).prop_map(|(before, peak, mass, other)| {
        let troponin = format!("{before}{peak}").replace("{}", "ng/L (limit 10 ng/L)");
        let mass = mass.replace("{}", "U/L (limit 10 U/L)");
        given(&format!("troponin: {troponin} | ck_mb: {mass} | {other}")).0.labs
    })
}

/// One text for each input of each family, or nothing; and laboratory values.
pub fn any_facts() -> impl Strategy<Value = Facts> {
    let mut parts: Vec<BoxedStrategy<(Family, &'static str, Option<String>)>> = Vec::new();
    for family in Family::ALL {
        for input in family.inputs() {
            let one = prop::option::weighted(0.7, select(typed(input.kind)));
            parts.push(one.prop_map(|text| (*family, input.slug, text)).boxed());
        }
    }
    (parts, any_labs()).prop_map(|(texts, labs)| {
        let mut facts = Facts { labs, ..Facts::default() };
        for (family, slug, text) in texts {
            let row = family.is_listed().then(|| match facts.subjects(family).len() {
                0 => facts.add_row(family, Subject::named("x")).unwrap_or_default(),
                _ => 0,
            });
            // A value outside what is believed is refused, and nothing is recorded then.
            let _ = facts.record(family, row, slug, &text.unwrap_or_default());
        }
        without_contradiction(facts)
    })
}

/// Facts that do not contradict each other, as a check of the record would leave them.
fn without_contradiction(mut facts: Facts) -> Facts {
    use crate::clinical::Answer::{No, Unknown, Yes};
    let signs = &mut facts.ischaemia;
    if signs.q_waves_contiguous.is_yes() {
        signs.q_waves = Yes;
    }
    if signs.imaging_substantial.is_yes() {
        signs.imaging_loss = Yes;
    }
    if signs.st_shift.is_yes() || signs.lbbb.is_yes() {
        signs.ecg = Yes;
    }
    if signs.thrombus_post_mortem.is_yes() {
        facts.outcome.death = Yes;
    }
    for device in facts.devices.iter_mut().map(|row| &mut row.facts) {
        let short = device.shortening.is_some_and(|short| short.value() > Decimal::whole(2));
        if device.off_balloon.is_yes() || device.distorted.is_yes() || short {
            device.kind = Some(DeviceKind::Stent);
        }
    }
    if facts.bleeding.units_before_nadir.is_some() && facts.bleeding.transfused == No {
        facts.bleeding.transfused = Unknown;
    }
    facts
}
