//! Prose of the cath lab that holds nothing, and identifiers in the forms in which people type them.
//! All invented; the language is common practice.

use super::super::Kind::{
    Accession, Address, AgeAbove89, ClockTime, Date, DeviceIdentifier, Hospital, Initials, IpAddress,
    Location, Name, Phone, RecordNumber, Url, Weekday,
};
use super::super::{Confidence, Kind, suspect};
use super::hold;

#[test]
fn the_language_of_the_trade_is_left_alone() {
    const PROSE: &[&str] = &[
        // Shapes, tests, signs and scales that carry a name.
        "The guide was an Amplatz left 1, exchanged for a Judkins right 4 after damping.",
        "Kussmaul sign and a falling pressure suggested tamponade; Beck triad was incomplete.",
        "Seldinger puncture under ultrasound, 6 Fr sheath, 5000 U heparin, ACT 312 s at 15 min.",
        "Wellens pattern in V2 and V3, with a Takotsubo-like apex on the ventriculogram.",
        "Killip III on arrival, Rentrop 2 collaterals, SYNTAX score 27.",
        "An Allen test was normal; the Barbeau class was B.",
        "Swan-Ganz catheter through the femoral vein; Fick output 3.1 L/min.",
        "The Dressler syndrome came weeks later.",
        "Ellis III perforation, Medina 0,1,1, Murray law and the Finet rule for the steps.",
        // Abbreviations and numbers with their units.
        "LVEDP 28 mmHg, ejection fraction 35 %, ECMO team on standby.",
        "OCT showed a flap of 270 degrees; IVUS confirmed a minimum area of 4.8 mm².",
        "Rotational atherectomy with a 1.5 mm burr at 160,000 rpm.",
        "Medina 1,1,1 with a side branch of 2.5 mm; DK crush was planned and a provisional stent done.",
        "Stent 3.5 x 28 mm, 16 atm, post-dilated with a 4.0 x 12 mm balloon at 20 atm.",
        "Contrast 230 mL, air kerma 2.7 Gy, fluoroscopy 49 min.",
        "Creatinine 109 µmol/L on day 2; troponin 118 ng/L, limit 14 ng/L.",
        "Hydrophilic 0.014 inch wire, 300 cm, 2.8 Fr microcatheter, 1:1 balloon ratio.",
        "Heparin 70-100 U/kg, target ACT 250-300 s.",
        "NYHA III, CCS 2, CHA2DS2-VASc 4, HAS-BLED 3.",
        "ECG: sinus rhythm 92, PR 180 ms, QRS 98 ms, QTc 440 ms.",
        "P2Y12 inhibitor, GP IIb/IIIa inhibitor, CYP2C19 status.",
        "J-wire advanced; C-arm at LAO 40 cranial 25; T-wave inversion in aVL.",
        "Pre-PCI CK 120, CK-MB 14; post-PCI CK 980, CK-MB 110.",
        "0.36 mm² at frame 1120; 2.25 mm vessel; 3/4 of the arc.",
        "A 45-degree bend; 6-0 suture; figure-of-8 stitch.",
        "Protocol version 2.3.1 was used in 12 of 14 cases.",
        "Pressure 120/80 at rest and 90/60 on 10/5 micrograms.",
        // Offsets, lengths of time, ratios, counts.
        "+12:30 no flow; 38 min 20 s without flow in all.",
        "He was 1.5 h in the room, from +0:00 to +1:35:00.",
        "Adrenaline 1:10,000 diluted to 1:100,000 was at hand.",
        "The 2nd diagonal and the 14th inflation; a 3rd stent on the 2nd day.",
        "Ward 12 hours later: pulse present, bed rest until the morning.",
        "Lot of thrombus in the distal bed 3 minutes later.",
        "Extension 20 mm; the guide extension 6 Fr went past the bend.",
        "The rate was 95, then 110; the patient is 90 or older.",
        "An 89-year-old with a haemoglobin of 92 g/L and a rate of 110.",
        // Words with a capital that are words.
        "Will the balloon cross? The wire will tell.",
        "May need a covered stent. March of the wire stopped at the crux.",
        "Mark the position of the balloon before the next run.",
        "Rose to 180/95, then fell to 70/40 with a heart rate of 98.",
        "Frank dissection in the mid LAD; Hope of flow faded after ten minutes.",
        "Dissection type C. Flow was TIMI 2. Pressure 95, falling.",
        "Aspirin 300 mg and Ticagrelor 180 mg were given before transfer.",
        "First run: no flow. Second run: TIMI 1. Third run after Adenosine: TIMI 3.",
        "Surgeon called at once; Nurse asked for a second syringe; Echo done in three minutes.",
        "Guide: extra back-up 3.5. Wire: soft tip. Access: right radial.",
        "Left Main Dissection With Guide Injection",
        "The heart team meets on Thursdays.",
        "After PCI the French size was 6; the Canadian class 2.",
        "No reflow – flow TIMI 1 – after Stent 2.",
        "The referring hospital and our Catheter Laboratory agreed; the University Hospital has surgery.",
        "The on-call number was on the wall, and the doctor on the ward rang twice.",
        // What is published.
        "See Minto et al., Am J Surg 2012;203:26.",
        "DOI 10.1016/j.jacc.2018.03.001, PMID 29544612.",
    ];
    let rows: Vec<(&str, &[Kind])> = PROSE.iter().map(|text| (*text, &[][..])).collect();
    hold(&rows);
}

