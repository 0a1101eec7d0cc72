//! Wires down, and what touches them.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::Wire,
        gap: DANGER_GAP,
        patterns: &[
            "{tree}|crown|canopy|pole|ladder|vine|top|pruner|hedge|scaffold|crane {line} hang|dangle|lean|touch|rub|against|tangle|fall|through|near|close|into|spark|burn|rest|=caught|grow|grown|on|over|reach|lie|across|brush|pull|=in",
            "limb|branch|bough|tree|trunk cable|cables|\"service drop\" rest|lie|=lying|hang|fall|touch|=on|lean|pull",
            "{line} =down|=downed|fallen|=fell|=fallen|spark|=arcing|=buzzing|=buzzes|=buzz|=hum|=hums|=humming|crackle|=crackling|=sagging|=lying|=snapped|=dangling|=hanging|low|live|ground",
            "spark|=sparking|=arcing tree|pole|box|meter|transformer|line|lines",
            "\"downed line\"|\"downed lines\"|\"downed wire\"|\"downed wires\"|\"live wire\"|\"line is down\"|\"lines are down\"|\"wires are down\"|\"wire is down\"",
        ],
        with: &[],
        unless: &[
            "bird|birds|starling|crow|pigeon|squirrel sit|sits|sitting|perch|perches|roost|roosts",
            "\"power line trail\"|\"power line easement\"|\"power line corridor\"|\"power line path\"|\"power line cut\"|\"power line right\"",
            "\"chicken wire\"|\"wire mesh\"|\"wire fence\"|\"wire fencing\"|trellis|espalier|\"wire basket\"|\"wire cage\"|\"barbed wire\"|\"fence wire\"|\"guy wire\"|\"cable brace\"|\"bracing cable\"|\"cable bracing\"|\"steel cable\"|\"wire worm\"|\"wire worms\"|\"wire brush\"|\"wire cutters\"",
            "\"like wire\"|\"like a wire\"|\"like wires\"|\"bent wire\"|\"a wire into\"|\"the wire into\"|\"piece of wire\"|\"bit of wire\"",
        ],
    },
    Rule {
        kind: DangerKind::Wire,
        gap: WIDE_GAP,
        patterns: &[
            "=wire|=wires|=cable|\"power line\" =dropped|=brought|=blew|=blown|=pulled|=knocked|=ripped =across|=onto|driveway|drive|lawn|fence|hedge|car|roof|pavement|street|down",
            "{line}|\"overhead wire\"|\"overhead wires\"|\"electric wire\"|\"electric wires\"|\"power supply\" hang|=hung|=caught|=tangled|=touching|=touched|=touches|=snagged|=draped|=stuck kite|balloon|drone|ball|rope|hedge|=it|fence|shed|roof|tree|branch|limb|ladder",
            "cable|wire|wires|line \"off the pole\"|\"from the pole\"|\"off its pole\"|\"off the house\"|\"come off\"|\"came off\"|\"come down\"|\"came down\"|=fallen|=snapped hang|=hanging|=hangs|hedge|lawn|pole|yard|garden|drive|ground|fence",
        ],
        with: &[],
        unless: &[
            "bird|birds|starling|crow|pigeon|squirrel sit|sits|sitting|perch|perches|roost|roosts",
            "leaf|leaves|blade|blades line|lines",
            "\"like wire\"|\"like a wire\"|\"like wires\"|\"bent wire\"|\"a wire into\"|\"bit of wire\"|\"bits of wire\"",
            "\"chicken wire\"|\"wire mesh\"|trellis|espalier|\"barbed wire\"|\"fence wire\"|\"washing line\"|\"clothes line\"|\"fishing line\"|\"trimmer line\"|\"strimmer line\"|\"drip line\"|\"tree line\"|\"hose line\"|\"property line\"|\"boundary line\"",
        ],
    },
];
