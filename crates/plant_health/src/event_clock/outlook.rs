//! The season's weather as columns: one for each future, known days first, made once for a station and a date and shared by all clocks.

use crate::clock::{ClockError, Season};
use groundlore_weather::calendar::{date_of, day_number};
use groundlore_weather::ensemble::Ensemble;
use groundlore_weather::futures::{Futures, Path};
use groundlore_weather::series::Day;
use jiff::civil::Date;

/// One future of a season, a value a day from the outlook's first day; NaN where nothing is known or the future does not reach.
#[derive(Debug, Clone)]
pub(super) struct Course {
    pub(super) tmin_c: Vec<f64>,
    pub(super) tmax_c: Vec<f64>,
    pub(super) rain_mm: Vec<f64>,
}

impl Course {
    fn empty(days: usize) -> Self {
        Self { tmin_c: vec![f64::NAN; days], tmax_c: vec![f64::NAN; days], rain_mm: vec![f64::NAN; days] }
    }

    fn of_days(first: i32, length: usize, days: impl Iterator<Item = Day>) -> Self {
        let mut course = Self::empty(length);
        for day in days {
            let place = usize::try_from(day_number(day.date) - first).ok().filter(|place| *place < length);
            // A past leap day carries the date of the 28th: the day that was there first stays.
            if let Some(place) = place.filter(|place| course.tmin_c[*place].is_nan()) {
                (course.tmin_c[place], course.tmax_c[place], course.rain_mm[place]) = (day.tmin_c, day.tmax_c, day.prcp_mm);
            }
        }
        course.bridge_single_days();
        course
    }

    /// The known days and then a future's own, column by column.
    fn of_path(first: i32, length: usize, futures: &Futures, path: &Path) -> Self {
        let mut course = Self::empty(length);
        let parts = [(day_number(futures.first_known), &futures.known), (day_number(futures.on), path)];
        for (begins, part) in parts {
            let skipped = usize::try_from(first - begins).unwrap_or(0);
            let place = usize::try_from(begins - first).unwrap_or(0);
            let columns = [(&mut course.tmin_c, &part.tmin_c), (&mut course.tmax_c, &part.tmax_c), (&mut course.rain_mm, &part.prcp_mm)];
            for (column, days) in columns {
                let (Some(room), Some(days)) = (column.get_mut(place..), days.get(skipped..)) else { continue };
                let count = room.len().min(days.len());
                room[..count].copy_from_slice(&days[..count]);
            }
        }
        course.bridge_single_days();
        course
    }

    /// A 29 February borrowed from a common year has no day: the day before stands in.
    fn bridge_single_days(&mut self) {
        for place in 1..self.tmin_c.len().saturating_sub(1) {
            if self.tmin_c[place].is_nan() && !self.tmin_c[place - 1].is_nan() && !self.tmin_c[place + 1].is_nan() {
                self.tmin_c[place] = self.tmin_c[place - 1];
                self.tmax_c[place] = self.tmax_c[place - 1];
            }
        }
    }

    pub(super) fn mean_c(&self, place: usize) -> f64 {
        f64::midpoint(self.tmin_c[place], self.tmax_c[place])
    }
}

/// The weather of one growing season at one station, as far as it is known and in every future after that.
///
/// It begins half a year before the season, so that chill and running means have their days, and ends with the season: the calendar year
/// in the north, July to June in the south. Futures reach twelve months from `on`; a later season is dated only as far as they do.
///
/// # Example
/// ```
/// use groundlore_plant_health::event_clock::Outlook;
/// use groundlore_weather::{Columns, Ensemble, Series, Station};
/// use jiff::civil::date;
///
/// let mut columns = Columns::default();
/// let mut day = date(2012, 1, 1);
/// while day < date(2015, 6, 1) {
///     let season = -(f64::from(day.day_of_year()) * 6.283 / 365.0).cos();
///     columns.tmin_c.push(5.0 + 10.0 * season);
///     columns.tmax_c.push(15.0 + 10.0 * season);
///     day = day.tomorrow()?;
/// }
/// let series = Series::from_columns(Station { latitude: Some(43.0), ..Station::default() }, date(2012, 1, 1), columns)?;
/// let ensemble = Ensemble::years_of_record(&series, date(2015, 6, 1))?;
/// let outlook = Outlook::of_ensemble(&ensemble, 43.0, None)?;
/// assert_eq!((outlook.season_year(), outlook.futures()), (2015, 3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Outlook {
    pub(super) on: Date,
    pub(super) latitude_deg: f64,
    pub(super) year: i16,
    pub(super) south: bool,
    /// Day number of the first place of every course.
    pub(super) first: i32,
    pub(super) courses: Vec<Course>,
    /// True where the known days are the same in all courses: a doubt in the place's own shift sets them apart.
    known_alike: bool,
    word: String,
}

