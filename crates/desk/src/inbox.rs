//! Many letters at once: read from files, mailboxes and lists, answered, grouped by likely cause, and held against what the season expects.

use crate::letters::Answered;
use crate::{Desk, DeskError};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use groundlore_book::letters::LetterPhoto;
use groundlore_lore::Lore;
use groundlore_lore::finding::LookBy;
use groundlore_lore::trouble::ActionClass;
use groundlore_plant_health::diagnosis::{Cause, SOMETHING_ELSE};
use groundlore_plant_health::letter::mail::{Photo, is_mailbox, read_mail, read_mailbox};
use groundlore_plant_health::letter::{self, AdviceClass, Answer, Context, Letter, Reader};
use groundlore_plant_health::rising::{Past, Rise, over_the_week};
use groundlore_sheet::{Block, Sheet, Tone};
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A letter read from a file, not yet answered.
#[derive(Debug, Clone)]
pub struct Incoming {
    /// The letter.
    pub letter: Letter,
    /// Who wrote, as the message names them.
    pub from: Option<String>,
    /// The address it came from.
    pub address: Option<String>,
    /// Photos that came with it.
    pub photos: Vec<Photo>,
}

/// What a letter needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// Somebody may be in danger: call now.
    Call,
    /// The law may ask for a report.
    Report,
    /// Somebody must go and look or count.
    Visit,
    /// A reply is enough.
    Reply,
}

impl Need {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Call => "call now",
            Self::Report => "report",
            Self::Visit => "visit",
            Self::Reply => "reply",
        }
    }
}

/// A letter of the inbox, answered.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Item {
    /// File, and place in it.
    pub file: String,
    /// Who wrote.
    pub from: Option<String>,
    /// What it needs.
    pub need: Need,
    /// Key of the cause that it is grouped under; none where none can be told.
    pub cause: Option<String>,
    /// Names of the photos that came with it.
    pub photos: Vec<String>,
    /// True where the book had the letter already.
    pub kept_before: bool,
    /// The answer.
    #[serde(flatten)]
    pub answered: Answered,
}

/// Letters of one likely cause.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Group {
    /// Key of the cause; none for those whose cause cannot be told.
    pub cause: Option<String>,
    /// Its name.
    pub name: String,
    /// True for what harms nothing.
    pub harmless: bool,
    /// Places of its letters in [`Inbox::letters`].
    pub letters: Vec<usize>,
}

/// An inbox answered.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Inbox {
    /// The day it was read.
    pub on: Date,
    /// Letters, the most urgent first.
    pub letters: Vec<Item>,
    /// By likely cause, the largest first.
    pub groups: Vec<Group>,
    /// Causes over the letters of the last seven days, this inbox's and those kept before.
    pub week: Vec<Rise>,
    /// Files that could not be read, with why.
    pub unreadable: Vec<(String, String)>,
}

/// Reads the letters of a file: a mailbox, a message, a list of letters in JSON, or one letter. What cannot be read is named and leaves the
/// rest alone.
pub fn incoming(file: &str, bytes: &[u8]) -> Vec<(String, Result<Incoming, String>)> {
    let plain = |letter: Letter| Incoming { letter, from: None, address: None, photos: Vec::new() };
    if is_mailbox(bytes) {
        let read = read_mailbox(bytes, file).into_iter();
        return read.map(|(at, mail)| (at, mail.map(Incoming::from).map_err(|e| e.to_string()))).collect();
    }
    if file.to_lowercase().ends_with(".eml") {
        return vec![(file.to_owned(), read_mail(bytes, file).map(Incoming::from).map_err(|e| e.to_string()))];
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        let why = format!("{file}: this is no text in UTF-8; save it as plain text, `.eml` or JSON");
        return vec![(file.to_owned(), Err(why))];
    };
    if text.trim_start().starts_with('[')
        && let Ok(serde_json::Value::Array(list)) = serde_json::from_str(text)
    {
        return list
            .iter()
            .enumerate()
            .map(|(place, one)| {
                let at = format!("{file}, letter {}", place + 1);
                let read = letter::parse(&one.to_string(), "letter.json").map_err(|e| e.in_file(&at).to_string());
                (at, read.map(plain))
            })
            .collect();
    }
    vec![(file.to_owned(), letter::parse(text, file).map(plain).map_err(|e| e.to_string()))]
}

