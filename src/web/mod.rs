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
mod layers;
mod state;
mod usual_rates;

pub mod form;
mod form_page;
pub mod router;

mod account;
mod case;
mod conference;
mod definitions;
mod operators;
mod overview;
mod present;
mod rates;
mod settings;
mod sign_in;

pub use access::Allow;
pub use error::Error;
pub use state::{App, Settings};

use tokio::signal::unix::{Signal, SignalKind, signal};

use crate::database::Database;

/// The application over an open database: what the server runs and what the tests call.
pub fn application(app: App) -> axum::Router {
    layers::wrap(router::routes().into_router(), app)
}

/// Serves until the process is asked to stop; requests that were accepted are answered first.
///
/// # Errors
/// When the vocabularies cannot be read, or the listener fails.
pub async fn serve(
    listener: tokio::net::TcpListener,
    database: Database,
    settings: Settings,
    stop: Stop,
) -> anyhow::Result<()> {
    let app = App::new(database, settings).await?;
    let database = app.database.clone();
    axum::serve(listener, application(app)).with_graceful_shutdown(stop.asked()).await?;
    database.close().await;
    Ok(())
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
