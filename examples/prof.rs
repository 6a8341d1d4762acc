use partywall::hive::{Resolution, build};
use partywall::season::*;
use partywall::*;
use std::sync::atomic::AtomicBool;
fn main() {
    let s = scenario::built_in("larch-flats").unwrap().scenario;
    let rec = climate::load(&climate::choose("champion")).unwrap();
    let ws = rec.winters(s.season.start, s.season.first_nectar).unwrap();
    let p = colony::parameters::Parameters::with(&[]).unwrap();
    let st = Stand::new(&s, build(&s, Resolution::Normal).unwrap(), 600.0).unwrap();
    let stop = AtomicBool::new(false);
    let t = std::time::Instant::now();
    st.reduced().unwrap();
    println!("build {:?}", t.elapsed());
    let t = std::time::Instant::now();
    for _ in 0..3 {
        for w in &ws {
            Course {
                scenario: &s,
                stand: &st,
                winter: w,
                parameters: &p,
                stop: &stop,
            }
            .run(Carrier::Reduced, None)
            .unwrap();
        }
        println!("{:?}", t.elapsed());
    }
}