impl From<letter::mail::Mail> for Incoming {
    fn from(mail: letter::mail::Mail) -> Self {
        Self {
            letter: mail.letter,
            from: mail.from_name.or_else(|| mail.from_address.clone()),
            address: mail.from_address,
            photos: mail.photos,
        }
    }
}

/// Answers an inbox without a book.
pub fn answer_inbox_alone(lore: &Lore, files: &[(String, Vec<u8>)], today: Date) -> Inbox {
    let reader = Reader::new(lore);
    let context = Context { today: Some(today), ..Context::default() };
    let (mut items, mut unreadable) = (Vec::new(), Vec::new());
    let mut readable: Vec<(String, Incoming)> = Vec::new();
    for (at, read) in files.iter().flat_map(|(file, bytes)| incoming(file, bytes)) {
        match read {
            Err(why) => unreadable.push((at, why)),
            Ok(came) => readable.push((at, came)),
        }
    }
    let letters: Vec<&Letter> = readable.iter().map(|(_, came)| &came.letter).collect();
    let answers = all_answers(&letters, &|l| letter::answer(l, lore, &reader, &context));
    for ((at, came), answer) in readable.into_iter().zip(answers) {
        items.push(item(at, came, answer, today, None, false));
    }
    let week = items.iter().filter(|i| in_the_week(i.answered.date, today)).map(|i| i.answered.answer.causes.as_slice());
    let week = over_the_week(week, &BTreeMap::new());
    sorted(items, week, unreadable, today)
}

/// Answers to letters, in their order, on as many threads as the machine has.
fn all_answers(letters: &[&Letter], answer: &(dyn Fn(&Letter) -> Answer + Sync)) -> Vec<Answer> {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let share = letters.len().div_ceil(threads).max(1);
    let (mut all, mut failed) = (Vec::with_capacity(letters.len()), false);
    std::thread::scope(|scope| {
        let working: Vec<_> =
            letters.chunks(share).map(|part| scope.spawn(move || part.iter().map(|l| answer(l)).collect::<Vec<_>>())).collect();
        for thread in working {
            match thread.join() {
                Ok(part) => all.extend(part),
                Err(_) => failed = true,
            }
        }
    });
    // A thread that fell leaves its letters to this one, which will say why.
    if failed { letters.iter().map(|l| answer(l)).collect() } else { all }
}

fn in_the_week(date: Date, today: Date) -> bool {
    date <= today && today.checked_sub(7.days()).is_ok_and(|first| date > first)
}

fn item(file: String, came: Incoming, answer: Answer, today: Date, yard: Option<(String, i64)>, kept_before: bool) -> Item {
    let cause = grouped_under(&answer);
    let need = need(&answer);
    let (yard, letter_id) = yard.map_or((came.letter.yard.clone(), None), |(name, id)| (Some(name).filter(|n| !n.is_empty()), Some(id)));
    Item {
        file,
        from: came.from,
        need,
        cause,
        photos: came.photos.into_iter().map(|p| p.name).collect(),
        kept_before,
        answered: Answered { letter_id, yard, date: came.letter.date.unwrap_or(today), text: came.letter.text, known: Vec::new(), answer },
    }
}

/// Least chance at which a letter is grouped under its likeliest cause.
const CLEAR_ENOUGH: f64 = 0.3;

fn grouped_under(answer: &Answer) -> Option<String> {
    let top = answer.causes.first().filter(|c| c.key != SOMETHING_ELSE && c.probability >= CLEAR_ENOUGH && !answer.cannot_tell)?;
    Some(top.key.clone())
}

