//! Operators: off by default, by pseudonym, for the quality lead alone, never ranked.

use axum::http::Method;
use relook::case::Stage;
use relook::rates::store as rates;
use relook::rates::store::operators as store;
use relook::web::router::routes;

use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp, of};

const FUNNEL: &str = "/rates/operators";
const LIST: &str = "/settings/operators";
const GRID: &str = "/settings/operators/procedures";
const CASES: &str = "/settings/operators/cases";
const SETTINGS: &str = "/settings/rates";
const ASKED: &str = "/rates/operators?from=2026-01&to=2026-03&of=mechanism:flow-no-reflow";

async fn turn(app: &TestApp, view: &str, fewest: &str) {
    let mut tx = app.app.database.write().await.unwrap();
    let settings = relook::rates::operators::OperatorSettings { view: of(view), fewest: of(fewest) };
    store::set_settings(&mut tx, &settings).await.unwrap();
    tx.commit().await.unwrap();
}

async fn add(app: &TestApp, pseudonym: &str) -> i64 {
    let mut tx = app.app.database.write().await.unwrap();
    let id = store::add(&mut tx, &of(pseudonym)).await.unwrap();
    tx.commit().await.unwrap();
    id
}

/// An operator with so many cases among so many procedures in January 2026.
async fn operator(app: &TestApp, pseudonym: &str, cases: usize, procedures: u32) -> i64 {
    let id = add(app, pseudonym).await;
    let mut codes = Vec::new();
    for _ in 0..cases {
        codes.push(CaseBuilder::new("A case").mechanism("flow-no-reflow").insert(app).await.code);
    }
    let mut tx = app.app.database.write().await.unwrap();
    for code in codes {
        let case = relook::case::store::find_id(&mut tx, code).await.unwrap().unwrap();
        store::assign(&mut tx, &[(case, Some(id))]).await.unwrap();
    }
    let month = of("2026-01");
    let cell =
        relook::rates::operators::OperatorProcedures { month, operator: id, procedures: Some(procedures) };
    store::set_procedures(&mut tx, &[cell]).await.unwrap();
    tx.commit().await.unwrap();
    id
}

async fn names(app: &TestApp) -> Vec<String> {
    let operators = store::list(&mut app.app.database.read().await.unwrap()).await.unwrap();
    operators.into_iter().map(|one| one.pseudonym.to_string()).collect()
}

/// Whether the operators of January to December 2026 hold these procedures: `(month, operator, number)`.
async fn counted(app: &TestApp) -> Vec<(String, i64, u32)> {
    let mut conn = app.app.database.read().await.unwrap();
    let cells = store::procedures(&mut conn, (of("2026-01"), of("2026-12"))).await.unwrap();
    cells.into_iter().map(|cell| (cell.month.to_string(), cell.operator, cell.procedures.unwrap())).collect()
}

/// Sends a form whose fields stand outside it, with some typed over.
async fn send(client: &Client, page: &Page, path: &str, fields: &[&str], typed: &[(&str, &str)]) -> Page {
    let hidden = ["year", "from", "to", "was"].into_iter().filter(|name| !page.value(name).is_empty());
    let mut sent: Vec<(String, String)> = hidden.map(|name| (name.to_owned(), page.value(name))).collect();
    for name in fields {
        let text = typed.iter().find(|(own, _)| own == name);
        sent.push((
            (*name).to_owned(),
            text.map_or_else(|| page.value(name), |(_, text)| (*text).to_owned()),
        ));
    }
    let sent: Vec<(&str, &str)> = sent.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    client.post(path, &sent).await
}

#[tokio::test]
async fn operators_are_off_and_their_page_explains_what_it_would_be() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let page = lead.get(FUNNEL).await;
    page.expect(StatusCode::OK);
    for words in
        ["Operators are off", "never ranks", "pseudonym", "nothing here is adjusted for risk", "Local law"]
    {
        assert!(page.text.contains(words), "{words}: {page}");
    }
    assert!(page.links_to(SETTINGS), "{page}");
    assert_eq!(page.count("svg"), 0);
    for path in [LIST, GRID, CASES, "/settings/operators/1"] {
        let reply = lead.get(path).await;
        reply.expect(StatusCode::SEE_OTHER);
        assert_eq!(reply.location(), FUNNEL, "{path}");
    }
    for path in [LIST, GRID, CASES, "/settings/operators/1", "/settings/operators/1/end"] {
        let reply = lead.post(path, &[("pseudonym", "Blue 4"), ("year", "2026")]).await;
        assert_eq!(reply.location(), FUNNEL, "{path}");
        let said = lead.follow(&reply).await;
        assert_eq!(said.notice().unwrap(), "Operators are turned off, so nothing was saved.");
    }
    assert!(names(&app).await.is_empty());
}

