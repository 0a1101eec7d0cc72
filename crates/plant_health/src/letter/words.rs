//! A letter cut into sentences, clauses and words, each word with its stem and its near-synonyms.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

/// One word of a letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The word in lower case, contractions opened (`isn't` gives `is` and `not`).
    pub lower: String,
    /// Its stem.
    pub stem: String,
    /// Further stems it answers to (`starlings` answers to `bird`).
    pub also: Vec<String>,
    /// First byte in the letter.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
    /// Place in the sentence, with commas and brackets counted as words between.
    pub place: usize,
    /// Clause of the sentence; words of different clauses do not combine.
    pub clause: usize,
    /// True if a comma, bracket or colon stands right before it.
    pub after_comma: bool,
}

/// One sentence of a letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// First byte in the letter.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
    /// Its words.
    pub words: Vec<Word>,
    /// True if it ends with a question mark.
    pub question: bool,
}

/// Words that open a new clause: what was said before them does not combine with, and does not negate, what comes after.
const CLAUSE_OPENERS: &[&str] =
    &["but", "although", "though", "however", "whereas", "except", "yet", "instead", "otherwise", "nevertheless"];

/// Shortened forms and the words they stand for.
const CONTRACTIONS: &[(&str, &[&str])] = &[
    ("can't", &["can", "not"]),
    ("cannot", &["can", "not"]),
    ("cant", &["can", "not"]),
    ("won't", &["will", "not"]),
    ("shan't", &["shall", "not"]),
    ("ain't", &["is", "not"]),
    ("dont", &["do", "not"]),
    ("doesnt", &["does", "not"]),
    ("didnt", &["did", "not"]),
    ("isnt", &["is", "not"]),
    ("wasnt", &["was", "not"]),
    ("havent", &["have", "not"]),
    ("hasnt", &["has", "not"]),
    ("w/o", &["without"]),
    ("nothing's", &["nothing", "is"]),
    ("there's", &["there", "is"]),
    ("it's", &["it", "is"]),
    ("that's", &["that", "is"]),
    ("they're", &["they", "are"]),
    ("i'm", &["i", "am"]),
    ("we're", &["we", "are"]),
    ("i've", &["i", "have"]),
    ("we've", &["we", "have"]),
    ("they've", &["they", "have"]),
];

/// Cuts `text` into sentences of words. Never fails; bytes outside words are kept by the spans.
pub fn sentences(text: &str) -> Vec<Sentence> {
    let mut found = Vec::new();
    let mut open = OpenSentence::at(0);
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let mut i = 0;
    while let Some(&(at, c)) = chars.get(i) {
        if is_word_start(c) {
            let mut j = i;
            while j < chars.len() && is_word_part(&chars, j) {
                j += 1;
            }
            let end = chars.get(j).map_or(text.len(), |p| p.0);
            open.push(&text[at..end], at, end);
            i = j;
            continue;
        }
        let next = chars.get(i + 1).map(|p| p.1);
        match c {
            '?' | '!' => open.close(at + 1, c == '?', &mut found),
            '.' if next.is_none_or(|n| n.is_whitespace() || matches!(n, '"' | '\'' | ')' | '.')) => open.close(at + 1, false, &mut found),
            '\n' if ends_line(&chars, i) => open.close(at, false, &mut found),
            ';' | '—' | '–' => open.next_clause(),
            '-' if next == Some('-') || (next.is_some_and(char::is_whitespace) && i > 0 && chars[i - 1].1.is_whitespace()) => {
                open.next_clause()
            }
            ',' | '(' | ')' | ':' => open.comma(),
            _ => {}
        }
        i += 1;
    }
    open.close(text.len(), false, &mut found);
    found
}

/// True where a line break ends a sentence: an empty line, a list item, or a greeting's comma.
fn ends_line(chars: &[(usize, char)], i: usize) -> bool {
    let after = chars[i + 1..].iter().map(|p| p.1).find(|c| *c != ' ' && *c != '\r' && *c != '\t');
    let before = chars[..i].iter().rev().map(|p| p.1).find(|c| *c != ' ' && *c != '\r');
    matches!(after, Some('\n' | '-' | '*' | '•')) || matches!(before, Some(',' | ':' | '\n')) && i < 60
}

