//! The season at a yard.

use crate::app::{Shared, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_desk::Desk;

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/yards/{yard}/season", get(season))
}

fn season(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let sheet = desk.season_sheet(asked.part("yard"))?;
    Ok(Page::of(Room::Yards, sheet).at_yard(asked.part("yard"), "season").into())
}
