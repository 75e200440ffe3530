//! Serving a door: connections are taken up to a bound, each on a task of its own, so that none waits for
//! another; what is slow is cut; when the server stops, what was accepted is finished.

mod tls;

use std::net::SocketAddr;
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::task::JoinSet;
use tokio_io_timeout::TimeoutStream;
use tower::ServiceExt as _;

pub use self::tls::{Certificate, CertificateError};

/// The most connections of one door at a time; more wait until one is free. A browser opens up to six, and
/// what is idle is closed after [`HEAD_TIME`]. Two doors stay below the 1,024 files that a process may
/// usually have open.
const CONNECTIONS: usize = 400;
/// How long a connection may take to agree on TLS.
const HANDSHAKE_TIME: Duration = Duration::from_secs(10);
/// How long the head of a request may take, and how long a connection may be idle.
const HEAD_TIME: Duration = Duration::from_secs(15);
/// How long an answer may make no way because the other side does not take it.
const WRITE_TIME: Duration = Duration::from_secs(30);
/// The most bytes of a request's head.
const HEAD_BYTES: usize = 64 * 1024;
/// How long to wait when the system has no room for a further connection.
const NO_ROOM: Duration = Duration::from_millis(500);

/// A door as it is served.
pub(super) struct Door {
    pub(super) listener: TcpListener,
    pub(super) router: Router,
    /// With it the door speaks TLS and nothing else.
    pub(super) certificate: Option<Arc<Certificate>>,
    /// How long requests that were accepted may still take once the server was asked to stop.
    pub(super) patience: Duration,
}

/// What a connection needs.
struct Serving {
    router: Router,
    certificate: Option<Arc<Certificate>>,
}

/// Serves a door until `stopped`, and then what was accepted.
pub(super) async fn serve(door: Door, stopped: watch::Receiver<()>) {
    let Door { listener, router, certificate, patience } = door;
    let serving = Arc::new(Serving { router, certificate });
    let graceful = GracefulShutdown::new();
    let room = Arc::new(Semaphore::new(CONNECTIONS));
    let mut tasks = JoinSet::new();
    let mut stop = pin!(super::closed(stopped));
    loop {
        let next = async {
            let place = Arc::clone(&room).acquire_owned().await;
            (accept(&listener).await, place)
        };
        let ((stream, peer), place) = tokio::select! {
            () = &mut stop => break,
            accepted = next => accepted,
            Some(_) = tasks.join_next() => continue,
        };
        let (serving, watcher) = (Arc::clone(&serving), graceful.watcher());
        tasks.spawn(async move {
            serving.connection(stream, peer, watcher).await;
            drop(place);
        });
    }
    // Nobody else is let in; whoever knocks is told so by the system.
    drop(listener);
    if tokio::time::timeout(patience, graceful.shutdown()).await.is_err() {
        tracing::warn!(connections = tasks.len(), "stopped before every request was answered");
    }
    tasks.shutdown().await;
}

async fn accept(listener: &TcpListener) -> (TcpStream, SocketAddr) {
    loop {
        match listener.accept().await {
            Ok(accepted) => return accepted,
            // One that went away before it was taken is no matter; a lack of room passes.
            Err(error) if error.kind() == std::io::ErrorKind::ConnectionAborted => {}
            Err(error) => {
                tracing::warn!(kind = ?error.kind(), "a connection could not be taken");
                tokio::time::sleep(NO_ROOM).await;
            }
        }
    }
}

impl Serving {
    async fn connection(&self, stream: TcpStream, peer: SocketAddr, watcher: Watcher) {
        // An answer is written in one go: waiting for more only makes it late.
        let _ = stream.set_nodelay(true);
        match &self.certificate {
            None => self.requests(stream, peer, watcher).await,
            Some(certificate) => {
                let agreed =
                    tokio::time::timeout(HANDSHAKE_TIME, certificate.acceptor().accept(stream)).await;
                // Whoever cannot agree on TLS, or does not in time, is no matter of ours.
                if let Ok(Ok(stream)) = agreed {
                    self.requests(stream, peer, watcher).await;
                }
            }
        }
    }

    async fn requests(
        &self,
        stream: impl AsyncRead + AsyncWrite + Send + 'static,
        peer: SocketAddr,
        watcher: Watcher,
    ) {
        let mut stream = TimeoutStream::new(stream);
        stream.set_write_timeout(Some(WRITE_TIME));
        let router = self.router.clone();
        let answer = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
            request.extensions_mut().insert(ConnectInfo(peer));
            router.clone().oneshot(request.map(Body::new))
        });
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD_TIME)
            .max_buf_size(HEAD_BYTES)
            .serve_connection(TokioIo::new(Box::pin(stream)), answer);
        // A connection that broke off is no matter of ours.
        let _ = watcher.watch(connection).await;
    }
}
