//! What a command says of words that may identify somebody.

use std::io::Write;

use sqlx::SqliteConnection;

use crate::case::identifier::{OpenIdentifier, open};
use crate::case::{Case, CaseCode, StoredCase, store};

/// A line for each place, with what names the case before it.
pub(super) fn tell(to: &mut dyn Write, name: &str, found: &[OpenIdentifier]) -> std::io::Result<()> {
    found.iter().try_for_each(|one| {
        let kind = one.kind.to_lowercase();
        writeln!(to, "{name}: {}: “{}” may identify somebody ({kind}).", one.place, one.words)
    })
}

/// What in a case of a file may identify somebody, as far as can be said without a department's own list.
pub(super) fn in_file(case: &Case) -> Vec<OpenIdentifier> {
    let code = case.code.or_else(|| CaseCode::new(case.month.year(), 1).ok());
    code.map(|code| StoredCase::of_file(case.clone(), code).identifiers).unwrap_or_default()
}

/// Those of these cases that are held back, told a line for each place, looked through now.
///
/// # Errors
/// What the database says, and a terminal that cannot be written to.
pub(super) async fn tell_of(
    conn: &mut SqliteConnection,
    codes: &[CaseCode],
    to: &mut dyn Write,
) -> anyhow::Result<Vec<CaseCode>> {
    let own = store::own_words(conn).await?;
    let mut held = Vec::new();
    for &code in codes {
        let Some(case) = store::find(conn, code).await? else { continue };
        let found = open(&case, &own, &store::dismissals(conn, case.id).await?);
        if !found.is_empty() {
            tell(to, &code.to_string(), &found)?;
            held.push(code);
        }
    }
    Ok(held)
}

/// How many cases are held back, in a sentence.
pub(super) fn how_many(cases: usize) -> String {
    match cases {
        1 => "1 case may identify somebody".to_owned(),
        many => format!("{many} cases may identify somebody"),
    }
}
