//! The demo: the whole job on one yard, in a screenful, with its papers and drawings.

use crate::cli::Show;
use crate::out::{Failure, Outcome, refuse, say, write_file, write_pdf};
use groundlore_book::Book;
use groundlore_desk::Desk;
use groundlore_desk::demo::{Aftermath, TROUBLE, Thread, YARD, day};
use groundlore_plant_health::decision::Answer;
use groundlore_sheet::{Block, Sheet};
use jiff::civil::Date;
use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn run(out: &Path, options: &Show) -> Outcome<ExitCode> {
    std::fs::create_dir_all(out).map_err(|e| Failure(format!("{}: {e}; name a folder that can be made with --out", out.display())))?;
    let path = out.join("firm.book");
    clear(&[&path, &out.join("september.book")])?;
    let lore = Desk::load_lore(None)?;
    let mut desk = Desk::new(Book::create(&path)?, lore.clone(), day(), moment(day())?);
    let faults = desk.fill_demo()?;
    let thread = desk.run_demo_thread(faults)?;
    papers(&desk, &thread, out)?;
    let week = desk.week_sheet()?;
    let later = out.join("september.book");
    desk.book.backup_to(&later)?;
    let mut carried = Desk::new(Book::open(&later)?, lore, day(), moment(day())?);
    let after = carried.run_demo_aftermath()?;
    write_pdf(&carried.record_sheet(YARD)?, &out.join("treatment-record.pdf"))?;
    let name = carried.trouble(TROUBLE)?.name.clone();
    let learned = carried.follow_up_sheet(YARD, &name, &after.followed);
    write_pdf(&learned, &out.join("what-was-learned.pdf"))?;
    draw(&learned, "belief", out)?;
    if options.json {
        let facts = serde_json::json!({"week": desk.week()?, "verdict": thread.verdict, "left": thread.left, "followed": after.followed,
            "letter": thread.letter, "proposal": thread.proposal});
        say(&serde_json::to_string_pretty(&facts)?);
    } else {
        say(&screenful(&desk, &thread, &after, &week, out));
    }
    Ok(ExitCode::SUCCESS)
}

/// Takes away an earlier demo's books; nothing else in the folder is touched.
fn clear(books: &[&Path]) -> Outcome<()> {
    for book in books {
        for ending in ["", "-wal", "-shm"] {
            let file = format!("{}{ending}", book.display());
            match std::fs::remove_file(&file) {
                Ok(()) => {}
                Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
                Err(e) => return refuse(format!("{file}: {e}; close what holds it and run the demo again")),
            }
        }
    }
    Ok(())
}

/// Noon of a day, so that the demo writes the same each time.
fn moment(day: Date) -> Outcome<jiff::Timestamp> {
    Ok(day.at(12, 0, 0, 0).in_tz("UTC")?.timestamp())
}

/// The papers and drawings.
fn papers(desk: &Desk, thread: &Thread, out: &Path) -> Outcome<()> {
    let scouting = desk.scouting_sheet(&thread.plan)?;
    let verdict = desk.verdict_sheet(&thread.verdict)?;
    let bed = desk.bed_sheet(&thread.bed)?;
    let yard = desk.yard_sheet(YARD)?;
    let season = desk.season_sheet(YARD)?;
    let sheets: [(&str, &Sheet); 8] = [
        ("scouting-sheet", &scouting),
        ("verdict", &verdict),
        ("planting-plan", &bed),
        ("yard", &yard),
        ("season", &season),
        ("crew-sheet", &desk.crew_sheet()?),
        ("proposal", &desk.proposal_sheet(&thread.proposal)?),
        ("letter-to-owner", &desk.owner_letter_sheet(&thread.letter)?),
    ];
    for (name, sheet) in sheets {
        write_pdf(sheet, &out.join(format!("{name}.pdf")))?;
    }
    write_pdf(&desk.options_sheet(&thread.options), &out.join("treatment-options.pdf"))?;
    draw(&scouting, "walk", out)?;
    draw(&verdict, "density", out)?;
    draw(&bed, "bed", out)?;
    draw(&yard, "yard", out)?;
    draw(&season, "season", out)?;
    draw(&desk.letter_sheet(&thread.letter), "causes", out)
}