#[tokio::test]
async fn the_whole_way_from_the_setting_to_the_funnel_and_off_again() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let form = lead.get(SETTINGS).await;
    assert_eq!((form.value("operators").as_str(), form.value("fewest_by_operator").as_str()), ("off", "50"));
    lead.submit(&form, SETTINGS, &[("operators", "on")]).await.expect(StatusCode::SEE_OTHER);

    for name in ["Blue 2", "Blue 10", "Red"] {
        let list = lead.get(LIST).await;
        lead.submit(&list, LIST, &[("pseudonym", name)]).await.expect(StatusCode::SEE_OTHER);
    }
    assert_eq!(lead.get(LIST).await.texts("tbody th")[1], "Blue 10: give another pseudonym");
    let operators = store::list(&mut app.app.database.read().await.unwrap()).await.unwrap();
    let ids: Vec<String> = operators.iter().map(|one| one.id.to_string()).collect();

    let year = format!("{GRID}?year=2026");
    let grid = lead.get(&year).await;
    let cells: Vec<String> = ids.iter().map(|id| format!("n-2026-01-{id}")).collect();
    let fields: Vec<&str> = cells.iter().map(String::as_str).collect();
    let typed: Vec<(&str, &str)> = fields.iter().copied().zip(["100", "200", "60"]).collect();
    let saved = send(&lead, &grid, GRID, &fields, &typed).await;
    assert_eq!(saved.location(), year);
    assert_eq!(lead.follow(&saved).await.value(&cells[1]), "200");

    let mut codes = Vec::new();
    for _ in 0..4 {
        codes
            .push(CaseBuilder::new("A case").mechanism("flow-no-reflow").insert(&app).await.code.to_string());
    }
    let months = format!("{CASES}?from=2026-01&to=2026-03");
    let page = lead.get(&months).await;
    assert!(page.text.contains("4 of the 4 cases of January to March 2026 have no operator."), "{page}");
    let selects: Vec<String> = codes.iter().map(|code| format!("o-{code}")).collect();
    let fields: Vec<&str> = selects.iter().map(String::as_str).collect();
    let typed: Vec<(&str, &str)> =
        vec![(fields[0], &ids[0]), (fields[1], &ids[1]), (fields[2], &ids[1]), (fields[3], "")];
    let saved = send(&lead, &page, CASES, &fields, &typed).await;
    assert_eq!(saved.location(), months);
    let page = lead.follow(&saved).await;
    assert!(page.text.contains("1 of the 4 cases of January to March 2026 has no operator."), "{page}");
    assert_eq!(page.value(fields[2]), ids[1]);

    let page = lead.get(ASKED).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.texts(".finding h2"), ["No operator lies outside the 99.8 % limits"]);
    assert!(page.text.contains("3 events in 360 procedures of 3 operators"), "{page}");
    assert!(page.text.contains("1 case has no operator and is left out."), "{page}");
    assert!(page.text.contains("Spiegelhalter, Stat Med 2005;24:1185"), "{page}");
    assert_eq!(page.texts(".figure-block tbody th"), ["Blue 2", "Blue 10", "Red"]);
    assert_eq!(page.count("[aria-sort]") + page.count("a.sort"), 0, "there is no order to choose");
    for word in ["worst", "best ", "rank 1"] {
        assert!(!page.text.to_lowercase().contains(word), "{word}: {page}");
    }

    let form = lead.get(SETTINGS).await;
    lead.submit(&form, SETTINGS, &[("operators", "off")]).await.expect(StatusCode::SEE_OTHER);
    let page = lead.get(ASKED).await;
    assert!(page.text.contains("Operators are off") && !page.html.contains("Blue 10"), "{page}");
    assert_eq!(names(&app).await, ["Blue 2", "Blue 10", "Red"], "nothing is taken away");
}

