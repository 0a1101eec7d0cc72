//! A figure a day in every future: the days that all futures share are kept once.

/// A figure a day in every future of an outlook.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ByFuture {
    /// The first days, the same in all futures.
    shared: Vec<f64>,
    /// The days after those, future after future.
    apart: Vec<f64>,
    /// Days of a future that are its own.
    own: usize,
    futures: usize,
}

impl ByFuture {
    /// From the shared days and the own days of each future. Every future must have as many own days.
    pub(super) fn new(shared: Vec<f64>, apart: Vec<f64>, futures: usize) -> Self {
        let own = apart.len().checked_div(futures).unwrap_or(0);
        Self { shared, apart, own, futures }
    }

    /// The first days, the same in all futures.
    pub(super) fn shared(&self) -> &[f64] {
        &self.shared
    }

    /// The days of a future that are its own.
    pub(super) fn own(&self, future: usize) -> &[f64] {
        &self.apart[future * self.own..(future + 1) * self.own]
    }

    /// Number of futures.
    pub(super) fn futures(&self) -> usize {
        self.futures
    }

    /// Days of every future.
    pub(super) fn days(&self) -> usize {
        self.shared.len() + self.own
    }

    /// The figure of a day in a future.
    pub(super) fn at(&self, future: usize, day: usize) -> f64 {
        match day.checked_sub(self.shared.len()) {
            None => self.shared[day],
            Some(own) => self.own(future)[own],
        }
    }

    /// All days of a future in a row.
    pub(super) fn whole(&self, future: usize) -> Vec<f64> {
        [self.shared(), self.own(future)].concat()
    }

    /// Each figure turned into another.
    pub(super) fn map(mut self, turned: impl Fn(f64) -> f64) -> Self {
        self.shared.iter_mut().chain(&mut self.apart).for_each(|value| *value = turned(*value));
        self
    }

    /// Sum of the last so many days, that day counted; NaN where there are not so many.
    pub(super) fn sums_of(&self, days: usize) -> Self {
        self.over_windows(days, 0.0, |sum, value| sum + value)
    }

    /// The least of the last so many days, that day counted; NaN where there are not so many or one is not known.
    pub(super) fn least_of(&self, days: usize) -> Self {
        self.over_windows(days, f64::INFINITY, |least, value| if value < least || value.is_nan() { value } else { least })
    }

    /// The greatest of the last so many days, that day counted; NaN where there are not so many or one is not known.
    pub(super) fn greatest_of(&self, days: usize) -> Self {
        self.over_windows(days, f64::NEG_INFINITY, |greatest, value| if value > greatest || value.is_nan() { value } else { greatest })
    }

    /// What each window of so many days comes to, taken day by day from its first.
    fn over_windows(&self, days: usize, begin: f64, take: impl Fn(f64, f64) -> f64) -> Self {
        if days <= 1 {
            return self.clone();
        }
        let mut run: Vec<f64> = Vec::new();
        // A window is taken from its first day on; all windows of a run of days go together, so that the machine does many at once.
        let mut over = |before: &[f64], values: &[f64], out: &mut Vec<f64>| {
            run.clear();
            run.extend_from_slice(before);
            run.extend_from_slice(values);
            let whole = (run.len() + 1).saturating_sub(days);
            let unknown = values.len().saturating_sub(whole);
            out.resize(out.len() + unknown, f64::NAN);
            let first = out.len();
            let skipped = whole.saturating_sub(values.len());
            out.resize(first + whole - skipped, begin);
            for later in 0..days {
                let reaching = run.get(skipped + later..).unwrap_or_default();
                out[first..].iter_mut().zip(reaching).for_each(|(sum, value)| *sum = take(*sum, *value));
            }
        };
        let mut shared = Vec::with_capacity(self.shared.len());
        over(&[], &self.shared, &mut shared);
        let before = &self.shared[self.shared.len().saturating_sub(days - 1)..];
        let mut apart = Vec::with_capacity(self.apart.len());
        for future in 0..self.futures {
            over(before, self.own(future), &mut apart);
        }
        Self { shared, apart, ..*self }
    }

    /// Running sums: before each day, and one more after the last. Days that are not known add nothing.
    pub(super) fn running(&self) -> Self {
        /// Futures that are summed side by side: each sum waits for the one before it, so that several keep the machine busy.
        const SIDE_BY_SIDE: usize = 8;
        let known = |value: f64| if value.is_nan() { 0.0 } else { value };
        let mut sum = 0.0;
        let mut shared = Vec::with_capacity(self.shared.len() + 1);
        shared.push(sum);
        shared.extend(self.shared.iter().map(|value| {
            sum += known(*value);
            sum
        }));
        let mut apart = vec![0.0; self.apart.len()];
        let futures: Vec<usize> = (0..self.futures).collect();
        for some in futures.chunks(SIDE_BY_SIDE) {
            let mut sums = [sum; SIDE_BY_SIDE];
            for day in 0..self.own {
                for (sum, future) in sums.iter_mut().zip(some) {
                    let place = future * self.own + day;
                    *sum += known(self.apart[place]);
                    apart[place] = *sum;
                }
            }
        }
        Self { shared, apart, ..*self }
    }

    /// True where a figure lies below zero.
    pub(super) fn falls_below_zero(&self) -> bool {
        let below = |values: &[f64]| values.iter().fold(false, |any, value| any | (*value < 0.0));
        below(&self.shared) || below(&self.apart)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> ByFuture {
        ByFuture::new(vec![1.0, f64::NAN, 3.0, 2.0], vec![5.0, 4.0, 6.0, 0.0, -1.0, f64::NAN], 2)
    }

    #[test]
    fn windows_reach_back_into_the_shared_days() {
        let table = sample();
        for days in 1..=6 {
            let (sums, least, greatest) = (table.sums_of(days), table.least_of(days), table.greatest_of(days));
            for future in 0..2 {
                let run = table.whole(future);
                for place in 0..run.len() {
                    let window = if place + 1 < days { &[f64::NAN][..] } else { &run[place + 1 - days..=place] };
                    let known = window.iter().all(|value| !value.is_nan());
                    let seen = [sums.at(future, place), least.at(future, place), greatest.at(future, place)];
                    if known {
                        let fold = |begin: f64, with: fn(f64, f64) -> f64| window.iter().copied().fold(begin, with);
                        assert_eq!(seen, [window.iter().sum(), fold(f64::INFINITY, f64::min), fold(f64::NEG_INFINITY, f64::max)]);
                    } else {
                        assert!(seen.iter().all(|value| value.is_nan()), "{days} days at {place}: {seen:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn running_sums_go_on_from_the_shared_days() {
        let sums = sample().running();
        assert_eq!(sums.whole(0), [0.0, 1.0, 1.0, 4.0, 6.0, 11.0, 15.0, 21.0]);
        assert_eq!(sums.whole(1), [0.0, 1.0, 1.0, 4.0, 6.0, 6.0, 5.0, 5.0]);
        assert!(sample().falls_below_zero() && !sample().map(f64::abs).falls_below_zero());
    }

    #[test]
    fn without_futures_only_the_shared_days_are_there() {
        let bare = ByFuture::new(vec![1.0, 2.0], Vec::new(), 0);
        assert_eq!((bare.days(), bare.futures(), bare.sums_of(2).shared().len()), (2, 0, 2));
    }
}
