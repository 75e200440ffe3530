//! BibTeX, with the fields of biblatex for a PubMed number.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::References;
use crate::case::Reference;
use crate::export::format::Format;

/// The format.
pub const BIBTEX: Format<References> = Format {
    slug: "bibtex",
    name: "BibTeX",
    extension: "bib",
    media_type: "application/x-bibtex; charset=utf-8",
    use_for: "The DOI or PubMed number of each publication, for LaTeX and for programs that keep references; these find authors and titles by the number.",
    render: |references, _| Ok(bibtex(references).into_bytes()),
};

fn bibtex(references: &References) -> String {
    let mut file = String::new();
    let mut keys = BTreeSet::new();
    for reference in references.as_slice() {
        let key = free_key(reference, &mut keys);
        // Writing to a string cannot fail.
        let _ = writeln!(file, "@misc{{{key},");
        match reference {
            // A brace or a backslash would end or bend the field; the address says the same.
            Reference::Doi(doi) if doi.contains(['{', '}', '\\']) => {}
            Reference::Doi(doi) => {
                let _ = writeln!(file, "  doi = {{{doi}}},");
            }
            Reference::PubMed(number) => {
                let _ = writeln!(file, "  eprint = {{{number}}},\n  eprinttype = {{pubmed}},");
            }
        }
        let _ = writeln!(file, "  url = {{{}}},\n}}\n", reference.address());
    }
    file.truncate(file.trim_end().len());
    file.push('\n');
    file
}

/// A key of letters, digits and hyphens, unlike that of any other entry.
fn free_key(reference: &Reference, taken: &mut BTreeSet<String>) -> String {
    let stem = match reference {
        Reference::Doi(doi) => {
            let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
            format!("doi-{}", doi.chars().map(plain).collect::<String>())
        }
        Reference::PubMed(number) => format!("pmid-{number}"),
    };
    let mut key = stem.clone();
    let mut number = 1_usize;
    while !taken.insert(key.clone()) {
        number += 1;
        key = format!("{stem}-{number}");
    }
    key
}
