//! A real frequency table of plant disease through the same machinery as a letter: 683 soybean cases of 19 diseases (Michalski & Chilausky
//! 1980; `tests/data/ORIGIN.md`), beside naive Bayes. Rows DX-S of the season note: exact rational arithmetic in Python 3.13, and R e1071.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use groundlore_lore::Lore;
use groundlore_lore::finding::Finding;
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::letter::{Context, GivenFinding, GivenValue, Letter, Reader, answer};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// Cases as (disease, (symptom, value) where recorded).
fn cases() -> Vec<(String, Vec<(String, String)>)> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/soybean_large.csv");
    let mut reader = csv::Reader::from_path(path).unwrap();
    let names: Vec<String> = reader.headers().unwrap().iter().skip(1).map(str::to_owned).collect();
    let read = |row: csv::StringRecord| {
        let told = names.iter().zip(row.iter().skip(1)).filter(|(_, v)| *v != "?");
        (row[0].to_owned(), told.map(|(n, v)| (n.clone(), v.to_owned())).collect())
    };
    reader.records().map(|r| read(r.unwrap())).collect()
}

/// Counts of a training set.
#[derive(Default)]
struct Counts {
    classes: BTreeMap<String, f64>,
    /// (class, symptom) → recorded cases.
    recorded: BTreeMap<(String, String), f64>,
    /// (class, symptom, value) → cases.
    cells: BTreeMap<(String, String, String), f64>,
    values: BTreeMap<String, BTreeSet<String>>,
    all: BTreeMap<(String, String), f64>,
}

impl Counts {
    fn of<'a>(train: impl Iterator<Item = &'a (String, Vec<(String, String)>)>, whole: &[(String, Vec<(String, String)>)]) -> Self {
        let mut counts = Self::default();
        // Which values a symptom can take is known beforehand.
        for (symptom, value) in whole.iter().flat_map(|c| &c.1) {
            counts.values.entry(symptom.clone()).or_default().insert(value.clone());
        }
        for (class, told) in train {
            *counts.classes.entry(class.clone()).or_default() += 1.0;
            for (symptom, value) in told {
                *counts.recorded.entry((class.clone(), symptom.clone())).or_default() += 1.0;
                *counts.cells.entry((class.clone(), symptom.clone(), value.clone())).or_default() += 1.0;
                *counts.all.entry((symptom.clone(), value.clone())).or_default() += 1.0;
            }
        }
        counts
    }

    /// P(value | class), with one added to each cell.
    fn share(&self, class: &str, symptom: &str, value: &str) -> f64 {
        let cell = self.cells.get(&(class.to_owned(), symptom.to_owned(), value.to_owned())).copied().unwrap_or(0.0);
        let recorded = self.recorded.get(&(class.to_owned(), symptom.to_owned())).copied().unwrap_or(0.0);
        (cell + 1.0) / (recorded + self.values[symptom].len() as f64)
    }

    fn naive_bayes(&self, told: &[(String, String)]) -> Vec<(String, f64)> {
        let total: f64 = self.classes.values().sum();
        let log = |class: &str, n: f64| (n / total).ln() + told.iter().map(|(s, v)| self.share(class, s, v).ln()).sum::<f64>();
        let logs: Vec<(String, f64)> = self.classes.iter().map(|(class, n)| (class.clone(), log(class, *n))).collect();
        let top = logs.iter().map(|l| l.1).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|l| (l.1 - top).exp()).sum();
        let mut all: Vec<(String, f64)> = logs.into_iter().map(|(class, l)| (class, (l - top).exp() / sum)).collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    /// The same counts as lore: a disease is a trouble, each value of a symptom a finding. A class in which a symptom was never recorded lists
    /// nothing for it, so that what nobody looked at tells neither for nor against.
    fn lore(&self) -> Lore {
        let total: f64 = self.classes.values().sum();
        let mut lore = Lore::default();
        for (symptom, values) in &self.values {
            let recorded: f64 = values.iter().filter_map(|v| self.all.get(&(symptom.clone(), v.clone()))).sum();
            for value in values {
                let n = self.all.get(&(symptom.clone(), value.clone())).copied().unwrap_or(0.0);
                let p = ((n + 1.0) / (recorded + values.len() as f64)).clamp(0.01, 0.99);
                let text = format!(
                    "key = \"{symptom}-is-{value}\"\nname = \"{symptom} is {value}\"\nsaid_as = []\nbackground = {{ low = {p}, high = {p}, source = \"x\" }}\nhow_to_look = \"x\"\neffort = \"1 min\"\nlook_by = \"owner\"\none_of = \"{symptom}\"\n"
                );
                let finding: Finding = toml::from_str(&text).unwrap();
                lore.findings.insert(finding.key.clone(), finding);
            }
        }
        for (class, n) in &self.classes {
            let mut text = format!(
                "key = \"{class}\"\nname = \"{class}\"\nkind = \"ornamental-disease\"\nsummary = \"x\"\nregion = \"x\"\nreviewed = \"2026-11-25\"\nhosts = [\"bed\"]\nprior = {{ low = {0}, high = {0}, source = \"x\" }}\nfor_the_owner = \"x\"\nfindings = [\n",
                n / total
            );
            for (symptom, values) in &self.values {
                if self.recorded.contains_key(&(class.clone(), symptom.clone())) {
                    for value in values {
                        let p = self.share(class, symptom, value).clamp(0.01, 0.99);
                        writeln!(text, "{{ finding = \"{symptom}-is-{value}\", low = {p}, high = {p}, source = \"x\" }},").unwrap();
                    }
                }
            }
            text.push_str("]\n[action]\nclass = \"watch\"\nwhy = \"x\"\nsteps = []\nsource = \"x\"\n");
            let trouble: Trouble = toml::from_str(&text).unwrap();
            lore.troubles.insert(class.clone(), trouble);
        }
        lore
    }
}

