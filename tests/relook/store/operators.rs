//! Operators in and out: pseudonyms, procedures, the operators of cases, and the counts by operator.

use relook::case::{self, Month, Stage};
use relook::rates::FewestByOperator;
use relook::rates::operators::{
    OperatorProcedures, OperatorSettings, OperatorTally, OperatorView, Pseudonym,
};
use relook::rates::store::operators as store;
use relook::rates::{Period, Subject};
use sqlx::SqliteConnection;

use super::{Store, insert, of};

fn period(from: &str, to: &str) -> Period {
    Period::new(of(from), of(to)).unwrap()
}

fn cell(month: &str, operator: i64, procedures: Option<u32>) -> OperatorProcedures {
    OperatorProcedures { month: of(month), operator, procedures }
}

async fn pseudonyms(conn: &mut SqliteConnection) -> Vec<(String, bool)> {
    let operators = store::list(conn).await.unwrap();
    operators.into_iter().map(|one| (one.pseudonym.to_string(), one.ended)).collect()
}

#[tokio::test]
async fn operators_are_off_until_somebody_turns_them_on_and_off_takes_nothing_away() {
    let held = Store::new().await;
    let mut conn = held.database.write().await.unwrap();
    assert_eq!(store::settings(&mut conn).await.unwrap(), OperatorSettings::default());
    assert!(!store::settings(&mut conn).await.unwrap().is_on());
    let on = OperatorSettings { view: OperatorView::On, fewest: of::<FewestByOperator>("80") };
    store::set_settings(&mut conn, &on).await.unwrap();
    assert_eq!(store::settings(&mut conn).await.unwrap(), on);
    let id = store::add(&mut conn, &of("Blue 4")).await.unwrap();
    store::set_procedures(&mut conn, &[cell("2025-01", id, Some(30))]).await.unwrap();
    let off = OperatorSettings { view: OperatorView::Off, ..on };
    store::set_settings(&mut conn, &off).await.unwrap();
    assert_eq!(store::settings(&mut conn).await.unwrap(), off);
    assert_eq!(pseudonyms(&mut conn).await, [("Blue 4".to_owned(), false)]);
    let cells = store::procedures(&mut conn, (of("2025-01"), of("2025-12"))).await.unwrap();
    assert_eq!(cells, [cell("2025-01", id, Some(30))]);
}

#[tokio::test]
async fn pseudonyms_come_out_in_their_order_are_unique_and_can_be_changed_and_ended() {
    let held = Store::new().await;
    let mut conn = held.database.write().await.unwrap();
    for name in ["Blue 10", "amber", "Blue 2"] {
        store::add(&mut conn, &of(name)).await.unwrap();
    }
    let operators = store::list(&mut conn).await.unwrap();
    let names: Vec<&str> = operators.iter().map(|one| one.pseudonym.as_str()).collect();
    assert_eq!(names, ["amber", "Blue 2", "Blue 10"]);
    let (amber, blue) = (operators[0].id, operators[1].id);
    assert!(store::set_ended(&mut conn, amber, true).await.unwrap());
    assert!(store::rename(&mut conn, blue, &of::<Pseudonym>("Zinc")).await.unwrap());
    assert!(!store::rename(&mut conn, 999, &of::<Pseudonym>("Nobody")).await.unwrap());
    assert!(!store::set_ended(&mut conn, 999, true).await.unwrap());
    let expected = [("amber".to_owned(), true), ("Blue 10".to_owned(), false), ("Zinc".to_owned(), false)];
    assert_eq!(pseudonyms(&mut conn).await, expected);
    let refused = store::add(&mut conn, &of("Zinc")).await.unwrap_err();
    assert!(refused.is_constraint("operators.pseudonym"), "{refused}");
}

#[tokio::test]
async fn procedures_come_out_as_they_went_in_and_those_not_counted_are_gone() {
    let held = Store::new().await;
    let mut conn = held.database.write().await.unwrap();
    let (one, other) = (
        store::add(&mut conn, &of("Blue 1")).await.unwrap(),
        store::add(&mut conn, &of("Blue 2")).await.unwrap(),
    );
    let cells = [
        cell("2024-12", one, Some(4)),
        cell("2025-01", one, Some(0)),
        cell("2025-01", other, Some(OperatorProcedures::MOST)),
    ];
    store::set_procedures(&mut conn, &cells).await.unwrap();
    let changes = [cell("2024-12", one, None), cell("2025-01", one, Some(7)), cell("2025-03", other, None)];
    store::set_procedures(&mut conn, &changes).await.unwrap();
    store::set_procedures(&mut conn, &[]).await.unwrap();
    let found = store::procedures(&mut conn, (of("2024-01"), of("2025-12"))).await.unwrap();
    assert_eq!(found, [cell("2025-01", one, Some(7)), cells[2]]);
    let too_many = [cell("2025-02", one, Some(OperatorProcedures::MOST + 1))];
    let refused = store::set_procedures(&mut conn, &too_many).await.unwrap_err();
    assert!(refused.is_constraint("operator_procedures_not_negative"), "{refused}");
    let nobody = [cell("2025-02", 999, Some(1))];
    let refused = store::set_procedures(&mut conn, &nobody).await.unwrap_err();
    assert!(refused.is_constraint("FOREIGN KEY"), "{refused}");
}