fn need(answer: &Answer) -> Need {
    let acts = matches!(answer.action.class, AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage));
    if answer.action.class == AdviceClass::GetHelpNow {
        Need::Call
    } else if !answer.duties.is_empty() {
        Need::Report
    } else if acts || (answer.next_look.look_by != LookBy::Owner && answer.action.class == AdviceClass::Of(ActionClass::Watch)) {
        Need::Visit
    } else {
        Need::Reply
    }
}

fn sorted(mut letters: Vec<Item>, week: Vec<Rise>, unreadable: Vec<(String, String)>, on: Date) -> Inbox {
    letters.sort_by(|a, b| (a.need, a.answered.date, &a.file).cmp(&(b.need, b.answered.date, &b.file)));
    let mut groups: BTreeMap<Option<String>, Group> = BTreeMap::new();
    for (place, item) in letters.iter().enumerate().filter(|(_, item)| item.need != Need::Call) {
        let cause = item.cause.as_ref().and_then(|key| item.answered.answer.causes.iter().find(|c| &c.key == key));
        let group = groups.entry(item.cause.clone()).or_insert_with(|| Group {
            cause: item.cause.clone(),
            name: cause.map_or_else(|| "not clear yet".to_owned(), |c: &Cause| c.name.clone()),
            harmless: cause.is_some_and(|c| c.harmless),
            letters: Vec::new(),
        });
        group.letters.push(place);
    }
    let mut groups: Vec<Group> = groups.into_values().collect();
    groups.sort_by(|a, b| (a.cause.is_none(), b.letters.len(), &a.name).cmp(&(b.cause.is_none(), a.letters.len(), &b.name)));
    Inbox { on, letters, groups, week, unreadable }
}

impl Desk {
    /// Answers an inbox with what the book knows, keeps each letter once with its photos, and plans what follows.
    ///
    /// A letter belongs to the yard it names, else to the only yard of the owner whose address it came from.
    ///
    /// # Errors
    /// If the book cannot be read or written. A letter that cannot be read, and one that names a yard which the book has not, are among
    /// [`Inbox::unreadable`] and leave the rest alone.
    pub fn answer_inbox(&mut self, files: &[(String, Vec<u8>)]) -> Result<Inbox, DeskError> {
        let today = self.today;
        let (mut items, mut unreadable) = (Vec::new(), Vec::new());
        for (at, read) in files.iter().flat_map(|(file, bytes)| incoming(file, bytes)) {
            match read.map_err(DeskError::Letter).and_then(|came| self.answer_incoming(&at, came)) {
                Ok(item) => items.push(item),
                Err(DeskError::Book(e)) if !e.to_string().contains("yard") => return Err(DeskError::Book(e)),
                Err(why) => unreadable.push((at, why.to_string())),
            }
        }
        let week = self.week_of_letters(&items)?;
        Ok(sorted(items, week, unreadable, today))
    }

    fn answer_incoming(&mut self, file: &str, mut came: Incoming) -> Result<Item, DeskError> {
        if came.letter.yard.is_none()
            && let Some(address) = &came.address
            && let [only] = self.book.yards_of_address(address)?.as_slice()
        {
            came.letter.yard = Some(only.name.clone());
        }
        let date = came.letter.date.unwrap_or(self.today);
        if let Some(kept) = self.book.same_letter(date, &came.letter.text)? {
            let yard = came.letter.yard.clone();
            let (context, _) = self.letter_context(&came.letter)?;
            let answer = letter::answer(&came.letter, &self.lore, &self.reader(), &context);
            return Ok(item(file.to_owned(), came, answer, self.today, Some((yard.unwrap_or_default(), kept.id)), true));
        }
        let sender = came.address.clone().or_else(|| came.from.clone());
        let answered = self.answer_read_letter(came.letter.clone(), sender)?;
        let id = answered.letter_id.unwrap_or_default();
        self.keep_photos(id, &came.photos)?;
        let known = answered.known;
        let mut made = item(file.to_owned(), came, answered.answer, self.today, Some((answered.yard.unwrap_or_default(), id)), false);
        made.answered.known = known;
        Ok(made)
    }

