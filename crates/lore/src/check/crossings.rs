//! References from one entry to another: findings, look-alikes, controls, targets and stages must exist.

use crate::control::Control;
use crate::fault::LoreFault;
use crate::library::{Lore, Told};
use crate::remedy;
use crate::shelf::Shelf;
use crate::trouble::{ActionClass, Trouble, TroubleKind};

pub(super) fn check(lore: &Lore, faults: &mut Vec<LoreFault>) {
    for (key, trouble) in &lore.troubles {
        let mut note = |field: String, told: Told| faults.push(lore.fault(Shelf::Troubles, key, &field, told));
        findings(lore, trouble, &mut note);
        look_alikes(lore, trouble, &mut note);
        action(lore, trouble, &mut note);
        harmless(lore, trouble, &mut note);
        wider(lore, trouble, &mut note);
    }
    for (key, telling) in &lore.tellings {
        let mut note = |field: &str, told: Told| faults.push(lore.fault(Shelf::Tellings, key, field, told));
        if !lore.troubles.contains_key(key) {
            note("", unknown(key, "trouble", lore.troubles.keys()));
        }
        if let Some(i) = telling.told.iter().position(|words| words.split_whitespace().count() < 4) {
            let remedy = "Write at least a short sentence of what an owner would see, or take it out.";
            note(&format!("told[{i}]"), Told::fault(&telling.told[i], "too few words to tell anything by", remedy));
        }
    }
    for (key, control) in &lore.controls {
        targets(lore, control, &mut |field, told| faults.push(lore.fault(Shelf::Controls, key, &field, told)));
    }
}

type Note<'a> = &'a mut dyn FnMut(String, Told);

/// A fault for a key that no entry of a shelf has.
fn unknown<'a>(key: &str, what: &str, known: impl Iterator<Item = &'a String>) -> Told {
    let remedy = match remedy::nearest(key, known) {
        Some(near) => format!("Did you mean `{near}`? Otherwise add the {what}, or take this line out."),
        None => format!("Add the {what}, or take this line out."),
    };
    Told::fault(key, format!("no {what} has this key"), remedy)
}

fn findings(lore: &Lore, trouble: &Trouble, note: Note<'_>) {
    for (i, likelihood) in trouble.findings.iter().enumerate() {
        let field = format!("findings[{i}].finding");
        if !lore.findings.contains_key(&likelihood.finding) {
            note(field, unknown(&likelihood.finding, "finding", lore.findings.keys()));
        } else if trouble.findings[..i].iter().any(|other| other.finding == likelihood.finding) {
            let remedy = "Keep one of the two.";
            note(field, Told::fault(&likelihood.finding, "this finding is listed twice", remedy));
        }
    }
}

fn look_alikes(lore: &Lore, trouble: &Trouble, note: Note<'_>) {
    for (i, other) in trouble.look_alikes.iter().enumerate() {
        let field = format!("look_alikes[{i}]");
        match lore.troubles.get(&other.trouble) {
            None => note(format!("{field}.trouble"), unknown(&other.trouble, "trouble", lore.troubles.keys())),
            Some(twin) if !twin.look_alikes.iter().any(|back| back.trouble == trouble.key) => {
                let remedy = format!("Add a `[[look_alikes]]` with `trouble = \"{}\"` to that entry.", trouble.key);
                note(format!("{field}.trouble"), Told::warning(&other.trouble, "the look-alike does not name this one in turn", remedy));
            }
            Some(_) => {}
        }
        let listed = |entry: &Trouble| entry.findings.iter().any(|likelihood| likelihood.finding == other.split_by);
        if lore.troubles.get(&other.trouble).is_some_and(|twin| !listed(trouble) && !listed(twin)) {
            let remedy = "Add it to the `[[findings]]` of one of the two, or it splits nothing.";
            note(format!("{field}.split_by"), Told::warning(&other.split_by, "neither of the two lists this finding", remedy));
        }
        if !lore.findings.contains_key(&other.split_by) {
            note(format!("{field}.split_by"), unknown(&other.split_by, "finding", lore.findings.keys()));
        }
    }
}

/// The wider entry must exist and be no narrower one itself.
fn wider(lore: &Lore, trouble: &Trouble, note: Note<'_>) {
    let Some(key) = &trouble.kind_of else { return };
    match lore.troubles.get(key) {
        None => note("kind_of".into(), unknown(key, "trouble", lore.troubles.keys())),
        Some(wide) if wide.kind_of.is_some() => {
            note("kind_of".into(), Told::fault(key, "this entry is itself one of a wider one", "Name the widest entry."));
        }
        Some(_) => {}
    }
}

fn action(lore: &Lore, trouble: &Trouble, note: Note<'_>) {
    for (i, key) in trouble.action.controls.iter().enumerate() {
        if !lore.controls.contains_key(key) {
            note(format!("action.controls[{i}]"), unknown(key, "control", lore.controls.keys()));
        }
    }
    let stage = trouble.action.stage.as_deref();
    if trouble.action.class == ActionClass::ActAtAStage && stage.is_none_or(|stage| stage.trim().is_empty()) {
        let remedy = "Write `stage = \"small-grubs\"` (a stage key of this entry) or plain words such as `spring, before bud break`.";
        note("action.class".into(), Told::fault("act-at-a-stage", "no stage is named for it", remedy));
    }
    if let Some(stage) = stage {
        let looks_like_a_key = stage.contains('-') && !stage.contains(' ');
        if looks_like_a_key && !trouble.stages.iter().any(|known| known.key == stage) {
            note("action.stage".into(), unknown(stage, "stage of this entry", trouble.stages.iter().map(|known| &known.key)));
        }
    }
}

fn harmless(lore: &Lore, trouble: &Trouble, note: Note<'_>) {
    if trouble.kind != TroubleKind::Harmless {
        return;
    }
    if trouble.action.class != ActionClass::LeaveItAlone {
        let remedy = "Write `class = \"leave-it-alone\"`, or give the entry another kind.";
        note("action.class".into(), Told::fault(trouble.action.class.words(), "this entry is harmless", remedy));
    }
    for (i, key) in trouble.action.controls.iter().enumerate() {
        if lore.controls.get(key).is_some_and(|control| control.needs_label) {
            let wrong = "nothing under a pesticide label belongs to a harmless entry";
            note(format!("action.controls[{i}]"), Told::fault(key, wrong, "Take it out."));
        }
    }
}

fn targets(lore: &Lore, control: &Control, note: Note<'_>) {
    for (i, target) in control.targets.iter().enumerate() {
        let field = format!("targets[{i}]");
        let Some(trouble) = lore.troubles.get(&target.trouble) else {
            note(format!("{field}.trouble"), unknown(&target.trouble, "trouble", lore.troubles.keys()));
            continue;
        };
        for (j, stage) in target.stages.iter().enumerate() {
            if !trouble.stages.iter().any(|known| known.key == *stage) {
                let known = trouble.stages.iter().map(|known| &known.key);
                note(format!("{field}.stages[{j}]"), unknown(stage, &format!("stage of `{}`", trouble.key), known));
            }
        }
        if control.needs_label && trouble.kind == TroubleKind::Harmless {
            note(format!("{field}.trouble"), Told::fault(&target.trouble, "this trouble is harmless", "Take the target out."));
        }
    }
}
