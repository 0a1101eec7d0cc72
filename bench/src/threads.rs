//! Work shared out among threads, an even share of the items to each.

/// Does some work on an even share of the items in each thread; answers in the order of the items.
pub fn shared_out<Item: Sync, Answer: Send>(items: &[Item], threads: usize, work: impl Fn(&[Item]) -> Answer + Sync) -> Vec<Answer> {
    if threads < 2 {
        return vec![work(items)];
    }
    let share = items.len().div_ceil(threads).max(1);
    std::thread::scope(|scope| {
        let work = &work;
        let running: Vec<_> = items.chunks(share).map(|some| (some, scope.spawn(move || work(some)))).collect();
        running.into_iter().map(|(some, thread)| thread.join().unwrap_or_else(|_| work(some))).collect()
    })
}
