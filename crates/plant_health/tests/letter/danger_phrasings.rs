//! Danger in many phrasings, and ordinary letters that must not be taken for it.

use groundlore_plant_health::danger::{DangerKind as K, screen};

const DANGEROUS: &[(&str, K)] = &[
    ("My toddler ate some of the blue pellets you put down.", K::SwallowedByPerson),
    ("My son put a handful of the fertilizer granules in his mouth.", K::SwallowedByPerson),
    ("Our two year old may have swallowed some of the slug bait.", K::SwallowedByPerson),
    ("My granddaughter has been eating the red berries off the yew.", K::SwallowedByPerson),
    ("The kids ate a mushroom from the lawn.", K::SwallowedByPerson),
    ("My husband drank from the bottle with the weed killer in it by mistake.", K::SwallowedByPerson),
    ("The baby was sucking on a treated seed, I think.", K::SwallowedByPerson),
    ("I don't think my daughter swallowed any of the granules but I am not sure.", K::SwallowedByPerson),
    ("She got hold of the rat poison. I think she ate some.", K::SwallowedByPerson),
    ("The children got into the shed and one of them licked the pesticide bottle.", K::SwallowedByPerson),
    ("The dog got into the bait.", K::SwallowedByAnimal),
    ("Our puppy ate cocoa mulch and is shaking.", K::SwallowedByAnimal),
    ("My cat has been chewing the lily leaves, the lilies you planted.", K::SwallowedByAnimal),
    ("The dog found the slug pellets. He ate about half of them.", K::SwallowedByAnimal),
    ("Since the lawn was sprayed our dog is vomiting and can't stand up.", K::SwallowedByAnimal),
    ("The dog is foaming at the mouth after rolling in the treated grass.", K::SwallowedByAnimal),
    ("The pup gobbled up the bone meal from the bed.", K::SwallowedByAnimal),
    ("My wife feels dizzy and sick since the lawn company sprayed.", K::IllAfterChemical),
    ("I got a rash all over my arms after spraying the roses.", K::IllAfterChemical),
    ("The weed killer splashed in my eyes.", K::IllAfterChemical),
    ("The kids have trouble breathing since the neighbor's spray drifted over.", K::IllAfterChemical),
    ("I spilled the concentrate on my hand and it is burning.", K::IllAfterChemical),
    ("My eyes are burning, there was lime in the wind.", K::IllAfterChemical),
    ("One of the crew was sprayed in the face when the hose came off.", K::IllAfterChemical),
    ("I breathed in the pesticide mist and now I have a headache.", K::IllAfterChemical),
    ("My daughter is coughing and wheezing after they treated the trees.", K::IllAfterChemical),
    ("A branch is hanging on the power line.", K::Wire),
    ("The maple has grown into the electric wires and I saw sparks.", K::Wire),
    ("There is a wire down across the back lawn since the storm.", K::Wire),
    ("The power line is lying on the hedge.", K::Wire),
    ("A limb is rubbing against the service line to the house.", K::Wire),
    ("Tree limbs are touching the wires over our driveway.", K::Wire),
    ("Live wire in the yard after the wind.", K::Wire),
    ("We hit something yellow and now it smells of gas.", K::Gas),
    ("The excavator nicked the gas line.", K::Gas),
    ("I smell gas near the meter where they were digging.", K::Gas),
    ("There's a hissing from the trench and an odor of gas.", K::Gas),
    ("I cut through a yellow plastic pipe with the spade.", K::Gas),
    ("There is a smell like rotten eggs where we dug the post hole by the gas meter.", K::Gas),
    ("My shovel went through an electric cable and there was a bang.", K::CableStruck),
    ("The edging crew cut a buried cable.", K::CableStruck),
    ("The auger hit an underground power line.", K::CableStruck),
    ("We were digging and suddenly the power went off and sparks flew.", K::CableStruck),
    ("The retaining wall is bowing out over the sidewalk.", K::Wall),
    ("Our garden wall is leaning and looks about to fall.", K::Wall),
    ("Part of the stone wall collapsed onto the path.", K::Wall),
    ("The block wall has started to bulge in the middle after the rain.", K::Wall),
    ("Cracks opened in the retaining wall and it moved two inches this week.", K::Wall),
    ("A huge limb split off the oak and is hung up over the driveway.", K::TreeOrLimb),
    ("The dead branch over the kids' swing set is cracked.", K::TreeOrLimb),
    ("The spruce is leaning toward the house since the storm.", K::TreeOrLimb),
    ("The tree is uprooting, the ground is lifting on one side.", K::TreeOrLimb),
    ("I think the big willow is going to fall on the garage.", K::TreeOrLimb),
    ("A broken limb is dangling above the sidewalk.", K::TreeOrLimb),
    ("The ash tree fell on the neighbor's roof.", K::TreeOrLimb),
    ("There is a wasp nest in the ground by the sandbox and my boy was stung.", K::StingingNest),
    ("Yellowjackets pour out of a hole in the lawn whenever we mow.", K::StingingNest),
    ("Hornets built a nest over the front door.", K::StingingNest),
    ("A swarm of bees attacked the mailman.", K::StingingNest),
    ("His throat is closing up after a sting.", K::AllergicReaction),
    ("I was stung by a wasp and my tongue is swelling.", K::AllergicReaction),
    ("My helper got stung and has hives and feels faint.", K::AllergicReaction),
    ("The snake in the rock wall bit my husband.", K::AllergicReaction),
    ("The mower cut his foot.", K::Injury),
    ("My dad lost two fingers in the hedge trimmer.", K::Injury),
    ("The chainsaw kicked back and he is bleeding badly.", K::Injury),
    ("He fell off the ladder pruning the pear and can't move.", K::Injury),
    ("The tractor rolled over on the slope with my brother on it.", K::Injury),
    ("I got a shock from the pond pump.", K::Injury),
    ("My husband collapsed while raking in the heat.", K::Injury),
    ("She passed out in the garden.", K::Injury),
    ("They ran the generator inside the garage and now everybody has a headache.", K::EngineFumes),
    ("I think it's carbon monoxide, the mower was running in the shed.", K::EngineFumes),
    ("The mulch by the house is smoking.", K::Fire),
    ("Our hedge caught fire from the grill.", K::Fire),
    ("A sinkhole opened up in the lawn.", K::Ground),
    ("The trench caved in.", K::Ground),
    ("The sprayer tipped over and the herbicide ran into the pond.", K::Spill),
    ("I spilled diesel next to our well.", K::Spill),
    ("Fish are dying in the creek since they treated the field.", K::Spill),
    ("The fertilizer tank leaked into the storm drain.", K::Spill),
    ("Our little boy just ate a bunch of berries off that shrub you planted, should we be worried?", K::SwallowedByPerson),
    ("The cat threw up after nibbling on the treated lawn.", K::SwallowedByAnimal),
    ("There's a big crack in the trunk and it's over the kids' bedroom.", K::TreeOrLimb),
    ("A tree came down on the wires last night.", K::Wire),
    ("A tree limb fell and is resting on the cable going to the house.", K::Wire),
    ("I smelled gas after the fence guys put in a post.", K::Gas),
    ("The wall by the patio is starting to tip forward.", K::Wall),
    ("The neighbor's wall is bulging toward our play area.", K::Wall),
    ("I can't breathe well after using that spray.", K::IllAfterChemical),
    ("Our lab ate a whole bag of fertilizer.", K::SwallowedByAnimal),
    ("There is a hornets' nest the size of a football in the maple by the bus stop.", K::StingingNest),
    ("My daughter got stung at least ten times mowing over a hole.", K::StingingNest),
    ("I think we cut the cable while edging, the lights are out.", K::CableStruck),
    ("A big branch is cracked and hanging above where the kids wait for the bus.", K::TreeOrLimb),
    ("The retaining wall moved and there's a gap behind it.", K::Wall),
    ("The horse ate yew clippings.", K::SwallowedByAnimal),
    ("I got weed killer on my skin and it blistered.", K::IllAfterChemical),
    ("My neighbor's kid drank some from the sprayer.", K::SwallowedByPerson),
    ("There was a pesticide spill near the storm sewer.", K::Spill),
    ("The electric fence shocked my boy.", K::Injury),
    ("He was hit in the eye by a rock the mower threw.", K::Injury),
    ("Heard a loud crack and now the big oak is leaning toward our house.", K::TreeOrLimb),
    ("My mom was sprayed with insecticide and is confused.", K::IllAfterChemical),
    ("The puppy swallowed a mushroom this morning.", K::SwallowedByAnimal),
    ("We ate some mushrooms from the lawn and now feel sick.", K::SwallowedByPerson),
    ("Gas line struck while planting.", K::Gas),
    ("There is a leaning wall above the footpath.", K::Wall),
    ("Somebody swallowed weed killer.", K::SwallowedByPerson),
    ("My father is ill after a spray of the hedge.", K::IllAfterChemical),
    ("The child swallowed berries.", K::SwallowedByPerson),
    ("Storm left a hanger, a big limb right over the front walk.", K::TreeOrLimb),
    ("There is a limb lying on the phone and electric wires.", K::Wire),
    ("Bees are swarming out of the wall by the porch and stung my daughter twice.", K::StingingNest),
    ("Our dog licked up some antifreeze by the mower.", K::SwallowedByAnimal),
    ("Dog ate rhododendron leaves and is drooling.", K::SwallowedByAnimal),
    ("Ever since they fogged the yard for mosquitoes I have had a headache and feel nauseous.", K::IllAfterChemical),
];

