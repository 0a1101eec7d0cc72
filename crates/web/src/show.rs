//! A sheet as HTML: one renderer for every page, so that a figure, its reasons and its cautions read the same everywhere.

use crate::figure::responsive;
use groundlore_sheet::{Block, Check, CheckState, Column, KeyFigure, Sheet, Table, TaskCard, Tone};
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};

/// What the renderer must remember from block to block: how deep headings stand, and how many pictures came before.
#[derive(Debug)]
struct Walk {
    /// Goes before every id: two sheets may stand on one page.
    mark: String,
    under_heading: bool,
    pictures: usize,
    tasks: usize,
    tables: usize,
    today: Date,
}

impl Walk {
    /// The level below the current heading: 2 right under the title, 3 under a heading of the sheet.
    fn heading(&self, class: &str, text: &str) -> Markup {
        if self.under_heading {
            html! { h3 class=(class) { (prose(text)) } }
        } else {
            html! { h2 class=(class) { (prose(text)) } }
        }
    }
}

/// Head of a sheet: letterhead, title, line under it, address.
pub fn sheet_head(sheet: &Sheet) -> Markup {
    html! {
        @if let Some(head) = &sheet.letterhead {
            p class=(if sheet.addressed_to.is_empty() { "letterhead on-paper" } else { "letterhead" }) { strong { (head.name) } @for line in &head.lines { ", " (line) } }
        }
        h1 { (sheet.title) }
        @if let Some(subtitle) = &sheet.subtitle { p.subtitle { (prose(subtitle)) } }
        @if !sheet.addressed_to.is_empty() {
            address { @for line in &sheet.addressed_to { (line) br; } }
        }
    }
}

/// The blocks of a sheet from top to bottom, and its small print.
pub fn sheet_body(sheet: &Sheet) -> Markup {
    let mut walk = Walk {
        mark: crate::url::segment(&sheet.kind).replace('%', ""),
        under_heading: false,
        pictures: 0,
        tasks: 0,
        tables: 0,
        today: sheet.date,
    };
    let blocks: Vec<Markup> = sheet.blocks.iter().map(|each| block(each, &mut walk)).collect();
    html! {
        @for each in &blocks { (each) }
        @if !sheet.foot.is_empty() { div.foot { @for line in &sheet.foot { p { (prose(line)) } } } }
    }
}

fn block(block: &Block, walk: &mut Walk) -> Markup {
    match block {
        Block::Heading { text } => {
            walk.under_heading = true;
            html! { h2 { (prose(text)) } }
        }
        Block::Paragraph { text } => html! { @for part in text.split("\n\n") { p { (prose(part)) } } },
        Block::Verdict { text, why, tone } => verdict(text, why, *tone),
        Block::KeyFigures { figures } => key_figures(figures),
        Block::Facts { facts } => html! { dl.facts { @for (name, value) in facts { div { dt { (name) } dd { (prose(value)) } } } } },
        Block::Table(of) => table(of, walk),
        Block::List { ordered: true, items } => html! { ol { @for item in items { li { (prose(item)) } } } },
        Block::List { items, .. } => html! { ul { @for item in items { li { (prose(item)) } } } },
        Block::Checks { checks } => html! { ul.checks { @for check in checks { (check_line(check)) } } },
        Block::Figure { svg, narrow, alt, caption } => {
            walk.pictures += 1;
            let mark = format!("{}-{}-", walk.mark, walk.pictures);
            let id = format!("{mark}larger");
            let (wide_class, narrow_class) = (narrow.as_ref().map(|_| "wide"), "narrow");
            html! { figure {
                div.picture tabindex="0" role="group" aria-label={ "Figure: " (caption) } {
                    div class=[wide_class] { (PreEscaped(responsive(svg, alt, &mark))) }
                    @if let Some(narrow) = narrow { div class=(narrow_class) { (PreEscaped(responsive(narrow, alt, &format!("{mark}n-")))) } }
                }
                p.larger { input id=(id) type="checkbox"; label for=(id) { "Larger" } }
                figcaption { (prose(caption)) }
            } }
        }
        Block::Task(card) => task(card, walk),
        Block::Cautions { cautions } => html! { aside.caution role="note" {
            (walk.heading("caution-head", "Caution"))
            ul { @for caution in cautions { li { (prose(caution)) } } }
        } },
        Block::Working { title, lines } => html! { details.working {
            summary { "Working: " (title) }
            ol { @for line in lines { li { (prose(line)) } } }
        } },
        Block::Fold { title, open, blocks } => {
            let before = std::mem::replace(&mut walk.under_heading, true);
            let inner: Vec<Markup> = blocks.iter().map(|each| self::block(each, walk)).collect();
            walk.under_heading = before;
            html! { details.fold open[*open] {
                summary { @if before { h3 { (prose(title)) } } @else { h2 { (prose(title)) } } }
                @for each in &inner { (each) }
            } }
        }
        Block::Fill { labels } => html! { dl.on-paper { @for label in labels { div { dt { (label) } dd { } } } } },
        Block::Signatures { who } => html! { dl.on-paper { @for who in who { div { dt { (who) ", date" } dd { } } } } },
        Block::Sources { sources } => {
            html! { details.sources { summary { "Sources" } ul { @for source in sources { li { (prose(source)) } } } } }
        }
        Block::PageBreak => html! { hr.page-break; },
    }
}

