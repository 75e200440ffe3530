//! What can stand in a place reads well there, and holds nothing itself.

use super::super::suspect;

/// The text with every suspicion replaced that has words to put in.
fn replaced(text: &str) -> String {
    let mut text = text.to_owned();
    for suspicion in suspect(&text).iter().rev() {
        if let Some(put) = &suspicion.put {
            text.replace_range(suspicion.span.clone(), put);
        }
    }
    text
}

#[test]
fn what_is_put_in_fits_the_sentence() {
    const ROWS: &[(&str, &str)] = &[
        ("Dr Marlow asked for a second view", "The doctor asked for a second view"),
        ("It was Mr Haddow who noticed the effusion.", "It was a colleague who noticed the effusion."),
        (
            "Mrs Tolland, 91, came from Eastmere Infirmary",
            "The patient, 90 or older, came from the referring hospital",
        ),
        ("the patient's daughter Imogen came in", "the patient's daughter came in"),
        ("his wife, Imogen, and their son Tom were told", "his wife, and their son were told"),
        ("his wife (Josephine) was in the room", "his wife was in the room"),
        ("Hope, his wife, was told", "His wife, was told"),
        ("Imogen, the patient's daughter, came in", "The patient's daughter, came in"),
        ("the operator (Quenby) and fellow Imogen Marlow", "the operator and the fellow"),
        ("asked nurse Adair to hold pressure", "asked the nurse to hold pressure"),
        ("The nurse Adair held pressure.", "The nurse held pressure."),
        ("Drs Marlow and Pell both agreed", "The doctors both agreed"),
        ("Patient name: Ottoline Farrow", "Patient name: Ottoline Farrow"),
        ("K.O. compressed for 20 minutes", "A colleague compressed for 20 minutes"),
        ("A 91-year-old man came on 3 March 2024.", "A 90-or-older man came on a day in 2024."),
        ("This 93-year-old had been told.", "This person aged 90 or older had been told."),
        ("She is 94 years old.", "She is 90 or older."),
        ("in May 2023", "in 2023"),
        ("the night of the 14th", "the night of that day"),
        ("on Christmas Eve", "on a holiday"),
        ("on Wednesday afternoon", "on a weekday afternoon"),
        ("on Saturday night", "on a weekend night"),
        ("last Tuesday the system failed", "last weekday the system failed"),
        ("in March the rota changed", "in that month the rota changed"),
        ("born on 3 May 1950", "born on 3 May 1950"),
        ("at 14:05 no flow", "at 14:05 no flow"),
        ("lives at 22 Quarry Lane", "lives at an address"),
        ("Eastmere, OH 44113", "OH 441"),
        ("Eastmere, NV 89312", "NV 000"),
        ("in bed 14, Ward 7B, at rest", "in the ward, at rest"),
        ("flown in from Skerrow", "flown in from the region"),
        ("ring +1 (555) 010-2233 now", "ring the number now"),
        ("MRN 4471902 was on the film", "The record number was on the film"),
        ("the Universitätsklinikum Hohenfels", "the hospital"),
    ];
    let wrong: Vec<_> = ROWS
        .iter()
        .map(|(text, expected)| (*text, *expected, replaced(text)))
        .filter(|(_, expected, found)| expected != found)
        .map(|(text, expected, found)| format!("{text}\n  expected {expected}\n  found    {found}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whoever takes every proposal is asked again only where there was none.
#[test]
fn what_is_put_in_is_not_suspected_again() {
    let strings = include_str!("../../../tests/check-values/deidentify/strings.txt");
    let lines = strings.lines().filter(|line| !line.starts_with('#') && !line.starts_with("=="));
    let mut again = Vec::new();
    for line in lines {
        let text: String =
            line.split('{').map(|part| part.split_once('|').map_or(part, |(_, words)| words)).collect();
        let text = text.replace('}', "");
        let left = suspect(&text).iter().filter(|suspicion| suspicion.put.is_none()).count();
        let found = suspect(&replaced(&text));
        if found.len() > left {
            again.push(format!("{text}\n  {}\n  {found:?}", replaced(&text)));
        }
    }
    assert!(again.is_empty(), "{}", again.join("\n"));
}