/// Writes each figure of a sheet as SVG.
fn draw(sheet: &Sheet, name: &str, out: &Path) -> Outcome<()> {
    let figures = sheet.unfolded().into_iter().filter_map(|block| if let Block::Figure { svg, .. } = block { Some(svg) } else { None });
    for (number, svg) in figures.enumerate() {
        let file = if number == 0 { format!("{name}.svg") } else { format!("{name}-{}.svg", number + 1) };
        write_file(&out.join(file), svg.as_bytes())?;
    }
    Ok(())
}

fn screenful(desk: &Desk, thread: &Thread, after: &Aftermath, week: &Sheet, out: &Path) -> String {
    let mut text = String::new();
    let firm = week.letterhead.as_ref().map_or("the demo firm", |head| head.name.as_str());
    let _ = writeln!(text, "{firm}, {} (an invented firm; the weather is real)\n", desk.today.strftime("%A %-d %B %Y"));
    let _ = writeln!(text, "Letters: {} answered.", thread.letters.len());
    for answered in &thread.letters {
        let yard = answered.yard.as_deref().unwrap_or("a stranger");
        let cause = match (answered.answer.danger.first(), answered.answer.causes.first()) {
            (Some(danger), _) => danger.what.to_string(),
            (None, Some(cause)) if !answered.answer.cannot_tell => {
                format!("{} {:.0}%", cause.name.to_lowercase(), cause.probability * 100.0)
            }
            _ => "cannot tell from the letter".to_owned(),
        };
        let _ = writeln!(text, "  {yard:<17} {:<15} {cause}", answered.answer.action.class.words());
    }
    let yards = desk.book.yards().map_or(0, |yards| yards.len());
    let _ = writeln!(text, "\nMaps: {yards} read, {} things found built or planted wrongly.", thread.faults);
    for verdict in [&thread.verdict, &thread.left] {
        let wrong = verdict.verdict.p_wrong.map_or_else(String::new, |p| {
            if p < 0.005 {
                ", odds of being wrong under 1 in 100".to_owned()
            } else {
                format!(", odds of being wrong {:.0} in 100", p * 100.0)
            }
        });
        let money = verdict.verdict.costs.as_ref().map_or_else(String::new, |c| format!("; leave ${:.0}, treat ${:.0}", c.leave, c.treat));
        let _ = writeln!(text, "Counted at {}: {}{wrong}{money}.", verdict.yard, words(&verdict.verdict.answer));
    }
    let slid = thread.options.options.iter().find(|o| o.slid.is_some());
    if let Some((option, slide)) = slid.and_then(|o| o.slid.as_ref().map(|s| (o, s))) {
        let _ = writeln!(
            text,
            "Slid: {} from {:.0}% to {:.0}% since {}; it drops in the ranking.",
            option.name,
            slide.from * 100.0,
            slide.to * 100.0,
            slide.since
        );
    }
    let _ =
        writeln!(text, "Bed: {} plants of {} kinds for the {}.", thread.bed.plan.plants.len(), thread.bed.plan.kinds.len(), thread.bed.bed);
    if let Some(total) = thread.proposal.total() {
        let _ = writeln!(text, "Proposal: ${total:.2} for {}.", thread.proposal.title.to_lowercase());
    }
    let _ = writeln!(text, "Carried on to {}: {}", after.counted_on, after.followed.says);
    let tasks = week.blocks.iter().filter(|block| matches!(block, Block::Task(_))).count();
    let _ = writeln!(text, "\nThis week: {tasks} tasks. In {}: the book, its papers as PDF, its drawings as SVG. Now try", out.display());
    let book = out.join("firm.book");
    let shown = book.display();
    // As it was called, so that the lines below can be said as they stand.
    let called = std::env::args().next().unwrap_or_else(|| "groundlore".to_owned());
    let _ = writeln!(text, "  {called} --book {shown} --on {} week", desk.today);
    let _ = writeln!(text, "  {called} --book {shown} --on {} scout verdict \"{YARD}\" --trouble {TROUBLE}", desk.today);
    let _ = write!(text, "  {called} --book {shown} --on {} serve     (then open http://127.0.0.1:4180)", desk.today);
    text
}

fn words(answer: &Answer) -> String {
    match answer {
        Answer::CannotSay { remedy } => format!("cannot say; {remedy}"),
        other => other.words(),
    }
}