fn verdict(text: &str, why: &str, tone: Tone) -> Markup {
    let class = match tone {
        Tone::Danger => "verdict danger",
        Tone::Act => "verdict act",
        Tone::Watch => "verdict watch",
        Tone::Calm => "verdict calm",
    };
    html! { div class=(class) {
        @if tone == Tone::Danger { p.tone { "Danger" } }
        p.said { (prose(&capital(text))) }
        @if !why.is_empty() { p { (prose(why)) } }
    } }
}

fn key_figures(figures: &[KeyFigure]) -> Markup {
    html! { dl.key-figures { @for figure in figures { div {
        dt { (figure.label) }
        dd { span.figure { (figure.value) } @if !figure.note.is_empty() { span.note { (figure.note) } } }
    } } } }
}

/// A table in a box of its own; its caption stands above the box and keeps the page's width. On a narrow window the style sheet stacks
/// each row as a block with the column's heading before each value; the roles say it is still a table.
fn table(of: &Table, walk: &mut Walk) -> Markup {
    walk.tables += 1;
    let id = format!("{}-table-{}", walk.mark, walk.tables);
    let caption = (!of.caption.is_empty()).then_some(id.as_str());
    html! {
        @if let Some(id) = caption { p.caption id=(id) { (prose(&of.caption)) } }
        div.scroll tabindex="0" role="group" aria-labelledby=[caption] aria-label=[caption.is_none().then_some("Table")] { table role="table" aria-labelledby=[caption] {
            thead role="rowgroup" { tr role="row" { @for column in &of.columns { (column_head(column)) } } }
            tbody role="rowgroup" {
                @for row in &of.rows { (table_row(of, row)) }
                @for _ in 0..of.blank_rows { tr.on-paper { @for _ in &of.columns { td { } } } }
            }
            @if let Some(total) = &of.total { tfoot role="rowgroup" { (table_row(of, total)) } }
        } }
    }
}

fn column_head(column: &Column) -> Markup {
    html! { @if column.name.is_empty() { td role="cell" { } } @else {
        th scope="col" role="columnheader" class=[column.numeric.then_some("number")] { (column.name) }
    } }
}

fn table_row(of: &Table, row: &[String]) -> Markup {
    html! { tr role="row" { @for (place, cell) in row.iter().enumerate() {
        @let column = of.columns.get(place);
        @let number = column.is_some_and(|column| column.numeric).then_some("number");
        @let label = column.map(|column| capital(&column.name)).filter(|name| !name.is_empty());
        @if cell.is_empty() { td role="cell" class=[number] { } }
        @else if place == 0 { th scope="row" role="rowheader" class=[number] data-label=[label] { (value(cell)) } }
        @else { td role="cell" class=[number] data-label=[label] { (value(cell)) } }
    } } }
}

