//! Letters: write or paste one, read the answer, put right what was misread, look up those that are kept.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_book::letters::Letter;
use groundlore_book::tasks::TaskState;
use groundlore_desk::Desk;
use groundlore_desk::letters::Answered;
use groundlore_figure::cause_bars;
use groundlore_sheet::{Block, Sheet, Tone};
use maud::{Markup, html};
use serde_json::{Value, json};

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/letters", get(letters).merge(post(send)))
        .route("/letters/{id}", get(kept).merge(post(correct)))
        .route("/letters/{id}/reply", get(reply))
        .route("/letters/{id}/confirm", post(confirm))
}

/// The first words of a letter.
pub(super) fn first_words(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().take(12).collect();
    let more = if text.split_whitespace().nth(12).is_some() { " …" } else { "" };
    format!("{}{more}", words.join(" "))
}

fn letters(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(letters_page(desk, asked, None)?.into())
}

fn letters_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let yards = desk.book.yards()?;
    let mut kept = desk.book.all::<Letter>()?;
    kept.sort_by_key(|letter| std::cmp::Reverse((letter.date, letter.id)));
    let name =
        |letter: &Letter| yards.iter().find(|yard| Some(yard.id) == letter.yard_id).map_or("no yard of ours", |yard| yard.name.as_str());
    let mut choices = vec![(String::new(), "none of ours, or not known".to_owned())];
    choices.extend(yards.iter().map(|yard| (yard.name.clone(), yard.name.clone())));
    let form = Form::new("letter", asked, fault).with("date", desk.today.to_string());
    Ok(Page::titled(Room::Letters, "Letters").after_fault(fault).after(html! {
        (form.summary())
        div.side {
            form method="post" action="/letters" aria-labelledby="new-letter" {
                h2 id="new-letter" { "A letter came" }
                (form.text("text", "The letter", "Type it or paste it as it came.", 9))
                (form.choice("yard", "Yard", "", &choices))
                (form.line("host", "What it is about", "lawn, rose, oak; blank where the letter says it"))
                (form.line("place", "Place, where it is no yard of ours", "as `43.06, -87.45` or in words, `cool oceanic, zone 9a`"))
                (form.day("date", "Day of the letter", ""))
                button.first { "Answer it" }
            }
            section aria-labelledby="kept-letters" {
                h2 id="kept-letters" { "Kept letters" }
                @if kept.is_empty() { p { "None yet." } }
                ul.rooms { @for letter in &kept { li { a href={ "/letters/" (letter.id) } { (letter.date) ", " (name(letter)) } div { (first_words(&letter.text)) } } } }
            }
        }
    }))
}

fn send(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_send(desk, asked) {
        Ok(Sent::Answered(answered)) => {
            let sheet = desk.letter_sheet(&answered);
            Ok(answered_page(desk, asked, sheet, &answered)?.into())
        }
        Ok(Sent::Before(id)) => Ok(Reply::See(format!("/letters/{id}"))),
        Err(fault) => {
            let fault = fault.aimed(&[
                ("letter is empty", "text"),
                ("`date`", "date"),
                ("`place`", "place"),
                ("`host`", "host"),
                ("yard", "yard"),
                ("letter", "text"),
            ]);
            Ok(letters_page(desk, asked, Some(&fault))?.into())
        }
    }
}

enum Sent {
    Answered(Box<Answered>),
    /// The same letter is kept already: sending it twice keeps it once.
    Before(i64),
}

fn try_send(desk: &mut Desk, asked: &Asked) -> Result<Sent, Fault> {
    let text = asked.given("text").ok_or_else(|| Fault::at_field("text", "the letter is empty; write or paste what the owner saw"))?;
    let yard = asked.given("yard");
    let date = crate::field::day(asked, "date")?;
    if date.is_some_and(|date| date > desk.today) {
        return Err(Fault::at_field(
            "date",
            format!(
                "{} lies in the future; give the day on which the letter was written, up to {}",
                date.unwrap_or(desk.today),
                desk.today
            ),
        ));
    }
    let yard_id = yard.as_deref().map(|name| desk.book.yard_named(name)).transpose()?.map(|row| row.id);
    let same = |letter: &Letter| letter.text == text && letter.yard_id == yard_id && letter.date == date.unwrap_or(desk.today);
    if let Some(before) = desk.book.all::<Letter>()?.into_iter().rev().find(same) {
        return Ok(Sent::Before(before.id));
    }
    let letter = json!({"text": text, "yard": yard, "host": asked.given("host"), "place": asked.given("place"), "date": date});
    Ok(Sent::Answered(Box::new(desk.answer_letter(&letter.to_string(), "letter.json")?)))
}

