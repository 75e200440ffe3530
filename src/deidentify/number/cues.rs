//! The words before a number that tell what it is.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::super::kind::Kind;

/// Words before a number, the kind of the number, and how many digits it has at least. A word may be one of
/// several: `patient no|number`.
pub(super) struct Cue {
    pub(super) words: &'static str,
    pub(super) kind: Kind,
    pub(super) least: usize,
}

const fn cue(words: &'static str, kind: Kind, least: usize) -> Cue {
    Cue { words, kind, least }
}

/// Where several fit, the first is taken.
#[rustfmt::skip]
const CUES: &[Cue] = &[
    cue("mrn|urn|pid|crn|nhi|ipp|nhc|hicn|mbi|ppsn|dossiernummer|patientennummer|fallnummer|journalnummer", Kind::RecordNumber, 3),
    cue("medical record|records", Kind::RecordNumber, 3),
    cue("hospital|hosp|patient|pt|patienten|record|records|unit|chart|case|casenote|chi|passport|fall|dossier|historia|cartella no|number|nr|id|num|identifier", Kind::RecordNumber, 3),
    cue("nhs no|number|nr", Kind::RecordNumber, 4), cue("nhs|chi", Kind::RecordNumber, 9),
    cue("ssn|sin|nino|nin|pesel|bsn|cpf|nif|nie|dni|nir|aadhaar|aadhar|personnummer|kimlik|tckn|versichertennummer|krankenversichertennummer|rvnr|svnr", Kind::RecordNumber, 4),
    cue("codice fiscale", Kind::RecordNumber, 4), cue("numéro de sécurité sociale", Kind::RecordNumber, 4), cue("nº|n° de sécurité sociale", Kind::RecordNumber, 4),
    cue("social security", Kind::RecordNumber, 4), cue("national insurance", Kind::RecordNumber, 4),
    cue("national|personal|government|tax id|number|identity|insurance", Kind::RecordNumber, 4), cue("passport", Kind::RecordNumber, 5),
    cue("insurance|policy|member|membership|subscriber|beneficiary|enrollee|scheme|medicare|medicaid|group no|number|nr|id", Kind::RecordNumber, 3),
    cue("health card|plan|insurance|scheme", Kind::RecordNumber, 4), cue("medicare|medicaid|policy", Kind::RecordNumber, 6),
    cue("gmc|nmc|hcpc pin|number|no", Kind::Licence, 3), cue("gmc|nmc|hcpc|npi|dea|lanr|rpps|adeli|crm", Kind::Licence, 5),
    cue("licence|license|registration|reg|certificate|certification|permit|diploma|registrant|badge no|number|nr|id", Kind::Licence, 3),
    cue("driver '|’ s licence|license", Kind::Licence, 4), cue("drivers|driving licence|license", Kind::Licence, 4),
    cue("licence|license|certificate", Kind::Licence, 5),
    cue("account|acct|konto|bank|card no|number|nr|id", Kind::Account, 4), cue("account|acct|kontonummer|kontonr|iban", Kind::Account, 5),
    cue("sort code", Kind::Account, 6), cue("credit|debit|bank card", Kind::Account, 8), cue("card ending", Kind::Account, 4),
    cue("accession", Kind::Accession, 3),
    cue("acc|study|exam|examination|specimen|sample|request|order|series|image|film|lab|procedure|untersuchungs no|number|nr|id|uid", Kind::Accession, 3),
    cue("udi - di|pi", Kind::DeviceIdentifier, 4), cue("udi|gtin", Kind::DeviceIdentifier, 4), cue("s / n", Kind::DeviceIdentifier, 3), cue("sn|serial|imei|serie|seriennummer|snr|serienummer", Kind::DeviceIdentifier, 3),
    cue("lot|batch|charge|chargennummer|lote|lotto", Kind::DeviceIdentifier, 4), cue("lot|batch|charge|lote no|number|nr|num", Kind::DeviceIdentifier, 2),
    cue("ref|model|catalogue|catalog|device|implant no|number|nr|id", Kind::DeviceIdentifier, 4), cue("ref", Kind::DeviceIdentifier, 5),
    cue("barcode|wristband", Kind::UniqueCode, 5),
    cue("incident|complaint|claim|ticket|reference|report|participant|subject|enrolment|enrollment|trial|barcode|wristband|booking|referral|appointment|docket|inquest|file|employee|staff|visit|encounter|episode|our|your|case no|number|nr|id|ref|reference", Kind::UniqueCode, 3),
    cue("case|incident", Kind::UniqueCode, 6),
];

/// The cues by the word that they begin with.
static BY_FIRST_WORD: LazyLock<HashMap<&'static str, Vec<&'static Cue>>> = LazyLock::new(|| {
    let mut by_word: HashMap<_, Vec<_>> = HashMap::new();
    for cue in CUES {
        let first = cue.words.split(' ').next().unwrap_or_default();
        for word in first.split('|') {
            by_word.entry(word).or_default().push(cue);
        }
    }
    by_word
});

/// The cues that may begin with a word in small letters.
pub(super) fn beginning_with(word: &str) -> &'static [&'static Cue] {
    BY_FIRST_WORD.get(word).map_or(&[], Vec::as_slice)
}
