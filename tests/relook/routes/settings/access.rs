//! Who may use which route, and who is turned away how.

use axum::http::Method;
use relook::web::Allow;
use relook::web::router::routes;

use super::reading::Reading as _;
use crate::support::{CaseBuilder, Role, StatusCode, TestApp};

/// What the house promises: written down a second time, so that a slip in the table is seen.
const PROMISED: &[(&str, &str, Allow)] = &[
    ("GET", "/settings", Allow::SignedIn),
    ("GET", "/settings/mechanisms", Allow::SignedIn),
    ("GET", "/settings/mechanisms/new", Allow::Keepers),
    ("POST", "/settings/mechanisms/new", Allow::Keepers),
    ("POST", "/settings/mechanisms/{slug}/retire", Allow::Keepers),
    ("POST", "/settings/mechanisms/{slug}/take-up", Allow::Keepers),
    ("GET", "/settings/causes", Allow::SignedIn),
    ("GET", "/settings/causes/new", Allow::Keepers),
    ("POST", "/settings/causes/new", Allow::Keepers),
    ("POST", "/settings/causes/{slug}/retire", Allow::Keepers),
    ("POST", "/settings/causes/{slug}/take-up", Allow::Keepers),
    ("GET", "/settings/rules", Allow::Keepers),
    ("POST", "/settings/rules", Allow::Keepers),
    ("GET", "/settings/conference", Allow::Keepers),
    ("POST", "/settings/conference", Allow::Keepers),
    ("GET", "/settings/slides-template", Allow::Keepers),
    ("POST", "/settings/slides-template", Allow::Keepers),
    ("GET", "/settings/slides-template/template.pptx", Allow::Keepers),
    ("POST", "/settings/slides-template/forget", Allow::Keepers),
    ("GET", "/settings/rates", Allow::Keepers),
    ("POST", "/settings/rates", Allow::Keepers),
    ("GET", "/settings/operators", Allow::Keepers),
    ("POST", "/settings/operators", Allow::Keepers),
    ("GET", "/settings/operators/{id}", Allow::Keepers),
    ("POST", "/settings/operators/{id}", Allow::Keepers),
    ("POST", "/settings/operators/{id}/end", Allow::Keepers),
    ("POST", "/settings/operators/{id}/take-up", Allow::Keepers),
    ("GET", "/settings/operators/procedures", Allow::Keepers),
    ("POST", "/settings/operators/procedures", Allow::Keepers),
    ("GET", "/settings/operators/cases", Allow::Keepers),
    ("POST", "/settings/operators/cases", Allow::Keepers),
    ("GET", "/settings/procedures-at-risk", Allow::SignedIn),
    ("POST", "/settings/procedures-at-risk", Allow::Keepers),
    ("GET", "/settings/procedures-at-risk/import", Allow::Keepers),
    ("POST", "/settings/procedures-at-risk/import", Allow::Keepers),
    ("GET", "/settings/own-words", Allow::Writers),
    ("POST", "/settings/own-words", Allow::Keepers),
    ("POST", "/settings/own-words/look-up", Allow::Keepers),
    ("POST", "/settings/own-words/take-off", Allow::Keepers),
    ("POST", "/settings/own-words/empty", Allow::Keepers),
    ("POST", "/settings/own-words/nobody", Allow::Signers),
    ("POST", "/settings/own-words/nobody/{id}/take-back", Allow::Signers),
    ("GET", "/settings/prompts", Allow::SignedIn),
    ("POST", "/settings/prompts", Allow::Keepers),
    ("GET", "/settings/prompts/new", Allow::Keepers),
    ("GET", "/settings/prompts/{slug}", Allow::SignedIn),
    ("GET", "/settings/prompts/{slug}/list.toml", Allow::SignedIn),
    ("GET", "/settings/prompts/{slug}/edit", Allow::Keepers),
    ("POST", "/settings/prompts/{slug}/edit", Allow::Keepers),
    ("POST", "/settings/prompts/{slug}/retire", Allow::Keepers),
    ("POST", "/settings/prompts/{slug}/bring-back", Allow::Keepers),
    ("GET", "/settings/backups", Allow::Keepers),
    ("POST", "/settings/backups", Allow::Keepers),
    ("GET", "/settings/withdrawn", Allow::Keepers),
    ("GET", "/settings/withdrawn/term", Allow::Keepers),
    ("POST", "/settings/withdrawn/term", Allow::Keepers),
    ("POST", "/settings/withdrawn/{code}/put-back", Allow::Keepers),
    ("POST", "/settings/withdrawn/{code}/purge", Allow::Keepers),
    ("GET", "/settings/users", Allow::Keepers),
    ("GET", "/settings/users/new", Allow::Keepers),
    ("POST", "/settings/users/new", Allow::Keepers),
    ("GET", "/settings/users/{id}", Allow::Keepers),
    ("POST", "/settings/users/{id}/role", Allow::Keepers),
    ("POST", "/settings/users/{id}/end", Allow::Keepers),
    ("POST", "/settings/users/{id}/take-up", Allow::Keepers),
    ("POST", "/settings/users/{id}/link", Allow::Keepers),
    ("POST", "/settings/users/{id}/second-factor/off", Allow::Keepers),
    ("POST", "/settings/users/{id}/sessions/end", Allow::Keepers),
];

