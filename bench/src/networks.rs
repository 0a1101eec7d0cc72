//! Posteriors of networks of causes. The file holds one network after another, in words: `network N`, then for each node its parents
//! (`2 0 3`: how many, which) and its table, then `ask QUERY E1=1,E2=0`, one a line.

use groundlore_plant_health::network::{Chance, Network, Node};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

type Asked = (usize, Vec<(usize, bool)>);

/// Answers every question of a file, `rounds` times; prints the answers once, then the seconds of each round.
pub fn time(file: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let text = std::fs::read_to_string(file)?;
    let mut networks: Vec<(Network, Vec<Asked>)> = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if let Some(count) = line.strip_prefix("network ") {
            let mut nodes = Vec::new();
            for place in 0..count.parse::<usize>()? {
                let parents =
                    lines.next().ok_or("a node is missing")?.split_whitespace().skip(1).map(str::parse).collect::<Result<_, _>>()?;
                let table = lines.next().ok_or("a table is missing")?.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
                nodes.push(Node { name: place.to_string(), parents, chance: Chance::Table(table) });
            }
            networks.push((Network::new(nodes)?, Vec::new()));
        } else if let Some(asked) = line.strip_prefix("ask ") {
            let (query, told) = asked.split_once(' ').unwrap_or((asked, ""));
            let fact = |pair: &str| -> Result<(usize, bool), Box<dyn Error>> {
                let (node, state) = pair.split_once('=').ok_or("a fact is `node=0` or `node=1`")?;
                Ok((node.parse()?, state == "1"))
            };
            let told = told.split(',').filter(|p| !p.is_empty()).map(fact).collect::<Result<Vec<_>, _>>()?;
            networks.last_mut().ok_or("a question stands before any network")?.1.push((query.parse()?, told));
        }
    }
    for round in 0..rounds {
        let start = Instant::now();
        let mut answers = Vec::new();
        for (network, asked) in &networks {
            for (query, told) in asked {
                answers.push(network.posterior(*query, told)?);
            }
        }
        let seconds = start.elapsed().as_secs_f64();
        if round == 0 {
            answers.iter().for_each(|p| println!("answer {p:.17}"));
        }
        println!("networks {seconds}");
    }
    Ok(())
}
