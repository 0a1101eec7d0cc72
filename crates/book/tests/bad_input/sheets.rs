//! Wrong sheets of label cards, rates and counts.

use groundlore_book::label_cards::RateUnit;
use groundlore_book::sheet::{RowFault, SheetReading};
use groundlore_book::{BookError, read_counts_csv, read_label_cards_csv, read_rates_csv};

/// (what is wrong, text, line, column, part of the message).
type Row = (&'static str, &'static str, u64, Option<&'static str>, &'static str);

fn faults<T: std::fmt::Debug>(reading: Result<SheetReading<T>, BookError>) -> Vec<RowFault> {
    match reading {
        Err(BookError::Rows(faults)) => faults,
        other => panic!("should be refused row by row: {other:?}"),
    }
}

fn each_is_told<T: std::fmt::Debug>(rows: &[Row], read: impl Fn(&str) -> Result<SheetReading<T>, BookError>) {
    assert!(rows.len() >= 10);
    for (id, text, line, field, told) in rows {
        let fault = faults(read(text)).remove(0);
        let message = fault.to_string();
        assert_eq!((fault.line, fault.field.as_deref()), (*line, *field), "{id}: {message}");
        assert!(message.contains(told), "{id}: {message}");
        assert!(message.starts_with("sheet.csv, line ") && !fault.remedy.is_empty(), "{id}: {message}");
    }
}

const COUNTS: &[Row] = &[
    ("empty file", "", 1, None, "the file is empty"),
    ("only headings", "date,trouble,count\n", 2, None, "headings and no rows"),
    ("unknown heading", "date,trouble,count,colour\n", 1, None, "no column is called that"),
    ("needed heading missing", "date,count\n2015-08-14,3\n", 1, None, "a needed column is missing"),
    ("heading twice", "date,trouble,count,who,who\n", 1, None, "twice"),
    ("semicolons", "date;trouble;count\n2015-08-14;white-grub;3\n", 1, None, "not parted by commas"),
    ("quote never closed", "date,trouble,count\n2015-08-14,\"white-grub,3\n", 2, None, "never closed"),
    ("too few cells", "date,trouble,count\n2015-08-14,white-grub\n", 2, None, "2 cells under 3 headings"),
    ("too many cells", "date,trouble,count\n2015-08-14,white-grub,3,\n", 2, None, "4 cells under 3 headings"),
    ("blank count", "date,trouble,count\n2015-08-14,white-grub,\n", 2, Some("count"), "is needed"),
    ("negative count", "date,trouble,count\n2015-08-14,white-grub,-3\n", 2, Some("count"), "`-3`"),
    ("half a grub", "date,trouble,count\n2015-08-14,white-grub,2.5\n", 2, Some("count"), "`2.5`"),
    ("a count too large", "date,trouble,count\n2015-08-14,white-grub,99999999999\n", 2, Some("count"), "whole number"),
    ("day first", "date,trouble,count\n14.08.2015,white-grub,3\n", 2, Some("date"), "for example 2015-08-14"),
    ("no such day", "date,trouble,count\n2015-02-29,white-grub,3\n", 2, Some("date"), "`2015-02-29`"),
    ("sample without unit", "date,trouble,count,sample\n2015-08-14,white-grub,3,1\n", 2, Some("sample"), "`1`"),
    ("sample of a wrong kind", "date,trouble,count,sample\n2015-08-14,white-grub,3,1 ft\n", 2, Some("sample"), "is a length"),
    ("sample of nothing", "date,trouble,count,sample\n2015-08-14,white-grub,3,0 ft2\n", 2, Some("sample"), "more than nothing"),
    ("sample of no leaves", "date,trouble,count,sample\n2015-08-14,aphids,3,0 leaves\n", 2, Some("sample"), "10 leaves"),
    ("unit misspelt", "date,trouble,count,sample\n2015-08-14,white-grub,3,1 fet2\n", 2, Some("sample"), "1 fet2"),
    ("latitude too large", "date,trouble,count,latitude,longitude\n2015-08-14,g,3,430.5,-88\n", 2, Some("latitude"), "between -90 and 90"),
    ("longitude missing", "date,trouble,count,latitude,longitude\n2015-08-14,g,3,43.05,\n", 2, Some("longitude"), "both"),
    ("degrees in words", "date,trouble,count,latitude,longitude\n2015-08-14,g,3,43N,-88\n", 2, Some("latitude"), "`43N`"),
];