    /// Keeps photos with a letter.
    ///
    /// # Errors
    /// If the book cannot be written.
    pub fn keep_photos(&mut self, letter_id: i64, photos: &[Photo]) -> Result<(), DeskError> {
        if photos.is_empty() {
            return Ok(());
        }
        Ok(self.book.write(|tx| {
            for photo in photos {
                tx.add(&LetterPhoto {
                    letter_id,
                    name: photo.name.clone(),
                    media_type: photo.media_type.clone(),
                    picture_base64: BASE64.encode(&photo.bytes),
                    ..LetterPhoto::default()
                })?;
            }
            Ok(())
        })?)
    }

    /// A photo of a letter: media type and bytes.
    ///
    /// # Errors
    /// An unknown photo, or one that was damaged in the book.
    pub fn photo(&self, photo_id: i64) -> Result<(String, Vec<u8>), DeskError> {
        let row: LetterPhoto = self.book.one(photo_id)?;
        let bytes = BASE64.decode(row.picture_base64.as_bytes()).map_err(DeskError::science)?;
        Ok((row.media_type, bytes))
    }

    /// Causes over the letters of the last seven days against lore, the season and the book's own earlier years.
    fn week_of_letters(&self, items: &[Item]) -> Result<Vec<Rise>, DeskError> {
        let first = self.today.checked_sub(6.days()).map_err(DeskError::science)?;
        let fresh: Vec<i64> = items.iter().filter_map(|i| i.answered.letter_id).collect();
        let mut causes: Vec<Vec<Cause>> = Vec::new();
        for kept in self.book.letters_between(first, self.today)?.iter().filter(|l| !fresh.contains(&l.id)) {
            let answer = kept.answer.as_ref().and_then(|a| a.get("causes")).cloned();
            causes.extend(answer.and_then(|a| serde_json::from_value::<Vec<Cause>>(a).ok()));
        }
        let now = items.iter().filter(|i| in_the_week(i.answered.date, self.today)).map(|i| i.answered.answer.causes.as_slice());
        Ok(over_the_week(now.chain(causes.iter().map(Vec::as_slice)), &self.letters_of_earlier_years()?))
    }

    /// Letters by likeliest cause within three weeks of this day of earlier years.
    fn letters_of_earlier_years(&self) -> Result<BTreeMap<String, Past>, DeskError> {
        const EITHER_WAY_DAYS: i64 = 21;
        let mut past: BTreeMap<String, Past> = BTreeMap::new();
        let mut weeks = 0.0;
        let all = self.book.letters_between(Date::MIN, self.today)?;
        let Some(oldest) = all.first().map(|l| l.date.year()) else { return Ok(past) };
        for year in oldest..self.today.year() {
            let middle = Date::new(year, self.today.month(), self.today.day().min(28)).map_err(DeskError::science)?;
            let first = middle.checked_sub(EITHER_WAY_DAYS.days()).map_err(DeskError::science)?;
            let last = middle.checked_add(EITHER_WAY_DAYS.days()).map_err(DeskError::science)?;
            weeks += 2.0 * EITHER_WAY_DAYS as f64 / 7.0;
            for kept in all.iter().filter(|l| (first..=last).contains(&l.date)) {
                for found in self.book.diagnoses_of_letter(kept.id)? {
                    let share = if found.confirmed { 1.0 } else { found.probability.unwrap_or(0.0) };
                    past.entry(found.trouble).or_default().letters += share;
                }
            }
        }
        past.values_mut().for_each(|p| p.weeks = weeks);
        Ok(past)
    }

    /// The inbox for people.
    pub fn inbox_sheet(&self, inbox: &Inbox) -> Sheet {
        let mut sheet = self.sheet("inbox", "Letters");
        inbox_blocks(inbox, &mut sheet);
        sheet
    }
}

