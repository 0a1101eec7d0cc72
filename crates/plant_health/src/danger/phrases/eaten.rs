//! What people and animals have swallowed.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: DANGER_GAP,
        patterns: &[
            "{person} eat|swallow|drink|ingest|chew|suck|lick|taste|mouth|mouthful|munch|sip|swig|swill|gulp|nibble {poison}|leaf|plant|liquid|stuff|something|some|powder|seed|treated|flower|pod",
            "i|he|she|we|they eat|swallow|drink|ingest|chew|suck|lick|taste|mouth|sip pellet|bait|granule|poison|pesticide|insecticide|weedkiller|herbicide|fungicide|\"weed killer\"|chemical|antifreeze|gasoline|petrol|=bleach|concentrate|diesel|kerosene|paraffin|\"wild mushroom\"",
            "eat|taste|chew mushroom|toadstool|berry|leaf|leaves|bulb|root sick|ill|vomit|vomiting|dizzy|stomach|cramp|nauseous|nausea|diarrhea|numb",
            "child|kid|children|toddler|baby|son|daughter|boy|girl|grandson|granddaughter|grandchild|infant \"got into\"|\"get into\"|\"gotten into\" {poison}|shed",
            "{person}|he|she =swallowed",
            "=swallowed {poison}",
            "{poison} \"in his mouth\"|\"in her mouth\"|\"in their mouth\"|\"in the mouth\"|\"in its mouth\"",
            "=poisoned|=poisoning {person}|he|she|we",
        ],
        with: &[],
        unless: &[
            "\"not eat them\"|\"not eat it\"|\"not eat any\"",
            "deer|rabbit|vole|squirrel|raccoon|skunk|possum|groundhog|fox|goose|crow|caterpillar|beetle|chipmunk =chewed|=ate|=eaten|=browsed|=nibbled|=chewing|=eating|=stripped|=got|ate",
            "strawberry|strawberries|raspberry|raspberries|blueberry|blueberries|tomato|tomatoes",
            "=eaten|=chewed leaf|leaves \"down to the\"|midrib|midribs",
            "\"littered with\" =chewed",
            "smoking hot",
            "\"poison ivy\"",
            "poisoned tree|trees|plant|shrub|lawn|grass|oak|maple|hedge|soil",
        ],
    },
    Rule {
        kind: DangerKind::SwallowedByAnimal,
        gap: DANGER_GAP,
        patterns: &[
            "{pet} eat|swallow|drink|ingest|chew|lick|gobble|nibble|mouthful|=wolfed|=scoffed|=lapped|=devoured|=guzzled|=crunched|=munched|=snaffled|\"got into\"|\"get into\"|\"got hold\"|\"gotten into\"|\"been into\" {poison}|mulch|cocoa|\"bone meal\"|bonemeal|\"blood meal\"|lily|lilies|sago|something|toad|azalea|rhododendron|daffodil|trap|clipping|treated",
            "{pet} =vomiting|=vomited|\"throwing up\"|\"threw up\"|drool|seizure|=foaming|=frothing|=slobbering|=dribbling|=bloated|=wobbling|=lethargic|twitch|stagger|convulse|convulsion|=collapsed|=trembling|=shaking|limp|unresponsive|\"very sick\"",
            "{pet} \"got into\"|\"get into\"|\"gotten into\"|\"been at\"|\"been in\"|\"got at\"|\"broke into\"|\"tore open\" bag|box|tub|sack|packet|bottle|shed|tin|bucket|container|jar",
            "{pet}|he|she|it ate|eaten|=swallowed|=licked|=drank|=chewed \"being sick\"|\"been sick\"|\"is sick\"|\"was sick\"|=vomiting|=vomited|\"throwing up\"|\"threw up\"|=drooling|=dribbling|=wobbly|=shaking|=trembling|=twitching",
            "{pet} =fitting|=convulsing|=dribbling|=wobbly|\"a fit\"|=seizing|\"keeled over\"|\"cannot walk\"|\"cannot stand\"",
            "{pet} sick|ill|vomit spray|=sprayed|treat|chemical|pesticide|bait|pellet|fertilizer|berry|mushroom|ate",
            "{pet}|=he|=she =swallowed",
            "=poisoned|=poisoning {pet}",
            "=he|=she \"got into\"|\"gotten into\" bait|poison|pellet|antifreeze|\"slug bait\"",
        ],
        with: &[],
        unless: &[
            "\"not eat them\"|\"not eat it\"|\"not eat any\"",
            "deer|rabbit|vole|squirrel|raccoon|skunk|possum|groundhog|fox|goose|crow|caterpillar|beetle|chipmunk =chewed|=ate|=eaten|=browsed|=nibbled|=chewing|=eating|=stripped|=got|ate",
            "\"dog vomit\"",
            "looks|like vomit",
            "\"ate the poison ivy\"|\"ate poison ivy\"|\"eat poison ivy\"|\"eat the poison ivy\"",
            "\"not eat them\"|\"not eat it\"",
            "ate|eaten|eat none|nothing",
        ],
    },
    // The wide net: a harm and what does it in one sentence, however far apart and in whatever order.
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: WIDE_GAP,
        patterns: &[
            "{person} =bites|=biting|=licking|=chewing|=sucking mushroom|toadstool|berry|berries|bulb|pellet|granule|leaf|leaves|root|seed|pod|twig",
            "{person}|toddler|baby|kid =empty|=open|=spilled bait|poison|pellet|killer|pesticide|packet|bottle =lips|=mouth|=hands|=sick|=drowsy|=near|=holding|=beside",
            "=he|=she|=i|=we|=they =eat|=eats|=ate|=eaten|swallow|drink|lick|=chewed|=chewing|swig|sip|gulp|=tasted|=sucked|=nibbled antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura",
            "=mistook|=mistaken|=thought|=confused|=took {poison}|foxglove|monkshood|hemlock|hogweed =eat|=eaten|=ate|drink|=drank|=tea|=salad|=soup|=ill",
            "{person}|youngest|eldest|oldest|=twins eat|swallow|drink|lick|chew|swig|sip|gulp|mouthful|ingest|taste|nibble|munch|\"polished off\"|\"helped himself\"|\"helped herself\"|\"got at\"|\"been at\"|\"been in\"|\"been into\"|\"got into\"|\"gotten into\"|\"found with\"|\"got hold\"|\"tea from\"|\"soup from\"|\"made tea\"|=brewed|=stripped|\"put a\"|=wolfed|=scoffed|=devoured|=guzzled|=browsed|=grazed|=cropped|=sampled|=sucked|=sipped|=gulped|=downed|\"put in his mouth\"|\"put in her mouth\"|\"ate up\"|=hoovered|=gnawed|=mouthed|=chew|=bites|=biting antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura",
        ],
        with: &[],
        unless: &[
            "\"not eat them\"|\"not eat it\"|\"not eat any\"",
            "deer|rabbit|vole|squirrel|raccoon|skunk|possum|groundhog|fox|goose|crow|caterpillar|beetle|chipmunk =chewed|=ate|=eaten|=browsed|=nibbled|=chewing|=eating|=stripped|=got|ate",
            "=eaten|=chewed leaf|leaves \"down to the\"|midrib|midribs",
            "\"littered with\" =chewed",
        ],
    },
    Rule {
        kind: DangerKind::SwallowedByPerson,
        gap: WIDE_GAP,
        patterns: &[
            "{person} =bit|=bite mushroom|toadstool|berry|berries|bulb|pellet|granule|leaf|leaves|root|seed|pod|twig|bait|poison|capsule|tablet|\"lawn food\"|\"plant food\"|\"rose food\"|foxglove|yew|oleander|monkshood|nightshade|laburnum",
        ],
        with: &[],
        unless: &[
            "\"not eat them\"|\"not eat it\"|\"not eat any\"",
            "deer|rabbit|vole|squirrel|raccoon|skunk|possum|groundhog|fox|goose|crow|caterpillar|beetle|chipmunk =chewed|=ate|=eaten|=browsed|=nibbled|=chewing|=eating|=stripped|=got|ate",
            "\"a bit\"|\"little bit\"|\"bit of\"|\"every bit\"",
        ],
    },
    Rule {
        kind: DangerKind::SwallowedByAnimal,
        gap: WIDE_GAP,
        patterns: &[
            "{pet} =missing|\"is gone\"|\"are gone\"|\"was gone\"|\"were gone\"|\"ran off\"|\"made off\"|=stole|=grabbed|=empty|=ripped|=tore bait|poison|pellet|granule|fertilizer|killer|\"bone meal\"|antifreeze",
            "{pet} =sniffing|=rolled|=rolling|=walked|=paddled|=stepped spray|=wet|=chemical|=herbicide|=weedkiller|=killer sick|=vomiting|drool|=shaking|burn|=licked|=licking|wobbly",
            "{pet} eat|swallow|drink|lick|chew|swig|sip|gulp|mouthful|ingest|taste|nibble|munch|\"polished off\"|\"helped himself\"|\"helped herself\"|\"got at\"|\"been at\"|\"been in\"|\"been into\"|\"got into\"|\"gotten into\"|\"found with\"|\"got hold\"|\"tea from\"|\"soup from\"|\"made tea\"|=brewed|=stripped|\"put a\"|=had|=wolfed|=scoffed|=devoured|=guzzled|=browsed|=grazed|=cropped|=sampled|=sucked|=sipped|=gulped|=downed|\"put in his mouth\"|\"put in her mouth\"|\"ate up\"|=hoovered|=gnawed|=mouthed|bite antifreeze|killer|\"drain cleaner\"|creosote|diesel|petrol|gasoline|paraffin|kerosene|caustic|\"white spirit\"|\"slug pellet\"|\"slug pellets\"|\"slug bait\"|\"snail bait\"|\"snail pellets\"|bait|\"castor oil plant\"|\"lily of the valley\"|\"angel trumpet\"|\"autumn crocus\"|\"death cap\"|hogweed|\"cherry laurel\"|\"laurel leaves\"|\"rhubarb leaves\"|privet|\"ivy berries\"|mistletoe|\"holly berries\"|\"sago palm\"|fertilizer|\"liquid feed\"|\"rat bait\"|\"rat poison\"|\"mouse poison\"|weedkiller|\"weed killer\"|pesticide|insecticide|herbicide|fungicide|paraquat|\"bone meal\"|bonemeal|\"blood meal\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"ant powder\"|\"grub powder\"|yew|oleander|foxglove|laburnum|monkshood|\"daffodil bulb\"|\"daffodil bulbs\"|\"lily bulb\"|\"tulip bulb\"|\"castor bean\"|\"castor beans\"|nightshade|\"water hemlock\"|hellebore|datura|=snail|cocoa|=grapes|=xylitol",
        ],
        with: &[],
        unless: &[
            "\"not eat them\"|\"not eat it\"|\"not eat any\"",
            "deer|rabbit|vole|squirrel|raccoon|skunk|possum|groundhog|fox|goose|crow|caterpillar|beetle|chipmunk =chewed|=ate|=eaten|=browsed|=nibbled|=chewing|=eating|=stripped|=got|ate",
            "\"dog vomit\"",
            "ate|eaten|eat none|nothing",
        ],
    },
];
