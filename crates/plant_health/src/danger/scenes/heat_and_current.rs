//! Heat, current, fumes, fire and machines.

use crate::danger::DangerKind;
use crate::danger::scene::Scene;

pub(in crate::danger) const SCENES: &[Scene] = &[
    Scene {
        kind: DangerKind::Heat,
        parts: &[
            &[(
                1.0,
                "=heat|=hot|=sun|=sunshine|greenhouse|polytunnel|humid|sweltering|heatwave|\"all afternoon\"|\"all morning\"|\"all day\"|\"since seven\"|\"since six\"|noon|midday|degrees|\"no shade\"|\"full sun\"|scorching|blazing|baking|95|96|97|98|99|100|101|102|103|104|105",
            )],
            &[(
                2.0,
                "{person}|{me}|he|she|men|one \"says he cold\"|\"says she cold\"|\"he says he cold\"|\"not know me\"|\"does not know where\"|\"wrong name\"|\"not making sense\"|\"making no sense\"|\"makes no sense\"|confused|\"talks strangely\"|\"talking strangely\"|\"talking nonsense\"|\"talking funny\"|rambling|delirious|slurred|slurring|staggering|stumbling|collapsed|fainted|\"passed out\"|\"blacked out\"|\"keeled over\"|\"stopped sweating\"|\"not sweating\"|\"skin is hot\"|\"skin hot\"|\"red and hot\"|\"does not know where\"|\"can not stand\"|unresponsive|\"throwing up\"|\"threw up\"|vomiting|cramps|dizzy|\"feels faint\"|\"felt faint\"|\"feel faint\"|shivering|headache",
            )],
        ],
        further: &[(0.5, "mowing|edging|digging|weeding|raking|mulch|spreading|hedge|work|working|planting|worked|trimming")],
        now: 2.7,
        perhaps: 2.4,
    },
    Scene {
        kind: DangerKind::ElectricShock,
        parts: &[
            &[
                (
                    1.6,
                    "jolt|zap|zapped|tingle|tingly|tingling|tingles|tingled|\"a shock\"|\"shocks me\"|\"shocked me\"|\"got shocked\"|\"electric shock\"|electrocuted|\"electric feeling\"|\"pins and needles\"|\"bit me\"|\"static\"|\"prickling\"|\"numb feeling\"",
                ),
                (1.6, "{self} =felt|=feel|=feels|=got buzz|buzzing|shock|tingle|prickle|vibration|twitch|jolt"),
                (1.2, "yelped|yelps|yelp|buzz|buzzing|buzzes|hum|humming|spark|sparks"),
            ],
            &[
                (
                    1.2,
                    "pump|light|lights|lamp|fountain|outlet|socket|plug|extension|cord|cable|heater|filter|switch|transformer|charger|\"hot tub\"|\"electric fence\"|wiring|conduit|fixture|\"junction box\"",
                ),
                (0.9, "pond|pool|water|post|faucet|spigot|tap|railing|gate|fence|sprinkler|valve"),
            ],
        ],
        further: &[
            (0.6, "{me}|{person}|{pet} touch|touched|touching|stepped|hand|hands|foot|feet|finger|fingers|barefoot|paw|felt|feel|got|gets"),
            (
                -1.5,
                "\"shock of\"|\"transplant shock\"|flower|flowers|bee|bees|bug|bugs|beetle|beetles|moth|moths|insect|cicada|hummingbird",
            ),
        ],
        now: 2.9,
        perhaps: 2.4,
    },
    // A cord cut or bare.
    Scene {
        kind: DangerKind::ElectricShock,
        parts: &[
            &[(1.2, "cord|cable|lead|wire|wires|wiring|\"extension lead\"")],
            &[(
                1.2,
                "bare|frayed|\"chewed through\"|\"cut through\"|\"sliced through\"|exposed|sparks|sparked|sparking|nicked|\"copper showing\"|\"melted\"|\"taped\"",
            )],
            &[(0.8, "mower|trimmer|hedge|wet|rain|water|pond|lights|plugged|outlet|live|electric|electrical|lawn|socket")],
        ],
        further: &[(-1.5, "trellis|fence|irrigation|\"low voltage\"|\"drip line\"|telephone|worm|root|roots|cage")],
        now: 3.2,
        perhaps: 2.8,
    },
    Scene {
        kind: DangerKind::MixedChemicals,
        parts: &[
            &[
                (
                    1.2,
                    "bleach|chlorine|\"pool shock\"|hypochlorite|\"pool tablets\" ammonia|acid|vinegar|descaler|\"toilet cleaner\"|\"drain cleaner\"|cleaner|alcohol|brake",
                ),
                (
                    0.8,
                    "mix|=mixed|mixing|mixture|combined|\"poured together\"|\"same bucket\"|\"in one bucket\"|\"same sprayer\"|\"same tank\" chemical|chemicals|sprayer|sulfur|sulphur|killer|cleaner|spray|fertilizer|lime|product|products",
                ),
            ],
            &[(
                1.8,
                "fume|fumes|smoke|smoking|cloud|gas|vapor|vapour|choke|choking|choked|cough|coughing|hissing|fizzing|bubbling|boiling|\"got hot\"|\"very hot\"|swelling|bulging|\"eyes water\"|\"eyes burn\"|burning|stinging|\"hard to breathe\"|green|stench|\"strong smell\"",
            )],
        ],
        further: &[(0.4, "shed|bucket|garage|breath|closed|inside")],
        now: 2.8,
        perhaps: 2.5,
    },
    Scene {
        kind: DangerKind::EngineFumes,
        parts: &[
            &[(
                0.8,
                "generator|mower|engine|exhaust|blower|grill|barbecue|charcoal|heater|\"pressure washer\"|tractor|fumes|stove|propane",
            )],
            &[(
                0.8,
                "garage|shed|greenhouse|basement|cellar|barn|polytunnel|tent|indoors|inside|workshop|\"closed door\"|\"doors closed\"|\"door shut\"",
            )],
            &[(
                1.6,
                "{person}|{me}|all|both|everybody headache|headachy|dizzy|sick|faint|drowsy|sleepy|nausea|nauseous|woozy|confused|\"passed out\"|vomit|\"throwing up\"|giddy|collapsed|weak",
            )],
        ],
        further: &[(0.4, "=ran|=running|run|idling|smoke"), (-1.0, "sick grass|lawn|plants|seedlings|tree")],
        now: 2.9,
        perhaps: 2.6,
    },
    Scene {
        kind: DangerKind::FuelVapour,
        parts: &[
            &[(
                1.0,
                "=gas|gasoline|petrol|\"gas can\"|\"the can\"|jerrycan|\"fuel can\"|\"gas tank\"|fuel|diesel|kerosene|paraffin|propane|\"paint thinner\"|turpentine|solvent|\"lighter fluid\"",
            )],
            &[(
                1.0,
                "leak|leaked|leaking|leaks|spill|spilled|spilt|puddle|pool|=soaked|tipped|=knocked|drip|dripping|drips|fumes|reek|reeks|stink|stinks|smell|smells|\"all over\"|poured|tipped|soaked",
            )],
            &[(
                1.0,
                "\"water heater\"|pilot|furnace|boiler|garage|basement|cellar|stove|flame|spark|sparks|cigarette|smoking|smokes|smoke|charger|burner|dryer|heater|indoors|kitchen|workshop|lit|match|trunk|van|\"a smoke\"|shed|candle|barbecue|grill",
            )],
        ],
        further: &[
            (0.3, "floor|strong|dizzy|headache|now|still"),
            (-1.2, "lawn|grass spot|patch|dead|brown|yellow"),
            (-1.0, "\"gas station\""),
        ],
        now: 2.9,
        perhaps: 2.3,
    },
    Scene {
        kind: DangerKind::Fire,
        parts: &[
            &[(
                1.0,
                "bark|compost|mulch|heap|pile|stump|chips|woodchips|woodchip|hay|straw|clippings|battery|charger|peat|manure|leaves|brush|trunk|hedge|deck|fence|bin|barrel|\"root\"|roots|ash|ashes|\"outdoor rug\"|mower|shed|greenhouse",
            )],
            &[
                (1.9, "battery|charger =swollen|=swelled|bulging|hissing|=puffed|\"very hot\"|\"too hot\"|=melted|=leaking|=popped"),
                (
                    1.5,
                    "campfire|\"wood stove\"|\"hot ash\"|\"hot ashes\"|\"hot coals\"|coals|\"smell of smoke\"|\"smells of smoke\"|\"smell smoke\"|\"smells like smoke\"|firework|fireworks",
                ),
                (
                    1.8,
                    "=glowing|ember|embers|smoke|smokes|smoking|smoldering|smouldering|smolder|smoulder|flame|flames|alight|ablaze|\"too hot to touch\"|\"hot to the touch\"|charred|charring|\"smells burnt\"|\"smells burned\"|\"burning smell\"|\"smell of burning\"|\"smells of burning\"|\"smell burning\"|\"on fire\"|\"caught fire\"",
                ),
            ],
        ],
        further: &[
            (
                0.5,
                "wider|spreading|keeps|house|shed|fence|wall|garage|pines|dry|wind|cigarette|still|again|\"this morning\"|morning|inside|under|hot",
            ),
            (
                -1.5,
                "\"fire pit\"|\"smoke bush\"|\"smoke tree\"|fall|autumn|color|colour|\"like smoke\"|\"puff of smoke\"|puff|spore|spores|pollen|golden|yellow|bloom|crimson|scarlet|exhaust|\"when cold\"|oil|blight|smoker|fireflies|\"burning bush\"|\"leaf smoke\"",
            ),
        ],
        now: 3.0,
        perhaps: 2.7,
    },
    Scene {
        kind: DangerKind::Injury,
        parts: &[
            &[(
                1.0,
                "mower|\"snow blower\"|snowblower|trimmer|strimmer|edger|tiller|chipper|shredder|chainsaw|\"the saw\"|\"a saw\"|\"my saw\"|\"his saw\"|\"pole saw\"|pruner|pruners|lopper|shears|axe|hatchet|machete|auger|blower|splitter|tractor|winch|spade|fork|rake|ladder|\"a nail\"|\"broken glass\"|=blade|knife|\"post driver\"|\"chain saw\"",
            )],
            &[(
                1.0,
                "{me}|{person} finger|fingers|thumb|hand|hands|=toe|=toes|foot|feet|leg|legs|arm|arms|eye|eyes|head|face|knee|thigh|wrist|ankle|back|neck|ribs|hip",
            )],
            &[
                (
                    1.4,
                    "bleed|bleeding|blood|bled|stitches|gash|gashed|\"to the bone\"|\"cut off\"|\"took off\"|\"torn off\"|\"hanging off\"|crushed|mangled|\"wrapped up\"|\"wrapped in\"|towel|bandage|tourniquet|numb|\"can not feel\"|\"can not move\"|broken|swollen|=stuck|trapped|=caught|=pinned|\"went through\"|\"went into\"|infected|\"red streak\"|\"red streaks\"|\"can not see\"|blurry|\"can not open\"",
                ),
                (0.6, "cut|hit|struck|hurt|hurts|sore"),
            ],
        ],
        further: &[
            (0.5, "\"will not stop\"|\"through the\"|\"keeps bleeding\"|still|badly|deep|hospital|\"right now\"|\"won't stop\""),
            (-1.2, "sap|milk|trunk|bark|\"bleeding heart\"|canker|maple|birch|stump|sprinkler|water bleed|bleeding|bled"),
            (
                -1.0,
                "\"keep an eye\"|\"green thumb\"|\"at hand\"|\"by hand\"|\"on hand\"|\"hand pull\"|\"first hand\"|\"on the other hand\"|\"square foot\"|\"feet wide\"|\"feet tall\"|\"foot tall\"|\"cut back\"|\"got over\"",
            ),
            (-1.5, "crushed|cut|hit|broken stem|stems|branch|bark|turf|root|roots|head|plant|twig"),
        ],
        now: 3.4,
        perhaps: 3.2,
    },
    // Somebody hurt by a fall.
    Scene {
        kind: DangerKind::Injury,
        parts: &[
            &[(1.0, "{person}|{me} =fell|=fallen|=slipped|=tripped|=tumbled")],
            &[(
                1.5,
                "{me}|{person} \"can not move\"|\"can not walk\"|\"can not get up\"|\"can not feel\"|unconscious|\"knocked out\"|\"hit his head\"|\"hit her head\"|\"hit my head\"|\"broke his\"|\"broke her\"|\"broke my\"|\"broken hip\"|bleeding|\"hurts badly\"|\"in a lot of pain\"|vomiting|confused|\"bad pain\"|\"terrible pain\"|\"not woken\"|\"head hurts\"|\"odd angle\"|\"badly bruised\"|numb",
            )],
        ],
        further: &[(0.5, "ladder|roof|tree|wall|scaffold|steps|deck|bank")],
        now: 2.5,
        perhaps: 2.2,
    },
    // A vessel that fizzes, swells or has burst, and what it does to whoever comes near.
    Scene {
        kind: DangerKind::MixedChemicals,
        parts: &[
            &[(
                1.0,
                "jug|drum|bottle|tub|tin|canister|bucket|barrel|tank|shelf|bag|jar|container|remover|cleaner|\"pool man\"|acid|bleach|chlorine",
            )],
            &[(
                1.2,
                "fizz|fizzing|fizzes|hiss|hissing|bubbling|boiling|bulging|swollen|=burst|leaked|leaking|dripped|dripping|smoking|\"got hot\"|steaming",
            )],
            &[
                (
                    1.2,
                    "{me}|{person} throat|eyes|lungs|nose|chest|head|breath|breathe|cough|coughing|choke|choking|dizzy|headache|sting|stings|water|watery|thumping|pounding",
                ),
                (0.7, "fumes|\"strong smell\"|stench|cloud|\"yellow smoke\"|\"green smoke\"|\"white smoke\""),
            ],
        ],
        further: &[
            (0.2, "shed|garage|closed|door|inside"),
            (-1.5, "rain|sprinkler|hose|faucet|compost|tree|trunk|bark|sap|milk|drip irrigation"),
        ],
        now: 2.9,
        perhaps: 2.6,
    },
    // Drawn into a machine.
    Scene {
        kind: DangerKind::Injury,
        parts: &[
            &[
                (1.0, "{me}|{person} sleeve|shirt|glove|hair|hand|hands|finger|fingers|arm|foot|leg|=toe|=toes|pants|scarf"),
                (1.0, "\"reached under\"|\"reached in\"|\"reached into\"|\"put my hand\"|\"put his hand\"|\"put her hand\""),
            ],
            &[(
                1.0,
                "chipper|shredder|mower|auger|tiller|snowblower|\"snow blower\"|\"the belt\"|splitter|chainsaw|trimmer|=deck|=blade|winch|tractor",
            )],
            &[(
                1.2,
                "\"got into\"|\"got in\"|\"got caught\"|=caught|\"pulled in\"|\"drawn in\"|\"went in\"|=turned|\"wound up\"|dragged|towel|=gone|=missing|stitches|\"can not close\"|\"not close it\"|white|numb|crushed|smashed|flattened",
            )],
        ],
        further: &[
            (
                -1.2,
                "\"at hand\"|\"by hand\"|\"second hand\"|\"square foot\"|\"feet wide\"|\"hand mower\"|\"push mower\"|\"white powder\"|white dust|grubs|leaves|grass white",
            ),
            (-1.0, "blades|tips"),
        ],
        now: 3.1,
        perhaps: 2.9,
    },
];