#[test]
fn wrong_sheets_of_counts_are_told() {
    each_is_told(COUNTS, |text| read_counts_csv(text, "sheet.csv", false));
}

const RATES: &[Row] = &[
    ("empty file", "\n\n", 1, None, "the file is empty"),
    ("unknown heading", "item,cost,colour\n", 1, None, "Columns are: item,unit"),
    ("item blank", "item,cost\n,$3\n", 2, Some("item"), "is needed"),
    ("cost is not money", "item,unit,cost\nbark,yd3,30\n", 2, Some("cost"), "$14.50/yd3"),
    ("cost is a volume", "item,unit,cost\nbark,yd3,3 yd3\n", 2, Some("cost"), "not money"),
    ("cost below nothing", "item,unit,cost\nbark,yd3,$-3/yd3\n", 2, Some("cost"), "$-3/yd3"),
    ("cost for another kind of unit", "item,unit,cost\nbark,yd3,$3/ft2\n", 2, Some("cost"), "for one yd3"),
    ("unit unknown", "item,unit,cost\nbark,bucketful,$3\n", 2, Some("unit"), "`bucketful`"),
    ("unknown rule", "item,unit,cost,rule\nbark,yd3,$3,double\n", 2, Some("rule"), "markup, margin"),
    ("share without rule", "item,unit,cost,share\nbark,yd3,$3,20%\n", 2, Some("rule"), "without its rule"),
    ("markup without share", "item,unit,cost,rule\nbark,yd3,$3,markup\n", 2, Some("item"), "for example 25%"),
    ("margin of everything", "item,unit,cost,rule,share\nbark,yd3,$3,margin,100%\n", 2, Some("item"), "stays under 1"),
    ("share is no share", "item,unit,cost,rule,share\nbark,yd3,$3,markup,$2\n", 2, Some("share"), "`$2`"),
    ("fixed price without price", "item,unit,cost,rule\nbark,yd3,$3,fixed price\n", 2, Some("item"), "has a price"),
    ("no cost at all", "item,unit,cost\nbark,yd3,\n", 2, Some("item"), "Give what one unit costs"),
    ("no such day", "item,cost,valid_from\nbark,$3/yd3,2016-13-01\n", 2, Some("valid_from"), "2016-13-01"),
    ("item twice", "item,cost\nbark,$3/yd3\nbark,$4/yd3\n", 3, Some("item"), "twice"),
];

#[test]
fn wrong_sheets_of_rates_are_told() {
    each_is_told(RATES, |text| read_rates_csv(text, "sheet.csv", false));
}

