//! Measuring off.

use crate::ReckonError;
use crate::answer::{Output, Worked, quantity};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_quantity::Kind;
use groundlore_work::take_off::{EdgingMeasures, edging, layer_volume};

const LENGTH: InputKind = InputKind::Quantity(Kind::Length);
const WASTE: crate::calculator::Input =
    optional("waste", InputKind::Quantity(Kind::Share), "share ordered beyond the measure; 0 where left out", "10%");

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "depth-fill",
        topic: Topic::TakeOff,
        about: "Volume of a layer: mulch, soil, compost, base.",
        inputs: &[
            required("area", InputKind::Quantity(Kind::Area), "area to cover", "168 ft2"),
            required("depth", LENGTH, "depth of the layer", "3 in"),
            WASTE,
        ],
        outputs: &[output("volume", "volume to order")],
        rounding: EXACT,
        sources: &["geometry: area × depth × (1 + waste)"],
        cautions: &[],
        run: depth_fill,
    },
    Calculator {
        key: "edging-block",
        topic: Topic::TakeOff,
        about: "Edging block: blocks, buried part, trench and base.",
        inputs: &[
            required("length", LENGTH, "length of the run", "48 ft"),
            required("block-length", LENGTH, "length of a block along the run", "12 in"),
            required("block-height", LENGTH, "height of a block's face", "4 in"),
            required("show", LENGTH, "height that stands above grade; about 1 in lets a mower wheel run over it", "1 in"),
            optional("base-depth", LENGTH, "depth of the compacted base; 0 where left out", "4 in"),
            optional("trench-width", LENGTH, "width of the trench; without it there is no `base_volume`", "12 in"),
            WASTE,
        ],
        outputs: &[
            output("blocks", "whole blocks to buy"),
            output("buried", "part of the face below grade"),
            output("trench_depth", "depth to dig"),
            output("base_volume", "base material, compacted"),
        ],
        rounding: "Blocks are rounded up once, after waste; the rest is exact.",
        sources: &["geometry; show about 1 in of a 4 in face on about 4 in of base: common practice"],
        cautions: &["Call the utility locating service before digging.", "Lift block with two people; cut it wet."],
        run: edging_block,
    },
];

fn depth_fill(given: &Given) -> Result<Worked, ReckonError> {
    let waste = given.si("waste").unwrap_or(0.0);
    let volume = layer_volume(given.need_si("area")?, given.need_si("depth")?, waste).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let mut worked = Worked::default();
    let found = worked.put_si(given, "volume", volume, "yd3", "m3")?;
    worked.line(format!("{} × {} × (1 + {waste}) = {}", given.need("area")?, given.need("depth")?, found.rounded(6)));
    Ok(worked)
}

fn edging_block(given: &Given) -> Result<Worked, ReckonError> {
    let trench = given.si("trench-width");
    let measures = EdgingMeasures {
        length_m: given.need_si("length")?,
        block_length_m: given.need_si("block-length")?,
        block_height_m: given.need_si("block-height")?,
        show_m: given.need_si("show")?,
        courses: 1,
        base_depth_m: given.si("base-depth").unwrap_or(0.0),
        trench_width_m: trench.unwrap_or(1.0),
        waste: given.si("waste").unwrap_or(0.0),
    };
    let found = edging(&measures).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let mut worked = Worked::default();
    let exact = measures.length_m / measures.block_length_m * (1.0 + measures.waste);
    worked.line(format!(
        "{} ÷ {} × (1 + {}) = {exact:.4}, so {} blocks",
        given.need("length")?,
        given.need("block-length")?,
        measures.waste,
        found.blocks
    ));
    worked.put("blocks", Output::Number(found.blocks));
    let buried = worked.put_si(given, "buried", found.buried_m, "in", "cm")?;
    worked.line(format!("buried: {} − {} = {}", given.need("block-height")?, given.need("show")?, buried.rounded(6)));
    let depth = worked.put_si(given, "trench_depth", found.trench_depth_m, "in", "cm")?;
    let base = quantity(measures.base_depth_m, if given.is_metric() { "cm" } else { "in" })?;
    worked.line(format!("trench: {} + base {} = {}", buried.rounded(6), base.rounded(6), depth.rounded(6)));
    if trench.is_some() {
        let volume = worked.put_si(given, "base_volume", found.base_m3, "yd3", "m3")?;
        worked.line(format!(
            "base: {} × {} × {} = {}, compacted",
            given.need("length")?,
            given.need("trench-width")?,
            base.rounded(6),
            volume.rounded(6)
        ));
    }
    Ok(worked)
}
