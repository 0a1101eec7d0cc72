//! Letters.

use crate::cli::{LetterArgs, Place, Show};
use crate::out::{Failure, Outcome, file_name, read_file, refuse, say, show};
use groundlore_desk::Desk;
use groundlore_desk::inbox::{answer_inbox_alone, inbox_blocks};
use groundlore_desk::letters::{answer_alone, letter_blocks};
use groundlore_sheet::{Block, Sheet};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, args: &LetterArgs) -> Outcome<ExitCode> {
    if let (Some(letter), Some(cause)) = (args.confirm, &args.cause) {
        let mut desk = super::desk(place)?;
        desk.confirm_letter(letter, cause, &args.by)?;
        say(&format!("letter {letter} is confirmed as {cause}; later letters nearby will weigh it"));
        return Ok(ExitCode::SUCCESS);
    }
    if args.retry_confirmed {
        let mut desk = super::desk(place)?;
        let found = desk.retry_confirmed()?;
        return show(options, &found, || Ok(desk.retried_sheet(&found)?));
    }
    if !args.inbox.is_empty() {
        return inbox(place, options, &args.inbox);
    }
    let Some(from) = &args.from else {
        return refuse(
            "no letter is given; name its file with `--from FILE`, or `--from -` for standard input, or many with `--inbox FOLDER`",
        );
    };
    let text = read_file(from)?;
    if place.book.is_some() || super::is_there(&super::book_path(place)) {
        let mut desk = super::desk(place)?;
        let answered = desk.answer_letter(&text, &file_name(from))?;
        return show(options, &answered, || {
            Ok(if args.reply { desk.owner_letter_sheet(&answered)? } else { desk.letter_sheet(&answered) })
        });
    }
    let lore = Desk::load_lore(place.lore.as_deref())?;
    let answered = answer_alone(&lore, &text, &file_name(from), super::today(place))?;
    show(options, &answered, || {
        let kind = if args.reply { "letter-to-owner" } else { "letter" };
        let mut sheet = Sheet::new(kind, if args.reply { "About your letter" } else { "A letter" }, answered.date);
        if args.reply {
            sheet.blocks = answered.answer.reply.split("\n\n").map(|p| Block::paragraph(p.trim())).collect();
        } else {
            letter_blocks(&answered, &mut sheet);
        }
        Ok(sheet)
    })
}

/// Many letters at once.
fn inbox(place: &Place, options: &Show, paths: &[PathBuf]) -> Outcome<ExitCode> {
    let mut files = Vec::new();
    for path in paths {
        gather(path, &mut files)?;
    }
    if files.is_empty() {
        return refuse("there is no letter there; put `.txt`, `.eml`, `.mbox` or `.json` files in the folder");
    }
    if place.book.is_some() || super::is_there(&super::book_path(place)) {
        let mut desk = super::desk(place)?;
        let answered = desk.answer_inbox(&files)?;
        return show(options, &answered, || Ok(desk.inbox_sheet(&answered)));
    }
    let lore = Desk::load_lore(place.lore.as_deref())?;
    let answered = answer_inbox_alone(&lore, &files, super::today(place));
    show(options, &answered, || {
        let mut sheet = Sheet::new("inbox", "Letters", answered.on);
        inbox_blocks(&answered, &mut sheet);
        Ok(sheet)
    })
}

/// Files of a folder that may be letters, by name; or the file itself.
fn gather(path: &Path, files: &mut Vec<(String, Vec<u8>)>) -> Outcome<()> {
    let told =
        |e: std::io::Error| Failure(format!("`{}` cannot be read ({e}); name a folder, a mailbox or a list of letters", path.display()));
    let read = |file: &Path| std::fs::read(file).map(|bytes| (file.file_name().unwrap_or_default().to_string_lossy().into_owned(), bytes));
    if !path.is_dir() {
        files.push(read(path).map_err(told)?);
        return Ok(());
    }
    let mut inside: Vec<PathBuf> = std::fs::read_dir(path).map_err(told)?.filter_map(Result::ok).map(|entry| entry.path()).collect();
    inside.sort();
    let is_letter = |p: &PathBuf| {
        let end = p.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
        p.is_file() && ["txt", "eml", "mbox", "json"].contains(&end.as_str())
    };
    for file in inside.iter().filter(|p| is_letter(p)) {
        files.push(read(file).map_err(told)?);
    }
    Ok(())
}