const CARDS: &[Row] = &[
    ("empty file", "\u{feff}", 1, None, "the file is empty"),
    ("unknown heading", "name,dose\nDemo card,3\n", 1, None, "`dose`"),
    ("name blank", "name,rate\n,3 lb/1000ft2\n", 2, Some("name"), "is needed"),
    ("name missing", "rate\n3 lb/1000ft2\n", 1, None, "a needed column is missing"),
    ("rate without unit", "name,rate\nDemo card,3\n", 2, Some("rate"), "a bare number is no rate"),
    ("rate of a wrong kind", "name,rate\nDemo card,3 lb\n", 2, Some("rate"), "`lb` is no rate"),
    ("rate of nothing", "name,rate\nDemo card,0 lb/1000ft2\n", 2, Some("rate"), "more than nothing"),
    ("range upside down", "name,rate\nDemo card,5 to 3 lb/1000ft2\n", 2, Some("rate"), "lower end first"),
    ("range of two kinds", "name,rate\nDemo card,3 lb/1000ft2 to 4 floz/1000ft2\n", 2, Some("rate"), "do not go together"),
    ("unit misspelt", "name,rate\nDemo card,3 lbz/1000ft2\n", 2, Some("rate"), "lbz"),
    ("limit of another kind", "name,rate,yearly_limit\nDemo card,3 lb/1000ft2,9 floz/1000ft2\n", 2, Some("yearly_limit"), "another kind"),
    ("no applications", "name,yearly_limit\nDemo card,0 applications\n", 2, Some("yearly_limit"), "2 applications"),
    ("interval in inches", "name,minimum_interval\nDemo card,7 in\n", 2, Some("minimum_interval"), "is a length"),
    ("interval below nothing", "name,minimum_interval\nDemo card,-7 day\n", 2, Some("minimum_interval"), "-7 day"),
    ("watering in by time", "name,watering_in\nDemo card,30 min\n", 2, Some("watering_in"), "is a time"),
    ("carrier in gallons", "name,carrier\nDemo card,40 gal\n", 2, Some("carrier"), "40 gal/acre"),
    ("over a hundred percent", "name,active_ingredients\nDemo card,an ingredient 120%\n", 2, Some("active_ingredients"), "up to 100"),
    ("percent in words", "name,active_ingredients\nDemo card,an ingredient some%\n", 2, Some("active_ingredients"), "prodiamine 0.38%"),
    ("run of none", "name,consecutive_run_limit\nDemo card,0\n", 2, Some("name"), "consecutive_run_limit"),
    ("wind upside down", "name,wind\nDemo card,10 to 3 mph\n", 2, Some("wind"), "lower end first"),
    ("wind in inches", "name,wind\nDemo card,10 in\n", 2, Some("wind"), "is a length"),
    ("wind without unit", "name,wind\nDemo card,10\n", 2, Some("wind"), "`10`"),
    ("wind below nothing", "name,wind\nDemo card,-2 to 10 mph\n", 2, Some("wind"), "cannot be"),
    ("gusts in degrees", "name,gusts\nDemo card,15 degF\n", 2, Some("gusts"), "15 degF"),
    ("heat in miles", "name,temperature\nDemo card,85 mph\n", 2, Some("temperature"), "is a speed"),
    ("heat upside down", "name,temperature\nDemo card,85 to 50 degF\n", 2, Some("temperature"), "lower end first"),
    ("rain-free by depth", "name,rain_free\nDemo card,6 in\n", 2, Some("rain_free"), "is a length"),
    ("leaves in other words", "name,leaves\nDemo card,damp\n", 2, Some("leaves"), "dry, wet, none"),
    ("inversion in other words", "name,inversion\nDemo card,maybe\n", 2, Some("inversion"), "forbidden, none"),
    ("bloom in other words", "name,bloom_limit\nDemo card,at dusk\n", 2, Some("bloom_limit"), "not while bees forage"),
    ("applicator in other words", "name,applicator\nDemo card,the crew\n", 2, Some("applicator"), "licensed, anyone"),
    ("no droplet class", "name,droplets\nDemo card,misty\n", 2, Some("droplets"), "ultra coarse"),
    ("droplets upside down", "name,droplets\nDemo card,coarse to fine\n", 2, Some("droplets"), "no droplet class"),
    ("well in gallons", "name,well_distance\nDemo card,50 gal\n", 2, Some("well_distance"), "is a volume"),
    ("mixing below nothing", "name,mixing_distance\nDemo card,-50 ft\n", 2, Some("mixing_distance"), "-50 ft"),
    ("reseeding by depth", "name,reseeding_interval\nDemo card,2 in\n", 2, Some("reseeding_interval"), "is a length"),
    ("seedlings by weight", "name,seedling_age\nDemo card,6 lb\n", 2, Some("seedling_age"), "6 lb"),
    ("soil upside down", "name,soil_temperature\nDemo card,86 to 54 degF\n", 2, Some("soil_temperature"), "lower end first"),
    ("soil by depth", "name,soil_temperature\nDemo card,4 in\n", 2, Some("soil_temperature"), "is a length"),
    ("soil in other words", "name,soil_moisture\nDemo card,soggy\n", 2, Some("soil_moisture"), "moist, none"),
    ("age by length", "name,age_limit\nDemo card,14 ft\n", 2, Some("age_limit"), "is a length"),
    ("run in words", "name,consecutive_run_limit\nDemo card,two\n", 2, Some("consecutive_run_limit"), "`two`"),
];

