//! Kinds of quantity that a reader may ask for.

use crate::unit::{Dimension, Unit};

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Any kind, a bare number included.
    Any,
    /// A bare number: a count or a ratio.
    Bare,
    /// A share, bare (0.95) or in percent (95%) or parts per million.
    Share,
    /// Length, depth, height, width.
    Length,
    /// Area.
    Area,
    /// Volume.
    Volume,
    /// Mass ("weight").
    Mass,
    /// Time.
    Time,
    /// Speed.
    Speed,
    /// Depth in a time, as rain or water use.
    DepthPerTime,
    /// Temperature on its scale.
    Temperature,
    /// Difference of temperatures.
    TemperatureDifference,
    /// Pressure.
    Pressure,
    /// Power on an area.
    Irradiance,
    /// Energy on an area in a day.
    RadiationPerDay,
    /// Angle.
    Angle,
    /// Money.
    Money,
    /// Money for a length.
    MoneyPerLength,
    /// Money for an area.
    MoneyPerArea,
    /// Money for a volume.
    MoneyPerVolume,
    /// Money for a mass.
    MoneyPerMass,
    /// Money for a time.
    MoneyPerTime,
    /// Liquid on an area.
    VolumePerArea,
    /// Mass on an area.
    MassPerArea,
    /// Number on an area.
    CountPerArea,
    /// Number along a length.
    CountPerLength,
    /// Flow.
    VolumePerTime,
    /// Area in a time.
    AreaPerTime,
    /// Mass in a volume.
    Density,
    /// Depth in a depth, as water held in soil.
    DepthPerDepth,
    /// Time for an area.
    TimePerArea,
}

/// Kind, words, example, exponents (length, mass, time); money and the like are told apart in `accepts`.
const TABLE: [(Kind, &str, &str, Dimension); 24] = [
    (Kind::Length, "a length", "12.5 ft", Dimension::lmt(1, 0, 0)),
    (Kind::Area, "an area", "1200 ft2", Dimension::lmt(2, 0, 0)),
    (Kind::Volume, "a volume", "3 yd3", Dimension::lmt(3, 0, 0)),
    (Kind::Mass, "a mass", "50 lb", Dimension::lmt(0, 1, 0)),
    (Kind::Time, "a time", "45 min", Dimension::lmt(0, 0, 1)),
    (Kind::Speed, "a speed", "8 mph", Dimension::lmt(1, 0, -1)),
    (Kind::DepthPerTime, "a depth in a time", "0.25 in/day", Dimension::lmt(1, 0, -1)),
    (Kind::Temperature, "a temperature", "50 degF", Dimension([0, 0, 0, 1, 0, 0, 0, 0])),
    (Kind::TemperatureDifference, "a difference of temperatures", "5 degF", Dimension([0, 0, 0, 1, 0, 0, 0, 0])),
    (Kind::Pressure, "a pressure", "101.3 kPa", Dimension::lmt(-1, 1, -2)),
    (Kind::Irradiance, "a power on an area", "450 W/m2", Dimension::lmt(0, 1, -3)),
    (Kind::RadiationPerDay, "radiation in a day", "22 MJ/m2/day", Dimension::lmt(0, 1, -3)),
    (Kind::Angle, "an angle", "45 deg", Dimension([0, 0, 0, 0, 1, 0, 0, 0])),
    (Kind::VolumePerArea, "a volume on an area", "40 gal/acre", Dimension::lmt(1, 0, 0)),
    (Kind::MassPerArea, "a mass on an area", "1 lb/1000ft2", Dimension::lmt(-2, 1, 0)),
    (Kind::CountPerArea, "a number on an area", "10 per ft2", Dimension::lmt(-2, 0, 0)),
    (Kind::CountPerLength, "a number along a length", "3 per ft", Dimension::lmt(-1, 0, 0)),
    (Kind::VolumePerTime, "a flow", "0.4 gal/min", Dimension::lmt(3, 0, -1)),
    (Kind::AreaPerTime, "an area in a time", "2.4 acre/h", Dimension::lmt(2, 0, -1)),
    (Kind::Density, "a mass in a volume", "1.4 ton/yd3", Dimension::lmt(-3, 1, 0)),
    (Kind::TimePerArea, "a time for an area", "20 min/1000ft2", Dimension::lmt(-2, 0, 1)),
    (Kind::DepthPerDepth, "a depth of water in a depth of soil", "1.5 in/ft", Dimension::NONE),
    (Kind::Share, "a share", "0.95 or 95%", Dimension::NONE),
    (Kind::Bare, "a bare number", "12", Dimension::NONE),
];

