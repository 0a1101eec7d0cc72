//! Limbs, trees and walls that may come down.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::TreeOrLimb,
        gap: DANGER_GAP,
        patterns: &[
            "{tree}|top|crown|stem|leader =cracked|=cracking|crack|=split|=splitting|=broken|broke|=snapped|=snapping|=hung|=hanging|=dangling|loose|=torn|widowmaker|creak {below}|overhead",
            "{tree}|top =dead|=dying|=rotten|=hollow|=decayed|=rotting over|above|overhanging|toward {below}",
            "limb|branch|bough|top|tree|trunk \"caught up\"|\"hung up\"|=stuck|=lodged|=jammed|=wedged|=snagged over|above|overhead|branches|fork|canopy|crown|another",
            "{tree}|half split|crack|=broken =hangs|hang|over|above {below}",
            "{tree} =leaning|=leans|=leaned|lean|=tilting|=tilted|=tilts|=tilt|=tips|=lurched|=listing|\"keeled over\"|\"keeling over\"|=tipping|=tipped|=bending house|roof|car|cars|driveway|sidewalk|street|road|garage|shed|neighbor|neighbour|bedroom|school|porch|deck|patio|suddenly|storm|overnight|playground|kid|children|more|now|wind|further|badly",
            "{tree}|half \"about to fall\"|\"going to fall\"|\"gonna fall\"|\"ready to fall\"|\"could fall\"|\"may fall\"|\"might fall\"|\"will fall\"|\"about to come down\"|\"come down on\"|\"coming down on\"|\"could come down\"|\"going to come down\"|\"about to drop\"|\"fall on\"|\"falls on\"|\"fell on\"|\"fallen on\"|\"topple\"|\"toppling\"|\"toppled\"|\"uprooted\"|\"uprooting\"|\"tip over\"|\"tipping over\"",
            "{tree} soil|ground|root|roots =lift|=lifts|=heave|=heaves|=lifting|=heaving|=lifted|=heaved|=cracking|=cracked|=rising|=rise|=rises|=pulling|=pulled|moves|moving lean|leaning|=tilts|=tilting|=tilted|=tips|=tipping|storm|wind|gale|base|side|sway|rocks",
            "{tree}|half =rocking|=rocks|=swaying|=sways base|foot|ground|soil|roots|root|alarmingly|dangerously|badly|house|road",
            "{tree} \"went over\"|\"gone over\"|\"came down\"|\"come down\"|\"comes down\"|\"blew over\"|\"blown over\"|\"blew down\"|\"blown down\"|\"came over\"|=toppled|=collapsed {below}|storm|gale|wind|night|fence|roof|shed|now",
            "{tree} =resting|=rests|=propped|=lying|=lies|=lodged on|onto|against|across house|roof|shed|garage|car|fence|conservatory|greenhouse|road|street|drive|caravan|porch",
            "widowmaker|\"widow maker\"|hanger|\"hung up\" limb|branch|tree|storm",
            "widowmaker|\"widow maker\"|\"hung up limb\"|\"hung up branch\"",
            "uprooted|uprooting tree|oak|pine|spruce|maple|house|roof",
            "limb|branch|tree =fell|=fallen|=crashed house|roof|car|garage|shed|porch|kid|child|person|trapped|him|her|me",
        ],
        with: &[],
        unless: &[
            "\"bark split\"|\"bark is split\"|\"bark has split\"|\"bark cracked\"|\"bark is cracking\"|\"bark cracks\"|\"cracks in the bark\"|\"crack in the bark\"|\"bark is coming\"|\"bark coming\"|\"birch bark\"|\"bark peels\"|\"bark is peeling\"|\"bark falls\"",
            "hosta|hostas|tulip|tulips|bulb|bulbs|perennial|perennials|dahlia|pot|pots tip|tipped|lean|flop|fall|over",
            "=i|=we|=he =cut|=pruned|=sawed|=sawn|=removed branch|limb off|out|back",
            "tip|tips|flag|flags|cocoon|bag|bags =hanging|=hung|hang|=hangs",
            "\"tips of\"|\"the tips\"|\"leaf tips\"|\"branch tips\"|\"needle tips\"",
            "=mud|=cement|splash|egg|eggs =cracking|=cracked",
            "\"stuck out\"|\"sticks out\"|\"sticking out\"",
            "low|lower hang|hanging|hangs tie|prune|clip|brushes",
            "bud|buds =broke|=broken|break",
            "\"dead limbs on\"",
            "leaf|leaves|needle|needles|petal|acorn|fruit|twigs|seed|pod|cone|catkin|pollen|dust|berries =lying|=resting|=lies|\"came down\"|\"come down\"|\"comes down\"|\"blew down\"|\"blown down\"",
            "leaf|leaves|needle|needles|petal|acorn|fruit|seed|pod|cone|sap|aphid|honeydew|shade|moss =fallen|=fell|fall|falls|drop|drops|dripping|drip sidewalk|driveway|car|cars|roof|deck|patio",
            "christmas tree fell",
        ],
    },
    Rule {
        kind: DangerKind::Wall,
        gap: DANGER_GAP,
        patterns: &[
            "wall|walls|terrace|masonry|chimney|\"stone steps\"|bulkhead|parapet|gatepost|pier =leaning|=leans|=leaned|=lean|=bowing|=bowed|=bows|=bow|=bulging|=bulged|=bulges|=bulge|=tilting|=tilted|=tilts|=collapsing|=collapsed|=collapse|=crumbling|=buckling|=buckled|=toppling|=rocking|\"rocks when\"|\"rocks if\"|=wobbles|=wobbly|=wobbling|\"come away\"|\"came away\"|\"coming away\"|=unsteady|=unstable|=swaying|=sways|=bellying|=bellied|=subsiding|=subsided|=sinking|\"moves when\"|\"not safe\"|=unsafe|\"on the move\"|\"about to go\"|\"out of plumb\"|=overhanging|=slumping|=slumped|=slipping|=slipped|=cracked|=cracking|=crack|=cracks|=shifted|=shifting|=moved|=moving|\"about to fall\"|\"going to fall\"|\"ready to fall\"|\"could fall\"|\"might fall\"|\"may fall\"|\"fell down\"|\"fallen down\"|\"falling down\"|\"come down\"|\"came down\"|\"coming down\"|\"coming apart\"|\"giving way\"|\"gave way\"|\"given way\"|\"give way\"|\"giving out\"|\"pushed out\"|\"pushing out\"|\"tip forward\"|\"tipping forward\"|\"leaning out\"|=tipping|\"starting to go\"|\"belly\"|\"sagging\"|\"separating\"",
            "wall|terrace|chimney =falling|=fell|=toppling|=tipping|=came over|down|apart|forward|outward",
            "block|blocks|brick|bricks|stone|stones wall =loose|=falling|=fell|=popping|=dropping",
        ],
        with: &[],
        unless: &[
            "wall-to-wall|\"wall to wall\"",
            "lean|leans|leaning|leaned|moved|crawling|moving|come|fell|shifted \"against the wall\"|\"against a wall\"|\"against my wall\"|\"against our wall\"|\"against the garden wall\"",
            "hedge|branch|limb|tree|shrub|bush|ladder|rake|shovel|bike|trellis|vine|ivy|beetle|bug|ant|plant|phlox|rose|flower lean|leans|leaning|moving|crawling|climbing|fall|falls|falling|fell|came wall|walls",
            "ant|ants|bug|bugs|beetle|beetles|moss|ivy|weed|weeds|moth|moths|spider|spiders crack|cracks wall",
        ],
    },
    Rule {
        kind: DangerKind::TreeOrLimb,
        gap: WIDE_GAP,
        patterns: &[
            "{tree}|=gum soil|ground|earth|turf crack|=cracked|=cracking|=opening|=opened|=lifting|=lifted|=bulging|=bulged|=heaving lean|=leans|=leaning|tilt|storm|flood|gale|house|road",
            "{tree}|stem|leader crack|=cracked|=split|=splitting|=broken|=snapped|=torn|=hung|=hanging|=dangling {below}|overhang|overhead",
            "{tree} =dead|=dying|=rotten|=hollow =over|=above|overhang {below}",
            "{tree} =crashed|=crashes|=shed|=sheds|\"come away\"|\"came away\"|\"coming away\"|\"torn away\"|\"breaking away\"|\"held by\"|\"hanging by\"|\"by a thread\"|=bulges|=bulging|\"at an angle\"|\"giving way\"|\"gave way\"|=slumped|=subsided {below}|lane|road|=blocks|=blocking|ground|soil|=creaking|bark|storm|gale|trunk",
            "{tree} =crashed|=blocks|=blocking lane|road|street|drive|driveway|path|pavement|house|roof|car|fence|shed",
            "{tree} =creaking|=creaks|=groaning|=groans over|above|wind|house|road|stop|path|loud|loudly",
        ],
        with: &[],
        unless: &[
            "\"bark split\"|\"bark is split\"|\"bark has split\"|\"bark cracked\"|\"bark is cracking\"|\"bark cracks\"|\"cracks in the bark\"|\"crack in the bark\"|\"bark is coming\"|\"bark coming\"|\"birch bark\"|\"bark peels\"|\"bark is peeling\"|\"bark falls\"",
            "hosta|hostas|tulip|tulips|bulb|bulbs|perennial|perennials|dahlia|pot|pots tip|tipped|lean|flop|fall|over",
            "=i|=we|=he =cut|=pruned|=sawed|=sawn|=removed branch|limb off|out|back",
            "tip|tips|flag|flags|cocoon|bag|bags =hanging|=hung|hang|=hangs",
            "\"tips of\"|\"the tips\"|\"leaf tips\"|\"branch tips\"|\"needle tips\"",
            "=mud|=cement|splash|egg|eggs =cracking|=cracked",
            "leaf|leaves|needle|needles|petal|acorn|fruit|seed|catkin|pollen|cone =shed|=sheds|\"came away\"|=crashed",
            "=shed leaf|leaves|needles|bark|cones|catkins",
        ],
    },
];
