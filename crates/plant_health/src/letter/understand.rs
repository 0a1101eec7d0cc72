//! What was understood of a letter: each phrase with the finding it was read as.

use super::circumstance::{Deed, Since, ToldCondition, conditions, deeds, since, slice, too_long_ago, when, where_told};
use super::heard::Heard;
use super::host::{Host, read as read_host};
use super::measure;
use super::negation::{Claim, Presence, claim};
use super::number::number_for;
use super::pattern::{GAP, Hit, Pattern, content_stems};
use super::words::{Sentence, Word, is_stop_word, sentences};
use super::{Correction, GivenFinding, GivenValue, Letter};
use crate::diagnosis::CauseTable;
use groundlore_lore::Lore;
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

/// One finding as understood.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Understood {
    /// Exact words of the letter (or of the list of findings).
    pub phrase: String,
    /// Key of the finding it was read as.
    pub finding: String,
    /// Name of that finding.
    pub name: String,
    /// There, not there, doubtful or not known.
    pub present: Presence,
    /// How firmly it was said, 0–1.
    pub strength: f64,
    /// The number told with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<Quantity>,
    /// When, in the letter's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub when: Option<String>,
    /// Where, in the letter's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Where it was read.
    pub from: Origin,
    /// First and last byte in the letter's text, for conditions that overlap.
    #[serde(skip)]
    pub span: (usize, usize),
}

/// Where a finding was read. Later ones win.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// The letter's text.
    Letter,
    /// The list of findings beside it.
    List,
    /// The user's correction.
    Correction,
}

/// All that was read out of a letter.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Reading {
    /// Findings, one entry each.
    pub understood: Vec<Understood>,
    /// Sentences and given findings in which no finding was recognised.
    pub not_understood: Vec<String>,
    /// The plant or ground.
    pub host: Host,
    /// Conditions in the owner's words.
    pub conditions: Vec<ToldCondition>,
    /// What was done.
    pub deeds: Vec<Deed>,
    /// The words themselves, without what is denied.
    #[serde(skip)]
    pub heard: Heard,
}

impl Reading {
    /// Leaves out what was read as a sign of another sort of host where the same words were also read as a sign that this host can show:
    /// white cottony threads are the fungus on a lawn and wax on a twig.
    #[must_use]
    pub fn on_its_host(mut self, table: &CauseTable) -> Self {
        let fits: Vec<bool> = self.understood.iter().map(|u| super::host::suits(table, &self.host, &u.finding)).collect();
        let same_words = |a: &Understood, b: &Understood| {
            a.from == b.from && if a.from == Origin::Letter { a.span.0 < b.span.1 && b.span.0 < a.span.1 } else { a.phrase == b.phrase }
        };
        let keep: Vec<bool> = self
            .understood
            .iter()
            .zip(&fits)
            .map(|(u, fit)| {
                let better = || self.understood.iter().zip(&fits).any(|(other, other_fits)| *other_fits && same_words(u, other));
                *fit || u.from == Origin::Correction || !better()
            })
            .collect();
        let mut keep = keep.into_iter();
        self.understood.retain(|_| keep.next().unwrap_or(true));
        self
    }
}

/// A doubt weaker than this is hearsay, or a fear: its words are not heard.
const HEARSAY: f64 = 0.45;

/// The vocabulary of findings, compiled once; [`Reader::read`] then takes well under a millisecond a letter.
#[derive(Debug, Clone)]
pub struct Reader {
    names: Vec<(String, String)>,
    patterns: Vec<(usize, Pattern)>,
    by_stem: HashMap<String, Vec<usize>>,
    always: Vec<usize>,
    vocabulary: HashSet<String>,
    /// The vocabulary by first letter and length, for slips of the pen.
    alike: HashMap<(u8, usize), Vec<String>>,
    rarity: HashMap<String, f64>,
    causes: Arc<CauseTable>,
}

