//! The history: that nothing changes unwritten, that it cannot be altered unseen, that what it holds can be
//! brought back, and what goes for good.

mod chain;
mod pages;
mod versions;
mod withdrawal;

use relook::history::verify::{self, Broken, Findings};
use relook::history::{Change, store};

use crate::support::TestApp;

/// What a check of the chain and of the record against it finds.
async fn check(app: &TestApp) -> Findings {
    let mut conn = app.app.database.read().await.unwrap();
    let mut findings = verify::chain(&mut conn, None).await.unwrap();
    findings.broken.extend(verify::record(&mut conn).await.unwrap());
    findings
}

async fn expect_whole(app: &TestApp) -> Findings {
    let findings = check(app).await;
    assert_eq!(findings.broken, Vec::<Broken>::new());
    findings
}

/// The changes of a table, as they were written.
async fn changes(app: &TestApp, table: &str) -> Vec<Change> {
    let mut conn = app.app.database.read().await.unwrap();
    store::changes_of_table(&mut conn, table).await.unwrap()
}
