//! Block, soil or mulch ringed against a trunk.

use super::{ARBORIST, CALL_BEFORE_DIGGING, Fault, FaultKind, INCH_M, Judged, LIFTING, Source, amount, shown};
use crate::yard::{Ring, Tree, Yard};
use groundlore_quantity::Quantity;
use std::f64::consts::PI;

/// Ground to leave bare between bark and anything laid round it: the upper end of 3 to 6 in, so that one visit settles it.
const CLEAR_M: f64 = 6.0 * INCH_M;
/// Block or stone further out than this is a bed's edge and no ring round a trunk.
const BLOCK_CLEAR_M: f64 = 24.0 * INCH_M;
/// Nearer than this, mulch lies against the bark: the lower end of 3 to 6 in.
const MULCH_NEAR_M: f64 = 3.0 * INCH_M;
/// Deepest mulch: the upper end of 2 to 4 in.
const MULCH_DEEP_M: f64 = 4.0 * INCH_M;

/// The measures of a ring, metres.
struct Measures {
    radius: Option<f64>,
    clear: Option<f64>,
    height: Option<f64>,
}

pub(super) fn judge(yard: &Yard, found: &mut Judged) {
    for tree in &yard.trees {
        let si = |q: &Option<Quantity>| q.as_ref().map(Quantity::si);
        let measures =
            Measures { radius: si(&tree.trunk_diameter).map(|d| d / 2.0), clear: si(&tree.ring_clear), height: si(&tree.ring_height) };
        match tree.ring {
            None => found.not_checked(
                &tree.id,
                &tree.name,
                "what lies round the trunk",
                r#""ring": "none", "mulch", "block", "stone" or "soil""#,
            ),
            Some(Ring::None) => {}
            Some(Ring::Mulch) => mulch(tree, &measures, found),
            Some(ring) => built(tree, ring, &measures, found),
        }
    }
}

/// Block, stone or soil: a fault unless it is known to stand clear of the bark.
fn built(tree: &Tree, ring: Ring, measures: &Measures, found: &mut Judged) {
    let soil = ring == Ring::Soil;
    let enough = if soil { CLEAR_M } else { BLOCK_CLEAR_M };
    if measures.clear.is_some_and(|clear| clear >= enough - 1e-9) {
        return;
    }
    let stands = match measures.clear {
        None => "how far from the bark was not measured".to_owned(),
        Some(0.0) => "against the bark".to_owned(),
        Some(clear) => format!("{} from the bark", shown(clear, "in")),
    };
    let high = measures.height.map_or(String::new(), |h| format!(", {} high", shown(h, "in")));
    let (amount, amount_of) = if soil { soil_amount(measures) } else { block_amount(measures) };
    let mut cautions = vec![ARBORIST.to_owned(), "Dig by hand near the trunk; do not cut a root thicker than a thumb.".to_owned()];
    if !soil {
        cautions.push(LIFTING.to_owned());
    }
    cautions.push(CALL_BEFORE_DIGGING.to_owned());
    found.faults.push(Fault {
        kind: if soil { FaultKind::SoilAtTrunk } else { FaultKind::BlockAtTrunk },
        feature_id: tree.id.clone(),
        feature_name: tree.name.clone(),
        what: format!("{ring} ringed round the trunk, {stands}{high}"),
        why_it_matters: WHY_BUILT.to_owned(),
        what_to_do: if soil { DO_SOIL } else { DO_BLOCK }.to_owned(),
        amount,
        amount_of,
        also: Vec::new(),
        cautions,
        source: Source::CommonPractice("block rings and soil piled round a trunk are a fault, always".to_owned()),
    });
}

const WHY_BUILT: &str = "It holds moisture on the bark, which then rots; roots turn and circle inside it and can girdle the trunk; \
    and frost and growing roots make the ring buckle.";
const DO_BLOCK: &str = "Lift the ring and its filling by hand down to the root flare, and leave the ground open. If a finish is wanted, \
    mulch 2 to 4 in deep and 6 in clear of the bark.";
const DO_SOIL: &str = "Take the soil off by hand until the root flare shows, and slope it away to the old grade.";

