//! Letters.

use crate::cli::{LetterArgs, Place, Show};
use crate::out::{Outcome, file_name, read_file, refuse, say, show};
use groundlore_desk::Desk;
use groundlore_desk::letters::{answer_alone, letter_blocks};
use groundlore_sheet::{Block, Sheet};
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, args: &LetterArgs) -> Outcome<ExitCode> {
    if let (Some(letter), Some(cause)) = (args.confirm, &args.cause) {
        let mut desk = super::desk(place)?;
        desk.confirm_letter(letter, cause, &args.by)?;
        say(&format!("letter {letter} is confirmed as {cause}; later letters nearby will weigh it"));
        return Ok(ExitCode::SUCCESS);
    }
    let Some(from) = &args.from else {
        return refuse("no letter is given; name its file with `--from FILE`, or `--from -` for standard input");
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
