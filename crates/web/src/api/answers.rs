//! The routes of the API, each beside the function that answers it.

use super::{Parameter, Route, Verb, body, json};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::Reply;
use groundlore_book::tasks::TaskState;
use groundlore_desk::Desk;
use groundlore_desk::beds::BedWishes;
use groundlore_desk::lore_pages::list_rows;
use groundlore_desk::scouting::{CountEntry, StratumEntry};
use groundlore_desk::treatment::ApplicationEntry;
use groundlore_desk::weighed::Weighed;
use groundlore_plant_health::efficacy::FollowUp;
use groundlore_quantity::Quantity;
use groundlore_reckoner::{Ask, Need, calculators, find, reckon};
use jiff::civil::Date;
use serde::Deserialize;
use serde_json::{Value, json as object};
use std::collections::BTreeMap;

const YARD: Parameter = Parameter { name: "yard", in_path: true, about: "name of the yard", example: "Alder Bank" };
const TROUBLE: Parameter = Parameter { name: "trouble", in_path: true, about: "key or name of the trouble", example: "white-grubs-annual" };
const BED: Parameter = Parameter { name: "bed", in_path: true, about: "name of the bed on the map", example: "East border" };
const KEY: Parameter = Parameter { name: "key", in_path: true, about: "key of the calculator", example: "depth-fill" };

