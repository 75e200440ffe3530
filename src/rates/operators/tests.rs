use super::*;
use crate::rates::counts::ByMonth;
use crate::rates::samples::{month, period};
use crate::stats::proportion::Count;

fn pseudonym(text: &str) -> Pseudonym {
    text.parse().unwrap()
}

fn by_month(counts: &[(&str, u32)]) -> ByMonth {
    counts.iter().map(|(at, number)| (month(at), *number)).collect()
}

/// An operator with so many events among so many procedures in January 2025.
fn one(name: &str, events: u32, procedures: u32) -> OperatorTally {
    months(name, &[("2025-01", events)], &[("2025-01", procedures)])
}

fn months(name: &str, events: &[(&str, u32)], procedures: &[(&str, u32)]) -> OperatorTally {
    let period = period("2025-01", "2025-12");
    OperatorTally::of(pseudonym(name), period, &by_month(events), &by_month(procedures))
}

fn compared(tallies: Vec<OperatorTally>) -> Compared {
    Compared::of(tallies, FewestByOperator::USUAL)
}

fn names(compared: &Compared) -> Vec<&str> {
    compared.shown.iter().map(|one| one.pseudonym.as_str()).collect()
}

#[test]
fn a_pseudonym_is_short_and_plain() {
    for (typed, kept) in [("Blue 4", "Blue 4"), ("  K-7 ", "K-7"), ("a   b", "a b"), ("Ä9", "Ä9"), ("7", "7")]
    {
        assert_eq!(pseudonym(typed).as_str(), kept);
    }
    for (typed, why) in [
        ("", PseudonymError::Empty),
        ("  - ", PseudonymError::Empty),
        ("Blue_4", PseudonymError::OtherCharacters),
        ("A.B.", PseudonymError::OtherCharacters),
        ("<script>alert(1)</script>", PseudonymError::OtherCharacters),
        ("\u{202e}Blue", PseudonymError::OtherCharacters),
        ("***", PseudonymError::OtherCharacters),
        ("abcdefghijklmnopqrstuvwxy", PseudonymError::TooLong),
        ("Dr Blue", PseudonymError::Title),
        ("Dr. Blue", PseudonymError::Title),
        ("blue, M.D., PhD", PseudonymError::Title),
        ("Frau Blau", PseudonymError::Title),
    ] {
        assert_eq!(typed.parse::<Pseudonym>(), Err(why), "{typed}");
    }
    assert!("Drum 4".parse::<Pseudonym>().is_ok(), "a word that begins as a title does");
}

#[test]
fn what_reads_as_a_name_is_noticed() {
    assert!(pseudonym("Anna Meyer").may_be_a_name());
    for plain in ["Blue 4", "Blue", "K-7", "4 4"] {
        assert!(!pseudonym(plain).may_be_a_name(), "{plain}");
    }
    assert!(pseudonym("meyer 4").has_a_word_of("Anna Meyer"));
    assert!(!pseudonym("Blue 4").has_a_word_of("Anna Meyer"));
    assert!(!pseudonym("A 4").has_a_word_of("A Meyer"), "a single letter tells nobody");
    assert!(pseudonym("blue 4").is_like(&pseudonym("Blue 4")));
}

#[test]
fn pseudonyms_are_in_the_order_of_their_letters_and_of_the_number_at_their_end() {
    let mut names = ["Blue 10", "amber", "Blue 2", "Blue", "K-7"].map(pseudonym);
    names.sort();
    assert_eq!(names.map(|name| name.to_string()), ["amber", "Blue", "Blue 2", "Blue 10", "K-7"]);
}

#[test]
fn operators_are_off_and_fifty_procedures_are_the_fewest_where_nobody_said_otherwise() {
    let usual = OperatorSettings::default();
    assert!(!usual.is_on());
    assert_eq!("50".parse(), Ok(usual.fewest));
    for bad in ["19", "0", "", "10001", "x", "50.5", "-50"] {
        assert!(bad.parse::<FewestByOperator>().is_err(), "{bad}");
    }
}

#[test]
fn who_has_too_few_procedures_is_counted_and_nothing_else() {
    let found =
        compared(vec![one("Blue 10", 1, 60), one("Red", 3, 49), one("Blue 2", 0, 50), one("Away", 0, 0)]);
    assert_eq!(names(&found), ["Blue 2", "Blue 10"]);
    assert_eq!(found.hidden, 1, "who did nothing is not even hidden");
    assert_eq!(found.hidden_in_words().unwrap(), "1 operator with fewer than 50 procedures is not shown.");
    assert!(found.notes.is_empty());
    let all = compared(vec![one("Blue 2", 0, 50)]);
    assert_eq!(all.hidden_in_words(), None);
}

#[test]
fn a_month_without_a_count_is_left_out_and_named_only_where_a_case_is() {
    let found = compared(vec![months(
        "Blue 2",
        &[("2025-01", 1), ("2025-03", 2), ("2025-04", 1)],
        &[("2025-01", 40), ("2025-02", 30)],
    )]);
    assert_eq!(found.shown[0].count, Count::new(1, 70).unwrap());
    assert_eq!(
        found.notes,
        ["Blue 2: no procedures were counted in March to April 2025, with 3 events: left out, and no zero."]
    );
}

