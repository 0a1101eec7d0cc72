//! Planting closer than its spread.

use super::{CALL_BEFORE_DIGGING, Fault, FaultKind, Judged, PlantSize, Source, shown};
use crate::measure::LocalFrame;
use crate::yard::{BedPlant, Yard};
use geo::Contains;
use groundlore_quantity::Quantity;
use std::collections::BTreeSet;

/// Plants this little too close are let be: the hand that draws a map is no better, metres.
const CARELESS_M: f64 = 0.05;

/// One plant on the plane, with the room it needs.
struct Room<'a> {
    plant: &'a BedPlant,
    x: f64,
    y: f64,
    /// Width that it needs, metres.
    width: f64,
}

/// Two plants too close: their places in the list, and how far apart they are.
struct Pair {
    a: usize,
    b: usize,
    apart: f64,
    needed: f64,
}

pub(super) fn judge(yard: &Yard, frame: &LocalFrame, lookup: &dyn Fn(&str) -> Option<PlantSize>, found: &mut Judged) {
    let mut rooms = Vec::new();
    for plant in &yard.plants {
        let Some(width) = width_needed(plant, lookup) else {
            found.not_checked(&plant.id, &plant.name, "whether it has room", r#""spread": "24 in", or a "plant" that the lore knows"#);
            continue;
        };
        match (plant.count.unwrap_or(1), &plant.spacing) {
            (0 | 1, _) => {
                let place = frame.point_to_m(plant.point);
                rooms.push(Room { plant, x: place.x(), y: place.y(), width });
            }
            (count, Some(spacing)) => found.faults.extend(group(plant, count, spacing.si(), width)),
            (_, None) => found.not_checked(
                &plant.id,
                &plant.name,
                "whether the group has room",
                r#""spacing": "18 in", the distance between its plants"#,
            ),
        }
    }
    rooms.sort_by(|a, b| a.x.total_cmp(&b.x));
    let pairs = close_pairs(&rooms);
    for cluster in clusters(rooms.len(), &pairs) {
        found.faults.push(crowded(yard, &rooms, &cluster, &pairs));
    }
}

/// Width that one plant needs, metres: what the map says, else the least that the lore gives, so that a fault is sure.
fn width_needed(plant: &BedPlant, lookup: &dyn Fn(&str) -> Option<PlantSize>) -> Option<f64> {
    let own = plant.spread.as_ref().map(Quantity::si);
    let from_lore = || lookup(&plant.plant).map(|size| size.spacing_m.map_or(size.spread_m.0, |spacing| spacing.min(size.spread_m.0)));
    own.or_else(from_lore).filter(|width| width.is_finite() && *width > 0.0)
}

/// Pairs nearer than half the sum of their widths. `rooms` is in order of x, so each looks only at its near neighbours.
fn close_pairs(rooms: &[Room<'_>]) -> Vec<Pair> {
    let widest = rooms.iter().map(|room| room.width).fold(0.0, f64::max);
    let mut pairs = Vec::new();
    for (a, left) in rooms.iter().enumerate() {
        let near = rooms.iter().enumerate().skip(a + 1).take_while(|(_, right)| right.x - left.x < (left.width + widest) / 2.0);
        for (b, right) in near {
            let (apart, needed) = ((right.x - left.x).hypot(right.y - left.y), (left.width + right.width) / 2.0);
            if apart < needed - CARELESS_M {
                pairs.push(Pair { a, b, apart, needed });
            }
        }
    }
    pairs
}

/// Plants that crowd each other directly or through others, as sorted lists of places.
fn clusters(count: usize, pairs: &[Pair]) -> Vec<Vec<usize>> {
    let mut root: Vec<usize> = (0..count).collect();
    fn top(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    for pair in pairs {
        let (a, b) = (top(&mut root, pair.a), top(&mut root, pair.b));
        root[a.max(b)] = a.min(b);
    }
    let mut lists = vec![Vec::new(); count];
    for i in 0..count {
        let first = top(&mut root, i);
        lists[first].push(i);
    }
    lists.into_iter().filter(|list| list.len() > 1).collect()
}

/// A small set of plants to move so that no pair is left too close: again and again the one that crowds most others, then any
/// that turn out not to be needed go back.
fn to_move(cluster: &[usize], pairs: &[Pair]) -> Vec<usize> {
    let inside: BTreeSet<usize> = cluster.iter().copied().collect();
    let pairs: Vec<(usize, usize)> = pairs.iter().filter(|p| inside.contains(&p.a)).map(|p| (p.a, p.b)).collect();
    let mut moved: BTreeSet<usize> = BTreeSet::new();
    loop {
        let mut crowds = std::collections::BTreeMap::new();
        for (a, b) in pairs.iter().filter(|(a, b)| !moved.contains(a) && !moved.contains(b)) {
            *crowds.entry(*a).or_insert(0usize) += 1;
            *crowds.entry(*b).or_insert(0usize) += 1;
        }
        match crowds.iter().max_by_key(|(plant, n)| (**n, std::cmp::Reverse(**plant))) {
            Some((&plant, _)) => moved.insert(plant),
            None => break,
        };
    }
    for plant in moved.clone() {
        let needed = pairs.iter().any(|&(a, b)| (a == plant && !moved.contains(&b)) || (b == plant && !moved.contains(&a)));
        if !needed {
            moved.remove(&plant);
        }
    }
    moved.into_iter().collect()
}

fn crowded(yard: &Yard, rooms: &[Room<'_>], cluster: &[usize], pairs: &[Pair]) -> Fault {
    let moved = to_move(cluster, pairs);
    let short = |p: &Pair| p.needed - p.apart;
    let inside = pairs.iter().filter(|p| cluster.contains(&p.a));
    let worst = inside.max_by(|p, q| short(p).total_cmp(&short(q)));
    let first = moved.first().or(cluster.first()).map_or(0, |i| *i);
    let subject = rooms[first].plant;
    let bed = yard.areas.iter().find(|area| area.polygon.contains(&subject.point));
    let place = bed.map_or(String::new(), |bed| format!(" in {}", bed.name));
    let what = worst.map_or(String::new(), |p| {
        let (a, b) = (rooms[p.a].plant, rooms[p.b].plant);
        format!(
            "{} plants{place} stand closer than they spread; closest for their size are {} ({}) and {} ({}), {} apart where they need {}",
            cluster.len(),
            a.name,
            a.id,
            b.name,
            b.id,
            shown(p.apart, "in"),
            shown(p.needed, "in")
        )
    });
    let names: Vec<String> = moved.iter().take(12).map(|i| format!("{} ({})", rooms[*i].plant.name, rooms[*i].plant.id)).collect();
    let more = if moved.len() > 12 { format!(" and {} more", moved.len() - 12) } else { String::new() };
    fault(subject, what, format!("Move or give away: {}{more}. The rest then have room.", names.join(", ")), moved.len())
}

/// A group planted closer than its plants spread: the ground that it covers holds fewer.
fn group(plant: &BedPlant, count: u32, spacing: f64, width: f64) -> Option<Fault> {
    if spacing >= width - CARELESS_M {
        return None;
    }
    let fits = (f64::from(count) * (spacing / width).powi(2)).floor().max(1.0) as usize;
    let spare = (count as usize).saturating_sub(fits).max(1);
    let what = format!("{count} plants of {} stand {} apart where they spread {}", plant.name, shown(spacing, "in"), shown(width, "in"));
    let todo = format!("Lift about {spare} and set the rest {} apart; use or give away what is over.", shown(width, "in"));
    Some(fault(plant, what, todo, spare))
}

fn fault(plant: &BedPlant, what: String, what_to_do: String, count: usize) -> Fault {
    Fault {
        kind: FaultKind::Crowding,
        feature_id: plant.id.clone(),
        feature_name: plant.name.clone(),
        what,
        why_it_matters:
            "Crowded plants shade each other out, stay wet and take mildew and leaf spot, and need dividing or cutting back early."
                .to_owned(),
        what_to_do,
        amount: Some(Quantity::bare(count as f64)),
        amount_of: if count == 1 { "plant to move" } else { "plants to move or thin" }.to_owned(),
        also: Vec::new(),
        cautions: vec![
            "A groundcover or hedge is planted close on purpose: then leave it.".to_owned(),
            "Move plants in the cool of autumn or spring and water them in; some saps irritate: gloves.".to_owned(),
            CALL_BEFORE_DIGGING.to_owned(),
        ],
        source: Source::CommonPractice("plants stand no nearer than half the sum of their spreads when grown".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Pair, clusters, to_move};

    fn pair(a: usize, b: usize) -> Pair {
        Pair { a, b, apart: 0.1, needed: 1.0 }
    }

    #[test]
    fn one_plant_in_the_middle_of_a_star_is_the_one_to_move() {
        let pairs = [pair(0, 1), pair(0, 2), pair(0, 3)];
        let found = clusters(5, &pairs);
        assert_eq!(found, vec![vec![0, 1, 2, 3]]);
        assert_eq!(to_move(&found[0], &pairs), vec![0]);
    }

    #[test]
    fn a_row_of_five_loses_every_other_plant() {
        let pairs = [pair(0, 1), pair(1, 2), pair(2, 3), pair(3, 4)];
        assert_eq!(to_move(&[0, 1, 2, 3, 4], &pairs), vec![1, 3]);
    }
}