/// All routes.
pub(super) const ROUTES: &[Route] = &[
    Route {
        verb: Verb::Get,
        path: "/api/v1/week",
        name: "week",
        about: "Everything due in the seven days from today",
        parameters: &[],
        body: &[],
        answer: week,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/tasks",
        name: "setTask",
        about: "Change the state of a task",
        parameters: &[],
        body: &[
            ("key", "string", "key of the task"),
            ("to", "string", "to do, begun, done or could not"),
            ("why", "string", "needed for could not"),
            ("who", "string", "who says so"),
        ],
        answer: set_task,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards",
        name: "yards",
        about: "The yards of the book",
        parameters: &[],
        body: &[],
        answer: yards,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}",
        name: "yard",
        about: "A yard with its measures",
        parameters: &[YARD],
        body: &[],
        answer: yard,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/season",
        name: "season",
        about: "Stages of troubles and frost, with odds",
        parameters: &[YARD],
        body: &[],
        answer: season,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/records/{year}",
        name: "yearlyReport",
        about: "The applications of a year by a rule of record-keeping, with totals and what is missing",
        parameters: &[
            Parameter { name: "year", in_path: true, about: "calendar year", example: "2015" },
            Parameter {
                name: "rule",
                in_path: false,
                about: "key of the rule; the firm's only one if left out",
                example: "new-york-commercial",
            },
        ],
        body: &[],
        answer: yearly_report,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/learned/{control}/{trouble}",
        name: "learned",
        about: "What the book's follow-ups teach of a control: level, slide, odds of why it did poorly, ranking",
        parameters: &[
            Parameter { name: "control", in_path: true, about: "key or name of the control", example: "trichlorfon" },
            TROUBLE,
            Parameter { name: "yard", in_path: false, about: "name of a yard; over the book if left out", example: "Alder Bank" },
            Parameter { name: "dry-after", in_path: false, about: "yes or no: no water came in the label's time", example: "no" },
            Parameter { name: "past-its-date", in_path: false, about: "yes or no: old or spoiled material", example: "no" },
        ],
        body: &[],
        answer: learned,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/confirmed-again",
        name: "confirmedAgain",
        about: "Answer every confirmed letter again, and set the run against the one before",
        parameters: &[],
        body: &[],
        answer: confirmed_again,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/record",
        name: "record",
        about: "Every line of the application record",
        parameters: &[YARD],
        body: &[],
        answer: record,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/scouting/{trouble}",
        name: "scoutingPlan",
        about: "Where to look, how, how many, when, and the stop rule",
        parameters: &[YARD, TROUBLE],
        body: &[],
        answer: scouting,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/yards/{yard}/counts/{trouble}",
        name: "enterCounts",
        about: "Write down counts as one session, and weigh them",
        parameters: &[YARD, TROUBLE],
        body: &[
            (
                "strata",
                "array",
                "objects with `stratum`, `counts` (whole numbers, one a sample) and, where it differs, `sample_area` (`1 ft2`)",
            ),
            ("species", "object", "how many of the finds were of each kind; left out: nobody looked"),
            ("stage", "string", "stage seen"),
            ("who", "string", "who counted"),
            ("date", "string", "day of the count; today where left out"),
            ("digging", "boolean", "was fresh digging by animals seen?"),
        ],
        answer: counts,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/verdict/{trouble}",
        name: "verdict",
        about: "Treat, leave or count more, by the newest counts",
        parameters: &[YARD, TROUBLE],
        body: &[],
        answer: verdict,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/treatment/{trouble}",
        name: "treatmentOptions",
        about: "Options, ranked, each with its checks",
        parameters: &[YARD, TROUBLE],
        body: &[],
        answer: options,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/yards/{yard}/treatment/{trouble}",
        name: "planTreatment",
        about: "Plan a treatment and the count afterwards",
        parameters: &[YARD, TROUBLE],
        body: &[("control", "string", "key of the control")],
        answer: plan_treatment,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/yards/{yard}/treatment/{trouble}/applied",
        name: "recordApplication",
        about: "Write a line into the append-only record",
        parameters: &[YARD, TROUBLE],
        body: &[
            ("card", "string", "name of the label card"),
            ("date", "string", "day; today where left out"),
            ("area", "string", "`5200 ft2`"),
            ("rate", "string", "`3 lb/1000ft2`"),
            ("amount", "string", "`15 lb`"),
            ("carrier", "string", "`10 gal`"),
            ("applicator", "string", "who applied it"),
            ("wind", "string", "`4 mph`"),
            ("temperature", "string", "`72 degF`"),
            ("untreated_strip", "boolean", "was a strip left untreated?"),
            ("note", "string", "anything else"),
            ("started", "string", "when it began, as 07:30 by the yard's clock"),
            ("ended", "string", "when it ended"),
            ("licence", "string", "licence of whoever applied it"),
            ("certified_applicator", "string", "who answers for it, where another applied it"),
            ("certified_number", "string", "the number of that certificate"),
            ("customer", "string", "for whom; the yard's owner if left out"),
            ("customer_address", "string", "that person's address"),
            ("site", "string", "crop, plant or kind of place"),
            ("method", "string", "how it was applied"),
            ("restricted_use", "boolean", "does the label say that it is for restricted use"),
            ("short_form", "boolean", "the short form for a spot treatment"),
            ("rules", "string", "keys of the rules that it is held to; the firm's if left out"),
        ],
        answer: applied,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/yards/{yard}/treatment/{trouble}/follow-up",
        name: "followUp",
        about: "Read the counts after a treatment: control where there was an untreated check, else only change",
        parameters: &[YARD, TROUBLE],
        body: &[
            ("treated_before", "array", "counts"),
            ("treated_after", "array", "counts"),
            ("check_before", "array", "counts in the untreated strip"),
            ("check_after", "array", "counts in the untreated strip"),
            ("date", "string", "day; today where left out"),
        ],
        answer: follow_up,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/beds/{bed}",
        name: "bedPlan",
        about: "The newest plan of a bed",
        parameters: &[YARD, BED],
        body: &[],
        answer: saved_bed,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/yards/{yard}/beds/{bed}",
        name: "planBed",
        about: "Plan a bed by wishes and keep the plan",
        parameters: &[YARD, BED],
        body: &[
            ("bloom", "string", "`May-October`"),
            ("kinds_in_bloom", "string", "`3`"),
            ("heights", "string", "`1 ft - 6 ft`"),
            ("light", "string", "full sun, part shade or full shade"),
            ("moisture", "string", "dry, medium, moist or wet"),
            ("zone", "string", "`5b`"),
            ("visitors", "string", "`bees, butterflies`"),
            ("colours", "string", "`blue, white`"),
            ("max_kinds", "string", "`9`"),
            ("taller_than_person", "boolean", "one plant taller than a person?"),
            ("include", "string", "plants that must be in it"),
            ("leave_out", "string", "plants that must not"),
            ("place", "string", "for lists of invasive plants"),
            ("front", "string", "from where it is seen"),
            ("budget", "string", "`$900`"),
        ],
        answer: plan_bed,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/yards/{yard}/proposals",
        name: "proposals",
        about: "Proposals of a yard, newest first",
        parameters: &[YARD],
        body: &[],
        answer: proposals,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/proposals/{id}",
        name: "proposal",
        about: "A proposal as it was offered, with its state",
        parameters: &[Parameter { name: "id", in_path: true, about: "number of the proposal", example: "1" }],
        body: &[],
        answer: proposal,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/letters",
        name: "answerLetter",
        about: "Answer an owner's letter with what the book knows, and keep it",
        parameters: &[],
        body: &[
            ("text", "string", "the letter"),
            ("date", "string", "YYYY-MM-DD"),
            ("yard", "string", "name of the yard"),
            ("place", "string", "coordinates or words, where it is no yard of ours"),
            ("host", "string", "the plant or ground it is about"),
            ("findings", "array", "objects with `finding` and `value`, in free words"),
            ("corrections", "array", "objects with `what` and `value`: what was misread before"),
        ],
        answer: letter,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/letters",
        name: "letters",
        about: "Letters that are kept",
        parameters: &[],
        body: &[],
        answer: letters,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/machines",
        name: "machines",
        about: "Machines with their blades",
        parameters: &[],
        body: &[],
        answer: machines,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/calculators",
        name: "calculators",
        about: "The registry of calculators",
        parameters: &[],
        body: &[],
        answer: list_calculators,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/calculators/{key}",
        name: "calculator",
        about: "A calculator: its inputs, outputs, sources",
        parameters: &[KEY],
        body: &[],
        answer: one_calculator,
    },
    Route {
        verb: Verb::Post,
        path: "/api/v1/reckon/{key}",
        name: "reckon",
        about: "Reckon, with the working",
        parameters: &[KEY],
        body: &[
            ("inputs", "object", "name and value as typed, with its unit: `{\"area\": \"108 ft2\", \"depth\": \"3 in\"}`"),
            ("as", "object", "units wanted for outputs: `{\"volume\": \"m3\"}`"),
        ],
        answer: do_reckon,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/lore",
        name: "loreList",
        about: "Entries of lore: kind, key and name",
        parameters: &[Parameter {
            name: "kind",
            in_path: false,
            about: "troubles, plants, controls, materials, work-norms or findings",
            example: "plants",
        }],
        body: &[],
        answer: lore_list,
    },
    Route {
        verb: Verb::Get,
        path: "/api/v1/lore/{name}",
        name: "loreEntry",
        about: "An entry of lore, with the source of every figure",
        parameters: &[
            Parameter { name: "name", in_path: true, about: "key or name", example: "white-grubs-annual" },
            Parameter { name: "yard", in_path: false, about: "yard whose clock dates a trouble's stages", example: "Alder Bank" },
        ],
        body: &[],
        answer: lore_entry,
    },
];

