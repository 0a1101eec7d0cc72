//! Many stations and many yards, shared out among threads.

use super::super::{Event, EventError, Outlook};
use super::day_counts::DayCounts;
use super::{GridError, GridOdds, Packed, SeasonGrid, ShiftSteps, Yard};

/// The season of many yards, as columns: yard by yard, in each the events in their order.
#[derive(Debug, Clone)]
pub struct Season {
    events: usize,
    odds: Vec<Packed>,
}

impl Season {
    /// Number of yards.
    #[must_use]
    pub fn yards(&self) -> usize {
        self.odds.len() / self.events.max(1)
    }

    /// The odds of an event (its place among the grids' events) in a yard; none where there is no such yard or event.
    #[must_use]
    pub fn odds(&self, yard: usize, event: usize) -> Option<GridOdds> {
        let packed = (event < self.events).then(|| self.odds.get(yard.checked_mul(self.events)? + event)).flatten()?;
        Some(packed.odds())
    }

    /// The odds of all events in a yard; empty where there is no such yard.
    pub fn of_yard(&self, yard: usize) -> impl Iterator<Item = GridOdds> + '_ {
        self.odds.chunks(self.events.max(1)).nth(yard).unwrap_or_default().iter().map(|packed| packed.odds())
    }
}

/// The grid of each station's outlook for the same events, made on so many threads.
///
/// # Errors
/// The first clock that cannot be dated.
pub fn grids_of_stations(events: &[Event], outlooks: &[Outlook], steps: ShiftSteps, threads: usize) -> Result<Vec<SeasonGrid>, EventError> {
    let made = shared_out(outlooks, threads, |some| some.iter().map(|outlook| SeasonGrid::of(events, outlook, steps)).collect::<Vec<_>>());
    made.into_iter().flatten().collect()
}

/// The season of many yards, each read from its station's grid, on so many threads. Any order of the yards will do.
///
/// # Errors
/// [`GridError`] where a yard's station is not there, its shift is out of reach, or the grids hold different events.
pub fn season_of_yards(grids: &[SeasonGrid], yards: &[Yard], threads: usize) -> Result<Season, GridError> {
    let events = grids.first().map_or(0, |grid| grid.events.len());
    if let Some((station, grid)) = grids.iter().enumerate().find(|(_, grid)| grid.events.len() != events) {
        return Err(GridError::UnlikeEvents { station, seen: grid.events.len(), expected: events });
    }
    if let Some((place, yard)) = yards.iter().enumerate().find(|(_, yard)| yard.station >= grids.len()) {
        return Err(GridError::NoStation { yard: place, station: yard.station, stations: grids.len() });
    }
    // Yards of one station and like shift one after the other: what one has read is at hand for the next.
    let mut order: Vec<usize> = (0..yards.len()).collect();
    order.sort_by(|a, b| yards[*a].station.cmp(&yards[*b].station).then(yards[*a].warmer_by_c.total_cmp(&yards[*b].warmer_by_c)));
    let read = shared_out(&order, threads, |some| {
        let mut counts = DayCounts::default();
        let mut odds = Vec::with_capacity(some.len() * events);
        some.iter().try_for_each(|place| {
            let yard = &yards[*place];
            grids[yard.station].read_into(yard, &mut counts, &mut |packed| odds.push(packed))
        })?;
        Ok(odds)
    });
    let read = read.into_iter().collect::<Result<Vec<Vec<Packed>>, GridError>>()?;
    let mut odds = vec![Packed::NOTHING; yards.len() * events];
    let rows = read.iter().flat_map(|some| some.chunks_exact(events.max(1)));
    order.iter().zip(rows).for_each(|(place, row)| odds[place * events..][..events].copy_from_slice(row));
    Ok(Season { events, odds })
}

/// Does some work on an even share of the items in each thread; answers in the order of the items. What a thread cannot finish is done
/// again here.
fn shared_out<Item: Sync, Answer: Send>(items: &[Item], threads: usize, work: impl Fn(&[Item]) -> Answer + Sync) -> Vec<Answer> {
    let share = items.len().div_ceil(threads.max(1)).max(1);
    std::thread::scope(|scope| {
        let work = &work;
        let running: Vec<_> = items.chunks(share).map(|some| (some, scope.spawn(move || work(some)))).collect();
        running.into_iter().map(|(some, thread)| thread.join().unwrap_or_else(|_| work(some))).collect()
    })
}