fn answered_page(desk: &Desk, asked: &Asked, sheet: Sheet, answered: &Answered) -> Result<Page, Fault> {
    let json = serde_json::to_value(answered).map_err(|e| Fault::new(500, "The answer could not be shown", e.to_string()))?;
    let id = answered.letter_id.unwrap_or_default();
    Ok(Page { on_paper: false, ..Page::of(Room::Letters, sheet) }.after(after_answer(
        desk,
        &Form::new("right", asked, None),
        id,
        answered.yard.as_deref(),
        &json,
    )))
}

fn letter_of(desk: &Desk, asked: &Asked) -> Result<(Letter, Option<String>), Fault> {
    let id = asked
        .part("id")
        .parse::<i64>()
        .map_err(|_| Fault::missing(format!("`{}` is no number of a letter", asked.part("id")), "the list of letters shows them"))?;
    let letter: Letter = desk.book.one(id)?;
    let yard = desk.book.yards()?.into_iter().find(|yard| Some(yard.id) == letter.yard_id).map(|yard| yard.name);
    Ok((letter, yard))
}

fn kept(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(kept_page(desk, asked, None)?.into())
}

fn kept_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let (letter, yard) = letter_of(desk, asked)?;
    let answer = letter.answer.clone().unwrap_or_default();
    let sheet = kept_sheet(desk, &letter, yard.as_deref(), &answer);
    let form = Form::new("right", asked, fault);
    let after = after_answer(desk, &form, letter.id, yard.as_deref(), &answer);
    Ok(Page::of(Room::Letters, sheet).after_fault(fault).before(form.summary()).after(after))
}

/// What can be done after reading an answer: put it right, send the reply, count, write down what it was.
fn after_answer(desk: &Desk, form: &Form<'_>, id: i64, yard: Option<&str>, answer: &Value) -> Markup {
    let causes: Vec<(String, String)> = list(answer, "causes")
        .iter()
        .filter(|cause| desk.lore.troubles.contains_key(text(cause, "key")))
        .take(8)
        .map(|cause| (text(cause, "key").to_owned(), text(cause, "name").to_owned()))
        .collect();
    let countable = causes.iter().find(|(key, _)| desk.lore.troubles.get(key).is_some_and(|trouble| trouble.count.is_some()));
    html! {
        p {
            a.button href={ "/letters/" (id) "/reply" } { "The reply as a letter" }
            @if let (Some(yard), Some((key, name))) = (yard, countable) {
                a.button href=(crate::url::yard(yard, &format!("scout/{key}"))) { "Count " (name.to_lowercase()) " there" }
            }
        }
        section aria-labelledby="put-right" {
            h2 id="put-right" { "Put right what was understood" }
            form method="post" action={ "/letters/" (id) } {
                @for (place, finding) in list(answer, "understood").iter().enumerate() {
                    input type="hidden" name={ "what-" (place) } value=(text(finding, "finding"));
                    (form.choice(&format!("value-{place}"), &format!("“{}”: {}", text(finding, "phrase"), text(finding, "name")), "", &STANDS.map(|(v, w)| (v.to_owned(), w.to_owned()))))
                }
                (form.line("more", "Something else that is there", "in plain words, such as `turf lifts like a carpet`; or with its number, `grubs: 12 per ft2`"))
                button { "Answer again" }
            }
        }
        @if yard.is_some() && !causes.is_empty() {
            section aria-labelledby="it-was" {
                h2 id="it-was" { "What it turned out to be" }
                form method="post" action={ "/letters/" (id) "/confirm" } {
                    (form.choice("trouble", "Cause", "", &causes))
                    (form.line("by", "Confirmed by", "a name, or the laboratory"))
                    button { "Write it down" }
                }
            }
        }
    }
}

const STANDS: [(&str, &str); 4] = [("", "as it was read"), ("yes", "it is there"), ("no", "it is not there"), ("unknown", "nobody knows")];

