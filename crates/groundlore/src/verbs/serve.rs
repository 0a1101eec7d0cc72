//! The pages on this machine.

use crate::cli::Place;
use crate::out::{Failure, Outcome, note};
use groundlore_web::{App, serve};
use std::net::SocketAddr;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(place: &Place, address: &str) -> Outcome<ExitCode> {
    let address: SocketAddr = address.parse().map_err(|_| Failure(format!("`{address}` is no address; write it as `127.0.0.1:4180`")))?;
    let desk = super::desk(place)?;
    let printer = Arc::new(|sheet: &groundlore_sheet::Sheet| groundlore_paper::pdf(sheet).map_err(|e| e.to_string()));
    let mut app = App::new(desk).printing_with(printer);
    if place.on.is_none() {
        app = app.by_the_clock(Arc::new(|| (jiff::ZonedDateTime::now().date(), jiff::Timestamp::now())));
    }
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    let ready = |taken| note(&format!("the book is open at http://{taken} on this machine only; Ctrl-C closes it"));
    let stop = async {
        let _ = tokio::signal::ctrl_c().await;
    };
    runtime.block_on(serve(app, address, ready, stop))?;
    Ok(ExitCode::SUCCESS)
}
