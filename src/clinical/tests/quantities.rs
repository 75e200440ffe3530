//! Numbers and units: typed forms, exact comparison, conversions both ways.

use proptest::prelude::*;

use crate::clinical::quantities::*;

fn refused<T>(result: Result<T, crate::quantity::QuantityError>) -> String {
    match result {
        Ok(_) => panic!("should be refused"),
        Err(problem) => problem.to_string(),
    }
}

#[test]
fn a_number_reads_with_a_point_or_a_comma_and_with_spaces_between_thousands() {
    for (text, millionths) in [
        ("1.2", 1_200_000),
        ("1,2", 1_200_000),
        (" 12 ", 12_000_000),
        ("0,125", 125_000),
        ("50 000", 50_000_000_000),
        ("50\u{202f}000,5", 50_000_500_000),
        ("1.234", 1_234_000),
        ("0.000001", 1),
        ("+3", 3_000_000),
    ] {
        assert_eq!(Decimal::parse_typed(text).unwrap().millionths(), millionths, "{text}");
    }
}

#[test]
fn what_is_no_number_or_could_be_two_is_refused() {
    for text in
        ["", "x", "1.2.3", "1,2,3", "-1", "−1", "1e3", "1.", ".5", "1 2", "1 2345", "NaN", "1.2345678"]
    {
        assert!(Decimal::parse_typed(text).is_err(), "{text:?}");
    }
    assert!(refused(Decimal::parse_typed("1,234")).contains("Write 1.234 or 1234"));
    assert!(refused(Decimal::parse_typed("<5")).contains("counts as 5"));
    assert!(refused(Decimal::parse_typed("99999999999")).contains("larger than"));
}

#[test]
fn a_number_is_written_with_as_few_digits_as_say_it() {
    let shown = |text: &str| Decimal::parse_typed(text).unwrap().to_string();
    assert_eq!((shown("1.20"), shown("300"), shown("0.05")), ("1.2".into(), "300".into(), "0.05".into()));
    let third = Decimal::quotient(100, 3).unwrap();
    assert_eq!((third.with_decimals(1), third.rounded(2).to_string()), ("33.3".into(), "33.33".into()));
    assert_eq!(Decimal::whole(20).with_decimals(1), "20.0");
    assert_eq!(Decimal::thousandths(2_500).with_decimals(0), "3");
    assert_eq!(Decimal::thousandths(-1_500).to_string(), "−1.5");
    assert_eq!(Decimal::quotient(1, 0), None);
}

#[test]
fn a_number_is_said_aloud_with_few_digits_and_never_as_a_limit_that_it_does_not_meet() {
    let limits = [Decimal::whole(5), Decimal::whole(35)];
    let said = |text: &str| Decimal::parse_typed(text).unwrap().spoken(&limits).to_string();
    for (typed, aloud) in [
        ("9.357142", "about 9.4"),
        ("28.714285", "about 28.7"),
        ("3.02857", "about 3"),
        ("14", "14"),
        ("1.44", "1.44"),
        ("5", "5"),
        ("5.02", "5.02"),
        ("5.014", "about 5.01"),
        ("34.98765", "about 34.99"),
    ] {
        assert_eq!(said(typed), aloud, "{typed}");
    }
    let shown = |text: &str| Decimal::parse_typed(text).unwrap().with_decimals_apart(1, &limits);
    assert_eq!(
        (shown("21.176"), shown("34.96"), shown("5.0")),
        ("21.2".into(), "34.96".into(), "5.0".into())
    );
}

#[test]
fn a_change_is_said_in_one_unit() {
    let change = |from: &str, to: &str| {
        let (from, to): (Creatinine, Creatinine) = (from.parse().unwrap(), to.parse().unwrap());
        from.from_to(to).to_string()
    };
    assert_eq!(change("93 µmol/L", "97 µmol/L"), "from 93 µmol/L to 97 µmol/L");
    assert_eq!(change("1.0 mg/dL", "1.2 mg/dL"), "from 1 mg/dL to 1.2 mg/dL");
    assert_eq!(change("0.85 mg/dL", "79 µmol/L"), "from 75.2 µmol/L (entered as 0.85 mg/dL) to 79 µmol/L");
    assert_eq!(change("79 µmol/L", "1 mg/dL"), "from 79 µmol/L to 88.4 µmol/L (entered as 1 mg/dL)");
}

