//! The table of advice that would harm: for a cause, an action, and what is true of the place and the time.
//!
//! The rows are trade knowledge: `common practice`, unless a source stands beside one. They only take advice away, never give any.

use super::{Action, Cause, Fact, Row};
use groundlore_lore::trouble::Condition::{
    DrySpell, GroundDisturbed, HardWinter, Heat, LateFrost, LatelyFed, NewPlanting, WarmNights, WeedkillerLately, WetSoil, WetSpell,
};
use groundlore_lore::trouble::TroubleKind::{
    Abiotic, Animal, Harmless, OrnamentalDisease, OrnamentalInsect, TurfDisease, TurfInsect, Weed,
};

const COMMON: &str = "common practice";

const fn row(cause: Cause, action: Action, when: Fact, why: &'static str) -> Row {
    Row { cause, action, when, why, source: COMMON }
}

const ALWAYS: Fact = Fact::Always;

/// Insecticides, fungicides and herbicides by the list of groups that they stand on.
const INSECTICIDE: Action = Action::Listed("IRAC");
const FUNGICIDE: Action = Action::Listed("FRAC");
const HERBICIDE: Action = Action::Listed("HRAC");

/// All rows.
pub const ROWS: &[Row] = &[
    // A material for another kind of trouble.
    row(Cause::Kind(Harmless), Action::UnderLabel, ALWAYS, "it harms nothing, so nothing is sprayed for it"),
    row(Cause::Kind(Harmless), INSECTICIDE, ALWAYS, "it harms nothing; an insecticide would kill what keeps pests down"),
    row(Cause::Kind(Harmless), FUNGICIDE, ALWAYS, "it harms nothing"),
    row(Cause::Kind(Harmless), HERBICIDE, ALWAYS, "it harms nothing"),
    row(Cause::Kind(TurfDisease), INSECTICIDE, ALWAYS, "an insecticide does nothing to a fungus"),
    row(Cause::Kind(TurfDisease), HERBICIDE, ALWAYS, "a herbicide weakens turf that is ill"),
    row(Cause::Kind(OrnamentalDisease), INSECTICIDE, ALWAYS, "an insecticide does nothing to a fungus or a bacterium"),
    row(Cause::Kind(OrnamentalDisease), HERBICIDE, ALWAYS, "a herbicide does nothing to a disease"),
    row(Cause::Kind(TurfInsect), FUNGICIDE, ALWAYS, "a fungicide does nothing to an insect, and harms the fungi that kill it"),
    row(Cause::Kind(TurfInsect), HERBICIDE, ALWAYS, "a herbicide does nothing to an insect"),
    row(Cause::Kind(OrnamentalInsect), FUNGICIDE, ALWAYS, "a fungicide does nothing to an insect"),
    row(Cause::Kind(OrnamentalInsect), HERBICIDE, ALWAYS, "a herbicide does nothing to an insect"),
    row(Cause::Kind(Weed), INSECTICIDE, ALWAYS, "an insecticide does nothing to a weed"),
    row(Cause::Kind(Weed), FUNGICIDE, ALWAYS, "a fungicide does nothing to a weed"),
    row(Cause::Kind(Abiotic), INSECTICIDE, ALWAYS, "nothing lives there to be killed: the cause is water, weather, soil or people"),
    row(Cause::Kind(Abiotic), FUNGICIDE, ALWAYS, "no fungus is the cause"),
    row(Cause::Kind(Abiotic), HERBICIDE, ALWAYS, "no weed is the cause, and the plant is weak already"),
    row(Cause::Kind(Animal), INSECTICIDE, ALWAYS, "no insecticide belongs to a bird or mammal"),
    row(Cause::Kind(Animal), FUNGICIDE, ALWAYS, "no fungicide belongs to a bird or mammal"),
    row(Cause::Kind(Animal), HERBICIDE, ALWAYS, "no herbicide belongs to a bird or mammal"),
    // The law comes first.
    row(Cause::Regulated, Action::Any, ALWAYS, "where it is regulated it is reported first; the authority says what is done"),
    // Feeding at the wrong time.
    row(
        Cause::Any,
        Action::Control("feed-lightly"),
        Fact::Condition(Heat),
        "nitrogen on turf under heat stress burns it and feeds summer diseases",
    ),
    row(Cause::Any, Action::Control("feed-lightly"), Fact::Condition(DrySpell), "nitrogen on dry turf burns it"),
    row(
        Cause::Key("brown-patch"),
        Action::Control("feed-lightly"),
        Fact::Condition(WarmNights),
        "nitrogen while nights are warm feeds brown patch",
    ),
    row(Cause::Key("pythium-blight"), Action::Control("feed-lightly"), ALWAYS, "nitrogen feeds pythium blight"),
    row(Cause::Key("grey-leaf-spot"), Action::Control("feed-lightly"), ALWAYS, "nitrogen in summer feeds grey leaf spot"),
    row(Cause::Key("summer-patch"), Action::Control("feed-lightly"), Fact::Condition(Heat), "nitrogen in heat worsens summer patch"),
    row(Cause::Key("fertiliser-burn"), Action::Control("feed-lightly"), ALWAYS, "it was fed too much already"),
    row(Cause::Key("salt-injury"), Action::Control("feed-lightly"), ALWAYS, "fertiliser is one more salt"),
    row(Cause::Key("dog-urine"), Action::Control("feed-lightly"), ALWAYS, "the spot has too much nitrogen already"),
    row(Cause::Key("fire-blight"), Action::Control("feed-lightly"), ALWAYS, "soft growth takes fire blight"),
    row(Cause::Key("aphids"), Action::Control("feed-lightly"), ALWAYS, "soft growth feeds aphids"),
    row(Cause::Key("waterlogged-roots"), Action::Control("feed-lightly"), ALWAYS, "roots without air cannot take it up"),
    row(Cause::Key("transplant-shock"), Action::Control("feed-lightly"), ALWAYS, "salts hurt the few roots there are"),
    row(Cause::Any, Action::Control("feed-lightly"), Fact::Condition(LatelyFed), "it was fed within weeks; more would burn"),
    row(Cause::Any, Action::Control("acidifying-feed"), Fact::Condition(Heat), "salts in heat burn roots and leaves"),
    // Seed and young grass.
    row(
        Cause::Any,
        Action::Control("overseed"),
        Fact::PreEmergentLately,
        "a pre-emergent stops the seed as it stops the weed; the card says how long",
    ),
    row(Cause::Any, Action::Control("endophytic-seed"), Fact::PreEmergentLately, "a pre-emergent stops the seed as it stops the weed"),
    row(Cause::Any, Action::Control("overseed"), Fact::Condition(Heat), "seedlings of cool-season grass die in heat"),
    row(Cause::Any, Action::Control("overseed"), Fact::Condition(DrySpell), "seed without water is lost"),
    row(Cause::Any, Action::Control("overseed"), Fact::DeepWinter, "the ground is frozen or will be before the seedlings hold"),
    row(Cause::Key("seedlings-failed"), HERBICIDE, ALWAYS, "seedlings are killed by what they would later stand"),
    row(Cause::Key("damping-off-seedlings"), HERBICIDE, ALWAYS, "seedlings are killed by what they would later stand"),
    row(
        Cause::Kind(Weed),
        HERBICIDE,
        Fact::SeededLately,
        "seedlings and new sod are killed or stunted; the card says the age that stands it",
    ),
    row(
        Cause::Kind(Weed),
        HERBICIDE,
        Fact::Condition(NewPlanting),
        "young turf and new plants are injured; the card says when they stand it",
    ),
    row(Cause::Key("sod-not-rooted"), Action::Control("core-aeration"), ALWAYS, "cores tear up sod that has not rooted"),
    // Stress.
    row(Cause::Kind(Weed), HERBICIDE, Fact::Condition(Heat), "herbicides injure turf in heat, and some drift as vapour"),
    row(Cause::Kind(Weed), HERBICIDE, Fact::Condition(DrySpell), "weeds that wilt do not take it up, and dry turf is injured"),
    row(Cause::Any, Action::Control("core-aeration"), Fact::Condition(DrySpell), "holes dry out turf that is thirsty"),
    row(Cause::Any, Action::Control("core-aeration"), Fact::Condition(Heat), "holes dry out turf under heat"),
    row(Cause::Any, Action::Control("core-aeration"), Fact::PreEmergentLately, "cores break the barrier that was laid"),
    row(Cause::Any, Action::Control("dethatch"), Fact::Condition(Heat), "torn turf does not recover in heat"),
    row(Cause::Any, Action::Control("dethatch"), Fact::Condition(DrySpell), "torn turf does not recover without water"),
    row(Cause::Any, Action::Control("dethatch"), Fact::PreEmergentLately, "tines break the barrier that was laid"),
    row(Cause::Any, Action::Control("core-aeration"), Fact::Condition(WetSoil), "a machine on wet ground packs it harder"),
    row(Cause::Any, Action::Control("core-aeration"), Fact::DeepWinter, "frozen ground takes no cores"),
    // Water.
    row(Cause::Key("waterlogged-roots"), Action::Control("deep-infrequent-watering"), ALWAYS, "the roots drown already"),
    row(Cause::Key("waterlogged-roots"), Action::Control("deep-tree-watering"), ALWAYS, "the roots drown already"),
    row(Cause::Key("phytophthora-root-rot"), Action::Control("deep-infrequent-watering"), ALWAYS, "this rot lives in wet ground"),
    row(Cause::Key("phytophthora-root-rot"), Action::Control("deep-tree-watering"), ALWAYS, "this rot lives in wet ground"),
    row(
        Cause::Key("pythium-root-rot"),
        Action::Control("deep-infrequent-watering"),
        Fact::Condition(WetSoil),
        "this rot lives in wet ground",
    ),
    row(Cause::Any, Action::Control("deep-infrequent-watering"), Fact::Condition(WetSpell), "the ground has water enough"),
    row(Cause::Any, Action::Control("deep-infrequent-watering"), Fact::Condition(WetSoil), "the ground has water enough"),
    row(Cause::Any, Action::Control("deep-tree-watering"), Fact::Condition(WetSoil), "the ground has water enough"),
    // Oils and soaps.
    row(Cause::Any, Action::Control("horticultural-oil"), Fact::Condition(Heat), "oil burns leaves in heat"),
    row(Cause::Any, Action::Control("horticultural-oil"), Fact::Condition(DrySpell), "oil burns thirsty plants"),
    row(Cause::Any, Action::Control("insecticidal-soap"), Fact::Condition(Heat), "soap burns leaves in heat"),
    row(Cause::Any, Action::Control("horticultural-oil"), Fact::Condition(LateFrost), "oil on growth that frost has hurt burns it"),
    // Materials that miss or make it worse.
    row(Cause::Key("spider-mites"), Action::Control("imidacloprid"), ALWAYS, "it does not kill mites, and kills what eats them"),
    row(Cause::Key("spruce-spider-mite"), Action::Control("imidacloprid"), ALWAYS, "it does not kill mites, and kills what eats them"),
    row(Cause::Key("spider-mites"), Action::Control("permethrin"), ALWAYS, "it kills what eats mites, and they flare"),
    row(
        Cause::Key("sawfly-larvae"),
        Action::Control("bacillus-thuringiensis-kurstaki"),
        ALWAYS,
        "it kills caterpillars; sawfly larvae are none",
    ),
    row(
        Cause::Key("pine-sawfly"),
        Action::Control("bacillus-thuringiensis-kurstaki"),
        ALWAYS,
        "it kills caterpillars; sawfly larvae are none",
    ),
    row(Cause::Key("rose-slug"), Action::Control("bacillus-thuringiensis-kurstaki"), ALWAYS, "it kills caterpillars; rose slugs are none"),
    row(
        Cause::Key("white-grubs-annual"),
        Action::Control("bacillus-thuringiensis-kurstaki"),
        ALWAYS,
        "it kills caterpillars; grubs are none",
    ),
    row(Cause::Key("rose-rosette"), Action::UnderLabel, ALWAYS, "a virus has no spray; the plant comes out"),
    row(Cause::Key("hosta-virus-x"), Action::UnderLabel, ALWAYS, "a virus has no spray; the plant comes out"),
    row(Cause::Key("aster-yellows"), FUNGICIDE, ALWAYS, "it is no fungus; the plant comes out"),
    row(Cause::Key("crown-gall"), FUNGICIDE, ALWAYS, "no fungicide cures it"),
    row(Cause::Key("wetwood"), Action::UnderLabel, ALWAYS, "nothing sprayed or drilled cures it"),
    row(Cause::Key("armillaria-root-rot"), FUNGICIDE, ALWAYS, "no fungicide reaches it in the wood"),
    row(Cause::Key("boxwood-mite"), Action::Control("imidacloprid"), ALWAYS, "it does not kill mites, and kills what eats them"),
    // Cutting at the wrong time.
    row(Cause::Key("oak-wilt"), Action::Control("prune-and-clear"), Fact::BeetlesFly, "fresh cuts draw the beetles that carry it"),
    row(Cause::Key("dutch-elm-disease"), Action::Control("prune-and-clear"), Fact::BeetlesFly, "fresh cuts draw the beetles that carry it"),
    row(
        Cause::Key("bronze-birch-borer"),
        Action::Control("prune-and-clear"),
        Fact::BeetlesFly,
        "fresh cuts on birch draw the borer while it flies",
    ),
    row(Cause::Key("fire-blight"), Action::Control("prune-and-clear"), Fact::Condition(WetSpell), "wet cuts carry it on"),
    row(
        Cause::Key("late-frost-injury"),
        Action::Control("prune-and-clear"),
        Fact::Condition(LateFrost),
        "wait until it shows what is dead",
    ),
    row(
        Cause::Key("winter-burn-evergreens"),
        Action::Control("prune-and-clear"),
        Fact::Condition(HardWinter),
        "wait until the buds show what is dead",
    ),
    row(
        Cause::Key("grade-change-over-roots"),
        Action::Control("core-aeration"),
        Fact::Condition(GroundDisturbed),
        "cutting into buried roots hurts them again; an arborist decides",
    ),
    row(Cause::Key("herbicide-drift"), HERBICIDE, ALWAYS, "it is hurt by one already"),
    row(Cause::Kind(Weed), HERBICIDE, Fact::Condition(WeedkillerLately), "it was treated within weeks; the card says how long to wait"),
];
