//! What whoever supervises the process asks: whether it answers, and whether it can do its work. No session
//! is needed, and nothing but the state is said.

use std::path::Path;
use std::time::{Duration, Instant};

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use tokio::sync::Mutex;

use super::state::App;

/// How long an answer holds, so that asking often costs nothing.
const HOLDS: Duration = Duration::from_secs(1);
/// How long the database may take to answer.
const PATIENCE: Duration = Duration::from_secs(3);
/// The file that is written to see whether the data folder can be written.
const TRIAL: &str = ".relook-ready";

/// Whether the server was ready when it was last looked.
#[derive(Debug, Default)]
pub(super) struct Readiness(Mutex<Option<(Instant, bool)>>);

fn plain(status: StatusCode, text: &'static str) -> Response {
    (status, [(header::CACHE_CONTROL, "no-store")], text).into_response()
}

/// The process answers.
pub(super) async fn show_health() -> Response {
    plain(StatusCode::OK, "ok\n")
}

/// The database answers and is up to date, and the data folder can be written.
pub(super) async fn show_ready(State(app): State<App>) -> Response {
    let mut held = app.readiness.0.lock().await;
    let ready = match *held {
        Some((at, ready)) if at.elapsed() < HOLDS => ready,
        _ => {
            let ready = look(&app).await;
            *held = Some((Instant::now(), ready));
            ready
        }
    };
    if ready {
        plain(StatusCode::OK, "ready\n")
    } else {
        plain(StatusCode::SERVICE_UNAVAILABLE, "not ready\n")
    }
}

async fn look(app: &App) -> bool {
    match tokio::time::timeout(PATIENCE, app.database.is_up_to_date()).await {
        Ok(Ok(true)) => {}
        Ok(Ok(false)) => {
            tracing::error!("not ready: the database is of another version");
            return false;
        }
        Ok(Err(error)) => {
            tracing::error!(error = %error, "not ready: the database does not answer");
            return false;
        }
        Err(_) => {
            tracing::error!("not ready: the database does not answer in time");
            return false;
        }
    }
    let Some(folder) = app.settings.data_folder.clone() else {
        return true;
    };
    match tokio::task::spawn_blocking(move || try_to_write(&folder)).await {
        Ok(Ok(())) => true,
        Ok(Err(error)) => {
            tracing::error!(kind = ?error.kind(), "not ready: the data folder cannot be written");
            false
        }
        Err(_) => false,
    }
}

fn try_to_write(folder: &Path) -> std::io::Result<()> {
    let trial = folder.join(TRIAL);
    std::fs::write(&trial, b"ready?")?;
    std::fs::remove_file(&trial)
}