#[tokio::test]
async fn a_case_has_one_operator_and_loses_it_with_itself() {
    let held = Store::new().await;
    let mut conn = held.database.write().await.unwrap();
    let (one, other) = (
        store::add(&mut conn, &of("Blue 1")).await.unwrap(),
        store::add(&mut conn, &of("Blue 2")).await.unwrap(),
    );
    let (late, late_code) = insert(&mut conn, of("2025-03"), &["flow-no-reflow"], Stage::Closed).await;
    let (early, early_code) = insert(&mut conn, of("2025-01"), &["flow-no-reflow"], Stage::Recorded).await;
    insert(&mut conn, of("2025-04"), &["flow-no-reflow"], Stage::Recorded).await;
    let year = period("2025-01", "2025-03");
    store::assign(&mut conn, &[(late, Some(one)), (early, Some(one))]).await.unwrap();
    store::assign(&mut conn, &[(late, Some(other)), (early, None)]).await.unwrap();
    let cases = store::cases(&mut conn, year, 10).await.unwrap();
    let found: Vec<_> = cases.iter().map(|case| (case.code, case.month, case.operator)).collect();
    let month = |text: &str| of::<Month>(text);
    assert_eq!(found, [(early_code, month("2025-01"), None), (late_code, month("2025-03"), Some(other))]);
    assert_eq!(store::cases(&mut conn, year, 1).await.unwrap().len(), 1);
    let refused = store::assign(&mut conn, &[(early, Some(999))]).await.unwrap_err();
    assert!(refused.is_constraint("FOREIGN KEY"), "{refused}");
    sqlx::query("delete from case_records where id = $1").bind(late).execute(&mut *conn).await.unwrap();
    let (left,): (i64,) =
        sqlx::query_as("select count(*) from case_operators").fetch_one(&mut *conn).await.unwrap();
    assert_eq!(left, 0);
}

/// `(pseudonym, month, events, procedures)` of every month with either.
fn rows(tallies: &[OperatorTally]) -> Vec<(String, String, u32, Option<u32>)> {
    tallies
        .iter()
        .flat_map(|one| {
            let months = one.tally.months.iter().filter(|m| m.events > 0 || m.procedures.is_some());
            months.map(|m| (one.pseudonym.to_string(), m.month.to_string(), m.events, m.procedures))
        })
        .collect()
}

#[tokio::test]
async fn a_case_counts_once_for_its_operator_whatever_is_asked() {
    let held = Store::new().await;
    let mut conn = held.database.write().await.unwrap();
    let (one, other) = (
        store::add(&mut conn, &of("Blue 1")).await.unwrap(),
        store::add(&mut conn, &of("Blue 2")).await.unwrap(),
    );
    // A chain of two harms of two branches; a harm that was taken out; a case without an operator.
    let chain = ["stent-edge-dissection", "flow-no-reflow"];
    let (first, _) = insert(&mut conn, of("2025-01"), &chain, Stage::Recorded).await;
    let (second, code) = insert(&mut conn, of("2025-02"), &["flow-no-reflow"], Stage::Recorded).await;
    insert(&mut conn, of("2025-02"), &["flow-no-reflow"], Stage::Recorded).await;
    store::assign(&mut conn, &[(first, Some(one)), (second, Some(other))]).await.unwrap();
    let cells = [cell("2025-01", one, Some(20)), cell("2025-03", other, Some(10))];
    store::set_procedures(&mut conn, &cells).await.unwrap();
    let half = period("2025-01", "2025-06");
    let row = |name: &str, month: &str, events, done| (name.to_owned(), month.to_owned(), events, done);
    let all = [
        row("Blue 1", "2025-01", 1, Some(20)),
        row("Blue 2", "2025-02", 1, None),
        row("Blue 2", "2025-03", 0, Some(10)),
    ];
    let flow = Subject::Mechanism(of("flow-no-reflow"));
    let branch = held.vocabulary.mechanism(&of("flow-no-reflow")).unwrap().branch.clone();
    for subject in [Subject::Whole, flow.clone(), Subject::Branch(branch)] {
        let found = store::by_operator(&mut conn, &subject, half).await.unwrap();
        assert_eq!(rows(&found.tallies), all, "{subject:?}");
        assert_eq!(found.without, 1, "{subject:?}");
    }
    let edge = Subject::Mechanism(of("stent-edge-dissection"));
    let found = store::by_operator(&mut conn, &edge, half).await.unwrap();
    assert_eq!(rows(&found.tallies), [all[0].clone(), row("Blue 2", "2025-03", 0, Some(10))]);
    assert_eq!(found.without, 0);

    let stored = case::store::find(&mut conn, code).await.unwrap().unwrap();
    let harm = stored.complications[0].id;
    sqlx::query("update complications set removed_at = '2026-01-01T00:00:00Z' where id = $1")
        .bind(harm)
        .execute(&mut *conn)
        .await
        .unwrap();
    let found = store::by_operator(&mut conn, &flow, half).await.unwrap();
    assert_eq!(rows(&found.tallies), [all[0].clone(), row("Blue 2", "2025-03", 0, Some(10))]);
    assert_eq!(found.without, 1);
}