/// A cell's text; where it has parts (code, lines) they are held together, since on narrow windows a cell is a grid of heading and value.
fn value(cell: &str) -> Markup {
    if cell.contains(['`', '\n']) {
        html! { span { (prose(cell)) } }
    } else {
        prose(cell)
    }
}

fn check_line(check: &Check) -> Markup {
    let class = match check.state {
        CheckState::Pass => "state pass",
        CheckState::Doubt => "state doubt",
        CheckState::Refuse => "state refuse",
        CheckState::NotChecked => "state not-checked",
    };
    html! { li { span class=(class) { (check.state.word()) } span { strong { (prose(&check.what)) } @if !check.why.is_empty() { ": " (prose(&check.why)) } } } }
}

fn task(card: &TaskCard, walk: &mut Walk) -> Markup {
    walk.tasks += 1;
    let id = format!("t{}", walk.tasks);
    let lists = [("Takes", &card.takes), ("Not when", &card.forbids)];
    html! { article.task aria-labelledby=(id) {
        div.when {
            @if !card.yard.is_empty() { p { a href=(place_of(&card.yard)) { (card.yard) } @if let Some(place) = &card.place { ", " (place) } } }
            (window_strip(card, walk.today))
            p { (day(card.earliest)) " to " (day(card.latest)) ", best " strong { (day(card.best)) } }
            p { (capital(&card.standing)) ". State: " strong { (card.state) } }
        }
        div {
            @if walk.under_heading { h3 id=(id) { (prose(&card.what)) } } @else { h2 id=(id) { (prose(&card.what)) } }
            @for (name, lines) in lists { @if !lines.is_empty() { p { strong { (name) ": " } (lines.join("; ")) } } }
            @if !card.cautions.is_empty() { aside.caution role="note" { p { strong { "Caution" } } @for caution in &card.cautions { p { (prose(caution)) } } } }
            @if !(card.reasons.is_empty() && card.odds.is_empty()) { details.working {
                summary { "Why, and the odds" }
                ul { @for line in card.reasons.iter().chain(&card.odds) { li { (prose(line)) } } }
            } }
            (task_buttons(card, &id))
        }
    } }
}

/// Two buttons, and a third that asks why. One form: the field of why counts only for `could not`.
fn task_buttons(card: &TaskCard, id: &str) -> Markup {
    html! { form.buttons method="post" action="/tasks" {
        input type="hidden" name="key" value=(card.key);
        @if card.state != "begun" { button name="to" value="begun" aria-describedby=(id) { "Begun" } }
        button.first name="to" value="done" aria-describedby=(id) { "Done" }
        details {
            summary.button { "Could not" }
            label for={ (id) "w" } { "Why could it not be done?" }
            input id={ (id) "w" } name="why";
            button name="to" value="could not" { "Write it down" }
        }
    } }
}

/// The window as a line: from its first day to its last, a mark on the best, a pointer at today. The dates stand in words beside it.
fn window_strip(card: &TaskCard, today: Date) -> Markup {
    let days = |from: Date, to: Date| f64::from(from.until((jiff::Unit::Day, to)).map_or(0, |span| span.get_days()));
    let first = card.earliest.min(today);
    let whole = days(first, card.latest.max(today)).max(1.0);
    let x = |date: Date| (10.0 + 380.0 * days(first, date) / whole).round();
    let (from, to) = (x(card.earliest), x(card.latest).max(x(card.earliest) + 2.0));
    html! { svg.strip viewBox="0 0 400 24" aria-hidden="true" {
        path.rule d="M10 16H390" {}
        path.open d=(format!("M{from} 16H{to}")) {}
        path.best d=(format!("M{0} 9V23", x(card.best))) {}
        path.now d=(format!("M{} 13l-7 -11h14z", x(today))) {}
    } }
}

