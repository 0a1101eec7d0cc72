//! Somebody is plainly unwell, or bears the traces of having eaten something, whatever the letter names as the cause.

use crate::danger::DangerKind;
use crate::danger::scene::{Cue, Scene};

/// A person's body, harmed: plainly, or as after a day's weeding.
const HARMED: &[Cue] = &[
    (1.7, "my|his|her|our|their|{person} {bodypart} {harm}"),
    (1.4, "{self}|{person} hit|=struck|=stabbed|=burned|=scalded|=splashed|=soaked|=bitten {bodypart}|=me|=him|=her"),
    (0.9, "my|his|her|our|their|{person}|every {bodypart}|joint|joints {ache}"),
    (1.6, "{self}|{person} rubbed|wiped|=squirted|=splashed|=got =eye|=eyes"),
    (1.5, "{self}|{person}|all|both =bad|splitting|=sore|=thick|=aching =head|=heads|headache|headaches|throat|throats"),
    (1.7, "my|his|her|our ears|ear =ring|=rings|=ringing"),
    (1.7, "strange|metal|metallic|bitter|funny|bad taste my|his|her|our mouth"),
    (
        2.0,
        "everybody|everyone|all|we|my|his|her|our|their|{person} stomach|stomachs|tummy|belly|gut =upset|=hurts|=hurting|=aches|=cramps|=cramping|=churning",
    ),
    (1.5, "{person} =sick|=ill|=poorly bed|since|night|hospital"),
];

/// What makes it graver, and what makes it none of a person's.
const LESS: &[Cue] = &[
    (0.4, "=streaming|halo|=blurry|\"lot of red\"|rag|\"can not see\""),
    (0.3, "since|\"all over\"|\"will not stop\"|worse|spreading|\"can not see\"|hospital|\"since then\"|\"ever since\"|\"a lot of\"|badly"),
    (
        -1.5,
        "blade|blades|leaf|leaves|stem|stems|bark|trunk|petal|root|roots|plant|plants|tree|trees|rose|roses|bush|shrub|hedge|lawn|turf|grass|flower|flowers|bud|fruit|limb|branch|oak|maple =burned|=burnt|=burns|=bleeding|=bleeds|=bled|=blistered|=blisters|=swollen|=torn|=peeling|=raw|=crushed|=broken|=closed|=twisted|=weeping|=oozing|=cut|=purple|=numb|=stings|rash|=scalded|faint|=fainted",
    ),
    (-1.2, "as|size thick|big|wide|long|tall|high|large my|his|her|a {bodypart}"),
    (-1.2, "{bodypart} high|deep|tall|wide|sized|size|width|length|height|across|thick"),
    (
        -1.2,
        "\"at hand\"|\"by hand\"|\"on hand\"|\"keep an eye\"|\"green thumb\"|\"eye out\"|\"to the eye\"|\"head start\"|\"on the face of\"|\"foot of the\"|\"at the foot\"|\"square foot\"|\"square feet\"|\"feet across\"|\"feet wide\"|\"feet tall\"|\"feet long\"|\"with my bare\"|\"sprinkler head\"|\"seed head\"|\"seed heads\"|\"flower head\"|\"flower heads\"",
    ),
    (-1.2, "powder|dust|soot|rust|spores|orange|white|stuff \"comes off\"|\"rubs off\"|\"wipes off\"|\"came off\"|\"coming off\""),
    (-0.8, "flu|cold|\"hay fever\"|pollen|\"years old\"|operation|surgery|arthritis"),
];