const ORDINARY: &[&str] = &[
    "The birds are eating the seed.",
    "We have wall-to-wall clover.",
    "The bees are gentle and leave us alone.",
    "The neighbour sprayed last year.",
    "We walk the power line trail and saw the same weed there.",
    "Rabbits eat the leaves of my hostas.",
    "Something is eating the leaves of the roses.",
    "My dog eats grass now and then.",
    "The dog pees on the lawn and leaves brown spots.",
    "It looks like dog vomit on the mulch.",
    "The grass is brown along the wall.",
    "A vine is climbing the garden wall.",
    "Moss grows on the stone wall.",
    "The rake is leaning against the wall.",
    "Branches are dying back on one side of the maple.",
    "The leaves are falling on the driveway early.",
    "Sap drips from the tree on the car.",
    "The tree leans a little toward the light, it always has.",
    "The roots of the maple are lifting the sidewalk.",
    "The dead leaves hang on the oak over winter.",
    "Pine needles fall on the roof.",
    "The lawn looks sick after the heat.",
    "My roses got burned leaves after I sprayed soap on them.",
    "The shrub has transplant shock.",
    "I was shocked to see so many moths.",
    "The mower leaves ragged tips and the blade is dull.",
    "We mow with a gas mower every week.",
    "I cut the grass a foot from the fence.",
    "The mower blade hit a rock and is nicked.",
    "There are no wasps, and nobody has been stung.",
    "Are these mushrooms poisonous if my dog eats them?",
    "I worry that the kids could eat the berries, should we plant something else?",
    "Is it safe for the dog to walk on the grass after mowing?",
    "The birch is bleeding sap where we pruned it.",
    "The bleeding hearts are yellow.",
    "The burning bush turned pale, with fine webs.",
    "Fire blight on the pear, I think.",
    "The trellis wire rubs the branch of the espalier.",
    "The wood chips smell of mushrooms.",
    "The maple turns red early, the tree looks on fire with color.",
    "Voles dug holes in the ground all over the lawn.",
    "Small holes in the ground with bees going in.",
    "The roots cannot breathe in this clay.",
    "The stinging nettles are spreading along the fence.",
    "Cicada killer wasps made a nest in the sandy bank, they never sting.",
    "The bed is well drained and near the pond.",
    "The lawn is sinking a little along the old drain.",
    "Moths are sitting on the wall of the house all day.",
    "The crew sprayed the lawn for weeds in May and it is greening up.",
    "Yellow leaves and a smell of damp in the bed by the gas meter shrubs.",
    "The path by the wall is shady and the grass is thin.",
    "My neighbor says I should put down grub killer.",
    "The hose leaks by the spruce.",
    "Ants are crawling out of cracks in the wall.",
    "He cut the hedge by hand and it browned.",
    "The lawn slopes down to the lake and we have not fertilized it.",
    "Skunks dig holes at night looking for grubs.",
    "Swallows nest under the eave and eat the flies.",
    "The yellow flowers in the lawn are cut down every week.",
    "Phlox falls over the wall in spring.",
    "I sprayed the azalea with soap and it looks sick.",
    "My husband sprayed the roses and they look sick.",
    "The neighbor sprayed his lawn and now my tree looks sick.",
    "The dead branch is on the north side of the shrub.",
    "The wire cage keeps the rabbits off the young tree.",
    "The tree line along the road is thin.",
    "Our kids play on the lawn and the grass is worn under the swing.",
    "The trunk is cracked and sap runs down the bark.",
    "The limbs on the road side are brown from salt.",
    "We fed the lawn and the dog was kept off.",
    "Wasps and flies visit the flowers of the goldenrod.",
    "The gas company marked the lines with yellow flags before we planted.",
    "The mower cuts my lawn at three inches.",
    "My hands turned orange from the grass.",
    "Pellets of lime are still on the soil.",
];

