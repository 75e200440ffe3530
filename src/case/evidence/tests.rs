//! The record as facts.

mod laws;

use super::*;
use crate::case::{Case, CaseCode};
use crate::clinical::{Answer, Choices, assess_all};
use crate::quantity::Offset;

fn stored(lists: &str) -> StoredCase {
    let text = format!("format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{lists}");
    let case: Case = toml::from_str(&text).unwrap();
    StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap())
}

fn facts_of(lists: &str) -> Facts {
    let case = stored(lists);
    let reading = Reading::of(&case.events, &case.complications);
    facts(&case, &reading, &Vocabulary::default())
}

fn flow(key: &str, at: &str, segment: &str, grade: u8) -> String {
    format!(
        "[[events]]\nkey = \"{key}\"\nat = \"{at}\"\nkind = \"flow\"\nsegment = \"{segment}\"\nflow = {grade}\n"
    )
}

/// The codes of the findings of one definition.
fn codes(facts: &Facts, definition: &str) -> Vec<Option<String>> {
    assess_all(facts, &Choices::default())
        .iter()
        .filter(|finding| finding.definition == definition)
        .map(|finding| finding.code().map(str::to_owned))
        .collect()
}

#[test]
fn an_empty_record_gives_no_facts() {
    assert_eq!(facts_of(""), Facts::default());
}

#[test]
fn a_treated_vessel_that_closes_and_comes_back_is_a_transient_closure() {
    let lists = [
        "[[lesions]]\nsegment = \"lad-mid\"\n".to_owned(),
        flow("a", "+0:00", "lad-mid", 3),
        flow("b", "+12:00", "lad-distal", 0),
        flow("c", "+20:00", "lad-mid", 2),
        flow("d", "+27:00", "lad-mid", 3),
    ]
    .concat();
    let facts = facts_of(&lists);
    let [row] = facts.vessels.as_slice() else { panic!("{:?}", facts.vessels) };
    assert_eq!((row.subject.label.as_str(), row.subject.origin.as_deref()), ("LAD", Some("event-2")));
    assert_eq!(codes(&facts, "vessel-closure"), [Some("transient".to_owned())]);
    // Without a lesion nobody says that the vessel was being treated.
    let untreated = lists.replace("[[lesions]]\nsegment = \"lad-mid\"\n", "");
    assert_eq!(codes(&facts_of(&untreated), "vessel-closure"), [None]);
}

#[test]
fn flow_before_is_that_before_the_first_harm_in_the_vessel() {
    let lists = [
        flow("a", "+0:00", "lad-mid", 1),
        flow("b", "+5:00", "lad-mid", 3),
        flow("c", "+12:00", "lad-mid", 0),
        "[[complications]]\nkey = \"x\"\nmechanism = \"flow-thrombus\"\nsegment = \"lad-mid\"\nbegan = \"c\"\n".to_owned(),
    ]
    .concat();
    let vessel = &facts_of(&lists).vessels[0].facts;
    assert_eq!(vessel.before.map(|flow| flow.grade()), Some(3));
    assert_eq!(vessel.worst.map(|flow| flow.grade()), Some(0));
    assert_eq!(vessel.leaving.map(|flow| flow.grade()), Some(0));
}

#[test]
fn one_look_at_a_vessel_does_not_say_how_it_was_on_leaving() {
    let vessel = &facts_of(&flow("a", "+0:00", "rca-mid", 2)).vessels[0].facts;
    assert_eq!(vessel.leaving, None);
}

#[test]
fn a_side_branch_that_was_lost_is_one_by_its_worst_flow_since() {
    let lists = [
        flow("a", "+0:00", "diagonal-1", 3),
        flow("b", "+9:00", "diagonal-1", 0),
        flow("c", "+30:00", "diagonal-1", 3),
    ]
    .concat();
    assert_eq!(codes(&facts_of(&lists), "side-branch-occlusion"), [Some("r2".to_owned())]);
}

#[test]
fn the_procedure_runs_from_the_first_access_to_the_last_event_before_a_long_pause() {
    let lists = "[[events]]\nkey = \"w\"\nat = \"-25:00\"\nkind = \"decision\"\n\
                 [[events]]\nkey = \"a\"\nat = \"-20:00\"\nkind = \"access\"\n\
                 [[events]]\nkey = \"b\"\nat = \"+40:00\"\nkind = \"outcome\"\n\
                 [[events]]\nkey = \"c\"\nat = \"+6:00:00\"\nkind = \"symptom\"\n";
    let procedure = facts_of(lists).procedure;
    assert_eq!(procedure.started.map(|at| at.to_string()).as_deref(), Some("−20:00"));
    assert_eq!(procedure.ended.map(|at| at.to_string()).as_deref(), Some("+40:00"));
    // What a person says stands before what follows.
    let said = format!(
        "{lists}[[observations]]\nfamily = \"procedure\"\n[observations.answers]\nended = \"+55:00\"\n"
    );
    assert_eq!(facts_of(&said).procedure.ended.map(|at| at.to_string()).as_deref(), Some("+55:00"));
}

