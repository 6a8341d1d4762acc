use partywall::hive::{Resolution, build};
use partywall::season::trace::Trace;
use partywall::season::*;
use partywall::*;
use std::sync::atomic::AtomicBool;
use std::time::Instant;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let mut s = scenario::built_in("larch-flats").unwrap().scenario;
    if a.get(4).is_some_and(|v| v == "apart") {
        s = s.apart();
    }
    let rec = climate::load(&climate::choose(&a[2])).unwrap();
    let ws = rec.winters(s.season.start, s.season.first_nectar).unwrap();
    let w = ws.iter().find(|w| w.label == a[3]).unwrap();
    let r = if a[1] == "normal" {
        Resolution::Normal
    } else {
        Resolution::Coarse
    };
    let p = colony::parameters::Parameters::with(&[]).unwrap();
    let h = build(&s, r).unwrap();
    println!("n {}", h.network.n());
    let st = Stand::new(&s, h, 600.0).unwrap();
    let stop = AtomicBool::new(false);
    let t0 = Instant::now();
    let rh = st.reduced().unwrap();
    println!(
        "build {:?} modes {} ports {}",
        t0.elapsed(),
        rh.network().modes(),
        rh.network().ports()
    );
    let mut tr = Trace::default();
    for _ in 0..3 {
        tr = Trace::default();
        let t0 = Instant::now();
        let o = Course {
            scenario: &s,
            stand: &st,
            winter: w,
            parameters: &p,
            stop: &stop,
        }
        .run(Carrier::Reduced, Some(&mut tr))
        .unwrap();
        println!("reduced {:?} {:?}", t0.elapsed(), o.solver);
        for c in &o.colonies {
            println!(
                "  {} eaten {:.4} chilled {} weakest {:.2} {}",
                c.stack, c.eaten, c.chilled_hours, c.weakest.heat_in_hand, c.weakest.time
            );
        }
    }
    let t0 = Instant::now();
    let o = Course {
        scenario: &s,
        stand: &st,
        winter: w,
        parameters: &p,
        stop: &stop,
    }
    .run(Carrier::Reduced, None)
    .unwrap();
    println!("reduced no trace {:?}", t0.elapsed());
    drop(o);
    let mut tf = Trace::default();
    let t0 = Instant::now();
    let o = Course {
        scenario: &s,
        stand: &st,
        winter: w,
        parameters: &p,
        stop: &stop,
    }
    .run(
        Carrier::Full(Method {
            scheme: partywall::heat::Scheme::TrBdf2,
            tolerance: std::env::var("TOL").map_or(1e-4, |v| v.parse().unwrap()),
        }),
        Some(&mut tf),
    )
    .unwrap();
    println!("full {:?} {:?}", t0.elapsed(), o.solver);
    for c in &o.colonies {
        println!(
            "  {} eaten {:.4} chilled {} weakest {:.2} {}",
            c.stack, c.eaten, c.chilled_hours, c.weakest.heat_in_hand, c.weakest.time
        );
    }
    for c in 0..o.colonies.len() {
        let (mut mx, mut sq, mut at) = (0f64, 0f64, 0);
        let mut hm = 0f64;
        for (i, (a, b)) in tr.rows.iter().zip(&tf.rows).enumerate() {
            let d = a.colonies[c].moment.around_c - b.colonies[c].moment.around_c;
            if d.abs() > mx {
                mx = d.abs();
                at = i;
            }
            sq += d * d;
            hm = hm
                .max((a.colonies[c].moment.heat_in_hand - b.colonies[c].moment.heat_in_hand).abs());
        }
        println!(
            "colony {c}: max {mx:.3} at {at} {} rms {:.4} heat in hand {hm:.2}",
            tf.rows[at].time,
            (sq / tr.rows.len() as f64).sqrt()
        );
    }

    if let Ok(v) = std::env::var("AT") {
        let c = 0;
        let k: usize = v.parse().unwrap();
        for i in k - 12..k + 8 {
            let (a, b) = (&tr.rows[i], &tf.rows[i]);
            println!(
                "{} out {:.1} around {:.3} {:.3} heat {:.2} {:.2} core {:.2} {:.2} surf {:.2} {:.2} r {:.4} {:.4}",
                a.time,
                a.outside_c,
                a.colonies[c].moment.around_c,
                b.colonies[c].moment.around_c,
                a.colonies[c].moment.heat,
                b.colonies[c].moment.heat,
                a.colonies[c].moment.core_c,
                b.colonies[c].moment.core_c,
                a.colonies[c].moment.mantle_c,
                b.colonies[c].moment.mantle_c,
                a.colonies[c].radius,
                b.colonies[c].radius
            );
        }
    }
}