#[test]
fn wrong_sheets_of_label_cards_are_told() {
    each_is_told(CARDS, |text| read_label_cards_csv(text, "sheet.csv", false, Default::default()));
}

#[test]
fn good_rows_are_kept_where_the_user_says_so_and_else_nothing() {
    let sheet = "date,trouble,count,sample\n2015-08-14,white-grub,7,1 ft2\n2015-08-14,white-grub,many,1 ft2\nyesterday,white-grub,2,1 ft2\n2015-08-14,white-grub,0,\n";
    assert_eq!(faults(read_counts_csv(sheet, "sheet.csv", false)).len(), 2, "every wrong row is told at once");
    let reading = read_counts_csv(sheet, "sheet.csv", true).unwrap();
    assert_eq!(reading.rows.iter().map(|row| row.count).collect::<Vec<_>>(), [7, 0]);
    assert!((reading.rows[0].sample_area_m2.unwrap() - 0.092_903_04).abs() < 1e-12); // 1 ft² = 0.09290304 m² exactly
    assert_eq!(reading.rows[1].sample_area_m2, None);
    assert_eq!(reading.skipped.iter().map(|fault| fault.line).collect::<Vec<_>>(), [3, 4]);
}

#[test]
fn a_card_is_read_as_typed_and_blank_is_not_checked() {
    let sheet = "Name,Signal word,Active ingredients,Sites,Rate,Yearly limit,Minimum interval,Watering in,Reentry,Bee statement\r\n\
                 \"Demo card, granular\",CAUTION,an ingredient 0.2%; another,lawns; beds,3 to 5 lb/1000ft2,10 lb/1000ft2,60 day,0.5 in,until dry,\r\n";
    let card = read_label_cards_csv(sheet, "sheet.csv", false, "2015-08-14T15:00:00Z".parse().unwrap()).unwrap().rows.remove(0);
    assert_eq!(card.name, "Demo card, granular");
    assert_eq!(card.rate_si_unit, Some(RateUnit::KilogramPerSquareMetre));
    // 1 lb = 0.45359237 kg and 1 ft = 0.3048 m exactly (NIST SP 811, appendix B, memory).
    let per_thousand = 0.453_592_37 / 92.903_04;
    assert!((card.rate_low_si.unwrap() / (3.0 * per_thousand) - 1.0).abs() < 1e-12);
    assert!((card.rate_high_si.unwrap() / (5.0 * per_thousand) - 1.0).abs() < 1e-12);
    assert_eq!((card.minimum_interval_days, card.watering_in_depth_mm), (Some(60.0), Some(12.7)));
    assert_eq!(card.active_ingredients.as_ref().unwrap()[1].percent, None);
    assert_eq!(card.bee_statement, None);
    assert!(card.not_checked().contains(&"bee_statement") && !card.not_checked().contains(&"rate_text"));
}

#[test]
fn rates_take_their_unit_from_the_cost_and_their_rule_from_what_stands_there() {
    let sheet = "item,unit,cost,rule,share,price,note\nbark,,$30/yd3,markup,20%,,\nlabour,h,$38/h,,,,\nvisit,visit,,,,$65,\ncatmint,,$6.50 each,margin,0.35,,\n";
    let rows = read_rates_csv(sheet, "sheet.csv", false).unwrap().rows;
    let seen: Vec<(&str, &str, f64)> = rows.iter().map(|row| (row.item.as_str(), row.unit.as_str(), row.unit_price().unwrap())).collect();
    assert_eq!(seen, [("bark", "yd3", 36.0), ("labour", "h", 38.0), ("visit", "visit", 65.0), ("catmint", "each", 10.0)]);
}