/// The blocks of an inbox.
pub fn inbox_blocks(inbox: &Inbox, sheet: &mut Sheet) {
    let counted = |need: Need| inbox.letters.iter().filter(|i| i.need == need).count();
    let parts: Vec<String> = [Need::Call, Need::Report, Need::Visit, Need::Reply]
        .into_iter()
        .filter(|n| counted(*n) > 0)
        .map(|n| format!("{} to {}", counted(n), n.words()))
        .collect();
    let tone = match (counted(Need::Call), counted(Need::Report)) {
        (0, 0) => Tone::Watch,
        (0, _) => Tone::Act,
        _ => Tone::Danger,
    };
    let total = inbox.letters.len();
    let letters = if total == 1 { "letter" } else { "letters" };
    let why = if parts.is_empty() { "There is nothing to answer.".to_owned() } else { format!("{}.", parts.join(", ")) };
    sheet.push(Block::Verdict { text: format!("{total} {letters} read"), why, tone });
    for item in inbox.letters.iter().filter(|i| i.need == Need::Call) {
        let told = item
            .answered
            .answer
            .danger
            .iter()
            .map(|d| format!("{}: “{}”. {}. Call {}. {}", who(item), d.phrase, d.what, d.whom_to_call.join(", then "), d.do_first));
        sheet.push(Block::Cautions { cautions: told.collect() });
    }
    let duties = inbox.letters.iter().flat_map(|i| i.answered.answer.duties.iter().map(move |d| format!("{}: {}", who(i), d.words())));
    let duties: Vec<String> = duties.collect();
    if !duties.is_empty() {
        sheet.push(Block::heading("The law may ask for a report"));
        sheet.push(Block::list(duties));
    }
    rising(inbox, sheet);
    for group in &inbox.groups {
        let mark = if group.harmless { ", harmless" } else { "" };
        sheet.push(Block::heading(format!("{}{mark} ({})", group.name, group.letters.len())));
        let rows = group.letters.iter().map(|place| row(&inbox.letters[*place])).collect();
        sheet.push(Block::table("", &["letter", "odds", "advice", "needs", "next look"], rows));
    }
    if !inbox.unreadable.is_empty() {
        sheet.push(Block::heading("Not read"));
        sheet.push(Block::list(inbox.unreadable.iter().map(|(_, why)| why.clone()).collect()));
    }
}

fn rising(inbox: &Inbox, sheet: &mut Sheet) {
    if inbox.week.is_empty() {
        return;
    }
    sheet.push(Block::heading("This week against what the season expects"));
    let rows = inbox.week.iter().take(8).map(|r| {
        let verdict = match (r.rising, r.harmless) {
            (true, true) => "many ask; harmless",
            (true, false) => "rising",
            (false, _) => "as expected",
        };
        vec![r.name.clone(), format!("{:.1}", r.letters), format!("{:.1}", r.expected), percent(r.by_luck), verdict.to_owned()]
    });
    sheet.push(Block::table(
        "Letters by cause in seven days; expected from host, season and the book's own past; chance of so many or more by luck",
        &["cause", "letters#", "expected#", "by luck#", ""],
        rows.collect(),
    ));
}

fn percent(p: f64) -> String {
    if p > 0.0 && p < 0.01 { "under 1%".to_owned() } else { format!("{:.0}%", p * 100.0) }
}

fn who(item: &Item) -> String {
    item.answered.yard.clone().or_else(|| item.from.clone()).unwrap_or_else(|| item.file.clone())
}

fn row(item: &Item) -> Vec<String> {
    let answer = &item.answered.answer;
    let top = answer.causes.first().map_or_else(String::new, |c| percent(c.probability));
    let photos = match item.photos.len() {
        0 => String::new(),
        1 => ", 1 photo".to_owned(),
        n => format!(", {n} photos"),
    };
    let before = if item.kept_before { ", kept before" } else { "" };
    vec![
        format!("{}, {}{photos}{before}", who(item), item.answered.date.strftime("%-d %b")),
        top,
        answer.action.class.words().to_owned(),
        item.need.words().to_owned(),
        answer.next_look.what.clone(),
    ]
}
