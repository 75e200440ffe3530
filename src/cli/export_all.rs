//! `relook export --all`: everything in the record as open files, of one moment.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use sqlx::SqliteConnection;

use super::Verdict;
use super::data::make_folder;
use super::export::write_whole;
use super::files::progress;
use crate::case::{Day, Month, Sight, store as cases};
use crate::database::{Database, tables_sqlite};
use crate::department::{self, Department};
use crate::export::case_file::{schema_file, to_json, to_toml};
use crate::export::csv::{Cell, csv_file};
use crate::export::everything::{self, Leaves, TABLES, Told};
use crate::export::markdown::document_to_markdown;
use crate::rates::{AtRisk, RateLine, store as rates};
use crate::review::minutes::{minutes, store as minutes_store};
use crate::review::summary::{rate_mechanism, teaching_summary};
use crate::vocabulary::{Vocabulary, store as vocabularies};

pub(super) async fn run(
    database: &Database,
    to: &Path,
    force: bool,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    let filled = std::fs::read_dir(to).is_ok_and(|mut entries| entries.next().is_some());
    if filled && !force {
        writeln!(
            complaints,
            "{} is there already and not empty. Nothing was written. Write over what is in it with --force.",
            to.display()
        )?;
        return Ok(Verdict::Problems);
    }
    let now = Timestamp::now().to_zoned(TimeZone::system()).date();
    let export = Export { folder: Folder::make(to)?, today: now.into() };
    let mut tx = database.read_together().await?;
    let told = export.write(&mut tx).await;
    drop(tx);
    database.close().await;
    writeln!(out, "Wrote {} to {}. README.md says what each file is.", told?, to.display())?;
    Ok(Verdict::Fine)
}

/// The folder that everything goes to.
struct Folder(PathBuf);

impl Folder {
    fn make(to: &Path) -> anyhow::Result<Self> {
        for part in ["", "cases", "conferences", "tables"] {
            let folder = to.join(part);
            make_folder(&folder)
                .with_context(|| format!("The folder {} cannot be made", folder.display()))?;
        }
        Ok(Self(to.to_owned()))
    }

    fn write(&self, name: &str, content: &(impl AsRef<[u8]> + ?Sized)) -> anyhow::Result<()> {
        let path = self.0.join(name);
        write_whole(&path, content.as_ref()).with_context(|| format!("{} cannot be written", path.display()))
    }
}

struct Export {
    folder: Folder,
    today: Day,
}

impl Export {
    /// Writes everything; says what, in words.
    async fn write(&self, conn: &mut SqliteConnection) -> anyhow::Result<String> {
        let vocabulary = vocabularies::load(conn).await?;
        let department = department::store::load(conn, &vocabulary).await?;
        let cases = self.cases(conn, &vocabulary, &department).await?;
        let conferences = self.conferences(conn, &vocabulary).await?;
        self.rates(conn, &vocabulary).await?;
        let tables = self.tables(conn).await?;
        let day = self.today.to_string();
        // The first page comes last: where it is, all is.
        let page = everything::index(&Told { day: &day, cases, conferences, tables: &tables });
        self.folder.write("README.md", &page)?;
        Ok(format!("{cases} cases, {conferences} conferences and the tables of the record"))
    }

    fn month(&self) -> anyhow::Result<Month> {
        let date = self.today.date();
        Month::new(date.year().into(), date.month().into()).context("The clock of this machine is wrong")
    }

    async fn cases(
        &self,
        conn: &mut SqliteConnection,
        vocabulary: &Vocabulary,
        department: &Department,
    ) -> anyhow::Result<usize> {
        self.folder.write("cases/case.schema.json", &schema_file())?;
        let codes = cases::codes(conn).await?;
        let bar = progress("Writing", codes.len());
        for code in &codes {
            let stored = cases::find(conn, *code)
                .await?
                .with_context(|| format!("The case {code} cannot be found"))?;
            let rate = match rate_mechanism(&stored) {
                Some(mechanism) => rates::case_rate(conn, vocabulary, &mechanism, self.month()?).await?,
                None => None,
            };
            let summary = teaching_summary(&stored, vocabulary, department, rate.as_ref());
            let case = stored.to_case();
            self.folder.write(&format!("cases/{code}.json"), &to_json(&case))?;
            self.folder.write(&format!("cases/{code}.toml"), &to_toml(&case))?;
            self.folder.write(&format!("cases/{code}-summary.md"), &document_to_markdown(&summary))?;
            for row in &stored.pictures {
                if let Some(png) = cases::png(conn, &row.value.still.digest).await? {
                    self.folder.write(&format!("cases/{code}-picture-{}.png", row.id), &png)?;
                }
            }
            bar.inc(1);
        }
        bar.finish_and_clear();
        Ok(codes.len())
    }

