//! Causes and signs as a network of yes-or-no nodes, with exact answers.
//!
//! A node is given by its chance under each state of its parents: a full table, or a noisy-or (each parent that is present may bring the
//! node on by itself; a leak stands for everything else). Questions are answered exactly, by summing out one node after another; evidence
//! that cannot be is said to be so, not divided by.

use serde::Serialize;

/// Chance of a sign where each cause that is present may bring it on alone, and something else may too: 1 − (1 − leak) Π (1 − link).
/// All shares 0–1.
///
/// # Source
/// Pearl (1988), *Probabilistic Reasoning in Intelligent Systems*; Henrion (1989) for the leak (memory). Values: season note, DX-N1 to N8.
///
/// ```
/// # use groundlore_plant_health::network::noisy_or;
/// assert!((noisy_or(0.05, &[0.8, 0.3]) - 0.867).abs() < 1e-12);
/// ```
pub fn noisy_or(leak: f64, links: &[f64]) -> f64 {
    1.0 - links.iter().fold(1.0 - leak, |none, link| none * (1.0 - link))
}

/// Chance that a trouble is there once a test has spoken, all shares 0–1. None where the result has no chance at all.
///
/// ```
/// # use groundlore_plant_health::network::after_test;
/// assert!((after_test(0.1, 0.8, 0.95, true).unwrap() - 0.64).abs() < 1e-12);
/// ```
pub fn after_test(prior: f64, sensitivity: f64, specificity: f64, positive: bool) -> Option<f64> {
    let (there, not) = if positive { (sensitivity, 1.0 - specificity) } else { (1.0 - sensitivity, specificity) };
    let total = prior * there + (1.0 - prior) * not;
    (total > 0.0).then(|| prior * there / total)
}

/// What the chance of a node rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Chance {
    /// P(node) for each state of the parents: entry `s` is for the state in which parent `i` is present where bit `i` of `s` is set.
    Table(Vec<f64>),
    /// Leak, and for each parent the chance that it alone brings the node on.
    NoisyOr {
        /// Chance with no parent present.
        leak: f64,
        /// One link a parent.
        links: Vec<f64>,
    },
}

/// A node, by its parents (places of earlier nodes) and its chance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Node {
    /// Name, for errors.
    pub name: String,
    /// Places of its parents, each before it.
    pub parents: Vec<usize>,
    /// Its chance.
    pub chance: Chance,
}

/// Why a network or a question has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// A parent that is not an earlier node.
    #[error("node `{node}` names parent {parent}, which is not an earlier node: put causes before what they cause")]
    Parent {
        /// Node.
        node: String,
        /// Place named.
        parent: usize,
    },
    /// A table of the wrong length, or a chance outside 0–1.
    #[error("node `{node}`: {why}")]
    Chance {
        /// Node.
        node: String,
        /// What is wrong.
        why: String,
    },
    /// A node that is not there.
    #[error("there is no node {0}")]
    NoNode(usize),
    /// The evidence cannot be.
    #[error(
        "this evidence has no chance at all under the network: one of the facts is wrong, or a chance of 0 or 1 stands where none is sure"
    )]
    Impossible,
    /// Too many nodes hang together.
    #[error("{0} nodes hang together at once, which is more than can be summed exactly (24)")]
    TooWide(usize),
}

/// Widest table that is summed.
const WIDEST: usize = 24;

/// A network of yes-or-no nodes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Network {
    nodes: Vec<Node>,
}

/// A table over some nodes: bit `i` of the place is the state of `over[i]`; `over` rises.
#[derive(Debug, Clone)]
struct Factor {
    over: Vec<usize>,
    values: Vec<f64>,
}