#[test]
fn no_danger_is_missed() {
    let missed: Vec<String> = DANGEROUS.iter().filter(|(text, kind)| !screen(text).iter().any(|d| d.kind == *kind)).map(|(text, kind)| format!("{kind:?}: {text} -> {:?}", screen(text).iter().map(|d| d.kind).collect::<Vec<_>>())).collect();
    assert!(DANGEROUS.len() >= 60);
    assert!(missed.is_empty(), "{} missed\n{}", missed.len(), missed.join("\n"));
}

#[test]
fn ordinary_letters_raise_no_alarm() {
    let alarms: Vec<String> = ORDINARY.iter().filter_map(|text| screen(text).first().map(|d| format!("{text} -> {:?} `{}`", d.kind, d.phrase))).collect();
    assert!(ORDINARY.len() >= 40);
    assert!(alarms.is_empty(), "{} alarms\n{}", alarms.len(), alarms.join("\n"));
}

#[test]
fn the_vignettes_of_ordinary_trouble_raise_no_alarm() {
    let text = include_str!("../data/vignettes.toml");
    for line in text.lines().filter_map(|l| l.strip_prefix("text = ")) {
        assert!(screen(line).is_empty(), "{line} -> {:?}", screen(line));
    }
}

#[test]
fn danger_takes_over_the_whole_answer() {
    use super::vignettes::{LORE, READER};
    use groundlore_plant_health::letter::{Context, answer, parse};
    let letter = parse("The lawn has brown patches and grubs. My toddler ate some of the blue pellets.", "l.txt").unwrap();
    let a = answer(&letter, &LORE, &READER, &Context::default());
    assert_eq!(a.action.class.words(), "get help now");
    assert!(a.causes.is_empty());
    assert!(a.action.why.contains("poison-centre line"));
    assert!(a.reply.contains("Call:") && !a.reply.contains("grub"));
    let listed = parse(r#"{"text": "Brown lawn", "findings": [{"finding": "smell of gas at the trench", "value": true}]}"#, "l.json").unwrap();
    assert_eq!(answer(&listed, &LORE, &READER, &Context::default()).action.class.words(), "get help now");
    let denied = parse(r#"{"text": "Brown lawn", "findings": [{"finding": "smell of gas at the trench", "value": "no"}]}"#, "l.json").unwrap();
    assert_ne!(answer(&denied, &LORE, &READER, &Context::default()).action.class.words(), "get help now");
}