fn is_word_start(c: char) -> bool {
    c.is_alphanumeric()
}

/// True if the character at `j` carries on a word: letters, digits, an inner apostrophe, a decimal point or a slash between digits.
fn is_word_part(chars: &[(usize, char)], j: usize) -> bool {
    let c = chars[j].1;
    if c.is_alphanumeric() {
        return true;
    }
    let before = j.checked_sub(1).map(|k| chars[k].1);
    let after = chars.get(j + 1).map(|p| p.1);
    match c {
        '\'' | '’' => after.is_some_and(char::is_alphabetic),
        '.' | '/' | ',' => {
            before.is_some_and(|b| b.is_ascii_digit())
                && after.is_some_and(|a| a.is_ascii_digit())
                && (c != ',' || digits_after(chars, j + 1) == 3)
        }
        _ => false,
    }
}

fn digits_after(chars: &[(usize, char)], from: usize) -> usize {
    chars[from..].iter().take_while(|p| p.1.is_ascii_digit()).count()
}

struct OpenSentence {
    start: usize,
    words: Vec<Word>,
    clause: usize,
    gap: usize,
    after_comma: bool,
}

impl OpenSentence {
    fn at(start: usize) -> Self {
        Self { start, words: Vec::new(), clause: 0, gap: 0, after_comma: false }
    }

    fn comma(&mut self) {
        self.gap += 1;
        self.after_comma = true;
    }

    fn next_clause(&mut self) {
        if !self.words.is_empty() {
            self.clause += 1;
        }
    }

    fn push(&mut self, raw: &str, start: usize, end: usize) {
        let lower = raw.to_lowercase().replace('’', "'");
        let split = CONTRACTIONS.iter().find(|(short, _)| *short == lower).map(|(_, long)| long.to_vec());
        match split {
            Some(parts) => parts.iter().for_each(|part| self.push_one((*part).to_owned(), start, end)),
            None => match lower.strip_suffix("n't") {
                Some(verb) => {
                    self.push_one(verb.to_owned(), start, end);
                    self.push_one("not".to_owned(), start, end);
                }
                None => self.push_one(lower.strip_suffix("'s").unwrap_or(&lower).to_owned(), start, end),
            },
        }
    }

    fn push_one(&mut self, lower: String, start: usize, end: usize) {
        if CLAUSE_OPENERS.contains(&lower.as_str()) && self.words.last().is_none_or(|w| w.lower != "nothing" && w.lower != "all") {
            self.next_clause();
        }
        let place = self.words.last().map_or(0, |w| w.place + 1) + self.gap;
        let stem = stem(&lower);
        let mut also = also_means(&stem);
        also.extend(number_word(&lower).map(str::to_owned));
        // `a yard wide` is a length; the plot is a yard too.
        if matches!(lower.as_str(), "wide" | "across")
            && let Some(before) = self.words.last_mut().filter(|w| matches!(w.stem.as_str(), "yard" | "meter" | "metre" | "metr"))
        {
            before.also.push("foot".to_owned());
        }
        self.words.push(Word { lower, stem, also, start, end, place, clause: self.clause, after_comma: self.after_comma });
        self.gap = 0;
        self.after_comma = false;
    }

    fn close(&mut self, end: usize, question: bool, into: &mut Vec<Sentence>) {
        let next = Self::at(end);
        let done = std::mem::replace(self, next);
        if let (Some(first), Some(_)) = (done.words.first(), done.words.last()) {
            into.push(Sentence { start: first.start.max(done.start), end, words: done.words.clone(), question });
        }
    }
}