impl Network {
    /// Makes a network of nodes in an order in which parents come before their children.
    ///
    /// # Errors
    /// A parent that is not an earlier node; a table of the wrong length; a chance outside 0–1.
    pub fn new(nodes: Vec<Node>) -> Result<Self, NetworkError> {
        for (place, node) in nodes.iter().enumerate() {
            if let Some(parent) = node.parents.iter().find(|p| **p >= place) {
                return Err(NetworkError::Parent { node: node.name.clone(), parent: *parent });
            }
            let wrong = |why: String| NetworkError::Chance { node: node.name.clone(), why };
            let parents = node.parents.len();
            let (given, wanted, chances): (usize, usize, Vec<f64>) = match &node.chance {
                Chance::Table(table) => (table.len(), 1 << parents.min(WIDEST), table.clone()),
                Chance::NoisyOr { leak, links } => (links.len(), parents, links.iter().copied().chain([*leak]).collect()),
            };
            if given != wanted {
                return Err(wrong(format!("{given} chances for {parents} parents; {wanted} are needed")));
            }
            if let Some(odd) = chances.iter().find(|c| !(0.0..=1.0).contains(*c)) {
                return Err(wrong(format!("{odd} is no chance; it lies between 0 and 1")));
            }
        }
        Ok(Self { nodes })
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// True with no node.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// P(query is present | evidence), exactly. Evidence is `(place, present)`.
    ///
    /// # Errors
    /// A node that is not there; evidence that cannot be; a network too closely knit to sum.
    pub fn posterior(&self, query: usize, evidence: &[(usize, bool)]) -> Result<f64, NetworkError> {
        if let Some(odd) = evidence.iter().map(|(p, _)| *p).chain([query]).find(|p| *p >= self.nodes.len()) {
            return Err(NetworkError::NoNode(odd));
        }
        let wanted = self.ancestors(query, evidence);
        let mut factors: Vec<Factor> = Vec::new();
        for place in wanted.iter().copied() {
            factors.push(self.factor(place)?.reduced(evidence, query));
        }
        let mut hidden: Vec<usize> = wanted.into_iter().filter(|p| *p != query && !evidence.iter().any(|(e, _)| e == p)).collect();
        while let Some(next) = cheapest(&hidden, &factors) {
            hidden.retain(|p| *p != next);
            let (touching, rest): (Vec<Factor>, Vec<Factor>) = factors.into_iter().partition(|f| f.over.contains(&next));
            factors = rest;
            factors.push(product(&touching)?.summed_out(next));
        }
        let joint = product(&factors)?;
        let (mut absent, mut present) = match joint.values[..] {
            [no, yes] => (no, yes),
            _ => return Err(NetworkError::NoNode(query)),
        };
        if let Some((_, told)) = evidence.iter().find(|(e, _)| *e == query) {
            if *told { absent = 0.0 } else { present = 0.0 }
        }
        let total = absent + present;
        if total > 0.0 { Ok(present / total) } else { Err(NetworkError::Impossible) }
    }

    /// The query, the evidence and all that leads to them; what hangs below tells nothing.
    fn ancestors(&self, query: usize, evidence: &[(usize, bool)]) -> Vec<usize> {
        let mut wanted = vec![false; self.nodes.len()];
        wanted[query] = true;
        evidence.iter().for_each(|(p, _)| wanted[*p] = true);
        for place in (0..self.nodes.len()).rev() {
            if wanted[place] {
                self.nodes[place].parents.iter().for_each(|p| wanted[*p] = true);
            }
        }
        (0..self.nodes.len()).filter(|p| wanted[*p]).collect()
    }

    fn factor(&self, place: usize) -> Result<Factor, NetworkError> {
        let node = &self.nodes[place];
        let mut over = node.parents.clone();
        over.push(place);
        over.sort_unstable();
        over.dedup();
        if over.len() > WIDEST {
            return Err(NetworkError::TooWide(over.len()));
        }
        let at = |p: usize| over.iter().position(|o| *o == p).unwrap_or(0);
        let (own, parents): (usize, Vec<usize>) = (at(place), node.parents.iter().map(|p| at(*p)).collect());
        let values = (0..1_usize << over.len())
            .map(|state| {
                let present = |bit: usize| state >> bit & 1 == 1;
                let yes = match &node.chance {
                    Chance::Table(table) => {
                        table[parents.iter().enumerate().filter(|(_, bit)| present(**bit)).map(|(i, _)| 1 << i).sum::<usize>()]
                    }
                    Chance::NoisyOr { leak, links } => {
                        1.0 - parents
                            .iter()
                            .zip(links)
                            .filter(|(bit, _)| present(**bit))
                            .fold(1.0 - leak, |none, (_, link)| none * (1.0 - link))
                    }
                };
                if present(own) { yes } else { 1.0 - yes }
            })
            .collect();
        Ok(Factor { over, values })
    }
}

/// The hidden node whose summing makes the smallest table.
fn cheapest(hidden: &[usize], factors: &[Factor]) -> Option<usize> {
    hidden.iter().copied().min_by_key(|node| {
        let mut over: Vec<usize> = factors.iter().filter(|f| f.over.contains(node)).flat_map(|f| f.over.iter().copied()).collect();
        over.sort_unstable();
        over.dedup();
        over.len()
    })
}

fn product(factors: &[Factor]) -> Result<Factor, NetworkError> {
    let mut over: Vec<usize> = factors.iter().flat_map(|f| f.over.iter().copied()).collect();
    over.sort_unstable();
    over.dedup();
    if over.len() > WIDEST {
        return Err(NetworkError::TooWide(over.len()));
    }
    let mut values = vec![1.0; 1 << over.len()];
    for factor in factors {
        let bits: Vec<usize> = factor.over.iter().map(|o| over.iter().position(|p| p == o).unwrap_or(0)).collect();
        for (state, value) in values.iter_mut().enumerate() {
            let place: usize = bits.iter().enumerate().map(|(i, bit)| (state >> bit & 1) << i).sum();
            *value *= factor.values[place];
        }
    }
    Ok(Factor { over, values })
}

impl Factor {
    /// Fixes what is known; the query keeps its place even where it is known.
    fn reduced(mut self, evidence: &[(usize, bool)], query: usize) -> Self {
        for (node, present) in evidence.iter().filter(|(node, _)| *node != query) {
            if let Some(bit) = self.over.iter().position(|o| o == node) {
                self.over.remove(bit);
                self.values = kept(&self.values, bit, *present);
            }
        }
        self
    }

    fn summed_out(mut self, node: usize) -> Self {
        if let Some(bit) = self.over.iter().position(|o| *o == node) {
            self.over.remove(bit);
            self.values = kept(&self.values, bit, false).iter().zip(kept(&self.values, bit, true)).map(|(a, b)| a + b).collect();
        }
        self
    }
}

/// Entries in which a bit has a state, in order, without that bit.
fn kept(values: &[f64], bit: usize, state: bool) -> Vec<f64> {
    values.iter().enumerate().filter(|(place, _)| (place >> bit & 1 == 1) == state).map(|(_, v)| *v).collect()
}
