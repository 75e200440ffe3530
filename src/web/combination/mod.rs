//! Which cases the plain facts tell apart, looked at before cases leave the department.

mod files;
mod one;
mod page;
mod query;

use sqlx::SqliteConnection;

use super::access::Allow;
use super::error::Error;
use super::router::Routes;
use super::state::App;
use crate::rates::combination::Combinations;
use crate::rates::store;

/// Where all cases are looked at together.
pub(super) const PATH: &str = "/export/combinations";
const CSV_PATH: &str = "/export/combinations.csv";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(PATH, Allow::Signers, page::show).get(CSV_PATH, Allow::Signers, files::download_csv).get(
        "/cases/{code}/combination",
        Allow::Signers,
        one::show,
    )
}

/// The facts of every case, and how many have to look alike.
pub(super) async fn load(app: &App, conn: &mut SqliteConnection) -> Result<(Combinations, usize), Error> {
    let settings = store::settings(conn).await?;
    let cases = store::case_facts(conn).await?;
    let all = Combinations::of(cases, &app.vocabulary()).map_err(anyhow::Error::new)?;
    Ok((all, settings.group.get() as usize))
}

/// A number of cases in words that begin no sentence.
fn cases(count: usize) -> String {
    if count == 1 { "1 case".to_owned() } else { format!("{count} cases") }
}
