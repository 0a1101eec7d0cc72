//! Who and what the rules and scenes speak of.

/// Lists that the rules name in braces.
const LISTS: &[(&str, &str)] = &[
    (
        "{person}",
        "child|kid|children|toddler|baby|infant|son|daughter|boy|girl|grandson|granddaughter|grandchild|grandkid|nephew|niece|student|husband|wife|partner|mother|father|mom|mum|dad|grandma|grandpa|grandmother|grandfather|uncle|aunt|brother|sister|friend|tenant|someone|somebody|everyone|everybody|people|neighbor|neighbour|worker|helper|crew|employee|landscaper|gardener|man|woman|guy|lad|lass|gran|granny|nan|nana|grandad|granddad|spouse|girlfriend|boyfriend|=mate|=mates|cousin|colleague|workman|workmen|operator|contractor|visitor|guest|customer|client|lady|teen|teenager|pupil|kiddo|youngster|twin|twins|\"little one\"|\"year old\"|\"old lady\"",
    ),
    (
        "{below}",
        "house|roof|car|cars|driveway|drive|sidewalk|pavement|street|road|lane|alley|path|conservatory|greenhouse|tent|caravan|balcony|terrace|classroom|barn|stable|kennel|playhouse|sandpit|seat|table|hammock|neighbors|neighbours|playground|swing|swingset|playset|kid|kids|child|children|people|garage|shed|neighbor|neighbour|window|bedroom|school|patio|deck|porch|walkway|footpath|mailbox|trampoline|bench|\"our heads\"|\"their heads\"|\"my head\"|steps|stairs|campsite|parking|gate|entrance|overhead|door|bed|bus|stop|walk|pool|sandbox|tent|picnic|crib|nursery",
    ),
    (
        "{pet}",
        "dog|cat|puppy|pup|kitten|kitty|pet|horse|pony|goat|sheep|cow|llama|alpaca|lab|labrador|retriever|terrier|beagle|poodle|spaniel|collie|husky|dachshund|hound|bulldog|doodle|shepherd|chicken|hen|cockerel|goose|duck|\"my bunny\"|\"our bunny\"|\"pet rabbit\"|\"our rabbit\"|\"my rabbit\"|\"rabbit in the hutch\"|tortoise|ferret|\"guinea pig\"|donkey|calf|ewe|lamb|whippet|corgi|pug|boxer|mutt|moggy",
    ),
    (
        "{tree}",
        "limb|branch|bough|tree|trunk|oak|maple|pine|spruce|ash|elm|willow|birch|poplar|cherry|cedar|fir|beech|larch|alder|rowan|walnut|chestnut|sycamore|conifer|cypress|leylandii|eucalyptus|cottonwood|aspen|hornbeam|linden|magnolia|plane|pear|apple|hawthorn|acacia|robinia|palm|\"gum tree\"|\"lime tree\"",
    ),
    (
        "{line}",
        "wire|wires|powerline|powerlines|\"power line\"|\"power lines\"|\"power cable\"|\"power cables\"|\"electric line\"|\"electric lines\"|\"electric cable\"|\"electric cables\"|\"electricity cable\"|\"electricity cables\"|\"electricity line\"|\"electricity lines\"|\"electrical line\"|\"electrical lines\"|\"utility line\"|\"utility lines\"|\"service line\"|\"service drop\"|\"overhead line\"|\"overhead lines\"|\"overhead cable\"|\"overhead cables\"|\"supply cable\"|\"phone line\"|\"high voltage\"",
    ),
    (
        "{poison}",
        "pellet|bait|poison|granule|fertilizer|pesticide|insecticide|weedkiller|herbicide|fungicide|killer|spray|sprayer|chemical|antifreeze|gasoline|petrol|fuel|oil|bottle|concentrate|lime|=bleach|berry|mushroom|toadstool|bulb|foxglove|yew|oleander|nightshade|hemlock|laburnum|aconite|monkshood|\"castor bean\"|\"rose food\"|\"plant food\"|\"lawn food\"|\"tomato food\"|\"bulb food\"|\"rose feed\"|\"lawn feed\"|\"plant feed\"|\"tomato feed\"|\"weed and feed\"|dust|powder|tablet|crystal|capsule|paraquat|\"lily of the valley\"|\"deadly nightshade\"|hellebore|datura|brugmansia|\"angel trumpet\"|\"moss killer\"|\"ant powder\"|\"drain cleaner\"|\"wood preservative\"|creosote|paraffin|kerosene|diesel",
    ),
    (
        "{part}",
        "finger|fingers|=toe|=toes|thumb|ankle|wrist|shin|\"my foot\"|\"his foot\"|\"her foot\"|\"my hand\"|\"his hand\"|\"her hand\"|\"my leg\"|\"his leg\"|\"her leg\"|\"the leg\"|\"my arm\"|\"his arm\"|\"her arm\"|\"the arm\"|\"my head\"|\"his head\"|\"her head\"|\"my face\"|\"his face\"|\"her face\"|\"the face\"|\"my knee\"|\"his knee\"|\"her knee\"|\"my thigh\"|\"my eye\"|\"his eye\"|\"her eye\"|\"the eye\"",
    ),
    // Who or what a scene befalls: a person, or a word that stands for one.
    ("{me}", "i|me|my|myself|we|us|our|ours|he|him|his|she|her|himself|herself"),
    // What only a being's body does.
    (
        "{symptom}",
        "\"have hives\"|\"has hives\"|\"had hives\"|\"hives all\"|\"hives on\"|\"in hives\"|\"got hives\"|\"and hives\"|\"with hives\"|\"of hives\"|\"into hives\"|headache|dizzy|dizziness|giddy|woozy|nausea|nauseous|nauseated|queasy|vomit|vomiting|vomited|\"throwing up\"|\"threw up\"|\"thrown up\"|\"throw up\"|\"being sick\"|\"been sick\"|\"was sick\"|\"were sick\"|\"got sick\"|\"feel sick\"|\"feels sick\"|\"felt sick\"|\"feeling sick\"|\"feel ill\"|\"feels ill\"|\"are ill\"|\"feel unwell\"|retch|wheeze|cough|choke|\"short of breath\"|\"out of breath\"|breathless|\"trouble breathing\"|\"hard to breathe\"|\"cannot breathe\"|\"can not breathe\"|\"tight chest\"|\"chest tight\"|\"chest is tight\"|\"chest hurts\"|\"tummy ache\"|tummyache|\"stomach ache\"|stomachache|\"stomach cramps\"|\"belly ache\"|bellyache|\"sore tummy\"|\"sore stomach\"|\"stomach hurts\"|\"tummy hurts\"|\"belly hurts\"|cramps|diarrhea|diarrhoea|\"the runs\"|\"feel faint\"|\"feels faint\"|\"felt faint\"|\"feeling faint\"|\"is faint\"|=fainted|lightheaded|light-headed|\"light headed\"|\"passed out\"|fever|feverish|rash|blister|welt|drool|slobber|=foaming|=frothing|=shaking|=shaky|=shivering|trembling|twitching|seizure|fitting|convulsion|convulsing|wobbly|wobbling|staggering|stumbling|listless|lethargic|drowsy|sleepy|\"hard to wake\"|confused|rambling|slurred|slurring|\"not making sense\"|\"blurred vision\"|\"blurry vision\"|\"seeing double\"|\"heart racing\"|\"racing heart\"|palpitations|numb|tingling|sweating|clammy|\"swollen face\"|\"face is swollen\"|\"face swollen\"|unwell|poorly",
    ),
    // What makes those ill who eat of it.
    (
        "{toxic}",
        "mushroom|toadstool|berry|berries|bulb|daffodil|narcissus|tulip|hyacinth|lily|lilies|crocus|yew|oleander|foxglove|monkshood|aconite|nightshade|hemlock|laburnum|laurel|rhododendron|azalea|\"castor bean\"|\"castor beans\"|sago|hellebore|datura|brugmansia|privet|ivy|wisteria|lantana|hydrangea|rhubarb|\"lily of the valley\"|larkspur|delphinium|pokeweed|caladium|euphorbia|spurge|milkweed|hogweed|buttercup|cocoa|bait|pellet|granule|poison|fertilizer|\"plant food\"|\"bone meal\"|bonemeal|\"blood meal\"|antifreeze|pesticide|herbicide|insecticide|fungicide|weedkiller|killer|bleach|\"wild garlic\"|parsnip|parsnips|\"rat boxes\"|\"rat box\"|\"bait boxes\"|\"wild carrot\"|\"wild parsnip\"|\"wild onion\"|\"wild onions\"|acorn|chestnut|\"seed pod\"|\"seed pods\"|compost|mothball",
    ),
    (
        "{eaten}",
        "=ate|=eaten|=eating|=chewed|=chewing|=swallowed|=tasted|=nibbled|=nibbling|=licked|=licking|=sucked|=drank|=munched|=munching|=gobbled|=wolfed|=devoured|\"got into\"|\"got hold\"|\"got at\"|\"been at\"|\"been into\"|\"tried some\"|\"tried one\"|\"had some\"|\"had a bite\"|\"in his mouth\"|\"in her mouth\"|\"in their mouth\"|\"in its mouth\"|\"in her cheek\"|\"in his cheek\"|\"spat out\"|\"dug up\"|=cooked|=brewed|=fried",
    ),
    (
        "{chemical}",
        "spray|sprayer|spraying|sprayed|fogged|fogging|fogger|fumigate|fumigated|fumigant|chemical|pesticide|herbicide|insecticide|fungicide|weedkiller|killer|sulphur|sulfur|dust|dusted|ammonia|chlorine|bleach|acid|solvent|thinner|creosote|lime|concentrate|fumes|treated|treatment|paraquat|caustic|\"smoke bomb\"|mist",
    ),
    // The same without the words of owning.
    ("{self}", "i|me|we|us|he|him|she"),
    (
        "{bodypart}",
        "eye|eyes|skin|shoulder|shoulders|neck|throat|chest|heart|stomach|belly|tummy|=head|=heads|face|ear|ears|lip|lips|tongue|mouth|=hand|=hands|finger|fingers|thumb|wrist|=arm|=arms|elbow|=leg|=legs|knee|knees|ankle|=foot|=feet|=toe|=toes|rib|ribs|hip|thigh|lung|lungs|nose|gums|temple|scalp",
    ),
    (
        "{harm}",
        "=streaming|=burning|=burns|=burned|=burnt|=stinging|=sting|=stings|=swollen|=swelled|=swelling|=blistered|=blisters|=blister|=blistering|=raw|=peeling|\"skin is coming\"|\"skin coming off\"|\"skin comes off\"|\"skin came off\"|=bleeding|=bled|=bleeds|blood|\"lot of red\"|=numb|=tingling|=tingles|=throbbing|=purple|=blurry|=blurred|halo|=oozing|=weeping|=twisted|=broken|=crushed|\"like mad\"|=pounding|=racing|=tight|=closed|=closing|=rash|=welts|=hives|\"on fire\"|=torn|=gashed|=cut|=crooked|\"not see\"|\"not feel\"|\"not move\"|\"not bend\"|\"not close\"|=scalded|=stabbed|=pierced|=smashed",
    ),
    ("{ache}", "=red|=sore|=aches|=aching|=hurts|=hurt|=itchy|=itching|=itches|=stiff|=bad|=bumps|=watery|=runny|=spots|=patch|=hot"),
    ("{wood}", "{tree}|arm|top|half|leader|\"a fork of\"|\"the fork\""),
    (
        "{small}",
        "shrub|hydrangea|tulip|perennial|twig|sapling|seedling|=staked|peony|phlox|corn|tomato|sunflower|bonsai|=potted|young|newly|lilac|juniper|bud",
    ),
];

/// A pattern with every list put in its place.
pub(super) fn with_lists(text: &str) -> String {
    // The later lists name the earlier.
    LISTS.iter().rev().fold(text.to_owned(), |text, (name, list)| text.replace(name, list))
}
