//! Writes to the book, each in a transaction of its own that is on the disk before the next begins.

use groundlore_book::Book;
use groundlore_book::work_log::WorkDone;
use groundlore_book::yards::Yard;
use jiff::civil::date;
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// Makes a new book with one yard.
pub fn make(file: &Path) -> Result<(), Box<dyn Error>> {
    let mut book = Book::create(file)?;
    book.write(|tx| tx.add(&Yard { name: "Mill House".into(), ..Yard::default() }))?;
    book.close()?;
    Ok(())
}

/// Times `writes` lines of the work log.
pub fn time(file: &Path, writes: usize) -> Result<(), Box<dyn Error>> {
    let mut book = Book::open(file)?;
    let before = book.how_many::<WorkDone>()?;
    let begun = Instant::now();
    for _ in 0..writes {
        book.write(|tx| {
            tx.add(&WorkDone {
                yard_id: Some(1),
                date: date(2015, 8, 17),
                who: Some("Ash".into()),
                what: "Edged the front bed".into(),
                minutes_min: Some(25.0),
                ..WorkDone::default()
            })
        })?;
    }
    println!("book {}", begun.elapsed().as_secs_f64());
    let written = book.how_many::<WorkDone>()? - before;
    book.close()?;
    if usize::try_from(written)? == writes { Ok(()) } else { Err(format!("{written} of {writes} lines are in the book").into()) }
}