fn letter(told: &[(String, String)]) -> Letter {
    let findings = told.iter().map(|(s, v)| GivenFinding { finding: format!("{s}-is-{v}"), value: GivenValue::Yes }).collect();
    Letter { findings, ..Letter::default() }
}

#[test]
fn naive_bayes_on_the_table_is_that_of_the_note() {
    let all = cases();
    let counts = Counts::of(all.iter(), &all);
    let told = |pairs: &[(&str, &str)]| pairs.iter().map(|(s, v)| ((*s).to_owned(), (*v).to_owned())).collect::<Vec<_>>();
    for (id, evidence, top) in [
        ("DX-S1", told(&[("int.discolor", "1")]), [("brown-stem-rot", 0.617_150_726_0), ("2-4-d-injury", 0.078_130_866_3)]),
        ("DX-S2", told(&[("canker.lesion", "1")]), [("brown-spot", 0.329_710_512_7), ("rhizoctonia-root-rot", 0.177_082_372_5)]),
        ("DX-S4", told(&[("precip", "2"), ("temp", "0")]), [("rhizoctonia-root-rot", 0.330_271_698_7), ("downy-mildew", 0.141_545_013_7)]),
        ("DX-S7", told(&[("leaf.mild", "1")]), [("powdery-mildew", 0.364_448_884_5), ("2-4-d-injury", 0.106_442_213_9)]),
        ("DX-S20", all[0].1.clone(), [("diaporthe-stem-canker", 0.999_992_242_2), ("anthracnose", 7.749_829_934e-06)]),
        ("DX-S23", all[599].1.clone(), [("alternarialeaf-spot", 0.920_893_380_6), ("brown-spot", 0.075_492_685_37)]),
    ] {
        let found = counts.naive_bayes(&evidence);
        for ((class, p), (name, expected)) in found.iter().zip(top) {
            assert_eq!(class, name, "{id}");
            assert!((p - expected).abs() < 1e-9, "{id}: {p}, expected {expected}");
        }
    }
    let right = all.iter().filter(|(class, told)| &counts.naive_bayes(told)[0].0 == class).count();
    assert_eq!(right, 640, "DX-S30");
}

#[test]
fn the_machinery_of_letters_stands_a_little_under_naive_bayes_by_cross_validation() {
    const FOLDS: usize = 10;
    let all = cases();
    // Classes stand in blocks, so every tenth case of each block is a stratified fold.
    let (mut ours, mut naive, mut brier_ours, mut brier_naive) = (0, 0, 0.0, 0.0);
    for fold in 0..FOLDS {
        let train = all.iter().enumerate().filter(|(i, _)| i % FOLDS != fold).map(|(_, c)| c);
        let counts = Counts::of(train, &all);
        let lore = counts.lore();
        let reader = Reader::new(&lore);
        for (class, told) in all.iter().enumerate().filter(|(i, _)| i % FOLDS == fold).map(|(_, c)| c) {
            let bayes = counts.naive_bayes(told);
            naive += usize::from(&bayes[0].0 == class);
            brier_naive += bayes.iter().map(|(k, p)| (p - f64::from(u8::from(k == class))).powi(2)).sum::<f64>();
            let answer = answer(&letter(told), &lore, &reader, &Context::default());
            ours += usize::from(answer.causes.first().is_some_and(|c| &c.key == class));
            brier_ours += answer.causes.iter().map(|c| (c.probability - f64::from(u8::from(&c.key == class))).powi(2)).sum::<f64>();
        }
    }
    let n = all.len() as f64;
    let report = format!(
        "ten folds, {n} cases: ours {:.3} right, Brier {:.3}; naive Bayes {:.3} right, Brier {:.3}",
        f64::from(ours as u32) / n,
        brier_ours / n,
        f64::from(naive as u32) / n,
        brier_naive / n
    );
    if std::env::var_os("SHOW").is_some() {
        println!("{report}");
    }
    // A table this dense is naive Bayes's best case: the letters' machinery discounts signs that tell the same story, and keeps doubt.
    assert!(f64::from(ours as u32) / n >= 0.85 && brier_ours / n <= 0.22, "{report}");
    assert!(f64::from(naive as u32) / n >= 0.92, "{report}");
}