impl Reader {
    /// Compiles the findings' patterns; the finding's own name serves as one more.
    pub fn new(lore: &Lore) -> Self {
        let findings = &lore.findings;
        let mut reader = Self {
            names: Vec::new(),
            patterns: Vec::new(),
            by_stem: HashMap::new(),
            always: Vec::new(),
            vocabulary: HashSet::new(),
            alike: HashMap::new(),
            rarity: HashMap::new(),
            causes: Arc::default(),
        };
        for (index, finding) in findings.values().enumerate() {
            reader.names.push((finding.key.clone(), finding.name.clone()));
            let name_stems = content_stems(&finding.name);
            let name = Pattern::of_words(&name_stems.iter().map(String::as_str).collect::<Vec<_>>());
            let patterns: Vec<Pattern> = finding
                .said_as
                .iter()
                .map(|said| Pattern::compile(said))
                .chain((name_stems.len() >= 2).then_some(name))
                .filter(|p| !p.is_empty())
                .collect();
            let stems: HashSet<&str> = patterns.iter().flat_map(Pattern::stems).collect();
            for stem in stems {
                *reader.rarity.entry(stem.to_owned()).or_insert(0.0) += 1.0;
                reader.vocabulary.insert(stem.to_owned());
            }
            reader.patterns.extend(patterns.into_iter().map(|p| (index, p)));
        }
        let total = findings.len().max(1) as f64;
        reader.rarity.values_mut().for_each(|count| *count = (1.0 + total / *count).ln());
        reader.causes = Arc::new(CauseTable::new(lore, &reader.patterns));
        reader.index_patterns();
        for word in reader.vocabulary.iter().filter(|w| !w.is_empty()) {
            reader.alike.entry((word.as_bytes()[0], word.len())).or_default().push(word.clone());
        }
        reader
    }

    /// Lore's causes as arrays, made with the reader.
    pub fn causes(&self) -> &CauseTable {
        &self.causes
    }

    fn index_patterns(&mut self) {
        for (i, (_, pattern)) in self.patterns.iter().enumerate() {
            match pattern.keys() {
                Some(keys) => keys.into_iter().for_each(|k| self.by_stem.entry(k.to_owned()).or_default().push(i)),
                None => self.always.push(i),
            }
        }
    }

    /// Reads a letter: findings from its text, its list and its corrections; host, conditions, deeds; and what was not understood.
    pub fn read(&self, letter: &Letter) -> Reading {
        let mut told = sentences(&letter.text);
        told.iter_mut().for_each(|s| self.mend_spelling(s));
        let conditions = conditions(&letter.text, &told);
        let deeds = deeds(&letter.text, &told);
        let mut mentions: Vec<Understood> = Vec::new();
        let mut not_understood = Vec::new();
        for sentence in &told {
            let found = self.in_sentence(&letter.text, sentence);
            let known_otherwise = conditions.iter().any(|c| c.span.0 >= sentence.start && c.span.1 <= sentence.end);
            if found.is_empty() && !known_otherwise && says_something(sentence) {
                not_understood.push(slice(&letter.text, (sentence.start, sentence.end)).split_whitespace().collect::<Vec<_>>().join(" "));
            }
            mentions.extend(found);
        }
        let hardly = |u: &&Understood| u.present == Presence::No || u.present == Presence::Doubtful && u.strength < HEARSAY;
        let unheard: Vec<(usize, usize)> = mentions.iter().filter(hardly).map(|u| u.span).collect();
        for given in &letter.findings {
            let found = self.given(given);
            if found.is_empty() {
                not_understood.push(given.finding.clone());
            }
            mentions.extend(found);
        }
        let mut understood = merge(mentions);
        for correction in &letter.corrections {
            if !self.correct(&mut understood, correction) {
                not_understood.push(correction.what.clone());
            }
        }
        let listed: Vec<Sentence> =
            letter.findings.iter().filter(|f| f.value != GivenValue::No).flat_map(|f| sentences(&f.finding)).collect();
        let mut heard = Heard::default();
        heard.add(&told, &letter.text, &unheard);
        letter.host.iter().for_each(|host| heard.add(&sentences(host), host, &[]));
        // A finding by its own key or name is a sign and no words.
        let in_words = |f: &&GivenFinding| !matches!(f.value, GivenValue::No | GivenValue::Unknown) && self.exactly(&f.finding).is_none();
        for given in letter.findings.iter().filter(in_words) {
            heard.add(&sentences(&given.finding), &given.finding, &[]);
            if let GivenValue::Words(words) = &given.value {
                heard.add(&sentences(words), words, &[]);
            }
        }
        let host = read_host(letter.host.as_deref(), &[told, listed].concat());
        Reading { understood, not_understood, host, conditions, deeds, heard }
    }