/// Words whose stem no rule finds, with the stem.
const IRREGULAR: &[(&str, &str)] = &[
    ("ate", "eat"),
    ("eaten", "eat"),
    ("eats", "eat"),
    ("fed", "feed"),
    ("dug", "dig"),
    ("bit", "bite"),
    ("bitten", "bite"),
    ("laid", "lay"),
    ("grew", "grow"),
    ("grown", "grow"),
    ("fell", "fall"),
    ("fallen", "fall"),
    ("torn", "tear"),
    ("tore", "tear"),
    ("came", "come"),
    ("went", "go"),
    ("gone", "go"),
    ("saw", "see"),
    ("seen", "see"),
    ("mice", "mouse"),
    ("feet", "foot"),
    ("leaves", "leaf"),
    ("leafs", "leaf"),
    ("dying", "die"),
    ("dies", "die"),
    ("died", "die"),
    ("dead", "dead"),
    ("flew", "fly"),
    ("flown", "fly"),
    ("flies", "fly"),
    ("lies", "lie"),
    ("lying", "lie"),
    ("tying", "tie"),
    ("sprang", "spring"),
    ("sprung", "spring"),
    ("swollen", "swell"),
    ("stung", "sting"),
    ("sprayed", "spray"),
    ("shook", "shake"),
    ("shaken", "shake"),
    ("broke", "break"),
    ("broken", "break"),
    ("hung", "hang"),
    ("bent", "bend"),
    ("split", "split"),
    ("rotten", "rot"),
    ("rotting", "rot"),
    ("drank", "drink"),
    ("drunk", "drink"),
    ("mown", "mow"),
    ("mower", "mower"),
    ("rolled", "roll"),
    ("ripped", "rip"),
    ("colour", "color"),
    ("coloured", "color"),
    ("colours", "color"),
    ("discoloured", "discolor"),
    ("grey", "gray"),
    ("greyish", "gray"),
    ("grayish", "gray"),
    ("mould", "mold"),
    ("mouldy", "mold"),
    ("moldy", "mold"),
    ("moulds", "mold"),
    ("fungi", "fungus"),
    ("fungal", "fungus"),
    ("fungus", "fungus"),
    ("larvae", "larva"),
    ("larva", "larva"),
    ("pupae", "pupa"),
    ("nymphs", "nymph"),
    ("patchy", "patch"),
    ("powdery", "powder"),
    ("spotty", "spot"),
    ("webby", "web"),
    ("webbing", "web"),
    ("webbed", "web"),
    ("cobweb", "web"),
    ("cobwebs", "web"),
    ("cobwebby", "web"),
    ("yellowy", "yellow"),
    ("rusty", "rust"),
    ("spongy", "sponge"),
    ("spongey", "sponge"),
    ("slimy", "slime"),
    ("sooty", "soot"),
    ("dusty", "dust"),
    ("fuzzy", "fuzz"),
    ("cottony", "cotton"),
    ("waxy", "wax"),
    ("bumpy", "bump"),
    ("crusty", "crust"),
    ("salty", "salt"),
    ("shady", "shade"),
    ("shaded", "shade"),
    ("crispy", "crisp"),
    ("curly", "curl"),
    ("thready", "thread"),
    ("grassy", "grass"),
    ("mossy", "moss"),
    ("weedy", "weed"),
    ("wet", "wet"),
    ("this", "this"),
    ("was", "was"),
    ("has", "has"),
    ("is", "is"),
    ("does", "does"),
    ("us", "us"),
    ("grass", "grass"),
    ("moss", "moss"),
    ("its", "its"),
    ("always", "always"),
    ("perhaps", "perhaps"),
    ("across", "across"),
    ("less", "less"),
    ("unless", "unless"),
    ("class", "class"),
    ("glass", "glass"),
    ("during", "during"),
    ("nothing", "nothing"),
    ("anything", "anything"),
    ("something", "something"),
    ("everything", "everything"),
    ("evening", "evening"),
    ("morning", "morning"),
    ("morn", "morning"),
    ("spring", "spring"),
    ("string", "string"),
    ("ring", "ring"),
    ("sting", "sting"),
    ("wing", "wing"),
    ("wings", "wing"),
    ("seeds", "seed"),
    ("seed", "seed"),
    ("seeded", "seed"),
    ("need", "need"),
    ("needed", "need"),
    ("weed", "weed"),
    ("weeds", "weed"),
    ("weeding", "weed"),
    ("bed", "bed"),
    ("beds", "bed"),
    ("red", "red"),
    ("shed", "shed"),
    ("feed", "feed"),
    ("sled", "sled"),
    ("hundred", "hundred"),
    ("speed", "speed"),
    ("bleed", "bleed"),
    ("bleeding", "bleed"),
    ("used", "use"),
    ("using", "use"),
    ("uses", "use"),
    ("tanned", "tan"),
    ("bleached", "bleach"),
    ("does", "does"),
    ("goes", "go"),
    ("done", "done"),
    ("yes", "yes"),
    ("us", "us"),
    ("bus", "bus"),
    ("gas", "gas"),
    ("lens", "lens"),
    ("iris", "iris"),
    ("hibiscus", "hibiscus"),
    ("crocus", "crocus"),
    ("citrus", "citrus"),
    ("cactus", "cactus"),
    ("thus", "thus"),
    ("canvas", "canvas"),
    ("christmas", "christmas"),
    ("peeing", "pee"),
    ("pees", "pee"),
    ("peed", "pee"),
    ("urinates", "urine"),
    ("urinate", "urine"),
    ("urinating", "urine"),
    ("shining", "shiny"),
    ("shines", "shiny"),
    ("fertilised", "fertilize"),
    ("fertilizer", "fertilizer"),
    ("fertiliser", "fertilizer"),
    ("fertilisers", "fertilizer"),
    ("fertilise", "fertilize"),
    ("fertilising", "fertilize"),
    ("mottled", "mottle"),
    ("stippled", "stipple"),
    ("stippling", "stipple"),
    ("speckled", "speckle"),
    ("speckling", "speckle"),
    ("ragged", "ragged"),
    ("frayed", "fray"),
    ("fraying", "fray"),
    ("shredded", "shred"),
    ("shredding", "shred"),
    ("branches", "branch"),
    ("patches", "patch"),
    ("ashes", "ash"),
    ("bushes", "bush"),
    ("roses", "rose"),
    ("moths", "moth"),
    ("bees", "bee"),
    ("trees", "tree"),
    ("scales", "scale"),
    ("mites", "mite"),
    ("lice", "louse"),
    ("edges", "edge"),
    ("edging", "edging"),
    ("edged", "edge"),
    ("starling", "starling"),
    ("seedling", "seedling"),
    ("sapling", "sapling"),
    ("railing", "railing"),
    ("building", "building"),
    ("ceiling", "ceiling"),
    ("duckling", "duckling"),
    ("midsummer", "midsummer"),
    ("woken", "wake"),
    ("thinned", "thin"),
    ("thinning", "thin"),
    ("thinner", "thin"),
    ("thinnest", "thin"),
    ("spreading", "spread"),
    ("bigger", "big"),
    ("larger", "large"),
    ("smaller", "small"),
    ("worse", "worse"),
    ("worst", "worse"),
    ("greener", "green"),
    ("darker", "dark"),
    ("paler", "pale"),
    ("lighter", "light"),
    ("wider", "wide"),
    ("longer", "long"),
    ("taller", "tall"),
    ("shorter", "short"),
    ("drier", "dry"),
    ("dryer", "dry"),
    ("driest", "dry"),
    ("dried", "dry"),
    ("dries", "dry"),
    ("brownish", "brown"),
    ("yellowish", "yellow"),
    ("whitish", "white"),
    ("pinkish", "pink"),
    ("reddish", "red"),
    ("purplish", "purple"),
    ("greenish", "green"),
    ("orangey", "orange"),
    ("orangish", "orange"),
    ("blackish", "black"),
    ("bluish", "blue"),
    ("roundish", "round"),
    ("circular", "circle"),
    ("rounded", "round"),
    // Words whose last letter tells them from another word (a pine is no pin).
    ("pine", "pine"),
    ("cane", "cane"),
    ("fire", "fire"),
    ("care", "care"),
    ("bare", "bare"),
    ("stripe", "stripe"),
    ("striped", "stripe"),
    ("topped", "topped"),
    ("topping", "topped"),
    ("pane", "pane"),
    ("mate", "mate"),
    ("tape", "tape"),
    ("cape", "cape"),
    ("hope", "hope"),
    ("plane", "plane"),
    ("tube", "tube"),
    ("hose", "hose"),
    ("note", "note"),
    ("rate", "rate"),
    ("site", "site"),
    ("bite", "bite"),
    ("bites", "bite"),
    ("bitter", "bitter"),
    ("wilted", "wilt"),
    ("shone", "shiny"),
    ("wove", "weave"),
    ("woven", "weave"),
    ("drew", "draw"),
    ("drawn", "draw"),
    ("froze", "freeze"),
    ("frozen", "freeze"),
    ("cutting", "cut"),
    ("cuts", "cut"),
    ("crept", "creep"),
    ("swept", "sweep"),
    ("stuck", "stick"),
    ("sticky", "sticky"),
    ("threw", "throw"),
    ("thrown", "throw"),
    ("blew", "blow"),
    ("blown", "blow"),
    ("spat", "spit"),
    ("spun", "spin"),
    ("wrote", "write"),
    ("began", "begin"),
    ("begun", "begin"),
    ("hid", "hide"),
    ("hidden", "hide"),
    ("crawly", "crawl"),
    ("crumbly", "crumble"),
    ("crumbled", "crumble"),
    ("crumbles", "crumble"),
    ("wiggly", "wiggle"),
    ("wriggly", "wriggle"),
    ("squishy", "squish"),
    ("mushy", "mush"),
    ("velvety", "velvet"),
    ("feathery", "feather"),
    ("hairy", "hair"),
    ("prickly", "prickle"),
    ("knobbly", "knob"),
    ("knobby", "knob"),
    ("warty", "wart"),
    ("scabby", "scab"),
    ("blotchy", "blotch"),
    ("streaky", "streak"),
    ("stripey", "stripe"),
    ("stripy", "stripe"),
    ("holey", "hole"),
    ("leathery", "leather"),
    ("papery", "paper"),
    ("foamy", "foam"),
    ("frothy", "froth"),
    ("sawdusty", "sawdust"),
    ("clumpy", "clump"),
    ("tufty", "tuft"),
    ("boggy", "bog"),
    ("soggy", "soggy"),
    ("muddy", "mud"),
    ("sandy", "sand"),
    ("stony", "stone"),
    ("rocky", "rock"),
    ("sunny", "sun"),
    ("silvery", "silver"),
    ("bronzy", "bronze"),
    ("bronzed", "bronze"),
    ("skeletonised", "skeletonize"),
    ("skeletonise", "skeletonize"),
    ("skeletonising", "skeletonize"),
];

