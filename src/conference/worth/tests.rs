//! The reasons for a case and the order that they give, over counts that need no database.

use super::*;
use crate::rates::ByMonth;

fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

fn candidate(number: i64, month: &str, mechanisms: &[&str]) -> Candidate {
    Candidate {
        code: CaseCode::new(2026, number).unwrap(),
        title: of("A case"),
        stage: Stage::Ready,
        month: of(month),
        harm: Some(Harm::Moderate),
        mechanisms: mechanisms.iter().map(|slug| of(slug)).collect(),
        open_question: false,
        judgements_differ: false,
    }
}

/// No-reflow in some months, shown last in May 2026.
struct House {
    counts: Counts,
    shown: BTreeMap<MechanismSlug, Month>,
    signals: BTreeMap<MechanismSlug, String>,
}

impl House {
    fn new(months: &[(&str, u32)]) -> Self {
        let months: ByMonth = months.iter().map(|(month, cases)| (of(month), *cases)).collect();
        let slug: MechanismSlug = of("flow-no-reflow");
        Self {
            counts: Counts::of(&crate::rates::Subject::Mechanism(slug.clone()), months),
            shown: BTreeMap::from([(slug, of("2026-05"))]),
            signals: BTreeMap::new(),
        }
    }

    fn around(&self) -> Surroundings<'_> {
        Surroundings {
            today: of("2026-06"),
            counts: &self.counts,
            shown: &self.shown,
            signals: &self.signals,
        }
    }

    fn says(&self, case: &Candidate) -> Vec<String> {
        reasons(case, &self.around()).iter().map(|reason| reason.in_words(ToString::to_string)).collect()
    }
}

#[test]
fn a_case_that_nothing_speaks_for_has_no_reason() {
    let house = House::new(&[("2026-05", 1)]);
    assert_eq!(house.says(&candidate(1, "2026-05", &["flow-no-reflow"])), Vec::<String>::new());
    // A case without a mechanism yet has none to be shown.
    assert_eq!(house.says(&candidate(1, "2026-05", &[])), Vec::<String>::new());
}

#[test]
fn death_and_severe_harm_are_reasons_and_less_is_none() {
    let house = House::new(&[("2026-05", 1)]);
    let case = candidate(1, "2026-05", &["flow-no-reflow"]);
    for (harm, says) in [
        (Some(Harm::Death), Some("The patient died.")),
        (Some(Harm::Severe), Some("The harm was severe.")),
        (Some(Harm::Moderate), None),
        (Some(Harm::Mild), None),
        (Some(Harm::None), None),
        (None, None),
    ] {
        let case = Candidate { harm, ..case.clone() };
        assert_eq!(house.says(&case), says.into_iter().collect::<Vec<_>>(), "{harm:?}");
    }
}

#[test]
fn a_mechanism_is_seen_again_within_six_months_before_or_after_and_not_beyond() {
    let case = candidate(1, "2026-01", &["flow-no-reflow"]);
    for (months, others) in [
        (&[("2026-01", 1)][..], None),
        (&[("2026-01", 2)], Some(1)),
        (&[("2025-07", 1), ("2026-01", 1)], Some(1)),
        (&[("2025-06", 5), ("2026-01", 1)], None),
        (&[("2026-01", 1), ("2026-06", 2)], Some(2)),
        (&[("2026-01", 1), ("2026-08", 2)], None),
    ] {
        let found =
            reasons(&case, &House::new(months).around()).into_iter().find_map(|reason| match reason {
                Reason::Again { others, months, .. } => {
                    assert_eq!(months.to_string(), "July 2025 to July 2026");
                    Some(others)
                }
                _ => None,
            });
        assert_eq!(found, others, "{months:?}");
    }
    let says = House::new(&[("2026-01", 1), ("2026-02", 2)]).says(&case);
    assert_eq!(says[0], "flow-no-reflow again: two other cases within six months have it.");
}

#[test]
fn a_mechanism_was_not_shown_for_long_from_twelve_months_on_or_when_it_never_was() {
    let mut house = House::new(&[("2026-05", 1)]);
    let case = candidate(1, "2026-05", &["flow-no-reflow"]);
    for (last, says) in [
        ("2025-07", None),
        ("2025-06", Some("flow-no-reflow was not shown for 12 months, since June 2025.")),
        ("2020-06", Some("flow-no-reflow was not shown for 72 months, since June 2020.")),
    ] {
        house.shown = BTreeMap::from([(of("flow-no-reflow"), of(last))]);
        assert_eq!(house.says(&case), says.into_iter().collect::<Vec<_>>());
    }
    house.shown.clear();
    assert_eq!(house.says(&case), ["flow-no-reflow was never shown."]);
}

#[test]
fn signals_questions_and_disagreement_and_a_long_wait_are_reasons() {
    let mut house = House::new(&[("2026-05", 1)]);
    house.signals.insert(of("flow-no-reflow"), "above its limit, March 2026".to_owned());
    let case = Candidate {
        open_question: true,
        judgements_differ: true,
        ..candidate(1, "2026-03", &["flow-no-reflow"])
    };
    assert_eq!(
        house.says(&case),
        [
            "A signal in the rates of flow-no-reflow: above its limit, March 2026.",
            "It holds a question that nobody could answer.",
            "Its reviewers judge it differently.",
            "It waits: the procedure was 3 months ago.",
        ]
    );
}

#[test]
fn more_kinds_that_weigh_more_stand_first_then_more_that_weigh_less_then_the_older() {
    let mut house = House::new(&[("2026-05", 1)]);
    house.signals.insert(of("wire-subintimal"), "a lasting rise, 2026".to_owned());
    house.shown.insert(of("wire-subintimal"), of("2026-05"));
    let dead = |case: Candidate| Candidate { harm: Some(Harm::Death), ..case };
    let cases = vec![
        candidate(1, "2026-05", &["flow-no-reflow"]),
        candidate(2, "2020-01", &["air-coronary"]),
        candidate(3, "2026-04", &["flow-no-reflow"]),
        dead(candidate(4, "2026-05", &["flow-no-reflow"])),
        dead(candidate(5, "2026-05", &["wire-subintimal"])),
        dead(candidate(6, "2026-01", &["perforation-wire"])),
        candidate(7, "2026-04", &["flow-no-reflow"]),
    ];
    let order: Vec<i64> =
        weigh(cases, &house.around()).iter().map(|worth| worth.candidate.code.number()).collect();
    // 5: death and signal. 6: death, never shown and waits. 4: death. 2: never shown and waits. Then 3, 7
    // and 1 without a reason, the older first, of equal months the lower code.
    assert_eq!(order, [5, 6, 4, 2, 3, 7, 1]);
}

#[test]
fn reasons_of_one_kind_about_several_mechanisms_count_once() {
    let house = House::new(&[("2026-05", 3)]);
    let one = weigh(vec![candidate(1, "2026-05", &["air-coronary", "perforation-wire"])], &house.around());
    assert_eq!(one[0].reasons.len(), 2);
    assert_eq!((one[0].kinds(Weight::More), one[0].kinds(Weight::Less)), (0, 1));
    // Lesser reasons never outweigh one that weighs more.
    let two = weigh(
        vec![
            candidate(1, "2020-05", &["air-coronary", "perforation-wire"]),
            candidate(2, "2026-05", &["flow-no-reflow"]),
        ],
        &house.around(),
    );
    assert_eq!(two[0].candidate.code.number(), 2, "{two:?}");
}
