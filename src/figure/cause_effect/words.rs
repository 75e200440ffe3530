//! The same in words.

use super::{Cause, CauseClass, CauseWeight};
use crate::figure::FigureTable;
use crate::figure::cause::MARKS;
use crate::figure::count_word::{counted, sentence_case, within};
use crate::figure::sentence::list;

/// What is said without a cause.
pub(super) const NONE: &str = "no cause is named yet";
/// How many events a note names.
const EVENTS: usize = 6;
/// How many classes a title names.
const CLASSES: usize = 3;

/// `events 3 and 7`.
pub(super) fn events(cause: &Cause) -> String {
    let events: Vec<String> = cause.events().iter().map(u32::to_string).collect();
    match events.as_slice() {
        [] => "no event shows this yet".to_owned(),
        [only] => format!("event {only}"),
        many if many.len() > EVENTS + 1 => {
            format!("events {} and {} more", many[..EVENTS].join(", "), many.len() - EVENTS)
        }
        many => format!("events {}", list(many)),
    }
}

/// The finding: how many root causes there are, and in which classes.
pub(super) fn title(classes: &[CauseClass]) -> String {
    if classes.is_empty() {
        return sentence_case(NONE);
    }
    let of = |class: &CauseClass, weight| class.causes.iter().filter(|cause| cause.weight == weight).count();
    let heaviest = CauseWeight::ALL.into_iter().find(|&weight| classes.iter().any(|c| of(c, weight) > 0));
    let Some(weight) = heaviest else {
        return sentence_case(NONE);
    };
    let found: Vec<(usize, String)> = classes
        .iter()
        .map(|class| (of(class, weight), within(&class.label)))
        .filter(|(count, _)| *count > 0)
        .collect();
    let count: usize = found.iter().map(|(count, _)| count).sum();
    let word = weight.word();
    let causes = counted(count, &format!("{word} cause"), &format!("{word} causes"));
    let lead = if weight == CauseWeight::Root { causes } else { format!("no root cause, {causes}") };
    sentence_case(&format!("{lead}{}", places(&found, count)))
}

/// Where so many causes are.
fn places(found: &[(usize, String)], count: usize) -> String {
    match found {
        [(_, class)] => match count {
            1 => format!(", in {class}"),
            2 => format!(", both in {class}"),
            _ => format!(", all in {class}"),
        },
        few if few.len() <= CLASSES => {
            let places: Vec<String> = few
                .iter()
                .map(|(count, class)| counted(*count, &format!("in {class}"), &format!("in {class}")))
                .collect();
            format!(", {}", list(&places))
        }
        many => format!(" in {}", counted(many.len(), "class", "classes")),
    }
}

pub(super) fn description() -> String {
    format!(
        "The spine leads to what happened. Each rib is a class of causes, each twig on it a cause, with the numbers of \
         the events that show it. {MARKS}"
    )
}

pub(super) fn table(classes: &[CauseClass]) -> FigureTable {
    let mut table = FigureTable::with_columns(&["Class", "Cause", "Weight", "Events"]);
    for class in classes {
        for cause in &class.causes {
            let numbers: Vec<String> = cause.events().iter().map(u32::to_string).collect();
            let shown =
                if numbers.is_empty() { "no event shows this yet".to_owned() } else { numbers.join(", ") };
            table.rows.push(vec![
                class.label.clone(),
                cause.label.clone(),
                cause.weight.word().to_owned(),
                shown,
            ]);
        }
    }
    table
}

pub(super) fn summary(effect: &str, classes: &[CauseClass]) -> String {
    let effect = effect.trim();
    let of = if effect.is_empty() { String::new() } else { format!(" of {effect}") };
    let all: Vec<(&CauseClass, &Cause)> =
        classes.iter().flat_map(|class| class.causes.iter().map(move |cause| (class, cause))).collect();
    if all.is_empty() {
        return format!("No cause{of} is named yet.");
    }
    let mut sentences = vec![format!(
        "{}{of} {} named, in {}.",
        sentence_case(&counted(all.len(), "cause", "causes")),
        if all.len() == 1 { "is" } else { "are" },
        counted(classes.len(), "class", "classes"),
    )];
    for weight in CauseWeight::ALL {
        let told: Vec<String> = all
            .iter()
            .filter(|(_, cause)| cause.weight == weight)
            .map(|(class, cause)| {
                format!("{} ({}; {})", cause.label.trim(), within(&class.label), events(cause))
            })
            .collect();
        if !told.is_empty() {
            sentences.push(format!("{}: {}.", sentence_case(weight.word()), told.join("; ")));
        }
    }
    sentences.join(" ")
}
