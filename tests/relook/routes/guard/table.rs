//! Every address of the table with every method, every role and none, and for cases every stage, recorded by
//! the fellow and by somebody else: the router answers as the table and the rule of sight say.

use std::collections::{BTreeMap, BTreeSet};

use axum::http::Method;
use relook::case::store::{self, RowValue};
use relook::case::{CaseCode, Decision, Lab, Observation, Picture, Stage, Still, StoredCase};
use relook::picture::{Channels, Pixels, encode};
use relook::web::Allow;
use relook::web::router::Rule;

use super::HOST;
use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp, of};

const ROLES: [Option<Role>; 5] =
    [None, Some(Role::Reader), Some(Role::Fellow), Some(Role::Attending), Some(Role::QualityLead)];

/// Every method that HTTP names, and one that it does not.
fn methods() -> Vec<Method> {
    let own = Method::from_bytes(b"BREW").unwrap();
    vec![
        Method::GET,
        Method::HEAD,
        Method::POST,
        Method::PUT,
        Method::PATCH,
        Method::DELETE,
        Method::OPTIONS,
        Method::TRACE,
        own,
    ]
}

async fn visitor(app: &TestApp, role: Option<Role>) -> Client {
    match role {
        None => app.signed_out(),
        Some(role) => app.as_role(role).await,
    }
}

async fn ask(client: &Client, method: &Method, path: &str) -> Page {
    let kind = ("content-type", "application/x-www-form-urlencoded");
    client.ask(method, path, &[HOST, kind, ("sec-fetch-site", "same-origin")], "text=x").await
}

/// Whether an answer says that the visitor may not come here.
fn is_refused(page: &Page, role: Option<Role>) -> bool {
    match role {
        Some(_) => page.status == StatusCode::FORBIDDEN,
        None => {
            page.status == StatusCode::UNAUTHORIZED
                || (page.status == StatusCode::SEE_OTHER
                    && (page.location() == "/sign-in" || page.location().starts_with("/sign-in?")))
        }
    }
}

#[tokio::test]
async fn every_method_at_every_address_is_answered_as_the_table_says() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Asked for")
        .complete()
        .in_print()
        .stage(Stage::Presented)
        .insert(&app)
        .await
        .code
        .to_string();
    let mut by_path: BTreeMap<&'static str, Vec<Rule>> = BTreeMap::new();
    for rule in super::rules() {
        by_path.entry(rule.path).or_default().push(rule);
    }
    // Reading changes nothing; a form may end the session that sends it.
    let mut clients = BTreeMap::new();
    for role in ROLES {
        clients.insert(role.map(Role::slug), visitor(&app, role).await);
    }
    let (mut asked, mut unknown) = (0, 0);
    for (path, rules) in &by_path {
        let address = super::address(&rules[0], &code);
        for method in methods() {
            // Reading without the body is reading.
            let as_in_table = if method == Method::HEAD { Method::GET } else { method.clone() };
            let rule = rules.iter().find(|rule| rule.method == as_in_table);
            for role in ROLES {
                let fresh = if method == Method::POST { Some(visitor(&app, role).await) } else { None };
                let client = fresh.as_ref().unwrap_or(&clients[&role.map(Role::slug)]);
                let page = ask(client, &method, &address).await;
                let what = format!("{role:?}: {method} {path} answers {}", page.status);
                assert!(!page.status.is_server_error(), "{what}");
                match rule {
                    None => {
                        assert_eq!(page.status, StatusCode::METHOD_NOT_ALLOWED, "{what}");
                        unknown += 1;
                    }
                    // Signing out leads there, too, and so does a code that nobody waits for.
                    Some(_) if ["/sign-out", "/sign-in/code"].contains(path) => {
                        page.expect(StatusCode::SEE_OTHER);
                    }
                    Some(rule) => {
                        assert_eq!(
                            is_refused(&page, role),
                            !rule.allow.admits(role),
                            "{what}, {:?}",
                            rule.allow
                        );
                        assert_ne!(page.status, StatusCode::METHOD_NOT_ALLOWED, "{what}");
                    }
                }
                if method == Method::HEAD {
                    assert!(page.html.is_empty(), "{what} with a body");
                }
                asked += 1;
            }
        }
    }
    assert!(unknown > 1_000, "{unknown}");
    println!("{asked} requests, {unknown} of them by a method that the table does not know");
}

