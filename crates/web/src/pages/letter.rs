//! Letters: write or paste one, or bring in many with their photos; read the answer, put right what was misread, look up those that are
//! kept.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_book::letters::Letter;
use groundlore_book::tasks::TaskState;
use groundlore_desk::Desk;
use groundlore_desk::inbox::Inbox;
use groundlore_desk::photos::{ALT, KeptPhoto, MOST_PHOTOS};
use groundlore_plant_health::letter::{Answer, Presence, Understood};
use maud::{Markup, html};
use serde_json::{Value, json};

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/letters", get(letters))
        .route("/letters/{id}", get(kept).merge(post(correct)))
        .route("/letters/{id}/reply", get(reply))
        .route("/letters/{id}/confirm", post(confirm))
        .route("/letters/{id}/photos/{photo}", get(photo))
}

/// Where letters are sent, with their photos.
pub(super) fn post_routes() -> Router<Shared> {
    Router::new()
        .route("/letters", post(send))
        .route("/letters/inbox", get(inbox).merge(post(bring_in)))
        .route("/letters/{id}/photos", post(add_photos))
}

/// Kinds of photos that a form offers to choose.
const PHOTOS: &str = "image/jpeg,image/png,image/gif,image/webp,image/avif,image/heic";
/// Longest letter that is typed or pasted, in bytes.
const LARGEST_LETTER: usize = 512 * 1024;
/// Most files of letters at once.
const MOST_FILES: usize = 200;

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
            form method="post" action="/letters" enctype="multipart/form-data" aria-labelledby="new-letter" {
                h2 id="new-letter" { "A letter came" }
                (form.text("text", "The letter", "Type it or paste it as it came.", 9))
                (form.choice("yard", "Yard", "", &choices))
                (form.line("host", "What it is about", "lawn, rose, oak; blank where the letter says it"))
                (form.line("place", "Place, where it is no yard of ours", "as `43.06, -87.45` or in words, `cool oceanic, zone 9a`"))
                (form.day("date", "Day of the letter", ""))
                (form.files("photos", "Photos that came with it", "They are kept and shown; nothing is claimed from them.", PHOTOS))
                button.first { "Answer it" }
            }
            section aria-labelledby="kept-letters" {
                h2 id="many-letters" { "Many at once" }
                p { a.button href="/letters/inbox" { "Bring in an inbox" } }
                h2 id="kept-letters" { "Kept letters" }
                @if kept.is_empty() { p { "None yet." } }
                ul.rooms { @for letter in &kept { li { a href={ "/letters/" (letter.id) } { (letter.date) ", " (name(letter)) } div { (first_words(&letter.text)) } } } }
                p { a href="/letters/confirmed-again" { "Confirmed cases, answered again: has the tool become better?" } }
            }
        }
    }))
}

