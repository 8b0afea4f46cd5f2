//! The server: listens, bounds what one peer and all together may take, speaks TLS if it is told to,
//! and stops without cutting off an answer.

use std::io;
use std::net::{IpAddr, SocketAddr};
use std::path::{Path, PathBuf};
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::connect_info::Connected;
use axum::extract::{ConnectInfo, Request};
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tower::ServiceExt;

use super::pages;
use super::plant::Plant;
use super::site::{Doors, Site};

/// Connections at a time; more wait at the door (common practice, no source).
const CONNECTIONS: usize = 256;
/// Longest time for a request's head and for a handshake; an idle connection is closed after it.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Longest head of a request, in bytes: a walk's address is at most half of it.
const LONGEST_HEAD: usize = 16 * 1024;
const MOST_HEADERS: usize = 64;
/// How long answers on their way may take when the server stops.
const STOP_TIME: Duration = Duration::from_secs(10);

/// A certificate with its key.
#[derive(Clone, Debug)]
pub struct Tls {
    /// PEM file of the certificate and its chain.
    pub certificate: PathBuf,
    /// PEM file of the private key.
    pub key: PathBuf,
}

/// Why the server does not start.
#[derive(Debug, thiserror::Error)]
pub enum ServerError {
    /// Nothing can listen there.
    #[error("{address} can't be listened on: {error}")]
    Listen {
        /// Where.
        address: SocketAddr,
        /// Why.
        error: io::Error,
    },
    /// The certificate or key can't be used.
    #[error("{} can't be used for TLS: {reason}", .path.display())]
    Tls {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// The system refused something.
    #[error("the server can't run: {0}")]
    System(#[from] io::Error),
}

/// A server that listens.
pub struct Server {
    runtime: tokio::runtime::Runtime,
    listener: TcpListener,
    tls: Option<TlsAcceptor>,
    address: SocketAddr,
}

impl Server {
    /// Listens on an address; port 0 takes a free one.
    ///
    /// # Errors
    /// [`ServerError`].
    pub fn bind(address: SocketAddr, tls: Option<&Tls>) -> Result<Server, ServerError> {
        let tls = tls.map(acceptor).transpose()?;
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .enable_all()
            .max_blocking_threads(8)
            .build()?;
        let listen = |error| ServerError::Listen { address, error };
        let listener = runtime
            .block_on(TcpListener::bind(address))
            .map_err(listen)?;
        let address = listener.local_addr()?;
        Ok(Server {
            runtime,
            listener,
            tls,
            address,
        })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves until the process is told to stop; answers on their way are finished first.
    ///
    /// # Errors
    /// When the system no longer lets it listen.
    pub fn run(self, plant: Plant, doors: Doors) -> Result<(), ServerError> {
        let site = Site::new(plant, doors);
        let Server {
            runtime,
            listener,
            tls,
            ..
        } = self;
        runtime.block_on(serve(listener, tls, site))?;
        // Pages that are still computed for nobody are not waited for.
        runtime.shutdown_timeout(Duration::from_secs(1));
        Ok(())
    }
}

/// Both ends of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Peer {
    /// Whose request it is.
    pub other: IpAddr,
    /// The address of ours that was called.
    pub own: IpAddr,
}

impl Connected<Peer> for Peer {
    fn connect_info(peer: Peer) -> Peer {
        peer
    }
}

async fn serve(listener: TcpListener, tls: Option<TlsAcceptor>, site: Site) -> io::Result<()> {
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    let graceful = GracefulShutdown::new();
    let pages = pages::router(site);
    let mut stop = pin!(told_to_stop());
    loop {
        let Ok(place) = Arc::clone(&places).acquire_owned().await else {
            break;
        };
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = &mut stop => break,
        };
        let (stream, other) = match accepted {
            Ok(accepted) => accepted,
            Err(_) => {
                // Out of file handles, or the peer has gone: the next one may fare better.
                tokio::time::sleep(Duration::from_millis(50)).await;
                continue;
            }
        };
        let Ok(own) = stream.local_addr() else {
            continue;
        };
        let peer = Peer {
            other: other.ip(),
            own: own.ip(),
        };
        let (pages, tls, watcher) = (pages.clone(), tls.clone(), graceful.watcher());
        tokio::spawn(async move {
            let _ = stream.set_nodelay(true);
            match tls {
                None => speak(stream, peer, pages, watcher).await,
                Some(tls) => {
                    let handshake = tokio::time::timeout(HEAD_TIME, tls.accept(stream));
                    if let Ok(Ok(stream)) = handshake.await {
                        speak(stream, peer, pages, watcher).await;
                    }
                }
            }
            drop(place);
        });
    }
    drop(listener);
    let _ = tokio::time::timeout(STOP_TIME, graceful.shutdown()).await;
    Ok(())
}

async fn speak<S>(
    stream: S,
    peer: Peer,
    pages: axum::Router,
    watcher: hyper_util::server::graceful::Watcher,
) where
    S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
{
    let answer = hyper::service::service_fn(move |request: Request<Incoming>| {
        let mut request = request.map(axum::body::Body::new);
        request.extensions_mut().insert(ConnectInfo(peer));
        pages.clone().oneshot(request)
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(LONGEST_HEAD)
        .max_headers(MOST_HEADERS)
        .serve_connection(TokioIo::new(stream), answer);
    // A peer that breaks off or talks nonsense concerns nobody else.
    let _ = watcher.watch(connection).await;
}

#[cfg(unix)]
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let Ok(mut ended) = signal(SignalKind::terminate()) else {
        let _ = tokio::signal::ctrl_c().await;
        return;
    };
    tokio::select! {
        _ = tokio::signal::ctrl_c() => {}
        _ = ended.recv() => {}
    }
}

#[cfg(not(unix))]
async fn told_to_stop() {
    let _ = tokio::signal::ctrl_c().await;
}

fn acceptor(tls: &Tls) -> Result<TlsAcceptor, ServerError> {
    let unusable = |path: &Path, reason: String| ServerError::Tls {
        path: path.to_owned(),
        reason,
    };
    let chain = CertificateDer::pem_file_iter(&tls.certificate)
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .map_err(|error| unusable(&tls.certificate, error.to_string()))?;
    if chain.is_empty() {
        let reason = "there is no certificate in it".to_owned();
        return Err(unusable(&tls.certificate, reason));
    }
    let key = PrivateKeyDer::from_pem_file(&tls.key)
        .map_err(|error| unusable(&tls.key, error.to_string()))?;
    let config = ServerConfig::builder()
        .with_no_client_auth()
        .with_single_cert(chain, key)
        .map_err(|error| unusable(&tls.key, error.to_string()))?;
    Ok(TlsAcceptor::from(Arc::new(config)))
}