fn week(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(json(desk.week()?)?))
}

#[derive(Deserialize)]
struct TaskWish {
    key: String,
    to: String,
    why: Option<String>,
    who: Option<String>,
}

fn set_task(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: TaskWish = body(asked)?;
    let to = TaskState::from_word(&wish.to)
        .ok_or_else(|| Fault::at_field("to", format!("`{}` is no state of a task; use one of to do, begun, done, could not", wish.to)))?;
    desk.set_task(&wish.key, to, wish.why.as_deref(), wish.who.as_deref())?;
    Ok(Reply::Json(object!({"key": wish.key, "state": to.word(), "why": wish.why})))
}

fn yards(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(object!({"yards": json(desk.book.yards()?)?})))
}

fn yard(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(desk.yard_json(&desk.yard(asked.part("yard"))?)?))
}

fn season(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(json(desk.season(asked.part("yard"))?)?))
}

fn record(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    Ok(Reply::Json(object!({"yard": row.name, "lines": json(desk.book.application_lines_of(row.id)?)?})))
}

fn yearly_report(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let found = crate::pages::record_keeping::asked_report(desk, Some(asked.part("year")), asked.query("rule"))?;
    Ok(Reply::Json(json(found)?))
}

fn learned(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let told = crate::pages::learned::signs(asked);
    Ok(Reply::Json(json(desk.learned(asked.part("control"), asked.part("trouble"), asked.query("yard"), told)?)?))
}