impl Outlook {
    /// The outlook with the years of record as futures.
    ///
    /// `latitude_deg` is north positive. `season` is the calendar year in which the growing year opens; none takes the one that holds
    /// the ensemble's own day.
    ///
    /// # Errors
    /// [`ClockError::Latitude`], or a season that no calendar has.
    pub fn of_ensemble(ensemble: &Ensemble, latitude_deg: f64, season: Option<i16>) -> Result<Self, ClockError> {
        let mut outlook = Self::bare(ensemble.on, latitude_deg, season, "plain".to_owned())?;
        let (from, to, length) = outlook.reach()?;
        let course = |future| Course::of_days(outlook.first, length, ensemble.days(future, from, to));
        outlook.courses = ensemble.futures().iter().map(course).collect();
        Ok(outlook)
    }

    /// The outlook with futures of any kind: past years on today's state, a generator, a forecast before either.
    ///
    /// # Errors
    /// As [`Outlook::of_ensemble`].
    pub fn of_futures(futures: &Futures, latitude_deg: f64, season: Option<i16>) -> Result<Self, ClockError> {
        let mut outlook = Self::bare(futures.on, latitude_deg, season, futures.word())?;
        let (_, _, length) = outlook.reach()?;
        outlook.courses = futures.paths.iter().map(|path| Course::of_path(outlook.first, length, futures, path)).collect();
        Ok(outlook)
    }

    /// The outlook without any weather: only clocks of the calendar and of day length can be dated in it.
    ///
    /// # Errors
    /// As [`Outlook::of_ensemble`].
    pub fn without_weather(on: Date, latitude_deg: f64, season: Option<i16>) -> Result<Self, ClockError> {
        Self::bare(on, latitude_deg, season, "none".to_owned())
    }

    /// The same season in a place that is so much warmer (or, below 0, colder), in kelvin, on every day: a yard's own shift, or a
    /// question of the kind "what if it stays cool".
    #[must_use]
    pub fn warmer_by(mut self, by_c: f64) -> Self {
        for course in &mut self.courses {
            course.tmin_c.iter_mut().chain(&mut course.tmax_c).for_each(|value| *value += by_c);
        }
        self
    }

    /// The same season where the place's own shift is known only so far, standard deviations in kelvin of the minima and the maxima: each
    /// future has a place a little colder or warmer, so that the doubt runs through every clock and into its odds. The futures' draws are
    /// the even quantiles of a normal, in an order that has nothing to do with that of the years.
    ///
    /// # Example
    /// ```
    /// use groundlore_plant_health::event_clock::Outlook;
    /// let outlook = Outlook::without_weather(jiff::civil::date(2015, 6, 1), 43.0, None)?;
    /// assert_eq!(outlook.with_doubt_of(0.5, 0.4).futures(), 0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn with_doubt_of(mut self, minimum_sd_k: f64, maximum_sd_k: f64) -> Self {
        /// The golden section: its multiples fall evenly, each far from the last.
        const STEP: f64 = 0.618_033_988_749_894_9;
        let count = self.courses.len();
        self.known_alike = false;
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| (*a as f64 * STEP).fract().total_cmp(&(*b as f64 * STEP).fract()));
        for (rank, place) in order.into_iter().enumerate() {
            let z = super::normal_quantile((rank as f64 + 0.5) / count as f64);
            let course = &mut self.courses[place];
            course.tmin_c.iter_mut().for_each(|value| *value += z * minimum_sd_k);
            course.tmax_c.iter_mut().for_each(|value| *value += z * maximum_sd_k);
        }
        self
    }

    /// The first day that is not known.
    #[must_use]
    pub fn on(&self) -> Date {
        self.on
    }

    /// The calendar year in which this growing season opens.
    #[must_use]
    pub fn season_year(&self) -> i16 {
        self.year
    }

    /// Number of futures.
    #[must_use]
    pub fn futures(&self) -> usize {
        self.courses.len()
    }

    /// The word for how the futures were made.
    #[must_use]
    pub fn word(&self) -> &str {
        &self.word
    }

    fn bare(on: Date, latitude_deg: f64, season: Option<i16>, word: String) -> Result<Self, ClockError> {
        if !(-90.0..=90.0).contains(&latitude_deg) {
            return Err(ClockError::Latitude(latitude_deg));
        }
        let usual = Season::of(latitude_deg, on);
        let year = season.unwrap_or(usual.year);
        let mut outlook = Self { on, latitude_deg, year, south: usual.south, first: 0, courses: Vec::new(), known_alike: true, word };
        outlook.first = day_number(outlook.season(-1).date((7, 1))?);
        Ok(outlook)
    }

    /// Places before this one hold the same days in all futures: the known ones.
    pub(super) fn alike(&self) -> usize {
        if self.known_alike { usize::try_from(day_number(self.on) - self.first).unwrap_or(0) } else { 0 }
    }

    /// The growing season so many years from this one.
    pub(super) fn season(&self, later: i16) -> Season {
        Season { year: self.year.saturating_add(later), south: self.south }
    }

    /// Last day of the season.
    pub(super) fn last(&self) -> Result<i32, ClockError> {
        Ok(day_number(self.season(0).date((12, 31))?))
    }

    fn reach(&self) -> Result<(Date, Date, usize), ClockError> {
        let last = self.last()?;
        let length = usize::try_from(last - self.first + 1).unwrap_or(0);
        Ok((date_of(self.first), date_of(last), length))
    }
}
