//! Machines, the hours they ran, and the days their blades were sharpened.

use jiff::civil::Date;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record, refuse};

record! {
    /// A machine.
    pub struct Machine in "machines" {
        /// Its name in the firm, which no other machine has.
        name: String => Filled,
        /// Its kind: mower, edger, spreader, sprayer.
        kind: String => Filled,
        /// Width of cut or swath.
        cutting_width_m: Option<f64> => Positive,
        /// Working speed.
        speed_m_s: Option<f64> => Positive,
        /// Hours between sharpenings, as the firm has it.
        sharpen_every_h: Option<f64> => Positive,
        /// The day it was bought.
        bought_on: Option<Date>,
        /// The day it was retired.
        retired_on: Option<Date>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Machine {}

record! {
    /// Hours that a machine ran. The log is append-only.
    pub struct MachineHours in "machine_hours" checked by fits_in_a_day {
        /// The machine.
        machine_id: i64,
        /// The yard.
        yard_id: Option<i64>,
        /// The day.
        date: Date,
        /// Hours that it ran.
        hours_h: f64 => Positive,
        /// Hours that its blade cut. Blank: all of them.
        blade_hours_h: Option<f64> => NotNegative,
        /// Who drove.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// A sharpening.
    pub struct BladeSharpening in "blade_sharpenings" {
        /// The machine.
        machine_id: i64,
        /// The day.
        date: Date,
        /// Who sharpened.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for BladeSharpening {}

fn fits_in_a_day(hours: &MachineHours) -> Result<(), BookError> {
    if hours.hours_h > 24.0 {
        return refuse("machine_hours", "hours_h", hours.hours_h, "A day has 24 hours: write one line a day, for example 1.5");
    }
    if let Some(blade) = hours.blade_hours_h.filter(|blade| *blade > hours.hours_h) {
        return refuse("machine_hours", "blade_hours_h", blade, "A blade cannot cut longer than its machine runs");
    }
    Ok(())
}

impl Reading {
    /// The machines in use, by name.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn machines(&self) -> Result<Vec<Machine>, BookError> {
        self.rows_where("retired_on IS NULL ORDER BY name", [])
    }

    /// The machine of a name.
    ///
    /// # Errors
    /// [`BookError::NotFound`].
    pub fn machine_named(&self, name: &str) -> Result<Machine, BookError> {
        self.first_where("lower(name) = lower(?1) ORDER BY name <> ?1", [name])?.ok_or_else(|| BookError::NotFound {
            table: "machines".into(),
            what: format!("named `{name}`"),
            remedy: "List the machines to see their names".into(),
        })
    }

    /// The hours of a machine, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn hours_of(&self, machine_id: i64) -> Result<Vec<MachineHours>, BookError> {
        self.rows_where("machine_id = ?1 ORDER BY date, id", [machine_id])
    }

    /// The newest sharpening of a machine.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn last_sharpening(&self, machine_id: i64) -> Result<Option<BladeSharpening>, BookError> {
        self.first_where("machine_id = ?1 ORDER BY date DESC, id DESC LIMIT 1", [machine_id])
    }

    /// Hours that the blade has cut since the last sharpening, or since the first line of the log: all lines dated after that
    /// day. Work on the day of sharpening itself counts as done before it.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn blade_hours_since_sharpening(&self, machine_id: i64) -> Result<f64, BookError> {
        let sql = "SELECT coalesce(sum(coalesce(blade_hours_h, hours_h)), 0.0) FROM machine_hours WHERE machine_id = ?1
                   AND date > coalesce((SELECT max(date) FROM blade_sharpenings WHERE machine_id = ?1), '')";
        self.connection.query_row(sql, [machine_id], |row| row.get(0)).map_err(|source| self.failed("machine_hours", source))
    }
}
