//! The generated manual page of the reckoner, in Markdown.

use crate::calculator::Need;
use crate::calculators;
use std::fmt::Write as _;

/// The manual page: every calculator with inputs, outputs, rounding and sources.
pub fn page() -> String {
    let mut text = String::from(
        "# The reckoner\n\nMade from the registry by `groundlore reckon --manual`; do not edit.\n\nEvery calculator runs as `groundlore reckon KEY NAME=VALUE… [--as OUTPUT=UNIT] [--json]`.\n",
    );
    let mut topic = None;
    for calculator in calculators() {
        if topic != Some(calculator.topic) {
            topic = Some(calculator.topic);
            let _ = write!(text, "\n## {}\n", calculator.topic.heading());
        }
        let _ = write!(text, "\n### `{}`\n\n{}\n\n| input | kind | |\n| --- | --- | --- |\n", calculator.key, calculator.about);
        for input in calculator.inputs {
            let need = if input.need == Need::Required { "" } else { " (may be left out)" };
            let _ = writeln!(text, "| `{}` | {}, as `{}`{need} | {} |", input.name, input.kind.expected(), input.example, input.about);
        }
        text.push_str("\n| output | |\n| --- | --- |\n");
        for output in calculator.outputs {
            let _ = writeln!(text, "| `{}` | {} |", output.name, output.about);
        }
        let _ = write!(text, "\nRounding: {}\n\nSources: {}\n", calculator.rounding, calculator.sources.join("; "));
        for caution in calculator.cautions {
            let _ = write!(text, "\nCaution: {caution}\n");
        }
    }
    text
}