fn confirmed_again(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Made(json(desk.retry_confirmed()?)?))
}

fn scouting(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(json(desk.scouting_plan(asked.part("yard"), asked.part("trouble"), 60)?)?))
}

#[derive(Deserialize)]
struct CountWish {
    strata: Vec<StratumWish>,
    #[serde(default)]
    species: BTreeMap<String, u64>,
    stage: Option<String>,
    who: Option<String>,
    date: Option<Date>,
    digging: Option<bool>,
    vigorous: Option<bool>,
    of: Option<u32>,
    nights: Option<f64>,
    bearable: Option<f64>,
}

#[derive(Deserialize)]
struct StratumWish {
    stratum: String,
    counts: Vec<u64>,
    sample_area: Option<Quantity>,
}

fn counts(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: CountWish = body(asked)?;
    let strata =
        wish.strata.into_iter().map(|s| StratumEntry { stratum: s.stratum, counts: s.counts, sample_area: s.sample_area }).collect();
    let entry = CountEntry {
        strata,
        species: wish.species,
        stage: wish.stage,
        who: wish.who,
        date: wish.date,
        digging: wish.digging,
        vigorous: wish.vigorous,
        of: wish.of,
        nights: wish.nights,
        bearable: wish.bearable,
    };
    let session = desk.enter_counts(asked.part("yard"), asked.part("trouble"), &entry)?;
    let verdict = weighed(desk, asked).ok();
    Ok(Reply::Made(object!({"session": session, "verdict": json(verdict)?})))
}

fn verdict(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(weighed(desk, asked)?))
}

/// A verdict in the shape that it always had; cover and catches with the word for what they are.
fn weighed(desk: &mut Desk, asked: &Asked) -> Result<serde_json::Value, Fault> {
    match desk.weigh(asked.part("yard"), asked.part("trouble"))? {
        Weighed::Verdict(verdict) => json(verdict),
        found => json(found),
    }
}

fn options(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(json(desk.treatment_options(asked.part("yard"), asked.part("trouble"))?)?))
}

#[derive(Deserialize)]
struct ControlWish {
    control: String,
}

fn plan_treatment(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: ControlWish = body(asked)?;
    let planned = desk.plan_treatment(asked.part("yard"), asked.part("trouble"), &wish.control)?;
    Ok(Reply::Made(object!({"treatment": planned.treatment, "control": wish.control, "look_first": planned.look_first})))
}

#[derive(Deserialize)]
struct ApplicationWish {
    card: String,
    date: Option<Date>,
    area: Option<String>,
    rate: Option<String>,
    amount: Option<String>,
    carrier: Option<String>,
    applicator: Option<String>,
    wind: Option<String>,
    temperature: Option<String>,
    untreated_strip: Option<bool>,
    note: Option<String>,
    started: Option<String>,
    ended: Option<String>,
    licence: Option<String>,
    certified_applicator: Option<String>,
    certified_number: Option<String>,
    customer: Option<String>,
    customer_address: Option<String>,
    site: Option<String>,
    method: Option<String>,
    restricted_use: Option<bool>,
    #[serde(default)]
    short_form: bool,
    rules: Option<String>,
}

fn applied(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: ApplicationWish = body(asked)?;
    let entry = ApplicationEntry {
        card: wish.card,
        date: wish.date,
        area: wish.area,
        rate: wish.rate,
        amount: wish.amount,
        carrier: wish.carrier,
        applicator: wish.applicator,
        wind: wish.wind,
        temperature: wish.temperature,
        untreated_strip: wish.untreated_strip,
        note: wish.note,
        started: wish.started,
        ended: wish.ended,
        licence: wish.licence,
        certified_applicator: wish.certified_applicator,
        certified_number: wish.certified_number,
        customer: wish.customer,
        customer_address: wish.customer_address,
        site: wish.site,
        method: wish.method,
        restricted_use: wish.restricted_use,
        short_form: wish.short_form,
        rules: wish.rules,
    };
    let line = desk.record_application(asked.part("yard"), asked.part("trouble"), &entry)?;
    Ok(Reply::Made(object!({"line": line})))
}

