//! Trees, walls, ground, water, wires and gas.

use crate::danger::DangerKind;
use crate::danger::scene::Scene;

pub(in crate::danger) const SCENES: &[Scene] = &[
    Scene {
        kind: DangerKind::TreeOrLimb,
        parts: &[
            &[
                (
                    1.8,
                    "bough|limb|branch|trunk|top \"lying in the\"|\"caught in the\"|\"stuck in the\"|\"hung in the\"|\"lodged in\"|\"sitting in the\"",
                ),
                (1.6, "stacked|plates|shelf|shelves|brackets|conk|conks mushroom|mushrooms|fungus {tree}"),
                (
                    1.6,
                    "{wood} \"came apart\"|\"come apart\"|\"held by\"|\"only held\"|=slant|=slanted|=slanting|=sways|=swaying|\"at an angle\"|\"lost its bark\"|\"ready to\"|=lopsided|=uprooted|=toppling",
                ),
                (
                    1.6,
                    "{wood} \"peeled away\"|\"peeled off\"|\"came away\"|=propped|=sags|=sagging|=sagged|\"lower than\"|=groans|=groan|=creak|=creaks|bang|\"loud crack\"|=rocks|=wobbles|\"up and down\"|\"stuck up\"|\"resting on\"|\"half off\"|=splintered|=shattered|=twisting|\"given way\"|\"gave way\"|\"about to\"",
                ),
                (
                    2.3,
                    "soil|ground|roots|earth|turf \"up and down\"|=lifts|=moves|=moving|=heaves|=cracks|=gaps|=breathing =blows|wind|windy|gusts|breeze",
                ),
                (
                    1.4,
                    "hole|cavity {tree}|trunk pumpkin|basketball|bucket|head|arm|fist|\"knee height\"|big|huge|\"see through\"|\"right through\"",
                ),
                (
                    1.3,
                    "{tree} =leaning|=leans|=leaned|lean|tilt|=tilting|=tipped|=tipping|=listing|=lurched|=shifted|=rocking|=rocks|=moving|=moves",
                ),
                (
                    1.8,
                    "{tree}|leader|top|crown =hung|\"hung up\"|=dangling|=danglin|dangle|\"by a strip\"|\"by a thread\"|\"caught up\"|\"not come down\"|=lodged|=wedged|=snagged|\"half broken\"|\"partly broken\"|\"hanging on by\"|\"hanging by\"|widowmaker",
                ),
                (
                    1.7,
                    "{tree}|leader|crotch|union|half crack|=cracked|=cracks|=cracking|=split|=splitting|=splits|\"coming apart\"|\"pulling apart\"|=torn|=snapped|\"broken off\"|=broken|=broke",
                ),
                (1.2, "{tree} =dead|=dying"),
                (
                    1.5,
                    "{tree}|trunk =hollow|=rotten|rot|=decayed|conk|\"shelf mushroom\"|\"shelf fungus\"|\"bracket fungus\"|bracket|cavity|\"daylight through\"|=creaks|=creaking|=groaning|=groans",
                ),
                (
                    1.8,
                    "root|roots|soil|ground|earth|rootball|\"root plate\" =lifted|=lifting|=lifts|=heaved|=heaving|=heaves|\"coming out\"|\"coming up\"|\"come up\"|\"came up\"|=raised|=rising|=pulled|=cracked|=moving {tree}|its",
                ),
                (1.2, "{tree} bits|pieces|limbs|branches|boughs drop|drops|dropping|dropped|fall|falls|falling|=shed|=shedding"),
            ],
            &[
                (1.2, "over|above|toward|towards|under|underneath|below|beneath|onto|on|by|at|near|next|across|beside|of|where {below}"),
                (1.0, "{below} side|underneath|below|beneath|under|right"),
                (
                    1.1,
                    "\"in and out\"|underneath|\"under it\"|\"pass there\"|\"below it\"|carriage|pram|stroller|\"tennis court\"|\"other side\"|\"fall on\"",
                ),
                (
                    0.9,
                    "room|bedroom|bunk|swings|swing|picnic|wedding|party|\"back door\"|\"side door\"|\"front door\"|\"garbage men\"|postman|mailman|school|daycare|bench|playground|neighbors|roof|cars|tent|campsite|\"bus stop\"|crib|trampoline|hammock",
                ),
                (
                    0.9,
                    "{person}|kid|children|people|postman|mailman|we walk|walks|sit|sits|play|plays|pass|passes|wait|waits|park|parks|sleep|sleeps|goes|go under|underneath|below|beneath|there",
                ),
            ],
        ],
        further: &[
            (
                0.6,
                "more|wider|further|worse|\"every day\"|\"each day\"|suddenly|overnight|ice|\"since the storm\"|\"after the storm\"|storm|gale|wind|windy|\"wet snow\"|\"ice storm\"|lately|now",
            ),
            (0.5, "root|roots|soil|ground lift|=split|=crack|=cracks|=gap|=lifted|=heaved|=heaves|=cracked|\"coming out\""),
            (0.4, "loose|\"only held\"|rain|rains|carriage|pram"),
            (0.5, "groans|groan|creaks|creaking|bang|crackling|\"no wind\"|\"without wind\""),
            (0.4, "big|huge|old|large|tall|thick|\"as thick as\"|\"feet long\"|massive|enormous"),
            (-1.6, "{small}"),
            (
                -1.2,
                "\"always has\"|\"always leaned\"|\"since it was planted\"|\"tie back\"|\"tied back\"|\"tie it\"|\"brushes our\"|lovely|\"in bloom\"|weeping|espalier",
            ),
            (-1.5, "bee|bees|swarm|cocoon|bag|bags|web|webs|egg|eggs|gall|galls|puff|puffs|ball|balls|caterpillars"),
            (-1.0, "bark =cracked|crack|=cracks|=split|=splits|peel|peels|=peeling"),
            (
                -0.8,
                "leaf|leaves|needle|needles|cone|cones|fruit|acorn|acorns|seed|pods|sap|honeydew|twigs drop|drops|dropping|fall|falls|falling|=shed|=sheds|cover",
            ),
            (
                -2.5,
                "root|roots =lift|=lifts|=lifting|=lifted|=heaved|=raised sidewalk|path|walk|drive|driveway|patio|paving|slab|slabs|lawn|curb",
            ),
            (-2.0, "=sound|\"looks sound\"|\"perfectly safe\""),
        ],
        now: 2.9,
        perhaps: 2.3,
    },
    Scene {
        kind: DangerKind::Wall,
        parts: &[
            &[
                (
                    1.8,
                    "wall|walls|chimney|pillar|gatepost|parapet|terrace|\"stone steps\"|blockwork|brickwork|stonework|pergola|arbor|\"garden shed\"|carport|bulkhead =rotted|=rotten|=pushing|=pushed|belly|bellied|chunks|=leaning|=leaned|lean|=leans|bulge|=bulging|=bulges|=bowing|bow|=tilting|tilt|=tipping|=tips|=moves|=moved|=moving|=cracked|=cracking|=crack|=loose|=wobbles|=wobbly|\"gives way\"|\"gave way\"|\"giving way\"|=crumbling|=collapsing|=collapsed|=toppling|=buckling|=buckled|=slipping|\"falling down\"|\"fallen down\"|\"came down\"",
                ),
                (
                    1.6,
                    "stone|stones|bricks|blocks|boulder|boulders|rocks =tip|=tipping|=tipped|=rolling|=rolled|\"come down\"|\"came down\"|=fell|=slid above|today|stroller|bank|slope|cliff|hill",
                ),
                (
                    1.5,
                    "stone|stones|brick|bricks|block|blocks|coping wall =loose|=dropping|=fall|=falls|=falling|=fell|=fallen|\"coming out\"|\"come out\"|\"popping out\"|=popped",
                ),
            ],
            &[
                (1.0, "over|above|toward|towards|below|under|beneath|onto|by|along|next|beside|at|near|out {below}"),
                (
                    1.0,
                    "chunks|crumbs|dirt|street|sidewalk|more|worse|\"with a hand\"|\"by hand\"|\"push it\"|\"i push\"|\"rain\"|inch|inches|gap|since|suddenly|\"about to\"|kids|children|people",
                ),
            ],
        ],
        further: &[
            (0.5, "today|stroller|pram|kid|kids|child|children|people|sandbox|street|sidewalk|pavement|\"bus stop\"|neighbors"),
            (
                -2.0,
                "hedge|rake|ladder|shovel|bike|vine|rose|ivy|snow|shrub|phlox|limb|branch lean|=leans|=leaning|=leaned|climb|climbs|grows wall|walls",
            ),
            (-1.5, "\"stands straight\"|\"is straight\"|\"a crack of\"|ant|ants|crust"),
        ],
        now: 2.8,
        perhaps: 2.3,
    },
    Scene {
        kind: DangerKind::Ground,
        parts: &[
            &[(
                1.0,
                "well|septic|cistern|cesspit|cesspool|\"mine shaft\"|\"old mine\"|culvert|\"old tank\"|\"oil tank\"|cellar|\"storm drain\"|manhole|\"dry well\"|drywell|\"coal hole\"|sinkhole|\"water main\"",
            )],
            &[
                (
                    1.5,
                    "cover|board|boards|lid|slab|cap|planks|plank|grate|top rotten|rotted|rotting|broken|\"fallen in\"|\"fell in\"|cracked|missing|open|loose|soft|gave|gives|gone|collapsed|rusted|tipped",
                ),
                (
                    1.5,
                    "=sags|=sag|=sagging|=soft|=sunk|=sinking|=sinks|=sank|=spongy|=gives|=gave|\"giving way\"|\"gave way\"|=hollow|=bounces|=bouncy|=collapsed|=collapsing|=caved|=caving|=open|=opened|\"a hole\"|=dropped|=fallen",
                ),
            ],
        ],
        further: &[
            (0.6, "kid|kids|child|children|grandchildren|toddler|dog|people|walk|walks|mow|mows|mower|play|plays|step|stepped|drive|foot"),
            (
                -1.5,
                "\"well drained\"|\"as well\"|\"does well\"|\"very well\"|\"quite well\"|\"well rotted\"|\"grow well\"|\"flower well\"|\"well soft\"",
            ),
            (-0.8, "mole|vole|moles|voles|chipmunk"),
        ],
        now: 2.8,
        perhaps: 2.3,
    },
    // A bank that slides.
    Scene {
        kind: DangerKind::Ground,
        parts: &[
            &[(1.0, "bank|slope|hill|hillside|bluff|cliff|embankment|ravine|terrace|\"back yard\"|yard|\"creek bank\"")],
            &[(
                1.5,
                "crack|cracks|=cracked|slid|slide|sliding|slip|slipped|slipping|slump|slumped|slumping|moved|moving|\"giving way\"|\"gave way\"|\"came down\"|\"washed out\"|\"washing out\"|\"broke away\"|\"fallen away\"",
            )],
            &[(0.6, "house|road|neighbors|neighbor|foundation|street|deck|driveway|patio|pool|garage|path")],
        ],
        further: &[
            (0.5, "rain|rains|inch|wide|more|wider|\"each day\"|top|piece|overnight"),
            (-1.5, "drought|dry|mower|moles|snow|erosion|mulch|soil cracks|crack|scalped|slid"),
        ],
        now: 3.0,
        perhaps: 2.6,
    },
    // A hole nobody can see the end of.
    Scene {
        kind: DangerKind::Ground,
        parts: &[
            &[(1.0, "hole|pit|void|gap|crater")],
            &[(
                1.6,
                "\"edge hanging\"|\"hanging over\"|\"hear water\"|rumble|\"can not see the bottom\"|\"no bottom\"|bottomless|\"how deep\"|\"feet deep\"|\"as deep as\"|\"deep as\"|\"could fall in\"|\"fell in\"|\"opened up\"|\"opened overnight\"|\"getting bigger\"|\"gets bigger\"",
            )],
            &[(0.6, "lawn|yard|drive|driveway|garden|patio|overnight|suddenly|rain|road|ground")],
        ],
        further: &[(
            -2.0,
            "\"planting hole\"|dug|plant|mole|vole|chipmunk|woodchuck|groundhog|rabbit|skunk|borer|leaf|leaves|inch|inches|bark|trunk|weed|weeds|web|ridge|ridges",
        )],
        now: 2.9,
        perhaps: 2.6,
    },
    Scene {
        kind: DangerKind::OpenWater,
        parts: &[
            &[(1.0, "pool|pond|cistern|well|tank|\"water garden\"|lagoon|cesspit|\"deep water\"|\"hot tub\"|trough|barrel")],
            &[
                (
                    1.2,
                    "cover|lid|boards|gate|fence|net|grate|rail \"took the\"|\"took down\"|\"taken down\"|\"taken off\"|lying|removed|broken|rotten|off|torn|missing|open|loose|gone|down|sags|collapsed|\"does not close\"|\"not latch\"|\"does not latch\"|stuck|fell|fallen",
                ),
                (
                    1.0,
                    "uncovered|unfenced|\"no fence\"|\"no cover\"|\"not fenced\"|\"deep water\"|\"thin ice\"|\"wide open\"|\"stands open\"",
                ),
            ],
            &[(
                1.0,
                "kid|kids|child|children|toddler|toddlers|baby|grandchildren|grandson|granddaughter|boy|girl|\"little one\"|\"little ones\"|\"year old\"|neighborhood|daycare|\"day care\"|playgroup|camp|school|nursery",
            )],
        ],
        further: &[
            (0.3, "deep|neighbor|neighbors|through|alone"),
            (-1.5, "\"well drained\"|\"as well\"|\"very well\"|\"does well\"|\"rain barrel\""),
        ],
        now: 2.7,
        perhaps: 2.4,
    },
    Scene {
        kind: DangerKind::Wire,
        parts: &[
            &[(1.2, "=wire|=wires|=cable|=cables|{line}|\"a line\"|\"the line\"")],
            &[
                (
                    1.5,
                    "=down|=fallen|=fell|=lying|=lies|=lays|=laying|=dangling|=dangles|=hanging|=hangs|=hung|=sagging|=sags|=low|=spark|=sparks|=sparking|=humming|=hums|=buzzing|=buzzes|=crackling|=snapped|=across|=loose|=drooping|\"came off\"|\"torn off\"|\"ripped off\"|\"came down\"",
                ),
                (1.0, "=on|=in lawn|yard|garden|grass|hedge|fence|bush|drive|driveway|street|sidewalk|path|roof|car|tree|pool"),
            ],
            &[(
                1.0,
                "storm|wind|gale|ice|snow|tree|branch|limb|pole|\"do not know what\"|\"not know what\"|\"no idea what\"|electric|electricity|power|utility|truck|house|lights|overhead|roof|humming|hums|buzzing|sparks|sparking|street|\"where it goes\"|\"came from\"|\"is from\"|telephone",
            )],
        ],
        further: &[
            (0.5, "dog|kid|kids|children|walk|touch|alive|live|hot"),
            (
                -2.5,
                "mushroom|mushrooms|stripe|middle|\"line of\"|leaf|leaves|bird|birds|trellis|fence|fencing|worm|worms|basket|cage|espalier|clematis|vine|mesh|chicken|irrigation|\"low voltage\"|dripline|bootlace|bootlaces|twine|clothes|washing|guy|brace|bracing|netting|landscape|soil|stakes|grape|grapes",
            ),
        ],
        now: 3.2,
        perhaps: 2.6,
    },
    Scene {
        kind: DangerKind::Gas,
        parts: &[
            &[(
                1.2,
                "\"smell of gas\"|\"smells of gas\"|\"smell gas\"|\"smells like gas\"|\"smelled gas\"|\"natural gas\"|\"gas smell\"|\"smell propane\"|\"smells of propane\"|\"propane smell\"|\"rotten egg\"|\"rotten eggs\"|\"bad eggs\"",
            )],
            &[(
                1.2,
                "meter|line|main|road|street|sidewalk|dug|dig|digging|post|house|basement|bubbles|bubbling|hiss|hissing|tank|strip|tree|trees|lawn|grass|driveway|\"still days\"|gas",
            )],
        ],
        further: &[
            (0.6, "bubbles|bubbling|hiss|hissing|headache|stronger|worse"),
            (
                -2.0,
                "mud|muddy|muck|swamp|soggy|waterlogged|pond|compost|mulch|septic|low|wet|sulfur|sulphur|marked|station|mower|can|spilled|spill|tipped|gasoline|flags|paint|sap|clay|spadeful|roots",
            ),
        ],
        now: 2.4,
        perhaps: 2.2,
    },
    Scene {
        kind: DangerKind::FoundObject,
        parts: &[
            &[(
                1.5,
                "grenade|\"mortar shell\"|\"artillery shell\"|=bomb|=bombs|unexploded|ordnance|ammunition|dynamite|\"blasting cap\"|\"blasting caps\"|landmine|\"live shell\"|\"old shell\"|syringe|syringes|\"hypodermic\"|\"used needles\"|\"drug needles\"",
            )],
            &[(1.5, "found|find|dug|dig|digging|turned|unearthed|came|bed|garden|hedge|soil|ground")],
        ],
        further: &[
            (
                -3.0,
                "\"seed bomb\"|\"seed bombs\"|\"bug bomb\"|\"bomb out\"|\"smoke bomb\"|\"like a bomb\"|sudoku|\"flea bomb\"|\"bath bomb\"",
            ),
            (-1.0, "fertilizer|glue|ink"),
        ],
        now: 3.0,
        perhaps: 3.0,
    },
    Scene {
        kind: DangerKind::StingingNest,
        parts: &[
            &[
                (
                    1.2,
                    "wasp|wasps|hornet|hornets|yellowjacket|yellowjackets|\"yellow jacket\"|\"yellow jackets\"|\"fire ants\"|\"killer bees\"",
                ),
                (0.8, "bee|bees|nest|hive"),
            ],
            &[
                (
                    1.4,
                    "allergic|attack|attacked|attacking|chase|chased|chases|=stung|=stinging|swarmed|aggressive|angry|furious|\"poured out\"|\"pouring out\"|\"boiled out\"",
                ),
                (
                    1.3,
                    "door|doorway|entrance|gate|soffit|stairs|steps|\"under it\"|\"past it\" {person}|staff|everyone|guests|customers|\"twice a day\"|\"every day\"",
                ),
                (
                    1.0,
                    "\"no other way\"|\"only way\"|\"only path\"|\"have to pass\"|\"front door\"|\"playset\"|\"swing set\"|sandbox|mailbox|\"bus stop\"|\"dog run\"",
                ),
            ],
        ],
        further: &[
            (0.6, "kid|kids|child|children|mail|mailman|postman|crew|guests|baby|customers"),
            (0.4, "nest|hole|ground|wall"),
            (
                -1.5,
                "\"nobody was stung\"|\"not stung\"|\"never stung\"|\"do not mind\"|\"no notice\"|gall|galls|nettle|parasitic|cicada|cicadas|\"cicada killer\"|empty|old|spray",
            ),
            (-1.5, "bee|bees|wasp|wasps =flower|=flowers|bloom|linden|lavender|clover|blossom|nectar|plums|pears|honeydew"),
        ],
        now: 2.6,
        perhaps: 2.3,
    },
    // Pole, transformer or line that flashes or burns.
    Scene {
        kind: DangerKind::Wire,
        parts: &[
            &[(1.2, "pole|transformer|\"gray can\"|{line}|=wire|=wires|=lines|insulator|\"meter box\"")],
            &[(
                1.6,
                "steaming|\"burned the grass\"|crackle|crackled|crackles|crackling|\"lit up\"|flash|flashes|flashed|arc|arcing|sizzle|sizzled|sizzling|spark|sparks|sparked|sparking|\"blue light\"|smoking|\"burning smell\"",
            )],
        ],
        further: &[
            (0.3, "vine|tree|limb|branch|night|rain|windy|wind"),
            (-2.0, "\"bean pole\"|\"bean poles\"|\"tent pole\"|\"flag pole\"|\"fire pole\"|trimmer|mower"),
        ],
        now: 2.7,
        perhaps: 2.4,
    },
    // Somebody about to work beside a line.
    Scene {
        kind: DangerKind::Wire,
        parts: &[
            &[(
                1.0,
                "ladder|\"pole saw\"|\"pole pruner\"|\"long pole\"|scaffold|crane|lift|boom|kite|pruner|\"chain saw\"|chainsaw|climb|climbing",
            )],
            &[(1.4, "{line}"), (1.0, "=wire|=wires|\"the line\"|\"the lines\"|\"a line\"")],
            &[(0.8, "tree|spruce|hedge|top|limb|branch|oak|maple|pine|gutter|roof"), (0.4, "house|houses|street")],
        ],
        further: &[
            (0.4, "through|near|close|touch|touching|beside|between|next|above|saturday|tomorrow|myself"),
            (-2.5, "bird|birds|trellis|clothes|washing|property|fence|drip|hose|tree line|fishing|string"),
        ],
        now: 2.8,
        perhaps: 2.4,
    },
    // Something driven into the ground, and it hisses.
    Scene {
        kind: DangerKind::Gas,
        parts: &[
            &[(
                1.0,
                "stake|stakes|post|posts|auger|spike|bar|rod|drilled|drove|dug|dig|digging|trench|trencher|edging|fork|shovel|spade|pickaxe|excavator|backhoe|aerator|tiller|\"went in\"",
            )],
            &[(1.5, "hiss|hissing|hisses|whistle|whistling|whistles|whoosh|roaring|\"blowing dirt\"|\"air coming\"|bubbling")],
        ],
        further: &[(
            -2.0,
            "hose|sprinkler|irrigation|valve|water|bird|birds|snake|cat|goose|swan|kettle|wind|compost|bee|bees|cockroach|beetle",
        )],
        now: 2.5,
        perhaps: 2.3,
    },
    // The smell that is put into gas, by other names, where a pipe runs.
    Scene {
        kind: DangerKind::Gas,
        parts: &[
            &[(
                1.2,
                "smell|smells|smelled|smelly|stink|stinks|reek|reeks|odor|odour|whiff onion|onions|eggy|skunk|skunky|garlic|egg|eggs|sulfur|sulphur|cabbage|gas|rotten|fart",
            )],
            &[(
                1.4,
                "\"pilot light\"|pilot|=meter|regulator|\"gas pipe\"|\"gas line\"|furnace|basement|\"gas main\"|\"propane tank\"|\"street works\"|\"road works\"|\"utility box\"",
            )],
        ],
        further: &[
            (0.3, "died|dead|brown|week|strong|still"),
            (-2.0, "\"water meter\"|compost|mulch|mud|chives|flower|flowers|leaf|leaves|bulb|bulbs|\"skunk cabbage\"|petals|plant"),
        ],
        now: 2.5,
        perhaps: 2.3,
    },
    // Ground that dropped all at once.
    Scene {
        kind: DangerKind::Ground,
        parts: &[
            &[(
                1.6,
                "lawn|patch|ground|yard|circle|area|driveway|patio|soil|path|turf|grass =dropped|=sank|\"has sunk\"|\"fell in\"|=subsided|\"gave way\"|\"gone down\"|\"went down\"|=caved|=collapsed|\"fallen in\"",
            )],
            &[(
                1.2,
                "overnight|\"last night\"|\"this morning\"|\"a foot\"|\"two feet\"|\"three feet\"|\"several feet\"|\"a yard\"|workings|\"old mine\"|\"old well\"|\"old tank\"|suddenly|\"all at once\"|\"in a day\"|\"my leg\"|\"up to my\"|sewer|\"storm drain\"",
            )],
        ],
        further: &[
            (0.3, "hole|round|deep|bottom|rain"),
            (
                -1.5,
                "ridge|ridges|burrow|burrows|blade|blades|stump|mole|moles|vole|voles|\"inch each\"|frost|temperature|leaves|ruts|rut|pythium|blight|cobweb|straw|fungus|slimy|web",
            ),
        ],
        now: 2.6,
        perhaps: 2.3,
    },
    // An open trench.
    Scene {
        kind: DangerKind::Ground,
        parts: &[
            &[(1.0, "trench|trenches|excavation|pit|\"deep hole\"|\"deep ditch\"|\"foundation hole\"|\"the hole\"")],
            &[(
                1.3,
                "\"come down\"|\"coming down\"|\"came down\"|crumble|crumbling|slump|slumping|slumped|collapse|collapsing|collapsed|\"in lumps\"|\"falls in\"|\"falling in\"|\"fell in\"|undercut|\"over my head\"|\"than i am\"|\"deeper than\"|\"gave way\"|\"caving\"|\"caved\"",
            )],
            &[(
                0.8,
                "kid|kids|boys|girls|children|son|daughter|man|men|crew|helper|dog|husband|people|play|plays|playing|open|inside|worker|guy",
            )],
        ],
        further: &[(-1.5, "mole|vole|groundhog|burrow|ridge|ridges|planting|\"peach pit\"|\"fire pit\"")],
        now: 2.8,
        perhaps: 2.5,
    },
    // A gas bottle that leaks.
    Scene {
        kind: DangerKind::Gas,
        parts: &[
            &[(1.2, "propane|cylinder|\"gas bottle\"|\"gas tank\"|\"gas grill\"|barbecue|\"grill tank\"|butane|\"gas heater\"")],
            &[(1.4, "=leaking|=leaks|leak|\"hear it\"|hiss|hissing|frost|\"smells of gas\"|\"smell gas\"|dented|=tipped|=knocked")],
        ],
        further: &[(-1.5, "water|rain|roof|hose|screen|grease|killed|winter")],
        now: 2.4,
        perhaps: 2.2,
    },
    // A shaft under what has rotted.
    Scene {
        kind: DangerKind::OpenWater,
        parts: &[
            &[(
                1.4,
                "shaft|\"old well\"|\"brick all round\"|\"into the dark\"|\"lined with stone\"|\"ring of stones\"|\"ring of bricks\"|\"stone lined\"|\"brick lined\"",
            )],
            &[(
                1.1,
                "splash|tin|sheet|plywood|pallet|boards|rotten|rusty|bottomless|\"went through\"|\"fell through\"|\"went down through\"|uncovered|\"into the dark\"|\"dropped a stone\"|missing|broken",
            )],
        ],
        further: &[
            (0.5, "kid|kids|child|children|grandchildren|scouts|boys|girls|dog|mower|campers|people"),
            (-2.0, "bee|bees|mushroom|flower|flowers|feather|antler|leaf|arrow|mine|light|stem|cap"),
        ],
        now: 2.4,
        perhaps: 2.2,
    },
    // What the gas people say, or the ground shows.
    Scene {
        kind: DangerKind::Gas,
        parts: &[
            &[(1.2, "\"gas board\"|\"gas company\"|\"gas man\"|\"gas people\"|\"gas utility\"|\"gas works\"|\"gas main\"|\"gas line\"")],
            &[(
                1.3,
                "reporting|\"report it\"|\"a leak\"|leak|leaking|\"never freezes\"|\"no snow\"|\"smells\"|\"smell\"|bubbles|hiss|hissing",
            )],
        ],
        further: &[(-2.0, "marked|flags|paint|repaired|fixed|checked|grill|mower|station|\"no leak\"|news|town")],
        now: 2.4,
        perhaps: 2.2,
    },
];
