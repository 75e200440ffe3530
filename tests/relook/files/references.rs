//! References, read by bibtexparser and rispy.

use relook::case::Reference;
use relook::export::format::Options;
use relook::export::references::{BIBTEX, RIS, References};
use serde_json::json;

use super::readers::{Folder, read_with};

/// Numbers as they are in print, and some that are as odd as a DOI may be.
const NAMED: [&str; 7] = [
    "doi:10.1161/CIR.0000000000000617",
    "PMID 11466122",
    "doi:10.1002/(SICI)1097-0258(19980815/30)17:15/16<1661::AID-SIM968>3.0.CO;2-2",
    "doi:10.1000/a_b%c#d&e@f,g=h\"i$j~k^l",
    "doi:10.1000/{a}b\\c}",
    "doi:10.1000/é-中",
    // The same as the first: a DOI does not tell small letters from capitals.
    "doi:10.1161/cir.0000000000000617",
];

fn references() -> Vec<Reference> {
    NAMED.iter().map(|text| text.parse().unwrap()).collect()
}

#[test]
fn other_programs_read_every_reference_once_and_as_it_was_meant() {
    let named = references();
    let all = References::among(named.iter()).unwrap();
    let folder = Folder::new();
    let (bib, ris) = (folder.path().join("references.bib"), folder.path().join("references.ris"));
    for (path, format) in [(&bib, &BIBTEX), (&ris, &RIS)] {
        let bytes = (format.render)(&all, &Options::default()).unwrap();
        assert_eq!((format.render)(&all, &Options::default()).unwrap(), bytes, "the same each time");
        std::fs::write(path, bytes).unwrap();
    }
    let read = read_with("read_references.py", &[bib.clone(), ris.clone()]);
    let expected = &named[..6];

    let found = &read[bib.to_str().unwrap()];
    assert_eq!(found["faults"], json!([]));
    let entries = found["entries"].as_array().unwrap();
    assert_eq!(entries.len(), expected.len());
    for (entry, reference) in entries.iter().zip(expected) {
        assert_eq!(entry["url"], reference.address());
        match reference {
            Reference::PubMed(number) => {
                assert_eq!(
                    (&entry["eprint"], &entry["eprinttype"]),
                    (&json!(number.to_string()), &json!("pubmed"))
                );
            }
            Reference::Doi(doi) if doi.contains('{') => assert_eq!(entry.get("doi"), None),
            Reference::Doi(doi) => assert_eq!(entry["doi"], json!(doi)),
        }
    }
    let keys: std::collections::BTreeSet<&str> = entries.iter().map(|e| e["key"].as_str().unwrap()).collect();
    assert_eq!(keys.len(), expected.len());

    let entries = read[ris.to_str().unwrap()]["entries"].as_array().unwrap();
    assert_eq!(entries.len(), expected.len());
    for (entry, reference) in entries.iter().zip(expected) {
        assert_eq!(entry["type_of_reference"], "GEN");
        assert_eq!(entry["urls"], json!([reference.address().replace(';', "%3B")]));
        let (name, value) = match reference {
            Reference::Doi(doi) => ("doi", json!(doi)),
            Reference::PubMed(number) => ("accession_number", json!(number.to_string())),
        };
        assert_eq!(entry[name], value, "{entry}");
    }
}

#[test]
fn a_case_that_names_no_publication_has_no_such_file() {
    assert_eq!(References::among([].iter()), None::<References>);
    let case = super::cases::nearly_empty().case.to_case();
    assert_eq!(References::of(&case), None);
}
