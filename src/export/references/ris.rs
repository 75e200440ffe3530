//! RIS: a tag of two signs, two spaces, a hyphen and a space, a line each.

use std::fmt::Write as _;

use super::References;
use crate::case::Reference;
use crate::export::format::Format;

/// The format.
pub const RIS: Format<References> = Format {
    slug: "ris",
    name: "RIS",
    extension: "ris",
    media_type: "application/x-research-info-systems; charset=utf-8",
    use_for: "The same for programs that read RIS.",
    render: |references, _| Ok(ris(references).into_bytes()),
};

/// The entries. A number holds no line break, so no value can begin a tag of its own.
fn ris(references: &References) -> String {
    let mut file = String::new();
    for reference in references.as_slice() {
        // The number does not tell what sort of publication it is, so the type is the general one.
        let number = match reference {
            Reference::Doi(doi) => format!("DO  - {doi}\r\n"),
            Reference::PubMed(number) => format!("DB  - PubMed\r\nAN  - {number}\r\n"),
        };
        // A semicolon parts two addresses.
        let address = reference.address().replace(';', "%3B");
        // Writing to a string cannot fail.
        let _ = write!(file, "TY  - GEN\r\n{number}UR  - {address}\r\nER  - \r\n\r\n");
    }
    file
}
