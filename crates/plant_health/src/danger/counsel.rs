//! Whom to call, what to keep clear of and what to do first, by kind of danger.

use super::DangerKind;

pub(super) const EMERGENCY: &str = "your local emergency number";
const POISON: &str = "your national poison-centre line (ask them even if nobody feels ill yet)";
const UTILITY: &str = "the electric utility's emergency line";
const GAS_UTILITY: &str = "the gas utility's emergency line, from well away";
const ARBORIST: &str = "a licensed arborist";

/// What is said of each kind.
pub(super) struct Counsel {
    pub(super) kind: DangerKind,
    pub(super) what: &'static str,
    pub(super) whom: &'static [&'static str],
    pub(super) keep_clear: &'static str,
    pub(super) do_first: &'static str,
}

pub(super) const COUNSEL: &[Counsel] = &[
    Counsel {
        kind: DangerKind::Injury,
        what: "somebody is hurt or may be",
        whom: &[EMERGENCY],
        keep_clear: "Stop the machine and take the key or the battery out; keep others away from it. Touch nobody who may still be on a live wire.",
        do_first: "Call now. Press firmly on any bleeding and keep the person still and warm until help comes.",
    },
    Counsel {
        kind: DangerKind::AllergicReaction,
        what: "a sting with swelling or trouble breathing",
        whom: &[EMERGENCY],
        keep_clear: "Move away from the nest, and do not go back for anything.",
        do_first: "Call now. If the person carries an adrenaline pen, help them use it as their doctor showed them.",
    },
    Counsel {
        kind: DangerKind::SwallowedByPerson,
        what: "somebody may have swallowed something harmful",
        whom: &[POISON, EMERGENCY],
        keep_clear: "Keep everybody away from the material, and keep its package or a piece of the plant to show.",
        do_first: "Call the poison line now; if the person is drowsy, fitting or short of breath, call the emergency number instead. Do not make them vomit unless you are told to.",
    },
    Counsel {
        kind: DangerKind::IllAfterChemical,
        what: "somebody is ill, or was splashed, after a chemical",
        whom: &[POISON, EMERGENCY, "a doctor, with the label in hand"],
        keep_clear: "Leave the treated place for fresh air, and keep people and animals off it.",
        do_first: "Take off what is wet with it and rinse skin or eyes with plenty of running water for a quarter of an hour, then call. With trouble breathing call the emergency number first.",
    },
    Counsel {
        kind: DangerKind::EngineFumes,
        what: "engine fumes in a closed place",
        whom: &[EMERGENCY, "the fire department"],
        keep_clear: "Get everybody out into the open air, and do not go back in.",
        do_first: "Get out first, then call. Switch nothing on or off on the way unless it is at hand.",
    },
    Counsel {
        kind: DangerKind::Gas,
        what: "gas, or a gas line struck",
        whom: &[GAS_UTILITY, EMERGENCY, "the fire department"],
        keep_clear: "Leave the place on foot, upwind. No flames, no switches, no engines, no phone until you are well away.",
        do_first: "Leave now, keep others out, then call. Do not try to close or patch the pipe.",
    },
    Counsel {
        kind: DangerKind::Wire,
        what: "a wire down, or a tree in or near a wire",
        whom: &[UTILITY, EMERGENCY, "a line-clearance arborist whom the utility accepts"],
        keep_clear: "Stay at least as far off as the pole is tall, away from the tree, fences and wet ground that touch it too. Take every wire for live.",
        do_first: "Keep everybody and every animal away, then call. Cut, pull and prop nothing.",
    },
    Counsel {
        kind: DangerKind::CableStruck,
        what: "a buried cable struck",
        whom: &[UTILITY, EMERGENCY, "the service that marks buried utilities, before any more digging"],
        keep_clear: "Step away from tool and hole, do not touch either, and keep others back. Take it for live.",
        do_first: "Stop digging, move away, then call.",
    },
    Counsel {
        kind: DangerKind::Fire,
        what: "fire",
        whom: &[EMERGENCY, "the fire department"],
        keep_clear: "Keep people, fuel and machines away.",
        do_first: "Call first. Put out only what is small, with your back to a way out.",
    },
    Counsel {
        kind: DangerKind::TreeOrLimb,
        what: "a limb or tree that may come down",
        whom: &[ARBORIST, EMERGENCY, "if a wire is near, the electric utility's emergency line first"],
        keep_clear: "Keep everybody out from under it and out of where it would fall, one and a half times its height; sleep on the other side of the house.",
        do_first: "Close the place off now. No ladder and no saw: hung-up and split wood moves without warning.",
    },
    Counsel {
        kind: DangerKind::Wall,
        what: "a wall that may fall",
        whom: &["a structural engineer", "your local building office", "the emergency number if it moves or a public way lies below it"],
        keep_clear: "Keep people, cars and play away from below it and from its top, by at least its height and a half.",
        do_first: "Close off the place, put no load and no water behind it, and do not dig at its foot.",
    },
    Counsel {
        kind: DangerKind::Ground,
        what: "ground that caves in",
        whom: &[EMERGENCY, "your local building office", "a geotechnical or structural engineer"],
        keep_clear: "Keep everybody well back from the edge, and out of any trench.",
        do_first: "Close the place off. Do not climb in, not even for somebody: call.",
    },
    Counsel {
        kind: DangerKind::SwallowedByAnimal,
        what: "an animal may have eaten something harmful",
        whom: &["your vet or the nearest emergency vet", "an animal poison-control line"],
        keep_clear: "Keep all animals and children away from the material, and keep its package or a piece of the plant to show.",
        do_first: "Call now, before it looks ill. Do not make it vomit unless the vet tells you to.",
    },
    Counsel {
        kind: DangerKind::StingingNest,
        what: "a nest of stinging insects near people",
        whom: &[
            "a beekeeper (for honey bees) or a licensed pest professional",
            "the emergency number if somebody is stung many times, swells up or is short of breath",
        ],
        keep_clear: "Keep people, pets and mowers well away from the nest and from the line of flight; no noise or jarring nearby.",
        do_first: "Mark the place from a distance and leave it alone. No water, fire, fuel or plugging of the hole.",
    },
    Counsel {
        kind: DangerKind::Spill,
        what: "a spill into water, a well or a drain",
        whom: &[
            "your environment agency's spill line",
            "the fire department",
            "the water supplier or health office if a well or tap may be touched",
        ],
        keep_clear: "Drink and water nothing from it, and keep people and animals off.",
        do_first: "Stop the source if that is safe, dam it with soil or absorbent, wash nothing down, then call.",
    },
    Counsel {
        kind: DangerKind::ElectricShock,
        what: "an electric shock, or something in the garden that is live",
        whom: &[EMERGENCY, "a licensed electrician", UTILITY],
        keep_clear: "Keep people and animals off the water, the lamp and the wet ground about it. Touch nobody who is still on it.",
        do_first: "Switch the circuit off at the panel if you can reach it dry. Whoever felt weak, burned or faint, or whose heart stumbles, needs the emergency number now; any shock is worth a doctor's look.",
    },
    Counsel {
        kind: DangerKind::Heat,
        what: "somebody overcome by heat",
        whom: &[EMERGENCY],
        keep_clear: "Bring the person into shade or a cool room, and do not leave them alone.",
        do_first: "Call now. Take off what is heavy, wet the skin with cool water and fan it. Give nothing to drink to somebody who is confused or drowsy.",
    },
    Counsel {
        kind: DangerKind::MixedChemicals,
        what: "fumes from chemicals that were mixed",
        whom: &[POISON, EMERGENCY, "the fire department"],
        keep_clear: "Get everybody out into fresh air, shut the place behind you and do not go back for the bucket.",
        do_first: "Get out first, then call; with trouble breathing the emergency number first. Pour nothing more into it.",
    },
    Counsel {
        kind: DangerKind::PlantSap,
        what: "skin, eyes or breath hurt by a plant's sap or smoke",
        whom: &["a doctor", POISON, "the emergency number with trouble breathing or a swollen face or throat"],
        keep_clear: "Leave the plant alone, do not burn or trim it, and keep the skin out of the sun.",
        do_first: "Wash skin and clothes with soap and cool water; rinse eyes with plenty of running water. Then call.",
    },
    Counsel {
        kind: DangerKind::TickBite,
        what: "an illness that may come from a tick or another bite",
        whom: &["a doctor, today"],
        keep_clear: "Stay out of the long grass until it is mown, and look over everybody who was in it.",
        do_first: "Tell the doctor of the bite, its day and the place. Keep the tick if you have it, in a closed jar, and take a picture of the rash.",
    },
    Counsel {
        kind: DangerKind::FuelVapour,
        what: "fuel or its fumes near something that may light it",
        whom: &["the fire department", EMERGENCY],
        keep_clear: "Get everybody out. No switches, engines, chargers or flames; open a door on the way if that is quick.",
        do_first: "Leave, then call from outside. Do not hose it down a drain.",
    },
    Counsel {
        kind: DangerKind::OpenWater,
        what: "deep water or a shaft that a child can get into",
        whom: &["your local building office or a well contractor", EMERGENCY],
        keep_clear: "Keep every child and animal away; somebody stays there until it is closed off.",
        do_first: "Close off the place at once with what is firm, from well back. Do not step on the old cover, and if somebody is in, call before anything else.",
    },
    Counsel {
        kind: DangerKind::FoundObject,
        what: "something dug up that may explode or wound",
        whom: &["the police, by the emergency number"],
        keep_clear: "Leave it as it lies, go well away and keep everybody away.",
        do_first: "Do not touch, move or wash it. Mark the place from a distance, then call.",
    },
];