#[tokio::test]
async fn who_has_too_few_procedures_is_nowhere_on_the_page_and_in_no_total() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    for (name, cases, procedures) in
        [("Blue 1", 2, 100), ("Blue 2", 1, 60), ("Blue 3", 1, 50), ("Zanzibar", 3, 49)]
    {
        operator(&app, name, cases, procedures).await;
    }
    let lead = app.with_quality_lead().await;
    let page = lead.get(ASKED).await;
    assert!(page.text.contains("4 events in 210 procedures of 3 operators"), "{page}");
    assert!(page.text.contains("1 operator with fewer than 50 procedures is not shown."), "{page}");
    assert!(!page.html.contains("Zanzibar") && !page.text.contains("of 49"), "{page}");
    turn(&app, "on", "60").await;
    let page = lead.get(ASKED).await;
    assert!(page.text.contains("Fewer than 3 operators have 60 procedures or more"), "{page}");
    assert_eq!(page.count("svg.fig"), 0, "two are not held against each other");
    assert!(!page.html.contains("Blue 1") && !page.html.contains("Blue 3"), "{page}");
}

#[tokio::test]
async fn who_lies_outside_is_ringed_and_the_finding_names_nobody() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    for (name, cases, procedures) in [("Amber", 1, 400), ("Blue", 1, 300), ("Coral", 12, 60)] {
        operator(&app, name, cases, procedures).await;
    }
    let page = app.with_quality_lead().await.get(ASKED).await;
    assert_eq!(
        page.texts(".finding h2"),
        ["One of 3 operators lies outside the 99.8 % limits: look at the cases first"]
    );
    assert_eq!(page.texts(".figure-block tbody th"), ["Amber", "Blue", "Coral"], "not by their rates");
    assert_eq!(page.count("svg .signal-ring"), 1);
    assert!(page.text.contains("The operators differ more than chance explains"), "{page}");
}

#[tokio::test]
async fn months_that_cannot_be_as_recorded_are_named() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    operator(&app, "Blue 1", 2, 1).await;
    let lead = app.with_quality_lead().await;
    let page = lead.get(ASKED).await;
    let sentence = "Among those who are not shown somebody has more cases than procedures in January 2026.";
    assert!(page.text.contains(sentence) && !page.text.contains("Blue 1"), "{page}");
}