/// The stem of a lower-case word: irregular forms by table, then endings. Deliberately light: it joins the forms of one word and no more.
///
/// ```
/// # use groundlore_plant_health::letter::words::stem;
/// assert_eq!(stem("patches"), stem("patch"));
/// assert_eq!(stem("chewed"), stem("chewing"));
/// assert_eq!(stem("dying"), "die");
/// ```
pub fn stem(word: &str) -> String {
    static BY_FORM: LazyLock<HashMap<&str, &str>> =
        LazyLock::new(|| IRREGULAR.iter().map(|(_, stem)| (*stem, *stem)).chain(IRREGULAR.iter().copied()).collect());
    if let Some(stem) = BY_FORM.get(word) {
        return (*stem).to_owned();
    }
    // The plain endings of a word in the table: `circles`, `fertilized`, `coming`.
    let base = |ending: &str, put: &str| word.strip_suffix(ending).and_then(|w| BY_FORM.get(format!("{w}{put}").as_str()));
    if let Some(stem) =
        [("s", ""), ("d", ""), ("ing", "e")].into_iter().find_map(|(ending, put)| base(ending, put).filter(|s| s.ends_with('e')))
    {
        return (*stem).to_owned();
    }
    if !word.is_ascii() || word.len() < 4 || word.bytes().any(|b| b.is_ascii_digit()) {
        return word.to_owned();
    }
    let without = strip_ending(word);
    undouble(without.strip_suffix('e').filter(|s| s.len() >= 3).unwrap_or(&without)).to_owned()
}