/// A list of response prompts of the department's own, one that cannot be read: even that has its pages.
const OWN_LIST: &str = "insert into prompt_lists (slug, text, retired) values ('our-list', 'slug = 1', 0)";

const WITHDRAW: &str =
    "update case_records set withdrawn_at = '2020-01-01T00:00:00Z', withdrawn_by = 'Fay Fellow',
    withdrawn_because = 'Recorded twice.'";

#[test]
fn the_table_of_routes_keeps_what_is_promised() {
    let mut promised: Vec<_> = PROMISED
        .iter()
        .map(|(method, path, allow)| ((*method).to_owned(), (*path).to_owned(), format!("{allow:?}")))
        .collect();
    let mut table: Vec<_> = routes()
        .rules()
        .into_iter()
        .filter(|rule| rule.path.starts_with("/settings"))
        .map(|rule| (rule.method.to_string(), rule.path.to_owned(), format!("{:?}", rule.allow)))
        .collect();
    promised.sort();
    table.sort();
    assert_eq!(promised, table);
}

/// Words that identify nobody, under the number of the first account.
const SAID: &str =
    "insert into dismissed_identifiers (id, words_digest, kind, because, dismissed_by, dismissed_at)
    values (1, 'aa', 'Name', 'A sign.', 'Quinn Lead', '2026-01-01T00:00:00Z')";

#[tokio::test]
async fn each_role_gets_through_where_it_may_and_is_turned_away_elsewhere() {
    for role in Role::ALL {
        for (method, path, allow) in PROMISED {
            // A house each: what one route does would change what the next one finds.
            let house = TestApp::init().await;
            let visitor = house.as_role(*role).await;
            house.execute(OWN_LIST).await;
            house.execute(SAID).await;
            let withdrawn = CaseBuilder::new("Withdrawn long ago").insert(&house).await.code;
            house.execute(WITHDRAW).await;
            let fellow = house.user(Role::Fellow).await.id.to_string();
            let slug = match path {
                path if path.contains("causes") => "pt-anatomy-hostile",
                path if path.contains("prompts") => "our-list",
                _ => "flow-no-reflow",
            };
            let path = path.replace("{id}", &fellow).replace("{slug}", slug);
            let path = path.replace("{code}", &withdrawn.to_string());
            let reply = if *method == Method::GET {
                visitor.get(&path).await
            } else {
                visitor.post(&path, &[]).await
            };
            let who = format!("{role} at {method} {path}: {}", reply.status);
            if allow.admits(Some(*role)) {
                let through = [
                    StatusCode::OK,
                    StatusCode::SEE_OTHER,
                    StatusCode::UNPROCESSABLE_ENTITY,
                    StatusCode::BAD_REQUEST,
                    // This house has no place for backups.
                    StatusCode::CONFLICT,
                ];
                assert!(through.contains(&reply.status), "{who}");
                assert!(!reply.location().starts_with("/sign-in"), "{who}");
            } else {
                assert_eq!(reply.status, StatusCode::FORBIDDEN, "{who}");
                let who_does = match allow {
                    Allow::Signers => "An attending or the quality lead does this.",
                    Allow::Writers => "Readers see presented cases",
                    _ => "The quality lead does this.",
                };
                reply.says(who_does);
            }
        }
    }
}

#[tokio::test]
async fn a_stranger_is_led_to_sign_in_and_what_they_sent_changes_nothing() {
    let house = TestApp::init().await;
    let stranger = house.signed_out();
    for (method, path, _) in PROMISED {
        let path = path.replace("{id}", "1").replace("{slug}", "flow-no-reflow");
        if *method == Method::GET {
            let reply = stranger.get(&path).await;
            reply.is(StatusCode::SEE_OTHER);
            assert!(reply.location().starts_with("/sign-in?next="), "{path} leads to {}", reply.location());
        } else {
            stranger
                .post(&path, &[("label", "typed by a stranger")])
                .await
                .is(StatusCode::UNAUTHORIZED)
                .says("typed by a stranger");
        }
    }
    let held = house.app.vocabulary();
    assert!(held.mechanisms.iter().all(|leaf| !leaf.retired && !leaf.own));
}

#[tokio::test]
async fn each_role_reads_what_it_can_set_in_sentences() {
    let house = TestApp::init().await;
    for role in Role::ALL {
        let page = house.as_role(*role).await.get("/settings").await;
        page.is(StatusCode::OK)
            .has("href=\"/account\"")
            .has("href=\"/settings/mechanisms\"")
            .has("href=\"/settings/causes\"");
        page.has("href=\"/settings/procedures-at-risk\"").has("href=\"/settings/prompts\"");
        if role.keeps() {
            page.has("href=\"/settings/users\"")
                .says("4 accounts can sign in.")
                .says("No procedures at risk are counted yet");
        } else {
            page.lacks("href=\"/settings/users\"").says("Your account is yours to set.");
        }
    }
}

#[tokio::test]
async fn readers_of_the_handbook_see_no_buttons_that_refuse_them() {
    let house = TestApp::init().await;
    for role in [Role::Fellow, Role::Attending, Role::Reader] {
        let visitor = house.as_role(role).await;
        for path in ["/settings/mechanisms", "/settings/causes", "/settings/procedures-at-risk"] {
            let page = visitor.get(path).await;
            page.is(StatusCode::OK).lacks("/retire\"").lacks("/new\"").lacks("/import\"").lacks("name=\"n-");
        }
    }
}