const MONEY: [(Kind, &str, &str, [i8; 3]); 6] = [
    (Kind::Money, "an amount of money", "$14.50", [0, 0, 0]),
    (Kind::MoneyPerLength, "a price for a length", "$6.20/ft", [-1, 0, 0]),
    (Kind::MoneyPerArea, "a price for an area", "$0.80/ft2", [-2, 0, 0]),
    (Kind::MoneyPerVolume, "a price for a volume", "$14.50/yd3", [-3, 0, 0]),
    (Kind::MoneyPerMass, "a price for a mass", "$1.10/lb", [0, -1, 0]),
    (Kind::MoneyPerTime, "a price for a time", "$38/h", [0, 0, -1]),
];

impl Kind {
    /// The kind in words, as `a length`.
    pub fn expected(self) -> &'static str {
        self.row().0
    }

    /// An example of the kind.
    pub fn example(self) -> &'static str {
        self.row().1
    }

    /// An example of a list of the kind.
    pub fn list_example(self) -> String {
        match self {
            Self::Bare => "3, 0, 5".to_owned(),
            Self::Share => "0.8, 0.6".to_owned(),
            _ => format!("{0}, {0}", self.example()),
        }
    }

    fn row(self) -> (&'static str, &'static str) {
        TABLE
            .iter()
            .map(|(kind, words, example, _)| (*kind, *words, *example))
            .chain(MONEY.iter().map(|(kind, words, example, _)| (*kind, *words, *example)))
            .find(|(kind, _, _)| *kind == self)
            .map_or(("a quantity", "12.5 ft"), |(_, words, example)| (words, example))
    }

    /// True where a unit measures this kind.
    pub fn accepts(self, unit: &Unit) -> bool {
        match self {
            Self::Any => true,
            Self::Bare => unit.is_none(),
            Self::Share => unit.is_share(),
            Self::DepthPerDepth => unit.dimension() == Dimension::NONE && !unit.is_share(),
            Self::Length => unit.dimension() == Dimension::lmt(1, 0, 0) && is_single(unit),
            Self::VolumePerArea => unit.dimension() == Dimension::lmt(1, 0, 0) && !is_single(unit),
            _ => self.dimension_fits(unit),
        }
    }

    fn dimension_fits(self, unit: &Unit) -> bool {
        let dimension = unit.dimension();
        if let Some((_, _, _, exponents)) = MONEY.iter().find(|(kind, ..)| *kind == self) {
            let [l, m, t, k, a, dollar, euro, sterling] = dimension.0;
            let one_currency = [dollar, euro, sterling].iter().filter(|e| **e == 1).count() == 1 && dollar + euro + sterling == 1;
            return [l, m, t] == *exponents && k == 0 && a == 0 && one_currency;
        }
        TABLE.iter().any(|(kind, _, _, wanted)| *kind == self && *wanted == dimension)
    }
}

/// A unit of one factor (`ft`), not a quotient (`gal/acre`).
fn is_single(unit: &Unit) -> bool {
    !unit.to_string().contains('/')
}

/// What a unit measures, in words, for errors.
pub(crate) fn describe(unit: &Unit) -> String {
    let kinds = MONEY.iter().map(|row| row.0).chain(TABLE.iter().map(|row| row.0));
    let found = kinds.into_iter().find(|kind| kind.accepts(unit));
    match found {
        Some(kind) => kind.expected().to_owned(),
        None => format!("in `{unit}`"),
    }
}