#[derive(Deserialize, Default)]
#[serde(default)]
struct FollowUpWish {
    treated_before: Vec<f64>,
    treated_after: Vec<f64>,
    check_before: Vec<f64>,
    check_after: Vec<f64>,
    date: Option<Date>,
}

fn follow_up(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: FollowUpWish = body(asked)?;
    let counts = FollowUp {
        treated_before: wish.treated_before,
        treated_after: wish.treated_after,
        check_before: wish.check_before,
        check_after: wish.check_after,
    };
    Ok(Reply::Made(json(desk.follow_up(asked.part("yard"), asked.part("trouble"), &counts, wish.date)?)?))
}

fn saved_bed(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(json(desk.saved_bed(asked.part("yard"), asked.part("bed"))?)?))
}

fn plan_bed(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wishes: BedWishes = body(asked)?;
    Ok(Reply::Made(json(desk.plan_bed(asked.part("yard"), asked.part("bed"), &wishes)?)?))
}

fn proposals(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let rows = desk.proposals(asked.part("yard"))?;
    let list: Vec<Value> = rows
        .into_iter()
        .map(|row| object!({"id": row.id, "title": row.title, "date": row.date, "state": row.state, "total": row.total}))
        .collect();
    Ok(Reply::Json(object!({"proposals": list})))
}

fn proposal(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let id = asked.part("id").parse().map_err(|_| {
        Fault::missing(format!("`{}` is no number of a proposal", asked.part("id")), "list the proposals of a yard to see them")
    })?;
    Ok(Reply::Json(json(desk.offered_proposal(id)?)?))
}

fn letter(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let letter: Value = body(asked)?;
    Ok(Reply::Made(json(desk.answer_letter(&letter.to_string(), "letter.json")?)?))
}

fn letters(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(object!({"letters": json(desk.book.all::<groundlore_book::letters::Letter>()?)?})))
}

fn machines(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(object!({"machines": json(desk.machine_states()?)?})))
}

fn list_calculators(_: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    let list: Vec<Value> = calculators().iter().map(|c| object!({"key": c.key, "topic": c.topic.heading(), "about": c.about})).collect();
    Ok(Reply::Json(object!({"calculators": list})))
}

fn one_calculator(_: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let found = find(asked.part("key"))?;
    let inputs: Vec<Value> = found
        .inputs
        .iter()
        .map(|input| object!({"name": input.name, "about": input.about, "expected": input.kind.expected(), "required": input.need == Need::Required, "example": input.example}))
        .collect();
    let outputs: Vec<Value> = found.outputs.iter().map(|output| object!({"name": output.name, "about": output.about})).collect();
    Ok(Reply::Json(object!({
        "key": found.key, "topic": found.topic.heading(), "about": found.about, "inputs": inputs, "outputs": outputs,
        "rounding": found.rounding, "sources": found.sources, "cautions": found.cautions,
    })))
}

#[derive(Deserialize)]
struct ReckonWish {
    #[serde(default)]
    inputs: BTreeMap<String, Value>,
    #[serde(default, rename = "as")]
    units: BTreeMap<String, String>,
}

fn do_reckon(_: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wish: ReckonWish = body(asked)?;
    let mut ask = Ask::new(asked.part("key"));
    for (name, value) in &wish.inputs {
        let typed = typed(value).ok_or_else(|| {
            Fault::at_field(name, format!("`{name}` is `{value}`; send text such as `12.5 ft`, a number, or a list of them"))
        })?;
        ask.inputs.push((name.clone(), typed));
    }
    ask.units = wish.units.into_iter().collect();
    Ok(Reply::Json(reckon(&ask)?.json()))
}

/// A JSON value as it would be typed.
fn typed(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Array(list) => list.iter().map(typed).collect::<Option<Vec<_>>>().map(|parts| parts.join(", ")),
        Value::Null | Value::Bool(_) | Value::Object(_) => None,
    }
}

fn lore_list(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let rows = list_rows(&desk.lore, asked.query("kind"))?;
    let list: Vec<Value> = rows.into_iter().map(|row| object!({"kind": row[0], "key": row[1], "name": row[2]})).collect();
    Ok(Reply::Json(object!({"entries": list})))
}

fn lore_entry(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Json(desk.lore_entry(asked.part("name"), asked.query("yard"))?.0))
}
