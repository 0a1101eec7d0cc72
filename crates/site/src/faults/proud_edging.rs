//! Edging that stands too proud to mow over.

use super::{Amount, CALL_BEFORE_DIGGING, Fault, FaultKind, INCH_M, Judged, LIFTING, Source, amount, shown};
use crate::measure::{LocalFrame, length_m};
use crate::yard::{AreaKind, Edge, Edging, Yard};
use geo::{Distance, Euclidean};
use groundlore_quantity::Quantity;

/// How much should show, so that a mower wheel runs over it.
const SHOW_M: f64 = 1.0 * INCH_M;
/// "About 1 in": a quarter inch over is let pass without a word.
const ABOUT_M: f64 = 0.25 * INCH_M;
/// An edge this near to a lawn lies beside it, metres, where the map does not say.
const BESIDE_M: f64 = 0.5;

pub(super) fn judge(yard: &Yard, frame: &LocalFrame, found: &mut Judged) {
    for edge in &yard.edges {
        let laid = matches!(edge.edging, Some(Edging::Block | Edging::Stone | Edging::Steel) | None);
        if !laid || !beside_lawn(yard, edge, frame) {
            continue;
        }
        match (&edge.show, edge.edging) {
            (Some(show), _) if show.si() > SHOW_M + ABOUT_M => found.faults.push(fault(edge, show)),
            (Some(_), _) => {}
            (None, Some(_)) => found.not_checked(&edge.id, &edge.name, "whether a mower wheel runs over the edging", r#""show": "1 in""#),
            (None, None) => {
                found.not_checked(&edge.id, &edge.name, "what edging is laid and how much shows", r#""edging": "block", "show": "1 in""#)
            }
        }
    }
}

/// Whether a lawn lies along the edge: one named on the map, or, where none is named, one within half a metre.
fn beside_lawn(yard: &Yard, edge: &Edge, frame: &LocalFrame) -> bool {
    if !edge.beside.is_empty() {
        return edge.beside.iter().filter_map(|id| yard.area(id)).any(|area| area.kind == AreaKind::Lawn);
    }
    let line = frame.line_to_m(&edge.line);
    yard.areas_of(AreaKind::Lawn).any(|lawn| Euclidean.distance(&line, &frame.polygon_to_m(&lawn.polygon)) <= BESIDE_M)
}

fn fault(edge: &Edge, show: &Quantity) -> Fault {
    let length = length_m(&edge.line);
    let too_much = show.si() - SHOW_M;
    let edging = edge.edging.map_or("edging".to_owned(), |edging| format!("{edging} edging"));
    let mut also: Vec<Amount> = Vec::new();
    also.extend(amount(too_much, "in").map(|a| Amount { amount: a, of: "to set it lower".to_owned() }));
    let block_length = edge.block_length.as_ref().map(Quantity::si).filter(|l| *l > 0.0);
    also.extend(block_length.map(|l| Amount { amount: Quantity::bare((length / l).ceil()), of: "blocks to reset".to_owned() }));
    Fault {
        kind: FaultKind::ProudEdging,
        feature_id: edge.id.clone(),
        feature_name: edge.name.clone(),
        what: format!("{edging} stands {} above grade", shown(show.si(), "in")),
        why_it_matters: "A mower wheel cannot run over it, so a strip of grass is left all along to trim by hand, and blades strike it."
            .to_owned(),
        what_to_do: "Lift it, dig the trench deeper, compact about 4 in of base, and set it again with about 1 in showing.".to_owned(),
        amount: amount(length, "ft"),
        amount_of: "of edging to reset".to_owned(),
        also,
        cautions: vec![
            CALL_BEFORE_DIGGING.to_owned(),
            LIFTING.to_owned(),
            "Cutting block or stone makes silica dust: cut wet, or with a respirator that fits.".to_owned(),
        ],
        source: Source::CommonPractice("about 1 in of edging block shows so that a mower wheel runs over it".to_owned()),
    }
}
