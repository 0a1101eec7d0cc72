//! Fields of a form: each with its label, a hint, what was typed before, and the fault that is about it.

use crate::asked::Asked;
use crate::fault::Fault;
use crate::show::{capital, prose};
use maud::{Markup, html};

/// A form in the making: what was typed, what stands in it at first, and what was wrong.
#[derive(Debug)]
pub(crate) struct Form<'a> {
    asked: &'a Asked,
    fault: Option<&'a Fault>,
    first: Vec<(String, String)>,
    /// Goes before every id, so that two forms on a page do not clash.
    mark: &'static str,
}

impl<'a> Form<'a> {
    pub(crate) fn new(mark: &'static str, asked: &'a Asked, fault: Option<&'a Fault>) -> Self {
        Self { asked, fault, first: Vec::new(), mark }
    }

    /// What stands in a field before anything is typed.
    #[must_use]
    pub(crate) fn with(mut self, name: &str, value: impl Into<String>) -> Self {
        self.first.push((name.to_owned(), value.into()));
        self
    }

    fn value(&self, name: &str) -> String {
        let typed = if self.asked.posted { self.asked.typed(name) } else { self.asked.query(name) };
        let first = || self.first.iter().find(|(given, _)| given == name).map(|(_, value)| value.clone());
        typed.map(str::to_owned).or_else(first).unwrap_or_default()
    }

    fn id(&self, name: &str) -> String {
        let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        format!("{}-{plain}", self.mark)
    }

    fn fault_of(&self, name: &str) -> Option<&str> {
        let plain = |text: &str| text.to_lowercase().replace(['_', ' '], "-");
        self.fault
            .filter(|fault| fault.field.as_deref().is_some_and(|field| plain(field) == plain(name)))
            .map(|fault| fault.detail.as_str())
    }

    /// What is wrong, above the form, with the way to its field.
    pub(crate) fn summary(&self) -> Markup {
        html! { @if let Some(fault) = self.fault {
            div.fault role="alert" tabindex="-1" {
                p { strong { (fault.title) ". " } (prose(&capital(&fault.detail))) }
                @if self.asked.posted { p { "Nothing was written down. What you typed is kept below." @if self.asked.sent_files() { " Files must be chosen again." } } }
            }
        } }
    }

    fn framed(&self, name: &str, label: &str, hint: &str, input: Markup) -> Markup {
        html! { div.field {
            label for=(self.id(name)) { (label) }
            @if !hint.is_empty() { p.hint id={ (self.id(name)) "-hint" } { (prose(hint)) } }
            @if let Some(said) = self.fault_of(name) { p.wrong id={ (self.id(name)) "-wrong" } { strong { "Put right: " } (prose(said)) } }
            (input)
        } }
    }

    fn described(&self, name: &str, hint: &str) -> Option<String> {
        let mut by = Vec::new();
        if !hint.is_empty() {
            by.push(format!("{}-hint", self.id(name)));
        }
        if self.fault_of(name).is_some() {
            by.push(format!("{}-wrong", self.id(name)));
        }
        (!by.is_empty()).then(|| by.join(" "))
    }

    fn invalid(&self, name: &str) -> Option<&'static str> {
        self.fault_of(name).map(|_| "true")
    }

    /// A line of text.
    pub(crate) fn line(&self, name: &str, label: &str, hint: &str) -> Markup {
        self.input(name, label, hint, "text", None)
    }

    /// A whole number, with the phone's number keys.
    pub(crate) fn whole(&self, name: &str, label: &str, hint: &str) -> Markup {
        self.input(name, label, hint, "text", Some("numeric"))
    }

    /// A day.
    pub(crate) fn day(&self, name: &str, label: &str, hint: &str) -> Markup {
        self.input(name, label, hint, "date", None)
    }

    fn input(&self, name: &str, label: &str, hint: &str, kind: &str, keys: Option<&str>) -> Markup {
        self.framed(name, label, hint, html! {
            input id=(self.id(name)) name=(name) type=(kind) inputmode=[keys] value=(self.value(name)) maxlength="500" autocomplete="off"
                aria-describedby=[self.described(name, hint)] aria-invalid=[self.invalid(name)];
        })
    }

    /// Several lines of text.
    pub(crate) fn text(&self, name: &str, label: &str, hint: &str, rows: u8) -> Markup {
        self.framed(name, label, hint, html! {
            textarea id=(self.id(name)) name=(name) rows=(rows) aria-describedby=[self.described(name, hint)] aria-invalid=[self.invalid(name)] {
                (self.value(name))
            }
        })
    }

    /// A file.
    pub(crate) fn file(&self, name: &str, label: &str, hint: &str, kinds: &str) -> Markup {
        self.framed(name, label, hint, html! {
            input id=(self.id(name)) name=(name) type="file" accept=(kinds) aria-describedby=[self.described(name, hint)] aria-invalid=[self.invalid(name)];
        })
    }

    /// Several files.
    pub(crate) fn files(&self, name: &str, label: &str, hint: &str, kinds: &str) -> Markup {
        self.framed(name, label, hint, html! {
            input id=(self.id(name)) name=(name) type="file" multiple accept=(kinds) aria-describedby=[self.described(name, hint)] aria-invalid=[self.invalid(name)];
        })
    }

    /// One of a few, as pairs of value and words.
    pub(crate) fn choice(&self, name: &str, label: &str, hint: &str, options: &[(String, String)]) -> Markup {
        let now = self.value(name);
        self.framed(
            name,
            label,
            hint,
            html! {
                select id=(self.id(name)) name=(name) aria-describedby=[self.described(name, hint)] aria-invalid=[self.invalid(name)] {
                    @for (value, words) in options { option value=(value) selected[*value == now] { (words) } }
                }
            },
        )
    }

    /// Yes, no, or nobody asked.
    pub(crate) fn told(&self, name: &str, label: &str, hint: &str) -> Markup {
        let options = [("", "not known"), ("yes", "yes"), ("no", "no")].map(|(value, words)| (value.to_owned(), words.to_owned()));
        self.choice(name, label, hint, &options)
    }
}

/// Reads a field of yes, no, or nobody asked.
pub(crate) fn told(asked: &Asked, name: &str) -> Option<bool> {
    match asked.given(name).as_deref() {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        _ => None,
    }
}

/// Reads a day from a field, if it is filled in.
pub(crate) fn day(asked: &Asked, name: &str) -> Result<Option<jiff::civil::Date>, Fault> {
    asked
        .given(name)
        .map(|text| {
            text.parse()
                .map_err(|_| Fault::at_field(name, format!("`{text}` is no day; write it as year-month-day, for example 2015-08-17")))
        })
        .transpose()
}