    fn in_sentence(&self, text: &str, sentence: &Sentence) -> Vec<Understood> {
        let (when, at) = (when(text, sentence), where_told(text, sentence));
        let mut found: BTreeMap<usize, Vec<(usize, Understood)>> = BTreeMap::new();
        for i in self.candidates(sentence) {
            let (index, pattern) = &self.patterns[i];
            for hit in pattern.find(sentence, GAP) {
                let Some(claim) = claim(sentence, &hit) else { continue };
                let understood = self.understood(text, sentence, &hit, claim, *index, when.clone(), at.clone());
                found.entry(*index).or_default().push((pattern.weight(), understood));
            }
        }
        found.into_values().filter_map(|all| best_reading(text, all)).map(|u| self.sized(u)).collect()
    }

    /// A size that was read from words gives way to the size that the number beside it tells.
    fn sized(&self, mut understood: Understood) -> Understood {
        let by_number = understood.number.as_ref().and_then(|n| measure::patch_size(&understood.finding, n));
        if let Some((key, name)) = by_number.and_then(|k| self.names.iter().find(|(key, _)| key == k)) {
            understood.finding.clone_from(key);
            understood.name.clone_from(name);
        }
        understood
    }

    fn candidates(&self, sentence: &Sentence) -> Vec<usize> {
        let stems = sentence.words.iter().flat_map(|w| std::iter::once(&w.stem).chain(&w.also));
        let mut all: Vec<usize> = stems.filter_map(|s| self.by_stem.get(s)).flatten().chain(&self.always).copied().collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    #[allow(clippy::too_many_arguments)]
    fn understood(
        &self,
        text: &str,
        sentence: &Sentence,
        hit: &Hit,
        claim: Claim,
        index: usize,
        when: Option<String>,
        at: Option<String>,
    ) -> Understood {
        let (key, name) = &self.names[index];
        let words = &sentence.words;
        let number = number_for(text, sentence, hit);
        // Findings of things done `lately` are denied by a date of long ago.
        let none = number.as_ref().is_some_and(|n| n.value == 0.0) || too_long_ago(key, sentence);
        let span = (words[phrase_start(words, hit, claim)].start, words[hit.last()].end);
        Understood {
            phrase: slice(text, span),
            finding: key.clone(),
            name: name.clone(),
            present: if none { Presence::No } else { claim.presence },
            strength: claim.strength,
            number: number.filter(|_| claim.presence != Presence::No),
            when,
            at,
            from: Origin::Letter,
            span,
        }
    }

    /// The finding that is named by its key or its name.
    fn exactly(&self, named: &str) -> Option<usize> {
        self.names.iter().position(|(key, name)| key == named.trim() || name.eq_ignore_ascii_case(named.trim()))
    }

    /// Reads a finding of the list: by key or name, by the same patterns as the text, else by the nearest words.
    fn given(&self, given: &GivenFinding) -> Vec<Understood> {
        let phrase = match &given.value {
            GivenValue::Words(words) => format!("{}: {words}", given.finding),
            _ => given.finding.clone(),
        };
        let mut found: Vec<Understood> = match self.exactly(&given.finding) {
            Some(index) => vec![self.plain(index, &phrase)],
            None => self.matched(&phrase),
        };
        if found.is_empty() {
            found.extend(self.nearest(&phrase).map(|index| self.plain(index, &phrase)));
        }
        if let (true, GivenValue::Words(words)) = (found.is_empty(), &given.value)
            && ["no ", "none ", "not ", "never "].iter().any(|n| words.to_lowercase().starts_with(n))
        {
            found = self.given(&GivenFinding { finding: given.finding.clone(), value: GivenValue::No });
        }
        let number = self.given_number(given);
        for understood in &mut found {
            understood.from = Origin::List;
            understood.phrase.clone_from(&phrase);
            apply_value(understood, &given.value, number.as_ref());
        }
        if let GivenValue::Words(words) = &given.value {
            self.answered(&mut found, given, words);
        }
        self.measured(&mut found, given, &phrase);
        found
    }

    /// An answer in words may deny what was asked (`turf lifts: it will not lift`) or date it (`last sharpened: two years ago`).
    fn answered(&self, found: &mut [Understood], given: &GivenFinding, words: &str) {
        if denies(words) {
            let by_itself = self.matched(words);
            let said = |key: &str| by_itself.iter().any(|u| u.finding == key && u.present == Presence::Yes);
            let asked = self.matched(&given.finding);
            found.iter_mut().filter(|u| asked.iter().any(|a| a.finding == u.finding) && !said(&u.finding)).for_each(|u| {
                (u.present, u.strength, u.number) = (Presence::No, 1.0, None);
            });
        }
        for u in found.iter_mut().filter(|u| matches!(u.finding.as_str(), "blades-sharpened-lately" | "fed-lately")) {
            match since(words) {
                Since::Long => (u.present, u.strength) = (Presence::No, 0.8),
                Since::Lately => (u.present, u.strength) = (Presence::Yes, 1.0),
                Since::Untold if asks_when(&given.finding) => (u.present, u.strength) = (Presence::Doubtful, 0.3),
                Since::Untold => {}
            }
        }
    }

    /// A measure tells what its size means, whatever the words alone were read as.
    fn measured(&self, found: &mut Vec<Understood>, given: &GivenFinding, phrase: &str) {
        let number = match &given.value {
            GivenValue::Number(q) => Some(q.clone()),
            GivenValue::Words(words) => {
                sentences(words).first().filter(|s| !s.words.is_empty()).and_then(|s| number_for(words, s, &Hit { used: vec![0] }))
            }
            _ => None,
        };
        let Some(number) = number else { return };
        for (key, presence) in measure::told(&given.finding, &number) {
            let Some(index) = self.names.iter().position(|(k, _)| k == key) else { continue };
            found.retain(|u| u.finding != key && measure::patch_size(&u.finding, &number).is_none());
            found.push(Understood { present: presence, number: Some(number.clone()), ..self.plain(index, phrase) });
        }
    }

    fn matched(&self, phrase: &str) -> Vec<Understood> {
        let mut told = sentences(phrase);
        for sentence in &mut told {
            sentence.question = false;
            self.mend_spelling(sentence);
        }
        merge(told.iter().flat_map(|s| self.in_sentence(phrase, s)).collect())
    }

    fn plain(&self, index: usize, phrase: &str) -> Understood {
        let (key, name) = &self.names[index];
        Understood {
            phrase: phrase.to_owned(),
            finding: key.clone(),
            name: name.clone(),
            present: Presence::Yes,
            strength: 1.0,
            number: None,
            when: None,
            at: None,
            from: Origin::List,
            span: (0, 0),
        }
    }

    /// A number given for a finding; a bare one takes the area that the finding's words name (`grubs per square foot`).
    fn given_number(&self, given: &GivenFinding) -> Option<Quantity> {
        let GivenValue::Number(number) = &given.value else { return None };
        let combined = format!("{} {}", number.value, given.finding);
        let told = sentences(&combined);
        let bare = Quantity::bare(number.value) == *number;
        let read = told.first().filter(|_| bare).and_then(|s| number_for(&combined, s, &Hit { used: vec![s.words.len().min(2) - 1] }));
        Some(read.unwrap_or_else(|| number.clone()))
    }

    /// The finding whose name or pattern shares most with the phrase, rare words counting more; none where little is shared.
    fn nearest(&self, phrase: &str) -> Option<usize> {
        let words: Vec<Word> = sentences(phrase).into_iter().flat_map(|s| s.words).filter(|w| !is_stop_word(&w.lower)).collect();
        let rare = |stem: &str| self.rarity.get(stem).copied().unwrap_or(3.0);
        let all: f64 = words.iter().map(|w| rare(&w.stem)).sum();
        let score = |pattern: &Pattern| {
            let stems: HashSet<&str> = pattern.stems().filter(|s| !is_stop_word(s)).collect();
            let shared: f64 = words
                .iter()
                .filter(|w| stems.contains(w.stem.as_str()) || w.also.iter().any(|a| stems.contains(a.as_str())))
                .map(|w| rare(&w.stem))
                .sum();
            shared / (all * (pattern.weight() as f64 * 2.0).max(0.1)).sqrt().max(0.1)
        };
        let best = self.patterns.iter().map(|(index, p)| (*index, score(p))).max_by(|a, b| a.1.total_cmp(&b.1))?;
        (best.1 >= 0.75).then_some(best.0)
    }

    /// Applies one correction; false where it names nothing known.
    fn correct(&self, understood: &mut Vec<Understood>, correction: &Correction) -> bool {
        let what = correction.what.trim();
        let named = |u: &Understood| u.finding == what || u.name.eq_ignore_ascii_case(what) || u.phrase.eq_ignore_ascii_case(what);
        let mut any = false;
        for entry in understood.iter_mut().filter(|u| named(u)) {
            entry.from = Origin::Correction;
            apply_value(entry, &correction.value, None);
            any = true;
        }
        if any {
            return true;
        }
        let given = GivenFinding { finding: what.to_owned(), value: correction.value.clone() };
        let added: Vec<Understood> = self.given(&given).into_iter().map(|u| Understood { from: Origin::Correction, ..u }).collect();
        any = !added.is_empty();
        *understood = merge([std::mem::take(understood), added].concat());
        any
    }

    /// Lets a long word with one wrong letter answer to the word it stands for.
    fn mend_spelling(&self, sentence: &mut Sentence) {
        for word in &mut sentence.words {
            let known = self.vocabulary.contains(&word.stem) || word.also.iter().any(|a| self.vocabulary.contains(a));
            if known || word.lower.len() < 6 || !word.lower.is_ascii() {
                continue;
            }
            let (first, length) = (word.stem.as_bytes()[0], word.stem.len());
            let alike = (length - 1..=length + 1).filter_map(|l| self.alike.get(&(first, l))).flatten();
            let mut near = alike.filter(|v| v.len() >= 5 && one_edit_apart(v.as_bytes(), word.stem.as_bytes()));
            if let (Some(only), None) = (near.next(), near.next()) {
                word.also.push(only.clone());
            }
        }
    }
}

/// True where an answer starts by denying: `it will not lift`, `can't see any`, `never`; not for `not sure` or `not only`.
fn denies(answer: &str) -> bool {
    const BEFORE: &[&str] = &[
        "it", "they", "that", "there", "this", "these", "i", "we", "he", "she", "will", "does", "do", "did", "is", "are", "was", "were",
        "can", "could", "has", "have", "had", "would",
    ];
    const TRAPS: &[&str] = &[
        "only", "sure", "certain", "doubt", "more", "less", "fewer", "but", "just", "until", "long", "know", "remember", "problem", "tell",
        "say",
    ];
    let words: Vec<Word> = sentences(answer).into_iter().next().map(|s| s.words).unwrap_or_default();
    let mut rest = words.iter().map(|w| w.lower.as_str()).skip_while(|w| BEFORE.contains(w));
    matches!(rest.next(), Some("not" | "never" | "none" | "no" | "nothing" | "nowhere" | "hardly"))
        && !rest.next().is_some_and(|w| TRAPS.contains(&w))
}

/// True for a finding that asks when something was done.
fn asks_when(finding: &str) -> bool {
    let lower = finding.to_lowercase();
    ["when", "last", "how long", "date"].iter().any(|w| lower.contains(w))
}

fn apply_value(understood: &mut Understood, value: &GivenValue, number: Option<&Quantity>) {
    match value {
        GivenValue::Yes if understood.from == Origin::Correction => (understood.present, understood.strength) = (Presence::Yes, 1.0),
        GivenValue::Yes => understood.strength = understood.strength.max(0.9),
        GivenValue::No => (understood.present, understood.strength, understood.number) = (Presence::No, 1.0, None),
        GivenValue::Unknown => (understood.present, understood.strength) = (Presence::Unknown, 0.0),
        GivenValue::Number(given) => {
            understood.number = Some(number.unwrap_or(given).clone());
            (understood.present, understood.strength) = (if given.value == 0.0 { Presence::No } else { Presence::Yes }, 1.0);
        }
        GivenValue::Words(_) => {}
    }
}

/// Of several patterns for one finding the one that asks for most is the best reading; its phrase takes in what the others used beside it.
fn best_reading(text: &str, mut all: Vec<(usize, Understood)>) -> Option<Understood> {
    const APART: usize = 40;
    all.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
    let mut all = all.into_iter().map(|(_, u)| u);
    let mut best = all.next()?;
    for other in all {
        let near = other.present == best.present && other.span.0 <= best.span.1 + APART && best.span.0 <= other.span.1 + APART;
        if near {
            best.span = (best.span.0.min(other.span.0), best.span.1.max(other.span.1));
            best.number = best.number.or(other.number);
        }
    }
    best.phrase = slice(text, best.span);
    Some(best)
}

/// First word of the phrase to show: a denial's own word is shown with what it denies.
fn phrase_start(words: &[Word], hit: &Hit, claim: Claim) -> usize {
    if claim.presence != Presence::No {
        return hit.first();
    }
    let clause = words[hit.first()].clause;
    (hit.first().saturating_sub(8)..hit.first())
        .rev()
        .find(|i| {
            words[*i].clause == clause
                && matches!(
                    words[*i].lower.as_str(),
                    "no" | "not" | "never" | "without" | "none" | "neither" | "nor" | "nothing" | "hardly"
                )
        })
        .unwrap_or(hit.first())
}

/// One entry for a finding: later origins win; in the same origin a yes against a no leaves a doubt.
fn merge(mentions: Vec<Understood>) -> Vec<Understood> {
    let mut order: Vec<String> = Vec::new();
    let mut by_key: HashMap<String, Understood> = HashMap::new();
    for mention in mentions {
        match by_key.get_mut(&mention.finding) {
            None => {
                order.push(mention.finding.clone());
                by_key.insert(mention.finding.clone(), mention);
            }
            Some(kept) => join(kept, mention),
        }
    }
    order.iter().filter_map(|key| by_key.remove(key)).collect()
}

fn join(kept: &mut Understood, other: Understood) {
    if other.from > kept.from {
        *kept = other;
        return;
    }
    if other.from < kept.from {
        return;
    }
    let firm = |u: &Understood| match u.present {
        Presence::Yes | Presence::No => 1.0 + u.strength,
        Presence::Doubtful => u.strength,
        Presence::Unknown => -1.0,
    };
    let clash = matches!((kept.present, other.present), (Presence::Yes, Presence::No) | (Presence::No, Presence::Yes));
    let number = kept.number.clone().or_else(|| other.number.clone());
    if firm(&other) > firm(kept) || (other.number.is_some() && kept.number.is_none() && other.present == kept.present) {
        *kept = other;
    }
    kept.number = number;
    if clash {
        (kept.present, kept.strength) = (Presence::Doubtful, 0.4);
    }
}

/// True for a sentence that carries more than a greeting or thanks.
fn says_something(sentence: &Sentence) -> bool {
    const POLITE: &[&str] =
        &["thank", "thanks", "regards", "hello", "hi", "dear", "sincerely", "please", "cheers", "greetings", "love", "yours"];
    let meaning = sentence.words.iter().filter(|w| !is_stop_word(&w.lower)).count();
    let polite = sentence.words.iter().any(|w| POLITE.contains(&w.lower.as_str()));
    meaning >= 3 && !(polite && sentence.words.len() <= 9)
}

/// True if one letter added, dropped, changed or swapped with its neighbour makes one of the other, the first letter being the same.
fn one_edit_apart(a: &[u8], b: &[u8]) -> bool {
    if a.first() != b.first() || a.len().abs_diff(b.len()) > 1 || a == b {
        return false;
    }
    let same = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let (ra, rb) = (&a[same..], &b[same..]);
    let swapped = ra.len() >= 2 && rb.len() >= 2 && ra[0] == rb[1] && ra[1] == rb[0] && ra[2..] == rb[2..];
    match ra.len().cmp(&rb.len()) {
        std::cmp::Ordering::Equal => swapped || ra.get(1..) == rb.get(1..),
        std::cmp::Ordering::Less => rb.get(1..) == Some(ra),
        std::cmp::Ordering::Greater => ra.get(1..) == Some(rb),
    }
}