#[test]
fn identifiers_are_found_in_the_forms_in_which_people_type_them() {
    hold(&[
        // Names.
        ("asked Will to hold the wire", &[Name]),
        ("Dr. J. van den Berg was on call", &[Name]),
        ("the operator (Quenby) and fellow Imogen Marlow", &[Name, Name]),
        ("his wife, Imogen, and their son Tom were told", &[Name, Name]),
        ("Grace said that the pressure was damped", &[Name]),
        ("Mr T asked again", &[Name]),
        ("The guide slipped while Marlow wired the branch.", &[Name]),
        ("Tolland was told before the second run.", &[Name]),
        ("J.R. Marlow scrubbed", &[Name]),
        ("handed over to Mr O’Neill-Tolland", &[Name]),
        // Initials.
        ("operator: KO", &[Initials]),
        ("72M, seen by K.O.", &[Initials]),
        // Days and times.
        ("patient John Smith, DOB 04.05.1931", &[Name, Date]),
        ("Tolland came on the 14th.", &[Name, Date]),
        ("March 3rd, 2024; Sept 2023; 03/2024; 4-Mar-24", &[Date, Date, Date, Date]),
        ("on Christmas Eve", &[Date]),
        ("admitted 12/03, 1405 hrs, left at 9:05", &[Date, ClockTime, ClockTime]),
        ("came on a Friday at 2 pm", &[Weekday, ClockTime]),
        // Ages.
        ("in her nineties", &[AgeAbove89]),
        ("a man of 93", &[AgeAbove89]),
        ("91F with NSTEMI", &[AgeAbove89]),
        ("aged 97 years", &[AgeAbove89]),
        ("a ninety-two-year-old", &[AgeAbove89]),
        ("a ninety-years-old woman", &[AgeAbove89]),
        ("101 y/o", &[AgeAbove89]),
        // Places.
        ("transferred from Eastmere by road", &[Location]),
        ("lives at 7 Mill Street, ZZ9 9ZZ", &[Address]),
        ("St Mary's Hospital and the University Hospital of Eastmere", &[Hospital, Hospital]),
        ("Room 3, Lab 2", &[Location]),
        // Numbers.
        ("Hosp no: A123456", &[RecordNumber]),
        ("SSN 078-05-1120", &[RecordNumber]),
        ("see 943 476 5919 in the list", &[RecordNumber]),
        ("pt 44719023 was moved", &[RecordNumber]),
        ("Accession number 20240304-17", &[Accession]),
        ("series 1.2.840.113619.2.55.3.604688119.868", &[Accession]),
        ("Serial: 00A-77-3391, batch B2209", &[DeviceIdentifier, DeviceIdentifier]),
        ("fax: 0161 496 0001, ext. 4417", &[Phone]),
        ("555-010-2233", &[Phone]),
        ("from fe80::1ff:fe23:4567:890a", &[IpAddress]),
        ("www.intranet.example", &[Url]),
    ]);
}

/// A name among the words of the trade is what the eye passes over.
#[test]
fn an_eponym_with_a_title_is_a_person() {
    hold(&[
        ("Dr Ellis saw the Ellis III perforation", &[Name]),
        ("Mrs Allen had a normal Allen test", &[Name]),
    ]);
}

#[test]
fn what_may_well_be_something_else_is_low() {
    for text in
        ["at 14:05", "on Friday", "in March the rota changed", "while Marlow wired the branch", "Room 3"]
    {
        let found = suspect(text);
        assert!(
            !found.is_empty() && found.iter().all(|s| s.confidence == Confidence::Low),
            "{text}: {found:?}"
        );
    }
}