#[tokio::test]
async fn there_is_nothing_outside_the_table() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    for path in [
        "/admin",
        "/api",
        "/metrics",
        "/debug",
        "/.git/config",
        "/.well-known/security.txt",
        "/robots.txt",
        "/favicon.ico",
        "/index.html",
        "/cases/",
        "//cases",
        "/CASES",
        "/cases/2026-001/",
        "/cases/2026-001/history.sqlite",
        "/static",
        "/static/",
        "/static/../Cargo.toml",
        "/static/%2e%2e/Cargo.toml",
        "/static/..%2fCargo.toml",
        "/static/css/../../Cargo.toml",
        "/static//etc/passwd",
        "/vote/static/../../Cargo.toml",
        "/vote/static/css/base.css/",
        "/health/",
        "/ready/x",
    ] {
        for method in [Method::GET, Method::POST, Method::DELETE] {
            let page = ask(&lead, &method, path).await;
            let nothing = [StatusCode::NOT_FOUND, StatusCode::METHOD_NOT_ALLOWED].contains(&page.status);
            assert!(nothing, "{method} {path}: {}", page.status);
            assert!(method != Method::GET || page.status == StatusCode::NOT_FOUND, "{path}: {}", page.status);
        }
    }
}

/// Routes come into the router by the table alone: no source but the table's adds one.
#[test]
fn the_router_is_made_from_the_table_and_from_nothing_else() {
    fn walk(folder: &std::path::Path, found: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, found);
                continue;
            }
            if path.extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let adds =
                [".route(", ".route_service(", ".nest(", ".nest_service(", ".merge(", "fallback_service("];
            for (index, line) in text.lines().enumerate() {
                if adds.iter().any(|call| line.contains(call)) {
                    found.push(format!("{}:{}", path.display(), index + 1));
                }
            }
        }
    }
    let mut found = Vec::new();
    walk(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("src/web/router.rs"), "{found:?}");
}

/// A case that has a row in each of its lists.
fn with_every_row(stage: Stage, by: Role) -> CaseBuilder {
    CaseBuilder::new("Zqtitle")
        .complete()
        .in_print()
        .stage(stage)
        .recorded_by(by)
        .lesson("respond", "Zqlesson.")
        .action("Zqaction", "2026-05-01")
        .with(|case| {
            let decisions = r#"
                [[decisions]]
                key = "d9"
                at = "+16:00"
                question = "What now?"
                chosen = 1
                chosen_by = "first operator"
                [[decisions.options]]
                text = "Wait"
                [[decisions.options]]
                text = "Go on"
            "#;
            let labs = "[[labs]]\ntest = \"creatinine\"\ndrawn = \"-1:00:00\"\nvalue = \"1.0 mg/dL\"\n";
            let observations =
                "[[observations]]\nfamily = \"kidney\"\n[observations.answers]\nreplacement = \"no\"\n";
            #[derive(serde::Deserialize)]
            struct Rows {
                decisions: Vec<Decision>,
                labs: Vec<Lab>,
                observations: Vec<Observation>,
            }
            let rows: Rows = toml::from_str(&format!("{decisions}\n{labs}\n{observations}")).unwrap();
            case.decisions.extend(rows.decisions);
            case.labs.extend(rows.labs);
            case.observations.extend(rows.observations);
        })
}

/// The address of a rule of a case with rows that it has.
fn address_in(rule: &Rule, case: &StoredCase) -> String {
    let lists: [(&str, Option<i64>); 9] = [
        ("lesions", case.lesions.first().map(|row| row.id)),
        ("events", case.events.first().map(|row| row.id)),
        ("complications", case.complications.first().map(|row| row.id)),
        ("labs", case.labs.first().map(|row| row.id)),
        ("observations", case.observations.first().map(|row| row.id)),
        ("causes", case.causes.first().map(|row| row.id)),
        ("lessons", case.lessons.last().map(|row| row.id)),
        ("actions", case.actions.first().map(|row| row.id)),
        ("pictures", case.pictures.first().map(|row| row.id)),
    ];
    let path = super::with_formats(rule.path)
        .replace("{code}", &case.code.to_string())
        .replace("{key}", "d9")
        .replace("{number}", "1");
    let path = lists.iter().fold(path, |path, (list, id)| {
        path.replace(&format!("/{list}/{{id}}"), &format!("/{list}/{}", id.unwrap_or(0)))
    });
    let decision = case.decisions.first().map_or(0, |row| row.id);
    path.replace("/decisions/{id}", &format!("/decisions/{decision}"))
}

/// Whether a rule is about a case as such; an agenda's rules are about the conference.
fn is_of_a_case(rule: &Rule) -> bool {
    rule.path.starts_with("/cases/{code}")
}

/// The rules of a case whose answer to who sees the case is that there is nothing there: they are about a
/// row that the test's case has not, or a picture that waits for who brought it (`pictures::kept`).
const WITHOUT_A_ROW: [&str; 5] = [
    "/cases/{code}/prompts/{complication}/{list}/{step}",
    "/cases/{code}/pictures/new/{token}",
    "/cases/{code}/pictures/new/{token}/burnt.png",
    "/cases/{code}/pictures/new/{token}/frame/{number}",
    "/cases/{code}/pictures/new/{token}/look",
];

