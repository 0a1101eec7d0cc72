//! What a reviewer asks of the lore: `groundlore lore check`.
//!
//! Reading has already seen to it that each file holds the right fields. Here it is asked whether what they say can stand: every figure
//! with a source we know, no range reversed, every quantity of the right kind, every date a date, every reference to another entry
//! answered, no word in a control that only a label may say.

mod clocks;
mod crossings;
mod figures;
mod label_words;
mod sense;

use crate::fault::{LoreFault, Weight};
use crate::library::Lore;

/// Everything that is wrong or could be better in the lore, in the order of files and lines.
///
/// Warnings (see [`Weight`]) do not make an entry unusable. The check never panics and reads no file.
///
/// # Example
/// ```
/// # use groundlore_lore::{Lore, check, Weight};
/// let (mut lore, _) = Lore::built_in_lenient(None);
/// if let Some(control) = lore.controls.get_mut("sharpen-blades") {
///     control.reviewed = "last week".into();
/// }
/// let faults = check(&lore);
/// assert!(faults.iter().any(|fault| fault.field.as_deref() == Some("reviewed") && fault.weight == Weight::Fault));
/// ```
pub fn check(lore: &Lore) -> Vec<LoreFault> {
    let mut faults = Vec::new();
    figures::check(lore, &mut faults);
    crossings::check(lore, &mut faults);
    label_words::check(lore, &mut faults);
    sense::check(lore, &mut faults);
    clocks::check(lore, &mut faults);
    faults.sort_by(|a, b| (&a.file, a.line, &a.field, &a.wrong).cmp(&(&b.file, b.line, &b.field, &b.wrong)));
    faults.dedup();
    faults
}

/// True when nothing heavier than a warning was found.
pub fn passes(faults: &[LoreFault]) -> bool {
    faults.iter().all(|fault| fault.weight == Weight::Warning)
}
