//! Recall and precision by kind, over the texts of `tests/check-values/deidentify/`.
//!
//! `cargo test deidentify::tests::strings -- --nocapture` prints the table and each text that went wrong.
//! An identifier counts as found when a suspicion of its kind holds all of its words.

use std::collections::BTreeMap;
use std::ops::Range;

use super::super::{Confidence, Kind, Suspicion, suspect};

const STRINGS: &str = include_str!("../../../tests/check-values/deidentify/strings.txt");
const TRADE: &str = include_str!("../../../tests/check-values/deidentify/trade.txt");

/// What has to be found of the direct identifiers.
const RECALL: f64 = 0.98;
/// Which part of what is found has to be an identifier, and which part of the trade's texts has to pass.
const PRECISION: f64 = 0.95;

/// Whether a kind leads to a person by itself, as the elements of Safe Harbor do. Initials, clock times, days
/// of the week, months and places inside a town identify beside other things; they are counted apart.
const fn is_direct(kind: Kind) -> bool {
    !matches!(kind, Kind::Initials | Kind::ClockTime | Kind::Weekday | Kind::Month | Kind::Location)
}

fn kind(word: &str) -> Kind {
    match word {
        "name" => Kind::Name,
        "initials" => Kind::Initials,
        "date" => Kind::Date,
        "clock" => Kind::ClockTime,
        "weekday" => Kind::Weekday,
        "month" => Kind::Month,
        "age" => Kind::AgeAbove89,
        "phone" => Kind::Phone,
        "email" => Kind::Email,
        "url" => Kind::Url,
        "handle" => Kind::Handle,
        "network" => Kind::IpAddress,
        "address" => Kind::Address,
        "location" => Kind::Location,
        "coordinates" => Kind::Coordinates,
        "hospital" => Kind::Hospital,
        "record" => Kind::RecordNumber,
        "accession" => Kind::Accession,
        "device" => Kind::DeviceIdentifier,
        "account" => Kind::Account,
        "licence" => Kind::Licence,
        "vehicle" => Kind::Vehicle,
        "code" => Kind::UniqueCode,
        other => panic!("{other} is no kind of the file"),
    }
}

/// A line without its marks, and what they mark.
fn read(line: &str) -> (String, Vec<(Kind, Range<usize>)>) {
    let mut text = String::new();
    let mut marked = Vec::new();
    let mut rest = line;
    while let Some((before, inside)) = rest.split_once('{') {
        let (mark, after) = inside.split_once('}').unwrap();
        let (word, words) = mark.split_once('|').unwrap();
        text.push_str(before);
        marked.push((kind(word), text.len()..text.len() + words.len()));
        text.push_str(words);
        rest = after;
    }
    text.push_str(rest);
    (text, marked)
}

fn lines(file: &'static str) -> impl Iterator<Item = &'static str> {
    file.lines().filter(|line| !line.is_empty() && !line.starts_with('#') && !line.starts_with("=="))
}

/// Whether suspicions hold all letters and digits of a place.
fn holds(found: &[&Suspicion], text: &str, place: &Range<usize>) -> bool {
    text[place.clone()]
        .char_indices()
        .filter(|(_, c)| c.is_alphanumeric())
        .all(|(at, _)| found.iter().any(|suspicion| suspicion.span.contains(&(place.start + at))))
}

#[derive(Default)]
struct Count {
    planted: usize,
    found: usize,
    suspected: usize,
    wrong: usize,
}

#[allow(clippy::cast_precision_loss)]
fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 { 1.0 } else { part as f64 / whole as f64 }
}

#[test]
fn recall_and_precision_stay_above_their_floors() {
    let mut counts: BTreeMap<Kind, Count> = BTreeMap::new();
    let (mut trade, mut passed) = (0, 0);
    let mut sure = Vec::new();
    for (line, of_trade) in
        lines(STRINGS).map(|line| (line, false)).chain(lines(TRADE).map(|line| (line, true)))
    {
        let (text, planted) = read(line);
        let found = suspect(&text);
        let mut told = false;
        for (kind, place) in &planted {
            let count = counts.entry(*kind).or_default();
            count.planted += 1;
            let of_kind: Vec<_> = found.iter().filter(|suspicion| suspicion.kind == *kind).collect();
            if holds(&of_kind, &text, place) {
                count.found += 1;
            } else {
                told = true;
            }
        }
        for suspicion in &found {
            let count = counts.entry(suspicion.kind).or_default();
            count.suspected += 1;
            let meets = |(kind, place): &(Kind, Range<usize>)| {
                *kind == suspicion.kind
                    && suspicion.span.start < place.end
                    && place.start < suspicion.span.end
            };
            if !planted.iter().any(meets) {
                count.wrong += 1;
                told = true;
            }
        }
        if planted.is_empty() {
            trade += 1;
            passed += usize::from(found.is_empty());
            let high = found.iter().any(|one| one.confidence == Confidence::High);
            sure.extend((of_trade && high).then(|| text.clone()));
        }
        if told {
            let found: Vec<_> =
                found.iter().map(|one| (one.kind, one.confidence, &text[one.span.clone()])).collect();
            println!("{line}\n    {found:?}");
        }
    }
    println!(
        "{:<20} {:>8} {:>8} {:>8} {:>10} {:>8}",
        "kind", "planted", "recall", "marked", "precision", "direct"
    );
    let (mut direct, mut all) = (Count::default(), Count::default());
    for (kind, count) in &counts {
        println!(
            "{:<20} {:>8} {:>8.3} {:>8} {:>10.3} {:>8}",
            kind.label(),
            count.planted,
            share(count.found, count.planted),
            count.suspected,
            share(count.suspected - count.wrong, count.suspected),
            if is_direct(*kind) { "yes" } else { "" }
        );
        for sum in [Some(&mut all), is_direct(*kind).then_some(&mut direct)].into_iter().flatten() {
            sum.planted += count.planted;
            sum.found += count.found;
            sum.suspected += count.suspected;
            sum.wrong += count.wrong;
        }
    }
    let recall = share(direct.found, direct.planted);
    let precision = share(all.suspected - all.wrong, all.suspected);
    println!("recall of direct identifiers {recall:.4} ({} of {})", direct.found, direct.planted);
    println!("recall of all {:.4}; precision of all {precision:.4}", share(all.found, all.planted));
    println!("texts of the trade without a suspicion {:.4} ({passed} of {trade})", share(passed, trade));
    for kind in Kind::ALL {
        assert!(counts.get(&kind).is_some_and(|count| count.planted >= 2), "{kind:?} is hardly in the file");
    }
    assert!(sure.is_empty(), "sure, and nothing there:\n{}", sure.join("\n"));
    assert!(recall >= RECALL, "the recall of direct identifiers is {recall:.4}");
    assert!(precision >= PRECISION, "the precision is {precision:.4}");
    assert!(share(passed, trade) >= PRECISION, "of {trade} texts of the trade {passed} pass");
}