/// Gives a case a picture, of one grey.
async fn with_a_picture(app: &TestApp, code: CaseCode) -> CaseCode {
    let pixels = Pixels::new(4, 4, Channels::Grey, vec![90; 16]).unwrap();
    let case = app.case(code).await;
    let mut tx = app.app.database.write().await.unwrap();
    let digest = store::keep_png(&mut tx, &encode(&pixels).unwrap()).await.unwrap();
    let picture = Picture {
        event: None,
        caption: Some(of("Zqcaption")),
        shows: of("Zqshows."),
        view: None,
        still: Still { width: 4, height: 4, digest },
        confirmed_by: of("Fay Fellow"),
        confirmed_on: app.app.today(),
    };
    store::insert_row(&mut tx, case.id, &RowValue::Picture(picture), app.app.now()).await.unwrap();
    tx.commit().await.unwrap();
    code
}

#[tokio::test]
async fn each_role_reaches_the_cases_of_each_stage_that_it_sees_and_no_other_by_any_address() {
    let app = TestApp::init().await;
    let rules: Vec<Rule> = super::rules().into_iter().filter(is_of_a_case).collect();
    assert!(rules.len() > 60, "{}", rules.len());
    let mut clients = BTreeMap::new();
    for role in Role::ALL.iter().copied() {
        clients.insert(role.slug(), app.as_role(role).await);
    }
    let (mut seen, mut hidden, mut nothing_there) = (0, 0, BTreeSet::new());
    let mut read: BTreeMap<(&str, &str), CaseCode> = BTreeMap::new();
    for rule in &rules {
        for stage in Stage::ALL.iter().copied() {
            for by in [Role::Fellow, Role::Attending] {
                // Reading changes nothing, so that one case of a kind is enough for it.
                let kind = (stage.slug(), by.slug());
                let code: CaseCode = match read.get(&kind).filter(|_| rule.method == Method::GET) {
                    Some(code) => *code,
                    None => with_a_picture(&app, with_every_row(stage, by).insert(&app).await.code).await,
                };
                if rule.method == Method::GET {
                    read.insert(kind, code);
                }
                let address = address_in(rule, &app.case(code).await);
                let mut was_there = false;
                for role in Role::ALL.iter().copied() {
                    let page = ask(&clients[role.slug()], &rule.method, &address).await;
                    let what = format!("{role:?}: {address} of {by:?} in {stage:?} answers {}", page.status);
                    assert!(!page.status.is_server_error(), "{what}");
                    if !rule.allow.admits(Some(role)) {
                        page.expect(StatusCode::FORBIDDEN);
                        continue;
                    }
                    let presented = [Stage::Presented, Stage::Closed].contains(&stage);
                    let sees = match role {
                        Role::Reader => presented,
                        Role::Fellow => presented || by == Role::Fellow,
                        Role::Attending | Role::QualityLead => true,
                    };
                    if sees {
                        assert!(!is_refused(&page, Some(role)), "{what}");
                        // A row that was just taken out is not there for the next.
                        let is_there = page.status != StatusCode::NOT_FOUND;
                        if !is_there && !was_there {
                            nothing_there.insert(rule.path);
                        }
                        was_there |= is_there;
                        seen += 1;
                    } else {
                        // As if there were no such case.
                        let absent = address.replace(&code.to_string(), "1999-999");
                        let absent = ask(&clients[role.slug()], &rule.method, &absent).await;
                        assert!(!page.status.is_success(), "{what}");
                        assert_eq!(page.status, absent.status, "{what}");
                        assert!(!page.html.contains("Zq"), "{what} and tells of it");
                        hidden += 1;
                    }
                }
            }
        }
    }
    let expected: BTreeSet<&str> = WITHOUT_A_ROW.into_iter().collect();
    assert_eq!(nothing_there, expected, "nothing is there for who sees the case");
    println!("{} rules: {seen} requests to cases that are seen, {hidden} to cases that are not", rules.len());
}

#[test]
fn what_is_open_to_anyone_is_a_short_list() {
    let open: BTreeSet<String> = super::rules()
        .into_iter()
        .filter(|rule| rule.allow == Allow::Anyone)
        .map(|rule| format!("{} {}", rule.method, rule.path))
        .collect();
    let expected = [
        "GET /health",
        "GET /ready",
        "GET /sign-in",
        "GET /sign-in/code",
        "GET /sign-in/link/{secret}",
        "GET /static/{*path}",
        "GET /vote/static/{*path}",
        "GET /vote/{code}",
        "POST /sign-in",
        "POST /sign-in/code",
        "POST /sign-in/link/{secret}",
        "POST /sign-out",
        "POST /vote/{code}",
    ];
    assert_eq!(open, expected.into_iter().map(str::to_owned).collect());
}
