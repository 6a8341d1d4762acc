use partywall::scenario::model::*;
use partywall::{climate, colony::parameters::Parameters, ensemble, hive, season};
use std::sync::atomic::AtomicBool;
use std::time::Instant;
fn lay(m: &str, t: f64) -> Layer {
    Layer {
        material: m.into(),
        thickness: t,
    }
}
fn hb(frames: u32, depth: f64, honey: f64) -> HiveBox {
    let deep = depth > 0.2;
    HiveBox {
        pattern: "x".into(),
        length: 0.505,
        width: if frames == 10 { 0.413 } else { 0.352 },
        depth,
        walls: vec![lay("pine", 0.019)],
        frames,
        pitch: 0.035,
        comb_length: 0.428,
        comb_height: if deep { 0.203 } else { 0.133 },
        comb_thickness: 0.025,
        full_frame: if deep { 2.7 } else { 1.7 },
        frames_at: FramesAt::Centre,
        followers: 0,
        follower_thickness: 0.0,
        filler: None,
        honey_frames: honey,
    }
}
fn stack(name: &str, fr: u32, h1: f64, h2: f64, bees: f64, stores: f64, ent: f64) -> Stack {
    Stack {
        name: name.into(),
        floor: Floor::Solid {
            layers: vec![lay("pine", 0.019)],
            space: 0.020,
        },
        boxes: vec![hb(fr, 0.244, h1), hb(fr, 0.168, h2)],
        top: vec![lay("plywood", 0.009), lay("xps", 0.05)],
        cover: Cover {
            layers: vec![lay("plywood", 0.012), lay("steel", 0.0006)],
            overhang: 0.0,
            skirt: 0.0,
            space: 0.0,
            absorptance: 0.6,
            emissivity: 0.9,
        },
        cladding: {
            let f = vec![lay("xps", 0.025)];
            Cladding {
                front: f.clone(),
                back: f.clone(),
                left: f.clone(),
                right: f,
                absorptance: 0.9,
                emissivity: 0.9,
            }
        },
        openings: vec![
            Opening {
                place: OpeningPlace::Floor,
                area: ent * 0.009,
                height: 0.009,
                z: 0.025,
            },
            Opening {
                place: OpeningPlace::Head,
                area: 3.1e-4,
                height: 0.02,
                z: 0.44,
            },
        ],
        ledge: Ledge {
            shelf: false,
            shelf_thickness: 0.019,
            filler: None,
        },
        colony: Some(Colony {
            bees,
            frames_of_bees: None,
            stores,
            pollen: 1.5,
            scale: Scale {
                lift: Lift::FrontAndBack,
                tare: 24.5,
                tare_source: TareSource::OwnWeighing,
                gross: None,
            },
            club_stores: None,
        }),
        heater: None,
    }
}
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let res = match a[1].as_str() {
        "coarse" => hive::Resolution::Coarse,
        "normal" => hive::Resolution::Normal,
        _ => hive::Resolution::Fine,
    };
    let paired = a[2] == "pair";
    let clim = &a[3];
    let nw: usize = a[4].parse().unwrap();
    let s = Scenario {
        title: "t".into(),
        site: Site {
            name: "x".into(),
            latitude_deg: None,
            longitude_deg: None,
            elevation: None,
            shelter: Shelter::Partly,
            entrance_azimuth_deg: 180.0,
            stand_height: 0.45,
            snow_cover: false,
        },
        season: Season {
            start: MonthDay { month: 10, day: 1 },
            first_nectar: MonthDay { month: 5, day: 19 },
            brood_start: MonthDay { month: 2, day: 1 },
            brood_full: MonthDay { month: 3, day: 15 },
        },
        climate: ClimateChoice::BuiltIn(clim.clone()),
        stacks: vec![
            stack("left", 10, 5.0, 9.5, 2.8, 29.5, 0.075),
            stack("right", 8, 3.0, 7.0, 1.6, 20.0, 0.04),
        ],
        joints: vec![if paired {
            Joint::Butted {
                gap: 0.0,
                state: GapState::Touching,
                wall: CentreWall::BoxWalls,
                one_cover: true,
            }
        } else {
            Joint::Apart
        }],
        materials: vec![],
        parameters: vec![],
        level: 0.9,
        reserve: 3.0,
    };
    let t0 = Instant::now();
    let h = hive::build(&s, res).unwrap();
    println!(
        "unknowns {} faces {} build {:?}",
        h.network.n(),
        h.faces.len(),
        t0.elapsed()
    );
    for f in &h.faces {
        if a.len() > 5 {
            println!("{} area {:.3} {:?}", f.label, f.area, f.face.exposure)
        }
    }
    let st = season::Stand::new(&s, h, 1000.0).unwrap();
    let r = climate::load(&s.climate).unwrap();
    let t0 = Instant::now();
    let ws = r.winters(s.season.start, s.season.first_nectar).unwrap();
    println!("{} winters {:?}", ws.len(), t0.elapsed());
    let ws = ensemble::runner::spread(ws, nw);
    let p = Parameters::with(&[]).unwrap();
    for w in &ws {
        let t0 = Instant::now();
        let o = season::run(
            &s,
            &st,
            w,
            &p,
            season::Method::default(),
            None,
            &AtomicBool::new(false),
        )
        .unwrap();
        println!("{} {:?} {:?}", o.winter, t0.elapsed(), o.solver);
        for c in &o.colonies {
            let m = &c.weakest;
            let md = |d: usize| c.eaten_by_day.get(d).copied().unwrap_or(0.0);
            println!(
                "  {} eaten {:.1} brood {:.1} Oct {:.1} Nov {:.1} Dec {:.1} Jan {:.1} Feb {:.1} Mar {:.1} Apr {:.1} May19 {:.1} bees {:.0} chill {:.0} warm {:.1} | {} out {:.0} around {:.0} mantle {:.1} core {:.1} P {:.1} hand {:.1}",
                c.stack,
                c.eaten,
                c.fed_to_brood,
                md(30),
                md(60) - md(30),
                md(91) - md(60),
                md(122) - md(91),
                md(150) - md(122),
                md(181) - md(150),
                md(211) - md(181),
                c.eaten - md(211),
                c.bees_left,
                c.chilled_hours,
                c.warmth_mid_winter,
                m.time,
                m.outside_c,
                m.around_c,
                m.mantle_c,
                m.core_c,
                m.heat,
                m.heat_in_hand
            );
        }
    }
}