#[test]
fn a_difference_of_decimals_is_exact() {
    let number = |text: &str| Decimal::parse_typed(text).unwrap();
    assert_eq!(number("1.2").minus(number("0.9")), number("0.3"));
    assert_eq!(number("4.0").minus(number("3.7")), number("0.3"));
}

#[test]
fn a_unit_reads_in_the_spellings_that_people_use() {
    for text in ["88.42 µmol/L", "88.42 μmol/L", "88,42 umol/l", "88.42µmol/l"] {
        assert_eq!(text.parse::<Creatinine>().unwrap().unit(), CreatinineUnit::MicromolPerL, "{text}");
    }
    for text in ["500 Gy·cm²", "500 Gy.cm2", "500 Gycm2", "500 gy*cm^2"] {
        assert_eq!(text.parse::<KermaArea>().unwrap().unit(), KermaAreaUnit::GyCm2, "{text}");
    }
    for text in ["5 µg/L", "5 ug/L", "5 mcg/L"] {
        let value: Measured<TroponinUnit> = text.parse().unwrap();
        assert_eq!(value.unit(), TroponinUnit::MicrogPerL, "{text}");
    }
    assert_eq!("pH 7.21".parse::<Acidity>().unwrap().to_string(), "7.21");
    assert_eq!("250".parse::<Platelets>().unwrap().to_string(), "250 ×10⁹/L");
    assert_eq!("250 x10^9/L".parse::<Platelets>().unwrap().to_string(), "250 ×10⁹/L");
}

#[test]
fn a_number_without_a_unit_takes_the_usual_one_or_asks_for_it() {
    assert!(refused("1.2".parse::<Creatinine>()).contains("Say the unit. Creatinine is in µmol/L or mg/dL."));
    let typed = |text: &str| Creatinine::parse_in(text, CreatinineUnit::MgPerDl).unwrap().to_string();
    assert_eq!(typed("1,2"), "1.2 mg/dL");
    assert_eq!(typed("106 µmol/L"), "106 µmol/L");
    assert_eq!("180".parse::<Volume>().unwrap().to_string(), "180 mL");
    assert!(refused("1.2 mg".parse::<Creatinine>()).contains("“mg” is not a unit of this value"));
}

#[test]
fn a_value_outside_what_is_believed_is_refused_with_a_hint() {
    assert!(
        refused("106 mg/dL".parse::<Creatinine>())
            .contains("Creatinine is 0.1 to 30 mg/dL; 106 is outside that. Check the unit.")
    );
    assert!(refused("14 g/L".parse::<Haemoglobin>()).contains("Check the unit"));
    assert!(refused("101 %".parse::<Percent>()).contains("0 to 100"));
    assert!(refused("1.5".parse::<Count>()).contains("whole number"));
    assert!(refused("60.5".parse::<Age>()).contains("whole number"));
}

/// Value, unit, the same value in another unit.
fn turns<U: Unit>(rows: &[(&str, &str)]) {
    for (one, other) in rows {
        let (one, other): (Measured<U>, Measured<U>) = (one.parse().unwrap(), other.parse().unwrap());
        assert_eq!(one.to(other.unit()).unwrap(), other, "{one} to {other}");
        assert_eq!(other.to(one.unit()).unwrap(), one, "{other} to {one}");
        assert_eq!(one.compare(other), Some(std::cmp::Ordering::Equal));
    }
}