/// Length of block to lift: the circle at the ring's inner face.
fn block_amount(measures: &Measures) -> (Option<Quantity>, String) {
    let Some(radius) = measures.radius else {
        return (None, "length of block: not checked, the trunk was not measured (trunk_diameter)".to_owned());
    };
    let circle = 2.0 * PI * (radius + measures.clear.unwrap_or(0.0));
    let of = match measures.clear {
        Some(_) => "of block to lift, round its inner face",
        None => "of block to lift at least, taken as lying on the bark since ring_clear was not measured",
    };
    (amount(circle, "ft"), of.to_owned())
}

/// Soil to take off, out to the clear distance: a volume where its height is known, else an area.
fn soil_amount(measures: &Measures) -> (Option<Quantity>, String) {
    match (filling(measures), pulled_back_m2(measures)) {
        (Some(volume), _) => (Some(volume), "of soil to take off, out to 6 in from the bark".to_owned()),
        (None, Some(area)) => (amount(area, "ft2"), "of ground to clear of soil, out to 6 in from the bark".to_owned()),
        (None, None) => (None, "soil to take off: not checked, the trunk was not measured (trunk_diameter)".to_owned()),
    }
}

/// Ground between the ring's inner side and the clear distance, square metres.
fn pulled_back_m2(measures: &Measures) -> Option<f64> {
    let radius = measures.radius?;
    let inner = radius + measures.clear.unwrap_or(0.0);
    Some(PI * ((radius + CLEAR_M).powi(2) - inner.powi(2)).max(0.0))
}

fn filling(measures: &Measures) -> Option<Quantity> {
    amount(pulled_back_m2(measures)? * measures.height?, "ft3").filter(|volume| volume.value > 0.0)
}

/// Mulch: against the bark, or too deep.
fn mulch(tree: &Tree, measures: &Measures, found: &mut Judged) {
    let near = measures.clear.map(|clear| clear < MULCH_NEAR_M - 1e-9);
    let deep = measures.height.map(|height| height > MULCH_DEEP_M + 1e-9);
    if near.is_none() {
        found.not_checked(
            &tree.id,
            &tree.name,
            "whether mulch lies against the bark",
            r#""ring_clear": "4 in", the bare ground between bark and mulch"#,
        );
    }
    if deep.is_none() {
        found.not_checked(&tree.id, &tree.name, "how deep the mulch lies", r#""ring_height": "3 in""#);
    }
    if near != Some(true) && deep != Some(true) {
        return;
    }
    let said =
        |measure: Option<f64>, words: &str| measure.map_or(format!("{words} not measured"), |m| format!("{} {words}", shown(m, "in")));
    let (amount, amount_of) = mulch_amount(measures, near == Some(true));
    found.faults.push(Fault {
        kind: FaultKind::MulchAtTrunk,
        feature_id: tree.id.clone(),
        feature_name: tree.name.clone(),
        what: format!("mulch round the trunk: {}, {}", said(measures.clear, "clear of the bark"), said(measures.height, "deep")),
        why_it_matters: WHY_MULCH.to_owned(),
        what_to_do: "Rake it back by hand to 6 in from the bark, and down to 2 to 4 in deep; use what comes off elsewhere.".to_owned(),
        amount,
        amount_of,
        also: Vec::new(),
        cautions: vec![ARBORIST.to_owned()],
        source: Source::CommonPractice("mulch lies 2 to 4 in deep and 3 to 6 in clear of the bark; others say 2 to 4 in clear".to_owned()),
    });
}

const WHY_MULCH: &str = "Damp mulch on bark lets it rot and lets voles gnaw it unseen, roots grow up into the heap and can girdle the trunk, \
    and a deep layer keeps air and light rain from the roots.";

fn mulch_amount(measures: &Measures, near: bool) -> (Option<Quantity>, String) {
    if !near {
        let extra = measures.height.map(|height| height - MULCH_DEEP_M);
        return (extra.and_then(|m| amount(m, "in")), "of depth to take off over the ring".to_owned());
    }
    match (filling(measures), pulled_back_m2(measures)) {
        (Some(volume), _) => (Some(volume), "of mulch to pull back, out to 6 in from the bark".to_owned()),
        (None, Some(area)) => (amount(area, "ft2"), "of ground to clear of mulch, out to 6 in from the bark".to_owned()),
        (None, None) => (None, "mulch to pull back: not checked, the trunk was not measured (trunk_diameter)".to_owned()),
    }
}
