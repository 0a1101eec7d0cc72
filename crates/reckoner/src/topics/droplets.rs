//! Droplet class of a nozzle by the open standard: set beside reference nozzles that were measured with the same instrument.

use crate::ReckonError;
use crate::answer::{Output, Worked};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, output, required};
use crate::given::Given;
use groundlore_plant_health::treatment::DropletClass;
use groundlore_quantity::Kind;

const DIAMETERS: InputKind = InputKind::List(Kind::Bare);

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "droplet-class",
    topic: Topic::Treatment,
    about: "Droplet class of a nozzle at its pressure, by ASABE S572 and ISO 25358: its diameters beside those of the reference nozzles that part the eight classes.",
    inputs: &[
        required("measured", DIAMETERS, "diameters of the nozzle in µm, below which 10, 50 and 90 % of its volume falls", "130, 340, 650"),
        required(
            "dv10",
            DIAMETERS,
            "of the seven reference nozzles, finest border first: diameters below which 10 % falls, same instrument",
            "20, 40, 80, 120, 160, 200, 240",
        ),
        required("dv50", DIAMETERS, "the same, below which 50 % falls", "50, 100, 200, 300, 400, 500, 600"),
        required("dv90", DIAMETERS, "the same, below which 90 % falls", "100, 200, 400, 600, 800, 1000, 1200"),
    ],
    outputs: &[
        output("class", "the class, in words"),
        output("letters", "its letters"),
        output("place", "its place from the finest, 1 to 8"),
    ],
    rounding: EXACT,
    sources: &[
        "ASABE S572 works by comparison with reference nozzles, not by figures (GRDC, Spray application manual, module 4.2); that the finest of the three diameters decides errs toward more drift (memory). The figures of the example are invented.",
    ],
    cautions: &[
        "The label names the class that it allows; the nozzle's own sheet gives its class at a pressure, and wear makes it another.",
    ],
    run: class,
}];

fn class(given: &Given) -> Result<Worked, ReckonError> {
    let measured = given.list_si("measured");
    let Ok(measured) = <[f64; 3]>::try_from(measured.as_slice()) else {
        return Err(given.wrong("measured", format!("there are {} diameters; give three, as `130, 340, 650`", measured.len())));
    };
    if !(measured.iter().all(|d| *d > 0.0) && measured.is_sorted()) {
        return Err(given.wrong("measured", "the diameters must be above 0 and rise, as `130, 340, 650`"));
    }
    let mut borders = [[0.0; 3]; 7];
    for (place, name) in ["dv10", "dv50", "dv90"].into_iter().enumerate() {
        let list = given.list_si(name);
        if list.len() != 7 {
            return Err(given.wrong(name, format!("there are {} diameters; the eight classes have seven borders", list.len())));
        }
        if !list.windows(2).all(|pair| pair[0] < pair[1]) {
            return Err(given.wrong(name, "each border must be coarser than the one before it, the finest first"));
        }
        for (border, diameter) in borders.iter_mut().zip(list) {
            border[place] = diameter;
        }
    }
    let Some(found) = DropletClass::by_reference(measured, &borders) else {
        return Err(given.wrong("measured", "no class can be told: compare the diameters with the sheet"));
    };
    let mut worked = Worked::default();
    for (place, share) in [(0, 10), (1, 50), (2, 90)] {
        let over = borders.iter().filter(|border| measured[place] >= border[place]).count();
        worked.line(format!("{} µm, below which {share} % falls: {}", measured[place], DropletClass::ALL[over].1));
    }
    worked.line(format!("the finest of the three decides: {}", found.words()));
    let place = DropletClass::ALL.iter().position(|(class, ..)| *class == found).unwrap_or_default();
    worked.put("class", Output::Word(found.words().to_owned()));
    worked.put("letters", Output::Word(DropletClass::ALL[place].2.to_owned()));
    worked.put("place", Output::Number(place as f64 + 1.0));
    Ok(worked)
}
