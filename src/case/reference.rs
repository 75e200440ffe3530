//! What a lesson rests on in print: a DOI or a PubMed number.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::quantity::serde_as_text;

/// Why a text is no reference.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Write a DOI such as 10.1161/CIR.0000000000000617, or a PubMed number such as PMID 12345678.")]
pub struct ReferenceError;

/// A publication by its number: a DOI (ISO 26324: `10.`, a registrant, a slash, a suffix) or a PubMed
/// number (1 to 8 digits).
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reference {
    /// A DOI, without what stands before it.
    Doi(String),
    /// A PubMed number.
    PubMed(u32),
}

impl Reference {
    /// Where it is read.
    #[must_use]
    pub fn address(&self) -> String {
        match self {
            Self::Doi(doi) => format!("https://doi.org/{}", escaped(doi)),
            Self::PubMed(number) => format!("https://pubmed.ncbi.nlm.nih.gov/{number}/"),
        }
    }
}

/// A DOI as part of an address: what an address does not hold as it is becomes `%XX` (RFC 3986).
fn escaped(doi: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~/:;()!$&'*+,=@".contains(&byte);
    doi.bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Doi(doi) => write!(f, "doi:{doi}"),
            Self::PubMed(number) => write!(f, "PMID {number}"),
        }
    }
}

/// The text behind one of the ways in which people begin a number.
fn behind<'t>(text: &'t str, starts: &[&str]) -> Option<&'t str> {
    starts.iter().find_map(|start| {
        let head = text.get(..start.len())?;
        head.eq_ignore_ascii_case(start).then(|| text[start.len()..].trim_start_matches([':', ' ']))
    })
}

impl FromStr for Reference {
    type Err = ReferenceError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim().trim_end_matches('.');
        let doi =
            behind(text, &["https://doi.org/", "http://doi.org/", "https://dx.doi.org/", "doi.org/", "doi"])
                .unwrap_or(text);
        if let Some((registrant, suffix)) = doi.strip_prefix("10.").and_then(|rest| rest.split_once('/')) {
            let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
            let printed = suffix.chars().all(|c| !c.is_whitespace() && !c.is_control());
            let known = registrant.split('.').all(digits) && !suffix.is_empty() && printed;
            return if known && doi.chars().count() <= 200 {
                Ok(Self::Doi(doi.to_owned()))
            } else {
                Err(ReferenceError)
            };
        }
        let number =
            behind(text, &["https://pubmed.ncbi.nlm.nih.gov/", "pubmed.ncbi.nlm.nih.gov/", "pmid", "pubmed"])
                .unwrap_or(text)
                .trim_end_matches('/');
        let digits =
            !number.is_empty() && number.len() <= 8 && number.bytes().all(|byte| byte.is_ascii_digit());
        match number.parse() {
            Ok(number @ 1..) if digits => Ok(Self::PubMed(number)),
            _ => Err(ReferenceError),
        }
    }
}

serde_as_text!(
    Reference,
    ToString::to_string,
    "A publication: doi:10.1161/CIR.0000000000000617, or PMID 12345678",
    r"^(doi:10\..+/.+|PMID [1-9]\d{0,7})$"
);

#[cfg(test)]
mod tests {
    use super::Reference;

    /// The DOI and its forms: DOI Handbook (ISO 26324), the presentation of a DOI name.
    #[test]
    fn a_reference_is_read_in_the_forms_in_which_people_paste_it() {
        for (typed, read) in [
            ("10.1097/ACM.0b013e31828f87fe", "doi:10.1097/ACM.0b013e31828f87fe"),
            (" doi:10.1186/s13037-016-0107-8. ", "doi:10.1186/s13037-016-0107-8"),
            ("DOI 10.1186/s13037-016-0107-8", "doi:10.1186/s13037-016-0107-8"),
            ("https://doi.org/10.1002/(SICI)1097-0258", "doi:10.1002/(SICI)1097-0258"),
            ("PMID: 11466122", "PMID 11466122"),
            ("pmid11466122", "PMID 11466122"),
            ("11466122", "PMID 11466122"),
            ("https://pubmed.ncbi.nlm.nih.gov/11466122/", "PMID 11466122"),
        ] {
            let found: Reference = typed.parse().unwrap_or_else(|error| panic!("{typed}: {error}"));
            assert_eq!(found.to_string(), read);
            assert_eq!(found.to_string().parse(), Ok(found), "reads back");
        }
        for typed in
            ["", "10.1097", "10.x/1", "10.1/a b", "PMID", "0", "123456789", "JAMA 2001;286:415", "PMID -1"]
        {
            assert!(typed.parse::<Reference>().is_err(), "{typed}");
        }
    }

    #[test]
    fn its_address_holds_nothing_that_an_address_may_not_hold() {
        let odd: Reference = "10.1000/a<b>\"c?#é".parse().unwrap();
        assert_eq!(odd.address(), "https://doi.org/10.1000/a%3Cb%3E%22c%3F%23%C3%A9");
    }
}
