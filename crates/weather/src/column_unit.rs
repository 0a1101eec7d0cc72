//! A column's name with its unit, and the line that turns its numbers into SI.

use groundlore_quantity::Quantity;

/// A heading taken apart: `Wind speed (mph)` is `wind_speed` in `mph`.
pub(crate) struct NamedColumn {
    /// The name in lower case, with `_` for blanks and hyphens.
    pub(crate) name: String,
    /// The unit in brackets, if one stands there.
    pub(crate) unit: Option<String>,
}

/// Endings that name a unit.
const ENDINGS: [(&str, &str); 13] = [
    ("_degc", "degC"),
    ("_degf", "degF"),
    ("_c", "degC"),
    ("_f", "degF"),
    ("_mm", "mm"),
    ("_cm", "cm"),
    ("_in", "in"),
    ("_m_s", "m/s"),
    ("_ms", "m/s"),
    ("_mph", "mph"),
    ("_w_m2", "W/m2"),
    ("_pct", "%"),
    ("_percent", "%"),
];

impl NamedColumn {
    pub(crate) fn of(cell: &str) -> NamedColumn {
        let (name, unit) = match cell.split_once(['(', '[']) {
            Some((name, unit)) => (name, Some(unit.trim_end_matches([')', ']', ' ']).trim().to_owned())),
            None => (cell, None),
        };
        let name = name.trim().to_lowercase().replace([' ', '-'], "_");
        NamedColumn { name, unit: unit.filter(|unit| !unit.is_empty()) }
    }

    /// What the heading names out of a list of names, and its unit: in brackets, or by a short ending such as `_mm`. Where nothing is
    /// named, the thing is `None` and the name stands for itself.
    pub(crate) fn known<T: Copy>(self, names: &[(&str, T)]) -> (NamedColumn, Option<T>) {
        let find = |name: &str| names.iter().find(|(known, _)| *known == name).map(|(_, thing)| *thing);
        if let Some(thing) = find(&self.name) {
            return (self, Some(thing));
        }
        let ended = NamedColumn { name: self.name.clone(), unit: self.unit.clone() }.with_ending();
        match find(&ended.name) {
            Some(thing) => (ended, Some(thing)),
            None => (self, None),
        }
    }

    /// The same with a short ending taken for the unit, where no brackets name one.
    fn with_ending(self) -> NamedColumn {
        if self.unit.is_some() {
            return self;
        }
        let found = ENDINGS.iter().find_map(|(ending, unit)| Some((self.name.strip_suffix(ending)?.to_owned(), (*unit).to_owned())));
        match found {
            Some((name, unit)) => NamedColumn { name, unit: Some(unit) },
            None => self,
        }
    }
}

/// How a number in some unit becomes SI: (number − zero) × times ÷ over, kept as three figures so that 86 °F is 30 °C to the last bit.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LinearUnit {
    zero: f64,
    times: f64,
    over: f64,
}

/// Knots in metres a second: 1,852 m in an hour (the international nautical mile).
const KNOT_M_S: f64 = 1852.0 / 3600.0;

impl LinearUnit {
    /// The line from `unit` to `wanted`; `what` names the thing in the error.
    pub(crate) fn between(what: &str, unit: &str, wanted: &str) -> Result<LinearUnit, String> {
        if wanted == "m/s" && ["kt", "kn", "knot", "knots"].iter().any(|name| unit.eq_ignore_ascii_case(name)) {
            return Ok(LinearUnit { zero: 0.0, times: KNOT_M_S, over: 1.0 });
        }
        // Energy of one hour is mean power over that hour.
        let unit = if wanted == "W/m2" && ["Wh/m2", "Wh/m²"].contains(&unit) { "W/m2" } else { unit };
        let at = |number: f64| {
            let quantity = Quantity::new(number, unit).map_err(|error| error.to_string())?;
            quantity.in_unit(wanted).map_err(|_| format!("`{}` does not measure {what}", crate::error::shown(unit)))
        };
        if wanted != "degC" {
            return Ok(LinearUnit { zero: 0.0, times: at(1000.0)?, over: 1000.0 });
        }
        let (ice, steam) = (at(0.0)?, at(100.0)?);
        if at(32.0)?.abs() < 1e-9 && (at(212.0)? - 100.0).abs() < 1e-9 {
            return Ok(LinearUnit { zero: 32.0, times: 5.0, over: 9.0 });
        }
        if ice.abs() < 1e-9 && (steam - 100.0).abs() < 1e-9 {
            return Ok(LinearUnit { zero: 0.0, times: 1.0, over: 1.0 });
        }
        let times = steam - ice;
        Ok(LinearUnit { zero: -100.0 * ice / times, times, over: 100.0 })
    }

    /// Whether the numbers are degrees Fahrenheit.
    pub(crate) fn is_fahrenheit(self) -> bool {
        self.zero == 32.0 && self.times == 5.0 && self.over == 9.0
    }

    pub(crate) fn convert(self, number: f64) -> f64 {
        (number - self.zero) * self.times / self.over
    }
}

/// Whether a cell says that nothing is known.
pub(crate) fn says_nothing(cell: &str) -> bool {
    const WORDS: [&str; 7] = ["", "NA", "N/A", "NaN", "null", "M", "-9999"];
    WORDS.iter().any(|word| cell.eq_ignore_ascii_case(word))
}