#[test]
fn a_normal_pressure_on_the_timeline_says_nothing_of_the_lowest() {
    let event = |pressure: &str| {
        facts_of(&format!(
            "[[events]]\nkey = \"a\"\nat = \"+0:00\"\nkind = \"haemodynamics\"\npressure = \"{pressure}\"\nheart_rate = 72\n"
        ))
    };
    assert_eq!(event("118/70").circulation.systolic, None);
    assert_eq!(event("90/60").circulation.systolic, None);
    assert_eq!(event("89/50").circulation.systolic.map(|low| low.to_string()).as_deref(), Some("89 mmHg"));
    assert_eq!(event("89/50").circulation.pulse, None);
    assert_eq!(event("89/50").rhythm.slowest, None);
}

#[test]
fn the_highest_dose_so_far_is_all_of_it() {
    let lists = "[[events]]\nkey = \"a\"\nat = \"+0:00\"\nkind = \"imaging\"\ncontrast = \"40 mL\"\nair_kerma = \"900 mGy\"\n\
                 [[events]]\nkey = \"b\"\nat = \"+9:00\"\nkind = \"imaging\"\ncontrast = \"120 mL\"\nair_kerma = \"1.2 Gy\"\n";
    let facts = facts_of(lists);
    assert_eq!(facts.kidney.contrast.map(|all| all.to_string()).as_deref(), Some("120 mL"));
    assert_eq!(facts.radiation.air_kerma.map(|all| all.to_string()).as_deref(), Some("1.2 Gy"));
}

#[test]
fn death_follows_from_harm_to_that_degree_and_survival_from_nothing() {
    assert_eq!(facts_of("[outcome]\nharm = \"death\"\n").outcome.death, Answer::Yes);
    assert_eq!(facts_of("[outcome]\nharm = \"severe\"\n").outcome.death, Answer::Unknown);
}

#[test]
fn an_observation_of_a_complication_joins_what_the_complication_says() {
    let lists = "[[complications]]\nkey = \"x\"\nmechanism = \"balloon-perforation\"\nperforation = \"II\"\n\
                 [[observations]]\nfamily = \"perforation\"\ncomplication = \"x\"\n[observations.answers]\njet = \"no\"\n\
                 [[observations]]\nfamily = \"perforation\"\nsegment = \"rca-mid\"\n[observations.answers]\njet = \"yes\"\n";
    let facts = facts_of(lists);
    assert_eq!(facts.perforations.len(), 2);
    assert_eq!(facts.perforations[0].facts.jet, Answer::No);
    assert!(facts.perforations[0].facts.judged.is_some());
    assert_eq!(facts.perforations[1].subject.label, "RCA mid");
}

#[test]
fn laboratory_values_go_in_with_their_times_and_lead_back_to_their_row() {
    let lists = "[[labs]]\ntest = \"creatinine\"\ndrawn = \"-1:00:00\"\nreturned = \"-20:00\"\nvalue = \"1.2 mg/dL\"\n\
                 [[labs]]\ntest = \"troponin\"\ndrawn = \"+6:00:00\"\nvalue = \"70 ng/L\"\nlimit = \"14 ng/L\"\n";
    let labs = facts_of(lists).labs;
    assert_eq!(labs.creatinine[0].origin.as_deref(), Some("lab-1"));
    assert_eq!(labs.creatinine[0].returned.map(Offset::seconds), Some(-1_200));
    assert_eq!(labs.troponin[0].value.to_string(), "70 ng/L (limit 14 ng/L)");
}

#[test]
fn every_mechanism_that_answers_an_input_is_in_the_shipped_tree_and_answers_it() {
    for leaf in rows::leaves() {
        let known = crate::vocabulary::mechanisms().leaf.iter().any(|one| one.slug.as_str() == leaf);
        assert!(known, "{leaf}");
        let facts = facts_of(&format!("[[complications]]\nkey = \"x\"\nmechanism = \"{leaf}\"\n"));
        assert!(!facts.recorded().is_empty(), "{leaf}");
    }
}