fn strip_ending(word: &str) -> String {
    let keep =
        |ending: &str, least: usize| word.strip_suffix(ending).filter(|s| s.len() >= least && s.bytes().any(|b| b"aeiouy".contains(&b)));
    if let Some(s) = keep("ies", 2) {
        return format!("{s}y");
    }
    if let Some(s) = keep("ied", 2) {
        return format!("{s}y");
    }
    for (ending, least) in [("ing", 3), ("ed", 3), ("sses", 1)] {
        if let Some(s) = keep(ending, least) {
            return if ending == "sses" { format!("{s}ss") } else { s.to_owned() };
        }
    }
    if let Some(s) = word
        .strip_suffix("es")
        .filter(|s| s.ends_with("ch") || s.ends_with("sh") || s.ends_with('x') || s.ends_with("ss") || s.ends_with('o'))
    {
        return s.to_owned();
    }
    match word.strip_suffix('s') {
        Some(s) if !s.ends_with('s') && !s.ends_with('u') && !s.ends_with('i') => s.to_owned(),
        _ => word.to_owned(),
    }
}

/// `spott` → `spot`: the doubled last letter that an ending leaves, apart from the pairs that belong to the word.
fn undouble(word: &str) -> &str {
    let b = word.as_bytes();
    match b {
        [.., x, y] if x == y && word.len() > 3 && !b"slfzeo".contains(y) => &word[..word.len() - 1],
        _ => word,
    }
}

