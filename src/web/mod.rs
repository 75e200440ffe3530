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

use crate::database::Database;

/// The application over an open database: what the server runs and what the tests call.
#[must_use]
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
    let app = App::new(database, settings).await?;
    let database = app.database.clone();
    axum::serve(listener, application(app)).with_graceful_shutdown(stop_asked()).await?;
    database.close().await;
    Ok(())
}

/// Resolves when the process gets SIGINT or SIGTERM.
async fn stop_asked() {
    let interrupt = tokio::signal::ctrl_c();
    match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
        Ok(mut terminate) => {
            tokio::select! { _ = interrupt => {}, _ = terminate.recv() => {} }
        }
        Err(_) => {
            let _ = interrupt.await;
        }
    }
}