#[test]
fn units_turn_into_each_other_both_ways() {
    // µmol/L = 88.42 × mg/dL: 88.42 is 1.000, 353.68 is 4.000.
    turns::<CreatinineUnit>(&[("88.42 µmol/L", "1 mg/dL"), ("353.68 µmol/L", "4 mg/dL")]);
    turns::<HaemoglobinUnit>(&[
        ("140 g/L", "14 g/dL"),
        ("10 mmol/L", "16.11 g/dL"),
        ("10 mmol/L", "161.1 g/L"),
    ]);
    turns::<TroponinUnit>(&[("14 ng/L", "14 pg/mL"), ("14 ng/L", "0.014 ng/mL"), ("0.014 µg/L", "14 ng/L")]);
    turns::<DoseUnit>(&[("1 Gy", "1000 mGy"), ("1 Gy", "100 rad")]);
    turns::<KermaAreaUnit>(&[
        ("1 Gy·cm²", "10 dGy·cm²"),
        ("1 Gy·cm²", "100 cGy·cm²"),
        ("1 Gy·cm²", "100 µGy·m²"),
        ("1 Gy·cm²", "1000 mGy·cm²"),
        ("1 Gy·cm²", "0.0001 Gy·m²"),
    ]);
    turns::<SpanUnit>(&[("24 h", "1 d"), ("1 y", "365 d"), ("90 min", "1.5 h")]);
    let hundred: Creatinine = "100 µmol/L".parse().unwrap();
    assert_eq!(hundred.to(CreatinineUnit::MgPerDl).unwrap().value().with_decimals(3), "1.131");
}

#[test]
fn ck_mb_by_mass_does_not_turn_into_activity() {
    let mass: Measured<CkMbUnit> = "5 ng/mL".parse().unwrap();
    let activity: Measured<CkMbUnit> = "25 U/L".parse().unwrap();
    assert_eq!(mass.to(CkMbUnit::UPerL), None);
    assert_eq!(mass.compare(activity), None);
    assert!(refused(CkMb::new(mass, activity)).contains("do not turn into each other"));
}

#[test]
fn a_biomarker_reads_with_its_limit_and_needs_one() {
    let value: Troponin = "70 ng/L (limit 14 ng/L)".parse().unwrap();
    assert_eq!(value.to_string(), "70 ng/L (limit 14 ng/L)");
    assert!(value.is_at_least(Decimal::whole(5)) && !value.is_above(Decimal::whole(5)));
    assert_eq!(value.times_in_words().to_string(), "5 times");
    let other: Troponin = "71 ng/L (limit 36 ng/L)".parse().unwrap();
    assert_eq!(other.times_in_words().to_string(), "about 2 times");
    assert!(refused("70 ng/L".parse::<Troponin>()).contains("upper reference limit"));
    assert!(refused("70 ng/L (limit 0 ng/L)".parse::<Troponin>()).contains("above 0"));
}

#[test]
fn quantities_survive_json() {
    let value: KermaArea = "50 000 µGy·m²".parse().unwrap();
    let json = serde_json::to_string(&value).unwrap();
    assert_eq!(json, "\"50000 µGy·m²\"");
    assert_eq!(serde_json::from_str::<KermaArea>(&json).unwrap(), value);
    assert!(serde_json::from_str::<KermaArea>("\"50000\"").is_err());
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_and_never_breaks(text in ".{0,40}") {
        let _ = text.parse::<Creatinine>();
        let _ = text.parse::<Troponin>();
        let _ = text.parse::<Acidity>();
        let _ = Decimal::parse_typed(&text);
    }

    #[test]
    fn a_number_reads_back_from_what_is_written(millionths in 0_i64..1_000_000_000_000) {
        let number = Decimal::quotient(millionths.into(), Decimal::SCALE.into()).unwrap();
        prop_assert_eq!(number.millionths(), millionths);
        let text = number.to_string();
        // A decimal comma before exactly three digits could be a thousand, so a point is written.
        prop_assert_eq!(Decimal::parse_typed(&text).unwrap(), number);
    }

    #[test]
    fn a_value_turned_into_another_unit_and_back_is_the_same(thousandths in 100_i64..30_000) {
        let value = Creatinine::new(Decimal::thousandths(thousandths), CreatinineUnit::MgPerDl).unwrap();
        let there = value.to(CreatinineUnit::MicromolPerL).unwrap();
        prop_assert_eq!(there.to(CreatinineUnit::MgPerDl).unwrap(), value);
        prop_assert_eq!(there.compare(value), Some(std::cmp::Ordering::Equal));
    }
}
