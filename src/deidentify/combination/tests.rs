//! Against tables from print, against a general-purpose library, and against the definition itself.

mod properties;
mod published;
mod reference;

use super::{Ladder, Levels, Records};

/// What a level shows of a value.
type Shows = fn(&str) -> String;

/// Records from a table of texts and, for each fact, what each level shows of a value.
fn records(table: &[Vec<&str>], levels: &[&[Shows]]) -> Records {
    let mut ladders = Vec::new();
    let mut places: Vec<Vec<usize>> = vec![Vec::new(); table.len()];
    for (fact, levels) in levels.iter().enumerate() {
        let mut held: Vec<&str> = Vec::new();
        for (row, place) in table.iter().zip(&mut places) {
            let at = held.iter().position(|value| *value == row[fact]).unwrap_or_else(|| {
                held.push(row[fact]);
                held.len() - 1
            });
            place.push(at);
        }
        let values: Vec<Vec<String>> =
            held.iter().map(|value| levels.iter().map(|level| level(value)).collect()).collect();
        ladders.push(Ladder::new(levels.len(), &values).unwrap());
    }
    let mut records = Records::new(ladders).unwrap();
    for place in &places {
        records.push(place).unwrap();
    }
    records
}

fn sorted_sizes(records: &Records, levels: &[usize]) -> Vec<usize> {
    let mut sizes = records.classes(&Levels(levels.to_vec())).sizes().to_vec();
    sizes.sort_unstable();
    sizes
}

fn same(value: &str) -> String {
    value.to_owned()
}

fn hidden(_: &str) -> String {
    "*".to_owned()
}
