use geo::{Polygon, polygon};
use groundlore_lore::Lore;
use groundlore_lore::plant::{Light, Moisture};
use groundlore_planting::bed::{BedPlan, plan};
use groundlore_planting::outline::{Front, Outline};
use groundlore_planting::place::faults;
use groundlore_planting::wishes::Wishes;
use std::sync::OnceLock;
use std::time::Instant;

fn lore() -> &'static Lore {
    static LORE: OnceLock<Lore> = OnceLock::new();
    LORE.get_or_init(|| Lore::built_in().unwrap())
}

fn rectangle(width: f64, depth: f64) -> Polygon<f64> {
    polygon![(x: 0.0, y: 0.0), (x: width, y: 0.0), (x: width, y: depth), (x: 0.0, y: depth)]
}

#[test]
fn show_beds() {
    for (w, d, light, moisture) in [(8.0, 3.0, Light::FullSun, Moisture::Medium), (5.0, 1.5, Light::PartShade, Moisture::Moist), (3.0, 1.0, Light::FullSun, Moisture::Dry), (20.0, 6.0, Light::FullShade, Moisture::Medium), (12.0,4.0,Light::FullSun,Moisture::Wet)] {
        let wishes = Wishes { light, moisture, place: Some("Wisconsin, USA".into()), ..Wishes::default() };
        let t = Instant::now();
        let bed = rectangle(w, d);
        let front = Front::Towards { bearing_deg: 180.0 };
        let p = plan(&lore().plants, &wishes, &bed, &front, 1);
        let ms = t.elapsed().as_millis();
        let p: BedPlan = match p { Ok(p) => p, Err(e) => { println!("ERR {e}"); continue } };
        println!("== {w}x{d} {light:?} {moisture:?} {ms} ms");
        for k in &p.kinds { println!("  {} h {:.2} n {} drifts {:?} from_front {:.2}", k.key, k.middle_height_m(), p.counts[&k.key], p.drifts.iter().filter(|d| d.plant_key == k.key).map(|d| d.number).collect::<Vec<_>>(), p.height_order.kinds.iter().find(|x| x.0 == k.key).unwrap().2); }
        for c in &p.checks { println!("  {:?} {} : {}", c.outcome, c.wish, c.told); }
        for c in &p.working { println!("  {c}"); }
        println!("  {:?}", p.height_order.rank_correlation);
        let out = Outline::new(&bed, &front).unwrap();
        println!("  faults {:?}", faults(&p.plants, &out));
    }
}