fn correct(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (letter, yard) = letter_of(desk, asked)?;
    let mut corrections: Vec<Value> = asked
        .form_pairs()
        .iter()
        .filter_map(|(name, value)| Some((name.strip_prefix("value-")?, value)).filter(|(_, value)| !value.is_empty()))
        .filter_map(|(place, value)| Some(json!({"what": asked.given(&format!("what-{place}"))?, "value": value})))
        .collect();
    if let Some(more) = asked.given("more") {
        let (what, value) = more.split_once(':').map_or((more.as_str(), "yes"), |(what, value)| (what.trim(), value.trim()));
        corrections.push(json!({"what": what, "value": value}));
    }
    if corrections.is_empty() {
        return Ok(Reply::See(format!("/letters/{}#put-right", letter.id)));
    }
    let again = json!({"text": letter.text, "yard": yard, "host": letter.host, "place": place_of(&letter), "date": letter.date, "corrections": corrections});
    let answered = match desk.answer_letter(&again.to_string(), "letter.json") {
        Ok(answered) => answered,
        Err(error) => return Ok(kept_page(desk, asked, Some(&Fault { field: Some("more".to_owned()), ..error.into() }))?.into()),
    };
    let new_id = answered.letter_id.unwrap_or(letter.id);
    close_old_tasks(desk, &letter, new_id)?;
    Ok(Reply::See(format!("/letters/{new_id}")))
}

/// The place as the letter gave it: the book keeps it as JSON.
fn place_of(letter: &Letter) -> Option<Value> {
    let kept: Value = serde_json::from_str(letter.place.as_deref()?).ok()?;
    match (&kept["latitude"], &kept["longitude"]) {
        (Value::Number(latitude), Value::Number(longitude)) => Some(json!({"latitude": latitude, "longitude": longitude})),
        _ => kept.as_str().or_else(|| kept["words"].as_str()).map(|words| json!(words)),
    }
}

/// The tasks of the first reading are closed: the second reading has its own.
fn close_old_tasks(desk: &mut Desk, letter: &Letter, new_id: i64) -> Result<(), Fault> {
    let Some(yard_id) = letter.yard_id else { return Ok(()) };
    let mark = format!("/letter-{}/", letter.id);
    let old = desk
        .book
        .tasks_of(yard_id)?
        .into_iter()
        .filter(|task| task.key.contains(&mark) && matches!(task.state, TaskState::ToDo | TaskState::Begun));
    for task in old.collect::<Vec<_>>() {
        desk.set_task(&task.key, TaskState::CouldNot, Some(&format!("the letter was read again as number {new_id}")), None)?;
    }
    Ok(())
}

fn confirm(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (letter, _) = letter_of(desk, asked)?;
    let trouble = asked.given("trouble").unwrap_or_default();
    let Some(by) = asked.given("by") else {
        let fault = Fault::at_field("by", "who confirmed it is not said; write a name, for example `Jessamy Rook` or `county laboratory`");
        return Ok(kept_page(desk, asked, Some(&fault))?.into());
    };
    desk.confirm_letter(letter.id, &trouble, &by)?;
    Ok(Reply::See(format!("/letters/{}", letter.id)))
}

fn reply(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (letter, yard) = letter_of(desk, asked)?;
    let answer = letter.answer.clone().unwrap_or_default();
    let mut sheet = desk.sheet("letter-to-owner", format!("About your letter of {}", letter.date.strftime("%-d %B %Y")));
    if let Some(name) = &yard {
        let row = desk.book.yard_named(name)?;
        let owner = row.owner_id.map(|id| desk.book.one::<groundlore_book::firm::Owner>(id)).transpose()?;
        sheet.addressed_to.extend(owner.map(|owner| owner.name));
        sheet.addressed_to.extend(row.address.iter().flat_map(|address| address.split(", ").map(str::to_owned)));
    }
    paragraphs(text(&answer, "reply"), &mut sheet);
    Ok(Page::of(Room::Letters, sheet).after(html! { p { a.button href={ "/letters/" (letter.id) } { "Back to the answer" } } }).into())
}

