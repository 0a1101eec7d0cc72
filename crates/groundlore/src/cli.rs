//! The command line.

use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use jiff::civil::Date;
use std::path::PathBuf;

/// For those who answer for other people's grounds: know what is there, tell trouble from coincidence, count, treat only where it pays,
/// plant, measure off, price, and explain it kindly.
#[derive(Debug, Parser)]
#[command(name = "groundlore", version, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(flatten)]
    pub(crate) place: Place,
    #[command(flatten)]
    pub(crate) show: Show,
    #[command(subcommand)]
    pub(crate) verb: Verb,
}

/// Which book, day and lore.
#[derive(Debug, Args)]
pub(crate) struct Place {
    /// The firm's book [default: firm.book in this folder].
    #[arg(long, global = true, value_name = "FILE", env = "GROUNDLORE_BOOK")]
    pub(crate) book: Option<PathBuf>,
    /// The day it is, as 2015-08-17 [default: today].
    #[arg(long, global = true, value_name = "DATE")]
    pub(crate) on: Option<Date>,
    /// Folder of the firm's own lore; its entries win over ours.
    #[arg(long, global = true, value_name = "DIR")]
    pub(crate) lore: Option<PathBuf>,
}

/// How the answer is shown.
#[derive(Debug, Args)]
pub(crate) struct Show {
    /// Answer as JSON.
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Write the sheet as PDF to this file.
    #[arg(long, global = true, value_name = "FILE", conflicts_with = "json")]
    pub(crate) pdf: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Verb {
    /// Make the demo firm's book and carry one yard through the whole job.
    Demo {
        /// Folder for the book, papers and drawings.
        #[arg(long, default_value = "groundlore-demo")]
        out: PathBuf,
    },
    /// Everything due across the book this week.
    Week {
        /// As a crew sheet for today.
        #[arg(long)]
        crew: bool,
        /// Write every open task as an iCalendar feed to this file.
        #[arg(long, value_name = "FILE")]
        calendar: Option<PathBuf>,
        /// Only one yard in that feed.
        #[arg(long, value_name = "YARD", requires = "calendar")]
        yard: Option<String>,
    },
    /// Say how a task stands: `to do`, `begun`, `done`, `could not`.
    Task {
        /// Key, as `groundlore week --json` shows it.
        key: String,
        /// State.
        state: String,
        /// Why it could not be done.
        #[arg(long)]
        why: Option<String>,
        /// Who says so.
        #[arg(long)]
        who: Option<String>,
    },
    /// Answer an owner's letter (plain text or JSON); no book is needed.
    Letter(LetterArgs),
    /// Yards and their maps.
    #[command(subcommand)]
    Yard(YardVerb),
    /// Scout: plan, write counts down, get the verdict.
    #[command(subcommand)]
    Scout(ScoutVerb),
    /// Treat: options, plan, record, follow up.
    #[command(subcommand)]
    Treat(TreatVerb),
    /// Label cards, as typed from the label in hand.
    #[command(subcommand)]
    Label(LabelVerb),
    /// Choose, place and count plants for a bed.
    Plant(PlantArgs),
    /// Check stock at the nursery gate.
    Stock(StockArgs),
    /// Measure off: mulch for a bed, block for an edge.
    #[command(subcommand)]
    Measure(MeasureVerb),
    /// Machines, hours and blades.
    #[command(subcommand)]
    Machine(MachineVerb),
    /// The firm's own rates and prices.
    #[command(subcommand)]
    Rates(RatesVerb),
    /// Priced proposals.
    #[command(subcommand)]
    Price(PriceVerb),
    /// What comes when, with odds: at a yard, over the book, or from a weather file alone.
    Season(SeasonArgs),
    /// Write down that an event of the season was seen: it moves that clock here and, by less, nearby.
    Seen {
        /// Yard.
        yard: String,
        /// Event, by its key (`groundlore season --events`).
        event: String,
        /// Day [default: today].
        #[arg(long)]
        date: Option<Date>,
        /// Who saw it.
        #[arg(long)]
        who: Option<String>,
    },
    /// Weather stations of the book.
    #[command(subcommand)]
    Weather(WeatherVerb),
    /// What is known.
    #[command(subcommand)]
    Lore(LoreVerb),
    /// The firm's book: create, back up, check, export, import.
    #[command(subcommand)]
    Book(BookVerb),
    /// Reckon: calculators with their working.
    Reckon(ReckonArgs),
    /// Serve the pages on this machine.
    Serve {
        /// Address; loopback only.
        #[arg(long, default_value = "127.0.0.1:4180")]
        address: String,
    },
    /// Completions for a shell.
    Completions {
        /// Shell.
        shell: Shell,
    },
}

#[derive(Debug, Args)]
pub(crate) struct SeasonArgs {
    /// Yard; without one, what comes this week over the whole book.
    pub(crate) yard: Option<String>,
    /// Daily weather file, to ask without a book.
    #[arg(long, value_name = "FILE", requires = "latitude", requires = "longitude", conflicts_with = "yard")]
    pub(crate) weather: Option<String>,
    /// Latitude, north positive.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) latitude: Option<f64>,
    /// Longitude, east positive.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) longitude: Option<f64>,
    /// One event, by its key.
    #[arg(long, value_name = "KEY")]
    pub(crate) event: Option<String>,
    /// Kind of future: plain, detrended, generated.
    #[arg(long)]
    pub(crate) future: Option<String>,
    /// List the keys of the events.
    #[arg(long)]
    pub(crate) events: bool,
    /// Write the yard's season as an iCalendar file.
    #[arg(long, value_name = "FILE", requires = "yard")]
    pub(crate) calendar: Option<PathBuf>,
    /// What if the rest of the season is so much warmer (or cooler, below 0), as `-2 degF`?
    #[arg(long, value_name = "DEGREES", requires = "yard", allow_hyphen_values = true)]
    pub(crate) warmer_by: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct LetterArgs {
    /// File of the letter, or `-` for standard input.
    #[arg(long, value_name = "FILE")]
    pub(crate) from: Option<String>,
    /// Many letters at once: a folder, a mailbox (`.mbox`), or a list of letters in JSON; may be given more than once.
    #[arg(long, value_name = "PATH", conflicts_with = "from")]
    pub(crate) inbox: Vec<PathBuf>,
    /// Write the reply alone as a letter to the owner (with --pdf).
    #[arg(long)]
    pub(crate) reply: bool,
    /// Number of a kept letter whose cause is now known.
    #[arg(long, value_name = "NUMBER", requires = "cause")]
    pub(crate) confirm: Option<i64>,
    /// The cause that was confirmed.
    #[arg(long)]
    pub(crate) cause: Option<String>,
    /// By whom or what it was confirmed.
    #[arg(long, default_value = "seen on a visit")]
    pub(crate) by: String,
    /// Answer every confirmed letter again and set the run against the one before: has the tool become better?
    #[arg(long, conflicts_with_all = ["from", "inbox", "confirm"])]
    pub(crate) retry_confirmed: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum YardVerb {
    /// Bring a map in (GeoJSON), measure it, and find what is built or planted wrongly.
    Import(ImportArgs),
    /// Show a yard.
    Show {
        /// Yard.
        yard: String,
    },
    /// List the yards.
    List,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum YesNo {
    Yes,
    No,
}

impl YesNo {
    pub(crate) fn is_yes(self) -> bool {
        matches!(self, Self::Yes)
    }
}

#[derive(Debug, Args)]
pub(crate) struct ImportArgs {
    /// The map, or `-`.
    pub(crate) file: String,
    /// Name of the yard [default: the map's].
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Owner.
    #[arg(long)]
    pub(crate) owner: Option<String>,
    /// Address.
    #[arg(long)]
    pub(crate) address: Option<String>,
    /// Weather station.
    #[arg(long)]
    pub(crate) station: Option<String>,
    /// Height of the yard above the sea, with its unit, as "860 ft": stations are weighed by it.
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(crate) elevation: Option<String>,
    /// IANA time zone.
    #[arg(long)]
    pub(crate) time_zone: Option<String>,
    /// Do children play there?
    #[arg(long)]
    pub(crate) children: Option<YesNo>,
    /// Are there pets?
    #[arg(long)]
    pub(crate) pets: Option<YesNo>,
    /// A day that the owner forbids; may be given more than once.
    #[arg(long)]
    pub(crate) forbidden_day: Vec<String>,
    /// Keep the good features and list what was skipped.
    #[arg(long)]
    pub(crate) skip_bad: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ScoutVerb {
    /// Where to look, how, how many, when.
    Plan {
        /// Yard.
        yard: String,
        /// Trouble, by lore key or name.
        #[arg(long)]
        trouble: String,
        /// Most samples.
        #[arg(long, default_value_t = 30)]
        most: u32,
    },
    /// Write counts down: `--counts margin="9 4 14" --counts core="6 11"`.
    Enter(EnterArgs),
    /// Write counts down from a CSV sheet.
    Sheet {
        /// Yard.
        yard: String,
        /// File, or `-`.
        file: String,
        /// Keep the good rows and list what was skipped.
        #[arg(long)]
        skip_bad: bool,
    },
    /// Treat, leave or count more, by the newest counts; cover of a weed and catches of traps as an estimate.
    Verdict {
        /// Yard.
        yard: String,
        /// Trouble.
        #[arg(long)]
        trouble: String,
    },
}

#[derive(Debug, Args)]
pub(crate) struct EnterArgs {
    /// Yard.
    pub(crate) yard: String,
    /// Trouble.
    #[arg(long)]
    pub(crate) trouble: String,
    /// Counts of a stratum, as `margin="9 4 14"`.
    #[arg(long, required = true, value_name = "STRATUM=COUNTS")]
    pub(crate) counts: Vec<String>,
    /// Finds told by species, as `"Japanese beetle=12"`; leave out where nobody looked.
    #[arg(long, value_name = "SPECIES=NUMBER")]
    pub(crate) species: Vec<String>,
    /// Area of a sample, as `1 ft2` [default: the method's].
    #[arg(long)]
    pub(crate) sample: Option<String>,
    /// Was fresh digging by animals seen?
    #[arg(long)]
    pub(crate) digging: Option<YesNo>,
    /// Is the turf dense and growing well?
    #[arg(long)]
    pub(crate) vigorous: Option<YesNo>,
    /// Each count is a part of this many: the points of a quadrat, or 100 for cover in per cent.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) of: Option<u32>,
    /// Stage seen, by its key or name, as `small-grubs`; leave out where nobody looked.
    #[arg(long)]
    pub(crate) stage: Option<String>,
    /// Nights that the traps stood [default: 1, for traps].
    #[arg(long, value_name = "NUMBER")]
    pub(crate) nights: Option<f64>,
    /// Cover that the owner bears, as `5%`.
    #[arg(long, value_name = "SHARE")]
    pub(crate) bearable: Option<String>,
    /// Who counted.
    #[arg(long)]
    pub(crate) who: Option<String>,
    /// Day of the count [default: today].
    #[arg(long)]
    pub(crate) date: Option<Date>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum TreatVerb {
    /// Options, ranked, each with its checks.
    Options {
        /// Yard.
        yard: String,
        /// Trouble.
        #[arg(long)]
        trouble: String,
        #[command(flatten)]
        facts: FactArgs,
    },
    /// Plan one of the options.
    Plan(PlanArgs),
    /// The sheet that goes to the tank: checks, hours, loads with the part load last, mixing, rinsing.
    Sheet(PlanArgs),
    /// Hours of the kept forecast, each held against the label card.
    Hours(PlanArgs),
    /// Notice to the owner.
    Notice(PlanArgs),
    /// Sign for the lawn.
    Sign(PlanArgs),
    /// Calibrate a sprayer from what its nozzles caught.
    Sprayer {
        /// Width that all nozzles together cover, as `6 ft`.
        #[arg(long)]
        width: String,
        /// Length of the course, as `102 ft`.
        #[arg(long)]
        distance: String,
        /// Time over it, as `17 s`.
        #[arg(long)]
        time: Option<String>,
        /// What each nozzle caught in that time, as `14 floz, 14.5 floz`.
        #[arg(long)]
        catches: String,
        /// Tolerance of a nozzle [default: 7%].
        #[arg(long)]
        tolerance: Option<String>,
        /// Spray wanted on an area, as `40 gal/acre`.
        #[arg(long)]
        wanted: Option<String>,
    },
    /// Calibrate a spreader from what it put down in one pass.
    Spreader {
        /// Whole rate wanted, as `5 lb/1000ft2`.
        #[arg(long)]
        rate: String,
        /// Passes [default: 2].
        #[arg(long)]
        passes: Option<String>,
        /// What one pass put down, as `2.4 lb`.
        #[arg(long)]
        spread: String,
        /// On what area, as `1000 ft2`.
        #[arg(long)]
        area: String,
        /// Band [default: 5%].
        #[arg(long)]
        tolerance: Option<String>,
    },
    /// Set the number of the poison centre that stands on every sheet where something is sprayed.
    PoisonCentre {
        /// Telephone number.
        number: String,
    },
    /// Write an application into the record.
    Record(RecordArgs),
    /// Correct a line of the record: a new line beside the old one.
    Correct {
        /// Number of the line.
        line: i64,
        /// Why.
        #[arg(long)]
        why: String,
        /// Area treated.
        #[arg(long)]
        area: Option<String>,
        /// Total amount.
        #[arg(long)]
        amount: Option<String>,
        /// Rate.
        #[arg(long)]
        rate: Option<String>,
        /// Day.
        #[arg(long)]
        date: Option<Date>,
        #[command(flatten)]
        asked: AskedOfRecord,
    },
    /// Rules of record-keeping that the firm is held to: shown, or set with `--set`.
    Rules {
        /// Keys, as `us-federal-commercial,new-york-commercial`; `none` for none.
        #[arg(long)]
        set: Option<String>,
    },
    /// The applications of a year by a rule, with totals, what is missing and how long it is kept.
    Report {
        /// Calendar year [default: the last whole one].
        #[arg(long)]
        year: Option<i16>,
        /// Key of the rule [default: the firm's only one].
        #[arg(long)]
        rule: Option<String>,
        /// Write the lines as CSV to this file.
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
    },
    /// What the book's follow-ups teach of a control: its level, a slide with its false alarms, why it did poorly, the ranking.
    Learned {
        /// Control, by lore key or name.
        control: String,
        /// Trouble.
        #[arg(long)]
        trouble: String,
        /// Yard; without one, over the book.
        #[arg(long)]
        yard: Option<String>,
        /// Was it used outside the stage's window?
        #[arg(long)]
        outside_window: Option<YesNo>,
        /// Was less used than the card's rate?
        #[arg(long)]
        rate_below_card: Option<YesNo>,
        /// Did no water come in the label's time?
        #[arg(long)]
        dry_after: Option<YesNo>,
        /// Was the material past its date, frozen or kept hot?
        #[arg(long)]
        past_its_date: Option<YesNo>,
        /// Did it do poorly in other yards too?
        #[arg(long)]
        elsewhere_too: Option<YesNo>,
    },
    /// Show a yard's record.
    Show {
        /// Yard.
        yard: String,
    },
    /// Count again after a treatment: what came of it, and what was learned.
    FollowUp {
        /// Yard.
        yard: String,
        /// Trouble.
        #[arg(long)]
        trouble: String,
        /// Counts in the treated ground before.
        #[arg(long)]
        treated_before: String,
        /// Counts in the treated ground after.
        #[arg(long)]
        treated_after: String,
        /// Counts in the untreated strip before.
        #[arg(long)]
        check_before: Option<String>,
        /// Counts in the untreated strip after.
        #[arg(long)]
        check_after: Option<String>,
    },
}

/// One treatment, with what is said of it.
#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    /// Yard.
    pub(crate) yard: String,
    /// Trouble.
    #[arg(long)]
    pub(crate) trouble: String,
    /// Control, by lore key.
    #[arg(long)]
    pub(crate) control: String,
    #[command(flatten)]
    pub(crate) facts: FactArgs,
}

/// What is said of a treatment beyond the map and the card; what is left out is not known, `none` says that there is none.
#[derive(Debug, Args)]
pub(crate) struct FactArgs {
    /// Part of the yard, by its name on the map [default: what is to be treated].
    #[arg(long)]
    pub(crate) area: Option<String>,
    /// Rate that is meant, as `3 lb/1000ft2` [default: the card's range].
    #[arg(long)]
    pub(crate) rate: Option<String>,
    /// Day on which it is meant to be done.
    #[arg(long)]
    pub(crate) on: Option<Date>,
    /// Droplet class of the nozzle at its pressure, by its own sheet, as `coarse`.
    #[arg(long)]
    pub(crate) droplets: Option<String>,
    /// What flowers next door, parted by commas, or `none`.
    #[arg(long)]
    pub(crate) next_door: Option<String>,
    /// When the area was last seeded: a date, or `none`.
    #[arg(long)]
    pub(crate) seeded: Option<String>,
    /// When it is to be seeded next: a date, or `none`.
    #[arg(long)]
    pub(crate) seeding: Option<String>,
    /// Distance to open water, as `60 ft`, or `none` [default: the map's].
    #[arg(long)]
    pub(crate) water: Option<String>,
    /// Distance to the nearest well, as `100 ft`, or `none` [default: the map's].
    #[arg(long)]
    pub(crate) well: Option<String>,
    /// Odds of staying dry that are asked for [default: 80%].
    #[arg(long)]
    pub(crate) dry_odds: Option<String>,
    /// Tank of the sprayer, as `3 gal`.
    #[arg(long)]
    pub(crate) tank: Option<String>,
    /// Parts of mix to one of stock, for a proportioner, as 100.
    #[arg(long)]
    pub(crate) injector: Option<String>,
    /// Temperature of the soil as measured, as `64 degF` [default: estimated from the air, which passes nothing].
    #[arg(long)]
    pub(crate) soil_temperature: Option<String>,
    /// Whether the soil is `moist` or `dry`.
    #[arg(long)]
    pub(crate) soil: Option<String>,
    /// Day from which the age of living stock counts.
    #[arg(long)]
    pub(crate) stock_from: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct RecordArgs {
    /// Yard.
    pub(crate) yard: String,
    /// Trouble.
    #[arg(long)]
    pub(crate) trouble: String,
    /// Name of the label card.
    #[arg(long)]
    pub(crate) card: String,
    /// Day [default: today].
    #[arg(long)]
    pub(crate) date: Option<Date>,
    /// Area treated, as `5200 ft2` [default: as planned].
    #[arg(long)]
    pub(crate) area: Option<String>,
    /// Rate used [default: the card's].
    #[arg(long)]
    pub(crate) rate: Option<String>,
    /// Total amount, as `12 oz`.
    #[arg(long)]
    pub(crate) amount: Option<String>,
    /// Water that carried it, as `10 gal`.
    #[arg(long)]
    pub(crate) carrier: Option<String>,
    /// Who applied it [default: the firm's applicator].
    #[arg(long)]
    pub(crate) applicator: Option<String>,
    /// Wind, as `5 mph`.
    #[arg(long)]
    pub(crate) wind: Option<String>,
    /// Air temperature, as `72 degF`.
    #[arg(long)]
    pub(crate) temperature: Option<String>,
    /// Was a strip left untreated?
    #[arg(long)]
    pub(crate) untreated_strip: Option<YesNo>,
    /// Anything else.
    #[arg(long)]
    pub(crate) note: Option<String>,
    #[command(flatten)]
    pub(crate) asked: AskedOfRecord,
}

/// What rules of record-keeping ask beside the application itself.
#[derive(Debug, Clone, Args)]
pub(crate) struct AskedOfRecord {
    /// When it began, as `07:30` by the yard's clock.
    #[arg(long, value_name = "TIME")]
    pub(crate) started: Option<String>,
    /// When it ended.
    #[arg(long, value_name = "TIME")]
    pub(crate) ended: Option<String>,
    /// Licence of whoever applied it [default: the firm's, where its applicator did].
    #[arg(long)]
    pub(crate) licence: Option<String>,
    /// The certified applicator who answers for it, where another applied it.
    #[arg(long, value_name = "NAME")]
    pub(crate) certified_applicator: Option<String>,
    /// The number of that certificate.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) certified_number: Option<String>,
    /// For whom [default: the yard's owner].
    #[arg(long, value_name = "NAME")]
    pub(crate) customer: Option<String>,
    /// That person's address [default: the owner's].
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) customer_address: Option<String>,
    /// Crop, plant or kind of place, as `home lawn`.
    #[arg(long)]
    pub(crate) site: Option<String>,
    /// How it was applied, as `broadcast, rotary spreader`.
    #[arg(long)]
    pub(crate) method: Option<String>,
    /// Does the label say that it is for restricted use?
    #[arg(long)]
    pub(crate) restricted_use: Option<YesNo>,
    /// The short form for a spot treatment under a tenth of an acre.
    #[arg(long)]
    pub(crate) short_form: bool,
    /// Rules that it is held to [default: the firm's, see `treat rules`].
    #[arg(long, value_name = "KEYS")]
    pub(crate) rules: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LabelVerb {
    /// Add cards from a CSV sheet (`groundlore label template` prints its heading line).
    Add {
        /// File, or `-`.
        file: String,
        /// Keep the good rows and list what was skipped.
        #[arg(long)]
        skip_bad: bool,
    },
    /// Show the cards, with what is not checked.
    List,
    /// Print the heading line of a card sheet.
    Template,
}

#[derive(Debug, Args)]
pub(crate) struct PlantArgs {
    /// Yard.
    pub(crate) yard: String,
    /// Bed, by its name or id on the map.
    pub(crate) bed: String,
    /// Months of bloom, as `May-October`.
    #[arg(long)]
    pub(crate) bloom: Option<String>,
    /// Light: full-sun, part-shade, full-shade.
    #[arg(long)]
    pub(crate) light: Option<String>,
    /// Soil moisture: dry, medium, moist, wet.
    #[arg(long)]
    pub(crate) moisture: Option<String>,
    /// Hardiness zone, as 5.
    #[arg(long)]
    pub(crate) zone: Option<String>,
    /// Lowest plant, as `6 in`.
    #[arg(long)]
    pub(crate) lowest: Option<String>,
    /// Tallest plant, as `7 ft`.
    #[arg(long)]
    pub(crate) tallest: Option<String>,
    /// Visitors wanted, as `bees, butterflies`.
    #[arg(long)]
    pub(crate) visitors: Option<String>,
    /// Flower colours wanted.
    #[arg(long)]
    pub(crate) colours: Option<String>,
    /// Most kinds of plant.
    #[arg(long)]
    pub(crate) kinds: Option<String>,
    /// At least one plant taller than a person?
    #[arg(long)]
    pub(crate) taller_than_a_person: Option<YesNo>,
    /// Where it is, for lists of invasive plants, as `Wisconsin, USA`.
    #[arg(long)]
    pub(crate) region: Option<String>,
    /// From where it is seen, as `lawn`, `south` or `all round`.
    #[arg(long)]
    pub(crate) front: Option<String>,
    /// What may be spent on plants, as `$900`.
    #[arg(long)]
    pub(crate) budget: Option<String>,
    /// Keep the plan in the book and plan its tasks.
    #[arg(long)]
    pub(crate) keep: bool,
}

#[derive(Debug, Args)]
pub(crate) struct StockArgs {
    /// Plant, by lore key or name.
    pub(crate) plant: String,
    /// Nursery.
    #[arg(long)]
    pub(crate) nursery: Option<String>,
    /// An answer, as `roots-at-edge=pass`; may be given more than once. Without any the checks are listed.
    #[arg(long, value_name = "CHECK=ANSWER")]
    pub(crate) answer: Vec<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum MeasureVerb {
    /// Mulch for a bed of the map.
    Mulch {
        /// Yard.
        yard: String,
        /// Bed.
        bed: String,
        /// Depth, as `3 in`.
        #[arg(long, default_value = "3 in")]
        depth: String,
        /// Material, by lore key.
        #[arg(long, default_value = "hardwood-bark-mulch")]
        material: String,
    },
    /// Edging block for an edge of the map.
    Edging {
        /// Yard.
        yard: String,
        /// Edge.
        edge: String,
        /// Height that stands above grade.
        #[arg(long, default_value = "1 in")]
        show: String,
        /// Courses.
        #[arg(long, default_value_t = 1)]
        courses: u32,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum MachineVerb {
    /// List machines and the state of their blades.
    List,
    /// Add a machine.
    Add {
        /// Name.
        name: String,
        /// Kind, as `mower`.
        #[arg(long, default_value = "mower")]
        kind: String,
        /// Width of the deck, as `48 in`.
        #[arg(long)]
        width: Option<String>,
    },
    /// Log hours run.
    Hours {
        /// Machine.
        name: String,
        /// Hours, as `3.5 h`.
        hours: String,
        /// Day [default: today].
        #[arg(long)]
        date: Option<Date>,
    },
    /// Note that the blades were sharpened.
    Sharpened {
        /// Machine.
        name: String,
        /// Day [default: today].
        #[arg(long)]
        date: Option<Date>,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum RatesVerb {
    /// Add rates from a CSV sheet.
    Add {
        /// File, or `-`.
        file: String,
        /// Keep the good rows and list what was skipped.
        #[arg(long)]
        skip_bad: bool,
    },
    /// Show the rates.
    List,
    /// Print the heading line of a rate sheet.
    Template,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PriceVerb {
    /// Price work at a yard: `--mulch BED --edging EDGE --bed BED`.
    Proposal {
        /// Yard.
        yard: String,
        /// Mulch this bed; may be given more than once.
        #[arg(long, value_name = "BED")]
        mulch: Vec<String>,
        /// Set block along this edge; may be given more than once.
        #[arg(long, value_name = "EDGE")]
        edging: Vec<String>,
        /// Plant this bed's newest plan; may be given more than once.
        #[arg(long, value_name = "BED")]
        bed: Vec<String>,
        /// Title.
        #[arg(long, default_value = "Work on your grounds")]
        title: String,
        /// Days for which the price holds.
        #[arg(long, default_value_t = 30)]
        valid_days: u32,
    },
    /// Say how a proposal stands: `agreed`, `refused`, `lapsed`.
    State {
        /// Number of the proposal.
        proposal: i64,
        /// State.
        state: String,
        /// Why.
        #[arg(long)]
        why: Option<String>,
    },
    /// Show a kept proposal.
    Show {
        /// Number of the proposal.
        proposal: i64,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum WeatherVerb {
    /// Add a file of weather to the book: a station's days (GHCN-Daily `.csv` or `.dly`, or plain CSV with named units), its hours (CSV), a
    /// typical year (EPW), or with --yard what was read by hand in a yard.
    Add(WeatherAddArgs),
    /// What the book keeps of a station: its days, gaps and how they are filled, values to look at, chill, its typical year.
    Show {
        /// Key of the station.
        station: String,
    },
    /// Fetch a station's public daily file and, where the settings name an address for it, the public hourly forecast of its place, and put
    /// both into the book; without the network, what was last fetched stands in, with its age.
    Get(WeatherGetArgs),
    /// Read a daily file and say what is odd in it.
    Check {
        /// File, or `-`.
        file: String,
        /// Keep the good rows and list what was skipped.
        #[arg(long)]
        skip_bad: bool,
        /// IANA zone of a table of hours, as America/Chicago, or an offset, as -06:00.
        #[arg(long, value_name = "ZONE", allow_hyphen_values = true)]
        time_zone: Option<String>,
    },
}

#[derive(Debug, Args)]
pub(crate) struct WeatherAddArgs {
    /// Key of the station, as yards name it, and the file (or `-`); the file alone where it names its station, or with --yard.
    #[arg(required = true, num_args = 1..=2, value_names = ["STATION", "FILE"])]
    pub(crate) station_and_file: Vec<String>,
    /// Yard in which this was read by hand.
    #[arg(long)]
    pub(crate) yard: Option<String>,
    /// Hour at which it was read by hand, 0 to 23.
    #[arg(long, value_name = "HOUR", requires = "yard", allow_negative_numbers = true)]
    pub(crate) read_at: Option<i64>,
    /// The day of a maximum read by hand: same-day, day-before [default: by the hour].
    #[arg(long, value_name = "DAY", requires = "yard")]
    pub(crate) maximum_day: Option<String>,
    /// The day of the rain read by hand: same-day, day-before [default: by the hour].
    #[arg(long, value_name = "DAY", requires = "yard")]
    pub(crate) rain_day: Option<String>,
    /// IANA zone of a table of hours, as America/Chicago, or an offset, as -06:00.
    #[arg(long, value_name = "ZONE", allow_hyphen_values = true)]
    pub(crate) time_zone: Option<String>,
    /// The times of a table of hours end their hours (they begin them otherwise).
    #[arg(long)]
    pub(crate) hour_ends: bool,
    /// Height of the station above the sea, with its unit, as "860 ft".
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(crate) elevation: Option<String>,
    /// Put the file in although the key holds another station's.
    #[arg(long)]
    pub(crate) other_station: bool,
    /// Latitude, north positive.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) latitude: Option<f64>,
    /// Longitude, east positive.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) longitude: Option<f64>,
    /// Name.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Keep the good rows and list what was skipped.
    #[arg(long)]
    pub(crate) skip_bad: bool,
}

#[derive(Debug, Args)]
pub(crate) struct WeatherGetArgs {
    /// Key of the station, as yards name it.
    pub(crate) station: String,
    /// The archive's id of the station, where it is not the key.
    #[arg(long, value_name = "ID")]
    pub(crate) archive_id: Option<String>,
    /// Latitude, north positive, where the file does not say it.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) latitude: Option<f64>,
    /// Longitude, east positive, where the file does not say it.
    #[arg(long, allow_negative_numbers = true)]
    pub(crate) longitude: Option<f64>,
    /// Name.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Keep the good rows and list what was skipped.
    #[arg(long)]
    pub(crate) skip_bad: bool,
    /// Fetch a forecast for the place of each yard of the station too; yards within some 2.5 km share one.
    #[arg(long)]
    pub(crate) yards: bool,
    /// Fetch the forecast and leave the daily file as it is.
    #[arg(long)]
    pub(crate) forecast_only: bool,
    /// Ask nobody: take what was last fetched.
    #[arg(long)]
    pub(crate) offline: bool,
    /// Where to ask and how patiently: a TOML file with `daily` (an address with `{station}`), `forecast` (an address with `{latitude}`
    /// and `{longitude}` that gives GeoJSON), `tries`, `timeout` [default: the US national archive of daily weather, and no forecast].
    #[arg(long, value_name = "FILE", env = "GROUNDLORE_FETCH")]
    pub(crate) settings: Option<PathBuf>,
    /// Folder for what was fetched [default: beside the book].
    #[arg(long, value_name = "DIR")]
    pub(crate) cache: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LoreVerb {
    /// Check lore: ours, with the folder given by `--lore` over it.
    Check,
    /// List the entries.
    List {
        /// Only this kind: troubles, plants, controls, materials, work-norms, findings.
        kind: Option<String>,
    },
    /// Show an entry.
    Show {
        /// Key or name.
        name: String,
        /// Yard whose clock dates a trouble's stages; else the first yard of the book that has a station.
        #[arg(long)]
        yard: Option<String>,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum BookVerb {
    /// Make a new book.
    Create {
        /// Name of the firm.
        #[arg(long)]
        firm: String,
        /// Where it works.
        #[arg(long)]
        place: Option<String>,
        /// Cost of an hour of labour, as `$28/h`.
        #[arg(long)]
        labour: Option<String>,
        /// Overhead on cost, as 25%.
        #[arg(long)]
        overhead: Option<String>,
        /// Margin on price, as 15%.
        #[arg(long)]
        margin: Option<String>,
        /// Who signs application records.
        #[arg(long)]
        applicator: Option<String>,
        /// That person's licence.
        #[arg(long)]
        licence: Option<String>,
    },
    /// Copy the book while work goes on, and verify the copy.
    Backup {
        /// File for the copy.
        to: PathBuf,
    },
    /// Is the book sound?
    Check,
    /// Write everything into a folder of open formats.
    Export {
        /// Folder.
        to: PathBuf,
    },
    /// Make a book from such a folder.
    Import {
        /// Folder.
        from: PathBuf,
    },
}

#[derive(Debug, Args)]
pub(crate) struct ReckonArgs {
    /// Key of the calculator; without one they are listed.
    pub(crate) key: Option<String>,
    /// Inputs, as `area="120 ft2" spacing="12 in"`.
    #[arg(value_name = "NAME=VALUE")]
    pub(crate) inputs: Vec<String>,
    /// Unit for an output, as `volume=m3`; may be given more than once.
    #[arg(long = "as", value_name = "OUTPUT=UNIT")]
    pub(crate) units: Vec<String>,
    /// Print the manual page.
    #[arg(long)]
    pub(crate) manual: bool,
}
