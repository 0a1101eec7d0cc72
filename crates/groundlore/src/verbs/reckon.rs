//! The reckoner.

use crate::cli::{ReckonArgs, Show};
use crate::out::{Outcome, say, show};
use groundlore_reckoner::{Answer, Ask, Calculator, calculators, find, manual, reckon};
use groundlore_sheet::{Block, Sheet};
use jiff::ZonedDateTime;
use serde_json::json;
use std::process::ExitCode;

pub(crate) fn run(options: &Show, args: &ReckonArgs) -> Outcome<ExitCode> {
    if args.manual {
        say(&manual::page());
        return Ok(ExitCode::SUCCESS);
    }
    let Some(key) = &args.key else { return list(options) };
    let calculator = find(key)?;
    if args.inputs.is_empty() {
        return show(options, &about(calculator), || Ok(calculator_sheet(calculator)));
    }
    let mut ask = Ask::new(key);
    for text in &args.inputs {
        let (name, value) = super::pair(text, "area=120 ft2")?;
        ask = ask.with(&name, &value);
    }
    for text in &args.units {
        let (output, unit) = super::pair(text, "volume=m3")?;
        ask = ask.wanted(&output, &unit);
    }
    let answer = reckon(&ask)?;
    show(options, &answer.json(), || Ok(answer_sheet(&answer)))
}

fn list(options: &Show) -> Outcome<ExitCode> {
    let all: Vec<_> = calculators().into_iter().map(about).collect();
    show(options, &all, || {
        let mut sheet = Sheet::new("reckoner", "The reckoner", ZonedDateTime::now().date());
        let mut topic = None;
        for calculator in calculators() {
            if topic != Some(calculator.topic) {
                topic = Some(calculator.topic);
                sheet.push(Block::heading(calculator.topic.heading()));
            }
            let inputs: Vec<String> = calculator.inputs.iter().map(|i| format!("{}=\"{}\"", i.name, i.example)).collect();
            sheet.push(Block::Facts { facts: vec![(calculator.key.to_owned(), format!("{} {}", calculator.about, inputs.join(" ")))] });
        }
        Ok(sheet)
    })
}

fn about(calculator: &Calculator) -> serde_json::Value {
    let inputs: Vec<_> = calculator
        .inputs
        .iter()
        .map(|i| json!({"name": i.name, "kind": i.kind.expected(), "required": i.need == groundlore_reckoner::Need::Required, "about": i.about, "example": i.example}))
        .collect();
    let outputs: Vec<_> = calculator.outputs.iter().map(|o| json!({"name": o.name, "about": o.about})).collect();
    json!({"key": calculator.key, "topic": calculator.topic.heading(), "about": calculator.about, "inputs": inputs, "outputs": outputs,
        "rounding": calculator.rounding, "sources": calculator.sources})
}

fn calculator_sheet(calculator: &Calculator) -> Sheet {
    let rows = calculator.inputs.iter().map(|i| vec![i.name.to_owned(), i.kind.expected(), i.example.to_owned(), i.about.to_owned()]);
    let outputs = calculator.outputs.iter().map(|o| vec![o.name.to_owned(), o.about.to_owned()]);
    Sheet::new("calculator", calculator.key, ZonedDateTime::now().date())
        .with(Block::paragraph(calculator.about))
        .with(Block::table("Inputs", &["name", "kind", "example", ""], rows.collect()))
        .with(Block::table("Outputs", &["name", ""], outputs.collect()))
        .with(Block::paragraph(format!("Rounding: {}", calculator.rounding)))
        .with(Block::Sources { sources: calculator.sources.iter().map(|s| (*s).to_owned()).collect() })
}

fn answer_sheet(answer: &Answer) -> Sheet {
    let facts = answer.outputs.iter().map(|(name, output)| ((*name).to_owned(), output.to_string())).collect();
    let mut sheet = Sheet::new("reckoning", answer.key, ZonedDateTime::now().date())
        .with(Block::Facts { facts })
        .with(Block::Working { title: "Working".to_owned(), lines: answer.working.clone() })
        .with(Block::paragraph(format!("Rounding: {}", answer.rounding)))
        .with(Block::Sources { sources: answer.sources.iter().map(|s| (*s).to_owned()).collect() });
    if !answer.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: answer.cautions.iter().map(|c| (*c).to_owned()).collect() });
    }
    sheet
}
