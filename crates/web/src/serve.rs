//! Listening.

use crate::app::{App, router};
use std::net::SocketAddr;
use tokio::net::TcpListener;

/// Why the server does not listen.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// An address that others could reach.
    #[error(
        "`{0}` can be reached from other machines, and the pages have no accounts yet: anybody on the network could read and change the book. Use a loopback address, for example 127.0.0.1:7878 or [::1]:7878"
    )]
    NotLoopback(SocketAddr),
    /// The port is taken, or may not be used.
    #[error("cannot listen on {address}: {source}. Another program may hold the port: choose another, for example 127.0.0.1:7879")]
    Bind {
        /// Address asked for.
        address: SocketAddr,
        /// The cause.
        source: std::io::Error,
    },
    /// The server stopped.
    #[error("the server stopped: {0}")]
    Stopped(#[from] std::io::Error),
}

/// Opens a listener on a loopback address; port 0 takes a free one.
///
/// # Errors
/// Any other address, and a port that cannot be had.
pub async fn bind(address: SocketAddr) -> Result<TcpListener, ServeError> {
    if !address.ip().is_loopback() {
        return Err(ServeError::NotLoopback(address));
    }
    TcpListener::bind(address).await.map_err(|source| ServeError::Bind { address, source })
}

/// Serves the pages until `stop` is done; `ready` hears the address that was taken.
///
/// # Errors
/// An address that is not loopback, a port that cannot be had, a listener that breaks.
pub async fn serve(
    app: App,
    address: SocketAddr,
    ready: impl FnOnce(SocketAddr),
    stop: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let listener = bind(address).await?;
    let taken = listener.local_addr()?;
    ready(taken);
    axum::serve(listener, router(app.on_port(taken.port()))).with_graceful_shutdown(stop).await?;
    Ok(())
}