fn send(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let sent = try_send(desk, asked).and_then(|sent| {
        let aside = desk.add_photos(sent.id, &asked.files("photos"))?;
        Ok((sent, aside))
    });
    match sent {
        Ok((sent, aside)) if sent.before && aside.is_empty() => Ok(Reply::See(format!("/letters/{}", sent.id))),
        Ok((sent, aside)) => {
            let page = letter_page(desk, asked, sent.id, None)?;
            let before = html! { (page.before) (left_aside(&aside)) };
            Ok(Page { on_paper: false, before, ..page }.into())
        }
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

/// Files that were not kept, each with why.
fn left_aside(aside: &[(String, String)]) -> Markup {
    html! { @if !aside.is_empty() { div.fault role="alert" tabindex="-1" {
        p { strong { "Left aside. " } "The letter is kept; these files are not:" }
        ul { @for (_, why) in aside { li { (why) } } }
    } } }
}

/// A letter that is in the book; `before` where it was there already: sending it twice keeps it once.
struct Sent {
    id: i64,
    before: bool,
}

fn try_send(desk: &mut Desk, asked: &Asked) -> Result<Sent, Fault> {
    let text = asked.given("text").ok_or_else(|| Fault::at_field("text", "the letter is empty; write or paste what the owner saw"))?;
    if text.len() > LARGEST_LETTER {
        let detail =
            format!("the letter has {} bytes, more than {LARGEST_LETTER}; send its words alone, and its photos as files", text.len());
        return Err(Fault { field: Some("text".to_owned()), ..Fault::new(413, "Too large", detail) });
    }
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
        return Ok(Sent { id: before.id, before: true });
    }
    let letter = json!({"text": text, "yard": yard, "host": asked.given("host"), "place": asked.given("place"), "date": date});
    let answered = desk.answer_letter(&letter.to_string(), "letter.json")?;
    Ok(Sent { id: answered.letter_id.unwrap_or_default(), before: false })
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
    let (letter, _) = letter_of(desk, asked)?;
    letter_page(desk, asked, letter.id, fault)
}

fn letter_page(desk: &Desk, asked: &Asked, id: i64, fault: Option<&Fault>) -> Result<Page, Fault> {
    let sheet = desk.kept_letter_sheet(id)?;
    let form = Form::new("right", asked, fault);
    let photos = photos(id, &desk.photos_of(id)?);
    let after = match desk.kept_letter(id) {
        Ok(answered) => after_answer(desk, &form, id, answered.yard.as_deref(), &answered.answer),
        Err(_) => put_right(&form, id, &[]),
    };
    Ok(Page::of(Room::Letters, sheet).after_fault(fault).before(form.summary()).after(html! { (photos) (after) }))
}

/// The photos of a letter, each in a frame of its own size so that nothing jumps while they load, and the form that adds more.
fn photos(id: i64, photos: &[KeptPhoto]) -> Markup {
    html! { section aria-labelledby="photos" {
        h2 id="photos" { "Photos" }
        @if !photos.is_empty() { ul.photos { @for photo in photos {
            @let address = format!("/letters/{id}/photos/{}", photo.id);
            li { figure {
                @if shown(photo) {
                    a href=(address) { img src=(address) width=[photo.size.map(|s| s.0)] height=[photo.size.map(|s| s.1)] loading="lazy" alt=(ALT); }
                } @else { p { "This kind of picture is not shown by every browser: " a href=(address) { "open " (photo.name) } } }
                figcaption { (photo.name) }
            } }
        } } }
        form method="post" action={ "/letters/" (id) "/photos" } enctype="multipart/form-data" {
            div.field {
                label for="more-photos" { "Add photos that came with it" }
                p.hint id="more-photos-hint" { "They are kept and shown; nothing is claimed from them. Up to " (MOST_PHOTOS) " a letter." }
                input id="more-photos" name="photos" type="file" multiple accept=(PHOTOS) aria-describedby="more-photos-hint";
            }
            button { "Keep them" }
        }
    } }
}

/// Is it of a kind that every browser shows?
fn shown(photo: &KeptPhoto) -> bool {
    photo.media_type.is_some_and(|kind| kind != "image/heic")
}

fn add_photos(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (letter, _) = letter_of(desk, asked)?;
    let files = asked.files("photos");
    let aside = desk.add_photos(letter.id, &files)?;
    if files.is_empty() || !aside.is_empty() {
        let why = match aside.is_empty() {
            true => "no photo was chosen; choose one or more and send again".to_owned(),
            false => aside.into_iter().map(|(_, why)| why).collect::<Vec<_>>().join("\n"),
        };
        let fault = Fault::at_field("photos", why);
        let page = letter_page(desk, asked, letter.id, None)?;
        let before = html! { div.fault role="alert" tabindex="-1" { p { strong { "Left aside. " } (crate::show::prose(&crate::show::capital(&fault.detail))) } } };
        return Ok(page.before(before).after_fault(Some(&fault)).into());
    }
    Ok(Reply::See(format!("/letters/{}#photos", letter.id)))
}

fn photo(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (letter, _) = letter_of(desk, asked)?;
    let none =
        || Fault::missing(format!("letter {} has no photo `{}`", letter.id, asked.part("photo")), "its page shows those that it has");
    let id = asked.part("photo").parse::<i64>().map_err(|_| none())?;
    let kept = desk.photos_of(letter.id)?.into_iter().find(|photo| photo.id == id).ok_or_else(none)?;
    let (_, bytes) = desk.photo(kept.id)?;
    Ok(Reply::Picture(kept.media_type.unwrap_or("application/octet-stream"), bytes))
}

fn inbox(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(inbox_page(asked, None, desk.today).into())
}

fn inbox_page(asked: &Asked, fault: Option<&Fault>, today: jiff::civil::Date) -> Page {
    let form = Form::new("inbox", asked, fault);
    Page::titled(Room::Letters, "Bring in an inbox").after_fault(fault).after(html! {
        (form.summary())
        p { "Letters are answered, kept once each, and grouped by likely cause; the most urgent stand first. A letter without a date counts as of " (today) "." }
        form method="post" action="/letters/inbox" enctype="multipart/form-data" {
            (form.files("letters", "Letters", &format!("Messages (`.eml`), mailboxes (`.mbox`), text, or lists in JSON; up to {MOST_FILES} files and 64 MB together. Photos may lie beside one letter."), &format!(".eml,.mbox,.txt,.json,message/rfc822,text/plain,application/json,{PHOTOS}")))
            button.first { "Answer them" }
        }
        p { a.button href="/letters" { "Back to the letters" } }
    })
}

fn bring_in(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let files = asked.files("letters");
    let why = match files.len() {
        0 => Some("no file was chosen; choose one or more and send again".to_owned()),
        n if n > MOST_FILES => Some(format!("{n} files came at once; send up to {MOST_FILES}, or one mailbox that holds them all")),
        _ => None,
    };
    if let Some(why) = why {
        return Ok(inbox_page(asked, Some(&Fault::at_field("letters", why)), desk.today).into());
    }
    let inbox = desk.answer_inbox_with_photos(&files)?;
    let sheet = desk.inbox_sheet(&inbox);
    Ok(Page { on_paper: false, ..Page::of(Room::Letters, sheet) }.after(inbox_letters(&inbox)).into())
}

/// The letters of an inbox with the way to each, the most urgent first.
fn inbox_letters(inbox: &Inbox) -> Markup {
    html! {
        @if !inbox.letters.is_empty() { section aria-labelledby="each-letter" {
            h2 id="each-letter" { "Each letter" }
            ul.rooms { @for item in &inbox.letters {
                @let whose = item.answered.yard.as_deref().or(item.from.as_deref()).unwrap_or(&item.file);
                li {
                    @if let Some(id) = item.answered.letter_id { a href={ "/letters/" (id) } { (crate::show::capital(item.need.words())) ": " (whose) } }
                    @else { (crate::show::capital(item.need.words())) ": " (whose) }
                    div { (first_words(&item.answered.text)) @if item.kept_before { " (kept before)" } }
                }
            } }
        } }
        p { a.button href="/letters/inbox" { "Bring in more" } a.button href="/letters" { "All letters" } }
    }
}

/// What can be done after reading an answer: put it right, send the reply, count, write down what it was.
fn after_answer(desk: &Desk, form: &Form<'_>, id: i64, yard: Option<&str>, answer: &Answer) -> Markup {
    let named = answer.causes.iter().filter(|cause| desk.lore.troubles.contains_key(&cause.key)).take(8);
    let causes: Vec<(String, String)> = named.map(|cause| (cause.key.clone(), cause.name.clone())).collect();
    let countable = causes.iter().find(|(key, _)| desk.lore.troubles.get(key).is_some_and(|trouble| trouble.count.is_some()));
    html! {
        p {
            a.button href={ "/letters/" (id) "/reply" } { "The reply as a letter" }
            @if let (Some(yard), Some((key, name))) = (yard, countable) {
                a.button href=(crate::url::yard(yard, &format!("scout/{key}"))) { "Count " (name.to_lowercase()) " there" }
            }
        }
        @if !causes.is_empty() {
            section aria-labelledby="read-more" {
                h2 id="read-more" { "Read more" }
                ul.rooms { @for (key, name) in causes.iter().take(4) { li { a href=(crate::url::lore("troubles", key)) { (name) } } } }
            }
        }
        (put_right(form, id, &answer.understood))
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

/// The form by which a reading is put right and answered again.
fn put_right(form: &Form<'_>, id: i64, understood: &[Understood]) -> Markup {
    html! { section aria-labelledby="put-right" {
        h2 id="put-right" { "Put right what was understood" }
        form method="post" action={ "/letters/" (id) } {
            @for (place, finding) in understood.iter().enumerate() {
                input type="hidden" name={ "what-" (place) } value=(finding.finding);
                (form.choice(&format!("value-{place}"), &format!("“{}”: {}{}", finding.phrase, finding.name, doubt(finding.present)), "", &STANDS.map(|(v, w)| (v.to_owned(), w.to_owned()))))
            }
            (form.line("more", "Something else that is there", "in plain words, such as `turf lifts like a carpet`; or with its number, `grubs: 12 per ft2`"))
            button { "Answer again" }
        }
    } }
}

/// How a sign stands that was not read as surely there.
fn doubt(presence: Presence) -> &'static str {
    match presence {
        Presence::Yes => "",
        Presence::No => " (read as not there)",
        Presence::Doubtful => " (read as perhaps there)",
        Presence::Unknown => " (not known)",
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
    let (letter, _) = letter_of(desk, asked)?;
    let sheet = desk.owner_letter_sheet(&desk.kept_letter(letter.id)?)?;
    Ok(Page::of(Room::Letters, sheet).after(html! { p { a.button href={ "/letters/" (letter.id) } { "Back to the answer" } } }).into())
}
