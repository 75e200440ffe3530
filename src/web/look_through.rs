//! Cases are looked through again, some at a time, when the finders or the department's list have changed.

use std::time::Duration;

use super::state::App;
use crate::case::store;
use crate::database::StoreError;

/// Cases in one transaction: few enough that nobody's save waits for long.
const AT_ONCE: u32 = 25;
/// Between two transactions, so that others come in.
const PAUSE: Duration = Duration::from_millis(20);

impl App {
    /// Begins to look through the cases that were not looked through with the present finders and list. It
    /// goes on beside the requests; what a restart interrupts, the next start takes up.
    pub(super) fn look_through_again(&self) {
        let app = self.clone();
        tokio::spawn(async move {
            if let Err(error) = app.look_through().await {
                tracing::warn!(
                    error = error.sentence().unwrap_or("the database does not answer"),
                    "cases are not looked through"
                );
            }
        });
    }

    async fn look_through(&self) -> Result<(), StoreError> {
        loop {
            let mut tx = self.database.write().await?;
            let read = store::read_some(&mut tx, AT_ONCE).await?;
            tx.commit().await?;
            if read == 0 {
                return Ok(());
            }
            tokio::time::sleep(PAUSE).await;
        }
    }
}