/// A kept answer as a sheet, from what the book holds of it.
fn kept_sheet(desk: &Desk, letter: &Letter, yard: Option<&str>, answer: &Value) -> Sheet {
    let mut sheet = desk.sheet("letter", yard.map_or_else(|| "A letter".to_owned(), |yard| format!("A letter about {yard}")));
    sheet.subtitle = Some(format!("Of {}, kept as number {}", letter.date.strftime("%-d %B %Y"), letter.id));
    let action = &answer["action"];
    let class = text(action, "class").replace('-', " ");
    let tone = match class.as_str() {
        "get help now" => Tone::Danger,
        "act now" | "act at a stage" => Tone::Act,
        "leave it alone" => Tone::Calm,
        _ => Tone::Watch,
    };
    let stage = action["stage"].as_str().map(|stage| format!(" ({stage})")).unwrap_or_default();
    sheet.push(Block::Verdict { text: format!("{class}{stage}"), why: text(action, "why").to_owned(), tone });
    for danger in list(answer, "danger") {
        let whom: Vec<&str> = list(danger, "whom_to_call").iter().filter_map(Value::as_str).collect();
        sheet.push(Block::Cautions {
            cautions: vec![format!(
                "{}. Call {}. {} {}",
                text(danger, "what"),
                whom.join(", then "),
                text(danger, "keep_clear"),
                text(danger, "do_first")
            )],
        });
    }
    causes(answer, &mut sheet);
    let look = &answer["next_look"];
    sheet.push(Block::heading("Next look"));
    let minutes = look["minutes"].as_f64().map_or_else(|| "not known".to_owned(), |minutes| format!("{minutes:.0} min"));
    let said = |name: &str, key: &str| (name.to_owned(), text(look, key).to_owned());
    sheet.push(Block::Facts {
        facts: vec![said("what", "what"), said("how", "how"), ("takes".to_owned(), minutes), said("would settle", "would_settle")],
    });
    understood(answer, &mut sheet);
    let known: Vec<String> = list(answer, "known").iter().filter_map(Value::as_str).map(str::to_owned).collect();
    if !known.is_empty() {
        sheet.push(Block::heading("Known beside the letter"));
        sheet.push(Block::list(known));
    }
    sheet.push(Block::heading("Reply to the owner, to be read before it is sent"));
    paragraphs(text(answer, "reply"), &mut sheet);
    sheet.push(Block::heading("The letter as it came"));
    paragraphs(&letter.text, &mut sheet);
    sheet
}

fn causes(answer: &Value, sheet: &mut Sheet) {
    if answer["cannot_tell"].as_bool() == Some(true) {
        sheet.push(Block::paragraph("The letter does not tell enough to name a cause. These are the odds so far."));
    }
    let bars: Vec<(String, f64, bool)> = list(answer, "causes")
        .iter()
        .take(6)
        .map(|cause| {
            (text(cause, "name").to_owned(), cause["probability"].as_f64().unwrap_or(0.0), cause["harmless"].as_bool() == Some(true))
        })
        .collect();
    if bars.is_empty() {
        return;
    }
    let alt = bars.iter().map(|(name, share, _)| format!("{name} {:.0}%", share * 100.0)).collect::<Vec<_>>().join(", ");
    sheet.push(Block::Figure { svg: cause_bars::draw(&bars, 620.0), alt, caption: "Likely causes; hollow bars are harmless".to_owned() });
}

fn understood(answer: &Value, sheet: &mut Sheet) {
    let rows = list(answer, "understood").iter().map(|finding| {
        let present = match text(finding, "present") {
            "yes" => "there",
            "no" => "not there",
            "doubtful" => "perhaps there",
            _ => "not known",
        };
        let number = finding["number"].as_str().map(|number| format!(", {number}")).unwrap_or_default();
        vec![format!("“{}”", text(finding, "phrase")), text(finding, "name").to_owned(), format!("{present}{number}")]
    });
    sheet.push(Block::heading("What was understood"));
    sheet.push(Block::table("If a line is wrong, put it right below and ask again.", &["words", "read as", "said to be"], rows.collect()));
    let not: Vec<String> = list(answer, "not_understood").iter().filter_map(Value::as_str).map(str::to_owned).collect();
    if !not.is_empty() {
        sheet.push(Block::heading("Not understood"));
        sheet.push(Block::list(not));
    }
}

fn paragraphs(text: &str, sheet: &mut Sheet) {
    for part in text.split("\n\n").map(str::trim).filter(|part| !part.is_empty()) {
        sheet.push(Block::paragraph(part));
    }
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_default()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}
