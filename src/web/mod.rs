//! The web edge: one table of routes, short handlers, pages.
//!
//! A request passes: the layers ([`layers`]), the session ([`access`]), the rule of its route
//! ([`router`]), then a handler that parses, calls the record and renders a template.

mod access;
mod assets;
mod download;
mod error;
mod figure_part;
mod filters;
mod frame;
mod hits;
mod layers;
mod paging;
mod state;
mod usual_rates;

pub mod form;
mod form_page;
pub mod router;

mod account;
mod actions;
mod case;
mod conference;
mod definitions;
mod judgements;
mod library;
mod operators;
mod overview;
mod present;
mod rates;
mod recurring;
mod settings;
mod sign_in;
pub mod votes;

pub use access::Allow;
pub use error::Error;
pub use state::{App, Settings};

use std::time::Duration;

use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::sync::watch;

use crate::database::Database;

/// How long a phone may still take to finish its request once the server was asked to stop.
const PHONES_PATIENCE: Duration = Duration::from_secs(3);

/// The application over an open database: what the server runs and what the tests call.
pub fn application(app: App) -> axum::Router {
    layers::wrap(router::routes().into_router(), app)
}

/// Where the server listens.
#[derive(Debug)]
pub struct Doors {
    /// The door to the whole application, for people with an account.
    pub record: TcpListener,
    /// A second door for phones, opened on purpose: it leads to the votes and to nothing else.
    pub phones: Option<TcpListener>,
}

/// Serves until the process is asked to stop; requests that were accepted are answered first.
///
/// # Errors
/// When the vocabularies cannot be read, or a listener fails.
pub async fn serve(doors: Doors, database: Database, settings: Settings, stop: Stop) -> anyhow::Result<()> {
    let app = App::new(database, settings).await?;
    let database = app.database.clone();
    let backups = tokio::spawn(settings::backups::keep(app.clone()));
    // Dropped when the process is asked to stop, which every door hears.
    let (open, stopped) = watch::channel(());
    let record = axum::serve(doors.record, application(app.clone()))
        .with_graceful_shutdown(closed(stopped.clone()))
        .into_future();
    let stopping = async {
        stop.asked().await;
        drop(open);
        Ok(())
    };
    let served = tokio::try_join!(record, serve_phones(doors.phones, app, stopped), stopping);
    // A backup that has begun is still finished: the runtime waits for it.
    backups.abort();
    served?;
    database.close().await;
    Ok(())
}

/// Serves the votes to phones. A phone that never finishes its request does not keep the server up.
async fn serve_phones(
    listener: Option<TcpListener>,
    app: App,
    stopped: watch::Receiver<()>,
) -> std::io::Result<()> {
    let Some(listener) = listener else {
        return Ok(());
    };
    let serving = axum::serve(listener, votes::phone_router(app))
        .with_graceful_shutdown(closed(stopped.clone()))
        .into_future();
    let at_the_latest = async {
        closed(stopped).await;
        tokio::time::sleep(PHONES_PATIENCE).await;
    };
    tokio::select! { result = serving => result, () = at_the_latest => Ok(()) }
}

/// Resolves when the other end was dropped.
async fn closed(mut open: watch::Receiver<()>) {
    while open.changed().await.is_ok() {}
}

/// SIGINT and SIGTERM, listened for from the moment this is made: whoever tells people that the
/// server is there makes it first, so that an early Ctrl-C stops it in good order too.
#[derive(Debug)]
pub struct Stop {
    interrupt: Signal,
    terminate: Signal,
}

impl Stop {
    /// Listens from now on.
    ///
    /// # Errors
    /// When the system gives no signals.
    pub fn listen() -> std::io::Result<Self> {
        Ok(Self { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    /// Resolves when the process was asked to stop.
    async fn asked(mut self) {
        tokio::select! { _ = self.interrupt.recv() => {}, _ = self.terminate.recv() => {} }
    }
}
