//! Ill or splashed after a chemical; fumes of an engine.

use crate::danger::DangerKind;
use crate::danger::rule::{DANGER_GAP, Rule, WIDE_GAP};

pub(super) const RULES: &[Rule] = &[
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: 4,
        patterns: &[
            "{person}|we|he|she|\"i feel\"|\"i felt\"|\"i got\"|\"i have\"|\"i am\"|\"i was\"|\"i became\"|\"made me\"|\"makes me\"|\"i have been\"|i|\"my throat\"|\"my chest\"|\"my lungs\"|\"my stomach\"|\"my head\"|lips sick|ill|rash|dizzy|nausea|nauseous|nauseated|headache|headachy|wheeze|cough|blister|hives|vomit|\"feel faint\"|\"feels faint\"|\"felt faint\"|\"feeling faint\"|\"faint after\"|\"faint and\"|=fainted|=fainting|unwell|woozy|asthma|confused|hurts|numb|tight|\"short of breath\"|breathing|breathe|\"throwing up\"|\"threw up\"|\"passed out\"|itching|itchy",
            "=ill|=sick|poorly|unwell after|since|from",
        ],
        with: &[
            "spray|=sprayed|spraying|chemical|pesticide|weedkiller|herbicide|insecticide|fungicide|killer|drift|=treated|treatment|fog|fumes|mist|granule|dusted|fertilizer|applied|mushroom|mushrooms|berries|bait",
        ],
        unless: &[
            "\"at hand\"|\"by hand\"|\"on hand\"",
            "\"transplant shock\"",
            "=keeps|=keep|bee|bees hive|hives",
            "\"sick of\"|\"sick and tired\"",
            "\"grass is sick\"|\"lawn is sick\"|\"rose is sick\"|\"roses are sick\"|\"tree is sick\"|\"trees are sick\"|\"plant is sick\"|\"plants are sick\"|\"hedge is sick\"|\"shrub is sick\"|\"grass is ill\"|\"lawn is ill\"|\"plants are ill\"|\"tree is ill\"|\"sick lawn\"|\"sick tree\"|\"sick plant\"|\"sick plants\"|\"sick rose\"|\"sick roses\"",
            "plant|lawn|tree|rose|roses|shrub|leaf|leaves|grass|it|they|azalea|hedge =look|=looks|=looked|seem|=seems =sick|=ill|unwell|poorly",
        ],
    },
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: DANGER_GAP,
        patterns: &[
            "rash|dizzy|nausea|nauseous|wheezing|blister|hives|\"trouble breathing\"|\"hard to breathe\"|\"cannot breathe\"|headache spray|=sprayed|chemical|pesticide|weedkiller|herbicide|insecticide|killer|fumes|drift|treated|treatment",
            "spray|chemical|splash|lime|granule|concentrate|pesticide|herbicide|killer|weedkiller|fertilizer|bleach|cement|insecticide|fungicide|sap|drift|product|dust \"my eyes\"|\"his eyes\"|\"her eyes\"|\"their eyes\"|\"my eye\"|\"his eye\"|\"her eye\"|\"the eye\"|\"the eyes\"|\"our eyes\"|\"my face\"|\"his face\"|\"her face\"",
            "\"my eyes\"|\"his eyes\"|\"her eyes\"|\"my eye\"|\"his eye\"|\"her eye\" burn|sting|splash|cannot|blind|swell",
            "spray|chemical|concentrate|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|lime|cement|bleach|acid|hogweed|parsnip skin|arm|arms|hand|hands|leg|legs|neck|myself|himself|herself|face =peeling|=raw|=stinging|burn|=burned|=burning|=burnt|blister|=soaked|=spilled|=spilt|=splashed|=drenched|rash",
            "eye|eyes =stream|=streaming|=streamed|=smarting|=smart|=watering|=stinging|=burning|=itching|=red|=swollen spray|=sprayed|=spraying|chemical|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fumes|fume|drift|dust|powder|=lime",
            "\"not stop coughing\"|\"stop coughing\"",
            "hogweed|parsnip blister|burn|rash|swollen|touch",
            "ivy|oak|sumac rash|swell|swollen face|eyes|eye|throat|mouth|breathe",
            "inhale|\"breathed in\"|\"breathing in\" spray|chemical|pesticide|fume|smoke|dust|killer|weedkiller|mist|fog|ivy|herbicide",
            "{person}|i|we|he|she =splashed|=drenched|=soaked|=doused|\"was sprayed\"|\"got sprayed\"|\"were sprayed\"|\"been sprayed\"|\"sprayed me\"|\"sprayed him\"|\"sprayed her\"|\"sprayed us\"|\"sprayed myself\"|\"sprayed himself\"|\"sprayed herself\"|\"sprayed in\" \"directly\"|\"by the\"|with|face|eyes pesticide|chemical|herbicide|insecticide|killer|weedkiller|drift|sprayer",
            "caustic|acid|ammonia|chlorine|=bleach|lime|cement|solvent|\"patio cleaner\"|\"brick cleaner\"|\"drain cleaner\"|creosote|chemical|spray|killer|weedkiller|concentrate|fertilizer skin|hand|hands|finger|fingers|glove|gloves|arm|leg|feet|boot|boots|\"my foot\"|\"his foot\"|\"her foot\"|\"my back\"|\"his back\"|\"her back\"|face|neck|mouth|lips burn|=burns|=burning|=burnt|blister|=stinging|=stings|=raw|=red|=numb|=peeling|=swollen|=soaked|=splashed",
            "faceful|lungful|eyeful|\"mouthful of\" spray|chemical|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|dust|powder|fume|mist|fog|fertilizer|lime|concentrate|mix",
            "spray|chemical|concentrate|pesticide|herbicide|killer|weedkiller|insecticide|fungicide|lime|cement|=bleach|mix|product \"down my\"|\"down his\"|\"down her\"|\"on my skin\"|\"on his skin\"|\"on her skin\"|\"in my mouth\"|\"up my nose\"|\"over myself\"|\"over himself\"|\"over herself\"|\"on my clothes\"|\"through my gloves\"",
            "skin|hand|hands|arm|arms|leg|legs|neck|face|feet|foot =peeling|=raw|=blistering|=blistered|=burning|=burnt|=stinging|=itching|=numb|=swollen spray|=sprayed|=spraying|chemical|pesticide|weedkiller|herbicide|insecticide|killer|drift|fertilizer|lime|sap",
            "\"got sprayed\"|\"was sprayed by\"|\"sprayed in the face\"",
        ],
        with: &[],
        unless: &[
            "\"at hand\"|\"by hand\"|\"on hand\"",
            "\"keep my|an eye\"",
            "\"transplant shock\"",
            "blade|blades|leaf|leaves raised|blister|pustule|spots",
            "=keeps|=keep|bee|bees hive|hives",
        ],
    },
    Rule {
        kind: DangerKind::EngineFumes,
        gap: DANGER_GAP,
        patterns: &[
            "\"carbon monoxide\"",
            "generator|engine|mower|exhaust|blower|heater|washer|pump|barbecue|charcoal inside|garage|shed|greenhouse|indoors|basement|cellar|barn|polytunnel|tunnel|closed dizzy|giddy|headache|\"splitting head\"|sick|\"feel faint\"|\"feels faint\"|\"felt faint\"|\"feeling faint\"|\"faint after\"|\"faint and\"|=fainted|=fainting|drowsy|nausea|\"passed out\"|woozy",
            "exhaust|fumes garage|shed|greenhouse dizzy|headache|sick|\"feel faint\"|\"feels faint\"|\"felt faint\"|\"feeling faint\"|\"faint after\"|\"faint and\"|=fainted|=fainting|collapse",
        ],
        with: &[],
        unless: &["\"at hand\"|\"by hand\"|\"on hand\""],
    },
    Rule {
        kind: DangerKind::IllAfterChemical,
        gap: WIDE_GAP,
        patterns: &[
            "hand|hands|arm|arms|skin|face|lip|lips|tongue|throat|finger|fingers|eye|eyes|leg|legs =welts|=welt|=numb|=swelled|=swollen|=blisters|=blistered|=tingling|=tingle|=itchy|=itching|=burned|=burnt|=burning|=stinging|=peeling|=weeping =treated|=dressing|=dressed|=handled|=handling|=mixed|=mixing|=sprayed|=spray|=spraying|chemical|powder|granule|dust|sap|=lime|=touched",
            "{person}|{pet}|i|we|he|she|my|our|his|her|=me|=us|youngest|eldest|oldest|=him|=kids =dizzy|giddy|\"feel faint\"|\"feels faint\"|\"felt faint\"|\"feeling faint\"|\"faint after\"|\"faint and\"|=fainted|=fainting|woozy|nausea|nauseous|nauseated|vomit|wheeze|\"catch his breath\"|\"catch her breath\"|\"catch my breath\"|\"out of breath\"|\"short of breath\"|breathless|=tingling|tingle|=numb|blister|hives|rash|\"chest tight\"|\"tight chest\"|=collapsed|unwell|\"throwing up\"|\"threw up\"|\"blurred vision\"|\"blurry vision\"|\"double vision\"|drool|convulse|=twitching|=choking|=poorly|=sweaty|=sweating|=clammy|=shaky|=shaking|=shakes|=trembling|=cramps|cramping|headache|\"splitting head\"|migraine|\"blotchy skin\"|\"red eyes\"|\"sore eyes\"|\"sore throat\"|\"burning throat\"|\"throat burns\"|cough|=coughs|=disorientated|=disoriented|=confused|=drowsy|\"cannot see\"|=blind|\"heart racing\"|palpitations|\"off colour\"|\"green around\"|=fainted|=lightheaded|\"light headed\"|light-headed|=retching|retch|=swollen|diarrhoea|diarrhea|=unsteady|\"passed out\" spray|=sprayed|=spraying|=sprayer|chemical|pesticide|weedkiller|\"weed killer\"|herbicide|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fogger|fumes|concentrate|\"moss killer\"|\"bug killer\"|\"treated lawn\"|\"treated grass\"|granule|pellet|=dust|=powder|bait|\"slug bait\"|paraquat|caustic|solvent|ammonia|chlorine|=dusted|=gassed|\"rat poison\"|killer|=bleach",
            "{person}|{person}|{pet}|i|we|he|she|my|our|his|her|=me|=us|youngest|eldest|oldest|=him|=kids =eyes|=eye|=face spray|=sprayed|=spraying|=sprayer|chemical|pesticide|weedkiller|\"weed killer\"|herbicide|insecticide|fungicide|fumigant|fumigat*|=fogged|=fogging|fogger|fumes|concentrate|\"moss killer\"|\"bug killer\"|\"treated lawn\"|\"treated grass\"|granule|pellet|=dust|=powder|bait|\"slug bait\"|paraquat|=bleach|lime|=dust|cement|sap|hogweed|=bleach|acid blew|=got|=splashed|splash|=went|=blown|sprayed|burn|sting|=hit|squirt|swell|=red",
        ],
        with: &[],
        unless: &[
            "\"at hand\"|\"by hand\"|\"on hand\"",
            "=keeps|=keep|bee|bees hive|hives",
            "blade|blades|leaf|leaves raised|blister|blisters|pustule",
            "plant|lawn|tree|rose|roses|shrub|leaf|leaves|grass|it|they =look|=looks|=looked|seem|=seems =sick|=ill|unwell|=poorly",
            "bloom|flower|grow|=grew|drain|root|=rooted|set|fruit =poorly",
            "\"an eye\"",
        ],
    },
];
