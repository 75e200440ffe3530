use super::*;
use crate::vocabulary::Vocabulary;

fn facts(number: i64, month: &str, age: Option<i64>, segment: Option<Segment>) -> CaseFacts {
    CaseFacts {
        code: CaseCode::new(2026, number).unwrap(),
        month: month.parse().unwrap(),
        age: age.map(|age| Age::from_years(age).unwrap()),
        sex: Some(Sex::Female),
        mechanism: Some("wire-dissection".parse().unwrap()),
        segment,
        presentation: None,
        access: Some(Access::Ulnar),
        harm: None,
    }
}

fn shown(case: CaseFacts, fact: Fact) -> Vec<String> {
    let all = Combinations::of(vec![case], &Vocabulary::default()).unwrap();
    let ways = fact.ways().len();
    (0..ways)
        .map(|level| {
            let mut levels = all.records.as_recorded();
            levels.0[fact as usize] = level;
            all.records.shown(0, fact as usize, &levels).to_owned()
        })
        .collect()
}

#[test]
fn each_fact_is_told_from_as_recorded_to_hidden() {
    let case = |month: &str, age: i64| facts(1, month, Some(age), Some(Segment::LadMid));
    assert_eq!(
        shown(case("2026-08", 71), Fact::Month),
        ["August 2026", "2026, third quarter", "2026, second half", "2026", "any"]
    );
    assert_eq!(
        shown(case("2026-08", 71), Fact::Age),
        ["71 years", "70 to 74 years", "70 to 79 years", "60 to 79 years", "any"]
    );
    assert_eq!(shown(case("2026-08", 71), Fact::Place)[1], "LAD");
    assert_eq!(shown(case("2026-08", 71), Fact::Access), ["Ulnar", "Arm", "any"]);
    assert_eq!(shown(case("2026-08", 71), Fact::Presentation), ["not recorded", "any"]);
}

#[test]
fn the_ends_of_the_ages_keep_their_own_bands() {
    let age = |years: i64| shown(facts(1, "2026-08", Some(years), None), Fact::Age);
    assert_eq!(age(18)[1..4], ["18 to 19 years", "18 to 19 years", "18 to 39 years"]);
    assert_eq!(age(39)[1..4], ["35 to 39 years", "30 to 39 years", "18 to 39 years"]);
    assert_eq!(age(40)[3], "40 to 59 years");
    assert_eq!(age(89)[1..4], ["85 to 89 years", "80 to 89 years", "80 to 89 years"]);
    assert_eq!(age(97)[..4], ["90 or older", "90 or older", "90 or older", "90 or older"]);
}

#[test]
fn every_age_and_month_climbs_a_ladder() {
    let mut cases = Vec::new();
    for age in 18..=90 {
        let month = format!("20{:02}-{:02}", 20 + age % 7, age % 12 + 1);
        cases.push(facts(age, &month, Some(age), None));
    }
    cases.push(facts(99, "2026-01", None, None));
    assert!(Combinations::of(cases, &Vocabulary::default()).is_ok());
}

#[test]
fn a_case_is_told_in_words_as_generally_as_it_needs() {
    // Four in their seventies of one quarter, one far away.
    let mut cases: Vec<CaseFacts> =
        [("2026-01", 71), ("2026-02", 72), ("2026-03", 73), ("2026-03", 79), ("2021-05", 45)]
            .into_iter()
            .zip(1..)
            .map(|((month, age), number)| facts(number, month, Some(age), None))
            .collect();
    let all = Combinations::of(cases.clone(), &Vocabulary::default()).unwrap();
    let coarse = all.coarse(0, 4);
    assert_eq!(coarse.month.as_deref(), Some("2026, first quarter"));
    assert_eq!(coarse.age.as_deref(), Some("70 to 79 years"));
    assert_eq!((coarse.one_of, coarse.hides_age), (4, false));
    // The one far away reaches no more than all of them.
    let coarse = all.coarse(4, 5);
    assert_eq!(coarse, Coarse { month: None, age: None, hides_age: true, one_of: 5 });
    assert_eq!(all.coarse(4, 9).one_of, 5);
    cases[4].age = None;
    let all = Combinations::of(cases, &Vocabulary::default()).unwrap();
    assert!(!all.coarse(4, 5).hides_age);
}

#[test]
fn levels_are_said_in_words() {
    assert_eq!(levels_in_words(&Combinations::usual_levels()), "month, age, sex and mechanism");
    assert_eq!(
        levels_in_words(&Levels(vec![1, 2, 1, 2, 2, 1, 2])),
        "month (quarter) and age (bands of 10 years)"
    );
    assert_eq!(levels_in_words(&Levels(vec![4, 4, 1, 2, 2, 1, 2])), "nothing");
}