/// A date as people say it: `Monday 17 August`.
pub fn day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// The first letter made a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Plain text as HTML: line ends kept, words between backticks as code.
pub fn prose(text: &str) -> Markup {
    html! { @for (place, line) in text.lines().enumerate() {
        @if place > 0 { br; }
        @for (odd, part) in line.split('`').enumerate() { @if odd % 2 == 1 { code { (part) } } @else { (part) } }
    } }
}

/// Where a task's place is told: its yard's page, or the machines'.
fn place_of(yard: &str) -> String {
    if yard == groundlore_desk::tasks::WORKSHOP { "/machines".to_owned() } else { crate::url::yard(yard, "") }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn shown(block: Block) -> String {
        sheet_body(&Sheet::new("test", "Test", jiff::civil::date(2015, 8, 17)).with(block)).into_string()
    }

    #[test]
    fn text_is_escaped_and_code_marked() {
        assert_eq!(shown(Block::paragraph("a < b, run `x`")), "<p>a &lt; b, run <code>x</code></p>");
    }

    #[test]
    fn a_state_is_said_in_words_never_by_colour_alone() {
        for state in [CheckState::Pass, CheckState::Doubt, CheckState::Refuse, CheckState::NotChecked] {
            let html = shown(Block::Checks { checks: vec![Check { what: "w".to_owned(), state, why: String::new() }] });
            assert!(html.contains(&format!(">{}<", state.word())), "{html}");
        }
    }

    #[test]
    fn a_value_of_a_table_carries_its_heading_for_narrow_windows() {
        let html = shown(Block::table("", &["area", "size"], vec![vec!["Lawn".to_owned(), "90 ft²".to_owned()]]));
        assert!(html.contains(r#"role="rowheader" data-label="Area">Lawn<"#), "{html}");
        assert!(html.contains(r#"data-label="Size">90 ft²<"#), "{html}");
        assert!(html.contains(r#"role="columnheader">size<"#), "{html}");
    }

    #[test]
    fn two_pictures_on_a_page_share_no_id() {
        let svg =
            r##"<svg viewBox="0 0 1 1" width="1" height="1" role="img"><defs><pattern id="dots"/></defs><rect fill="url(#dots)"/></svg>"##;
        let figure = || Block::Figure { svg: svg.to_owned(), narrow: None, alt: "a \"map\"".to_owned(), caption: "c".to_owned() };
        let html = sheet_body(&Sheet::new("t", "T", jiff::civil::date(2015, 8, 17)).with(figure()).with(figure())).into_string();
        assert!(html.contains(r#"id="t-1-dots""#) && html.contains(r#"id="t-2-dots""#) && html.contains("url(#t-2-dots)"), "{html}");
        assert!(html.contains(r#"aria-label="a &quot;map&quot;""#), "{html}");
    }

    #[test]
    fn a_picture_drawn_twice_is_shown_once_at_any_width() {
        let html = shown(Block::figure(|width| format!(r#"<svg viewBox="0 0 {width} 9"><g id="a"/></svg>"#), 720.0, "alt", "caption"));
        assert!(html.contains(r#"class="wide""#) && html.contains(r#"class="narrow""#), "{html}");
        assert!(html.contains(r#"viewBox="0 0 720 9""#) && html.contains(r#"viewBox="0 0 320 9""#), "{html}");
        assert!(html.contains(r#"id="test-1-a""#) && html.contains(r#"id="test-1-n-a""#), "{html}");
    }

    #[test]
    fn a_fold_is_closed_until_it_is_asked_for() {
        let fold = |open| Block::Fold { title: "Weeds".to_owned(), open, blocks: vec![Block::paragraph("Crabgrass.")] };
        assert_eq!(shown(fold(false)), "<details class=\"fold\"><summary><h2>Weeds</h2></summary><p>Crabgrass.</p></details>");
        assert!(shown(fold(true)).contains(" open"));
    }
}
