//! The web edge: one table of routes, short handlers, pages.
//!
//! A request passes: the layers ([`layers`]), the session ([`session`]), the rule of its route
//! ([`router`], [`access`]), then a handler that parses, calls the record and renders a template.

mod access;
mod assets;
mod cookie;
mod download;
mod drafts;
mod error;
mod figure_part;
mod files;
mod filters;
mod frame;
mod health;
mod hits;
mod hosts;
mod layers;
mod merge;
mod paging;
mod server;
mod session;
mod state;
mod tries;
mod usual_rates;

pub mod form;
mod form_page;
pub mod router;

mod account;
mod actions;
mod booklet;
mod case;
mod combination;
mod conference;
mod definitions;
mod judgements;
mod library;
mod look_through;
mod operators;
mod overview;
mod present;
mod rates;
mod recurring;
mod release;
mod settings;
mod sign_in;
pub mod votes;

pub use access::Allow;
pub use cookie::Transport;
pub use error::Error;
pub use hosts::{HostName, HostNameError, Hosts};
pub use layers::Rate;
pub use server::{Certificate, CertificateError};
pub use state::{App, Clock, Settings};

use std::sync::Arc;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::sync::watch;

use crate::database::Database;

/// How long requests may still take once the server was asked to stop.
const PATIENCE: Duration = Duration::from_secs(30);
/// How long a phone may still take.
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
    /// With it both doors speak TLS and nothing else.
    pub certificate: Option<Certificate>,
}

/// Serves until the process is asked to stop; requests that were accepted are answered first, within
/// half a minute.
///
/// # Errors
/// When the vocabularies cannot be read.
pub async fn serve(doors: Doors, database: Database, settings: Settings, stop: Stop) -> anyhow::Result<()> {
    let app = App::new(database, settings).await?;
    let database = app.database.clone();
    let certificate = doors.certificate.map(Arc::new);
    let backups = tokio::spawn(settings::backups::keep(app.clone()));
    app.look_through_again();
    // Dropped when the process is asked to stop, which every door hears.
    let (open, stopped) = watch::channel(());
    let record = server::serve(
        server::Door {
            listener: doors.record,
            router: application(app.clone()),
            certificate: certificate.clone(),
            patience: PATIENCE,
        },
        stopped.clone(),
    );
    let phones = async {
        if let Some(listener) = doors.phones {
            let router = votes::phone_router(app);
            let certificate = certificate.clone();
            let door = server::Door { listener, router, certificate, patience: PHONES_PATIENCE };
            server::serve(door, stopped.clone()).await;
        }
    };
    let stopping = async {
        stop.asked(certificate.as_deref()).await;
        drop(open);
    };
    tokio::join!(record, phones, stopping);
    // A backup that has begun is still finished: the runtime waits for it.
    backups.abort();
    database.close().await;
    Ok(())
}

/// Resolves when the other end was dropped.
async fn closed(mut open: watch::Receiver<()>) {
    while open.changed().await.is_ok() {}
}

/// SIGINT, SIGTERM and SIGHUP, listened for from the moment this is made: whoever tells people that the
/// server is there makes it first, so that an early Ctrl-C stops it in good order too.
#[derive(Debug)]
pub struct Stop {
    interrupt: Signal,
    terminate: Signal,
    hang_up: Signal,
}

impl Stop {
    /// Listens from now on.
    ///
    /// # Errors
    /// When the system gives no signals.
    pub fn listen() -> std::io::Result<Self> {
        Ok(Self {
            interrupt: signal(SignalKind::interrupt())?,
            terminate: signal(SignalKind::terminate())?,
            hang_up: signal(SignalKind::hangup())?,
        })
    }

    /// Resolves when the process was asked to stop. Until then SIGHUP has a renewed certificate taken up;
    /// without one it asks to stop, as a terminal that is closed does.
    async fn asked(mut self, certificate: Option<&Certificate>) {
        loop {
            tokio::select! {
                _ = self.interrupt.recv() => return,
                _ = self.terminate.recv() => return,
                _ = self.hang_up.recv() => match certificate.map(Certificate::read_again) {
                    None => return,
                    Some(Ok(())) => tracing::info!("the certificate was read again"),
                    Some(Err(error)) => tracing::error!(%error, "the certificate stays as it was"),
                },
            }
        }
    }
}
