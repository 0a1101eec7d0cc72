//! Seven sheets of an invented firm, one of each kind.

use groundlore_figure::bed_plan::{BedDrawing, PlanPlant, draw_elevation, draw_plan};
use groundlore_figure::season_band::{self, BandRow};
use groundlore_figure::yard_map::{self, MapShape, MapTree, YardMap};
use groundlore_sheet::{Block, Check, CheckState, KeyFigure, Letterhead, Sheet, TaskCard, Tone};
use jiff::civil::{Date, date};

fn today() -> Date {
    date(2015, 8, 17)
}

pub fn sheet(kind: &str, title: &str) -> Sheet {
    let mut sheet = Sheet::new(kind, title, today());
    sheet.letterhead = Some(Letterhead {
        name: "Teasel & Rowan".into(),
        lines: vec!["The Old Weighbridge, Alder Ferry".into(), "Care of other people's grounds".into()],
    });
    sheet
}

pub fn strings(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

fn table(caption: &str, columns: &[&str], rows: &[&[&str]], blank_rows: usize, total: Option<&[&str]>) -> Block {
    let Block::Table(mut table) = Block::table(caption, columns, rows.iter().map(|row| strings(row)).collect()) else { unreachable!() };
    table.blank_rows = blank_rows;
    table.total = total.map(strings);
    Block::Table(table)
}

fn check(what: &str, state: CheckState, why: &str) -> Check {
    Check { what: what.into(), state, why: why.into() }
}

fn key(value: &str, label: &str, note: &str) -> KeyFigure {
    KeyFigure { value: value.into(), label: label.into(), note: note.into() }
}

fn square(x: f64, y: f64, w: f64, h: f64) -> Vec<(f64, f64)> {
    vec![(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
}

fn map() -> String {
    let shape = |kind: &str, name: &str, ring| MapShape { kind: kind.into(), name: name.into(), rings: vec![ring] };
    yard_map::draw(
        &YardMap {
            title: "Kettle House, the back lawn".into(),
            shapes: vec![
                shape("lawn", "Back lawn", square(0.0, 0.0, 28.0, 16.0)),
                shape("house", "House", square(6.0, 17.0, 14.0, 8.0)),
                shape("bed", "Long bed", square(29.0, 0.0, 3.0, 16.0)),
                shape("patch", "Poor patch", square(15.0, 4.0, 6.0, 5.0)),
            ],
            trees: vec![MapTree { at: (4.0, 4.0), crown_m: Some(3.0), name: "Linden".into() }],
            stops: vec![(15.2, 4.2), (18.0, 6.5), (20.8, 8.6), (24.0, 12.0), (9.0, 10.0)],
            open_stops: vec![false, false, false, true, true],
        },
        640.0,
    )
}

pub fn scouting_sheet() -> Sheet {
    sheet("scouting-sheet", "Scouting sheet: white grubs, back lawn")
        .subtitle("Kettle House, 14 Quarry Lane · for August 19 to 26")
        .with(Block::Facts {
            facts: vec![
                (
                    "Why we look".into(),
                    "The owner wrote of brown turf that lifts like a rug. Four causes fit; grubs are the likeliest, at 46 %.".into(),
                ),
                (
                    "How".into(),
                    "Cut three sides of a flap one foot square and two inches deep, fold it back, count grubs, fold it down, water it."
                        .into(),
                ),
                (
                    "When to stop".into(),
                    "After stop 4 if the total is 2 or fewer; after stop 5 if it is 31 or more; else go on to stop 12.".into(),
                ),
            ],
        })
        .with(Block::Figure {
            narrow: None,
            svg: map(),
            alt: "Map of the back lawn with five numbered stops, three in and at the margin of the poor patch, two in good turf.".into(),
            caption: "Where to look. Full circles: in or beside the poor patch. Open circles: the best turf, for comparison.".into(),
        })
        .with(table(
            "Counts. Write 0 where you looked and found none; leave a line empty where you did not look.",
            &["Stop#", "Where", "Grubs under 1 ft²#", "Raster pattern", "Depth, in#", "Remarks"],
            &[
                &["1", "margin of the patch, south-west", "", "", "", ""],
                &["2", "in the patch", "", "", "", ""],
                &["3", "margin of the patch, north-east", "", "", "", ""],
                &["4", "good turf, east", "", "", "", ""],
                &["5", "good turf, west", "", "", "", ""],
            ],
            7,
            None,
        ))
        .with(Block::Fill { labels: strings(&["Scouted by", "Day and time", "Soil: dry, moist, wet", "Skunk or raccoon digging"]) })
        .with(Block::Cautions {
            cautions: strings(&[
                "Call before you dig deeper than the turf: lines for irrigation and lighting run along the long bed.",
                "Wash your hands after handling soil.",
            ]),
        })
        .with(Block::Sources {
            sources: strings(&[
                "Wald, A. (1947), Sequential Analysis: the stop lines.",
                "Stop positions: seed 7, drawn from the patch as mapped on August 14, 2015.",
            ]),
        })
}

fn task(key: &str, what: &str, place: &str) -> TaskCard {
    TaskCard {
        key: key.into(),
        yard: "Kettle House".into(),
        what: what.into(),
        place: Some(place.into()),
        earliest: date(2015, 8, 12),
        best: date(2015, 8, 18),
        latest: date(2015, 8, 25),
        standing: "open since August 12; one day before its best".into(),
        odds: strings(&["Third instars present before the last day in 9 of 10 years of the record."]),
        reasons: strings(&[
            "Degree-days stand at 1,912 of the 2,000 looked for (base 50 °F, from January 1).",
            "Rain of 0.6 in on August 15 brought the grubs up.",
        ]),
        takes: strings(&["1 person, 50 min", "flat spade, one-foot frame, bucket, water"]),
        forbids: strings(&["the lawn was watered today", "thunder within ten miles"]),
        cautions: strings(&["Mark the sprinkler heads before cutting."]),
        state: "to do".into(),
    }
}

pub fn crew_sheet() -> Sheet {
    let mut bare = task("T-19", "Edge the long bed by spade", "Long bed");
    (bare.odds, bare.cautions, bare.forbids) = (vec![], vec![], vec![]);
    bare.reasons = strings(&["Asked for in the letter of August 9."]);
    sheet("crew-sheet", "Crew sheet for Monday")
        .subtitle("Two people · three yards · 6 h 20 min with driving")
        .with(Block::KeyFigures {
            figures: vec![
                key("7:30 am", "leave the shop", "home by 3:10 pm"),
                key("21 mi", "driving", "three stops"),
                key("83 °F", "forecast high", "wind 6 mph, SW"),
                key("0.1 in", "rain in sight", "by Tuesday, odds 3 in 10"),
            ],
        })
        .with(Block::heading("First stop: Kettle House, 14 Quarry Lane"))
        .with(Block::Task(task("T-17", "Scout for white grubs", "Back lawn")))
        .with(Block::Task(bare))
        .with(Block::heading("Load"))
        .with(table(
            "",
            &["What", "How much#", "For"],
            &[
                &["Shredded bark", "2.5 yd³", "Kettle House, long bed"],
                &["Flat spade", "2", "T-17, T-19"],
                &["One-foot frame", "1", "T-17"],
                &["Drop cloth", "3", "all yards"],
            ],
            0,
            None,
        ))
        .with(Block::Cautions {
            cautions: strings(&["Heat: drink before you are thirsty; rest in shade each hour above 85 °F.", "Lift with two above 50 lb."]),
        })
}

pub fn treatment_record() -> Sheet {
    sheet("treatment-record", "Record of a treatment")
        .subtitle("Kettle House, back lawn · to be kept with the label card")
        .with(Block::Verdict {
            text: "Treat the patch, not the lawn".into(),
            why: "8.4 grubs per ft² in the patch (80 % between 6.1 and 11.0) against a published range of 6 to 10; the best turf has 0.5."
                .into(),
            tone: Tone::Act,
        })
        .with(Block::Facts {
            facts: vec![
                ("Label card".into(), "Demo card, number 00000-0, as typed on August 16, 2015".into()),
                ("Active ingredient".into(), "as on the label card".into()),
                ("Area".into(), "1,240 ft² of turf".into()),
            ],
        })
        .with(Block::heading("Checks before work"))
        .with(Block::Checks {
            checks: vec![
                check("Site is on the label", CheckState::Pass, "The card names residential turf."),
                check("Rate is within the label", CheckState::Pass, ""),
                check("Wind", CheckState::Doubt, "Forecast 6–11 mph; the card's limit is 10 mph. Measure on the spot."),
                check("Bloom: bees at work", CheckState::Refuse, "White clover is in flower in the patch. Mow first, or wait."),
                check("Days until children may use the lawn", CheckState::NotChecked, "The label card is blank here."),
            ],
        })
        .with(Block::heading("As done"))
        .with(Block::Fill {
            labels: strings(&[
                "Began",
                "Ended",
                "Wind, from and speed",
                "Air temperature",
                "Amount used",
                "Area treated",
                "Licence number",
                "Flags set (how many)",
            ]),
        })
        .with(Block::Signatures { who: strings(&["Applied by", "For the owner"]) })
        .with(Block::Cautions {
            cautions: strings(&[
                "The label is the law. Where this sheet and the label differ, follow the label.",
                "Keep people and pets off until the time that the label gives.",
                "Keep granules off walks and drains.",
            ]),
        })
        .with(Block::Working {
            title: "density in the patch".into(),
            lines: strings(&[
                "Gamma prior, shape 0.8, rate 0.2 per ft²; counts 9, 12, 7, 6 on 4 ft².",
                "Posterior shape 34.8, rate 4.2: mean 34.8 / 4.2 = 8.29 per ft².",
                "Odds that it stands above 6 per ft²: 0.97.",
            ]),
        })
}

pub fn planting_plan() -> Sheet {
    let kinds = strings(&["Little bluestem", "Purple coneflower", "Prairie dropseed", "Wild bergamot"]);
    let plants = (0..36)
        .map(|i| PlanPlant {
            at: (0.5 + f64::from(i % 12) * 0.75, 0.4 + f64::from(i / 12) * 0.8),
            spread_m: 0.6,
            height_m: 0.5 + 0.3 * f64::from(i / 12),
            kind: ((i * 7 + i / 12) % 4) as usize,
        })
        .collect();
    let bed = BedDrawing { title: "Long bed".into(), outline: vec![square(0.0, 0.0, 9.2, 2.6)], plants, kinds };
    sheet("planting-plan", "Planting plan: the long bed")
        .subtitle("Kettle House · 30 ft by 8½ ft · full sun, clay loam, hardiness zone 5b")
        .with(Block::Figure {
            narrow: None,
            svg: draw_plan(&bed, 680.0),
            alt: "Plan of the bed with 36 plants of four kinds in three rows.".into(),
            caption: "Plan. The front is below. Letters stand for the kinds in the key.".into(),
        })
        .with(Block::Figure {
            narrow: None,
            svg: draw_elevation(&bed, 680.0),
            alt: "The bed seen from the front.".into(),
            caption: "As seen from the lawn in August of the third year, beside a person of 5 ft 9 in.".into(),
        })
        .with(table(
            "Plants",
            &["", "Kind", "Pots#", "Spacing, in#", "Height, in#", "Bloom", "Why here"],
            &[
                &["A", "Little bluestem, Schizachyrium scoparium", "9", "24", "36", "Aug–Oct", "stands all winter; dry clay"],
                &["B", "Purple coneflower, Echinacea purpurea", "9", "24", "32", "Jul–Sep", "bees; seed for finches"],
                &["C", "Prairie dropseed, Sporobolus heterolepis", "9", "24", "24", "Aug–Sep", "a front edge that needs no cutting"],
                &["D", "Wild bergamot, Monarda fistulosa", "9", "24", "40", "Jul–Aug", "bees; a range may mildew in shade"],
            ],
            0,
            Some(&["", "All", "36", "", "", "", ""]),
        ))
        .with(Block::heading("Planting"))
        .with(Block::List {
            ordered: true,
            items: strings(&[
                "Kill and lift the turf in September; see task T-22.",
                "Set out all pots before the first hole is dug, tallest at the back.",
                "Water each plant in with a gallon; mulch 2 in deep, clear of the crowns.",
            ]),
        })
        .with(Block::Sources {
            sources: strings(&["Hardiness: the 2012 map of zones, as held in the project's lore.", "Spacing: common practice."]),
        })
}

pub fn proposal() -> Sheet {
    let mut sheet = sheet("proposal", "Proposal for the long bed").subtitle("Good until September 15, 2015").with(Block::paragraph("We propose to take out the tired shrubs along the east side of the back lawn, mend the soil, and plant 36 perennials after the plan that comes with this sheet."));
    sheet.addressed_to = strings(&["Ottoline Marsh", "Kettle House, 14 Quarry Lane", "Alder Ferry"]);
    sheet.push(table(
        "Price",
        &["What", "How much#", "Unit", "Each, $#", "Sum, $#"],
        &[
            &["Take out seven shrubs and their roots", "7", "shrub", "48.00", "336.00"],
            &["Loosen and mend the soil", "255", "ft²", "1.35", "344.25"],
            &["Compost, spread 2 in deep", "1.6", "yd³", "42.00", "67.20"],
            &["Perennials in one-gallon pots, planted", "36", "pot", "17.50", "630.00"],
            &["Shredded bark", "1.6", "yd³", "58.00", "92.80"],
            &["Watering, six visits", "6", "visit", "35.00", "210.00"],
        ],
        0,
        Some(&["Total, before tax", "", "", "", "1,680.25"]),
    ));
    sheet.push(Block::heading("What is not in it"));
    sheet.push(Block::list(strings(&[
        "Moving irrigation lines, if any cross the bed: at cost, after asking you.",
        "Replanting after digging by animals.",
    ])));
    sheet.push(Block::heading("When"));
    sheet.push(Block::paragraph("Between September 8 and October 2. In nine years of ten the soil is then still above 50 °F for four weeks, so that roots take before winter."));
    sheet.push(Block::Signatures { who: strings(&["Ottoline Marsh, owner", "For Teasel & Rowan"]) });
    sheet.foot =
        strings(&["Prices hold until the day under the title. Half is due at the start, half when you are content with the work."]);
    sheet
}

pub fn letter() -> Sheet {
    let mut sheet = sheet("letter-to-owner", "The brown patch in your back lawn");
    sheet.addressed_to = strings(&["Ottoline Marsh", "Kettle House", "14 Quarry Lane", "Alder Ferry"]);
    for text in [
        "Dear Ms. Marsh,",
        "Thank you for your letter of August 9. You wrote that the turf \"lifts like a rug\" and that something digs there at night. We came on Friday, folded back four flaps of a square foot each, and found 34 white grubs. That is 8 to 9 a square foot; turf as thirsty as yours begins to fail at 6 to 10.",
        "The rest of the lawn has next to none. So we advise treating the patch alone, about a tenth of the lawn, and leaving the rest as it is. It will cost $94. If you would rather wait, the patch will most likely be bare by October, and mending it would cost about $310.",
    ] {
        sheet.push(Block::paragraph(text));
    }
    sheet.push(Block::heading("What we ask of you"));
    sheet.push(Block::list(strings(&[
        "Please water the patch with half an inch the evening before we come.",
        "Please keep children and pets off it until the flags are gone; the label's time is written on each.",
    ])));
    sheet.push(Block::paragraph(
        "We shall look again four weeks later, at no charge, and write to you what we found, whether it worked or not.",
    ));
    sheet.push(Block::paragraph("With kind regards,"));
    sheet.push(Block::Signatures { who: strings(&["For Teasel & Rowan"]) });
    sheet
}

pub fn season_page() -> Sheet {
    let row = |name: &str, a: (i8, i8), b: (i8, i8), c: (i8, i8), note: &str| BandRow {
        name: name.into(),
        p10: Some(date(2015, a.0, a.1)),
        p50: Some(date(2015, b.0, b.1)),
        p90: Some(date(2015, c.0, c.1)),
        note: note.into(),
        remembered: note == "memory",
    };
    let rows = [
        row("Last frost", (4, 24), (5, 5), (5, 19), ""),
        row("Lilac in first leaf", (3, 28), (4, 9), (4, 20), ""),
        row("Crabgrass sprouts", (4, 25), (5, 4), (5, 15), ""),
        row("Grub eggs hatch", (7, 20), (7, 30), (8, 11), "memory"),
        row("Sow cool-season turf", (8, 12), (8, 24), (9, 6), ""),
        row("First frost", (9, 28), (10, 11), (10, 25), ""),
    ];
    sheet("season-page", "The season at Kettle House")
        .subtitle("Days that one, five and nine years of ten have reached, from 77 years of record and this year's weather")
        .with(Block::KeyFigures {
            figures: vec![
                key("1,912", "degree-days so far", "base 50 °F; 104 ahead of the middle year"),
                key("18.2 in", "rain since April 1", "1.1 in short"),
                key("68 °F", "soil at 4 in", "modelled; ±3 °F"),
            ],
        })
        .with(Block::Figure {
            narrow: None,
            svg: season_band::draw(&rows, today(), 700.0),
            alt: "Six events of the year as bars from their early to their late day.".into(),
            caption:
                "Bars run from the 10 % to the 90 % day; the stroke is the middle. Hollow bars rest on figures that are only remembered."
                    .into(),
        })
        .with(table(
            "The days",
            &["Event", "1 in 10#", "5 in 10#", "9 in 10#", "This year", "Source"],
            &[
                &["Last frost", "Apr 24", "May 5", "May 19", "May 2", "station record"],
                &["Lilac in first leaf", "Mar 28", "Apr 9", "Apr 20", "Apr 12", "degree-days, base 31 °F"],
                &["Crabgrass sprouts", "Apr 25", "May 4", "May 15", "May 6", "soil at 55 °F for three days"],
                &["First frost", "Sep 28", "Oct 11", "Oct 25", "not yet", "station record"],
            ],
            0,
            None,
        ))
        .with(Block::Task(task("T-17", "Scout for white grubs", "Back lawn")))
        .with(Block::Sources { sources: strings(&["Daily temperatures of one public station, 1939–2015."]) })
}

pub fn all() -> Vec<(&'static str, Sheet, &'static str)> {
    vec![
        ("scouting-sheet", scouting_sheet(), "Raster pattern"),
        ("crew-sheet", crew_sheet(), "Scout for white grubs"),
        ("treatment-record", treatment_record(), "not checked"),
        ("planting-plan", planting_plan(), "Schizachyrium"),
        ("proposal", proposal(), "1,680.25"),
        ("letter-to-owner", letter(), "Dear Ms. Marsh"),
        ("season-page", season_page(), "degree-days so far"),
    ]
}