/// Words that answer to another: first the words, then what they also mean.
const ALSO: &[(&[&str], &[&str])] = &[
    (&["grass", "sod", "lawn", "turf"], &["turf", "grass", "lawn", "sod"]),
    (&["starling", "crow", "robin", "grackle", "magpie", "blackbird", "rook", "flicker"], &["bird"]),
    (&["skunk", "raccoon", "badger", "armadillo", "hog", "fox"], &["animal", "critter"]),
    (&["racoon", "coon"], &["raccoon", "animal", "critter"]),
    (&["critter", "varmint"], &["animal"]),
    (&["animal"], &["critter"]),
    (&["insect", "bug", "beastie", "creature"], &["bug", "insect"]),
    (&["puppy", "pup", "labrador", "retriever", "terrier", "spaniel", "bitch"], &["dog"]),
    (&["pee", "wee", "piddle", "tinkle", "urine", "widdle"], &["urine", "pee"]),
    (&["tan", "straw", "bleach", "beige", "buff"], &["straw", "tan", "bleach"]),
    (&["ring", "circle"], &["ring", "circle"]),
    (&["toadstool", "mushroom"], &["mushroom", "toadstool"]),
    (&["tiny", "teeny", "minute", "little", "small", "wee"], &["small", "tiny", "little"]),
    (&["large", "big", "huge", "giant"], &["big", "large"]),
    (&["sprinkler", "irrigation", "hose"], &["sprinkler", "irrigation"]),
    (&["fertilizer", "fertilize", "feed"], &["fertilize", "fertilizer", "feed"]),
    (&["shrub", "bush"], &["shrub", "bush"]),
    (&["stipple", "speckle", "fleck", "pepper", "freckle"], &["stipple", "speckle", "fleck"]),
    (&["speck", "fleck"], &["speck", "fleck"]),
    (&["autumn"], &["fall"]),
    (&["peel", "lift"], &["lift", "peel"]),
    (&["carpet", "rug"], &["carpet", "rug"]),
    (&["perish", "kill"], &["die"]),
    (&["blotch", "patch", "splotch"], &["patch", "blotch"]),
    (&["caterpillar"], &["caterpillar", "larva"]),
    (&["sidewalk", "pavement", "footpath"], &["sidewalk", "pavement", "path"]),
    (&["driveway", "drive"], &["driveway", "drive"]),
    (&["gooey", "sticky", "tacky"], &["sticky"]),
    (&["dog-vomit"], &["vomit"]),
    (&["trainer", "sneaker", "boot", "welly", "sandal", "sock"], &["shoe"]),
    (&["ginger", "orangey", "rusty"], &["orange"]),
    (&["kerb", "curb"], &["curb", "kerb"]),
    (&["earth", "dirt", "ground", "soil"], &["soil", "dirt"]),
    (&["gnaw", "nibble", "munch", "chew"], &["chew"]),
    (&["shear", "clip", "cut"], &["cut"]),
    (&["blossom", "bloom", "flower"], &["bloom", "flower", "blossom"]),
];

