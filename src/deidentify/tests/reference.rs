//! The table of our reference on review method, section 6. The kinds are those of Safe Harbor, 45 CFR
//! 164.514(b)(2); the texts are test strings of our own: no person, place or number in them is real
//! beyond numbers set aside for examples.

use super::super::Confidence::{High, Low};
use super::super::Kind::{
    Accession, Address, AgeAbove89, ClockTime, Date, DeviceIdentifier, Email, Hospital, Initials, IpAddress,
    Location, Month, Name, Phone, RecordNumber, Url, Weekday,
};
use super::super::{Confidence, Kind, suspect};
use super::hold;

#[test]
fn each_row_of_the_table_holds() {
    hold(&[
        ("Dr Marlow asked for a second view", &[Name]),
        ("discussed with Prof. A. Quenby", &[Name]),
        ("Mrs Tolland, 91, came from Eastmere Infirmary", &[Name, AgeAbove89, Hospital]),
        ("an 84-year-old man", &[]),
        ("90-year-old", &[AgeAbove89]),
        ("90 min later", &[]),
        ("on 3 March 2024 at 14:05", &[Date, ClockTime]),
        ("89-year-old woman", &[]),
        ("on Wednesday afternoon", &[Weekday]),
        ("in March the rota changed", &[Month]),
        ("March the balloon distally", &[]),
        ("Grace was called from the next room", &[Name]),
        ("by the grace of collaterals", &[]),
        ("Will held the guide", &[Name]),
        ("the wire will hold", &[]),
        ("Hope, his wife, was told", &[Name]),
        ("we hope for TIMI 3", &[]),
        ("03/04/24", &[Date]),
        ("2024-03-04T14:05", &[Date, ClockTime]),
        ("Boxing Day", &[Date]),
        ("the night of the 14th", &[Date]),
        ("next morning", &[]),
        ("day 3 after PCI", &[]),
        ("may cause spasm", &[]),
        ("the wire may march forward", &[]),
        ("in May 2023", &[Date]),
        ("MRN 4471902", &[RecordNumber]),
        ("NHS no. 943 476 5919", &[RecordNumber]),
        ("acc. no. CR-22-01873", &[Accession]),
        ("UDI (01)09876501234564(17)280131(10)QX4419(21)A00731", &[DeviceIdentifier]),
        ("S/N 77A-3391", &[DeviceIdentifier]),
        ("lot 9920417", &[DeviceIdentifier]),
        ("tel 0161 496 0000", &[Phone]),
        ("+1 (555) 010-2233", &[Phone]),
        ("bleep 4417", &[Phone]),
        ("k.osei@hospital.example", &[Email]),
        ("see https://intranet.example/case/88", &[Url]),
        ("from 192.0.2.14", &[IpAddress]),
        ("22 Quarry Lane", &[Address]),
        ("bed 14, Ward 7B", &[Location]),
        ("TIMI 3, Ellis III, Medina 1,1,1, Killip II", &[]),
        ("type B dissection", &[]),
        ("3.0 x 28 mm at 14 atm, 7 Fr guide", &[]),
        ("LAD, D2, OM1, RPL", &[]),
        ("ACT 287 s, Hb 11.2, creatinine 1.4", &[]),
        ("heparin 100 U/kg, 5000 U", &[]),
        ("RAO 30 caudal 20", &[]),
        ("Judkins left 4 guide", &[]),
        ("K.O. compressed for 20 minutes", &[Initials]),
        ("MB CK-MB 44", &[]),
        ("the patient's daughter Imogen", &[Name]),
        ("Seldinger puncture, Allen test", &[]),
    ]);
}

#[test]
fn the_whole_identifier_is_marked() {
    let whole: &[(&str, Kind, Confidence, &str)] = &[
        ("discussed with Prof. A. Quenby today", Name, High, "Prof. A. Quenby"),
        ("NHS no. 943 476 5919, please", RecordNumber, High, "NHS no. 943 476 5919"),
        (
            "UDI (01)09876501234564(17)280131(10)QX4419(21)A00731 was kept",
            DeviceIdentifier,
            High,
            "UDI (01)09876501234564(17)280131(10)QX4419(21)A00731",
        ),
        ("ring +1 (555) 010-2233 now", Phone, High, "ring +1 (555) 010-2233"),
        ("in bed 14, Ward 7B, at rest", Location, High, "bed 14, Ward 7B"),
        ("on 3 March 2024 she came", Date, High, "3 March 2024"),
        ("came at 14:05", ClockTime, Low, "14:05"),
        ("on Wednesday afternoon", Weekday, Low, "Wednesday"),
        ("in March the rota changed", Month, Low, "March"),
        ("seen at St Mary's Hospital first", Hospital, High, "St Mary's Hospital"),
        ("write to <k.osei@hospital.example>.", Email, High, "k.osei@hospital.example"),
    ];
    for (text, kind, confidence, marked) in whole {
        let found: Vec<_> =
            suspect(text).iter().map(|s| (s.kind, s.confidence, text[s.span.clone()].to_owned())).collect();
        assert_eq!(found, [(*kind, *confidence, (*marked).to_owned())], "{text}");
    }
}

#[test]
fn what_stands_instead_fits_the_place() {
    let instead = |text: &str| suspect(text).into_iter().map(|s| s.instead).collect::<Vec<_>>();
    assert!(instead("on 3 March 2024")[0].contains("2024"));
    assert_eq!(instead("aged 93"), ["90 or older"]);
    assert!(instead("the patient's daughter Imogen")[0].contains("the patient's daughter"));
}
