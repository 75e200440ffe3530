//! The web edge: one table of routes, short handlers, pages.
//!
//! A request passes: the layers ([`layers`]), the session ([`access`]), the rule of its route
//! ([`router`]), then a handler that parses, calls the record and renders a template.

mod access;
mod assets;
mod error;
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
mod overview;
mod rates;
mod settings;
mod sign_in;

pub use access::Allow;
pub use error::Error;
pub use state::{App, Settings};

use tokio::signal::unix::{SignalKind, signal};

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
) -> anyhow::Result<()> {
    // Before anything else, so that asking to stop works from the first moment.
    let stop = stop_asked()?;
    let app = App::new(database, settings).await?;
    let database = app.database.clone();
    axum::serve(listener, application(app)).with_graceful_shutdown(stop).await?;
    database.close().await;
    Ok(())
}

/// Listens for SIGINT and SIGTERM from now on; resolves when the process gets one.
fn stop_asked() -> std::io::Result<impl Future<Output = ()>> {
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! { _ = interrupt.recv() => {}, _ = terminate.recv() => {} }
    })
}