#[test]
fn more_cases_than_procedures_name_the_place() {
    let found = compared(vec![
        months("Blue 2", &[("2025-02", 3)], &[("2025-01", 60), ("2025-02", 2)]),
        months("Red", &[("2025-05", 3)], &[("2025-05", 2)]),
        months("Green", &[("2025-06", 1)], &[]),
    ]);
    assert!(found.shown.is_empty());
    assert_eq!(found.hidden, 2);
    assert_eq!(
        found.notes,
        [
            "Blue 2 is left out: more events than procedures at risk in February 2025 (3 events, 2 procedures). Put the \
             numbers right to see this operator among the others.",
            "Among those who are not shown somebody has more cases than procedures in May 2025. One of the two numbers is \
             wrong.",
            "1 operator who is not shown has cases in months without a count of procedures.",
        ]
    );
    let said = found.notes.join(" ");
    assert!(!said.contains("Red") && !said.contains("Green"), "{said}");
}

fn alike() -> Vec<OperatorTally> {
    vec![one("Blue", 8, 400), one("Green", 4, 200), one("Red", 2, 100), one("Amber", 1, 49)]
}

#[test]
fn operators_who_are_alike_lie_within_the_limits_at_the_rate_of_all() {
    let funnel = Funnel::of(&compared(alike())).unwrap();
    assert_eq!(funnel.pooled, Count::new(14, 700).unwrap(), "who is hidden is in no total");
    assert_eq!(funnel.finding(), "No operator lies outside the 99.8 % limits");
    assert_eq!(funnel.counted(), "14 events in 700 procedures of 3 operators, 20.0 per 1,000");
    assert!(funnel.units.iter().all(|unit| unit.standing == Standing::Within));
    assert!(funnel.units.iter().all(|unit| (unit.shrunken.rate - 0.02).abs() < 1e-12));
    assert!(funnel.shrunken_in_words().contains("no difference between the operators beyond chance"));
    let spread = funnel.spread_in_words();
    assert!(spread.contains("no more than chance explains (mean z² 0.0, p 1.000)"), "{spread}");
    assert!(spread.ends_with("2 of them expect fewer than five events, so this is rough."), "{spread}");
}

#[test]
fn who_lies_outside_is_marked_and_the_finding_names_nobody() {
    let tallies = vec![one("Blue", 4, 400), one("Green", 2, 300), one("Red", 24, 300), one("White", 0, 500)];
    let funnel = Funnel::of(&compared(tallies)).unwrap();
    let standings: Vec<Standing> = funnel.units.iter().map(|unit| unit.standing).collect();
    assert_eq!(standings[2], Standing::AboveOuter, "{standings:?}");
    assert_eq!(standings[3], Standing::BelowOuter, "{standings:?}");
    let finding = funnel.finding();
    assert_eq!(finding, "2 of 4 operators lie outside the 99.8 % limits: look at the cases first");
    for unit in &funnel.units {
        assert!(!finding.contains(unit.pseudonym.as_str()));
        let (own, drawn) = (unit.count.proportion(), unit.shrunken.rate);
        let pooled = funnel.pooled.proportion();
        assert!((own - pooled).abs() > (drawn - pooled).abs(), "{unit:?} is drawn towards the others");
        assert!(unit.shrunken.interval.contains(drawn));
    }
    let spread = funnel.spread_in_words();
    assert!(
        spread.contains("more than chance explains (mean z²") && spread.contains("p below 0.001"),
        "{spread}"
    );
    assert!(funnel.shrunken_in_words().contains("From 4 operators how much they differ is itself uncertain"));
}

#[test]
fn the_curves_reach_from_the_fewest_to_beyond_the_most_and_narrow() {
    let funnel = Funnel::of(&compared(alike())).unwrap();
    assert_eq!(funnel.curves.iter().map(|curve| curve.label).collect::<Vec<_>>(), ["95 %", "99.8 %"]);
    let [inner, outer] = [&funnel.curves[0].points, &funnel.curves[1].points];
    for points in [inner, outer] {
        assert_eq!(points.first().unwrap().0, 50);
        assert_eq!(points.last().unwrap().0, 1_000);
        assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0));
        assert!(
            points.iter().any(|point| point.0 == 400),
            "an operator's own number is a point of the curve"
        );
        let (first, last) = (points[0], points[points.len() - 1]);
        assert!(first.2 - first.1 > last.2 - last.1);
    }
    assert!(inner.iter().zip(outer).all(|(inner, outer)| outer.1 <= inner.1 && inner.2 <= outer.2));
}

#[test]
fn nobody_is_held_against_fewer_than_two_others_and_nothing_comes_of_no_event() {
    let two = compared(vec![one("Blue", 8, 400), one("Green", 4, 200), one("Red", 2, 49)]);
    let why = Funnel::of(&two).unwrap_err();
    assert!(why.to_string().starts_with("Fewer than 3 operators have 50 procedures or more"), "{why}");
    let none = compared(vec![one("Blue", 0, 400), one("Green", 0, 200), one("Red", 0, 1_000)]);
    let why = Funnel::of(&none).unwrap_err();
    assert_eq!(
        why.to_string(),
        "No event in 1,600 procedures of 3 operators: there is nothing to tell apart."
    );
    let every = compared(vec![one("Blue", 60, 60), one("Green", 70, 70), one("Red", 80, 80)]);
    assert!(matches!(Funnel::of(&every), Err(NoFunnel::Refused(_))));
}
