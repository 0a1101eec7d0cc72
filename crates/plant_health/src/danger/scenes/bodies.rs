//! Who has eaten, touched, breathed or been stung by something.

use crate::danger::DangerKind;
use crate::danger::scene::Scene;

pub(in crate::danger) const SCENES: &[Scene] = &[
    // Something harmful, somebody who ate of it; the sign of it makes it surer.
    Scene {
        kind: DangerKind::SwallowedByPerson,
        parts: &[
            &[(1.0, "{toxic}"), (0.7, "leaf|root|seed|plant|\"something from the\"|bottle|\"from the shed\"")],
            &[
                (
                    1.6,
                    "child|kid|children|toddler|baby|son|daughter|boy|girl|grandson|granddaughter|grandchild|nephew|niece|\"year old\"|\"little one\"|twins {eaten}",
                ),
                (
                    1.7,
                    "{person}|{self} mouthful|=swig|=gulp|=gulped|=sipped|\"a sip\"|\"had it with\"|\"had them with\"|\"had some with\"|\"for dinner\"|\"with dinner\"|\"for supper\"|\"for lunch\"|\"with lunch\"",
                ),
                (1.3, "{person} {eaten}"),
                (
                    1.0,
                    "\"i ate\"|\"i swallowed\"|\"i tasted\"|\"i chewed\"|\"i licked\"|\"i drank\"|\"i nibbled\"|\"i sucked\"|\"i has eaten\"|\"i have eaten\"|\"i has chewed\"|\"i has been eating\"|\"i had some\"|\"i tried one\"|\"i tried some\"|\"i may have eaten\"|\"i might have eaten\"|\"i must have eaten\"|\"i just ate\"|\"i only ate\"|\"i already ate\"|\"i got into\"|\"i put it in\"|\"i had a bite\"|\"we ate\"|\"we swallowed\"|\"we tasted\"|\"we chewed\"|\"we licked\"|\"we drank\"|\"we nibbled\"|\"we sucked\"|\"we has eaten\"|\"we have eaten\"|\"we has chewed\"|\"we has been eating\"|\"we had some\"|\"we tried one\"|\"we tried some\"|\"we may have eaten\"|\"we might have eaten\"|\"we must have eaten\"|\"we just ate\"|\"we only ate\"|\"we already ate\"|\"we got into\"|\"we put it in\"|\"we had a bite\"|\"he ate\"|\"he swallowed\"|\"he tasted\"|\"he chewed\"|\"he licked\"|\"he drank\"|\"he nibbled\"|\"he sucked\"|\"he has eaten\"|\"he have eaten\"|\"he has chewed\"|\"he has been eating\"|\"he had some\"|\"he tried one\"|\"he tried some\"|\"he may have eaten\"|\"he might have eaten\"|\"he must have eaten\"|\"he just ate\"|\"he only ate\"|\"he already ate\"|\"he got into\"|\"he put it in\"|\"he had a bite\"|\"she ate\"|\"she swallowed\"|\"she tasted\"|\"she chewed\"|\"she licked\"|\"she drank\"|\"she nibbled\"|\"she sucked\"|\"she has eaten\"|\"she have eaten\"|\"she has chewed\"|\"she has been eating\"|\"she had some\"|\"she tried one\"|\"she tried some\"|\"she may have eaten\"|\"she might have eaten\"|\"she must have eaten\"|\"she just ate\"|\"she only ate\"|\"she already ate\"|\"she got into\"|\"she put it in\"|\"she had a bite\"",
                ),
            ],
        ],
        further: &[
            (1.2, "{person}|{me}|both|all {symptom}"),
            (0.4, "\"in his mouth\"|\"in her mouth\"|\"in their mouth\"|\"poison control\"|\"spat it\"|\"spat out\"|\"spat most\""),
            (0.3, "poisonous|\"are they safe\"|\"is it safe\"|worried|harmful|toxic"),
            (
                -1.2,
                "rabbit|deer|squirrel|groundhog|vole|mouse|chipmunk|bird|slug|snail|caterpillar|beetle|bug|insect|goose|mole|moose|woodchuck|gopher {eaten}",
            ),
            (-0.8, "{pet}"),
            (-1.5, "=eaten|=chewed leaf|leaves \"down to the\"|midrib|midribs"),
            (-1.5, "\"littered with\" =chewed"),
            (
                -1.5,
                "strawberry|strawberries|raspberry|raspberries|blueberry|blueberries|blackberry|blackberries|gooseberry|currant|\"our own berries\"|\"for supper\"|\"every year\"|delicious",
            ),
        ],
        now: 2.4,
        perhaps: 2.1,
    },
    // Cooked or brewed from the wild, and sick.
    Scene {
        kind: DangerKind::SwallowedByPerson,
        parts: &[
            &[(1.0, "=ate|=eaten|=cooked|=fried|=brewed|salad|soup|stew|pesto|tea|=drank|=tasted|smoothie")],
            &[(1.5, "{person}|{me}|both|all|us {symptom}")],
            &[(0.8, "mushroom|toadstool|wild|foraged|=picked|leaves|root|berries|herb|weed|{toxic}")],
        ],
        further: &[(0.5, "\"night\"|hours|since"), (-1.5, "looked|looks like|sick")],
        now: 3.0,
        perhaps: 2.7,
    },
    Scene {
        kind: DangerKind::SwallowedByAnimal,
        parts: &[
            &[(0.6, "{pet}")],
            &[
                (
                    1.5,
                    "{pet}|he|she|it|they =chewed|=chewing|=ate|=eaten|=eating|=swallowed|=licked|=licking|=gobbled|=wolfed|\"got into\"|\"got at\"|\"been at\"|\"been into\"|=got|=had|=nibbled|=nibbling|=snatched|=stole|\"knocked over\"",
                ),
                (1.0, "{pet}|he|she|it|they \"dug up\""),
                (1.0, "{pet} vomit|drool|stagger|seizure|\"throwing up\"|twitching|wobbly|shaking|foaming"),
            ],
            &[
                (1.0, "{toxic}"),
                (
                    0.6,
                    "plant|leaf|seed|nut|mulch|cone|tablet|package|bag|box|trap|grape|onion|garlic|cherry|plum|peach|avocado|chocolate|corn|cob|stone",
                ),
            ],
        ],
        further: &[
            (
                1.3,
                "{pet}|he|she|it =vomiting|=vomited|vomit|\"throwing up\"|\"threw up\"|\"been sick\"|\"being sick\"|drool|drooling|wobbly|wobbling|shaking|trembling|twitching|seizure|fitting|staggering|listless|lethargic|foaming|frothing|hiding|\"will not eat\"|\"off his food\"|\"off her food\"|quiet|panting|swollen|limp",
            ),
            (0.4, "vet|\"this morning\"|tonight|\"last night\"|yesterday|\"just now\"|today|hour"),
            (
                -1.5,
                "\"none of them\"|\"not eat them\"|\"not eat it\"|\"never eats\"|\"always has\"|\"vet says\"|\"vet said\"|\"eats grass\"|\"digs for grubs\"",
            ),
        ],
        now: 3.1,
        perhaps: 2.9,
    },
    // A sting, and the body answers.
    Scene {
        kind: DangerKind::AllergicReaction,
        parts: &[
            &[
                (1.0, "=stung|sting|=stings|=bitten|=bite|\"bee sting\"|\"ant hill\"|\"a cloud came\"|\"whole cloud\"|nest"),
                (0.7, "wasp|hornet|\"yellow jacket\"|\"yellow jackets\"|bee|\"a spider\"|\"fire ant\"|\"fire ants\""),
            ],
            &[
                (
                    2.0,
                    "{person}|{me} \"hives all\"|\"have hives\"|\"has hives\"|\"in hives\"|\"got hives\"|\"and hives\"|\"with hives\"|\"short of breath\"|\"trouble breathing\"|wheeze|\"can not breathe\"|dizzy|\"feels faint\"|\"feel faint\"|\"felt faint\"|=fainted|lightheaded|light-headed|\"light headed\"|\"passed out\"|vomit|\"throwing up\"|\"throw up\"|\"feel sick\"|\"feels sick\"|nauseous|\"hard to swallow\"|\"hard for her to swallow\"|\"hard for him to swallow\"|\"not swallow\"|=swallowing|=collapsed",
                ),
                (2.0, "{person}|{me} head|face balloon|=swollen|=swelling"),
                (2.0, "{person}|{me} voice|heart funny|=hoarse|strange|=pounding|=racing"),
                (1.8, "{person}|{me} bumps|welts|stings hundred|hundreds|dozens|fifty|forty|thirty|twenty|\"all over\"|covered"),
                (
                    2.0,
                    "{person}|{me} lip|lips|tongue|throat|face|eye|eyes|neck|mouth|voice swollen|swell|swelling|puffed|puffy|thick|tight|closing|closed|shut|itch|hoarse|tingling|fat",
                ),
                (1.4, "{person}|{me} =arm|=leg|=hand|=foot|=ankle =swollen|=swelling|=swelled|balloon"),
            ],
        ],
        further: &[
            (0.5, "allergic|epipen|\"adrenaline pen\""),
            (-1.5, "=gone|\"went down\"|\"wore off\"|\"wears off\"|\"by evening\"|\"in a day\""),
            (-1.0, "gall|aphid|nettle|nettles|mosquito"),
        ],
        now: 2.7,
        perhaps: 2.3,
    },
    // Many stings, or a small child's.
    Scene {
        kind: DangerKind::StingingNest,
        parts: &[
            &[(1.0, "{person}|{me}|dog|crew =stung|sting|=stings")],
            &[(
                1.5,
                "dozen|dozens|10|12|15|20|25|30|40|50|ten|fifteen|twenty|thirty|forty|fifty|hundred|many|several|lots|times|repeatedly|\"all over\"|covered|throat|tongue|mouth|eye|allergic",
            )],
        ],
        further: &[(0.5, "child|baby|toddler|pregnant|\"years old\"|old|nest"), (-1.5, "nettle|nettles")],
        now: 2.5,
        perhaps: 2.0,
    },
    Scene {
        kind: DangerKind::IllAfterChemical,
        parts: &[
            &[
                (1.0, "{chemical}"),
                (0.8, "jug|drum|\"strong smell\"|\"old bottle\"|\"crawl space\"|exterminator|\"ant man\"|\"bug man\"|burst"),
                (0.8, "fumes|smoke|product|stuff|granule|pellet|powder|candle|candles"),
            ],
            &[
                (1.6, "{person}|{me} {symptom}"),
                (
                    1.6,
                    "{me}|{person} \"thumping head\"|\"pounding head\"|\"splitting head\"|\"watery eyes\"|\"eyes water\"|\"runny nose\"|\"breathing fast\"|\"throws up\"|\"sore throat\"|\"metal taste\"|\"metallic taste\"|\"in the throat\"|\"seeing spots\"|\"everything is blurry\"|blurry",
                ),
                (
                    1.2,
                    "{me} nose|chest|throat|eyes|skin|lungs|lips burn|burning|burns|sore|tight|hurts|hurt|red|raw|running|streaming|stings|stinging|bleeding|itch|itching|peeling",
                ),
            ],
        ],
        further: &[
            (0.5, "since|after|=mixed|mixing|\"all over me\"|leaked|soaked|breathed|inhaled|splashed|barefoot|drifted|windows|window"),
            (-1.0, "=sick|sick lawn|tree|plant|roses|grass|shrub"),
            (-1.0, "\"felt nothing\"|\"feel fine\"|\"feels fine\"|\"we are fine\"|\"no harm\"|\"sick of\"|\"sick and tired\""),
            (-0.8, "gall|blister beetle|mite"),
        ],
        now: 2.6,
        perhaps: 2.3,
    },
    Scene {
        kind: DangerKind::PlantSap,
        parts: &[
            &[
                (
                    1.2,
                    "hogweed|parsnip|\"poison ivy\"|\"poison oak\"|\"poison sumac\"|\"leaves of three\"|spurge|euphorbia|rue|\"stinging tree\"|manchineel|oleander",
                ),
                (
                    1.0,
                    "sap|juice|\"white umbrella\"|\"white umbels\"|\"hairy stem\"|\"hairy stems\"|\"hairy vine\"|\"hairy vines\"|\"milky sap\"",
                ),
                (0.9, "\"weed whip\"|\"weed whacker\"|\"weed eater\"|\"brush cutter\"|\"tall stuff\"|ditch|strimmer"),
                (0.7, "vine|vines|weed|weeds|brush|hedge|plant|ivy|strimmed|\"weed whacked\""),
            ],
            &[
                (
                    1.6,
                    "{me}|{person}|arm|arms|leg|legs|hand|hands|skin|face|neck blister|blisters|blistered|=burns|welts|=weeping|=oozing|\"burned skin\"|\"burnt skin\"|raw",
                ),
                (
                    1.8,
                    "face|eye|eyes|mouth|throat|lips|tongue|genitals swollen|swelling|swelled|swell|shut|closing|puffy|rash|blister|tight",
                ),
                (1.0, "{me}|{person}|arm|arms|leg|legs|hand|hands|skin|face|neck rash|redness|\"red and\""),
                (1.6, "{me}|{person} \"hot water\"|scalded|\"like a burn\"|\"like burns\"|blistering|\"burned me\"|\"boiling water\""),
                (2.0, "breathed|inhaled smoke"),
                (1.6, "eye|eyes sap|juice|splashed|squirted|burn|burning|burns|sting|see"),
            ],
        ],
        further: &[
            (
                0.8,
                "\"in the sun\"|sun|sunlight|fever|spreading|worse|pus|infected|hospital|whole|\"all over\"|\"can not open\"|\"nearly shut\"|smoke|burned",
            ),
            (0.6, "breathing|breathe|throat"),
            (-1.2, "\"gone by\"|\"by evening\"|\"gloves help\"|little redness|\"nobody has touched\"|\"no one touched\""),
        ],
        now: 2.8,
        perhaps: 2.3,
    },
    Scene {
        kind: DangerKind::TickBite,
        parts: &[
            &[
                (1.0, "tick|ticks"),
                (
                    0.8,
                    "=bite|=bitten|=bites|\"pulled something off\"|\"picked something off\"|\"leaf pile\"|\"leaf piles\"|\"long grass\"|\"tall grass\"|\"pulled one off\"|\"found one on\"",
                ),
                (0.6, "woodland|woods|meadow|deer|brush|thicket"),
            ],
            &[
                (
                    1.6,
                    "{me}|{person} fever|chills|\"flu like\"|flu|rash|aches|aching|\"stiff neck\"|\"joint pain\"|\"joints ache\"|\"joints hurt\"|headache|headaches|\"swollen knee\"|\"face droops\"|\"droopy face\"",
                ),
                (1.8, "patch|spot|mark|rash =target|bullseye|=ring|archery knee|leg|arm|skin|thigh|my|his|her|back|armpit"),
                (1.3, "every|all|my|his|her joint|joints =aches|=ache|=aching|=hurt|=hurts|=swollen"),
                (1.8, "{person}|{me} face|mouth|side hangs|droops|drooping|=lopsided|=numb|palsy"),
                (
                    1.6,
                    "ring|circle|bullseye|\"bull's eye\"|bulls-eye|target|rash bite|leg|arm|back|knee|skin|belly|thigh|neck|shoulder|armpit|behind",
                ),
            ],
        ],
        further: &[
            (0.4, "{me}|{person}"),
            (0.4, "bigger|grows|growing|spreading|wider|days|weeks"),
            (-1.0, "\"no ticks\"|\"not had one\""),
        ],
        now: 2.6,
        perhaps: 2.4,
    },
];
