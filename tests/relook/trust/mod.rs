//! Nothing lost: backups and their way back, faults of the disk, a process that is killed, input that
//! nobody meant to send.

mod backup;
mod everything;
mod faults;
mod fuzz;
mod killed;
mod rotating;
mod server;

pub(crate) use killed::{Chance, from_environment};

use std::path::Path;

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions as _, Connection as _};

use server::now;

/// What a database file says when it is asked, first column, first row.
fn asked(file: &Path, sql: &'static str) -> String {
    now(async {
        let mut conn = SqliteConnectOptions::new().filename(file).connect().await.unwrap();
        let answer: String = sqlx::query_scalar(sql).fetch_one(&mut conn).await.unwrap();
        conn.close().await.unwrap();
        answer
    })
}

/// Changes a database file behind the program's back.
fn edited(file: &Path, sql: &'static str) {
    now(async {
        let mut conn = SqliteConnectOptions::new().filename(file).connect().await.unwrap();
        sqlx::raw_sql(sql).execute(&mut conn).await.unwrap();
        conn.close().await.unwrap();
    });
}

/// The situations of all cases, in order, a line each.
fn situations(file: &Path) -> Vec<String> {
    let all = asked(
        file,
        "select coalesce(group_concat(situation, char(10)), '') from (select situation from cases order by situation)",
    );
    all.lines().map(str::to_owned).collect()
}