    async fn conferences(
        &self,
        conn: &mut SqliteConnection,
        vocabulary: &Vocabulary,
    ) -> anyhow::Result<usize> {
        let ids = tables_sqlite::rows(conn, "conferences", Some(&["id"])).await?;
        let ids: Vec<i64> = ids.rows.iter().flatten().filter_map(serde_json::Value::as_i64).collect();
        for id in &ids {
            let inputs = minutes_store::gather(conn, *id, Sight::All)
                .await?
                .with_context(|| format!("The conference {id} cannot be found"))?;
            let day = inputs.meeting.conference.plan.held_on;
            let text = document_to_markdown(&minutes(&inputs, vocabulary));
            self.folder.write(&format!("conferences/{day}-{id}-minutes.md"), &text)?;
        }
        Ok(ids.len())
    }

    async fn rates(&self, conn: &mut SqliteConnection, vocabulary: &Vocabulary) -> anyhow::Result<()> {
        let period = rates::default_period(conn, self.month()?).await?;
        let table = rates::table(conn, vocabulary, period).await?;
        let lines = std::iter::once(&table.whole).chain(&table.branches).chain(&table.with_events);
        let columns = [
            "line",
            "kind",
            "from month",
            "to month",
            "cases",
            "procedures at risk",
            "procedures at risk are",
            "rate per 1,000 procedures",
            "lower 95 % limit (Wilson), per 1,000",
            "upper 95 % limit (Wilson), per 1,000",
            "note",
        ]
        .map(str::to_owned);
        let months = (period.from().to_string(), period.to().to_string());
        let rows: Vec<Vec<Cell>> = lines.map(|line| rate_row(line, &months)).collect();
        self.folder.write("rates.csv", &csv_file(&columns, &rows))?;
        self.at_risk(conn, vocabulary).await
    }

    async fn at_risk(&self, conn: &mut SqliteConnection, vocabulary: &Vocabulary) -> anyhow::Result<()> {
        let (first, last) = (Month::new(1990, 1)?, Month::new(2100, 12)?);
        let counts = rates::at_risk(conn, first, last).await?;
        let strata: Vec<String> = vocabulary.strata.iter().map(|stratum| stratum.slug.to_string()).collect();
        let months: BTreeSet<Month> = counts.iter().map(|cell| cell.month).collect();
        let held: BTreeMap<(Month, String), Option<u32>> = counts
            .iter()
            .map(|AtRisk { month, stratum, procedures }| ((*month, stratum.to_string()), *procedures))
            .collect();
        let rows: Vec<Vec<Cell>> = months
            .iter()
            .map(|month| {
                let count = |slug: &String| held.get(&(*month, slug.clone())).copied().flatten();
                let cells =
                    strata.iter().map(|slug| count(slug).map_or(Cell::Empty, |n| Cell::Whole(n.into())));
                std::iter::once(Cell::text(month.to_string())).chain(cells).collect()
            })
            .collect();
        let columns: Vec<String> = std::iter::once("month".to_owned()).chain(strata).collect();
        self.folder.write("procedures-at-risk.csv", &csv_file(&columns, &rows))
    }

    /// Writes the tables that leave; gives the names of all.
    async fn tables(&self, conn: &mut SqliteConnection) -> anyhow::Result<Vec<String>> {
        let names = tables_sqlite::names(conn).await?;
        for (name, leaves) in TABLES.iter().filter(|(name, _)| names.iter().any(|there| there == name)) {
            let columns = match leaves {
                Leaves::Whole(_) => None,
                Leaves::Columns(columns, _) => Some(*columns),
                Leaves::Nothing(_) => continue,
            };
            let table = tables_sqlite::rows(conn, name, columns).await?;
            self.folder.write(&format!("tables/{name}.json"), &everything::as_json(&table))?;
            self.folder.write(&format!("tables/{name}.csv"), &everything::as_csv(&table))?;
        }
        Ok(names)
    }
}

fn rate_row(line: &RateLine, (from, to): &(String, String)) -> Vec<Cell> {
    let rate = line.rate();
    vec![
        Cell::text(line.label.clone()),
        Cell::text(line.subject.key().0),
        Cell::text(from.clone()),
        Cell::text(to.clone()),
        Cell::Whole(line.now.events()),
        Cell::Whole(line.now.procedures()),
        Cell::text(line.stratum_label.clone()),
        Cell::maybe(rate.map(|rate| rate.per_1000())),
        Cell::maybe(rate.map(|rate| rate.wilson().lower())),
        Cell::maybe(rate.map(|rate| rate.wilson().upper())),
        Cell::text(line.notes().join(" ")),
    ]
}
