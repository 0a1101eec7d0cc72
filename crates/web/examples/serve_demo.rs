//! Serves the demo's book on 127.0.0.1:7878 (or the port given), without a printer: for looking at the pages.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use groundlore_desk::{Desk, book::Book, demo};
use groundlore_web::{App, serve};
use std::net::SocketAddr;

#[tokio::main]
async fn main() -> Result<(), Box<dyn std::error::Error>> {
    let port: u16 = std::env::args().nth(1).map_or(Ok(7878), |text| text.parse())?;
    let lore = Desk::load_lore(None)?;
    let now = "2015-08-17T15:00:00Z".parse()?;
    let mut desk = Desk::new(Book::open_in_memory()?, lore, demo::day(), now);
    let faults = desk.fill_demo()?;
    desk.run_demo_thread(faults)?;
    let address = SocketAddr::from(([127, 0, 0, 1], port));
    serve(App::new(desk), address, |taken| println!("http://{taken}/"), std::future::pending()).await?;
    Ok(())
}
