//! No secret is written into a log or onto a page that is not its own.

use std::io::Write;
use std::sync::{Arc, Mutex};

use relook::cli::log_filter;
use tracing_subscriber::EnvFilter;

use crate::support::{PASSWORD, Role, SESSION_COOKIE, StatusCode, TestApp};

#[derive(Clone, Default)]
struct Kept(Arc<Mutex<Vec<u8>>>);

impl Write for Kept {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[tokio::test]
async fn a_whole_visit_leaves_no_secret_in_the_log_or_on_later_pages() {
    let log = Kept::default();
    let writer = log.clone();
    let subscriber = tracing_subscriber::fmt()
        .with_env_filter(log_filter(EnvFilter::new("trace")))
        .with_ansi(false)
        .with_writer(move || writer.clone())
        .finish();
    let logging = tracing::subscriber::set_default(subscriber);

    let house = TestApp::init().await;
    let link = house.sign_in_link(Role::Fellow).await;
    let mut secrets = vec![PASSWORD.to_owned(), link.rsplit('/').next().unwrap().to_owned()];
    let client = house.signed_out();
    client.get(&link).await.expect(StatusCode::OK);
    client
        .post(&link, &[("new_password", PASSWORD), ("again", PASSWORD)])
        .await
        .expect(StatusCode::SEE_OTHER);
    secrets.push(client.cookie(SESSION_COOKIE).unwrap());
    client.post("/account/second-factor/new", &[]).await.expect(StatusCode::SEE_OTHER);
    let key = client.get("/account/second-factor").await.texts(".key-text")[0].replace(' ', "");
    let code = house.code(&key.parse().unwrap(), 0);
    let proof = [("current_password", PASSWORD), ("code", code.as_str())];
    let shown = client.post("/account/second-factor", &proof).await;
    shown.expect(StatusCode::OK);
    assert_eq!(shown.headers["cache-control"], "no-store");
    let recovery = shown.texts(".recovery-codes code");
    assert_eq!(recovery.len(), 10);
    secrets.push(client.cookie(SESSION_COOKIE).unwrap());
    secrets.extend([key.clone(), recovery[0].clone(), recovery[1].clone()]);
    let wrong = "a wrong password in words";
    secrets.push(wrong.to_owned());
    let again = house.signed_out();
    again.sign_in("Fay Fellow", wrong).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    again.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    secrets.push(again.cookie("relook_step").unwrap());
    again.post("/sign-in/code", &[("code", &recovery[0])]).await.expect(StatusCode::SEE_OTHER);
    secrets.push(again.cookie(SESSION_COOKIE).unwrap());

    let lead = house.with_quality_lead().await;
    let id = house.user(Role::Fellow).await.id;
    for (visitor, path) in [
        (&again, "/account".to_owned()),
        (&again, "/account/second-factor".to_owned()),
        (&again, "/settings".to_owned()),
        (&lead, "/settings/users".to_owned()),
        (&lead, format!("/settings/users/{id}")),
    ] {
        let page = visitor.get(&path).await;
        page.expect(StatusCode::OK);
        for secret in secrets.iter().map(String::as_str).chain(["$argon2id"]) {
            assert!(!page.html.contains(secret), "{path} shows a secret");
        }
    }

    drop(logging);
    let logged = String::from_utf8(log.0.lock().unwrap().clone()).unwrap();
    assert!(logged.contains("/sign-in/link/{secret}") && logged.contains("answered"), "{logged}");
    for secret in &secrets {
        assert!(!logged.contains(secret.as_str()), "the log holds {secret}");
    }
    // Nor does the database hold what only a person is to have.
    let bytes = house.file_bytes();
    let kept = String::from_utf8_lossy(&bytes);
    for secret in secrets.iter().filter(|secret| **secret != key) {
        assert!(!kept.contains(secret.as_str()), "the database holds {secret}");
    }
}