pub(in crate::danger) const SCENES: &[Scene] = &[
    // Signs so grave that no cause need be told.
    Scene {
        kind: DangerKind::Injury,
        parts: &[&[
            (
                2.4,
                "\"i can not\"|\"he can not\"|\"she can not\"|\"we can not\"|\"he can hardly\"|\"she can hardly\"|\"i can hardly\" breathe|swallow|\"walk straight\"|\"stop shivering\"|\"stop shaking\"|\"stop vomiting\"|\"stop bleeding\"|\"feel his\"|\"feel her\"|\"feel my\"|\"move his\"|\"move her\"|\"move my\"",
            ),
            (
                2.2,
                "=i|=he|=she|=im \"lost consciousness\"|\"having a fit\"|\"chest pain\"|\"short of breath\"|\"bleeding badly\"|\"out cold\"|\"passed out\"",
            ),
            (
                2.4,
                "{person} \"not walk straight\"|\"not stop shivering\"|\"not stop shaking\"|\"not stop throwing\"|\"not stop vomiting\"|\"not stop bleeding\"|\"can not breathe\"|\"can not swallow\"|\"can not wake\"|\"will not wake\"|\"can not be woken\"|\"not responding\"|\"out cold\"|\"lost consciousness\"|\"out of consciousness\"|=convulsing|\"having a fit\"|\"had a fit\"|\"a seizure\"|\"turned blue\"|\"gone blue\"|\"went blue\"|\"gasping for\"|\"fighting for breath\"|\"short of breath\"|\"bleeding badly\"|\"bleeding a lot\"|\"lot of blood\"|\"talking nonsense\"|\"talks nonsense\"|\"slurring his\"|\"slurring her\"|\"slurring my\"|\"chest pain\"|\"pain in his chest\"|\"pain in her chest\"|\"pain in my chest\"",
            ),
            (2.2, "{me}|{person} =heart =pounding|=racing|=skipping|=fluttering|=pounds|=races|=thumping|=hammering|=jumping|\"like mad\""),
            (2.2, "{me}|{person} face|mouth|side =hangs|=droops|=drooping|=lopsided|=numb|=crooked"),
            (2.2, "{me}|{person} \"the bone\"|\"in ice\"|\"on ice\" see|=cut|=thumb|=finger|=fingers|=toe|put"),
            (2.2, "{me}|{person} voice funny|=hoarse|strange|=slurred|=gone"),
            (
                2.2,
                "{me}|{person} hand|finger|fingers|arm|foot|leg|=toe|=toes \"can not close\"|\"can not bend\"|\"can not move\"|\"can not feel\"|\"not close it\"|\"not bend it\"|\"not move it\"|\"not feel it\"|\"gone white\"|\"turned white\"|\"gone blue\"|\"turned black\"|\"odd angle\"|\"funny angle\"|\"wrong way\"|\"red streaks\"|\"red streak\"",
            ),
            (
                2.0,
                "{me}|{person} \"dish towel\"|\"tea towel\"|\"a towel around\"|\"in a towel\"|\"bleeding through\"|\"soaked with blood\"|\"blood everywhere\"",
            ),
            (
                2.2,
                "{self}|{person} \"sick twice\"|\"sick three\"|\"sick all night\"|\"sick four\"|\"throwing up\"|\"throws up\"|\"threw up\"|vomiting =since|after|now|fast|twice|hours|can|and",
            ),
            (
                2.0,
                "{me}|{person} head|face|eye|arm|hand|leg|lip|lips|tongue|neck \"like a balloon\"|\"size of a\"|\"twice the size\"|\"twice its size\"|\"swollen shut\"|\"swelled up\"|\"puffed up\"",
            ),
            (2.0, "{self}|{person}|{pet} hundred|dozens|hundreds|covered|\"all over\" =bump|=bumps|=welt|=welts|=stings|=bites"),
        ]],
        further: &[
            (
                -1.5,
                "plant|tree|lawn|rose|roses|leaf|leaves|shrub|hedge|hosta|grass|bloom|maple|branch \"all over\"|bump|bumps|droops|hangs|drooping|wilted",
            ),
            (-1.2, "flu|\"stomach bug\"|cold|pollen|\"hay fever\"|pregnant|chemo|surgery|operation|\"years old\""),
            (-1.0, "mosquito|mosquitoes|chigger|chiggers|gnat|gnats"),
        ],
        now: 2.0,
        perhaps: 1.8,
    },
    // Traces of eating about the mouth.
    Scene {
        kind: DangerKind::SwallowedByPerson,
        parts: &[
            &[(0.9, "{toxic}"), (0.6, "plant|leaf|leaves|pod|seed|bean|beans|nut|flower|blossom")],
            &[(0.6, "{person}|{me}")],
            &[
                (1.3, "=his|=her|=their =chin|=lips|=mouth|=tongue|=teeth|=cheek|=cup|=tea|=fingers"),
                (
                    1.3,
                    "=gulped|\"tooth marks\"|\"teeth marks\"|\"made soup\"|\"made tea\"|\"for her tea\"|\"for his tea\"|\"for tea\"|\"piece missing\"|\"spat it\"|\"spit it\"|\"spat out\"|\"mouth is\"",
                ),
            ],
        ],
        further: &[
            (0.4, "child|kid|toddler|baby|\"year old\"|son|daughter|twin|twins|grandson|granddaughter|dementia"),
            (
                -1.5,
                "strawberry|strawberries|raspberry|raspberries|blueberry|blueberries|tomato|tomatoes|basil|mint|apple|apples|deer|rabbit|rabbits|vole|voles|squirrel|caterpillar|beetle|beetles",
            ),
        ],
        now: 2.5,
        perhaps: 2.2,
    },
    // Bait that is gone, and a child or an animal about.
    Scene {
        kind: DangerKind::SwallowedByAnimal,
        parts: &[
            &[(
                1.0,
                "bait|poison|pellets|granules|mothballs|antifreeze|\"plant food\"|\"bone meal\"|=fertilizer|tablets|\"slug stuff\"|\"ant stuff\"",
            )],
            &[(
                1.1,
                "=empty|=gone|=missing|\"torn open\"|\"ripped open\"|\"licked clean\"|\"cleaned out\"|\"chewed open\"|\"knocked over\"|\"chewed up\"|\"half empty\"|\"tipped over\"|\"all over the floor\"",
            )],
            &[(0.8, "{pet}"), (1.0, "child|kid|kids|children|toddler|baby|\"year old\"")],
        ],
        further: &[(0.4, "nose|mouth|muzzle|paws|blue|green|today|\"this morning\"")],
        now: 2.3,
        perhaps: 2.1,
    },
    // An animal plainly unwell, and what it may have had in the yard.
    Scene {
        kind: DangerKind::SwallowedByAnimal,
        parts: &[
            &[(0.7, "{pet}")],
            &[
                (
                    1.6,
                    "\"not walk straight\"|\"not walk\"|\"not stand\"|\"not lift\"|\"not get up\"|=jerks|=jerking|=twitching|=twitches|=wobbly|=wobbling|=wobbles|stagger|drool|=foaming|=frothing|seizure|convulsing|=fitting|=collapsed|=trembling|=shaking|\"are down\"|\"is down\"|=dribbling|=pacing|=retching|=heaving|=slobbering|=vomiting|\"throwing up\"|\"threw up\"|\"been sick\"|\"blood in\"|\"on her side\"|\"on his side\"|\"on its side\"|\"not hop\"|\"not get up\"|unconscious|=panting",
                ),
                (
                    1.3,
                    "\"not eating\"|\"not eaten\"|\"will not eat\"|\"off her food\"|\"off his food\"|\"drinking a lot\"|\"not been right\"|\"is not right\"|\"not herself\"|\"not himself\"|listless|lethargic|limp|\"very quiet\"|\"bit quiet\"|hiding|\"not moved\"|swollen|\"pale gums\"|\"not peeing\"",
                ),
            ],
            &[
                (0.9, "{toxic}|{chemical}|=limed|=lime|lilies|mulch|tablet|tablets|mold|moldy"),
                (0.6, "plant|plants|leaf|leaves|bucket|=soaking|puddle|=drank|pond|shed|bed|beds|hedge|run|weeds|chewed|ate|lawn|grass"),
            ],
        ],
        further: &[
            (0.3, "since|after|now|today|night|hour|hours|morning"),
            (-1.5, "\"looks like\"|\"looked like\"|\"as if\"|raccoon|skunk|possum|fox|\"always\"|arthritis|old age|heat"),
        ],
        now: 2.8,
        perhaps: 2.5,
    },
    Scene {
        kind: DangerKind::IllAfterChemical,
        parts: &[
            HARMED,
            &[(
                0.9,
                "pesticide|herbicide|insecticide|fungicide|weedkiller|killer|preservative|varnish|=painted|\"closed garage\"|=bait|bleach|ammonia|acid|chlorine|caustic|concentrate|chemical|chemicals|=fertilizer|=lime|cement|sprayer|nozzle|backpack|sprayed|=spray|=spraying|fogged|fumes|\"the stuff\"|toxic|cleaner|solvent|creosote|thinner|sulfur|\"did the trees\"|\"treated the\"|exterminator",
            )],
        ],
        further: LESS,
        now: 2.3,
        perhaps: 2.1,
    },
    Scene {
        kind: DangerKind::Injury,
        parts: &[
            HARMED,
            &[(
                0.9,
                "mower|chainsaw|\"chain saw\"|saw|trimmer|strimmer|grinder|grinding|chipper|tiller|hedge|ladder|axe|auger|blade|shears|pruner|loppers|tractor|stump|stone|branch|limb|log|nail|fork|machine|wire|thorn|post|wall|slab|trailer|hook",
            )],
        ],
        further: LESS,
        now: 2.3,
        perhaps: 2.1,
    },
    Scene {
        kind: DangerKind::PlantSap,
        parts: &[
            HARMED,
            &[(
                0.9,
                "hogweed|stalk|stalks|\"hollow stem\"|\"hollow stems\"|\"by the river\"|\"by the creek\"|sap|juice|\"poison ivy\"|\"poison oak\"|sumac|parsnip|spurge|euphorbia|rue|oleander|vine|vines|nettle|\"weed whip\"|\"weed whacker\"|strimmed|\"brush cutter\"|cactus|agave|yucca|sticky",
            )],
        ],
        further: LESS,
        now: 2.3,
        perhaps: 2.1,
    },
    Scene {
        kind: DangerKind::AllergicReaction,
        parts: &[
            HARMED,
            &[(
                0.9,
                "=stung|=stings|wasp|wasps|hornet|hornets|bee|bees|\"yellow jackets\"|\"yellow jacket\"|nest|spider|snake|ant|ants|caterpillar|caterpillars",
            )],
        ],
        further: LESS,
        now: 2.3,
        perhaps: 2.1,
    },
    Scene {
        kind: DangerKind::SwallowedByPerson,
        parts: &[HARMED, &[(0.9, "{eaten}|=stew|=soup|=salad|=pesto|=smoothie")]],
        further: LESS,
        now: 2.3,
        perhaps: 2.1,
    },
];