fn also_means(stem: &str) -> Vec<String> {
    static BY_STEM: LazyLock<HashMap<String, Vec<String>>> = LazyLock::new(|| {
        let mut meanings: HashMap<String, BTreeSet<String>> = HashMap::new();
        for (words, means) in ALSO {
            for word in *words {
                meanings.entry(self::stem(word)).or_default().extend(means.iter().map(|m| self::stem(m)));
            }
        }
        meanings
            .into_iter()
            .map(|(s, all)| {
                let others = all.into_iter().filter(|m| *m != s).collect();
                (s, others)
            })
            .collect()
    });
    BY_STEM.get(stem).cloned().unwrap_or_default()
}

/// `6` answers to `six`, and `six` to `6`.
fn number_word(lower: &str) -> Option<&'static str> {
    const NUMBERS: &[(&str, &str)] = &[
        ("1", "one"),
        ("2", "two"),
        ("3", "three"),
        ("4", "four"),
        ("5", "five"),
        ("6", "six"),
        ("7", "seven"),
        ("8", "eight"),
        ("9", "nine"),
        ("10", "ten"),
        ("11", "eleven"),
        ("12", "twelve"),
        ("15", "fifteen"),
        ("20", "twenty"),
    ];
    NUMBERS.iter().find_map(|(digits, word)| {
        if *digits == lower {
            Some(*word)
        } else if *word == lower {
            Some(*digits)
        } else {
            None
        }
    })
}

/// True for words too common to carry meaning by themselves.
pub fn is_stop_word(lower: &str) -> bool {
    const STOP: &[&str] = &[
        "a", "an", "the", "is", "are", "was", "were", "be", "been", "am", "of", "in", "on", "at", "to", "and", "or", "it", "its", "they",
        "them", "that", "this", "these", "those", "there", "i", "we", "my", "our", "you", "your", "he", "she", "his", "her", "their",
        "with", "by", "for", "from", "as", "like", "so", "do", "does", "did", "have", "has", "had", "some", "any", "all", "very", "just",
        "when", "where", "which", "what", "who", "how", "if", "then", "than", "can", "will", "would", "could", "should", "may", "might",
        "into", "over", "under", "out", "up", "down", "off", "about", "more", "most", "one", "each", "other", "also", "now",
    ];
    STOP.contains(&lower)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn forms_of_one_word_share_a_stem() {
        for forms in [
            ["spot", "spots", "spotted"],
            ["peel", "peels", "peeling"],
            ["patch", "patches", "patchy"],
            ["grub", "grubs", "grub"],
            ["moth", "moths", "moth"],
            ["wilt", "wilted", "wilting"],
            ["curl", "curled", "curling"],
            ["berry", "berries", "berry"],
            ["chew", "chewed", "chewing"],
            ["tree", "trees", "tree"],
            ["rose", "roses", "rose"],
            ["scale", "scales", "scale"],
            ["needle", "needles", "needle"],
            ["edge", "edges", "edged"],
            ["rub", "rubbed", "rubbing"],
            ["notch", "notched", "notches"],
            ["water", "watered", "watering"],
        ] {
            assert!(forms.iter().all(|f| stem(f) == stem(forms[0])), "{forms:?} {:?}", forms.map(stem));
        }
    }

    #[test]
    fn sentences_end_at_stops_but_not_inside_numbers() {
        let s = sentences("It is 2.5 in wide. Is it grubs? No: 1,200 ft2 is fine");
        assert_eq!(s.len(), 3);
        assert!(s[1].question);
        assert!(s[0].words.iter().any(|w| w.lower == "2.5"));
        assert!(s[2].words.iter().any(|w| w.lower == "1,200"));
    }

    #[test]
    fn but_opens_a_clause_and_contractions_open_up() {
        let s = sentences("The turf doesn't lift, but it's brown");
        let lowers: Vec<_> = s[0].words.iter().map(|w| w.lower.as_str()).collect();
        assert_eq!(lowers, ["the", "turf", "does", "not", "lift", "but", "it", "is", "brown"]);
        assert_ne!(s[0].words[4].clause, s[0].words[8].clause);
    }
}
