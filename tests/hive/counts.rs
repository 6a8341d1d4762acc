//! How many unknowns each resolution takes.
use crate::stand::*;
use partywall::hive::{Resolution, build};

#[test]
fn print() {
    for (n, s) in [("touch", demo_pair(touching())), ("apart", demo_pair(partywall::scenario::model::Joint::Apart))] {
        for r in [Resolution::Coarse, Resolution::Normal, Resolution::Fine] {
            let t = std::time::Instant::now();
            let h = build(&s, r).unwrap();
            println!("{n} {r:?}: shape {:?} unknowns {} faces {} air {} {:?}", h.grid.shape(), h.network.n(), h.faces.len(), h.network.air_nodes().len(), t.elapsed());
            if r == Resolution::Normal { for (f, g) in h.faces.iter().zip(h.network.faces()) { println!("  {} {:?} az {} tilt {} a {:.4} z {:.3} r {:.4} n {}", f.label, f.exposure, f.azimuth_deg, f.tilt_deg, f.area, f.z_above_ground, g.r_inner, g.areas.len()); } println!("{:?}", h.notes);}
        }
    }
}