#[tokio::test]
async fn a_question_that_cannot_be_read_comes_back_marked() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    let lead = app.with_quality_lead().await;
    for (query, field) in [
        ("from=2026-01", "to"),
        ("from=2026-03&to=2026-01", "to"),
        ("from=soon&to=2026-01", "from"),
        ("from=1990-01&to=2026-01", "from"),
        ("of=mechanism:no-such-thing", "of"),
        ("of=%3Cscript%3E", "of"),
    ] {
        let page = lead.get(&format!("{FUNNEL}?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).is_some(), "{query}: {page}");
        assert!(!page.html.contains("<script>"), "{page}");
    }
    lead.get(&format!("{CASES}?from=2026-03&to=2026-01")).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    lead.get(&format!("{GRID}?year=26")).await.expect(StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn a_pseudonym_that_is_none_comes_back_as_text_and_a_name_is_refused() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    let lead = app.with_quality_lead().await;
    add(&app, "Blue 4").await;
    for (typed, why) in [
        ("<script>alert(1)</script>", "letters, digits, spaces and hyphens"),
        ("Dr Blue", "This has a title in it"),
        ("blue 4", "There is a Blue 4 already."),
        ("Ada 4", "A word of it stands in the name of an account."),
        ("", "Give a pseudonym"),
        ("abcdefghijklmnopqrstuvwxy", "at most 24 characters"),
    ] {
        let list = lead.get(LIST).await;
        let reply = lead.submit(&list, LIST, &[("pseudonym", typed)]).await;
        reply.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(reply.error_of("pseudonym").unwrap().contains(why), "{typed}: {reply}");
        assert_eq!(reply.value("pseudonym"), typed);
        assert!(!reply.html.contains("<script>alert"), "{reply}");
        assert!(reply.handlers().is_empty());
    }
    assert_eq!(names(&app).await, ["Blue 4"]);
    let list = lead.get(LIST).await;
    let reply = lead.submit(&list, LIST, &[("pseudonym", "Anna Meyer")]).await;
    let said = lead.follow(&reply).await.notice().unwrap();
    assert!(said.contains("It reads as a name might"), "{said}");
}

#[tokio::test]
async fn a_pseudonym_can_be_changed_ended_and_taken_up_again() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    let lead = app.with_quality_lead().await;
    let id = add(&app, "Anna Meyer").await;
    let path = format!("{LIST}/{id}");
    let (form, late) = (lead.get(&path).await, lead.get(&path).await);
    lead.submit(&form, &path, &[("pseudonym", "Blue 4")]).await.expect(StatusCode::SEE_OTHER);
    let stale = lead.submit(&late, &path, &[("pseudonym", "Blue 5")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert!(stale.text.contains("Blue 4") && stale.value("pseudonym") == "Blue 5", "{stale}");
    assert_eq!(names(&app).await, ["Blue 4"]);

    let reply = lead.press(&lead.get(LIST).await, "End: Blue 4").await;
    let page = lead.follow(&reply).await;
    assert!(page.texts("tbody td").contains(&"ended".to_owned()), "{page}");
    lead.post(&page.undo().unwrap(), &[]).await.expect(StatusCode::SEE_OTHER);
    assert!(lead.get(LIST).await.texts("tbody td").contains(&"goes on".to_owned()));
    lead.get(&format!("{LIST}/999")).await.expect(StatusCode::NOT_FOUND);
    lead.get(&format!("{LIST}/x")).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn bad_counts_are_marked_and_two_who_count_at_once_both_see_what_differs() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    let lead = app.with_quality_lead().await;
    let id = operator(&app, "Blue 4", 0, 30).await;
    let cell = |month: &str| format!("n-2026-{month}-{id}");
    let (january, february, march) = (cell("01"), cell("02"), cell("03"));
    let fields = [january.as_str(), february.as_str(), march.as_str()];
    let opened = lead.get(&format!("{GRID}?year=2026")).await;

    let bad = [(fields[0], "31"), (fields[1], "-2"), (fields[2], "<script>")];
    let reply = send(&lead, &opened, GRID, &fields, &bad).await;
    reply.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(reply.errors()[0].starts_with("February 2026, Blue 4: “-2” is not a whole number."), "{reply}");
    assert_eq!(reply.value(fields[0]), "31", "what was typed right comes back too");
    assert!(!reply.html.contains("<script>"));

    // Meanwhile: January put right, March added.
    let meanwhile = lead.get(&format!("{GRID}?year=2026")).await;
    send(&lead, &meanwhile, GRID, &fields, &[(fields[0], "32"), (fields[2], "12")]).await;
    let mine = [(fields[0], "35"), (fields[1], "20")];
    let reply = send(&lead, &opened, GRID, &fields, &mine).await;
    reply.expect(StatusCode::CONFLICT);
    assert_eq!(reply.texts(".stale tbody tr"), ["January 2026, Blue 4 32 35"]);
    assert_eq!(fields.map(|name| reply.value(name)), ["35", "20", "12"]);
    let row = |month: &str, number| (format!("2026-{month}"), id, number);
    assert_eq!(counted(&app).await, [row("01", 32), row("03", 12)]);
    send(&lead, &reply, GRID, &fields, &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(counted(&app).await, [row("01", 35), row("02", 20), row("03", 12)]);
}

#[tokio::test]
async fn the_operator_of_a_case_is_one_of_the_list_and_a_stale_choice_asks() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    let lead = app.with_quality_lead().await;
    let (blue, red) = (add(&app, "Blue").await.to_string(), add(&app, "Red").await.to_string());
    let title = "<script>alert(1)</script>";
    let code = CaseBuilder::new(title).mechanism("flow-no-reflow").insert(&app).await.code.to_string();
    let field = format!("o-{code}");
    let path = format!("{CASES}?from=2026-01&to=2026-01");
    let opened = lead.get(&path).await;
    assert!(!opened.html.contains("<script>alert"), "{opened}");

    let reply = send(&lead, &opened, CASES, &[&field], &[(&field, "999")]).await;
    reply.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(reply.error_of(&field).is_some(), "{reply}");
    send(&lead, &opened, CASES, &[&field], &[(&field, &blue)]).await.expect(StatusCode::SEE_OTHER);
    let reply = send(&lead, &opened, CASES, &[&field], &[(&field, &red)]).await;
    reply.expect(StatusCode::CONFLICT);
    assert_eq!(reply.texts(".stale tbody tr"), [format!("{code} Blue Red")]);
    assert_eq!(reply.value(&field), red);
    send(&lead, &reply, CASES, &[&field], &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(lead.get(&path).await.value(&field), red);
    lead.post(CASES, &[(&field, &blue)]).await.expect(StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn nobody_else_reads_a_word_of_operators_and_no_page_or_file_of_the_record_names_one() {
    let app = TestApp::init().await;
    turn(&app, "on", "50").await;
    for name in ["Zanzibar 1", "Zanzibar 2", "Zanzibar 3"] {
        operator(&app, name, 1, 60).await;
    }
    app.count_procedures("2026-01", "all-pci", 200).await;
    let case = CaseBuilder::new("Seen").complete().stage(Stage::Presented).insert(&app).await;
    let mut tx = app.app.database.write().await.unwrap();
    let id = relook::case::store::find_id(&mut tx, case.code).await.unwrap().unwrap();
    let first = store::list(&mut tx).await.unwrap()[0].id;
    store::assign(&mut tx, &[(id, Some(first))]).await.unwrap();
    tx.commit().await.unwrap();
    let own = |path: &str| path.starts_with(FUNNEL) || path.starts_with(LIST);
    let mut asked = 0;
    for role in Role::ALL.iter().copied() {
        for rule in routes().rules().into_iter().filter(|rule| rule.method == Method::GET) {
            let path = rule
                .path
                .replace("{code}", &case.code.to_string())
                .replace("{id}", &first.to_string())
                .replace("{number}", "1");
            if path.contains('{') {
                continue;
            }
            let page = app.as_role(role).await.get(&path).await;
            asked += 1;
            if own(&path) && role.keeps() {
                page.expect(StatusCode::OK);
                continue;
            }
            if own(&path) || path == SETTINGS && !role.keeps() {
                page.expect(StatusCode::FORBIDDEN);
            }
            assert!(!page.html.contains("Zanzibar"), "{role:?} at {path}: {page}");
            if !role.keeps() {
                assert!(!page.html.contains("/operators"), "{role:?} at {path}: {page}");
            }
        }
    }
    assert!(asked > 100, "{asked} requests prove little");
    let lead = app.with_quality_lead().await;
    assert!(lead.get(ASKED).await.html.contains("Zanzibar 2"));
}

#[tokio::test]
async fn what_is_set_for_rates_is_read_marked_and_kept() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let (form, late) = (lead.get(SETTINGS).await, lead.get(SETTINGS).await);
    let usual = ["smallest", "fewest", "years", "operators", "fewest_by_operator"];
    assert_eq!(usual.map(|name| form.value(name)), ["5", "100", "5", "off", "50"]);
    let bad = [
        ("smallest", "0"),
        ("fewest", "many"),
        ("years", ""),
        ("operators", "perhaps"),
        ("fewest_by_operator", "5"),
    ];
    let reply = lead.submit(&form, SETTINGS, &bad).await;
    reply.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(reply.errors().len(), 5, "{reply}");
    assert_eq!(
        (reply.value("fewest"), reply.value("fewest_by_operator")),
        ("many".to_owned(), "5".to_owned())
    );

    let good = [("smallest", "10"), ("fewest", "200"), ("years", "3"), ("fewest_by_operator", "80")];
    let saved = lead.submit(&form, SETTINGS, &good).await;
    assert_eq!(saved.location(), "/settings");
    let index = lead.follow(&saved).await;
    assert!(index.text.contains("Counts below 10 do not leave the department"), "{index}");
    let held = rates::settings(&mut app.app.database.read().await.unwrap()).await.unwrap();
    assert_eq!((held.smallest.get(), held.fewest_compared.get(), held.false_alarm.get()), (10, 200, 3));

    let stale = lead.submit(&late, SETTINGS, &[("years", "9")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert!(stale.text.contains("Somebody saved this while you wrote"), "{stale}");
    assert_eq!(stale.value("years"), "9");
    for role in [Role::Reader, Role::Fellow, Role::Attending] {
        let visitor = app.as_role(role).await;
        visitor.get(SETTINGS).await.expect(StatusCode::FORBIDDEN);
        assert!(!visitor.get("/settings").await.html.contains("/settings/rates"));
    }
}
